"""Check values of `damping_curve`: the creeping limit, the gap, fast flow, the void."""

import math
from typing import Any

from libdamp.demo import demo_data
from tests.check_values.table import Row
from tests.oracles.annulus import annulus_conductance
from tests.oracles.long_orifice import discharge_coefficient

DAGAN = (
    "Z. Dagan, S. Weinbaum & R. Pfeffer, J. Fluid Mech. 115 (1982) 505-523, creeping flow through a hole of finite "
    "length, dp d/(mu V) = 6 pi + 32 L/d; as force over speed of a whole piston"
)
ANNULAR = "Bird, Stewart & Lightfoot, Transport Phenomena, 2.4, laminar flow in an annulus, exact; tests/oracles"
LONG = "Lichtarowicz, Duggins & Markland, J. Mech. Eng. Sci. 7 (1965) 210-219, Cd by experiment; tests/oracles"
BORE, SHAFT, THICK = 12e-3, 3e-3, 2.4e-3
ANNULUS = math.pi / 4.0 * (BORE**2 - SHAFT**2)
NU, RHO = 325e-6, 970.0


def _shock(holes: str, across: float | None, thickness: float = 2.4) -> dict[str, Any]:
    shock = demo_data("demo-truck")["car"]["front"]["shock"]
    return {
        **shock,
        "piston": {"holes": holes, "thickness_mm": thickness, "diameter_mm": across},
        "oil": {"viscosity_cst": 1e6 * NU, "density_kg_m3": RHO},
    }


def _creeping_row(count: int, diameter_mm: float, thickness_mm: float) -> Row:
    d, thick = diameter_mm * 1e-3, thickness_mm * 1e-3

    def expected() -> float:
        conductance = count * math.pi * d**3 / (4.0 * NU * RHO * (6.0 * math.pi + 32.0 * thick / d))
        return ANNULUS**2 / conductance

    return Row(
        model="damping_curve",
        inputs={"shock": _shock(f"{count}x{diameter_mm}", None, thickness_mm), "speeds_m_s": [0.1]},
        pick="low_speed_compression_n_s_m",
        expected=expected,
        source=f"{DAGAN}: {count} holes of {diameter_mm} mm, {thickness_mm} mm thick",
        kind="published",
        tolerance=0.01,
        reason="the paper states 1 %",
    )


def _gap_row(across_mm: float) -> Row:
    """Holes left aside: conductance of the whole less that without a gap."""

    def pick(answer: Any) -> float:
        return float(answer["leak_share_compression"] * ANNULUS**2 / answer["low_speed_compression_n_s_m"])

    return Row(
        model="damping_curve",
        inputs={"shock": _shock("2x1.1", across_mm), "speeds_m_s": [0.1]},
        pick=pick,
        expected=lambda: annulus_conductance(BORE, across_mm * 1e-3, THICK, NU * RHO),
        source=ANNULAR,
        kind="independent",
        tolerance=0.5 * (BORE - across_mm * 1e-3) / BORE + 0.25 * ((BORE - across_mm * 1e-3) / BORE) ** 2,
        reason="a thin gap taken as a plane slit, e/2 + e^2/4 with e the gap over the radius",
    )


def _fast_row(speed: float) -> Row:
    """Force from the experimental discharge coefficient; holes of L/d 2.18 and share b 0.0168 of the bore."""
    count, d = 2, 1.1e-3
    velocity = speed * ANNULUS / (count * math.pi / 4.0 * d**2)

    def expected() -> float:
        cd = discharge_coefficient(velocity * d / 50e-6, THICK / d)
        return ANNULUS * 0.5 * 930.0 * (velocity / cd) ** 2

    shock = {**_shock("2x1.1", None), "oil": {"viscosity_cst": 50.0, "density_kg_m3": 930.0}}
    return Row(
        model="damping_curve",
        inputs={"shock": shock, "speeds_m_s": [speed]},
        pick="compression_n.0",
        expected=expected,
        source=LONG,
        kind="independent",
        tolerance=0.08,
        reason="the correlation agrees within 4 % in Cd with the fitted loss, so within 8 % in force",
    )


ROWS = [
    _creeping_row(2, 1.7, 2.4),
    _creeping_row(2, 1.1, 2.4),
    _creeping_row(3, 1.3, 3.0),
    _creeping_row(6, 1.0, 4.0),
    _gap_row(11.9),
    _gap_row(11.8),
    *(_fast_row(speed) for speed in (0.05, 0.1, 0.2)),
    Row(
        model="damping_curve",
        inputs={"shock": _shock("2x1.7", None), "speeds_m_s": [0.1], "insertion_mm": 15.0},
        pick="void_force_n",
        expected="10.743",
        source="chamber balance p (A_b - A_s) at one atmosphere, 12 and 3 mm, computed apart from the library",
        kind="common practice",
    ),
]
