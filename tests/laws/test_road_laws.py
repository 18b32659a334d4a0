"""Laws of the ground under a wheel."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from libdamp.physics.road import WAVES, rise, road_profile, road_waves, washboard
from tests.strategies import between, over_decades

heights = between(1e-4, 0.1)
lengths = over_decades(5e-3, 10.0)
turns = between(-3.0, 3.0)
seeds = st.integers(0, 2**31)


def _slope(profile: object, way: float, step: float) -> float:
    """Central difference of a profile's height."""
    return float(profile(way + step)[0] - profile(way - step)[0]) / (2.0 * step)  # type: ignore[operator]


@given(heights, lengths, turns)
def test_washboard_repeats(height: float, spacing: float, turn: float) -> None:
    """Bumps repeat after their spacing, are half a spacing upside down, and stay within half their height."""
    way = turn * spacing
    here, further, half = (float(washboard(way + n * spacing, height, spacing)[0]) for n in (0.0, 1.0, 0.5))
    assert further == pytest.approx(here, abs=1e-13 * height)
    assert half == pytest.approx(-here, abs=1e-13 * height)
    assert abs(here) <= 0.5 * height
    assert float(washboard(0.25 * spacing, height, spacing)[0]) == pytest.approx(0.5 * height, rel=1e-14)


@given(heights, lengths, turns)
def test_washboard_slope(height: float, spacing: float, turn: float) -> None:
    """The slope is the derivative of the height."""
    slope = float(washboard(turn * spacing, height, spacing)[1])
    difference = _slope(lambda way: washboard(way, height, spacing), turn * spacing, 1e-5 * spacing)
    assert slope == pytest.approx(difference, abs=1e-8 * height / spacing)


@given(heights, lengths, between(0.0, 5.0))
def test_level_before_and_after_a_rise(height: float, length: float, more: float) -> None:
    """Flat at nothing before a rise and at its height after it, half way up in the middle."""
    assert [float(part) for part in rise(-more * length, height, length)] == [0.0, 0.0]
    top, level = (float(part) for part in rise((1.0 + more) * length, height, length))
    assert top == height
    assert abs(level) <= 1e-15 * height / length
    assert float(rise(0.5 * length, height, length)[0]) == pytest.approx(0.5 * height, rel=1e-15)


@given(heights, lengths, between(0.01, 0.99), between(0.001, 0.5))
def test_a_rise_only_rises(height: float, length: float, share: float, more: float) -> None:
    """Further on it is never lower, and the slope is the derivative of the height."""
    low, slope = (float(part) for part in rise(share * length, height, length))
    assert low <= float(rise((share + more) * length, height, length)[0])
    difference = _slope(lambda way: rise(way, height, length), share * length, 1e-5 * length)
    assert slope == pytest.approx(difference, abs=1e-8 * height / length)


@given(heights, lengths, seeds)
def test_height_of_a_road(height: float, longest: float, seed: int) -> None:
    """From lowest to highest a road has its height, looked at eight times as closely to within 0.1 %."""
    waves = road_waves(height, longest, seed)
    profile, _ = road_profile(np.arange(16 * 2048) * (longest / 2048.0), waves)
    assert height * (1.0 - 1e-12) <= float(np.ptp(profile)) <= 1.001 * height
    assert abs(float(np.mean(profile))) <= 1e-12 * height


@given(heights, lengths, seeds, turns)
def test_a_road_repeats(height: float, longest: float, seed: int, turn: float) -> None:
    """A road repeats after sixteen of its longest waves; its slope is the derivative of its height."""
    waves, way = road_waves(height, longest, seed), turn * longest
    here, slope = (float(part) for part in road_profile(way, waves))
    assert float(road_profile(way + 16.0 * longest, waves)[0]) == pytest.approx(here, abs=1e-11 * height)
    difference = _slope(lambda at: road_profile(at, waves), way, 1e-5 * longest)
    assert slope == pytest.approx(difference, abs=1e-6 * height / longest)


@given(heights, lengths, seeds)
def test_waves_of_a_road(height: float, longest: float, seed: int) -> None:
    """Waves of 1 to 16/63 of the longest, sixteen to a wave number, each as high as it is long."""
    waves = road_waves(height, longest, seed)
    assert len(waves.number) == WAVES
    assert longest * waves.number[[0, -1]] == pytest.approx([1.0, 63.0 / 16.0], rel=1e-14)
    assert longest * np.diff(waves.number) == pytest.approx(np.full(WAVES - 1, 1.0 / 16.0), rel=1e-11)
    steepness = waves.amplitude * waves.number
    assert steepness == pytest.approx(np.full(WAVES, steepness[0]), rel=1e-13)


def test_phases_fill_the_turn() -> None:
    """Over a hundred roads the phases lie within one turn and fill it evenly."""
    phases = np.concatenate([road_waves(0.01, 0.5, seed).phase for seed in range(100)]) / (2.0 * np.pi)
    assert (phases >= 0.0).all()
    assert (phases < 1.0).all()
    counts, _ = np.histogram(phases, bins=8, range=(0.0, 1.0))
    assert counts.min() >= 0.8 * phases.size / 8.0
    assert phases.max() > 0.999


def test_another_seed_is_another_road() -> None:
    """The same seed gives the same road, another one another."""
    one, same, other = (road_waves(0.01, 0.5, seed).phase for seed in (1, 1, 2))
    assert (one == same).all()
    assert (one != other).all()
    assert (road_waves(0.01, 0.5).phase == one).all()
