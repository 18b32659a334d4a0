"""Laws of springs from wire and of springs that work together."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from libdamp.physics.coil import (
    bergstraesser_factor,
    block_length,
    buckling_deflection,
    helper_deflection,
    helper_force,
    parallel_rate,
    progressive_deflection,
    series_rate,
    shared_force,
    stacked_force,
    wahl_factor,
    wire_rate,
)
from tests.strategies import between, rates

gaps = st.lists(between(0.0, 5e-3), min_size=1, max_size=12)
coil_rates = between(500.0, 20e3)


@given(between(0.5e-3, 3e-3), between(6e-3, 40e-3), between(2.0, 20.0))
def test_powers_of_the_rate(wire: float, coil: float, active: float) -> None:
    """The rate goes with the fourth power of the wire, the inverse cube of the coil, the inverse of the coils."""
    rate = float(wire_rate(wire, coil, active, 81.5e9))
    assert float(wire_rate(2 * wire, coil, active, 81.5e9)) == pytest.approx(16 * rate, rel=1e-13)
    assert float(wire_rate(wire, 2 * coil, active, 81.5e9)) == pytest.approx(rate / 8, rel=1e-13)
    assert float(wire_rate(wire, coil, 2 * active, 81.5e9)) == pytest.approx(rate / 2, rel=1e-13)


@given(between(4.0, 12.0))
def test_factors_agree(index: float) -> None:
    """Wahl's factor lies 0.74 to 1.36 % above Bergstraesser's over the usual indices (Shigley, problem 10-1)."""
    above = 1.0 - float(bergstraesser_factor(index)) / float(wahl_factor(index))
    assert 0.00742 <= above <= 0.0137


@given(between(2.0, 25.0), between(1e-3, 5.0))
def test_factors_fall_with_the_index(index: float, more: float) -> None:
    """A wider coil is bent less: both factors fall towards 1."""
    for factor in (wahl_factor, bergstraesser_factor):
        assert float(factor(index)) > float(factor(index + more)) > 1.0


@given(between(0.5e-3, 3e-3), between(2.0, 20.0))
def test_ground_ends_are_shorter(wire: float, total: float) -> None:
    """Ground ends save one and a half wires of block length."""
    saved = float(block_length(wire, total, False)) - float(block_length(wire, total, True))
    assert saved == pytest.approx(1.5 * wire, rel=1e-12)


@given(rates, rates, between(1e-3, 20e-3), between(0.0, 60e-3))
def test_stack_lies_between(soft: float, stiff: float, gap: float, deflection: float) -> None:
    """Two springs end to end are softer than the stiff one alone, and continuous where the soft one closes."""
    force = float(stacked_force(deflection, soft, stiff, gap))
    assert force <= stiff * deflection * (1 + 1e-12)
    closes = gap * (1.0 + soft / stiff)
    before, after = (float(stacked_force(closes * s, soft, stiff, gap)) for s in (1 - 1e-9, 1 + 1e-9))
    assert 0.0 <= after - before <= stiff * closes * 2.1e-9


@given(rates, rates, between(0.0, 20e-3), between(0.0, 60e-3))
def test_helper_waits_for_its_gap(main: float, helper: float, gap: float, deflection: float) -> None:
    """A helper adds nothing until its gap is used up, then both push."""
    force = float(helper_force(deflection, main, helper, gap))
    alone = main * deflection
    assert force == alone if deflection <= gap else force > alone


@given(rates, rates, between(0.0, 20e-3), between(0.0, 500.0))
def test_helper_both_ways(main: float, helper: float, gap: float, force: float) -> None:
    """The way of a helper spring under a force gives that force, and the force of a way gives that way."""
    way = float(helper_deflection(force, main, helper, gap))
    assert float(helper_force(way, main, helper, gap)) == pytest.approx(force, rel=1e-12, abs=1e-12)
    assert way <= force / main * (1 + 1e-15)


@given(rates, rates)
def test_side_by_side_and_end_to_end(one: float, other: float) -> None:
    """Two springs are stiffer side by side than the stiffer one, softer end to end than the softer one."""
    assert float(parallel_rate(one, other)) > max(one, other)
    series = float(series_rate(one, other))
    assert 0.5 * min(one, other) * (1 - 1e-15) <= series < min(one, other)
    assert series * float(parallel_rate(one, other)) == pytest.approx(one * other, rel=1e-14)
    assert series == float(series_rate(other, one))


@given(rates, rates, between(0.0, 500.0))
def test_shares_add_up(one: float, other: float, force: float) -> None:
    """Two springs side by side carry the whole force, each as much as it is stiff: both have one deflection."""
    first, second = float(shared_force(force, one, other)), float(shared_force(force, other, one))
    assert first + second == pytest.approx(force, rel=1e-14)
    assert first / one == pytest.approx(second / other, rel=1e-13, abs=1e-300)
    assert first == pytest.approx(float(helper_force(force / (one + other), one, 0.0, 0.0)), rel=1e-13)


@given(coil_rates, gaps, between(0.0, 100.0), between(0.0, 20.0))
def test_progressive_stiffens(coil_rate: float, ways: list[float], force: float, more: float) -> None:
    """A spring of unequal pitch never softens: equal steps of force give ever smaller steps of deflection."""
    x = [float(progressive_deflection(f, coil_rate, ways)) for f in (force, force + more, force + 2 * more)]
    assert x[0] <= x[1] <= x[2] <= sum(ways) * (1 + 1e-12)
    assert x[2] - x[1] <= x[1] - x[0] + 1e-15


@given(coil_rates, gaps)
def test_progressive_ends(coil_rate: float, ways: list[float]) -> None:
    """Without force nothing, with all of it the sum of the gaps; an array gives what its members give."""
    full = coil_rate * max(ways)
    assert float(progressive_deflection(0.0, coil_rate, ways)) == 0.0
    assert float(progressive_deflection(full, coil_rate, ways)) == pytest.approx(sum(ways), abs=1e-15)
    both = progressive_deflection(np.array([0.0, full]), coil_rate, ways)
    assert both[1] == progressive_deflection(full, coil_rate, ways)


@pytest.mark.parametrize(
    ("free", "seating", "deflection"),
    [(60, 1.0, 8.4849), (80, 1.0, 6.1010), (100, 1.0, 4.7948), (120, 1.0, 3.9587), (80, 0.5, 30.1435)],
)
def test_slender_springs_bow(free: float, seating: float, deflection: float) -> None:
    """Longer springs bow earlier, held ends later, short ones with held ends never (own table, digits cut off)."""
    found = float(buckling_deflection(free * 1e-3, 13e-3, seating, 81.5 / 206.0)) * 1e3
    assert found == pytest.approx(deflection, abs=1.01e-4)
    assert np.isnan(buckling_deflection(60e-3, 13e-3, 0.5, 81.5 / 206.0))
