"""The hole and the oil of a piston that give two wanted forces, one at each of two speeds."""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from .physics.numbers import Array, Mask, Real
from .physics.orifice import Passages, piston_conductance, piston_flow, piston_flow_slope, piston_loss
from .physics.roots import bracketed_newton

THINNEST_PA_S, THICKEST_PA_S = 1e-4, 1e4
"""Dynamic viscosities between which an oil is sought."""

_POINTS = 65
_AGREES = 1e-11
_STEPS = 60
_ROOT_OFF = 1e-13
_SCALE = 1000.0  # logs are good to a thousand times the round-off of 1


class Wanted(NamedTuple):
    """What the piston shall need in one direction: a pressure difference at each of two flows; SI."""

    slow_flow: float
    slow_loss: float
    fast_flow: float
    fast_loss: float


class Scaled(NamedTuple):
    """A piston whose holes are all scaled by one factor, in any oil of one family; SI."""

    ways: Passages  # as they are
    viscosity: float  # of the oil in them
    density: Callable[[Real], Array]  # of the oil that has a viscosity

    def at(self, factor: Real, viscosity: Real) -> Passages:
        """Ways past the piston with its holes scaled and another oil."""
        rho = self.density(viscosity)
        square = np.square(factor)
        holes = tuple(
            hole._replace(
                diameter=hole.diameter * factor,
                viscosity=viscosity,
                density=rho,
                area_ratio=hole.area_ratio * square,
            )
            for hole in self.ways.holes
        )
        return Passages(holes, self.ways.counts, self.ways.gap * (self.viscosity / viscosity))


class Fit(NamedTuple):
    """The factor on the holes and the oil's viscosity; `exact` if both forces are met."""

    factor: float
    viscosity: float
    exact: bool


def viscosity_for(
    piston: Scaled, factor: Array, flow: float, loss: float, guess: Array | None = None
) -> tuple[Array, Mask]:
    """Viscosity with which a flow needs a pressure difference, for each factor, and whether there is one.

    `guess` is where the search begins, for each factor.
    """

    def residual(x: Array, some: Array) -> tuple[Array, Array]:
        ways = piston.at(some, piston.viscosity * np.exp(x))
        carried = piston_flow(loss, ways)
        # by similarity q rho/mu depends on dp rho/mu^2 alone: d ln q/d ln mu = 1 - 2 d ln q/d ln dp
        return np.log(flow / carried), 2.0 * loss * piston_flow_slope(loss, ways) / carried - 1.0

    low, high = (np.log(mu / piston.viscosity) for mu in (THINNEST_PA_S, THICKEST_PA_S))
    there = (residual(low + 0.0 * factor, factor)[0] <= 0.0) & (residual(high + 0.0 * factor, factor)[0] >= 0.0)
    some = factor[there]
    if guess is None:  # as if the flow were creeping
        start = np.log(piston_conductance(piston.at(some, piston.viscosity)) * loss / flow)
    else:
        start = np.log(guess[there] / piston.viscosity)
    found = np.zeros(factor.shape)
    found[there] = bracketed_newton(lambda x: residual(x, some), start, low, high, scale=_SCALE)
    return piston.viscosity * np.exp(found), there


def hole_and_oil(piston: Scaled, wanted: Wanted, low: float, high: float) -> Fit | None:
    """Factor on all holes, between two, and viscosity that give both wanted pressure differences.

    The holes as they are where they do. Of two solutions the one with the larger holes: with the smaller ones a
    gap carries most of the oil. Without a solution the factor that comes nearest, the slow force met; nothing
    where no oil meets the slow force.
    """

    def excess(x: Array, guess: Array | None = None) -> tuple[Array, Array, Mask]:
        factor = np.exp(x)
        mu, there = viscosity_for(piston, factor, wanted.slow_flow, wanted.slow_loss, guess)
        off = np.log(piston_loss(wanted.fast_flow, piston.at(factor, mu)) / wanted.fast_loss)
        return off, mu, there

    x = np.unique(np.append(np.linspace(np.log(low), np.log(high), _POINTS), 0.0))
    best, least = None, np.inf
    for closer in (False, True):
        off, mu, there = excess(x)
        here = int(np.searchsorted(x, 0.0))
        if not closer and there[here] and abs(off[here]) <= _AGREES:
            return Fit(1.0, float(mu[here]), True)
        if not there.any():
            break
        crosses = np.flatnonzero(there[:-1] & there[1:] & (off[:-1] * off[1:] <= 0.0))
        if crosses.size:
            i = int(crosses[-1])
            root, viscosity = _root(excess, x[i : i + 2], off[i : i + 2], mu[i : i + 2])
            return Fit(float(np.exp(root)), viscosity, True)
        nearest = int(np.argmin(np.where(there, np.abs(off), np.inf)))
        if abs(off[nearest]) < least:
            least = abs(off[nearest])
            best = Fit(float(np.exp(x[nearest])), float(mu[nearest]), bool(least <= _AGREES))
        # beside a gap the fast force has a greatest value: two solutions may lie between two points
        x = np.linspace(x[max(nearest - 1, 0)], x[min(nearest + 1, x.size - 1)], _POINTS)
    return best


def _root(
    excess: Callable[[Array, Array], tuple[Array, Array, Mask]], x: Array, off: Array, mu: Array
) -> tuple[float, float]:
    """Root between two points of opposite signs, and its viscosity, by secants that halve the end that stays."""
    ends, (a, b), (f_a, f_b) = x, x.tolist(), off.tolist()
    at = float(mu[1])
    for _ in range(_STEPS):
        if abs(f_b) <= _ROOT_OFF or f_a == f_b:
            break
        now = b - f_b * (b - a) / (f_b - f_a)
        value, viscosity, _ = excess(np.array([now]), np.exp(np.interp([now], ends, np.log(mu))))
        f, at = float(value[0]), float(viscosity[0])
        if f * f_b < 0.0:
            a, f_a = b, f_b
        else:
            f_a *= 0.5
        b, f_b = now, f
    return b, at
