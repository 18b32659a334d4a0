"""Many corners in motion at once, each figure as the single calculation gives it; SI arrays over the corners.

Corners of one kind of fill and one time step run together. A figure that cannot be worked out is not-a-number.
"""

from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

import numpy as np

from .errors import TooCostly
from .ground import Window, agree, at_rest, bounded, load_variation, over_step, window_of
from .moving import Ready, motion_of, stacked
from .physics.numbers import G_N, Array, Mask, Places
from .physics.stepping import ARRAYS
from .releases import come_back, held
from .runs import CLOSES, HALVINGS, Watch, can_fall, landed, missing
from .touching import FIRST_GUESS_M, HIGHEST_M, LONGEST_TURN_S
from .windows import WINDOWS, road_of

LONGEST_BOUNCE_S = 0.6
"""Longest landing: by then a corner has been through the top of its first bounce, or has none."""
WIDE, NEAR = (0.625, 0.8, 1.0, 1.25, 1.6), (0.98, 0.995, 1.0, 1.005, 1.02)
"""Heights over the one expected that a round looks at: to find the touch height, to narrow it."""
TOUCH_ROUNDS = 8
RELEASE_S = 0.8
"""Time after a push in which half time and overshoot are looked for."""
KERB_S = 0.2
"""Time after the top of a kerb in which its peak is looked for."""


class Fallen(NamedTuple):
    """What a fall does, over the first landing and the bounce after it."""

    clearance: Array  # least, m
    insertion: Array  # greatest, m
    force: Array  # peak, N
    bounce: Array  # m


class Driven(NamedTuple):
    """What even bumps do once steady, or after as many windows as are waited for."""

    contact: Array  # share of the time
    shift: Array  # mean wheel travel over that at rest, m
    variation: Array  # of the tyre's load, share of its mean
    force: Array  # peak, N


class Released(NamedTuple):
    """How a body comes back that was pushed down."""

    half: Array  # s
    over: Array  # overshoot, m


def groups(corners: Sequence[Ready | None]) -> list[Places]:
    """Places of the corners that may run together: one kind of fill, one time step."""
    kinds: dict[tuple[Any, ...], list[int]] = {}
    for place, corner in enumerate(corners):
        if corner is not None:
            key = (type(corner.chamber), getattr(corner.chamber, "vented", False), corner.step)
            kinds.setdefault(key, []).append(place)
    return [np.array(places) for places in kinds.values()]


def _stack(corners: Sequence[Ready | None], places: Places) -> Ready:
    return stacked([corner for corner in (corners[int(place)] for place in places) if corner is not None])


def _bounced() -> Callable[[Watch, Any], bool]:
    """A sign that every corner of a batch has been through the top of its first bounce."""
    seen: Mask = np.zeros((), dtype=bool)

    def sign(watch: Watch, time: Any) -> bool:
        nonlocal seen
        run = watch.run
        seen = seen | ((run.now_body > 0.0) & (run.now_wheel < 0.0) & (time > 0.02))
        return bool(np.all(seen))

    return sign


def _turned() -> Callable[[Watch, Any], bool]:
    """A sign that the body of every corner of a batch has begun to rise."""
    seen: Mask = np.zeros((), dtype=bool)

    def sign(watch: Watch, _: Any) -> bool:
        nonlocal seen
        seen = seen | (watch.run.now_body > 0.0)
        return bool(np.all(seen))

    return sign


def fallen(
    corners: Sequence[Ready | None],
    height: Any,
    sign: Callable[[], Callable[[Watch, Any], bool]] = _bounced,
    duration: float = LONGEST_BOUNCE_S,
) -> Fallen:
    """What falls from a height [m], one or one a corner, do; the step is halved where the ledger stays open."""
    count = len(corners)
    speed = np.sqrt(2.0 * G_N * np.maximum(np.broadcast_to(height, (count,)), 0.0))
    found = Fallen(*(np.full(count, np.nan) for _ in Fallen._fields))
    left = [corner if corner is not None and can_fall(corner) else None for corner in corners]
    for _ in range(HALVINGS + 1):
        for places in groups(left):
            with np.errstate(all="ignore"):
                watch = landed(_stack(left, places), speed[places], duration, sign())
                good = missing(watch, speed[places]) <= CLOSES
            seen = watch.clearance, watch.insertion, watch.force, watch.bounce
            for column, values in zip(found, seen, strict=True):
                column[places[good]] = np.broadcast_to(values, good.shape)[good]
            for place, done in zip(places, good, strict=True):
                left[place] = None if done else left[place]
        if not any(left):
            break
        left = [None if corner is None else corner._replace(step=0.5 * corner.step) for corner in left]
    return found


def _least(corners: Sequence[Ready | None], height: Array) -> Array:
    """Least clearance of falls on the way down, m."""
    return fallen(corners, height, _turned, LONGEST_TURN_S).clearance


def touches(corners: Sequence[Ready | None], guess: Any = FIRST_GUESS_M) -> Array:
    """Heights from which the chassis just touches [m], to 1e-4 of them; each round looks at some heights at once.

    0 where it touches from any, infinite where from none up to HIGHEST_M.
    """
    count = len(corners)
    at = np.broadcast_to(guess, (count,)).astype(float)
    left: list[Ready | None] = [_bare(c) if c is not None and can_fall(c) else None for c in corners]
    found = np.array([np.nan if c is None or can_fall(c) else 0.0 for c in corners])
    found[fallen(left, 0.0, _turned, LONGEST_TURN_S).clearance <= 0.0] = 0.0
    for _ in range(TOUCH_ROUNDS):
        open_ = np.isnan(found) & np.array([corner is not None for corner in left])
        if not open_.any():
            break
        low, high, root = _about(left, open_, at, WIDE)
        inside = open_ & np.isfinite(root)
        fine = np.full(count, np.nan)
        if inside.any():
            fine = _about(left, inside, root, NEAR)[2]
        found = np.where(inside, np.where(np.isfinite(fine), fine, root), found)
        found = np.where(open_ & ~inside & low & (at * WIDE[-1] >= HIGHEST_M), np.inf, found)
        at = np.where(
            low, np.minimum(at * WIDE[-1] / WIDE[0], HIGHEST_M / WIDE[-1]), np.where(high, at * WIDE[0], at)
        )
    return np.where(found > HIGHEST_M, np.inf, found)


def _bare(corner: Ready) -> Ready:
    """A corner over ground that does not hold its chassis: the clearance goes on smoothly below nil."""
    return corner._replace(moving=corner.moving._replace(ground_rate=0.0, ground_damping=0.0))


def _about(
    corners: Sequence[Ready | None], wanted: Mask, at: Array, times: tuple[float, ...]
) -> tuple[Mask, Mask, Array]:
    """Whether the chassis touches from none or from all of some heights, `times` one each; the root between."""
    count, many = len(corners), len(times)
    heights = at * np.array(times)[:, np.newaxis]
    lanes = [corner if on else None for corner, on in zip(corners, wanted, strict=True)] * many
    spare = fallen(lanes, heights.ravel(), _turned, LONGEST_TURN_S).clearance.reshape(many, count)
    root = np.full(count, np.nan)
    for i in np.flatnonzero(wanted):
        crossing = np.flatnonzero((spare[:-1, i] > 0.0) & (spare[1:, i] <= 0.0))
        if crossing.size:
            root[i] = _root(heights[:, i], spare[:, i], int(crossing[0]))
    return np.all(spare > 0.0, axis=0), np.all(spare <= 0.0, axis=0), root


def _root(height: Array, spare: Array, k: int) -> float:
    """Height of no clearance between two rows, by a parabola through the three nearest where it stays there."""
    a, b = height[k], height[k + 1]
    straight = float(a + (b - a) * spare[k] / (spare[k] - spare[k + 1]))
    near = slice(max(k - 1, 0), max(k - 1, 0) + 3)
    if height[near].size == 3 and np.all(np.diff(spare[near]) < 0.0):
        y, x = spare[near], height[near]
        bent = float(sum(x[i] * np.prod([y[j] / (y[j] - y[i]) for j in range(3) if j != i]) for i in range(3)))
        if a <= bent <= b:
            return bent
    return straight


def over_bumps(corners: Sequence[Ready | None], height: float, spacing: float, speed: float) -> Driven:
    """What even bumps do: height trough to crest and spacing [m], speed [m/s]; corners begin at rest."""
    found = Driven(*(np.full(len(corners), np.nan) for _ in Driven._fields))
    for places in groups(corners):
        batch = _stack(corners, places)
        try:
            bounded("washboard", spacing, speed, float(batch.step[0]))
        except TooCostly:
            continue
        with np.errstate(all="ignore"):
            window, force = _steadied(batch, height, spacing, speed)
        seen = window.contact, window.travel - batch.rest, load_variation(window), force
        whole = np.isfinite(sum(seen))
        for column, values in zip(found, seen, strict=True):
            column[places] = np.where(whole, values, np.nan)
    return found


def _steadied(batch: Ready, height: float, spacing: float, speed: float) -> tuple[Window, Array]:
    """Each corner's first window that agrees with the one before, and the peak force in it."""
    road = road_of("washboard", height, spacing, speed, float(batch.step[0]))
    run = at_rest(batch)
    watch = Watch(batch, run)
    last = kept = window_of(run, watch, road)
    force = watch.force
    done = np.zeros(np.shape(batch.rest), dtype=bool)
    for _ in range(WINDOWS - 1):
        watch = Watch(batch, run)
        before, last = last, window_of(run, watch, road)
        kept = Window(*(np.where(done, a, b) for a, b in zip(kept, last, strict=True)))
        force = np.where(done, force, watch.force)
        done = done | agree(before, last) | ~np.isfinite(last.travel)
        if done.all():
            break
    return kept, force


def over_kerb(corners: Sequence[Ready | None], height: float, length: float, speed: float) -> Array:
    """Peak force of the shock over one rise of the ground, N: height and run-up [m], speed [m/s]."""
    found = np.full(len(corners), np.nan)
    for places in groups(corners):
        batch = _stack(corners, places)
        try:
            bounded("step", length, speed, float(batch.step[0]))
        except TooCostly:
            continue
        with np.errstate(all="ignore"):
            window, watch = over_step(batch, height, length, speed, KERB_S)
        found[places] = np.where(np.isfinite(sum(window)), watch.force, np.nan)
    return found


def pushed_down(corners: Sequence[Ready | None], push: float) -> tuple[Array, Array]:
    """Height of the wheel and insertion of a body pushed down by `push` [m]; not-a-number where it does not fit."""
    wheel, insertion = (np.full(len(corners), np.nan) for _ in range(2))
    for places in groups(corners):
        batch = _stack(corners, places)
        fits = push < batch.moving.clearance - batch.rest
        with np.errstate(all="ignore"):
            body = -batch.rest - push
            height = held(batch, body)
            begun = motion_of(batch, ARRAYS, height - body, height, 0.0 * body).insertion
        wheel[places], insertion[places] = np.where(fits, height, np.nan), np.where(fits, begun, np.nan)
    return wheel, insertion


def released(corners: Sequence[Ready | None], wheel: Array, push: float) -> Released:
    """How bodies come back that were pushed down; the corners' gas is at rest where they are held."""
    found = Released(*(np.full(len(corners), np.nan) for _ in Released._fields))
    for places in groups(corners):
        with np.errstate(all="ignore"):
            seen = come_back(_stack(corners, places), wheel[places], push, RELEASE_S)
        found.half[places], found.over[places] = seen.half, seen.over
    return found
