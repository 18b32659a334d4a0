"""The parts of a shock: oil, spring, holes, piston, fill, the shock itself.

All frozen, keyword-only, validated on construction; floats and tuples only. The short texts of the plain
door ("325 cst", "2x1.7+4x1.0", "0.38 N/mm") are read here, each by the part it stands for.
"""

import re
from collections.abc import Iterable, Mapping
from typing import Annotated, Any, Literal, TypeVar

import msgspec
import numpy as np

from .checked import FILL_IN, Model
from .errors import Fault
from .physics.gas import circle_area, fill_volume
from .physics.numbers import ZERO_C
from .physics.oil import (
    grade_density,
    silicone_viscosity,
    slope_from_points,
    walther_constants,
    walther_viscosity,
)
from .quantities import Q, UnitError, parse_number, parse_unit, quantity, to_si
from .quantities.reading import example_of, read_text
from .quantities.units import DYNAMIC

Label = Annotated[str, msgspec.Meta(max_length=200)]
"""A name that the owner gives; nothing is computed from it."""

AREA_RATIO_POSSIBLE = 0.5
"""Open hole area over bore area beyond which a piston is refused."""


def fault(pointer: str, text: str, value: float | None = None, limit: float | None = None) -> Fault:
    """A fault between fields."""
    unit = "mm" if value is not None else None
    return Fault(pointer=pointer, rule="consistent", value=value, limit=limit, unit=unit, text=text)


class SecondPoint(Model, frozen=True, kw_only=True):
    """A second measured viscosity of an oil."""

    viscosity_cst: Annotated[float, Q("second_point.viscosity_cst")]
    temperature_c: Annotated[float, Q("second_point.temperature_c")]


class Thinning(Model, frozen=True, kw_only=True):
    """How an oil thins in fast shear (Carreau); kept as given at every temperature."""

    relaxation_time_s: Annotated[float, Q("relaxation_time_s")]
    power_index: Annotated[float, Q("power_index")]
    floor_share: Annotated[float, Q("floor_share")] = 0.0


THINNEST_CST, THICKEST_CST = 0.1, 1e7
"""Viscosities between which two points must keep an oil from -20 to 120 C."""


class Oil(Model, frozen=True, kw_only=True):
    """A damper oil: a viscosity always goes with its temperature."""

    text_example = '"325 cst" or "315 mPas"'

    viscosity_cst: Annotated[float, Q("oil.viscosity_cst")]
    reference_temperature_c: Annotated[float, Q("oil.reference_temperature_c")] = 25.0
    family: Literal["silicone", "petroleum"] = "silicone"
    vtc: Annotated[float, Q("vtc")] | None = None
    second_point: SecondPoint | None = None
    density_kg_m3: Annotated[float, Q("density_kg_m3")] | None = None
    thinning: Thinning | None = None
    label: Label | None = None

    def consistency(self) -> Iterable[Fault]:
        """One law of temperature: from a coefficient, from two points, or the family's own."""
        if self.vtc is not None and (self.second_point is not None or self.family == "petroleum"):
            yield fault("/vtc", "vtc: give either vtc or second_point, and vtc for silicone oil only")
        if self.family == "petroleum" and self.second_point is None:
            yield fault(
                "/second_point",
                "second_point is missing: a petroleum oil needs two points (its data sheet prints 40 C and 100 C)",
            )
        point = self.second_point
        if point is None:
            return
        warmer = point.temperature_c - self.reference_temperature_c
        if abs(warmer) < 1.0:
            yield fault("/second_point/temperature_c", "second_point: its temperature must differ by 1 C or more")
        elif (point.viscosity_cst - self.viscosity_cst) * warmer >= 0.0:
            yield fault("/second_point/viscosity_cst", "second_point: an oil must be thinner where it is warmer")
        else:
            yield from _two_point_faults(self, point)

    @classmethod
    def from_text(cls, text: str) -> Mapping[str, Any]:
        """Read "325 cst" or "315 mPas" (divided by the density of that grade)."""
        if text.strip() == FILL_IN:
            raise UnitError(f"still to be filled in: {quantity('oil.viscosity_cst').how_to_measure}")
        try:
            value, rest = parse_number(text)
            unit = parse_unit(rest) if rest else None
        except UnitError:
            unit = None
        if unit is not None and unit.dimension == DYNAMIC:
            dynamic = to_si(value, unit)
            kinematic = dynamic / 970.0
            for _ in range(20):  # the density depends so little on the grade that this settles at once
                kinematic = dynamic / float(grade_density(kinematic))
            return {"viscosity_cst": kinematic * 1e6}
        return {"viscosity_cst": read_text(text, parse_unit("cSt"), "325 cst")}


def _two_point_faults(oil: Oil, point: SecondPoint) -> Iterable[Fault]:
    """Two points must give an oil that stays an oil over the range of temperatures."""
    first = oil.viscosity_cst * 1e-6, oil.reference_temperature_c + ZERO_C
    second = point.viscosity_cst * 1e-6, point.temperature_c + ZERO_C
    for celsius in (-20.0, 120.0):
        with np.errstate(over="ignore", invalid="ignore"):
            if oil.family == "petroleum":
                nu = walther_viscosity(*walther_constants(*first, *second), celsius + ZERO_C)
            else:
                nu = silicone_viscosity(*first, celsius + ZERO_C, slope_from_points(*first, *second))
        cst = float(nu) * 1e6
        if not THINNEST_CST <= cst <= THICKEST_CST:
            text = f"second_point: the two points give {cst:.3g} cSt at {celsius:g} C; check both"
            yield fault("/second_point/viscosity_cst", text)


class Spring(Model, frozen=True, kw_only=True):
    """A coil spring with one rate."""

    text_example = '"0.38 N/mm", "2.17 lbf/in" or "38 gf/mm"'

    rate_n_mm: Annotated[float, Q("spring.rate_n_mm")]
    free_length_mm: Annotated[float, Q("free_length_mm")] | None = None
    block_length_mm: Annotated[float, Q("block_length_mm")] | None = None
    label: Label | None = None

    def consistency(self) -> Iterable[Fault]:
        """A spring is shorter when its coils touch."""
        if self.free_length_mm is not None and self.block_length_mm is not None:
            yield from _less("/block_length_mm", self.block_length_mm, "free_length_mm", self.free_length_mm)

    @classmethod
    def from_text(cls, text: str) -> Mapping[str, Any]:
        """Read "2.17 lbf/in", "38 gf/mm", "0.38 N/mm"."""
        row = quantity("spring.rate_n_mm")
        if text.strip() == FILL_IN:
            raise UnitError(f"still to be filled in: {row.how_to_measure}")
        return {"rate_n_mm": read_text(text, parse_unit(row.unit), "4 lbf/in")}


_HOLES = re.compile(r"\s*(\d{1,4})\s*[xX×*]\s*(\d{1,6}(?:[.,]\d{1,20})?|[.,]\d{1,20})\s*(?:mm)?\s*")


def _holes_hint(text: str) -> str:
    """What to write instead of a text that tells no holes."""
    for way in ("rebound", "compression"):
        if way in text.lower():
            one = f'{{"count": 2, "diameter_mm": 0.6, "direction": "{way}"}}'
            return f"write holes open one way as a list, [{one}], those open both ways in it too, without direction"
    return 'write number x diameter in mm, "2x1.7" or "2x1.7+4x1.0"'


class Holes(Model, frozen=True, kw_only=True):
    """Equal holes of a piston; one-way holes flow in their direction only."""

    list_example = '"2x1.7" or "2x1.7+4x1.0", number x diameter in mm'

    count: Annotated[int, Q("holes.count")]
    diameter_mm: Annotated[float, Q("holes.diameter_mm")]
    direction: Literal["both", "compression", "rebound"] = "both"
    edge_factor: Annotated[float, Q("edge_factor")] = 1.0

    @classmethod
    def many_from_text(cls, text: str) -> list[Mapping[str, Any]]:
        """Read "2x1.7" or "2x1.7+4x1.0"; a blank does for the '+'."""
        if text.strip() == FILL_IN:
            raise UnitError(f"still to be filled in: {quantity('holes.diameter_mm').how_to_measure}")
        place = 0
        found: list[Mapping[str, Any]] = []
        cleaned = text.replace("+", " ")
        while place < len(cleaned):
            match = _HOLES.match(cleaned, place)
            if match is None:
                raise UnitError(_holes_hint(text))
            found.append({"count": int(match[1]), "diameter_mm": float(match[2].replace(",", "."))})
            place = match.end()
        if not found:
            raise UnitError('is empty: write number x diameter in mm, "2x1.7"')
        return found


class Piston(Model, frozen=True, kw_only=True):
    """A piston; `diameter_mm` null says that no oil passes around it."""

    assumable = ("thickness_mm", "diameter_mm")

    holes: Annotated[tuple[Holes, ...], msgspec.Meta(min_length=1, max_length=6)]
    thickness_mm: Annotated[float, Q("piston.thickness_mm")]
    diameter_mm: Annotated[float, Q("piston.diameter_mm")] | None
    eccentricity: Annotated[float, Q("eccentricity")] = 0.0
    label: Label | None = None

    def consistency(self) -> Iterable[Fault]:
        """Oil must be able to pass both ways: through a hole, or around the piston."""
        if self.diameter_mm is None:
            for direction in ("compression", "rebound"):
                if not any(h.direction in ("both", direction) for h in self.holes):
                    yield fault("/holes", f"holes: none is open in {direction} and no oil passes around the piston")


class Bladder(Model, frozen=True, kw_only=True, tag_field="kind", tag="bladder"):
    """A sealed pocket of gas behind a bladder."""

    assumable = ("gas_ml", "closing_insertion_mm")

    gas_ml: Annotated[float, Q("gas_ml")]
    closing_insertion_mm: Annotated[float, Q("closing_insertion_mm")]
    exponent: Annotated[float, Q("exponent")] | None = None
    filled_at_c: Annotated[float, Q("filled_at_c")] | None = None


class Vented(Model, frozen=True, kw_only=True, tag_field="kind", tag="vented"):
    """A cap with a hole to the outside: atmospheric until the room behind the bladder is used up."""

    assumable = ("room_ml", "closing_insertion_mm")

    room_ml: Annotated[float, Q("room_ml")]
    closing_insertion_mm: Annotated[float, Q("closing_insertion_mm")]
    filled_at_c: Annotated[float, Q("filled_at_c")] | None = None


class Emulsion(Model, frozen=True, kw_only=True, tag_field="kind", tag="emulsion"):
    """Gas spread through the oil."""

    assumable = ("gas_ml", "closing_insertion_mm")

    gas_ml: Annotated[float, Q("gas_ml")]
    closing_insertion_mm: Annotated[float, Q("closing_insertion_mm")]
    filled_at_c: Annotated[float, Q("filled_at_c")] | None = None


Fill = Bladder | Vented | Emulsion


class Shock(Model, frozen=True, kw_only=True):
    """A built shock without its spring."""

    assumable = ("bore_mm", "shaft_mm", "stroke_mm", "extended_length_mm", "limiter_mm", "seal_drag_n", "fill")

    bore_mm: Annotated[float, Q("bore_mm")]
    shaft_mm: Annotated[float, Q("shaft_mm")]
    stroke_mm: Annotated[float, Q("stroke_mm")]
    extended_length_mm: Annotated[float, Q("extended_length_mm")]
    limiter_mm: Annotated[float, Q("limiter_mm")]
    cavity_length_mm: Annotated[float, Q("cavity_length_mm")] | None = None
    seat_offset_mm: Annotated[float, Q("seat_offset_mm")] | None = None
    seal_drag_n: Annotated[float, Q("seal_drag_n")]
    piston: Piston
    oil: Oil
    fill: Fill

    def consistency(self) -> Iterable[Fault]:
        """Shaft, stroke, piston and holes must fit the body and each other."""
        yield from _body_faults(self)
        yield from _piston_faults(self)


def _less(pointer: str, value: float, limit_name: str, limit: float) -> Iterable[Fault]:
    if not value < limit:
        name = pointer.rsplit("/", 1)[-1]
        text = f"{name} = {value:g} mm: must be less than {limit_name} = {limit:g} mm"
        yield fault(pointer, text, value, limit)


def _body_faults(shock: Shock) -> Iterable[Fault]:
    yield from _less("/shaft_mm", shock.shaft_mm, "0.7 x bore_mm", 0.7 * shock.bore_mm)
    yield from _less("/limiter_mm", shock.limiter_mm, "stroke_mm", shock.stroke_mm)
    yield from _less("/stroke_mm", shock.stroke_mm, "extended_length_mm", shock.extended_length_mm)
    if shock.fill.closing_insertion_mm > shock.stroke_mm:
        yield fault(
            "/fill/closing_insertion_mm",
            f"closing_insertion_mm = {shock.fill.closing_insertion_mm:g} mm: must be no more than stroke_mm "
            f"= {shock.stroke_mm:g} mm",
            shock.fill.closing_insertion_mm,
            shock.stroke_mm,
        )
    if shock.cavity_length_mm is not None:
        swept = shock.stroke_mm + shock.piston.thickness_mm
        if shock.cavity_length_mm < swept:
            yield fault(
                "/cavity_length_mm",
                f"cavity_length_mm = {shock.cavity_length_mm:g} mm: must be at least stroke_mm + thickness_mm "
                f"= {swept:g} mm",
                shock.cavity_length_mm,
                swept,
            )
    if isinstance(shock.fill, Emulsion):
        yield from _emulsion_faults(shock, shock.fill)


def _emulsion_faults(shock: Shock, fill: Emulsion) -> Iterable[Fault]:
    if shock.cavity_length_mm is None:
        yield fault("/cavity_length_mm", "cavity_length_mm is missing: an emulsion needs the bore's length")
        return
    across = shock.bore_mm if shock.piston.diameter_mm is None else shock.piston.diameter_mm
    areas = (float(circle_area(d)) for d in (shock.bore_mm, shock.shaft_mm))
    bore, shaft = areas  # mm2: with lengths in mm the volume is in mm3
    cavity, thickness = shock.cavity_length_mm, shock.piston.thickness_mm
    room = float(fill_volume(bore, cavity, across, thickness, shaft, fill.closing_insertion_mm)) * 1e-3
    if fill.gas_ml >= room:
        text = f"gas_ml = {fill.gas_ml:g} ml: must be less than the room beside piston and shaft, {room:.3g} ml"
        yield Fault(pointer="/fill/gas_ml", rule="consistent", value=fill.gas_ml, limit=room, unit="ml", text=text)


def _piston_faults(shock: Shock) -> Iterable[Fault]:
    piston = shock.piston
    across = shock.bore_mm if piston.diameter_mm is None else piston.diameter_mm
    if piston.diameter_mm is not None:
        yield from _less("/piston/diameter_mm", piston.diameter_mm, "bore_mm", shock.bore_mm)
        yield from _less("/shaft_mm", shock.shaft_mm, "the piston's diameter_mm", piston.diameter_mm)
    room = 0.5 * (across - shock.shaft_mm)
    for i, holes in enumerate(piston.holes):
        if holes.diameter_mm >= room:
            example = example_of(quantity("holes.diameter_mm"))
            yield fault(
                f"/piston/holes/{i}/diameter_mm",
                f"diameter_mm = {holes.diameter_mm:g} mm: does not fit between shaft and rim of the piston, "
                f'{room:g} mm; type for example "{example}"',
                holes.diameter_mm,
                room,
            )
    for direction in ("compression", "rebound"):
        ratio = area_ratio(piston, shock.bore_mm, direction)
        if ratio > AREA_RATIO_POSSIBLE:
            yield Fault(
                pointer="/piston/holes",
                rule="consistent",
                value=ratio,
                limit=AREA_RATIO_POSSIBLE,
                unit="1",
                text=f"holes open in {direction} take {ratio:.2f} of the bore's area: at most "
                f"{AREA_RATIO_POSSIBLE:g}",
            )


P = TypeVar("P", "Oil", "Spring", "Piston")


def plain_part(kind: type[P], part: P) -> P:
    """A part of the box as the plain part that is fitted: without how many there are."""
    return kind(**{f: getattr(part, f) for f in kind.__struct_fields__})


def area_ratio(piston: Piston, bore_mm: float, direction: str) -> float:
    """Share of the bore's area that the holes open in a direction take."""
    return sum(h.count * h.diameter_mm**2 for h in piston.holes if h.direction in ("both", direction)) / bore_mm**2


def holes_words(piston: Piston) -> str:
    """Holes of a piston, "2x1.7+4x1.0"."""
    ways = {"both": "", "compression": " compression only", "rebound": " rebound only"}
    return "+".join(f"{h.count}x{h.diameter_mm:g}{ways[h.direction]}" for h in piston.holes)
