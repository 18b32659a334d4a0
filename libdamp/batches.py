"""Many corners in motion at once, each figure as the single calculation gives it; SI arrays over the corners.

Corners of one kind of fill run together; over bumps, where they share the ground's steps, of one time step too.
A figure that cannot be worked out is not-a-number.
"""

from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

import numpy as np

from .ground import Window, agree, load_variation, sound, standing_start, window_course
from .moving import Ready, motion_of, stacked
from .physics.motion import Motion
from .physics.numbers import G_N, Array, Mask, Places
from .physics.stepping import ARRAYS
from .releases import held
from .runs import CLOSES, LEAST_S, QUIET_S, Course, Peak, Watch, can_fall, landed, missing
from .touching import FIRST_GUESS_M, HIGHEST_M, LONGEST_TURN_S
from .windows import road_of

LONGEST_LANDING_S = 0.6
"""Longest landing that is looked at: by then force and bounce are past, thick oil may still creep down."""
HIGH_BOUNCE_M = 0.03
"""A tyre that bounces higher may come down again later than that: such landings are looked at to their end."""
MOST_HALVINGS, MOST_WINDOWS = 2, 8
"""How often a landing's step is halved, and how many windows of bumps are waited for, before a figure counts as
none: fewer than for a corner alone, as one slow corner holds up the whole batch. Over bumps no step is halved."""
WIDE, NEAR = (0.625, 0.8, 0.9, 1.0, 1.25, 1.6), (0.97, 0.997, 0.9995, 1.0005, 1.003, 1.03)
"""Heights over the one expected that a round looks at: to find the touch height, to narrow it."""
NARROW, LEAST_M = 2e-3, 1e-4
"""Width of a bracket over the height at which it is narrow enough; a fall below LEAST_M is none."""
TOUCH_ROUNDS, TOUCH_CLOSES = 12, 1e-3
"""Most rounds; share of the energy within which a ledger closes there: the way down is far surer than that."""
RELEASE_S, HALF_TIMES = 1.0, 3.0
"""Time after a push in which half time and overshoot are looked for; a body that has not turned back after so
many half times does not overshoot to speak of."""
KERB_S = 0.2
"""Time after the top of a kerb in which its peak is looked for."""


LEAST_STEP_S = 2.5e-5
"""A corner that needs shorter time steps than this is not moved beside others: it alone would hold up all."""


def quick(corner: Ready | None) -> Ready | None:
    """A corner that may be moved beside others; None where its time steps are too short."""
    return corner if corner is not None and corner.step >= LEAST_STEP_S else None


class Fallen(NamedTuple):
    """What a fall does, until the body is at rest."""

    clearance: Array  # least, m
    insertion: Array  # greatest, m
    force: Array  # peak, N
    bounce: Array  # m


class Driven(NamedTuple):
    """What even bumps do once steady; not-a-number where that takes more than MOST_WINDOWS."""

    contact: Array  # share of the time
    shift: Array  # mean wheel travel over that at rest, m
    variation: Array  # of the tyre's load, share of its mean
    force: Array  # peak, N


class Released(NamedTuple):
    """How a body comes back that was pushed down."""

    half: Array  # s
    over: Array  # overshoot, m


def groups(corners: Sequence[Ready | None], own_steps: bool = False) -> list[Places]:
    """Places of the corners that may run together: one kind of fill, one time step unless each keeps its own."""
    kinds: dict[tuple[Any, ...], list[int]] = {}
    for place, corner in enumerate(corners):
        if corner is not None:
            step = None if own_steps else corner.step
            key = (type(corner.chamber), getattr(corner.chamber, "vented", False), step)
            kinds.setdefault(key, []).append(place)
    return [np.array(places) for places in kinds.values()]


def _stack(corners: Sequence[Ready | None], places: Places) -> Ready:
    return stacked([corner for corner in (corners[int(place)] for place in places) if corner is not None])


def calm() -> Callable[[Watch, Any], bool]:
    """A sign that every body of a batch has been at rest for QUIET_S, LEAST_S after its fall at the soonest."""
    return lambda watch, time: bool(np.all((time - watch.settled > QUIET_S) & (time > LEAST_S)))


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
    sign: Callable[[], Callable[[Watch, Any], bool]] = calm,
    duration: float = LONGEST_LANDING_S,
    closes: float = CLOSES,
    halvings: int = MOST_HALVINGS,
) -> Fallen:
    """What falls from a height [m], one or one a corner, do; the step is halved where the ledger stays open."""
    count = len(corners)
    speed = np.sqrt(2.0 * G_N * np.maximum(np.broadcast_to(height, (count,)), 0.0))
    found = Fallen(*(np.full(count, np.nan) for _ in Fallen._fields))
    left = [corner if corner is not None and can_fall(corner) else None for corner in corners]
    for _ in range(halvings + 1):
        for places in groups(left, own_steps=True):
            with np.errstate(all="ignore"):
                watch = landed(_stack(left, places), speed[places], duration, sign())
                good = missing(watch, speed[places]) <= closes
            seen = watch.least, watch.insertion, watch.force, watch.bounce
            for column, values in zip(found, seen, strict=True):
                column[places[good]] = np.broadcast_to(values, good.shape)[good]
            for place, done in zip(places, good, strict=True):
                left[place] = None if done else left[place]
        if not any(left):
            break
        left = [None if corner is None else corner._replace(step=0.5 * corner.step) for corner in left]
    return found


def touches(corners: Sequence[Ready | None], guess: Any = FIRST_GUESS_M) -> Array:
    """Heights from which the chassis just touches [m]; each round looks at some heights at once.

    Half a per cent of the height, most of it far nearer; a vented cap is known to be full to a time step, by which
    its clearance jumps: two per cent.
    0 where it touches from any, infinite where from none up to HIGHEST_M.
    """
    count = len(corners)
    left: list[Ready | None] = [_bare(c) if c is not None and can_fall(c) else None for c in corners]
    found = np.array([np.nan if c is None or can_fall(c) else 0.0 for c in corners])
    at = np.broadcast_to(guess, (count,)).astype(float)
    low, high = (np.zeros(count), np.full(count, np.nan)), (np.full(count, np.inf), np.full(count, np.nan))
    for _ in range(TOUCH_ROUNDS):
        open_ = np.isnan(found) & np.array([corner is not None for corner in left])
        known = np.isfinite(high[0]) & (low[0] > 0.0)
        heights = at * np.where(known[:, np.newaxis], NEAR, WIDE).T
        heights = np.clip(heights, low[0], np.minimum(high[0], HIGHEST_M))
        open_ &= heights[0] < heights[-1]  # else the runs from higher up are not resolved: there is no figure
        if not open_.any():
            break
        spare = _spare(left, open_, heights)
        found[open_ & (low[0] == 0.0) & (heights[0] < LEAST_M) & (spare[0] <= 0.0)] = 0.0
        found[open_ & (heights[-1] >= HIGHEST_M) & (spare[-1] > 0.0)] = np.inf
        at, low, high = _closer(np.vstack([low[0], heights, high[0]]), np.vstack([low[1], spare, high[1]]), at)
        with np.errstate(invalid="ignore"):
            narrow = high[0] - low[0] <= NARROW * at
        found = np.where(np.isnan(found) & open_ & narrow, at, found)
    return found


def _bare(corner: Ready) -> Ready:
    """A corner over ground that does not hold its chassis: the clearance goes on smoothly below nil."""
    return corner._replace(moving=corner.moving._replace(ground_rate=0.0, ground_damping=0.0))


def _spare(corners: Sequence[Ready | None], wanted: Mask, heights: Array) -> Array:
    """Least clearance over some heights a corner (a column each), m."""
    lanes = [corner if on else None for corner, on in zip(corners, wanted, strict=True)] * heights.shape[0]
    seen = fallen(lanes, heights.ravel(), _turned, LONGEST_TURN_S, TOUCH_CLOSES)
    return seen.clearance.reshape(heights.shape)


def _closer(height: Array, spare: Array, at: Array) -> tuple[Array, tuple[Array, Array], tuple[Array, Array]]:
    """Where to look next, and the nearest heights below and above the touch height with their clearances."""
    rows = np.arange(height.shape[1])
    above = spare > 0.0
    k = np.max(np.where(above, np.arange(len(height))[:, np.newaxis], 0), axis=0)
    m = np.minimum(k + 1, len(height) - 1)
    low, high = (height[k, rows], spare[k, rows]), (height[m, rows], spare[m, rows])
    low = np.where(above[k, rows], low[0], 0.0), np.where(above[k, rows], low[1], np.nan)
    root = np.array([_root(height[:, i], spare[:, i], int(k[i])) for i in rows])
    up, down = at * WIDE[-1] / WIDE[0], at * WIDE[0] / WIDE[-1]
    further = np.where(np.isinf(high[0]), np.minimum(up, HIGHEST_M / WIDE[-1]), down)
    return np.where(np.isfinite(root), root, further), low, high


def _root(height: Array, spare: Array, k: int) -> float:
    """Height of no clearance between two rows, by a parabola through the three nearest where it stays there."""
    if k + 1 >= len(height) or not (np.isfinite(spare[k]) and np.isfinite(spare[k + 1])) or spare[k] <= 0.0:
        return np.nan
    a, b = float(height[k]), float(height[k + 1])
    near = [j for j in (k - 1, k, k + 1, k + 2) if 0 <= j < len(height) and np.isfinite(spare[j])][:3]
    y, x = spare[near], height[near]
    if len(near) == 3 and np.all(np.diff(y) < 0.0):
        bent = float(sum(x[i] * np.prod([y[j] / (y[j] - y[i]) for j in range(3) if j != i]) for i in range(3)))
        if a <= bent <= b:
            return bent
    return float(a + (b - a) * spare[k] / (spare[k] - spare[k + 1]))


def driven(batch: Ready, window: Window, force: Array, steady: Mask) -> Driven:
    """Figures of a batch over bumps; not-a-number where it is not steady or its numbers ran away."""
    seen = window.contact, window.travel - batch.rest, load_variation(window), force
    whole = steady & sound(window) & np.isfinite(sum(seen))
    return Driven(*(np.where(whole, values, np.nan) for values in seen))


def steadied(batch: Ready, height: float, spacing: float, speed: float) -> Course[tuple[Window, Array, Mask]]:
    """Course of a batch over bumps: the first window that agrees with the one before, if any, and its peak."""
    road = road_of("washboard", height, spacing, speed, float(batch.step[0]))
    run = yield standing_start(batch)
    watch = Peak(batch, run)
    last = kept = yield from window_course(run, watch, road)
    force = watch.force
    done = np.zeros(np.shape(batch.rest), dtype=bool)
    for _ in range(MOST_WINDOWS - 1):
        watch = Peak(batch, run)
        before = last
        last = yield from window_course(run, watch, road)
        kept = Window(*(np.where(done, a, b) for a, b in zip(kept, last, strict=True)))
        force = np.where(done, force, watch.force)
        done = done | agree(before, last) | ~np.isfinite(last.travel)
        if done.all():
            break
    return kept, force, done


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


def returned_yet(run: Motion, time: float, half: Array) -> Mask:
    """Which bodies have come back: beyond half-way and turned, or long past half-way."""
    beyond = np.isfinite(half)
    turned = (run.now_body < 0.0) | (time > HALF_TIMES * half)
    return np.asarray((beyond & turned) | (time > RELEASE_S))
