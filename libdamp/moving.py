"""A corner made ready to move: SI numbers for the equations of motion, one corner or a batch of them."""

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np

from .car import Corner, Linkage
from .damping import ways_past
from .oils import oil_state
from .parts import Emulsion, Oil, Piston, Shock, Vented
from .physics.chamber import GIVE_PA, Sealed, SealedRun, Spread, SpreadRun, VentedRun
from .physics.emulsion import chamber_volumes, oil_split
from .physics.flow_table import FlowTable, flow_table
from .physics.gas import circle_area
from .physics.motion import FAR_M, Motion, Moving
from .physics.numbers import G_N
from .physics.stepping import ARRAYS, FLOATS, Kit
from .pocket import pocket_of, pressure, spare
from .standing import Stand, kinematics, level, rest, stand_of

EXPONENT = 1.3
"""Of the gas in fast motion unless the fill says otherwise."""
STEP_S = 2.5e-4
"""Largest time step."""
TURN_PER_STEP = 0.33
"""Largest part of a radian that the stiffest spring may turn in a step."""
STEPS_PER_HALF = 4
"""Time steps between one and its half: few enough that corners with much the same one run together."""
FADE_PER_STEP = 0.3
"""Largest part of the wheel's speed that the tyre's loss may take in a step."""
_DEGREE, _NODES, _BEYOND = 7, 24, 0.25


class Settings(NamedTuple):
    """What a run in motion may be told beside the corner, SI."""

    void_hole_factor: float = 1.0
    void_pa: float = 0.0
    stop_rate: float = 300e3
    ground_rate: float = 100e3
    ground_damping: float = 60.0
    exponent: float | None = None  # None: the fill's own
    tyre_factor: float = 1.0  # on the tyre's rate


VENTED_STEP = 0.25
"""Share of the time step of other fills that a vented cap has."""
LEAST_GAP_M = 1e-4
"""Length left for oil and gas at the rod side's end, fully out, of an emulsion."""
STANDARD = Settings()
"""What a run is told unless the caller says otherwise."""


class Ready(NamedTuple):
    """A corner ready to move; floats, or arrays for a batch."""

    moving: Moving
    chamber: Sealed | Spread
    droop: Any  # wheel travel at the droop stop
    rest: Any  # wheel travel at rest; not-a-number where there is none
    band: Any  # seal drag's band on the body's height at rest
    step: Any  # time step, s


@lru_cache(maxsize=1024)
def table_of(
    piston: Piston, oil: Oil, bore_mm: float, shaft_mm: float, temperature_c: float, void_hole_factor: float
) -> FlowTable:
    """Flow tables of a piston in an oil, made once."""
    state = oil_state(oil, temperature_c)
    inward, outward = (ways_past(piston, bore_mm, oil.thinning, state, way) for way in ("compression", "rebound"))
    squeezed = inward._replace(holes=tuple(h._replace(edge=h.edge * void_hole_factor) for h in inward.holes))
    outward = inward if all(h.direction == "both" for h in piston.holes) else outward
    squeezed = inward if void_hole_factor == 1.0 else squeezed  # what is the same is worked out once
    annulus = float(circle_area(bore_mm * 1e-3) - circle_area(shaft_mm * 1e-3))
    return flow_table(annulus, inward, outward, squeezed)


def chamber_of(shock: Shock, temperature_c: float, begin: float, settings: Settings) -> Sealed | Spread | None:
    """Oil and gas of a shock ready to move from an insertion; None where no room is left for the gas there."""
    bore, shaft = float(circle_area(shock.bore_mm * 1e-3)), float(circle_area(shock.shaft_mm * 1e-3))
    kept = (shock.piston, shock.oil, shock.bore_mm, shock.shaft_mm, temperature_c)
    if isinstance(shock.fill, Emulsion):
        return _spread(shock, temperature_c, table_of(*kept, 1.0))
    pocket = pocket_of(shock, temperature_c)
    volume = float(spare(pocket, begin))
    if volume <= 0.0:
        return None
    exponent = EXPONENT if isinstance(shock.fill, Vented) or shock.fill.exponent is None else shock.fill.exponent
    column = (shock.stroke_mm + shock.piston.thickness_mm) * 1e-3
    return Sealed(
        bore_area=bore,
        annulus=bore - shaft,
        shaft_area=shaft,
        room=float(pocket.closed - pocket.oil_gain),
        closing=float(pocket.closing),
        pressure=float(pressure(pocket, begin)),
        volume=volume,
        exponent=exponent if settings.exponent is None else settings.exponent,
        void_pressure=settings.void_pa,
        give=GIVE_PA / (bore * column),
        vented=pocket.vented,
        table=table_of(*kept, settings.void_hole_factor),
    )


def _spread(shock: Shock, temperature_c: float, table: FlowTable) -> Spread | None:
    """Gas spread through the oil; warming swells the oil and raises the gas's pressure at a volume."""
    pocket, cavity = pocket_of(shock, temperature_c), shock.cavity_length_mm
    if cavity is None:
        return None
    bore, shaft = float(circle_area(shock.bore_mm * 1e-3)), float(pocket.shaft_area)
    sizes = (bore, shaft, cavity * 1e-3, shock.piston.thickness_mm * 1e-3, shock.stroke_mm * 1e-3)
    cap, rod = (float(room) for room in chamber_volumes(0.0, *sizes))
    rod = max(rod, LEAST_GAP_M * (bore - shaft))  # a piston never lies flat against the end
    closed = chamber_volumes(pocket.closing, *sizes)
    oil, ratio = oil_split(*closed, pocket.closed, pocket.t_fill, pocket.t, pocket.oil_gain)
    left = cap + rod - shaft * shock.stroke_mm * 1e-3 - float(oil)
    return Spread(bore, bore - shaft, shaft, cap, rod, float(oil), float(ratio), table) if left > 0.0 else None


class Track(NamedTuple):
    """Insertion and motion ratio as polynomials in (travel - middle) scale, highest power first."""

    droop: float  # travel with the shock fully out
    middle: float
    scale: float
    place: tuple[float, ...]
    turn: tuple[float, ...]


@lru_cache(maxsize=256)
def _track(linkage: Linkage, extended: float, limiter: float, stroke: float) -> Track | None:
    """A linkage over the travel of a shock, m, and a quarter more; None out of reach."""
    kin = kinematics(linkage)
    low, high = float(kin.travel(extended - limiter)), float(kin.travel(extended - stroke))
    beyond = _BEYOND * (high - low)
    middle, half = 0.5 * (low + high), 0.5 * (high - low) + beyond
    nodes = np.cos(np.pi * (np.arange(_NODES) + 0.5) / _NODES)
    insertion = extended - kin.length(middle + half * nodes)
    if not (half > 0.0 and np.all(np.isfinite(insertion))):
        return None
    place = np.polyfit(nodes, insertion, _DEGREE)
    turn = np.polyder(place) / half
    return Track(low, middle, 1.0 / half, tuple(place.tolist()), tuple(turn.tolist()))


def ready(
    corner: Corner,
    temperature_c: float,
    settings: Settings = STANDARD,
    at_rest: bool = False,
    begin: float | None = None,
) -> Ready | None:
    """A corner ready to move; None where linkage, preload or gas do not let it.

    Its gas is at rest at the droop stop, or where the corner stands (`at_rest`), or at an insertion `begin` [m].
    """
    frame = _frame(corner, temperature_c, settings)
    if frame is None:
        return None
    stand, preload, *_ = frame
    travel, band = _at_rest(corner, stand, preload)
    if begin is None:
        begin = _stands(stand, travel) if at_rest else float(stand.limiter)
    return _ready(corner, temperature_c, settings, frame, (travel, band, begin))


def ready_both(
    corner: Corner, temperature_c: float, at_rest: tuple[float, float] | None = None
) -> tuple[Ready, Ready] | None:
    """A corner ready to fall from its droop stop and ready to move from rest; None where it cannot move.

    `at_rest` are the wheel's travel at rest and the drag's band there, m, where they are known already.
    """
    frame = _frame(corner, temperature_c, STANDARD)
    if frame is None:
        return None
    stand, preload, *_ = frame
    travel, band = at_rest or _at_rest(corner, stand, preload)
    falling = _ready(corner, temperature_c, STANDARD, frame, (travel, band, float(stand.limiter)))
    standing = _ready(corner, temperature_c, STANDARD, frame, (travel, band, _stands(stand, travel)))
    return None if falling is None or standing is None or math.isnan(travel) else (falling, standing)


def begun_at(ready: Ready, corner: Corner, temperature_c: float, begin: float) -> Ready | None:
    """A corner that is ready already, its gas at rest at an insertion `begin` [m] instead; None without room."""
    chamber = chamber_of(corner.shock, temperature_c, begin, STANDARD) if math.isfinite(begin) else None
    if chamber is None or not _has_room(chamber, begin, corner.shock.stroke_mm * 1e-3):
        return None
    return ready._replace(chamber=chamber, step=step_of(ready.moving, chamber))


def _at_rest(corner: Corner, stand: Stand, preload: float) -> tuple[float, float]:
    """Wheel travel at rest and the drag's band there, m."""
    r = rest(stand, preload)
    band = float(corner.shock.seal_drag_n * r.ratio / r.wheel_rate) if float(r.wheel_rate) > 0.0 else 0.0
    return float(r.travel), band


_Frame = tuple[Stand, float, Moving, float]


def _frame(corner: Corner, temperature_c: float, settings: Settings) -> _Frame | None:
    """What does not hang on the shock's inside: stand, preload, masses, linkage, stops, tyre; travel at droop."""
    stand = stand_of(corner, temperature_c)
    preload = float(level(stand).preload) if corner.preload_mm is None else corner.preload_mm * 1e-3
    track = _track(corner.linkage, float(stand.extended), float(stand.limiter), float(stand.stroke))
    if track is None or not math.isfinite(preload):
        return None
    return stand, preload, _moving(corner, stand, preload, track, settings), track.droop


def _stands(stand: Stand, travel: float) -> float:
    """Insertion at a wheel travel, m."""
    return float(stand.extended - stand.kin.length(travel))


def _ready(
    corner: Corner, temperature_c: float, settings: Settings, frame: _Frame, at: tuple[float, float, float]
) -> Ready | None:
    """The corner with its inside at rest; `at` is the travel at rest, the drag's band, the insertion begun from."""
    stand, _, moving, droop = frame
    travel, band, begin = at
    chamber = chamber_of(corner.shock, temperature_c, begin, settings) if math.isfinite(begin) else None
    if chamber is None or not _has_room(chamber, begin, float(stand.stroke)):
        return None
    return Ready(moving, chamber, droop, travel, band, step_of(moving, chamber))


def room_at(chamber: Sealed | Spread, insertion: Any) -> Any:
    """Room left for the gas at an insertion without a void, m^3."""
    if isinstance(chamber, Spread):
        sides = chamber.cap_room + chamber.rod_room - chamber.shaft_area * insertion
        return sides - chamber.oil
    return chamber.room - chamber.shaft_area * (insertion - chamber.closing)


def _has_room(chamber: Sealed | Spread, begin: float, stroke: float) -> bool:
    """Whether the gas has room where a run begins and until the shaft is fully in.

    Of gas in the oil the latter is known already; a vented cap goes solid softly and may.
    """
    checked = isinstance(chamber, Spread) or chamber.vented
    return bool(room_at(chamber, begin) > 0.0 and (checked or room_at(chamber, stroke) > 0.0))


def _moving(
    corner: Corner,
    stand: Stand,
    preload: float,
    track: Track,
    settings: Settings,
) -> Moving:
    tyre, mass = corner.tyre, (corner.sprung_mass_g + corner.unsprung_mass_g) * 1e-3
    rate = tyre.rate_n_mm * 1e3 * settings.tyre_factor
    loss = tyre.damping_n_s_m
    if loss is None:
        loss = (tyre.loss_factor or 0.0) * math.sqrt(tyre.rate_n_mm * 1e3 * mass)
    bind = stand.limiter + stand.free - stand.block - preload
    rim = FAR_M if tyre.sidewall_mm is None else tyre.sidewall_mm * 1e-3
    return Moving(
        sprung=corner.sprung_mass_g * 1e-3,
        unsprung=corner.unsprung_mass_g * 1e-3,
        middle=track.middle,
        scale=track.scale,
        place=track.place,
        turn=track.turn,
        rate=float(stand.rate),
        loose=float(stand.limiter) - preload,
        low=float(stand.limiter),
        high=float(stand.stroke) if math.isnan(bind) else min(float(stand.stroke), float(bind)),
        stop_rate=settings.stop_rate,
        drag=corner.shock.seal_drag_n,
        tyre_rate=rate,
        tyre_damping=loss,
        squash=standing_squash(mass * G_N, rate, rim, settings.stop_rate),
        rim=rim,
        rim_rate=settings.stop_rate,
        clearance=float(stand.clearance),
        ground_rate=settings.ground_rate,
        ground_damping=settings.ground_damping,
    )


def standing_squash(weight: float, rate: float, rim: float, rim_rate: float) -> float:
    """Squash of the tyre under the standing car, m; where the sidewall is used up the rim carries the rest."""
    return min(weight / rate, rim) + max(weight - rate * rim, 0.0) / (rate + rim_rate)


def step_of(c: Moving, chamber: Sealed | Spread) -> float:
    """Time step that the stiffest spring of a corner allows, s: the next shorter of a fixed row."""
    ends = (sum(p * at ** (len(c.turn) - 1 - i) for i, p in enumerate(c.turn)) for at in (-0.8, 0.0, 0.8))
    lever = max(ratio * ratio for ratio in ends)
    shock = c.rate + c.stop_rate
    if isinstance(chamber, Spread):
        gas = chamber.gas_ratio * chamber.oil  # its stiffness at some bar, both sides together
        shock += 1e6 * chamber.bore_area**2 / gas
    tyre = c.tyre_rate + (c.rim_rate if c.rim < FAR_M else 0.0)
    stiffest = max((tyre + shock * lever) / c.unsprung, (c.ground_rate + shock * lever) / c.sprung)
    fading = FADE_PER_STEP * c.unsprung / c.tyre_damping if c.tyre_damping > 0.0 else STEP_S
    longest = min(STEP_S, TURN_PER_STEP / math.sqrt(stiffest), fading)
    if isinstance(chamber, Sealed) and chamber.vented:  # it is known to be full to a step
        longest *= VENTED_STEP
    places = math.ceil(STEPS_PER_HALF * math.log2(STEP_S / longest))
    return STEP_S * math.pow(0.5, places / STEPS_PER_HALF)


def stacked(corners: Sequence[Ready]) -> Ready:
    """A batch of corners with one kind of fill, as arrays."""
    kinds = {(type(c.chamber), getattr(c.chamber, "vented", False)) for c in corners}
    if len(kinds) != 1:
        raise ValueError("a batch holds one kind of fill")
    made: Ready = _columns(corners)
    return made


def _columns(rows: Sequence[Any]) -> Any:
    """NamedTuples of floats to one of arrays, tables laid end to end."""
    first = rows[0]
    if isinstance(first, FlowTable):
        starts = np.cumsum([0, *(len(row.values) for row in rows[:-1])])
        columns = [np.concatenate([row[i] for row in rows]) for i in range(len(FlowTable._fields) - 1)]
        return FlowTable(columns[0], columns[1], columns[2], starts)
    if isinstance(first, bool):
        return first
    if isinstance(first, tuple):
        columns = [_columns(column) for column in zip(*rows, strict=True)]
        return type(first)(*columns) if hasattr(first, "_fields") else tuple(columns)
    return np.array(rows, dtype=float)


def plain_chamber(chamber: Sealed | Spread) -> Sealed | Spread:
    """Oil and gas of a single shock with its tables as lists, for `FLOATS`."""
    table = chamber.table
    scales = float(table.flow_scale[0]), float(table.loss_scale[0])
    plain = FlowTable(table.values.tolist(), scales[0], scales[1], 0)
    return chamber._replace(table=plain)


def alone(corner: Ready) -> Ready:
    """A corner as a single one, for `FLOATS`."""
    return corner._replace(chamber=plain_chamber(corner.chamber))


def inside_of(chamber: Sealed | Spread, kit: Kit, insertion: Any) -> SealedRun | SpreadRun:
    """Oil and gas at rest at an insertion, ready to go."""
    if isinstance(chamber, Spread):
        return SpreadRun(chamber, kit, insertion)
    return VentedRun(chamber, kit, insertion) if chamber.vented else SealedRun(chamber, kit, insertion)


def motion_of(corner: Ready, kit: Kit, travel: Any, wheel: Any, speed: Any) -> Motion:
    """A run that begins at a wheel travel, the wheel at a height, both masses at one speed (up positive)."""
    run = Motion(corner.moving, kit, (wheel - travel, wheel, speed, speed))
    run.begin(inside_of(corner.chamber, kit, run.insertion))
    return run


def kit_of(corner: Ready) -> Kit:
    """Functions for a single corner or a batch."""
    return ARRAYS if isinstance(corner.step, np.ndarray) else FLOATS
