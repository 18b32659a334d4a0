"""What draws of an output say: mean, spread, and the share of each input in the spread."""

from typing import NamedTuple

import numpy as np

from .physics.numbers import Array

NOISE = 1e-12
"""Spread of an output, beside its size or beside 1 in its unit, that is round-off."""
MOST_DEGREE = 6
"""Degree of the polynomials in each input."""
DRAWS_A_TERM = 20
"""Draws that each term of the polynomials must have."""
CHANCE = 4.0
"""Standard errors up to which a share of what the polynomials leave is chance."""


class Summary(NamedTuple):
    """Figures of the draws of one output."""

    mean: float
    sd: float
    low_5: float
    high_95: float


def summary(values: Array, nominal: float) -> Summary:
    """Mean, standard deviation, and the values below and above which a twentieth of the draws lies.

    >>> summary(np.array([1.0, 2.0, 3.0]), 2.0)
    Summary(mean=2.0, sd=1.0, low_5=1.1, high_95=2.9)
    """
    off = values - nominal  # so that draws which are all alike give the point itself
    low, high = np.quantile(values, (0.05, 0.95))
    return Summary(nominal + float(np.mean(off)), float(np.std(off, ddof=1)), float(low), float(high))


def variance_shares(inputs: Array, output: Array) -> Array:
    """Share of an output's variance that is gone, on average, once an input is known: first-order index.

    The output is fitted by a sum of polynomials, one in each input; what they explain is split by the variance of
    each [1]. Of what they leave, an input has the part that goes with its order, where this is beyond chance [2].
    What alone moves has everything. The shares never sum to more than 1; what is missing belongs to no input alone.

    Parameters
    ----------
    inputs : shape (draws, inputs).
    output : shape (draws,).

    Sources
    -------
    [1] Sobol, Mathematics and Computers in Simulation 55 (2001) 271: S_i = Var(E[y|x_i])/Var(y) (from memory).
    [2] Gamboa, Gremaud, Klein & Lagnoux, Bernoulli 28 (2022) 2345: S_i from neighbours in the order of x_i (from
        memory).
    [3] Gasser, Sroka & Jennen-Steinmetz, Biometrika 73 (1986) 625: what is left once x_i is known, from each value
        less the middle of its neighbours (from memory).

    Examples
    --------
    >>> x = np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 1.0], [1.0, 1.0]])
    >>> variance_shares(x, x @ np.array([2.0, 1.0]))
    array([0.8, 0.2])
    """
    shares = np.zeros(inputs.shape[1])
    off = output - output[0]
    whole = off - np.mean(off)
    spread = np.std(inputs, axis=0)
    moving = np.flatnonzero(spread > 1e-12 * np.maximum(np.max(np.abs(inputs), axis=0), 1e-300))
    total = float(np.sum(whole * whole))
    noise = NOISE * max(1.0, float(np.max(np.abs(output))))
    if total <= output.size * noise * noise or not moving.size:
        return shares
    if moving.size == 1:
        shares[moving] = 1.0
        return shares
    parts = _parts(inputs[:, moving], whole)
    left = whole - np.sum(parts, axis=1)
    squares = np.sum(parts * parts, axis=0)
    unexplained = min(1.0, float(np.sum(left * left)) / total)
    if np.sum(squares) > 0.0:
        shares[moving] = (1.0 - unexplained) * squares / np.sum(squares)
    if unexplained > NOISE and output.size > CHANCE**2:
        ordered = left[np.argsort(inputs[:, moving], axis=0, kind="stable")]
        between = ordered[1:-1] - 0.5 * (ordered[2:] + ordered[:-2])  # [3]
        own = 1.0 - np.mean(between * between, axis=0) / 1.5 / np.mean(left * left)
        own[own < CHANCE / np.sqrt(output.size)] = 0.0
        shares[moving] += unexplained * own / max(1.0, float(np.sum(own)))
    return shares


def _parts(inputs: Array, output: Array) -> Array:
    """What the best sum of polynomials makes of each input; shape (draws, inputs)."""
    draws, many = inputs.shape
    degree = min(MOST_DEGREE, max(1, draws // (DRAWS_A_TERM * many)))
    low, high = np.min(inputs, axis=0), np.max(inputs, axis=0)
    terms = np.polynomial.legendre.legvander(2.0 * (inputs - low) / (high - low) - 1.0, degree)[:, :, 1:]
    terms = terms - np.mean(terms, axis=0)
    factors = np.linalg.lstsq(terms.reshape(draws, -1), output, rcond=None)[0].reshape(many, degree)
    return np.asarray(np.einsum("ijk,jk->ij", terms, factors))
