"""Builds moved: the use's landing and its bumps, those of both ends in one batch."""

from typing import NamedTuple

import numpy as np

from . import together
from .batches import quick
from .builds import End, built_corner, make_build
from .car import Corner
from .goals import Aim
from .guessing import TINY
from .headlines import KERB_LONG_M, Runs
from .likely import best_of_kinds, capped, deciding
from .moving import ready_both
from .pairing import BothEnds, meeting, nearest
from .physics.numbers import Places
from .tables import Table, merged, picked
from .together import Asked
from .working import Helpers, worked

FEW = 500
"""Legal builds of an end that are all moved;"""
MOVED_PER_END = 160
"""where there are more, so many before others are guessed,"""
BY_EFFORT = BY_DISTANCE = 45
"""of which so many because they ask for least, and because they are nearest, in pairs with the other end's;"""
OF_A_KIND = 10
"""of each kind of change no more than that in either list;"""
OF_A_SPREAD, SPREAD_SHARE = 70, 4
"""so many from all over the grid, as unlike as can be, out of the nearest quarter: what lands best need not be near
the goals at rest. The rest are the nearest of every other kind."""
PAIRED = 300
"""Builds of an end that are paired to find them."""


class Lane(NamedTuple):
    """One corner to be moved: its oil temperature, wheel travel at rest and friction's band there, m."""

    corner: Corner
    temperature_c: float
    rest: tuple[float, float]


class Batch(NamedTuple):
    """Corners to be moved together; may be handed to another process."""

    lanes: tuple[Lane, ...]
    runs: Runs


def moved(batch: Batch) -> Table:
    """Figures of a batch, a column each; not-a-number where a corner cannot be moved or the use does not ask."""
    lanes, runs = batch
    both = [ready_both(lane.corner, lane.temperature_c, lane.rest) for lane in lanes]
    falling, resting = ([quick(pair and pair[i]) for pair in both] for i in (0, 1))
    seen = together.moved(
        falling, resting, [None] * len(lanes), np.zeros(len(lanes)), Asked(*runs, KERB_LONG_M, 0.0)
    )
    return {
        "least_clearance_mm": 1e3 * seen.fallen.clearance,
        "bounce_height_mm": 1e3 * seen.fallen.bounce + 0.0,
        "peak_shock_n": seen.fallen.force,
        "tyre_load_variation": seen.driven.variation,
        "contact_share": seen.driven.contact,
    }


def in_motion(
    ends: list[End], rows: list[Places], runs: Runs, temperature_c: float, work: tuple[Helpers, int, int]
) -> list[Table]:
    """Some rows of the ends' tables with the figures of their landing and bumps; of an empty table none.

    `work`: who does it, and how many chunks of other work come before and after.

    Raises
    ------
    Cancelled : the caller's progress said so.
    """
    tables = [picked(end.table, chosen) for end, chosen in zip(ends, rows, strict=True)]
    lanes = tuple(
        _lane(end, table, row, temperature_c)
        for end, table in zip(ends, tables, strict=True)
        for row in range(table["preload"].size if table else 0)
    )
    (columns,) = worked(moved, [Batch(lanes, runs)], *work)
    starts = np.cumsum([0, *(table["preload"].size if table else 0 for table in tables)])
    for table, first, beyond in zip(tables, starts, starts[1:], strict=False):
        if table:
            table.update({name: column[first:beyond] for name, column in columns.items()})
    return tables


def _lane(end: End, table: Table, row: int, temperature_c: float) -> Lane:
    """A row as a corner to be moved."""
    corner = built_corner(end.space.corner, make_build(end, row, of=table))
    band = float(table["drag_band"][row])
    rest = -1e-3 * float(table["height_error_mm"][row]), (band if np.isfinite(band) else 0.0)
    return Lane(corner, temperature_c, rest)


def unresolved(standing: Table, table: Table, aims: dict[str, Aim]) -> list[str]:
    """Goals of landing and bumps of which the end as it stands, or most of its builds, have no figure."""
    found = []
    for name in aims:
        own = bool(np.all(standing["faults"] == 0) and not np.all(np.isfinite(standing[name])))
        most = bool(table) and float(np.mean(np.isfinite(table[name]))) < 0.5
        if own or most:
            found.append(name)
    return found


def aimed(end: End, table: Table, aims: dict[str, Aim]) -> End:
    """The end with moved builds alone, and the goals that landing and bumps have."""
    if table:
        far, within = table["distance"], table["meets"]
        for name, aim in aims.items():
            term = aim.term(table[name])
            far, within = far + term, within & (term <= 1.0)
        table = {**table, "distance": np.where(np.isfinite(far), far, np.inf), "meets": within}
    return end._replace(table=table, aims={**end.aims, **aims})


def with_samples(ends: list[End]) -> list[End]:
    """Ends whose tables hold builds from all over their grids too."""
    return [end._replace(table=merged(end.table, end.found.sample)) for end in ends]


def shortlist(pairs: BothEnds) -> tuple[Places, Places]:
    """Rows of both ends' tables that are worth moving: all where they are few."""
    lists = _asking_least(pairs), nearest(pairs, PAIRED)
    chosen = []
    for place, end in enumerate(pairs.ends):
        count = end.table["distance"].size if end.table else 0
        if count <= FEW:
            chosen.append(np.arange(count))
            continue
        kind, rows = end.table["kind"], dict.fromkeys(best_of_kinds(end.table, OF_A_KIND, 1))
        for order, most in zip(lists, (BY_EFFORT, BY_DISTANCE), strict=True):
            rows.update(dict.fromkeys(capped(order[place], kind, OF_A_KIND)[:most].tolist()))
        rows.update(dict.fromkeys(_spread(end)))
        rows.update(dict.fromkeys(best_of_kinds(end.table, OF_A_KIND, MOVED_PER_END)))
        chosen.append(np.sort(np.array(list(rows)[:MOVED_PER_END], dtype=int)))
    return chosen[0], chosen[1]


def _asking_least(pairs: BothEnds) -> tuple[Places, Places]:
    """Builds of both ends in order of what the best pair with each asks for, of pairs that meet every goal."""
    i, j = (meeting(end)[:PAIRED] for end in pairs.ends)
    if not (i.size and j.size):
        return i, j
    efforts = np.where(pairs.meeting(i, j), pairs.efforts(i, j), np.inf)
    far = pairs.distances(i, j)
    orders = []
    for axis, rows in ((1, i), (0, j)):
        least = np.min(efforts, axis=axis)
        best = np.min(np.where(efforts == np.expand_dims(least, axis), far, np.inf), axis=axis)
        orders.append(rows[np.lexsort((best, least))])
    return orders[0], orders[1]


def _spread(end: End) -> list[int]:
    """Builds from all over the grid, as far apart as can be in what decides how they move, of the nearer ones."""
    if not end.found.sample:
        return []
    sampled = np.flatnonzero(np.isin(end.table["number"], end.found.sample["number"]))
    near = sampled[np.argsort(end.table["distance"][sampled], kind="stable")]
    near = near[: max(1, near.size // SPREAD_SHARE)]
    x = deciding(end.space, picked(end.table, near))
    x = x / (np.std(x, axis=0) + TINY)
    chosen, apart = [0], np.full(near.size, np.inf)
    while len(chosen) < min(OF_A_SPREAD, near.size):
        apart = np.minimum(apart, np.sum((x - x[chosen[-1]]) ** 2, axis=1))
        chosen.append(int(np.argmax(apart)))
    return [int(row) for row in near[chosen]]
