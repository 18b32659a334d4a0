"""Converting a value from one unit to another."""

import math
from typing import Annotated

import msgspec

from .answers import Answer, calculation
from .errors import Fault, InputError
from .quantities import Q, UnitError, from_si, is_torque, parse_number, parse_unit, to_si
from .quantities.reading import check_absolute, check_dimension

UnitText = Annotated[str, msgspec.Meta(max_length=80)]
"""A unit, or a number with its unit."""


class Converted(Answer, frozen=True, kw_only=True):
    """A value in another unit."""

    value: Annotated[float, Q("value")]
    unit: str


@calculation()
def convert(*, value: float | UnitText, to: UnitText, unit: UnitText | None = None) -> Converted:
    """Convert a value to another unit of the same kind.

    Parameters
    ----------
    value : a number with its unit, "38 gf/mm", or a number alone with `unit` beside it.
    to : the wanted unit, "lbf/in".
    unit : unit of a number alone.

    Raises
    ------
    InputError : no unit, an unknown unit, a torque, units of different kinds.

    Examples
    --------
    >>> convert(value="38.0 gf/mm", to="lbf/in").value
    2.128
    """
    number, source = _number_and_unit(value, unit)
    try:
        wanted = parse_unit(to)
    except UnitError as error:
        raise _refused("/to", to, error) from error
    try:
        given = parse_unit(source, wanted.dimension)
        wanted = parse_unit(to, given.dimension)
        for text, read in ((source, given), (to, wanted)):
            if is_torque(text, read):
                raise UnitError(
                    f"'{text}' is a torque (force times length), not a spring rate or an energy: a spring rate is "
                    'force per length, "4 lbf/in"; an energy is given in J'
                )
        check_dimension(source, given, wanted, f"1 {to}")
        check_absolute(number, given)
    except UnitError as error:
        raise _refused("/value" if unit is None else "/unit", source, error) from error
    result = number if given == wanted else from_si(to_si(number, given), wanted)
    if not math.isfinite(result):
        raise _refused("/value", str(value), UnitError("is too large to be given in that unit"))
    return Converted(value=result, unit=to)


def _number_and_unit(value: float | str, unit: str | None) -> tuple[float, str]:
    if isinstance(value, str):
        try:
            number, source = parse_number(value)
        except UnitError as error:
            raise _refused("/value", value, error) from error
        if source and unit is not None:
            raise _refused("/unit", unit, UnitError("the value carries a unit already: leave this one out"))
        source = source or (unit or "")
    else:
        number, source = float(value), unit or ""
    if not source:
        raise _refused("/value", str(value), UnitError('there is no unit: type for example "38 gf/mm"'))
    return number, source


def _refused(pointer: str, value: str, error: UnitError) -> InputError:
    return InputError([Fault(pointer=pointer, rule="conversion", value=value[:80], text=str(error))])
