"""A built shock: force over speed, low-speed damping, the force and speed at which a void opens."""

from typing import Annotated, NamedTuple

import msgspec
import numpy as np

from .answers import Assumed, Provenance, calculation
from .errors import InputError
from .findings import Finding, finding
from .oils import OilState, kinematic, oil_findings, oil_state
from .parts import Emulsion, Piston, Shock, Thinning, area_ratio, fault
from .physics.gas import circle_area, void_force
from .physics.numbers import Array, Real
from .physics.oil import carreau_share
from .physics.orifice import (
    AREA_RATIO_FITTED,
    LENGTH_RATIO_FITTED,
    REYNOLDS_FITTED,
    Hole,
    Passages,
    creeping_share,
    gap_conductance,
    largest_reynolds,
    largest_wall_shear,
    piston_conductance,
    piston_flow,
    piston_loss,
)
from .pocket import pocket_of, pressure, spare
from .quantities import Q

STILL_M3_S = 1e-100
"""Flow below which a piston stands still: its loss is all creeping."""
GAP_SHARE_VALID = 0.05
"""Largest gap, bore less piston over bore, for which the gap's flow is good."""
THINNED_PERCENT = 95.0
"""Viscosity in the holes, per cent of that at rest, below which it is said that the force has the thinning in."""
LENGTH_RATIO_LONGEST = 5.0
"""Largest L/d for which the loss was checked against flow solutions."""

_GRADE_CST = np.array([100.0, 350.0, 1000.0, 10_000.0, 100_000.0])
_THINS_FROM = np.array([3.4e5, 4.3e4, 7.3e3, 3.3e2, 15.0])
"""Shear rate, 1/s, from which a silicone oil of a grade may thin: 0.05 over the Rouse time (from memory)."""


class Built(NamedTuple):
    """Areas and passages of a shock with its oil at a temperature; SI, floats or arrays."""

    bore_area: Real
    shaft_area: Real
    compression: Passages
    rebound: Passages

    @property
    def annulus(self) -> Real:
        """Area that pushes oil past the piston, m^2."""
        return self.bore_area - self.shaft_area


def passages(shock: Shock, oil: OilState, direction: str) -> Passages:
    """Ways past the piston in a direction, the largest total area first."""
    return ways_past(shock.piston, shock.bore_mm, shock.oil.thinning, oil, direction)


def ways_past(piston: Piston, bore_mm: float, thinning: Thinning | None, oil: OilState, direction: str) -> Passages:
    """Ways past a piston in a bore in a direction, the largest total area first."""
    ratio, length = area_ratio(piston, bore_mm, direction), piston.thickness_mm * 1e-3
    kinds = sorted(
        (h for h in piston.holes if h.direction in ("both", direction)),
        key=lambda h: -h.count * h.diameter_mm**2,
    )
    thins = _thinning(thinning)
    holes = tuple(
        Hole(h.diameter_mm * 1e-3, length, oil.dynamic, oil.density, ratio, h.edge_factor, *thins) for h in kinds
    )
    across = piston.diameter_mm
    gap = (
        0.0
        if across is None
        else gap_conductance(bore_mm * 1e-3, across * 1e-3, length, oil.dynamic, piston.eccentricity)
    )
    return Passages(holes, tuple(float(h.count) for h in kinds), gap)


def _thinning(law: Thinning | None) -> tuple[float, ...]:
    """Last fields of a hole: how the oil thins; none where the owner gave nothing."""
    return () if law is None else (law.relaxation_time_s, law.power_index, law.floor_share)


def built(shock: Shock, temperature_c: float) -> Built:
    """Areas and passages of a shock at an oil temperature."""
    oil = oil_state(shock.oil, temperature_c)
    return Built(
        float(circle_area(shock.bore_mm * 1e-3)),
        float(circle_area(shock.shaft_mm * 1e-3)),
        passages(shock, oil, "compression"),
        passages(shock, oil, "rebound"),
    )


def damping_force(speed: Real, annulus: Real, ways: Passages) -> Array:
    """Force of a piston at a steady speed, N; odd in the speed."""
    return np.asarray(annulus * piston_loss(annulus * np.asarray(speed), ways))


def low_speed_damping(annulus: Real, ways: Passages) -> Array:
    """Damping coefficient as the speed goes to zero, N s/m."""
    return np.asarray(np.square(annulus) / piston_conductance(ways))


class DampingFigures(msgspec.Struct, frozen=True, kw_only=True):
    """Damping of a shock without its curve."""

    low_speed_compression_n_s_m: Annotated[float, Q("low_speed_n_s_m")]
    low_speed_rebound_n_s_m: Annotated[float, Q("low_speed_n_s_m")]
    leak_share_compression: Annotated[float, Q("leak_share")]
    leak_share_rebound: Annotated[float, Q("leak_share")]
    void_force_n: Annotated[float, Q("void_force_n")] | None
    void_speed_m_s: Annotated[float, Q("void_speed_m_s")] | None


class DampingCurve(DampingFigures, frozen=True, kw_only=True):
    """Damping over speed, as columns."""

    findings: tuple[Finding, ...] = ()
    assumed: tuple[Assumed, ...] = ()
    cautions: tuple[str, ...] = ()
    provenance: Provenance = msgspec.field(default_factory=Provenance)
    speed_m_s: tuple[Annotated[float, Q("shaft_speed_m_s")], ...]
    compression_n: tuple[Annotated[float, Q("compression_n")], ...]
    rebound_n: tuple[Annotated[float, Q("rebound_n")], ...]
    compression_capped_n: tuple[Annotated[float, Q("compression_capped_n")], ...]
    viscous_share_compression: tuple[Annotated[float, Q("viscous_share")], ...]
    viscous_share_rebound: tuple[Annotated[float, Q("viscous_share")], ...]
    reynolds_compression: tuple[Annotated[float, Q("reynolds")], ...]
    reynolds_rebound: tuple[Annotated[float, Q("reynolds")], ...]


def figures(shock: Shock, temperature_c: float, insertion_mm: float | None = None) -> DampingFigures:
    """Low-speed damping both ways, leak, and where the void opens (at mid-stroke unless said)."""
    b = built(shock, temperature_c)
    insertion = 0.5 * shock.stroke_mm if insertion_mm is None else insertion_mm
    p_cap = float(pressure(pocket_of(shock, temperature_c), insertion * 1e-3))
    locked = not np.isfinite(p_cap)
    return DampingFigures(
        low_speed_compression_n_s_m=float(low_speed_damping(b.annulus, b.compression)),
        low_speed_rebound_n_s_m=float(low_speed_damping(b.annulus, b.rebound)),
        leak_share_compression=float(b.compression.gap / piston_conductance(b.compression)),
        leak_share_rebound=float(b.rebound.gap / piston_conductance(b.rebound)),
        void_force_n=None if locked else float(void_force(p_cap, b.bore_area, b.shaft_area)),
        void_speed_m_s=None if locked else float(piston_flow(p_cap, b.compression) / b.annulus),
    )


def closed_ways(piston: Piston) -> list[str]:
    """Directions in which no hole is open, so that oil passes around the piston alone."""
    ways = ("compression", "rebound")
    return [way for way in ways if not any(h.direction in ("both", way) for h in piston.holes)]


def shock_findings(shock: Shock, at: str, temperature_c: float) -> list[Finding]:
    """What the models of loss and oil have to say of a shock, whatever the speed."""
    found = []
    ratio = max(area_ratio(shock.piston, shock.bore_mm, way) for way in ("compression", "rebound"))
    if ratio > AREA_RATIO_FITTED:
        found.append(finding("area_ratio_high", f"{at}/piston/holes", ratio, AREA_RATIO_FITTED))
    slender = shock.piston.thickness_mm / max(h.diameter_mm for h in shock.piston.holes)
    if slender < LENGTH_RATIO_FITTED:
        found.append(finding("hole_short", f"{at}/piston/holes", slender, LENGTH_RATIO_FITTED))
    slim = shock.piston.thickness_mm / min(h.diameter_mm for h in shock.piston.holes)
    if slim > LENGTH_RATIO_LONGEST:
        found.append(finding("hole_long", f"{at}/piston/holes", slim, LENGTH_RATIO_LONGEST))
    across = shock.piston.diameter_mm
    if across is not None and shock.bore_mm - across > GAP_SHARE_VALID * shock.bore_mm:
        limit = GAP_SHARE_VALID * shock.bore_mm
        found.append(finding("gap_wide", f"{at}/piston/diameter_mm", shock.bore_mm - across, limit))
    found += [finding("closed_one_way", f"{at}/piston/holes", name=way) for way in closed_ways(shock.piston)]
    found += oil_findings(shock.oil, temperature_c, f"{at}/oil")
    if isinstance(shock.fill, Emulsion):
        found.append(finding("emulsion_lags", f"{at}/fill"))
    return found


def thins_from(shock: Shock) -> float:
    """Wall shear rate from which the oil's grade may begin to thin, 1/s."""
    return grade_thins_from(kinematic(shock.oil, 25.0) * 1e6)


def grade_thins_from(grade_cst: float) -> float:
    """Wall shear rate from which a silicone oil of a grade may begin to thin, 1/s."""
    return float(np.exp(np.interp(np.log(grade_cst), np.log(_GRADE_CST), np.log(_THINS_FROM))))


def _speed_findings(shock: Shock, shear: float, reynolds: float, force: float, cap: float | None) -> list[Finding]:
    found = []
    limit, law = thins_from(shock), _thinning(shock.oil.thinning)
    if law:
        left = 100.0 * float(carreau_share(shear, *law))
        if left < THINNED_PERCENT:
            found.append(finding("thinned", "/shock/oil/thinning", left, THINNED_PERCENT))
    elif shock.oil.family == "silicone" and shear > limit:
        found.append(finding("thinning", "/shock/oil", shear, limit))
    if reynolds > REYNOLDS_FITTED:
        found.append(finding("reynolds_high", "/shock/piston", reynolds, REYNOLDS_FITTED))
    if cap is not None and force > cap:
        found.append(finding("beyond_void", "/speeds_m_s", force, cap))
    return found


@calculation()
def damping_curve(
    *,
    shock: Shock,
    speeds_m_s: Annotated[
        tuple[Annotated[float, Q("speed_m_s")], ...], msgspec.Meta(min_length=1, max_length=10_000)
    ],
    temperature_c: Annotated[float, Q("temperature_c")] = 25.0,
    insertion_mm: Annotated[float, Q("insertion_mm")] | None = None,
) -> DampingCurve:
    """Damping force of a shock over shaft speed, both ways, and where a void opens.

    Parameters
    ----------
    shock : the built shock.
    speeds_m_s : shape (n,), shaft speeds, not negative [m/s].
    temperature_c : of the oil [C].
    insertion_mm : shaft insertion at which the void force is taken [mm]; mid-stroke unless given.

    Raises
    ------
    InputError : a value is impossible.

    Examples
    --------
    >>> from libdamp.demo import demo_corner
    >>> damping_curve(shock=demo_corner("demo-truck.front").shock, speeds_m_s=(0.1,)).compression_n[0] > 0
    True
    """
    if insertion_mm is not None and insertion_mm > shock.stroke_mm:
        text = f"insertion_mm = {insertion_mm:g} mm: must be no more than stroke_mm = {shock.stroke_mm:g} mm"
        raise InputError([fault("/insertion_mm", text, insertion_mm, shock.stroke_mm)])
    speed = np.asarray(speeds_m_s)
    b, heads = built(shock, temperature_c), figures(shock, temperature_c, insertion_mm)
    flow = b.annulus * speed
    force = damping_force(speed, b.annulus, b.compression)
    back = damping_force(speed, b.annulus, b.rebound)
    cap = heads.void_force_n
    re = [largest_reynolds(flow, ways) for ways in (b.compression, b.rebound)]
    shear = max(float(np.max(largest_wall_shear(flow, ways))) for ways in (b.compression, b.rebound))
    shares = [_share(flow, ways) for ways in (b.compression, b.rebound)]
    found = shock_findings(shock, "/shock", temperature_c)
    found += _speed_findings(shock, shear, float(np.max(re)), float(np.max(force)), cap)
    if cap is None:
        at = 0.5 * shock.stroke_mm if insertion_mm is None else insertion_mm
        room = float(spare(pocket_of(shock, temperature_c), at * 1e-3))
        found.append(finding("lock_cold", "/shock/fill", room * 1e6, 0.0))
    return DampingCurve(
        findings=tuple(found),
        speed_m_s=tuple(speed.tolist()),
        compression_n=tuple(force.tolist()),
        rebound_n=tuple((0.0 - back).tolist()),
        compression_capped_n=tuple((force if cap is None else np.minimum(force, cap)).tolist()),
        viscous_share_compression=tuple(shares[0].tolist()),
        viscous_share_rebound=tuple(shares[1].tolist()),
        reynolds_compression=tuple(re[0].tolist()),
        reynolds_rebound=tuple(re[1].tolist()),
        **msgspec.structs.asdict(heads),
    )


def _share(flow: Array, ways: Passages) -> Array:
    """Creeping share of the loss; 1 at rest, its limit."""
    moves = flow > STILL_M3_S
    moving = np.where(moves, flow, 1.0)
    return np.where(moves, np.minimum(creeping_share(moving, ways), 1.0), 1.0)
