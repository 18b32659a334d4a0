"""`convert`: round trips, forms of a request, and refusals with their reason."""

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import libdamp
from libdamp import InputError, convert
from tests.strategies import over_decades

FAMILIES = (
    ("N/mm", "lbf/in", "gf/mm", "kgf/cm", "ozf/in", "N/m"),
    ("mm", "in", "cm", "m", "ft"),
    ("g", "kg", "oz", "lb"),
    ("N", "gf", "kgf", "lbf"),
    ("kPa", "bar", "psi", "atm"),
    ("cSt", "mm2/s", "St"),
    ("mPas", "cP", "P"),
    ("ml", "cc", "l"),
)
PAIRS = [(a, b) for family in FAMILIES for a in family for b in family]


@given(over_decades(1e-3, 1e3), st.sampled_from(PAIRS))
def test_round_trip(value: float, pair: tuple[str, str]) -> None:
    """There and back is the same number to round-off; more is more."""
    one, other = pair
    there = convert(value=value, unit=one, to=other).value
    assert convert(value=there, unit=other, to=one).value == pytest.approx(value, rel=1e-14)
    assert convert(value=2.0 * value, unit=one, to=other).value > there


@pytest.mark.parametrize("unit", sorted({u for family in FAMILIES for u in family} | {"C", "K", "F", "J"}))
def test_same_unit_is_exact(unit: str) -> None:
    """To its own unit a number stays what it is, bit for bit."""
    assert convert(value=0.1, unit=unit, to=unit).value == 0.1


def test_temperatures() -> None:
    """Degrees have their own zeros."""
    assert convert(value="20 C", to="F").value == pytest.approx(68.0, abs=1e-12)
    assert convert(value="0 K", to="C").value == pytest.approx(-273.15, abs=1e-12)
    assert convert(value=-40, unit="F", to="C").value == pytest.approx(-40.0, abs=1e-12)


def test_forms() -> None:
    """A text with its unit, a number with a unit beside it, and a text without one mean the same."""
    wanted = convert(value="38 gf/mm", to="lbf/in").value
    assert convert(value=38, unit="gf/mm", to="lbf/in").value == wanted
    assert convert(value="38", unit="gf/mm", to="lbf/in").value == wanted
    assert convert(value="38,0 gf/mm", to="lbf/in").value == wanted
    assert convert(value="38 g/mm", to="lb/in").value == wanted


@pytest.mark.parametrize(
    ("request_", "pointer", "why"),
    [
        ({"value": "4 N*m", "to": "N/mm"}, "/value", "torque"),
        ({"value": "4 N*m", "to": "lbf in"}, "/value", "torque"),
        ({"value": 4, "unit": "Nm", "to": "kgf cm"}, "/unit", "torque"),
        ({"value": "4 lb", "to": "N/mm"}, "/value", "a mass, a spring rate"),
        ({"value": "4 mm", "to": "N/mm"}, "/value", "a length"),
        ({"value": "325 cSt", "to": "mPas"}, "/value", "density"),
        ({"value": "4", "to": "N/mm"}, "/value", "no unit"),
        ({"value": "4 lbf/in", "unit": "N/mm", "to": "N/mm"}, "/unit", "carries a unit already"),
        ({"value": "4 furlong", "to": "mm"}, "/value", "not a unit"),
        ({"value": "4 mm", "to": "furlong"}, "/to", "not a unit"),
        ({"value": "x", "to": "mm"}, "/value", "begin with a number"),
        ({"value": "30 wt", "to": "cSt"}, "/value", ""),
    ],
)
def test_refused(request_: dict[str, Any], pointer: str, why: str) -> None:
    """Torques, other dimensions, missing and doubled units are refused, each at its place with the reason."""
    with pytest.raises(InputError) as caught:
        libdamp.calculate("convert", request_)
    (fault,) = caught.value.faults
    assert fault.pointer == pointer
    assert why in fault.text


@given(st.text(max_size=20), st.text(max_size=12))
def test_any_text(value: str, to: str) -> None:
    """Whatever the texts: a finite value or an InputError."""
    try:
        found = convert(value=value, to=to).value
    except InputError as error:
        found = float(len(error.faults))
        value = ""
    assert math.isfinite(found)
    assert found or value


def test_huge_numbers() -> None:
    """A number that leaves the range of floats on the way is refused, not infinite."""
    with pytest.raises(InputError):
        convert(value=1e308, unit="m", to="mm")
    with pytest.raises(InputError):
        convert(value=10**400, unit="m", to="mm")
