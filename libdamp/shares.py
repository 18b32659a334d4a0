"""What draws of an output say: mean, spread, and the share of each input in the spread."""

from typing import NamedTuple

import numpy as np

from .physics.numbers import Array

NOISE = 1e-12
"""Spread of an output, beside its size or beside 1 in its unit, that is round-off."""


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
    """Share of an output's variance that each input explains by itself in a straight line.

    The output is fitted by a plane over the inputs; what the plane explains is split by the square of each
    slope times the input's own variance. The shares sum to what the plane explains, never more than 1.

    Parameters
    ----------
    inputs : shape (draws, inputs).
    output : shape (draws,).

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
    scaled = (inputs[:, moving] - np.mean(inputs[:, moving], axis=0)) / spread[moving]
    slopes = np.linalg.lstsq(scaled, whole, rcond=None)[0]
    left = whole - scaled @ slopes
    explained = min(1.0, max(0.0, 1.0 - float(np.sum(left * left)) / total))
    squares = slopes * slopes
    if np.sum(squares) > 0.0:
        shares[moving] = explained * squares / np.sum(squares)
    return shares
