"""All builds of one end as numbers: spring x limiter x closing position x oil x piston x preload step.

How a corner stands does not depend on the oil, nor on the piston but for its size, and the damping ratio is a
product: so stances are worked out over (step, place, closing, fill) and dampers over (oil, piston), a place being
a spring with a limiter and a fill what an oil's family and a piston's size make of the gas. Every figure comes
from the code that serves a single corner.
"""

import math
from typing import NamedTuple

import numpy as np

from .car import Box, Corner
from .damping import closed_ways, low_speed_damping
from .errors import TooCostly
from .filling import fill_temperature
from .goals import Aim
from .in_hand import Parts, closed_at, same_oil, same_piston, same_spring
from .oils import oil_state
from .parts import Emulsion, Holes, Oil, Piston, Shock, area_ratio, plain_part
from .physics.gas import circle_area
from .physics.numbers import Array, Mask, Places
from .physics.orifice import Hole, Passages, gap_conductance
from .pocket import lock_insertion, oil_gain, pocket_of, spare
from .quantities import quantity
from .riding import LOOSE_M, Dynamics, Riding, captive_step, real_steps, riding
from .standing import Level, Stand, collar_at, known, level, stand_of

MOST_BUILDS = 10_000_000
"""Builds of one end that are looked at."""
AROUND = 2
"""Real steps of preload looked at on either side of the nearest."""
STEPS = 2 * AROUND + 3
ANY_STEP_M = 0.5e-3
"""Step of the preloads looked at where neither collar step nor spacers are given."""
PRELOADS_MM = quantity("preload_mm").possible or (-math.inf, math.inf)
"""Preloads that can be."""
WAYS = ("compression", "rebound")
HOT_C = 50.0
"""Temperature at which a fill must not lock, unless the use is hotter."""

REASONS: dict[str, tuple[str, str]] = {
    "does_not_fit": ("pieces", "piston does not fit this shock"),
    "parts_short": ("pieces", "fewer than two in hand"),
    "thin_wall": ("mm", "drilled holes leave too thin a wall to rim, shaft or next hole"),
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
    "preload_too_far": ("mm", "needs more preload than any shock has room for"),
}
"""Why a build is rejected: unit of what the nearest lacks, and in words. The first that applies counts."""

CURES: dict[str, str] = {
    "does_not_fit": "a piston that fits bore and shaft",
    "parts_short": "{} more of the part",
    "thin_wall": "a drill {} smaller",
    "out_of_reach": "another length of shock, or other mounts",
    "lock_cold": "{} less oil",
    "lock_hot": "{} less oil",
    "no_equilibrium": "{} more from the spring at the wheel: a stiffer one, or more preload",
    "topped_out": "{} less from spring and gas at the wheel: a softer spring, or less preload",
    "falling_rate": "{} more wheel rate: a stiffer spring, or other mounts",
    "chassis_on_ground": "{} more clearance: more preload",
    "closed_one_way": "a hole that is open both ways",
    "collar_off": "a spring {} shorter",
    "loose_spring": "{} more limiter, or as much more preload",
    "coil_bind": "{} less preload, or a spring whose block is as much shorter",
    "preload_too_far": "{} less preload: a stiffer spring",
}
"""What would cure the nearest build rejected for a reason, after "needs"; {} is what it misses."""
NO_DRILL = "its holes on another circle, or fewer of them: no drill is small enough"
"""The same of walls that are too thin whatever the drill."""
NO_LESS_PRELOAD = "a spring whose block is {} shorter"
"""The same of coils that touch with no preload to take off."""


class Space(NamedTuple):
    """All builds of one end: what each axis holds, SI; small enough to be handed to another process."""

    corner: Corner
    temperature_c: float
    aims: dict[str, Aim]
    springs: Array  # (3, spring): rate, free length, block length
    limiters: Array
    closings: Array
    collar_step: float | None
    spacers: tuple[float, ...]
    preload: float | None  # this one alone, not the real steps
    inward: Array  # low-speed damping by (oil, piston)
    outward: Array
    open_shares: Array  # (2, piston): share of the bore that the holes open inward and outward take
    family: Places  # of each oil
    fill_of: Places  # place of a fill by (family, piston)
    fills: Array  # (3, closing, fill): oil gained in use, room hot, room cold, the shaft fully in
    fits: Mask  # (closing, piston)
    faults: Array  # (3, piston): closed one way, too few in hand, drill too large for the walls
    short_springs: Array
    new: tuple[Places, ...]  # of each spring, limiter, closing: 1 where it is a change
    oil_kind: Places  # 0 as fitted, 1 another bottle, 2 a mixture
    piston_kind: Places  # 0 as fitted, 1 another finished one, 2 drilled

    @property
    def places(self) -> int:
        """Springs times limiters, the limiter running fastest."""
        return int(self.springs.shape[1] * self.limiters.size)


class Stances(NamedTuple):
    """How an end stands; arrays over (step, place, closing, fill)."""

    figures: dict[str, Array]  # lengths in m but height_error_mm; `per_damping`: damping ratio of 1 N s/m
    exists: Mask  # steps that can be set
    lacks: dict[str, Array]  # reason -> by how much a build misses, what hangs on the stance

    def at(self, first: int, beyond: int) -> "Stances":
        """The same at some places."""
        return Stances(
            {name: array[:, first:beyond] for name, array in self.figures.items()},
            self.exists[:, first:beyond],
            {name: array[:, first:beyond] for name, array in self.lacks.items()},
        )


def bounded(parts: Parts) -> None:
    """Refuse more builds than can be looked at.

    Raises
    ------
    TooCostly : with the bound.
    """
    counts = {
        "springs": len(parts.springs),
        "limiters": len(parts.limiters_mm),
        "closing positions": len(parts.closings_mm),
        "oils and mixtures": len(parts.oils),
        "pistons and ways to drill": len(parts.pistons),
    }
    size = int(np.prod(list(counts.values()))) * STEPS
    if size > MOST_BUILDS:
        listed = ", ".join(f"{name} {number}" for name, number in counts.items())
        raise TooCostly(
            f"{size} builds of one end, at most {MOST_BUILDS}: leave parts or drills out of the box, or set "
            f"mix_oils = false ({listed}, preload steps {STEPS})"
        )


def space(
    corner: Corner,
    parts: Parts,
    box: Box,
    temperature_c: float,
    aims: dict[str, Aim],
    preload_m: float | None = None,
) -> Space:
    """All builds of an end; with `preload_m` at that preload alone instead of the real steps.

    Raises
    ------
    TooCostly : more builds than MOST_BUILDS.
    """
    bounded(parts)
    shock, fits = corner.shock, _fits(corner.shock, parts)
    family, fill_of, fills = _fills(shock, parts, fits, temperature_c)
    inward, outward = _dampers(shock, parts, temperature_c)
    lengths = [(s.rate_n_mm * 1e3, known(s.free_length_mm), known(s.block_length_mm)) for s in parts.springs]
    new, oil_kind, piston_kind = _new(corner, parts)
    faults = (
        [float(bool(closed_ways(p))) for p in parts.pistons],
        [max(0.0, 2.0 - n) for n in parts.piston_counts],
        parts.wall_lacks_mm,
    )
    return Space(
        corner=corner,
        temperature_c=temperature_c,
        aims=aims,
        springs=np.array(lengths).T,
        limiters=np.array(parts.limiters_mm) * 1e-3,
        closings=np.array(parts.closings_mm) * 1e-3,
        collar_step=None if box.collar_step_mm is None else box.collar_step_mm * 1e-3,
        spacers=tuple(s * 1e-3 for s in box.spacers_mm),
        preload=preload_m,
        inward=inward,
        outward=outward,
        open_shares=np.array([[area_ratio(p, shock.bore_mm, way) for p in parts.pistons] for way in WAYS]),
        family=family,
        fill_of=fill_of,
        fills=fills,
        fits=fits,
        faults=np.array(faults),
        short_springs=np.array([max(0.0, 2.0 - n) for n in parts.spring_counts]),
        new=new,
        oil_kind=oil_kind,
        piston_kind=piston_kind,
    )


def _new(corner: Corner, parts: Parts) -> tuple[tuple[Places, ...], Places, Places]:
    """Which springs, limiters and closing positions are a change; kind of each oil and piston."""
    shock = corner.shock
    flags = (
        [not same_spring(s, corner.spring) for s in parts.springs],
        [x != shock.limiter_mm for x in parts.limiters_mm],
        [x != shock.fill.closing_insertion_mm for x in parts.closings_mm],
        [not same_oil(o, shock.oil) for o in parts.oils],
        [not same_piston(p, shock.piston) for p in parts.pistons],
    )
    *new, oil, piston = (np.array(values, dtype=int) for values in flags)
    drilled, mixed = (np.array([x is not None for x in made]) for made in (parts.drills, parts.mixes))
    return tuple(new), np.where(mixed, 2, oil), np.where(drilled, 2, piston)


def stances(s: Space) -> Stances:
    """How an end stands at all places (spring x limiter)."""
    places = np.arange(s.places)
    rate, free, block = s.springs[:, places // s.limiters.size, np.newaxis, np.newaxis]
    stand = stand_of(s.corner, s.temperature_c)
    stand = stand._replace(
        rate=rate,
        free=free,
        block=block,
        limiter=s.limiters[places % s.limiters.size, np.newaxis, np.newaxis],
        pocket=stand.pocket._replace(closing=s.closings[:, np.newaxis], oil_gain=s.fills[0]),
    )
    at = level(stand)
    if s.preload is None:
        preload = real_steps(stand, at, s.collar_step, s.spacers, AROUND)
        if s.collar_step is None and not s.spacers:  # any preload can be set: exact, and a little either side
            preload = preload + ANY_STEP_M * np.arange(-AROUND, AROUND + 1).reshape(-1, 1, 1, 1)
        preload = np.concatenate([preload, captive_step(stand, preload, s.collar_step)])
        if s.corner.preload_mm is not None:
            preload = np.concatenate([preload, _as_it_is(s, places, preload, s.corner.preload_mm * 1e-3)])
    else:
        preload = np.full((1, *at.preload.shape), s.preload)
    shape = (preload.shape[0], s.places, s.closings.size, s.fills.shape[2])
    r, collar = riding(stand, preload, _masses(s.corner)), collar_at(stand, preload)
    exists = np.isfinite(preload) | np.isnan(at.preload)
    if s.preload is None and s.corner.preload_mm is not None:
        exists[-1] &= np.isfinite(preload[-1])
    figures, lacks = _figures(preload, collar, r), _lacks(preload, collar, r, _out_of_reach(r, stand, at))
    return Stances(
        {name: np.broadcast_to(array, shape) for name, array in figures.items()},
        np.broadcast_to(exists, shape),
        {name: np.broadcast_to(array, shape) for name, array in lacks.items()},
    )


def _as_it_is(s: Space, places: Places, steps: Array, preload: float) -> Array:
    """The preload as it is, as one more step: the fitted spring and limiter may be left so, real step or not."""
    new = s.new[0][places // s.limiters.size] + s.new[1][places % s.limiters.size]
    known = np.any(np.abs(steps - preload) < LOOSE_M, axis=0, keepdims=True)
    return np.where(known | (new[:, np.newaxis, np.newaxis] > 0), np.nan, preload)


def _figures(preload: Array, collar: Array, r: Riding) -> dict[str, Array]:
    """What is told of a stance."""
    return {
        "preload": preload,
        "collar": collar,
        "height_error_mm": -1e3 * r.rest.travel,
        "clearance": r.clearance,
        "droop": r.droop_travel,
        "bump": r.bump_travel,
        "wheel_rate": r.wheel_rate,
        "frequency_hz": r.frequency,
        "per_damping": r.ratio_compression,
        "drag_band": r.drag_band,
    }


def _masses(corner: Corner) -> Dynamics:
    """Masses and tyre of a corner with 1 N s/m of damping."""
    return Dynamics(
        sprung=corner.sprung_mass_g * 1e-3,
        unsprung=corner.unsprung_mass_g * 1e-3,
        tyre_rate=corner.tyre.rate_n_mm * 1e3,
        drag=corner.shock.seal_drag_n,
        compression=1.0,
        rebound=1.0,
    )


def _out_of_reach(r: Riding, stand: Stand, at: Level) -> Mask:
    """Where shock and linkage do not reach; what goes solid has no rest either, but may well reach."""
    level = (at.insertion >= stand.limiter) & (at.insertion <= stand.stroke)
    solid = lock_insertion(stand.pocket) < stand.stroke
    nowhere = np.isnan(r.rest.travel) & np.logical_not(r.rest.sinks)
    reaches = (r.rest.droop < r.rest.shock_stop) & solid
    return np.asarray(np.logical_not(level) | (nowhere & np.logical_not(reaches)))


def _lacks(preload: Array, collar: Array, r: Riding, out_of_reach: Mask) -> dict[str, Array]:
    """By how much each stance misses what it must have."""
    return {
        "out_of_reach": np.where(out_of_reach, 1.0, 0.0),
        "no_equilibrium": np.where(r.rest.sinks, np.abs(r.rest.lack), 0.0),
        "topped_out": np.where(r.rest.topped_out, np.abs(r.rest.lack), 0.0),
        "chassis_on_ground": np.where(r.clearance <= 0.0, 1e-9 - r.clearance * 1e3, 0.0),
        "falling_rate": np.where(r.wheel_rate <= 0.0, 1e-9 - r.wheel_rate * 1e-3, 0.0),
        "collar_off": np.where(collar < 0.0, -collar * 1e3, 0.0),
        "loose_spring": np.where(preload < -LOOSE_M, -preload * 1e3, 0.0),
        "coil_bind": np.where(r.rest.bind_margin < 0.0, -r.rest.bind_margin * 1e3, 0.0),
        "preload_too_far": np.where(preload * 1e3 > PRELOADS_MM[1], preload * 1e3 - PRELOADS_MM[1], 0.0),
    }


def _fits(shock: Shock, parts: Parts) -> Mask:
    """Which pistons fit the shock closed at each position; by (closing, piston)."""
    positions = parts.closings_mm if isinstance(shock.fill, Emulsion) else parts.closings_mm[:1]
    rows = [
        [closed_at(shock, closing, piston=plain_part(Piston, piston)) is not None for piston in parts.pistons]
        for closing in positions
    ]
    return np.broadcast_to(np.array(rows), (len(parts.closings_mm), len(parts.pistons)))


def _fills(shock: Shock, parts: Parts, fits: Mask, temperature_c: float) -> tuple[Places, Places, Array]:
    """Family of each oil, fill by (family, piston), and what each fill gives by (figure, closing, fill)."""
    families = list(dict.fromkeys(oil.family for oil in parts.oils))
    family = np.array([families.index(oil.family) for oil in parts.oils])
    fill_of = np.zeros((len(families), len(parts.pistons)), dtype=int)
    columns: dict[tuple[int, float, float | None], int] = {}
    found: list[list[tuple[float, float, float]]] = []
    for f in range(len(families)):
        oil = next(oil for oil, place in zip(parts.oils, family, strict=True) if place == f)
        for j, piston in enumerate(parts.pistons):
            key = (f, piston.thickness_mm, piston.diameter_mm)
            if key not in columns and fits[:, j].any():
                columns[key] = len(found)
                own, fitted = plain_part(Oil, oil), plain_part(Piston, piston)
                built = [closed_at(shock, x, oil=own, piston=fitted) for x in parts.closings_mm]
                found.append([_gas(one, temperature_c) for one in built])
            fill_of[f, j] = columns.get(key, 0)
    if not found:
        found.append([(0.0, np.inf, np.inf)] * len(parts.closings_mm))
    return family, fill_of, np.array(found).transpose(2, 1, 0)


def _gas(shock: Shock | None, temperature_c: float) -> tuple[float, float, float]:
    """Oil gained in use, room left hot and cold with the shaft fully in, m3; of no shock: no gain, all the room."""
    if shock is None:
        return 0.0, np.inf, np.inf
    fill_c, full = fill_temperature(shock, None), shock.stroke_mm * 1e-3
    warm = pocket_of(shock, max(HOT_C, temperature_c), fill_c)
    unknown = oil_gain(shock, fill_c, HOT_C) is None
    hot = np.inf if unknown else float(spare(warm, full))
    cold = float(spare(pocket_of(shock, fill_c, fill_c), full))
    return float(pocket_of(shock, temperature_c).oil_gain), (hot if hot > 0.0 else hot - 1e-15), cold


def _dampers(shock: Shock, parts: Parts, temperature_c: float) -> tuple[Array, Array]:
    """Low-speed damping inward and outward by (oil, piston), N s/m."""
    states = [oil_state(oil, temperature_c) for oil in parts.oils]
    viscosity = np.array([s.dynamic for s in states])[:, np.newaxis]
    density = np.array([s.density for s in states])[:, np.newaxis]
    annulus = float(circle_area(shock.bore_mm * 1e-3) - circle_area(shock.shaft_mm * 1e-3))
    ways = (_passages(shock, parts.pistons, viscosity, density, way) for way in WAYS)
    with np.errstate(divide="ignore"):  # a piston that is closed one way
        inward, outward = (low_speed_damping(annulus, way) for way in ways)
    return inward, outward


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
