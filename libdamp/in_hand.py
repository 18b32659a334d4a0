"""Parts in hand for one end: what the box holds, what is on the car, what can be mixed and drilled."""

import math
from collections.abc import Callable
from typing import Annotated, Any, NamedTuple

import msgspec

from .car import Blanks, Box, Corner
from .drilling import LARGEST_MM, SMALLEST_MM, least_wall_lack_mm
from .errors import InputError
from .mixtures import Mix, mixtures
from .parts import Holes, Oil, Piston, Shock, Spring
from .quantities import Q
from .typical import CLOSING_SHARES


class Drill(msgspec.Struct, frozen=True, kw_only=True):
    """Holes to drill into a blank."""

    blank: Blanks
    count: Annotated[int, Q("holes.count")]
    drill_mm: Annotated[float, Q("drill_mm")]


SAME_SHARE = 1e-9
"""Numbers that differ by no more than this share are one number in another unit."""
LEAST_HOLES = 2
"""Holes drilled into a blank: one alone would push the shaft to a side; but one where no more are allowed."""


class Parts(NamedTuple):
    """What one end may be built from, each kind once."""

    springs: tuple[Spring, ...]
    limiters_mm: tuple[float, ...]
    closings_mm: tuple[float, ...]  # shaft insertions at which the cap may be closed
    oils: tuple[Oil, ...]
    pistons: tuple[Piston, ...]
    spring_counts: tuple[float, ...]  # in hand, those on this end included; infinite where not said
    piston_counts: tuple[float, ...]  # of a drilled one: how many blanks there are
    mixes: tuple[Mix | None, ...]  # of each oil: what to mix; None for a bottle
    drills: tuple[Drill | None, ...]  # of each piston: what to drill; None for a finished one
    wall_lacks_mm: tuple[float, ...]  # by how much each drill is too large for the walls


def alike(a: Any, b: Any) -> bool:
    """Tell whether two values are the same but for the round-off of another unit."""
    if isinstance(a, float) and isinstance(b, float):
        return math.isclose(a, b, rel_tol=SAME_SHARE, abs_tol=SAME_SHARE)
    if isinstance(a, tuple) and isinstance(b, tuple):
        return len(a) == len(b) and all(map(alike, a, b))
    if isinstance(a, msgspec.Struct) and type(a) is type(b):
        return all(alike(getattr(a, f), getattr(b, f)) for f in a.__struct_fields__)
    return bool(a == b)


def same_spring(a: Spring, b: Spring) -> bool:
    """Tell whether two entries are the same spring: equal rate, lengths equal or not known."""
    lengths = ((a.free_length_mm, b.free_length_mm), (a.block_length_mm, b.block_length_mm))
    return alike(a.rate_n_mm, b.rate_n_mm) and all(None in pair or alike(*pair) for pair in lengths)


def same_oil(a: Oil, b: Oil) -> bool:
    """Tell whether two entries are the same oil."""
    fields = [f for f in Oil.__struct_fields__ if f not in ("label", "density_kg_m3")]
    return all(alike(getattr(a, f), getattr(b, f)) for f in fields)


def same_piston(a: Piston, b: Piston) -> bool:
    """Tell whether two entries are the same piston."""
    fields = [f for f in Piston.__struct_fields__ if f != "label"]
    return all(alike(getattr(a, f), getattr(b, f)) for f in fields)


def parts_of(corner: Corner, box: Box, end: str) -> Parts:
    """Parts for one end: the box, and what is on the car where the box does not hold it; nothing made of them."""
    shock = corner.shock
    springs, spring_counts = _in_hand(getattr(box, f"{end}_springs"), corner.spring, same_spring)
    springs = tuple(_fitted_spring(s, corner.spring) for s in springs)
    oils, _ = _in_hand(_bottles(box), shock.oil, same_oil)
    pistons, piston_counts = _in_hand(box.pistons, shock.piston, same_piston)
    others = (x for x in dict.fromkeys(box.limiters_mm) if not alike(x, shock.limiter_mm))
    limiters = tuple(x for x in (*others, shock.limiter_mm) if x < shock.stroke_mm)
    none = (None,) * len(pistons)
    walls = (0.0,) * len(pistons)
    return Parts(
        springs=springs,
        limiters_mm=limiters,
        closings_mm=_closings(shock),
        oils=oils,
        pistons=pistons,
        spring_counts=spring_counts,
        piston_counts=piston_counts,
        mixes=(None,) * len(oils),
        drills=none,
        wall_lacks_mm=walls,
    )


def own_parts(corner: Corner) -> Parts:
    """What is on one end, and nothing else."""
    shock = corner.shock
    return Parts(
        (corner.spring,),
        (shock.limiter_mm,),
        (shock.fill.closing_insertion_mm,),
        *((shock.oil,), (shock.piston,), (2.0,), (2.0,), (None,), (None,), (0.0,)),
    )


def with_made(parts: Parts, corner: Corner, box: Box) -> Parts:
    """The parts, the mixtures of two bottles of the box, and its blanks as every drill in hand makes them."""
    mixed = mixtures(_bottles(box)) if box.mix_oils else ()
    drilled = [] if box.blanks is None else list(_drilled(corner.shock, box.blanks, box.drills_mm))
    number = 0.0 if box.blanks is None else float(box.blanks.count)
    return parts._replace(
        oils=(*parts.oils, *(oil for oil, _ in mixed)),
        mixes=(*parts.mixes, *(mix for _, mix in mixed)),
        pistons=(*parts.pistons, *(piston for piston, _, _ in drilled)),
        drills=(*parts.drills, *(drill for _, drill, _ in drilled)),
        piston_counts=(*parts.piston_counts, *(number for _ in drilled)),
        wall_lacks_mm=(*parts.wall_lacks_mm, *(lack for _, _, lack in drilled)),
    )


def _bottles(box: Box) -> tuple[Oil, ...]:
    """Bottles in the box, each kind once."""
    found: list[Oil] = []
    for oil in box.oils:
        if oil.count != 0 and not any(same_oil(oil, other) for other in found):
            found.append(oil)
    return tuple(found)


def _closings(shock: Shock) -> tuple[float, ...]:
    """The present closing position and fully out, half and fully in, where the fill allows them."""
    now = shock.fill.closing_insertion_mm
    wished = dict.fromkeys((now, *(share * shock.stroke_mm for share in CLOSING_SHARES.values())))
    return tuple(x for x in wished if x == now or closed_at(shock, x) is not None)


def closed_at(shock: Shock, closing_mm: float, **fitted: Oil | Piston) -> Shock | None:
    """The shock with some parts, closed at a shaft insertion; None where they or the fill do not fit."""
    fill = msgspec.structs.replace(shock.fill, closing_insertion_mm=closing_mm)
    try:
        return msgspec.structs.replace(shock, fill=fill, **fitted)
    except InputError:
        return None


def _drilled(shock: Shock, blank: Blanks, drills: tuple[float, ...]) -> list[tuple[Piston, Drill, float]]:
    """Every piston that a drill makes of a blank, and by how much the drill is too large for its walls, mm."""
    made = []
    for count in range(min(LEAST_HOLES, blank.max_holes), blank.max_holes + 1):
        for across in sorted(set(drills)):
            if not SMALLEST_MM <= across <= LARGEST_MM:
                continue
            holes = (Holes(count=count, diameter_mm=across),)
            piston = Piston(holes=holes, thickness_mm=blank.thickness_mm, diameter_mm=blank.diameter_mm)
            drill = Drill(blank=blank, count=count, drill_mm=across)
            made.append((piston, drill, least_wall_lack_mm(shock, blank, count, across)))
    return made


def _in_hand(listed: tuple[Any, ...], fitted: Any, same: Callable[[Any, Any], bool]) -> tuple[Any, Any]:
    """Kinds in hand, each once, and how many: entries of one kind are summed, two are on the car."""
    kinds: list[Any] = []
    counts: list[float] = []
    for part in listed:
        number = math.inf if getattr(part, "count", None) is None else float(part.count)
        place = next((i for i, kind in enumerate(kinds) if same(kind, part)), None)
        if place is None:
            kinds.append(part)
            counts.append(number)
        else:
            counts[place] += number
    place = next((i for i, kind in enumerate(kinds) if same(kind, fitted)), None)
    if place is None:
        return (*kinds, fitted), (*counts, 2.0)
    counts[place] += 2.0
    return tuple(kinds), tuple(counts)


def _fitted_spring(listed: Spring, fitted: Spring) -> Spring:
    """The spring on the car keeps its own lengths; only a block length it lacks comes from the box."""
    if not same_spring(listed, fitted):
        return listed
    block = fitted.block_length_mm
    if block is None and fitted.free_length_mm is not None and listed.free_length_mm == fitted.free_length_mm:
        block = listed.block_length_mm
    return msgspec.structs.replace(fitted, block_length_mm=block)
