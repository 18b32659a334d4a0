"""Which builds are likely the best in motion, guessed from those that were moved already.

Each figure of landing and bumps is fitted, to second order by least squares, over what decides how a corner moves.
The fit only chooses what is moved next: no answer holds a guess.
"""

import numpy as np

from .builds import End
from .goals import Aim
from .physics.numbers import Array, Places
from .searching import Table

MORE_PER_END, OF_A_KIND = 60, 15
"""Builds of an end that are moved for one guess, of each kind of change no more than that."""
ENOUGH = 1.5
"""So many moved builds for each number that is fitted, or there is no guess."""
TINY = 1e-12


def likely(end: End, moved: Table, done: Places, aims: dict[str, Aim]) -> Places:
    """Rows of an end's table that likely are nearest to its goals, those of motion among them, not moved yet.

    `moved` holds the figures of the rows `done`; `aims` the goals of motion.
    """
    none = np.zeros(0, dtype=int)
    if not (aims and end.table):
        return none
    x, far = _features(end), np.array(end.table["distance"])
    for name, aim in aims.items():
        known = np.isfinite(moved[name])
        if np.sum(known) < ENOUGH * x.shape[1]:
            return none
        fit = np.linalg.lstsq(x[done[known]], moved[name][known], rcond=None)[0]
        far = far + aim.term(x @ fit)
    far[done] = np.inf
    order = np.argsort(far, kind="stable")
    return np.sort(capped(order[np.isfinite(far[order])], end.table["kind"], OF_A_KIND)[:MORE_PER_END])


def capped(order: Places, kind: Array, most: int) -> Places:
    """Rows in an order, of each kind no more than so many."""
    kinds = kind[order]
    by_kind = np.argsort(kinds, kind="stable")
    first = np.searchsorted(kinds[by_kind], kinds[by_kind])
    place = np.empty(order.size, dtype=int)
    place[by_kind] = np.arange(order.size) - first
    return np.asarray(order[place < most])


def _features(end: End) -> Array:
    """What decides how each build moves: scaled, their squares and products, and one."""
    t, s = end.table, end.space
    columns = [
        np.log(np.maximum(t["damping_ratio_compression"], TINY)),
        np.log(np.maximum(t["damping_ratio_rebound"], TINY)),
        t["frequency_hz"],
        t["clearance"],
        t["bump"],
        t["droop"],
        s.closings[t["closing"].astype(int)],
    ]
    x = np.stack([np.nan_to_num(column, nan=0.0, posinf=0.0, neginf=0.0) for column in columns])
    spread = np.std(x, axis=1, keepdims=True)
    x = (x - np.mean(x, axis=1, keepdims=True)) / np.where(spread > TINY, spread, 1.0)
    i, j = np.triu_indices(len(columns))
    return np.vstack([np.ones((1, x.shape[1])), x, x[i] * x[j]]).T
