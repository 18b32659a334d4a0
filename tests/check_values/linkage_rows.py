"""Check values of the linkage between wheel and shock."""

import math
from typing import Any

import mpmath
from mpmath import mpf

from libdamp.physics.linkage import ArmGeometry
from tests.check_values.table import Row, formula, times
from tests.oracles import triangle, written

TABLE = "law of cosines and finite differences, tests/oracles/triangle.py; printed digits computed beforehand"
# arm 70 mm, lower mount on it at 45 mm, upper mount at radius 62 mm, 68 degrees from an arm at -8 degrees
MOUNT = math.radians(60.0)
ARM = ArmGeometry(70e-3, 45e-3, 0.0, 62e-3 * math.cos(MOUNT), 62e-3 * math.sin(MOUNT))
TRUCK = ArmGeometry(86e-3, 62e-3, 6e-3, 30e-3, 72e-3)


def _travel(theta: float) -> float:
    return 70e-3 * math.sin(math.radians(-8.0) + theta)


def _table_rows(theta: float, length: str, ratio: str) -> list[Row]:
    given = {"travel": _travel(theta), "arm": ARM}
    source = f"{TABLE}, theta = {theta:g}"
    return [
        Row(
            model="physics.linkage.arm_length",
            inputs=given,
            pick=times(1e3),
            expected=length,
            source=source,
            kind="independent",
        ),
        Row(model="physics.linkage.arm_ratio", inputs=given, expected=ratio, source=source, kind="independent"),
        Row(
            model="physics.linkage.arm_ratio_slope",
            inputs=given,
            pick=times(1e-3),
            expected=lambda: float(triangle.ratio_slope(theta)),
            source=source,
            kind="independent",
            tolerance=1e-6,
            reason="nested finite differences at 15 digits",
        ),
    ]


def _rate_rows(theta: float, spring_part: str, force_part: str, whole: str) -> list[Row]:
    from libdamp.physics.linkage import arm_ratio, arm_ratio_slope

    ratio, slope = float(arm_ratio(_travel(theta), ARM)), float(arm_ratio_slope(_travel(theta), ARM))
    force = float(triangle.force(theta))
    parts = (
        ({"spring": 2000.0, "force": 0.0}, spring_part),
        ({"spring": 0.0, "force": force}, force_part),
        ({"spring": 2000.0, "force": force}, whole),
    )
    rows = [
        Row(
            model="physics.linkage.wheel_rate",
            inputs={**given, "gas": 0.0, "ratio": ratio, "ratio_slope": slope},
            pick=times(1e-3),
            expected=digits,
            source=f"{TABLE}, theta = {theta:g}",
            kind="independent",
        )
        for given, digits in parts
    ]
    differences = Row(
        model="physics.linkage.wheel_rate",
        inputs={"spring": 2000.0, "gas": 0.0, "force": force, "ratio": ratio, "ratio_slope": slope},
        pick=times(1e-3),
        expected=lambda: float(triangle.wheel_rate(theta)),
        source=f"{TABLE}: d(wheel force)/dz by finite differences, theta = {theta:g}",
        kind="independent",
        tolerance=1e-6,
        reason="nested finite differences at 15 digits",
    )
    return [*rows, differences]


def _arm(model: str, inputs: dict[str, Any], equation: Any, source: str) -> Row:
    return formula(f"physics.linkage.{model}", inputs, equation, source)


PARABOLA = {"c0": 73.35e-3, "c1": -0.68, "c2": -1.05}
PAIRS = {"travel": [-10e-3, 0.0, 10e-3], "length": [80.05e-3, 73.35e-3, 66.44e-3]}

ROWS = [
    *_table_rows(0.0, "61.47109", "0.6070833"),
    *_table_rows(0.1, "57.20692", "0.6171878"),
    *_table_rows(0.2, "52.84420", "0.6303941"),
    *_table_rows(0.3, "48.40586", "0.6464837"),
    *_rate_rows(0.0, "0.737100", "0.006131", "0.743232"),
    *_rate_rows(0.1, "0.761841", "0.022597", "0.784438"),
    *_rate_rows(0.2, "0.794794", "0.046804", "0.841597"),
    *_rate_rows(0.3, "0.835882", "0.078460", "0.914342"),
    Row(
        model="physics.linkage.wheel_rate",
        inputs={
            "spring": 2.0,
            "gas": 0.0,
            "ratio": 0.7 * math.cos(math.radians(30.0)),
            "force": 0.0,
            "ratio_slope": 0.0,
        },
        expected="0.735",
        source="D. C. Barton & J. D. Fieldhouse, Automotive Chassis Engineering, eqs 3.29-3.33, kw = ks (c/b)^2;"
        " a/r 0.7, shock 30 degrees off: k (a/r)^2 cos^2, number computed apart from the library",
        kind="common practice",
    ),
    _arm("arm_length", {"travel": 12e-3, "arm": TRUCK}, written.arm_length, "geometry of the three points"),
    _arm("arm_ratio", {"travel": 12e-3, "arm": TRUCK}, written.arm_ratio, "-dL/dz by mpmath.diff"),
    _arm("arm_ratio_slope", {"travel": 12e-3, "arm": TRUCK}, written.arm_ratio_slope, "-d2L/dz2 by mpmath.diff"),
    _arm("arm_travel", {"length": 65e-3, "arm": TRUCK}, written.arm_travel, "geometry solved by mpmath.findroot"),
    _arm(
        "parabola_length",
        {"travel": 10e-3, **PARABOLA},
        lambda travel, c0, c1, c2: c0 + c1 * travel + c2 * travel**2,
        "L = c0 + c1 z + c2 z^2",
    ),
    _arm(
        "parabola_travel",
        {"length": 66.445e-3, **PARABOLA},
        lambda length, c0, c1, c2: (-c1 - mpmath.sqrt(c1**2 - 4 * c2 * (c0 - length))) / (2 * c2),
        "quadratic formula",
    ),
    _arm(
        "wheel_rate",
        {"spring": 2000.0, "gas": 12.0, "ratio": 0.617, "force": 13.5, "ratio_slope": 1.67},
        lambda spring, gas, ratio, force, ratio_slope: (spring + gas) * ratio**2 + force * ratio_slope,
        "kw = (k + k_gas) MR^2 + F dMR/dz",
    ),
    *(
        formula(
            "physics.linkage.fit_pairs",
            PAIRS,
            lambda travel, length, power=power: _through_three(travel, length)[power],
            "parabola through three points, Newton's divided differences",
            times(1.0, power),
        )
        for power in range(3)
    ),
]


def _through_three(z: list[mpf], length: list[mpf]) -> tuple[mpf, mpf, mpf]:
    first, second = (length[1] - length[0]) / (z[1] - z[0]), (length[2] - length[1]) / (z[2] - z[1])
    c2 = (second - first) / (z[2] - z[0])
    c1 = first - c2 * (z[0] + z[1])
    return length[0] - c1 * z[0] - c2 * z[0] ** 2, c1, c2
