"""Laws of wire, coils and lengths: each answer put back gives what was asked for."""

import numpy as np
import pytest
from hypothesis import given

from libdamp.physics.coil import buckling_deflection, shear_stress, wire_rate
from libdamp.physics.winding import (
    coils_for_rate,
    critical_length,
    force_at_stress,
    free_length,
    least_gaps,
    pitch,
    stability_factor,
    wire_for_stress,
    wire_strength,
)
from tests.strategies import between, rates

wires, coils = between(0.5e-3, 3e-3), between(6e-3, 40e-3)
stresses, factors = between(1e8, 1e9), between(1.0, 2.0)
ratios, seatings = between(0.3, 0.45), between(0.5, 2.0)


@given(wires, between(1.01, 4.0), between(1.5e9, 2.5e9), between(0.1, 0.2))
def test_thin_wire_is_stronger(wire: float, wider: float, at_1_mm: float, exponent: float) -> None:
    """Strength falls with the wire by its power, and is A at 1 mm."""
    thin, thick = (float(wire_strength(d, at_1_mm, exponent)) for d in (wire, wider * wire))
    assert thin == pytest.approx(thick * wider**exponent, rel=1e-13)
    assert thin > thick
    assert float(wire_strength(1e-3, at_1_mm, exponent)) == at_1_mm


@given(between(1.0, 500.0), between(3.0, 20.0), stresses, factors)
def test_the_wire_has_its_stress(force: float, index: float, stress: float, factor: float) -> None:
    """A spring of the wire found, with that index, has that stress."""
    wire = float(wire_for_stress(force, index, stress, factor))
    assert float(shear_stress(force, wire, index * wire, factor)) == pytest.approx(stress, rel=1e-13)
    assert float(wire_for_stress(4.0 * force, index, stress, factor)) == pytest.approx(2.0 * wire, rel=1e-14)


@given(stresses, wires, coils, factors)
def test_the_force_gives_its_stress(stress: float, wire: float, coil: float, factor: float) -> None:
    """Force and stress are each other's inverse."""
    force = float(force_at_stress(stress, wire, coil, factor))
    assert float(shear_stress(force, wire, coil, factor)) == pytest.approx(stress, rel=1e-13)


@given(rates, wires, coils, between(60e9, 90e9))
def test_the_coils_give_their_rate(rate: float, wire: float, coil: float, modulus: float) -> None:
    """A spring of the coils found has the rate."""
    active = float(coils_for_rate(rate, wire, coil, modulus))
    assert float(wire_rate(wire, coil, active, modulus)) == pytest.approx(rate, rel=1e-13)


@given(between(5e-3, 60e-3), between(0.0, 60e-3), between(0.0, 10e-3), between(3.0, 25.0))
def test_lengths_add_up(block: float, deflection: float, gaps: float, total: float) -> None:
    """Free less compressed length is the deflection; all pitches together are the free length."""
    free = float(free_length(block, deflection, gaps))
    assert free - gaps - block == pytest.approx(deflection, abs=1e-16)
    assert float(pitch(free, total)) * (total - 1.0) == pytest.approx(free, rel=1e-14)


@given(wires, between(4.0, 20.0), between(2.0, 20.0), between(1.01, 3.0))
def test_gaps(wire: float, index: float, active: float, wider: float) -> None:
    """The least gap of one coil lies between 0.1 and 0.7 wires up to an index of 20, and grows with the coil."""
    gaps = float(least_gaps(wire, index * wire, active))
    assert 0.1 * wire < gaps / active <= (0.1 + 0.0015 * 400.0) * wire * (1 + 1e-12)
    assert float(least_gaps(wire, wider * index * wire, active)) > gaps
    assert float(least_gaps(wire, index * wire, 2.0 * active)) == 2.0 * gaps


@given(coils, seatings, ratios, between(1e-6, 3.0))
def test_longer_than_critical_bows(coil: float, seating: float, ratio: float, more: float) -> None:
    """Up to its critical length a spring never bows; from there on it does, first near half its length."""
    length = float(critical_length(coil, seating, stability_factor(ratio)))
    assert np.isnan(buckling_deflection(length * (1.0 - 1e-9), coil, seating, ratio))
    bows = float(buckling_deflection(length * (1.0 + more), coil, seating, ratio))
    assert 0.0 < bows < length * (1.0 + more) * 0.5 / (1.0 - ratio)


@given(coils, ratios)
def test_bow_at_the_critical_length(coil: float, ratio: float) -> None:
    """Just above the critical length it bows at L0 0.5/(1 - G/E), where the root is nil."""
    length = float(critical_length(coil, 1.0, stability_factor(ratio))) * (1.0 + 1e-12)
    bows = float(buckling_deflection(length, coil, 1.0, ratio))
    assert bows == pytest.approx(length * 0.5 / (1.0 - ratio), rel=1e-5)


@given(ratios, between(1e-6, 0.1))
def test_a_softer_modulus_is_steadier(ratio: float, more: float) -> None:
    """The stability factor falls with G/E, and is pi sqrt 2 where G is nothing beside E."""
    assert float(stability_factor(ratio + more)) < float(stability_factor(ratio))
    assert float(stability_factor(0.0)) == pytest.approx(np.pi * np.sqrt(2.0), rel=1e-15)
