"""The written equations for choosing wire, coils and lengths of a spring."""

import mpmath

from tests.check_values.table import formula

ROWS = [
    formula(
        "physics.winding.wire_strength",
        {"wire": 1.2e-3, "at_1_mm": 2211e6, "exponent": 0.145},
        lambda wire, at_1_mm, exponent: at_1_mm / (1000 * wire) ** exponent,
        "A/d^m with d in mm",
    ),
    formula(
        "physics.winding.wire_for_stress",
        {"force": 20.0, "index": 11.5, "stress": 463e6, "factor": 1.123},
        lambda force, index, stress, factor: mpmath.sqrt(8 * factor * force * index / (mpmath.pi * stress)),
        "K 8 F C/(pi d^2) = stress solved for d",
    ),
    formula(
        "physics.winding.coils_for_rate",
        {"rate": 1283.0, "wire": 1.2e-3, "coil": 14e-3, "modulus": 81.5e9},
        lambda rate, wire, coil, modulus: modulus * wire**4 / (8 * coil**3 * rate),
        "R = G d^4/(8 D^3 n) solved for n",
    ),
    formula(
        "physics.winding.force_at_stress",
        {"stress": 463e6, "wire": 1.2e-3, "coil": 14e-3, "factor": 1.123},
        lambda stress, wire, coil, factor: mpmath.pi * wire**3 * stress / (8 * factor * coil),
        "K 8 F D/(pi d^3) = stress solved for F",
    ),
    formula(
        "physics.winding.free_length",
        {"block": 9.6e-3, "deflection": 18e-3, "gaps": 2.19e-3},
        lambda block, deflection, gaps: block + deflection + gaps,
        "L0 = Lc + s + gaps",
    ),
    formula(
        "physics.winding.pitch",
        {"free": 53e-3, "total": 8.0},
        lambda free, total: free / (total - 1),
        "L0/(n_t - 1)",
    ),
    formula(
        "physics.winding.least_gaps",
        {"wire": 1.2e-3, "coil": 14e-3, "active": 6.0},
        lambda wire, coil, active: active * (mpmath.mpf("0.0015") * coil**2 / wire + mpmath.mpf("0.1") * wire),
        "n (0.0015 D^2/d + 0.1 d)",
    ),
    formula(
        "physics.winding.stability_factor",
        {"modulus_ratio": 0.395},
        lambda modulus_ratio: mpmath.pi * mpmath.sqrt(2 * (1 - modulus_ratio) / (2 * modulus_ratio + 1)),
        "pi sqrt(2 (E - G)/(2 G + E))",
    ),
    formula(
        "physics.winding.critical_length",
        {"coil": 13e-3, "seating": 0.5, "factor": 2.58},
        lambda coil, seating, factor: factor * coil / seating,
        "factor D/alpha",
    ),
]
