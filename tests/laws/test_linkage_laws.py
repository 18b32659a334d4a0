"""Laws of the linkage."""

import math

import numpy as np
import pytest
from hypothesis import assume, given

from libdamp.physics.linkage import (
    ArmGeometry,
    arm_length,
    arm_ratio,
    arm_ratio_slope,
    arm_travel,
    fit_pairs,
    parabola_length,
    parabola_travel,
    wheel_rate,
)
from tests.strategies import arm_angles, arms, between, over_decades, parabolas, rates, travels

factors = between(0.1, 10.0)


def _scaled(arm: ArmGeometry, factor: float) -> ArmGeometry:
    return ArmGeometry(*(factor * length for length in arm))


def _upside_down(arm: ArmGeometry) -> ArmGeometry:
    return arm._replace(above=-arm.above, up=-arm.up)


@given(arms, arm_angles)
def test_travel_of_length(arm: ArmGeometry, angle: float) -> None:
    """The travel from a travel's shock length is that travel (round-off of the angle at the hinge pin)."""
    travel = arm.arm * math.sin(angle)
    assert abs(float(arm_travel(arm_length(travel, arm), arm)) - travel) <= 2e-14 * arm.arm


@given(arms, arm_angles)
def test_length_of_travel(arm: ArmGeometry, angle: float) -> None:
    """The shock length at a length's travel is that length."""
    length = float(arm_length(arm.arm * math.sin(angle), arm))
    assert float(arm_length(arm_travel(length, arm), arm)) == pytest.approx(length, rel=2e-14)


@given(arms, arm_angles)
def test_ratio_is_the_derivative(arm: ArmGeometry, angle: float) -> None:
    """The motion ratio equals a central difference of the shock length."""
    z, step = arm.arm * math.sin(angle), 1e-5 * arm.arm
    difference = (arm_length(z - step, arm) - arm_length(z + step, arm)) / (2.0 * step)
    assert float(arm_ratio(z, arm)) == pytest.approx(float(difference), abs=3e-9)


@given(arms, arm_angles)
def test_slope_is_the_derivative(arm: ArmGeometry, angle: float) -> None:
    """The slope of the motion ratio equals a central difference of the ratio."""
    z, step = arm.arm * math.sin(angle), 1e-5 * arm.arm
    difference = (arm_ratio(z + step, arm) - arm_ratio(z - step, arm)) / (2.0 * step)
    assert arm.arm * float(arm_ratio_slope(z, arm)) == pytest.approx(arm.arm * float(difference), abs=3e-8)


@given(arms, arm_angles, factors)
def test_scale(arm: ArmGeometry, angle: float, factor: float) -> None:
    """A car of another size: lengths scale, the motion ratio stays, its slope goes as one over the length."""
    z, big = arm.arm * math.sin(angle), _scaled(arm, factor)
    assert float(arm_length(factor * z, big)) == pytest.approx(factor * float(arm_length(z, arm)), rel=1e-14)
    assert float(arm_ratio(factor * z, big)) == pytest.approx(float(arm_ratio(z, arm)), abs=1e-13)
    slope = float(arm_ratio_slope(z, arm))
    assert float(arm_ratio_slope(factor * z, big)) * factor == pytest.approx(slope, abs=1e-12 / arm.arm)


@given(arms, arm_angles)
def test_mirror(arm: ArmGeometry, angle: float) -> None:
    """Mirrored top to bottom, bump is droop: the same length and slope, the ratio with the other sign."""
    z, mirrored = arm.arm * math.sin(angle), _upside_down(arm)
    assert arm_length(-z, mirrored) == arm_length(z, arm)
    assert arm_ratio(-z, mirrored) == -arm_ratio(z, arm)
    assert float(arm_ratio_slope(-z, mirrored)) == pytest.approx(float(arm_ratio_slope(z, arm)), rel=1e-13)


@given(arms, arm_angles)
def test_ratio_is_a_lever(arm: ArmGeometry, angle: float) -> None:
    """MR cos t is the lever of the shock's line over the arm: never more than a mount's radius."""
    lever = float(arm_ratio(arm.arm * math.sin(angle), arm)) * math.cos(angle) * arm.arm
    assert abs(lever) <= math.hypot(arm.along, arm.above) * (1.0 + 1e-14)
    assert abs(lever) <= math.hypot(arm.out, arm.up) * (1.0 + 1e-14)


@given(arms, arm_angles)
def test_law_of_cosines(arm: ArmGeometry, angle: float) -> None:
    """The length follows from the two radii and the angle between them."""
    lower, upper = math.hypot(arm.along, arm.above), math.hypot(arm.out, arm.up)
    apart = math.atan2(arm.up, arm.out) - math.atan2(arm.above, arm.along) - angle
    square = lower**2 + upper**2 - 2.0 * lower * upper * math.cos(apart)
    assert float(arm_length(arm.arm * math.sin(angle), arm)) ** 2 == pytest.approx(
        square, abs=1e-14 * (lower + upper) ** 2
    )


@given(arms, between(1.001, 3.0))
def test_impossible_length(arm: ArmGeometry, factor: float) -> None:
    """A length that the triangle cannot take has no travel."""
    longest = math.hypot(arm.along, arm.above) + math.hypot(arm.out, arm.up)
    assert np.isnan(arm_travel(factor * longest, arm))


@given(arms, over_decades(1e-6, 0.1))
def test_no_travel_beyond_a_quarter_turn(arm: ArmGeometry, more: float) -> None:
    """Hanging straight down is the end: a little before it there is a travel, a little beyond it none."""
    lower, upper = math.hypot(arm.along, arm.above), math.hypot(arm.out, arm.up)
    level = math.atan2(arm.up, arm.out) - math.atan2(arm.above, arm.along)
    assume(level + (1.0 + more) * 0.5 * math.pi < math.pi)
    before, beyond = (
        math.sqrt(lower**2 + upper**2 - 2.0 * lower * upper * math.cos(level + share * 0.5 * math.pi))
        for share in (1.0 - more, 1.0 + more)
    )
    assert float(arm_travel(before, arm)) == pytest.approx(-arm.arm * math.cos(more * 0.5 * math.pi), rel=1e-12)
    assert np.isnan(arm_travel(beyond, arm))


@given(parabolas, travels)
def test_parabola_there_and_back(constants: tuple[float, float, float], z: float) -> None:
    """The travel from a travel's length on a parabola is that travel."""
    back = float(parabola_travel(parabola_length(z, *constants), *constants))
    assert abs(back - z) <= 4e-16 * constants[0] / abs(constants[1] + 2.0 * constants[2] * z) + 4e-15 * abs(z)


@given(between(40e-3, 150e-3), between(0.3, 1.1), travels)
def test_fixed_ratio(c0: float, ratio: float, z: float) -> None:
    """With c2 = 0 a parabola is a fixed motion ratio."""
    assert float(parabola_length(z, c0, -ratio, 0.0)) == pytest.approx(c0 - ratio * z, rel=1e-15)
    assert float(parabola_travel(c0 - ratio * z, c0, -ratio, 0.0)) == pytest.approx(z, abs=1e-16 / ratio)


@given(parabolas)
def test_fit_finds_the_parabola(constants: tuple[float, float, float]) -> None:
    """Rows taken from a parabola give its constants back without residual."""
    z = np.array([-25e-3, -12e-3, 0.0, 9e-3, 22e-3])
    c0, c1, c2, rms = fit_pairs(z, parabola_length(z, *constants))
    assert c0 == pytest.approx(constants[0], rel=1e-13)
    assert c1 == pytest.approx(constants[1], abs=1e-12)
    assert c2 == pytest.approx(constants[2], abs=1e-10)
    assert rms < 1e-15


@given(parabolas, between(1e-6, 1e-3))
def test_fit_of_noise_is_square_to_it(constants: tuple[float, float, float], noise: float) -> None:
    """What is left after the fit is square to 1, z and z^2: no parabola fits better."""
    z = np.array([-25e-3, -12e-3, 0.0, 9e-3, 22e-3])
    length = parabola_length(z, *constants) + noise * np.array([1.0, -2.0, 0.5, 1.0, -0.5])
    c0, c1, c2, rms = fit_pairs(z, length)
    left = length - parabola_length(z, c0, c1, c2)
    assert rms == pytest.approx(float(np.sqrt(np.mean(left**2))), rel=1e-6)
    for power in range(3):
        assert abs(float(np.sum(left * (z / 25e-3) ** power))) < 1e-6 * noise


@given(arms, arm_angles, rates, between(0.0, 10e-3))
def test_wheel_rate_is_the_derivative(arm: ArmGeometry, angle: float, rate: float, compression: float) -> None:
    """The wheel rate equals a central difference of force times motion ratio over the travel."""
    z0, step = arm.arm * math.sin(angle), 1e-5 * arm.arm
    rest = float(arm_length(z0, arm))

    def wheel_force(z: float) -> float:
        return float(rate * (compression + rest - arm_length(z, arm)) * arm_ratio(z, arm))

    difference = (wheel_force(z0 + step) - wheel_force(z0 - step)) / (2.0 * step)
    kw = wheel_rate(rate, 0.0, arm_ratio(z0, arm), rate * compression, arm_ratio_slope(z0, arm))
    assert float(kw) / rate == pytest.approx(difference / rate, abs=2e-8)


@given(rates, rates, between(0.3, 1.1), between(0.0, 60.0), between(-8.0, 8.0))
def test_gas_adds_to_the_spring(spring: float, gas: float, ratio: float, force: float, slope: float) -> None:
    """Spring and gas act side by side: only their sum matters."""
    assert wheel_rate(spring, gas, ratio, force, slope) == wheel_rate(spring + gas, 0.0, ratio, force, slope)
    assert wheel_rate(0.0, 0.0, ratio, 0.0, slope) == 0.0
