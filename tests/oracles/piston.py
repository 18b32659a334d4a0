"""Loss of a piston, one point at a time, by a general root-finder; plain floats and plain loops."""

import math

from scipy.optimize import brentq

from libdamp.physics.orifice import Hole, Passages


def carreau(shear: float, time: float, index: float, floor: float) -> float:
    """Viscosity in shear over that at rest."""
    return floor + (1.0 - floor) * (1.0 + (time * shear) ** 2) ** (0.5 * (index - 1.0))


def loss_of_hole(v: float, hole: Hole) -> float:
    """Equation (1) with (2), for v >= 0, with the viscosity at the wall's shear rate."""
    d, length, mu, rho, b, edge, time, index, floor = (float(value) for value in hole)
    mu *= carreau(8.0 * v / d, time, index, floor)
    re = v * d * rho / mu
    k = edge * re / math.sqrt(re**2 + 30.0**2) * (1.53 + 0.72 * length / (length + 0.0095 * d * re) - 2.25 * b)
    return mu * v / d * (18.56 - 6.6 * b**1.5 + 32.0 * length / d) + k * rho * v**2 / 2.0


def speed_of_hole(loss: float, hole: Hole) -> float:
    """Velocity that a pressure difference >= 0 drives."""
    d, length, mu, _, b, *_ = (float(value) for value in hole)
    creeping = mu / d * (18.56 - 6.6 * b**1.5 + 32.0 * length / d)
    if loss == 0.0:
        return 0.0
    high = 1.0000001 * loss / creeping
    while loss_of_hole(high, hole) < loss:  # an oil that thins lets more through than at rest
        high *= 2.0
    return float(brentq(lambda v: loss_of_hole(v, hole) - loss, 0.0, high, xtol=1e-300, rtol=1e-14))


def flow_of_piston(loss: float, passages: Passages) -> float:
    """Flow through all holes and the gap under one pressure difference >= 0."""
    flow = float(passages.gap) * loss
    for hole, count in zip(passages.holes, passages.counts, strict=True):
        flow += float(count) * math.pi * float(hole.diameter) ** 2 / 4.0 * speed_of_hole(loss, hole)
    return flow


def loss_of_piston(flow: float, passages: Passages) -> float:
    """Pressure difference at a flow of either sign."""
    if flow == 0.0:
        return 0.0
    first, count = passages.holes[0], float(passages.counts[0])
    area = count * math.pi * float(first.diameter) ** 2 / 4.0
    high = 1.0000001 * loss_of_hole(abs(flow) / area, first)
    root = brentq(lambda p: flow_of_piston(p, passages) - abs(flow), 0.0, high, xtol=1e-300, rtol=1e-13)
    return math.copysign(float(root), flow)
