"""A corner over bumps and after a push a second time, by scipy's stiff solver on `stiff_motion`'s equations."""

import math
from functools import cache
from typing import NamedTuple

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from libdamp.demo import demo_data
from tests.oracles.plan_loop import G_N
from tests.oracles.stiff_motion import BAND_M, RTOL, Corner, corner_of, frame_of, inside_of, landing
from tests.oracles.stiff_shock import filled

SMALL = 1e-10
"""Least size that the solver looks at, m and m/s."""


def standing(name: str, end: str, celsius: float, begin: float | None = None) -> Corner:
    """A demo corner set for level arms, its gas at rest there, or at an insertion."""
    data = demo_data(name)["car"][end]
    frame, f = frame_of(data, celsius), filled(data["shock"], celsius)
    x = frame.extended - float(frame.lever.length(0.0)) if begin is None else begin
    return Corner(frame, inside_of(data["shock"], celsius, x), (f.bore, f.shaft))


class Shaken(NamedTuple):
    """Averages over the last second of bumps; SI."""

    contact: float
    variation: float
    power: float


@cache
def shaken(name: str, end: str, celsius: float, height: float, spacing: float, speed: float) -> Shaken:
    """A demo corner over a sine of bumps, from rest, for two seconds; the last of them counts."""
    c = standing(name, end, celsius)
    frame, turn = c.frame, 2.0 * math.pi * speed / spacing

    def road(t: float) -> tuple[float, float]:
        return 0.5 * height * math.sin(turn * t), 0.5 * height * turn * math.cos(turn * t)

    def rates(t: float, y: np.ndarray) -> list[float]:
        found = c.rates(t, y)
        up, pace = road(t)
        shift = float(c.tyre(y[1] - up, y[3] - pace)) - float(c.tyre(y[1], y[3]))
        found[3] += shift / frame.unsprung
        return found

    x = frame.extended - float(frame.lever.length(0.0))
    begin = [0.0, 0.0, 0.0, 0.0, x, c.inside.begin]
    atol = [SMALL, SMALL, 1e-8, 1e-8, 1e-11, c.inside.size]
    last = round(speed / spacing) * spacing / speed
    run = solve_ivp(
        rates, (0.0, 1.0 + last), begin, "LSODA", dense_output=True, rtol=RTOL, atol=atol, max_step=1e-3
    )
    if not run.success:
        raise ArithmeticError(run.message)
    time = np.linspace(1.0, 1.0 + last, 20_001)
    body, wheel, body_speed, wheel_speed, slider, oil = run.sol(time)
    up, pace = 0.5 * height * np.sin(turn * time), 0.5 * height * turn * np.cos(turn * time)
    tyre = c.tyre(wheel - up, wheel_speed - pace)
    z = wheel - body
    x_now = frame.extended - frame.lever.length(z)
    v = frame.lever.ratio(z) * (wheel_speed - body_speed)
    gas_and_spring = c.shock(x_now, x_now, oil) - _damping(c, x_now, oil)
    whole = c.shock(x_now, slider, oil)
    power = float(np.mean((whole - gas_and_spring)[:-1] * v[:-1]))
    mean = float(np.mean(tyre[:-1]))
    return Shaken(float(np.mean(tyre[:-1] > 0.0)), float(np.std(tyre[:-1])) / mean, power)


def _damping(c: Corner, x: np.ndarray, oil: np.ndarray) -> np.ndarray:
    """Force of the pressure difference across the piston."""
    cap, rod = c.inside.pressures(x, oil)
    bore, shaft = c.areas
    return np.asarray((cap - rod) * (bore - shaft))


@cache
def half_time(name: str, end: str, celsius: float, push: float) -> float:
    """Time until a demo corner that was pushed down and let go is half-way back, s."""
    first = standing(name, end, celsius)
    frame = first.frame

    def insertion(wheel: float) -> float:
        return frame.extended - float(frame.lever.length(wheel + push))

    def excess(wheel: float) -> float:
        c = standing(name, end, celsius, insertion(wheel))
        x, ratio = insertion(wheel), float(frame.lever.ratio(wheel + push))
        push_up = float(c.shock(x, x - BAND_M, c.inside.begin)) * ratio
        return float(c.tyre(wheel, 0.0)) - push_up - frame.unsprung * G_N

    wheel = float(brentq(excess, -0.9 * push, 0.0, xtol=1e-9))
    c = standing(name, end, celsius, insertion(wheel))
    begin = [-push, wheel, 0.0, 0.0, insertion(wheel) - BAND_M, c.inside.begin]
    atol = [SMALL, SMALL, 1e-8, 1e-8, 1e-11, c.inside.size]

    def half(_: float, y: np.ndarray) -> float:
        return float(y[0] + 0.5 * push)

    run = solve_ivp(c.rates, (0.0, 0.6), begin, "LSODA", rtol=RTOL, atol=atol, events=half, max_step=1e-3)
    return float(run.t_events[0][0])


@cache
def touch_mm(name: str, end: str, celsius: float, around: float) -> float:
    """Height from which a demo corner's chassis just touches, from three landings around it, mm."""
    c = corner_of(demo_data(name)["car"][end], celsius)
    heights = [0.97 * around, around, 1.03 * around]
    spare = [c.frame.clearance + float(landing(c, h, 0.12).body.min()) for h in heights]
    return 1e3 * float(np.polyval(np.polyfit(spare, heights, 2), 0.0))
