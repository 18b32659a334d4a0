"""Laws of the ways past a piston: how many holes, holes open one way, and a worn bore."""

import math

import numpy as np
import pytest
from hypothesis import assume, given

from libdamp import damping_curve
from libdamp.demo import demo_corner
from libdamp.parts import Holes, Oil, Shock
from libdamp.physics.orifice import Hole, Passages, creeping_resistance, piston_conductance, piston_flow
from tests.model_strategies import replaced
from tests.strategies import (
    PistonDraw,
    between,
    bores,
    densities,
    hole_diameters,
    over_decades,
    pistons,
    shaft_speeds,
    thicknesses,
    viscosities,
)


def _bracket(b: float, length_ratio: float) -> float:
    """Loss dp d/(mu V) in creeping flow, with the share b of the bore open."""
    return 18.56 - 6.6 * b**1.5 + 32.0 * length_ratio


@given(pistons(kinds=1, gap=False), shaft_speeds)
def test_half_the_holes_at_equal_share_is_twice_the_damping(piston: PistonDraw, speed: float) -> None:
    """With the same b half the holes damp exactly twice as much when slow; at any loss they pass half the flow."""
    passages = piston.passages()
    half = passages._replace(counts=(0.5 * passages.counts[0],))
    assert float(piston_conductance(half)) == pytest.approx(0.5 * float(piston_conductance(passages)), rel=1e-15)
    loss = 1e5 * speed
    assert float(piston_flow(loss, half)) == pytest.approx(0.5 * float(piston_flow(loss, passages)), rel=1e-14)


def _one_way(bore_mm: float, pairs: int, diameter_mm: float, thickness_mm: float) -> Shock:
    """A shock without a gap; half of its holes are open in rebound only."""
    holes = (
        Holes(count=pairs, diameter_mm=diameter_mm),
        Holes(count=pairs, diameter_mm=diameter_mm, direction="rebound"),
    )
    shock = demo_corner("demo-truck.front").shock
    piston = replaced(shock.piston, holes=holes, thickness_mm=thickness_mm, diameter_mm=None)
    return replaced(
        shock, bore_mm=bore_mm, shaft_mm=1.5, piston=piston, oil=Oil(viscosity_cst=325.0), cavity_length_mm=None
    )


@given(between(8.0, 40.0), between(0.002, 0.4999), between(0.5, 12.0))
def test_half_the_holes_one_way(bore: float, share: float, thickness: float) -> None:
    """Half the holes closed one way: 2:1 when slow and a little over, by b in (1); within 0.2 % up to b = 0.08."""
    pairs = max(1, math.ceil(0.5 * share * bore**2 / min(0.24 * (bore - 1.5), 4.9) ** 2))
    diameter = math.sqrt(0.5 * share * bore**2 / pairs)
    assume(diameter >= 0.4 and pairs <= 20)
    shock = _one_way(bore, pairs, diameter, thickness)
    curve = damping_curve(shock=shock, speeds_m_s=(0.001, 0.1, 1.0))
    ratio = curve.low_speed_compression_n_s_m / curve.low_speed_rebound_n_s_m
    whole, half = (_bracket(part * share, thickness / diameter) for part in (1.0, 0.5))
    assert ratio == pytest.approx(2.0 * half / whole, rel=1e-11)
    assert ratio > 2.0
    if share <= 0.08 and thickness >= diameter:
        assert ratio <= 2.0 * 1.002
    for closed, open_ in zip(curve.compression_n, curve.rebound_n, strict=True):
        assert closed >= -open_ * 2.0 * (1.0 - 1e-12)


@given(bores, over_decades(1e-4, 0.02), between(0.5, 4.0), viscosities, densities)
def test_more_holes_with_their_share(bore: float, b: float, length_ratio: float, mu: float, rho: float) -> None:
    """With b following, n times the holes damp a little less than 1/n when slow: by the brackets of (1)."""
    diameter = bore * math.sqrt(b)
    one, many = (Hole(diameter, length_ratio * diameter, mu, rho, n * b) for n in (1, 20))
    damping = [1.0 / float(piston_conductance(Passages((hole,), (n,)))) for hole, n in ((one, 1), (many, 20))]
    wanted = _bracket(20.0 * b, length_ratio) / _bracket(b, length_ratio)
    assert damping[1] * 20.0 / damping[0] == pytest.approx(wanted, rel=1e-12)
    assert damping[1] < damping[0] / 20.0


def _leak(passages: Passages) -> float:
    """Share of the flow that goes around the piston as the speed goes to zero."""
    return float(passages.gap / piston_conductance(passages))


@given(pistons(kinds=1, gap=True), between(1.1, 4.0))
def test_leak_grows_with_the_cube_of_the_gap(piston: PistonDraw, factor: float) -> None:
    """What leaks over what goes through the holes: with the cube of the gap, whatever the oil."""
    worn = piston._replace(clearance=factor * piston.clearance, viscosity=3.0 * piston.viscosity)
    new, old = _leak(piston.passages()), _leak(worn.passages())
    assert old / (1.0 - old) == pytest.approx(factor**3 * new / (1.0 - new), rel=1e-9)
    assert old > new


@given(pistons(kinds=1, gap=True), between(0.3, 0.99))
def test_small_holes_leak_more(piston: PistonDraw, factor: float) -> None:
    """The same gap takes a larger share from smaller holes, by more than the cube of their size."""
    (count, diameter) = piston.kinds[0]
    small = piston._replace(kinds=((count, factor * diameter),))
    wide, narrow = (_leak(p.passages()) for p in (piston, small))
    assert narrow / (1.0 - narrow) > wide / (1.0 - wide) / factor**3


@given(pistons(gap=True), over_decades(1e-3, 1e7), between(1.01, 10.0))
def test_leak_grows_with_the_load(piston: PistonDraw, loss: float, factor: float) -> None:
    """The gap's flow is linear and the holes' is not: the harder the stroke, the larger the share that leaks."""
    passages = piston.passages()
    losses = np.array([loss, factor * loss])
    slow, fast = passages.gap * losses / piston_flow(losses, passages)
    assert _leak(passages) <= slow * (1.0 + 1e-12)
    assert slow <= fast * (1.0 + 1e-12)


@given(hole_diameters, thicknesses, viscosities, densities, between(0.0, 0.5))
def test_share_of_the_bore_when_slow(d: float, length: float, mu: float, rho: float, b: float) -> None:
    """In creeping flow the share b takes 6.6 b^1.5 of 18.56 + 32 L/d, and nothing where b is nothing."""
    open_, shared = (float(creeping_resistance(Hole(d, length, mu, rho, part))) for part in (0.0, b))
    assert (open_ - shared) * d / mu == pytest.approx(6.6 * b**1.5, rel=1e-9, abs=1e-12 * open_ * d / mu)
