"""Both ends of a car searched: the whole grid at rest, then some builds in motion, in rounds.

Some builds are moved first; by these all are guessed and the likeliest are moved, with bought parts too. Where the
box holds too little to tell how bought parts move, some with them are moved from the first on.
"""

from typing import NamedTuple

import numpy as np

from .builds import End, as_it_stands, hardly
from .car import Box, Car, Goals, Use
from .goals import Aim, end_aims, motion_aims
from .grid import space
from .guessing import Guesses
from .headlines import Runs
from .in_hand import Parts, parts_of, with_made
from .in_motion import aimed, in_motion, shortlist, unresolved, with_samples
from .likely import by_rank, furthest_wanted, guessed, likely
from .missing_part import (
    ENDS,
    OF_A_PART,
    Move,
    Stock,
    best_pair,
    fresh,
    in_play,
    least,
    ranked,
    stock,
    worth_moving,
)
from .pairing import BothEnds
from .physics.numbers import Places
from .searching import Chunk, chunks, likeliest, looked_at, thinned, together
from .tables import Table, joined
from .working import Helpers, tell, worked

VARIED = 50_000
"""More legal builds of an end are so unlike each other that they tell how it moves with a bought part too."""


class Task(NamedTuple):
    """What both ends are searched for, and by whom."""

    use: Use
    box: Box
    goals: Goals
    between: dict[str, Aim]
    runs: Runs
    helpers: Helpers

    @property
    def moves(self) -> bool:
        """Whether there is a landing or bumps."""
        return self.runs.fall > 0.0 or self.runs.bump > 0.0


class Searched(NamedTuple):
    """Both ends with every build at rest that is near the goals."""

    standing: list[End]  # as they stand
    ends: list[End]
    chunks: list[list[Chunk]]  # all builds of each

    @property
    def varied(self) -> bool:
        """Whether the builds of both ends tell how they move with a bought part too."""
        return min(end.found.legal for end in self.ends) > VARIED


class Chosen(NamedTuple):
    """Both ends with the builds that are chosen from."""

    standing: list[End]
    ends: list[End]
    bought: list[list[Stock]]  # both ends with bought parts, of each round
    left: list[tuple[str, str]]  # ends and goals that do not count there, as there is no figure


def searched(car: Car, size: str | None, task: Task) -> Searched:
    """Look at both ends at rest; where they are put in motion, that and the chunks once more are yet to come.

    Raises
    ------
    TooCostly : more builds than can be looked at.
    Cancelled : the caller's progress said so.
    """
    warm = task.use.oil_temperature_c
    standing, spaces, made = [], [], []
    for end in ENDS:
        corner, aims = getattr(car, end), end_aims(task.goals, end, task.use.surface, size)
        standing.append(as_it_stands(corner, task.box, warm, aims))
        made.append(with_made(parts_of(corner, task.box, end), corner, task.box))
        spaces.append(space(corner, made[-1], task.box, warm, aims))
    each = [chunks(s) for s in spaces]
    jobs = [*each[0], *each[1]]
    done = worked(looked_at, jobs, task.helpers, after=3 + len(jobs) if task.moves else 0)
    found = together(done[: len(each[0])]), together(done[len(each[0]) :])
    ends = [
        End(s, parts, s.aims, seen.kept, seen, now.stands_at)
        for s, parts, seen, now in zip(spaces, made, found, standing, strict=True)
    ]
    return Searched(standing, ends, each)


def at_rest(seen: Searched, task: Task) -> Chosen:
    """Both ends with what is best at rest, in hand and with bought parts."""
    pairs = BothEnds(seen.ends[0], seen.ends[1], task.between)
    stocks = _stocks(seen.ends, _in_play(pairs), [None, None], task, best_pair(pairs)[1])
    return Chosen(seen.standing, seen.ends, [stocks], [])


def put_in_motion(seen: Searched, task: Task) -> Chosen:
    """Both ends as they stand, their best builds, and those with bought parts: landing and bumps count.

    Raises
    ------
    Cancelled : the caller's progress said so.
    """
    jobs, (front, rear) = sum(map(len, seen.chunks)), with_samples(seen.ends)
    pairs, own = BothEnds(front, rear, task.between), np.zeros(1, dtype=int)
    rows, ends = shortlist(pairs), [*seen.standing, front, rear]
    stocks: list[Stock] = [{}, {}]
    if not seen.varied:
        stocks = _stocks(seen.ends, _in_play(pairs), [None, None], task)
    moves = worth_moving(pairs, stocks, 1)
    tables = _moved(ends, [own, own, *rows], moves, task, (jobs, jobs + 2))
    aims, left = _aims(tables, task)
    *standing, front, rear = (aimed(*of) for of in zip(ends, tables[:4], [*aims, *aims], strict=True))
    bought = _aimed(moves, tables[4:], aims)
    both, *more = _likely_ones(seen, ([front, rear], bought), aims, task)
    return Chosen(standing, both, [bought, *more], left)


def _moved(
    ends: list[End], rows: list[Places], moves: list[Move], task: Task, counts: tuple[int, int]
) -> list[Table]:
    """Rows of some ends and of those with bought parts, in one batch; `counts`: chunks before and after."""
    every, each = [*ends, *(move.end for move in moves)], [*rows, *(move.rows for move in moves)]
    return in_motion(every, each, task.runs, task.use.oil_temperature_c, (task.helpers, *counts))


def _aims(tables: list[Table], task: Task) -> tuple[list[dict[str, Aim]], list[tuple[str, str]]]:
    """Goals of motion of both ends, and those that do not count; from both as they stand, then their builds."""
    aims, left = [], []
    for name, now, table in zip(ENDS, tables[:2], tables[2:4], strict=True):
        every = motion_aims(task.goals, name, task.use.surface, task.runs.fall > 0.0, task.runs.bump > 0.0)
        missing = unresolved(now, table, every)
        left += [(name, goal) for goal in missing]
        aims.append({goal: aim for goal, aim in every.items() if goal not in missing})
    return aims, left


def _aimed(moves: list[Move], tables: list[Table], aims: list[dict[str, Aim]]) -> list[Stock]:
    """Both ends with bought parts, of builds that were moved, their goals counted."""
    stocks: list[Stock] = [{}, {}]
    for move, table in zip(moves, tables, strict=True):
        stocks[move.side][move.part] = aimed(move.end, table, aims[move.side])
    return stocks


def _likely_ones(
    seen: Searched, first: tuple[list[End], list[Stock]], aims: list[dict[str, Aim]], task: Task
) -> tuple[list[End], list[Stock], list[Stock]]:
    """Both ends with what was moved first and what likely is the best; and what likely is with bought parts, twice.

    Raises
    ------
    Cancelled : the caller's progress said so.
    """
    ends, bought = first
    told, jobs = _told(ends, [bought], aims), 2 * sum(map(len, seen.chunks)) + 1
    known = BothEnds(ends[0], ends[1], task.between)
    found = _likeliest(seen, told, task, furthest_wanted(known))
    best = [by_rank(new) if new.table else end for new, end in zip(found, ends, strict=True)]
    pairs = BothEnds(best[0], best[1], task.between)
    parts = _in_play(pairs)
    stocks = _stocks(seen.ends, parts, told, task, best_pair(known)[1])
    moves: list[Move] = []
    if _more_to_gain(known, [bought], stocks):
        moves = worth_moving(pairs, stocks, OF_A_PART)
    tables = _moved(found, likely(pairs, [end.table for end in ends]), moves, task, (jobs, 1))
    more = [aimed(*of).table for of in zip(found, tables[:2], aims, strict=True)]
    joint = [end._replace(table=joined([end.table, new])) for end, new in zip(ends, more, strict=True)]
    second = _aimed(moves, tables[2:], aims)
    return joint, second, _once_more(seen, joint, parts, [bought, second], aims, task)


def _once_more(
    seen: Searched,
    ends: list[End],
    parts: list[Parts],
    bought: list[list[Stock]],
    aims: list[dict[str, Aim]],
    task: Task,
) -> list[Stock]:
    """Both ends with bought parts that were not moved yet, where by what was moved they likely are nearer.

    Raises
    ------
    Cancelled : the caller's progress said so.
    """
    jobs, pairs = 2 * sum(map(len, seen.chunks)) + 2, BothEnds(ends[0], ends[1], task.between)
    if not seen.varied:
        stocks = _stocks(seen.ends, parts, _told(ends, bought, aims), task, best_pair(pairs)[1])
        stocks = [fresh(*of) for of in zip(stocks, bought[-1], strict=True)]
        if _more_to_gain(pairs, bought, stocks):
            moves = worth_moving(pairs, stocks, OF_A_PART)
            return _aimed(moves, _moved([], [], moves, task, (jobs, 0)), aims)
    tell(task.helpers, jobs + 1, jobs + 1)
    return [{}, {}]


def _more_to_gain(pairs: BothEnds, bought: list[list[Stock]], stocks: list[Stock]) -> bool:
    """Tell whether some builds likely are nearer, by more than the error, than all that were moved."""
    known = min(best_pair(pairs)[1], *(least(pairs, had) for had in bought))
    return known > hardly(least(pairs, [ranked(own) for own in stocks]))


def _told(ends: list[End], bought: list[list[Stock]], aims: list[dict[str, Aim]]) -> list[Guesses | None]:
    """Guesses for both ends, from what was moved in hand and with bought parts."""
    return [
        guessed([end, *(had for stocks in bought for had in stocks[side].values())], aims[side])
        for side, end in enumerate(ends)
    ]


def _likeliest(seen: Searched, told: list[Guesses | None], task: Task, most: tuple[float, float]) -> list[End]:
    """Both ends with the builds that likely are the best, of all; with none where nothing tells."""
    each = [
        [chunk._replace(guesses=guesses, most=far) for chunk in own]
        for own, guesses, far in zip(seen.chunks, told, most, strict=True)
    ]
    jobs = [*each[0], *each[1]]
    done = worked(likeliest, jobs, task.helpers, before=len(jobs) + 1, after=2)
    found = [thinned(joined(done[: len(each[0])])), thinned(joined(done[len(each[0]) :]))]
    return [end._replace(table=table) for end, table in zip(seen.ends, found, strict=True)]


def _in_play(pairs: BothEnds) -> list[Parts]:
    """Of both ends what the nearest pairs are built of."""
    return [in_play(pairs, side) for side in (0, 1)]


def _stocks(
    ends: list[End], parts: list[Parts], told: list[Guesses | None], task: Task, most: float = np.inf
) -> list[Stock]:
    """Both ends with bought parts, beside some others; what is further than `most` at rest betters nothing."""
    return [stock(*of, most, task.box) for of in zip(ends, parts, told, strict=True)]
