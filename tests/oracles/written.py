"""The written equations of the holes and the arm in mpmath, solved by mpmath's own root-finder."""

from typing import Any

import mpmath
from mpmath import mpf

from libdamp.physics.linkage import ArmGeometry
from libdamp.physics.orifice import Hole, Passages

Number = Any


def number(text: str) -> mpf:
    """A decimal constant as written, at the working precision."""
    return mpf(text)


def carreau(shear: Number, time: Number, index: Number, floor: Number = 0) -> Number:
    """Viscosity in shear over that at rest."""
    return floor + (1 - floor) * (1 + (time * shear) ** 2) ** ((index - 1) / 2)


def viscosity(velocity: Number, hole: Hole) -> Number:
    """Viscosity at the shear rate 8 V/d of the hole's wall."""
    shear = 8 * velocity / hole.diameter
    return hole.viscosity * carreau(shear, hole.thinning_time, hole.power_index, hole.floor_share)


def creeping(hole: Hole, velocity: Number = 0) -> Number:
    """First part of (1) per velocity."""
    d, b = hole.diameter, hole.area_ratio
    bracket = number("18.56") - number("6.6") * b ** number("1.5") + 32 * hole.length / d
    return viscosity(velocity, hole) / d * bracket


def coefficient(reynolds: Number, hole: Hole) -> Number:
    """Equation (2)."""
    reach = hole.length + number("0.0095") * hole.diameter * reynolds
    bracket = number("1.53") + number("0.72") * hole.length / reach - number("2.25") * hole.area_ratio
    return hole.edge * reynolds / mpmath.sqrt(reynolds**2 + 30**2) * bracket


def reynolds_number(velocity: Number, hole: Hole) -> Number:
    """V d rho/mu."""
    return velocity * hole.diameter * hole.density / viscosity(velocity, hole)


def hole_loss(velocity: Number, hole: Hole) -> Number:
    """Equation (1) for V >= 0."""
    k = coefficient(reynolds_number(velocity, hole), hole)
    return creeping(hole, velocity) * velocity + k * hole.density * velocity**2 / 2


def hole_loss_slope(velocity: Number, hole: Hole) -> Number:
    """Derivative of (1) by mpmath."""
    return mpmath.diff(lambda v: hole_loss(v, hole), velocity)


def hole_velocity(loss: Number, hole: Hole) -> Number:
    """Equation (1) solved for V > 0."""
    high = loss / creeping(hole)
    while hole_loss(high, hole) < loss:  # an oil that thins lets more through than at rest
        high *= 2
    bracket = (high / 100, high)
    return mpmath.findroot(lambda v: (hole_loss(v, hole) - loss) / loss, bracket, solver="anderson")


def area(hole: Hole, count: Number) -> Number:
    """Total area of a kind of hole."""
    return count * mpmath.pi * hole.diameter**2 / 4


def piston_conductance(passages: Passages) -> Number:
    """Sum of n A/(dp/V) in creeping flow, and the gap."""
    kinds = zip(passages.holes, passages.counts, strict=True)
    return passages.gap + sum(area(hole, count) / creeping(hole) for hole, count in kinds)


def piston_flow(loss: Number, passages: Passages) -> Number:
    """Parallel paths."""
    kinds = zip(passages.holes, passages.counts, strict=True)
    return passages.gap * loss + sum(area(hole, count) * hole_velocity(loss, hole) for hole, count in kinds)


def piston_flow_slope(loss: Number, passages: Passages) -> Number:
    """Derivative of the flow by mpmath."""
    return mpmath.diff(lambda p: piston_flow(p, passages), loss, h=loss * number("1e-10"))


def piston_velocity(flow: Number, passages: Passages) -> Number:
    """V in the first kind of hole for which the parallel paths carry q."""
    first, count = passages.holes[0], passages.counts[0]
    high = flow / area(first, count)

    def residual(v: Number) -> Number:
        return (piston_flow(hole_loss(v, first), passages) - flow) / flow

    return mpmath.findroot(residual, (high / 2, high), solver="anderson")


def piston_loss(flow: Number, passages: Passages) -> Number:
    """Loss for which the parallel paths carry q."""
    return hole_loss(piston_velocity(flow, passages), passages.holes[0])


def creeping_share(flow: Number, passages: Passages) -> Number:
    """Power of the creeping parts over the whole power."""
    loss = piston_loss(flow, passages)
    power = passages.gap * loss**2
    for hole, count in zip(passages.holes, passages.counts, strict=True):
        speed = hole_velocity(loss, hole)
        power += area(hole, count) * creeping(hole, speed) * speed**2
    return power / (flow * loss)


def speeds(flow: Number, passages: Passages) -> list[Number]:
    """Velocity in each kind of hole at a flow."""
    loss = piston_loss(flow, passages)
    return [hole_velocity(loss, hole) for hole in passages.holes]


def largest_reynolds(flow: Number, passages: Passages) -> Number:
    """Largest V d rho/mu among the kinds."""
    pairs = zip(speeds(flow, passages), passages.holes, strict=True)
    return max(reynolds_number(v, hole) for v, hole in pairs)


def largest_wall_shear(flow: Number, passages: Passages) -> Number:
    """Largest 8 V/d among the kinds."""
    return max(8 * v / hole.diameter for v, hole in zip(speeds(flow, passages), passages.holes, strict=True))


def arm_length(travel: Number, arm: ArmGeometry) -> Number:
    """Distance of the mounts with the arm turned so that the wheel stands at the travel."""
    t = mpmath.asin(travel / arm.arm)
    x = arm.out - (arm.along * mpmath.cos(t) - arm.above * mpmath.sin(t))
    y = arm.up - (arm.along * mpmath.sin(t) + arm.above * mpmath.cos(t))
    return mpmath.sqrt(x**2 + y**2)


def arm_ratio(travel: Number, arm: ArmGeometry) -> Number:
    """-dL/dz by mpmath."""
    return -mpmath.diff(lambda z: arm_length(z, arm), travel)


def arm_ratio_slope(travel: Number, arm: ArmGeometry) -> Number:
    """-d2L/dz2 by mpmath."""
    return -mpmath.diff(lambda z: arm_length(z, arm), travel, 2)


def arm_travel(length: Number, arm: ArmGeometry) -> Number:
    """Travel within half the arm's length at which the mounts have a distance."""
    bracket = (-arm.arm / 2, arm.arm / 2)
    return mpmath.findroot(lambda z: arm_length(z, arm) - length, bracket, solver="anderson")
