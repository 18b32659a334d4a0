"""Every build of one end from the parts in hand, as arrays: spring x limiter x oil x piston x preload step.

Axes: step, spring, limiter, oil, piston. Every figure comes from the code that serves a single corner.
"""

import math
from collections.abc import Callable
from typing import Any, NamedTuple

import msgspec
import numpy as np

from .car import Box, Corner
from .damping import closed_ways, low_speed_damping
from .errors import InputError, TooCostly
from .filling import fill_temperature
from .oils import oil_state
from .parts import Holes, Oil, Piston, Shock, Spring, area_ratio
from .physics.gas import circle_area
from .physics.numbers import Array, Mask
from .physics.orifice import Hole, Passages, gap_conductance
from .pocket import Pocket, oil_gain, pocket_of, spare
from .riding import LOOSE_M, Dynamics, Riding, captive_step, real_steps, riding
from .standing import collar_at, known, level, stand_of

MOST_BUILDS = 500_000
AROUND = 2
"""Real steps of preload looked at on either side of the nearest."""
ANY_STEP_M = 0.5e-3
"""Step of the preloads looked at where neither collar step nor spacers are given."""
HOT_C = 50.0
"""Temperature at which a fill must not lock, unless the use is hotter."""

REASONS: dict[str, tuple[str, str]] = {
    "does_not_fit": ("pieces", "piston does not fit this shock"),
    "parts_short": ("pieces", "fewer than two in hand"),
    "out_of_reach": ("pieces", "shock and linkage do not reach level arms or full travel"),
    "lock_cold": ("ml", "goes solid cold"),
    "lock_hot": ("ml", "goes solid hot"),
    "no_equilibrium": ("N", "sinks to the stop"),
    "topped_out": ("N", "stands on its droop stop"),
    "falling_rate": ("N/mm", "does not stand stably"),
    "chassis_on_ground": ("mm", "chassis drags on the ground"),
    "closed_one_way": ("pieces", "no hole is open one way"),
    "collar_off": ("mm", "spring too long for the shock"),
    "loose_spring": ("mm", "spring loose at full droop"),
    "coil_bind": ("mm", "coils touch before the shock is fully in"),
}
"""Why a build is rejected: unit of what the nearest lacks, and in words. The first that applies counts."""


class Parts(NamedTuple):
    """What one end may be built from, each kind once."""

    springs: tuple[Spring, ...]
    limiters_mm: tuple[float, ...]
    oils: tuple[Oil, ...]
    pistons: tuple[Piston, ...]
    spring_counts: tuple[float, ...]  # in hand, those on this end included; infinite where not said
    piston_counts: tuple[float, ...]


class Grid(NamedTuple):
    """All builds of one end."""

    parts: Parts
    preload: Array
    collar: Array
    riding: Riding
    missing: dict[str, Array]  # reason -> by how much a build misses (0 where it does not)
    exists: Mask  # steps that can be set

    @property
    def shape(self) -> tuple[int, ...]:
        """Shape of the whole grid."""
        return self.exists.shape


def same_spring(a: Spring, b: Spring) -> bool:
    """Tell whether two entries are the same spring: equal rate, lengths equal or not known."""

    def agree(x: float | None, y: float | None) -> bool:
        return x is None or y is None or x == y

    return (
        a.rate_n_mm == b.rate_n_mm
        and agree(a.free_length_mm, b.free_length_mm)
        and agree(a.block_length_mm, b.block_length_mm)
    )


def same_oil(a: Oil, b: Oil) -> bool:
    """Tell whether two entries are the same oil."""
    fields = [f for f in Oil.__struct_fields__ if f not in ("label", "density_kg_m3")]
    return all(getattr(a, f) == getattr(b, f) for f in fields)


def same_piston(a: Piston, b: Piston) -> bool:
    """Tell whether two entries are the same piston."""
    fields = [f for f in Piston.__struct_fields__ if f != "label"]
    return all(getattr(a, f) == getattr(b, f) for f in fields)


def parts_of(corner: Corner, box: Box, end: str) -> Parts:
    """Parts for one end: the box, and what is on the car where the box does not hold it."""
    shock = corner.shock
    springs, spring_counts = _in_hand(getattr(box, f"{end}_springs"), corner.spring, same_spring)
    springs = tuple(_fitted_spring(s, corner.spring) for s in springs)
    oils, _ = _in_hand(box.oils, shock.oil, same_oil)
    pistons, piston_counts = _in_hand(box.pistons, shock.piston, same_piston)
    limiters = tuple(dict.fromkeys((*box.limiters_mm, shock.limiter_mm)))
    limiters = tuple(x for x in limiters if x < shock.stroke_mm)
    return Parts(springs, limiters, oils, pistons, spring_counts, piston_counts)


def _in_hand(listed: tuple[Any, ...], fitted: Any, same: Callable[[Any, Any], bool]) -> tuple[Any, Any]:
    """Kinds in hand, each once, and how many: entries of one kind are summed, two are on the car."""
    kinds: list[Any] = []
    counts: list[float] = []
    for part in listed:
        number = math.inf if getattr(part, "count", None) is None else float(part.count)
        place = next((i for i, kind in enumerate(kinds) if same(kind, part)), None)
        if place is None:
            kinds.append(part)
            counts.append(number)
        else:
            counts[place] += number
    place = next((i for i, kind in enumerate(kinds) if same(kind, fitted)), None)
    if place is None:
        return (*kinds, fitted), (*counts, 2.0)
    counts[place] += 2.0
    return tuple(kinds), tuple(counts)


def _fitted_spring(listed: Spring, fitted: Spring) -> Spring:
    """The spring on the car keeps its own lengths; only a block length it lacks comes from the box."""
    if not same_spring(listed, fitted):
        return listed
    block = fitted.block_length_mm
    if block is None and fitted.free_length_mm is not None and listed.free_length_mm == fitted.free_length_mm:
        block = listed.block_length_mm
    return msgspec.structs.replace(fitted, block_length_mm=block)


def grid(corner: Corner, parts: Parts, box: Box, temperature_c: float, preload_m: float | None = None) -> Grid:
    """Work out every build of an end; with `preload_m` at that preload alone instead of the real steps.

    Raises
    ------
    TooCostly : more builds than MOST_BUILDS.
    """
    counts = [len(parts.springs), len(parts.limiters_mm), len(parts.oils), len(parts.pistons)]
    size = int(np.prod(counts)) * (2 * AROUND + 2)
    if size > MOST_BUILDS:
        raise TooCostly(
            f"{size} builds of one end, at most {MOST_BUILDS}: leave parts out of the box "
            f"(springs {counts[0]}, limiters {counts[1]}, oils {counts[2]}, pistons {counts[3]})"
        )
    fits = np.array([_fits(corner.shock, piston) for piston in parts.pistons])
    gain_now, hot_room, cold_room = _fill(corner.shock, parts, fits, temperature_c)
    stand = stand_of(corner, temperature_c)
    stand = stand._replace(
        rate=_axis([s.rate_n_mm * 1e3 for s in parts.springs], 0),
        free=_axis([known(s.free_length_mm) for s in parts.springs], 0),
        block=_axis([known(s.block_length_mm) for s in parts.springs], 0),
        limiter=_axis([x * 1e-3 for x in parts.limiters_mm], 1),
        pocket=stand.pocket._replace(oil_gain=gain_now),
    )
    at = level(stand)
    if preload_m is None:
        step = None if box.collar_step_mm is None else box.collar_step_mm * 1e-3
        preload = real_steps(stand, at, step, tuple(s * 1e-3 for s in box.spacers_mm), AROUND)
        if step is None and not box.spacers_mm:  # any preload can be set: exact, and a little either side
            preload = preload + ANY_STEP_M * np.arange(-AROUND, AROUND + 1).reshape(-1, 1, 1, 1, 1)
        preload = np.concatenate([preload, captive_step(stand, preload, step)])
    else:
        preload = np.full((1, 1, 1, 1, 1), preload_m)
    r = riding(stand, preload, _dynamics(corner, parts, temperature_c))
    shape = np.broadcast_shapes(preload.shape, r.ratio_compression.shape, (1, *counts))
    exists = np.broadcast_to(np.isfinite(preload) | np.isnan(at.preload), shape)
    collar = collar_at(stand, preload)
    missing = _missing(preload, r) | {
        "closed_one_way": _axis([float(bool(closed_ways(p))) for p in parts.pistons], 3),
        "collar_off": np.where(collar < 0.0, -collar * 1e3, 0.0),
        "does_not_fit": np.where(fits, 0.0, 1.0),
        "parts_short": _short(parts),
        "lock_cold": np.maximum(0.0, -cold_room * 1e6),
        "lock_hot": np.maximum(0.0, -hot_room * 1e6),
    }
    return Grid(parts, preload, collar, r, missing, exists)


def _missing(preload: Array, r: Riding) -> dict[str, Array]:
    """By how much each build misses what its stance must have."""
    return {
        "out_of_reach": np.where(np.isnan(r.rest.travel) & np.logical_not(r.rest.sinks), 1.0, 0.0),
        "no_equilibrium": np.where(r.rest.sinks, np.abs(r.rest.lack), 0.0),
        "topped_out": np.where(r.rest.topped_out, np.abs(r.rest.lack), 0.0),
        "chassis_on_ground": np.where(r.clearance <= 0.0, 1e-9 - r.clearance * 1e3, 0.0),
        "falling_rate": np.where(r.wheel_rate <= 0.0, 1e-9 - r.wheel_rate * 1e-3, 0.0),
        "loose_spring": np.where(preload < -LOOSE_M, -preload * 1e3, 0.0),
        "coil_bind": np.where(r.rest.bind_margin < 0.0, -r.rest.bind_margin * 1e3, 0.0),
    }


def _axis(values: list[float], place: int) -> Array:
    shape = [1, 1, 1, 1]
    shape[place] = -1
    return np.array(values, dtype=float).reshape(shape)


def _fits(shock: Shock, piston: Piston) -> bool:
    try:
        msgspec.structs.replace(shock, piston=plain_piston(piston))
    except InputError:
        return False
    return True


def plain_piston(piston: Piston) -> Piston:
    """A piston of the box as a piston of a shock."""
    return Piston(**{f: getattr(piston, f) for f in Piston.__struct_fields__})


def plain_oil(oil: Oil) -> Oil:
    """A bottle of the box as the oil of a shock."""
    return Oil(**{f: getattr(oil, f) for f in Oil.__struct_fields__})


def plain_spring(spring: Spring) -> Spring:
    """A spring of the box as the spring of a corner."""
    return Spring(**{f: getattr(spring, f) for f in Spring.__struct_fields__})


def _short(parts: Parts) -> Array:
    springs = _axis([max(0.0, 2.0 - n) for n in parts.spring_counts], 0)
    pistons = _axis([max(0.0, 2.0 - n) for n in parts.piston_counts], 3)
    return np.maximum(springs, pistons)


def _fill(shock: Shock, parts: Parts, fits: Mask, temperature_c: float) -> tuple[Array, Array, Array]:
    """Oil gained in use, room left hot and cold with the shaft fully in, by oil and piston (last two axes)."""
    fill_c = fill_temperature(shock, None)
    full = shock.stroke_mm * 1e-3
    now, hot, cold = (np.zeros((len(parts.oils), len(parts.pistons))) for _ in range(3))
    seen: dict[tuple[str, float, float | None], tuple[float, float, float]] = {}
    for i, oil in enumerate(parts.oils):
        for j, piston in enumerate(parts.pistons):
            key = (oil.family, piston.thickness_mm, piston.diameter_mm)
            if key not in seen and fits[j]:
                built = msgspec.structs.replace(shock, oil=plain_oil(oil), piston=plain_piston(piston))
                use: Pocket = pocket_of(built, temperature_c)
                warm = pocket_of(built, max(HOT_C, temperature_c), fill_c)
                unknown = oil_gain(built, fill_c, HOT_C) is None
                room = np.inf if unknown else float(spare(warm, full))
                seen[key] = (float(use.oil_gain), room, float(spare(pocket_of(built, fill_c, fill_c), full)))
            now[i, j], hot[i, j], cold[i, j] = seen.get(key, (0.0, np.inf, np.inf))
    same = bool(np.all(now == now[0, 0]))
    return (np.asarray(now[0, 0]) if same else now), np.where(hot > 0.0, hot, hot - 1e-15), cold


def _dynamics(corner: Corner, parts: Parts, temperature_c: float) -> Dynamics:
    """Masses and low-speed damping of every oil and piston."""
    shock = corner.shock
    states = [oil_state(oil, temperature_c) for oil in parts.oils]
    viscosity = np.array([s.dynamic for s in states])[:, np.newaxis]
    density = np.array([s.density for s in states])[:, np.newaxis]
    annulus = float(circle_area(shock.bore_mm * 1e-3) - circle_area(shock.shaft_mm * 1e-3))
    both = [
        low_speed_damping(annulus, _passages(shock, parts.pistons, viscosity, density, direction))
        for direction in ("compression", "rebound")
    ]
    return Dynamics(
        sprung=corner.sprung_mass_g * 1e-3,
        unsprung=corner.unsprung_mass_g * 1e-3,
        tyre_rate=corner.tyre.rate_n_mm * 1e3,
        drag=shock.seal_drag_n,
        compression=both[0],
        rebound=both[1],
    )


def _passages(
    shock: Shock, pistons: tuple[Piston, ...], viscosity: Array, density: Array, direction: str
) -> Passages:
    """Ways past each piston, kinds of hole padded with none to the longest list."""
    open_holes: list[list[Holes]] = [[h for h in p.holes if h.direction in ("both", direction)] for p in pistons]
    length = np.array([p.thickness_mm * 1e-3 for p in pistons])
    ratio = np.array([area_ratio(p, shock.bore_mm, direction) for p in pistons])
    kinds, counts = [], []
    for k in range(max(map(len, open_holes))):
        row = [holes[k] if k < len(holes) else None for holes in open_holes]
        diameter = np.array([1e-3 if h is None else h.diameter_mm * 1e-3 for h in row])
        edge = np.array([1.0 if h is None else h.edge_factor for h in row])
        kinds.append(Hole(diameter, length, viscosity, density, ratio, edge))
        counts.append(np.array([0.0 if h is None else float(h.count) for h in row]))
    across = np.array([np.nan if p.diameter_mm is None else p.diameter_mm * 1e-3 for p in pistons])
    eccentric = np.array([p.eccentricity for p in pistons])
    gap = gap_conductance(shock.bore_mm * 1e-3, across, length, viscosity, eccentric)
    return Passages(tuple(kinds), tuple(counts), np.where(np.isnan(gap), 0.0, gap))
