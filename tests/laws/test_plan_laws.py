"""Laws of choosing: figures agree with single corners, counts add up, more parts never choose worse."""

from typing import Any

import msgspec
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from libdamp import InputError, fill_check, plan, ride
from libdamp.builds import Build, hardly
from libdamp.car import Box, BoxOil, BoxPiston, BoxSpring, Car, Corner, EndGoals, Goal, Goals, Use
from libdamp.drilling import drilling_findings
from libdamp.in_hand import same_spring
from libdamp.parts import Oil, Piston, Shock, Spring, Vented, plain_part
from libdamp.planning import Plan
from libdamp.searching import KEPT
from libdamp.trading import EndPlan
from tests.choosing_strategies import CARS, choices, piston
from tests.drawn import examples
from tests.strategies import between

EXAMPLES = settings(max_examples=examples(7))
FIGURES = (
    "clearance_mm",
    "droop_travel_mm",
    "bump_travel_mm",
    "wheel_rate_n_mm",
    "frequency_hz",
    "damping_ratio_compression",
    "damping_ratio_rebound",
    "collar_mm",
)
CODES = {
    "no_equilibrium",
    "topped_out",
    "loose_spring",
    "coil_bind",
    "falling_rate",
    "chassis_on_ground",
    "collar_off",
    "closed_one_way",
}
"""Reasons that are findings of `ride` too."""
LOCKS = {"lock_hot", "lock_cold"}


def _corner_of(corner: Corner, build: Build) -> Corner:
    """The corner built like that."""
    fill = msgspec.structs.replace(corner.shock.fill, closing_insertion_mm=build.closing_insertion_mm)
    shock = msgspec.structs.replace(
        corner.shock, oil=build.oil, piston=build.piston, limiter_mm=build.limiter_mm, fill=fill
    )
    return msgspec.structs.replace(corner, shock=shock, spring=build.spring, preload_mm=build.preload_mm)


def _less_oil(corner: Corner, let_out_ml: float) -> Corner:
    """The corner with a little oil let out: so much more room for the gas."""
    fill = corner.shock.fill
    room = "room_ml" if isinstance(fill, Vented) else "gas_ml"
    fill = msgspec.structs.replace(fill, **{room: getattr(fill, room) + let_out_ml})
    return msgspec.structs.replace(corner, shock=msgspec.structs.replace(corner.shock, fill=fill))


def _listed(answer: Plan, end: str) -> list[Build]:
    """Every build of an end that the answer shows, rejected ones aside."""
    rows: EndPlan = getattr(answer, end)
    return [*rows.builds, *(getattr(row, end) for row in answer.builds)]


@EXAMPLES
@given(choices())
def test_a_listed_build_is_the_corner_built_so(asked: dict[str, Any]) -> None:
    """Every figure of a listed build is that of `ride` for the same corner, to 1e-9."""
    answer = plan(**asked)
    for end in ("front", "rear"):
        for build in _listed(answer, end):
            alone = ride(
                corner=_corner_of(getattr(asked["car"], end), build), temperature_c=asked["use"].oil_temperature_c
            )
            for name in FIGURES:
                assert getattr(build, name) == pytest.approx(getattr(alone, name), rel=1e-9, abs=1e-9), name
            if alone.wheel_travel_mm is not None:
                assert build.height_error_mm == pytest.approx(-alone.wheel_travel_mm, abs=1e-9)


@EXAMPLES
@given(choices())
def test_counts_add_up(asked: dict[str, Any]) -> None:
    """Legal and rejected builds together are those considered; groups hold no more than the legal ones."""
    answer = plan(**asked)
    for rows in (answer.front, answer.rear):
        assert rows.considered == rows.legal + sum(r.builds for r in rows.rejected)
        if rows.legal:
            assert sum(build.equally_good for build in rows.builds[1:]) <= rows.legal
            assert all(not build.rejected_for for build in rows.builds[1:])
            best = [build.best_of_equals for build in rows.builds[1:]]
            assert best == sorted(best)  # type: ignore[type-var]


@EXAMPLES
@given(choices())
def test_a_rejected_build_violates_its_limit(asked: dict[str, Any]) -> None:
    """The nearest build of each reason, worked out alone, really has that fault."""
    answer, use = plan(**asked), asked["use"]
    for end in ("front", "rear"):
        corner = getattr(asked["car"], end)
        for rejected in getattr(answer, end).rejected:
            build = rejected.nearest
            assert rejected.reason in build.rejected_for
            assert rejected.builds > 0
            assert rejected.short_by > 0.0
            if rejected.reason == "does_not_fit":
                with pytest.raises(InputError):
                    _corner_of(corner, build)
                continue
            codes = _codes(_corner_of(corner, build), use.oil_temperature_c)
            if rejected.reason in CODES | LOCKS:
                assert rejected.reason in codes
            if rejected.reason == "thin_wall":
                assert build.drill is not None
                shock = msgspec.structs.replace(_corner_of(corner, build).shock)
                across = (build.drill.drill_mm,)
                walls = {f.code for f in drilling_findings(shock, across, build.drill.blank)}
                assert "wall_thin" in walls
                smaller = build.drill.drill_mm - rejected.short_by
                left = {f.code for f in drilling_findings(shock, (max(smaller, 1e-6),), build.drill.blank)}
                assert ("wall_thin" in left) == (smaller <= 0.0)
                assert ("no drill" in rejected.cure) == (smaller <= 0.0)
            if rejected.reason == "out_of_reach":
                assert codes & {"level_out_of_reach", "linkage_out_of_reach", "linkage_backwards"}
            if rejected.reason == "coil_bind":
                assert ("less preload" in rejected.cure) == ((build.preload_mm or 0.0) >= rejected.short_by)
            if rejected.reason in LOCKS:
                cured = _less_oil(_corner_of(corner, build), float(rejected.cure.split()[0]))
                assert not LOCKS & _codes(cured, use.oil_temperature_c)


def _codes(corner: Corner, celsius: float) -> set[str]:
    found = ride(corner=corner, temperature_c=celsius).findings
    fill = fill_check(shock=corner.shock, run_temperature_c=max(50.0, celsius)).findings
    return {f.code for f in (*found, *fill)}


@EXAMPLES
@given(choices())
def test_a_legal_build_has_no_grave_finding(asked: dict[str, Any]) -> None:
    """What is proposed as legal neither locks, binds nor rattles when worked out alone."""
    answer, use = plan(**asked), asked["use"]
    grave = CODES | {"lock_hot", "lock_cold", "level_out_of_reach"}
    for end in ("front", "rear"):
        for build in _listed(answer, end):
            if not build.rejected_for:
                assert not _codes(_corner_of(getattr(asked["car"], end), build), use.oil_temperature_c) & grave


def _own_goals(corner: Corner, celsius: float) -> EndGoals:
    at = ride(corner=corner, temperature_c=celsius)
    values = {
        "frequency_hz": (at.frequency_hz, 0.4),
        "damping_ratio_compression": (at.damping_ratio_compression, 0.15),
        "damping_ratio_rebound": (at.damping_ratio_rebound, 0.15),
        "height_error_mm": (None if at.wheel_travel_mm is None else -at.wheel_travel_mm, 1.0),
    }
    return EndGoals(**{name: Goal(target=t, tolerance=w) for name, (t, w) in values.items() if t is not None})


def _between(front: Corner, rear: Corner, celsius: float) -> Any:
    from libdamp.car import BetweenGoals

    f, r = (ride(corner=c, temperature_c=celsius) for c in (front, rear))
    assert f.frequency_hz
    assert r.frequency_hz
    assert f.damping_ratio_compression
    assert r.damping_ratio_compression
    return BetweenGoals(
        frequency_ratio=Goal(target=f.frequency_hz / r.frequency_hz, tolerance=0.1),
        damping_ratio_ratio=Goal(target=f.damping_ratio_compression / r.damping_ratio_compression, tolerance=0.2),
    )


@EXAMPLES
@given(choices(), st.none() | st.tuples(between(0.0, 4.0), between(0.0, 4.0)))
def test_the_car_itself_is_best_for_its_own_goals(
    asked: dict[str, Any], preloads: tuple[float, float] | None
) -> None:
    """With goals that are the car's own figures, leaving it as it is ranks first, with distance zero.

    A given preload may lie between the real steps; level arms may not. Where the box does not list the fitted
    spring again: its block length there may say that the car's coils bind.
    """
    car, t, box = asked["car"], asked["use"].oil_temperature_c, asked["box"]
    if preloads is None:
        box = msgspec.structs.replace(box, collar_step_mm=None, spacers_mm=())
    else:
        ends = zip((car.front, car.rear), preloads, strict=True)
        front, rear = (msgspec.structs.replace(corner, preload_mm=mm) for corner, mm in ends)
        car = Car(front=front, rear=rear)
    assume(all(ride(corner=c, temperature_c=t).frequency_hz for c in (car.front, car.rear)))
    for end in ("front", "rear"):
        fitted, name = getattr(car, end).spring, f"{end}_springs"
        others = tuple(one for one in getattr(box, name) if not same_spring(plain_part(Spring, one), fitted))
        box = msgspec.structs.replace(box, **{name: others})
    goals = Goals(
        front=_own_goals(car.front, t), rear=_own_goals(car.rear, t), between=_between(car.front, car.rear, t)
    )
    answer = plan(car=car, use=asked["use"], box=box, goals=goals)
    standing, first = answer.builds[0], answer.builds[1]
    assert standing.distance == pytest.approx(0.0, abs=1e-12)
    if not standing.front.rejected_for and not standing.rear.rejected_for:
        assert first.changed == ()
        assert first.distance == pytest.approx(0.0, abs=1e-9)
        assert first.meets_goals
        for rows in (answer.front, answer.rear):
            assert rows.builds[1].changed == ()
            assert rows.builds[1].best_of_equals == pytest.approx(0.0, abs=1e-9)


@EXAMPLES
@given(choices(), between(0.3, 3.0), between(100.0, 1000.0), between(1.0, 1.8))
def test_one_part_more_never_chooses_worse(asked: dict[str, Any], factor: float, nu: float, hole: float) -> None:
    """Another spring, oil, piston, drill in the box: the best of each end is as near to the goals or nearer.

    The best car too where all pairs are looked at.
    """
    car, box = asked["car"], asked["box"]
    own = car.front.spring
    spring = BoxSpring(rate_n_mm=factor * own.rate_n_mm, free_length_mm=own.free_length_mm)
    more = msgspec.structs.replace(
        box,
        front_springs=(*box.front_springs, spring),
        oils=(*box.oils, BoxOil(viscosity_cst=nu)),
        pistons=(*box.pistons, piston(car.front.shock.bore_mm, 3, hole)),
        drills_mm=(*box.drills_mm, round(hole, 2)),
    )
    few, many = plan(**asked), plan(**{**asked, "box": more})
    assert many.front.considered >= few.front.considered
    assert many.front.legal >= few.front.legal
    for one, other in ((few.front, many.front), (few.rear, many.rear)):
        if one.legal:
            nearest = one.builds[1].best_of_equals, other.builds[1].best_of_equals
            assert nearest[0] is not None
            assert nearest[1] is not None
            assert nearest[1] <= nearest[0] + 1e-12
    if few.front.legal and few.rear.legal and max(many.front.legal, many.rear.legal) <= KEPT:
        assert _best(many) <= _best(few) + 1e-9


@EXAMPLES
@given(choices())
def test_a_part_bought_does_what_was_said(asked: dict[str, Any]) -> None:
    """With the missing part in the box the best car is as near as was told; the car told of has no grave fault."""
    box, few = asked["box"], plan(**asked)
    missing = few.best_missing_part
    if missing is None or missing.car is None:
        return
    ends = ("front", "rear") if missing.end == "both" else (missing.end,)
    if missing.spring is not None:
        field = f"{missing.end}_springs"
        more = {field: (*getattr(box, field), BoxSpring(**msgspec.structs.asdict(missing.spring)))}
    elif missing.oil is not None:
        more = {"oils": (*box.oils, BoxOil(**msgspec.structs.asdict(missing.oil)))}
    else:
        assert missing.piston is not None
        bought = BoxPiston(**msgspec.structs.asdict(missing.piston), count=2 * len(ends))
        more = {"pistons": (*box.pistons, bought)}
    many = plan(**{**asked, "box": msgspec.structs.replace(box, **more)})
    all_kept = max(many.front.legal, many.rear.legal) <= KEPT
    assert _best(many) <= (missing.distance + 1e-9 if all_kept else hardly(missing.distance))
    for end in ends:
        build, corner = getattr(missing.car, end), getattr(asked["car"], end)
        assert missing.part in build.changed
        told = ride(corner=_corner_of(corner, build), temperature_c=asked["use"].oil_temperature_c)
        assert not {f.code for f in told.findings} & CODES
        assert build.frequency_hz == pytest.approx(told.frequency_hz, rel=1e-9)
        assert build.damping_ratio_rebound == pytest.approx(told.damping_ratio_rebound, rel=1e-9)


def _best(answer: Plan) -> float:
    return min(row.best_of_equals for row in answer.builds[1:] if row.best_of_equals is not None)


@EXAMPLES
@given(choices())
def test_a_proposal_that_meets_goals_meets_them(asked: dict[str, Any]) -> None:
    """Where a row says that it meets the goals, each term is within one tolerance and nothing rejects it."""
    for row in plan(**asked).builds:
        terms = [t.term for t in (*row.front.terms, *row.rear.terms, *row.terms)]
        legal = not row.front.rejected_for and not row.rear.rejected_for
        assert row.meets_goals == (legal and all(term is not None and term <= 1.0 for term in terms))
        if row.distance is not None:
            assert row.distance == pytest.approx(sum(t for t in terms if t is not None), rel=1e-9, abs=1e-12)


@EXAMPLES
@given(choices())
def test_parts_come_from_the_box_or_the_car(asked: dict[str, Any]) -> None:
    """No build uses a part that is neither in the box nor on the car, nor one of which too few are in hand."""
    answer, box, car = plan(**asked), asked["box"], asked["car"]
    for end in ("front", "rear"):
        corner = getattr(car, end)
        springs = {s.rate_n_mm for s in (*getattr(box, f"{end}_springs"), corner.spring)}
        limiters = {*box.limiters_mm, corner.shock.limiter_mm}
        for build in _listed(answer, end):
            assert build.spring.rate_n_mm in springs
            assert build.limiter_mm in limiters
            bottles = {o.viscosity_cst for o in box.oils}
            if build.mix is None:
                assert build.oil.viscosity_cst in bottles | {corner.shock.oil.viscosity_cst}
            else:
                assert box.mix_oils
                assert {build.mix.thin.viscosity_cst, build.mix.thick.viscosity_cst} <= bottles
            stroke = corner.shock.stroke_mm
            assert build.closing_insertion_mm in {
                *(0.0, 0.5 * stroke, stroke),
                corner.shock.fill.closing_insertion_mm,
            }
            if build.drill is not None:
                assert box.blanks is not None
                assert build.drill.drill_mm in box.drills_mm
                assert build.drill.count <= box.blanks.max_holes
                assert box.blanks.count >= 2 or "parts_short" in build.rejected_for
            elif "parts_short" not in build.rejected_for and "piston" in build.changed:
                owned = [p.count for p in box.pistons if p.holes == build.piston.holes]
                assert any(n is None or n >= 2 for n in owned)


def test_builds_are_plain_parts() -> None:
    """A build holds the parts of a shock, not the box's entries: it can be built as it stands."""
    answer = plan(car=CARS["demo-truck"], use=Use(**_USE), box=Box(oils=(BoxOil(viscosity_cst=300.0, count=1),)))
    for build in _listed(answer, "front"):
        kinds = (type(build.spring), type(build.oil), type(build.piston))
        assert kinds == (Spring, Oil, Piston)
        assert isinstance(_corner_of(CARS["demo-truck"].front, build).shock, Shock)


_USE: dict[str, Any] = {
    "surface": "loose",
    "oil_temperature_c": 31.0,
    "bump_height_mm": 0.0,
    "bump_spacing_mm": 250.0,
    "speed_m_s": 6.0,
    "jump": "none",
}
