"""From which height the chassis just touches, and how the answer hangs on what nobody knows."""

import math

from .moving import Ready, standing_squash, step_of
from .physics.chamber import Sealed
from .physics.numbers import G_N
from .runs import Effort, resolved, turned

HIGHEST_M = 3.0
"""Greatest height that is looked at."""
LONGEST_TURN_S = 0.4
FINE, COARSE = 1e-5, 2e-3
"""Shares of the height to which it is found: the answer, its bounds."""
FIRST_GUESS_M = 0.2


VOID_HOLE_FACTOR = 1.6
"""Largest factor on the inertial loss of a hole that discharges into a void."""
TYRE_NAMES = ("tyre rate -30 %", "tyre rate +30 %")
"""Names of the bounds that a measured tyre does away with."""


def _tyre(corner: Ready, factor: float) -> Ready:
    c = corner.moving
    rate = factor * c.tyre_rate
    squash = standing_squash((c.sprung + c.unsprung) * G_N, rate, c.rim, c.rim_rate)
    moving = c._replace(tyre_rate=rate, squash=squash)
    return corner._replace(moving=moving, step=step_of(moving, corner.chamber))


def bounds(base: Ready, tight: Ready | None) -> dict[str, Ready]:
    """A corner with one thing at a time set to its bound: what no home measurement settles, and the tyre.

    `tight` is the same corner with VOID_HOLE_FACTOR.
    """
    found: dict[str, Ready] = {}
    gas = base.chamber
    if isinstance(gas, Sealed):
        if not gas.vented:
            found["gas exponent 1.0"] = base._replace(chamber=gas._replace(exponent=1.0))
            found["gas exponent 1.4"] = base._replace(chamber=gas._replace(exponent=1.4))
        if tight is not None:
            found[f"void_hole_factor {VOID_HOLE_FACTOR:g}"] = tight
        found["void_kpa 50"] = base._replace(chamber=gas._replace(void_pressure=50e3))
    for name, factor in zip(TYRE_NAMES, (0.7, 1.3), strict=True):
        found[name] = _tyre(base, factor)
    return found


def impact(height: float) -> float:
    """Speed at the ground after a fall from a height, m/s."""
    return math.sqrt(2.0 * G_N * max(height, 0.0))


def least_clearance(corner: Ready, height: float, effort: Effort | None = None) -> float:
    """Least clearance of a single corner on the way down from a height, m.

    Raises
    ------
    ArithmeticError : the landing cannot be worked out, or not within the effort.
    """
    return float(resolved(corner, impact(height), LONGEST_TURN_S, turned, effort).clearance)


def touch(corner: Ready, guess: float, fine: float = FINE, effort: Effort | None = None) -> float | None:
    """Height from which the chassis of a single corner just touches, m.

    0 where it touches from any, None where from none up to HIGHEST_M.

    Raises
    ------
    ArithmeticError : a landing cannot be worked out, or not all within the effort (one of its own if none is
        given).
    """
    effort = Effort() if effort is None else effort
    if corner.moving.clearance + corner.moving.squash <= corner.droop:
        return 0.0
    low, high = 0.0, guess
    at_low, at_high = (least_clearance(corner, h, effort) for h in (low, high))
    if at_low <= 0.0:
        return 0.0
    while at_high > 0.0:
        if high >= HIGHEST_M:
            return None
        low, at_low = high, at_high
        high = min(1.6 * high, HIGHEST_M)
        at_high = least_clearance(corner, high, effort)
    return _narrow(corner, (low, at_low), (high, at_high), fine, effort)


def _narrow(
    corner: Ready, low: tuple[float, float], high: tuple[float, float], fine: float, effort: Effort
) -> float:
    """Root between two heights by the secant's rule, the end that stays weighed less (Illinois)."""
    (a, at_a), (b, at_b) = low, high
    side = 0
    for _ in range(60):
        middle = (a * at_b - b * at_a) / (at_b - at_a)
        at = least_clearance(corner, middle, effort)
        if at > 0.0:
            a, at_a = middle, at
            at_b *= 0.5 if side == 1 else 1.0
            side = 1
        else:
            b, at_b = middle, at
            at_a *= 0.5 if side == -1 else 1.0
            side = -1
        if b - a <= fine * b or abs(at) < 1e-8:
            return middle
    return 0.5 * (a + b)
