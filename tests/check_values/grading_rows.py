"""Check values of `oil_from_label` and `iso_grade`."""

import math
from typing import Any

from scipy.interpolate import make_interp_spline

from tests.check_values.table import Row

TRADE = "common practice of the trade: an owner's table read log-linear, invented values, to the digits shown"
SPLINE = "scipy.interpolate.make_interp_spline of degree 1 through the logarithms"
ISO = "ISO 3448:1992, table of viscosity grades, as copied in a public text"
REMEMBERED = "ISO 3448:1992, the two thickest grades, from memory"

SERIES = ((25.0, 250.0), (30.0, 320.0), (35.0, 400.0))
OTHER = ((40.0, 480.0), (20.0, 200.0), (25.0, 260.0), (35.0, 400.0), (30.0, 320.0))


def _request(label: float, series: tuple[tuple[float, float], ...]) -> dict[str, Any]:
    return {"label_value": label, "table": [{"label_value": wt, "viscosity_cst": cst} for wt, cst in series]}


def _spline_row(label: float, series: tuple[tuple[float, float], ...]) -> Row:
    def expected() -> float:
        labels, viscosities = zip(*sorted(series), strict=True)
        return math.exp(make_interp_spline(labels, [math.log(cst) for cst in viscosities], k=1)(label))

    return Row(
        model="oil_from_label",
        inputs=_request(label, series),
        pick="viscosity_cst",
        expected=expected,
        source=SPLINE,
        kind="independent",
        tolerance=1e-12,
        reason="the same rule worked out by other code",
    )


GRADES = (
    ("2", "2.2", "1.98", "2.42"),
    ("3", "3.2", "2.88", "3.52"),
    ("5", "4.6", "4.14", "5.06"),
    ("7", "6.8", "6.12", "7.48"),
    ("10", "10", "9.00", "11.0"),
    ("15", "15", "13.5", "16.5"),
    ("22", "22", "19.8", "24.2"),
    ("32", "32", "28.8", "35.2"),
    ("46", "46", "41.4", "50.6"),
    ("68", "68", "61.2", "74.8"),
    ("100", "100", "90.0", "110"),
    ("150", "150", "135", "165"),
    ("220", "220", "198", "242"),
    ("320", "320", "288", "352"),
    ("460", "460", "414", "506"),
    ("680", "680", "612", "748"),
    ("1000", "1000", "900", "1100"),
    ("1500", "1500", "1350", "1650"),
    ("2200", "2200", "1980", "2420"),
    ("3200", "3200", "2880", "3520"),
)
"""Grade, middle, lowest and highest, as printed."""


def _grade_rows(grade: str, middle: str, low: str, high: str) -> list[Row]:
    cst = float(middle)
    oil = {
        "viscosity_cst": max(20.0, 6.0 * cst),
        "reference_temperature_c": -20,
        "second_point": {"viscosity_cst": cst, "temperature_c": 40},
    }
    known = int(grade) <= 1500
    return [
        Row(
            model="iso_grade",
            inputs={"oil": oil},
            pick=pick,
            expected=digits,
            source=f"{ISO if known else REMEMBERED}, VG {grade}",
            kind="published" if known else "common practice",
        )
        for pick, digits in (("grade", grade), ("low_cst", low), ("high_cst", high))
    ]


def _between(at_40: float, pick: str, expected: str) -> Row:
    oil = {
        "viscosity_cst": at_40,
        "reference_temperature_c": 40,
        "family": "petroleum",
        "second_point": {"viscosity_cst": 0.12 * at_40, "temperature_c": 100},
    }
    return Row(
        model="iso_grade",
        inputs={"oil": oil},
        pick=pick,
        expected=expected,
        source=f"{ISO}: {at_40:g} mm2/s at 40 C lies in the gap from 50.6 to 61.2",
        kind="published",
    )


ROWS = [
    Row(
        model="oil_from_label",
        inputs=_request(32.5, SERIES),
        pick="viscosity_cst",
        expected="357.8",
        source=TRADE,
        kind="common practice",
    ),
    *(_spline_row(label, SERIES) for label in (25.0, 26.1, 30.0, 32.5, 35.0)),
    *(_spline_row(label, OTHER) for label in (20.0, 22.0, 27.5, 39.0, 40.0)),
    *(row for grade in GRADES for row in _grade_rows(*grade)),
    *(_between(cst, "grade_below", "46") for cst in (50.7, 55.0, 61.1)),
    *(_between(cst, "grade_above", "68") for cst in (50.7, 55.0, 61.1)),
]
