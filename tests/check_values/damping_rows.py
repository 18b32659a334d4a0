"""Check values of `damping_curve`: the creeping limit, the gap, fast flow, the void."""

import math
from typing import Any

import mpmath
from mpmath import mpf

from libdamp.demo import demo_data
from libdamp.physics.orifice import Hole, Passages
from tests.check_values.table import Row
from tests.oracles.annulus import annulus_conductance
from tests.oracles.long_orifice import discharge_coefficient
from tests.oracles.piston import loss_of_piston

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


def _worn_row(diameter_mm: str, gap_mm: str) -> Row:
    """Share that leaks around a centred piston of 2.4 mm with two holes, as the gap wears."""

    def expected() -> float:
        with mpmath.workdps(30):
            d, c, bore, thick = (mpf(length) for length in (diameter_mm, gap_mm, "12", "2.4"))
            bracket = mpf("18.56") - mpf("6.6") * (2 * (d / bore) ** 2) ** mpf("1.5") + 32 * thick / d
            holes = 2 * mpmath.pi * d**3 / (4 * bracket)
            around = mpmath.pi * bore * c**3 / (12 * thick)
            return float(around / (around + holes))

    return Row(
        model="damping_curve",
        inputs={"shock": _shock(f"2x{diameter_mm}", 12.0 - 2.0 * float(gap_mm)), "speeds_m_s": [0.1]},
        pick="leak_share_compression",
        expected=expected,
        source=f"slit flow beside creeping flow, 2 holes of {diameter_mm} mm, gap {gap_mm} mm, mpmath, 30 digits",
        kind="formula",
        tolerance=1e-12,
        reason="the written equation itself, to 12 digits",
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


def _thinning_row(speed: float) -> Row:
    """Two kinds of holes, a gap and an oil that thins: force from parallel paths, by a general root-finder."""
    law = (2e-5, 0.6, 0.1)
    names = ("relaxation_time_s", "power_index", "floor_share")
    shock = _shock("2x1.7+3x1.0", 11.9)
    shock["oil"] = {**shock["oil"], "thinning": dict(zip(names, law, strict=True))}

    def expected() -> float:
        share = (2 * 1.7**2 + 3 * 1.0**2) / (1e3 * BORE) ** 2
        holes = tuple(Hole(d, THICK, NU * RHO, RHO, share, 1.0, *law) for d in (1.7e-3, 1.0e-3))
        gap = math.pi * BORE * (0.05e-3) ** 3 / (12.0 * NU * RHO * THICK)
        return ANNULUS * loss_of_piston(ANNULUS * speed, Passages(holes, (2.0, 3.0), gap))

    return Row(
        model="damping_curve",
        inputs={"shock": shock, "speeds_m_s": [speed]},
        pick="compression_n.0",
        expected=expected,
        source="holes' loss with Carreau's viscosity in plain floats, scipy.optimize.brentq, tests/oracles",
        kind="independent",
        tolerance=1e-9,
        reason="one equation, two root-finders: round-off",
    )


ROWS = [
    *(_thinning_row(speed) for speed in (0.01, 0.1, 1.0)),
    _creeping_row(2, 1.7, 2.4),
    _creeping_row(2, 1.1, 2.4),
    _creeping_row(3, 1.3, 3.0),
    _creeping_row(6, 1.0, 4.0),
    _gap_row(11.9),
    _gap_row(11.8),
    *(_fast_row(speed) for speed in (0.05, 0.1, 0.2)),
    *(_worn_row(diameter, gap) for diameter in ("1.7", "1.1") for gap in ("0.05", "0.15", "0.20")),
    Row(
        model="damping_curve",
        inputs={"shock": _shock("2x1.7", None), "speeds_m_s": [0.1], "insertion_mm": 15.0},
        pick="void_force_n",
        expected="10.743",
        source="chamber balance p (A_b - A_s) at one atmosphere, 12 and 3 mm, computed apart from the library",
        kind="common practice",
    ),
]
