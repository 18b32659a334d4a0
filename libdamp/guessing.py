"""Figures of motion guessed for every build of an end, from those that were moved: which are worth moving.

What decides how a build moves is what its stance gives plus what its damper gives, so a polynomial of the second
order over all builds is a table of stances, a table of dampers and a product of both. No answer holds a guess.
"""

from typing import NamedTuple

import numpy as np

from .goals import Aim
from .physics.numbers import Array, Places

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


def of_dampers(inward: Array, outward: Array, shares: Array) -> Array:
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
    below = 1.0 - np.sqrt(1.0 - 4.0 * bend * np.minimum(fitted, 0.0))
    return np.asarray(np.maximum(fitted, 0.0) + below / (2.0 * bend))


class Guesses(NamedTuple):
    """All figures of motion with a goal; what decides, x, is counted from a middle in units of a spread."""

    figures: tuple[Guess, ...]
    middle: Array
    spread: Array

    def terms(self, stances: Array, fill: Places, dampers: Array) -> Array:
        """Sum of all terms by (step, seat, oil, piston).

        Stances are by (step, seat, fill, x), `fill` is that of each piston, dampers are by (oil, piston, x).
        """
        own, added = (stances - self.middle) / self.spread, dampers / self.spread[:DAMPED]
        found: Array = np.zeros(())
        for guess in self.figures:
            slope, curve = guess.slope, guess.curve
            alone = guess.constant + _second_order(own, slope, curve)
            damper = _second_order(added, slope[:DAMPED], curve[:DAMPED, :DAMPED])
            fitted = alone[:, :, np.newaxis, fill] + damper
            leaning = 2.0 * np.einsum("abfi,ij->abfj", own, curve[:, :DAMPED])
            for k in np.flatnonzero(np.any(added, axis=(0, 1))):
                fitted += leaning[:, :, np.newaxis, fill, k] * added[:, :, k]
            found = found + guess.term(fitted)
        return found


def _second_order(x: Array, slope: Array, curve: Array) -> Array:
    """Slope x + x curve x, over the last axis of x."""
    return np.asarray(np.einsum("...i,i->...", x, slope) + np.einsum("...i,ij,...j->...", x, curve, x))


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
