"""A corner driven over bumps, and one that is pushed down and let go."""

import math
from typing import Annotated, Any, Literal, NamedTuple, TypeVar

import numpy as np

from .answers import Answer, calculation
from .car import Corner
from .drops import (
    GroundDamping,
    GroundRate,
    StopRate,
    VoidFactor,
    VoidPressure,
    no_run,
    settings_of,
    standing,
    unresolved,
)
from .errors import TooCostly
from .fast_findings import Fast, fast_findings
from .findings import Finding, finding
from .moving import Ready, alone, ready
from .oils import kinematic
from .physics.flow_table import FASTEST_M_S
from .physics.heat import cylinder_convection, radiation, steady_rise
from .physics.motion import Motion
from .physics.numbers import Array
from .physics.road import rise
from .quantities import Q
from .runs import CLOSES, MOST_STEPS, Course, Effort, Peak, Start, Watch, begun, carried, followed, halved, ledger
from .windows import LEAST_WORK_J, STEADY_M, STEADY_SHARE, WINDOW_S, WINDOWS, Road, period_of, road_of, step_over

Shape = Literal["washboard", "step", "road"]

STEP_TAIL_S = 0.6
"""Time that a step's run goes on after its top."""
FULL_CONTACT = 0.999
WALL_M = 2e-3
"""Wall of a body, for its outer surface (judgement)."""
AIR_SHARE = (0.1, 1.0)
"""Share of the driving speed with which air passes the shock: behind the wheel, in the open (judgement)."""
BLOCK_STEPS = 256
"""Time steps of a window that are kept before they are summed."""
PACKS_M = 5e-4
"""Mean shift beyond the drag's band from which a corner packs down."""
EMISSIVITY = 0.5
AMBIENT_K = 303.15


class Bumps(Answer, frozen=True, kw_only=True):
    """A corner on a surface, over whole periods once steady."""

    contact_share: Annotated[float, Q("contact_share")] | None = None
    mean_shift_mm: Annotated[float, Q("mean_shift_mm")] | None = None
    tyre_load_variation: Annotated[float, Q("tyre_load_variation")] | None = None
    least_clearance_mm: Annotated[float, Q("least_clearance_mm")] | None = None
    body_movement_mm: Annotated[float, Q("body_movement_mm")] | None = None
    peak_shock_n: Annotated[float, Q("peak_shock_n")] | None = None
    peak_void_ml: Annotated[float, Q("peak_void_ml")] | None = None
    shaft_speed_rms_m_s: Annotated[float, Q("shaft_speed_rms_m_s")] | None = None
    power_w: Annotated[float, Q("power_w")] | None = None
    oil_rise_c: Annotated[float, Q("oil_rise_c")] | None = None
    oil_rise_low_c: Annotated[float, Q("oil_rise_low_c")] | None = None
    oil_rise_high_c: Annotated[float, Q("oil_rise_high_c")] | None = None
    viscosity_share_warm: Annotated[float, Q("viscosity_share_warm")] | None = None
    steady: bool = False
    averaged_s: Annotated[float, Q("averaged_s")] | None = None


class Window(NamedTuple):
    """Averages over a window, and how far its ledger is open; floats, or arrays for a batch."""

    travel: Any
    body: Any
    low: Any
    high: Any
    contact: Any
    force: Any
    squares: Any
    speeds: Any
    work: Any
    missing: Any  # in the ledger, share of the energy that passed between ground and car
    time: float


class _Driven(NamedTuple):
    """The window that counts, the peaks in it, whether it is steady, and how many windows it took."""

    window: Window
    watch: Watch
    steady: bool
    windows: int


def window_of(run: Motion, watch: Watch | Peak, road: Road) -> Window:
    """One window of a run that goes on; floats, or arrays for a batch."""
    return carried(run, window_course(run, watch, road))


def window_course(run: Motion, watch: Watch | Peak, road: Road) -> Course[Window]:
    """Course of one window of a run that goes on; its ledger goes from the first step to the last."""
    before, lift = run.chamber.oil_work + run.drag_work, np.gradient(road.height)
    lift[[0, -1]] *= 0.5  # of the trapezoid rule: how far each step's force is carried
    held: Any = None
    seen: list[tuple[Any, ...]] = []
    blocks: list[Array] = []
    for i, (y, u) in enumerate(zip(road.height, road.speed, strict=True), 1):
        yield road.step, y, u, y if road.floor else 0.0
        watch.look(0.0)
        held = _energy(run) if held is None else held
        push = run.tyre + run.ground if road.floor else run.tyre
        seen.append((run.wheel - run.body, run.body, run.tyre, run.speed, push))
        if len(seen) == BLOCK_STEPS or i == len(road.height):
            blocks.append(_summed(seen, lift[i - len(seen) : i]))
            seen.clear()
    n, work, whole = len(road.height), run.chamber.oil_work + run.drag_work - before, np.array(blocks)
    rows = np.concatenate([np.sum(whole[:, :8], axis=0), np.min(whole[:, 8:], axis=0)])
    rows[:6] /= n
    travel, body, contact, force, squares, speeds, given, passed, low, deep = (
        rows if rows.ndim > 1 else rows.tolist()
    )
    missing = abs(_energy(run) - held - given) / (passed + LEAST_WORK_J)
    return Window(travel, body, low, -deep, contact, force, squares, speeds, work, missing, n * road.step)


def _energy(run: Motion) -> Any:
    """All the energy in the ledger, from a height of nothing."""
    return sum(ledger(run, 0.0, 0.0).values())


def _summed(seen: list[tuple[Any, ...]], lift: Array) -> Array:
    """Sums over some steps of what is averaged, the ground's work and its size; least height, less the greatest."""
    with np.errstate(all="ignore"):
        travel, body, tyre, shaft, push = np.moveaxis(np.array(seen), 1, 0)
        tyre, given = np.maximum(tyre, 0.0), (push.T * lift).T
        columns = (travel, body, tyre > 0.0, tyre, tyre * tyre, shaft * shaft, given, abs(given))
        sums = [np.sum(of, axis=0) for of in columns]
        return np.array([*sums, np.min(body, axis=0), np.min(-body, axis=0)])


def at_rest(corner: Ready) -> Motion:
    """A run that begins standing still; one corner or a batch."""
    return begun(standing_start(corner))


def agree(last: Window, following: Window) -> Any:
    """Whether two windows show a run that has become steady."""
    near = (abs(following.travel - last.travel) <= STEADY_M) & (abs(following.body - last.body) <= STEADY_M)
    gone = abs(following.work - last.work)
    return near & ((gone <= STEADY_SHARE * abs(following.work)) | (gone <= STEADY_SHARE * LEAST_WORK_J))


def sound(window: Window) -> Any:
    """Whether a window is resolved: finite, its ledger closed, the shaft no faster than the flow tables reach."""
    closed = (window.missing <= CLOSES) & (window.speeds <= FASTEST_M_S * FASTEST_M_S)
    return (abs(sum(window)) < math.inf) & closed


def load_variation(window: Window) -> Any:
    """Standard deviation of the tyre's force over its mean."""
    spread = window.squares - window.force * window.force
    return (spread * (spread > 0.0)) ** 0.5 / (window.force + 1e-9 * (window.force < 1e-9))


def _steady(run: Motion, watch: Watch, road: Road, effort: Effort | None = None) -> _Driven:
    """Windows until two agree, WINDOWS or the effort is used up; the last, with the peaks in it."""
    effort = Effort() if effort is None else effort
    count = len(road.height)
    effort.take(count)
    last, windows = window_of(run, watch, road), 1
    while windows < WINDOWS and effort.left > count:
        effort.take(count)
        windows += 1
        watch = Watch(watch.corner, run)
        before, last = last, window_of(run, watch, road)
        if agree(before, last):
            return _Driven(last, watch, True, windows)
    return _Driven(last, watch, False, windows)


def over_step(
    corner: Ready, height: float, length: float, speed: float, tail: float = STEP_TAIL_S
) -> tuple[Window, Watch]:
    """One rise of the ground and a time after its top, s; one corner, or a batch of one time step."""
    return followed(rising(corner, height, length, speed, tail, Watch))


def standing_start(corner: Ready) -> Start:
    """Start of a run that begins standing still; one corner or a batch."""
    return Start(corner, corner.rest, 0.0 * corner.rest, 0.0 * corner.rest)


W = TypeVar("W", Watch, Peak)


def rising(
    corner: Ready, height: float, length: float, speed: float, tail: float, kind: type[W]
) -> Course[tuple[Window, W]]:
    """Course of `over_step`, with a watch of some kind."""
    run = yield standing_start(corner)
    watch = kind(corner, run)
    h = step_over(length, speed, float(np.min(corner.step)))
    count = math.ceil((length / speed + tail) / h)
    y, slope = rise(speed * h * np.arange(count), height, length)
    road = Road(y.tolist(), (slope * speed).tolist(), h, floor=True)
    return (yield from window_course(run, watch, road)), watch


def _driven(corner: Ready, shape: Shape, height: float, spacing: float, speed: float, effort: Effort) -> _Driven:
    """The run over the bumps.

    Raises
    ------
    ArithmeticError : the run is not resolved, or the effort does not suffice.
    """
    if shape == "step":
        effort.take(math.ceil((spacing / speed + STEP_TAIL_S) / step_over(spacing, speed, corner.step)))
        done = _Driven(*over_step(corner, height, spacing, speed), True, 1)
    else:
        run = at_rest(corner)
        road = road_of(shape, height, spacing, speed, corner.step)
        done = _steady(run, Watch(corner, run), road, effort)
    if not sound(done.window):
        raise ArithmeticError("the ledger is open")
    return done


def _warming(corner: Corner, power: float, speed: float, temperature_c: float) -> tuple[list[float], float]:
    """How warm the work makes the shock: likely, in open air, behind the wheel; how thin the oil gets."""
    shock = corner.shock
    across = shock.bore_mm * 1e-3 + 2.0 * WALL_M
    length = (shock.cavity_length_mm or shock.stroke_mm + shock.piston.thickness_mm) * 1e-3
    area = math.pi * across * (length + 0.5 * across)
    low, high = AIR_SHARE
    rises = []
    for share in (math.sqrt(low * high), high, low):
        taken = cylinder_convection(speed * share, across) + radiation(AMBIENT_K, EMISSIVITY)
        rises.append(float(steady_rise(power, taken, area)))
    warm = min(temperature_c + rises[0], 120.0)
    return rises, kinematic(shock.oil, warm) / kinematic(shock.oil, temperature_c)


def _ground_findings(shape: str, done: _Driven, shift: float) -> list[Finding]:
    window, watch, found, band = done.window, done.watch, [], done.watch.corner.band
    if shape == "road":
        found.append(finding("road_like", "/shape"))
    if shape != "step" and not done.steady:
        found.append(finding("not_steady", "/corner", window.time * done.windows, window.time))
    if window.contact < FULL_CONTACT:
        found.append(finding("wheel_leaves", "/bump_height_mm", 100.0 * window.contact, 100.0))
    if watch.clearance < 0.0:
        found.append(finding("slap", "/bump_height_mm", watch.clearance * 1e3, 0.0))
    if shape != "step" and shift - band > PACKS_M:
        found.append(finding("packs_down", "/corner/shock", shift * 1e3, band * 1e3))
    if watch.squash > watch.run.c.rim:
        found.append(finding("rim_strike", "/corner/tyre/sidewall_mm", watch.squash * 1e3, watch.run.c.rim * 1e3))
    return found


@calculation()
def bumps(
    *,
    corner: Corner,
    shape: Shape = "washboard",
    bump_height_mm: Annotated[float, Q("bump_height_mm")],
    bump_spacing_mm: Annotated[float, Q("bump_spacing_mm")],
    speed_m_s: Annotated[float, Q("use.speed_m_s")],
    temperature_c: Annotated[float, Q("temperature_c")] = 25.0,
    void_hole_factor: VoidFactor = 1.0,
    void_kpa: VoidPressure = 0.0,
    stop_rate_n_mm: StopRate = 300.0,
    ground_rate_n_mm: GroundRate = 100.0,
    ground_damping_n_s_m: GroundDamping = 60.0,
) -> Bumps:
    """What bumps do to a corner: contact, height, tyre load, force, heat.

    Parameters
    ----------
    corner : the corner; the tyre touches at one point.
    shape : "washboard" even bumps; "step" one rise; "road" a road-like mixture, the same at every call.
    bump_height_mm : trough to crest, or of the step [mm].
    bump_spacing_mm : crest to crest; the step's run-up; the longest wave of the road [mm].
    speed_m_s : driving speed [m/s].
    temperature_c : of the oil [C].
    void_hole_factor : on the inertial loss of a hole that discharges into an empty space, 1..1.6 [1].
    void_kpa : pressure of that empty space, 0..50 [kPa].
    stop_rate_n_mm : of the stops at either end of the stroke [N/mm].
    ground_rate_n_mm, ground_damping_n_s_m : of the chassis on the ground [N/mm], [N s/m].

    Raises
    ------
    InputError : a value is impossible.
    TooCostly : more time steps than the bound.

    Examples
    --------
    >>> from libdamp.demo import demo_corner
    >>> rear = demo_corner("demo-truck.rear")
    >>> bumps(corner=rear, bump_height_mm=4, bump_spacing_mm=150, speed_m_s=5).contact_share
    1.0
    """
    settings = settings_of(void_hole_factor, void_kpa, stop_rate_n_mm, ground_rate_n_mm, ground_damping_n_s_m)
    found = standing(corner, temperature_c)
    prepared = ready(corner, temperature_c, settings, at_rest=True)
    if prepared is None or not math.isfinite(prepared.rest):
        return Bumps(findings=tuple(no_run(found)))
    one, height, spacing = alone(prepared), bump_height_mm * 1e-3, bump_spacing_mm * 1e-3
    bounded(shape, spacing, speed_m_s, one.step)
    effort = Effort()
    try:
        done = halved(one, lambda finer: _driven(finer, shape, height, spacing, speed_m_s, effort), effort)
    except ArithmeticError:
        return Bumps(findings=tuple(unresolved(found)))
    window, watch = done.window, done.watch
    shift, power = window.travel - one.rest, window.work / window.time
    found += _ground_findings(shape, done, shift)
    seen = Fast(watch.speed, watch.over, watch.void, watch.void_from, max(watch.difference, -watch.back))
    found += fast_findings(corner.shock, "/corner", temperature_c, seen)
    rises, thinned = _warming(corner, max(power, 0.0), speed_m_s, temperature_c)
    return Bumps(
        findings=tuple(found),
        contact_share=window.contact,
        mean_shift_mm=shift * 1e3,
        tyre_load_variation=load_variation(window),
        least_clearance_mm=watch.clearance * 1e3,
        body_movement_mm=(window.high - window.low) * 1e3,
        peak_shock_n=watch.force,
        peak_void_ml=watch.void * 1e6,
        shaft_speed_rms_m_s=math.sqrt(window.speeds),
        power_w=power,
        oil_rise_c=rises[0],
        oil_rise_low_c=rises[1],
        oil_rise_high_c=rises[2],
        viscosity_share_warm=thinned,
        steady=done.steady,
        averaged_s=window.time,
    )


def bounded(shape: str, spacing: float, speed: float, step: float) -> None:
    """Refuse bumps whose first two windows, or whose step, take more steps than a calculation may.

    Raises
    ------
    TooCostly : with the bound.
    """
    period = period_of(shape, spacing, speed)
    time = period + STEP_TAIL_S if shape == "step" else max(period, WINDOW_S) * 2.0
    steps = time / step_over(spacing, speed, step)
    if steps > MOST_STEPS:
        raise TooCostly(
            f"bumps: {steps:.2g} time steps, at most {MOST_STEPS:.2g}: a shorter spacing or more speed takes less"
        )
