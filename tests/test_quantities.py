"""Units and texts: exact factors, what a text means, what is refused and why; the table itself."""

import math
from itertools import pairwise

import pytest
import scipy.constants as c
from hypothesis import given
from hypothesis import strategies as st

from libdamp.quantities import (
    QUANTITIES,
    UnitError,
    from_si,
    parse_number,
    parse_unit,
    quantity,
    read_quantity,
    to_si,
)
from libdamp.quantities.reading import example_of
from tests.strategies import over_decades

EXACT = {
    "in": c.inch,
    "ft": c.foot,
    "lb": c.lb,
    "oz": c.oz,
    "lbf": c.lbf,
    "kgf": c.kgf,
    "gf": c.kgf * 1e-3,
    "psi": c.psi,
    "bar": c.bar,
    "atm": c.atm,
    "min": c.minute,
    "h": c.hour,
    "l": c.liter,
    "deg": c.degree,
    "lbf/in": c.lbf / c.inch,
    "gf/mm": c.kgf * 1e-3 / 1e-3,
    "kgf/cm": c.kgf / 1e-2,
    "mm2/s": 1e-6,
    "cSt": 1e-6,
    "mPa s": 1e-3,
    "N s/m": 1.0,
    "1/s": 1.0,
    "m/s": 1.0,
    "kg/m3": 1.0,
}


@pytest.mark.parametrize("unit", sorted(EXACT))
def test_factors(unit: str) -> None:
    """Factors are the exact ones of the definitions, as scipy has them."""
    assert parse_unit(unit).factor == pytest.approx(EXACT[unit], rel=4e-16)


def test_literals() -> None:
    """The three literals from which the rest follows are exact."""
    assert (parse_unit("in").factor, parse_unit("lb").factor) == (0.0254, 0.45359237)
    assert parse_unit("kgf").factor == c.g
    assert round(parse_unit("lbf/in").factor, 12) == 175.126835246476


@pytest.mark.parametrize(
    ("text", "row", "value"),
    [
        ("4 lbf/in", "spring.rate_n_mm", 4e-3 * c.lbf / c.inch),
        ("4 lb/in", "spring.rate_n_mm", 4e-3 * c.lbf / c.inch),
        ("38 gf/mm", "spring.rate_n_mm", 38e-3 * c.g),
        ("38 g/mm", "spring.rate_n_mm", 38e-3 * c.g),
        ("0.3875kgf/cm", "spring.rate_n_mm", 0.3875 * c.g / 10.0),
        ("380 N/m", "spring.rate_n_mm", 0.38),
        ("0.38 N/mm", "spring.rate_n_mm", 0.38),
        (" 0,38  N / mm ", "spring.rate_n_mm", 0.38),
        ("0,05 in", "holes.diameter_mm", 1.27),
        (".5 in", "bore_mm", 12.7),
        ('0.5"', "bore_mm", 12.7),
        ("1.2 cm", "bore_mm", 12.0),
        ("1200 µm", "holes.diameter_mm", 1.2),
        ("1.5E1 mm", "bore_mm", 15.0),
        ("325 cst", "oil.viscosity_cst", 325.0),
        ("325 mm2/s", "oil.viscosity_cst", 325.0),
        ("325 mm²/s", "oil.viscosity_cst", 325.0),
        ("3.25 St", "oil.viscosity_cst", 325.0),
        ("68 F", "temperature_c", 20.0),
        ("293.15 K", "temperature_c", 20.0),
        ("20 °C", "temperature_c", 20.0),
        ("-5 C", "temperature_c", -5.0),
        ("0.8 kg", "axle_g", 800.0),
        ("1 lb", "axle_g", 453.59237),
        ("0.42 cc", "gas_ml", 0.42),
        ("25 gf", "seal_drag_n", 25e-3 * c.g),
        ("21.6 km/h", "use.speed_m_s", None),
        ("12 deg", "landing_deg", 12.0),
    ],
)
def test_readings(text: str, row: str, value: float | None) -> None:
    """A text is read in the quantity's unit, to round-off; what is not in the list of units is refused."""
    if value is None:
        with pytest.raises(UnitError, match="not a unit"):
            read_quantity(text, quantity(row))
    else:
        assert read_quantity(text, quantity(row)) == pytest.approx(value, rel=4e-15)


@pytest.mark.parametrize(
    ("text", "row", "why"),
    [
        ("4 N*m", "spring.rate_n_mm", "torque"),
        ("4 Nm", "spring.rate_n_mm", "torque"),
        ("4 lbf in", "spring.rate_n_mm", "torque"),
        ("4 lb*in", "spring.rate_n_mm", "needed"),
        ("4 lb", "spring.rate_n_mm", "a mass, a spring rate"),
        ("4 lbf", "spring.rate_n_mm", "a force, a spring rate"),
        ("4 mm", "spring.rate_n_mm", "a length, a spring rate"),
        ("30 wt", "oil.viscosity_cst", "a label, not a unit"),
        ("30wt", "oil.viscosity_cst", "a label, not a unit"),
        ("30 WT", "oil.viscosity_cst", "a label, not a unit"),
        ("30 weight", "oil.viscosity_cst", "a label, not a unit"),
        ("315 mPas", "oil.viscosity_cst", "density"),
        ("4", "spring.rate_n_mm", "has no unit"),
        ("lbf/in", "spring.rate_n_mm", "does not begin with a number"),
        ("", "bore_mm", "does not begin with a number"),
        ("1e999 mm", "bore_mm", "too large"),
        ("12 parsec", "bore_mm", "not a unit"),
        ("12 mm mm", "bore_mm", "needed"),
        ("12 /", "bore_mm", "no unit"),
        ("12 mm/", "bore_mm", "unit"),
        ("4 lbf//in", "spring.rate_n_mm", "unit"),
    ],
)
def test_refused(text: str, row: str, why: str) -> None:
    """A torque, another dimension, a label or no unit is refused with a sentence that says why."""
    with pytest.raises(UnitError, match=why):
        read_quantity(text, quantity(row))


@given(over_decades(1e-6, 1e6), st.sampled_from(sorted(EXACT)))
def test_round_trip(value: float, text: str) -> None:
    """To SI and back is the same number to round-off."""
    unit = parse_unit(text)
    assert from_si(to_si(value, unit), unit) == pytest.approx(value, rel=1e-15)


@given(st.floats(-1e6, 1e6, allow_nan=False))
def test_numbers_are_read_as_written(value: float) -> None:
    """A printed float is read back exactly, with a point or a comma."""
    assert parse_number(repr(value))[0] == value
    assert parse_number(repr(value).replace(".", ","))[0] == value


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused(text: str) -> None:
    """No text does anything but give a finite number or a UnitError."""
    for name in ("spring.rate_n_mm", "oil.viscosity_cst", "temperature_c"):
        _read_or_refused(text, name)


@given(st.from_regex(r"[0-9.,]{1,6} ?[a-zA-Z/*^2 \-]{0,12}", fullmatch=True))
def test_near_misses_are_read_or_refused(text: str) -> None:
    """Texts that look like a number with a unit too."""
    _read_or_refused(text, "spring.rate_n_mm")


def _read_or_refused(text: str, name: str) -> None:
    """A finite number, or a sentence."""
    try:
        read, sentence = read_quantity(text, quantity(name)), "read as a number"
    except UnitError as error:
        read, sentence = 0.0, str(error)
    assert math.isfinite(read)
    assert len(sentence) > 10


@pytest.mark.parametrize("name", sorted(QUANTITIES))
def test_the_example_is_read(name: str) -> None:
    """What an error text proposes to type is itself possible and readable."""
    row = quantity(name)
    if row.unit == "1":
        assert math.isfinite(float(example_of(row)))
        return
    value = read_quantity(example_of(row), row)
    if row.possible is not None:
        assert row.possible[0] <= value <= row.possible[1]


def test_units_of_one_dimension_convert_both_ways() -> None:
    """Spring rates form one family: the order of the units by size is the order of the factors."""
    rising = ["gf/cm", "gf/mm", "ozf/in", "lbf/ft", "lbf/in", "kgf/cm", "N/mm", "kgf/mm"]
    factors = [parse_unit(unit).factor for unit in rising]
    assert all(a < b for a, b in pairwise(factors))
    assert len({parse_unit(unit).dimension for unit in rising}) == 1
