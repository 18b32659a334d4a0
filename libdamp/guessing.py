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
    """What dampers give to what decides, over a last axis, from their damping, or ratio, and holes' shares each way."""
    first, second = (np.log(np.maximum(way, TINY)) for way in (inward, outward))
    holes = np.log(np.maximum(shares, LEAST_SHARE))
    columns = first, np.broadcast_to(holes[0], first.shape), second - first, holes[1] - holes[0]
    return np.stack(np.broadcast_arrays(*columns), axis=-1)


class Guess(NamedTuple):
    """A figure as constant + slope x + x curve x, and what is wanted of it."""

    aim: Aim
    bend: float  # below nothing the figure, y, counts as y - bend y^2
    constant: float
    slope: Array  # (x,)
    curve: Array  # (x, x), symmetric


def bent(y: Array, bend: float) -> Array:
    """What counts of a figure: one that is stopped short below nothing runs on as if it were not."""
    return np.asarray(y - bend * np.minimum(y, 0.0) ** 2)


def unbent(counts: Array, bend: float) -> Array:
    """The figure of which so much counts."""
    if bend == 0.0:
        return counts
    below = np.minimum(counts, 0.0)
    return np.asarray(np.maximum(counts, 0.0) + (1.0 - np.sqrt(1.0 - 4.0 * bend * below)) / (2.0 * bend))


class Guesses(NamedTuple):
    """All figures of motion with a goal; what decides, x, is counted from a middle in units of a spread."""

    figures: tuple[Guess, ...]
    middle: Array
    spread: Array

    def of_rows(self, x: Array) -> Array:
        """Sum of all terms of single builds, x by (build, x)."""
        scaled = (x - self.middle) / self.spread
        found: Array = np.zeros(len(x))
        for aim, bend, constant, slope, curve in self.figures:
            found = found + aim.term(unbent(constant + _second_order(scaled, slope, curve), bend))
        return found

    def terms(self, stances: Array, fill: Places, dampers: Array) -> Array:
        """Sum of all terms by (step, seat, oil, piston).

        Stances are by (step, seat, fill, x), `fill` is that of each piston, dampers are by (oil, piston, x).
        """
        own, added = (stances - self.middle) / self.spread, dampers / self.spread[:DAMPED]
        found: Array = np.zeros(())
        for aim, bend, constant, slope, curve in self.figures:
            alone = constant + _second_order(own, slope, curve)
            value = alone[:, :, fill][:, :, np.newaxis] + _second_order(
                added, slope[:DAMPED], curve[:DAMPED, :DAMPED]
            )
            leaning = 2.0 * np.einsum("abfi,ij->abfj", own, curve[:, :DAMPED])
            for k in np.flatnonzero(np.any(added, axis=(0, 1))):
                value += leaning[:, :, fill, k][:, :, np.newaxis] * added[:, :, k]
            found = found + aim.term(unbent(value, bend))
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
        known = np.isfinite(figures[name])
        if np.sum(known) < ENOUGH * columns.shape[1]:
            return None
        bend = bends.get(name, 0.0)
        w = weights[known]
        fit = np.linalg.lstsq(
            columns[known] * w[:, np.newaxis], bent(figures[name][known], bend) * w, rcond=LOOSELY
        )[0]
        slope, curve = np.zeros(spread.size), np.zeros((spread.size, spread.size))
        slope[varied] = fit[1 : 1 + varied.size]
        np.add.at(curve, (varied[i], varied[j]), 0.5 * fit[1 + varied.size :])
        np.add.at(curve, (varied[j], varied[i]), 0.5 * fit[1 + varied.size :])
        made.append(Guess(aim, bend, float(fit[0]), slope, curve))
    return Guesses(tuple(made), middle, spread)
