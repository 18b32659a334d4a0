"""Which builds are likely the best in motion, guessed from those that were moved already.

The guess only chooses what is moved next: no answer holds one.
"""

import numpy as np

from .builds import End
from .goals import Aim
from .grid import Space
from .guessing import OF_STANCE, Guesses, damped, guesses
from .moving import STANDARD
from .pairing import BothEnds, nearest
from .physics.numbers import G_N, Array, Places
from .tables import Table, joined, picked

NEAREST, OF_A_KIND, EVERY_KIND = 80, 40, 40
"""Builds of an end that are moved for one guess: the nearest, of each kind of change no more than that; and the
nearest of every kind in turn."""
PAIRED = 600
"""Builds of an end that are paired to find them."""
WEIGHTS = 5.0
"""So many times the body's weight the suspension holds against it as it comes to the ground, roughly."""


def guessed(moved: list[End], aims: dict[str, Aim]) -> Guesses | None:
    """Guesses of an end's goals of motion, from its moved builds in one or more tables; None where nothing tells.

    Their distances hold these goals. The nearer to the goals a build is, the more it counts. A chassis that is
    stopped by the ground would have gone on until the suspension had taken what the ground took: so its clearance
    is bent.
    """
    tables = [end.table for end in moved if end.table]
    if not (aims and tables):
        return None
    x = np.concatenate([deciding(end.space, end.table) for end in moved if end.table])
    figures = joined([{name: table[name] for name in (*aims, "distance")} for table in tables])
    far = figures["distance"]
    best = float(np.min(far[np.isfinite(far)], initial=np.inf))
    weights = np.where(np.isfinite(far), ((1.0 + best) / (1.0 + far)) ** 2, 0.0)
    held = WEIGHTS * moved[0].space.corner.sprung_mass_g * 1e-3 * G_N
    bends = {"least_clearance_mm": 1e-3 * STANDARD.ground_rate / (2.0 * held)}
    return guesses(x, figures, aims, bends, weights)


def deciding(space: Space, table: Table) -> Array:
    """What decides how some builds move, by (build, x)."""
    ways = table["damping_ratio_compression"], table["damping_ratio_rebound"]
    stances = [table[name] for name in OF_STANCE] + [space.closings[table["closing"].astype(int)]]
    x = np.column_stack([damped(*ways, space.open_shares[:, table["piston"].astype(int)]), *stances])
    return np.asarray(np.nan_to_num(x, nan=0.0, posinf=0.0, neginf=0.0))


def by_rank(end: End) -> End:
    """The end with the distances that its builds likely have."""
    return end._replace(table={**end.table, "distance": end.table["rank"]} if end.table else {})


def furthest_wanted(pairs: BothEnds) -> tuple[float, float]:
    """How far builds of both ends may be, in pairs with the other's, to be one of the NEAREST of those moved."""
    if not all(end.table for end in pairs.ends):
        return np.inf, np.inf
    far = pairs.distances(*(np.arange(end.table["distance"].size) for end in pairs.ends))
    each = (np.sort(np.min(far, axis=axis)) for axis in (1, 0))
    front, rear = (float(own[NEAREST - 1]) if own.size >= NEAREST else np.inf for own in each)
    return front, rear


def likely(pairs: BothEnds, done: list[Table]) -> list[Places]:
    """Rows of tables of likely builds that are worth moving and not done yet, of both ends.

    They are the nearest in pairs with the other end's, as far as is guessed.
    """
    chosen = []
    for order, end, known in zip(nearest(pairs, PAIRED), pairs.ends, done, strict=True):
        new = _likely_rows(end.table, order, known) if end.table else []
        chosen.append(np.array(sorted(new), dtype=int))
    return chosen


def _likely_rows(table: Table, order: Places, known: Table) -> set[int]:
    """The first of an order, and the first of every kind, that are not known."""
    new = ~np.isin(table["number"], known["number"])
    fresh = np.flatnonzero(new)
    kinds = best_of_kinds(picked(table, fresh), EVERY_KIND, EVERY_KIND)
    return {*capped(order[new[order]], table["kind"], OF_A_KIND)[:NEAREST].tolist(), *fresh[kinds].tolist()}


def capped(order: Places, kind: Array, most: int) -> Places:
    """Rows in an order, of each kind no more than so many."""
    kinds = kind[order]
    by_kind = np.argsort(kinds, kind="stable")
    first = np.searchsorted(kinds[by_kind], kinds[by_kind])
    place = np.empty(order.size, dtype=int)
    place[by_kind] = np.arange(order.size) - first
    return np.asarray(order[place < most])


def best_of_kinds(table: Table, of_a_kind: int, most: int) -> list[int]:
    """First builds of every kind in turn, kinds that ask for least first, at most so many."""
    order = np.argsort(table["rank"], kind="stable")
    kind, effort = table["kind"][order], table["effort"][order]
    codes, first = np.unique(kind, return_index=True)
    codes = codes[np.argsort(effort[first], kind="stable")]
    each = [order[kind == code][:of_a_kind] for code in codes]
    return [int(rows[k]) for k in range(of_a_kind) for rows in each if k < rows.size][:most]
