"""One end's builds: from arrays to rows; legal or why not, distance to the goals, equally good ones grouped."""

from typing import Annotated, NamedTuple

import msgspec
import numpy as np

from .car import Box, Corner
from .findings import shown
from .goals import Aim, GoalTerm, distance, terms, total
from .grid import (
    REASONS,
    Grid,
    grid,
    parts_of,
    plain_oil,
    plain_piston,
    plain_spring,
    same_oil,
    same_piston,
    same_spring,
)
from .parts import Oil, Piston, Spring
from .physics.numbers import Array, Mask, Places
from .quantities import Q
from .stance import mm, plain
from .standing import level, stand_of

FREQUENCY_BAND = 0.02
DAMPING_BAND = 0.05
"""Builds within these shares of each other are equally good."""
GROUPS = 8


class Build(msgspec.Struct, frozen=True, kw_only=True):
    """One build of one end, what it changes, what it gives, how far it is from the goals."""

    spring: Spring
    preload_mm: Annotated[float, Q("preload_now_mm")] | None
    collar_mm: Annotated[float, Q("collar_mm")] | None
    oil: Oil
    piston: Piston
    limiter_mm: Annotated[float, Q("limiter_mm")]
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
    distance: Annotated[float, Q("distance")] | None
    terms: tuple[GoalTerm, ...]
    equally_good: Annotated[int, Q("builds")]
    best_of_equals: Annotated[float, Q("distance")] | None


class Rejection(msgspec.Struct, frozen=True, kw_only=True):
    """Builds rejected for one reason, and the nearest of them."""

    reason: str
    builds: Annotated[int, Q("builds")]
    short_by: Annotated[float, Q("short_by")]
    unit: str
    nearest: Build
    text: str


class EndPlan(msgspec.Struct, frozen=True, kw_only=True):
    """One end: row 0 as it stands, then the ranked builds; what was looked at and rejected."""

    builds: tuple[Build, ...]
    considered: Annotated[int, Q("builds")]
    legal: Annotated[int, Q("builds")]
    rejected: tuple[Rejection, ...]


class End(NamedTuple):
    """One end's grid with what the ranking needs, flat arrays over all builds."""

    corner: Corner
    grid: Grid
    aims: dict[str, Aim]
    legal: Mask
    reason: Places  # index into REASONS of the first that applies, -1 legal
    values: dict[str, Array]
    distance: Array
    meets: Mask  # legal, its parts' best preload, and every goal of this end within its tolerance
    changes: Array
    stands_at: float  # height error of the end as it stands, mm; not-a-number where it does not stand


def _flat(g: Grid, array: Array) -> Array:
    return np.broadcast_to(array, g.shape).reshape(-1)


def _values(g: Grid) -> dict[str, Array]:
    r = g.riding
    return {
        "frequency_hz": _flat(g, r.frequency),
        "damping_ratio": _flat(g, 0.5 * (r.ratio_compression + r.ratio_rebound)),
        "damping_ratio_compression": _flat(g, r.ratio_compression),
        "damping_ratio_rebound": _flat(g, r.ratio_rebound),
        "height_error_mm": _flat(g, -1e3 * r.rest.travel),
    }


def _reasons(g: Grid) -> Places:
    """First reason that applies to each build, by place in REASONS; -1 for none."""
    first = np.full(g.shape, -1)
    for i, name in reversed(list(enumerate(REASONS))):
        first = np.where(np.broadcast_to(g.missing[name], g.shape) > 0.0, i, first)
    return first.reshape(-1)


def _changes(corner: Corner, g: Grid) -> Array:
    """How many parts each build changes."""
    parts, shock = g.parts, corner.shock
    new = [
        [not same_spring(s, corner.spring) for s in parts.springs],
        [x != shock.limiter_mm for x in parts.limiters_mm],
        [not same_oil(o, shock.oil) for o in parts.oils],
        [not same_piston(p, shock.piston) for p in parts.pistons],
    ]
    count = np.zeros(g.shape)
    for axis, flags in enumerate(new, start=1):
        shape = [1] * 5
        shape[axis] = -1
        count = count + np.array(flags, dtype=float).reshape(shape)
    return count.reshape(-1)


def end_of(corner: Corner, g: Grid, aims: dict[str, Aim], now: End | None = None) -> End:
    """Legality, goal values and distance of every build of an end."""
    values, reason = _values(g), _reasons(g)
    exists = g.exists.reshape(-1)
    far = distance(aims, {name: values[name] for name in aims})
    legal = exists & (reason < 0) & np.isfinite(far)
    near = np.where(legal, far, np.inf)
    by_step = near.reshape(g.shape)  # of builds that differ in preload alone only the nearest may be proposed
    own_best = (by_step == np.min(by_step, axis=0)).reshape(-1)
    within = np.all([aim.term(values[name]) <= 1.0 for name, aim in aims.items()], axis=0)
    return End(
        corner=corner,
        grid=g,
        aims=aims,
        legal=legal,
        reason=np.where(exists, reason, -2),
        values=values,
        distance=near,
        meets=legal & within & own_best,
        changes=_changes(corner, g),
        stands_at=float((values if now is None else now.values)["height_error_mm"][0]),
    )


def equally_good(end: End, one: int, many: Places) -> Mask:
    """Which of some builds are as good as one, within the error of the answer."""
    v = end.values
    band = _flat(end.grid, end.grid.riding.drag_band)[one] * 1e3
    near = np.abs(v["height_error_mm"][many] - v["height_error_mm"][one]) <= band
    for name, share in (
        ("frequency_hz", FREQUENCY_BAND),
        ("damping_ratio_compression", DAMPING_BAND),
        ("damping_ratio_rebound", DAMPING_BAND),
    ):
        near &= np.abs(v[name][many] / v[name][one] - 1.0) <= share
    return np.asarray(near)


def _changed(corner: Corner, spring: Spring, oil: Oil, piston: Piston, limiter_mm: float) -> tuple[str, ...]:
    """Names of the parts that a build changes."""
    kept = {
        "spring": same_spring(spring, corner.spring),
        "oil": same_oil(oil, corner.shock.oil),
        "piston": same_piston(piston, corner.shock.piston),
        "limiter": limiter_mm == corner.shock.limiter_mm,
    }
    return tuple(name for name, same in kept.items() if not same)


def make_build(end: End, flat: int, group: int = 1, best: float | None = None) -> Build:
    """Row of the build at a place of the flattened grid."""
    g, corner, parts = end.grid, end.corner, end.grid.parts
    place = np.unravel_index(flat, g.shape)
    _, s, limiter, o, p = (int(i) for i in place)
    spring, oil, piston = parts.springs[s], parts.oils[o], parts.pistons[p]
    r = g.riding

    def at(array: Array) -> float:
        return float(np.broadcast_to(array, g.shape)[place])

    band = at(r.drag_band) * 1e3
    values = {name: plain(end.values[name][flat]) for name in end.aims}
    parted = terms(end.aims, values)
    return Build(
        spring=plain_spring(spring),
        preload_mm=mm(at(g.preload)),
        collar_mm=mm(at(g.collar)),
        oil=plain_oil(oil),
        piston=plain_piston(piston),
        limiter_mm=parts.limiters_mm[limiter],
        changed=_changed(corner, spring, oil, piston, parts.limiters_mm[limiter]),
        set_anew=not abs(float(end.values["height_error_mm"][flat]) - end.stands_at) <= band,
        rejected_for=tuple(name for name in REASONS if at(g.missing[name]) > 0.0),
        height_error_mm=mm(-at(r.rest.travel)),
        clearance_mm=mm(at(r.clearance)),
        droop_travel_mm=mm(at(r.droop_travel)),
        bump_travel_mm=mm(at(r.bump_travel)),
        wheel_rate_n_mm=plain(at(r.wheel_rate) * 1e-3),
        frequency_hz=plain(at(r.frequency)),
        damping_ratio_compression=plain(at(r.ratio_compression)),
        damping_ratio_rebound=plain(at(r.ratio_rebound)),
        distance=total(parted),
        terms=parted,
        equally_good=group,
        best_of_equals=total(parted) if best is None else best,
    )


def as_it_stands(corner: Corner, box: Box, temperature_c: float, aims: dict[str, Aim]) -> End:
    """The end as it is, as a grid of one build."""
    own = parts_of(corner, Box(), "front")
    if corner.preload_mm is None:
        preload = float(level(stand_of(corner, temperature_c)).preload)
    else:
        preload = corner.preload_mm * 1e-3
    return end_of(corner, grid(corner, own, box, temperature_c, preload), aims)


def _ranked(end: End) -> list[Build]:
    """Best builds of an end, one of each group of equally good ones: the one that changes least."""
    left = np.flatnonzero(end.legal)
    left = left[np.argsort(end.distance[left], kind="stable")]
    found: list[Build] = []
    while left.size and len(found) < GROUPS:
        same = equally_good(end, int(left[0]), left)
        members = left[same]
        chosen = members[np.lexsort((end.distance[members], end.changes[members]))[0]]
        found.append(make_build(end, int(chosen), int(members.size), float(end.distance[left[0]])))
        left = left[~same]
    return found


def _rejections(end: End) -> tuple[Rejection, ...]:
    made = []
    for i, (name, (unit, words)) in enumerate(REASONS.items()):
        rejected = np.flatnonzero(end.reason == i)
        if not rejected.size:
            continue
        lack = _flat(end.grid, end.grid.missing[name])[rejected]
        nearest = int(rejected[np.argmin(lack)])
        short = float(np.min(lack))
        text = f"{rejected.size} build{'s' if rejected.size > 1 else ''}: {words}"
        if unit != "pieces" and name not in ("does_not_fit", "out_of_reach"):
            text += f"; the nearest misses by {shown(short)} {unit}"
        made.append(
            Rejection(
                reason=name,
                builds=int(rejected.size),
                short_by=short,
                unit=unit,
                nearest=make_build(end, nearest),
                text=text,
            )
        )
    return tuple(made)


def nearest_illegal(end: End) -> list[Build]:
    """With no legal build: the one with the fewest faults, then the smallest lack of its first."""
    count = sum((_flat(end.grid, m) > 0.0).astype(float) for m in end.grid.missing.values())
    lack = np.zeros(end.reason.shape)
    for i, name in enumerate(REASONS):
        lack = np.where(end.reason == i, _flat(end.grid, end.grid.missing[name]), lack)
    order = np.lexsort((end.changes, lack, count, end.reason == -2))  # type: ignore[arg-type]
    return [make_build(end, int(order[0]))]


def end_plan(end: End, standing: End) -> EndPlan:
    """Rows of an end: as it stands, the best of each group or the nearest, what was rejected."""
    ranked = _ranked(end) or nearest_illegal(end)
    return EndPlan(
        builds=(make_build(standing, 0), *ranked),
        considered=int(np.sum(end.reason != -2)),
        legal=int(np.sum(end.legal)),
        rejected=_rejections(end),
    )
