"""Laws of one hole and of the gap."""

import math

import numpy as np
import pytest
from hypothesis import given

from libdamp.physics.orifice import (
    Hole,
    creeping_resistance,
    gap_conductance,
    hole_loss,
    hole_loss_slope,
    hole_velocity,
    inertial_coefficient,
)
from tests.oracles.annulus import annulus_conductance, thin_gap_error
from tests.oracles.piston import loss_of_hole
from tests.strategies import (
    between,
    clearances,
    edges,
    hole_diameters,
    hole_speeds,
    holes,
    losses,
    over_decades,
    thicknesses,
    viscosities,
)

more = between(1.0, 4.0)
ROUND_OFF = 1.0 - 1e-13


@given(holes, hole_speeds)
def test_odd(hole: Hole, v: float) -> None:
    """The loss is odd in the velocity, and so is its inverse."""
    assert hole_loss(-v, hole) == -hole_loss(v, hole)
    assert hole_velocity(-v, hole) == -hole_velocity(v, hole)
    assert hole_loss_slope(-v, hole) == hole_loss_slope(v, hole)


@given(holes)
def test_zero_at_zero(hole: Hole) -> None:
    """No flow, no loss; no loss, no flow."""
    assert hole_loss(0.0, hole) == 0.0
    assert hole_velocity(0.0, hole) == 0.0
    assert hole_loss_slope(0.0, hole) == creeping_resistance(hole)
    assert inertial_coefficient(0.0, hole) == 0.0


@given(holes, hole_speeds)
def test_inverse_of_loss(hole: Hole, v: float) -> None:
    """The velocity from a velocity's loss is that velocity."""
    assert float(hole_velocity(hole_loss(v, hole), hole)) == pytest.approx(v, rel=1e-13)


@given(holes, losses)
def test_inverse_of_velocity(hole: Hole, loss: float) -> None:
    """The loss of the velocity that a loss drives is that loss."""
    assert float(hole_loss(hole_velocity(loss, hole), hole)) == pytest.approx(loss, rel=1e-13)


@given(holes, hole_speeds)
def test_slope_is_the_derivative(hole: Hole, v: float) -> None:
    """The slope equals a central difference of the loss (step 1e-5: 1e-10 by truncation and round-off)."""
    step = 1e-5 * v
    difference = (hole_loss(v + step, hole) - hole_loss(v - step, hole)) / (2.0 * step)
    assert float(hole_loss_slope(v, hole)) == pytest.approx(float(difference), rel=1e-9)


@given(holes, hole_speeds)
def test_equals_plain_floats(hole: Hole, v: float) -> None:
    """The loss equals the equation written in plain floats."""
    assert float(hole_loss(v, hole)) == pytest.approx(loss_of_hole(v, hole), rel=1e-14)


@given(holes, hole_speeds, more)
def test_faster_loses_more(hole: Hole, v: float, factor: float) -> None:
    """A faster flow never loses less, and the loss grows at least in proportion."""
    assert hole_loss(factor * v, hole) >= factor * hole_loss(v, hole) * ROUND_OFF


@given(holes, hole_speeds, more)
def test_thicker_oil_loses_more(hole: Hole, v: float, factor: float) -> None:
    """A thicker oil never loses less at the same velocity and density."""
    thick = hole._replace(viscosity=factor * hole.viscosity)
    assert hole_loss(v, thick) >= hole_loss(v, hole) * ROUND_OFF


@given(holes, hole_speeds, between(1.0, 1.3))
def test_heavier_oil_loses_more(hole: Hole, v: float, factor: float) -> None:
    """A heavier oil never loses less at the same velocity and viscosity."""
    heavy = hole._replace(density=factor * hole.density)
    assert hole_loss(v, heavy) >= hole_loss(v, hole) * ROUND_OFF


@given(holes, hole_speeds, more)
def test_longer_hole_loses_more(hole: Hole, v: float, factor: float) -> None:
    """A longer hole never loses less."""
    assert hole_loss(v, hole._replace(length=factor * hole.length)) >= hole_loss(v, hole) * ROUND_OFF


@given(holes, hole_speeds, between(0.25, 1.0))
def test_smaller_hole_loses_more(hole: Hole, v: float, factor: float) -> None:
    """A smaller hole with its share b of the bore smaller alike never loses less at the same flow."""
    small = hole._replace(diameter=factor * hole.diameter, area_ratio=factor**2 * hole.area_ratio)
    assert hole_loss(v / factor**2, small) >= hole_loss(v, hole) * ROUND_OFF


@given(holes, hole_speeds, between(0.0, 1.0))
def test_wider_bore_loses_more(hole: Hole, v: float, factor: float) -> None:
    """The same hole in a wider bore never loses less: less of the jet's speed is recovered."""
    assert hole_loss(v, hole._replace(area_ratio=factor * hole.area_ratio)) >= hole_loss(v, hole) * ROUND_OFF


@given(holes, hole_speeds, edges, more)
def test_edge_scales_the_inertial_part(hole: Hole, v: float, edge: float, factor: float) -> None:
    """The edge factor multiplies the inertial part and leaves the creeping part alone."""
    creeping = creeping_resistance(hole) * v
    one, other = (hole_loss(v, hole._replace(edge=e)) - creeping for e in (edge, factor * edge))
    noise = 1e-15 * float(hole_loss(v, hole._replace(edge=factor * edge)))
    assert abs(float(other) - factor * float(one)) <= 8.0 * noise * (1.0 + factor)


@given(holes, over_decades(1e-3, 1e4))
def test_bounds_of_the_coefficient(hole: Hole, reynolds: float) -> None:
    """K lies between zero and 2.25 (1 - b) times the edge factor."""
    k = float(inertial_coefficient(reynolds, hole))
    assert 0.0 < k <= 2.25 * hole.edge * (1.0 - hole.area_ratio) / ROUND_OFF


@given(holes, over_decades(1e-7, 1e-3))
def test_coefficient_in_proportion_near_zero(hole: Hole, reynolds: float) -> None:
    """Near Re = 0, K grows in proportion to Re: edge (2.25 - 2.25 b) Re/30 (0.0095 d Re/L of it, and (Re/30)^2)."""
    expected = hole.edge * 2.25 * (1.0 - hole.area_ratio) * reynolds / 30.0
    short = 0.0095 * hole.diameter / hole.length * reynolds + (reynolds / 30.0) ** 2 + 1e-13
    assert float(inertial_coefficient(reynolds, hole)) == pytest.approx(expected, rel=short)


@given(holes, hole_speeds)
def test_no_index_no_thinning(hole: Hole, v: float) -> None:
    """A relaxation time without a power index does not thin."""
    assert hole_loss(v, hole._replace(thinning_time=1e-3)) == hole_loss(v, hole)


@given(hole_diameters, viscosities)
def test_thin_wall(d: float, mu: float) -> None:
    """As L/d goes to zero the creeping loss is 18.56 mu V/d: 1.6 % under Sampson's 6 pi for an orifice."""
    thin = float(creeping_resistance(Hole(d, 1e-12 * d, mu, 970.0, 0.0))) * d / mu
    assert thin == pytest.approx(18.56, rel=1e-11)
    assert 0.984 < thin / (6.0 * math.pi) < 1.0


@given(hole_diameters, viscosities, over_decades(1e3, 1e6))
def test_long_hole(d: float, mu: float, ratio: float) -> None:
    """As L/d grows the creeping loss goes to Poiseuille's 32 mu L V/d^2; the ends add 18.56 d/L of it to 32."""
    loss = float(creeping_resistance(Hole(d, ratio * d, mu, 970.0, 0.0)))
    assert loss == pytest.approx(32.0 * mu * ratio / d, rel=18.6 / (32.0 * ratio))


@given(between(8e-3, 40e-3), clearances, thicknesses, viscosities)
def test_gap_against_the_annulus(bore: float, c: float, length: float, mu: float) -> None:
    """The plane slit passes more than the exact annulus, by no more than e/2 + e^2/4."""
    piston = bore - 2.0 * c
    excess = float(gap_conductance(bore, piston, length, mu)) / annulus_conductance(bore, piston, length, mu)
    assert 0.0 < excess - 1.0 <= thin_gap_error(bore, piston)


@given(between(8e-3, 40e-3), clearances, thicknesses, viscosities, between(0.0, 1.0))
def test_eccentric_gap(bore: float, c: float, length: float, mu: float, e: float) -> None:
    """A piston off centre passes 1 + 1.5 e^2 times the centred flow, 2.5 times when it touches."""
    piston = bore - 2.0 * c
    centred, moved = (float(gap_conductance(bore, piston, length, mu, shift)) for shift in (0.0, e))
    assert moved == pytest.approx(centred * (1.0 + 1.5 * e**2), rel=1e-14)
    assert float(gap_conductance(bore, piston, length, mu, 1.0)) == pytest.approx(2.5 * centred, rel=1e-14)


@given(between(8e-3, 40e-3), clearances, thicknesses, viscosities)
def test_gap_of_nothing(bore: float, c: float, length: float, mu: float) -> None:
    """No gap passes nothing; a longer piston and a thicker oil pass in inverse proportion."""
    assert gap_conductance(bore, bore, length, mu) == 0.0
    half = gap_conductance(bore, bore - 2.0 * c, 2.0 * length, mu)
    assert half == gap_conductance(bore, bore - 2.0 * c, length, 2.0 * mu)
    assert np.isclose(2.0 * half, gap_conductance(bore, bore - 2.0 * c, length, mu), rtol=1e-15, atol=0.0)
