"""Laws of a piston: holes of several kinds and a gap under one pressure difference."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from libdamp.physics.oil import density, silicone_viscosity
from libdamp.physics.orifice import (
    Passages,
    creeping_resistance,
    creeping_share,
    hole_loss,
    largest_reynolds,
    largest_wall_shear,
    piston_conductance,
    piston_flow,
    piston_loss,
    piston_velocity,
)
from tests.drawn import examples
from tests.oracles.piston import loss_of_piston
from tests.strategies import (
    PistonDraw,
    between,
    bores,
    densities,
    hole_diameters,
    losses,
    over_decades,
    pistons,
    shaft_speeds,
    temperatures,
    thicknesses,
    viscosities,
)

ROUND_OFF = 1.0 - 1e-12


def _loss(piston: PistonDraw, speed: float) -> float:
    return float(piston_loss(piston.flow(speed), piston.passages()))


@settings(max_examples=examples(25))
@given(pistons(), shaft_speeds, st.sampled_from((-1.0, 1.0)))
def test_equals_point_by_point(piston: PistonDraw, speed: float, sign: float) -> None:
    """The vectorised solution equals a general root-finder on plain floats."""
    flow = sign * piston.flow(speed)
    expected = loss_of_piston(flow, piston.passages())
    assert float(piston_loss(flow, piston.passages())) == pytest.approx(expected, rel=1e-11)


@given(pistons(), shaft_speeds)
def test_odd_and_zero_at_zero(piston: PistonDraw, speed: float) -> None:
    """The loss is odd in the flow and none at rest."""
    flow, passages = piston.flow(speed), piston.passages()
    assert piston_loss(-flow, passages) == -piston_loss(flow, passages)
    assert piston_loss(0.0, passages) == 0.0
    assert piston_flow(0.0, passages) == 0.0


@given(pistons(), shaft_speeds)
def test_inverse_of_flow(piston: PistonDraw, speed: float) -> None:
    """The flow that a flow's loss drives is that flow: all branches together carry it."""
    flow, passages = piston.flow(speed), piston.passages()
    assert float(piston_flow(piston_loss(flow, passages), passages)) == pytest.approx(flow, rel=1e-12)


@given(pistons(), losses)
def test_inverse_of_loss(piston: PistonDraw, loss: float) -> None:
    """The loss of the flow that a loss drives is that loss."""
    passages = piston.passages()
    assert float(piston_loss(piston_flow(loss, passages), passages)) == pytest.approx(loss, rel=1e-11)


@given(pistons(), shaft_speeds, between(1.0, 4.0))
def test_faster_loses_more(piston: PistonDraw, speed: float, factor: float) -> None:
    """A faster stroke loses more, at least in proportion."""
    assert _loss(piston, factor * speed) >= factor * _loss(piston, speed) * ROUND_OFF


@given(pistons(), shaft_speeds, between(1.0, 4.0))
def test_thicker_oil_loses_more(piston: PistonDraw, speed: float, factor: float) -> None:
    """A thicker oil never loses less at any speed."""
    thick = piston._replace(viscosity=factor * piston.viscosity)
    assert _loss(thick, speed) >= _loss(piston, speed) * ROUND_OFF


@given(pistons(), shaft_speeds, temperatures, between(0.1, 40.0))
def test_colder_loses_more(piston: PistonDraw, speed: float, t: float, colder: float) -> None:
    """The same shock in the cold, with oil thicker and heavier by its laws, never loses less."""

    def at(temperature: float) -> PistonDraw:
        nu = float(silicone_viscosity(piston.viscosity / piston.density, 298.15, temperature))
        rho = float(density(piston.density, 9.4e-4, temperature))
        return piston._replace(viscosity=nu * rho, density=rho)

    assert _loss(at(t - colder), speed) >= _loss(at(t), speed) * ROUND_OFF


@given(pistons(), shaft_speeds, between(0.25, 1.0), st.data())
def test_smaller_hole_loses_more(piston: PistonDraw, speed: float, factor: float, data: st.DataObject) -> None:
    """Any kind of hole made smaller, with b following, never loses less."""
    which = data.draw(st.integers(0, len(piston.kinds) - 1))
    kinds = list(piston.kinds)
    kinds[which] = (kinds[which][0], factor * kinds[which][1])
    assert _loss(piston._replace(kinds=tuple(kinds)), speed) >= _loss(piston, speed) * ROUND_OFF


@given(pistons(), shaft_speeds, st.data())
def test_fewer_holes_lose_more(piston: PistonDraw, speed: float, data: st.DataObject) -> None:
    """One hole less, with b following, never loses less."""
    which = data.draw(st.integers(0, len(piston.kinds) - 1))
    kinds = list(piston.kinds)
    assume(which > 0 or kinds[0][0] > 1)
    kinds[which] = (kinds[which][0] - 1, kinds[which][1])
    assert _loss(piston._replace(kinds=tuple(kinds)), speed) >= _loss(piston, speed) * ROUND_OFF


@given(pistons(), shaft_speeds, between(1.0, 4.0))
def test_thicker_piston_loses_more(piston: PistonDraw, speed: float, factor: float) -> None:
    """A thicker piston never loses less."""
    thick = piston._replace(thickness=factor * piston.thickness)
    assert _loss(thick, speed) >= _loss(piston, speed) * ROUND_OFF


@given(pistons(gap=True), shaft_speeds)
def test_gap_never_adds_loss(piston: PistonDraw, speed: float) -> None:
    """Beside the holes a gap never adds loss, and the whole never loses more than either path alone."""
    flow, passages = piston.flow(speed), piston.passages()
    together = _loss(piston, speed)
    assert together * ROUND_OFF <= _loss(piston._replace(clearance=0.0), speed)
    assert together * ROUND_OFF <= flow / passages.gap


@given(pistons(kinds=1, gap=False), shaft_speeds)
def test_holes_only(piston: PistonDraw, speed: float) -> None:
    """Equal holes without a gap lose what one of them loses at its share of the flow."""
    passages, flow = piston.passages(), piston.flow(speed)
    (count, diameter) = piston.kinds[0]
    alone = hole_loss(flow / (count * 0.25 * np.pi * diameter**2), passages.holes[0])
    assert float(piston_loss(flow, passages)) == pytest.approx(float(alone), rel=1e-13)


@given(pistons(kinds=1, gap=True), shaft_speeds)
def test_gap_only(piston: PistonDraw, speed: float) -> None:
    """As the hole closes the loss goes to that of the gap alone (less the holes' share of the conductance)."""
    closing = piston._replace(kinds=((1, 1e-7),))
    flow, passages = piston.flow(speed), closing.passages()
    share = float(piston_conductance(passages._replace(gap=0.0))) / passages.gap
    gap_alone = flow / passages.gap
    assert gap_alone * (1.0 - share - 1e-12) <= float(piston_loss(flow, passages)) <= gap_alone * (1.0 + 1e-12)


@given(pistons(), between(0.1, 10.0))
def test_conductance_over_viscosity(piston: PistonDraw, factor: float) -> None:
    """The damping at speed zero is in proportion to the viscosity, and to nothing else of the oil."""
    thick = piston._replace(viscosity=factor * piston.viscosity, density=0.9 * piston.density)
    ratio = piston_conductance(piston.passages()) / piston_conductance(thick.passages())
    assert float(ratio) == pytest.approx(factor, rel=1e-13)


@given(pistons(gap=False), shaft_speeds, st.integers(2, 4))
def test_more_equal_holes(piston: PistonDraw, speed: float, times: int) -> None:
    """At equal b, n times the holes carry n times the flow at the same loss: c0 ~ 1/n, quadratic ~ 1/n^2."""
    passages, flow = piston.passages(), piston.flow(speed)
    many = passages._replace(counts=tuple(times * count for count in passages.counts))
    assert float(piston_loss(times * flow, many)) == pytest.approx(float(piston_loss(flow, passages)), rel=1e-12)


@given(pistons(), shaft_speeds)
def test_two_of_each_share_the_flow(piston: PistonDraw, speed: float) -> None:
    """Two pistons of half the conductance side by side are one: everything halved at half the flow."""
    passages, flow = piston.passages(), piston.flow(speed)
    half = Passages(passages.holes, tuple(0.5 * n for n in passages.counts), 0.5 * passages.gap)
    assert float(piston_loss(0.5 * flow, half)) == pytest.approx(float(piston_loss(flow, passages)), rel=1e-12)


@given(pistons(kinds=1), shaft_speeds)
def test_split_kind(piston: PistonDraw, speed: float) -> None:
    """A kind of hole listed twice with its count divided is the same piston."""
    passages, flow = piston.passages(), piston.flow(speed)
    n = passages.counts[0]
    twice = Passages(passages.holes * 2, (0.3 * n, 0.7 * n), passages.gap)
    assert float(piston_loss(flow, twice)) == pytest.approx(float(piston_loss(flow, passages)), rel=1e-12)


@given(pistons(kinds=2), shaft_speeds)
def test_order_of_kinds(piston: PistonDraw, speed: float) -> None:
    """The order of the kinds of holes does not matter."""
    swapped = piston._replace(kinds=piston.kinds[::-1])
    assert _loss(swapped, speed) == pytest.approx(_loss(piston, speed), rel=1e-12)


@given(pistons(), over_decades(1e-12, 1e-10))
def test_limit_of_rest(piston: PistonDraw, speed: float) -> None:
    """As the speed goes to zero the loss is the flow over the conductance, and all of it creeping."""
    flow, passages = piston.flow(speed), piston.passages()
    slow = flow / float(piston_conductance(passages))
    small = max(float(largest_reynolds(flow, passages)), 1e-12)
    assert float(piston_loss(flow, passages)) == pytest.approx(slow, rel=small)
    assert float(creeping_share(flow, passages)) == pytest.approx(1.0, rel=small)


@given(pistons(), shaft_speeds)
def test_creeping_share_bounds(piston: PistonDraw, speed: float) -> None:
    """The creeping share of the power lies between none and all of it."""
    share = float(creeping_share(piston.flow(speed), piston.passages()))
    assert 0.0 < share <= 1.0 + 1e-12


@given(pistons(kinds=1, gap=False), shaft_speeds, between(1.01, 4.0))
def test_creeping_share_falls(piston: PistonDraw, speed: float, factor: float) -> None:
    """Equal holes without a gap: the faster, the smaller the creeping share."""
    slow, fast = (creeping_share(piston.flow(v), piston.passages()) for v in (speed, factor * speed))
    assert fast <= slow / ROUND_OFF


@given(pistons(), shaft_speeds)
def test_power_is_lost(piston: PistonDraw, speed: float) -> None:
    """Flow times loss is never negative, whatever the direction: a piston feeds no energy in."""
    for flow in (piston.flow(speed), -piston.flow(speed)):
        assert flow * float(piston_loss(flow, piston.passages())) > 0.0


@given(pistons(kinds=1), shaft_speeds)
def test_definitions_of_the_numbers(piston: PistonDraw, speed: float) -> None:
    """Re = V d rho/mu and wall shear 8 V/d of the one kind of hole."""
    flow, passages = piston.flow(speed), piston.passages()
    v, hole = float(piston_velocity(flow, passages)), passages.holes[0]
    reynolds = v * hole.diameter * hole.density / hole.viscosity
    assert float(largest_reynolds(flow, passages)) == pytest.approx(reynolds, rel=1e-12)
    assert float(largest_wall_shear(-flow, passages)) == pytest.approx(8.0 * v / hole.diameter, rel=1e-12)


@given(pistons(kinds=2), shaft_speeds)
def test_closed_kind_counts_for_nothing(piston: PistonDraw, speed: float) -> None:
    """A kind of hole of which none is open changes neither the loss nor the largest numbers."""
    passages, flow = piston.passages(), piston.flow(speed)
    closed = passages._replace(counts=(passages.counts[0], 0.0))
    single = Passages(passages.holes[:1], passages.counts[:1], passages.gap)
    for measure in (piston_loss, largest_reynolds, largest_wall_shear, creeping_share):
        assert float(measure(flow, closed)) == pytest.approx(float(measure(flow, single)), rel=1e-12)


def _matched(first: PistonDraw, second: PistonDraw) -> PistonDraw:
    """The second piston with the oil that gives both the same damping as v goes to zero."""
    ratio = piston_conductance(second.passages()) / piston_conductance(first.passages())
    return second._replace(viscosity=first.viscosity * float(ratio))


kind = st.tuples(st.integers(1, 8), hole_diameters)


@settings(max_examples=examples(100))
@given(kind, kind, bores, thicknesses, viscosities, densities)
def test_equal_when_slow_different_when_fast(
    one: tuple[int, float],
    other: tuple[int, float],
    bore: float,
    thickness: float,
    mu: float,
    rho: float,
) -> None:
    """No gap, one thickness, matched as v goes to 0: less hole area with thinner oil is never softer."""
    areas = [count * diameter**2 for count, diameter in (one, other)]
    less, wide = (one, other) if areas[0] < areas[1] else (other, one)
    bore = max(bore, 1.0000001 * (2.0 * max(areas)) ** 0.5)
    first = PistonDraw(bore, thickness, 0.0, 0.0, mu, rho, 1.0, (wide,))
    second = _matched(first, first._replace(kinds=(less,), viscosity=mu))
    assume(min(areas) < max(areas) and second.viscosity < first.viscosity)
    speeds = np.geomspace(1e-5, 5.0, 25)
    wide_loss, less_loss = (piston_loss(p.flow(1.0) * speeds, p.passages()) for p in (first, second))
    assert (less_loss >= wide_loss * ROUND_OFF).all()


def test_equal_when_slow_needs_thinner_oil() -> None:
    """With less area but a thicker oil (few large holes for many small ones) the law does not hold."""
    first = PistonDraw(19e-3, 0.56e-3, 0.0, 0.0, 0.016, 960.0, 1.0, ((6, 1.11e-3),))
    second = _matched(first, first._replace(kinds=((1, 2.715e-3),)))
    assert second.area_ratio() < first.area_ratio()
    assert second.viscosity > first.viscosity
    assert _loss(second, 0.05) < 0.99 * _loss(first, 0.05)


def test_equal_when_slow_needs_no_gap() -> None:
    """With a gap, whose leak is linear, the law does not hold although area and oil would."""
    first = PistonDraw(12e-3, 2.4e-3, 0.1e-3, 0.0, 0.3, 970.0, 1.0, ((2, 1.7e-3),))
    second = _matched(first, first._replace(kinds=((1, 0.4e-3),)))
    assert second.area_ratio() < first.area_ratio()
    assert second.viscosity < first.viscosity
    assert _loss(second, 0.5) < 0.9 * _loss(first, 0.5)


@given(pistons(kinds=1))
def test_conductance_of_holes(piston: PistonDraw) -> None:
    """The conductance is the area of the holes over the creeping resistance, and the gap's."""
    passages = piston.passages()
    count, diameter = piston.kinds[0]
    area = count * 0.25 * np.pi * diameter**2
    expected = area / float(creeping_resistance(passages.holes[0])) + passages.gap
    assert float(piston_conductance(passages)) == pytest.approx(expected, rel=1e-14)
