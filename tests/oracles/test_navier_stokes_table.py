"""The pressure loss of a hole against the project's own Navier-Stokes solutions, and these against others."""

import csv
import math
from functools import cache
from typing import NamedTuple

import numpy as np
import pytest

from libdamp.physics.orifice import Hole, hole_loss
from tests.oracles.long_orifice import discharge_coefficient
from tests.oracles.navier_stokes.generate import COARSE, TABLE, Check, cell_of
from tests.oracles.navier_stokes.solve import plate_flow

RMS_PERCENT, MOST_PERCENT = 1.0, 2.0
"""How close the loss form is to be, in the mean over the whole table and at each point but the one named below."""


class Point(NamedTuple):
    length_ratio: float
    area_ratio: float
    reynolds: float
    loss: float  # dp d/(mu V)
    k: float
    unknowns: float
    convergence_percent: float

    def form(self) -> float:
        """Loss dp d/(mu V) by the loss form, with d = mu = rho = 1 and so V = Re."""
        hole = Hole(1.0, self.length_ratio, 1.0, 1.0, self.area_ratio)
        return float(hole_loss(self.reynolds, hole)) / self.reynolds

    def form_error(self) -> float:
        """Form over solution less 1, in per cent."""
        return 100.0 * (self.form() / self.loss - 1.0)

    def discharge(self) -> float:
        """Cd, mean velocity over sqrt(2 dp/rho)."""
        return math.sqrt(self.reynolds / (2.0 * self.loss))

    def where(self) -> str:
        return f"L/d = {self.length_ratio:g}, b = {self.area_ratio:.4g}, Re = {self.reynolds:g}"


@cache
def points() -> tuple[Point, ...]:
    lines = [line for line in TABLE.read_text().splitlines() if not line.startswith("#")]
    return tuple(Point(*map(float, row)) for row in list(csv.reader(lines))[1:])


@cache
def checks() -> tuple[Check, ...]:
    lines = [line.removeprefix("# ") for line in TABLE.read_text().splitlines() if line.startswith("# check; ")]
    return tuple(Check.read(line) for line in lines if not line.startswith("check; name;"))


def test_the_table_spans_the_stated_range():
    assert len(points()) >= 80
    assert {min(p.length_ratio for p in points()), max(p.length_ratio for p in points())} == {1.0, 5.0}
    assert {min(p.reynolds for p in points()), max(p.reynolds for p in points())} == {0.01, 1000.0}
    assert max(p.area_ratio for p in points()) == pytest.approx(1.0 / 6.0, abs=1e-6)
    assert min(p.area_ratio for p in points()) <= 0.01


@pytest.mark.parametrize("name", ["Poiseuille", "Sampson", "Dagan", "widths", "twice inlet and outlet"])
def test_the_solutions_meet_exact_and_published_values(name):
    found = [check for check in checks() if check.name.startswith(name)]
    assert found
    for check in found:
        assert abs(check.found / check.expected - 1.0) <= check.allowed_percent / 100.0, check.line()


def test_a_coarse_cell_solved_now_gives_its_line_of_the_table():
    wanted = next(p for p in points() if (p.length_ratio, p.reynolds) == (1.0, 30.0) and p.area_ratio > 0.16)
    flow = plate_flow(cell_of(wanted.length_ratio, 1.0 / 6.0), COARSE)
    (found,) = flow.solutions((wanted.reynolds,))
    rounding = 0.0006  # half a unit of the last digit of the stated per cent
    assert 100.0 * abs(found.loss / wanted.loss - 1.0) <= wanted.convergence_percent + rounding


def test_the_inertial_coefficient_grows_in_proportion_to_a_small_reynolds_number():
    for low in (p for p in points() if p.reynolds == 0.01):
        high = next(p for p in points() if p[:2] == low[:2] and p.reynolds == 1.0)
        assert low.k / low.reynolds == pytest.approx(high.k / high.reynolds, rel=0.02)


def test_the_loss_form_agrees_in_the_mean():
    errors = np.array([p.form_error() for p in points()])
    assert np.sqrt(np.mean(errors**2)) <= RMS_PERCENT


def test_the_loss_form_agrees_but_at_its_shortest_and_fastest():
    """Within 2 %, but 2.3 % low for L/d = 1 at Re = 1000, just outside the range of the fit (L/d from 1.07)."""
    far = {p.where(): p.form_error() for p in points() if abs(p.form_error()) > MOST_PERCENT}
    corner = next(p.where() for p in points() if (p.length_ratio, p.area_ratio, p.reynolds) == (1.0, 0.01, 1000.0))
    assert set(far) == {corner}
    assert -2.35 < far[corner] < -2.25


def test_the_solutions_agree_with_the_long_orifice_experiments():
    """Within 4 % in Cd, the agreement that the model states, in the widest cell."""
    wide = [p for p in points() if p.area_ratio <= 0.01 and p.length_ratio >= 2.0 and p.reynolds >= 30.0]
    assert wide
    for p in wide:
        assert p.discharge() == pytest.approx(discharge_coefficient(p.reynolds, p.length_ratio), rel=0.04), (
            p.where()
        )
