"""Check values of springs on a shock."""

from typing import Any

import mpmath

from tests.check_values.table import Row, formula, times

SHIGLEY = "J. E. Shigley, Mechanical Engineering Design, 10th ed., problem 10-3, instructor's solution"
BOOK = "V. B. Bhandari, Design of Machine Elements, worked example as computed in FOSSEE Scilab-TBC-Uploads 764"
MODULUS = 81370.0


def _rate(wire: float, coil: float, coils: float) -> float:
    """G d^4/(8 D^3 n) in N/mm."""
    return MODULUS * wire**4 / (8.0 * coil**3 * coils)


def _side_by_side() -> dict[str, float]:
    outer, inner = _rate(10.0, 80.0, 8.0), _rate(8.0, 64.0, 12.0)
    return {"outer": outer, "inner": inner, "deflection": 2000.0 / (outer + inner)}


def _helper() -> dict[str, float]:
    outer, inner = _rate(6.0, 36.0, 10.0), _rate(5.0, 30.0, 8.0)
    return {"outer": outer, "inner": inner, "deflection": (1000.0 + 15.0 * inner) / (outer + inner)}


def _force_row(name: str, case: Any, less: float, digits: str, example: str) -> Row:
    values = case()
    return Row(
        model="physics.spring.spring_force",
        inputs={"rate": 1e3 * values[name], "compression": 1e-3 * (values["deflection"] - less)},
        expected=digits,
        source=f"{BOOK}/CH10/{example}, force of the {name} spring",
        kind="published",
    )


ROWS = [
    Row(
        model="physics.spring.spring_force",
        inputs={"rate": 1314.0, "compression": 162.8e-3 - 35e-3},
        expected="167.9",
        source=f"{SHIGLEY}: rate 1.314 N/mm from 162.8 mm free to 35 mm solid",
        kind="published",
    ),
    _force_row("outer", _side_by_side, 0.0, "1304.347826", "EX10.18"),
    _force_row("inner", _side_by_side, 0.0, "695.652174", "EX10.18"),
    _force_row("outer", _helper, 0.0, "706.021471", "EX10.19"),
    _force_row("inner", _helper, 15.0, "293.978529", "EX10.19"),
    Row(
        model="physics.spring.spring_compression",
        inputs=lambda: {"preload": -15e-3, "insertion": 1e-3 * _helper()["deflection"], "limiter": 0.0},
        pick=times(1e3),
        expected="9.988839",
        source=f"{BOOK}/CH10/EX10.19: a helper spring with a gap of 15 mm is a preload of -15 mm",
        kind="published",
    ),
    formula(
        "physics.spring.spring_compression",
        {"preload": 0.57e-3, "insertion": 14.65e-3, "limiter": 4e-3},
        lambda preload, insertion, limiter: preload + insertion - limiter,
        "s = s0 + x - x_limiter",
    ),
    formula(
        "physics.spring.spring_force",
        {"rate": 380.0, "compression": 11.22e-3},
        lambda rate, compression: rate * compression,
        "F = R s",
    ),
    formula(
        "physics.spring.spring_rate",
        {"rate": 380.0, "compression": 11.22e-3},
        lambda rate, compression: mpmath.diff(lambda s: rate * s, compression),
        "derivative of R s by mpmath.diff",
    ),
]
