"""Reading a text as a number with its unit: "4 lbf/in", "0,05 in", "315 mPas"."""

import math
import re

from .table import Quantity, typical
from .units import (
    DYNAMIC,
    KINEMATIC,
    POWER,
    TEMPERATURE,
    Unit,
    UnitError,
    dimension_name,
    from_si,
    is_torque,
    parse_unit,
    to_si,
)

_NUMBER = re.compile(r"\s*([+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d+)?)")
_LABEL = re.compile(r"\s*[\d.,]+\s*-?\s*(wt|weight|w)\s*", re.IGNORECASE)

LABEL_ADVICE = (
    "'wt' is a label, not a unit: no standard says what it means. Give instead (1) the cSt printed on the bottle, "
    '"325 cst"; (2) the mPa s printed on it, "315 mPas"; (3) the viscosity from a timed pull or a falling ball; '
    "or (4) try the lowest and the highest value it could be and compare; a table of your own labels is read by "
    "oil_from_label"
)


def parse_number(text: str) -> tuple[float, str]:
    """Split a text into its number and the rest; '1,5' is read as '1.5', thousands marks are not read.

    Raises
    ------
    UnitError : no number at the start, or not a finite one.

    Examples
    --------
    >>> parse_number("0,05 in")
    (0.05, 'in')
    """
    found = _NUMBER.match(text)
    if found is None:
        raise UnitError(f"'{text.strip()}' does not begin with a number")
    value = float(found.group(1).replace(",", "."))
    if not math.isfinite(value):
        raise UnitError(f"'{text.strip()}' is too large to be a number")
    return value, text[found.end() :].strip()


def read_text(text: str, wanted: Unit, example: str) -> float:
    """Read a number with a unit and give it in another unit of the same dimension.

    Parameters
    ----------
    text : "4 lbf/in".
    wanted : unit of the result.
    example : what to type instead, for the error's text.

    Raises
    ------
    UnitError : no number, no unit, a torque for a rate, another dimension.

    Examples
    --------
    >>> read_text("38.0 gf/mm", parse_unit("lbf/in"), "2.1 lbf/in")
    2.128
    """
    if wanted.dimension != POWER and _LABEL.fullmatch(text):
        raise UnitError(LABEL_ADVICE)
    value, rest = parse_number(text)
    if not rest:
        how = f'type for example "{example}", or the number without quotes, with a point'
        raise UnitError(f"'{text.strip()}' has no unit; {how}")
    unit = parse_unit(rest, wanted.dimension)
    check_dimension(rest, unit, wanted, example)
    check_absolute(value, unit)
    return value if unit == wanted else from_si(to_si(value, unit), wanted)


def check_absolute(value: float, unit: Unit) -> None:
    """Refuse a temperature below absolute zero.

    Raises
    ------
    UnitError : below 0 K.

    Examples
    --------
    >>> check_absolute(-40.0, parse_unit("C"))
    """
    if unit.dimension == TEMPERATURE and to_si(value, unit) < 0.0:
        raise UnitError(f"{value:g} is below absolute zero")


def check_dimension(text: str, unit: Unit, wanted: Unit, example: str) -> None:
    """Refuse a unit of another dimension with a sentence that says why.

    Raises
    ------
    UnitError : torque, or another dimension.

    Examples
    --------
    >>> check_dimension("N/mm", parse_unit("N/mm"), parse_unit("lbf/in"), "4 lbf/in")
    """
    if unit.dimension == wanted.dimension:
        return
    found = dimension_name(unit.dimension)
    if is_torque(text, unit):
        found = "a torque (force times length)"
    why = f"'{text.strip()}' is {found}, {dimension_name(wanted.dimension)} is needed"
    if {unit.dimension, wanted.dimension} == {KINEMATIC, DYNAMIC}:
        why += "; the two differ by the oil's density, which only an oil with a density can bring in"
    raise UnitError(f'{why}; type for example "{example}"')


def example_of(row: Quantity) -> str:
    """Text that would be read, "12 mm": the middle of the usual range with its unit."""
    return f"{typical(row):g} {row.unit}".removesuffix(" 1")


def read_quantity(text: str, row: Quantity) -> float:
    """Read a text as a quantity of the table, in the table's unit.

    Raises
    ------
    UnitError : with a sentence that says what to type instead.

    Examples
    --------
    >>> from .table import quantity
    >>> read_quantity("0.5 in", quantity("bore_mm"))
    12.7
    """
    return read_text(text, parse_unit(row.unit), example_of(row))
