"""What a drop does to a corner, and from which height the chassis just touches."""

import math
from collections.abc import Iterable
from typing import Annotated, NamedTuple

import msgspec

from .answers import Answer, calculation
from .car import Corner
from .fast_findings import Fast, fast_findings
from .findings import Finding, finding
from .moving import Ready, Settings, alone, ready
from .physics.chamber import VentedRun
from .physics.fastening import load_from_difference
from .quantities import Q
from .runs import LONGEST_S, MOST_STEPS, QUIET_S, Effort, Watch, can_fall, fall, ledger, quiet, resolved
from .stance import ride_figures
from .touching import COARSE, FIRST_GUESS_M, HIGHEST_M, TYRE_NAMES, VOID_HOLE_FACTOR, bounds, impact, touch

SLOW_S = 0.5
"""Settling that takes longer earns a finding."""
HIGH_BOUNCE_MM = 10.0
"""A bounce higher than this earns a finding (judgement)."""
BOUND_S = 0.6
"""Longest time that a bound's landing is followed: bounce and force are past, thick oil may still creep down."""
ROWS = 400
"""Largest number of rows of a series."""

VoidFactor = Annotated[float, Q("void_hole_factor")]
VoidPressure = Annotated[float, Q("void_kpa")]
StopRate = Annotated[float, Q("stop_rate_n_mm")]
GroundRate = Annotated[float, Q("ground_rate_n_mm")]
GroundDamping = Annotated[float, Q("ground_damping_n_s_m")]


class Energy(msgspec.Struct, frozen=True, kw_only=True):
    """Where the energy of first contact is when the body is lowest; potential is below zero there."""

    start_j: Annotated[float, Q("energy.start_j")]
    kinetic_j: Annotated[float, Q("energy.kinetic_j")]
    potential_j: Annotated[float, Q("energy.potential_j")]
    spring_j: Annotated[float, Q("energy.spring_j")]
    gas_j: Annotated[float, Q("energy.gas_j")]
    void_j: Annotated[float, Q("energy.void_j")]
    oil_j: Annotated[float, Q("energy.oil_j")]
    drag_j: Annotated[float, Q("energy.drag_j")]
    tyre_j: Annotated[float, Q("energy.tyre_j")]
    stops_j: Annotated[float, Q("energy.stops_j")]
    ground_j: Annotated[float, Q("energy.ground_j")]


class Series(msgspec.Struct, frozen=True, kw_only=True):
    """A landing over time, as columns; empty unless asked for."""

    time_s: tuple[Annotated[float, Q("time_s")], ...] = ()
    insertion_mm: tuple[Annotated[float, Q("series.insertion_mm")], ...] = ()
    speed_m_s: tuple[Annotated[float, Q("series.speed_m_s")], ...] = ()
    shock_n: tuple[Annotated[float, Q("series.shock_n")], ...] = ()
    void_ml: tuple[Annotated[float, Q("series.void_ml")], ...] = ()
    cap_kpa: tuple[Annotated[float, Q("series.cap_kpa")], ...] = ()
    clearance_mm: tuple[Annotated[float, Q("series.clearance_mm")], ...] = ()
    tyre_n: tuple[Annotated[float, Q("series.tyre_n")], ...] = ()


class LandingBound(msgspec.Struct, frozen=True, kw_only=True):
    """The same landing with one unknown thing set otherwise, followed through its first bounce."""

    name: str
    least_clearance_mm: Annotated[float, Q("least_clearance_mm")]
    peak_insertion_mm: Annotated[float, Q("peak_insertion_mm")]
    peak_shock_n: Annotated[float, Q("peak_shock_n")]
    bounce_height_mm: Annotated[float, Q("bounce_height_mm")]


class Drop(Answer, frozen=True, kw_only=True):
    """What a drop does to a corner."""

    least_clearance_mm: Annotated[float, Q("least_clearance_mm")] | None = None
    peak_insertion_mm: Annotated[float, Q("peak_insertion_mm")] | None = None
    peak_shaft_speed_m_s: Annotated[float, Q("peak_shaft_speed_m_s")] | None = None
    peak_shock_n: Annotated[float, Q("peak_shock_n")] | None = None
    peak_pull_n: Annotated[float, Q("peak_pull_n")] | None = None
    peak_piston_difference_kpa: Annotated[float, Q("peak_piston_difference_kpa")] | None = None
    piston_load_n: Annotated[float, Q("piston_load_n")] | None = None
    peak_void_ml: Annotated[float, Q("peak_void_ml")] | None = None
    peak_cap_kpa: Annotated[float, Q("peak_cap_kpa")] | None = None
    bounce_height_mm: Annotated[float, Q("bounce_height_mm")] | None = None
    body_rise_mm: Annotated[float, Q("body_rise_mm")] | None = None
    lost_motion_mm: Annotated[float, Q("lost_motion_mm")] | None = None
    settle_s: Annotated[float, Q("settle_s")] | None = None
    energy: Energy | None = None
    bounds: tuple[LandingBound, ...] = ()
    series: Series = Series()


class _Kept(NamedTuple):
    """A run of one corner with what was noted on the way."""

    watch: Watch
    energy: dict[str, float]
    settled: bool
    rows: list[tuple[float, ...]]


def _row(watch: Watch, time: float) -> tuple[float, ...]:
    run, inside = watch.run, watch.run.chamber
    return (
        time,
        run.insertion * 1e3,
        run.speed,
        run.force,
        inside.void * 1e6,
        inside.cap * 1e-3,
        -run.depth * 1e3,
        max(run.tyre, 0.0),
    )


def _run(corner: Ready, speed: float, keep: bool, effort: Effort) -> _Kept:
    """A landing until the body has stayed at rest, with the ledger at its lowest point.

    Raises
    ------
    ArithmeticError : it cannot be worked out.
    """
    begun = fall(corner, speed)
    body, wheel = begun.body, begun.wheel
    energy: dict[str, float] = {}
    rows: list[tuple[float, ...]] = []
    low = math.inf

    def look(watch: Watch, time: float) -> bool:
        nonlocal low
        run = watch.run
        if time == 0.0:
            energy.clear()
            rows.clear()
            low = math.inf
        if keep:
            rows.append(_row(watch, time))
        if run.now_body >= 0.0 and watch.lowest < low:
            low = watch.lowest
            energy.update(ledger(run, body, wheel))
        return bool(quiet(watch, time))

    watch = resolved(corner, speed, LONGEST_S, look, effort)
    if not energy:
        energy.update(ledger(watch.run, body, wheel))
    rows = rows[:: 1 + len(rows) // ROWS]
    return _Kept(watch, energy, watch.settled < LONGEST_S - QUIET_S, rows)


def _bounds(around: dict[str, Ready], speed: float, effort: Effort) -> tuple[LandingBound, ...]:
    found = []
    for name, corner in around.items():
        try:
            watch = resolved(corner, speed, BOUND_S, quiet, effort)
        except ArithmeticError:
            continue
        found.append(
            LandingBound(
                name=name,
                least_clearance_mm=watch.least * 1e3,
                peak_insertion_mm=watch.insertion * 1e3,
                peak_shock_n=watch.force,
                bounce_height_mm=watch.bounce * 1e3 + 0.0,
            )
        )
    return tuple(found)


def _around(corner: Corner, temperature_c: float, settings: Settings, base: Ready) -> dict[str, Ready]:
    """The corner at every bound, ready to move."""
    tight = ready(corner, temperature_c, settings._replace(void_hole_factor=VOID_HOLE_FACTOR))
    return bounds(base, None if tight is None else alone(tight))


def settings_of(
    void_hole_factor: float, void_kpa: float, stop_rate: float, ground_rate: float, ground_damping: float
) -> Settings:
    """Settings of a run from a request's numbers (kPa, N/mm, N s/m)."""
    return Settings(void_hole_factor, void_kpa * 1e3, stop_rate * 1e3, ground_rate * 1e3, ground_damping)


def standing(corner: Corner, temperature_c: float) -> list[Finding]:
    """What a run must say of a corner before it moves."""
    return [f for f in ride_figures(corner, temperature_c)[1] if f.code not in ("steps_unknown", "collar_unknown")]


def no_run(found: list[Finding]) -> list[Finding]:
    """Findings of a corner that cannot be run: something must say why."""
    if not any(f.severity == "do_not_run" for f in found):
        found = [*found, finding("cannot_move", "/corner")]
    return found


def unresolved(found: list[Finding]) -> list[Finding]:
    """Findings of a corner whose run no time step resolves within the effort of a calculation."""
    return [*found, finding("not_resolved", "/corner", None, float(MOST_STEPS))]


def _left_out(around: dict[str, Ready], bounds: Iterable["LandingBound | TouchBound"]) -> list[Finding]:
    """What there is to know about bounds that could not be worked out."""
    names = set(around) - {b.name for b in bounds}
    return [finding("bound_left_out", "/corner", name=", ".join(n for n in around if n in names))] if names else []


def _landing_findings(corner: Corner, run: _Kept, temperature_c: float) -> list[Finding]:
    """What there is to know about a landing."""
    watch, c, found = run.watch, run.watch.run.c, []
    if watch.clearance < 0.0:
        found.append(finding("slap", "/height_mm", watch.clearance * 1e3, 0.0))
    if watch.squash > c.rim:
        found.append(finding("rim_strike", "/corner/tyre/sidewall_mm", watch.squash * 1e3, c.rim * 1e3))
    if watch.bounce * 1e3 > HIGH_BOUNCE_MM:
        found.append(finding("bounce", "/corner/shock", watch.bounce * 1e3, HIGH_BOUNCE_MM))
    if isinstance(watch.run.chamber, VentedRun) and watch.run.chamber.least_gas <= 0.0:
        found.append(finding("vented_full", "/corner/shock/fill/room_ml", watch.force, 0.0))
    if not run.settled:
        found.append(finding("not_settled", "/corner/shock", LONGEST_S, LONGEST_S))
    elif watch.settled > SLOW_S:
        found.append(finding("slow_settling", "/corner/shock", watch.settled, SLOW_S))
    seen = Fast(watch.speed, watch.over, watch.void, watch.void_from, max(watch.difference, -watch.back))
    return found + fast_findings(corner.shock, "/corner", temperature_c, seen)


@calculation("jumping", "drop_test", "battery")
def drop(
    *,
    corner: Corner,
    height_mm: Annotated[float, Q("height_mm")],
    temperature_c: Annotated[float, Q("temperature_c")] = 25.0,
    void_hole_factor: VoidFactor = 1.0,
    void_kpa: VoidPressure = 0.0,
    stop_rate_n_mm: StopRate = 300.0,
    ground_rate_n_mm: GroundRate = 100.0,
    ground_damping_n_s_m: GroundDamping = 60.0,
    series: bool = False,
) -> Drop:
    """What a corner does that falls flat onto its wheel, shock fully out.

    Parameters
    ----------
    corner : the corner; it falls straight and level, with its share of the car.
    height_mm : height of the fall, tyre over ground [mm].
    temperature_c : of the oil [C].
    void_hole_factor : on the inertial loss of a hole that discharges into an empty space, 1..1.6 [1].
    void_kpa : pressure of that empty space, 0..50 [kPa].
    stop_rate_n_mm : of the stops at either end of the stroke [N/mm].
    ground_rate_n_mm, ground_damping_n_s_m : of the chassis on the ground [N/mm], [N s/m].
    series : whether the landing over time is wanted too.

    Raises
    ------
    InputError : a value is impossible.

    Examples
    --------
    >>> from libdamp.demo import demo_corner
    >>> drop(corner=demo_corner("demo-truck.front"), height_mm=150.0).least_clearance_mm > 0
    True
    """
    settings = settings_of(void_hole_factor, void_kpa, stop_rate_n_mm, ground_rate_n_mm, ground_damping_n_s_m)
    found = standing(corner, temperature_c)
    prepared = ready(corner, temperature_c, settings)
    if prepared is None or not (math.isfinite(prepared.rest) and can_fall(prepared)):
        return Drop(findings=tuple(no_run(found)))
    one, speed, effort = alone(prepared), impact(height_mm * 1e-3), Effort()
    try:
        run = _run(one, speed, series, effort)
    except ArithmeticError:
        return Drop(findings=tuple(unresolved(found)))
    around = _around(corner, temperature_c, settings, one)
    ends = _bounds(around, speed, effort)
    watch = run.watch
    found += _landing_findings(corner, run, temperature_c) + _left_out(around, ends)
    difference = max(watch.difference, -watch.back)
    areas = prepared.chamber.bore_area, prepared.chamber.shaft_area
    mass = prepared.moving.sprung + prepared.moving.unsprung
    columns = dict(zip(Series.__struct_fields__, zip(*run.rows, strict=True), strict=bool(run.rows)))
    return Drop(
        findings=tuple(found),
        least_clearance_mm=watch.least * 1e3,
        peak_insertion_mm=watch.insertion * 1e3,
        peak_shaft_speed_m_s=watch.speed,
        peak_shock_n=watch.force,
        peak_pull_n=0.0 - watch.pull,
        peak_piston_difference_kpa=difference * 1e-3,
        piston_load_n=float(load_from_difference(difference, *areas)),
        peak_void_ml=watch.void * 1e6,
        peak_cap_kpa=watch.cap * 1e-3,
        bounce_height_mm=watch.bounce * 1e3 + 0.0,
        body_rise_mm=(watch.highest + prepared.rest) * 1e3,
        lost_motion_mm=watch.lost * 1e3,
        settle_s=watch.settled,
        energy=Energy(start_j=0.5 * mass * speed * speed, **{f"{k}_j": v for k, v in run.energy.items()}),
        bounds=ends,
        series=Series(**columns),
    )


class TouchBound(msgspec.Struct, frozen=True, kw_only=True):
    """The touch height with one unknown thing set otherwise; null where the chassis never touches."""

    name: str
    height_mm: Annotated[float, Q("touch_height_mm")] | None


class TouchHeight(Answer, frozen=True, kw_only=True):
    """From which height the chassis just touches, with its band."""

    height_mm: Annotated[float, Q("touch_height_mm")] | None = None
    low_mm: Annotated[float, Q("touch_low_mm")] | None = None
    high_mm: Annotated[float, Q("touch_high_mm")] | None = None
    tyre_low_mm: Annotated[float, Q("touch_tyre_low_mm")] | None = None
    tyre_high_mm: Annotated[float, Q("touch_tyre_high_mm")] | None = None
    bounds: tuple[TouchBound, ...] = ()


def _touch_bounds(around: dict[str, Ready], height: float | None, effort: Effort) -> tuple[TouchBound, ...]:
    found = []
    for name, corner in around.items():
        try:
            at = touch(corner, height or FIRST_GUESS_M, COARSE, effort)
        except ArithmeticError:
            continue
        found.append(TouchBound(name=name, height_mm=None if at is None else 1e3 * at))
    return tuple(found)


def _ends(height_mm: float, around: list[TouchBound]) -> tuple[float, float | None]:
    """Lowest and highest touch height; the highest None where one of them never touches."""
    heights = [b.height_mm for b in around]
    known = [height_mm, *(h for h in heights if h is not None)]
    return min(known), None if None in heights else max(known)


@calculation("jumping", "drop_test", "battery")
def touch_height(
    *,
    corner: Corner,
    temperature_c: Annotated[float, Q("temperature_c")] = 25.0,
    void_hole_factor: VoidFactor = 1.0,
    void_kpa: VoidPressure = 0.0,
    stop_rate_n_mm: StopRate = 300.0,
) -> TouchHeight:
    """Height of a fall straight down from which the chassis just touches the ground, with its band.

    Parameters
    ----------
    corner : the corner; it falls straight and level, with its share of the car.
    temperature_c : of the oil [C].
    void_hole_factor : on the inertial loss of a hole that discharges into an empty space, 1..1.6 [1].
    void_kpa : pressure of that empty space, 0..50 [kPa].
    stop_rate_n_mm : of the stops at either end of the stroke [N/mm].

    Raises
    ------
    InputError : a value is impossible.

    Examples
    --------
    >>> from libdamp.demo import demo_corner
    >>> touch_height(corner=demo_corner("demo-truck.front")).height_mm > 100
    True
    """
    settings = settings_of(void_hole_factor, void_kpa, stop_rate_n_mm, 100.0, 60.0)
    found = standing(corner, temperature_c)
    prepared = ready(corner, temperature_c, settings)
    if prepared is None or not math.isfinite(prepared.rest):
        return TouchHeight(findings=tuple(no_run(found)))
    one, effort = alone(prepared), Effort()
    try:
        height = touch(one, FIRST_GUESS_M, effort=effort)
    except ArithmeticError:
        return TouchHeight(findings=tuple(unresolved(found)))
    around = _around(corner, temperature_c, settings, one)
    ends = _touch_bounds(around, height, effort)
    found += _left_out(around, ends)
    if height is None:
        found.append(finding("never_touches", "/corner", HIGHEST_M * 1e3, HIGHEST_M * 1e3))
        return TouchHeight(findings=tuple(found), bounds=ends)
    if height == 0.0:
        found.append(finding("touches_at_once", "/corner/level_clearance_mm", 0.0, 0.0))
    low, high = _ends(height * 1e3, [b for b in ends if b.name not in TYRE_NAMES])
    tyre_low, tyre_high = _ends(height * 1e3, [b for b in ends if b.name in TYRE_NAMES])
    if high is None or tyre_high is None:
        found.append(finding("band_open", "/corner", HIGHEST_M * 1e3, HIGHEST_M * 1e3))
    return TouchHeight(
        findings=tuple(found),
        height_mm=height * 1e3,
        low_mm=low,
        high_mm=high,
        tyre_low_mm=tyre_low,
        tyre_high_mm=tyre_high,
        bounds=ends,
    )
