"""Check values of the gas at rest, of areas and of the fill."""

import mpmath
import scipy.constants
from mpmath import mpf

from tests.check_values.table import Row, formula, times
from tests.oracles.late import PropsSI

BOYLE = "Boyle's and Gay-Lussac's laws"
ATMOSPHERE = mpf(101325)
BORE, SHAFT = 113.09733552923255e-6, 7.0685834705770345e-6


def _air_row(volume_ratio: float, t: float) -> Row:
    def pressure() -> float:
        density = PropsSI("D", "P", 101325.0, "T", 298.15, "Air")
        return float(PropsSI("P", "D", density / volume_ratio, "T", t, "Air"))

    return Row(
        model="physics.gas.rest_pressure",
        inputs={"closed": 0.42e-6, "volume": 0.42e-6 * volume_ratio, "t_fill": 298.15, "t": t},
        expected=pressure,
        source=f"CoolProp PropsSI, Air, at {volume_ratio:g} of its volume and {t:g} K",
        kind="independent",
        tolerance=4e-4,
        reason="compressibility factor of air between 0.7 and 2 bar, 0.9996..1.0001 (the same library)",
    )


def _void_row(bore_mm: float, shaft_mm: float, digits: str) -> Row:
    quarter = scipy.constants.pi / 4e6
    return Row(
        model="physics.gas.void_force",
        inputs={
            "pressure": 101325.0,
            "bore_area": quarter * bore_mm**2,
            "shaft_area": quarter * shaft_mm**2,
        },
        expected=digits,
        source="chamber balance p (A_b - A_s) at one atmosphere, computed apart from the library",
        kind="common practice",
    )


ROWS = [
    *(_air_row(*point) for point in ((0.5, 298.15), (0.75, 298.15), (0.75, 323.15), (1.2, 273.15))),
    *(_void_row(*case) for case in ((10, 3, "7.242"), (12, 3, "10.743"), (13, 3.5, "12.474"), (16, 3.5, "19.398"))),
    *(
        Row(
            model="physics.gas.rest_pressure",
            inputs={"closed": 1.0, "volume": ratio, "t_fill": 293.15, "t": 293.15},
            expected=digits,
            source="p V constant from one atmosphere, table computed apart from the library",
            kind="common practice",
        )
        for ratio, digits in ((0.8, "126656.25"), (0.5, "202650.0"), (0.25, "405300.0"))
    ),
    Row(
        model="physics.numbers.P_ATM",
        inputs={},
        expected=lambda: scipy.constants.atm,
        source="scipy.constants.atm (CODATA, exact)",
        kind="independent",
        tolerance=0.0,
        reason="exact by definition",
    ),
    Row(
        model="physics.numbers.G_N",
        inputs={},
        expected=lambda: scipy.constants.g,
        source="scipy.constants.g (CODATA, exact)",
        kind="independent",
        tolerance=0.0,
        reason="exact by definition",
    ),
    Row(
        model="physics.numbers.ZERO_C",
        inputs={},
        expected=lambda: scipy.constants.zero_Celsius,
        source="scipy.constants.zero_Celsius (exact)",
        kind="independent",
        tolerance=0.0,
        reason="exact by definition",
    ),
    Row(
        model="physics.gas.gas_force",
        inputs={"pressure": 156711.4, "shaft_area": SHAFT},
        expected="0.3915",
        source="3 mm rod pushed 25 mm into a pocket of 0.5 cm3, isothermal, computed apart from the library",
        kind="common practice",
    ),
    formula(
        "physics.gas.circle_area", {"diameter": 12e-3}, lambda diameter: mpmath.pi * diameter**2 / 4, "pi d^2/4"
    ),
    formula(
        "physics.gas.gas_volume",
        {"closed": 0.42e-6, "shaft_area": SHAFT, "insertion": 30e-3, "closing": 15e-3, "oil_gain": 0.09e-6},
        lambda closed, shaft_area, insertion, closing, oil_gain: (
            closed - shaft_area * (insertion - closing) - oil_gain
        ),
        "V = V0 - A_s (x - x_closing) - gain",
    ),
    formula(
        "physics.gas.rest_pressure",
        {"closed": 0.42e-6, "volume": 0.314e-6, "t_fill": 293.15, "t": 323.15},
        lambda closed, volume, t_fill, t: ATMOSPHERE * closed / volume * t / t_fill,
        f"{BOYLE}, p = p_atm (V0/V)(T/T_fill)",
    ),
    formula(
        "physics.gas.gas_force",
        {"pressure": 135.53e3, "shaft_area": SHAFT},
        lambda pressure, shaft_area: (pressure - ATMOSPHERE) * shaft_area,
        "F = (p - p_atm) A_s",
    ),
    formula(
        "physics.gas.gas_rate",
        {"pressure": 135.53e3, "volume": 0.314e-6, "shaft_area": SHAFT, "exponent": 1.3},
        lambda pressure, volume, shaft_area, exponent: (
            -mpmath.diff(
                lambda x: -pressure * (volume / (volume - shaft_area * x)) ** exponent * shaft_area, mpf(0)
            )
        ),
        "p V^n constant, d(p A_s)/dx by mpmath.diff",
    ),
    formula(
        "physics.gas.void_force",
        {"pressure": 135.53e3, "bore_area": BORE, "shaft_area": SHAFT},
        lambda pressure, bore_area, shaft_area: pressure * (bore_area - shaft_area),
        "p_cap (A_b - A_s)",
    ),
    formula(
        "physics.gas.fill_volume",
        {
            "bore_area": BORE,
            "cavity": 45e-3,
            "piston": 11.9e-3,
            "thickness": 2.4e-3,
            "shaft_area": SHAFT,
            "closing": 20e-3,
        },
        lambda bore_area, cavity, piston, thickness, shaft_area, closing: (
            bore_area * cavity - mpmath.pi / 4 * piston**2 * thickness - shaft_area * closing
        ),
        "A_b cavity - (pi/4) piston^2 thickness - A_s x_closing",
    ),
    Row(
        model="physics.gas.fill_volume",
        inputs={
            "bore_area": BORE,
            "cavity": 45e-3,
            "piston": 11.9e-3,
            "thickness": 2.4e-3,
            "shaft_area": SHAFT,
            "closing": 20e-3,
        },
        pick=times(1e6),
        expected="4.68",
        source="invented demo truck, rear: fill in ml by hand (design figures)",
        kind="regression",
    ),
]
