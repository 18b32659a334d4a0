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

MORE_PER_END, OF_A_KIND = 120, 40
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
    give = (
        1e-3 * STANDARD.ground_rate / (2.0 * WEIGHTS * weight)
    )  # energy of the ground, so much force of the shock
    far = moved["distance"] + sum(aim.term(moved[name]) for name, aim in aims.items())
    best = float(np.min(far[np.isfinite(far)], initial=np.inf))
    weights = np.where(np.isfinite(far), ((1.0 + best) / (1.0 + far)) ** 2, 0.0)
    return guesses(deciding(space, moved), moved, aims, {"least_clearance_mm": give}, weights)


def deciding(space: Space, table: Table) -> Array:
    """What decides how some builds move, by (build, x)."""
    ways = table["damping_ratio_compression"], table["damping_ratio_rebound"]
    stances = [table[name] for name in OF_STANCE] + [space.closings[table["closing"].astype(int)]]
    x = np.column_stack([of_dampers(*ways, space.open_shares[:, table["piston"].astype(int)]), *stances])
    return np.nan_to_num(x, nan=0.0, posinf=0.0, neginf=0.0)


def likely(pairs: BothEnds, done: list[Table]) -> list[Places]:
    """Rows of tables of likely builds that are worth moving and not done yet, of both ends.

    They are the nearest in pairs with the other end's, as far as is guessed.
    """
    ends = (
        end._replace(table={**end.table, "distance": end.table["rank"]} if end.table else {}) for end in pairs.ends
    )
    orders, chosen = nearest(BothEnds(*ends, pairs.between), PAIRED), []
    for order, end, known in zip(orders, pairs.ends, done, strict=True):
        if end.table:
            new = order[~np.isin(end.table["number"][order], known["number"])]
            order = np.sort(capped(new, end.table["kind"], OF_A_KIND)[:MORE_PER_END])
        chosen.append(order)
    return chosen


def capped(order: Places, kind: Array, most: int) -> Places:
    """Rows in an order, of each kind no more than so many."""
    kinds = kind[order]
    by_kind = np.argsort(kinds, kind="stable")
    first = np.searchsorted(kinds[by_kind], kinds[by_kind])
    place = np.empty(order.size, dtype=int)
    place[by_kind] = np.arange(order.size) - first
    return np.asarray(order[place < most])
