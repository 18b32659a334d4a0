"""Docstrings of the calculations name every parameter, with the unit of its quantity."""

import re

import pytest

from libdamp.calculations import CALCULATIONS
from libdamp.checked import Either, Many, Number, nodes


def sections(name: str) -> dict[str, str]:
    """Text of each section of a calculation's docstring."""
    parts = re.split(r"\n    (\w+)\n    -+\n", CALCULATIONS[name].function.__doc__ or "")
    return {"Summary": parts[0], **dict(zip(parts[1::2], parts[2::2], strict=True))}


@pytest.mark.parametrize("name", CALCULATIONS)
def test_fixed_order(name: str) -> None:
    """Every calculation says what it gives, its parameters, what it raises, and shows an example that runs."""
    assert list(sections(name)) == ["Summary", "Parameters", "Raises", "Examples"]
    assert sections(name)["Summary"].strip().splitlines()[0].endswith(".")
    assert ">>> " in sections(name)["Examples"]


@pytest.mark.parametrize("name", CALCULATIONS)
def test_parameters_and_units(name: str) -> None:
    """Every parameter is explained, a number or list of numbers with its unit in brackets."""
    text = sections(name)["Parameters"]
    explained = re.findall(r"^    ([\w, ]+) : (.*(?:\n {8}.*)*)", text, flags=re.M)
    found = {each.strip(): words for names, words in explained for each in names.split(",")}
    assert list(found) == list(nodes(CALCULATIONS[name].request))
    for field, node in nodes(CALCULATIONS[name].request).items():
        inner = node.other if isinstance(node, Either) else node
        inner = inner.item if isinstance(inner, Many) else inner
        if isinstance(inner, Number) and inner.row is not None:
            assert f"[{inner.row.unit}]" in found[field], f"{name}: {field} lacks [{inner.row.unit}]"
