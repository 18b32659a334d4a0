"""Ranges in a plain request: "1.5..1.8" for a number, "?" for one that is not known, "2x1.4..1.7" within a text."""

import re
from collections.abc import Mapping
from typing import Any, NamedTuple

from .addresses import Path, nodes_at
from .checked import FILL_IN, MISSING, Either, Many, Model, Number, Part
from .errors import Fault
from .plain import plain_data
from .quantities import Quantity, UnitError, quantity

MOST_RANGES = 8
"""Every corner of all ranges is worked out: 2 to the power of their number."""

LONGEST = 200
"""Letters of a text in which a range may stand."""

_NUMBER = r"[+-]?(?:\d+(?:[.,]\d+)?|[.,]\d+)(?:[eE][+-]?\d+)?"
_RANGE = re.compile(rf"({_NUMBER})\s*\.\.\s*({_NUMBER})")
_HOLES = re.compile(r"\d{1,4}\s*[xX×*]|\?\s*[xX×*]")


class Range(NamedTuple):
    """A number of which only the ends are known."""

    path: Path
    low: float
    high: float
    row: Quantity
    integer: bool

    @property
    def middle(self) -> float:
        """Half-way between the ends, a whole number where the quantity is one."""
        middle = 0.5 * (self.low + self.high)
        return float(round(middle)) if self.integer else middle


class _Reader:
    """One pass over a plain request: puts the middle of each range in its place and lists the ranges."""

    def __init__(self, request: type[Model]) -> None:
        self.request = request
        self.found: list[Range] = []
        self.faults: list[Fault] = []

    def value(self, value: Any, path: Path) -> Any:
        """The value with the middle of every range in it."""
        if isinstance(value, Mapping):
            return {key: self.value(inner, (*path, key)) for key, inner in value.items()}
        if isinstance(value, list):
            return [self.value(inner, (*path, str(i))) for i, inner in enumerate(value)]
        if not isinstance(value, str) or len(value) > LONGEST or not (_RANGE.search(value) or FILL_IN in value):
            return value
        for node in nodes_at(self.request, path):
            inner = node.other if isinstance(node, Either) and node.other is not None else node
            if isinstance(inner, Number) and inner.row is not None:
                return self._number(value, path, inner, inner.row)
            if isinstance(inner, Part) and len(inner.types) == 1 and inner.types[0].text_example:
                return self._part(value, path, inner.types[0])
            if isinstance(inner, Many) and isinstance(inner.item, Part):
                return self._list(value, path, inner.item.types[0])
        return value

    def _number(self, text: str, path: Path, node: Number, row: Quantity) -> Any:
        if text.strip() == FILL_IN:
            ends = row.usual or row.possible
            if ends is None:
                return text
            return self._range(path, ends, row, node.integer)
        read = []
        for place in (1, 2):
            one = _RANGE.sub(rf"\{place}", text).strip()
            plain = re.fullmatch(_NUMBER, one)
            value: Any = float(one.replace(",", ".")) if plain else one
            read.append(node.accept(value, "/" + "/".join(path), self.faults))
        if MISSING in read:
            return 0.0  # stands in; the faults stop the request anyway
        return self._range(path, (float(read[0]), float(read[1])), row, node.integer)

    def _range(self, path: Path, ends: tuple[float, float], row: Quantity, integer: bool) -> float:
        found = Range(path, min(ends), max(ends), row, integer)
        self.found.append(found)
        return found.middle

    def _part(self, text: str, path: Path, kind: type[Model]) -> Any:
        """A part by its text, "300..350 cst": the fields that the two ends give differently are ranges."""
        try:
            if text.strip() == FILL_IN:
                example = re.search('"(.*?)"', kind.text_example)
                fields = dict.fromkeys(kind.from_text(example[1] if example else text), FILL_IN)
                return self.value(fields, path)
            low, high = (kind.from_text(_RANGE.sub(rf"\{place}", text)) for place in (1, 2))
        except UnitError:
            return text
        return self.value(_between(low, high), path)

    def _list(self, text: str, path: Path, kind: type[Model]) -> Any:
        """A list by its text, "2x1.4..1.7", "2x?", "?x1.5"."""
        reader = getattr(kind, "many_from_text", None)
        if reader is None:
            return text
        if _HOLES.search(text):
            text = _with_usual(text)
        elif text.strip() == FILL_IN:
            text = _with_usual("?x?")
        try:
            low, high = (reader(_RANGE.sub(rf"\{place}", text)) for place in (1, 2))
        except UnitError:
            return text
        return self.value([_between(a, b) for a, b in zip(low, high, strict=True)], path)


def _with_usual(text: str) -> str:
    """Holes with the usual range where '?' stands."""
    count, diameter = (quantity(f"holes.{name}").usual or (1.0, 1.0) for name in ("count", "diameter_mm"))
    text = re.sub(r"([xX×*]\s*)\?", rf"\g<1>{diameter[0]:g}..{diameter[1]:g}", text)
    return re.sub(r"\?(\s*[xX×*])", rf"{count[0]:.0f}..{count[1]:.0f}\1", text)


def _between(low: Mapping[str, Any], high: Mapping[str, Any]) -> dict[str, Any]:
    """Fields of two ends: one value where they agree, else a range."""
    return {name: low[name] if low[name] == high[name] else f"{low[name]!r}..{high[name]!r}" for name in low}


def split_ranges(plain: Mapping[str, Any], request: type[Model]) -> tuple[dict[str, Any], list[Range], list[Fault]]:
    """A plain request with the middle of every range in its place, the ranges, and the faults in them.

    Examples
    --------
    >>> from libdamp.calculations import CALCULATIONS
    >>> plain = {"oil": "300..350 cst", "temperature_c": "?"}
    >>> split_ranges(plain, CALCULATIONS["oil_viscosity"].request)[0]
    {'oil': {'viscosity_cst': 325.0}, 'temperature_c': 45.0}
    """
    reader = _Reader(request)
    made = {key: reader.value(value, (key,)) for key, value in plain_data(plain).items()}
    if len(reader.found) > MOST_RANGES:
        text = f"{len(reader.found)} ranges, at most {MOST_RANGES}: every corner of them is worked out; narrow some"
        reader.faults.append(Fault(pointer="", rule="ranges", value=float(len(reader.found)), text=text))
    return made, reader.found, reader.faults
