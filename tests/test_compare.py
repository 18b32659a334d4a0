"""`compare` and `compare_shocks`: causes, interaction, shared errors, words."""

import re
from typing import Any

import pytest

import libdamp
from libdamp.errors import InputError
from libdamp.headlines import Headlines
from tests.plain_requests import LARGER, NO_RUNS, Data, corner, put, shock

USE: Data = {"oil_temperature_c": 25, "bump_height_mm": 4, "bump_spacing_mm": 200, "speed_m_s": 6, "jump": "small"}
OTHER = put(put(corner(), "shock.oil.viscosity_cst", 400), "shock.piston.holes", [{"count": 3, "diameter_mm": 1.4}])

CAR: Data = {"front": corner(), "rear": corner("rear")}


def rows(answer: Data, end: int = 0) -> dict[str, Data]:
    """Figures of an end by name."""
    return {row["figure"]: row for row in answer["ends"][end]["figures"]}


OPPOSED = {
    "reference": corner(),
    "candidate": put(put(corner(), "shock.oil.viscosity_cst", 400), "shock.piston.holes", "3x1.4"),
    "candidate_temperature_c": 0,
    "use": USE,
}
"""Oil and piston that damp more, in the cold: much is done by all three together."""


@pytest.fixture(scope="module")
def there() -> dict[str, Data]:
    """From the demo corner to another oil and piston."""
    return rows(libdamp.calculate("compare", {"reference": corner(), "candidate": OTHER, "use": USE}))


@pytest.fixture(scope="module")
def back() -> dict[str, Data]:
    """The way back."""
    return rows(libdamp.calculate("compare", {"reference": OTHER, "candidate": corner(), "use": USE}))


def test_every_headline_figure(there: dict[str, Data]) -> None:
    """Each figure stands there once, in order, with its unit."""
    assert tuple(there) == Headlines.__struct_fields__
    assert there["touch_height_mm"]["unit"] == "mm"
    assert there["frequency_hz"]["unit"] == "Hz"


def test_the_way_back(there: dict[str, Data], back: dict[str, Data]) -> None:
    """Exchanged, the difference changes its sign; its error is the same."""
    for name, row in there.items():
        assert back[name]["difference"] == -row["difference"]
        assert back[name]["error"] == pytest.approx(row["error"], rel=1e-9, abs=1e-15)
        assert back[name]["clear"] == row["clear"]


def test_shares_add_up(there: dict[str, Data]) -> None:
    """Causes and interaction together are the difference; only what differs is a cause."""
    for row in there.values():
        assert [cause["cause"] for cause in row["causes"]] == ["oil", "piston"]
        parts = sum(cause["difference"] for cause in row["causes"]) + row["interaction"]
        assert parts == pytest.approx(row["difference"], rel=1e-9, abs=1e-12)


def test_thicker_oil_and_less_hole_damp_more(there: dict[str, Data]) -> None:
    """Both causes and the whole have the sign that they must have."""
    row = there["damping_ratio_compression"]
    assert all(cause["difference"] > 0.0 for cause in row["causes"])
    assert row["ratio"] == row["candidate"] / row["reference"] > 1.0
    assert row["clear"]
    assert not there["clearance_mm"]["clear"]


def test_shared_errors_cancel() -> None:
    """One oil in both: its error and the holes' cancel, which two bottles' would not."""
    same = rows(libdamp.calculate("compare", {"reference": corner(), "candidate": corner(), "use": NO_RUNS}))
    for row in same.values():
        if row["reference"] is not None:
            assert (row["difference"], row["error"], row["clear"]) == (0.0, 0.0, False)
            assert row["sentence"].endswith("no clear effect")
    assert same["damping_ratio_compression"]["error_if_apart"] > 0.05
    stiffer = put(corner(), "spring.rate_n_mm", 0.42)
    row = rows(libdamp.calculate("compare", {"reference": corner(), "candidate": stiffer, "use": NO_RUNS}))
    damping = row["damping_ratio_compression"]
    assert damping["error"] < 0.35 * damping["error_if_apart"]


def test_two_cars() -> None:
    """End by end, with the temperature as a cause at both."""
    asked = {"reference_car": CAR, "candidate_car": CAR, "use": NO_RUNS, "candidate_temperature_c": 5}
    answer = libdamp.calculate("compare", asked)
    assert [end["end"] for end in answer["ends"]] == ["front", "rear"]
    for end in (0, 1):
        row = rows(answer, end)["damping_ratio_rebound"]
        assert [cause["cause"] for cause in row["causes"]] == ["temperature"]
        assert row["difference"] > 0.0


@pytest.mark.parametrize("given", [{}, {"reference": corner()}, {"reference": corner(), "candidate_car": CAR}])
def test_two_of_a_kind(given: Data) -> None:
    """Neither two corners nor two cars is refused, with what to give."""
    with pytest.raises(InputError) as caught:
        libdamp.calculate("compare", {**given, "use": NO_RUNS})
    assert [fault.rule for fault in caught.value.faults] == ["either"]


def test_a_figure_that_only_one_has() -> None:
    """The sentence says which has it; so does a finding."""
    sunk = {**put(corner(), "spring.rate_n_mm", 0.05), "preload_mm": 0}
    answer = libdamp.calculate("compare", {"reference": corner(), "candidate": sunk, "use": NO_RUNS})
    row = rows(answer)["frequency_hz"]
    assert row["candidate"] is row["difference"] is row["ratio"] is None
    assert row["sentence"].endswith("Hz with the reference, none with the candidate")
    assert row["clear"]
    missing = [
        f["text"] for f in answer["findings"] if f["code"] == "figures_missing" and f["where"] == "/candidate"
    ]
    assert "frequency_hz" in missing[0]


def test_two_shocks() -> None:
    """A larger bore is the body's doing; a part that does not go in alone leaves no interaction."""
    answer = libdamp.calculate("compare_shocks", {"reference": shock(), "candidate": LARGER})
    by_name: dict[str, Any] = {row["figure"]: row for row in answer["figures"]}
    assert [cause["cause"] for cause in by_name["void_force_n"]["causes"]] == ["piston", "body"]
    assert by_name["void_force_n"]["candidate"] > by_name["void_force_n"]["reference"]
    alone = libdamp.calculate("compare_shocks", {"reference": shock(), "candidate": put(LARGER, "bore_mm", 16)})
    assert {row["interaction"] for row in alone["figures"]} == {None}


def test_sentences_agree_with_their_numbers(there: dict[str, Data]) -> None:
    """Sign and size in words are those of the numbers."""
    for row in there.values():
        less = row["difference"]
        assert ("no clear effect" in row["sentence"]) == (not row["clear"])
        if row["clear"]:
            sign = "+" if less > 0.0 else "-"
            assert f"({sign}{abs(less):.3g}"[:5] in row["sentence"]


def test_a_sentence_leaves_little_unexplained(there: dict[str, Data]) -> None:
    """What the causes named, the interaction among them, add up to is the difference but for a fifth."""
    told = [*there.values(), *rows(libdamp.calculate("compare", OPPOSED)).values()]
    explained = [row for row in told if row["clear"] and ": " in row["sentence"].split("(")[1]]
    assert any("interaction" in row["sentence"] for row in explained)
    for row in explained:
        said = row["sentence"].split("): ")[1]
        parts = [float(part.split()[1]) for part in said.split(", ")]
        digits = 0.01 * sum(abs(part) for part in parts)
        assert abs(sum(parts) - row["difference"]) <= 0.2 * abs(row["difference"]) + digits, row["sentence"]


def test_clear_is_clear_in_changes_too() -> None:
    """What is clear between two cars is clear in `changes` for the same change: the thresholds are the same."""
    car, box = {"front": corner(), "rear": corner()}, {"oils": [{"viscosity_cst": 335}, {"viscosity_cst": 310}]}
    told = libdamp.calculate("changes", {"car": car, "use": USE, "box": box, "end": "front"})
    oils = [row for row in told["rows"] if row["kind"] == "oil"]
    assert len(oils) == 2
    seen = set()
    for row, oil in zip(oils, (310, 335), strict=True):
        other = {**car, "front": put(corner(), "shock.oil.viscosity_cst", oil)}
        asked = {"reference_car": car, "candidate_car": other, "use": USE}
        for name, figure in rows(libdamp.calculate("compare", asked)).items():
            assert figure["clear"] <= (name in row["clear"]), figure["sentence"]
            seen.add((figure["clear"], name in row["clear"]))
            if figure["difference"]:
                assert figure["difference"] == pytest.approx(row["difference"][name], rel=1e-6, abs=1e-9)
    assert (False, False) in seen


def test_what_cannot_be_split_is_named() -> None:
    """A piston that does not fit the other bore is told with the others, and the causes explain the whole."""
    answer = libdamp.calculate("compare_shocks", {"reference": shock(), "candidate": put(LARGER, "bore_mm", 16)})
    clear = [row for row in answer["figures"] if row["clear"] and " with the others " in row["sentence"]]
    assert clear
    for row in clear:
        assert row["interaction"] is None
        parts = re.findall(r"([+-][0-9.]+) ", row["sentence"].split("): ")[1] + " ")
        assert sum(map(float, parts)) == pytest.approx(row["difference"], rel=0.25)


def test_a_fill_that_goes_solid_is_told() -> None:
    """Hot, too: as `check` tells it of a corner, and `fill_check` of a shock at its temperature."""
    solid = put(corner(), "shock.fill", {"kind": "vented", "room_ml": 0.3, "closing_insertion_mm": 0})
    answer = libdamp.calculate("compare", {"reference": corner(), "candidate": solid, "use": NO_RUNS})
    assert [f["where"] for f in answer["findings"] if f["code"] == "lock_hot"] == ["/candidate/shock/fill"]
    tight = put(shock(), "fill", {"kind": "bladder", "gas_ml": 0.36, "closing_insertion_mm": 0})
    hot = {"reference_temperature_c": 90, "candidate_temperature_c": 90}
    asked = {"reference": shock(), "candidate": tight}
    answers = [libdamp.calculate("compare_shocks", {**asked, **celsius}) for celsius in ({}, hot)]
    codes = [{f["code"] for f in one["findings"]} for one in answers]
    assert ["lock_hot" in one for one in codes] == [False, True]
