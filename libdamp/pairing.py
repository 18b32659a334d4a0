"""Both ends together: builds in pairs, parts shared, balance, the fewest changes, groups of equals."""

from typing import Annotated

import msgspec
import numpy as np

from .builds import GROUPS, Build, End, equally_good, hardly, make_build
from .goals import Aim, GoalTerm, terms, total
from .in_hand import same_piston
from .physics.numbers import Array, Mask, Places
from .quantities import Q
from .searching import DRILLED, MIXED

BEST_PER_END = 300
MOST_PER_END = 1200
MOST_MEETING = 1500
"""Builds of each end that are paired: at first, at most when those do not settle the best pair, and of those
that meet every goal."""

ROUND_OFF = 1e-6
"""Distances, and limiters in m, that differ by no more are the same."""


class CarBuild(msgspec.Struct, frozen=True, kw_only=True):
    """Both ends together."""

    front: Build
    rear: Build
    changed: tuple[str, ...]
    set_anew: tuple[str, ...]
    frequency_ratio: Annotated[float, Q("frequency_ratio")] | None
    damping_ratio_ratio: Annotated[float, Q("damping_ratio_ratio")] | None
    distance: Annotated[float, Q("distance")] | None
    terms: tuple[GoalTerm, ...]
    equally_good: Annotated[int, Q("builds")]
    best_of_equals: Annotated[float, Q("distance")] | None
    meets_goals: bool


def car_build(
    front: Build, rear: Build, between: dict[str, Aim], group: int = 1, best: float | None = None
) -> CarBuild:
    """Both ends together, with the terms between them."""

    def mean(build: Build) -> float | None:
        both = (build.damping_ratio_compression, build.damping_ratio_rebound)
        return None if both[0] is None or both[1] is None else 0.5 * (both[0] + both[1])

    def over(a: float | None, b: float | None) -> float | None:
        return None if a is None or b is None or b == 0.0 else a / b

    values = {
        "frequency_ratio": over(front.frequency_hz, rear.frequency_hz),
        "damping_ratio_ratio": over(mean(front), mean(rear)),
    }
    parted = terms(between, {name: values[name] for name in between})
    every = (front.distance, rear.distance, total(parted))
    far = None if None in every else sum(d for d in every if d is not None)
    single = [t.term for t in (*front.terms, *rear.terms, *parted)]
    legal = not front.rejected_for and not rear.rejected_for
    return CarBuild(
        front=front,
        rear=rear,
        changed=tuple(f"{end} {part}" for end, b in (("front", front), ("rear", rear)) for part in b.changed),
        set_anew=tuple(f"{end} preload" for end, b in (("front", front), ("rear", rear)) if b.set_anew),
        frequency_ratio=values["frequency_ratio"],
        damping_ratio_ratio=values["damping_ratio_ratio"],
        distance=far,
        terms=parted,
        equally_good=group,
        best_of_equals=far if best is None else best,
        meets_goals=legal and all(t is not None and t <= 1.0 for t in single),
    )


def _taken(front: End, rear: End) -> Mask:
    """Which front and rear pistons together need more of one kind, or more blanks, than there are; by place."""
    parts, fitted = front.parts, rear.space.corner.shock.piston
    rows = []
    for a, number, drill in zip(parts.pistons, parts.piston_counts, parts.drills, strict=True):
        if drill is not None:
            rows.append([other is not None and number < 4.0 for other in rear.parts.drills])
            continue
        in_hand = number + (2.0 if same_piston(a, fitted) else 0.0)
        made = zip(rear.parts.pistons, rear.parts.drills, rear.parts.piston_counts, strict=True)
        short = in_hand < 4.0
        rows.append([short and other is None and of < np.inf and same_piston(a, b) for b, other, of in made])
    return np.array(rows)


def piston_lack(front: End, rear: End) -> tuple[str, float] | None:
    """What both ends' nearest builds share though there are too few of it, and how many; None where they do not."""
    if not (front.table and rear.table):
        return None
    i, j = (int(end.table["piston"][np.argmin(end.table["distance"])]) for end in (front, rear))
    if not _taken(front, rear)[i, j]:
        return None
    drilled = front.parts.drills[i] is not None
    in_hand = front.parts.piston_counts[i]
    if not drilled and same_piston(front.parts.pistons[i], rear.space.corner.shock.piston):
        in_hand += 2.0
    return "blanks" if drilled else "pistons alike", float(in_hand)


class BothEnds:
    """Front and rear builds in pairs: what counts between the ends."""

    def __init__(self, front: End, rear: End, between: dict[str, Aim]) -> None:
        self.ends = front, rear
        self.between = between
        self.taken = _taken(front, rear)

    def terms(self, i: Places, j: Places) -> tuple[Array, Array]:
        """Terms between the ends of every pair of some builds; infinite where pistons do not suffice for both."""
        front, rear = (end.table for end in self.ends)
        made = []
        for name, quantity in (("frequency_ratio", "frequency_hz"), ("damping_ratio_ratio", "damping_ratio")):
            ratio = front[quantity][i][:, np.newaxis] / rear[quantity][j][np.newaxis, :]
            made.append(self.between[name].term(ratio))
        taken = self.taken[np.ix_(front["piston"][i], rear["piston"][j])]
        return np.where(taken, np.inf, made[0]), made[1]

    def distances(self, i: Places, j: Places) -> Array:
        """Distance of every pair of some front and some rear builds."""
        front, rear = (end.table["distance"] for end in self.ends)
        first, second = self.terms(i, j)
        return np.asarray(front[i][:, np.newaxis] + rear[j][np.newaxis, :] + first + second)

    def first(self, i: Places, j: Places, far: Array, allowed: Mask) -> tuple[int, int]:
        """Row and column of the nearest of some pairs; of those as near but for round-off limiters move least."""
        front, rear = (
            end.space.limiters[end.table["limiter"][rows]] for end, rows in zip(self.ends, (i, j), strict=True)
        )
        fitted = [end.space.corner.shock.limiter_mm * 1e-3 for end in self.ends]
        moves = np.abs(front - fitted[0])[:, np.newaxis] + np.abs(rear - fitted[1])
        near = allowed & (far <= np.min(far[allowed]) + ROUND_OFF)
        return _lowest(np.where(near & (moves <= np.min(moves[near]) + ROUND_OFF), far, np.inf))

    def meeting(self, i: Places, j: Places) -> Mask:
        """Which pairs meet the goals between the ends."""
        first, second = self.terms(i, j)
        return np.asarray((first <= 1.0) & (second <= 1.0))

    def efforts(self, i: Places, j: Places) -> Array:
        """What every pair asks for."""
        front, rear = (end.table["effort"] for end in self.ends)
        return np.asarray(front[i][:, np.newaxis] + rear[j][np.newaxis, :])

    def car(self, i: int, j: int, group: int = 1, best: float | None = None) -> CarBuild:
        """The car of a pair."""
        front, rear = self.ends
        return car_build(make_build(front, i), make_build(rear, j), self.between, group, best)


def meeting(end: End) -> Places:
    """Builds that meet every goal of their end, those that ask for least first."""
    if not end.table:
        return np.zeros(0, dtype=int)
    good = np.flatnonzero(end.table["meets"])
    return good[np.lexsort((end.table["distance"][good], end.table["effort"][good]))][:MOST_MEETING]


def nearest(pairs: BothEnds, most: int) -> tuple[Places, Places]:
    """Builds of both ends in order of the distance of the best pair with each, of so many nearest ones."""
    if not all(end.table for end in pairs.ends):
        front, rear = (np.arange(end.table["distance"].size if end.table else 0) for end in pairs.ends)
        return front, rear
    i, j = (np.argsort(end.table["distance"], kind="stable")[:most] for end in pairs.ends)
    far = pairs.distances(i, j)
    return i[np.argsort(np.min(far, axis=1), kind="stable")], j[np.argsort(np.min(far, axis=0), kind="stable")]


def fewest_changes(pairs: BothEnds) -> CarBuild | None:
    """The car that meets every goal within its tolerance and asks for least, then the nearest.

    Where one that asks for less is as good within the error of the answer, that one: a goal missed by a hair is no
    reason to change a part.
    """
    i, j = (meeting(end) for end in pairs.ends)
    if not (i.size and j.size):
        return None
    good = pairs.meeting(i, j)
    if not good.any():
        return None
    efforts = pairs.efforts(i, j)
    fewest = good & (efforts == np.min(efforts[good]))
    a, b = pairs.first(i, j, pairs.distances(i, j), fewest)
    return pairs.car(*_least(pairs, int(i[a]), int(j[b])), int(np.sum(fewest)))


def hardly_further(pairs: BothEnds) -> CarBuild | None:
    """Where the goals cannot be met: of the cars hardly further from them than the nearest, the easiest.

    What is left to gain is no reason to change parts.
    """
    if not all(end.table for end in pairs.ends):
        return None
    i, j, far = candidates(pairs)
    best = float(np.min(far))
    if not np.isfinite(best):
        return None
    near = far <= hardly(best)
    efforts = pairs.efforts(i, j)
    a, b = pairs.first(i, j, far, near & (efforts == np.min(efforts[near])))
    return pairs.car(int(i[a]), int(j[b]), int(np.sum(near)), best)


def _least(pairs: BothEnds, i: int, j: int) -> tuple[int, int]:
    """Of the pairs as good as one, and hardly further, that which asks for least, then the nearest."""
    same = []
    for end, row in zip(pairs.ends, (i, j), strict=True):
        every = np.flatnonzero(np.isfinite(end.table["distance"]))
        same.append(every[equally_good(end, row, every)])
    far, efforts = pairs.distances(*same), pairs.efforts(*same)
    near = far <= hardly(float(pairs.distances(np.array([i]), np.array([j]))[0, 0]))
    if not near.any():
        return i, j
    a, b = pairs.first(same[0], same[1], far, near & (efforts == np.min(efforts[near])))
    return int(same[0][a]), int(same[1][b])


def _lowest(array: Array) -> tuple[int, int]:
    """Row and column of the lowest value."""
    row, column = np.unravel_index(int(np.argmin(array)), array.shape)
    return int(row), int(column)


def candidates(pairs: BothEnds) -> tuple[Places, Places, Array]:
    """Builds of both ends among which the best pair is, and the pairs' distances.

    It surely is where no more than MOST_PER_END builds of an end had to be paired.
    """
    distances = [end.table["distance"] for end in pairs.ends]
    orders = [np.argsort(far, kind="stable") for far in distances]
    f, r = (far[order] for far, order in zip(distances, orders, strict=True))
    most = BEST_PER_END
    while True:
        i, j = (order[:most] for order in orders)
        made = pairs.distances(i, j)
        best = float(np.min(made))
        # whatever is left out is at least as far as its own end's next build plus the other end's best
        next_f = f[most] + r[0] if f.size > most else np.inf
        next_r = r[most] + f[0] if r.size > most else np.inf
        if best <= min(next_f, next_r) or most >= MOST_PER_END:
            return i, j, made
        most *= 2


def ranked_cars(pairs: BothEnds) -> list[CarBuild]:
    """Best cars, one of each group of equally good ones: of those hardly further the one that asks for least.

    At the end, where no such car is among them, the nearest that drills nothing, that mixes nothing either.
    """
    front, rear = pairs.ends
    if not (front.table and rear.table):
        return []
    i, j, far = candidates(pairs)
    efforts = pairs.efforts(i, j)
    found: list[CarBuild] = []
    asked: list[int] = []

    def taken(allowed: Mask) -> Mask:
        a, b = _lowest(np.where(allowed, far, np.inf))
        nearest = float(far[a, b])
        same = np.outer(equally_good(front, int(i[a]), i), equally_good(rear, int(j[b]), j)) & allowed
        near = same & (far <= hardly(nearest))
        a, b = pairs.first(i, j, far, near & (efforts == np.min(efforts[near])))
        found.append(pairs.car(int(i[a]), int(j[b]), int(np.sum(same)), nearest))
        asked.append(int(efforts[a, b]))
        return same

    whole = np.isfinite(far)
    open_pairs = whole.copy()
    while open_pairs.any() and len(found) < GROUPS:
        open_pairs &= ~taken(open_pairs)
    for most in (DRILLED, MIXED):
        easy = whole & (efforts < most)
        if easy.any() and min(asked) >= most:
            taken(easy)
    return found
