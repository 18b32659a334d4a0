"""A corner that is pushed down and let go."""

import math
from typing import Annotated

from .answers import Answer, calculation
from .car import Corner
from .drops import StopRate, VoidFactor, VoidPressure, no_run, settings_of, standing, unresolved
from .findings import finding
from .moving import Ready, alone, inside_of, motion_of, ready, room_at
from .physics.motion import DRAG_GIVE_M, Motion
from .physics.numbers import G_N, P_ATM
from .physics.stepping import FLOATS
from .quantities import Q
from .runs import SETTLED_M, Effort, halved

LONGEST_S = 4.0
QUIET_M_S = 1e-4
"""Speed below which a body that is nearly still counts as at rest."""
QUIET_S = 0.15


class PushRelease(Answer, frozen=True, kw_only=True):
    """How a corner comes back after a push."""

    half_time_s: Annotated[float, Q("half_time_s")] | None = None
    half_time_frames: Annotated[float, Q("half_time_frames")] | None = None
    overshoot_mm: Annotated[float, Q("overshoot_mm")] | None = None
    rest_error_mm: Annotated[float, Q("rest_error_mm")] | None = None
    settle_s: Annotated[float, Q("release_settle_s")] | None = None


def _held(corner: Ready, body: float) -> float:
    """Height of the wheel under a body that is held at a height, by halving."""
    c = corner.moving

    def excess(wheel: float) -> float:
        run = Motion(c, FLOATS, (body, wheel, 0.0, 0.0))
        x: float = run.insertion
        if room_at(corner.chamber, x) <= 0.0:
            return -math.inf
        spring = c.rate * max(x - c.loose, 0.0) + c.stop_rate * (max(x - c.high, 0.0) - max(c.low - x, 0.0))
        gas = inside_of(corner.chamber, FLOATS, x).cap
        shock = spring + (gas - P_ATM) * corner.chamber.shaft_area + c.drag
        squash = c.squash - wheel
        tyre = c.tyre_rate * max(squash, 0.0) + c.rim_rate * max(squash - c.rim, 0.0)
        return float(tyre - c.unsprung * G_N - shock * run.ratio)

    low, high = body + corner.droop, c.squash
    for _ in range(60):
        middle = 0.5 * (low + high)
        if excess(middle) > 0.0:
            low = middle
        else:
            high = middle
    return float(0.5 * (low + high))


def _come_back(corner: Ready, wheel: float, push: float, effort: Effort) -> dict[str, float | None]:
    """Half time, overshoot, rest error and settling after a push, SI; the seals have given the way in.

    Raises
    ------
    ArithmeticError : the numbers run away, or the effort does not suffice.
    """
    count = round(LONGEST_S / corner.step)
    effort.take(count)
    body, rest, half = -corner.rest - push, -corner.rest, None
    run = motion_of(corner, FLOATS, wheel - body, wheel, 0.0)
    run.slider, run.drag = run.insertion - DRAG_GIVE_M, corner.moving.drag
    highest, last, moving = body, 0.0, 0.0
    for i in range(count):
        time, before = i * corner.step, run.body
        run.step(corner.step)
        if half is None and run.body >= rest - 0.5 * push:
            part = (rest - 0.5 * push - before) / (run.body - before) if run.body > before else 1.0
            half = time - corner.step * (1.0 - part)
        highest = max(highest, run.body)
        if abs(run.now_body) > QUIET_M_S:
            moving = time
        if abs(run.body - rest) > SETTLED_M + corner.band:
            last = time
        if time - moving > QUIET_S:
            break
    if not math.isfinite(run.body):
        raise ArithmeticError("not finite")
    return {"half": half, "over": max(highest - rest, 0.0), "error": rest - run.body, "settled": last}


@calculation("battery")
def push_release(
    *,
    corner: Corner,
    push_mm: Annotated[float, Q("push_mm")] = 10.0,
    temperature_c: Annotated[float, Q("temperature_c")] = 25.0,
    void_hole_factor: VoidFactor = 1.0,
    void_kpa: VoidPressure = 0.0,
    stop_rate_n_mm: StopRate = 300.0,
) -> PushRelease:
    """How a corner comes back that is pushed down, held, and let go.

    Parameters
    ----------
    corner : the corner.
    push_mm : how far the chassis is pushed down from rest [mm].
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
    >>> 0.03 < push_release(corner=demo_corner("demo-truck.front"), push_mm=10.0).half_time_s < 0.2
    True
    """
    settings = settings_of(void_hole_factor, void_kpa, stop_rate_n_mm, 100.0, 60.0)
    found = standing(corner, temperature_c)
    push = push_mm * 1e-3
    prepared = ready(corner, temperature_c, settings, at_rest=True)
    if prepared is None or not math.isfinite(prepared.rest):
        return PushRelease(findings=tuple(no_run(found)))
    room = prepared.moving.clearance - prepared.rest
    if push >= room:
        found.append(finding("push_too_far", "/push_mm", push_mm, room * 1e3))
        return PushRelease(findings=tuple(found))
    wheel = _held(alone(prepared), -prepared.rest - push)
    begin = motion_of(alone(prepared), FLOATS, wheel + prepared.rest + push, wheel, 0.0).insertion
    held = ready(corner, temperature_c, settings, begin=begin)
    if held is None:
        return PushRelease(findings=tuple(no_run(found)))
    effort = Effort()
    try:
        seen = halved(alone(held), lambda finer: _come_back(finer, wheel, push, effort), effort)
    except ArithmeticError:
        return PushRelease(findings=tuple(unresolved(found)))
    if seen["half"] is None:
        found.append(finding("stays_down", "/push_mm", push_mm, prepared.band * 1e3))
    return PushRelease(
        findings=tuple(found),
        half_time_s=seen["half"],
        half_time_frames=None if seen["half"] is None else 240.0 * seen["half"],
        overshoot_mm=(seen["over"] or 0.0) * 1e3,
        rest_error_mm=(seen["error"] or 0.0) * 1e3,
        settle_s=seen["settled"],
    )
