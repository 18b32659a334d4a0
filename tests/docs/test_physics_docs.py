"""Every equation's docstring has the fixed order, names every parameter and carries units."""

import inspect
import itertools
import re

import pytest

from tests.laws.equations import EQUATIONS

ORDER = ("Symbols:", "Raises:", "Validity:", "Source:", ">>>")


def _doc(name: str) -> str:
    return inspect.getdoc(EQUATIONS[name]) or ""


def _section(name: str, start: str, end: str) -> str:
    doc = _doc(name)
    return doc[doc.index(start) : doc.index(end)]


def test_there_are_equations() -> None:
    """The equations are found at all."""
    assert len(EQUATIONS) > 40


@pytest.mark.parametrize("name", sorted(EQUATIONS))
def test_first_line(name: str) -> None:
    """The first line says in one sentence what the equation gives, and an empty line follows."""
    first, second = _doc(name).splitlines()[:2]
    assert len(first) > 10
    assert first.endswith(".")
    assert not first.startswith(ORDER)
    assert second == ""


@pytest.mark.parametrize("name", sorted(EQUATIONS))
def test_order(name: str) -> None:
    """Symbols, Raises, Validity, Source and an example stand once each, in this order, on new lines."""
    lines = _doc(name).splitlines()
    places = [[number for number, line in enumerate(lines) if line.startswith(part)] for part in ORDER]
    assert all(len(found) == 1 for found in places[:4])
    assert places[4]
    firsts = [found[0] for found in places]
    assert firsts == sorted(firsts)


@pytest.mark.parametrize("name", sorted(EQUATIONS))
def test_sections_say_something(name: str) -> None:
    """No section is empty, and the example has a result."""
    for start, end in itertools.pairwise(ORDER):
        assert len(_section(name, start, end).removeprefix(start).strip()) >= 3
    after = _doc(name).split(">>>")[-1].splitlines()
    assert any(line.strip() and not line.startswith("...") for line in after[1:])


@pytest.mark.parametrize("name", sorted(EQUATIONS))
def test_every_parameter_is_a_symbol(name: str) -> None:
    """Every parameter of the signature is named among the symbols."""
    symbols = _section(name, "Symbols:", "Raises:")
    for parameter in inspect.signature(EQUATIONS[name]).parameters:
        assert re.search(rf"\b{re.escape(parameter)}\b", symbols), parameter


@pytest.mark.parametrize("name", sorted(EQUATIONS))
def test_units(name: str) -> None:
    """The symbols carry units in square brackets, and so does what is given back."""
    symbols = _section(name, "Symbols:", "Raises:")
    assert re.search(r"\[[^\]\s][^\]]*\]", symbols.split("Returns")[0])
    assert "Returns" in symbols
