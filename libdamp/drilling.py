"""Holes drilled into a piston: how far they may be scaled, the real drill, the walls that they leave."""

from collections.abc import Iterable

import msgspec

from .car import Blanks
from .errors import Fault
from .findings import Finding, finding
from .parts import AREA_RATIO_POSSIBLE, Holes, Piston, Shock, area_ratio, fault
from .physics.drills import (
    LEAST_WALL,
    METRIC_MM,
    NUMBER_INCH,
    hole_wall,
    nearest_size,
    rim_wall,
    shaft_wall,
)
from .quantities import quantity

SMALLEST_MM, LARGEST_MM = quantity("holes.diameter_mm").possible or (0.0, 0.0)
"""Hole diameters that a piston can have."""
PISTONS_OF_AN_AXLE = 2

_INSIDE = 1.0 - 1e-9
"""Keeps a scaled hole on the right side of a limit in spite of round-off."""


def room_mm(shock: Shock) -> float:
    """Room for a hole between shaft and rim, mm."""
    return 0.5 * (rim_mm(shock) - shock.shaft_mm)


def rim_mm(shock: Shock) -> float:
    """Diameter of the piston, mm; the bore's where it has no gap."""
    return shock.bore_mm if shock.piston.diameter_mm is None else shock.piston.diameter_mm


def largest_factor(shock: Shock) -> float:
    """Factor on all holes with which they take the largest possible share of the bore."""
    share = max(area_ratio(shock.piston, shock.bore_mm, way) for way in ("compression", "rebound"))
    return float((AREA_RATIO_POSSIBLE / share) ** 0.5 * _INSIDE)


def factor_range(shock: Shock) -> tuple[float, float]:
    """Least and largest factor on all holes of a piston that leaves a possible piston; 1 lies between them."""
    across = [h.diameter_mm for h in shock.piston.holes]
    widest = min(LARGEST_MM, room_mm(shock)) * _INSIDE / max(across)
    return min(1.0, SMALLEST_MM / _INSIDE / min(across)), max(1.0, min(widest, largest_factor(shock)))


def with_holes(shock: Shock, across_mm: Iterable[float]) -> Shock:
    """The shock with other diameters of its kinds of hole, in their order."""
    holes = tuple(
        msgspec.structs.replace(h, diameter_mm=d) for h, d in zip(shock.piston.holes, across_mm, strict=True)
    )
    return msgspec.structs.replace(shock, piston=msgspec.structs.replace(shock.piston, holes=holes))


def leading_kind(piston: Piston, direction: str) -> int:
    """Place of the kind of hole with the largest area open in a direction; of any kind if none is open."""

    def area(holes: Holes) -> tuple[bool, float]:
        return holes.direction in ("both", direction), holes.count * holes.diameter_mm**2

    return max(range(len(piston.holes)), key=lambda i: area(piston.holes[i]))


def real_drills(shock: Shock, in_hand: tuple[float, ...], least_mm: tuple[float, ...]) -> tuple[float, ...]:
    """Real drill nearest to each kind of hole of a piston, among those in hand or the metric ones; empty if none.

    `least_mm` are the holes that are there already: a drill cannot make them smaller.
    """
    room, factor = room_mm(shock), largest_factor(shock)
    chosen = []
    for hole, least in zip(shock.piston.holes, least_mm, strict=True):
        most = min(LARGEST_MM, room * _INSIDE, hole.diameter_mm * factor)
        fit = [d for d in sorted(in_hand or METRIC_MM) if max(SMALLEST_MM, least) <= d <= most]
        if not fit:
            return ()
        chosen.append(fit[int(nearest_size(hole.diameter_mm, fit))])
    return tuple(chosen)


def number_drill(across_mm: float) -> tuple[int, float]:
    """Number drill nearest to a diameter, and its own diameter, mm."""
    numbers, inches = list(NUMBER_INCH), list(NUMBER_INCH.values())
    place = int(nearest_size(across_mm, [25.4 * inch for inch in inches]))
    return numbers[place], round(25.4 * inches[place], 5)  # 25.4 mm/inch is exact, so are these decimals


def circle_mm(shock: Shock, blank: Blanks | None) -> float:
    """Diameter of the circle on which the holes lie; the middle between shaft and rim unless given, mm."""
    given = None if blank is None else blank.hole_circle_mm
    return 0.5 * (rim_mm(shock) + shock.shaft_mm) if given is None else given


def least_wall_lack_mm(shock: Shock, blank: Blanks, count: int, drill_mm: float) -> float:
    """By how much a drill is too large for the walls that a blank's holes must leave, mm; zero where it is not."""
    rim, shaft, least = blank.diameter_mm, shock.shaft_mm, LEAST_WALL * 1e3
    circle = 0.5 * (rim + shaft) if blank.hole_circle_mm is None else blank.hole_circle_mm
    lacks = [  # a wall between hole and rim or shaft grows by half of what the hole loses
        2.0 * (least - float(rim_wall(rim, circle, drill_mm))),
        2.0 * (least - float(shaft_wall(circle, shaft, drill_mm))),
    ]
    if count > 1:
        lacks.append(least - float(hole_wall(circle, count, drill_mm)))
    return max(0.0, *(lack if lack > 1e-9 else 0.0 for lack in lacks))


def blank_faults(shock: Shock, blank: Blanks) -> Iterable[Fault]:
    """The holes of a blank must lie between shaft and rim."""
    circle, at = blank.hole_circle_mm, "/blank/hole_circle_mm"
    if circle is not None and not circle < blank.diameter_mm:
        text = f"hole_circle_mm = {circle:g} mm: must be less than diameter_mm = {blank.diameter_mm:g} mm"
        yield fault(at, text, circle, blank.diameter_mm)
    elif circle is not None and not circle > shock.shaft_mm:
        text = f"hole_circle_mm = {circle:g} mm: must be more than shaft_mm = {shock.shaft_mm:g} mm"
        yield fault(at, text, circle, shock.shaft_mm)


def drilling_findings(shock: Shock, widest_mm: tuple[float, ...], blank: Blanks | None) -> list[Finding]:
    """What stands against drilling a piston: thin walls, too many holes, too few blanks.

    `widest_mm` are the diameters of its kinds of hole, drilled or wanted, whichever is larger.
    """
    circle, count = circle_mm(shock, blank), sum(h.count for h in shock.piston.holes)
    each = sorted(d for h, d in zip(shock.piston.holes, widest_mm, strict=True) for _ in range(h.count))
    walls = [
        ("rim", float(rim_wall(rim_mm(shock), circle, each[-1]))),
        ("shaft", float(shaft_wall(circle, shock.shaft_mm, each[-1]))),
    ]
    if count > 1:
        walls.append(("next hole", float(hole_wall(circle, count, 0.5 * (each[-1] + each[-2])))))
    at, least = "/candidate/piston/holes" if blank is None else "/blank", LEAST_WALL * 1e3
    found = [finding("wall_thin", at, wall, least, name=name) for name, wall in walls if wall < least - 1e-9]
    if blank is not None and count > blank.max_holes:
        found.append(finding("too_many_holes", "/blank/max_holes", float(count), float(blank.max_holes)))
    if blank is not None and blank.count < PISTONS_OF_AN_AXLE:
        found.append(finding("parts_short", "/blank/count", blank.count, PISTONS_OF_AN_AXLE, name="blanks"))
    return found
