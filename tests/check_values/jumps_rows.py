"""Check values of landings."""

import math

import mpmath
import scipy.constants
from mpmath import mpf

from tests.check_values.table import Row, formula, times
from tests.oracles.ballistic import normal_landing_speed

ELEMENTARY = "v = sqrt(2 g h) of any mechanics text with g = 9.80665 m/s2, table computed apart from the library"
GRAVITY = mpf("9.80665")
SLOPE = math.radians(20.0)


def _ballistic_row(apex: float, speed: float, degrees: float) -> Row:
    return Row(
        model="physics.contact.landing_speed",
        inputs={"apex": apex, "speed": speed, "slope": math.radians(degrees)},
        expected=lambda: normal_landing_speed(apex, speed, math.radians(degrees)),
        source=f"scipy solve_ivp of the flight, tests/oracles: {apex:g} m, {speed:g} m/s, {degrees:g} deg",
        kind="independent",
        tolerance=1e-8,
        reason="relative tolerance 1e-11 of the integrator, difference of two speeds",
    )


ROWS = [
    *(_ballistic_row(*case) for case in ((0.9, 7.0, 20.0), (0.5, 4.0, 0.0), (1.2, 6.0, -8.0), (0.1, 8.0, 30.0))),
    *(
        Row(
            model="physics.contact.landing_speed",
            inputs={"apex": height, "speed": 3.0, "slope": 0.0},
            expected=digits,
            source=ELEMENTARY,
            kind="common practice",
        )
        for height, digits in (
            (0.1, "1.40047"),
            (0.25, "2.21435"),
            (0.5, "3.13156"),
            (1.0, "4.42869"),
            (2.0, "6.26311"),
        )
    ),
    Row(
        model="physics.contact.fall_height",
        inputs={"speed": 1.40047},
        expected="0.10000",
        source=ELEMENTARY,
        kind="common practice",
    ),
    Row(
        model="physics.contact.fall_height",
        inputs=lambda: {"speed": normal_landing_speed(0.9, 7.0, SLOPE)},
        pick=times(1e3),
        expected="123",
        source="equal flat fall in mm of a jump 0.90 m high at 7 m/s onto 20 degrees; flight by scipy solve_ivp",
        kind="independent",
    ),
    Row(
        model="physics.contact.fall_height",
        inputs={"speed": 2.0},
        expected=lambda: 2.0 / scipy.constants.g,
        source="v^2/(2 g) with scipy.constants.g",
        kind="independent",
        tolerance=1e-15,
        reason="round-off",
    ),
    formula(
        "physics.contact.landing_speed",
        {"apex": 0.9, "speed": 7.0, "slope": 0.35},
        lambda apex, speed, slope: mpmath.sqrt(2 * GRAVITY * apex) * mpmath.cos(slope) - speed * mpmath.sin(slope),
        "sqrt(2 g h) cos a - v sin a",
    ),
    formula("physics.contact.fall_height", {"speed": 1.554}, lambda speed: speed**2 / (2 * GRAVITY), "v^2/(2 g)"),
]
