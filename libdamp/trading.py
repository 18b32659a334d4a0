"""One end's rows, and what landings and small bumps cost each other: builds of which none is better in both."""

from typing import Annotated

import msgspec
import numpy as np

from .builds import CLEARANCE_BAND_MM, VARIATION_BAND, Build, End, Rejection, make_build, ranked, rejections
from .findings import shown
from .physics.numbers import Array
from .quantities import Q

MOST = 5


class TradeOff(msgspec.Struct, frozen=True, kw_only=True):
    """Of the builds that were moved one that no other betters in landing and on bumps alike, beside the nearest."""

    build: Build
    clearance_gain_mm: Annotated[float, Q("clearance_gain_mm")]
    variation_gain: Annotated[float, Q("variation_gain")]
    distance_cost: Annotated[float, Q("distance_cost")]
    text: str


class EndPlan(msgspec.Struct, frozen=True, kw_only=True):
    """One end: row 0 as it stands, then the ranked builds; what was looked at, rejected, and what trades."""

    builds: tuple[Build, ...]
    considered: Annotated[int, Q("builds")]
    legal: Annotated[int, Q("builds")]
    rejected: tuple[Rejection, ...]
    trade_offs: tuple[TradeOff, ...]


def front_of(clearance: Array, variation: Array) -> Array:
    """Places of the points that none betters: most clearance first, each next one with less variation.

    >>> front_of(np.array([1.0, 3.0, 2.0, 3.0]), np.array([0.8, 1.0, 0.9, 1.1])).tolist()
    [1, 2, 0]
    """
    order = np.lexsort((variation, -clearance))
    best = np.minimum.accumulate(np.concatenate([[np.inf], variation[order][:-1]]))
    return np.asarray(order[variation[order] < best])


def trade_offs(end: End) -> tuple[TradeOff, ...]:
    """A handful of builds along the trade of clearance against the tyre's even load, the best landing first.

    Only builds that were moved, apart from each other by more than the error in one of the two; none where the
    best landing and the most even tyre load are not apart by more than that in both.
    """
    t = end.table
    if not {"least_clearance_mm", "tyre_load_variation"} <= set(t):
        return ()
    fit = np.flatnonzero(np.isfinite(t["distance"] + t["least_clearance_mm"] + t["tyre_load_variation"]))
    if not fit.size:
        return ()
    on = fit[front_of(t["least_clearance_mm"][fit], t["tyre_load_variation"][fit])]
    apart: list[int] = []
    for row in on:
        if all(_apart(end, int(row), other) for other in apart):
            apart.append(int(row))
    if not _pulls_apart(end, apart):
        return ()
    shown = [apart[k] for k in np.unique(np.linspace(0, len(apart) - 1, min(MOST, len(apart))).round().astype(int))]
    nearest = int(fit[np.argmin(t["distance"][fit])])
    return tuple(_told(end, row, nearest) for row in shown)


def _pulls_apart(end: End, on: list[int]) -> bool:
    """Tell whether the first and the last of some builds differ by more than the error in landing and on bumps."""
    clearance, variation = (end.table[name][on] for name in ("least_clearance_mm", "tyre_load_variation"))
    even = variation[-1] * (1.0 + VARIATION_BAND)
    return bool(clearance[0] - clearance[-1] > CLEARANCE_BAND_MM and variation[0] > even)


def _apart(end: End, a: int, b: int) -> bool:
    """Tell whether two builds differ by more than the error in landing or on bumps."""
    clearance, variation = (end.table[name] for name in ("least_clearance_mm", "tyre_load_variation"))
    far = abs(clearance[a] - clearance[b]) > CLEARANCE_BAND_MM
    return bool(far or abs(variation[a] - variation[b]) > VARIATION_BAND * variation[b])


def _told(end: End, row: int, nearest: int) -> TradeOff:
    """A build beside the one nearest to the goals, in words and numbers."""
    t = end.table
    clearance = float(t["least_clearance_mm"][row] - t["least_clearance_mm"][nearest])
    variation = float(t["tyre_load_variation"][nearest] - t["tyre_load_variation"][row])
    cost = float(t["distance"][row] - t["distance"][nearest])
    lands = _by(f"{clearance:+.1f}", ("{} mm more", "{} mm less", "as much"), "clearance in the landing")
    rolls = _by(f"{variation:+.2f}", ("{} more even", "{} less even", "as even"), "on the bumps")
    return TradeOff(
        build=make_build(end, row),
        clearance_gain_mm=clearance,
        variation_gain=variation,
        distance_cost=cost,
        text=f"{lands}, tyre load {rolls}, {shown(cost)} further from the goals"
        if row != nearest
        else "nearest to the goals",
    )


def _by(change: str, words: tuple[str, str, str], what: str) -> str:
    """More, less or as much of a thing, by a signed number as it is shown.

    >>> words = "{} more", "{} less", "as much"
    >>> _by("-0.30", words, "of it"), _by("-0.0", words, "of it")
    ('0.30 less of it', 'as much of it')
    """
    word = words[2] if float(change) == 0.0 else words[change.startswith("-")]
    return f"{word.format(change[1:])} {what}"


def end_plan(end: End, standing: End) -> EndPlan:
    """Rows of an end: as it stands, the best of each group or the nearest, what was rejected."""
    best = ranked(end) or [make_build(end, 0, of=end.found.nearest)]
    return EndPlan(
        builds=(make_build(standing, 0), *best),
        considered=end.found.considered,
        legal=end.found.legal,
        rejected=rejections(end),
        trade_offs=trade_offs(end),
    )
