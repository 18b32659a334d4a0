"""The one part that is not in the box and would help most: a spring, an oil or a piston, and by how much."""

from typing import Annotated, Literal, get_args

import msgspec
import numpy as np

from .builds import End, equally_good
from .car import Box
from .errors import InputError, TooCostly
from .findings import shown
from .grid import space
from .in_hand import LEAST_HOLES, Parts, parts_of
from .parts import Holes, Oil, Piston, SecondPoint, Spring
from .quantities import Q
from .searching import chunks, looked_at, together
from .tables import picked

STEPS_EACH_WAY = 12
"""Springs and oils that are tried: so many steps of a twelfth of an octave (6 %) softer and harder."""
MOST_HOLES, SMALLEST_HOLE_MM, LARGEST_HOLE_MM = 8, 0.9, 2.5
"""Pistons that are tried: two to so many equal holes, by tenths of a millimetre, thick and wide as the fitted."""

LEAST_GAIN = 0.25
"""Lowering of a distance that is worth a purchase: half a tolerance of one goal, squared."""


PartName = Literal["spring", "oil", "piston"]
PARTS: tuple[PartName, ...] = get_args(PartName)


class MissingPart(msgspec.Struct, frozen=True, kw_only=True):
    """A part that is not in hand: for which end, and what it would do to that end's distance at rest."""

    end: Literal["front", "rear"]
    part: PartName
    spring: Spring | None = None
    oil: Oil | None = None
    piston: Piston | None = None
    distance: Annotated[float, Q("distance")]
    lowers_by: Annotated[float, Q("distance")] | None
    text: str


def springs_to_buy(fitted: Spring) -> tuple[Spring, ...]:
    """Springs as long as the fitted one, softer and harder."""
    steps = np.arange(-STEPS_EACH_WAY, STEPS_EACH_WAY + 1)
    rates = dict.fromkeys(float(f"{fitted.rate_n_mm * 2.0 ** (k / 12):.2g}") for k in steps)
    made = []
    for rate in rates:
        try:
            made.append(Spring(rate_n_mm=rate, free_length_mm=fitted.free_length_mm))
        except InputError:
            continue
    return tuple(made)


def oils_to_buy(fitted: Oil) -> tuple[Oil, ...]:
    """Oils of the fitted one's family and law, thinner and thicker."""
    made = []
    for k in range(-STEPS_EACH_WAY, STEPS_EACH_WAY + 1):
        grade = float(f"{fitted.viscosity_cst * 2.0 ** (k / 12):.2g}")
        point = fitted.second_point
        try:
            if point is not None:
                scaled = point.viscosity_cst * grade / fitted.viscosity_cst
                point = SecondPoint(viscosity_cst=scaled, temperature_c=point.temperature_c)
            made.append(msgspec.structs.replace(fitted, viscosity_cst=grade, second_point=point, label=None))
        except InputError:
            continue
    return tuple(made)


def pistons_to_buy(fitted: Piston) -> tuple[Piston, ...]:
    """Pistons thick and wide as the fitted one with other holes."""
    sizes = np.round(np.arange(SMALLEST_HOLE_MM, LARGEST_HOLE_MM + 0.05, 0.1), 1)
    return tuple(
        msgspec.structs.replace(fitted, holes=(Holes(count=count, diameter_mm=float(size)),), label=None)
        for count in range(LEAST_HOLES, MOST_HOLES + 1)
        for size in sizes
    )


def _with(parts: Parts, end: End, part: str) -> Parts:
    """The parts in hand with those to buy in place of one list."""
    corner = end.space.corner
    now = parts._replace(closings_mm=(corner.shock.fill.closing_insertion_mm,))
    if part == "spring":
        springs = springs_to_buy(corner.spring)
        return now._replace(springs=springs, spring_counts=(2.0,) * len(springs))
    if part == "oil":
        oils = oils_to_buy(corner.shock.oil)
        return now._replace(oils=oils, mixes=(None,) * len(oils))
    pistons = pistons_to_buy(corner.shock.piston)
    number = len(pistons)
    return now._replace(
        pistons=pistons,
        piston_counts=(2.0,) * number,
        drills=(None,) * number,
        wall_lacks_mm=(0.0,) * number,
    )


def missing_part(end: End, name: Literal["front", "rear"], box: Box, temperature_c: float) -> MissingPart | None:
    """The part that would lower an end's distance at rest most; None where none does so by enough to be worth it.

    Looked for among springs as long as the fitted one, oils of its family, pistons of its size, one of them at a
    time with the finished parts and bottles in hand, the cap closed as it is now; a kind of part with which more
    builds than MOST_BUILDS would have to be looked at is left out.
    """
    best: MissingPart | None = None
    corner, nearest = end.space.corner, picked(end.found.kept, slice(0, 1)) if end.found.kept else {}
    for part in PARTS:
        parts = _with(parts_of(corner, box, name), end, part)
        try:
            s = space(corner, parts, box, temperature_c, end.space.aims)
        except TooCostly:
            continue
        found = together([looked_at(chunk) for chunk in chunks(s)]).kept
        if not found or (nearest and not _better(end, nearest, found)):
            continue
        far, now = float(found["distance"][0]), float(nearest["distance"][0]) if nearest else None
        if best is None or far < best.distance:
            best = _told(name, part, parts, found, (far, now))
    return best


def _better(end: End, nearest: dict[str, np.ndarray], found: dict[str, np.ndarray]) -> bool:
    """Tell whether the nearest of some builds is nearer than that of the end, by more than the error."""
    if found["distance"][0] > nearest["distance"][0] - LEAST_GAIN:
        return False
    names = [column for column in nearest if column in found]
    both = {name: np.concatenate([nearest[name][:1], found[name][:1]]) for name in names}
    return not bool(equally_good(end._replace(table=both), 0, np.array([1]))[0])


def _told(
    name: Literal["front", "rear"],
    part: PartName,
    parts: Parts,
    found: dict[str, np.ndarray],
    distances: tuple[float, float | None],
) -> MissingPart:
    """The part in words and numbers."""
    far, now = distances
    one = getattr(parts, f"{part}s")[int(found[part][0])]
    what = {
        "spring": lambda: f"a spring of {one.rate_n_mm:g} N/mm",
        "oil": lambda: f"an oil of {one.viscosity_cst:g} cSt at {one.reference_temperature_c:g} C",
        "piston": lambda: f"a piston {one.holes[0].count}x{one.holes[0].diameter_mm:g}",
    }[part]()
    gain = "makes a build without fault possible" if now is None else f"brings it from {shown(now)} to {shown(far)}"
    return MissingPart(
        end=name,
        part=part,
        **{part: one},
        distance=far,
        lowers_by=None if now is None else now - far,
        text=f"{name}: {what} {gain} (that end's own distance, at rest)",
    )
