"""Worked examples of helical springs from textbooks, step by step, and one small spring of our own."""

import math
from collections.abc import Callable
from typing import Any

from libdamp.physics.coil import (
    active_mass,
    bergstraesser_factor,
    helper_deflection,
    shared_force,
    wahl_factor,
    wire_rate,
)
from libdamp.physics.winding import coils_for_rate, force_at_stress, wire_strength
from tests.check_values.table import Row, times

SHIGLEY = "J. E. Shigley, Mechanical Engineering Design, 10th ed., problem 10-3, instructor's solution"
BHANDARI = (
    "V. B. Bhandari, Design of Machine Elements, worked example as computed in FOSSEE Scilab-TBC-Uploads 764/CH10"
)
WENTZELL = "T. H. Wentzell, Machine Design, chapter 8 (tbc-python.fossee.in)"
SURGE = "J. E. Shigley, Mechanical Engineering Design, example 10-4 (from memory)"
OWN = "own arithmetic for a spring of 1.2 mm wire, 14 mm coil, 6 of 8 coils, G 81.5 GPa"
LBF, INCH, POUND = 0.45359237 * 9.80665, 0.0254, 0.45359237
G_BHANDARI = 81.37e9


def _row(
    model: str,
    inputs: Any,
    expected: str,
    source: str,
    pick: Callable[[Any], Any] = float,
    kind: str = "published",
    **more: Any,
) -> Row:
    return Row(
        model=f"physics.{model}", inputs=inputs, pick=pick, expected=expected, source=source, kind=kind, **more
    )


def _wire(wire: float, coil: float, active: float, modulus: float = G_BHANDARI) -> dict[str, float]:
    """Inputs of a rate from mm."""
    return {"wire": wire * 1e-3, "coil": coil * 1e-3, "active": active, "modulus": modulus}


def _to_block() -> dict[str, float]:
    """Problem 10-3 with no step rounded."""
    rate = float(wire_rate(**_wire(2.5, 28.5, 13, 81.0e9)))
    stress = 0.45 * float(wire_strength(2.5e-3, 2211e6, 0.145))
    force = float(force_at_stress(stress, 2.5e-3, 28.5e-3, bergstraesser_factor(11.4)))
    return {"block": 35e-3, "deflection": force / rate, "gaps": 0.0}


def _music_wire(diameter: float = 2.5e-3) -> dict[str, float]:
    return {"wire": diameter, "at_1_mm": 2211e6, "exponent": 0.145}


PROBLEM_10_3 = [
    _row("winding.wire_strength", _music_wire(), "1936", f"{SHIGLEY}: S_ut, MPa", times(1e-6)),
    _row("winding.wire_strength", _music_wire(), "871.2", f"{SHIGLEY}: S_sy = 0.45 S_ut, MPa", times(0.45e-6)),
    _row(
        "winding.force_at_stress",
        {"stress": 871.2e6, "wire": 2.5e-3, "coil": 28.5e-3, "factor": 1.117},
        "167.9",
        f"{SHIGLEY}: force to solid at yield",
    ),
    _row(
        "winding.free_length",
        {"block": 35e-3, "deflection": 167.9 / 1314.0, "gaps": 0.0},
        "162.8",
        f"{SHIGLEY}: L0 from the printed force and rate, mm",
        times(1e3),
    ),
    _row("winding.free_length", _to_block, "162.72", f"{SHIGLEY}: L0, no step rounded", times(1e3), "regression"),
    _row(
        "winding.stability_factor",
        {"modulus_ratio": 79.3 / 207.0},
        "2.63",
        f"{SHIGLEY}: factor of steel (its E 207, G 79.3 GPa from memory)",
    ),
    _row(
        "winding.critical_length",
        {"coil": 28.5e-3, "seating": 0.5, "factor": 2.63},
        "149.9",
        f"{SHIGLEY}: critical free length, mm",
        times(1e3),
    ),
    _row("coil.wahl_factor", {"index": 11.4}, "1.1261", f"{SHIGLEY}: K_W, own arithmetic", kind="regression"),
]

EXAMPLE_10_1 = [
    _row(
        "winding.wire_for_stress",
        lambda: {"force": 1250.0, "index": 6.0, "stress": 0.5 * 1090e6, "factor": wahl_factor(6.0)},
        "6.625083",
        f"{BHANDARI}/EX10.1.b: wire, mm",
        times(1e3),
    ),
    _row(
        "winding.coils_for_rate",
        {"rate": 1250.0 / 30e-3, "wire": 7e-3, "coil": 42e-3, "modulus": G_BHANDARI},
        "8",
        f"{BHANDARI}/EX10.1.b: active coils, rounded up",
        math.ceil,
    ),
    _row(
        "winding.free_length",
        lambda: {"block": 70e-3, "deflection": 1250.0 / wire_rate(**_wire(7, 42, 8)), "gaps": 9e-3},
        "109.337611",
        f"{BHANDARI}/EX10.1.b: free length, mm",
        times(1e3),
    ),
    _row(
        "winding.pitch",
        {"free": 109.337611e-3, "total": 10.0},
        "12.148623",
        f"{BHANDARI}/EX10.1.b: pitch, mm",
        times(1e3),
    ),
    _row("coil.wire_rate", _wire(7, 42, 8), "41.203", "the same, own arithmetic: rate", times(1e-3), "regression"),
    _row(
        "coil.shear_stress",
        {"force": 1250.0, "wire": 7e-3, "coil": 42e-3, "factor": 1.2525},
        "488.18",
        "the same, own arithmetic: stress in the wire of 7 mm, MPa",
        times(1e-6),
        "regression",
    ),
]

EXAMPLE_10_7 = [
    _row(
        "winding.wire_for_stress",
        lambda: {"force": 2400.0 / 8.0, "index": 8.0, "stress": 0.3 * 1390e6, "factor": wahl_factor(8.0)},
        "4.165688",
        f"{BHANDARI}/EX10.7.b: wire of one of eight springs side by side, mm",
        times(1e3),
    ),
    _row(
        "winding.coils_for_rate",
        {"rate": 2400.0 / 8.0 / 15e-3, "wire": 5e-3, "coil": 40e-3, "modulus": G_BHANDARI},
        "4.966431",
        f"{BHANDARI}/EX10.7.b: active coils",
    ),
    _row(
        "winding.free_length",
        lambda: {"block": 35e-3, "deflection": 300.0 / wire_rate(**_wire(5, 40, 5)), "gaps": 6e-3},
        "56.101389",
        f"{BHANDARI}/EX10.7.b: free length, mm",
        times(1e3),
    ),
    _row("winding.pitch", {"free": 57e-3, "total": 7.0}, "9.500000", f"{BHANDARI}/EX10.7.b: pitch, mm", times(1e3)),
    _row("coil.wire_rate", _wire(5, 40, 5), "158.926", "all eight, own arithmetic", times(8e-3), "regression"),
]


def _pair(own: tuple[float, float, float], other: tuple[float, float, float]) -> tuple[float, float]:
    return float(wire_rate(**_wire(*own))), float(wire_rate(**_wire(*other)))


OUTER_18, INNER_18 = (10.0, 80.0, 8.0), (8.0, 64.0, 12.0)
OUTER_19, INNER_19 = (6.0, 36.0, 10.0), (5.0, 30.0, 8.0)


def _share(own: tuple[float, float, float], other: tuple[float, float, float]) -> dict[str, float]:
    one, two = _pair(own, other)
    return {"force": 2000.0, "own": one, "other": two}


def _stress_18(own: tuple[float, float, float], other: tuple[float, float, float]) -> dict[str, Any]:
    force = shared_force(**_share(own, other))
    return {"force": force, "wire": own[0] * 1e-3, "coil": own[1] * 1e-3, "factor": wahl_factor(8.0)}


CONCENTRIC = [
    _row("coil.shared_force", lambda: _share(OUTER_18, INNER_18), "1304.347826", f"{BHANDARI}/EX10.18.b: outer"),
    _row("coil.shared_force", lambda: _share(INNER_18, OUTER_18), "695.652174", f"{BHANDARI}/EX10.18.b: inner"),
    _row(
        "coil.parallel_rate",
        lambda: dict(zip(("one", "other"), _pair(OUTER_18, INNER_18), strict=True)),
        "52.526569",
        f"{BHANDARI}/EX10.18.b: deflection under 2000 N, mm",
        lambda rate: 1e3 * 2000.0 / float(rate),
    ),
    _row(
        "coil.shear_stress",
        lambda: _stress_18(OUTER_18, INNER_18),
        "314.616701",
        f"{BHANDARI}/EX10.18.b: stress in the outer one, MPa",
        times(1e-6),
    ),
    _row(
        "coil.shear_stress",
        lambda: _stress_18(INNER_18, OUTER_18),
        "262.180584",
        f"{BHANDARI}/EX10.18.b: stress in the inner one, MPa",
        times(1e-6),
    ),
    _row("coil.wire_rate", _wire(*OUTER_18), "24.832153", "the same, own arithmetic", times(1e-3), "regression"),
    _row("coil.wire_rate", _wire(*INNER_18), "13.243815", "the same, own arithmetic", times(1e-3), "regression"),
]


def _helper() -> dict[str, float]:
    outer, inner = _pair(OUTER_19, INNER_19)
    return {"force": 1000.0, "main": outer, "helper": inner, "gap": 15e-3}


def _stress_19(inner: bool) -> dict[str, Any]:
    given = _helper()
    way = float(helper_deflection(**given)) - (given["gap"] if inner else 0.0)
    wire, coil, _ = INNER_19 if inner else OUTER_19
    force = given["helper" if inner else "main"] * way
    return {"force": force, "wire": wire * 1e-3, "coil": coil * 1e-3, "factor": wahl_factor(6.0)}


def _pushes(rate: str, less: float) -> Callable[[Any], float]:
    return lambda way: _helper()[rate] * (float(way) - less)


HELPER = [
    _row("coil.helper_deflection", _helper, "24.988839", f"{BHANDARI}/EX10.19.b: outer way, mm", times(1e3)),
    _row(
        "coil.helper_deflection",
        _helper,
        "9.988839",
        f"{BHANDARI}/EX10.19.b: inner way, mm",
        lambda way: 1e3 * (float(way) - 15e-3),
    ),
    _row(
        "coil.helper_deflection",
        _helper,
        "706.021471",
        f"{BHANDARI}/EX10.19.b: outer force",
        _pushes("main", 0.0),
    ),
    _row(
        "coil.helper_deflection",
        _helper,
        "293.978529",
        f"{BHANDARI}/EX10.19.b: inner force",
        _pushes("helper", 15e-3),
    ),
    _row(
        "coil.shear_stress",
        lambda: _stress_19(False),
        "375.305136",
        f"{BHANDARI}/EX10.19.b: stress in the outer one, MPa",
        times(1e-6),
    ),
    _row(
        "coil.shear_stress",
        lambda: _stress_19(True),
        "225.032219",
        f"{BHANDARI}/EX10.19.b: stress in the inner one, MPa",
        times(1e-6),
    ),
    _row("coil.wire_rate", _wire(*OUTER_19), "28.253472", "the same, own arithmetic", times(1e-3), "regression"),
    _row("coil.wire_rate", _wire(*INNER_19), "29.430700", "the same, own arithmetic", times(1e-3), "regression"),
]

INCHES = {"wire": 0.105 * INCH, "coil": 0.620 * INCH, "modulus": 11.85e6 * LBF / INCH**2}
WANTED = {"rate": 35.0 * LBF / (0.5 * INCH), **INCHES}
MUSIC = {"wire": 0.092 * INCH, "coil": (9.0 / 16.0 - 0.092) * INCH, "active": 21.0}
STIFF = {**MUSIC, "modulus": 11.75e6 * LBF / INCH**2}
HEAVY = {**MUSIC, "density": 0.284 * POUND / INCH**3}


def _music() -> dict[str, Any]:
    return {"rate": wire_rate(**STIFF), "mass": active_mass(**HEAVY)}


IN_INCHES = [
    _row(
        "coil.wire_rate",
        lambda: {**INCHES, "active": float(coils_for_rate(**WANTED))},
        "70.00",
        f"{WENTZELL}, example 8.2: 35 lbf at 0.5 in, rate in lbf/in",
        times(INCH / LBF),
    ),
    _row("winding.coils_for_rate", WANTED, "10.79", f"{WENTZELL}, example 8.2, own arithmetic", kind="regression"),
    _row(
        "coil.wahl_factor",
        {"index": 6.25},
        "1.25",
        f"{WENTZELL}, example 8.1: K at D/d = 6.25",
        tolerance=0.01,
        reason="the book reads it off its figure 8.8",
    ),
    _row("coil.wire_rate", STIFF, "48.1", f"{SURGE}: k, lbf/in", times(INCH / LBF)),
    _row("coil.active_mass", HEAVY, "0.0586", f"{SURGE}: W, lbf", times(1.0 / POUND)),
    _row("coil.surge_frequency", _music, "281", f"{SURGE}: lowest natural frequency, Hz"),
]

SMALL = _wire(1.2, 14.0, 6.0, 81.5e9)
INDEX = 14.0 / 1.2


def _own(model: str, inputs: Any, expected: str, name: str, pick: Callable[[Any], Any] = float) -> Row:
    return _row(model, inputs, expected, f"{OWN}: {name}", pick, "regression")


def _at_20_n(factor: Any) -> dict[str, Any]:
    return {"force": 20.0, "wire": 1.2e-3, "coil": 14e-3, "factor": factor(INDEX)}


def _ends(ground: bool) -> dict[str, Any]:
    return {"wire": 1.2e-3, "total": 8.0, "ground": ground}


MOVING = {"wire": 1.2e-3, "coil": 14e-3, "active": 6.0, "density": 7850.0}
OWN_SPRING = [
    _own("coil.wire_rate", SMALL, "1.283090", "rate, N/mm", times(1e-3)),
    _own("coil.wire_rate", SMALL, "7.326635", "rate, lbf/in", times(INCH / LBF)),
    _own("coil.wire_rate", {**SMALL, "modulus": 73.0e9}, "1.149271", "rate with G 73 GPa, N/mm", times(1e-3)),
    _own("coil.wahl_factor", {"index": INDEX}, "1.123027", "K_W"),
    _own("coil.bergstraesser_factor", {"index": INDEX}, "1.114504", "K_B"),
    _own("coil.shear_stress", lambda: _at_20_n(wahl_factor), "463.388", "stress at 20 N, MPa", times(1e-6)),
    _own("coil.shear_stress", lambda: _at_20_n(bergstraesser_factor), "459.871", "with K_B, MPa", times(1e-6)),
    _own("coil.block_length", _ends(True), "9.6", "block length, ground ends, mm", times(1e3)),
    _own("coil.block_length", _ends(False), "11.4", "block length, plain ends, mm", times(1e3)),
    _own("winding.least_gaps", {k: MOVING[k] for k in ("wire", "coil", "active")}, "2.19", "gaps, mm", times(1e3)),
    _own("coil.active_mass", MOVING, "2.34289", "mass of the active coils, g", times(1e3)),
    _own("coil.active_mass", MOVING, "0.78096", "a third of it, g", times(1e3 / 3.0)),
    _own("coil.surge_frequency", {"rate": 1283.0904, "mass": 2.3428862e-3}, "370.018", "surge, Hz"),
    _row(
        "coil.surge_frequency",
        {"rate": 1283.0904, "mass": 2.3428862e-3},
        "370.1416",
        "EN 13906-1 (from memory): 3560 d/(n D^2) sqrt(G/rho) with mm, N/mm2 and kg/dm3, for that spring",
        tolerance=0.0005,
        reason="the constant 3560 is rounded; the units alone give 3558.8",
    ),
]

BOWS = [
    _row(
        "coil.buckling_deflection",
        {"free": free * 1e-3, "coil": 13e-3, "seating": seating, "modulus_ratio": 81.5 / 206.0},
        expected,
        f"own arithmetic: coil 13 mm, E 206, G 81.5 GPa, L0 {free} mm, seating {seating}",
        times(1e3),
        "regression",
    )
    for seating, free, expected in (
        (1.0, 60, "8.4849"),
        (1.0, 80, "6.1010"),
        (1.0, 100, "4.7948"),
        (1.0, 120, "3.9588"),
        (0.5, 70, "41.41"),
        (0.5, 80, "30.1435"),
        (0.5, 100, "21.3880"),
        (0.5, 120, "16.9698"),
    )
]
BOWS.append(
    _row(
        "winding.stability_factor",
        {"modulus_ratio": 81.5 / 206.0},
        "2.5807",
        "own arithmetic: E 206, G 81.5 GPa",
        kind="regression",
    )
)

ROWS = [
    *PROBLEM_10_3,
    *EXAMPLE_10_1,
    *EXAMPLE_10_7,
    *CONCENTRIC,
    *HELPER,
    *IN_INCHES,
    *OWN_SPRING,
    *BOWS,
]
