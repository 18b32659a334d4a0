"""Check values of the piston's load, of the table of retaining washers, of clip, groove and bearing."""

import math
from typing import Any

import mpmath

from libdamp.damping import built
from libdamp.demo import demo_corner, demo_data
from tests.check_values.table import Row, formula
from tests.oracles.piston import loss_of_piston

DIN = "DIN 6799, table as reprinted at beneri.com/en/prodotto/din-6799"
RING = "spec sheet DIN6799-009 of a ring maker (americanring.net), B 11.99 mm"
PRINTED = """
1.2  1.4  2.0 0.30  3.25 0.04  1.5 0.12 0.4 0.06
1.5  2.0  2.5 0.40  4.25 0.07  2.0 0.22 0.6 0.11
1.9  2.5  3.0 0.50  4.80 0.10  2.5 0.35 0.7 0.17
2.3  3.0  4.0 0.60  6.30 0.15  3.0 0.50 0.9 0.24
3.2  4.0  5.0 0.60  7.30 0.22  4.0 0.65 0.9 0.32
4    5.0  7.0 0.70  9.30 0.25  5.0 0.95 1.0 0.47
5    6.0  8.0 0.70 11.30 0.90  7.0 1.15 1.0 0.60
6    7.0  9.0 0.70 12.30 1.10  8.0 1.35 1.1 0.70
7    8.0 11.0 0.90 14.30 1.25  9.0 1.80 1.3 1.00
8    9.0 12.0 1.00 16.30 1.42 10.0 2.50 1.5 1.25
9   10.0 14.0 1.10 18.80 1.60 11.0 3.00 1.6 1.50
10  11.0 15.0 1.20 20.40 1.70 12.0 3.50 1.8 1.75
"""
COLUMNS = ("d2", "d1 min", "d1 max", "s", "d3 max", "FN", "d1 of FN", "FR", "g", "FRg")
LOADS = ("FN", "FR", "FRg")


def _cell(line: int, column: int, digits: str) -> Row:
    """One printed cell, mm; loads in N, to half a newton: the table's kN are whole tens of them."""
    load = COLUMNS[column] in LOADS
    return Row(
        model="physics.fastening.WASHERS",
        inputs={},
        pick=lambda washers: washers[line][column] * (1.0 if load else 1e3),
        expected=f"{1000 * float(digits):.0f}" if load else digits,
        source=f"{DIN}: {COLUMNS[column]} of line {line + 1}",
        kind="published",
    )


TABLE = [
    _cell(i, j, digits)
    for i, line in enumerate(PRINTED.strip().splitlines())
    for j, digits in enumerate(line.split())
]


def _groove(
    rated: Any, shaft: Any, groove: Any, shaft_rated: Any, groove_rated: Any, yield_stress: Any
) -> mpmath.mpf:
    depth, rated_depth = (shaft - groove) / 2, (shaft_rated - groove_rated) / 2
    area, rated_area = shaft**2 - groove**2, shaft_rated**2 - groove_rated**2
    return rated * min(depth / rated_depth, area / rated_area) * yield_stress / 200_000_000


EQUATIONS = [
    formula(
        "physics.fastening.load_from_difference",
        {"pressure_difference": -5e5, "bore_area": 113e-6, "shaft_area": 7e-6},
        lambda pressure_difference, bore_area, shaft_area: abs(pressure_difference) * (bore_area - shaft_area),
        "F = |dp| (A_b - A_s)",
    ),
    *(
        formula(
            "physics.fastening.groove_load",
            {
                "rated": 150.0,
                "shaft": shaft,
                "groove": 2.35e-3,
                "shaft_rated": 3e-3,
                "groove_rated": 2.3e-3,
                "yield_stress": 640e6,
            },
            _groove,
            f"FN min(t/t', A/A') R/200 MPa, shaft {1e3 * shaft:g} mm",
        )
        for shaft in (2.7e-3, 3.7e-3)
    ),
    formula(
        "physics.fastening.ring_load",
        {"shaft": 3e-3, "bearing": 0.6e-3, "strength": 1034e6, "safety": 3.0},
        lambda shaft, bearing, strength, safety: mpmath.pi * shaft * bearing * strength / 3 / safety,
        "P = (1/3) pi B t S/K",
    ),
    formula(
        "physics.fastening.bearing_pressure",
        {"force": 150.0, "outer": 6.3e-3, "hole": 3e-3},
        lambda force, outer, hole: force / (mpmath.mpf("0.75") * mpmath.pi / 4 * (outer**2 - hole**2)),
        "F/(0.75 (pi/4) (d3^2 - d_hole^2))",
    ),
    Row(
        model="physics.fastening.ring_load",
        inputs={"shaft": 11.99e-3, "bearing": 1.50e-3, "strength": 310e6, "safety": 2.0},
        expected="2913",
        source=f"{RING}: groove, depth 1.50 mm, yield stress 310 MPa",
        kind="published",
        tolerance=0.0034,
        reason="the depth is printed to 0.01 mm of 1.50 mm",
    ),
    Row(
        model="physics.fastening.ring_load",
        inputs={"shaft": 11.99e-3, "bearing": 1.09e-3, "strength": 1034e6, "safety": 3.0},
        expected="4719",
        source=f"{RING}: ring in shear, 1.09 mm thick, 1034 MPa",
        kind="published",
        tolerance=0.0047,
        reason="the thickness is printed to 0.01 mm of 1.09 mm",
    ),
]


def _shock(shaft_mm: float = 3.0) -> dict[str, Any]:
    return {**demo_data("demo-truck")["car"]["front"]["shock"], "shaft_mm": shaft_mm}


def _limit(shaft_mm: float, field: str, expected: str, name: str, **more: Any) -> Row:
    return Row(
        model="piston_load",
        inputs={"shock": _shock(shaft_mm), "pressure_difference_kpa": 100, **more},
        pick=field,
        expected=expected,
        source=f"{DIN}: shaft {shaft_mm:g} mm, {name}",
        kind="published",
    )


def _rebound(speed: float) -> Row:
    """Load on the cap side's clip by a root search on the written loss."""

    def expected() -> float:
        b = built(demo_corner("demo-truck.front").shock, 25.0)
        annulus = math.pi / 4.0 * ((12e-3) ** 2 - (3e-3) ** 2)
        return annulus * loss_of_piston(annulus * speed, b.rebound)

    return Row(
        model="piston_load",
        inputs={"shock": _shock(), "speed_m_s": speed},
        pick="rebound_load_n",
        expected=expected,
        source=f"scipy brentq on the written loss, times the ring of 12 and 3 mm, {speed:g} m/s; tests/oracles",
        kind="independent",
        tolerance=1e-11,
        reason="relative tolerance 1e-13 of the root search, a few roundings",
    )


def _void() -> Row:
    """Compression at 2 m/s: the gas of 0.42 ml, closed half in, pressed together by half a stroke of shaft."""
    left = 0.42e-6 - math.pi / 4.0 * (3e-3) ** 2 * 15e-3
    ring = math.pi / 4.0 * ((12e-3) ** 2 - (3e-3) ** 2)
    return Row(
        model="piston_load",
        inputs={"shock": _shock(), "speed_m_s": 2.0},
        pick="compression_load_n",
        expected=lambda: 101325.0 * 0.42e-6 / left * ring,
        source="Boyle's law by hand: p_atm V0/V with the shaft fully in, times the ring of 12 and 3 mm",
        kind="independent",
        tolerance=1e-12,
        reason="a few roundings",
    )


def _bearing(material: str, expected: str, source: str, kind: str) -> Row:
    return Row(
        model="piston_load",
        inputs={"shock": _shock(), "pressure_difference_kpa": 100, "material": material},
        pick="bearing_limit_mpa",
        expected=expected,
        source=source,
        kind=kind,
    )


BEARING = [
    _bearing("pom", "10", "POM, 10 to 15 MPa steady at 23 C (from memory), the low end", "common practice"),
    _bearing(
        "pa66",
        "6.25",
        "polyamide, least yield stress 50 MPa (jfjm100.com), over 8, the largest design factor (plastics.toray)",
        "published",
    ),
    _bearing("aluminium", "55", "6063-T5, least yield stress 110 MPa (from memory), halved", "common practice"),
    Row(
        model="piston_load",
        inputs={"shock": _shock(), "pressure_difference_kpa": 1000},
        pick=lambda answer: answer["bearing_mpa"] * 150.0 / answer["load_n"],
        expected="8.3",
        source="150 N by hand on three quarters of the ring of 6.3 and 3 mm: 150/(0.75 24.1), MPa",
        kind="independent",
    ),
]

CALCULATION = [
    _limit(3.0, "groove_limit_n", "75", "FN 0.15 kN, halved"),
    _limit(3.0, "clip_limit_n", "250", "FR 0.50 kN, halved"),
    _limit(3.0, "clip_limit_n", "120", "FRg 0.24 kN, halved", hole_edge="chamfered"),
    _limit(3.0, "clip_mm", "2.3", "d2"),
    _limit(2.0, "groove_limit_n", "35", "FN 0.07 kN, halved"),
    _limit(4.0, "groove_limit_n", "110", "FN 0.22 kN, halved"),
    _limit(2.5, "groove_limit_n", "50", "FN 0.10 kN, halved"),
    _limit(3.0, "groove_limit_n", "300", "FN 0.15 kN, halved, times 800/200 MPa", yield_mpa=800),
    _rebound(0.05),
    _rebound(1.0),
    _void(),
]

ROWS = [*TABLE, *EQUATIONS, *BEARING, *CALCULATION]
