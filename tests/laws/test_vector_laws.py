"""Laws of every equation alike: a batch gives what its members give, finite in gives finite out."""

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from libdamp.physics.orifice import Hole, Passages, piston_velocity
from libdamp.physics.roots import bracketed_newton
from tests.argument_strategies import ARGUMENTS, NOT_POINTWISE, batches, stack
from tests.drawn import examples
from tests.laws.equations import EQUATIONS, answers
from tests.strategies import between, holes

POWERS = {"heat.cylinder_convection", "oil.walther_viscosity"}
"""Equations with `**` of a fractional power: numpy takes it for arrays from another routine than for
single numbers, and the two differ in the last bit; 1e-14 instead of the same bits."""
THINNING = 1e-12
"""The same of an oil that thins in shear (Carreau's power), after the root search has carried the bit along."""


def _thins(part: Any) -> bool:
    """Whether a hole with an oil that thins is among some arguments."""
    if isinstance(part, Hole):
        return bool(np.any(part.thinning_time))
    return isinstance(part, (tuple, list)) and any(map(_thins, part))


def test_every_equation_joins() -> None:
    """Every public equation has a strategy, or a reason why it takes no single points."""
    assert set(EQUATIONS) == set(ARGUMENTS) | set(NOT_POINTWISE)


@pytest.mark.parametrize("name", sorted(ARGUMENTS))
@settings(max_examples=examples(8))
@given(data=st.data())
def test_vector_equals_scalar(name: str, data: st.DataObject) -> None:
    """A batch gives for each member what the member alone gives, bit for bit (nearly where powers are taken)."""
    points = data.draw(batches(name))
    together = answers(name, stack(points))
    allowed = THINNING if _thins(points) else 1e-14 if name in POWERS else 0.0
    for number, point in enumerate(points):
        for batch, alone in zip(together, answers(name, point), strict=True):
            if allowed:
                assert abs(batch[number] - alone) <= allowed * abs(alone)
            else:
                assert batch[number] == alone


@pytest.mark.parametrize("name", sorted(ARGUMENTS))
@settings(max_examples=examples(8))
@given(data=st.data())
def test_finite_in_finite_out(name: str, data: st.DataObject) -> None:
    """Within the stated ranges every answer is finite and no floating-point warning is raised."""
    points = data.draw(batches(name))
    for part in answers(name, stack(points)):
        assert part.shape == (len(points),)
        assert np.isfinite(part).all()


@given(st.lists(between(1e-6, 1e6), min_size=1, max_size=6))
def test_roots_one_by_one(squares: list[float]) -> None:
    """The root-finder gives in a batch the bits of each member alone, and the root to round-off."""

    def roots(wanted: np.ndarray) -> np.ndarray:
        return bracketed_newton(lambda x: (x * x - wanted, 2.0 * x), 1.0, 0.0, 1.0 + wanted)

    together = roots(np.array(squares))
    for number, square in enumerate(squares):
        assert together[number] == roots(np.asarray(square))
        assert abs(together[number] - np.sqrt(square)) <= 2e-15 * np.sqrt(square)


@given(holes, between(1e-7, 1e-3), between(1e-14, 1e-11))
def test_gap_beside_no_gap(hole: Hole, flow: float, gap: float) -> None:
    """A batch that mixes pistons with and without a gap gives the bits of each alone."""
    mixed = piston_velocity(flow, Passages((hole,), (2.0,), np.array([0.0, gap])))
    assert mixed[0] == piston_velocity(flow, Passages((hole,), (2.0,), 0.0))
    assert mixed[1] == piston_velocity(flow, Passages((hole,), (2.0,), gap))
