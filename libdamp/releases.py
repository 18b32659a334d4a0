"""A corner that is pushed down and let go."""

import math
from collections.abc import Callable
from typing import Annotated, Any, NamedTuple

import numpy as np

from .answers import Answer, calculation
from .car import Corner
from .drops import StopRate, VoidFactor, VoidPressure, no_run, settings_of, standing
from .findings import finding
from .moving import Ready, alone, inside_of, kit_of, motion_of, ready, room_at
from .physics.motion import DRAG_GIVE_M, Motion
from .physics.numbers import G_N, P_ATM
from .physics.stepping import FLOATS
from .quantities import Q
from .runs import SETTLED_M

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


def held(corner: Ready, body: Any) -> Any:
    """Height of the wheel under a body that is held at a height, by halving; one corner or a batch."""
    c, kit, gas = corner.moving, kit_of(corner), corner.chamber
    larger = kit.larger

    def presses(wheel: Any) -> Any:
        """Whether the tyre pushes harder than the shock and the wheel's weight."""
        run = Motion(c, kit, (body, wheel, 0.0 * body, 0.0 * body))
        x = run.insertion
        roomy = room_at(gas, x) > 0.0
        stops = c.stop_rate * (larger(x - c.high, 0.0) - larger(c.low - x, 0.0))
        cap = inside_of(gas, kit, kit.where(roomy, x, c.low + 0.0 * x)).cap
        shock = c.rate * larger(x - c.loose, 0.0) + stops + (cap - P_ATM) * gas.shaft_area + c.drag
        squash = c.squash - wheel
        tyre = c.tyre_rate * larger(squash, 0.0) + c.rim_rate * larger(squash - c.rim, 0.0)
        return (tyre - c.unsprung * G_N - shock * run.ratio > 0.0) & roomy

    low, high = body + corner.droop, c.squash + 0.0 * body
    for _ in range(60):
        middle = 0.5 * (low + high)
        more = presses(middle)
        low, high = kit.where(more, middle, low), kit.where(more, high, middle)
    return 0.5 * (low + high)


class Return(NamedTuple):
    """How a corner comes back, SI; the half time is not-a-number where the body stays down."""

    half: Any
    over: Any
    error: Any
    settled: Any


def come_back(
    corner: Ready, wheel: Any, push: Any, until: Callable[[Motion, float, Any], Any] | None = None
) -> Return:
    """What follows a push when the body is let go, until a sign or until it rests; one corner or a batch.

    The seals have given the way in. The sign is told the run, the time and the half time so far.
    """
    kit, rest = kit_of(corner), -corner.rest
    body, aim = rest - push, rest - 0.5 * push
    run = motion_of(corner, kit, wheel - body, wheel, 0.0 * body)
    run.slider, run.drag = run.insertion - DRAG_GIVE_M, corner.moving.drag
    zero = 0.0 * body
    half, highest, last, moving, error = math.nan + zero, body, zero, zero, zero
    done = halfway = zero > 0.0
    h = float(np.min(corner.step))
    for i in range(round(LONGEST_S / h)):
        time, before = i * h, run.body
        run.step(h)
        there = (run.body >= aim) & (halfway == 0) & (done == 0)
        gone = run.body - before
        part = kit.where(gone > 0.0, (aim - before) / (gone + (gone <= 0.0)), 1.0)
        half, halfway = kit.where(there, time - h * (1.0 - part), half), halfway | there
        highest = kit.where(done, highest, kit.larger(highest, run.body))
        moving = kit.where(abs(run.now_body) > QUIET_M_S, time, moving)
        last = kit.where((abs(run.body - rest) > SETTLED_M + corner.band) & (done == 0), time, last)
        error = kit.where(done, error, rest - run.body)
        done = done | (time - moving > QUIET_S)
        if until is not None:
            done = done | until(run, time, half)
        if not kit.any(done == 0):
            break
    return Return(half, kit.larger(highest - rest, 0.0), error, last)


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
    wheel = held(alone(prepared), -prepared.rest - push)
    begin = motion_of(alone(prepared), FLOATS, wheel + prepared.rest + push, wheel, 0.0).insertion
    pushed = ready(corner, temperature_c, settings, begin=begin)
    if pushed is None:
        return PushRelease(findings=tuple(no_run(found)))
    seen = come_back(alone(pushed), wheel, push)
    half = None if math.isnan(seen.half) else seen.half
    if half is None:
        found.append(finding("stays_down", "/push_mm", push_mm, prepared.band * 1e3))
    return PushRelease(
        findings=tuple(found),
        half_time_s=half,
        half_time_frames=None if half is None else 240.0 * half,
        overshoot_mm=seen.over * 1e3,
        rest_error_mm=seen.error * 1e3,
        settle_s=seen.settled,
    )
