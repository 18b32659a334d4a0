"""The rows of inputs and outputs as objects, and the annotation that a Struct's field carries."""

import math
from functools import cache
from typing import NamedTuple

import msgspec

from . import inputs, outputs
from .units import Dimension, parse_unit


class Quantity(NamedTuple):
    """One row of the table; possible and usual are (from, to) or None."""

    name: str
    unit: str
    dimension: Dimension
    possible: tuple[float, float] | None
    usual: tuple[float, float] | None
    meaning: str
    how_to_measure: str


def _range(text: str) -> tuple[float, float] | None:
    if not text:
        return None
    low, high = text.split("..")
    return float(low), float(high)


def _rows() -> dict[str, Quantity]:
    table: dict[str, Quantity] = {}
    for line in inputs.ROWS.strip().splitlines():
        name, unit, possible, usual, meaning, measure = (cell.strip() for cell in line.split("|"))
        dimension = parse_unit(unit).dimension
        table[name] = Quantity(name, unit, dimension, _range(possible), _range(usual), meaning, measure)
    for line in outputs.ROWS.strip().splitlines():
        name, unit, meaning = (cell.strip() for cell in line.split("|"))
        table[name] = Quantity(name, unit, parse_unit(unit).dimension, None, None, meaning, "")
    return table


QUANTITIES: dict[str, Quantity] = _rows()


def quantity(name: str) -> Quantity:
    """Row of a name.

    Raises
    ------
    KeyError : no such row.

    Examples
    --------
    >>> quantity("bore_mm").possible
    (5.0, 40.0)
    """
    return QUANTITIES[name]


COUNTS = ("count", "cycles", "max_holes", "samples", "seed")
"""Quantities that are whole numbers."""


@cache
def Q(name: str) -> msgspec.Meta:  # noqa: N802 - reads as the letter it stands for
    """Annotation of a Struct's field: its row of the table, as msgspec and the validation read it.

    Raises
    ------
    KeyError : no such row.

    Examples
    --------
    >>> Q("bore_mm").le
    40.0
    """
    row = QUANTITIES[name]
    extra: dict[str, object] = {"x-unit": row.unit}
    if row.usual:
        extra["x-usual"] = list(row.usual)
    if row.how_to_measure:
        extra["x-how-to-measure"] = row.how_to_measure
    low, high = row.possible or (None, None)
    if row.possible and name.rsplit(".", 1)[-1] in COUNTS:
        low, high = int(row.possible[0]), int(row.possible[1])
    return msgspec.Meta(
        ge=low,
        le=high,
        description=row.meaning,
        examples=[typical(row)] if row.usual else None,
        extra_json_schema=extra,
        extra={"quantity": row},
    )


def typical(row: Quantity) -> float:
    """A value in the middle of the usual range, to two figures.

    >>> typical(quantity("bore_mm"))
    15.0
    """
    low, high = row.usual or row.possible or (1.0, 1.0)
    middle = math.sqrt(low * high) if low > 0.0 else 0.5 * (low + high)
    value = float(f"{middle:.2g}")
    return int(value) if row.name.rsplit(".", 1)[-1] in COUNTS else value
