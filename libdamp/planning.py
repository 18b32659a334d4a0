"""Choose from the parts box, in its static form: springs x preload steps x oils x pistons x limiters.

For each end the whole grid is worked out; rejected builds are counted by reason; the rest is ranked by its
distance to the goals, equally good builds are grouped, and both ends are chosen together.
"""

from typing import Annotated

import msgspec
import numpy as np

from .answers import Answer, calculation
from .builds import GROUPS, Build, End, EndPlan, as_it_stands, end_of, end_plan, equally_good, make_build
from .car import Box, Car, Goals, Size, Use
from .errors import Fault, InputError
from .findings import Finding, finding
from .goals import Aim, GoalTerm, between_aims, complete_without_surface, end_aims, terms, total
from .grid import grid, parts_of, same_piston
from .physics.numbers import Array, Mask, Places
from .quantities import Q
from .wording import verdict

BEST_PER_END = 300
MOST_PER_END = 2400
MOST_MEETING = 1500
"""Builds of each end that are paired: at first, at most when those do not settle the best pair, and of those
that meet every goal."""


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


class Plan(Answer, frozen=True, kw_only=True):
    """The choice: row 0 the car as it stands, row 1 the proposal, then the nearest to the goals; and each end.

    The proposal changes the fewest parts with which every goal is met within its tolerance, each end with the
    preload that is nearest to its own goals; where none does, it is the nearest to the goals.
    """

    verdict_front: str
    verdict_rear: str
    builds: tuple[CarBuild, ...]
    front: EndPlan
    rear: EndPlan


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


def _shared_piston(front: End, rear: End) -> Mask:
    """Which front and rear pistons are one kind of which there are not enough for both ends; by place."""
    parts = front.grid.parts
    in_hand = [
        number + (2.0 if same_piston(piston, rear.corner.shock.piston) else 0.0)
        for piston, number in zip(parts.pistons, parts.piston_counts, strict=True)
    ]
    return np.array(
        [
            [same_piston(a, b) and number < 4.0 for b in rear.grid.parts.pistons]
            for a, number in zip(parts.pistons, in_hand, strict=True)
        ]
    )


def _between_terms(front: End, rear: End, i: Places, j: Places, between: dict[str, Aim]) -> tuple[Array, Array]:
    """Terms between the ends of every pair of some builds; infinite where pistons do not suffice for both."""
    made = []
    for name, quantity in (("frequency_ratio", "frequency_hz"), ("damping_ratio_ratio", "damping_ratio")):
        ratio = front.values[quantity][i][:, np.newaxis] / rear.values[quantity][j][np.newaxis, :]
        made.append(between[name].term(ratio))
    pistons = [np.unravel_index(k, e.grid.shape)[4] for e, k in ((front, i), (rear, j))]
    taken = _shared_piston(front, rear)[np.ix_(pistons[0], pistons[1])]
    return np.where(taken, np.inf, made[0]), made[1]


def _distances(front: End, rear: End, i: Places, j: Places, between: dict[str, Aim]) -> Array:
    """Distance of every pair of some front and some rear builds."""
    ends = front.distance[i][:, np.newaxis] + rear.distance[j][np.newaxis, :]
    first, second = _between_terms(front, rear, i, j, between)
    return np.asarray(ends + first + second)


def fewest_changes(front: End, rear: End, between: dict[str, Aim]) -> CarBuild | None:
    """The car that meets every goal within its tolerance with the fewest parts changed, then the nearest."""
    orders = []
    for end in (front, rear):
        good = np.flatnonzero(end.meets)
        orders.append(good[np.lexsort((end.distance[good], end.changes[good]))][:MOST_MEETING])
    i, j = orders
    if not (i.size and j.size):
        return None
    first, second = _between_terms(front, rear, i, j, between)
    good_pairs = (first <= 1.0) & (second <= 1.0)
    if not good_pairs.any():
        return None
    changes = front.changes[i][:, np.newaxis] + rear.changes[j][np.newaxis, :]
    fewest = good_pairs & (changes == np.min(changes[good_pairs]))
    far = front.distance[i][:, np.newaxis] + rear.distance[j][np.newaxis, :] + first + second
    a, b = np.unravel_index(int(np.argmin(np.where(fewest, far, np.inf))), far.shape)
    builds = make_build(front, int(i[a])), make_build(rear, int(j[b]))
    return car_build(*builds, between, int(np.sum(fewest)))


def _candidates(front: End, rear: End, between: dict[str, Aim]) -> tuple[Places, Places, Array]:
    """Builds of both ends among which the best pair surely is, and the pairs' distances."""
    orders = []
    for end in (front, rear):
        legal = np.flatnonzero(end.legal)
        orders.append(legal[np.argsort(end.distance[legal], kind="stable")])
    most = BEST_PER_END
    while True:
        i, j = (order[:most] for order in orders)
        pairs = _distances(front, rear, i, j, between)
        best = float(np.min(pairs))
        # whatever is left out is at least as far as its own end's next build plus the other end's best
        f, r = (end.distance[order] for end, order in zip((front, rear), orders, strict=True))
        next_f = f[most] + r[0] if f.size > most else np.inf
        next_r = r[most] + f[0] if r.size > most else np.inf
        if best <= min(next_f, next_r) or most >= MOST_PER_END:
            return i, j, pairs
        most *= 2


def ranked_cars(front: End, rear: End, between: dict[str, Aim]) -> list[CarBuild]:
    """Best cars, one of each group of equally good ones: the one that changes least."""
    if not (front.legal.any() and rear.legal.any()):
        return []
    i, j, pairs = _candidates(front, rear, between)
    changes = front.changes[i][:, np.newaxis] + rear.changes[j][np.newaxis, :]
    found: list[CarBuild] = []
    open_pairs = np.isfinite(pairs)
    while open_pairs.any() and len(found) < GROUPS:
        left = np.where(open_pairs, pairs, np.inf)
        a, b = np.unravel_index(int(np.argmin(left)), pairs.shape)
        nearest = float(pairs[a, b])
        same = np.outer(equally_good(front, int(i[a]), i), equally_good(rear, int(j[b]), j)) & open_pairs
        fewest = same & (changes == np.min(changes[same]))
        a, b = np.unravel_index(int(np.argmin(np.where(fewest, pairs, np.inf))), pairs.shape)
        builds = make_build(front, int(i[a])), make_build(rear, int(j[b]))
        found.append(car_build(*builds, between, int(np.sum(same)), nearest))
        open_pairs &= ~same
    return found


def short_findings(box: Box) -> list[Finding]:
    """Parts of the box of which there are fewer than an end needs."""
    found = []
    for kind in ("front_springs", "rear_springs", "pistons"):
        word = kind.replace("_", " ").removesuffix("s")
        for i, part in enumerate(getattr(box, kind)):
            if part.count is not None and part.count < 2:
                name = f"{word} number {i + 1} in the box"
                found.append(finding("parts_short", f"/box/{kind}/{i}", float(part.count), 2.0, name=name))
    return found


def plan_findings(box: Box, front: EndPlan, rear: EndPlan) -> list[Finding]:
    """What the choice did not look at, and where nothing is legal."""
    found = []
    if box.blanks is not None and box.drills_mm:
        found.append(finding("not_searched", "/box/blanks", name="Blanks to drill"))
    if box.mix_oils and len(box.oils) > 1:
        found.append(finding("not_searched", "/box/mix_oils", name="Mixtures of two oils"))
    for kind in ("front_springs", "rear_springs", "pistons"):
        for i, part in enumerate(getattr(box, kind)):
            if part.count is not None and part.count < 2:
                word = kind.replace("_", " ").removesuffix("s")
                found.append(
                    finding(
                        "parts_short", f"/box/{kind}/{i}", float(part.count), 2.0, name=f"{word} number {i + 1}"
                    )
                )
    for end, rows in (("front", front), ("rear", rear)):
        if not rows.legal:
            found.append(finding("nothing_legal", f"/car/{end}", float(rows.considered), 1.0))
    return found


@calculation("springs_fly", "hot_shock", "droop", "oil_spill", "battery")
def plan(
    *, car: Car, use: Use, box: Box | None = None, goals: Goals | None = None, size: Size | None = None
) -> Plan:
    """Choose spring, preload, oil, piston and limiter for both ends from the parts in hand.

    Parameters
    ----------
    car : the car as it stands.
    use : where it is driven; its surface sets the default goals.
    box : the parts box; a list left out means what is on the car.
    goals : wanted quantities; each left out takes the surface's default (common practice).
    size : size of the car; from 1:8 up the default frequencies are a tenth lower.

    Raises
    ------
    InputError : a value is impossible, or neither surface nor goals say what to aim at.
    TooCostly : more builds than can be looked at.

    Examples
    --------
    >>> from libdamp.demo import demo_corner, demo_data
    >>> car = Car(front=demo_corner("demo-truck.front"), rear=demo_corner("demo-truck.rear"))
    >>> use = Use(
    ...     surface="loose",
    ...     oil_temperature_c=31,
    ...     bump_height_mm=6,
    ...     bump_spacing_mm=250,
    ...     speed_m_s=6,
    ...     jump="small",
    ... )
    >>> plan(car=car, use=use).verdict_front
    'front: leave it'
    """
    box, goals = box or Box(), goals or Goals()
    if use.surface is None and not complete_without_surface(goals):
        text = "surface is missing: name it in use, or give goals for both ends (frequency_hz, damping_ratio)"
        raise InputError([Fault(pointer="/use/surface", rule="incomplete", text=text)])
    between = between_aims(goals)
    ends, rows, standing = [], [], []
    for end in ("front", "rear"):
        corner, aims = getattr(car, end), end_aims(goals, end, use.surface, size)
        parts = parts_of(corner, box, end)
        now = as_it_stands(corner, box, use.oil_temperature_c, aims)
        whole = end_of(corner, grid(corner, parts, box, use.oil_temperature_c), aims, now)
        ends.append(whole)
        rows.append(end_plan(whole, now))
        standing.append(make_build(now, 0))
    cars = ranked_cars(ends[0], ends[1], between)
    proposal = fewest_changes(ends[0], ends[1], between)
    if proposal is not None:
        cars = [proposal, *cars]
    elif not cars:
        cars = [car_build(rows[0].builds[1], rows[1].builds[1], between)]
    return Plan(
        findings=tuple(plan_findings(box, *rows)),
        verdict_front=verdict("front", cars[0].front, standing[0], rows[0]),
        verdict_rear=verdict("rear", cars[0].rear, standing[1], rows[1]),
        builds=(car_build(standing[0], standing[1], between), *cars),
        front=rows[0],
        rear=rows[1],
    )
