"""Check values of `fill_check`: real air for the pocket, a real silicone liquid for the warming."""

import math
from typing import Any

from libdamp.demo import demo_data
from tests.check_values.table import Row
from tests.oracles.late import PropsSI

S800 = "INCOMP::S800"
AIR = "CoolProp PropsSI, Air, at the volume left with the shaft fully in"
SILICONE = "CoolProp PropsSI, INCOMP::S800, a silicone liquid: density ratio of the oil in the shock"
HAND = "invented demo cars: cavity less piston less shaft by hand, ml (design figures)"
OWN, USED = 9.659e-4, 9.4e-4
"""Expansion of that liquid and of the library's oils, 1/K."""


def _shock(car: str, end: str) -> dict[str, Any]:
    return dict(demo_data(car)["car"][end]["shock"])


def _oil_ml(shock: dict[str, Any]) -> float:
    quarter, piston, fill = 0.25e-3 * math.pi, shock["piston"], shock["fill"]
    body = shock["bore_mm"] ** 2 * shock["cavity_length_mm"]
    inside = piston["diameter_mm"] ** 2 * piston["thickness_mm"]
    return float(quarter * (body - inside - shock["shaft_mm"] ** 2 * fill["closing_insertion_mm"]))


def _left_ml(shock: dict[str, Any]) -> float:
    fill = shock["fill"]
    return float(
        fill["gas_ml"]
        - 0.25e-3 * math.pi * shock["shaft_mm"] ** 2 * (shock["stroke_mm"] - fill["closing_insertion_mm"])
    )


def _air_row(car: str, end: str, celsius: float) -> Row:
    shock = _shock(car, end)

    def expected() -> float:
        t = celsius + 273.15
        density = PropsSI("D", "P", 101325.0, "T", t, "Air") * shock["fill"]["gas_ml"] / _left_ml(shock)
        return 1e-3 * float(PropsSI("P", "D", density, "T", t, "Air"))

    return Row(
        model="fill_check",
        inputs={"shock": shock, "fill_temperature_c": celsius},
        pick="pressure_cold_kpa",
        expected=expected,
        source=f"{AIR}, {celsius:g} C, {car} {end}",
        kind="independent",
        tolerance=4e-4,
        reason="compressibility factor of air between 1 and 2 bar (the same library)",
    )


def _expansion_row(car: str, end: str, hot_c: float) -> Row:
    shock, cold_c = _shock(car, end), 20.0
    warmer = hot_c - cold_c

    def expected() -> float:
        cold, hot = (PropsSI("D", "T", c + 273.15, "P", 101325.0, S800) for c in (cold_c, hot_c))
        return _oil_ml(shock) * float(cold / hot - 1.0)

    return Row(
        model="fill_check",
        inputs={"shock": shock, "fill_temperature_c": cold_c, "run_temperature_c": hot_c},
        pick=lambda answer: answer["spare_cold_ml"] - answer["spare_hot_ml"],
        expected=expected,
        source=f"{SILICONE}, {cold_c:g} to {hot_c:g} C, {car} {end}",
        kind="independent",
        tolerance=(OWN - USED) / OWN + OWN * warmer,
        reason="generic 9.4e-4 against the liquid's own 9.659e-4 per K, and the square of the expansion",
    )


def _hand_row(car: str, end: str, digits: str) -> Row:
    shock = _shock(car, end)
    return Row(
        model="fill_check",
        inputs={"shock": shock},
        pick="oil_ml",
        expected=digits,
        source=HAND,
        kind="common practice",
    )


ROWS = [
    *(_air_row("demo-truck", end, 20.0) for end in ("front", "rear")),
    _air_row("demo-buggy", "rear", 10.0),
    *(_expansion_row("demo-truck", end, 50.0) for end in ("front", "rear")),
    _expansion_row("demo-buggy", "front", 40.0),
    _hand_row("demo-truck", "front", "3.59"),
    _hand_row("demo-truck", "rear", "4.68"),
    _hand_row("demo-buggy", "front", "7.52"),
    _hand_row("demo-buggy", "rear", "9.09"),
]
