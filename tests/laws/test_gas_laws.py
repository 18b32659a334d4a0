"""Laws of the gas at rest and of the volumes in a shock."""

import math

import pytest
from hypothesis import assume, given

from libdamp.physics.gas import (
    circle_area,
    fill_volume,
    gas_force,
    gas_rate,
    gas_volume,
    rest_pressure,
    void_force,
)
from libdamp.physics.numbers import P_ATM
from libdamp.physics.oil import expansion_volume
from tests.strategies import (
    between,
    bores,
    expansions,
    gas_volumes,
    pressures,
    shafts,
    strokes,
    temperatures,
    thicknesses,
)


@given(gas_volumes, gas_volumes, temperatures, temperatures)
def test_ideal_gas(closed: float, volume: float, t_fill: float, t: float) -> None:
    """P V/T is what it was when the cap was closed."""
    after = float(rest_pressure(closed, volume, t_fill, t)) * volume / t
    assert after == pytest.approx(P_ATM * closed / t_fill, rel=1e-14)


@given(gas_volumes, temperatures)
def test_closing_state(closed: float, t: float) -> None:
    """At its closing volume and temperature the gas has the pressure of the atmosphere, which has no force."""
    assert float(rest_pressure(closed, closed, t, t)) == pytest.approx(P_ATM, rel=4e-16)
    assert gas_force(P_ATM, 7e-6) == 0.0


@given(gas_volumes, gas_volumes, temperatures, between(0.1, 60.0), shafts)
def test_hotter_pushes_harder(closed: float, volume: float, t: float, warmer: float, shaft: float) -> None:
    """The same room hotter has a higher pressure and pushes the shaft out harder."""
    cold, hot = (rest_pressure(closed, volume, 293.15, x) for x in (t, t + warmer))
    assert hot > cold
    assert gas_force(hot, circle_area(shaft)) > gas_force(cold, circle_area(shaft))


@given(gas_volumes, shafts, strokes, strokes, between(0.0, 0.5e-6))
def test_oil_is_conserved(closed: float, shaft: float, x: float, closing: float, gain: float) -> None:
    """What the shaft and the oil take, the gas loses."""
    area = float(circle_area(shaft))
    volume = float(gas_volume(closed, area, x, closing, gain))
    size = closed + area * (x + closing) + gain
    assert abs(volume + area * (x - closing) + gain - closed) <= 4e-16 * size
    assert gas_volume(closed, area, closing, closing) == closed


@given(bores, between(0.5, 0.99), shafts, between(15e-3, 90e-3), thicknesses, between(0.0, 12e-3))
def test_body_is_full(
    bore: float, share: float, shaft: float, cavity: float, thickness: float, closing: float
) -> None:
    """Oil, piston and the shaft that is in fill the bore at closing."""
    piston = share * bore
    oil = fill_volume(circle_area(bore), cavity, piston, thickness, circle_area(shaft), closing)
    parts = float(oil + circle_area(piston) * thickness + circle_area(shaft) * closing)
    assert parts == pytest.approx(0.25 * math.pi * bore**2 * cavity, rel=1e-14)


@given(gas_volumes, shafts, strokes, between(0.1e-3, 10e-3), between(1e-6, 20e-6), expansions)
def test_deeper_and_hotter_leave_less(
    closed: float, shaft: float, x: float, deeper: float, oil: float, expansion: float
) -> None:
    """The further in the shaft and the hotter the oil, the less room for the gas."""
    area = circle_area(shaft)
    cold = gas_volume(closed, area, x, 0.0)
    assert gas_volume(closed, area, x + deeper, 0.0) < cold
    assert gas_volume(closed, area, x, 0.0, expansion_volume(oil, expansion, 293.15, 323.15)) < cold


@given(gas_volumes, shafts, between(0.0, 30e-3))
def test_rate_is_the_derivative(closed: float, shaft: float, x: float) -> None:
    """The gas's rate equals a central difference of its force over the insertion."""
    area = float(circle_area(shaft))
    volume = float(gas_volume(closed, area, x, 0.0))
    assume(volume > 0.2 * closed)
    step = 1e-5 * volume / area  # relative truncation step^2, round-off 1e-16/step

    def force(insertion: float) -> float:
        return float(gas_force(rest_pressure(closed, gas_volume(closed, area, insertion, 0.0), 1.0, 1.0), area))

    pressure = rest_pressure(closed, volume, 1.0, 1.0)
    difference = (force(x + step) - force(x - step)) / (2.0 * step)
    assert float(gas_rate(pressure, volume, area)) == pytest.approx(difference, rel=1e-8)


@given(pressures, gas_volumes, shafts, between(1.0, 1.4))
def test_fast_gas_is_stiffer(pressure: float, volume: float, shaft: float, exponent: float) -> None:
    """The rate is in proportion to the exponent: fast gas is stiffer by it, never softer than slow gas."""
    area = circle_area(shaft)
    slow, fast = gas_rate(pressure, volume, area), gas_rate(pressure, volume, area, exponent)
    assert float(fast) == pytest.approx(exponent * float(slow), rel=1e-14)


@given(pressures, bores, shafts)
def test_void_force_of_both_areas(pressure: float, bore: float, shaft: float) -> None:
    """Void force plus the force of the same pressure on the shaft is the pressure on the whole bore."""
    whole = float(void_force(pressure, circle_area(bore), circle_area(shaft))) + pressure * float(
        circle_area(shaft)
    )
    assert whole == pytest.approx(pressure * float(circle_area(bore)), rel=1e-14)


@given(bores, between(0.1, 10.0))
def test_area_scales_with_the_square(bore: float, factor: float) -> None:
    """A circle's area grows with the square of its diameter; a ring is a difference of circles."""
    assert float(circle_area(factor * bore)) == pytest.approx(factor**2 * float(circle_area(bore)), rel=1e-14)
    assert circle_area(-bore) == circle_area(bore)
