"""Check values of `equal_fall`: the flight integrated step by step."""

import math

from tests.check_values.table import Row
from tests.oracles.ballistic import normal_landing_speed

G_N = 9.80665


def _jump_row(apex: float, speed: float, degrees: float, field: str) -> Row:
    def expected() -> float:
        square = normal_landing_speed(apex, speed, math.radians(degrees))
        return square if field == "impact_m_s" else 1e3 * square**2 / (2.0 * G_N)

    return Row(
        model="equal_fall",
        inputs={"jump": {"apex_m": apex, "speed_m_s": speed, "landing_deg": degrees}},
        pick=field,
        expected=expected,
        source=f"scipy solve_ivp of the flight, tests/oracles: {apex:g} m, {speed:g} m/s, {degrees:g} deg",
        kind="independent",
        tolerance=2e-8,
        reason="relative tolerance 1e-11 of the integrator, difference of two speeds, squared",
    )


def _hand_row(apex: float, speed: float, degrees: float, digits: str) -> Row:
    return Row(
        model="equal_fall",
        inputs={"jump": {"apex_m": apex, "speed_m_s": speed, "landing_deg": degrees}},
        pick="on_slope_mm",
        expected=digits,
        source="(sqrt(2 g h) cos a - v sin a)^2/(2 g), computed apart from the library, mm",
        kind="common practice",
    )


ROWS = [
    *(
        _jump_row(*case, field)
        for case in ((0.9, 7.0, 20.0), (0.5, 4.0, 0.0), (1.2, 6.0, -8.0), (0.55, 5.5, 18.0))
        for field in ("on_slope_mm", "impact_m_s")
    ),
    _hand_row(0.9, 7.0, 20.0, "123"),
    _hand_row(0.55, 5.5, 18.0, "103"),
    _hand_row(0.35, 4.5, 0.0, "350"),
    _hand_row(1.3, 9.5, 22.0, "64"),
]
