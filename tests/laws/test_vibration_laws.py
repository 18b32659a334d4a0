"""Laws of free vibration."""

import math

import pytest
from hypothesis import given

from libdamp.physics.numbers import G_N
from libdamp.physics.vibration import damping_ratio, natural_frequency, two_mass_frequencies
from tests.oracles.two_mass import eigen_frequencies
from tests.strategies import between, dampings, masses, over_decades, rates

TURN = 2.0 * math.pi


@given(rates, masses)
def test_static_sag(rate: float, mass: float) -> None:
    """The natural frequency follows from the sag under the car's own weight alone: sqrt(g/sag)/(2 pi)."""
    sag = mass * G_N / rate
    assert float(natural_frequency(rate, mass)) == pytest.approx(math.sqrt(G_N / sag) / TURN, rel=1e-14)


@given(rates, masses, between(0.1, 10.0))
def test_square_root(rate: float, mass: float, factor: float) -> None:
    """The frequency grows with the root of the rate and falls with the root of the mass."""
    base = float(natural_frequency(rate, mass))
    assert float(natural_frequency(factor**2 * rate, mass)) == pytest.approx(factor * base, rel=1e-14)
    assert float(natural_frequency(rate, factor**2 * mass)) == pytest.approx(base / factor, rel=1e-14)


@given(rates, masses)
def test_critical(rate: float, mass: float) -> None:
    """The critical damping 2 m w has the ratio one; none has none."""
    critical = 2.0 * mass * TURN * float(natural_frequency(rate, mass))
    assert float(damping_ratio(critical, rate, mass)) == pytest.approx(1.0, rel=1e-14)
    assert damping_ratio(0.0, rate, mass) == 0.0


@given(dampings, rates, masses, between(1.0, 10.0))
def test_softer_spring_is_more_damped(damping: float, rate: float, mass: float, factor: float) -> None:
    """The same damper on a softer spring or a lighter car has the larger ratio; twice the damping, twice it."""
    ratio = float(damping_ratio(damping, rate, mass))
    assert damping_ratio(damping, rate / factor, mass) >= ratio * (1.0 - 1e-15)
    assert damping_ratio(damping, rate, mass / factor) >= ratio * (1.0 - 1e-15)
    assert float(damping_ratio(factor * damping, rate, mass)) == pytest.approx(factor * ratio, rel=1e-14)


@given(masses, masses, rates, rates)
def test_equals_the_eigenvalues(sprung: float, unsprung: float, rate: float, tyre: float) -> None:
    """Both frequencies equal those of the eigenvalue problem (its own round-off: 1e-15 of the larger square)."""
    pairs = zip(
        two_mass_frequencies(sprung, unsprung, rate, tyre),
        eigen_frequencies(sprung, unsprung, rate, tyre),
        strict=True,
    )
    largest = float(two_mass_frequencies(sprung, unsprung, rate, tyre)[1]) ** 2
    for ours, theirs in pairs:
        assert abs(float(ours) ** 2 - theirs**2) <= 4e-15 * largest


@given(masses, masses, rates, rates)
def test_sum_and_product(sprung: float, unsprung: float, rate: float, tyre: float) -> None:
    """Squares of the frequencies: their product and their sum are those of the quartic."""
    low, high = (TURN * float(f) for f in two_mass_frequencies(sprung, unsprung, rate, tyre))
    assert (low * high) ** 2 == pytest.approx(rate * tyre / (sprung * unsprung), rel=1e-13)
    assert low**2 + high**2 == pytest.approx((rate + tyre) / unsprung + rate / sprung, rel=1e-13)


@given(masses, masses, rates, rates)
def test_order(sprung: float, unsprung: float, rate: float, tyre: float) -> None:
    """The body swings slower than on its spring alone, the wheel faster than held by spring and tyre."""
    body, hop = two_mass_frequencies(sprung, unsprung, rate, tyre)
    alone = natural_frequency(rate, sprung)
    held = natural_frequency(rate + tyre, unsprung)
    assert body <= alone * (1.0 + 1e-14)
    assert hop >= held * (1.0 - 1e-14)
    assert 0.0 < body <= hop


@given(masses, masses, rates, over_decades(1e6, 1e10))
def test_stiff_tyre(sprung: float, unsprung: float, rate: float, times: float) -> None:
    """On a tyre without give the body swings as on its spring alone (less k/kt and mu/ms k/kt of the square)."""
    body, _ = two_mass_frequencies(sprung, unsprung, rate, times * rate)
    near = 2.0 * (1.0 + unsprung / sprung) / times + 1e-14
    assert float(body) == pytest.approx(float(natural_frequency(rate, sprung)), rel=near)


@given(masses, rates, rates, over_decades(1e-12, 1e-7))
def test_light_wheel(sprung: float, rate: float, tyre: float, share: float) -> None:
    """With a wheel of no mass the body stands on spring and tyre in series (to twice the share of the mass)."""
    body, _ = two_mass_frequencies(sprung, share * sprung, rate, tyre)
    series = rate * tyre / (rate + tyre)
    assert float(body) == pytest.approx(float(natural_frequency(series, sprung)), rel=2.0 * share + 1e-14)


@given(masses, masses, rates, rates, between(1.5, 12.0))
def test_model_scale(sprung: float, unsprung: float, rate: float, tyre: float, scale: float) -> None:
    """A model 1:s (masses s^-3, rates s^-2) swings sqrt(s) times as fast as the car."""
    car = two_mass_frequencies(sprung, unsprung, rate, tyre)
    model = two_mass_frequencies(sprung / scale**3, unsprung / scale**3, rate / scale**2, tyre / scale**2)
    for big, small in zip(car, model, strict=True):
        assert float(small) == pytest.approx(math.sqrt(scale) * float(big), rel=1e-13)
