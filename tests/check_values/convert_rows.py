"""Check values of `convert`: printed factors of NIST, exact constants of scipy."""

from collections.abc import Callable

import scipy.constants as c

from tests.check_values.table import Row

NIST = "NIST SP 811, appendix B.8 (printed digits from memory)"
EXACT = "scipy.constants (CODATA and the definitions of 1959), quotient of exact factors"


def _printed(text: str, to: str, digits: str) -> Row:
    return Row(
        model="convert",
        inputs={"value": text, "to": to},
        pick="value",
        expected=digits,
        source=f"{NIST}: {text} in {to}",
        kind="published",
    )


def _exact(text: str, to: str, expected: Callable[[], float]) -> Row:
    return Row(
        model="convert",
        inputs={"value": text, "to": to},
        pick="value",
        expected=expected,
        source=f"{EXACT}: {text} in {to}",
        kind="independent",
        tolerance=1e-15,
        reason="round-off of one quotient",
    )


ROWS = [
    _printed("1 lbf/in", "N/m", "175.1268"),
    _printed("1 lbf/ft", "N/m", "14.59390"),
    _printed("1 lbf", "N", "4.448222"),
    _printed("1 kgf", "N", "9.80665"),
    _printed("1 psi", "kPa", "6.894757"),
    _exact("4 lbf/in", "N/mm", lambda: 4e-3 * c.lbf / c.inch),
    _exact("38 gf/mm", "lbf/in", lambda: 38.0 * 1e-3 * c.g / 1e-3 / (c.lbf / c.inch)),
    _exact("1 kgf/mm", "N/m", lambda: c.kgf / 1e-3),
    _exact("0,05 in", "mm", lambda: 0.05 * c.inch / 1e-3),
    _exact("3 ozf/in", "N/m", lambda: 3.0 * c.lbf / 16.0 / c.inch),
    _exact("2 atm", "kPa", lambda: 2e-3 * c.atm),
    _exact("90 F", "C", lambda: c.convert_temperature(90.0, "F", "C")),
    Row(
        model="convert",
        inputs={"value": "38.0 gf/mm", "to": "lbf/in"},
        pick="value",
        expected="2.128",
        source="a spring label of 38 gf/mm in lbf/in, computed apart from the library",
        kind="common practice",
    ),
    Row(
        model="convert",
        inputs={"value": 1, "unit": "lbf/in", "to": "N/m"},
        pick="value",
        expected=lambda: float(8896443230521 / 50800000000),
        source="0.45359237 x 9.80665/0.0254 as an exact fraction",
        kind="formula",
        tolerance=1e-15,
        reason="the definitions themselves",
    ),
]
