"""Pressure loss of oil through the holes of a piston and the gap around it.

Sources
-------
[1] R. A. Sampson, Phil. Trans. R. Soc. A 182 (1891) 449-518: creeping flow through a hole in a thin wall.
[2] Z. Dagan, S. Weinbaum & R. Pfeffer, J. Fluid Mech. 115 (1982) 505-523: creeping flow through a hole of
    finite length, dp d/(mu V) = 6 pi + 32 L/d within 1 %.
[3] Axisymmetric Navier-Stokes solutions (189 of them, L/d 1.07..3, b 0.014..0.17, Re up to 1000): the
    inertial coefficient K, fitted with 0.4 % rms, 1.1 % at most. Against the project's own later table (105
    solutions, L/d 1..5, b 0.01..1/6) the whole loss is within 0.6 % rms, 2.3 % at most (L/d 1, Re 1000).
[4] R. B. Bird, W. E. Stewart & E. N. Lightfoot, Transport Phenomena, plane slit flow; eccentric annulus
    factor 1 + 1.5 e^2 (common in fluid power books, from memory).

One loss for all: a hole of diameter d and length L in a piston whose open holes together take the share b of
the bore's area, mean velocity V, Re = V d rho/mu:

    dp = (mu V/d) [18.56 - 6.6 b^1.5 + 32 L/d] + K rho V^2/2                                   (1)
    K  = edge Re/sqrt(Re^2 + 30^2) [1.53 + 0.72 L/(L + 0.0095 d Re) - 2.25 b]                  (2)

An oil that thins in shear has in (1) and (2), for mu, its viscosity at the shear rate 8 V/d of the hole's wall. In
a long hole far into the power law that is up to 14 % low (the true wall shear is larger); never above the loss
without thinning. The gap keeps the viscosity at rest: its wall carries a fraction of the hole's stress, a tenth
for a gap of 0.05 mm beside holes of 1.7 mm.
"""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from .numbers import Array, Real
from .oil import carreau_share, carreau_slope
from .roots import bracketed_newton

AREA_RATIO_FITTED = 1.0 / 6.0
"""Largest share of the bore's area for which (1) was fitted."""
REYNOLDS_FITTED = 1000.0
"""Largest Reynolds number for which (2) was fitted."""
LENGTH_RATIO_FITTED = 1.0
"""Smallest L/d for which (1) was fitted; below it the loss is 3..12 % low at 0.5."""

_HALF_RE = 30.0


class Hole(NamedTuple):
    """What one hole's loss depends on; each a float or an array, broadcast together."""

    diameter: Real  # d, m
    length: Real  # L, m
    viscosity: Real  # mu at rest, Pa s
    density: Real  # rho, kg/m3
    area_ratio: Real  # b, open hole area over bore area, 1
    edge: Real = 1.0  # factor on K for the shape of the edges, 1
    thinning_time: Real = 0.0  # relaxation time of the oil, s; 0 does not thin
    power_index: Real = 1.0  # n of the oil's thinning, 1
    floor_share: Real = 0.0  # viscosity left in the fastest shear over that at rest, 1


def creeping_resistance(hole: Hole) -> Array:
    """Pressure loss per mean velocity in creeping flow, the oil's viscosity at rest.

    Symbols: hole: d [m], L [m], mu [Pa s], b [1], any shapes. Returns [Pa s/m], broadcast shape.
    Raises: nothing.
    Validity: L/d 1..5 (low by 3..12 % at 0.5), b up to 1/6.
    Source: [1], [2], the first part of (1).

    >>> float(creeping_resistance(Hole(1.7e-3, 2.4e-3, 0.315, 970.0, 0.04)) / 1e3)
    11.80
    """
    d, b = np.asarray(hole.diameter), np.asarray(hole.area_ratio)
    return np.asarray(hole.viscosity / d * (18.56 - 6.6 * b * np.sqrt(b) + 32.0 * hole.length / d))  # (1)


def inertial_coefficient(reynolds: Real, hole: Hole) -> Array:
    """Coefficient K of the inertial part of the loss.

    Symbols: reynolds: any shape, V d rho/mu, not negative [1]; hole: d [m], L [m], b [1], edge [1].
    Returns [1], broadcast shape.
    Raises: nothing.
    Validity: Re up to 1000, L/d 1..3 (fitted), b up to 1/6; grows in proportion to Re near zero.
    Source: [3], equation (2).

    >>> float(inertial_coefficient(100.0, Hole(1.7e-3, 2.4e-3, 0.315, 970.0, 0.0)))
    1.8777
    """
    re = np.asarray(reynolds)
    length = np.asarray(hole.length)
    recovery = 0.72 * length / (length + 0.0095 * hole.diameter * re)
    return np.asarray(
        hole.edge * re / np.sqrt(re * re + _HALF_RE**2) * (1.53 + recovery - 2.25 * np.asarray(hole.area_ratio))
    )  # (2)


def hole_loss(velocity: Real, hole: Hole) -> Array:
    """Pressure difference across a hole at a mean velocity; odd in the velocity.

    Symbols: velocity: any shape, V [m/s]; hole: any shapes. Returns [Pa], broadcast shape.
    Raises: nothing.
    Validity: as `creeping_resistance` and `inertial_coefficient`.
    Source: (1).

    >>> float(hole_loss(4.67, Hole(1.7e-3, 2.4e-3, 0.315, 970.0, 0.04)) / 1e3)
    68.86
    """
    v = np.asarray(velocity)
    speed = np.abs(v)
    now, _ = _in_shear(speed, hole)
    k = inertial_coefficient(_reynolds(speed, now), now)
    return np.asarray(creeping_resistance(now) * v + 0.5 * k * hole.density * speed * v)  # (1)


def hole_loss_slope(velocity: Real, hole: Hole) -> Array:
    """Derivative of `hole_loss` with respect to the velocity.

    Symbols: velocity: any shape, V [m/s]; hole: any shapes. Returns [Pa s/m], broadcast shape.
    Raises: nothing.
    Validity: as `hole_loss`.
    Source: (1) and (2) differentiated: d(mu V)/dV = mu (1 + m), d(K V^2)/dV = V (2 K + (1 - m) Re dK/dRe), with
    m = d ln mu/d ln V of an oil that thins, else 0.

    >>> float(hole_loss_slope(0.0, Hole(1.7e-3, 2.4e-3, 0.315, 970.0, 0.04)) / 1e3)
    11.80
    """
    speed = np.abs(np.asarray(velocity))
    now, m = _in_shear(speed, hole)
    return np.asarray(creeping_resistance(now) * (1.0 + m) + _inertial_slope(speed, now, m))


def _in_shear(speed: Real, hole: Hole) -> tuple[Hole, Real]:
    """The hole with the viscosity at its wall's shear rate, and d ln mu/d ln V."""
    if not np.any(hole.thinning_time):
        return hole, 0.0
    law = (_wall_shear(speed, hole), hole.thinning_time, hole.power_index, hole.floor_share)
    return hole._replace(viscosity=hole.viscosity * carreau_share(*law)), carreau_slope(*law)


def _wall_shear(speed: Real, hole: Hole) -> Array:
    return np.asarray(8.0 * speed / hole.diameter)


def _reynolds(speed: Real, hole: Hole) -> Array:
    return np.asarray(speed * hole.diameter * hole.density / hole.viscosity)


def _inertial_slope(speed: Array, hole: Hole, m: Real) -> Array:
    re = _reynolds(speed, hole)
    length, x = np.asarray(hole.length), 0.0095 * np.asarray(hole.diameter) * re
    bracket = 1.53 + 0.72 * length / (length + x) - 2.25 * np.asarray(hole.area_ratio)
    root = np.sqrt(re * re + _HALF_RE**2)
    growth = re / root
    # Re dK/dRe of (2) = edge [Re 900/root^3 * bracket - growth 0.72 L x/(L + x)^2]
    change = growth * ((_HALF_RE / root) ** 2 * bracket - 0.72 * length * x / (length + x) ** 2)
    return np.asarray(0.5 * hole.density * speed * hole.edge * (2.0 * growth * bracket + (1.0 - m) * change))


def hole_velocity(loss: Real, hole: Hole) -> Array:
    """Mean velocity through a hole that a pressure difference drives; the inverse of `hole_loss`.

    Symbols: loss: any shape, dp [Pa]; hole: any shapes. Returns [m/s], broadcast shape.
    Raises: nothing.
    Validity: as `hole_loss`; bracketed Newton steps to round-off.
    Source: (1) solved for V.

    >>> float(hole_velocity(hole_loss(2.5, h), h) if (h := Hole(1.7e-3, 2.4e-3, 0.315, 970.0, 0.04)) else 0)
    2.5
    """
    wanted = np.abs(np.asarray(loss, dtype=float))
    creeping = creeping_resistance(hole)
    # K is never above 2.25 edge (1 - b), so the quadratic with that constant is a lower bound
    c = 1.125 * hole.density * np.asarray(hole.edge) * (1.0 - np.asarray(hole.area_ratio))
    low = 2.0 * wanted / (creeping + np.sqrt(creeping**2 + 4.0 * c * wanted))
    high = wanted / creeping
    if np.any(hole.thinning_time):
        high = np.where(np.asarray(hole.thinning_time) > 0.0, _fastest(wanted, hole), high)

    def residual(v: Array) -> tuple[Array, Array]:
        return hole_loss(v, hole) - wanted, hole_loss_slope(v, hole)

    return np.asarray(np.sign(loss) * bracketed_newton(residual, low, low, high))


def _fastest(loss: Array, hole: Hole) -> Array:
    """A velocity whose inertial loss alone reaches the pressure difference, however much the oil thins."""
    k = hole.edge * (1.53 - 2.25 * np.asarray(hole.area_ratio))  # K of (2) is at least k Re/sqrt(Re^2 + 30^2)
    root = np.sqrt(2.0)  # of which at least Re/(30 root) below Re = 30 at rest, and 1/root above
    slow = np.cbrt(2.0 * root * _HALF_RE * loss * hole.viscosity / (k * np.square(hole.density) * hole.diameter))
    return np.asarray(np.maximum(slow, np.sqrt(2.0 * root * loss / (k * np.asarray(hole.density)))))


def gap_conductance(bore: Real, piston: Real, length: Real, viscosity: Real, eccentricity: Real = 0.0) -> Array:
    """Flow per pressure difference through the gap between piston and bore.

    Symbols: bore, piston: any shape, diameters [m]; length: any shape, of the piston [m]; viscosity: any
    shape, mu [Pa s]; eccentricity: any shape, 0 centred, 1 touching [1]. Returns [m^3/(Pa s)], broadcast.
    Raises: nothing.
    Validity: gap up to 5 % of the bore; Couette flow and wall drag largely cancel and are left out
    (net within 2.6 % of the force for gaps of 0.03..0.10 mm).
    Source: [4], q/dp = pi D c^3 (1 + 1.5 e^2)/(12 mu L), c = (bore - piston)/2.

    >>> float(gap_conductance(12e-3, 11.9e-3, 2.4e-3, 0.315) * 1e12)
    0.5194
    """
    c = 0.5 * (np.asarray(bore) - piston)
    return np.asarray(
        np.pi * bore * c * c * c * (1.0 + 1.5 * np.square(eccentricity)) / (12.0 * viscosity * length)
    )


class Passages(NamedTuple):
    """The ways past a piston in one direction, all under the same pressure difference; without holes a gap."""

    holes: tuple[Hole, ...]  # one entry for each kind of hole, the first with at least one hole open
    counts: tuple[Real, ...]  # how many of each, 1
    gap: Real = 0.0  # conductance of the gap, m3/(Pa s)


def piston_conductance(passages: Passages) -> Array:
    """Flow per pressure difference past a piston as the speed goes to zero.

    Symbols: passages: holes of any shapes, counts [1], gap [m^3/(Pa s)]. Returns [m^3/(Pa s)], broadcast.
    Raises: nothing.
    Validity: as `creeping_resistance`.
    Source: parallel paths, sum of n A/(dp/V) with (1), and the gap [4].

    >>> float(piston_conductance(Passages((Hole(1.7e-3, 2.4e-3, 0.315, 970.0, 0.04),), (2,))) * 1e12)
    384.7
    """
    total = np.asarray(passages.gap, dtype=float)
    for hole, count in zip(passages.holes, passages.counts, strict=True):
        total = total + _area(hole, count) / creeping_resistance(hole)
    return np.asarray(total)


def piston_flow(loss: Real, passages: Passages) -> Array:
    """Flow past a piston that a pressure difference drives.

    Symbols: loss: any shape, dp [Pa]; passages: any shapes. Returns [m^3/s], broadcast shape.
    Raises: nothing.
    Validity: as `hole_loss`.
    Source: parallel paths, sum of n A V(dp) and the gap's flow.

    >>> float(piston_flow(1e5, Passages((Hole(1.7e-3, 2.4e-3, 0.315, 970.0, 0.04),), (2,))) * 1e6)
    27.95
    """
    total = np.asarray(passages.gap * np.asarray(loss, dtype=float))
    for hole, count in zip(passages.holes, passages.counts, strict=True):
        total = total + _area(hole, count) * hole_velocity(loss, hole)
    return np.asarray(total)


def piston_flow_slope(loss: Real, passages: Passages) -> Array:
    """Derivative of `piston_flow` with respect to the pressure difference.

    Symbols: loss: any shape, dp [Pa]; passages: any shapes. Returns [m^3/(Pa s)], broadcast shape.
    Raises: nothing.
    Validity: as `hole_loss`.
    Source: parallel paths differentiated, sum of n A/(d dp/dV) and the gap's conductance.

    >>> float(piston_flow_slope(0.0, Passages((Hole(1.7e-3, 2.4e-3, 0.315, 970.0, 0.04),), (2,))) * 1e12)
    384.7
    """
    total = np.asarray(passages.gap + 0.0 * np.asarray(loss, dtype=float))
    for hole, count in zip(passages.holes, passages.counts, strict=True):
        total = total + _area(hole, count) / hole_loss_slope(hole_velocity(loss, hole), hole)
    return np.asarray(total)


def piston_velocity(flow: Real, passages: Passages) -> Array:
    """Mean velocity in the first kind of hole at a flow past the piston.

    Symbols: flow: any shape, q [m^3/s]; passages: any shapes. Returns [m/s], broadcast shape.
    Raises: nothing.
    Validity: as `hole_loss`.
    Source: sum of n_i A_i V_i + G dp = q with one dp for all (parallel paths), solved for V_1.

    >>> float(piston_velocity(21.2e-6, Passages((Hole(1.7e-3, 2.4e-3, 0.315, 970.0, 0.04),), (2,))))
    4.670
    """
    if not passages.holes:
        return np.zeros(np.broadcast_shapes(np.shape(flow), np.shape(passages.gap)))
    first, area = passages.holes[0], _area(passages.holes[0], passages.counts[0])
    wanted = np.abs(np.asarray(flow, dtype=float))
    alone = wanted / area
    gap = np.asarray(passages.gap)
    others = tuple(zip(passages.holes[1:], passages.counts[1:], strict=True))
    if not others and not np.any(gap):
        return np.asarray(np.sign(flow) * alone)

    def residual(v: Array) -> tuple[Array, Array]:
        loss = hole_loss(v, first)
        slope = hole_loss_slope(v, first)
        excess = area * v + gap * loss - wanted
        rate = gap
        for hole, count in others:
            speed = hole_velocity(loss, hole)
            excess = excess + _area(hole, count) * speed
            rate = rate + _area(hole, count) / hole_loss_slope(speed, hole)
        return np.asarray(excess), np.asarray(area + slope * rate)

    low_speed_share = area / creeping_resistance(first) / piston_conductance(passages)
    return np.asarray(np.sign(flow) * bracketed_newton(residual, alone * low_speed_share, 0.0 * alone, alone))


def piston_loss(flow: Real, passages: Passages) -> Array:
    """Pressure difference across a piston at a flow; odd in the flow.

    Symbols: flow: any shape, q [m^3/s]; passages: any shapes. Returns [Pa], broadcast shape.
    Raises: nothing.
    Validity: as `hole_loss`.
    Source: `piston_velocity`, then (1).

    >>> float(piston_loss(21.2e-6, Passages((Hole(1.7e-3, 2.4e-3, 0.315, 970.0, 0.04),), (2,))) / 1e3)
    68.86
    """
    if not passages.holes:
        return np.asarray(np.asarray(flow) / passages.gap)
    return hole_loss(piston_velocity(flow, passages), passages.holes[0])


def creeping_share(flow: Real, passages: Passages) -> Array:
    """Share of the lost power that goes into creeping flow: holes' first part and all of the gap.

    Symbols: flow: any shape, q, not zero [m^3/s]; passages: any shapes. Returns [1], broadcast shape.
    Raises: nothing.
    Validity: as `hole_loss`.
    Source: (1) split into its two parts, weighted with each path's flow.

    >>> float(creeping_share(21.2e-6, Passages((Hole(1.7e-3, 2.4e-3, 0.315, 970.0, 0.04),), (2,))))
    0.8003
    """
    loss = piston_loss(flow, passages)
    viscous = np.asarray(passages.gap) * np.square(loss)
    for hole, count in zip(passages.holes, passages.counts, strict=True):
        speed = hole_velocity(loss, hole)
        now, _ = _in_shear(np.abs(speed), hole)
        viscous = viscous + _area(hole, count) * creeping_resistance(now) * np.square(speed)
    return np.asarray(viscous / (np.asarray(flow) * loss))


def largest_reynolds(flow: Real, passages: Passages) -> Array:
    """Largest Reynolds number among the kinds of hole at a flow.

    Symbols: flow: any shape, q [m^3/s]; passages: any shapes. Returns [1], broadcast shape.
    Raises: nothing.
    Validity: as `hole_loss`.
    Source: definition, Re = V d rho/mu, with the viscosity in the hole's shear.

    >>> float(largest_reynolds(21.2e-6, Passages((Hole(1.7e-3, 2.4e-3, 0.315, 970.0, 0.04),), (2,))))
    24.4
    """
    return _largest(flow, passages, lambda speed, hole: _reynolds(speed, _in_shear(speed, hole)[0]))


def largest_wall_shear(flow: Real, passages: Passages) -> Array:
    """Largest shear rate at a hole's wall at a flow.

    Symbols: flow: any shape, q [m^3/s]; passages: any shapes. Returns [1/s], broadcast shape.
    Raises: nothing.
    Validity: laminar, fully developed profile.
    Source: Poiseuille profile, 8 V/d.

    >>> float(largest_wall_shear(21.2e-6, Passages((Hole(1.7e-3, 2.4e-3, 0.315, 970.0, 0.04),), (2,))))
    21976.
    """
    return _largest(flow, passages, _wall_shear)


def _largest(flow: Real, passages: Passages, measure: Callable[[Array, Hole], Array]) -> Array:
    loss = piston_loss(flow, passages)
    worst = np.zeros(np.shape(loss))
    for hole, count in zip(passages.holes, passages.counts, strict=True):
        value = measure(np.abs(hole_velocity(loss, hole)), hole)
        worst = np.maximum(worst, np.where(np.asarray(count) > 0, value, 0.0))
    return np.asarray(worst)


def _area(hole: Hole, count: Real) -> Array:
    return np.asarray(0.25 * np.pi * count * np.square(hole.diameter))
