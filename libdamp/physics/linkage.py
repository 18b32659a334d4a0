"""Shock length over wheel travel: a swinging arm, measured pairs, a fixed ratio.

z is the travel of the wheel from level arms, bump positive; L the shock's length eye to eye;
MR = dx/dz = -dL/dz the motion ratio (x grows as L shrinks).

Sources
-------
[1] Plane geometry of a triangle: hinge pin, lower mount, upper mount.
[2] D. C. Barton & J. D. Fieldhouse, Automotive Chassis Engineering (Springer), eqs 3.29-3.33: wheel rate from
    spring rate; the term F dMR/dz from Milliken & Milliken, Race Car Vehicle Dynamics, ch. 16 (from memory).
[3] Least squares through measured rows (any statistics text).
"""

from typing import NamedTuple

import numpy as np

from .numbers import Array, Real


class ArmGeometry(NamedTuple):
    """Front view of a swinging arm, origin at its inner hinge pin; each a float or an array [m]."""

    arm: Real  # inner hinge pin to outer pin
    along: Real  # lower mount, along the arm
    above: Real  # lower mount, square to the arm, up
    out: Real  # upper mount, outward
    up: Real  # upper mount, upward


def arm_length(travel: Real, arm: ArmGeometry) -> Array:
    """Shock length at a wheel travel.

    Symbols: travel: any shape, z [m]; arm: lengths [m]. Returns [m], broadcast shape.
    Raises: nothing; travel beyond the arm's own length gives not-a-number.
    Validity: rigid, plane, shock within the car's front view.
    Source: [1]; lower mount (a cos t - b sin t, a sin t + b cos t), z = arm sin t.

    >>> float(arm_length(0.0, ArmGeometry(86e-3, 62e-3, 6e-3, 30e-3, 72e-3)) * 1e3)
    73.348
    """
    x, y, _, _ = _strut(travel, arm)
    return np.asarray(np.hypot(x, y))


def arm_ratio(travel: Real, arm: ArmGeometry) -> Array:
    """Motion ratio at a wheel travel.

    Symbols: travel: any shape, z [m]; arm: lengths [m]. Returns [1], broadcast shape.
    Raises: nothing; mounts in one place give not-a-number.
    Validity: as `arm_length`.
    Source: [1] differentiated; MR = (perpendicular from the hinge pin to the shock)/(arm cos t).

    >>> float(arm_ratio(0.0, ArmGeometry(86e-3, 62e-3, 6e-3, 30e-3, 72e-3)))
    0.67914
    """
    x, y, sine, cosine = _strut(travel, arm)
    return np.asarray(_swing(x, y, sine, cosine, arm) / (arm.arm * cosine))


def arm_ratio_slope(travel: Real, arm: ArmGeometry) -> Array:
    """Derivative of the motion ratio with respect to wheel travel.

    Symbols: travel: any shape, z [m]; arm: lengths [m]. Returns [1/m], broadcast shape.
    Raises: nothing.
    Validity: as `arm_length`.
    Source: [1] differentiated twice.

    >>> float(arm_ratio_slope(0.0, ArmGeometry(86e-3, 62e-3, 6e-3, 30e-3, 72e-3)) / 1e3)
    0.002063
    """
    x, y, sine, cosine = _strut(travel, arm)
    length = np.hypot(x, y)
    swing = _swing(x, y, sine, cosine, arm)  # s = -dL/dt
    mount = np.square(arm.along) + np.square(arm.above)
    # L L'' + L'^2 = m.m + P.m with P the strut, m the lower mount; m'' = -m
    toward = x * (arm.along * cosine - arm.above * sine) + y * (arm.along * sine + arm.above * cosine)
    with np.errstate(invalid="ignore", divide="ignore"):
        bend = -(mount + toward - swing**2) / length  # ds/dt = -L''
    return np.asarray((bend * cosine + swing * sine) / (np.square(arm.arm) * cosine * cosine * cosine))


def arm_travel(length: Real, arm: ArmGeometry) -> Array:
    """Wheel travel at which the shock has a length; the inverse of `arm_length`.

    Symbols: length: any shape, L [m]; arm: lengths [m]. Returns [m], broadcast shape.
    Raises: nothing; a length the triangle cannot take gives not-a-number.
    Validity: upper mount above the lower one, arm within a quarter turn of level.
    Source: [1], law of cosines for the angle at the hinge pin.

    >>> float(arm_travel(73.348e-3, ArmGeometry(86e-3, 62e-3, 6e-3, 30e-3, 72e-3)) * 1e3)
    0.0
    """
    lower = np.hypot(arm.along, arm.above)
    upper = np.hypot(arm.out, arm.up)
    cosine = (lower**2 + upper**2 - np.square(length)) / (2.0 * lower * upper)
    with np.errstate(invalid="ignore"):
        between = np.arccos(cosine)
    turn = np.arctan2(arm.up, arm.out) - np.arctan2(arm.above, arm.along) - between
    within = np.abs(turn) < 0.5 * np.pi
    return np.asarray(np.where(within, arm.arm * np.sin(np.where(within, turn, 0.0)), np.nan))


def _strut(travel: Real, arm: ArmGeometry) -> tuple[Array, Array, Array, Array]:
    """Vector from the lower to the upper mount, and sine and cosine of the arm's angle."""
    sine = np.asarray(travel / np.asarray(arm.arm, dtype=float))
    with np.errstate(invalid="ignore"):
        cosine = np.sqrt(1.0 - sine**2)
    x = arm.out - (arm.along * cosine - arm.above * sine)
    y = arm.up - (arm.along * sine + arm.above * cosine)
    return x, y, sine, cosine


def _swing(x: Array, y: Array, sine: Array, cosine: Array, arm: ArmGeometry) -> Array:
    """-dL/dt: the perpendicular distance from the hinge pin to the shock's line."""
    along_x = -arm.along * sine - arm.above * cosine
    along_y = arm.along * cosine - arm.above * sine
    with np.errstate(invalid="ignore"):  # both mounts in one place: no line, no ratio
        return np.asarray((x * along_x + y * along_y) / np.hypot(x, y))


def fit_pairs(travel: Real, length: Real) -> tuple[float, float, float, float]:
    """Parabola through measured pairs of wheel travel and shock length.

    Symbols: travel, length: shape (n,), n >= 3, travel of at least three different values [m].
    Returns (c0 [m], c1 [1], c2 [1/m], rms residual [m]) of L = c0 + c1 z + c2 z^2.
    Raises: nothing.
    Validity: within the measured travel; one parabola follows an arm over +-25 mm within 0.1 mm.
    Source: [3].

    >>> float(fit_pairs([-10e-3, 0.0, 10e-3], [80.05e-3, 73.35e-3, 66.44e-3])[1])
    -0.6805
    """
    z = np.asarray(travel, dtype=float)
    size = float(np.max(np.abs(z)))
    table = np.stack([np.ones_like(z), z / size, (z / size) ** 2], axis=1)
    target = np.asarray(length, dtype=float)
    c = np.linalg.lstsq(table, target, rcond=None)[0]
    rms = float(np.sqrt(np.mean((table @ c - target) ** 2)))
    return float(c[0]), float(c[1] / size), float(c[2] / size**2), rms


def parabola_length(travel: Real, c0: Real, c1: Real, c2: Real) -> Array:
    """Shock length on a parabola over wheel travel; a fixed motion ratio is the case c2 = 0.

    Symbols: travel: any shape, z [m]; c0 [m], c1 [1], c2 [1/m]: any shapes. Returns [m], broadcast shape.
    Raises: nothing.
    Validity: within the measured travel.
    Source: [3], L = c0 + c1 z + c2 z^2.

    >>> float(parabola_length(10e-3, 73.35e-3, -0.68, -1.05) * 1e3)
    66.445
    """
    z = np.asarray(travel)
    return np.asarray(c0 + c1 * z + c2 * z * z)


def parabola_travel(length: Real, c0: Real, c1: Real, c2: Real) -> Array:
    """Wheel travel at which the shock has a length; the inverse of `parabola_length`.

    Symbols: length: any shape [m]; c0 [m], c1, negative [1], c2 [1/m]: any shapes. Returns [m], broadcast.
    Raises: nothing; a length beyond the parabola's end gives not-a-number.
    Validity: the branch that runs through z = 0.
    Source: quadratic formula in the form that keeps its digits as c2 goes to 0.

    >>> float(parabola_travel(66.445e-3, 73.35e-3, -0.68, -1.05) * 1e3)
    10.0
    """
    drop = np.asarray(c0) - length
    with np.errstate(invalid="ignore"):
        root = np.sqrt(np.square(c1) - 4.0 * c2 * drop)
    return np.asarray(2.0 * drop / (-np.asarray(c1) + root))


def wheel_rate(spring: Real, gas: Real, ratio: Real, force: Real, ratio_slope: Real) -> Array:
    """Rate at the wheel of a shock with spring and gas on a linkage.

    Symbols: spring, gas: any shape, rates at the shock [N/m]; ratio: any shape, MR [1]; force: any shape, of
    the whole shock at rest [N]; ratio_slope: any shape, dMR/dz [1/m]. Returns [N/m], broadcast shape.
    Raises: nothing.
    Validity: small movements about the position of the other values.
    Source: [2], kw = (k + k_gas) MR^2 + F dMR/dz.

    >>> float(wheel_rate(2000.0, 0.0, 0.6171878, 13.528352, 1.6703e0))
    784.44
    """
    return np.asarray((np.asarray(spring) + gas) * np.square(ratio) + force * np.asarray(ratio_slope))
