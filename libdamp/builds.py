"""One end's builds: from columns to rows; distance to the goals, equally good ones grouped, what was rejected."""

import math
from typing import Annotated, NamedTuple

import msgspec
import numpy as np

from .car import Box, Corner
from .findings import shown
from .goals import BUMPS, LANDING, Aim, GoalTerm, terms, total
from .grid import CURES, NO_DRILL, NO_LESS_PRELOAD, PRELOADS_MM, REASONS, Space, space
from .in_hand import Drill, Parts, own_parts
from .mixtures import Mix
from .parts import Oil, Piston, Spring, plain_part
from .physics.numbers import Mask, Places
from .quantities import Q
from .searching import Found, chunks, looked_at, together
from .stance import mm, plain
from .standing import level, stand_of
from .tables import Table

CLEARANCE_BAND_MM, VARIATION_BAND = 1.0, 0.05
BANDS: dict[str, tuple[float, float]] = {
    "frequency_hz": (0.0, 0.02),
    "damping_ratio_compression": (0.0, 0.05),
    "damping_ratio_rebound": (0.0, 0.05),
    "least_clearance_mm": (CLEARANCE_BAND_MM, 0.0),
    "bounce_height_mm": (1.0, 0.1),
    "peak_shock_n": (0.0, 0.05),
    "tyre_load_variation": (0.0, VARIATION_BAND),
    "contact_share": (0.02, 0.0),
}
"""Builds are equally good that are within so much of each other, in the figure's unit or as a share of it, what is
more; of landing and bumps only figures with a goal count, and only where they miss it."""
HARDLY, HARDLY_SHARE = 0.25, 0.05
"""A distance greater by half a tolerance squared and a twentieth is hardly further."""
GROUPS = 8
LOCKS = ("lock_cold", "lock_hot")


class Build(msgspec.Struct, frozen=True, kw_only=True):
    """One build of one end, what it changes, what it gives, how far it is from the goals.

    `oil` is what is in the shock: a bottle, or what `mix` makes; `piston` one in hand, or what `drill` makes of a
    blank. Figures of the landing and of bumps are null where that was not run.
    """

    spring: Spring
    preload_mm: Annotated[float, Q("preload_now_mm")] | None
    collar_mm: Annotated[float, Q("collar_mm")] | None
    oil: Oil
    mix: Mix | None
    piston: Piston
    drill: Drill | None
    limiter_mm: Annotated[float, Q("limiter_mm")]
    closing_insertion_mm: Annotated[float, Q("closing_insertion_mm")]
    changed: tuple[str, ...]
    set_anew: bool
    rejected_for: tuple[str, ...]
    height_error_mm: Annotated[float, Q("height_error_mm")] | None
    clearance_mm: Annotated[float, Q("clearance_mm")] | None
    droop_travel_mm: Annotated[float, Q("droop_travel_mm")] | None
    bump_travel_mm: Annotated[float, Q("bump_travel_mm")] | None
    wheel_rate_n_mm: Annotated[float, Q("wheel_rate_n_mm")] | None
    frequency_hz: Annotated[float, Q("frequency_hz")] | None
    damping_ratio_compression: Annotated[float, Q("damping_ratio")] | None
    damping_ratio_rebound: Annotated[float, Q("damping_ratio")] | None
    least_clearance_mm: Annotated[float, Q("least_clearance_mm")] | None
    bounce_height_mm: Annotated[float, Q("bounce_height_mm")] | None
    peak_shock_n: Annotated[float, Q("peak_shock_n")] | None
    tyre_load_variation: Annotated[float, Q("tyre_load_variation")] | None
    contact_share: Annotated[float, Q("contact_share")] | None
    distance: Annotated[float, Q("distance")] | None
    terms: tuple[GoalTerm, ...]
    equally_good: Annotated[int, Q("builds")]
    best_of_equals: Annotated[float, Q("distance")] | None


class Rejection(msgspec.Struct, frozen=True, kw_only=True):
    """Builds rejected for one reason, the nearest of them, and what would cure it."""

    reason: str
    builds: Annotated[int, Q("builds")]
    short_by: Annotated[float, Q("short_by")]
    unit: str
    nearest: Build
    cure: str
    text: str


class End(NamedTuple):
    """One end's builds as columns, with what the ranking needs."""

    space: Space
    parts: Parts
    aims: dict[str, Aim]
    table: Table  # legal builds, nearest first
    found: Found
    stands_at: float  # height error of the end as it stands, mm; not-a-number where it does not stand


def hardly(distance: float) -> float:
    """The distance that is hardly further than one."""
    return (1.0 + HARDLY_SHARE) * distance + HARDLY


def equally_good(end: End, one: int, many: Places) -> Mask:
    """Which of some builds are as good as one, within the error of the answer."""
    t = end.table
    near = np.abs(t["height_error_mm"][many] - t["height_error_mm"][one]) <= t["drag_band"][one] * 1e3
    for name, (absolute, share) in BANDS.items():
        if name in t and (name in end.aims or name not in LANDING + BUMPS):
            counts = end.aims[name].counted(t[name]) if name in end.aims else t[name]
            near &= ~(np.abs(counts[many] - counts[one]) > max(absolute, share * abs(counts[one])))
    return np.asarray(near)


def _changed(end: End, table: Table, row: int) -> tuple[str, ...]:
    """Names of the parts that a build changes."""
    s = end.space
    flags = {
        "spring": s.new[0][table["spring"][row]],
        "oil": s.oil_kind[table["oil"][row]],
        "piston": s.piston_kind[table["piston"][row]],
        "limiter": s.new[1][table["limiter"][row]],
        "closing": s.new[2][table["closing"][row]],
    }
    return tuple(name for name, new in flags.items() if new)


def make_build(end: End, row: int, group: int = 1, best: float | None = None, of: Table | None = None) -> Build:
    """Build at a row of the end's table, or of another table of its builds."""
    t = end.table if of is None else of
    parts = end.parts

    def at(name: str) -> float:
        return float(t[name][row]) if name in t else np.nan

    values = {name: plain(at(name)) for name in end.aims}
    parted = terms(end.aims, values)
    lacks = t["lacks"][row] if "lacks" in t else np.zeros(len(REASONS))
    oil, piston = int(t["oil"][row]), int(t["piston"][row])
    return Build(
        spring=plain_part(Spring, parts.springs[int(t["spring"][row])]),
        preload_mm=mm(at("preload")),
        collar_mm=mm(at("collar")),
        oil=plain_part(Oil, parts.oils[oil]),
        mix=parts.mixes[oil],
        piston=plain_part(Piston, parts.pistons[piston]),
        drill=parts.drills[piston],
        limiter_mm=parts.limiters_mm[int(t["limiter"][row])],
        closing_insertion_mm=parts.closings_mm[int(t["closing"][row])],
        changed=_changed(end, t, row),
        set_anew=not abs(at("height_error_mm") - end.stands_at) <= at("drag_band") * 1e3,
        rejected_for=tuple(name for name, lack in zip(REASONS, lacks, strict=True) if lack > 0.0),
        height_error_mm=plain(at("height_error_mm")),
        clearance_mm=mm(at("clearance")),
        droop_travel_mm=mm(at("droop")),
        bump_travel_mm=mm(at("bump")),
        wheel_rate_n_mm=plain(at("wheel_rate") * 1e-3),
        frequency_hz=plain(at("frequency_hz")),
        damping_ratio_compression=plain(at("damping_ratio_compression")),
        damping_ratio_rebound=plain(at("damping_ratio_rebound")),
        **{name: plain(at(name)) for name in LANDING + BUMPS},
        distance=total(parted),
        terms=parted,
        equally_good=group,
        best_of_equals=total(parted) if best is None else best,
    )


def built_corner(corner: Corner, build: Build) -> Corner:
    """A corner with a build fitted."""
    fill = msgspec.structs.replace(corner.shock.fill, closing_insertion_mm=build.closing_insertion_mm)
    shock = msgspec.structs.replace(
        corner.shock, oil=build.oil, piston=build.piston, limiter_mm=build.limiter_mm, fill=fill
    )
    preload, (low, high) = build.preload_mm, PRELOADS_MM
    settable = preload is not None and low <= preload <= high  # else level arms: the build is rejected for it
    return msgspec.structs.replace(
        corner, spring=build.spring, shock=shock, preload_mm=preload if settable else None
    )


def as_it_stands(corner: Corner, box: Box, temperature_c: float, aims: dict[str, Aim]) -> End:
    """The end as it is: its table holds that one build, legal or not."""
    if corner.preload_mm is None:
        preload = float(level(stand_of(corner, temperature_c)).preload)
    else:
        preload = corner.preload_mm * 1e-3
    parts = own_parts(corner)
    s = space(corner, parts, box, temperature_c, aims, preload)
    found = together([looked_at(chunk) for chunk in chunks(s)])
    table = {**found.nearest, **_terms_of(aims, found.nearest)}
    return End(s, parts, aims, table, found, float(table["height_error_mm"][0]))


def _terms_of(aims: dict[str, Aim], table: Table) -> Table:
    """Distance of builds at rest, and whether they meet every goal."""
    far, within = np.zeros(table["preload"].size), table["faults"] == 0
    for name, aim in aims.items():
        term = aim.term(table[name])
        far, within = far + term, within & (term <= 1.0)
    return {"distance": far, "meets": within}


def ranked(end: End) -> list[Build]:
    """Best builds of an end, one of each group of equals: of those hardly further the one that asks for least."""
    t = end.table
    left = np.flatnonzero(np.isfinite(t["distance"])) if t else np.zeros(0, dtype=int)
    found: list[Build] = []
    while left.size and len(found) < GROUPS:
        left = left[np.argsort(t["distance"][left], kind="stable")]
        same = equally_good(end, int(left[0]), left)
        members = left[same]
        near = members[t["distance"][members] <= hardly(float(t["distance"][left[0]]))]
        chosen = near[np.lexsort((t["distance"][near], t["effort"][near]))[0]]
        found.append(make_build(end, int(chosen), int(members.size), float(t["distance"][left[0]])))
        left = left[~same]
    return found


def _to_set(amount: float, each: float) -> str:
    """The next larger amount that can be told apart, of so many to the unit: tenths, of drills twentieths.

    >>> _to_set(0.0728, 10.0), _to_set(0.6, 10.0), _to_set(1.01, 20.0), _to_set(0.0, 10.0)
    ('0.1', '0.6', '1.05', '0.1')
    """
    return f"{max(1, math.ceil(each * amount - 1e-6)) / each:g}"


def _cure(name: str, nearest: Build, lacks: dict[str, float]) -> str:
    """What would cure the nearest build rejected for a reason; oil let out for cold must do for hot, too."""
    unit, short = REASONS[name][0], lacks[name]
    if name in LOCKS:
        return CURES[name].format(f"{_to_set(max(lacks[lock] for lock in LOCKS), 100.0)} {unit}")
    if name == "thin_wall" and nearest.drill is not None and short >= nearest.drill.drill_mm:
        return NO_DRILL
    if name == "coil_bind" and (nearest.preload_mm or 0.0) < short:  # less preload would leave the spring loose
        return NO_LESS_PRELOAD.format(f"{_to_set(short, 10.0)} {unit}")
    asked = _to_set(short, 20.0 if name == "thin_wall" else 10.0) if unit == "mm" else shown(short)
    return CURES[name].format(f"{asked} {unit}" if unit != "pieces" else asked)


def _besides(name: str, nearest: Build) -> str:
    """What else rejects the nearest build for a reason, in words; one lock is cured with the other."""
    others = [one for one in nearest.rejected_for if one != name and not {one, name} <= set(LOCKS)]
    return f" (and has another fault: {', '.join(REASONS[one][1] for one in others)})" if others else ""


def rejections(end: End) -> tuple[Rejection, ...]:
    """What was rejected, by reason, with the nearest of each and what would cure it."""
    made, misses = [], end.found.misses
    for row, reason in enumerate(misses["reason"] if misses else ()):
        name = list(REASONS)[int(reason)]
        unit, words = REASONS[name]
        builds, nearest = int(end.found.rejected[reason]), make_build(end, row, of=misses)
        cure = _cure(name, nearest, dict(zip(REASONS, map(float, misses["lacks"][row]), strict=True)))
        needs = f"needs {cure}{_besides(name, nearest)}"
        made.append(
            Rejection(
                reason=name,
                builds=builds,
                short_by=float(misses["lack"][row]),
                unit=unit,
                nearest=nearest,
                cure=cure,
                text=f"{builds} build{'s' if builds > 1 else ''}: {words}; the nearest {needs}",
            )
        )
    return tuple(made)
