"""How fast runs in motion are: a batch of drops against the stiff solver, and the single calculations."""

import time
from collections.abc import Callable

import numpy as np

from libdamp.demo import demo_corner
from libdamp.drops import drop, touch_height
from libdamp.ground import bumps
from libdamp.moving import ready, stacked
from libdamp.physics.numbers import G_N
from libdamp.releases import push_release
from libdamp.runs import landed

ENDS = ("demo-truck.front", "demo-truck.rear", "demo-buggy.front", "demo-buggy.rear")
CORNERS = 2000
LONG_S = 0.3


def seconds(work: Callable[[], object], times: int = 5) -> float:
    """Shortest CPU time of some runs, s."""
    taken = []
    for _ in range(times):
        start = time.process_time()
        work()
        taken.append(time.process_time() - start)
    return min(taken)


def batch_rate() -> float:
    """Corner-drops of 0.3 s a second, from 20 to 300 mm, tables made beforehand."""
    made = [ready(demo_corner(end), 25.0) for end in ENDS]
    corners = [made[i % len(made)] for i in range(CORNERS)]
    batch = stacked([corner for corner in corners if corner is not None])
    speed = np.sqrt(2.0 * G_N * np.linspace(0.02, 0.3, CORNERS))
    return CORNERS / seconds(lambda: landed(batch, speed, LONG_S), 3)


def bench_motion() -> list[str]:
    """Lines of the report."""
    front = demo_corner("demo-truck.front")
    rate = batch_rate()
    singles = {
        "drop": lambda: drop(corner=front, height_mm=150.0),
        "touch_height": lambda: touch_height(corner=front),
        "bumps": lambda: bumps(corner=front, bump_height_mm=6, bump_spacing_mm=250, speed_m_s=6),
        "push_release": lambda: push_release(corner=front),
    }
    lines = [f"batch drops of {LONG_S:g} s, {CORNERS} corners: {rate:.0f} corner-drops/s"]
    lines += [f"{name}: {1e3 * seconds(work):.0f} ms" for name, work in singles.items()]
    return lines


if __name__ == "__main__":
    for line in bench_motion():
        print(line)
