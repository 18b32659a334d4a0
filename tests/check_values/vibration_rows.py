"""Check values of one and two masses."""

import math

import mpmath

from tests.check_values.table import Row, formula, times
from tests.oracles.two_mass import eigen_frequencies, free_decay

RAO = "S. S. Rao, Mechanical Vibrations, example 'shock absorber for a motorcycle' (2.14 in one edition)"
THOMSON = "W. T. Thomson, Theory of Vibration with Applications, example 2.7-1, p. 34 (lb, in, g = 386 in/s2)"
KHURMI = "exercise after R. S. Khurmi, Theory of Machines: m = 8 kg, k = 5400 N/m, c = 40 N s/m"
BARTON = "D. C. Barton & J. D. Fieldhouse, Automotive Chassis Engineering (Springer), p. 209"
JAZAR = "R. N. Jazar, Vehicle Dynamics, quarter car of chapter 15 (from memory)"
TURN = 2.0 * math.pi

QUARTER_CARS = {
    "Barton & Fieldhouse p. 209": (317.5, 45.4, 22e3, 192e3),
    "an active suspension example of a control toolbox": (300.0, 60.0, 16e3, 190e3),
    "golden car of ASTM E1926 per unit mass": (1.0, 0.15, 63.3, 653.0),
    "bus suspension of a control tutorial": (2500.0, 320.0, 80e3, 500e3),
    "Rajamani, Vehicle Dynamics and Control, chapter 10 (from memory)": (250.0, 45.0, 16e3, 160e3),
    "a 1:10 size corner": (0.40, 0.10, 200.0, 4000.0),
}
NAMES = ("sprung", "unsprung", "rate", "tyre_rate")
Q1 = dict(zip(NAMES, (317.5, 45.4, 22e3, 192e3), strict=True))
Q6 = dict(zip(NAMES, (375.0, 75.0, 35e3, 193e3), strict=True))


def _eigen_row(name: str, values: tuple[float, ...], index: int) -> Row:
    return Row(
        model="physics.vibration.two_mass_frequencies",
        inputs=dict(zip(NAMES, values, strict=True)),
        pick=times(1.0, index),
        expected=lambda: eigen_frequencies(*values)[index],
        source=f"numpy.linalg.eigvals of M^-1 K, tests/oracles; parameters: {name}",
        kind="independent",
        tolerance=1e-11,
        reason="one problem, two methods: round-off",
    )


def _published(model: str, inputs: dict[str, float], factor: float, digits: str, source: str) -> Row:
    return Row(
        model=f"physics.vibration.{model}",
        inputs=inputs,
        pick=times(factor),
        expected=digits,
        source=source,
        kind="published",
    )


def _two_mass(inputs: dict[str, float], index: int, factor: float, digits: str, source: str) -> Row:
    return Row(
        model="physics.vibration.two_mass_frequencies",
        inputs=inputs,
        pick=times(factor, index),
        expected=digits,
        source=source,
        kind="published",
    )


ROWS = [
    Row(
        model="physics.vibration.natural_frequency",
        inputs={"rate": 2358.2652, "mass": 200.0},
        pick=lambda frequency: 1.0 / (frequency * math.sqrt(1.0 - 0.4037**2)),
        expected="2.000",
        source=f"{RAO}: printed rate and damping ratio give back the damped period of 2 s",
        kind="published",
    ),
    Row(
        model="physics.vibration.damping_ratio",
        inputs={"damping": 554.4981, "rate": 2358.2652, "mass": 200.0},
        pick=lambda ratio: 554.4981 / ratio,
        expected="1373.54",
        source=f"{RAO}: critical damping, N s/m",
        kind="published",
    ),
    _published(
        "damping_ratio", {"damping": 554.4981, "rate": 2358.2652, "mass": 200.0}, 1.0, "0.4037", f"{RAO}: zeta"
    ),
    _published("natural_frequency", {"rate": 30.0, "mass": 10.0 / 386.0}, TURN, "34.0", f"{THOMSON}: rad/s"),
    _published(
        "damping_ratio", {"damping": 0.12, "rate": 30.0, "mass": 10.0 / 386.0}, 1.0, "0.0681", f"{THOMSON}: zeta"
    ),
    _published("damping_ratio", {"damping": 40.0, "rate": 5400.0, "mass": 8.0}, 1.0, "0.096", f"{KHURMI}: zeta"),
    _two_mass(Q1, 0, 1.0, "1.25", f"{BARTON}: body, Hz"),
    _two_mass(Q1, 1, 1.0, "10.9", f"{BARTON}: wheel, Hz"),
    Row(
        model="physics.vibration.two_mass_frequencies",
        inputs=Q1,
        pick=times(TURN, 0),
        expected="7.87",
        source=f"{BARTON}: body, rad/s",
        kind="published",
        tolerance=0.002,
        reason="the book rounds the quartic to w^4 - 4786 w^2 + 293e3; exact 4782.95 and 293038",
    ),
    Row(
        model="physics.vibration.two_mass_frequencies",
        inputs=Q1,
        pick=times(TURN, 1),
        expected="68.73",
        source=f"{BARTON}: wheel, rad/s",
        kind="published",
        tolerance=0.002,
        reason="the book rounds the quartic to w^4 - 4786 w^2 + 293e3; exact 4782.95 and 293038",
    ),
    _two_mass(Q6, 0, TURN, "8.87", f"{JAZAR}: body, rad/s"),
    _two_mass(Q6, 1, TURN, "55.27", f"{JAZAR}: wheel, rad/s"),
    *(_eigen_row(name, values, index) for name, values in QUARTER_CARS.items() for index in (0, 1)),
    Row(
        model="physics.vibration.natural_frequency",
        inputs={"rate": 189.6, "mass": 0.295},
        expected=lambda: free_decay(5.0, 189.6, 0.295)[0],
        source="numpy.linalg.eigvals of the state matrix, tests/oracles",
        kind="independent",
        tolerance=1e-12,
        reason="one problem, two methods: round-off",
    ),
    Row(
        model="physics.vibration.damping_ratio",
        inputs={"damping": 5.0, "rate": 189.6, "mass": 0.295},
        expected=lambda: free_decay(5.0, 189.6, 0.295)[1],
        source="numpy.linalg.eigvals of the state matrix, tests/oracles",
        kind="independent",
        tolerance=1e-12,
        reason="one problem, two methods: round-off",
    ),
    formula(
        "physics.vibration.natural_frequency",
        {"rate": 189.6, "mass": 0.295},
        lambda rate, mass: mpmath.sqrt(rate / mass) / (2 * mpmath.pi),
        "sqrt(k/m)/(2 pi)",
    ),
    formula(
        "physics.vibration.damping_ratio",
        {"damping": 13.5, "rate": 189.6, "mass": 0.295},
        lambda damping, rate, mass: damping / (2 * mpmath.sqrt(rate * mass)),
        "c/(2 sqrt(k m))",
    ),
    *(
        formula(
            "physics.vibration.two_mass_frequencies",
            dict(zip(NAMES, (0.295, 0.105, 189.6, 1600.0), strict=True)),
            lambda sprung, unsprung, rate, tyre_rate, sign=sign: (
                mpmath.sqrt(
                    _half(sprung, unsprung, rate, tyre_rate)
                    + sign
                    * mpmath.sqrt(
                        _half(sprung, unsprung, rate, tyre_rate) ** 2 - rate * tyre_rate / (sprung * unsprung)
                    )
                )
                / (2 * mpmath.pi)
            ),
            "w^4 - w^2 [(k + kt)/mu + k/ms] + k kt/(ms mu) = 0",
            times(1.0, index),
        )
        for index, sign in enumerate((-1, 1))
    ),
]


def _half(sprung: mpmath.mpf, unsprung: mpmath.mpf, rate: mpmath.mpf, tyre_rate: mpmath.mpf) -> mpmath.mpf:
    return ((rate + tyre_rate) / unsprung + rate / sprung) / 2
