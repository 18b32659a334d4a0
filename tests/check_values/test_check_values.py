"""Every check value, and the rules about which ones must exist."""

import importlib
import inspect
import math
import pkgutil
from decimal import Decimal
from pathlib import Path

import pytest

import libdamp.physics
from tests.check_values.table import EVIDENCE, KINDS, Row, all_rows, half_unit

ROWS = all_rows()
PLAIN_LOOP = ("check", "plan", "changes", "compare", "compare_shocks", "tolerance", "sweep", "season")
"""Calculations that only call others: evaluated a second time by a plain loop in tests/oracles."""


def _names(rows: list[Row]) -> list[str]:
    return [f"{row.model}-{row.kind}-{number}" for number, row in enumerate(rows)]


@pytest.mark.parametrize("row", ROWS, ids=_names(ROWS))
def test_row(row: Row) -> None:
    """The library gives the expected value within the digits of the source."""
    got, wanted = row.computed(), row.wanted()
    assert math.isfinite(got)
    assert abs(got - wanted) <= row.allowed(), f"{got!r} for {row.expected} of {row.source}"


@pytest.mark.parametrize("row", ROWS, ids=_names(ROWS))
def test_row_is_well_formed(row: Row) -> None:
    """A row names its source and kind; a stated tolerance has its reason; digits are digits."""
    assert row.kind in KINDS
    assert len(row.source) > 8
    if isinstance(row.expected, str):
        assert Decimal(row.expected).is_finite()
        assert row.kind != "formula"
    else:
        assert row.tolerance is not None
    if row.tolerance is not None:
        assert len(row.reason) > 8


def test_half_unit() -> None:
    """The tolerance is half a unit of the last printed digit."""
    assert half_unit("0.754080") == pytest.approx(5e-7, rel=1e-8)
    assert half_unit("1.314e3") == pytest.approx(0.5, rel=1e-8)
    assert half_unit("123") == pytest.approx(0.5, rel=1e-8)


def _physics_functions() -> list[str]:
    names = []
    for module in pkgutil.iter_modules(libdamp.physics.__path__):
        loaded = importlib.import_module(f"libdamp.physics.{module.name}")
        for name, found in inspect.getmembers(loaded, inspect.isfunction):
            if found.__module__ == loaded.__name__ and not name.startswith("_"):
                names.append(f"physics.{module.name}.{name}")
    return names


@pytest.mark.parametrize("name", _physics_functions())
def test_every_equation_has_a_formula_row(name: str) -> None:
    """Each public equation is compared with its written form at least once."""
    assert any(row.model == name and row.kind == "formula" for row in ROWS)


def test_every_calculation_has_evidence() -> None:
    """Each public calculation has a published or independent row, or a plain loop where that is the rule."""
    from libdamp.calculations import CALCULATIONS

    proven = {row.model for row in ROWS if row.kind in EVIDENCE}
    missing = [name for name in CALCULATIONS if name not in PLAIN_LOOP and name not in proven]
    assert not missing, f"no published or independent row: {missing}"
    unlooped = [name for name in CALCULATIONS if name in PLAIN_LOOP and not _has_plain_loop(name)]
    assert not unlooped, f"no plain loop tests/oracles/plain_<name>.py that a test uses: {unlooped}"


def _has_plain_loop(name: str) -> bool:
    """Whether tests/oracles/plain_<name>.py defines the function <name> and some test imports it."""
    tests = Path(__file__).parents[1]
    if not (tests / "oracles" / f"plain_{name}.py").is_file():
        return False
    loop = importlib.import_module(f"tests.oracles.plain_{name}")
    used = any(f"plain_{name}" in path.read_text(encoding="utf-8") for path in tests.rglob("test_*_*.py"))
    return callable(getattr(loop, name, None)) and used
