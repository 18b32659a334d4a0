"""Laws of the spring on a shock."""

import pytest
from hypothesis import given

from libdamp.physics.spring import spring_compression, spring_force, spring_rate
from tests.strategies import between, rates, strokes

compressions = between(-20e-3, 60e-3)
preloads = between(-20e-3, 20e-3)


@given(rates, compressions)
def test_never_pulls(rate: float, compression: float) -> None:
    """A spring never pulls, and pushes only when it is compressed."""
    force = spring_force(rate, compression)
    assert force >= 0.0
    assert (force > 0.0) == (compression > 0.0)


@given(rates, between(-20e-3, 0.0))
def test_loose_is_nothing(rate: float, compression: float) -> None:
    """A loose spring has no force, and no rate once it is off its seat."""
    assert spring_force(rate, compression) == 0.0
    assert spring_rate(rate, compression) == (rate if compression == 0.0 else 0.0)


@given(rates, between(1e-3, 60e-3))
def test_rate_is_the_derivative(rate: float, compression: float) -> None:
    """The rate equals a central difference of the force."""
    step = 0.25 * compression
    difference = (spring_force(rate, compression + step) - spring_force(rate, compression - step)) / (2 * step)
    assert float(spring_rate(rate, compression)) == pytest.approx(float(difference), rel=1e-14)


@given(rates, compressions, between(0.0, 10e-3))
def test_more_compression_more_force(rate: float, compression: float, more: float) -> None:
    """The force never falls as the spring is compressed, and is continuous where it comes loose."""
    low, high = spring_force(rate, compression), spring_force(rate, compression + more)
    assert low <= high <= low + rate * more * (1.0 + 1e-14) + rate * 1e-17


@given(rates, compressions, between(0.1, 10.0))
def test_linear(rate: float, compression: float, factor: float) -> None:
    """Twice the rate or twice the compression is twice the force; two half springs are one."""
    force = float(spring_force(rate, compression))
    assert float(spring_force(factor * rate, compression)) == pytest.approx(factor * force, rel=1e-14)
    assert float(spring_force(rate, factor * compression)) == pytest.approx(factor * force, rel=1e-14)
    assert 2.0 * spring_force(0.5 * rate, compression) == force


@given(preloads, strokes, strokes, between(-5e-3, 5e-3))
def test_preload_is_a_shift(preload: float, x: float, limiter: float, more: float) -> None:
    """A millimetre of preload is a millimetre of insertion: it shifts the force and not the rate."""
    by_preload = float(spring_compression(preload + more, x, limiter))
    by_insertion = float(spring_compression(preload, x + more, limiter))
    assert abs(by_preload - by_insertion) <= 1e-16
    assert spring_compression(preload, limiter, limiter) == pytest.approx(preload, abs=1e-17)


@given(rates, between(0.0, 10e-3), between(0.0, 10e-3), strokes)
def test_preload_leaves_the_rate(rate: float, preload: float, more: float, x: float) -> None:
    """Preload is not stiffness: the rate of a spring under load is the same with more of it."""
    one, other = (spring_rate(rate, spring_compression(p, x, 0.0)) for p in (preload, preload + more))
    assert one == other == rate
