"""A corner as it drives off: rates, frequencies, damping ratios, travel to the stops; arrays throughout, SI.

`stance` asks it of one corner, `planning` of a whole grid of builds: one code, the same numbers.
"""

from itertools import combinations
from typing import NamedTuple

import numpy as np

from .physics.numbers import Array, Real
from .physics.vibration import damping_ratio, natural_frequency, two_mass_frequencies
from .standing import NONE, Level, Rest, Stand, collar_at, first_stop, rest

LOOSE_M = 1e-9
"""Preload below minus this counts as loose; it only absorbs round-off."""


class Dynamics(NamedTuple):
    """What rates and damping ratios need beside the stand; SI, floats or arrays."""

    sprung: Real
    unsprung: Real
    tyre_rate: Real
    drag: Real
    compression: Real  # low-speed damping at the shock, N s/m
    rebound: Real


class Riding(NamedTuple):
    """A corner as it drives off; not-a-number where a thing does not exist."""

    rest: Rest
    clearance: Array
    droop_travel: Array
    bump_travel: Array
    stop: Array  # place in standing.STOPS
    wheel_rate: Array
    frequency: Array
    with_tyre: Array
    hop: Array
    ratio_compression: Array
    ratio_rebound: Array
    drag_band: Array


def riding(stand: Stand, preload: Real, dynamics: Dynamics) -> Riding:
    """Everything static of a corner with a preload."""
    r = rest(stand, preload)
    stop_at, which = first_stop(r)
    rate = np.where(r.wheel_rate > 0.0, r.wheel_rate, NONE)
    body, hop = two_mass_frequencies(dynamics.sprung, dynamics.unsprung, rate, dynamics.tyre_rate)
    squared = np.square(r.ratio)
    return Riding(
        rest=r,
        clearance=np.asarray(stand.clearance - r.travel),
        droop_travel=np.asarray(r.travel - r.droop),
        bump_travel=np.asarray(stop_at - r.travel),
        stop=which,
        wheel_rate=r.wheel_rate,
        frequency=natural_frequency(rate, dynamics.sprung),
        with_tyre=body,
        hop=hop,
        ratio_compression=damping_ratio(dynamics.compression * squared, rate, dynamics.sprung),
        ratio_rebound=damping_ratio(dynamics.rebound * squared, rate, dynamics.sprung),
        drag_band=np.asarray(dynamics.drag * r.ratio / rate),
    )


def captive_step(stand: Stand, steps: Array, collar_step: float | None) -> Array:
    """The least preload that can be set and keeps the spring captive, as one more step.

    Not-a-number where it is among the steps already.
    """
    if collar_step is None:
        least = np.zeros_like(steps[:1])
    else:
        zero = np.nan_to_num(collar_at(stand, 0.0), nan=0.0)
        least = np.round(np.ceil(zero / collar_step - 1e-6) * collar_step - zero, 12) + np.zeros_like(steps[:1])
    known = np.any(np.abs(steps - least) < LOOSE_M, axis=0, keepdims=True) | np.isnan(steps).all(axis=0)
    return np.where(known, NONE, least)


def real_steps(
    stand: Stand, at: Level, collar_step: float | None, spacers: tuple[float, ...], around: int
) -> Array:
    """Preloads that can really be set near level arms, along a new first axis of 2 around + 1.

    A collar stands at whole multiples of its step, counted from the upper eye (from zero preload where its
    place is unknown); spacers give the sum of any subset; a collar wins over spacers. The middle one is the
    nearest to level arms. Where a step does not exist it is not-a-number. Without collar and spacers the
    preload is set exactly: one step.
    """
    wanted = np.asarray(at.preload, dtype=float)
    offsets = np.arange(-around, around + 1).reshape((-1,) + (1,) * wanted.ndim)
    if collar_step is not None:
        zero = np.nan_to_num(collar_at(stand, 0.0), nan=0.0)
        middle = np.round((zero + wanted) / collar_step)
        return np.asarray(np.round((middle + offsets) * collar_step - zero, 12))
    if not spacers:
        return wanted[np.newaxis]
    sums = np.unique(np.round([sum(c) for n in range(len(spacers) + 1) for c in combinations(spacers, n)], 12))
    finite = np.nan_to_num(wanted, nan=0.0)
    nearest = np.argmin(np.abs(sums - finite[..., np.newaxis]), axis=-1)
    place = nearest + offsets
    exists = (place >= 0) & (place < sums.size) & np.isfinite(wanted)
    return np.where(exists, sums[np.clip(place, 0, sums.size - 1)], NONE)
