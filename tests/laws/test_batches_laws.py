"""Laws of many corners at once: each figure is that of the corner alone, whatever stands beside it."""

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from libdamp import bumps, push_release
from libdamp.batches import LONGEST_LANDING_S, fallen, groups, pushed_down, touches
from libdamp.car import Corner
from libdamp.demo import demo_corner
from libdamp.moving import Ready, ready, ready_both
from libdamp.parts import Oil, Vented
from libdamp.runs import LONGEST_S, QUIET_S, can_fall, quiet, resolved
from libdamp.together import Asked, moved
from libdamp.touching import impact, least_clearance, touch
from tests.drawn import examples
from tests.model_strategies import replaced
from tests.moving_strategies import made_ready, usual_corners
from tests.strategies import between

SAME = 1e-9
several = st.lists(usual_corners(), min_size=2, max_size=2)
DEAR = settings(max_examples=examples(3), phases=[Phase.explicit, Phase.reuse, Phase.generate])
"""Few examples, each dear; what fails is shown as drawn."""


def _made(corners: list[Corner]) -> tuple[list[Ready | None], list[Ready | None]]:
    both = [ready_both(corner, 25.0) for corner in corners]
    return [pair and pair[0] for pair in both], [pair and pair[1] for pair in both]


def _near(value: float, alone: float | None) -> None:
    if alone is not None and math.isfinite(value):
        assert value == pytest.approx(alone, rel=SAME, abs=1e-12)


@DEAR
@given(several, between(0.02, 0.3))
def test_falls(corners: list[Corner], height: float) -> None:
    """Force and bounce are those of the corner alone; clearance too once it has settled."""
    seen = fallen(_made(corners)[0], height)
    for i, corner in enumerate(corners):
        alone_ = made_ready(corner)
        if not can_fall(alone_):
            assert np.isnan(seen.clearance[i])
            continue
        watch = resolved(alone_, impact(height), LONGEST_S, quiet)
        if watch.settled < LONGEST_LANDING_S - QUIET_S:  # else it still creeps down
            _near(seen.clearance[i], watch.clearance)
        _near(seen.force[i], watch.force)
        _near(seen.bounce[i], watch.bounce)


@DEAR
@given(several, between(0.02, 0.5))
def test_touch_heights(corners: list[Corner], guess: float) -> None:
    """The touch height is that of `touch_height`, to what its search leaves open, from any guess.

    That a vented cap is full shows within a time step, and there the clearance jumps by what the car falls in one.
    """
    found = touches(_made(corners)[0], guess)
    for i, corner in enumerate(corners):
        alone_ = made_ready(corner)
        height = touch(alone_, 0.2)
        if isinstance(corner.shock.fill, Vented) and height and math.isfinite(found[i]):
            assert abs(least_clearance(alone_, found[i])) <= alone_.step * impact(found[i])
        else:
            assert found[i] == pytest.approx(math.inf if height is None else height, rel=5e-3, abs=1e-5)


@DEAR
@given(several, st.tuples(between(2.0, 12.0), between(100.0, 400.0), between(3.0, 10.0)))
def test_bumps(corners: list[Corner], road: tuple[float, float, float]) -> None:
    """Contact, shift and load variation are those of `bumps`; the kerb's force that of a step, if it comes soon."""
    height, spacing, speed = road
    resting = _made(corners)[1]
    asked = Asked(0.0, height * 1e-3, spacing * 1e-3, speed, height * 1e-3, 0.1, 0.0)
    none = [None] * len(corners)
    _, seen, kerb, _ = moved(none, resting, none, np.zeros(len(corners)), asked)
    way: dict[str, Any] = {"bump_height_mm": height, "speed_m_s": speed}
    for i, corner in enumerate(corners):
        answer: Any = bumps(corner=corner, bump_spacing_mm=spacing, **way)
        _near(seen.contact[i], answer.contact_share)
        _near(seen.variation[i], answer.tyre_load_variation)
        if answer.mean_shift_mm is not None and math.isfinite(seen.shift[i]):
            assert seen.shift[i] * 1e3 == pytest.approx(answer.mean_shift_mm, rel=SAME, abs=1e-9)
        step: Any = bumps(corner=corner, shape="step", bump_spacing_mm=100.0, **way)
        if np.isfinite(kerb[i]):  # else its ledger is open: the corner alone halves its step, the batch does not
            assert kerb[i] <= step.peak_shock_n * (1.0 + SAME)


@DEAR
@given(several)
def test_releases(corners: list[Corner]) -> None:
    """Half time and overshoot are those of `push_release`, where they come soon enough."""
    resting = _made(corners)[1]
    wheel, insertion = pushed_down(resting, 5e-3)
    held = [
        None if one is None or np.isnan(x) else ready(corner, 25.0, begin=float(x))
        for one, corner, x in zip(resting, corners, insertion, strict=True)
    ]
    none = [None] * len(corners)
    seen = moved(none, none, held, wheel, Asked(0.0, 0.0, 0.1, 5.0, 0.0, 0.1, 5e-3)).released
    for i, corner in enumerate(corners):
        answer: Any = push_release(corner=corner, push_mm=5.0)
        assert (held[i] is None) == (answer.settle_s is None)
        _near(seen.half[i], answer.half_time_s)
        if answer.overshoot_mm is not None:
            assert seen.over[i] * 1e3 <= answer.overshoot_mm * (1.0 + SAME) + 1e-9


@settings(max_examples=examples(5))
@given(several)
def test_groups(corners: list[Corner]) -> None:
    """Every corner that can move is in one group, with its like."""
    falling = _made(corners)[0]
    found = groups([*falling, None])
    assert sorted(int(i) for places in found for i in places) == [
        i for i, corner in enumerate(falling) if corner is not None
    ]
    for places in found:
        like = [falling[int(i)] for i in places]
        assert len({(type(c.chamber), c.step) for c in like if c is not None}) == 1
    for places in groups(falling, own_steps=True):
        assert len({type(falling[int(i)].chamber) for i in places}) == 1  # type: ignore[union-attr]


def test_a_corner_that_touches_at_once_or_never() -> None:
    """Hardly any clearance and thin oil touch from any fall; far more clearance than travel from none."""
    front = demo_corner("demo-truck.front")
    thin = replaced(front.shock, oil=Oil(viscosity_cst=20.0))
    low = replaced(front, level_clearance_mm=1.0, shock=thin)
    high = replaced(front, level_clearance_mm=150.0)
    falling = [pair and pair[0] for pair in (ready_both(c, 25.0) for c in (low, front, high))]
    assert touches(falling)[[0, 2]].tolist() == [0.0, math.inf]
