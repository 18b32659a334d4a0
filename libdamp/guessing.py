"""Figures of motion guessed for every build of an end, from those that were moved: which are worth moving.

What decides how a build moves is what its stance gives plus what its damper gives, so a polynomial of the second
order over all builds is a table of stances, a table of dampers and a product of both. No answer holds a guess.
"""

import math
from typing import NamedTuple

import numpy as np

from .goals import Aim
from .physics.numbers import Array

OF_STANCE = ("frequency_hz", "clearance", "bump", "droop")
"""What the stance alone gives, beside the closing position."""
DAMPED = 4
"""The first of what decides hang on the damper as well: logarithms of the damping ratio inward and of the open
holes' area inward, and of what both are outward over that."""
ENOUGH = 1.5
"""So many moved builds for each number that is fitted, or there is no guess."""
LEAST_SHARE = 1e-4
"""Of the bore's area; no holes count as this."""
TINY, LOOSELY = 1e-12, 1e-6
"""What counts as nothing; what moved builds hardly tell apart is not fitted."""


def damped(inward: Array, outward: Array, shares: Array) -> Array:
    """What dampers give to what decides, over a last axis.

    From their damping (or what is in proportion) and the holes' shares of the bore, inward and outward.
    """
    first, second = (np.log(np.clip(way, TINY, 1.0 / TINY)) for way in (inward, outward))
    holes = np.log(np.maximum(shares, LEAST_SHARE))
    return np.stack(np.broadcast_arrays(first, holes[0], second - first, holes[1] - holes[0]), axis=-1)


class Guess(NamedTuple):
    """A figure as constant + slope x + x curve x, and what is wanted of it."""

    aim: Aim
    bend: float  # below nothing a figure y is fitted as y - bend y^2
    constant: float
    slope: Array  # (x,)
    curve: Array  # (x, x), symmetric

    def term(self, fitted: Array) -> Array:
        """Term of the distance."""
        return self.aim.term(unbent(fitted, self.bend))


def bent(y: Array, bend: float) -> Array:
    """A figure that something stops below nothing, as if it ran on."""
    return np.asarray(y - bend * np.minimum(y, 0.0) ** 2)


def unbent(fitted: Array, bend: float) -> Array:
    """The figure that was bent."""
    if bend == 0.0:
        return fitted
    below = np.minimum(fitted, 0.0)  # root of y - bend y^2, in the form that a small bend leaves exact
    return np.asarray(np.maximum(fitted, 0.0) + 2.0 * below / (1.0 + np.sqrt(1.0 - 4.0 * bend * below)))


class Guesses(NamedTuple):
    """All figures of motion with a goal; what decides, x, is counted from a middle in units of a spread."""

    figures: tuple[Guess, ...]
    middle: Array
    spread: Array

    def of_stances(self, stances: Array) -> Array:
        """What stances give to every figure, by (figure, ..., part); they are by (..., x).

        The product with what `of_dampers` gives, summed over parts, is the polynomial.
        """
        own = (stances - self.middle) / self.spread
        found = np.ones((len(self.figures), *own.shape[:-1], DAMPED + 2))
        for guess, parts in zip(self.figures, found, strict=True):
            curved = np.einsum("...i,ij->...j", own, guess.curve)
            parts[..., 0] = guess.constant + np.einsum("...i,...i->...", own, curved + guess.slope)
            parts[..., 2:] = 2.0 * curved[..., :DAMPED]
        return found

    def of_dampers(self, dampers: Array) -> Array:
        """What dampers give to every figure, by (figure, part, oil, piston); they are by (oil, piston, x)."""
        own = dampers / self.spread[:DAMPED]
        found = np.ones((len(self.figures), DAMPED + 2, *own.shape[:-1]))
        for guess, parts in zip(self.figures, found, strict=True):
            curved = np.einsum("...i,ij->...j", own, guess.curve[:DAMPED, :DAMPED])
            parts[1] = np.einsum("...i,...i->...", own, curved + guess.slope[:DAMPED])
            parts[2:] = np.moveaxis(own, -1, 0)
        return found

    def terms(self, stances: Array, dampers: Array) -> Array:
        """Sum of all terms by (step, seat, oil, piston).

        Stances are by (figure, step, seat, part), dampers by (figure, part, oil, piston).
        """
        steps, seats, parts = stances.shape[1:]
        found = np.zeros((steps * seats, math.prod(dampers.shape[2:])))
        for guess, own, added in zip(self.figures, stances, dampers, strict=True):
            found += guess.term(own.reshape(-1, parts) @ added.reshape(parts, -1))
        return found.reshape(steps, seats, *dampers.shape[2:])


def guesses(
    x: Array, figures: dict[str, Array], aims: dict[str, Aim], bends: dict[str, float], weights: Array
) -> Guesses | None:
    """Least squares over moved builds, x (build, x) and figures by name; None where they are too few to tell."""
    middle, spread = np.mean(x, axis=0), np.std(x, axis=0)
    varied = np.flatnonzero(spread > TINY * (1.0 + np.abs(middle)))
    spread[np.setdiff1d(np.arange(spread.size), varied)] = 1.0
    scaled = ((x - middle) / spread)[:, varied]
    i, j = np.triu_indices(varied.size)
    columns = np.column_stack([np.ones(len(x)), scaled, scaled[:, i] * scaled[:, j]])
    made = []
    for name, aim in aims.items():
        known, bend = np.isfinite(figures[name]), bends.get(name, 0.0)
        if np.sum(known) < ENOUGH * columns.shape[1]:
            return None
        w, y = weights[known], bent(figures[name][known], bend)
        fit = np.linalg.lstsq(columns[known] * w[:, np.newaxis], y * w, rcond=LOOSELY)[0]
        slope, curve = np.zeros(spread.size), np.zeros((spread.size, spread.size))
        slope[varied] = fit[1 : 1 + varied.size]
        np.add.at(curve, (varied[i], varied[j]), 0.5 * fit[1 + varied.size :])
        np.add.at(curve, (varied[j], varied[i]), 0.5 * fit[1 + varied.size :])
        made.append(Guess(aim, bend, float(fit[0]), slope, curve))
    return Guesses(tuple(made), middle, spread)
