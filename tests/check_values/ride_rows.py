"""Check values of `ride`: a book's quarter car in model size, and the invented truck's figures by hand."""

import math
from typing import Any

import mpmath

from libdamp.demo import demo_data
from tests.check_values.table import Row
from tests.oracles.plain_check import own_build
from tests.oracles.plan_loop import Standing, stand
from tests.oracles.two_mass import eigen_frequencies

SIZE = 10.0
"""Model of the book's car at 1:10 by Froude's law: masses 1/10^3, rates 1/10^2, frequencies x sqrt(10)."""
MASSES_RATES = (317.5, 45.4, 22e3, 192e3)
BARTON = (
    "D. C. Barton & J. D. Fieldhouse, Automotive Chassis Engineering (Springer), p. 209, quarter car of 317.5 kg, "
    "45.4 kg, 22 kN/m, 192 kN/m, brought to 1:10 by Froude's law"
)
HAND = "invented demo truck, {}, computed by hand from the triangle of the mounts, apart from the library"
ROOT = math.sqrt(SIZE)


def quarter_car() -> dict[str, Any]:
    """A corner with motion ratio 1 and a vented cap, so that spring rate is wheel rate."""
    sprung, unsprung, rate, tyre = MASSES_RATES
    shock = demo_data("demo-truck")["car"]["front"]["shock"]
    fill = {"kind": "vented", "room_ml": 5.0, "closing_insertion_mm": 15.0}
    return {
        "corner": {
            "sprung_mass_g": 1e3 * sprung / SIZE**3,
            "unsprung_mass_g": 1e3 * unsprung / SIZE**3,
            "level_clearance_mm": 27,
            "linkage": {"kind": "ratio", "motion_ratio": 1.0, "level_length_mm": 72},
            "tyre": {"rate_n_mm": 1e-3 * tyre / SIZE**2, "damping_n_s_m": 0.0},
            "shock": {**shock, "fill": fill},
            "spring": {"rate_n_mm": 1e-3 * rate / SIZE**2},
        }
    }


def _truck(end: str) -> dict[str, Any]:
    return {"corner": demo_data("demo-truck")["car"][end]}


def _barton_row(field: str, digits: str) -> Row:
    return Row(
        model="ride",
        inputs=quarter_car,
        pick=lambda answer: answer[field] / ROOT,
        expected=digits,
        source=f"{BARTON}: {field} x 1/sqrt(10)",
        kind="published",
    )


def _eigen_row(field: str, index: int) -> Row:
    sprung, unsprung, rate, tyre = MASSES_RATES
    scaled = (sprung / SIZE**3, unsprung / SIZE**3, rate / SIZE**2, tyre / SIZE**2)
    return Row(
        model="ride",
        inputs=quarter_car,
        pick=field,
        expected=lambda: eigen_frequencies(*scaled)[index],
        source="numpy.linalg.eigvals of M^-1 K, tests/oracles, the same quarter car",
        kind="independent",
        tolerance=1e-11,
        reason="one problem, two methods: round-off",
    )


def _hand_row(end: str, path: str, digits: str) -> Row:
    return Row(
        model="ride",
        inputs=lambda: _truck(end),
        pick=path,
        expected=digits,
        source=HAND.format(end),
        kind="common practice",
    )


def _loop_row(end: str, path: str, field: str) -> Row:
    def expected() -> float:
        corner = demo_data("demo-truck")["car"][end]
        at = stand(corner, own_build(corner), 25.0, None)
        assert isinstance(at, Standing)
        return float(getattr(at, field))

    return Row(
        model="ride",
        inputs=lambda: _truck(end),
        pick=path,
        expected=expected,
        source=f"scipy.optimize.brentq and the law of cosines, tests/oracles/plan_loop.py, demo truck, {end}",
        kind="independent",
        tolerance=1e-9,
        reason="one set of formulas, two ways of solving them: round-off",
    )


def _ratio() -> float:
    with mpmath.workdps(30):
        return float(mpmath.mpf(62 * 66 + 6 * 32) / (86 * mpmath.sqrt(mpmath.mpf(32**2 + 66**2))))


ROWS = [
    _barton_row("frequency_with_tyre_hz", "1.25"),
    _barton_row("wheel_hop_hz", "10.9"),
    _eigen_row("frequency_with_tyre_hz", 0),
    _eigen_row("wheel_hop_hz", 1),
    _hand_row("front", "motion_ratio", "0.6791"),
    _hand_row("front", "shock_length_mm", "73.35"),
    _hand_row("front", "shock_force_n", "4.260"),
    _hand_row("front", "spring_force_n", "4.264"),
    _hand_row("front", "gas_force_n", "-0.004"),
    _hand_row("front", "preload_for_level_mm", "0.57"),
    _hand_row("front", "collar_for_level_mm", "21.57"),
    _hand_row("rear", "motion_ratio", "0.6708"),
    _hand_row("rear", "shock_force_n", "7.061"),
    _hand_row("rear", "spring_force_n", "7.037"),
    _hand_row("rear", "preload_for_level_mm", "1.08"),
    _hand_row("rear", "collar_for_level_mm", "23.08"),
    _loop_row("front", "wheel_rate_n_mm", "wheel_rate"),
    _loop_row("front", "frequency_hz", "frequency_hz"),
    _loop_row("front", "damping_ratio_compression", "damping_ratio"),
    _loop_row("rear", "droop_travel_mm", "droop_mm"),
    _loop_row("rear", "bump_travel_mm", "bump_mm"),
    _loop_row("rear", "frequency_hz", "frequency_hz"),
    Row(
        model="ride",
        inputs=lambda: _truck("front"),
        pick="motion_ratio",
        expected=_ratio,
        source="perpendicular over arm, (62 x 66 + 6 x 32)/(73.35 x 86), by mpmath at 30 digits",
        kind="formula",
        tolerance=1e-12,
        reason="the written equation itself, to 12 digits",
    ),
]
