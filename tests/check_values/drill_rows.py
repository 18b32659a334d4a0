"""Check values of drills and of the walls that holes leave."""

from typing import Any

import mpmath
from mpmath import mpf

from libdamp.physics.drills import METRIC_MM
from tests.check_values.table import Row, formula

METRIC = "drill sizes of BS 328 and ISO 235, preferred steps, as tabulated in a public list of drill sizes"
NUMBER = "ASME B94.11M number drills, public-domain table, version 2 of 2007-02-12 (80 to 47 seen)"
LARGER = "ASME B94.11M number drills, from memory, equal to two public transcriptions of the table"


def _words(text: str) -> list[str]:
    return text.split()


SMALL_MM = _words(
    "0.20 0.22 0.25 0.28 0.30 0.32 0.35 0.38 0.40 0.42 0.45 0.48 0.50 0.52 0.55 0.58 0.60 0.62 0.65 0.68 0.70 "
    "0.72 0.75 0.78 0.80 0.82 0.85 0.88 0.90 0.92 0.95 0.98 1.00 1.05 1.10 1.15 1.20 1.25 1.30 1.35 1.40 1.45 "
    "1.50 1.55 1.60 1.65 1.70 1.75 1.80 1.85 1.90 1.95 2.00 2.05 2.10 2.15 2.20 2.25 2.30 2.35 2.40 2.45 2.50 "
    "2.55 2.60 2.65 2.70 2.75 2.80 2.85 2.90 2.95 3.00 3.10 3.20 3.30 3.40 3.50 3.60 3.70 3.80 3.90 4.00 4.10 "
    "4.20 4.30 4.40 4.50 4.60 4.70 4.80 4.90 5.00"
)
INCHES = _words(
    "80 .0135 79 .0145 78 .0160 77 .0180 76 .0200 75 .0210 74 .0225 73 .0240 72 .0250 71 .0260 70 .0280 69 .0292 "
    "68 .0310 67 .0320 66 .0330 65 .0350 64 .0360 63 .0370 62 .0380 61 .0390 60 .0400 59 .0410 58 .0420 57 .0430 "
    "56 .0465 55 .0520 54 .0550 53 .0595 52 .0635 51 .0670 50 .0700 49 .0730 48 .0760 47 .0785 46 .0810 45 .0820 "
    "44 .0860 43 .0890 42 .0935 41 .0960 40 .0980 39 .0995 38 .1015 37 .1040 36 .1065 35 .1100 34 .1110 33 .1130 "
    "32 .1160 31 .1200 30 .1285 29 .1360 28 .1405 27 .1440 26 .1470 25 .1495 24 .1520 23 .1540 22 .1570 21 .1590 "
    "20 .1610 19 .1660 18 .1695 17 .1730 16 .1770 15 .1800 14 .1820 13 .1850 12 .1890 11 .1910 10 .1935 9 .1960 "
    "8 .1990"
)
PISTON = {"piston": 11.9e-3, "circle": 7.4e-3, "hole": 1.7e-3}


def _metric_row(place: int, digits: str) -> Row:
    return Row(
        model="physics.drills.METRIC_MM",
        inputs={},
        pick=str(place),
        expected=digits,
        source=f"{METRIC}, {digits} mm",
        kind="published",
    )


def _number_row(number: str, digits: str) -> Row:
    return Row(
        model="physics.drills.NUMBER_INCH",
        inputs={},
        pick=number,
        expected=digits,
        source=f"{NUMBER if int(number) >= 47 else LARGER}, No. {number}",
        kind="published",
    )


def _millimetre_row(number: int, digits: str) -> Row:
    """Diameters as the table prints them in millimetres."""
    return Row(
        model="physics.drills.NUMBER_INCH",
        inputs={},
        pick=lambda table: 25.4 * table[number],
        expected=digits,
        source=f"{NUMBER}, No. {number} in millimetres",
        kind="published",
    )


def _chord(circle: Any, count: Any, hole: Any) -> Any:
    """Distance between two neighbours' centres by their places in the plane, less the diameter."""
    angle = 2 * mpmath.pi / count
    across = mpmath.sqrt((circle / 2 * (1 - mpmath.cos(angle))) ** 2 + (circle / 2 * mpmath.sin(angle)) ** 2)
    return across - hole


def _nearest(wanted: Any, sizes: Any) -> Any:
    return mpf(min(range(len(sizes)), key=lambda place: abs(sizes[place] - wanted)))


ROWS = [
    *(_metric_row(place, digits) for place, digits in enumerate(SMALL_MM)),
    *(_number_row(number, digits) for number, digits in zip(INCHES[::2], INCHES[1::2], strict=True)),
    _millimetre_row(80, "0.3429"),
    _millimetre_row(60, "1.0160"),
    _millimetre_row(56, "1.1811"),
    _millimetre_row(47, "1.9939"),
    Row(
        model="physics.drills.LEAST_WALL",
        inputs={},
        expected="0.000800",
        source="walls of hand-drilled plastic pistons, from memory",
        kind="common practice",
    ),
    formula(
        "physics.drills.nearest_size", {"wanted": 1.806, "sizes": METRIC_MM}, _nearest, "least |size - wanted|"
    ),
    formula("physics.drills.nearest_size", {"wanted": 0.67, "sizes": METRIC_MM}, _nearest, "least |size - wanted|"),
    formula(
        "physics.drills.rim_wall", PISTON, lambda piston, circle, hole: (piston - circle - hole) / 2, "geometry"
    ),
    formula(
        "physics.drills.shaft_wall",
        {"circle": 7.4e-3, "shaft": 3e-3, "hole": 1.7e-3},
        lambda circle, shaft, hole: (circle - shaft - hole) / 2,
        "geometry",
    ),
    formula("physics.drills.hole_wall", {"circle": 7.4e-3, "count": 4.0, "hole": 1.7e-3}, _chord, "two points"),
    formula("physics.drills.hole_wall", {"circle": 9.1e-3, "count": 7.0, "hole": 1.1e-3}, _chord, "two points"),
]
