"""Which builds are likely the best in motion, guessed from those that were moved already.

The guess only chooses what is moved next: no answer holds one.
"""

import numpy as np

from .builds import End
from .goals import Aim
from .grid import Space
from .guessing import OF_STANCE, Guesses, guesses, of_dampers
from .moving import STANDARD
from .physics.numbers import G_N, Array, Places
from .pairing import BothEnds, nearest
from .searching import Table, picked

MORE_PER_END, OF_A_KIND = 60, 15
"""Builds of an end that are moved for one guess, of each kind of change no more than that."""
PAIRED = 600
"""Builds of an end that are paired to find them."""
WEIGHTS = 5.0
"""So many times the body's weight the suspension holds against it as it comes to the ground, roughly."""


def guessed(space: Space, moved: Table, aims: dict[str, Aim]) -> Guesses | None:
    """Guesses of an end's goals of motion, from its moved builds; None where nothing tells."""
    if not (aims and moved):
        return None
    weight = space.corner.sprung_mass_g * 1e-3 * G_N
    give = 1e-3 * STANDARD.ground_rate / (2.0 * WEIGHTS * weight)  # energy of the ground, so much force of the shock
    return guesses(deciding(space, moved), moved, aims, {"least_clearance_mm": give})


def deciding(space: Space, table: Table) -> Array:
    """What decides how some builds move, by (build, x)."""
    ways = table["damping_ratio_compression"], table["damping_ratio_rebound"]
    stances = [table[name] for name in OF_STANCE] + [space.closings[table["closing"].astype(int)]]
    x = np.column_stack([of_dampers(*ways, space.open_shares[:, table["piston"].astype(int)]), *stances])
    return np.nan_to_num(x, nan=0.0, posinf=0.0, neginf=0.0)


def reranked(space: Space, table: Table, told: Guesses | None) -> Table:
    """Builds in the order of other guesses; as they were without."""
    if told is None or not table:
        return table
    rank = table["distance"] + told.of_rows(deciding(space, table))
    order = np.argsort(rank, kind="stable")
    return picked({**table, "rank": rank}, order)


def likely(ends: tuple[End, End], found: list[Table], done: list[Table], between: dict[str, Aim]) -> list[Places]:
    """Rows of tables of likely builds that are worth moving and not done yet, of both ends.

    They are the nearest in pairs with the other end's, as far as is guessed.
    """
    front, rear = (
        end._replace(table={**table, "distance": table["rank"]} if table else table)
        for end, table in zip(ends, found, strict=True)
    )
    chosen = []
    for order, table, known in zip(nearest(BothEnds(front, rear, between), PAIRED), found, done, strict=True):
        new = order[~np.isin(table["number"][order], known["number"])] if table else order
        chosen.append(np.sort(capped(new, table["kind"], OF_A_KIND)[:MORE_PER_END]) if table else new)
    return chosen


def capped(order: Places, kind: Array, most: int) -> Places:
    """Rows in an order, of each kind no more than so many."""
    kinds = kind[order]
    by_kind = np.argsort(kinds, kind="stable")
    first = np.searchsorted(kinds[by_kind], kinds[by_kind])
    place = np.empty(order.size, dtype=int)
    place[by_kind] = np.arange(order.size) - first
    return np.asarray(order[place < most])
