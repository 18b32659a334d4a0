"""Check values of a shock's warming."""

import math

import mpmath
from mpmath import mpf

from tests.check_values.table import Row, formula

LIBRARY = "ht.Nu_cylinder_Churchill_Bernstein 1.2.0 with air at 313.15 K and one atmosphere from CoolProp 8.0.0"
CONDUCTIVITY, VISCOSITY, PRANDTL = mpf("0.02735427"), mpf("1.6998749e-5"), mpf("0.7054793")


def _churchill(speed: mpf, diameter: mpf) -> mpf:
    re = speed * diameter / VISCOSITY
    bend = (1 + (mpf("0.4") / PRANDTL) ** (mpf(2) / 3)) ** mpf("0.25")
    nu = mpf("0.3") + mpf("0.62") * mpmath.sqrt(re) * PRANDTL ** (mpf(1) / 3) / bend * (
        1 + (re / 282000) ** (mpf(5) / 8)
    ) ** mpf("0.8")
    return nu * CONDUCTIVITY / diameter


def _stream(speed: float, across: float, digits: str) -> Row:
    return Row(
        model="physics.heat.cylinder_convection",
        inputs={"speed": speed, "diameter": across},
        expected=digits,
        source=f"{LIBRARY}, {speed:g} m/s across {across * 1e3:g} mm",
        kind="independent",
    )


ROWS = [
    _stream(0.5, 12e-3, "21.685"),
    _stream(2.0, 12e-3, "43.384"),
    _stream(10.0, 12e-3, "100.801"),
    _stream(20.0, 12e-3, "147.816"),
    _stream(1.0, 16e-3, "26.496"),
    _stream(15.0, 16e-3, "110.862"),
    *(
        Row(
            model="physics.heat.radiation",
            inputs={"temperature": kelvin, "emissivity": 1.0},
            expected=digits,
            source="4 sigma T^3 of a black body, any text on heat transfer; computed apart from the library",
            kind="common practice",
        )
        for kelvin, digits in ((293.15, "5.714"), (313.15, "6.965"), (333.15, "8.387"))
    ),
    *(
        Row(
            model="physics.heat.steady_rise",
            inputs={"power": power, "coefficient": h, "area": math.pi * 16e-3 * 50e-3},
            expected=digits,
            source="P/(h A) of a cylinder 16 mm x 50 mm, computed apart from the library",
            kind="common practice",
        )
        for power, h, digits in ((0.222, 10.0, "8.83"), (0.222, 60.0, "1.47"), (1.579, 100.0, "6.3"))
    ),
    Row(
        model="physics.heat.warming_time",
        inputs={"capacity": 21.72, "coefficient": 30.0, "area": math.pi * 16e-3 * 50e-3},
        expected="288",
        source="C/(h A): 6 g oil, 12 g polymer, 4 g steel in a cylinder 16 mm x 50 mm, computed apart",
        kind="common practice",
    ),
    formula(
        "physics.heat.cylinder_convection", {"speed": 6.0, "diameter": 15e-3}, _churchill, "Churchill & Bernstein"
    ),
    formula(
        "physics.heat.radiation",
        {"temperature": 303.0, "emissivity": 0.4},
        lambda temperature, emissivity: 4 * emissivity * mpf("5.670374419e-8") * temperature**3,
        "4 eps sigma T^3",
    ),
    formula(
        "physics.heat.steady_rise",
        {"power": 0.7, "coefficient": 33.0, "area": 3e-3},
        lambda power, coefficient, area: power / (coefficient * area),
        "P/(h A)",
    ),
    formula(
        "physics.heat.warming_time",
        {"capacity": 19.0, "coefficient": 33.0, "area": 3e-3},
        lambda capacity, coefficient, area: capacity / (coefficient * area),
        "C/(h A)",
    ),
]
