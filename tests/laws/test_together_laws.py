"""Laws of shared time steps: whatever goes on beside it, each course gives what it gives by itself."""

import numpy as np
import pytest
from hypothesis import given, settings

from libdamp.batches import fallen, pushed_down
from libdamp.car import Corner
from libdamp.demo import demo_corner
from libdamp.moving import Ready, begun_at, ready, ready_both
from libdamp.parts import Emulsion, Vented
from libdamp.together import Asked, moved
from tests.drawn import examples
from tests.model_strategies import replaced
from tests.moving_strategies import usual_corners

SAME = 1e-9
PUSH_M = 5e-3


def _made(corners: list[Corner]) -> tuple[list[Ready | None], list[Ready | None]]:
    both = [ready_both(corner, 25.0) for corner in corners]
    return [pair and pair[0] for pair in both], [pair and pair[1] for pair in both]


FRONT = demo_corner("demo-truck.front")
FILLS = (
    FRONT.shock.fill,
    Vented(room_ml=0.4, closing_insertion_mm=15),
    Emulsion(gas_ml=0.6, closing_insertion_mm=15),
)
CORNERS = [replaced(FRONT, shock=replaced(FRONT.shock, fill=fill)) for fill in FILLS]
"""One corner with every kind of fill; every kind is stepped by itself."""


def test_courses_side_by_side() -> None:
    """Falls, bumps, a kerb and a push give the same together as one after the other."""
    corners, height, bump = [*CORNERS, demo_corner("demo-truck.rear")], 0.12, 6.0
    falling, resting = _made(corners)
    wheel, insertion = pushed_down(resting, PUSH_M)
    held = [
        None if one is None or np.isnan(x) else begun_at(one, corner, 25.0, float(x))
        for one, corner, x in zip(resting, corners, insertion, strict=True)
    ]
    asked, none = Asked(height, bump * 1e-3, 0.2, 5.0, 0.01, 0.1, PUSH_M), [None] * len(corners)
    still = Asked(0.0, 0.0, 0.2, 5.0, 0.0, 0.1, PUSH_M)
    seen = moved(falling, resting, held, wheel, asked)
    for together, alone in (
        *zip(seen.fallen, fallen(falling, height), strict=True),
        *zip(seen.driven, moved(none, resting, none, wheel, still._replace(bump=bump * 1e-3)).driven, strict=True),
        (seen.kerb, moved(none, resting, none, wheel, still._replace(kerb=0.01)).kerb),
        *zip(seen.released, moved(none, none, held, wheel, still).released, strict=True),
    ):
        assert np.isfinite(alone).any()
        assert together == pytest.approx(alone, rel=SAME, abs=1e-12, nan_ok=True)


@settings(max_examples=examples(10))
@given(usual_corners())
def test_what_is_held_is_as_if_made_anew(corner: Corner) -> None:
    """A corner that is ready, its gas set at rest elsewhere, is the corner made ready there."""
    pair = ready_both(corner, 25.0)
    if pair is None:
        return
    middle = 0.5 * (corner.shock.limiter_mm + corner.shock.stroke_mm) * 1e-3
    assert str(begun_at(pair[1], corner, 25.0, middle)) == str(ready(corner, 25.0, begin=middle))


def test_a_height_of_nothing_leaves_a_course_out() -> None:
    """No jump, no bumps, no kerb: not-a-number."""
    nothing = moved([None], [None], [None], np.zeros(1), Asked(0.0, 0.0, 0.2, 5.0, 0.0, 0.1, PUSH_M))
    columns = [*nothing.fallen, *nothing.driven, nothing.kerb, *nothing.released]
    assert all(np.isnan(column).all() for column in columns)
