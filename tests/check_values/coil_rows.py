"""Check values of springs from their wire and of springs that work together."""

import mpmath

from tests.check_values.table import Row, formula, times

SHIGLEY = "J. E. Shigley, Mechanical Engineering Design, 10th ed., problem 10-3, instructor's solution"
BOOK = (
    "V. B. Bhandari, Design of Machine Elements, worked example as computed in FOSSEE Scilab-TBC-Uploads 764/CH10"
)
WENTZELL = "T. H. Wentzell, Machine Design, example 8.2, p. 163 (tbc-python.fossee.in)"
LBF, INCH = 0.45359237 * 9.80665, 0.0254
G_BOOK = 81.37e9


def _wire(wire: float, coil: float, active: float, modulus: float) -> dict[str, float]:
    return {"wire": wire * 1e-3, "coil": coil * 1e-3, "active": active, "modulus": modulus}


def _published(model: str, inputs: dict[str, object], expected: str, source: str, factor: float = 1.0) -> Row:
    return Row(
        model=f"physics.coil.{model}",
        inputs=inputs,
        pick=times(factor),
        expected=expected,
        source=source,
        kind="published",
    )


def _stress(force: float, wire: float, coil: float) -> dict[str, object]:
    return {"force": force, "wire": wire * 1e-3, "coil": coil * 1e-3, "factor": 31.0 / 28.0 + 0.615 / 8.0}


PUBLISHED = [
    _published("wire_rate", _wire(2.5, 28.5, 13.0, 81.0e9), "1.314", f"{SHIGLEY}: k", 1e-3),
    _published("wire_rate", _wire(5.0, 40.0, 5.0, G_BOOK), "19.865723", f"{BOOK}/EX10.7.b: rate", 1e-3),
    _published("bergstraesser_factor", {"index": 11.4}, "1.117", f"{SHIGLEY}: K_B"),
    _published("wahl_factor", {"index": 6.0}, "1.2525", f"{BOOK}/EX10.1.b: K_W"),
    _published("wahl_factor", {"index": 8.0}, "1.184018", f"{BOOK}/EX10.18: K_W at C = 8"),
    _published("shear_stress", _stress(1304.347826, 10.0, 80.0), "314.61670", f"{BOOK}/EX10.18: outer", 1e-6),
    _published("shear_stress", _stress(695.652174, 8.0, 64.0), "262.18058", f"{BOOK}/EX10.18: inner", 1e-6),
    _published("block_length", {"wire": 2.5e-3, "total": 14.0, "ground": True}, "35", f"{SHIGLEY}: Ls", 1e3),
    _published("block_length", {"wire": 7e-3, "total": 10.0, "ground": True}, "70", f"{BOOK}/EX10.1.b: solid", 1e3),
    _published(
        "helper_force",
        {"deflection": 24.988839e-3, "main": 28253.472, "helper": 29430.7, "gap": 15e-3},
        "1000.00",
        f"{BOOK}/EX10.19: helper spring with a gap of 15 mm",
    ),
    _published(
        "stacked_force",
        {"deflection": 1.0, "soft": 200.0, "stiff": 300.0, "gap": 1e9},
        "120",
        "200 and 300 lbf/in end to end give 120 lbf/in (an off-road magazine's article on stacked springs)",
    ),
    _published(
        "series_rate",
        {"one": 200.0, "other": 300.0},
        "120",
        "200 and 300 lbf/in end to end give 120 lbf/in (an off-road magazine's article on stacked springs)",
    ),
    Row(
        model="physics.coil.surge_frequency",
        inputs={"rate": 48.1 * LBF / INCH, "mass": 0.0586 * 0.45359237},
        expected="281",
        source="Shigley, example 10-4 (from memory): k 48.1 lbf/in, W 0.0586 lbf",
        kind="published",
        tolerance=0.002,
        reason="the example prints rate and weight to three figures",
    ),
]


def _buckling(free: float, coil: float, seating: float, modulus_ratio: float) -> mpmath.mpf:
    softer = 1 - modulus_ratio
    slender = (mpmath.pi * coil / (seating * free)) ** 2
    inner = mpmath.sqrt(1 - softer / (mpmath.mpf("0.5") + modulus_ratio) * slender)
    return free * mpmath.mpf("0.5") / softer * (1 - inner)


def _buckling_by_constants(free: float, coil: float, seating: float, modulus_ratio: mpmath.mpf) -> mpmath.mpf:
    c1 = 1 / (2 * (1 - modulus_ratio))
    c2 = 2 * mpmath.pi**2 * (1 - modulus_ratio) / (2 * modulus_ratio + 1)
    return free * c1 * (1 - mpmath.sqrt(1 - c2 / (seating * free / coil) ** 2))


def _helper_way(force: mpmath.mpf, main: mpmath.mpf, helper: mpmath.mpf, gap: mpmath.mpf) -> mpmath.mpf:
    def excess(way: mpmath.mpf) -> mpmath.mpf:
        return main * way + helper * max(0, way - gap) - force

    return mpmath.findroot(excess, (0, force / main), solver="anderson")


FORMULAS = [
    formula(
        "physics.coil.wire_rate",
        _wire(1.2, 14.0, 6.0, 81.5e9),
        lambda wire, coil, active, modulus: modulus * wire**4 / (8 * coil**3 * active),
        "R = G d^4/(8 D^3 n)",
    ),
    formula(
        "physics.coil.wahl_factor",
        {"index": 11.5},
        lambda index: (4 * index - 1) / (4 * index - 4) + mpmath.mpf("0.615") / index,
        "(4 C - 1)/(4 C - 4) + 0.615/C",
    ),
    formula(
        "physics.coil.bergstraesser_factor",
        {"index": 11.5},
        lambda index: (index + mpmath.mpf("0.5")) / (index - mpmath.mpf("0.75")),
        "EN 13906-1 (from memory): (w + 0.5)/(w - 0.75)",
    ),
    formula(
        "physics.coil.shear_stress",
        {"force": 20.0, "wire": 1.2e-3, "coil": 14e-3, "factor": 1.123},
        lambda force, wire, coil, factor: factor * 8 * force * coil / (mpmath.pi * wire**3),
        "K 8 F D/(pi d^3)",
    ),
    formula(
        "physics.coil.block_length",
        {"wire": 1.2e-3, "total": 8.0, "ground": False},
        lambda wire, total, ground: (total + (0 if ground else mpmath.mpf("1.5"))) * wire,
        "EN 13906-1 (from memory): (n_t + 1.5) d",
    ),
    formula(
        "physics.coil.active_mass",
        {"wire": 1.2e-3, "coil": 14e-3, "active": 6.0, "density": 7850.0},
        lambda wire, coil, active, density: density * mpmath.pi**2 * wire**2 * coil * active / 4,
        "rho pi^2 d^2 D n/4",
    ),
    formula(
        "physics.coil.surge_frequency",
        {"rate": 1283.09, "mass": 2.34289e-3},
        lambda rate, mass: mpmath.sqrt(rate / mass) / 2,
        "(1/2) sqrt(R/m)",
    ),
    formula(
        "physics.coil.buckling_deflection",
        {"free": 80e-3, "coil": 13e-3, "seating": 1.0, "modulus_ratio": 0.395},
        _buckling,
        "EN 13906-1 (from memory)",
    ),
    formula(
        "physics.coil.stacked_force",
        {"deflection": 12e-3, "soft": 1000.0, "stiff": 2000.0, "gap": 6e-3},
        lambda deflection, soft, stiff, gap: soft * gap + stiff * (deflection - gap - soft * gap / stiff),
        "k1 g + k2 (x - g - k1 g/k2) once the soft one is closed",
    ),
    formula(
        "physics.coil.helper_force",
        {"deflection": 20e-3, "main": 1000.0, "helper": 2000.0, "gap": 15e-3},
        lambda deflection, main, helper, gap: main * deflection + helper * (deflection - gap),
        "k1 x + k2 (x - g)",
    ),
    formula(
        "physics.coil.helper_deflection",
        {"force": 1000.0, "main": 28253.0, "helper": 29430.0, "gap": 15e-3},
        _helper_way,
        "k1 x + k2 max(0, x - g) = F by mpmath.findroot, helper touching",
    ),
    formula(
        "physics.coil.helper_deflection",
        {"force": 400.0, "main": 28253.0, "helper": 29430.0, "gap": 15e-3},
        _helper_way,
        "k1 x + k2 max(0, x - g) = F by mpmath.findroot, helper loose",
    ),
    formula(
        "physics.coil.parallel_rate",
        {"one": 380.0, "other": 215.0},
        lambda one, other: one + other,
        "k1 + k2",
    ),
    formula(
        "physics.coil.series_rate",
        {"one": 380.0, "other": 215.0},
        lambda one, other: 1 / (1 / one + 1 / other),
        "1/k = 1/k1 + 1/k2",
    ),
    formula(
        "physics.coil.shared_force",
        {"force": 20.0, "own": 380.0, "other": 215.0},
        lambda force, own, other: own * (force / (own + other)),
        "k1 x with x = F/(k1 + k2)",
    ),
    formula(
        "physics.coil.buckling_deflection",
        {"free": 80e-3, "coil": 13e-3, "seating": 1.0, "modulus_ratio": 0.395},
        _buckling_by_constants,
        "roymech.co.uk: C1 = E/(2 (E - G)), C2 = 2 pi^2 (E - G)/(2 G + E), lambda = alpha L0/D",
    ),
    formula(
        "physics.coil.progressive_deflection",
        {"force": 2 * 7.698542, "coil_rate": 7698.542, "gaps": (0.5e-3, 1e-3, 2e-3, 2e-3, 3e-3, 3e-3)},
        lambda force, coil_rate, gaps: sum(min(force / coil_rate, gap) for gap in gaps),
        "x = sum of min(F/k_c, g_i)",
    ),
]

CALCULATIONS = [
    Row(
        model="spring_from_wire",
        inputs={
            "wire_mm": 2.5,
            "mean_coil_mm": 28.5,
            "active_coils": 13,
            "total_coils": 14,
            "shear_modulus_gpa": 81,
        },
        pick=path,
        expected=expected,
        source=f"{SHIGLEY}: {name}",
        kind="published",
    )
    for path, expected, name in (
        ("rate_n_mm", "1.314", "k"),
        ("block_length_mm", "35", "Ls"),
        ("bergstraesser_factor", "1.117", "K_B"),
    )
] + [
    Row(
        model="spring_from_wire",
        inputs={
            "wire_mm": 0.105 * 25.4,
            "mean_coil_mm": 0.620 * 25.4,
            "active_coils": 10.79,
            "shear_modulus_gpa": 11.85e6 * LBF / INCH**2 * 1e-9,
        },
        pick=lambda answer: answer["rate_n_mm"] * 1e3 / (LBF / INCH),
        expected="70.00",
        source=f"{WENTZELL}: k in lbf/in; its active coils printed to four figures",
        kind="published",
        tolerance=0.0005,
        reason="the example's coils are printed to four figures",
    ),
    Row(
        model="spring_from_wire",
        inputs={"wire_mm": 5, "mean_coil_mm": 40, "active_coils": 5, "shear_modulus_gpa": 81.37},
        pick="rate_n_mm",
        expected="19.865723",
        source=f"{BOOK}/EX10.7.b: rate",
        kind="published",
    ),
]

ROWS = [*PUBLISHED, *FORMULAS, *CALCULATIONS]
