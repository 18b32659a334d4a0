"""One corner at rest: level arms, the real step of preload, clearance, droop, stops, rates, damping ratio."""

from typing import Annotated

import msgspec
import numpy as np

from .answers import Assumed, Provenance, calculation
from .car import Corner, Pairs
from .damping import built, low_speed_damping, shock_findings
from .filling import number
from .findings import Finding, finding
from .pocket import oil_gain, spare
from .quantities import Q
from .riding import LOOSE_M, Dynamics, Riding, real_steps, riding
from .standing import STOPS, Level, Stand, Stop, collar_at, level, pairs_parabola, stand_of

PAIRS_SCATTER_MM = 0.2
"""Residual of measured pairs above which a ruler was at work, not calipers."""

Spacers = Annotated[tuple[Annotated[float, Q("spacer_mm")], ...], msgspec.Meta(max_length=12)]


class NextStep(msgspec.Struct, frozen=True, kw_only=True):
    """The nearest real step of preload and the height error that it leaves."""

    preload_mm: Annotated[float, Q("preload_now_mm")]
    collar_mm: Annotated[float, Q("collar_mm")] | None
    height_error_mm: Annotated[float, Q("height_error_mm")] | None


class RideFigures(msgspec.Struct, frozen=True, kw_only=True):
    """A corner at level arms (first) and as it stands."""

    motion_ratio: Annotated[float, Q("ratio_at_level")] | None
    shock_length_mm: Annotated[float, Q("shock_length_mm")]
    shock_force_n: Annotated[float, Q("shock_force_n")] | None
    spring_force_n: Annotated[float, Q("spring_force_n")] | None
    gas_force_n: Annotated[float, Q("gas_force_n")] | None
    preload_for_level_mm: Annotated[float, Q("preload_for_level_mm")] | None
    collar_for_level_mm: Annotated[float, Q("collar_mm")] | None
    next_step: NextStep | None
    preload_mm: Annotated[float, Q("preload_now_mm")] | None
    collar_mm: Annotated[float, Q("collar_mm")] | None
    wheel_travel_mm: Annotated[float, Q("wheel_travel_mm")] | None
    clearance_mm: Annotated[float, Q("clearance_mm")] | None
    droop_travel_mm: Annotated[float, Q("droop_travel_mm")] | None
    bump_travel_mm: Annotated[float, Q("bump_travel_mm")] | None
    wheel_rate_n_mm: Annotated[float, Q("wheel_rate_n_mm")] | None
    frequency_hz: Annotated[float, Q("frequency_hz")] | None
    frequency_with_tyre_hz: Annotated[float, Q("frequency_with_tyre_hz")] | None
    wheel_hop_hz: Annotated[float, Q("wheel_hop_hz")] | None
    damping_ratio_compression: Annotated[float, Q("damping_ratio")] | None
    damping_ratio_rebound: Annotated[float, Q("damping_ratio")] | None
    drag_band_mm: Annotated[float, Q("drag_band_mm")] | None
    first_stop: Stop | None


class Ride(RideFigures, frozen=True, kw_only=True):
    """A corner at rest, with the envelope."""

    findings: tuple[Finding, ...] = ()
    assumed: tuple[Assumed, ...] = ()
    cautions: tuple[str, ...] = ()
    provenance: Provenance = msgspec.field(default_factory=Provenance)


def dynamics_of(corner: Corner, temperature_c: float) -> Dynamics:
    """Masses, tyre, friction and low-speed damping of a corner, SI."""
    b = built(corner.shock, temperature_c)
    return Dynamics(
        sprung=corner.sprung_mass_g * 1e-3,
        unsprung=corner.unsprung_mass_g * 1e-3,
        tyre_rate=corner.tyre.rate_n_mm * 1e3,
        drag=corner.shock.seal_drag_n,
        compression=float(low_speed_damping(b.annulus, b.compression)),
        rebound=float(low_speed_damping(b.annulus, b.rebound)),
    )


def mm(value: float | np.ndarray) -> float | None:
    """A length in mm, or None where it does not exist."""
    return number(float(value) * 1e3 + 0.0)


def plain(value: float | np.ndarray) -> float | None:
    """A number, or None where it does not exist."""
    return number(float(value) + 0.0)


def _next_step(
    stand: Stand, at: Level, dynamics: Dynamics, collar_step_mm: float | None, spacers_mm: tuple[float, ...] | None
) -> NextStep | None:
    if collar_step_mm is None and spacers_mm is None:
        return None
    step = None if collar_step_mm is None else collar_step_mm * 1e-3
    preload = float(real_steps(stand, at, step, tuple(s * 1e-3 for s in spacers_mm or ()), 0)[0])
    if mm(preload) is None:
        return None
    error = mm(-riding(stand, preload, dynamics).rest.travel)
    return NextStep(preload_mm=preload * 1e3, collar_mm=mm(collar_at(stand, preload)), height_error_mm=error)


def ride_figures(
    corner: Corner,
    temperature_c: float,
    collar_step_mm: float | None = None,
    spacers_mm: tuple[float, ...] | None = None,
    at: str = "/corner",
) -> tuple[RideFigures, list[Finding]]:
    """Figures and findings of a corner; `at` is where it stands in the request."""
    stand, dynamics = stand_of(corner, temperature_c), dynamics_of(corner, temperature_c)
    lv = level(stand)
    preload = float(lv.preload) if corner.preload_mm is None else corner.preload_mm * 1e-3
    r = riding(stand, preload, dynamics)
    found = shock_findings(corner.shock, f"{at}/shock", temperature_c)
    found += stance_findings(corner, stand, lv, r, preload, at)
    if collar_step_mm is None and spacers_mm is None:
        found.append(finding("steps_unknown", f"{at}/preload_mm"))
    fill = corner.shock.fill
    if fill.filled_at_c is not None and oil_gain(corner.shock, fill.filled_at_c, temperature_c) is None:
        found.append(finding("cavity_unknown", f"{at}/shock/cavity_length_mm"))
    stop = None if mm(r.bump_travel) is None else STOPS[int(r.stop)]
    return RideFigures(
        motion_ratio=plain(lv.ratio),
        shock_length_mm=float(lv.length) * 1e3,
        shock_force_n=plain(lv.shock_force),
        spring_force_n=plain(lv.spring_force),
        gas_force_n=plain(lv.gas_force),
        preload_for_level_mm=mm(lv.preload),
        collar_for_level_mm=mm(lv.collar),
        next_step=_next_step(stand, lv, dynamics, collar_step_mm, spacers_mm),
        preload_mm=mm(preload),
        collar_mm=mm(collar_at(stand, preload)),
        wheel_travel_mm=mm(r.rest.travel),
        clearance_mm=mm(r.clearance),
        droop_travel_mm=mm(r.droop_travel),
        bump_travel_mm=mm(r.bump_travel),
        wheel_rate_n_mm=plain(r.wheel_rate * 1e-3),
        frequency_hz=plain(r.frequency),
        frequency_with_tyre_hz=plain(r.with_tyre),
        wheel_hop_hz=plain(r.hop),
        damping_ratio_compression=plain(r.ratio_compression),
        damping_ratio_rebound=plain(r.ratio_rebound),
        drag_band_mm=mm(r.drag_band),
        first_stop=stop,
    ), found


def stance_findings(corner: Corner, stand: Stand, lv: Level, r: Riding, preload: float, at: str) -> list[Finding]:
    """What there is to know about how a corner stands."""
    found = _reach(corner, stand, lv, r, at)
    if mm(lv.preload) is not None and mm(lv.collar) is None:
        found.append(finding("collar_unknown", f"{at}/spring/free_length_mm"))
    if mm(r.rest.bind_margin) is None:
        if corner.spring.free_length_mm is None or corner.spring.block_length_mm is None:
            found.append(finding("block_length_unknown", f"{at}/spring/block_length_mm"))
    elif r.rest.bind_margin < 0.0:
        found.append(finding("coil_bind", f"{at}/spring", mm(r.rest.bind_margin), 0.0))
    collar = mm(collar_at(stand, preload))
    if collar is not None and collar < 0.0:
        found.append(finding("collar_off", f"{at}/spring", collar, 0.0))
    if float(r.clearance) <= 0.0:
        found.append(finding("chassis_on_ground", f"{at}/level_clearance_mm", mm(r.clearance), 0.0))
    if preload < -LOOSE_M:
        found.append(finding("loose_spring", f"{at}/spring", preload * 1e3, 0.0))
    weight = float(stand.weight)
    if r.rest.sinks:
        found.append(finding("no_equilibrium", f"{at}/spring", weight - float(r.rest.lack), weight))
    elif r.rest.topped_out:
        found.append(finding("topped_out", f"{at}/spring", weight - float(r.rest.lack), weight))
    elif float(r.wheel_rate) <= 0.0:
        found.append(finding("falling_rate", f"{at}/linkage", plain(r.wheel_rate * 1e-3), 0.0))
    return found


def _reach(corner: Corner, stand: Stand, lv: Level, r: Riding, at: str) -> list[Finding]:
    """Findings on whether linkage, shock and fill can take the positions asked of them."""
    found, where = [], f"{at}/linkage"
    ratio = float(stand.kin.ratio(0.0))
    if not ratio > 0.0:
        found.append(finding("linkage_backwards", where, number(ratio), 0.0))
    elif not stand.limiter <= float(lv.insertion) <= stand.stroke:
        span = f"{stand.limiter * 1e3:g} to {stand.stroke * 1e3:g}"
        limit = stand.limiter if float(lv.insertion) < stand.limiter else stand.stroke
        found.append(finding("level_out_of_reach", where, mm(lv.insertion), limit * 1e3, span=span))
    for name, travel, length in (
        ("extended", r.rest.droop, stand.extended - stand.limiter),
        ("compressed", r.rest.shock_stop, stand.extended - stand.stroke),
    ):
        if mm(travel) is None:
            found.append(finding("linkage_out_of_reach", where, length * 1e3, name=name))
    room = float(spare(stand.pocket, stand.stroke))
    if room <= 0.0:
        code = "lock_hot" if stand.pocket.t > stand.pocket.t_fill else "lock_cold"
        found.append(finding(code, f"{at}/shock/fill", room * 1e6, 0.0))
    if isinstance(corner.linkage, Pairs):
        found += _pairs(corner.linkage, r, where)
    return found


def _pairs(pairs: Pairs, r: Riding, where: str) -> list[Finding]:
    found = []
    scatter = pairs_parabola(pairs)[3] * 1e3
    if scatter > PAIRS_SCATTER_MM:
        found.append(finding("pairs_scatter", where, scatter, PAIRS_SCATTER_MM))
    for reached, end in ((mm(r.rest.droop), min(pairs.travel_mm)), (mm(r.rest.shock_stop), max(pairs.travel_mm))):
        if reached is not None and abs(reached) > abs(end) + 1.0:
            found.append(finding("beyond_pairs", where, reached, end))
    return found


@calculation("springs_fly", "droop", "battery")
def ride(
    *,
    corner: Corner,
    temperature_c: Annotated[float, Q("temperature_c")] = 25.0,
    collar_step_mm: Annotated[float, Q("collar_step_mm")] | None = None,
    spacers_mm: Spacers | None = None,
) -> Ride:
    """How a corner stands: what level arms need, and what it does as it is.

    Parameters
    ----------
    corner : the corner; its `preload_mm` null means set for level arms.
    temperature_c : of the oil [C].
    collar_step_mm : smallest step of the collar [mm]; wins over spacers.
    spacers_mm : shape (n,), preload spacers in hand for one shock [mm].

    Raises
    ------
    InputError : a value is impossible.

    Examples
    --------
    >>> from libdamp.demo import demo_corner
    >>> ride(corner=demo_corner("demo-truck.front")).motion_ratio
    0.6791
    """
    heads, found = ride_figures(corner, temperature_c, collar_step_mm, spacers_mm)
    return Ride(findings=tuple(found), **{name: getattr(heads, name) for name in heads.__struct_fields__})
