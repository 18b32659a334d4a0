"""Laws of drill sizes and of the walls that holes leave."""

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from libdamp.physics.drills import METRIC_MM, NUMBER_INCH, hole_wall, nearest_size, rim_wall, shaft_wall
from tests.strategies import between, hole_diameters, shafts

sizes = st.lists(between(0.1, 10.0), min_size=1, max_size=30)
circles = between(4e-3, 36e-3)
counts = st.integers(2, 20)


@given(between(0.1, 10.0), sizes)
def test_none_is_nearer(wanted: float, some: list[float]) -> None:
    """No size is nearer than the nearest, and none before it as near."""
    place = int(nearest_size(wanted, some))
    off = [abs(size - wanted) for size in some]
    assert off[place] == min(off)
    assert all(each > off[place] for each in off[:place])


@given(sizes)
def test_a_size_finds_itself(some: list[float]) -> None:
    """Every size is nearest to itself, one by one and all at once."""
    places = nearest_size(np.array(some), some)
    assert [some[int(place)] for place in places] == some
    assert [int(nearest_size(size, some)) for size in some] == places.tolist()


@given(between(0.4, 5.0))
def test_a_drill_for_every_hole(wanted: float) -> None:
    """Every hole of a piston has a metric drill within half the widest step, 0.05 mm."""
    assert abs(METRIC_MM[int(nearest_size(wanted, METRIC_MM))] - wanted) <= 0.05 + 1e-12


def test_tables_are_in_order() -> None:
    """Metric drills rise by 0.02 to 0.1 mm; the larger a number, the thinner the drill; all holes are covered."""
    steps = [round(b - a, 9) for a, b in pairwise(METRIC_MM)]
    assert set(steps) == {0.02, 0.03, 0.05, 0.1}
    assert (METRIC_MM[0], METRIC_MM[-1]) == (0.2, 5.0)
    assert list(NUMBER_INCH) == list(range(80, 7, -1))
    assert all(a < b for a, b in pairwise(NUMBER_INCH.values()))
    assert 25.4 * NUMBER_INCH[80] < 0.4
    assert 25.4 * NUMBER_INCH[8] > 5.0


@given(circles, shafts, between(1e-3, 10e-3), hole_diameters)
def test_walls_and_hole_fill_the_room(circle: float, shaft: float, wider: float, hole: float) -> None:
    """Rim wall, hole and shaft wall together are the room between rim and shaft, wherever the circle lies."""
    piston = circle + wider
    total = float(rim_wall(piston, circle, hole)) + hole + float(shaft_wall(circle, shaft, hole))
    assert total == pytest.approx(0.5 * (piston - shaft), abs=1e-15)


@given(circles, counts, hole_diameters)
def test_next_hole_by_its_place(circle: float, count: int, hole: float) -> None:
    """The wall to the next hole is the distance of two centres on the circle less the diameter."""
    angle = 2.0 * math.pi / count
    places = [(0.5 * circle * math.cos(a), 0.5 * circle * math.sin(a)) for a in (0.0, angle)]
    assert float(hole_wall(circle, count, hole)) == pytest.approx(math.dist(*places) - hole, abs=1e-14)


@given(circles, shafts, counts, hole_diameters, between(1e-6, 1e-3))
def test_drilling_thins_every_wall(circle: float, shaft: float, count: int, hole: float, more: float) -> None:
    """A larger drill takes half its growth from rim and shaft and all of it from the next hole; more holes too."""
    wider = hole + more
    for wall, share in (
        (lambda d: rim_wall(2.0 * circle, circle, d), 0.5),
        (lambda d: shaft_wall(circle, shaft, d), 0.5),
        (lambda d: hole_wall(circle, count, d), 1.0),
    ):
        assert float(wall(hole)) - float(wall(wider)) == pytest.approx(share * more, rel=1e-9, abs=1e-15)
    assert hole_wall(circle, count + 1, hole) < hole_wall(circle, count, hole)


@given(circles, hole_diameters)
def test_two_holes_lie_opposite(circle: float, hole: float) -> None:
    """Two holes lie across the circle from each other: its whole diameter lies between their centres."""
    assert float(hole_wall(circle, 2, hole)) == pytest.approx(circle - hole, abs=1e-15)
