"""Laws of the flow tables: at their points they hold the law of the holes, and a batch holds each build's own."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from libdamp.damping import built
from libdamp.demo import demo_corner
from libdamp.physics.flow_table import (
    BACK,
    BLOCK,
    CELLS,
    COMPRESSION,
    INTO_VOID,
    REBOUND,
    SQUEEZED,
    FlowTable,
    flow_table,
)
from libdamp.physics.orifice import Passages, piston_conductance, piston_flow, piston_loss
from libdamp.physics.stepping import ARRAYS
from tests.drawn import examples
from tests.strategies import PistonDraw, between, pistons

FASTEST_M_S, LARGEST_PA = 20.0, 30e6
"""Shaft speed and loss at the end of the tables."""
points = st.integers(1, CELLS)


def _annulus(draw: PistonDraw) -> float:
    return 0.7 * draw.bore**2


def _squeezed(draw: PistonDraw) -> Passages:
    return draw._replace(edge=2.0 * draw.edge).passages()


def _table(annulus: float, one: PistonDraw, other: PistonDraw) -> FlowTable:
    return flow_table(annulus, one.passages(), other.passages(), _squeezed(one))


def _read(table: FlowTable, block: int, place: float) -> float:
    return float(ARRAYS.read(table.values, table.start + block, np.array([place]))[0][0])


@given(pistons(), pistons(), points, between(0.0, 1.0))
def test_loss_over_flow(one: PistonDraw, other: PistonDraw, point: int, part: float) -> None:
    """Each point holds the loss over the flow, in even steps of its fourth root up to 20 m/s; monotone between."""
    annulus = _annulus(one)
    table = _table(annulus, one, other)
    assert float(table.flow_scale[0]) == pytest.approx(CELLS**4 / (FASTEST_M_S * annulus), rel=1e-14)
    flow = (point / CELLS) ** 4 * FASTEST_M_S * annulus
    for block, ways in ((COMPRESSION, one.passages()), (REBOUND, other.passages()), (SQUEEZED, _squeezed(one))):
        here = _read(table, block, point)
        assert here == pytest.approx(float(piston_loss(flow, ways)) / flow, rel=1e-10)
        between_ = _read(table, block, point - part)
        assert _read(table, block, point - 1) * (1.0 - 1e-12) <= between_ <= here * (1.0 + 1e-12)


@given(pistons(), pistons(), points, between(0.0, 1.0))
def test_flow_over_loss(one: PistonDraw, other: PistonDraw, point: int, part: float) -> None:
    """Each point holds the flow over the loss, up to the larger loss of both ways at 20 m/s or 30 MPa."""
    annulus = _annulus(one)
    table = _table(annulus, one, other)
    ends = [float(piston_loss(FASTEST_M_S * annulus, draw.passages())) for draw in (one, other)]
    largest = min(max(ends), LARGEST_PA)
    assert float(table.loss_scale[0]) == pytest.approx(CELLS**4 / largest, rel=1e-12)
    loss = (point / CELLS) ** 4 * largest
    for block, ways in ((INTO_VOID, _squeezed(one)), (BACK, other.passages())):
        here = _read(table, block, point)
        assert here == pytest.approx(float(piston_flow(loss, ways)) / loss, rel=1e-10)
        between_ = _read(table, block, point - part)
        assert here * (1.0 - 1e-12) <= between_ <= _read(table, block, point - 1) * (1.0 + 1e-12)


@given(pistons(), pistons())
def test_at_rest(one: PistonDraw, other: PistonDraw) -> None:
    """Where the loss over the flow begins stands its limit at rest: one over the holes' conductance."""
    table = _table(_annulus(one), one, other)
    for block, draw in ((COMPRESSION, one), (REBOUND, other)):
        assert _read(table, block, 0.0) == pytest.approx(1.0 / float(piston_conductance(draw.passages())), rel=1e-5)


@pytest.mark.parametrize("corner", ["demo-truck.front", "demo-truck.rear", "demo-buggy.front", "demo-buggy.rear"])
@pytest.mark.parametrize("celsius", [5.0, 25.0, 40.0])
def test_error_between_the_points(corner: str, celsius: float) -> None:
    """For the demo cars loss and flow lie within 3e-4 of the law anywhere up to 20 m/s and 30 MPa."""
    shock = built(demo_corner(corner).shock, celsius)
    ways, annulus = shock.compression, shock.annulus
    table = flow_table(annulus, ways, ways, ways)
    places = np.linspace(0.5, CELLS, 8000)
    flow = (places / CELLS) ** 4 * FASTEST_M_S * annulus
    loss = places**4 / table.loss_scale
    ratio = ARRAYS.read(table.values, table.start + COMPRESSION, places)[0]
    ease = ARRAYS.read(table.values, table.start + BACK, places)[0]
    assert np.max(np.abs(ratio * flow / piston_loss(flow, ways) - 1.0)) < 3e-4
    assert np.max(np.abs(ease * loss / piston_flow(loss, ways) - 1.0)) < 3e-4


@settings(max_examples=examples(15))
@given(pistons(kinds=1), pistons(kinds=1), between(0.0, 1.0))
def test_a_batch_holds_each_build(one: PistonDraw, other: PistonDraw, share: float) -> None:
    """Two builds in one batch have the tables and scales that each has alone."""
    first, second = _annulus(one), _annulus(other)
    alone = [_table(first, one, one), _table(second, other, other)]
    pairs = [
        Passages(
            (type(a.holes[0])(*(np.array([[x], [y]]) for x, y in zip(a.holes[0], b.holes[0], strict=True))),),
            (np.array([[a.counts[0]], [b.counts[0]]]),),
            np.array([[a.gap], [b.gap]]),
        )
        for a, b in (
            (one.passages(), other.passages()),
            (one.passages(), other.passages()),
            (_squeezed(one), _squeezed(other)),
        )
    ]
    both = flow_table(np.array([[first], [second]]), *pairs)
    assert both.values.size == 2 * 5 * BLOCK
    for number, single in enumerate(alone):
        assert both.flow_scale[number] == pytest.approx(single.flow_scale[0], rel=1e-13)
        assert both.loss_scale[number] == pytest.approx(single.loss_scale[0], rel=1e-11)
        for block in (COMPRESSION, REBOUND, SQUEEZED, INTO_VOID, BACK):
            at = both.start[number] + block
            read = float(ARRAYS.read(both.values, at, np.array([share * CELLS]))[0][0])
            assert read == pytest.approx(_read(single, block, share * CELLS), rel=1e-9)
