"""What every single change that the parts box allows does to the car: the calculation `changes`."""

from concurrent.futures import Executor
from typing import Annotated, NamedTuple

import msgspec

from .alternatives import ENDS, FROM_THE_BOX, Alternative, End, Kind, alternatives, short_of
from .answers import Answer, calculation
from .car import Box, Car, Goals, Size, Use
from .effects import MEASURES, ChangeFigures, Effect, aims_of, differences, effects, figures_of
from .findings import Finding, finding
from .goals import Aim
from .quantities import Q
from .questions import QUESTIONS, Question, concern, cost, cures, fine, gain, now_of
from .sentences import BEYOND, Told, figures_said, told_of
from .working import ALONE, Helpers, Progress

ENOUGH = 6.0
"""Help beyond so many least differences is not counted when the best bargain is looked for."""
NOTHING_TO_CURE = "nothing to cure"

Figure = Annotated[str, msgspec.Meta(description="name of a figure")]


class Change(msgspec.Struct, frozen=True, kw_only=True):
    """One change: what it is, what it does to every figure, in one sentence what is clear and what it costs."""

    end: End
    kind: Kind
    what: str
    collar: str
    sentence: str
    gives: str
    costs: str
    after: ChangeFigures
    difference: ChangeFigures
    clear: tuple[Figure, ...]
    better: tuple[Figure, ...]
    worse: tuple[Figure, ...]
    new_findings: tuple[str, ...]
    cured_findings: tuple[str, ...]
    gain: Annotated[float, Q("change_gain")]


class Help(msgspec.Struct, frozen=True, kw_only=True):
    """One question: which figures it looks at, how they are, and the best bargain from the box.

    `fine` says that nothing is wrong at the ends asked for: the bargain then only gives more of what is good.
    `row` is its place; null, and its texts empty, where nothing in the box clearly helps without a new fault and
    for less than it costs elsewhere: then `reason` says why.
    """

    question: Question
    words: str
    figures: tuple[Figure, ...]
    front_now: str
    rear_now: str
    front_concern: Annotated[float, Q("concern")]
    rear_concern: Annotated[float, Q("concern")]
    fine: bool
    row: Annotated[int, Q("row_place")] | None
    change: str
    gives: str
    costs: str
    reason: str


class Changes(Answer, frozen=True, kw_only=True):
    """Every single change; with a question those that clearly help, the best first."""

    question: Question | None
    front: ChangeFigures
    rear: ChangeFigures
    rows: tuple[Change, ...]
    helps: tuple[Help, ...]
    considered: Annotated[int, Q("changes_considered")]


class _Row(NamedTuple):
    """A change with what is needed to say it."""

    made: Alternative
    after: ChangeFigures
    effects: tuple[Effect, ...]
    new: tuple[Finding, ...]
    gone: tuple[Finding, ...]
    aims: dict[str, Aim]


def _new(faults: tuple[Finding, ...], known: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Faults that are not known yet, each code once."""
    codes = {f.code for f in known}
    return tuple({f.code: f for f in faults if f.code not in codes}.values())


def _title(made: Alternative) -> str:
    collar = f" ({made.collar})" if made.collar else ""
    return f"{made.end} {made.what}{collar}"


def _helps(row: _Row, question: Question) -> float:
    """How much a change helps a question; nothing where it breaks something."""
    if any(f.severity == "do_not_run" for f in row.new) or row.made.kind == "temperature":
        return 0.0
    return gain(question, row.effects, row.aims)


def _change(row: _Row, before: ChangeFigures, question: Question | None) -> Change:
    made, codes = row.made, tuple(f.code for f in row.new)
    first = () if question is None else [name for name, _ in QUESTIONS[question].figures]
    cured = tuple(f.code for f in row.gone)
    told = told_of(_title(made), row.effects, codes, first, cured)
    return Change(
        end=made.end,
        kind=made.kind,
        what=made.what,
        collar=made.collar,
        sentence=told.sentence,
        gives=told.gives,
        costs=told.costs,
        after=row.after,
        difference=differences(before, row.after),
        clear=tuple(e.name for e in row.effects if e.clear),
        better=tuple(e.name for e in row.effects if e.better),
        worse=tuple(e.name for e in row.effects if e.worse),
        new_findings=codes,
        cured_findings=cured,
        gain=0.0 if question is None else _helps(row, question),
    )


def _harmless(row: _Row) -> bool:
    """Whether a change brings no fault, and makes none worse."""
    return not row.new and not any(e.worse and e.name in BEYOND and e.after < 0.0 for e in row.effects)


def _best(question: Question, rows: list[_Row], concerns: dict[End, float]) -> tuple[int | None, str]:
    """Place of the best bargain: at the end that needs it more, the help up to ENOUGH less what it costs.

    What cures a grave wrong comes first, whatever it costs; all else must help more than it costs. Drilling cannot
    be undone: it only counts where nothing else helps. Where there is none, why.
    """
    helping = [
        (
            concerns[row.made.end],
            cures(question, row.effects, row.aims),
            row.made.kind != "drill",
            min(ENOUGH, _helps(row, question)) - cost(row.effects),
            -place,
        )
        for place, row in enumerate(rows)
        if _harmless(row) and row.made.kind in FROM_THE_BOX and _helps(row, question) > 0.0
    ]
    worth = [one for one in helping if one[1] or one[3] > 0.0]
    if worth:
        return -max(worth)[4], ""
    if helping:
        return None, "what helps costs more elsewhere"
    faulty = any(row.made.kind in FROM_THE_BOX and _helps(row, question) > 0.0 for row in rows)
    return None, "what helps brings a fault or makes one worse" if faulty else "nothing in the box clearly helps"


def _told_first(row: _Row, names: tuple[str, ...]) -> Told:
    """A change in words, some figures first."""
    return told_of(_title(row.made), row.effects, (), names, tuple(f.code for f in row.gone))


class Wanted(NamedTuple):
    """What is to be worked out."""

    car: Car
    use: Use
    box: Box
    goals: Goals
    size: Size | None
    ends: tuple[End, ...]


class Worked(NamedTuple):
    """Every change worked out, before a question is asked."""

    wanted: Wanted
    now: dict[End, ChangeFigures]
    aims: dict[End, dict[str, Aim]]
    rows: list[_Row]


def _help(question: Question, rows: list[_Row], worked: Worked) -> Help:
    """The change from the box that helps a question most without a new fault."""
    asked, now = QUESTIONS[question], worked.now
    names = tuple(name for name, _ in asked.figures)
    concerns = {each: concern(question, now[each], worked.aims[each]) for each in ENDS}
    place, reason = _best(question, rows, concerns)
    well = all(fine(question, now[end], worked.aims[end]) for end in worked.wanted.ends)
    if place is None and well:
        reason = NOTHING_TO_CURE
    best = Told("", "", "") if place is None else _told_first(rows[place], names)
    return Help(
        question=question,
        words=asked.words,
        figures=names,
        front_now=figures_said(now["front"], now_of(question, now["front"])),
        rear_now=figures_said(now["rear"], now_of(question, now["rear"])),
        front_concern=concerns["front"],
        rear_concern=concerns["rear"],
        fine=well,
        row=place,
        change=best.title,
        gives=best.gives,
        costs=best.costs,
        reason=reason,
    )


def worked_out(wanted: Wanted, helpers: Helpers = ALONE) -> Worked:
    """All changes with their figures; both ends and all changes together.

    Raises
    ------
    Cancelled : the caller's progress said so.
    """
    car, use, ends = wanted.car, wanted.use, wanted.ends
    made = alternatives(car, wanted.box, use.oil_temperature_c, ends)
    front, rear, *after = figures_of(car, use, [(a.end, a.corner, a.temperature_c) for a in made], helpers)
    now: dict[End, ChangeFigures] = {"front": front.figures, "rear": rear.figures}
    known = {"front": front.faults, "rear": rear.faults}
    aims = {end: aims_of(car, end, wanted.goals, use, wanted.size, now[end]) for end in ENDS}
    rows = []
    for one, (seen, faults) in zip(made, after, strict=True):
        own, was = aims[one.end], known[one.end]
        rows.append(_Row(one, seen, effects(now[one.end], seen, own), _new(faults, was), _new(was, faults), own))
    return Worked(wanted, now, aims, rows)


def _findings(worked: Worked) -> list[Finding]:
    """What was left out: parts, steps of preload, figures that some set-up does not have."""
    box = worked.wanted.box
    found = short_of(box, worked.wanted.ends)
    if box.collar_step_mm is None and not box.spacers_mm:
        found.append(finding("steps_unknown", "/box/collar_step_mm"))
    for end in ENDS:
        seen = [worked.now[end], *(row.after for row in worked.rows if row.made.end == end)]
        missing = [name for name in MEASURES if any(getattr(at, name) is None for at in seen)]
        if missing:
            found.append(finding("figures_left_out", f"/car/{end}", name=", ".join(missing)))
    return found


def answer_of(worked: Worked, question: Question | None) -> Changes:
    """The answer: every change, or those that help a question."""
    rows, now = worked.rows, worked.now
    if question is not None:
        helping = [row for row in rows if _helps(row, question) > 0.0]
        rows = sorted(helping, key=lambda row: -_helps(row, question))
    asked = QUESTIONS if question is None else (question,)
    return Changes(
        findings=tuple(_findings(worked)),
        cautions=("drilling",) if any(row.made.kind == "drill" for row in rows) else (),
        question=question,
        front=now["front"],
        rear=now["rear"],
        rows=tuple(_change(row, now[row.made.end], question) for row in rows),
        helps=tuple(_help(each, rows, worked) for each in asked),
        considered=len(worked.rows),
    )


@calculation("springs_fly", "hot_shock", "droop", "oil_spill", "battery")
def changes(
    *,
    car: Car,
    use: Use,
    box: Box | None = None,
    goals: Goals | None = None,
    size: Size | None = None,
    question: Question | None = None,
    end: End | None = None,
    executor: Executor | None = None,
    progress: Progress | None = None,
) -> Changes:
    """Every single change that the parts box allows, one at a time, with its effect on every headline figure.

    Next thinner and thicker oil, each other piston, a blank drilled one size larger, each other spring, the collar
    a step (or spacers, or where neither is known half a millimetre) either way, a given preload set for level
    arms, a loose spring just held; each other limiter, the cap closed elsewhere, oil let out where too little gas
    is left hot, each other mount hole that the linkage lists; oil 10 C warmer or colder; 50 g on or off the axle.
    After a change of spring, limiter, closing, oil let out or mount hole the collar is set for the same height.
    The car with each change is worked out in chunks by an `executor` (of concurrent.futures; none: this thread).

    Parameters
    ----------
    car : the car as it stands.
    use : its oil temperature [C], jump and bumps; a kerb half as high as the clearance, a push by hand of 10 mm.
    box : the parts box; a part of which there are fewer than two is left out.
    goals : wanted quantities, which say what is better; each left out takes the surface's default.
    size : size of the car; from 1:8 up the default frequencies are a tenth lower.
    question : one of twelve codes; only changes that clearly help are answered, the best first.
    end : front or rear only.

    Raises
    ------
    InputError : a value is impossible.
    Cancelled : `progress`, called with how many chunks are done of how many, gave a true answer.

    Examples
    --------
    >>> from libdamp.car import BoxOil
    >>> from libdamp.demo import demo_corner
    >>> car = Car(front=demo_corner("demo-truck.front"), rear=demo_corner("demo-truck.rear"))
    >>> use = Use(oil_temperature_c=25, bump_height_mm=6, bump_spacing_mm=250, speed_m_s=6, jump="small")
    >>> box = Box(oils=(BoxOil(viscosity_cst=400),))
    >>> changes(car=car, use=use, box=box, end="front").rows[0].what
    'oil 400 instead of 325 cSt'
    """
    asked = Wanted(car, use, box or Box(), goals or Goals(), size, ENDS if end is None else (end,))
    return answer_of(worked_out(asked, Helpers(executor, progress)), question)
