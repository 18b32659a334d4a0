"""Check values of the ground under a wheel."""

import mpmath
import numpy as np

from libdamp.physics.road import Waves
from tests.check_values.table import Row, formula

WAVES = Waves(np.array([2e-3, 1e-3]), np.array([4.0, 5.5]), np.array([0.3, 1.1]))


def _washboard(way: mpmath.mpf, height: mpmath.mpf, spacing: mpmath.mpf) -> mpmath.mpf:
    return height / 2 * mpmath.sin(2 * mpmath.pi * way / spacing)


def _rise(way: mpmath.mpf, height: mpmath.mpf, length: mpmath.mpf) -> mpmath.mpf:
    return height * (1 - mpmath.cos(mpmath.pi * way / length)) / 2


def _profile(way: float) -> mpmath.mpf:
    return mpmath.fsum(
        a * mpmath.cos(2 * mpmath.pi * n * way + phase)
        for a, n, phase in zip(*(list(map(mpmath.mpf, row)) for row in WAVES), strict=True)
    )


ROWS = [
    formula(
        "physics.road.washboard",
        {"way": 0.03, "height": 0.004, "spacing": 0.15},
        _washboard,
        "(H/2) sin(2 pi s/L)",
        pick=lambda answer: float(answer[0]),
    ),
    formula(
        "physics.road.washboard",
        {"way": 0.03, "height": 0.004, "spacing": 0.15},
        lambda way, height, spacing: mpmath.diff(lambda s: _washboard(s, height, spacing), way),
        "derivative of (H/2) sin(2 pi s/L)",
        pick=lambda answer: float(answer[1]),
    ),
    formula(
        "physics.road.rise",
        {"way": 0.03, "height": 0.012, "length": 0.08},
        _rise,
        "H (1 - cos(pi s/L))/2",
        pick=lambda answer: float(answer[0]),
    ),
    formula(
        "physics.road.rise",
        {"way": 0.03, "height": 0.012, "length": 0.08},
        lambda way, height, length: mpmath.diff(lambda s: _rise(s, height, length), way),
        "derivative of H (1 - cos(pi s/L))/2",
        pick=lambda answer: float(answer[1]),
    ),
    Row(
        model="physics.road.road_profile",
        inputs={"way": 0.07, "waves": WAVES},
        pick=lambda answer: float(answer[0]),
        expected=lambda: float(_profile(0.07)),
        source="sum of a cos(2 pi n s + phase), evaluated by mpmath",
        kind="formula",
        tolerance=1e-12,
        reason="the written equation itself, to 12 digits",
    ),
    Row(
        model="physics.road.road_profile",
        inputs={"way": 0.07, "waves": WAVES},
        pick=lambda answer: float(answer[1]),
        expected=lambda: float(mpmath.diff(_profile, mpmath.mpf("0.07"))),
        source="derivative of the sum by mpmath",
        kind="formula",
        tolerance=1e-12,
        reason="the written equation itself, to 12 digits",
    ),
    Row(
        model="physics.road.road_waves",
        inputs={"height": 0.01, "longest": 0.5},
        pick=lambda waves: float((waves.amplitude[0] / waves.amplitude[16]) ** 2),
        expected="4",
        source="ISO 8608: the displacement spectrum falls with the square of the wave number, G(n)/G(2 n) = 4",
        kind="published",
        tolerance=1e-12,
        reason="amplitudes are set from the law",
    ),
    Row(
        model="physics.road.road_waves",
        inputs={"height": 0.01, "longest": 0.5},
        pick=lambda waves: float(1.0 / waves.number[0]),
        expected=lambda: 0.5,
        source="the longest wave is the one asked for: 1/n = 0.5 m",
        kind="formula",
        tolerance=1e-12,
        reason="the written equation itself, to 12 digits",
    ),
]
