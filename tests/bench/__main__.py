"""Print how fast the library is, each figure beside a baseline of the same run.

python -m tests.bench   (OMP_NUM_THREADS=1 keeps it to one core)
"""

import subprocess
import sys
import time
from collections.abc import Callable
from typing import Any

import msgspec
import numpy as np

from libdamp.calculations import tolerance
from libdamp.car import Box, Car, Goals, Use
from libdamp.changing import changes
from libdamp.checked import build
from libdamp.damping import built, damping_force
from libdamp.demo import demo_corner, demo_data
from libdamp.goals import end_aims
from libdamp.grid import space
from libdamp.in_hand import parts_of, with_made
from libdamp.in_motion import MOVED_PER_END
from libdamp.likely import EVERY_KIND, NEAREST
from libdamp.planning import plan
from libdamp.ride_samples import FIGURES
from libdamp.searching import Found, chunks, looked_at, together
from libdamp.stance import ride
from tests.bench.motion_bench import bench_motion
from tests.bench.service_bench import bench_service
from tests.oracles.piston import loss_of_piston


def best(work: Callable[[], object], times: int = 5) -> float:
    """Shortest of some runs, s."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return min(taken)


def import_seconds(code: str, times: int = 7) -> float:
    """Shortest CPU time of a fresh interpreter that runs some code, s."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        subprocess.run([sys.executable, "-c", code], check=True)
        taken.append(time.perf_counter() - start)
    return min(taken)


def bench_import() -> str:
    """Import time over numpy's."""
    numpy, both = import_seconds("import numpy"), import_seconds("import numpy, libdamp")
    everything = import_seconds("import numpy, libdamp; libdamp.calculate")
    return (
        f"import libdamp: {1e3 * (both - numpy):.0f} ms over import numpy ({1e3 * numpy:.0f} ms); "
        f"with every calculation loaded {1e3 * (everything - numpy):.0f} ms"
    )


def bench_curve() -> str:
    """Force-speed points a second against one scalar root search a point."""
    shock = demo_corner("demo-truck.front").shock
    b = built(shock, 25.0)
    speeds = np.linspace(0.0, 1.0, 200_000)
    fast = speeds.size / best(lambda: damping_force(speeds, b.annulus, b.compression))
    few = (float(b.annulus) * speeds[::1000]).tolist()
    slow = len(few) / best(lambda: [loss_of_piston(q, b.compression) for q in few])
    return f"force-speed: {fast:.3g} points/s, {fast / slow:.0f} times the root search a point ({slow:.3g}/s)"


def _truck() -> tuple[Car, Box, Use]:
    """The demo truck with its box and use."""
    data = demo_data("demo-truck")
    return build(Car, data["car"], "", []), build(Box, data["box"], "", []), build(Use, data["use"], "", [])


def bench_grid() -> str:
    """Builds of one end a second, at rest, against the single calculation."""
    (car, box, use), corner = _truck(), demo_corner("demo-truck.front")
    parts = with_made(parts_of(corner, box, "front"), corner, box)
    aims = end_aims(Goals(), "front", use.surface, None)

    def look() -> Found:
        return together([looked_at(c) for c in chunks(space(car.front, parts, box, use.oil_temperature_c, aims))])

    count = look().considered
    fast = count / best(look)
    slow = 50 / best(lambda: [ride(corner=corner, temperature_c=31.0) for _ in range(50)])
    return f"plan at rest: {count} builds of one end, {fast:.3g}/s, {fast / slow:.0f} times ride() ({slow:.3g}/s)"


def bench_plan() -> str:
    """The whole plan of the demo truck, mixtures, blanks and motion in it, against the single calculation."""
    (car, box, use), corner = _truck(), demo_corner("demo-truck.front")
    made = plan(car=car, use=use, box=box)
    seconds = best(lambda: plan(car=car, use=use, box=box), times=3)
    single = best(lambda: [ride(corner=corner, temperature_c=31.0) for _ in range(50)]) / 50
    return (
        f"plan of the demo truck: {made.front.considered} and {made.rear.considered} builds at rest, up to "
        f"{MOVED_PER_END + NEAREST + EVERY_KIND} of each end moved: {seconds:.2f} s, as long as "
        f"{seconds / single:.0f} times ride()"
    )


def bench_changes() -> str:
    """Every single change of the demo truck, both ends."""
    car, box, use = _truck()
    count = changes(car=car, use=use, box=box).considered
    seconds = best(lambda: changes(car=car, use=use, box=box), 3)
    return f"changes of the demo truck, both ends, {count} of them: {1e3 * seconds:.0f} ms"


def bench_tolerance() -> str:
    """Every figure of `ride` over 10,000 draws, against as many single calls."""
    corner = demo_corner("demo-truck.front")
    asked: dict[str, Any] = {"corner": msgspec.to_builtins(corner), "temperature_c": 31}
    only = [path[0] for path in FIGURES if len(path) == 1]
    fast = best(lambda: tolerance(calculation="ride", request=asked, only=tuple(only), samples=10_000))
    slow = 200 * best(lambda: [ride(corner=corner, temperature_c=31.0) for _ in range(50)])
    return f"tolerance of ride, 10000 draws, {len(only)} outputs: {1e3 * fast:.0f} ms, single calls {slow:.1f} s"


if __name__ == "__main__":
    for bench in (bench_import, bench_curve, bench_grid, bench_plan, bench_changes, bench_tolerance):
        print(bench(), flush=True)
    for line in (*bench_motion(), *bench_service()):
        print(line, flush=True)
