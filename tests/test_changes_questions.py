"""The twelve questions of `changes`, and what command line and sheet say of them."""

import re
from pathlib import Path
from typing import Any

import msgspec
import pytest

import libdamp
from libdamp.changes_lines import WIDTH, asked_in, changes_text
from libdamp.changing import answer_of
from libdamp.effects import effect_of
from libdamp.goals import Aim
from libdamp.questions import QUESTIONS, concern, cost, cures, fine, gain, question_of
from libdamp.sheet_changes import NEXT_TO_WRONG, change_rows, concern_of, if_words, useful
from tests.plain_requests import CHANGES, put
from tests.test_changes import CARS, HOLED, answer, asked_of, worked

# the questions


@pytest.mark.parametrize("name", CARS)
@pytest.mark.parametrize("code", QUESTIONS)
def test_a_question_filters_and_sorts(name: str, code: Any) -> None:
    """Its rows are among all rows, clearly help, the most first; what is best is the same either way."""
    whole, one = answer(name), answer_of(worked(name), code)
    keys = [(row.end, row.what) for row in whole.rows]
    assert {(row.end, row.what) for row in one.rows} <= set(keys)
    gains = [row.gain for row in one.rows]
    assert gains == sorted(gains, reverse=True)
    assert not gains or min(gains) > 0.0
    wanted = dict(QUESTIONS[code].figures)
    for row in one.rows:
        assert set(wanted) & set(row.clear)
        assert row.kind != "temperature"
    (asked,) = one.helps
    general = next(h for h in whole.helps if h.question == code)
    assert (asked.row is None) == (general.row is None)
    if asked.row is not None:
        assert one.rows[asked.row].what == whole.rows[general.row or 0].what
        assert asked.change.startswith(f"{one.rows[asked.row].end} {one.rows[asked.row].what}")


def test_what_helps_a_slapping_chassis() -> None:
    """Rows that help keep the chassis further off the ground, or let it fall from higher."""
    for row in answer_of(worked("demo-truck"), "slaps").rows:
        assert row.difference.least_clearance_mm > 0.0
        assert row.difference.touch_height_mm > 0.0


def test_gain_needs_a_clear_help_and_no_clear_harm() -> None:
    """Two figures that go opposite ways help nothing; one alone below its threshold neither."""
    up = effect_of("least_clearance_mm", 5.0, 8.0, {})
    down = effect_of("touch_height_mm", 200.0, 150.0, {})
    little = effect_of("least_clearance_mm", 5.0, 5.4, {})
    assert gain("slaps", (up,), {}) > 1.0
    assert gain("slaps", (up, down), {}) == 0.0
    assert gain("slaps", (little,), {}) == 0.0
    assert gain("kerb", (up,), {}) == 0.0


def test_a_higher_touch_helps_a_chassis_that_slaps() -> None:
    """Past the first touch the ground hides what a landing gains: from how high it touches counts as well."""
    hidden, deeper = (effect_of("least_clearance_mm", -2.2, after, {}) for after in (-1.8, -2.9))
    higher, hardly = (effect_of("touch_height_mm", 184.0, after, {}) for after in (231.0, 186.0))
    assert gain("slaps", (hidden, higher), {}) > 1.0
    assert gain("slaps", (hidden, hardly), {}) == 0.0
    assert gain("slaps", (deeper, higher), {}) == 0.0


def test_what_is_grave_is_cured_first() -> None:
    """A shock that goes solid: letting oil out cures it, a longer travel does not; it comes first at any cost."""
    (asked,) = answer_of(worked(HOLED), "solid").helps
    assert asked.change.startswith("rear 0.")
    assert "of oil let out" in asked.change
    assert "solid no more" in asked.gives
    assert asked.reason == ""
    up = effect_of("bump_travel_mm", 10.0, 15.0, {})
    still = effect_of("spare_hot_ml", -0.1, -0.1, {})
    assert gain("solid", (still, up), {}) == 0.0
    assert gain("solid", (effect_of("spare_hot_ml", 0.2, 0.2, {}), up), {}) > 1.0


def test_a_loose_spring_made_looser_is_a_cost() -> None:
    """Less preload below nothing is worse, above nothing it is not; it is said and never the best."""
    looser = effect_of("preload_mm", -2.5, -5.5, {})
    assert looser.worse
    assert cost((looser,)) == pytest.approx(3.0 / 0.25)
    assert not effect_of("preload_mm", 5.5, 2.5, {}).worse
    assert effect_of("preload_mm", -2.5, 1.0, {}).better
    loose = put({**CHANGES, "end": "rear"}, "car.rear.preload_mm", -3.0)
    loose["box"] = {"limiters_mm": [2], "collar_step_mm": 0.5}
    found = libdamp.calculate("changes", loose)
    limiter = next(row for row in found["rows"] if row["kind"] == "limiter")
    assert "still loose" in limiter["costs"]
    assert not any("limiter" in one["change"] for one in found["helps"])
    rattles = next(one for one in found["helps"] if one["question"] == "rattles")
    assert rattles["change"] == "rear preload 1.0 instead of -3.0 mm, for level arms"
    whats = [row["what"] for row in found["rows"]]
    assert "preload 0.0 instead of -3.0 mm, the spring just held" in whats


def test_nothing_to_cure_is_said() -> None:
    """A car that does not bob needs no damping; what costs more than it helps is no bargain."""
    bobs = answer_of(worked("demo-buggy"), "bobs")
    assert not bobs.rows
    assert bobs.helps[0].reason == "nothing to cure"
    skips = answer_of(worked("demo-buggy"), "skips")
    assert skips.rows
    assert skips.helps[0].row is None
    assert skips.helps[0].reason == "what helps costs more elsewhere"
    for name in CARS:
        for one in answer(name).helps:
            assert (one.row is None) == bool(one.reason)


WORDS = {
    "slaps": "slaps",
    "the chassis bottoms out": "slaps",
    "bounces": "jumps_up",
    "it keeps bobbing": "bobs",
    "comes back slowly": "slow_back",
    "skips over small bumps": "skips",
    "sinks lower": "sinks",
    "kerb": "kerb",
    "sits too low": "height",
    "spring rattles": "rattles",
    "goes solid": "solid",
    "dead in winter": "cold",
    "hops over ruts": "skips",
    "kicks up after a landing": "jumps_up",
    "is bottoming": "slaps",
    "leans to one side": "height",
    "does not fully compress": "solid",
    "takes ages to rebound": "slow_back",
    "the spring falls out": "rattles",
    "nose and tail": "together",
    "slapps": "slaps",
    "slow_back": "slow_back",
}


@pytest.mark.parametrize("text", WORDS)
def test_free_words_find_their_question(text: str) -> None:
    """A driver's words, a slip of the pen, a code."""
    assert question_of(text) == WORDS[text]


def test_every_code_and_wording_is_its_own() -> None:
    """The codes and the full words stand for their question."""
    for code, asked in QUESTIONS.items():
        assert question_of(code) == code
        assert question_of(asked.words) == code


@pytest.mark.parametrize("text", ["frogs", "", "slaps and bounces"])
def test_unknown_words_list_the_twelve(text: str) -> None:
    """Words that mean none or two are answered with all twelve."""
    with pytest.raises(libdamp.InputError) as caught:
        question_of(text)
    said = caught.value.faults[0].text
    assert all(asked.words in said for asked in QUESTIONS.values())


def test_an_end_among_the_words() -> None:
    """One end named is the end asked for; both belong to the question."""
    assert asked_in(["rear"]) == {"end": "rear"}
    assert asked_in(["the", "rear", "slaps"]) == {"end": "rear", "question": "slaps"}
    assert asked_in(["tail", "slaps"]) == {"end": "rear", "question": "slaps"}
    assert asked_in(["back end slaps"]) == {"end": "rear", "question": "slaps"}
    assert asked_in(["comes back too slowly"]) == {"question": "slow_back"}
    with pytest.raises(libdamp.InputError, match="too soft in the rear"):
        asked_in(["too soft in the rear"])
    assert asked_in(["front", "and", "rear", "do", "not", "work", "together"]) == {"question": "together"}


# the text


@pytest.mark.parametrize("name", CARS)
def test_text_is_narrow_and_whole(name: str) -> None:
    """Every row and every question stands in the text, in 100 columns, numbers beside their units."""
    text = changes_text(answer(name), asked_of(name), "INVENTED")
    lines = text.splitlines()
    assert max(map(len, lines)) <= WIDTH
    flat = " ".join(text.split())
    for row in answer(name).rows:
        assert row.what in flat
        assert row.gives in flat
        assert row.costs in flat
    assert all(f"  {asked.words}" in lines for asked in QUESTIONS.values())
    assert not any(re.fullmatch(r" *(mm|%|ms|Hz|ml|N)\b.*", line) for line in lines)
    one = changes_text(answer_of(worked(name), "slaps"), asked_of(name))
    assert "CHASSIS SLAPS" in one
    assert "nan" not in one.split()


def test_readme_shows_what_is_printed() -> None:
    """The README's example is what the command prints, some lines left out."""
    readme = (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8")
    (block,) = re.findall(r"^```text changes\n(.*?)^```$", readme, flags=re.M | re.S)
    printed = changes_text(answer_of(worked("demo-truck"), "slaps"), asked_of("demo-truck"))
    for part in block.split("...\n"):
        assert part in printed


def test_the_sheet_takes_the_worst_first() -> None:
    """A few lines, for what is wrong or next to it, each with what it gives."""
    for name in CARS:
        whole = answer(name)
        chosen = useful(whole)
        assert len(chosen) <= 4
        concerns = [concern_of(whole, h) for h in chosen]
        assert concerns == sorted(concerns, reverse=True)
        assert all(concern >= NEXT_TO_WRONG for concern in concerns)
        assert all(h.row is not None for h in chosen)
        for line, asked in zip(if_words(whole), chosen, strict=True):
            assert line.startswith(f"{asked.words}: {asked.change} gives: {asked.gives}")


def test_a_car_that_sinks_is_an_answer() -> None:
    """A corner that finds no rest has no figures, says so, and rows that lift it are still worked out."""
    heavy = put({**CHANGES, "box": {}, "end": "rear"}, "car.rear.sprung_mass_g", 3000)
    heavy = put(put(heavy, "car.rear.preload_mm", 1.0), "use.jump", "none")
    found = libdamp.calculate("changes", heavy)
    assert found["rear"]["clearance_mm"] is None
    told = {f["where"]: f["text"] for f in found["findings"] if f["code"] == "figures_left_out"}
    assert "clearance_mm" in told["/car/rear"]
    assert "least_clearance_mm" in told["/car/front"]
    assert {row["kind"] for row in found["rows"]} == {"preload", "closing", "temperature", "mass"}
    level = next(row for row in found["rows"] if row["what"].endswith("for level arms"))
    assert level["after"]["clearance_mm"] == pytest.approx(CHANGES["car"]["rear"]["level_clearance_mm"], abs=1e-6)


def test_what_is_fine_is_told_so() -> None:
    """A buggy with 21 mm to spare does not slap: a change gives more still, and is not said to cure anything."""
    helps = {one.question: one for one in answer("demo-buggy").helps}
    assert helps["slaps"].fine
    assert helps["slaps"].row is not None
    assert max(helps["slaps"].front_concern, helps["slaps"].rear_concern) <= 0.0
    assert not helps["kerb"].fine  # no blow of a kerb is fine by itself
    assert helps["height"].reason == "nothing to cure"
    text = changes_text(answer("demo-buggy"), asked_of("demo-buggy"))
    told = text[text.index("chassis slaps") :].split("\n  jumps")[0]
    assert "fine as it is; more of it, were it wanted:\n    -> front piston" in told
    tables = change_rows(answer("demo-buggy"))
    assert not any(row.asked == helps["slaps"].words for row in tables)
    for one in helps.values():
        assert not (one.fine and max(one.front_concern, one.rear_concern) >= 0.25)


def test_fine_needs_every_goal_met() -> None:
    """Nose and tail whose damping goes together but not their frequencies are not fine."""
    now = answer("demo-truck").front
    aims = {name: Aim(getattr(now, name), 0.1, "yours") for name in ("damping_ratio_ratio", "frequency_ratio")}
    assert fine("together", now, aims)
    assert concern("together", now, aims) < 0.0
    off = {**aims, "frequency_ratio": Aim((now.frequency_ratio or 0.0) - 0.12, 0.1, "yours")}
    assert not fine("together", now, off)
    assert concern("together", now, off) > 1.0


def test_a_spring_that_is_just_held_is_not_wrong() -> None:
    """No preload at full droop is the cure of a loose spring: it is no ill of its own."""
    now = answer("demo-truck").front
    held, loose = (msgspec.structs.replace(now, preload_mm=mm) for mm in (0.0, -0.1))
    assert concern("rattles", held, {}) == 1.0
    assert concern("rattles", loose, {}) > 1.0
    assert cures("rattles", (effect_of("preload_mm", -0.3, 0.0, {}),), {})
    assert not cures("rattles", (effect_of("preload_mm", 0.0, 0.5, {}),), {})
