"""How a corner stands: level arms, rest position, travel to the stops, rates; arrays throughout, SI.

One code for a single corner and for a whole grid of builds: every field may be a float or an array, all
broadcast together. Where something does not exist the value is not-a-number and a mask says why.
"""

from collections.abc import Callable
from functools import partial
from typing import Literal, NamedTuple, get_args

import numpy as np

from .car import Arm, Corner, Linkage, Pairs
from .physics.linkage import (
    ArmGeometry,
    arm_length,
    arm_ratio,
    arm_ratio_slope,
    arm_travel,
    fit_pairs,
    parabola_length,
    parabola_travel,
    wheel_rate,
)
from .physics.numbers import G_N, Array, Real
from .physics.roots import bracketed_newton
from .physics.spring import spring_compression, spring_force, spring_rate
from .pocket import Pocket, force_and_rate, lock_insertion, pocket_of

NONE = float("nan")
ARM_LENGTHS = (
    "arm_length_mm",
    "lower_mount_along_mm",
    "lower_mount_above_mm",
    "upper_mount_out_mm",
    "upper_mount_up_mm",
)
"""Fields of an arm that make its geometry, in the order of `ArmGeometry`."""


class Kinematics(NamedTuple):
    """Shock length over wheel travel and back, as functions of arrays, SI."""

    length: Callable[[Real], Array]
    ratio: Callable[[Real], Array]
    slope: Callable[[Real], Array]
    travel: Callable[[Real], Array]


def kinematics(linkage: Linkage) -> Kinematics:
    """Functions of a linkage."""
    if isinstance(linkage, Arm):
        return arm_kinematics(ArmGeometry(*(getattr(linkage, name) * 1e-3 for name in ARM_LENGTHS)))
    if isinstance(linkage, Pairs):
        return parabola_kinematics(*pairs_parabola(linkage)[:3])
    return parabola_kinematics(linkage.level_length_mm * 1e-3, -linkage.motion_ratio, 0.0)


def arm_kinematics(geometry: ArmGeometry) -> Kinematics:
    """Functions of a swinging arm, or of many."""
    functions = (arm_length, arm_ratio, arm_ratio_slope, arm_travel)
    return Kinematics(*(partial(f, arm=geometry) for f in functions))


def parabola_kinematics(c0: Real, c1: Real, c2: Real) -> Kinematics:
    """Functions of shock lengths c0 + c1 z + c2 z^2, or of many."""
    return Kinematics(
        length=partial(parabola_length, c0=c0, c1=c1, c2=c2),
        ratio=lambda z: np.asarray(-c1 - 2.0 * c2 * np.asarray(z, dtype=float)),
        slope=lambda z: np.asarray(-2.0 * c2 + 0.0 * np.asarray(z, dtype=float)),
        travel=partial(parabola_travel, c0=c0, c1=c1, c2=c2),
    )


def pairs_parabola(pairs: Pairs) -> tuple[float, float, float, float]:
    """Parabola through measured pairs, SI, with its rms residual."""
    return fit_pairs(np.asarray(pairs.travel_mm) * 1e-3, np.asarray(pairs.shock_length_mm) * 1e-3)


class Stand(NamedTuple):
    """What decides how a corner stands; floats or arrays, SI; not-a-number where a length is unknown."""

    weight: Real  # of the sprung mass, N
    kin: Kinematics
    extended: Real
    limiter: Real
    stroke: Real
    clearance: Real  # chassis above ground with level arms
    rate: Real
    free: Real
    block: Real
    seat: Real
    pocket: Pocket


def stand_of(corner: Corner, temperature_c: float) -> Stand:
    """Stand of a corner at an oil temperature."""
    shock, spring = corner.shock, corner.spring
    return Stand(
        weight=corner.sprung_mass_g * 1e-3 * G_N,
        kin=kinematics(corner.linkage),
        extended=shock.extended_length_mm * 1e-3,
        limiter=shock.limiter_mm * 1e-3,
        stroke=shock.stroke_mm * 1e-3,
        clearance=corner.level_clearance_mm * 1e-3,
        rate=spring.rate_n_mm * 1e3,
        free=known(spring.free_length_mm),
        block=known(spring.block_length_mm),
        seat=known(shock.seat_offset_mm),
        pocket=pocket_of(shock, temperature_c),
    )


def known(length_mm: float | None) -> float:
    """A length in m, not-a-number where it is unknown."""
    return NONE if length_mm is None else length_mm * 1e-3


class Level(NamedTuple):
    """Level arms: what they need."""

    ratio: Array
    length: Array
    insertion: Array
    shock_force: Array
    gas_force: Array
    spring_force: Array
    preload: Array
    collar: Array


def level(stand: Stand) -> Level:
    """What level arms need of spring and collar; not-a-number where the shock cannot be that long."""
    length, ratio = stand.kin.length(0.0), stand.kin.ratio(0.0)
    insertion = stand.extended - length
    ratio = np.where(ratio > 0.0, ratio, NONE)
    gas, _ = force_and_rate(stand.pocket, insertion)
    total = stand.weight / ratio
    spring = total - gas
    fits = (insertion >= stand.limiter) & (insertion <= stand.stroke)
    compression = np.where(fits, spring / stand.rate, NONE)
    return Level(
        ratio=ratio,
        length=length,
        insertion=np.asarray(insertion),
        shock_force=np.asarray(total),
        gas_force=gas,
        spring_force=np.asarray(spring),
        preload=np.asarray(compression - (insertion - stand.limiter)),
        collar=collar_at(stand, compression - (insertion - stand.limiter)),
    )


def collar_at(stand: Stand, preload: Real) -> Array:
    """Collar place, upper eye down to the upper seat, for a preload; not-a-number where lengths are unknown."""
    seats = stand.free - np.asarray(preload)
    return np.asarray(stand.extended - stand.limiter - stand.seat - seats)


class Rest(NamedTuple):
    """A corner at rest."""

    travel: Array  # wheel travel from level arms, bump positive, m
    droop: Array  # wheel travel with the shock fully out
    shock_stop: Array  # wheel travel with the shock fully in
    bind: Array  # wheel travel at which the coils touch
    lock: Array  # wheel travel at which no room is left for the gas; not-a-number where the shaft goes fully in
    chassis: Array  # wheel travel at which the chassis touches
    bind_margin: Array  # spring length left with the shock fully in, m
    ratio: Array
    force: Array  # whole shock at rest, N
    wheel_rate: Array
    topped_out: Array
    sinks: Array  # no equilibrium before the last stop
    lack: Array  # wheel force missing (positive) or left over (negative) there, N


def rest(stand: Stand, preload: Real) -> Rest:
    """Where a corner comes to rest with a preload, and its travel to every stop."""
    kin, preload = stand.kin, np.asarray(preload, dtype=float)
    droop = kin.travel(stand.extended - stand.limiter)
    shock_stop = kin.travel(stand.extended - stand.stroke)
    last = np.minimum(stand.stroke, lock_insertion(stand.pocket) * (1.0 - 1e-12))
    high = kin.travel(stand.extended - last)

    def excess(z: Array) -> tuple[Array, Array]:
        force, rate, ratio = shock_at(stand, preload, z)
        return force * ratio - stand.weight, wheel_rate(rate, 0.0, ratio, force, kin.slope(z))

    low_excess, high_excess = excess(droop)[0], excess(high)[0]
    topped, sinks = low_excess > 0.0, high_excess < 0.0
    z = bracketed_newton(excess, 0.0, droop, high, scale=0.1)  # m: round-off of the lengths that z comes from
    valid = np.isfinite(low_excess) & np.isfinite(high_excess) & (high > droop)
    z = np.where(valid & ~sinks, np.where(topped, droop, z), NONE)
    force, rate, ratio = shock_at(stand, preload, z)
    lock_at = lock_insertion(stand.pocket)
    margin = stand.free - stand.block - (preload + stand.stroke - stand.limiter)
    at_most = stand.free - (preload + stand.stroke - stand.limiter)  # were the wire infinitely thin
    margin = np.where(np.isnan(margin) & (at_most < 0.0), at_most, margin)
    bind_at = stand.limiter + stand.free - stand.block - preload
    return Rest(
        travel=z,
        droop=np.asarray(droop),
        shock_stop=np.asarray(shock_stop),
        bind=np.asarray(kin.travel(stand.extended - bind_at)),
        lock=np.asarray(np.where(lock_at < stand.stroke, kin.travel(stand.extended - lock_at), NONE)),
        chassis=np.asarray(stand.clearance + 0.0 * z),
        bind_margin=np.asarray(margin),
        ratio=ratio,
        force=force,
        wheel_rate=np.where(topped, NONE, wheel_rate(rate, 0.0, ratio, force, kin.slope(z))),
        topped_out=np.asarray(topped & valid),
        sinks=np.asarray(sinks & valid),
        lack=np.where(topped, -low_excess, -high_excess),
    )


def shock_at(stand: Stand, preload: Array, z: Array) -> tuple[Array, Array, Array]:
    """Force and rate of spring and gas together, and the motion ratio, at a wheel travel."""
    insertion = stand.extended - stand.kin.length(z)
    gas, gas_rate = force_and_rate(stand.pocket, insertion)
    compression = spring_compression(preload, insertion, stand.limiter)
    force = spring_force(stand.rate, compression) + gas
    return np.asarray(force), np.asarray(spring_rate(stand.rate, compression) + gas_rate), stand.kin.ratio(z)


Stop = Literal["shock", "coil_bind", "chassis", "lock"]
STOPS: tuple[Stop, ...] = get_args(Stop)
"""What may end the travel: shaft fully in, coils touching, chassis on the ground, no room for the gas."""


def first_stop(r: Rest) -> tuple[Array, Array]:
    """Wheel travel of the first stop, and which: a place in STOPS."""
    stops = np.stack(np.broadcast_arrays(r.shock_stop, r.bind, r.chassis, r.lock))
    stops = np.where(np.isnan(stops), np.inf, stops)
    which = np.argmin(stops, axis=0)
    least = np.min(stops, axis=0)
    return np.where(np.isinf(least), NONE, least), which
