"""Choose from the parts box: the whole grid at rest, then the best in motion, both ends together.

For each end every build from the parts in hand is worked out; rejected ones are counted by reason; of the rest some
are moved, by these the whole grid is guessed and the likeliest are moved too. What was moved is ranked by its
distance to the goals, equally good builds are grouped, and both ends are chosen together.
"""

from concurrent.futures import Executor
from typing import NamedTuple

import msgspec
import numpy as np

from .answers import Answer, calculation
from .blending import oil_blend
from .builds import Build, End, as_it_stands, make_build
from .car import Box, Car, Goals, Size, Use
from .errors import Fault, InputError
from .findings import Finding, finding
from .goals import Aim, between_aims, complete_without_surface, end_aims, motion_aims
from .grid import space
from .headlines import Runs, runs_of
from .in_hand import parts_of, with_made
from .in_motion import aimed, in_motion, shortlist, unresolved, with_samples
from .likely import guessed, likely
from .missing_part import MissingPart, missing_part
from .pairing import (
    BothEnds,
    CarBuild,
    car_build,
    fewest_changes,
    hardly_further,
    piston_lack,
    ranked_cars,
)
from .physics.numbers import Places
from .searching import Chunk, chunks, likeliest, looked_at, thinned, together
from .tables import Table, joined
from .trading import EndPlan, end_plan
from .wording import verdict
from .working import Helpers, Progress, worked

ENDS = ("front", "rear")
UNCERTAIN = "blend_uncertain"


class Plan(Answer, frozen=True, kw_only=True):
    """The choice: row 0 the car as it stands, row 1 the proposal, then the nearest to the goals; and each end.

    The last are nearest of those that drill, or mix, nothing, where the others all do.

    The proposal changes the fewest parts with which every goal is met within its tolerance, each end with the
    preload that is nearest to its own goals; where none does, the fewest with which it is hardly further from the
    goals than the nearest.
    """

    verdict_front: str
    verdict_rear: str
    builds: tuple[CarBuild, ...]
    front: EndPlan
    rear: EndPlan
    best_missing_part: MissingPart | None


def plan_findings(box: Box, runs: Runs, front: EndPlan, rear: EndPlan) -> list[Finding]:
    """What was not moved, parts of which there are too few, and where nothing is legal."""
    found = []
    if not runs.fall > 0.0:
        found.append(finding("not_moved", "/use/jump", name="The landing of the use's jump"))
    if not runs.bump > 0.0:
        found.append(finding("not_moved", "/use/bump_height_mm", name="The use's bumps"))
    if box.blanks is not None and 0 < box.blanks.count < 2:
        found.append(finding("parts_short", "/box/blanks/count", float(box.blanks.count), 2.0, name="blanks"))
    for kind in ("front_springs", "rear_springs", "pistons"):
        word = kind.replace("_", " ").removesuffix("s")
        for i, part in enumerate(getattr(box, kind)):
            if part.count is not None and part.count < 2:
                name, at = f"{word} number {i + 1}", f"/box/{kind}/{i}"
                found.append(finding("parts_short", at, float(part.count), 2.0, name=name))
    for end, rows in zip(ENDS, (front, rear), strict=True):
        if not rows.legal:
            found.append(finding("nothing_legal", f"/car/{end}", float(rows.considered), 1.0))
    return found


def _left_findings(left: list[tuple[str, str]]) -> list[Finding]:
    """Goals that do not count at an end, as many builds at once do not resolve their figure."""
    return [finding("goal_left_out", f"/car/{end}", name=goal) for end, goal in left]


def _lack_findings(lack: tuple[str, float] | None) -> list[Finding]:
    """Pistons, or blanks, of which there are too few for both ends."""
    return [] if lack is None else [finding("parts_short", "/box", lack[1], 4.0, name=f"{lack[0]} for both ends")]


def _short(rear: Build, lack: tuple[str, float] | None) -> Build:
    """The rear build, rejected where parts are lacking."""
    return rear if lack is None else msgspec.structs.replace(rear, rejected_for=("parts_short",))


def blend_findings(proposal: CarBuild) -> list[Finding]:
    """Where the rules of mixing disagree on an oil that is proposed."""
    found = []
    for name, build in zip(ENDS, (proposal.front, proposal.rear), strict=True):
        mix = build.mix
        if mix is not None:
            said = oil_blend(thin=mix.thin, thick=mix.thick, thick_share=mix.thick_share).findings
            found += [
                msgspec.structs.replace(f, where=f"/car/{name}/shock/oil") for f in said if f.code == UNCERTAIN
            ]
    return found


class Searched(NamedTuple):
    """Both ends with every build at rest that is near the goals."""

    standing: list[End]  # as they stand
    ends: list[End]
    chunks: list[list[Chunk]]  # all builds of each


def searched(
    car: Car, use: Use, box: Box, goals: Goals, size: str | None, helpers: Helpers, moves: bool
) -> Searched:
    """Look at both ends at rest; where they are put in motion, that and the chunks once more are yet to come.

    Raises
    ------
    TooCostly : more builds than can be looked at.
    Cancelled : the caller's progress said so.
    """
    warm = use.oil_temperature_c
    standing, spaces, made = [], [], []
    for end in ENDS:
        corner, aims = getattr(car, end), end_aims(goals, end, use.surface, size)
        standing.append(as_it_stands(corner, box, warm, aims))
        made.append(with_made(parts_of(corner, box, end), corner, box))
        spaces.append(space(corner, made[-1], box, warm, aims))
    each = [chunks(s) for s in spaces]
    jobs = [*each[0], *each[1]]
    done = worked(looked_at, jobs, helpers, after=2 + len(jobs) if moves else 0)
    found = together(done[: len(each[0])]), together(done[len(each[0]) :])
    ends = [
        End(s, parts, s.aims, seen.kept, seen, now.stands_at)
        for s, parts, seen, now in zip(spaces, made, found, standing, strict=True)
    ]
    return Searched(standing, ends, each)


def _likely_ones(
    seen: Searched, first: list[Table], aims: list[dict[str, Aim]], between: dict[str, Aim], helpers: Helpers
) -> tuple[list[End], list[Places]]:
    """Both ends with the builds that likely are the best, by what was moved first; which of them to move.

    Raises
    ------
    Cancelled : the caller's progress said so.
    """
    told = [guessed(end.space, *of) for end, *of in zip(seen.ends, first, aims, strict=True)]
    each = [[chunk._replace(guesses=of) for chunk in own] for own, of in zip(seen.chunks, told, strict=True)]
    jobs = [*each[0], *each[1]]
    done = worked(likeliest, jobs, helpers, before=len(jobs) + 1, after=1)
    found = [thinned(joined(done[: len(each[0])])), thinned(joined(done[len(each[0]) :]))]
    ends = [end._replace(table=table) for end, table in zip(seen.ends, found, strict=True)]
    return ends, likely(BothEnds(ends[0], ends[1], between), first)


def put_in_motion(
    seen: Searched, use: Use, goals: Goals, between: dict[str, Aim], runs: Runs, helpers: Helpers
) -> tuple[list[End], list[End], list[tuple[str, str]]]:
    """Both ends as they stand and their best builds, with the figures and goals of landing and bumps.

    A goal of which an end has no figure does not count there; the third are these, by end.

    Raises
    ------
    Cancelled : the caller's progress said so.
    """
    ends, jobs, how = with_samples(seen.ends), sum(map(len, seen.chunks)), (runs, use.oil_temperature_c)
    rows = shortlist(BothEnds(ends[0], ends[1], between))
    own = np.zeros(1, dtype=int)
    *of_now, front, rear = in_motion([*seen.standing, *ends], [own, own, *rows], *how, (helpers, jobs, jobs + 1))
    aims, left = [], []
    for name, now, table in zip(ENDS, of_now, (front, rear), strict=True):
        every = motion_aims(goals, name, use.surface, runs.fall > 0.0, runs.bump > 0.0)
        missing = unresolved(now, table, every)
        left += [(name, goal) for goal in missing]
        aims.append({goal: aim for goal, aim in every.items() if goal not in missing})
    more = in_motion(*_likely_ones(seen, [front, rear], aims, between, helpers), *how, (helpers, 2 * jobs + 1, 0))
    nows = [aimed(*of) for of in zip(seen.standing, of_now, aims, strict=True)]
    moved = [joined([first, second]) for first, second in zip((front, rear), more, strict=True)]
    return nows, [aimed(*of) for of in zip(ends, moved, aims, strict=True)], left


def best_missing_part(ends: list[End], box: Box, temperature_c: float) -> MissingPart | None:
    """The part whose purchase would lower either end's distance at rest most; None where none does."""
    found = [
        missing_part(ends[0], "front", box, temperature_c),
        missing_part(ends[1], "rear", box, temperature_c),
    ]
    helping = [one for one in found if one is not None]
    return max(helping, key=lambda one: np.inf if one.lowers_by is None else one.lowers_by, default=None)


@calculation("springs_fly", "hot_shock", "droop", "oil_spill", "battery")
def plan(
    *,
    car: Car,
    use: Use,
    box: Box | None = None,
    goals: Goals | None = None,
    size: Size | None = None,
    executor: Executor | None = None,
    progress: Progress | None = None,
) -> Plan:
    """Choose spring, preload, oil, piston, limiter and closing position for both ends from the parts in hand.

    Every build at rest is looked at: bottles and mixtures of two (30 at most, of the closest pairs), pistons and
    what the drills make of blanks, the cap closed as now or with the shaft out, half in, in. Then 160 builds an end
    are moved, and by a guess from these the 120 that likely are the best of all: the landing of the use's jump, its
    bumps; what is rejected, or left at rest, has no figures of these. Of clearance and contact only too little
    counts, of bounce, peak force and tyre load only too much.

    The work is done in chunks by an `executor` (of concurrent.futures; none: this thread) with the same answer from
    all; `progress` is told how many chunks are done, of how many.

    Parameters
    ----------
    car : the car as it stands.
    use : where it is driven; its surface sets the default goals.
    box : the parts box; a list left out means what is on the car.
    goals : wanted quantities; each left out takes the surface's default (common practice).
    size : size of the car; from 1:8 up the default frequencies are a tenth lower.

    Raises
    ------
    InputError : a value is impossible, or neither surface nor goals say what to aim at.
    TooCostly : more builds of an end than can be looked at.
    Cancelled : `progress` gave a true answer.

    Examples
    --------
    >>> from libdamp.demo import demo_corner, demo_data
    >>> car = Car(front=demo_corner("demo-truck.front"), rear=demo_corner("demo-truck.rear"))
    >>> use = Use(
    ...     surface="loose",
    ...     oil_temperature_c=31,
    ...     bump_height_mm=6,
    ...     bump_spacing_mm=250,
    ...     speed_m_s=6,
    ...     jump="small",
    ... )
    >>> plan(car=car, use=use).verdict_front
    'front: leave it'
    """
    box, goals = box or Box(), goals or Goals()
    if use.surface is None and not complete_without_surface(goals):
        text = "surface is missing: name it in use, or give goals for both ends (frequency_hz, damping_ratio)"
        raise InputError([Fault(pointer="/use/surface", rule="incomplete", text=text)])
    between, runs = between_aims(goals), runs_of(use, 0.0)
    helpers, moves = Helpers(executor, progress), runs.fall > 0.0 or runs.bump > 0.0
    seen = searched(car, use, box, goals, size, helpers, moves)
    standing, ends = seen.standing, seen.ends
    missing = best_missing_part(ends, box, use.oil_temperature_c)
    left: list[tuple[str, str]] = []
    if moves:
        standing, ends, left = put_in_motion(seen, use, goals, between, runs, helpers)
    rows = [end_plan(end, now) for end, now in zip(ends, standing, strict=True)]
    now = [make_build(end, 0) for end in standing]
    pairs = BothEnds(ends[0], ends[1], between)
    cars = ranked_cars(pairs)
    proposal = fewest_changes(pairs) or hardly_further(pairs)
    if proposal is not None:
        cars = [proposal, *(car for car in cars if (car.front, car.rear) != (proposal.front, proposal.rear))]
    lack = None if cars else piston_lack(*ends)
    if not cars:
        cars = [car_build(rows[0].builds[1], _short(rows[1].builds[1], lack), between)]
    drilled = any(build.drill is not None for one in cars for build in (one.front, one.rear))
    return Plan(
        findings=(
            *plan_findings(box, runs, *rows),
            *_lack_findings(lack),
            *_left_findings(left),
            *blend_findings(cars[0]),
        ),
        cautions=("drilling",) if drilled else (),
        verdict_front=verdict("front", cars[0].front, now[0], rows[0]),
        verdict_rear=verdict("rear", cars[0].rear, now[1], rows[1]),
        builds=(car_build(now[0], now[1], between), *cars),
        front=rows[0],
        rear=rows[1],
        best_missing_part=missing,
    )
