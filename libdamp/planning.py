"""Choose from the parts box: the whole grid at rest, then the best in motion, both ends together.

For each end every build from the parts in hand is worked out; rejected ones are counted by reason; of the rest some
are moved, by these the whole grid is guessed and the likeliest are moved too. What was moved is ranked by its
distance to the goals, equally good builds are grouped, and both ends are chosen together.
"""

from concurrent.futures import Executor

import msgspec

from .answers import Answer, calculation
from .blending import oil_blend
from .builds import Build, make_build
from .car import Box, Car, Goals, Size, Use
from .errors import Fault, InputError
from .findings import Finding, finding
from .goals import GOAL_WORDS, between_aims, complete_without_surface
from .headlines import Runs, runs_of
from .in_rounds import Task, at_rest, put_in_motion, searched
from .missing_part import ENDS, MissingPart, missing_part
from .pairing import (
    BothEnds,
    CarBuild,
    car_build,
    fewest_changes,
    hardly_further,
    piston_lack,
    ranked_cars,
)
from .trading import EndPlan, end_plan
from .wording import verdict
from .working import Helpers, Progress

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
    return [finding("goal_left_out", f"/car/{end}", name=GOAL_WORDS[goal]) for end, goal in left]


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


def _left_alone(standing: CarBuild, proposal: CarBuild) -> bool:
    """Whether new parts would bring a car no nearer; its preload may lie between the real steps."""
    if not proposal.changed or standing.distance is None or proposal.distance is None:
        return False
    legal = not standing.front.rejected_for and not standing.rear.rejected_for
    return legal and standing.distance <= proposal.distance and standing.meets_goals >= proposal.meets_goals


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
    task = Task(use, box, goals, between, runs, Helpers(executor, progress))
    seen = searched(car, size, task)
    standing, ends, bought, left = put_in_motion(seen, task) if task.moves else at_rest(seen, task)
    rows = [end_plan(end, now) for end, now in zip(ends, standing, strict=True)]
    now = [make_build(end, 0) for end in standing]
    pairs = BothEnds(ends[0], ends[1], between)
    cars = ranked_cars(pairs)
    proposal = fewest_changes(pairs) or hardly_further(pairs)
    if proposal is not None:
        same = [(car.front, car.rear) == (proposal.front, proposal.rear) for car in cars]
        first = cars[same.index(True)] if any(same) else proposal  # with its equals
        cars = [first, *(car for car, one in zip(cars, same, strict=True) if not one)]
    lack = None if cars else piston_lack(*ends)
    if not cars:
        cars = [car_build(rows[0].builds[1], _short(rows[1].builds[1], lack), between)]
    standing_car = car_build(now[0], now[1], between)
    alone = _left_alone(standing_car, cars[0])  # a purchase is judged against the box's best, not against this car
    cars, missing = ([standing_car, *cars], None) if alone else (cars, missing_part(pairs, bought))
    told = cars if missing is None or missing.car is None else [*cars, missing.car]
    drilled = any(build.drill is not None for one in told for build in (one.front, one.rear))
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
        builds=(standing_car, *cars),
        front=rows[0],
        rear=rows[1],
        best_missing_part=missing,
    )
