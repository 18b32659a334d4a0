"""How fast runs in motion are: batches of drops against the stiff solver, and the single calculations.

python -m tests.bench.motion_bench   (OMP_NUM_THREADS=1 keeps it to one core)
"""

import time
from collections.abc import Callable
from typing import Any

import numpy as np

from libdamp.demo import demo_corner, demo_data
from libdamp.drops import drop, touch_height
from libdamp.ground import bumps
from libdamp.moving import alone, ready, stacked
from libdamp.releases import push_release
from libdamp.runs import MOST_STEPS, landed
from libdamp.touching import impact
from tests.oracles.stiff_motion import corner_of, landing

ENDS = (("demo-truck", "front"), ("demo-truck", "rear"), ("demo-buggy", "front"), ("demo-buggy", "rear"))
SIZES = (1000, 2000)
LONG_S = 0.3
FALLS_M = (0.02, 0.3)
ORACLE_FALLS_M = (0.05, 0.15, 0.25)
ORACLE_RTOL = 1e-7


def spread(work: Callable[[], object], times: int = 5) -> tuple[float, float]:
    """Shortest and longest CPU time of some runs, s."""
    taken = []
    for _ in range(times):
        start = time.process_time()
        work()
        taken.append(time.process_time() - start)
    return min(taken), max(taken)


def yardstick() -> float:
    """Time of one product of two arrays of 1000 numbers, us: how fast the machine is at this moment."""
    a, b = np.ones(1000), np.ones(1000)

    def work() -> None:
        for _ in range(10_000):
            np.multiply(a, b)

    return spread(work)[0] * 100.0


def batch(corners: int) -> Callable[[], object]:
    """Drops of that many corners side by side from FALLS_M, tables made beforehand."""
    made = [ready(demo_corner(f"{car}.{end}"), 25.0) for car, end in ENDS]
    kept = [corner for corner in made if corner is not None]
    together = stacked([kept[i % len(kept)] for i in range(corners)])
    speed = np.array([impact(height) for height in np.linspace(*FALLS_M, corners)])
    return lambda: landed(together, speed, LONG_S)


def oracle_drops() -> tuple[Callable[[], object], int]:
    """The stiff solver's drops of the same corners, one at a time, and how many."""
    corners: list[Any] = [corner_of(demo_data(car)["car"][end], 25.0) for car, end in ENDS]
    cases = [(corner, fall) for corner in corners for fall in ORACLE_FALLS_M]

    def work() -> None:
        for corner, fall in cases:
            landing(corner, fall, LONG_S, rtol=ORACLE_RTOL)

    return work, len(cases)


def at_the_bound() -> float:
    """CPU time of a run of a single corner that takes all the steps of a calculation, s."""
    made = ready(demo_corner("demo-truck.front"), 25.0)
    assert made is not None
    corner = alone(made)
    return spread(lambda: landed(corner, 1.7, MOST_STEPS * corner.step), 1)[0]


def bench_motion() -> list[str]:
    """Lines of the report."""
    lines = [f"1000 products of an array: {yardstick():.2f} us"]
    work, count = oracle_drops()
    oracle = count / spread(work, 2)[0]
    for corners in SIZES:
        best, worst = spread(batch(corners))
        lines.append(
            f"drops of {LONG_S:g} s, {corners} at once: {corners / best:.0f}/s (slowest {corners / worst:.0f}/s), "
            f"{corners / best / oracle:.0f} times the stiff solver at rtol {ORACLE_RTOL:g} ({oracle:.1f}/s)"
        )
    front = demo_corner("demo-truck.front")
    singles: dict[str, Callable[[], object]] = {
        "drop": lambda: drop(corner=front, height_mm=150.0),
        "touch_height": lambda: touch_height(corner=front),
        "bumps, 1 s": lambda: bumps(corner=front, bump_height_mm=6, bump_spacing_mm=250, speed_m_s=6),
        "push_release": lambda: push_release(corner=front),
    }
    for name, single in singles.items():
        best, worst = spread(single)
        lines.append(f"{name}: {1e3 * best:.0f} ms (slowest {1e3 * worst:.0f} ms)")
    lines.append(f"a run of {MOST_STEPS} steps, all that a calculation may take: {at_the_bound():.1f} s")
    return lines


if __name__ == "__main__":
    for line in bench_motion():
        print(line)
