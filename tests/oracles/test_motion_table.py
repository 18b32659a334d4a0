"""The motion engine against landings solved by another method: a committed table of corners, and some solved anew.

Measures: force and cap pressure as shares of their own peak; insertion and least clearance as shares of the peak
insertion less the limiter; void as a share of the room that the piston has left behind by then; how far the rim is
pressed in as a share of itself; and, where nothing hard is touched, the shaft's speed, pull on the way out as a
share of the peak force, bounce as a share of the clearance.

While a vented cap is full and a void is open, the engine takes the oil as rigid; in the table it gives, and the
blow is up to 15 % weaker. There force and cap pressure must lie between the two, with the same margin.
"""

import csv
import math
from functools import cache
from typing import NamedTuple

import numpy as np
import pytest

from libdamp.moving import Settings, alone, ready
from libdamp.runs import Watch, landed
from libdamp.touching import impact, touch
from tests.oracles.motion.corners import Case, case_of, demo_rows, library_corner, rows
from tests.oracles.motion.generate import DURATION_S, STRUCK, TABLE, solve
from tests.oracles.stiff_motion import Peaks

SMOOTH, HARD = 0.01, 0.05
"""How close the engine is to be: without a stop, rim, ground or full vented cap; with one."""
RMS = 0.001
"""The same in the mean over all landings without."""
FINER, FINE = 8, 0.006
"""With steps so many times as small, how close the engine is to be at any contact but a full vented cap."""
MAIN = ("force", "insertion", "void", "cap", "clearance", "rim")


class Landing(NamedTuple):
    case: Case
    peaks: Peaks
    rigid: tuple[float, float]  # force, cap pressure

    def hard(self) -> bool:
        """Whether something hard was touched."""
        p = self.peaks
        return p.stop_mm > 0.0 or p.rim_mm > 0.0 or p.least_clearance_mm < 0.0 or p.solid == 1


@cache
def table() -> dict[str, Landing]:
    lines = [line for line in TABLE.read_text().splitlines() if not line.startswith("#")]
    found = {}
    for row in csv.DictReader(lines):
        numbers = [float(row[name]) for name in Peaks._fields]
        peaks = Peaks(*numbers[:-1], int(numbers[-1]))
        found[row["name"]] = Landing(case_of(row), peaks, (float(row[STRUCK[0]]), float(row[STRUCK[1]])))
    return found


@cache
def checks() -> tuple[tuple[str, str, float], ...]:
    lines = [line.split("; ") for line in TABLE.read_text().splitlines() if line.startswith("# check; ")]
    return tuple((name, way, float(percent)) for _, name, way, percent in lines[1:])


def engine(case: Case, finer: int = 1) -> Watch:
    """The same landing by the engine, with its own step or a smaller one."""
    s = case.switches
    told = Settings(s.hole_factor, s.void_pa, s.stop_rate, s.ground_rate, s.ground_damping, s.exponent)
    corner = library_corner(case)
    assert corner is not None
    prepared = ready(corner, case.temperature_c, told)
    assert prepared is not None
    one = alone(prepared)
    return landed(one._replace(step=one.step / finer), impact(case.height_mm * 1e-3), DURATION_S)


def beyond(value: float, low: float, high: float) -> float:
    """How far a value is outside of a range, as a share of its nearest end."""
    return min(value / low - 1.0, 0.0) + max(value / high - 1.0, 0.0)


@cache
def errors_of(name: str) -> dict[str, float]:
    """`errors` of a line of the table, worked out once."""
    return errors(table()[name])


def errors(landing: Landing, finer: int = 1) -> dict[str, float]:
    """The engine less the table, in the measures above."""
    case, p, found = landing.case, landing.peaks, engine(landing.case, finer)
    shock = case.corner["shock"]
    travel = p.insertion_mm - shock["limiter_mm"]
    room = math.pi / 4.0 * (shock["bore_mm"] ** 2 - shock["shaft_mm"] ** 2) * travel * 1e-3
    return {
        "force": beyond(found.force, p.force_n, landing.rigid[0]),
        "insertion": (1e3 * found.insertion - p.insertion_mm) / travel,
        "void": (1e6 * found.void - p.void_ml) / room,
        "cap": beyond(1e-3 * found.cap, p.cap_kpa, landing.rigid[1]),
        "clearance": (1e3 * found.clearance - p.least_clearance_mm) / travel,
        "rim": 1e3 * (found.squash - found.run.c.rim) / p.rim_mm - 1.0 if p.rim_mm > 0.0 else 0.0,
        "speed": found.speed / p.speed_m_s - 1.0,
        "pull": (-found.pull - p.pull_n) / p.force_n,
        "bounce": (1e3 * found.bounce - p.bounce_mm) / case.corner["level_clearance_mm"],
    }


def test_the_table_is_that_of_its_generator():
    """The generator draws the landings that stand in the table."""
    assert {row["name"]: case_of(row) for row in rows()} == {name: one.case for name, one in table().items()}


def test_the_table_spans_the_range():
    """At least sixty landings, all fills, each kind of hard contact, voids and none."""
    landings = table().values()
    assert len(landings) >= 60
    kinds = [one.case.corner["shock"]["fill"]["kind"] for one in landings]
    assert all(kinds.count(kind) >= 15 for kind in ("bladder", "vented", "emulsion"))
    assert {row["name"] for row in demo_rows()} <= set(table())
    for touched in ("stop_mm", "rim_mm", "solid", "void_ml", "bounce_mm", "pull_n"):
        assert sum(getattr(one.peaks, touched) > 0.0 for one in landings) >= 3, touched
    assert sum(one.peaks.least_clearance_mm < 0.0 for one in landings) >= 10
    assert sum(not one.hard() for one in landings) >= 40


def test_the_solver_has_converged():
    """Another method, tighter steps and stiffer oil move no main peak by a fortieth of a per cent."""
    assert len(checks()) >= 12
    for name, way, percent in checks():
        assert percent <= (0.1 if way == "B a tenth" else 0.025), (name, way)


@pytest.mark.parametrize("name", ["demo-truck.front 150", "demo-truck.rear vented", "emulsion 3", "bladder 13"])
def test_a_landing_solved_now_gives_its_line_of_the_table(name):
    wanted = table()[name]
    assert solve(wanted.case) == pytest.approx(wanted.peaks, rel=1e-4, abs=1e-4)


@pytest.mark.parametrize("name", [name for name, one in table().items() if not one.hard()])
def test_the_engine_agrees_where_nothing_hard_is_touched(name):
    far = {measure: error for measure, error in errors_of(name).items() if not abs(error) <= SMOOTH}
    assert not far


@pytest.mark.parametrize("name", [name for name, one in table().items() if one.hard()])
def test_the_engine_agrees_at_hard_contacts(name):
    """Chassis, stop, rim or a full vented cap."""
    found = errors_of(name)
    assert not {measure: found[measure] for measure in MAIN if not abs(found[measure]) <= HARD}


@pytest.mark.parametrize("name", [name for name, one in table().items() if one.hard() and not one.peaks.solid])
def test_the_engine_agrees_closely_with_small_steps(name):
    """What is off at a hard contact is the step."""
    found = errors(table()[name], FINER)
    assert not {measure: found[measure] for measure in MAIN if not abs(found[measure]) <= FINE}


@pytest.mark.parametrize("measure", ["force", "insertion", "void", "cap", "clearance", "speed", "pull", "bounce"])
def test_the_engine_agrees_in_the_mean(measure):
    """Over all landings without a hard contact."""
    found = np.array([errors_of(name)[measure] for name, one in table().items() if not one.hard()])
    assert np.sqrt(np.mean(found**2)) <= RMS


def test_touch_height():
    """The demo truck's front without seal drag and tyre loss just touches from the engine's height, to 0.2 %."""
    row = next(row for row in demo_rows() if row["name"] == "demo-truck.front 150")
    case = case_of(row | {"shock.seal_drag_n": "0", "tyre.loss_factor": "0"})
    corner = library_corner(case)
    assert corner is not None
    prepared = ready(corner, 25.0)
    assert prepared is not None
    height = touch(alone(prepared), 0.2)
    assert height is not None
    for factor, touches in ((0.998, False), (1.002, True)):
        least = solve(case._replace(height_mm=1e3 * factor * height)).least_clearance_mm
        assert (least < 0.0) == touches
