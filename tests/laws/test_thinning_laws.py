"""Laws of holes and pistons whose oil thins in fast shear."""

import numpy as np
import pytest
from hypothesis import given

from libdamp.physics.orifice import (
    Hole,
    creeping_resistance,
    creeping_share,
    hole_loss,
    hole_loss_slope,
    hole_velocity,
    largest_reynolds,
    largest_wall_shear,
    piston_conductance,
    piston_flow,
    piston_loss,
)
from tests.oracles.piston import loss_of_hole, loss_of_piston
from tests.oracles.tube import tube_loss
from tests.strategies import (
    PistonDraw,
    between,
    hole_diameters,
    hole_speeds,
    holes,
    losses,
    over_decades,
    pistons,
    shaft_speeds,
    signs,
    thinning_holes,
    thinnings,
    viscosities,
)

Law = tuple[float, float, float]
more = between(1.0, 4.0)
ROUND_OFF = 1.0 - 1e-12


def _inverse_error(hole: Hole, v: float) -> float:
    """Round-off of the inverse: relative change of the velocity for one of the loss, 1/n at most."""
    steepness = v * float(hole_loss_slope(v, hole)) / float(hole_loss(v, hole))
    return 1e-13 * max(1.0, 1.0 / steepness)


@given(thinning_holes, hole_speeds)
def test_odd(hole: Hole, v: float) -> None:
    """The loss is odd in the velocity, and so is its inverse."""
    assert hole_loss(-v, hole) == -hole_loss(v, hole)
    assert hole_velocity(-v, hole) == -hole_velocity(v, hole)
    assert hole_loss_slope(-v, hole) == hole_loss_slope(v, hole)


@given(thinning_holes)
def test_at_rest(hole: Hole) -> None:
    """At rest the oil has its viscosity at rest: no loss, and the slope of the creeping loss."""
    assert hole_loss(0.0, hole) == 0.0
    assert hole_velocity(0.0, hole) == 0.0
    assert hole_loss_slope(0.0, hole) == creeping_resistance(hole)


@given(thinning_holes, hole_speeds)
def test_equals_plain_floats(hole: Hole, v: float) -> None:
    """The loss equals the equation written in plain floats."""
    assert float(hole_loss(v, hole)) == pytest.approx(loss_of_hole(v, hole), rel=1e-13)


@given(thinning_holes, hole_speeds)
def test_inverse_of_loss(hole: Hole, v: float) -> None:
    """The velocity from a velocity's loss is that velocity."""
    there = float(hole_velocity(hole_loss(v, hole), hole))
    assert there == pytest.approx(v, rel=_inverse_error(hole, v))


@given(thinning_holes, losses)
def test_inverse_of_velocity(hole: Hole, loss: float) -> None:
    """The loss of the velocity that a loss drives is that loss."""
    assert float(hole_loss(hole_velocity(loss, hole), hole)) == pytest.approx(loss, rel=1e-13)


@given(thinning_holes, hole_speeds)
def test_slope_is_the_derivative(hole: Hole, v: float) -> None:
    """The slope equals a central difference of the loss (step 1e-5: 1e-11 of the loss, 20 times the slope's)."""
    step = 1e-5 * v
    difference = (hole_loss(v + step, hole) - hole_loss(v - step, hole)) / (2.0 * step)
    assert float(hole_loss_slope(v, hole)) == pytest.approx(float(difference), rel=2e-9)


@given(thinning_holes, hole_speeds, more)
def test_faster_loses_more(hole: Hole, v: float, factor: float) -> None:
    """A faster flow never loses less, however much the oil thins."""
    assert hole_loss(factor * v, hole) >= hole_loss(v, hole) * ROUND_OFF
    assert hole_loss_slope(v, hole) > 0.0


@given(thinning_holes, hole_speeds, more)
def test_thicker_oil_loses_more(hole: Hole, v: float, factor: float) -> None:
    """An oil thicker at rest that thins alike never loses less."""
    thick = hole._replace(viscosity=factor * hole.viscosity)
    assert hole_loss(v, thick) >= hole_loss(v, hole) * ROUND_OFF


@given(holes, thinnings, hole_speeds)
def test_thinning_never_adds(hole: Hole, law: Law, v: float) -> None:
    """Thinning never adds to the loss, and never takes it below that of an oil as thin all along."""
    thins = Hole(*hole[:6], *law)
    assert hole_loss(v, thins) <= hole_loss(v, hole) / ROUND_OFF
    floor = hole._replace(viscosity=hole.viscosity * max(law[2], 1e-9))
    assert hole_loss(v, thins) >= hole_loss(v, floor) * ROUND_OFF


@given(thinning_holes, hole_speeds, more)
def test_slower_to_relax_loses_less(hole: Hole, v: float, factor: float) -> None:
    """A longer relaxation time, a smaller index and a lower floor never add to the loss."""
    for thinner in (
        hole._replace(thinning_time=factor * hole.thinning_time),
        hole._replace(power_index=hole.power_index / factor),
        hole._replace(floor_share=hole.floor_share / factor),
    ):
        assert hole_loss(v, thinner) <= hole_loss(v, hole) / ROUND_OFF


@given(holes, thinnings, hole_speeds, losses)
def test_off(hole: Hole, law: Law, v: float, loss: float) -> None:
    """No relaxation time, an index of 1 or a floor of 1 is the oil that does not thin; the first bit for bit."""
    time, index, floor = law
    off = Hole(*hole[:6], 0.0, index, floor)
    assert hole_loss(v, off) == hole_loss(v, hole)
    assert hole_velocity(loss, off) == hole_velocity(loss, hole)
    for flat in (Hole(*hole[:6], time, 1.0, floor), Hole(*hole[:6], time, index, 1.0)):
        assert float(hole_loss(v, flat)) == pytest.approx(float(hole_loss(v, hole)), rel=1e-14)


@given(holes, thinnings, hole_speeds)
def test_limit_of_a_short_time(hole: Hole, law: Law, v: float) -> None:
    """As the relaxation time goes to zero the loss goes to that without thinning, with the square of the time."""
    beyond = 1e-4
    thins = Hole(*hole[:6], beyond * hole.diameter / (8.0 * v), *law[1:])
    assert float(hole_loss(v, thins)) == pytest.approx(float(hole_loss(v, hole)), rel=beyond**2)


@given(thinning_holes, hole_speeds)
def test_beside_oils_that_do_not_thin(hole: Hole, v: float) -> None:
    """A batch that mixes oils that thin with oils that do not gives the bits of each alone."""
    off = hole._replace(thinning_time=0.0)
    both = Hole(*(np.array(pair) for pair in zip(hole, off, strict=True)))
    for number, one in enumerate((hole, off)):
        assert hole_loss(v, both)[number] == hole_loss(v, one)
        assert hole_velocity(1e3 * v, both)[number] == hole_velocity(1e3 * v, one)


@given(hole_diameters, viscosities, hole_speeds, between(0.05, 1.0), between(0.0, 0.9), over_decades(1e-2, 1e3))
def test_long_hole(d: float, mu: float, v: float, index: float, floor: float, beyond: float) -> None:
    """In a long hole the loss is that of the exact flow through a tube, or up to 14 % below it, never above."""
    law = (beyond * d / (8.0 * v), index, floor)
    loss = float(hole_loss(v, Hole(d, 1e7 * d, mu, 1e-9, 0.0, 1.0, *law)))
    exact = tube_loss(v, d, 1e7 * d, mu, law)
    assert 0.86 * exact <= loss <= exact * (1.0 + 1e-5)


@given(pistons(), thinnings, shaft_speeds, signs)
def test_piston_equals_point_by_point(piston: PistonDraw, law: Law, speed: float, sign: float) -> None:
    """Holes of several kinds and a gap: the vectorised solution equals a general root-finder on plain floats."""
    flow, passages = sign * piston.flow(speed), piston._replace(thinning=law).passages()
    assert float(piston_loss(flow, passages)) == pytest.approx(loss_of_piston(flow, passages), rel=1e-10)


@given(pistons(), thinnings, shaft_speeds)
def test_piston_inverse(piston: PistonDraw, law: Law, speed: float) -> None:
    """The flow that a flow's loss drives is that flow."""
    flow, passages = piston.flow(speed), piston._replace(thinning=law).passages()
    assert float(piston_flow(piston_loss(flow, passages), passages)) == pytest.approx(flow, rel=1e-11)


@given(pistons(), thinnings, shaft_speeds, more)
def test_piston_order(piston: PistonDraw, law: Law, speed: float, factor: float) -> None:
    """Faster and thicker never lose less, thinning never adds."""
    thins = piston._replace(thinning=law)
    loss = float(piston_loss(piston.flow(speed), thins.passages()))
    assert float(piston_loss(piston.flow(factor * speed), thins.passages())) >= loss * ROUND_OFF
    thick = thins._replace(viscosity=factor * thins.viscosity)
    assert float(piston_loss(piston.flow(speed), thick.passages())) >= loss * ROUND_OFF
    assert loss <= float(piston_loss(piston.flow(speed), piston.passages())) / ROUND_OFF


@given(pistons(), thinnings)
def test_low_speed_is_untouched(piston: PistonDraw, law: Law) -> None:
    """The damping as the speed goes to zero is that without thinning, bit for bit."""
    thins = piston._replace(thinning=law).passages()
    assert piston_conductance(thins) == piston_conductance(piston.passages())


@given(pistons(), thinnings, shaft_speeds)
def test_shares_and_numbers(piston: PistonDraw, law: Law, speed: float) -> None:
    """The creeping share stays a share; in one kind of hole Re is never lower for thinning, the shear the same."""
    flow, thins = piston.flow(speed), piston._replace(thinning=law).passages()
    assert 0.0 < float(creeping_share(flow, thins)) <= 1.0 + 1e-12
    alone, plain = (p._replace(holes=p.holes[:1], counts=p.counts[:1], gap=0.0) for p in (thins, piston.passages()))
    assert largest_reynolds(flow, alone) >= largest_reynolds(flow, plain) * ROUND_OFF
    assert float(largest_wall_shear(flow, alone)) == pytest.approx(
        float(largest_wall_shear(flow, plain)), rel=1e-10
    )
