"""`changes`: rows, sentences, questions; one computed answer a demo car serves all tests."""

import functools
import re
from typing import Any

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

import libdamp
from libdamp import fill_check
from libdamp.alternatives import KINDS, Alternative, alternatives
from libdamp.calculations import calculation_of
from libdamp.car import Box, BoxOil, Goals
from libdamp.changing import Change, Changes, Wanted, Worked, answer_of, worked_out
from libdamp.demo import demo_data
from libdamp.effects import MEASURES, effect_of
from libdamp.in_hand import same_oil, same_piston, same_spring
from libdamp.oils import kinematic
from libdamp.sentences import NO_CLEAR_EFFECT, PHRASES
from tests.plain_requests import CHANGES, put

HOLED = "demo-truck with other mount holes"
CARS = ("demo-truck", "demo-buggy", "demo-smallest", HOLED)
UPPER, LOWER = ((25, 73), (30, 72), (35, 71), (25, 73)), ((58, 6),)
"""Other holes, invented; one is in use, one listed twice."""


def _with_holes() -> dict[str, Any]:
    """The demo truck with other mount holes and little gas at its rear, and nothing in the box."""
    data = demo_data("demo-truck")
    data["box"] = {}
    data["car"]["rear"] = dict(data["car"]["front"])  # alike, so that the fitted hole is among the listed
    out, up = zip(*UPPER, strict=True)
    along, above = zip(*LOWER, strict=True)
    holes = {
        "other_upper_mounts_out_mm": out,
        "other_upper_mounts_up_mm": up,
        "other_lower_mounts_along_mm": along,
        "other_lower_mounts_above_mm": above,
    }
    data["car"]["rear"]["linkage"] = {**data["car"]["front"]["linkage"], **holes}
    shock = data["car"]["front"]["shock"]
    data["car"]["rear"]["shock"] = {**shock, "fill": {**shock["fill"], "gas_ml": 0.11}}  # goes solid hot
    return data


@functools.cache
def asked_of(name: str) -> Any:
    """Request of a demo car."""
    return calculation_of("changes").read(_with_holes() if name == HOLED else demo_data(name))[0]


@functools.cache
def worked(name: str) -> Worked:
    """Every change of a demo car, worked out once."""
    asked = asked_of(name)
    box, goals = asked.box or Box(), asked.goals or Goals()
    return worked_out(Wanted(asked.car, asked.use, box, goals, asked.size, ("front", "rear")))


@functools.cache
def answer(name: str) -> Changes:
    """Answer of a demo car without a question."""
    return answer_of(worked(name), None)


def rows() -> list[tuple[str, Change]]:
    """All rows of all demo cars."""
    return [(name, row) for name in CARS for row in answer(name).rows]


def made(name: str) -> list[Alternative]:
    """The changed corners of a demo car."""
    return [row.made for row in worked(name).rows]


# the rows


def test_rows_come_by_end_and_kind() -> None:
    """Front before rear, kinds in their order; every kind occurs; no row leaves all as it is."""
    for name in CARS:
        order = [(("front", "rear").index(row.end), KINDS.index(row.kind)) for row in answer(name).rows]
        assert order == sorted(order)
        for one in made(name):
            before = getattr(asked_of(name).car, one.end)
            same = one.corner == before and one.temperature_c == asked_of(name).use.oil_temperature_c
            assert not same, one.what
    assert {row.kind for _, row in rows()} == set(KINDS)


FIELDS = {
    "oil": {"shock.oil"},
    "piston": {"shock.piston"},
    "drill": {"shock.piston"},
    "spring": {"spring", "preload_mm"},
    "preload": {"preload_mm"},
    "limiter": {"shock.limiter_mm", "preload_mm"},
    "closing": {"shock.fill", "preload_mm"},
    "fill": {"shock.fill", "preload_mm"},
    "mount": {"linkage", "preload_mm"},
    "temperature": {"preload_mm"},
    "mass": {"sprung_mass_g", "preload_mm"},
}
"""What each kind may change; the preload only where it was to be set for level arms, or is set for the height."""


def differing(a: Any, b: Any) -> set[str]:
    """Fields of two corners that differ, those of the shock by themselves."""
    outer = {f for f in a.__struct_fields__ if f != "shock" and getattr(a, f) != getattr(b, f)}
    return outer | {f"shock.{f}" for f in a.shock.__struct_fields__ if getattr(a.shock, f) != getattr(b.shock, f)}


@pytest.mark.parametrize("name", CARS)
def test_one_thing_is_changed(name: str) -> None:
    """The corner after is the corner before with one thing changed, and its collar perhaps."""
    asked = asked_of(name)
    for one in made(name):
        before = getattr(asked.car, one.end)
        changed = differing(before, one.corner)
        assert changed <= FIELDS[one.kind], one.what
        assert (one.temperature_c != asked.use.oil_temperature_c) == (one.kind == "temperature")
        if one.kind not in ("temperature", "preload", "mass"):
            assert changed - {"preload_mm"}
        if before.preload_mm is None and one.kind not in ("temperature", "preload", "mass"):
            assert one.corner.preload_mm is None  # set for level arms again


@pytest.mark.parametrize("name", ["demo-truck", "demo-buggy"])
def test_parts_come_from_the_box(name: str) -> None:
    """Oils, pistons, springs and limiters are in the box; oils are the next ones; holes have their drill."""
    box = asked_of(name).box
    for one in made(name):
        shock, end = one.corner.shock, one.end
        if one.kind == "oil":
            assert any(same_oil(shock.oil, bottle) for bottle in box.oils)
        if one.kind == "piston":
            assert any(same_piston(shock.piston, piston) for piston in box.pistons)
        if one.kind == "drill":
            assert shock.piston.holes[0].diameter_mm in box.drills_mm
        if one.kind == "spring":
            assert any(same_spring(one.corner.spring, spring) for spring in getattr(box, f"{end}_springs"))
        if one.kind == "limiter":
            assert shock.limiter_mm in box.limiters_mm
    for end in ("front", "rear"):
        fitted = kinematic(getattr(asked_of(name).car, end).shock.oil, 31.0)
        grades = sorted({kinematic(bottle, 31.0) for bottle in box.oils})
        near = [max(g for g in grades if g < fitted), min(g for g in grades if g > fitted)]
        fits = [kinematic(a.corner.shock.oil, 31.0) for a in made(name) if a.end == end and a.kind == "oil"]
        assert fits == near


def test_scarce_parts_are_left_out() -> None:
    """A part of which there is one is named and not tried; an empty bottle is no oil; without steps it is said."""
    truck = asked_of("demo-truck")
    scarce = msgspec.structs.replace(
        truck.box,
        front_springs=tuple(msgspec.structs.replace(s, count=1) for s in truck.box.front_springs),
        pistons=tuple(msgspec.structs.replace(p, count=1) for p in truck.box.pistons),
        blanks=msgspec.structs.replace(truck.box.blanks, count=1),
        oils=(BoxOil(viscosity_cst=400, count=0),),
    )
    tried = {a.kind for a in alternatives(truck.car, scarce, 31.0, ("front",))}
    assert tried == {"preload", "limiter", "closing", "temperature", "mass"}
    request = put({**CHANGES, "end": "rear"}, "box", {"rear_springs": [{"rate_n_mm": 0.6, "count": 1}]})
    told = {f["code"]: f for f in libdamp.calculate("changes", request)["findings"]}
    assert told["parts_short"]["where"] == "/box/rear_springs/0"
    assert "steps_unknown" in told


def test_spacers_go_a_set_up_and_down() -> None:
    """Without a collar's step the next sums of spacers below and above the preload are tried."""
    truck = asked_of("demo-truck")
    front = msgspec.structs.replace(truck.car.front, preload_mm=3.0)
    car = msgspec.structs.replace(truck.car, front=front)
    box = Box(spacers_mm=(1.0, 2.0, 4.0))
    tried = [a.corner.preload_mm for a in alternatives(car, box, 31.0, ("front",)) if a.kind == "preload"]
    assert tried == [2.0, 4.0, 1.0]  # the last is the nearest to level arms, 0.57 mm


def test_without_steps_a_little_preload_is_tried() -> None:
    """Neither collar step nor spacers: half a millimetre either way; what is a little loose is just held."""
    truck = asked_of("demo-truck")
    front = msgspec.structs.replace(truck.car.front, preload_mm=-0.125)
    car = msgspec.structs.replace(truck.car, front=front)
    made = [a for a in alternatives(car, Box(), 31.0, ("front",)) if a.kind == "preload"]
    assert [a.corner.preload_mm for a in made[:2]] == [-0.625, 0.375]
    assert made[-1].corner.preload_mm == 0.0
    assert made[-1].what == "preload 0.0 instead of -0.1 mm, the spring just held"
    rows = libdamp.changes(car=car, use=truck.use, box=Box(), end="front").rows
    held = next(row for row in rows if row.what == made[-1].what)
    assert held.cured_findings == ("loose_spring",)
    assert "cured: spring loose at full droop" in held.gives
    looser = next(row for row in rows if row.what.startswith("preload -0.6"))
    assert not looser.cured_findings
    fine = [a for a in alternatives(car, Box(collar_step_mm=0.1), 31.0, ("front",)) if a.kind == "preload"]
    assert fine[-1].corner.preload_mm == pytest.approx(0.075)  # a step of 0.1 alone leaves it loose
    assert fine[-1].what.endswith("the spring just held")


def test_mounts_go_into_each_other_hole() -> None:
    """Each hole that is listed once, the one in use not; the rest of the linkage and the height stay."""
    before = asked_of(HOLED).car.rear.linkage
    tried = [a for a in made(HOLED) if a.kind == "mount"]
    assert {a.end for a in tried} == {"rear"}
    assert [a.what for a in tried] == [
        "upper mount 25 out, 73 up instead of 30 out, 72 mm up",
        "upper mount 35 out, 71 up instead of 30 out, 72 mm up",
        "lower mount 58 along, 6 above instead of 62 along, 6 mm above",
    ]
    links = [a.corner.linkage for a in tried]
    assert [(one.upper_mount_out_mm, one.upper_mount_up_mm) for one in links] == [(25, 73), (35, 71), (30, 72)]
    assert [one.lower_mount_along_mm for one in links] == [62, 62, 58]
    assert {one.arm_length_mm for one in links} == {before.arm_length_mm}


def test_a_mount_that_cannot_be_is_a_fault_not_an_error() -> None:
    """A hole from which the wheel's rise would pull the shock out is a row with its fault and is never the best."""
    data = _with_holes()
    link = data["car"]["rear"]["linkage"]
    link.update(other_upper_mounts_out_mm=[200, 62], other_upper_mounts_up_mm=[5, 6])  # backwards; the lower mount
    data["car"]["rear"]["preload_mm"] = 2.0
    found = libdamp.calculate("changes", {**data, "end": "rear"})
    rows = [row for row in found["rows"] if row["what"].startswith("upper mount")]
    assert [row["new_findings"][:1] for row in rows] == [["linkage_backwards"]] * 2
    assert rows[0]["after"]["frequency_hz"] is None
    assert not any(one["change"].startswith("rear upper mount") for one in found["helps"])


# the effects


@pytest.mark.parametrize("name", CARS)
def test_effects_follow_the_table(name: str) -> None:
    """Differences are after less before; clear is what passes the table; better and worse go its way."""
    whole = answer(name)
    for row in whole.rows:
        before = getattr(whole, row.end)
        for figure, measure in MEASURES.items():
            was, now = getattr(before, figure), getattr(row.after, figure)
            difference = getattr(row.difference, figure)
            if was is None or now is None:
                assert difference is None
                assert figure not in row.clear
                continue
            assert difference == now - was
            assert (figure in row.clear) == (abs(difference) > max(measure.absolute, measure.relative * abs(was)))
            if measure.better in ("more", "less"):
                good = (difference > 0.0) == (measure.better == "more")
                assert (figure in row.better) == (figure in row.clear and good)
                assert (figure in row.worse) == (figure in row.clear and not good)
        assert not set(row.better) & set(row.worse)
        assert set(row.better) | set(row.worse) <= set(row.clear)


def test_goals_decide_what_is_worse() -> None:
    """Within the tolerance nothing is worse; outside it going away is, coming nearer is better."""
    aims = worked("demo-truck").aims["front"]
    aim = aims["frequency_hz"]
    inside, outside = aim.target + 0.5 * aim.tolerance, aim.target + 2.0 * aim.tolerance
    assert effect_of("frequency_hz", aim.target, inside, aims).clear
    assert not effect_of("frequency_hz", aim.target, inside, aims).worse
    assert effect_of("frequency_hz", inside, outside, aims).worse
    assert effect_of("frequency_hz", outside, inside, aims).better
    assert not effect_of("frequency_hz", inside, outside, {}).worse


@given(st.sampled_from(sorted(MEASURES)), st.floats(0.1, 50.0), st.floats(0.1, 50.0))
def test_back_and_forth(figure: str, a: float, b: float) -> None:
    """What one way is better, is not better the other way; nothing happens from a value to itself."""
    there, back = effect_of(figure, a, b, {}), effect_of(figure, b, a, {})
    assert not (there.better and back.better)
    assert not (there.worse and back.worse)
    assert not effect_of(figure, a, a, {}).clear
    assert there.nearer * back.nearer <= 0.0


def test_laws() -> None:
    """What each kind of change does is as everyone expects.

    Thicker oil damps more, warmer less; a stiffer spring swings faster; more weight sits lower; the collar further
    down lifts the car; less limiter lets the wheel hang further; a more upright shock is stiffer at the wheel.
    """
    for name, row in rows():
        before = getattr(answer(name), row.end)
        gone = row.difference
        one = next(a for a in made(name) if (a.end, a.what) == (row.end, row.what))
        corner = getattr(asked_of(name).car, row.end)
        if row.kind == "oil":
            thicker = one.corner.shock.oil.viscosity_cst > corner.shock.oil.viscosity_cst
            assert (gone.damping_ratio_rebound > 0.0) == thicker
        if row.kind == "temperature":
            assert (gone.damping_ratio_rebound < 0.0) == ("warmer" in row.what)
        if row.kind == "spring":
            assert (gone.frequency_hz > 0.0) == (one.corner.spring.rate_n_mm > corner.spring.rate_n_mm)
            assert row.after.clearance_mm == pytest.approx(before.clearance_mm, abs=1e-6)
        if row.kind == "mass":
            assert (gone.clearance_mm < 0.0) == ("more" in row.what)
        if row.kind == "preload":
            assert (gone.clearance_mm > 0.0) == (gone.preload_mm > 0.0)
            assert "collar" not in row.what or (gone.preload_mm > 0.0) == ("down" in row.what)
        if row.kind == "mount" and "upper" in row.what:  # more upright is stiffer: common practice
            upright = one.corner.linkage.upper_mount_out_mm > corner.linkage.upper_mount_out_mm
            assert (gone.wheel_rate_n_mm > 0.0) == upright
        if row.kind == "mount" and "lower" in row.what:  # nearer to the hinge is softer: common practice
            assert gone.wheel_rate_n_mm < 0.0
        if row.kind == "fill":
            assert gone.spare_hot_ml > 0.0
            enough = 0.1 * fill_check(shock=corner.shock).shaft_ml
            assert enough <= row.after.spare_hot_ml <= enough + 0.01
        if row.kind in ("mount", "closing", "fill") and not row.new_findings:
            assert row.after.clearance_mm == pytest.approx(before.clearance_mm, abs=1e-6)
        if row.kind == "limiter":
            less = one.corner.shock.limiter_mm < corner.shock.limiter_mm
            assert (gone.droop_travel_mm > 0.0) == less


# the sentences

BELOW = {"least_clearance_mm": "slaps", "preload_mm": "loose", "spare_hot_ml": "solid"}
NUMBERS = r" \((?:[a-z ]+ )?(-?[\d.]+) -> (-?[\d.]+)(?: [^ ():]+)?(: [a-z ]+)?\)"


def _beyond(name: str, was: float, now: float) -> str | None:
    """What has to stand after two numbers of which one is below nothing."""
    if name not in BELOW or min(was, now) >= 0.0:
        return None
    return f": {'still ' if max(was, now) < 0.0 else ''}{BELOW[name]}{'' if now < 0.0 else ' no more'}"


def figure_of(text: str, clear: set[str]) -> tuple[str, float, float, float, bool, bool]:
    """Figure that a phrase is about, its change, both values, whether it says more, whether in percent."""
    for name, phrase in PHRASES.items():
        for words, more in ((phrase.more, True), (phrase.less, False)):
            pattern = re.escape(words).replace(r"\{\}", r"([\d.]+)(?: ([^ ]+))?") + NUMBERS
            found = re.fullmatch(pattern, text)
            names = {name} if name != "damping_ratio" else {"damping_ratio_compression"}
            if found and names & clear:
                by, unit, was, now, beyond = found.groups()
                assert beyond == _beyond(name, float(was), float(now))
                return names.pop(), float(by), float(was), float(now), more, unit == "%" and phrase.percent
    raise AssertionError(text)


def test_sentences_agree_with_the_numbers() -> None:
    """Every phrase of every row: sign, change and both values are those of the figures, to their digits."""
    seen = set()
    for name, row in rows():
        before = getattr(answer(name), row.end)
        costs = "; costs: " if row.gives and row.costs else "costs: " if row.costs else ""
        assert row.sentence.endswith(f": {row.gives}{costs}{row.costs}")
        assert row.sentence.startswith(f"{row.end} {row.what}")
        for part, text in (("gives", row.gives), ("costs", row.costs)):
            for phrase in re.findall(r"[^,(]+\([^)]*\)", text):
                figure, by, was, now, more, percent = figure_of(phrase.strip(", "), set(row.clear))
                seen.add(figure)
                assert (figure in row.worse) == (part == "costs")
                scale, digits = PHRASES[figure].scale, PHRASES[figure].digits
                exact = getattr(before, figure) * scale, getattr(row.after, figure) * scale
                half = 0.5000001 * 10.0**-digits
                assert abs(was - exact[0]) <= half
                assert abs(now - exact[1]) <= half
                assert (exact[1] > exact[0]) == more
                gone = abs(100.0 * (exact[1] / exact[0] - 1.0)) if percent else abs(now - was)
                assert abs(by - gone) <= (0.5000001 if percent else half)
    assert len(seen) >= 12


def test_what_is_not_clear_is_not_said() -> None:
    """No clear effect and no new fault: so it says; anything else names something."""
    for _, row in rows():
        bare = not (row.clear or row.new_findings or row.cured_findings)
        assert (row.gives == NO_CLEAR_EFFECT) == bare
        assert row.gives or row.costs


def test_new_faults_are_costs() -> None:
    """A stiffer spring at the same height comes loose at full droop: the row says so, and nothing recommends it."""
    whole = answer("demo-truck")
    row = next(r for r in whole.rows if r.what.startswith("spring 0.44") and r.end == "front")
    assert row.new_findings == ("loose_spring",)
    assert row.costs.startswith("spring loose at full droop")
    assert not any(whole.rows[h.row].new_findings for h in whole.helps if h.row is not None)


def test_no_oil_colder_than_any_can_be() -> None:
    """At -20 C there is no row for 10 C less."""
    truck = asked_of("demo-truck")
    made = [a for a in alternatives(truck.car, Box(), -20.0, ("front",)) if a.kind == "temperature"]
    assert [a.what for a in made] == ["oil 10 C warmer"]
