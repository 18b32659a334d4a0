"""Make every number and every power of the equations wrong by 1 %, one at a time; each must break a test.

python -m tests.mutants                        all modules of libdamp/physics
python -m tests.mutants --module orifice       one of them
python -m tests.mutants --sample 20 --seed 1   a few, drawn from all
python -m tests.mutants --list                 what would be changed

Prints what survives: file, line, change. Exit code 1 if anything does.
"""

import argparse
import os
import random
import subprocess
import sys
import time
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from tests.mutants.points import Point, modules, points
from tests.mutants.trial import DIED, SURVIVED, law_files, row_files

ROOT = Path(__file__).parents[2]
SECONDS = 120
"""Time after which a trial counts as hung, and its mutant as dead."""


def trial(module: str, number: int) -> str | None:
    """What killed a mutant in a process of its own; None if it survived."""
    command = [sys.executable, "-m", "tests.mutants.trial", module, str(number)]
    environment = {**os.environ, "OMP_NUM_THREADS": "1"}
    try:
        done = subprocess.run(
            command, capture_output=True, text=True, cwd=ROOT, env=environment, timeout=SECONDS, check=False
        )
    except subprocess.TimeoutExpired:
        return f"hung for {SECONDS} s"
    if done.returncode not in (SURVIVED, DIED):
        message = f"the trial of {module} {number} broke down:\n{done.stdout}{done.stderr}"
        raise RuntimeError(message)
    return None if done.returncode == SURVIVED else done.stdout.strip().splitlines()[-1]


def untested(names: Sequence[str]) -> list[str]:
    """Modules without any test of their own."""
    return [name for name in names if not row_files(name) and not law_files(name)]


def _arguments(given: Sequence[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.mutants", description=__doc__.split("\n")[0])
    parser.add_argument("--module", choices=modules(), help="mutate this module alone")
    parser.add_argument("--sample", type=int, help="draw so many mutants")
    parser.add_argument("--seed", type=int, default=1, help="of the draw")
    parser.add_argument("--list", action="store_true", help="print the mutants, try none")
    parser.add_argument("--jobs", type=int, default=os.cpu_count(), help="trials at a time")
    return parser.parse_args(given)


def _tried(names: Sequence[str], chosen: Sequence[tuple[int, Point]], jobs: int) -> list[str]:
    """Sentences on what is wrong: modules that fail unchanged, then mutants that survive."""
    with ThreadPoolExecutor(jobs) as pool:
        unchanged = pool.map(lambda name: trial(name, 0), names)
        broken = [f"{name} fails unchanged: {why}" for name, why in zip(names, unchanged, strict=True) if why]
        if broken:
            return broken
        killers = pool.map(lambda one: trial(one[1].module, one[0]), chosen)
        return [f"survives: {one[1]}" for one, killer in zip(chosen, killers, strict=True) if killer is None]


def main(given: Sequence[str] | None = None) -> int:
    """Try what the command line asks for."""
    asked, began = _arguments(given), time.monotonic()
    names = [asked.module] if asked.module else modules()
    chosen = [one for name in names for one in enumerate(points(name), start=1)]
    if asked.sample is not None:
        drawn = random.Random(asked.seed).sample(range(len(chosen)), min(asked.sample, len(chosen)))
        chosen = [chosen[place] for place in sorted(drawn)]
    if asked.list:
        print("\n".join(str(point) for _, point in chosen))
        return 0
    bare = untested(names)
    chosen = [one for one in chosen if one[1].module not in bare]
    wrong = [f"{name} has no test of its own" for name in bare]
    wrong += _tried(sorted({point.module for _, point in chosen}), chosen, asked.jobs)
    print("\n".join(wrong) or f"all of {len(chosen)} mutants died", end=f" ({time.monotonic() - began:.0f} s)\n")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
