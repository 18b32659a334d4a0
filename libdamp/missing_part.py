"""The one part that is not in the box and would help the car most: a spring, an oil or a piston, and by how much.

A spring is bought for one end, an oil or pistons for one or both. With each the best pair of builds is looked for,
as it is with the box alone; where the use has a landing or bumps the likeliest builds are moved.
"""

from collections.abc import Iterator
from typing import Annotated, Literal, NamedTuple

import msgspec
import numpy as np

from .builds import End, equally_good, hardly
from .car import Box
from .errors import TooCostly
from .findings import shown
from .grid import space
from .guessing import Guesses
from .in_hand import Parts
from .likely import by_rank, capped
from .pairing import BothEnds, CarBuild, candidates, nearest
from .parts import Oil, Piston, Spring
from .physics.numbers import Array, Places
from .quantities import Q
from .searching import chunks, kept_of, thinned
from .tables import joined, picked
from .to_buy import PARTS, PartName, bought, called

FOR_BOTH: tuple[PartName, ...] = ("oil", "piston")
ENDS: tuple[Literal["front"], Literal["rear"]] = ("front", "rear")
IN_PLAY = 20
"""So many of the nearest builds tell which mixtures, drilled pistons and closing positions go with bought parts."""
MOVED, OF_A_PART = 24, 4
"""Builds of an end that are moved with each kind of part, of one part no more than that."""
PAIRED, PAIRED_OF_ONE = 600, 60
"""Builds of an end that are paired to find them; of one part for both ends."""


class MissingPart(msgspec.Struct, frozen=True, kw_only=True):
    """A part that is not in hand, for which end, and the distance of the best car with it.

    `car`: of the cars with it that are hardly further, that which asks for least. `lowers_by` is null where no car
    without fault is possible without the part. Where neither end has a build without fault, the distance is that of
    the end alone and `car` is null.
    """

    end: Literal["front", "rear", "both"]
    part: PartName
    spring: Spring | None = None
    oil: Oil | None = None
    piston: Piston | None = None
    distance: Annotated[float, Q("distance")]
    lowers_by: Annotated[float, Q("distance")] | None
    car: CarBuild | None
    text: str


Stock = dict[PartName, End]
"""One end with each kind of part bought."""


class Offer(NamedTuple):
    """A part to buy: for which ends, the pairs with it, the rows of the best and its distance."""

    part: PartName
    sides: tuple[int, ...]
    pairs: BothEnds
    rows: tuple[int, int]
    distance: float


def missing_part(pairs: BothEnds, bought: list[list[Stock]]) -> MissingPart | None:
    """The part with which the best car is nearest to its goals; None where none helps by more than the error.

    Of those that are hardly further than the best the easiest to fit: oil before springs before pistons.
    `bought`: both ends with bought parts, one or more times.
    """
    offers = [offer for stocks in bought for offer in _offers(pairs, stocks)]
    best = min((offer.distance for offer in offers), default=np.inf)
    if not np.isfinite(best):
        return None
    rows, now = best_pair(pairs)
    near = sorted((offer for offer in offers if offer.distance <= hardly(best)), key=_ease)
    return next((_told(offer, now) for offer in near if _worth_it(offer, pairs, rows, now)), None)


def _ease(offer: Offer) -> tuple[int, int, float]:
    """What is easier to fit comes first, then for one end, then nearer to the goals."""
    return PARTS.index(offer.part), len(offer.sides), offer.distance


def in_play(pairs: BothEnds, side: int) -> Parts:
    """An end's parts in hand; of mixtures, drilled pistons and closing positions those of the nearest builds."""
    end = pairs.ends[side]
    parts = end.parts
    used = picked(end.table, nearest(pairs, PAIRED)[side][:IN_PLAY])
    oils, pistons, closings = (set(used[name].tolist() if used else ()) for name in ("oil", "piston", "closing"))
    oil = [k for k, mix in enumerate(parts.mixes) if mix is None or k in oils]
    piston = [k for k, drill in enumerate(parts.drills) if drill is None or k in pistons]
    now = end.space.corner.shock.fill.closing_insertion_mm
    return parts._replace(
        closings_mm=tuple(x for k, x in enumerate(parts.closings_mm) if k in closings or x == now),
        oils=tuple(parts.oils[k] for k in oil),
        mixes=tuple(parts.mixes[k] for k in oil),
        pistons=tuple(parts.pistons[k] for k in piston),
        piston_counts=tuple(parts.piston_counts[k] for k in piston),
        drills=tuple(parts.drills[k] for k in piston),
        wall_lacks_mm=tuple(parts.wall_lacks_mm[k] for k in piston),
    )


def stock(end: End, parts: Parts, told: Guesses | None, most: float, box: Box) -> Stock:
    """An end with each kind of part bought: its nearest builds at rest, with guesses those that likely are.

    Tried are springs as long as the fitted one, oils of its family and pistons of its size, with the other parts. A
    kind with which there were more than MOST_BUILDS is left out, and builds further than `most` at rest.
    """
    found: Stock = {}
    for part in PARTS:
        own = bought(parts, end.space.corner, part)
        try:
            s = space(end.space.corner, own, box, end.space.temperature_c, end.space.aims)
        except TooCostly:
            continue
        table = thinned(joined([kept_of(chunk._replace(guesses=told, most=most)) for chunk in chunks(s)]))
        if table:
            found[part] = end._replace(space=s, parts=own, table=table)
    return found


def least(pairs: BothEnds, stocks: list[Stock]) -> float:
    """Distance of the best car with a bought part; infinite where there is none."""
    return min((offer.distance for offer in _offers(pairs, stocks)), default=np.inf)


def ranked(stocked: Stock) -> Stock:
    """An end with bought parts, with the distances that its builds likely have."""
    return {part: by_rank(end) for part, end in stocked.items()}


def fresh(stocked: Stock, known: Stock) -> Stock:
    """What of some builds is not known yet; both of the same parts."""
    new = {}
    for part, end in stocked.items():
        rows = ~np.isin(end.table["number"], known[part].table["number"] if part in known else [])
        if rows.any():
            new[part] = end._replace(table=picked(end.table, rows))
    return new


class Move(NamedTuple):
    """Builds of an end with a kind of bought part that are worth moving."""

    side: int
    part: PartName
    end: End
    rows: Places


def worth_moving(pairs: BothEnds, stocks: list[Stock], of_a_part: int) -> list[Move]:
    """Builds with bought parts that likely are the nearest in pairs, of each part no more than so many."""
    likely = [ranked(own) for own in stocks]
    rows: dict[tuple[int, PartName], set[int]] = {}
    for side in (0, 1):
        for part, end in likely[side].items():
            order = nearest(_with(pairs, side, end), PAIRED)[side]
            rows[side, part] = set(capped(order, end.table[part], of_a_part)[:MOVED].tolist())
    for part, made in _for_both(pairs, likely):
        found = [_nearest_of(made, *of) for of in _with_one(part, made)]
        for i, j, far in sorted(found, key=lambda one: np.min(one[2]))[: MOVED // of_a_part]:
            rows[0, part].update(i[np.argsort(np.min(far, axis=1), kind="stable")][:of_a_part].tolist())
            rows[1, part].update(j[np.argsort(np.min(far, axis=0), kind="stable")][:of_a_part].tolist())
    return [Move(*of, stocks[of[0]][of[1]], np.array(sorted(own), dtype=int)) for of, own in rows.items()]


def _with(pairs: BothEnds, side: int, end: End) -> BothEnds:
    """The pairs with another end in place of one."""
    front, rear = pairs.ends
    return BothEnds(end, rear, pairs.between) if side == 0 else BothEnds(front, end, pairs.between)


def best_pair(pairs: BothEnds) -> tuple[tuple[int, int], float]:
    """Rows of the nearest pair and its distance; infinite where there is none."""
    if all(end.table for end in pairs.ends):
        i, j, far = candidates(pairs)
        if np.isfinite(far).any():
            a, b = pairs.first(i, j, far, np.isfinite(far))
            return (int(i[a]), int(j[b])), float(far[a, b])
    return (0, 0), np.inf


def _offers(pairs: BothEnds, stocks: list[Stock]) -> Iterator[Offer]:
    """Every part that may be bought, with the best pair it makes."""
    yield from _offers_for_one(pairs, stocks)
    yield from _offers_for_both(pairs, stocks)


def _offers_for_one(pairs: BothEnds, stocks: list[Stock]) -> Iterator[Offer]:
    """The best of each kind of part, bought for one end.

    Where neither end has a build without fault, the nearest of the end alone; where only this one has, none: no
    part for it makes a car possible.
    """
    for side, stock in enumerate(stocks):
        for part, end in stock.items():
            made = _with(pairs, side, end)
            if pairs.ends[1 - side].table:
                yield Offer(part, (side,), made, *best_pair(made))
            elif not pairs.ends[side].table:
                row = int(np.argmin(end.table["distance"]))
                yield Offer(part, (side,), made, (row, row), float(end.table["distance"][row]))


def _for_both(pairs: BothEnds, stocks: list[Stock]) -> Iterator[tuple[PartName, BothEnds]]:
    """Both ends with each kind of part that one may buy for both."""
    for part in FOR_BOTH:
        if all(part in own for own in stocks):
            yield part, BothEnds(stocks[0][part], stocks[1][part], pairs.between)


def _with_one(part: PartName, pairs: BothEnds) -> Iterator[tuple[Places, Places]]:
    """Rows of both ends with the same bought part, for each."""
    front, rear = pairs.ends
    places = {one: k for k, one in enumerate(getattr(rear.parts, f"{part}s"))}
    for k, one in enumerate(getattr(front.parts, f"{part}s")):
        if one in places:
            rows = np.flatnonzero(front.table[part] == k), np.flatnonzero(rear.table[part] == places[one])
            if rows[0].size and rows[1].size:
                yield rows


def _nearest_of(pairs: BothEnds, i: Places, j: Places) -> tuple[Places, Places, Array]:
    """Of some rows of both ends those nearest to the goals, and their distances in pairs."""
    front, rear = (
        rows[np.argsort(end.table["distance"][rows], kind="stable")][:PAIRED_OF_ONE]
        for end, rows in zip(pairs.ends, (i, j), strict=True)
    )
    return front, rear, pairs.distances(front, rear)


def _offers_for_both(pairs: BothEnds, stocks: list[Stock]) -> Iterator[Offer]:
    """Each part bought for both ends."""
    for part, made in _for_both(pairs, stocks):
        for i, j, far in (_nearest_of(made, *of) for of in _with_one(part, made)):
            a, b = made.first(i, j, far, np.isfinite(far)) if np.isfinite(far).any() else (0, 0)
            yield Offer(part, (0, 1), made, (int(i[a]), int(j[b])), float(far[a, b]))


def _worth_it(offer: Offer, pairs: BothEnds, rows: tuple[int, int], now: float) -> bool:
    """Tell whether the best car with a part betters the best without, by more than the error of the answer."""
    if not np.isfinite(now):
        return True
    same = [_as_good(*of) for of in zip(pairs.ends, rows, offer.pairs.ends, offer.rows, strict=True)]
    return now > hardly(offer.distance) and not all(same)


def _as_good(end: End, row: int, other: End, of_other: int) -> bool:
    """Tell whether a build of one table is as good as one of another."""
    tables = [picked(end.table, slice(row, row + 1)), picked(other.table, slice(of_other, of_other + 1))]
    names = [name for name in tables[0] if name in tables[1]]
    both = joined([{name: table[name] for name in names} for table in tables])
    return bool(equally_good(end._replace(table=both), 0, np.array([1]))[0])


def _easiest(offer: Offer) -> tuple[int, int]:
    """With the part of an offer, of the pairs hardly further than its best that which asks for least."""
    every = [np.arange(end.table["distance"].size) for end in offer.pairs.ends]
    for side in offer.sides:
        column = offer.pairs.ends[side].table[offer.part]
        every[side] = np.flatnonzero(column == column[offer.rows[side]])
    i, j, far = _nearest_of(offer.pairs, every[0], every[1])
    near, efforts = far <= hardly(offer.distance), offer.pairs.efforts(i, j)
    if not near.any():
        return offer.rows
    a, b = offer.pairs.first(i, j, far, near & (efforts == np.min(efforts[near])))
    return int(i[a]), int(j[b])


def _of_easiest(car: CarBuild | None, far: float) -> str:
    """The distance of the car that asks for least, where it is another than the best car's."""
    if car is None or car.distance is None or shown(car.distance) == shown(far):
        return ""
    return f" ({shown(car.distance)} with the fewest other changes)"


def _told(offer: Offer, now: float) -> MissingPart:
    """The part in words and numbers."""
    side, far = offer.sides[0], offer.distance
    end, row = offer.pairs.ends[side], offer.rows[side]
    part = getattr(end.parts, f"{offer.part}s")[int(end.table[offer.part][row])]
    name: Literal["front", "rear", "both"] = "both" if len(offer.sides) > 1 else ENDS[side]
    where = "both ends" if name == "both" else f"the {name}"
    whole = all(one.table for one in offer.pairs.ends)
    car = offer.pairs.car(*_easiest(offer), best=far) if whole else None
    said = f"{shown(far)}{_of_easiest(car, far)}"
    if np.isfinite(now):
        gain = f"the best car's distance to its goals falls from {shown(now)} to {said}"
    elif whole:
        gain = f"a car without fault becomes possible, {said} from its goals"
    else:
        gain = f"that end can be built without fault; the {ENDS[1 - side]} needs a part of its own"
    return MissingPart(
        end=name,
        part=offer.part,
        **{offer.part: part},
        distance=far,
        lowers_by=now - far if np.isfinite(now) else None,
        car=car,
        text=f"for {where}, {called(part, len(offer.sides))}: {gain}",
    )
