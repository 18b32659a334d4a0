"""A landing corner a second time, by scipy's stiff solver; from the written equations, no code of the library.

Two masses, real linkage, spring, seal drag, stops, tyre, ground, and the shock of `stiff_shock`. A corner is plain
data in millimetres and grams, as in a car file; inside everything is SI. Heights count from the standing tyre with
level arms, up positive; wheel travel z = wheel - body, x the shaft's insertion.
"""

import math
from collections.abc import Callable
from typing import Any, NamedTuple

import numpy as np
from scipy.integrate import solve_ivp

from tests.oracles.plan_loop import G_N, P_ATM, mounts_of
from tests.oracles.stiff_shock import B_PA, Data, Inside, Switches, filled, sealed, spread

BAND_M = 2e-5
"""How far the seals give before they slide."""
BENDS = 0.98
"""Share of it from which they begin to slide, gently, so that the solver's steps stay long."""
WHEEL_IN_M = 1e-9
"""How deep the tyre is in the ground as a run begins."""
GRID_S = 1e-5
"""Peaks are looked for at least as often as this."""
RTOL = 1e-7
FAR_M = 1.0
BLOW_S = 1e-3
USUAL = Switches()


class Lever(NamedTuple):
    """Shock length and motion ratio over wheel travel, and back."""

    length: Callable[[Any], Any]
    ratio: Callable[[Any], Any]
    travel: Callable[[float], float]


def lever_of(linkage: Data) -> Lever:
    """A swinging arm by the law of cosines; a fixed ratio or measured pairs as a parabola."""
    if linkage["kind"] == "arm":
        m = mounts_of(linkage)
        product = 2.0 * m.lower * m.upper

        def length(z: Any) -> Any:
            return np.sqrt(m.lower**2 + m.upper**2 - product * np.cos(m.angle - np.arcsin(z / m.arm)))

        def ratio(z: Any) -> Any:
            swing = 0.5 * product * np.sin(m.angle - np.arcsin(z / m.arm)) / length(z)
            return swing / np.sqrt(m.arm**2 - np.square(z))

        return Lever(length, ratio, m.travel)
    if linkage["kind"] == "pairs":
        z, lengths = (1e-3 * np.asarray(linkage[name]) for name in ("travel_mm", "shock_length_mm"))
        c2, c1, c0 = (float(c) for c in np.polyfit(z, lengths, 2))
    else:
        c2, c1, c0 = 0.0, -linkage["motion_ratio"], linkage["level_length_mm"] * 1e-3

    def back(wanted: float) -> float:
        return 2.0 * (c0 - wanted) / (-c1 + math.sqrt(c1 * c1 - 4.0 * c2 * (c0 - wanted)))

    return Lever(lambda z: c0 + c1 * z + c2 * z * z, lambda z: -c1 - 2.0 * c2 * z, back)


class Frame(NamedTuple):
    """Everything around the oil, SI."""

    sprung: float
    unsprung: float
    lever: Lever
    extended: float
    rate: float
    loose: float  # insertion at which the spring begins to press
    low: float
    high: float
    stop_rate: float
    drag: float
    tyre_rate: float
    tyre_damping: float
    squash: float
    rim: float
    clearance: float
    ground_rate: float
    ground_damping: float


def level_preload(corner: Data, celsius: float, lever: Lever) -> float:
    """Preload that holds the arms level at rest."""
    shock, length = corner["shock"], float(lever.length(0.0))
    x = shock["extended_length_mm"] * 1e-3 - length
    f = filled(shock, celsius)
    gas = 0.0 if shock["fill"]["kind"] == "vented" else (f.pressure(x) - P_ATM) * f.shaft
    spring = corner["sprung_mass_g"] * 1e-3 * G_N / float(lever.ratio(0.0)) - gas
    return spring / (corner["spring"]["rate_n_mm"] * 1e3) - (x - shock["limiter_mm"] * 1e-3)


def frame_of(corner: Data, celsius: float, switches: Switches = USUAL) -> Frame:
    """Masses, linkage, spring, stops, tyre and ground of a corner."""
    shock, spring, tyre, lever = corner["shock"], corner["spring"], corner["tyre"], lever_of(corner["linkage"])
    given = corner.get("preload_mm")
    preload = level_preload(corner, celsius, lever) if given is None else given * 1e-3
    mass, kt = (corner["sprung_mass_g"] + corner["unsprung_mass_g"]) * 1e-3, tyre["rate_n_mm"] * 1e3
    damping, low, high = tyre.get("damping_n_s_m"), shock["limiter_mm"] * 1e-3, shock["stroke_mm"] * 1e-3
    if spring.get("block_length_mm") is not None:
        high = min(high, low + (spring["free_length_mm"] - spring["block_length_mm"]) * 1e-3 - preload)
    return Frame(
        sprung=corner["sprung_mass_g"] * 1e-3,
        unsprung=corner["unsprung_mass_g"] * 1e-3,
        lever=lever,
        extended=shock["extended_length_mm"] * 1e-3,
        rate=spring["rate_n_mm"] * 1e3,
        loose=low - preload,
        low=low,
        high=high,
        stop_rate=switches.stop_rate,
        drag=shock["seal_drag_n"],
        tyre_rate=kt,
        tyre_damping=tyre["loss_factor"] * math.sqrt(kt * mass) if damping is None else damping,
        squash=mass * G_N / kt,
        rim=FAR_M if tyre.get("sidewall_mm") is None else tyre["sidewall_mm"] * 1e-3,
        clearance=corner["level_clearance_mm"] * 1e-3,
        ground_rate=switches.ground_rate,
        ground_damping=switches.ground_damping,
    )


def inside_of(
    shock: Data, celsius: float, begin: float, switches: Switches = USUAL, modulus: float = B_PA
) -> Inside:
    """Oil and gas of a shock at rest at an insertion."""
    if shock["fill"]["kind"] == "emulsion":
        return spread(shock, celsius, begin)
    return sealed(shock, celsius, begin, switches, modulus)


class Corner(NamedTuple):
    """Frame and oil: forces over the state (body, wheel, their speeds, seals' slider, oil)."""

    frame: Frame
    inside: Inside
    areas: tuple[float, float]  # bore, shaft

    def shock(self, x: Any, slider: Any, oil: Any) -> Any:
        """Force of the whole shock."""
        c, (bore, shaft) = self.frame, self.areas
        cap, rod = self.inside.pressures(x, oil)
        seals = c.drag / BAND_M * np.clip(x - slider, -BAND_M, BAND_M)
        stops = c.stop_rate * (np.maximum(0.0, x - c.high) - np.maximum(0.0, c.low - x))
        spring = c.rate * np.maximum(0.0, x - c.loose)
        return cap * bore - rod * (bore - shaft) - P_ATM * shaft + spring + stops + seals

    def tyre(self, wheel: Any, speed: Any) -> Any:
        """Force of the ground on the wheel; rim included, no pull."""
        c = self.frame
        d = c.squash - wheel
        push = c.tyre_rate * d + c.stop_rate * np.maximum(0.0, d - c.rim) - c.tyre_damping * speed
        return np.where(d > 0.0, np.maximum(0.0, push), 0.0)

    def ground(self, body: Any, speed: Any) -> Any:
        """Force of the ground on the chassis; no pull."""
        c = self.frame
        depth = -c.clearance - body
        return np.where(depth > 0.0, np.maximum(0.0, c.ground_rate * depth - c.ground_damping * speed), 0.0)

    def rates(self, _: float, y: Any) -> list[float]:
        """Newton's law, the seals, the oil."""
        c = self.frame
        body, wheel, body_speed, wheel_speed, slider, oil = (float(value) for value in y)
        z = wheel - body
        x, ratio = c.extended - float(c.lever.length(z)), float(c.lever.ratio(z))
        v = ratio * (wheel_speed - body_speed)
        push = float(self.shock(x, slider, oil)) * ratio
        bent = (x - slider) / BAND_M * math.copysign(1.0, v)
        slides = min(1.0, max(0.0, (bent - BENDS) / (1.0 - BENDS)))
        return [
            body_speed,
            wheel_speed,
            (push + float(self.ground(body, body_speed))) / c.sprung - G_N,
            (float(self.tyre(wheel, wheel_speed)) - push) / c.unsprung - G_N,
            v * slides,
            self.inside.rate(x, v, oil),
        ]


class Ride(NamedTuple):
    """A landing over time, SI."""

    time: Any
    body: Any
    wheel: Any
    x: Any
    v: Any
    force: Any
    cap: Any
    void: Any


def corner_of(corner: Data, celsius: float, switches: Switches = USUAL, modulus: float = B_PA) -> Corner:
    """A corner with its shock at rest, fully out."""
    frame, f = frame_of(corner, celsius, switches), filled(corner["shock"], celsius)
    return Corner(frame, inside_of(corner["shock"], celsius, frame.low, switches, modulus), (f.bore, f.shaft))


def landing(c: Corner, fall: float, duration: float, method: str = "LSODA", rtol: float = RTOL) -> Ride:
    """A corner that falls from a height onto its wheel, shock fully out."""
    frame, speed = c.frame, -math.sqrt(2.0 * G_N * fall)
    wheel = frame.squash - WHEEL_IN_M
    body = wheel - frame.lever.travel(frame.extended - frame.low)
    begin = [body, wheel, speed, speed, frame.low, c.inside.begin]
    small = [1e-10, 1e-10, 1e-8, 1e-8, 1e-11, c.inside.size]
    run = solve_ivp(c.rates, (0.0, duration), begin, method, dense_output=True, rtol=rtol, atol=small)
    if not run.success:
        raise ArithmeticError(run.message)
    time = np.union1d(run.t, np.arange(0.0, duration, GRID_S))
    return _seen(c, time, run.sol(time))


def _seen(c: Corner, time: Any, y: Any) -> Ride:
    """What is looked at, from the solver's states."""
    body, wheel, body_speed, wheel_speed, slider, oil = y
    z = wheel - body
    x = c.frame.extended - c.frame.lever.length(z)
    v = c.frame.lever.ratio(z) * (wheel_speed - body_speed)
    cap, _ = c.inside.pressures(x, oil)
    return Ride(time, body, wheel, x, v, c.shock(x, slider, oil), cap, c.inside.void(oil))


class Peaks(NamedTuple):
    """What a landing came to; mm, m/s, N, ml, kPa."""

    force_n: float
    pull_n: float
    insertion_mm: float
    speed_m_s: float
    void_ml: float
    cap_kpa: float
    least_clearance_mm: float
    bounce_mm: float
    stop_mm: float  # how far the stop at the end of the stroke was pressed in
    rim_mm: float  # how far the rim
    solid: int  # whether a vented cap was full


def peaks_of(c: Corner, ride: Ride) -> Peaks:
    """Peaks of a landing; as in the library, none on the way out while the blow of a void may be in it."""
    shut = np.maximum.accumulate(np.where(ride.void > 0.0, ride.time, -1.0))
    calm = ride.time - shut > BLOW_S
    squash = c.frame.squash - ride.wheel
    highest = float(ride.cap.max())
    return Peaks(
        force_n=float(ride.force.max()),
        pull_n=max(0.0, -float(np.min(ride.force, where=calm, initial=0.0))),
        insertion_mm=1e3 * float(ride.x.max()),
        speed_m_s=float(np.abs(ride.v).max()),
        void_ml=1e6 * float(ride.void.max()),
        cap_kpa=1e-3 * highest,
        least_clearance_mm=1e3 * (c.frame.clearance + float(ride.body.min())),
        bounce_mm=1e3 * max(0.0, -float(squash.min())),
        stop_mm=1e3 * max(0.0, float(ride.x.max()) - c.frame.high),
        rim_mm=1e3 * max(0.0, float(squash.max()) - c.frame.rim),
        solid=int(c.inside.vented and highest > 1.001 * P_ATM),
    )
