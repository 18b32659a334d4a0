"""Look at every build of an end, a chunk of places at a time: count, reject, keep the nearest of every kind.

A kind is what a build changes (spring, limiter, closing position, oil or mixture, piston or drilled blank): of
each kind the nearest to the goals are kept, so that what changes little is not crowded out by what changes much.
"""

import math
from collections.abc import Iterator
from itertools import product
from typing import NamedTuple

import numpy as np

from .goals import Aim
from .grid import REASONS, STEPS, Space, Stances, stances
from .guessed_builds import GuessedBuilds, guessed_builds
from .guessing import Guesses
from .physics.numbers import Array, Mask, Places
from .tables import Table, joined, picked

CHUNK_BUILDS = 1_000_000
"""Builds of one chunk: what one process does at a time."""
KEPT, KEPT_MEETING = 500, 100
"""Builds of each kind that are kept: by distance, and of those that meet every goal of the end at rest."""
SAMPLES = 4000
"""Builds from all over an end's grid, legal or not."""
DRILLED, MIXED = 400, 20
"""Effort of drilling, which cannot be undone, and of mixing, against 1 for a change of a part."""
OF_DAMPING = ("damping_ratio", "damping_ratio_compression", "damping_ratio_rebound")


class Found(NamedTuple):
    """What looking at some builds found."""

    considered: int
    legal: int
    rejected: Places  # builds by reason, in the order of REASONS
    kept: Table  # legal ones
    sample: Table  # legal ones from all over the grid
    misses: Table  # nearest build of each reason, its place in REASONS as `reason`
    nearest: Table  # one: fewest faults, then the smallest lack of the first


class Chunk(NamedTuple):
    """Some places of an end, to be looked at together; may be handed to another process."""

    space: Space
    at: Stances
    places: Places
    guesses: Guesses | None = None  # of figures of motion
    most: float = math.inf  # what is further from the goals at rest is of no use


class Family(NamedTuple):
    """Stances with one family of oils: arrays over (step, seat, piston); a seat is a place and a closing."""

    oils: Places
    per_damping: Array  # damping ratio of 1 N s/m
    exists: Mask
    reason: Places  # first that applies, by place in REASONS; -1 none
    lack: Array  # by how much the first misses
    faults: Array  # how many apply
    at_rest: Array  # distance of what hangs on the stance alone; infinite where not legal
    within: Mask  # those goals met
    fill: Places  # of each piston


def chunks(space: Space) -> list[Chunk]:
    """All places of an end in chunks."""
    each = STEPS * space.closings.size * space.inward.size
    size = max(1, CHUNK_BUILDS // each)
    at, starts = stances(space), range(0, space.places, size)
    ends = [min(i + size, space.places) for i in starts]
    return [Chunk(space, at.at(i, j), np.arange(i, j)) for i, j in zip(starts, ends, strict=True)]


def likeliest(chunk: Chunk) -> Table:
    """Builds of a chunk that likely are the nearest to all goals, by its guesses; none without."""
    return {} if chunk.guesses is None else kept_of(chunk)


def kept_of(chunk: Chunk) -> Table:
    """Nearest legal builds of a chunk, of every kind; with guesses, those that likely are."""
    s, at, places, guesses, most = chunk
    told = None if guesses is None else guessed_builds(s, at, guesses)
    families = [_family(s, at, places, f) for f in range(s.fill_of.shape[0])]
    near = [
        family._replace(at_rest=np.where(family.at_rest <= most, family.at_rest, np.inf)) for family in families
    ]
    kinds = ((family, kind) for family in near for kind in _kinds(s, places, family))
    return joined([_kept(s, at, places, family, kind, told) for family, kind in kinds])


def looked_at(chunk: Chunk) -> Found:
    """Every build of a chunk."""
    s, at, places, *_ = chunk
    found = []
    for f in range(s.fill_of.shape[0]):
        family = _family(s, at, places, f)
        kept = joined([_kept(s, at, places, family, kind) for kind in _kinds(s, places, family)])
        found.append(_summed(s, at, places, family, (kept, _sampled(s, at, places, family))))
    return together(found)


def _seats(array: Array, fill: Places) -> Array:
    """An array over (step, place, closing, fill) as one over (step, seat, piston)."""
    return np.asarray(array.reshape(array.shape[0], -1, array.shape[3])[:, :, fill])


def _family(s: Space, at: Stances, places: Places, f: int) -> Family:
    """Stances as one family of oils sees them."""
    fill = s.fill_of[f]
    exists = at.exists.reshape(at.exists.shape[0], -1, at.exists.shape[3])[:, :, fill]
    reason = np.full(exists.shape, -1)
    lack, faults = np.zeros(exists.shape), np.zeros(exists.shape, dtype=int)
    for i, name in reversed(list(enumerate(REASONS))):
        missing = np.broadcast_to(_missing(s, at, places, name, fill), exists.shape)
        applies = missing > 0.0
        reason[applies], lack[applies] = i, missing[applies]
        faults += applies
    seen = {name: _seats(at.figures[name], fill) for name in ("frequency_hz", "height_error_mm", "per_damping")}
    far, within = np.zeros(exists.shape), np.ones(exists.shape, dtype=bool)
    for name in ("frequency_hz", "height_error_mm"):
        if name in s.aims:
            term = s.aims[name].term(seen[name])
            far, within = far + term, within & (term <= 1.0)
    legal = exists & (reason < 0) & np.isfinite(far) & np.isfinite(seen["per_damping"])
    return Family(
        oils=np.flatnonzero(s.family == f),
        per_damping=seen["per_damping"],
        exists=exists,
        reason=reason,
        lack=lack,
        faults=faults,
        at_rest=np.where(legal, far, np.inf),
        within=within & legal,
        fill=fill,
    )


def _missing(s: Space, at: Stances, places: Places, name: str, fill: Places) -> Array:
    """By how much builds miss for a reason; broadcasts with (step, seat, piston)."""
    if name in at.lacks:
        return _seats(at.lacks[name], fill)
    if name in ("lock_hot", "lock_cold"):
        room = s.fills[1 if name == "lock_hot" else 2]
        return _by_closing(np.maximum(0.0, -room[:, fill] * 1e6), len(places))
    if name == "does_not_fit":
        return _by_closing(np.where(s.fits, 0.0, 1.0), len(places))
    if name == "parts_short":
        springs = s.short_springs[places // s.limiters.size]
        each = np.repeat(springs, s.closings.size)
        return np.asarray(np.maximum(each[np.newaxis, :, np.newaxis], s.faults[1]))
    return np.asarray(s.faults[0 if name == "closed_one_way" else 2])


def _by_closing(array: Array, places: int) -> Array:
    """An array over (closing, piston) for every seat."""
    return np.tile(array, (places, 1))[np.newaxis]


class Kind(NamedTuple):
    """Builds that change the same: seats, oils and pistons, and what that takes."""

    seats: Places
    oils: Places
    pistons: Places
    effort: int
    code: int


def _kinds(s: Space, places: Places, family: Family) -> Iterator[Kind]:
    """Builds of some places by what they change."""
    seat_new = _seat_new(s, places)
    for new, oil, piston in product(range(8), range(3), range(3)):
        seats = np.flatnonzero(seat_new == new)
        oils = family.oils[s.oil_kind[family.oils] == oil]
        pistons = np.flatnonzero(s.piston_kind == piston)
        if seats.size and oils.size and pistons.size:
            yield Kind(seats, oils, pistons, int(effort_of(new, oil, piston)), new * 9 + oil * 3 + piston)


_CHANGES = np.array([0, 1, 1, 2, 1, 2, 2, 3])
"""How many of spring, limiter and closing position change, by the bits of `_seat_new`."""


def effort_of(new: Places | int, oil_kind: Places | int, piston_kind: Places | int) -> Places:
    """How much builds ask for: one for each change, far more for a mixture or a drilled blank."""
    oil, piston = np.asarray(oil_kind), np.asarray(piston_kind)
    return np.asarray(_CHANGES[new] + (oil > 0) + (piston > 0) + MIXED * (oil == 2) + DRILLED * (piston == 2))


def _seat_new(s: Space, places: Places) -> Places:
    """What each seat changes: bits 4 spring, 2 limiter, 1 closing position."""
    spring, limiter, closing = s.new
    of_place = 4 * spring[places // s.limiters.size] + 2 * limiter[places % s.limiters.size]
    return np.asarray((of_place[:, np.newaxis] + closing).reshape(-1))


def _kept(
    s: Space, at: Stances, places: Places, family: Family, kind: Kind, told: GuessedBuilds | None = None
) -> Table:
    """Nearest legal builds of a kind; with guesses, those that likely are."""
    there = np.isfinite(family.at_rest[:, kind.seats][..., kind.pistons]).any(axis=(0, 2))
    if not there.any():
        return {}
    kind = kind._replace(seats=kind.seats[there])
    rows = np.ix_(np.arange(family.reason.shape[0]), kind.seats, kind.pistons)
    far = family.at_rest[rows][:, :, np.newaxis, :]
    per = family.per_damping[rows][:, :, np.newaxis, :]
    within = family.within[rows][:, :, np.newaxis, :]
    dampers = [c[np.ix_(kind.oils, kind.pistons)] for c in (s.inward, s.outward)]
    far, within = _with_damping(s.aims, far, within, per, dampers)
    shape = far.shape
    within, near, rank = _of_nearest_step(far, within), far.reshape(-1), far
    if told is None:
        meeting = np.where(within, far, np.inf).reshape(-1)
        chosen = np.union1d(_lowest(near, KEPT), _lowest(meeting, KEPT_MEETING))
    else:
        rank = far + told.terms(family.fill, kind.seats, kind.oils, kind.pistons)
        chosen = _lowest(rank.reshape(-1), KEPT)
    step, seat, oil, piston = np.unravel_index(chosen, shape)
    index = (step, kind.seats[seat], kind.oils[oil], kind.pistons[piston])
    table = gathered(s, at, places, family.fill, index)
    table["distance"], table["meets"] = near[chosen], within.reshape(-1)[chosen]
    table["rank"] = rank.reshape(-1)[chosen]
    table["effort"], table["kind"] = np.full(chosen.size, kind.effort), np.full(chosen.size, kind.code)
    return table


def _of_nearest_step(far: Array, within: Mask) -> Mask:
    """Which meet the goals; of builds that differ in preload alone, by (step, ...), the nearest alone."""
    return np.asarray((far == np.min(far, axis=0)) & within)


def _sampled(s: Space, at: Stances, places: Places, family: Family) -> Table:
    """Legal builds out of a fixed sequence all over the grid: those at some places, of a family of oils."""
    axes = np.array([at.exists.shape[0], s.places, s.closings.size, *s.inward.shape])
    step, place, closing, oil, piston = (even_places(SAMPLES, axes.size) * axes).astype(int).T
    own = np.isin(oil, family.oils) & (place >= places[0]) & (place <= places[-1])
    step, oil, piston = step[own], oil[own], piston[own]
    seat = (place[own] - places[0]) * s.closings.size + closing[own]
    at_rest, per = family.at_rest[:, seat, piston], family.per_damping[:, seat, piston]
    dampers = [c[oil, piston] for c in (s.inward, s.outward)]
    far, meets = _with_damping(s.aims, at_rest, family.within[:, seat, piston], per, dampers)
    row = np.arange(step.size)
    near, within = far[step, row], _of_nearest_step(far, meets)[step, row]
    good = np.flatnonzero(np.isfinite(near))
    if not good.size:
        return {}
    table = gathered(s, at, places, family.fill, (step[good], seat[good], oil[good], piston[good]))
    new, kinds = _seat_new(s, places)[seat[good]], (s.oil_kind[oil[good]], s.piston_kind[piston[good]])
    table["distance"], table["rank"], table["meets"] = near[good], near[good], within[good]
    table["effort"], table["kind"] = effort_of(new, *kinds), new * 9 + kinds[0] * 3 + kinds[1]
    return table


def even_places(count: int, axes: int) -> Array:
    """Points that fill the unit cube evenly, by (point, axis): multiples of powers of one number, their fractions.

    The number is the root of x^(axes + 1) = x + 1, as the golden ratio is for one axis.
    """
    root = 1.0
    for _ in range(60):  # each round is nearer by a half or more
        root = math.pow(1.0 + root, 1.0 / (axes + 1))
    powers = root ** -np.arange(1.0, axes + 1.0)
    return np.asarray((0.5 + np.arange(1, count + 1)[:, np.newaxis] * powers) % 1.0)


def _with_damping(
    aims: dict[str, Aim], far: Array, within: Mask, per: Array, dampers: list[Array]
) -> tuple[Array, Mask]:
    """Distance and goals met with the terms of damping; arrays over (step, seat, oil, piston)."""
    both = {
        "damping_ratio": 0.5 * (dampers[0] + dampers[1]),
        "damping_ratio_compression": dampers[0],
        "damping_ratio_rebound": dampers[1],
    }
    shape = np.broadcast_shapes(far.shape, dampers[0].shape)
    for name in OF_DAMPING:
        if name in aims:
            term = per * ((1.0 / aims[name].tolerance) * both[name])
            term -= aims[name].target / aims[name].tolerance
            term *= term
            within = within & (term <= 1.0)
            far = far + term
    far = np.where(np.isnan(far), np.inf, far)
    return np.broadcast_to(far, shape), np.broadcast_to(within, shape)


def _lowest(values: Array, most: int) -> Places:
    """Places of the lowest finite values, at most so many."""
    finite = np.flatnonzero(np.isfinite(values))
    return finite if finite.size <= most else np.sort(np.argpartition(values, most - 1)[:most])


def gathered(s: Space, at: Stances, places: Places, fill: Places, index: tuple[Places, ...]) -> Table:
    """Columns of the builds at some (step, seat, oil, piston)."""
    step, seat, oil, piston = index
    place, closing = seat // s.closings.size, seat % s.closings.size
    where = (step, place, closing, fill[piston])
    figures = {name: array[where] for name, array in at.figures.items()}
    inward, outward, per = s.inward[oil, piston], s.outward[oil, piston], figures.pop("per_damping")
    axes = s.places, s.closings.size, at.exists.shape[0], *s.inward.shape
    return {
        "number": np.ravel_multi_index((places[place], closing, step, oil, piston), axes),
        "spring": places[place] // s.limiters.size,
        "limiter": places[place] % s.limiters.size,
        "closing": closing,
        "oil": oil,
        "piston": piston,
        **figures,
        "damping_ratio_compression": inward * per,
        "damping_ratio_rebound": outward * per,
        "damping_ratio": 0.5 * (inward + outward) * per,
    }


def _summed(s: Space, at: Stances, places: Places, family: Family, tables: tuple[Table, Table]) -> Found:
    """Counts of a family of oils, its kept builds and samples, the nearest rejected ones."""
    oils = family.oils.size
    reason = np.where(family.exists, family.reason, -2)
    counts = np.bincount(reason[reason >= 0].reshape(-1), minlength=len(REASONS)) * oils
    effort = _bare_effort(s, places, family)
    reasons = [i for i in range(len(REASONS)) if counts[i]]
    flat = [_nearest_of(family, reason == i, effort) for i in reasons]
    misses = _rows(s, at, places, family, flat)
    misses["reason"] = np.array(reasons, dtype=int)
    order = np.lexsort([a.reshape(-1) for a in (effort, family.lack, family.faults, ~family.exists)])
    return Found(
        considered=int(np.sum(family.exists)) * oils,
        legal=int(np.sum(np.isfinite(family.at_rest))) * oils,
        rejected=counts,
        kept=tables[0],
        sample=tables[1],
        misses=misses,
        nearest=_rows(s, at, places, family, [int(order[0])]),
    )


def _bare_effort(s: Space, places: Places, family: Family) -> Places:
    """Effort of each (step, seat, piston) with the oil that asks for least."""
    oil = int(np.min(s.oil_kind[family.oils]))
    of_seat = effort_of(_seat_new(s, places)[:, np.newaxis], oil, s.piston_kind)
    return np.broadcast_to(of_seat, family.reason.shape)


def _nearest_of(family: Family, mask: Mask, effort: Places) -> int:
    """Place of the rejected build with the fewest faults, then the smallest lack, then the least effort."""
    flat = np.flatnonzero(mask.reshape(-1))
    order = np.lexsort([array.reshape(-1)[flat] for array in (effort, family.lack, family.faults)])
    return int(flat[order[0]])


def _rows(s: Space, at: Stances, places: Places, family: Family, flat: list[int]) -> Table:
    """Columns of some (step, seat, piston), flattened, with the oil that asks for least; and what they lack."""
    step, seat, piston = (np.asarray(a) for a in np.unravel_index(np.array(flat, dtype=int), family.reason.shape))
    oil = family.oils[np.argmin(s.oil_kind[family.oils])]
    table = gathered(s, at, places, family.fill, (step, seat, np.full(step.shape, oil), piston))
    every = [_missing(s, at, places, name, family.fill) for name in REASONS]
    lacks = [np.broadcast_to(a, family.reason.shape)[step, seat, piston] for a in every]
    table["lacks"] = np.array(lacks).T.reshape(-1, len(REASONS))
    table["lack"], table["faults"] = family.lack[step, seat, piston], family.faults[step, seat, piston]
    table["effort"] = effort_of(_seat_new(s, places)[seat], s.oil_kind[oil], s.piston_kind[piston])
    return table


def together(found: list[Found]) -> Found:
    """What several chunks found, in their order."""
    misses = joined([f.misses for f in found])
    if misses:
        order = np.lexsort([misses[name] for name in ("effort", "lack", "faults", "reason")])
        misses = picked(misses, order)
        misses = picked(misses, np.unique(misses["reason"], return_index=True)[1])
    nearest = joined([f.nearest for f in found])
    best = np.lexsort((nearest["effort"], nearest["lack"], nearest["faults"]))[:1]
    return Found(
        considered=sum(f.considered for f in found),
        legal=sum(f.legal for f in found),
        rejected=np.sum([f.rejected for f in found], axis=0),
        kept=thinned(joined([f.kept for f in found])),
        sample=joined([f.sample for f in found]),
        misses=misses,
        nearest=picked(nearest, best),
    )


def thinned(table: Table) -> Table:
    """Of each kind the first, in order of rank."""
    if not table:
        return table
    table = picked(table, np.argsort(table["rank"], kind="stable"))
    stay = np.zeros(table["rank"].size, dtype=bool)
    for code in np.unique(table["kind"]):
        rows = np.flatnonzero(table["kind"] == code)
        stay[rows[:KEPT]] = stay[rows[table["meets"][rows]][:KEPT_MEETING]] = True
    return picked(table, stay)
