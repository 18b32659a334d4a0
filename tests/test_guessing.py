"""Guesses of figures of motion: what a fit of the second order must give back, and that all its forms agree."""

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from libdamp.car import Box, Goals
from libdamp.checked import build
from libdamp.demo import demo_corner, demo_data
from libdamp.goals import Aim, end_aims
from libdamp.grid import space
from libdamp.guessing import DAMPED, OF_STANCE, Guess, Guesses, bent, damped, guesses, unbent
from libdamp.in_hand import parts_of, with_made
from libdamp.likely import deciding
from libdamp.physics.numbers import Array
from libdamp.searching import chunks, even_places, likeliest
from libdamp.tables import joined

WIDE = DAMPED + len(OF_STANCE) + 1
AIM = Aim(2.0, 0.5, "yours")
SEEDS = st.integers(0, 2**32 - 1)


def _second_order(rng: np.random.Generator) -> tuple[float, Array, Array]:
    """A polynomial of the second order."""
    half = rng.normal(size=(WIDE, WIDE))
    return float(rng.normal()), rng.normal(size=WIDE), half + half.T


def _at(polynomial: tuple[float, Array, Array], x: Array) -> float:
    """The same at a place, term by term."""
    constant, slope, curve = polynomial
    pairs = ((i, j) for i in range(WIDE) for j in range(WIDE))
    return constant + sum(slope[i] * x[i] for i in range(WIDE)) + sum(curve[i, j] * x[i] * x[j] for i, j in pairs)


@given(SEEDS)
def test_the_second_order_is_given_back(seed: int) -> None:
    """Figures that are of the second order are guessed without error, at builds that were not moved as well.

    All forms of it: over stances and dampers at once as at each build for itself.
    """
    rng = np.random.default_rng(seed)
    polynomial, moved = _second_order(rng), rng.normal(size=(150, WIDE))
    figures = {"bounce_height_mm": np.array([_at(polynomial, x) for x in moved])}
    weights = rng.uniform(0.1, 1.0, len(moved))
    made = guesses(moved, figures, {"bounce_height_mm": AIM}, {}, weights)
    assert made is not None
    stances, dampers = rng.normal(size=(2, 3, WIDE)), rng.normal(size=(5, 4, DAMPED))
    found = made.terms(made.of_stances(stances), made.of_dampers(dampers))
    assert found.shape == (2, 3, 5, 4)
    for step, seat, oil, piston in np.ndindex(found.shape):
        x = np.array(stances[step, seat])
        x[:DAMPED] += dampers[oil, piston]
        expected = ((_at(polynomial, x) - AIM.target) / AIM.tolerance) ** 2
        assert found[step, seat, oil, piston] == pytest.approx(expected, rel=1e-6, abs=1e-6)


def test_too_few_builds_tell_nothing() -> None:
    """With hardly more builds than numbers to fit, or figures of too few, there is no guess."""
    rng = np.random.default_rng(1)
    x, y = rng.normal(size=(150, WIDE)), rng.normal(size=150)
    assert guesses(x[:60], {"a": y[:60]}, {"a": AIM}, {}, np.ones(60)) is None
    assert guesses(x, {"a": np.where(np.arange(150) < 60, y, np.nan)}, {"a": AIM}, {}, np.ones(150)) is None
    assert guesses(x, {"a": y}, {"a": AIM}, {}, np.ones(150)) is not None


def test_what_does_not_vary_asks_for_nothing() -> None:
    """Where but one thing varies, a handful of builds is enough, and a parabola is given back."""
    x = np.zeros((6, WIDE)) + 3.0
    x[:, 2] = [0.0, 0.1, 0.3, 0.4, 0.7, 1.1]
    made = guesses(x, {"a": 1.0 + x[:, 2] - 2.0 * x[:, 2] ** 2}, {"a": AIM}, {}, np.ones(6))
    assert made is not None
    at = np.full((1, 1, WIDE), 3.0)
    at[..., 2] = 0.5
    expected = ((1.0 + 0.5 - 0.5 - AIM.target) / AIM.tolerance) ** 2
    found = made.terms(made.of_stances(at), made.of_dampers(np.zeros((1, 1, DAMPED))))
    assert found.ravel() == pytest.approx([expected])


@given(st.floats(-50.0, 50.0), st.floats(0.0, 5.0))
@example(-1.0, 5.5e-42)
def test_bending_is_undone(y: float, bend: float) -> None:
    """Only what lies below nothing is bent, downwards, and unbending gives it back."""
    counts = bent(np.array(y), bend)
    assert counts == y if y >= 0.0 else counts <= y
    assert unbent(counts, bend) == pytest.approx(y, rel=1e-9, abs=1e-9)


@given(st.integers(1, 5), st.integers(1000, 5000))
def test_even_places_fill_the_cube(axes: int, count: int) -> None:
    """Each tenth of each axis holds its share of the points, to a fifth; no point comes twice."""
    points = even_places(count, axes)
    assert points.shape == (count, axes)
    assert np.all((points >= 0.0) & (points < 1.0))
    assert len(np.unique(points, axis=0)) == count
    for axis in range(axes):
        held = np.histogram(points[:, axis], bins=10, range=(0.0, 1.0))[0]
        assert np.all(np.abs(held - count / 10.0) <= 0.2 * count / 10.0)


def test_dampers_without_holes_stay_finite() -> None:
    """A way that is closed, or open by a gap alone, gives finite numbers."""
    shares = np.array([[0.02, 0.0], [0.0, 0.0]])
    found = damped(np.array([[50.0, np.inf]]), np.array([[np.inf, np.inf]]), shares)
    assert found.shape == (1, 2, DAMPED)
    assert np.all(np.isfinite(found))


@given(SEEDS)
def test_the_grid_is_guessed_as_its_builds_are(seed: int) -> None:
    """What a build ranks by is its distance at rest and the term of its guess, worked out from its own figures."""
    rng, demo = np.random.default_rng(seed), demo_data("demo-truck")
    corner, (constant, slope, curve) = demo_corner("demo-truck.rear"), _second_order(rng)
    two_way = [{"count": 2, "diameter_mm": 1.4}, {"count": 1, "diameter_mm": 1.1, "direction": "rebound"}]
    pistons = [*demo["box"]["pistons"][:3], {"holes": two_way, "thickness_mm": 3.0, "diameter_mm": 11.8}]
    springs = demo["box"]["rear_springs"][:2]
    box = build(Box, {"oils": demo["box"]["oils"][:3], "pistons": pistons, "rear_springs": springs}, "", [])
    parts = with_made(parts_of(corner, box, "rear"), corner, box)
    s = space(corner, parts, box, 31.0, end_aims(Goals(), "rear", "loose", None))
    middle, spread = rng.normal(size=WIDE), rng.uniform(0.5, 2.0, WIDE)
    told = Guesses((Guess(AIM, 0.0, constant, slope, curve),), middle, spread)
    found = joined([likeliest(chunk._replace(guesses=told)) for chunk in chunks(s)])
    assert found["rank"].size > 100
    assert len(np.unique(found["number"])) == found["number"].size
    for row, x in enumerate((deciding(s, found) - middle) / spread):
        term = ((_at((constant, slope, curve), x) - AIM.target) / AIM.tolerance) ** 2
        assert found["rank"][row] == pytest.approx(found["distance"][row] + term, rel=1e-9)
    most = float(np.quantile(found["distance"], 0.3))
    near = joined([likeliest(chunk._replace(guesses=told, most=most)) for chunk in chunks(s)])
    assert set(found["number"][found["distance"] <= most]) <= set(near["number"])
