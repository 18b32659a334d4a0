"""What a sheet says first: the verdict, what it leaves open, and whether a drop test may be made at all."""

from functools import cache
from types import SimpleNamespace
from typing import Any

import pytest
from msgspec.structs import replace

from libdamp.demo import demo_data
from libdamp.goals import GoalTerm
from libdamp.sheet import sheet_text
from libdamp.sheet_changes import if_words
from libdamp.sheet_columns import _why_left, fit_cell, verdict_cell
from libdamp.sheet_data import Sheet, sheet_of
from libdamp.sheet_words import BUY_TITLE, buy_words, together_words, told, trade_words
from libdamp.wording import part_words
from tests.plain_requests import put


@cache
def facts(size: str, surface: str) -> Sheet:
    """Sheet of an invented car of ten facts, with a front spring that is too hard for it."""
    front: dict[str, Any] = {"axle_g": 640, "spring": "3.1 lbf/in"}
    rear: dict[str, Any] = {"axle_g": 1010, "spring": "38 gf/mm"}
    front["shock"] = {"oil": "400 cst", "piston": {"holes": "2x1.6"}}
    rear["shock"] = {"oil": "350 cst", "piston": {"holes": "2x1.7"}}
    return sheet_of({"size": size, "surface": surface, "car": {"front": front, "rear": rear}})


def flat(sheet: Sheet) -> str:
    """The text without its line breaks, front's column first."""
    return " ".join(sheet_text(sheet).split())


def test_leave_it_says_what_is_missed() -> None:
    """An end that is left as it is though it misses a goal says which, and that no part in hand cures it."""
    sheet = facts("1:10 on-road", "carpet or asphalt")
    first, why = verdict_cell(sheet, "front").split("\n")
    assert first == "LEAVE IT"
    ride = sheet.proposal.front.ride
    assert why.startswith(f"(but natural frequency {ride.frequency_hz:.2f}, goal 5 ±0.4")
    assert why.endswith("the parts in hand do not cure it)")


def _term(quantity: str, off: float) -> GoalTerm:
    """A goal missed by so many tolerances."""
    return GoalTerm(
        quantity=quantity,
        value=1.0 + off,
        target=1.0,
        tolerance=1.0,
        term=off * off,
        source="yours",
        side="either",
    )


@pytest.mark.parametrize(
    ("off", "others", "why"),
    [
        (1.04, [], "missed by a hair, no reason to change parts"),
        (1.5, [0.9], "what cures it costs more elsewhere"),
        (1.5, [1.2, 1.1], "the parts in hand do not cure it"),
    ],
)
def test_why_an_end_is_left(off: float, others: list[float], why: str) -> None:
    """A hair, a part that cures it but costs elsewhere, or no such part."""
    builds = [SimpleNamespace(terms=(_term("frequency_hz", far),)) for far in (off, *others)]
    sheet: Any = SimpleNamespace(plan=SimpleNamespace(front=SimpleNamespace(builds=builds)))
    assert _why_left(sheet, "front", (_term("frequency_hz", off), _term("damping_ratio", 0.5))) == why


def test_a_proposal_says_what_it_still_misses() -> None:
    """The goals that the proposal misses, the furthest first; a use that says it has no jump needs no note."""
    demo = demo_data("demo-truck")
    box = {"oils": demo["box"]["oils"][:2], "mix_oils": False, "limiters_mm": [0, 4], "collar_step_mm": 0.5}
    big = sheet_of({**demo, "box": box, "use": {**demo["use"], "jump": "big"}})
    words = together_words(big)
    terms = {t.quantity: t.term for t in big.plan.builds[1].rear.terms}
    assert terms["bounce_height_mm"]
    assert max(terms.values(), key=lambda term: term or 0.0) == terms["bounce_height_mm"]
    assert "; it still misses " in words
    assert "rear bounce after the landing" in words
    (line,) = buy_words(big)
    missing = big.plan.best_missing_part
    assert missing is not None
    assert missing.car is not None
    own = [f"{end} {missing.part}" for end in ("front", "rear") if missing.end in (end, "both")]
    assert set(own) <= set(missing.car.changed)
    said = line.removeprefix(missing.text).removeprefix("; then fit as well ").split(", ")
    assert len([word for word in said if word]) == len(missing.car.changed) - len(own)
    assert f"{BUY_TITLE}: {missing.text[:30]}" in flat(big)
    none = sheet_of({**demo, "box": box, "use": {**demo["use"], "jump": "none"}})
    assert "not_moved" in {f.code for f in none.plan.findings}
    assert not [one for one in told(none) if "not worked out" in one.text]


def test_no_drop_test_where_the_first_would_touch() -> None:
    """A car that touches from below the first step of a drop test is not to be dropped; others are."""
    low = facts("1:10 on-road", "carpet or asphalt")
    heights = [seen.touch.height_mm for seen in low.landings.values()]
    assert all(height is not None and height < 50.0 for height in heights)
    assert "No drop tests with the front and the rear as built" in flat(low)
    assert "Drop tests: begin at 50 mm" not in flat(low)
    assert "Drop tests: begin at 50 mm" in flat(facts("1:10 buggy", "rutted"))


def test_an_end_left_for_level_arms_is_told_at_level_arms() -> None:
    """Where only assumed lengths make a spring loose, verdict, setting and height are those of level arms."""
    sheet = facts("1:10 buggy", "rutted")
    assert sheet.untold == ("front",)
    ride = sheet.proposal.front.ride
    assert ride.preload_mm == ride.preload_for_level_mm
    assert ride.clearance_mm == pytest.approx(sheet.car.front.level_clearance_mm)
    first, why = verdict_cell(sheet, "front").split("\n")
    assert first.startswith("LEAVE THE PARTS, set the collar for level arms")
    assert "natural frequency" in why
    assert "distance from the goals at rest" in flat(sheet)
    assert "distance -" not in flat(sheet)
    cures = if_words(sheet.changes, sheet.untold)
    assert not [line for line in cures if line.startswith("spring rattles") and "front" in line]


def test_landing_and_bumps_that_do_not_pull_apart_are_said() -> None:
    """No trade to tell: one line for both ends; with trades, or where nothing was moved, another or none."""
    sheet = sheet_of(demo_data("demo-truck"))
    assert not sheet.plan.front.trade_offs
    line = "front and rear, landing against bumps: what is best for one costs the other less than the error"
    assert trade_words(sheet) == [line]
    rows = sheet.plan.front
    still = replace(rows.builds[1], least_clearance_mm=None)
    unmoved = replace(sheet.plan, front=replace(rows, builds=(rows.builds[0], still)))
    assert trade_words(sheet._replace(plan=unmoved)) == [line.replace("front and rear", "rear")]


def test_parts_are_called_as_their_owner_calls_them() -> None:
    """A label where there is one, cut where it is long; a spring without one in the units of other labels too."""
    build = sheet_of(demo_data("demo-truck")).plan.front.builds[0]
    named = replace(build, oil=replace(build.oil, label="blue can"), piston=replace(build.piston, label="p" * 30))
    assert part_words(named, "oil") == "oil 325 cSt at 25 C (blue can)"
    assert part_words(named, "piston").endswith(f"({'p' * 20} ...)")
    assert fit_cell(facts("1:10 truck", "loose"), "front").startswith(
        "spring 0.543 N/mm\n(3.1 lbf/in, 55.4 gf/mm)\n"
    )


def test_a_change_that_still_misses_says_so() -> None:
    """The verdict itself says what a change of parts leaves wrong, most of all what."""
    data = put(put(demo_data("demo-smallest"), "car.rear.shock.oil", "3000 cst"), "box", {"oils": ["1000 cst"]})
    sheet = sheet_of(data)
    first, *why = verdict_cell(sheet, "rear").split("\n")
    assert first.startswith("change to oil 1000 cSt")
    assert why[-1].startswith("(so built it still misses ")
    furthest = max(sheet.plan.builds[1].rear.terms, key=lambda term: term.term or 0.0)
    assert f"{furthest.target:g}" in why[-1]
