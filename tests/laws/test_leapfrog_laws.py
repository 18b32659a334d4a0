"""Laws of one step of a corner in motion: the speed at a step, and the seals' grip."""

from typing import Any

import pytest
from hypothesis import given, settings

from libdamp.car import Corner
from libdamp.moving import alone
from libdamp.runs import fall
from libdamp.touching import impact
from tests.drawn import examples
from tests.laws.test_motion_laws import _ready
from tests.moving_strategies import usual_corners
from tests.strategies import over_decades


@settings(max_examples=examples(15))
@given(usual_corners(), over_decades(0.05, 0.6))
def test_speed_at_a_step(corner: Corner, height: float) -> None:
    """Body and wheel have at a step the mean of their speeds half a step before and after, to round-off.

    Left aside: steps in which the damping is so stiff that it would ring.
    """
    one = alone(_ready(corner))
    run: Any = fall(one, impact(height))
    solved, kept = run._masses, []
    run._masses = lambda lever: kept.append(solved(lever)) or kept[-1]
    plain = 0
    for _ in range(400):
        begun = run.begun
        run.step(one.step)
        if begun and kept[-1] == run.masses:
            plain += 1
            for now, before, after in (
                (run.now_body, run.body_old, run.body_speed),
                (run.now_wheel, run.wheel_old, run.wheel_speed),
            ):
                assert now == pytest.approx(0.5 * (before + after), rel=1e-9, abs=1e-11)
    assert plain > 100


@settings(max_examples=examples(15))
@given(usual_corners(), over_decades(0.05, 0.6))
def test_grip_of_the_seals(corner: Corner, height: float) -> None:
    """The seals give 0.02 mm before they slide: up to there like a spring of drag over that, then no more."""
    one = alone(_ready(corner))
    c, run, h = one.moving, fall(one, impact(height)), 5e-6
    began, gripped = float(run.insertion), 0
    for _ in range(400):
        run.step(h)
        gone = float(run.insertion) - began
        if abs(gone) >= 2e-5:
            break
        gripped += 1
        assert run.drag == pytest.approx(c.drag * gone / 2e-5, rel=1e-9, abs=1e-9 * c.drag)
    assert gripped > 3
    for _ in range(200):
        run.step(h)
        assert abs(run.drag) <= c.drag * (1.0 + 1e-9)
