"""The same damping from other parts: the oil, or the hole and the oil, that make one shock do what another does."""

from collections.abc import Iterable
from typing import Annotated, Any, Literal, NamedTuple

import msgspec
import numpy as np

from .answers import Answer, calculation
from .car import Blanks
from .damping import damping_force, figures, grade_thins_from, low_speed_damping, passages, shock_findings
from .drilling import (
    blank_faults,
    drilling_findings,
    factor_range,
    leading_kind,
    number_drill,
    real_drills,
    with_holes,
)
from .errors import Fault, InputError
from .findings import Finding, finding
from .oils import OilState, density_of_grade, grade_of, oil_state
from .parts import Shock
from .physics.gas import circle_area
from .physics.numbers import Array, Real
from .physics.orifice import REYNOLDS_FITTED, Passages, largest_reynolds, largest_wall_shear
from .quantities import Q, quantity
from .two_speeds import Scaled, Wanted, hole_and_oil

OIL_DOES = 0.02
"""Deviation of the curve with the oil alone up to which drilling gains nothing that can be told apart."""
CONTRADICTS = 1e-3
"""Difference from which a piston is called the softer one."""
APART = 2.0
"""Least ratio of the two speeds."""

_POINTS = 101


class Match(Answer, frozen=True, kw_only=True):
    """The candidate that does what the reference does."""

    viscosity_cst: Annotated[float, Q("viscosity_25_cst")]
    dynamic_mpa_s: Annotated[float, Q("dynamic_mpa_s")]
    hole_mm: Annotated[float, Q("hole_mm")]
    holes_mm: tuple[Annotated[float, Q("hole_mm")], ...]
    low_speed_ratio: Annotated[float, Q("force_ratio")]
    high_speed_ratio: Annotated[float, Q("force_ratio")]
    curve_deviation: Annotated[float, Q("curve_deviation")]
    oil_alone_viscosity_cst: Annotated[float, Q("viscosity_25_cst")]
    oil_alone_high_speed_ratio: Annotated[float, Q("force_ratio")]
    drill_mm: Annotated[float, Q("real_drill_mm")] | None = None
    drills_mm: tuple[Annotated[float, Q("real_drill_mm")], ...] = ()
    drill_viscosity_cst: Annotated[float, Q("viscosity_25_cst")] | None = None
    drill_low_speed_ratio: Annotated[float, Q("force_ratio")] | None = None
    drill_high_speed_ratio: Annotated[float, Q("force_ratio")] | None = None
    number_drill: Annotated[int, Q("number_drill")] | None = None
    number_drill_mm: Annotated[float, Q("number_drill_mm")] | None = None


class Side(NamedTuple):
    """A shock at a temperature, seen in one direction; SI."""

    shock: Shock
    temperature_c: float
    direction: str

    @property
    def annulus(self) -> float:
        """Area that pushes oil past the piston, m^2."""
        return float(circle_area(self.shock.bore_mm * 1e-3) - circle_area(self.shock.shaft_mm * 1e-3))

    @property
    def dynamic(self) -> float:
        """Viscosity of the oil that is in it, Pa s."""
        return oil_state(self.shock.oil, self.temperature_c).dynamic

    @property
    def area_mm2(self) -> float:
        """Area of the holes open in the direction, mm^2."""
        kinds = [h for h in self.shock.piston.holes if h.direction in ("both", self.direction)]
        return float(sum(h.count * circle_area(h.diameter_mm) for h in kinds))

    def density(self, dynamic: Real) -> Array:
        """Density of the oil of this family that has a viscosity, kg/m^3."""
        return density_of_grade(self.shock.oil, self.grade(dynamic), self.temperature_c)

    def grade(self, dynamic: Real) -> Array:
        """Viscosity at 25 C of the oil of this family that has a viscosity, m^2/s."""
        return grade_of(self.shock.oil, dynamic, self.temperature_c)

    def ways(self, dynamic: float) -> Passages:
        """Ways past the piston with the oil of this family that has a viscosity."""
        rho = float(self.density(dynamic))
        return passages(self.shock, OilState(dynamic / rho, rho), self.direction)

    def force(self, speed: Real, dynamic: float) -> Array:
        """Damping force at a speed with that oil, N."""
        return damping_force(speed, self.annulus, self.ways(dynamic))

    def slow(self, dynamic: float) -> float:
        """Damping coefficient as the speed goes to zero with that oil, N s/m."""
        return float(low_speed_damping(self.annulus, self.ways(dynamic)))

    def oil_for(self, slow: float) -> float:
        """Viscosity that gives a damping coefficient as the speed goes to zero: the two are in proportion."""
        return self.dynamic * (slow / self.slow(self.dynamic))


class Asked(NamedTuple):
    """What the reference does: force over speed, and its damping coefficient as the speed goes to zero."""

    speed: Array
    force: Array
    slow: float

    def ratio(self, side: Side, dynamic: float) -> Array:
        """Force of a shock with an oil over the reference's, at each speed."""
        return np.asarray(side.force(self.speed, dynamic) / self.force)


def _fit(candidate: Side, asked: Asked) -> tuple[tuple[float, ...], float, bool]:
    """Diameters, mm, and viscosity with which the candidate needs the reference's forces; whether both are met."""
    across = tuple(h.diameter_mm for h in candidate.shock.piston.holes)
    ways, found = candidate.ways(candidate.dynamic), None
    if ways.holes:
        flows, losses = candidate.annulus * asked.speed, asked.force / candidate.annulus
        wanted = Wanted(*(float(part[place]) for place in (0, -1) for part in (flows, losses)))
        piston = Scaled(ways, candidate.dynamic, candidate.density)
        found = hole_and_oil(piston, wanted, *factor_range(candidate.shock))
    if found is None:
        return across, candidate.oil_for(asked.slow), False
    return tuple(found.factor * d for d in across), found.viscosity, found.exact


def _request_faults(speeds: tuple[float, ...], free: tuple[str, ...]) -> Iterable[Fault]:
    low, high = speeds
    if high < APART * low:
        text = f"speeds_m_s: the second, {high:g} m/s, must be at least {APART:g} times the first, {low:g} m/s"
        yield Fault(pointer="/speeds_m_s", rule="consistent", value=high, limit=APART * low, unit="m/s", text=text)
    if "oil" not in free or len(set(free)) < len(free):
        text = 'free: must be ["oil"] or ["oil", "hole"]'
        yield Fault(pointer="/free", rule="consistent", value=", ".join(free), text=text)


def _on_blank(candidate: Shock, blank: Blanks | None, faults: list[Fault]) -> Shock:
    """The candidate with its holes drilled into a blank; faults are added where the blank does not suit it."""
    if blank is None:
        return candidate
    faults.extend(blank_faults(candidate, blank))
    piston = msgspec.structs.replace(
        candidate.piston, thickness_mm=blank.thickness_mm, diameter_mm=blank.diameter_mm
    )
    try:
        return msgspec.structs.replace(candidate, piston=piston)
    except InputError as error:
        own = {"/piston/diameter_mm": "/blank/diameter_mm"}
        for one in error.faults:
            at = own.get(one.pointer, f"/candidate{one.pointer}")
            faults.append(msgspec.structs.replace(one, pointer=at))
        return candidate


def _fast_findings(side: Side, dynamic: float, speed: float, at: str) -> list[Finding]:
    """What the models of loss and oil have to say of the higher speed."""
    found, flow, ways = [], side.annulus * speed, side.ways(dynamic)
    reynolds, shear = float(largest_reynolds(flow, ways)), float(largest_wall_shear(flow, ways))
    if reynolds > REYNOLDS_FITTED:
        found.append(finding("reynolds_high", f"{at}/piston", reynolds, REYNOLDS_FITTED))
    limit = grade_thins_from(float(side.grade(dynamic)) * 1e6)
    if side.shock.oil.family == "silicone" and side.shock.oil.thinning is None and shear > limit:
        found.append(finding("thinning", f"{at}/oil", shear, limit))
    cap = figures(side.shock, side.temperature_c).void_force_n
    force = float(side.force(speed, dynamic))
    if side.direction == "compression" and cap is not None and force > cap:
        found.append(finding("beyond_void", f"{at}/fill", force, cap))
    return found


def _oil_findings(grade_cst: float) -> list[Finding]:
    low, high = quantity("oil.viscosity_cst").usual or (0.0, 0.0)
    if low <= grade_cst <= high:
        return []
    limit = low if grade_cst < low else high
    return [finding("oil_unusual", "/candidate/oil", grade_cst, limit, span=f"{low:g} to {high:g}")]


def _rule_of_thumb(reference: Side, candidate: Side, ratio: Array, speed: Array) -> list[Finding]:
    """Whether less hole area is the softer when fast, in one body, slow damping alike."""
    one, other = reference.shock, candidate.shock
    areas = reference.area_mm2, candidate.area_mm2
    if (one.bore_mm, one.shaft_mm) != (other.bore_mm, other.shaft_mm) or areas[0] == areas[1]:
        return []
    softer = ratio if areas[1] < areas[0] else 1.0 / ratio
    worst = int(np.argmin(softer))
    if softer[worst] >= 1.0 - CONTRADICTS:
        return []
    name = f"{100.0 * (1.0 - softer[worst]):.2g} % at {speed[worst]:.3g} m/s"
    return [finding("not_harder_fast", "/candidate/piston/holes", min(areas), max(areas), name=name)]


class _Drilled(NamedTuple):
    """What the nearest real drill gives, the oil made equal when slow."""

    drills: tuple[float, ...]
    viscosity: float
    ratio: Array


def _drilled(side: Side, asked: Asked, in_hand: tuple[float, ...], least: tuple[float, ...]) -> _Drilled | None:
    drills = real_drills(side.shock, in_hand, least)
    if not drills:
        return None
    real = side._replace(shock=with_holes(side.shock, drills))
    viscosity = real.oil_for(asked.slow)
    return _Drilled(drills, viscosity, asked.ratio(real, viscosity))


def _drill_fields(side: Side, done: _Drilled | None) -> dict[str, Any]:
    """Outputs about drills, the kind of hole with the largest area first of all."""
    lead = leading_kind(side.shock.piston, side.direction)
    number, across = number_drill(side.shock.piston.holes[lead].diameter_mm)
    fields: dict[str, Any] = {"number_drill": number, "number_drill_mm": across}
    if done is not None:
        fields |= {
            "drill_mm": done.drills[lead],
            "drills_mm": done.drills,
            "drill_viscosity_cst": float(side.grade(done.viscosity)) * 1e6,
            "drill_low_speed_ratio": float(done.ratio[0]),
            "drill_high_speed_ratio": float(done.ratio[-1]),
        }
    return fields


class _Made(NamedTuple):
    """The candidate as matched: piston, viscosity, outputs about drills, findings."""

    side: Side
    viscosity: float
    fields: dict[str, Any]
    found: list[Finding]


def _with_hole(side: Side, asked: Asked, alone: Array, in_hand: tuple[float, ...], blank: Blanks | None) -> _Made:
    """Hole and oil free: both speeds met where a hole can."""
    at = "/candidate/piston/holes"
    across, viscosity, exact = _fit(side, asked)
    there = tuple(h.diameter_mm for h in side.shock.piston.holes)
    made = side._replace(shock=with_holes(side.shock, across))
    found: list[Finding] = []
    if not exact:
        off = float(made.force(asked.speed[-1], viscosity) / asked.force[-1])
        found.append(finding("no_hole_matches", at, off, 1.0))
    if across == there and blank is None:
        return _Made(made, viscosity, {}, [*found, finding("hole_kept", at)])
    worst = float(np.max(np.abs(alone - 1.0)))
    if worst <= OIL_DOES:
        found.append(finding("oil_alone_does", at, 100.0 * worst, 100.0 * OIL_DOES))
    lead, smaller = leading_kind(side.shock.piston, side.direction), across[0] < there[0]
    if blank is None and smaller:
        found.append(finding("hole_smaller", at, across[lead], there[lead]))
    afresh = blank is not None or smaller
    done = _drilled(made, asked, in_hand, tuple(0.0 for _ in there) if afresh else there)
    if done is None:
        found.append(finding("no_drill_fits", "/drills_mm", across[lead]))
    widest = tuple(map(max, across, across if done is None else done.drills))
    found += drilling_findings(made.shock, widest, blank)
    return _Made(made, viscosity, _drill_fields(made, done), found)


@calculation("oil_spill", "drilling")
def match(
    *,
    reference: Shock,
    candidate: Shock,
    free: Annotated[tuple[Literal["oil", "hole"], ...], msgspec.Meta(min_length=1, max_length=2)] = ("oil",),
    speeds_m_s: Annotated[
        tuple[Annotated[float, Q("match.speed_m_s")], ...], msgspec.Meta(min_length=2, max_length=2)
    ] = (0.02, 0.5),
    reference_temperature_c: Annotated[float, Q("temperature_c")] = 25.0,
    candidate_temperature_c: Annotated[float, Q("temperature_c")] = 25.0,
    direction: Literal["compression", "rebound"] = "compression",
    drills_mm: Annotated[tuple[Annotated[float, Q("drill_mm")], ...], msgspec.Meta(max_length=200)] = (),
    blank: Blanks | None = None,
) -> Match:
    """Oil, or hole and oil, with which one shock damps as another does.

    With the oil alone the two agree as the speed goes to zero; with the hole as well they agree at both speeds.
    Damping alone is compared: no gas, no friction, no void.

    Parameters
    ----------
    reference : the shock whose damping is wanted.
    candidate : the shock that shall have it.
    free : what of the candidate may change: the oil, or the oil and the size of its holes.
    speeds_m_s : the lower and the higher shaft speed [m/s].
    reference_temperature_c : of the reference's oil [C].
    candidate_temperature_c : of the candidate's oil [C].
    direction : of the stroke that is compared.
    drills_mm : drills in hand [mm]; the metric ones unless given.
    blank : undrilled piston that takes the holes in place of the candidate's piston.

    Raises
    ------
    InputError : a value is impossible, speeds too close to each other, a blank that does not suit the shock.

    Examples
    --------
    >>> from libdamp.demo import demo_corner
    >>> shock = demo_corner("demo-truck.front").shock
    >>> match(reference=shock, candidate=shock, candidate_temperature_c=40.0).viscosity_cst
    436.84
    """
    faults = list(_request_faults(speeds_m_s, free))
    on_blank = _on_blank(candidate, blank, faults)
    if faults:
        raise InputError(faults)
    one = Side(reference, reference_temperature_c, direction)
    other = Side(candidate, candidate_temperature_c, direction)
    speed = np.geomspace(speeds_m_s[0], speeds_m_s[1], _POINTS)
    asked = Asked(speed, one.force(speed, one.dynamic), one.slow(one.dynamic))
    oil = other.oil_for(asked.slow)
    alone = asked.ratio(other, oil)
    if "hole" in free:
        made = _with_hole(other._replace(shock=on_blank), asked, alone, drills_mm, blank)
    else:
        made = _Made(other, oil, {}, [finding("hole_kept", "/free")])
    ratio, grade = asked.ratio(made.side, made.viscosity), float(made.side.grade(made.viscosity)) * 1e6
    found = [*made.found, *_rule_of_thumb(one, other, alone, speed), *_oil_findings(grade)]
    for side, viscosity, at in ((one, one.dynamic, "/reference"), (made.side, made.viscosity, "/candidate")):
        found += shock_findings(side.shock, at, side.temperature_c)
        found += _fast_findings(side, viscosity, speed[-1], at)
    holes = tuple(h.diameter_mm for h in made.side.shock.piston.holes)
    return Match(
        findings=tuple(found),
        viscosity_cst=grade,
        dynamic_mpa_s=made.viscosity * 1e3,
        hole_mm=holes[leading_kind(candidate.piston, direction)],
        holes_mm=holes,
        low_speed_ratio=float(ratio[0]),
        high_speed_ratio=float(ratio[-1]),
        curve_deviation=float(np.max(np.abs(ratio - 1.0))),
        oil_alone_viscosity_cst=float(other.grade(oil)) * 1e6,
        oil_alone_high_speed_ratio=float(alone[-1]),
        **made.fields,
    )
