"""Laws of landings."""

import math

import pytest
from hypothesis import given, settings

from libdamp.physics.contact import fall_height, landing_speed
from libdamp.physics.numbers import G_N
from tests.drawn import examples
from tests.oracles.ballistic import normal_landing_speed
from tests.strategies import between

heights = between(1e-3, 3.0)
speeds = between(0.0, 25.0)
landing_slopes = between(-0.8, 0.8)


@given(heights, speeds)
def test_flat_landing(height: float, speed: float) -> None:
    """Onto the flat, a jump lands as hard as a fall from its highest point, however fast the car is."""
    assert float(fall_height(landing_speed(height, speed, 0.0))) == pytest.approx(height, rel=1e-14)


@given(between(0.0, 10.0))
def test_energy_of_a_fall(speed: float) -> None:
    """A fall turns m g h into m v^2/2; up or down makes no difference to the height."""
    assert float(fall_height(speed)) * G_N == pytest.approx(0.5 * speed**2, rel=1e-14)
    assert fall_height(-speed) == fall_height(speed)
    assert fall_height(0.0) == 0.0


@given(heights, speeds, landing_slopes, between(0.01, 0.5))
def test_steeper_downhill_is_softer(height: float, speed: float, slope: float, more: float) -> None:
    """From level on, the steeper a landing falls away the softer the car meets it."""
    steep = abs(slope)
    assert landing_speed(height, speed, steep + more) < landing_speed(height, speed, steep)


@given(heights, between(0.1, 25.0))
def test_along_the_path(height: float, speed: float) -> None:
    """A landing that slopes as the car flies is not hit at all."""
    slope = math.atan2(math.sqrt(2.0 * G_N * height), speed)
    assert abs(float(landing_speed(height, speed, slope))) <= 1e-15 * (speed + 8.0)


@given(heights, speeds, landing_slopes)
def test_within_the_whole_speed(height: float, speed: float, slope: float) -> None:
    """The speed square to the ground is never more than the whole speed of the flight."""
    whole = math.sqrt(2.0 * G_N * height + speed**2)
    assert abs(float(landing_speed(height, speed, slope))) <= whole * (1.0 + 1e-15)


@settings(max_examples=examples(15))
@given(heights, speeds, landing_slopes)
def test_equals_the_integrated_flight(height: float, speed: float, slope: float) -> None:
    """The speed equals that of a flight integrated step by step."""
    flight = normal_landing_speed(height, speed, slope)
    assert float(landing_speed(height, speed, slope)) == pytest.approx(flight, abs=1e-8 * (speed + 1.0))


@given(heights, speeds, landing_slopes, between(1.1, 12.0))
def test_model_scale(height: float, speed: float, slope: float, scale: float) -> None:
    """A model 1:s that jumps 1/s as high at 1/sqrt(s) of the speed lands at 1/sqrt(s) of the speed."""
    model = landing_speed(height / scale, speed / math.sqrt(scale), slope)
    car = float(landing_speed(height, speed, slope))
    assert float(model) * math.sqrt(scale) == pytest.approx(car, abs=1e-13 * (speed + 8.0))
