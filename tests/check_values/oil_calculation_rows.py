"""Check values of `oil_viscosity` and `oil_for_temperature`: a standard's example, a real silicone liquid."""

from typing import Any

import mpmath

from tests.check_values.table import Row
from tests.oracles.late import PropsSI

S800 = "INCOMP::S800"
LIBRARY = "CoolProp PropsSI, INCOMP::S800, a silicone heat-transfer liquid"
ASTM = "ASTM D341, worked example as copied in a course text: 32 mm2/s at 40 C, 5.4 at 100 C give 8.5 at 80 C"
LAW = "Andrade's law with 763 K, computed apart from the library: nu(40 C)/nu(25 C), nu(0 C)/nu(25 C)"
STATED = "the law's stated error for a light grade, 6 %"


def _rho(celsius: float) -> float:
    return float(PropsSI("D", "T", celsius + 273.15, "P", 101325.0, S800))


def _mu(celsius: float) -> float:
    return float(PropsSI("V", "T", celsius + 273.15, "P", 101325.0, S800))


def _nu(celsius: float) -> float:
    return _mu(celsius) / _rho(celsius)


def _sheet() -> dict[str, Any]:
    """The liquid as its data sheet would give it: one cold point, the coefficient, the density at 25 C."""
    return {
        "viscosity_cst": 1e6 * _nu(-10.0),
        "reference_temperature_c": -10.0,
        "vtc": 1.0 - _nu(99.0) / _nu(38.0),
        "density_kg_m3": _rho(25.0),
    }


def _points() -> dict[str, Any]:
    """The liquid by two measured points."""
    return {
        "viscosity_cst": 1e6 * _nu(-10.0),
        "reference_temperature_c": -10.0,
        "second_point": {"viscosity_cst": 1e6 * _nu(60.0), "temperature_c": 60.0},
        "density_kg_m3": _rho(25.0),
    }


def _viscosity_row(given: Any, celsius: float, how: str) -> Row:
    return Row(
        model="oil_viscosity",
        inputs=lambda: {"oil": given(), "temperature_c": celsius},
        pick="dynamic_mpa_s",
        expected=lambda: 1e3 * _mu(celsius),
        source=f"{LIBRARY}, V at {celsius:g} C from its {how}",
        kind="independent",
        tolerance=0.06,
        reason=STATED,
    )


def _same_damping_row(from_c: float, to_c: float) -> Row:
    return Row(
        model="oil_for_temperature",
        inputs=lambda: {"oil": _points(), "from_temperature_c": from_c, "to_temperature_c": to_c},
        expected=lambda: 1e6 * _nu(25.0) * _mu(from_c) / _mu(to_c),
        pick="viscosity_cst",
        source=f"{LIBRARY}: grade in proportion to V({from_c:g} C)/V({to_c:g} C), so that V is kept",
        kind="independent",
        tolerance=0.06,
        reason=STATED,
    )


def _law_row(celsius: float, digits: str) -> Row:
    return Row(
        model="oil_viscosity",
        inputs={"oil": "325 cSt", "temperature_c": celsius},
        pick=lambda answer: answer["viscosity_cst"] / 325.0,
        expected=digits,
        source=LAW,
        kind="common practice",
    )


def _kept() -> float:
    """Grade at 25 C whose dynamic viscosity at 40 C is that of 325 cSt at 25 C, one density for both."""
    with mpmath.workdps(30):
        slope = mpmath.mpf(763) * (1 / mpmath.mpf("313.15") - 1 / mpmath.mpf("298.15"))
        thinner = mpmath.mpf(10) ** slope / (1 + mpmath.mpf("9.4e-4") * 15)
        return float(325 / thinner)


ROWS = [
    Row(
        model="oil_viscosity",
        inputs={
            "oil": {
                "viscosity_cst": 32,
                "reference_temperature_c": 40,
                "family": "petroleum",
                "second_point": {"viscosity_cst": 5.4, "temperature_c": 100},
            },
            "temperature_c": 80,
        },
        pick="viscosity_cst",
        expected="8.5",
        source=ASTM,
        kind="published",
    ),
    *(_viscosity_row(_sheet, celsius, "VTC") for celsius in (0.0, 10.0, 25.0)),
    *(_viscosity_row(_points, celsius, "values at -10 C and 60 C") for celsius in (0.0, 25.0, 40.0)),
    *(_same_damping_row(*pair) for pair in ((25.0, 0.0), (25.0, 40.0), (10.0, 60.0))),
    _law_row(40.0, "0.754080"),
    _law_row(0.0, "1.71484"),
    Row(
        model="oil_for_temperature",
        inputs={
            "oil": {"viscosity_cst": 325, "density_kg_m3": 970},
            "from_temperature_c": 25,
            "to_temperature_c": 40,
        },
        pick="viscosity_cst",
        expected=_kept,
        source="Andrade's law and the expansion of the oil, solved by hand and evaluated by mpmath at 30 digits",
        kind="formula",
        tolerance=1e-12,
        reason="the written equation itself, to 12 digits",
    ),
]
