"""Rewrite table.csv: `python -m tests.oracles.motion.generate`; about a minute on one core."""

import csv
import platform
import sys
import time
from collections.abc import Iterator
from io import StringIO
from pathlib import Path
from typing import TextIO

import numpy as np
import scipy

from tests.oracles.motion.corners import INPUTS, SEED, Case, case_of, rows
from tests.oracles.stiff_motion import RTOL, Peaks, corner_of, landing, peaks_of
from tests.oracles.stiff_shock import B_PA, SILICONE_PA

TABLE = Path(__file__).with_name("table.csv")
STRUCK = ("rigid_force_n", "rigid_cap_kpa")
DURATION_S = 0.2
"""Length of every landing; the first way in and out is over by then."""
CHECKED = ("demo-truck.front 150", "demo-buggy.rear 300", "demo-truck.rear vented", "vented 1", "bladder 5")
"""Landings solved in other ways too, to see what the numbers of the solver do."""
WAYS = {
    "LSODA, rtol 1e-9": {"rtol": 1e-9},
    "Radau, rtol 1e-7": {"method": "Radau"},
    "B ten times as large": {"modulus": 10.0 * B_PA},
    "B a tenth": {"modulus": 0.1 * B_PA},
}

RIGID_PA = 100.0 * SILICONE_PA

EXPLANATION = """\
Landings of corners by the stiff solver, for the tests of the motion engine. All corners are invented.
Rewritten by: python -m tests.oracles.motion.generate
Inputs as in a car file under dotted names, linkage and holes as text; peaks over the first 0.2 s: force and pull of
the whole shock, insertion, shaft speed, void, cap pressure, least clearance, bounce of the tyre, how far the stop
and the rim were pressed in, and whether a vented cap was full. rigid_: most while a void is open, of a full vented
cap whose oil gives a hundredth; elsewhere as before."""


def solve(case: Case, modulus: float = B_PA, method: str = "LSODA", rtol: float = RTOL) -> Peaks:
    """Peaks of one landing."""
    corner = corner_of(case.corner, case.temperature_c, case.switches, modulus)
    return peaks_of(corner, landing(corner, case.height_mm * 1e-3, DURATION_S, method, rtol))


def struck(case: Case, peaks: Peaks) -> tuple[float, float]:
    """Force, N, and cap pressure, kPa, of a full vented cap where a void is open and the oil hardly gives."""
    if not peaks.solid:
        return peaks.force_n, peaks.cap_kpa
    corner = corner_of(case.corner, case.temperature_c, case.switches._replace(cap_pa=RIGID_PA))
    ride = landing(corner, case.height_mm * 1e-3, DURATION_S)
    force, cap = (float(np.max(value, where=ride.void > 0.0, initial=0.0)) for value in (ride.force, ride.cap))
    return max(force, peaks.force_n), max(1e-3 * cap, peaks.cap_kpa)


def farthest(peaks: Peaks, other: Peaks) -> float:
    """Largest difference of the five main peaks, per cent."""
    travel = peaks.insertion_mm
    found = [abs(other.force_n / peaks.force_n - 1.0), abs(other.cap_kpa / peaks.cap_kpa - 1.0)]
    found += [abs(other.insertion_mm - travel) / travel]
    found += [abs(other.least_clearance_mm - peaks.least_clearance_mm) / travel]
    found += [abs(other.void_ml / peaks.void_ml - 1.0) if peaks.void_ml > 0.01 else 0.0]
    return 100.0 * max(found)


def check_lines() -> Iterator[str]:
    """How far other ways of solving are off."""
    cases = {row["name"]: case_of(row) for row in rows()}
    for name in CHECKED:
        usual = solve(cases[name])
        for way, settings in WAYS.items():
            yield f"check; {name}; {way}; {farthest(usual, solve(cases[name], **settings)):.4f}"


def table_rows() -> Iterator[list[str]]:
    """The table's lines."""
    for row in rows():
        case = case_of(row)
        peaks = solve(case)
        found = (*peaks, *struck(case, peaks))
        numbers = [str(value) if isinstance(value, int) else f"{value:.6g}" for value in found]
        yield [*(row[name] for name in INPUTS), *numbers]


def write(to: TextIO, checks: list[str], lines: list[list[str]]) -> None:
    """Header and table."""
    made = f"Python {platform.python_version()}, numpy {np.__version__}, scipy {scipy.__version__}"
    header = [
        *EXPLANATION.splitlines(),
        f"Made with {made}; LSODA, rtol {RTOL:g}; bulk modulus under the piston {B_PA:g} Pa; seed {SEED}",
        "check; landing; solved otherwise; largest difference of the five main peaks in per cent",
        *checks,
    ]
    to.writelines(f"# {line}\n" for line in header)
    writer = csv.writer(to, lineterminator="\n")
    writer.writerow((*INPUTS, *Peaks._fields, *STRUCK))
    writer.writerows(lines)


def main() -> None:
    """Compute everything, then replace the table."""
    began, text = time.monotonic(), StringIO()
    write(text, list(check_lines()), list(table_rows()))
    TABLE.write_text(text.getvalue())
    sys.stderr.write(f"{time.monotonic() - began:.0f} s\n")


if __name__ == "__main__":
    main()
