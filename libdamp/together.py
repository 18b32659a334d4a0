"""Landings, bumps, a kerb and a push at once: many corners in several courses that share their time steps.

A time step of many corners takes hardly longer than that of a few, so courses of one kind of fill are stepped as
one batch; each lane goes on as it would alone, and the others go on without those that have ended.
"""

from collections.abc import Callable, Sequence
from copy import copy
from itertools import pairwise
from typing import Any, NamedTuple, TypeVar

import numpy as np

from .batches import (
    HIGH_BOUNCE_M,
    KERB_S,
    LONGEST_LANDING_S,
    MOST_HALVINGS,
    Driven,
    Fallen,
    Released,
    calm,
    driven,
    fallen,
    groups,
    returned_yet,
    steadied,
)
from .errors import TooCostly
from .ground import bounded, rising, sound
from .moving import Ready, inside_of, stacked
from .physics.motion import DRAG_GIVE_M, Motion
from .physics.numbers import G_N, Array, Places
from .physics.stepping import ARRAYS
from .releases import coming_back
from .runs import CLOSES, LONGEST_S, Course, Peak, Start, Watch, can_fall, landing, missing

Lanes = Sequence[Ready | None]


class Asked(NamedTuple):
    """What corners are put through, SI; a height of 0 leaves that course out."""

    fall: float
    bump: float
    spacing: float
    speed: float
    kerb: float
    kerb_length: float
    push: float


class Moved(NamedTuple):
    """What came of it; not-a-number where there is nothing."""

    fallen: Fallen
    driven: Driven
    kerb: Array  # peak force, N
    released: Released


class Part:
    """The lanes of one course of a shared motion: reads like a motion of its own."""

    def __init__(self, whole: Any, lanes: slice, c: Any) -> None:
        self._whole, self.lanes = whole, lanes
        if c is not None:
            self.c = c

    def __getattr__(self, name: str) -> Any:
        value = getattr(self._whole, name)
        if isinstance(value, np.ndarray):
            return value[self.lanes] if value.ndim else value
        if name == "chamber":
            self.chamber = Part(value, self.lanes, None)
            return self.chamber
        if callable(value):
            return lambda *given: tuple(column[self.lanes] for column in value(*given))
        return value

    def take(self, whole: Any, lanes: slice) -> None:
        """Read from another motion from now on."""
        self._whole, self.lanes = whole, lanes
        vars(self).pop("chamber", None)


def shared(courses: Sequence[tuple[list[Ready], Callable[[Ready], Course[Any]]]]) -> list[tuple[Ready, Any]]:
    """Batch and what it gives of each course, all of one kind of fill, stepped as one batch."""
    batches = [stacked(corners) for corners, _ in courses]
    going = [make(batch) for batch, (_, make) in zip(batches, courses, strict=True)]
    starts: list[Start] = [next(course) for course in going]
    lanes = _laid([len(corners) for corners, _ in courses])
    run = _begun([corner for corners, _ in courses for corner in corners], starts, lanes)
    given: list[Any] = [None] * len(going)
    parts = {k: Part(run, lanes[k], batch.moving) for k, batch in enumerate(batches)}
    asked = {k: going[k].send(part) for k, part in parts.items()}
    columns = _columns(run, parts, asked)
    while asked:
        for k, step in asked.items():
            for column, value in zip(columns[1:], step[1:], strict=False):
                column[parts[k].lanes] = value
        run.step(*columns)
        for k in list(asked):
            try:
                asked[k] = next(going[k])
            except StopIteration as end:
                given[k] = end.value
                del asked[k], parts[k]
        if 0 < len(asked) < len(lanes):
            run, lanes = _left(run, list(parts.values()), [courses[k][0] for k in asked])
            columns = _columns(run, parts, asked)
    return list(zip(batches, given, strict=True))


def _columns(run: Motion, parts: dict[int, Part], asked: dict[int, Any]) -> tuple[Array, Array, Array, Array]:
    """What `Motion.step` takes, of all lanes: the time steps that the courses ask for, level ground."""
    h, road, rise, floor = (np.zeros(np.shape(run.body)) for _ in range(4))
    for k, step in asked.items():
        h[parts[k].lanes] = step[0]
    return h, road, rise, floor


def _left(run: Motion, parts: list[Part], corners: list[list[Ready]]) -> tuple[Motion, list[slice]]:
    """A motion of the courses that go on, and their lanes; what has ended keeps the other as it was then."""
    own = np.concatenate([np.arange(run.body.size)[part.lanes] for part in parts])
    whole, left = stacked([corner for some in corners for corner in some]), copy(run)
    left.chamber = copy(run.chamber)
    for some in (left, left.chamber):
        for name, value in vars(some).items():
            if isinstance(value, np.ndarray) and value.ndim:
                setattr(some, name, value[own])
    left.c, left.chamber.c = whole.moving, whole.chamber
    lanes = _laid([len(some) for some in corners])
    for part, place in zip(parts, lanes, strict=True):
        part.take(left, place)
    return left, lanes


def _laid(counts: list[int]) -> list[slice]:
    """Lanes of each of some courses, side by side."""
    return [slice(int(a), int(b)) for a, b in pairwise(np.cumsum([0, *counts]))]


def _begun(corners: list[Ready], starts: list[Start], lanes: list[slice]) -> Motion:
    """The shared motion, each course's lanes at its own start."""
    whole = stacked(corners)
    travel, wheel, speed = (np.concatenate([np.asarray(start[i]) for start in starts]) for i in (1, 2, 3))
    run = Motion(whole.moving, ARRAYS, (wheel - travel, wheel, speed, speed))
    run.begin(inside_of(whole.chamber, ARRAYS, run.insertion))
    slider, drag = np.array(run.slider), np.zeros(len(corners))
    for start, part in zip(starts, lanes, strict=True):
        if start.pressed_in:
            slider[part] = slider[part] - DRAG_GIVE_M
            drag[part] = start.corner.moving.drag
    run.slider, run.drag = slider, drag
    return run


K = TypeVar("K", Fallen, Driven, Released)


def _none(kind: type[K], count: int) -> K:
    """Columns without a figure."""
    return kind(*(np.full(count, np.nan) for _ in kind._fields))


def moved(falling: Lanes, resting: Lanes, held: Lanes, wheel: Array, asked: Asked) -> Moved:
    """Figures of corners that fall from their droop stop, go from rest, are held down with the wheel at a height.

    Each figure is that of the single calculation; those of a fall are those of `fallen`.
    """
    count = len(falling)
    found = Moved(_none(Fallen, count), _none(Driven, count), np.full(count, np.nan), _none(Released, count))
    bumps = [_within(corner, "washboard", asked.spacing, asked.speed) and asked.bump > 0.0 for corner in resting]
    kerbs = [_within(corner, "step", asked.kerb_length, asked.speed) and asked.kerb > 0.0 for corner in resting]
    lanes = [
        *(corner if corner is not None and asked.fall > 0.0 and can_fall(corner) else None for corner in falling),
        *(corner if drives else None for corner, drives in zip(resting, bumps, strict=True)),
        *(corner if drives else None for corner, drives in zip(resting, kerbs, strict=True)),
        *held,
    ]
    for places in groups(lanes, own_steps=True):
        apart = _apart(lanes, places, count)
        courses = [
            ([_there(lanes[int(place)]) for place in some], _course(kind, wheel[some % count], asked))
            for kind, some in apart
        ]
        with np.errstate(all="ignore"):
            for (kind, some), given in zip(apart, shared(courses), strict=True):
                _take(found, kind, some % count, given, asked.fall)
    _finer(found.fallen, lanes[:count], asked.fall)
    _longer(found.fallen, lanes[:count], asked.fall)
    return found


def _apart(lanes: Lanes, places: Places, count: int) -> list[tuple[int, Places]]:
    """Kinds of course with the places of their lanes; a landing's keep their own time steps, else one a course."""
    found: list[tuple[int, Places]] = []
    for kind in range(4):
        own = places[places // count == kind]
        some = groups([lanes[int(place)] for place in own], own_steps=kind == 0)
        found.extend((kind, own[chosen]) for chosen in some)
    return found


def _there(corner: Ready | None) -> Ready:
    """A corner that is there."""
    if corner is None:
        raise ValueError("no corner")
    return corner


def _within(corner: Ready | None, shape: str, spacing: float, speed: float) -> bool:
    """Whether a corner can be driven over such ground within the bound on time steps."""
    if corner is None:
        return False
    try:
        bounded(shape, spacing, speed, float(corner.step))
    except TooCostly:
        return False
    return True


def _course(kind: int, wheel: Array, asked: Asked) -> Callable[[Ready], Course[Any]]:
    """Course of a kind for a batch."""
    if kind == 0:
        fast = np.full(len(wheel), np.sqrt(2.0 * G_N * asked.fall))
        return lambda batch: landing(batch, fast, LONGEST_LANDING_S, calm())
    if kind == 1:
        return lambda batch: steadied(batch, asked.bump, asked.spacing, asked.speed)
    if kind == 2:
        return lambda batch: rising(batch, asked.kerb, asked.kerb_length, asked.speed, KERB_S, Peak)
    return lambda batch: coming_back(batch, wheel, asked.push, returned_yet)


def _take(found: Moved, kind: int, own: Any, given: tuple[Ready, Any], height: float) -> None:
    """Put what a course of a batch gave where it belongs."""
    batch, seen = given
    if kind == 0:
        watch: Watch = seen
        good = missing(watch, np.sqrt(2.0 * G_N * height)) <= CLOSES
        for column, values in zip(
            found.fallen, (watch.least, watch.insertion, watch.force, watch.bounce), strict=True
        ):
            column[own[good]] = values[good]
    elif kind == 1:
        for column, values in zip(found.driven, driven(batch, *seen), strict=True):
            column[own] = values
    elif kind == 2:
        found.kerb[own] = np.where(sound(seen[0]), seen[1].force, np.nan)
    else:
        found.released.half[own], found.released.over[own] = seen.half, seen.over


def _longer(found: Fallen, falling: Lanes, height: float) -> None:
    """Landings that bounce so high that they come down again later than was looked at, for longer."""
    left = [corner if found.bounce[i] > HIGH_BOUNCE_M else None for i, corner in enumerate(falling)]
    if any(left):
        again = fallen(left, height, duration=LONGEST_S)
        for column, values in zip(found, again, strict=True):
            column[:] = np.where(np.isfinite(values), values, column)


def _finer(found: Fallen, falling: Lanes, height: float) -> None:
    """Landings whose ledger stayed open, with finer steps."""
    left = [
        None if corner is None or np.isfinite(found.clearance[i]) else corner._replace(step=0.5 * corner.step)
        for i, corner in enumerate(falling)
    ]
    if any(left):
        again = fallen(left, height, halvings=MOST_HALVINGS - 1)
        for column, values in zip(found, again, strict=True):
            column[:] = np.where(np.isfinite(values), values, column)
