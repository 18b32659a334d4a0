"""Laws of the two kits: what arrays give, plain floats give too."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from libdamp.physics.flow_table import CELLS
from libdamp.physics.stepping import ARRAYS, FLOATS
from tests.strategies import between, over_decades

numbers = between(-1e6, 1e6)
tables = st.integers(0, 2**31).map(lambda seed: np.random.default_rng(seed).uniform(1.0, 2.0, 3 * (CELLS + 1)))
ends = between(CELLS - 1.02, CELLS - 0.98)  # about the last point but one
places = between(0.0, float(CELLS)) | st.integers(0, CELLS).map(float) | ends


@given(tables, st.integers(0, 2), places)
def test_reads_a_straight_line(table: np.ndarray, block: int, place: float) -> None:
    """Between two points of a table lies a straight line; at a point its value; the rise is that of the cell."""
    start = block * (CELLS + 1)
    values = table[start : start + CELLS + 1]
    cell = min(int(place), CELLS - 1)
    wanted = float(np.interp(place, np.arange(CELLS + 1), values))
    many, rises = ARRAYS.read(table, start, np.array([place, place]))
    one, rise = FLOATS.read(table.tolist(), start, place)
    assert one == pytest.approx(wanted, rel=1e-13)
    assert many.tolist() == [one, one]
    assert rises.tolist() == [rise, rise] == [values[cell + 1] - values[cell]] * 2


@given(tables, between(0.0, 500.0))
def test_goes_straight_on(table: np.ndarray, beyond: float) -> None:
    """Beyond its end a table goes on as the line of its last cell."""
    last, end = table[CELLS - 1], table[CELLS]
    wanted = end + (end - last) * beyond
    one = FLOATS.read(table.tolist(), 0, CELLS + beyond)[0]
    many = ARRAYS.read(table, 0, np.array([CELLS + beyond]))[0]
    assert one == pytest.approx(wanted, rel=1e-12, abs=1e-12)
    assert many[0] == one


@given(numbers, numbers, over_decades(1e-9, 1e9), st.booleans(), st.booleans())
def test_the_kits_agree(a: float, b: float, positive: float, one: bool, other: bool) -> None:
    """Choice, larger, smaller, root, logarithm and masks are the same in both kits."""
    for name, given_ in (
        ("where", (one, a, b)),
        ("larger", (a, b)),
        ("smaller", (a, b)),
        ("either", (one, other)),
        ("root", (positive,)),
        ("log", (positive,)),
    ):
        plain = getattr(FLOATS, name)(*given_)
        many = getattr(ARRAYS, name)(*(np.array([part, part]) for part in given_))
        assert many.tolist() == pytest.approx([plain, plain], rel=1e-15)
    assert FLOATS.any(one) == ARRAYS.any(np.array([False, one])) == one
    assert FLOATS.root(positive) == math.sqrt(positive)
    assert FLOATS.log(math.e) == 1.0
