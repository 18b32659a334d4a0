"""Check values of the calculations in motion: another solver on the written equations."""

from functools import cache
from typing import Any

import numpy as np

from libdamp.demo import demo_data
from tests.check_values.table import Row
from tests.oracles.stiff_bench import led
from tests.oracles.stiff_ground import half_time, shaken, touch_mm
from tests.oracles.stiff_motion import Peaks, corner_of, landing, peaks_of

SOLVER = "scipy LSODA on the written equations with a rod chamber that gives a little, tests/oracles"
REASON = "two numerics of one physics; the time step's error is within 1 %"


def _corner(name: str, end: str) -> Any:
    return demo_data(name)["car"][end]


@cache
def _peaks(name: str, end: str, fall: float) -> Peaks:
    c = corner_of(_corner(name, end), 25.0)
    return peaks_of(c, landing(c, fall, 0.2))


def _drop(name: str, end: str, fall_mm: float, field: str, peak: str) -> Row:
    return Row(
        model="drop",
        inputs={"corner": _corner(name, end), "height_mm": fall_mm},
        pick=field,
        expected=lambda: float(getattr(_peaks(name, end, fall_mm * 1e-3), peak)),
        source=f"{SOLVER}: {name}.{end} from {fall_mm:g} mm",
        kind="independent",
        tolerance=1e-2,
        reason=REASON,
    )


def _touch(name: str, end: str, around: float) -> Row:
    return Row(
        model="touch_height",
        inputs={"corner": _corner(name, end)},
        pick="height_mm",
        expected=lambda: touch_mm(name, end, 25.0, around),
        source=f"{SOLVER}: {name}.{end}, a parabola through three landings",
        kind="independent",
        tolerance=5e-3,
        reason=REASON,
    )


BUMPS = {"bump_height_mm": 6, "bump_spacing_mm": 250, "speed_m_s": 6}


def _bumps(name: str, end: str, field: str, seen: str) -> Row:
    return Row(
        model="bumps",
        inputs={"corner": _corner(name, end), **BUMPS},
        pick=field,
        expected=lambda: float(getattr(shaken(name, end, 25.0, 6e-3, 0.25, 6.0), seen)),
        source=f"{SOLVER}: {name}.{end} over 6 mm x 250 mm at 6 m/s",
        kind="independent",
        tolerance=1e-2,
        reason=REASON,
    )


def _release(name: str, end: str) -> Row:
    return Row(
        model="push_release",
        inputs={"corner": _corner(name, end), "push_mm": 10},
        pick="half_time_s",
        expected=lambda: half_time(name, end, 25.0, 10e-3),
        source=f"{SOLVER}: {name}.{end} pushed down by 10 mm",
        kind="independent",
        tolerance=1e-2,
        reason=REASON,
    )


BENCH = {"amplitude_mm": 10, "frequency_hz": 8, "centre_insertion_mm": 15, "cycles": 2}


@cache
def _bench() -> dict[str, float]:
    time = np.linspace(0.0, 2.0 / 8.0, 8001)
    seen = led(_corner("demo-truck", "front")["shock"], 25.0, (15e-3, 10e-3, 8.0), time)
    last = time >= 1.0 / 8.0
    return {
        "peak_compression_n": float(seen.force.max()),
        "peak_void_ml": 1e6 * float(seen.void.max()),
        "loss_j": float(np.trapezoid(seen.force[last], seen.x[last])),
    }


def _cycle(field: str) -> Row:
    return Row(
        model="bench_cycle",
        inputs={"shock": _corner("demo-truck", "front")["shock"], **BENCH},
        pick=field,
        expected=lambda: _bench()[field],
        source=f"{SOLVER}: demo-truck.front led 10 mm either way, 8 times a second",
        kind="independent",
        tolerance=1e-2,
        reason=REASON,
    )


ROWS = [
    *(_cycle(field) for field in ("peak_compression_n", "peak_void_ml", "loss_j")),
    *(
        _drop(name, end, fall, field, peak)
        for name, end, fall in (("demo-truck", "front", 150.0), ("demo-buggy", "rear", 100.0))
        for field, peak in (
            ("peak_shock_n", "force_n"),
            ("least_clearance_mm", "least_clearance_mm"),
            ("peak_void_ml", "void_ml"),
            ("peak_cap_kpa", "cap_kpa"),
        )
    ),
    _touch("demo-truck", "front", 0.243),
    *(
        _bumps("demo-truck", "rear", field, seen)
        for field, seen in (
            ("contact_share", "contact"),
            ("tyre_load_variation", "variation"),
            ("power_w", "power"),
        )
    ),
    _release("demo-truck", "front"),
    _release("demo-buggy", "rear"),
]
