"""More check values of an oil over temperature: printed tables of both laws, and one-point oils."""

from typing import Any

import mpmath
from mpmath import mpf

from tests.check_values.table import Row, times
from tests.oracles.late import PropsSI

ANDRADE = "Andrade's law with 763 K, log10 nu = 763/T + const; computed apart from the library"
FROM_VTC = "VTC = 1 - nu(99 C)/nu(38 C) put into Andrade's law; computed apart from the library"
D341 = "ASTM D341, log10 log10 (nu + 0.7) = A - B log10 T; computed apart from the library"
OPEN_MODEL = "constants of an oil near ISO VG 46 in an open hydraulic model (OpenHydraulics, GenericOil); {}"
LIBRARY = "CoolProp PropsSI, INCOMP::S800, a silicone heat-transfer liquid of 10.49 mm2/s at 25 C"
S800 = "INCOMP::S800"


def _law_row(model: str, inputs: Any, pick: Any, expected: str, source: str) -> Row:
    return Row(model=model, inputs=inputs, pick=pick, expected=expected, source=source, kind="common practice")


def _vtc_row(vtc: float, celsius: float, expected: str) -> Row:
    oil = {"viscosity_cst": 1000, "vtc": vtc}
    return _law_row(
        "oil_viscosity",
        {"oil": oil, "temperature_c": celsius},
        lambda answer: answer["viscosity_cst"] / 1000.0,
        expected,
        FROM_VTC,
    )


def _grade_row(celsius: float, expected: str) -> Row:
    inputs = {"oil": "350 cSt", "temperature_c": celsius}
    return _law_row("oil_viscosity", inputs, "viscosity_cst", expected, ANDRADE)


def _sheet_row(at_40: float, at_100: float, celsius: float, expected: str) -> Row:
    oil = {
        "viscosity_cst": at_40,
        "reference_temperature_c": 40,
        "family": "petroleum",
        "second_point": {"viscosity_cst": at_100, "temperature_c": 100},
    }
    return _law_row(
        "oil_viscosity",
        {"oil": oil, "temperature_c": celsius},
        "viscosity_cst",
        expected,
        f"{D341} through {at_40:g} mm2/s at 40 C and {at_100:g} at 100 C",
    )


def _open_row(celsius: float, expected: str) -> Row:
    inputs = {"a": 9.32, "b": 3.65, "t": celsius + 273.15}
    return _law_row("physics.oil.walther_viscosity", inputs, times(1e6), expected, OPEN_MODEL.format(D341))


def _silicone_as_walther(grade: float, index: int, expected: str) -> Row:
    """D341 through two points of Andrade's law, 25 C and 99 C."""

    def inputs() -> dict[str, float]:
        at_99 = grade * mpf(10) ** (763 * (1 / mpf("372.15") - 1 / mpf("298.15")))
        return {"nu_1": grade * 1e-6, "t_1": 298.15, "nu_2": float(at_99) * 1e-6, "t_2": 372.15}

    source = f"{D341} through Andrade's law at 25 C and 99 C, grade {grade:g} mm2/s"
    return _law_row("physics.oil.walther_constants", inputs, times(1.0, index), expected, source)


def _one_point_row(celsius: float) -> Row:
    """The liquid by the print at 25 C alone, its density given."""

    def nu(t: float) -> float:
        return float(PropsSI("V", "T", t, "P", 101325.0, S800) / PropsSI("D", "T", t, "P", 101325.0, S800))

    def inputs() -> dict[str, Any]:
        # the generic slope, at a grade that is sold: viscosities in proportion
        density = PropsSI("D", "T", 298.15, "P", 101325.0, S800)
        oil = {"viscosity_cst": 1e8 * nu(298.15), "density_kg_m3": density}
        return {"oil": oil, "temperature_c": celsius}

    return Row(
        model="oil_viscosity",
        inputs=inputs,
        pick="viscosity_cst",
        expected=lambda: 1e8 * nu(celsius + 273.15),
        source=f"{LIBRARY}, V/D at {celsius:g} C over that at 25 C, times 1049 mm2/s",
        kind="independent",
        tolerance=0.06,
        reason="the law's stated error for a light grade, 6 %, for its generic slope",
    )


ROWS = [
    *(_one_point_row(celsius) for celsius in (0.0, 10.0, 25.0, 40.0, 60.0)),
    *(
        _grade_row(celsius, digits)
        for celsius, digits in ((-10, "766.374"), (0, "600.192"), (20, "387.005"), (40, "263.928"), (60, "188.457"))
    ),
    *(
        _vtc_row(vtc, 40.0, digits)
        for vtc, digits in (
            (0.55, "0.7839"),
            (0.58, "0.7675"),
            (0.59, "0.7619"),
            (0.60, "0.7562"),
            (0.61, "0.7504"),
            (0.62, "0.7445"),
        )
    ),
    *(_vtc_row(vtc, 0.0, digits) for vtc, digits in ((0.59, "1.6813"), (0.61, "1.7310"))),
    *(_vtc_row(vtc, 60.0, digits) for vtc, digits in ((0.59, "0.5508"), (0.61, "0.5327"))),
    *(
        _sheet_row(32, 5.4, celsius, digits)
        for celsius, digits in (
            (-10, "805.14728"),
            (0, "335.99962"),
            (20, "86.27786"),
            (25, "65.42015"),
            (60, "15.18589"),
            (80, "8.53321"),
        )
    ),
    *(
        _sheet_row(73.3, 8.86, celsius, digits)
        for celsius, digits in (
            (0, "1233.06643"),
            (20, "240.98124"),
            (25, "172.84100"),
            (60, "30.08261"),
            (80, "15.18039"),
        )
    ),
    *(
        _open_row(celsius, digits)
        for celsius, digits in ((0, "471.19041"), (20, "115.70183"), (40, "41.34285"), (100, "6.48289"))
    ),
    *(
        _silicone_as_walther(grade, index, digits)
        for grade, *both in (
            (10.0, "6.42334", "2.59080"),
            (100.0, "3.52323", "1.30193"),
            (350.0, "2.88500", "1.00198"),
            (1000.0, "2.54848", "0.83709"),
        )
        for index, digits in enumerate(both)
    ),
    Row(
        model="physics.oil.slope_from_points",
        inputs={"nu_1": 350e-6, "t_1": 298.15, "nu_2": 188.457e-6, "t_2": 333.15},
        pick=lambda slope: float(slope) / float(mpmath.log(10)),
        expected="763.0",
        source=f"{ANDRADE}; back from 350 mm2/s at 25 C and 188.457 at 60 C",
        kind="common practice",
    ),
]
