"""A shock on a test bench: pushed to and fro in a sine, without spring and masses."""

import math
from typing import Annotated, NamedTuple

import numpy as np

from .answers import Answer, calculation
from .damping import shock_findings
from .drops import VoidFactor, VoidPressure, settings_of
from .errors import InputError
from .fast_findings import Fast, fast_findings
from .findings import finding
from .moving import Settings, chamber_of, inside_of, plain_chamber
from .parts import Shock, fault
from .physics.motion import DRAG_GIVE_M
from .physics.numbers import P_ATM
from .physics.stepping import FLOATS
from .pocket import pocket_of, spare
from .quantities import Q
from .runs import MOST_STEPS

LEAST, MOST = 2000, 20_000
"""Time steps of a cycle, at least and at most; of many cycles fewer, MOST_STEPS in all."""
LONGEST_STEP_S = 2e-4
ROWS = 200
"""Rows of a cycle in the answer."""


class BenchCycle(Answer, frozen=True, kw_only=True):
    """Force of a shock over time on a bench."""

    time_s: tuple[Annotated[float, Q("time_s")], ...] = ()
    insertion_mm: tuple[Annotated[float, Q("series.insertion_mm")], ...] = ()
    speed_m_s: tuple[Annotated[float, Q("series.speed_m_s")], ...] = ()
    force_n: tuple[Annotated[float, Q("bench.force_n")], ...] = ()
    void_ml: tuple[Annotated[float, Q("series.void_ml")], ...] = ()
    cap_kpa: tuple[Annotated[float, Q("series.cap_kpa")], ...] = ()
    peak_compression_n: Annotated[float, Q("peak_compression_n")] | None = None
    peak_rebound_n: Annotated[float, Q("peak_rebound_n")] | None = None
    peak_void_ml: Annotated[float, Q("peak_void_ml")] | None = None
    peak_cap_kpa: Annotated[float, Q("peak_cap_kpa")] | None = None
    loss_j: Annotated[float, Q("loss_j")] | None = None


class _Ride(NamedTuple):
    """Columns of a run at every step, SI."""

    time: list[float]
    insertion: list[float]
    speed: list[float]
    force: list[float]
    void: list[float]
    cap: list[float]
    difference: list[float]
    void_from: float


def _cycle(
    shock: Shock, temperature_c: float, settings: Settings, way: tuple[float, float, float, int]
) -> _Ride | None:
    """The shock led along centre - amplitude cos(2 pi f t) for a number of cycles."""
    centre, amplitude, frequency, cycles = way
    per = min(MOST, MOST_STEPS // cycles - 1, max(LEAST, math.ceil(1.0 / (frequency * LONGEST_STEP_S))))
    h, turn = 1.0 / (frequency * per), 2.0 * math.pi * frequency
    time = h * np.arange(per * cycles + 1)
    xs = (centre - amplitude * np.cos(turn * time)).tolist()
    vs = (amplitude * turn * np.sin(turn * time)).tolist()
    chamber = chamber_of(shock, temperature_c, xs[0], settings)
    if chamber is None:
        return None
    inside = inside_of(plain_chamber(chamber), FLOATS, xs[0])
    slider, before, opened = xs[0], xs[0], -1.0
    rows: list[tuple[float, float, float, float]] = []
    for x, v in zip(xs, vs, strict=True):
        if rows:
            inside.move(x, x - before, h)
        difference, _ = inside.react(v)
        inside.settle(difference)
        slider = max(min(slider, x + DRAG_GIVE_M), x - DRAG_GIVE_M)
        drag = shock.seal_drag_n / DRAG_GIVE_M * (x - slider)
        force = (inside.cap - P_ATM) * chamber.shaft_area + difference * chamber.annulus + drag
        if inside.void > 0.0 and opened < 0.0:
            opened = abs(v)
        rows.append((force, inside.void, inside.cap, difference))
        before = x
    force_n, void, cap, differences = (list(column) for column in zip(*rows, strict=True))
    return _Ride(time.tolist(), xs, vs, force_n, void, cap, differences, opened)


def _check(shock: Shock, centre: float, amplitude: float) -> None:
    """Refuse a way that leaves the stroke.

    Raises
    ------
    InputError : it does.
    """
    low, high = centre - amplitude, centre + amplitude
    if low < -1e-9 or high > shock.stroke_mm + 1e-9:
        stroke = shock.stroke_mm
        text = f"the shaft would go from {low:g} to {high:g} mm: keep it within 0 to stroke_mm = {stroke:g} mm"
        raise InputError([fault("/amplitude_mm", text, amplitude, shock.stroke_mm)])


@calculation()
def bench_cycle(
    *,
    shock: Shock,
    amplitude_mm: Annotated[float, Q("amplitude_mm")],
    frequency_hz: Annotated[float, Q("bench.frequency_hz")],
    centre_insertion_mm: Annotated[float, Q("insertion_mm")],
    temperature_c: Annotated[float, Q("temperature_c")] = 25.0,
    cycles: Annotated[int, Q("cycles")] = 3,
    void_hole_factor: VoidFactor = 1.0,
    void_kpa: VoidPressure = 0.0,
) -> BenchCycle:
    """Force of a shock that is pushed to and fro in a sine: cap and rod pressures and seal drag, no spring.

    Parameters
    ----------
    shock : the built shock.
    amplitude_mm : half of the whole way [mm].
    frequency_hz : cycles a second [Hz].
    centre_insertion_mm : shaft insertion in the middle [mm]; the run begins at rest, an amplitude further out.
    temperature_c : of the oil [C].
    cycles : how many [1].
    void_hole_factor : on the inertial loss of a hole that discharges into an empty space, 1..1.6 [1].
    void_kpa : pressure of that empty space, 0..50 [kPa].

    Raises
    ------
    InputError : a value is impossible, the way leaves the stroke.

    Examples
    --------
    >>> from libdamp.demo import demo_corner
    >>> shock = demo_corner("demo-truck.front").shock
    >>> bench_cycle(shock=shock, amplitude_mm=5, frequency_hz=2, centre_insertion_mm=15).loss_j > 0
    True
    """
    _check(shock, centre_insertion_mm, amplitude_mm)
    settings = settings_of(void_hole_factor, void_kpa, 300.0, 100.0, 60.0)
    found = shock_findings(shock, "/shock", temperature_c)
    room = float(spare(pocket_of(shock, temperature_c), (centre_insertion_mm + amplitude_mm) * 1e-3))
    way = (centre_insertion_mm * 1e-3, amplitude_mm * 1e-3, frequency_hz, cycles)
    run = _cycle(shock, temperature_c, settings, way) if room > 0.0 else None
    if run is None:
        found.append(finding("lock_cold", "/shock/fill", room * 1e6, 0.0))
        return BenchCycle(findings=tuple(found))
    force, x = np.asarray(run.force), np.asarray(run.insertion)
    per = (len(x) - 1) // cycles
    last = slice(-per - 1, None)
    difference = float(np.max(np.abs(run.difference)))
    seen = Fast(float(np.max(np.abs(run.speed))), 0.0, max(run.void), run.void_from, difference)
    found += fast_findings(shock, "", temperature_c, seen)
    every = slice(None, None, max(1, per // ROWS))
    return BenchCycle(
        findings=tuple(found),
        time_s=tuple(run.time[every]),
        insertion_mm=tuple((1e3 * x)[every].tolist()),
        speed_m_s=tuple(run.speed[every]),
        force_n=tuple(run.force[every]),
        void_ml=tuple((1e6 * np.asarray(run.void))[every].tolist()),
        cap_kpa=tuple((1e-3 * np.asarray(run.cap))[every].tolist()),
        peak_compression_n=max(float(np.max(force)), 0.0),
        peak_rebound_n=max(float(-np.min(force)), 0.0),
        peak_void_ml=max(run.void) * 1e6,
        peak_cap_kpa=max(run.cap) * 1e-3,
        loss_j=float(np.trapezoid(force[last], x[last])),
    )
