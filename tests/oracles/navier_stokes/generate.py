"""Rewrite table.csv: `python -m tests.oracles.navier_stokes.generate`; 10 to 25 minutes on one core."""

import csv
import math
import platform
import sys
import time
from collections.abc import Iterator
from io import StringIO
from pathlib import Path
from typing import NamedTuple, TextIO

import numpy as np
import scipy
import skfem

from .mesh import Cell, Grid
from .solve import NoSolution, pipe_flow, plate_flow

TABLE = Path(__file__).with_name("table.csv")

LENGTH_RATIOS = (1.0, 1.5, 2.0, 3.0, 5.0)
AREA_RATIOS = (0.01, 0.08, 1.0 / 6.0)
REYNOLDS = (0.01, 1.0, 10.0, 30.0, 100.0, 300.0, 1000.0)

WORKING = Grid()
COARSE = WORKING.scaled(1.5)
FINE = WORKING.scaled(0.7)

COLUMNS = ("length_ratio", "area_ratio", "reynolds", "loss", "k", "unknowns", "convergence_percent")

EXPLANATION = """\
Pressure loss of one hole in a thick plate, axisymmetric steady Navier-Stokes, for the tests of the loss form.
Rewritten by: python -m tests.oracles.navier_stokes.generate
length_ratio L/d; area_ratio b, hole over unit cell; reynolds V d rho/mu; loss dp d/(mu V), static pressure far
upstream minus far downstream; k = 2 (loss - loss at Re = 0)/Re on the same mesh; unknowns of the mesh;
convergence_percent: change of the loss from a mesh with every width 1.5 times as large."""


class Check(NamedTuple):
    """A number with what it should be; the header of the table carries it."""

    name: str
    found: float
    expected: float
    allowed_percent: float

    def line(self) -> str:
        """As it stands in the header."""
        return f"check; {self.name}; {self.found:.8g}; {self.expected:.8g}; {self.allowed_percent:g}"

    @classmethod
    def read(cls, line: str) -> "Check":
        """The inverse of `line`."""
        _, name, found, expected, allowed = line.split("; ")
        return cls(name, float(found), float(expected), float(allowed))


def cell_of(length_ratio: float, area_ratio: float, longer: float = 1.0) -> Cell:
    """Hole and cell with the inlet and outlet that the table uses, or longer ones."""
    radius = 0.5 / math.sqrt(area_ratio)
    return Cell(length_ratio, area_ratio, longer * 3.0 * radius, longer * max(30.0, 12.0 * radius))


def losses(cell: Cell, grid: Grid, reynolds: tuple[float, ...]) -> tuple[dict[float, float], int]:
    """Loss by Reynolds number as far as there is one, Re = 0 first, and the number of unknowns."""
    flow, found = plate_flow(cell, grid), {}
    try:
        for solution in flow.solutions((0.0, *reynolds)):
            found[solution.reynolds] = solution.loss
    except NoSolution as stopped:
        sys.stderr.write(f"{cell}: {stopped}\n")
    return found, len(flow.free)


def thin_wall_loss() -> float:
    """Creeping loss in the limit of no length and a wide cell, from two short holes by a straight line."""
    short, shorter = (losses(cell_of(length, 0.0025), WORKING, ())[0][0.0] for length in (0.02, 0.01))
    return 2.0 * shorter - short


def checks() -> Iterator[Check]:
    """Exact and published values."""
    for reynolds in (1.0, 100.0):
        (found,) = pipe_flow(2.0, 4, 3).solutions((reynolds,))
        yield Check(f"Poiseuille, pipe of L/d = 2, Re = {reynolds:g}: 32 L/d", found.loss, 64.0, 1e-8)
    yield Check("Sampson, L/d -> 0, b = 0.0025, Re = 0: 6 pi", thin_wall_loss(), 6.0 * math.pi, 0.5)
    for length in (0.5, 1.0, 2.0, 3.0, 5.0):
        found = losses(cell_of(length, 0.0025), WORKING, ())[0][0.0]
        name = f"Dagan, Weinbaum & Pfeffer, L/d = {length:g}, b = 0.0025, Re = 0: 6 pi + 32 L/d"
        yield Check(name, found, 6.0 * math.pi + 32.0 * length, 1.0)
    yield from convergence_checks()


def convergence_checks() -> Iterator[Check]:
    """The hardest cells on a finer mesh and in a longer domain."""
    reynolds = (30.0, 100.0, 300.0, 1000.0)
    for area in (AREA_RATIOS[0], AREA_RATIOS[-1]):
        usual = losses(cell_of(1.0, area), WORKING, reynolds)[0]
        finer = losses(cell_of(1.0, area), FINE, reynolds)[0]
        longer = losses(cell_of(1.0, area, longer=2.0), WORKING, reynolds)[0]
        for what, other, allowed in (("widths of 0.7", finer, 0.5), ("twice inlet and outlet", longer, 0.05)):
            for number in reynolds:
                name = f"{what}, L/d = 1, b = {area:.4g}, Re = {number:g}"
                yield Check(name, usual.get(number, math.nan), other.get(number, math.nan), allowed)


def rows() -> Iterator[tuple[str, ...]]:
    """The table's lines."""
    for length in LENGTH_RATIOS:
        for area in AREA_RATIOS:
            found, unknowns = losses(cell_of(length, area), WORKING, REYNOLDS)
            coarse, _ = losses(cell_of(length, area), COARSE, REYNOLDS)
            for number in REYNOLDS:
                if number not in found or number not in coarse:
                    continue
                loss = found[number]
                k, change = 2.0 * (loss - found[0.0]) / number, 100.0 * abs(loss / coarse[number] - 1.0)
                numbers = (length, area, number)
                yield (*(f"{x:.6g}" for x in numbers), f"{loss:.7g}", f"{k:.5g}", str(unknowns), f"{change:.3f}")
            sys.stderr.write(f"L/d = {length:g}, b = {area:.4g}: done after {time.process_time():.0f} s\n")


def write(to: TextIO, checked: list[Check], lines: list[tuple[str, ...]]) -> None:
    """Header and table."""
    wanted = len(LENGTH_RATIOS) * len(AREA_RATIOS) * len(REYNOLDS)
    made = f"Python {platform.python_version()}, numpy {np.__version__}, scipy {scipy.__version__}"
    header = [
        *EXPLANATION.splitlines(),
        f"Made with {made}, scikit-fem {skfem.__version__}",
        f"{len(lines)} of {wanted} points; left out as Newton's steps do not converge: {wanted - len(lines)}",
        "check; name; found; expected; allowed difference in per cent",
        *(check.line() for check in checked),
    ]
    to.writelines(f"# {line}\n" for line in header)
    writer = csv.writer(to, lineterminator="\n")
    writer.writerow(COLUMNS)
    writer.writerows(lines)


def main() -> None:
    """Compute everything, then replace the table."""
    began, text, checked = time.monotonic(), StringIO(), []
    for check in checks():
        checked.append(check)
        sys.stderr.write(f"{check.line()}\n")
    write(text, checked, list(rows()))
    TABLE.write_text(text.getvalue())
    sys.stderr.write(f"{time.monotonic() - began:.0f} s\n")


if __name__ == "__main__":
    main()
