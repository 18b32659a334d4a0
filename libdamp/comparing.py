"""Two set-ups side by side: every figure, the difference, what causes it, and how sure the difference is."""

from collections.abc import Iterable, Sequence
from concurrent.futures import Executor
from typing import Annotated, Any, Literal

import msgspec

from .answers import Answer, calculation
from .car import Car, Corner, Use
from .damping import built, damping_force, shock_findings
from .damping import figures as damping_figures
from .effects import MEASURES, Measure
from .errors import Fault, InputError
from .filling import fill_figures, fill_temperature
from .findings import Finding, finding, shown
from .grid import HOT_C
from .headlines import MOVING, Headlines, Runs, headlines_of, runs_of
from .parts import Shock
from .quantities import Q
from .repeating import unit_in
from .splitting import (
    CORNER_CAUSES,
    CORNER_ERRORS,
    NINE_OF_TEN,
    SHOCK_CAUSES,
    SHOCK_ERRORS,
    CauseName,
    Figures,
    Row,
    rows,
    split,
)
from .stance import ride_figures
from .working import Helpers, Progress

End = Literal["corner", "front", "rear"]

UNSAID_SHARE = 0.2
"""Share of a difference that its sentence may leave unexplained."""
OF_A_SHOCK = Measure("either", 0.0, 0.03)
"""From which difference on a figure of a shock counts: a few per cent (judgement); of gas left as of a corner."""


class CauseShare(msgspec.Struct, frozen=True, kw_only=True):
    """What one cause does alone; null where it cannot be taken over alone."""

    cause: CauseName
    difference: Annotated[float, Q("compared.difference")] | None


class Compared(msgspec.Struct, frozen=True, kw_only=True):
    """One figure of both set-ups; difference and ratio are candidate against reference."""

    figure: str
    unit: str
    reference: Annotated[float, Q("compared.reference")] | None
    candidate: Annotated[float, Q("compared.candidate")] | None
    difference: Annotated[float, Q("compared.difference")] | None
    ratio: Annotated[float, Q("compared.ratio")] | None
    causes: tuple[CauseShare, ...]
    interaction: Annotated[float, Q("compared.interaction")] | None
    error: Annotated[float, Q("compared.error")] | None
    error_if_apart: Annotated[float, Q("compared.error_if_apart")] | None
    clear: bool
    sentence: str


class ComparedEnd(msgspec.Struct, frozen=True, kw_only=True):
    """Both set-ups of one end, figure by figure."""

    end: End
    figures: tuple[Compared, ...]


class Compare(Answer, frozen=True, kw_only=True):
    """Two corners, or two cars end by end."""

    ends: tuple[ComparedEnd, ...]


class ShockFigures(msgspec.Struct, frozen=True, kw_only=True):
    """What two shocks are compared in."""

    low_speed_compression_n_s_m: Annotated[float, Q("low_speed_n_s_m")]
    low_speed_rebound_n_s_m: Annotated[float, Q("low_speed_n_s_m")]
    slow_compression_n: Annotated[float, Q("compared.slow_n")]
    slow_rebound_n: Annotated[float, Q("compared.slow_n")]
    fast_compression_n: Annotated[float, Q("compared.fast_n")]
    fast_rebound_n: Annotated[float, Q("compared.fast_n")]
    void_force_n: Annotated[float, Q("void_force_n")] | None
    void_speed_m_s: Annotated[float, Q("void_speed_m_s")] | None
    gas_force_mid_n: Annotated[float, Q("gas_force_n")] | None
    spare_cold_ml: Annotated[float, Q("spare_ml")] | None
    spare_hot_ml: Annotated[float, Q("spare_ml")] | None


class CompareShocks(Answer, frozen=True, kw_only=True):
    """Two shocks, figure by figure; fast forces are those of the damping alone, no void."""

    figures: tuple[Compared, ...]


def _words(figure: str, unit: str) -> str:
    """A figure's name in words: "touch_height_mm" is "touch height"."""
    suffix = unit.replace("/", "_").replace(" ", "_").lower()
    return figure.removesuffix(f"_{suffix}").replace("_", " ")


def _sentence(row: Row, unit: str, clear: bool) -> str:
    """One sentence with the numbers and their sign."""
    words, unit = _words(row.name, unit), "" if unit == "1" else f" {unit}"
    if row.reference is None or row.candidate is None:
        there = row.candidate if row.reference is None else row.reference
        if there is None:
            return f"{words}: none with either"
        which, other = ("candidate", "reference") if row.reference is None else ("reference", "candidate")
        none = "not worked out for" if row.name in MOVING else "none with"
        return f"{words}: {shown(there)}{unit} with the {which}, {none} the {other}"
    less = row.candidate - row.reference
    text = f"{words}: {shown(row.candidate)} instead of {shown(row.reference)}{unit}"
    if not clear:
        return f"{text}, no clear effect"
    share = f", {100.0 * less / row.reference:+.0f} %" if min(row.reference, row.candidate) > 0.0 else ""
    return f"{text} ({_signed(less)}{unit}{share}){_mostly(row, unit)}"


def _signed(value: float) -> str:
    """A number with its sign."""
    return f"{'+' if value > 0.0 else '-' if value < 0.0 else ''}{shown(abs(value))}"


def _mostly(row: Row, unit: str) -> str:
    """The largest causes, as many as explain the difference: ": oil +12 mm, piston -3 mm".

    What they do only together is the interaction, named as a cause is; where a cause cannot be taken over alone,
    the rest that it does with the others.
    """
    if len(row.shares) < 2 or row.reference is None or row.candidate is None:
        return ""
    whole, named = row.candidate - row.reference, list[str]()
    known = [(str(name), d) for name, d in row.shares if d]
    joint = [str(name) for name, d in row.shares if d is None]
    rest = f"{'/'.join(joint)} with the others" if joint else "interaction"
    known.append((rest, whole - sum(d for _, d in known)))
    unsaid = whole
    for name, d in sorted(known, key=lambda pair: -abs(pair[1])):
        if abs(unsaid) <= UNSAID_SHARE * abs(whole):
            break
        named.append(f"{name} {_signed(d)}{unit}")
        unsaid -= d
    return f": {', '.join(named)}"


def _least(row: Row) -> float:
    """From which difference on a figure of two set-ups is clear: its own error, and what counts at all."""
    size = max(abs(value) for value in (row.reference, row.candidate) if value is not None)
    return max(NINE_OF_TEN * (row.error or 0.0), MEASURES.get(row.name, OF_A_SHOCK).least(size))


def _compared(row: Row, kind: type[msgspec.Struct]) -> Compared:
    unit = unit_in(kind, (row.name,))
    less = row.candidate - row.reference if row.candidate is not None and row.reference is not None else None
    clear = (row.reference is None) != (row.candidate is None) and row.name not in MOVING
    if less is not None:
        clear = abs(less) > _least(row)
    return Compared(
        figure=row.name,
        unit=unit,
        reference=row.reference,
        candidate=row.candidate,
        difference=less,
        ratio=row.candidate / row.reference if row.candidate is not None and row.reference else None,
        causes=tuple(CauseShare(cause=name, difference=d) for name, d in row.shares),
        interaction=row.interaction,
        error=row.error,
        error_if_apart=row.apart,
        clear=clear,
        sentence=_sentence(row, unit, clear),
    )


def _plain(figures: msgspec.Struct) -> Figures:
    return {name: getattr(figures, name) for name in figures.__struct_fields__}


def _ends(
    pairs: Sequence[tuple[End, Corner, Corner]], celsius: tuple[float, float], runs: Runs, helpers: Helpers
) -> Iterable[Any]:
    """Every end with its rows; all set-ups of all ends are worked out together."""
    made = [split((a, celsius[0]), (b, celsius[1]), CORNER_CAUSES, CORNER_ERRORS) for _, a, b in pairs]
    seen = headlines_of([setup for one in made for setup in one.setups], runs, helpers)
    at = 0
    for (end, _, _), one in zip(pairs, made, strict=True):
        own = [_plain(figures) for figures in seen[at : at + len(one.setups)]]
        at += len(one.setups)
        yield end, one, rows(one, own)


def _pairs(
    reference: Corner | None, candidate: Corner | None, reference_car: Car | None, candidate_car: Car | None
) -> list[tuple[End, Corner, Corner]]:
    """What is compared with what.

    Raises
    ------
    InputError : neither two corners nor two cars.
    """
    if reference and candidate and not (reference_car or candidate_car):
        return [("corner", reference, candidate)]
    if reference_car and candidate_car and not (reference or candidate):
        cars = reference_car, candidate_car
        return [("front", cars[0].front, cars[1].front), ("rear", cars[0].rear, cars[1].rear)]
    text = "give two corners (reference, candidate) or two cars (reference_car, candidate_car)"
    raise InputError([Fault(pointer="", rule="either", text=text)])


@calculation("jumping", "drop_test", "battery")
def compare(
    *,
    reference: Corner | None = None,
    candidate: Corner | None = None,
    reference_car: Car | None = None,
    candidate_car: Car | None = None,
    use: Use,
    candidate_temperature_c: Annotated[float, Q("temperature_c")] | None = None,
    executor: Executor | None = None,
    progress: Progress | None = None,
) -> Compare:
    """Two corners, or two cars, side by side: every headline figure, the difference, its causes, its error.

    What all this needs is worked out in chunks by an `executor` (of concurrent.futures; none: this thread).

    Parameters
    ----------
    reference, candidate : two corners.
    reference_car, candidate_car : or two cars.
    use : where they are driven; its oil temperature [C] is the reference's.
    candidate_temperature_c : of the candidate's oil [C]; the use's unless given.

    Raises
    ------
    InputError : a value is impossible; neither two corners nor two cars.
    Cancelled : `progress`, called with how many chunks are done of how many, gave a true answer.

    Examples
    --------
    >>> from msgspec.structs import replace
    >>> from libdamp.demo import demo_corner
    >>> front = demo_corner("demo-truck.front")
    >>> use = Use(oil_temperature_c=25, bump_height_mm=0, bump_spacing_mm=250, speed_m_s=6, jump="none")
    >>> done = compare(reference=front, candidate=replace(front, level_clearance_mm=30.0), use=use)
    >>> [row.difference for row in done.ends[0].figures if row.figure == "clearance_mm"]
    [3.0]
    """
    pairs = _pairs(reference, candidate, reference_car, candidate_car)
    own = use.oil_temperature_c
    celsius = own, own if candidate_temperature_c is None else candidate_temperature_c
    runs = runs_of(use, min(corner.level_clearance_mm for _, *both in pairs for corner in both))
    ends, found = [], list[Finding]()
    for end, one, made in _ends(pairs, celsius, runs, Helpers(executor, progress)):
        ends.append(ComparedEnd(end=end, figures=tuple(_compared(row, Headlines) for row in made)))
        places = (
            ("/reference", "/candidate") if end == "corner" else (f"/reference_car/{end}", f"/candidate_car/{end}")
        )
        for (corner, at_c), at in zip(one.setups[:2], places, strict=True):
            every = [*ride_figures(corner, at_c, at=at)[1], *_fill_findings(corner.shock, at_c, f"{at}/shock")]
            found += {(f.code, f.where): f for f in every if f.code != "steps_unknown"}.values()
        found += _not_said(made, one.causes, places)
    return Compare(findings=tuple(found), ends=tuple(ends))


def _fill_findings(shock: Shock, celsius: float, at: str) -> list[Finding]:
    """Findings on a fill, hot as a shock may become."""
    return fill_figures(shock, fill_temperature(shock, None), max(HOT_C, celsius), at)[1]


def _not_said(
    made: Sequence[Row], causes: Sequence[tuple[str, int | None]], places: Sequence[str]
) -> list[Finding]:
    """Figures that one of the set-ups does not have, and causes that cannot be taken over alone."""
    found = [finding("cause_not_alone", places[1], name=name) for name, at in causes if at is None]
    for i, at in enumerate(places):
        none = [row.name for row in made if (row.reference, row.candidate)[i] is None]
        if none:
            found.append(finding("figures_missing", at, name=", ".join(none)))
    return found


def _shock_figures(shock: Shock, celsius: float, speeds: tuple[float, float]) -> Figures:
    b, heads = built(shock, celsius), damping_figures(shock, celsius)
    fill = fill_figures(shock, fill_temperature(shock, None), max(HOT_C, celsius))[0]
    force = [[float(damping_force(v, b.annulus, ways)) for v in speeds] for ways in (b.compression, b.rebound)]
    return _plain(
        ShockFigures(
            low_speed_compression_n_s_m=heads.low_speed_compression_n_s_m,
            low_speed_rebound_n_s_m=heads.low_speed_rebound_n_s_m,
            slow_compression_n=force[0][0],
            slow_rebound_n=force[1][0],
            fast_compression_n=force[0][1],
            fast_rebound_n=force[1][1],
            void_force_n=heads.void_force_n,
            void_speed_m_s=heads.void_speed_m_s,
            gas_force_mid_n=fill.gas_force_mid_n,
            spare_cold_ml=fill.spare_cold_ml,
            spare_hot_ml=fill.spare_hot_ml,
        )
    )


@calculation("hot_shock", "oil_spill")
def compare_shocks(
    *,
    reference: Shock,
    candidate: Shock,
    speeds_m_s: Annotated[
        tuple[Annotated[float, Q("match.speed_m_s")], ...], msgspec.Meta(min_length=2, max_length=2)
    ] = (0.05, 0.5),
    reference_temperature_c: Annotated[float, Q("temperature_c")] = 25.0,
    candidate_temperature_c: Annotated[float, Q("temperature_c")] = 25.0,
) -> CompareShocks:
    """Two shocks side by side: damping slow and fast, void, gas; the difference, its causes, its error.

    Parameters
    ----------
    reference, candidate : the shocks.
    speeds_m_s : a slow and a fast shaft speed, for the forces [m/s].
    reference_temperature_c, candidate_temperature_c : of the oils [C].

    Raises
    ------
    InputError : a value is impossible.

    Examples
    --------
    >>> from libdamp.demo import demo_corner
    >>> shock = demo_corner("demo-truck.front").shock
    >>> done = compare_shocks(reference=shock, candidate=shock, candidate_temperature_c=40.0)
    >>> done.figures[0].causes[0].cause
    'temperature'
    """
    one = (reference, reference_temperature_c), (candidate, candidate_temperature_c)
    made = split(*one, SHOCK_CAUSES, SHOCK_ERRORS)
    speeds = min(speeds_m_s), max(speeds_m_s)
    table = rows(made, [_shock_figures(shock, celsius, speeds) for shock, celsius in made.setups])
    places = ("/reference", "/candidate")
    found = [f for (shock, c), at in zip(one, places, strict=True) for f in shock_findings(shock, at, c)]
    for (shock, c), at in zip(one, places, strict=True):
        found += _fill_findings(shock, c, at)
    found += _not_said(table, made.causes, places)
    return CompareShocks(findings=tuple(found), figures=tuple(_compared(row, ShockFigures) for row in table))
