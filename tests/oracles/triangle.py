"""The table of a swinging arm with a spring, by the law of cosines and finite differences.

Pivot O, lower mount at radius a on the arm, upper mount at radius b, angle beta between them; wheel at radius
r, arm at angle phi to the ground. l^2 = a^2 + b^2 - 2 a b cos beta; wheel travel r sin phi. Lengths in mm,
forces in N. Written with angles only, where the library works with coordinates.
"""

import mpmath
from mpmath import mpf

A, B, R = mpf(45), mpf(62), mpf(70)
BETA = mpmath.radians(68)
PHI = mpmath.radians(-8)
RATE, PRELOAD = mpf(2), mpf(5)


def shock_length(theta: float) -> mpf:
    """Length at an arm turned by theta."""
    return mpmath.sqrt(A**2 + B**2 - 2 * A * B * mpmath.cos(BETA - theta))


def travel(theta: float) -> mpf:
    """Height of the wheel over the level arm."""
    return R * mpmath.sin(PHI + theta)


def motion_ratio(theta: float) -> mpf:
    """-dl/dz by central differences of both over the arm's turn."""
    return -mpmath.diff(shock_length, theta) / mpmath.diff(travel, theta)


def force(theta: float) -> mpf:
    """Spring force with its preload at theta = 0."""
    return PRELOAD + RATE * (shock_length(0) - shock_length(theta))


def wheel_force(theta: float) -> mpf:
    """Force at the wheel."""
    return force(theta) * motion_ratio(theta)


def wheel_rate(theta: float) -> mpf:
    """d(wheel force)/dz by finite differences."""
    return mpmath.diff(wheel_force, theta) / mpmath.diff(travel, theta)


def ratio_slope(theta: float) -> mpf:
    """d(motion ratio)/dz by finite differences."""
    return mpmath.diff(motion_ratio, theta) / mpmath.diff(travel, theta)
