"""Dimensional homogeneity: in other units of length, mass, time and temperature every equation is the same."""

import contextlib
import importlib
import math
from collections.abc import Callable
from typing import Any
from unittest import mock

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from libdamp.physics import spring
from libdamp.physics.numbers import P_ATM
from tests.argument_strategies import ARGUMENTS
from tests.drawn import examples
from tests.laws.dimensions import CASES, LENGTH, NOT_HOMOGENEOUS, RESISTANCE, Case, Powers
from tests.laws.equations import EQUATIONS, answers, public
from tests.strategies import between, parabolas

Units = tuple[float, float, float, float]

units = st.tuples(*(between(0.3, 3.0) for _ in "LMTK"))


def _factor(powers: Powers, unit: Units) -> float:
    return math.prod(size**power for size, power in zip(unit, powers, strict=True))


def _rescaled(value: Any, powers: Any, unit: Units) -> Any:
    """The value in the other units; a structure member by member, a plain tuple each member alike."""
    if isinstance(value, tuple) and hasattr(value, "_fields"):
        members = [_rescaled(part, power, unit) for part, power in zip(value, powers, strict=True)]
        return type(value)(*members)
    if isinstance(value, tuple):
        return tuple(_rescaled(part, powers, unit) for part in value)
    return value * _factor(powers, unit)


@contextlib.contextmanager
def _constants(name: str, case: Case, unit: Units) -> Any:
    """The constants with a dimension inside an equation, in the other units."""
    module = importlib.import_module(f"libdamp.physics.{name.split('.', maxsplit=1)[0]}")
    with contextlib.ExitStack() as stack:
        for constant, powers in case.constants.items():
            value = getattr(module, constant) * _factor(powers, unit)
            stack.enter_context(mock.patch.object(module, constant, value))
        yield


def _arguments(name: str, data: st.DataObject) -> dict[str, Any]:
    if name == "linkage.fit_pairs":
        c0, c1, c2 = data.draw(parabolas)
        z = np.array([-25e-3, -12e-3, 1e-3, 9e-3, 22e-3])
        return {"travel": z, "length": c0 + c1 * z + c2 * z**2 + 1e-4 * np.array([1.0, -2.0, 0.5, 1.0, -0.5])}
    return data.draw(st.integers(1, 3).flatmap(ARGUMENTS[name]))


def _misfit(name: str, case: Case, arguments: dict[str, Any], unit: Units) -> float:
    """Largest relative difference between the answer in the other units and the other units' answer."""
    unit = tuple(  # type: ignore[assignment]
        1.0 if letter in case.frozen.split(":")[0] else size for letter, size in zip("LMTK", unit, strict=True)
    )
    there = {key: _rescaled(value, case.symbols[key], unit) for key, value in arguments.items()}
    here = answers(name, arguments)
    with _constants(name, case, unit):
        other = answers(name, there)
    assert len(here) == len(case.gives)
    worst = 0.0
    for one, two, powers in zip(here, other, case.gives, strict=True):
        scale = _factor(powers, unit)
        expected = float(one) * scale
        if float(two) != expected:
            size = abs(expected) + scale * _parts(name, arguments, powers)
            worst = max(worst, abs(float(two) - expected) / size)
    return worst


DIFFERENCES: dict[str, Callable[[dict[str, Any]], float]] = {
    "gas.gas_force": lambda given: P_ATM * given["shaft_area"],
    "gas.fill_volume": lambda given: given["bore_area"] * given["cavity"],
    "emulsion.chamber_volumes": lambda given: given["bore_area"] * (given["cavity"] + given["insertion"]),
    "emulsion.shaft_force": lambda given: (P_ATM + given["cap"] + given["rod"]) * given["bore_area"],
    "linkage.arm_ratio_slope": lambda given: 1.0 / given["arm"].arm,
    "linkage.arm_travel": lambda given: given["arm"].arm,
    "linkage.parabola_travel": lambda given: given["c0"],
}
"""Size of the parts of which an answer is the difference, where no argument of its own dimension shows it."""


def _parts(name: str, arguments: dict[str, Any], powers: Powers) -> float:
    """Size of the parts of which an answer is the difference: its round-off is theirs."""
    if name in DIFFERENCES:
        return DIFFERENCES[name](arguments)
    alike = [key for key, value in CASES[name].symbols.items() if value == powers]
    return sum(float(np.max(np.abs(arguments[key]))) for key in alike)


def test_every_equation_has_powers() -> None:
    """Every equation states the powers of its symbols, or why it has none."""
    assert set(EQUATIONS) == set(CASES) | set(NOT_HOMOGENEOUS)
    assert not set(CASES) & set(NOT_HOMOGENEOUS)


def test_a_new_equation_is_missed(monkeypatch: pytest.MonkeyPatch) -> None:
    """An equation that is put into a module is found there, and without a line of its own the test above fails."""

    def heavier(mass: float) -> float:
        return 2.0 * mass

    heavier.__module__ = spring.__name__
    monkeypatch.setattr(spring, "heavier", heavier, raising=False)
    found = public()
    assert set(found) - set(EQUATIONS) == {"spring.heavier"}
    monkeypatch.setitem(EQUATIONS, "spring.heavier", heavier)
    with pytest.raises(AssertionError):
        test_every_equation_has_powers()


@pytest.mark.parametrize("name", sorted(CASES))
@settings(max_examples=examples(15))
@given(data=st.data(), unit=units)
def test_homogeneous(name: str, data: st.DataObject, unit: Units) -> None:
    """Scaling the inputs by their powers scales the answer by its own."""
    tolerance = 1e-9 if name == "linkage.fit_pairs" else 1e-11
    assert _misfit(name, CASES[name], _arguments(name, data), unit) < tolerance


def test_a_wrong_power_is_found() -> None:
    """The law is sharp: one exponent wrong by 0.01 breaks it."""
    unit = (2.0, 3.0, 0.5, 1.5)
    name = "orifice.creeping_resistance"
    hole = ARGUMENTS[name](1)
    wrong = CASES[name]._replace(gives=((RESISTANCE[0] + 0.01, *RESISTANCE[1:]),))

    @settings(max_examples=examples(5), database=None)
    @given(hole)
    def holds(arguments: dict[str, Any]) -> None:
        assert _misfit(name, wrong, arguments, unit) > 1e-3
        assert _misfit(name, CASES[name], arguments, unit) < 1e-12

    holds()
    assert _factor(LENGTH, unit) == 2.0
