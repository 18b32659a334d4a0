"""Check values of gas spread through the oil."""

import math
from collections.abc import Callable

import mpmath
from mpmath import mpf
from scipy.integrate import quad
from scipy.optimize import brentq

from tests.check_values.table import Row, formula, times
from tests.oracles.late import PropsSI

ATMOSPHERE = mpf(101325)
BORE, SHAFT = 113.09733552923255e-6, 7.0685834705770345e-6
SHOCK = {
    "insertion": 11e-3,
    "bore_area": BORE,
    "shaft_area": SHAFT,
    "cavity": 35e-3,
    "thickness": 2.4e-3,
    "stroke": 26e-3,
}
SPLIT = {"cap": 2.2e-6, "rod": 1.5e-6, "gas": 0.5e-6, "t_fill": 293.15, "t": 318.15, "oil_gain": 0.07e-6}
PRESSURES = ((180e3, 95e3), (95e3, 180e3), (110e3, 109.99e3), (900e3, 20e3))


def _written_mean(cap: mpf, rod: mpf) -> mpf:
    return (cap - rod) / mpmath.log(cap / rod)


def _averaged(of: Callable[[float], float], cap: float, rod: float) -> float:
    return float(quad(of, rod, cap, epsabs=0.0, epsrel=1e-12)[0]) / (cap - rod)


def _air_row(volume: float, oil: float, ratio: float) -> Row:
    def expected() -> float:
        density = float(PropsSI("D", "P", 101325.0, "T", 293.15, "Air"))
        return float(PropsSI("P", "D", density * ratio * oil / (volume - oil), "T", 293.15, "Air"))

    return Row(
        model="physics.emulsion.side_pressure",
        inputs={"volume": volume, "oil": oil, "ratio": ratio},
        expected=expected,
        source=f"CoolProp PropsSI, Air: {ratio * oil * 1e6:g} ml at one atmosphere in what {oil * 1e6:g} ml leave",
        kind="independent",
        tolerance=1e-3,
        reason="compressibility factor of air up to 3 bar (the same library)",
    )


def _balance_row(cap: float, rod: float, oil: float, gas: float) -> Row:
    """The oil on the rod side for which the gas of both sides has one pressure, found by scipy."""

    def unequal(second: float) -> float:
        return second * (cap - (oil - second)) - (oil - second) * (rod - second)

    room = cap + rod - oil
    return Row(
        model="physics.emulsion.rest_oil",
        inputs={"rod": rod, "pressure": 101325.0 * gas / room, "ratio": gas / oil},
        expected=lambda: float(brentq(unequal, max(0.0, oil - cap), min(oil, rod), xtol=1e-20, rtol=1e-14)),
        source="equal pressure of both sides, p_atm r O/(V - O) on each, root by scipy.optimize.brentq",
        kind="independent",
        tolerance=1e-11,
        reason="a root found to 1e-14 of the oil's volume",
    )


def _volumes(index: int) -> Row:
    def written(**s: mpf) -> mpf:
        end = (s["cavity"] - s["thickness"] - s["stroke"]) / 2
        cap = s["bore_area"] * (s["cavity"] - s["thickness"] - end - s["insertion"])
        return (cap, (s["bore_area"] - s["shaft_area"]) * (end + s["insertion"]))[index]

    return formula(
        "physics.emulsion.chamber_volumes",
        SHOCK,
        written,
        "V1 = A_b (cavity - thickness - e - x), V2 = A_a (e + x)",
        times(1.0, index),
    )


def _splits(index: int) -> Row:
    def written(cap: mpf, rod: mpf, gas: mpf, t_fill: mpf, t: mpf, oil_gain: mpf) -> mpf:
        oil = cap + rod - gas + oil_gain
        return (oil, gas * t / t_fill / oil)[index]

    return formula(
        "physics.emulsion.oil_split",
        SPLIT,
        written,
        "O = V1 + V2 - gas + gain, r = gas (T/T_fill)/O",
        times(1.0, index),
    )


def _mean_row(cap: float, rod: float) -> Row:
    return Row(
        model="physics.emulsion.log_mean_pressure",
        inputs={"cap": cap, "rod": rod},
        expected=lambda: 1.0 / _averaged(lambda p: 1.0 / p, cap, rod),
        source="1/p averaged from one pressure to the other by scipy.integrate.quad",
        kind="independent",
        tolerance=1e-11,
        reason="quadrature to 1e-12, ends 1e-4 apart at the nearest",
    )


def _crossing_row(cap: float, rod: float) -> Row:
    flow = math.copysign(2e-6, cap - rod)
    return Row(
        model="physics.emulsion.oil_crossing",
        inputs={"flow": flow, "cap": cap, "rod": rod, "ratio": 0.16},
        expected=lambda: flow / _averaged(lambda p: 1.0 + 0.16 * 101325.0 / p, cap, rod),
        source="flow over the volume of mixture per oil, averaged over the pressure by scipy.integrate.quad",
        kind="independent",
        tolerance=1e-11,
        reason="quadrature to 1e-12, ends 1e-4 apart at the nearest",
    )


ROWS = [
    _volumes(0),
    _volumes(1),
    _splits(0),
    _splits(1),
    formula(
        "physics.emulsion.side_pressure",
        {"volume": 1.5e-6, "oil": 1.3e-6, "ratio": 0.156},
        lambda volume, oil, ratio: ATMOSPHERE * ratio * oil / (volume - oil),
        "p_atm r O/(V - O)",
    ),
    *(_air_row(*case) for case in ((1.5e-6, 1.3e-6, 0.156), (2.2e-6, 1.8e-6, 0.156), (1.5e-6, 1.4e-6, 0.2))),
    formula(
        "physics.emulsion.rest_oil",
        {"rod": 1.5e-6, "pressure": 141e3, "ratio": 0.156},
        lambda rod, pressure, ratio: rod / (1 + ratio * ATMOSPHERE / pressure),
        "V2/(1 + r p_atm/p)",
    ),
    *(_balance_row(*case) for case in ((2.2e-6, 1.5e-6, 3.3e-6, 0.5e-6), (0.4e-6, 3.1e-6, 3.4e-6, 0.4e-6))),
    *(
        formula(
            "physics.emulsion.log_mean_pressure",
            {"cap": cap, "rod": rod},
            _written_mean,
            "(p1 - p2)/ln(p1/p2)",
        )
        for cap, rod in ((180e3, 95e3), (95e3, 180e3), (101325.0, 101325.000001))
    ),
    *(_mean_row(*pair) for pair in PRESSURES),
    formula(
        "physics.emulsion.oil_crossing",
        {"flow": 2e-6, "cap": 180e3, "rod": 95e3, "ratio": 0.156},
        lambda flow, cap, rod, ratio: flow / (1 + ratio * ATMOSPHERE / _written_mean(cap, rod)),
        "Q/(1 + r p_atm/p_lm)",
    ),
    *(_crossing_row(*pair) for pair in PRESSURES),
    formula(
        "physics.emulsion.shaft_force",
        {"cap": 180e3, "rod": 95e3, "bore_area": BORE, "shaft_area": SHAFT},
        lambda cap, rod, bore_area, shaft_area: (
            cap * bore_area - rod * (bore_area - shaft_area) - ATMOSPHERE * shaft_area
        ),
        "p1 A_b - p2 A_a - p_atm A_s",
    ),
]
