"""Arithmetic of one time step, for arrays of corners and for a single one.

`Arrays` and `Floats` hold the same few functions, so that one code steps a batch (numpy) and a single corner
(plain floats, without numpy's cost for one number); both give the same to round-off.

Source
------
[1] Linear interpolation on an even grid (any numerical-analysis text).
"""

import math
from collections.abc import Callable
from typing import Any, NamedTuple

import numpy as np

from .flow_table import CELLS


def _read_arrays(table: Any, start: Any, place: Any) -> tuple[Any, Any]:
    cell = np.fmin(place, CELLS - 1.0).astype(np.intp)  # what has run away stays not-a-number, in its place
    at = start + cell
    low = table.take(at)
    rise = table.take(at + 1) - low
    return low + rise * (place - cell), rise


def _read_floats(table: Any, start: Any, place: Any) -> tuple[Any, Any]:
    cell = int(place) if place < CELLS - 1.0 else CELLS - 1
    low = table[start + cell]
    rise = table[start + cell + 1] - low
    return low + rise * (place - cell), rise


def _choose(condition: bool, yes: float, no: float) -> float:
    return yes if condition else no


def _larger(a: float, b: float) -> float:
    return a if a > b else b


def _smaller(a: float, b: float) -> float:
    return a if a < b else b


class Kit(NamedTuple):
    """Functions that differ between arrays and floats; `either` and `any` for masks."""

    where: Callable[[Any, Any, Any], Any]
    larger: Callable[[Any, Any], Any]
    smaller: Callable[[Any, Any], Any]
    root: Callable[[Any], Any]
    log: Callable[[Any], Any]
    any: Callable[[Any], bool]
    either: Callable[[Any, Any], Any]
    read: Callable[[Any, Any, Any], tuple[Any, Any]]


ARRAYS = Kit(
    where=np.where,
    larger=np.maximum,
    smaller=np.minimum,
    root=np.sqrt,
    log=np.log,
    any=lambda mask: bool(np.count_nonzero(mask)),  # three times as quick as mask.any()
    either=np.logical_or,
    read=_read_arrays,
)
"""For arrays of corners."""

FLOATS = Kit(
    where=_choose,
    larger=_larger,
    smaller=_smaller,
    root=math.sqrt,
    log=math.log,
    any=bool,
    either=lambda a, b: a or b,
    read=_read_floats,
)
"""For a single corner."""
