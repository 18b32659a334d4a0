"""`tolerance` at its doors: what is drawn and why, ranges, faults, progress, and what it says."""

import copy
import json
import math
import re
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

import libdamp
from libdamp.demo import demo_data
from tests.plain_requests import TOLERANCE, Data, corner, put, shock
from tests.test_sweep import Posting, faults

RIDE: Data = {
    "calculation": "ride",
    "request": {"corner": corner(), "collar_step_mm": 0.5},
    "only": ["damping_ratio_compression"],
    "samples": 100,
}
DRAFT: Data = {"axle_g": 800, "spring": "0.38 N/mm", "shock": {"oil": "325 cst", "piston": {"holes": "2x1.7"}}}
OIL: Data = {"calculation": "oil_viscosity", "only": ["viscosity_cst"], "samples": 100}
HOLE = "corner.shock.piston.holes.0.diameter_mm"


def told(**more: Any) -> Data:
    """Answer to the ride of the demo truck's front with some fields changed."""
    return libdamp.calculate("tolerance", {**RIDE, **more})


def inputs(answer: Data) -> dict[str, Data]:
    """Inputs by path."""
    return {one["path"]: one for one in answer["inputs"]}


def test_what_is_measured() -> None:
    """Holes, oil, temperature and thickness are drawn as measured, and the answer says how."""
    found = inputs(told())
    assert {path: (one["kind"], one["spread"]) for path, one in found.items()} == {
        HOLE: ("measured", "normal, ±0.02 mm (one standard deviation)"),
        "corner.shock.piston.thickness_mm": ("measured", "normal, ±0.05 mm (one standard deviation)"),
        "corner.shock.oil.viscosity_cst": ("measured", "normal, ±16.2 cSt (one standard deviation)"),
        "temperature_c": ("measured", "normal, ±2 C (one standard deviation)"),
    }
    assert "drill shank" in found[HOLE]["how_to_measure"]
    assert inputs(told(holes="hand"))[HOLE]["sd"] == pytest.approx(0.05)


def test_what_is_assumed() -> None:
    """All that the size lets be assumed is drawn evenly over its spread, and is listed with its place."""
    draft = {"size": "1:10 truck", "corner": DRAFT}
    answer = told(request=draft)
    single = libdamp.calculate("ride", draft)
    assert [one["path"] for one in answer["assumed"]] == [f"/request{one['path']}" for one in single["assumed"]]
    drawn = {path for path, one in inputs(answer).items() if one["kind"] == "assumed"}
    words = {"corner.shock.fill.kind"}
    assert drawn == {one["path"].strip("/").replace("/", ".") for one in single["assumed"]} - words
    bore = inputs(answer)["corner.shock.bore_mm"]
    assert bore["spread"] == "uniform, 11.6 to 12.4 mm"
    assert bore["sd"] == pytest.approx(0.72 * math.sqrt(101 / 100 / 12), rel=1e-9)  # middles of 100 equal parts


def test_what_follows() -> None:
    """What was worked out from an input goes with it: a heavier wheel leaves less for the spring to carry.

    Only the wheel's mass is drawn, of which the axle's 800 g leave the rest: 400 g a corner, whatever it is.
    """
    draft = {"size": "1:10 truck", "corner": DRAFT}
    still = {path: {"sd": 0} for path in inputs(told(request=draft)) if path != "corner.unsprung_mass_g"}
    spreads = {**still, "corner.unsprung_mass_g": {"half_width": 20}}
    answer = told(request=draft, only=["shock_force_n"], spreads=spreads, samples=1000)
    force = answer["outputs"][0]
    ratio = libdamp.calculate("ride", draft)["motion_ratio"]
    assert force["sd"] == pytest.approx(40 / math.sqrt(12.0) * 1e-3 * 9.80665 / ratio, rel=1e-3)


def test_other_ways_to_give_a_thing() -> None:
    """An axle's mass given as a range is completed anew for every draw; its ends are the single answers."""
    draft = {"size": "1:10 truck", "corner": {**DRAFT, "axle_g": "700..900 g"}}
    asked = told(request=draft, only=["shock_force_n"])
    (found,) = asked["ranges"]
    for name, grams in (("low", 700), ("high", 900)):
        single = libdamp.calculate("ride", put({"size": "1:10 truck", "corner": DRAFT}, "corner.axle_g", grams))
        assert found[name] == pytest.approx(single["shock_force_n"], rel=1e-12)
    assert found["culprit"] == "corner.axle_g"


@pytest.mark.parametrize(
    ("path", "text", "spread"),
    [
        ("corner.spring", "0.3..0.45 N/mm", "uniform, 0.3 to 0.45 N/mm"),
        ("corner.spring", "?", "uniform, 0.25 to 5 N/mm"),
        ("corner.shock.oil", "300..350 cst", "uniform, 300 to 350 cSt"),
        ("corner.shock.oil.viscosity_cst", "300 .. 350", "uniform, 300 to 350 cSt"),
        ("corner.shock.oil", "?", "uniform, 100 to 1500 cSt"),
        ("corner.shock.piston.holes", "2x1,4..1,7", "uniform, 1.4 to 1.7 mm"),
        ("corner.shock.piston.holes", "2x?", "uniform, 0.9 to 3 mm"),
        ("corner.shock.piston.holes", "2..3x1.5", "uniform, 2 to 3"),
        ("corner.shock.piston.holes", [{"count": 2, "diameter_mm": "1.5..1.6"}], "uniform, 1.5 to 1.6 mm"),
        ("corner.shock.bore_mm", "0.46..0.48 in", "uniform, 11.7 to 12.2 mm"),
        ("temperature_c", "-5..35", "uniform, -5 to 35 C"),
        ("temperature_c", "?", "uniform, 0 to 90 C"),
        ("corner.tyre.rate_n_mm", "2.5..1.5", "uniform, 1.5 to 2.5 N/mm"),
    ],
)
def test_ranges_may_be_written(path: str, text: Any, spread: str) -> None:
    """A range stands for a number, or within the text of a part; '?' is the usual range."""
    request = {"corner": put(corner(), "shock.piston.diameter_mm", 11.5), "temperature_c": 25}
    answer = told(request=put(request, path, text))
    (ranged,) = [one for one in answer["inputs"] if one["kind"] == "range"]
    assert ranged["spread"] == spread
    assert len(answer["ranges"]) == 1


def test_two_unknowns() -> None:
    """Two unknowns: the band over all ends, and which of them makes it wide."""
    data = put(put(corner(), "shock.piston.holes", "2x1.4..1.7"), "shock.oil", "300..350 cst")
    answer = told(request={"corner": data})
    (found,) = answer["ranges"]
    ends = [
        libdamp.calculate("ride", {"corner": put(put(corner(), "shock.piston.holes", h), "shock.oil", o)})
        for h in ("2x1.4", "2x1.7")
        for o in ("300 cst", "350 cst")
    ]
    ratios = [one["damping_ratio_compression"] for one in ends]
    assert [found["low"], found["high"]] == pytest.approx([min(ratios), max(ratios)], rel=1e-9)
    assert found["culprit"] == HOLE
    assert found["shares"][0]["share"] > 0.75
    assert sum(one["share"] for one in found["shares"]) == pytest.approx(1.0)


def test_no_ranges_no_bands_of_ranges() -> None:
    """Without a range there is none of its bands."""
    assert told()["ranges"] == []


def test_what_is_measured_is_measured_more_finely() -> None:
    """Where all that weighs is measured already, nobody is sent to measure it as if it were not."""
    (found,) = told(request={"corner": corner()}, only=["damping_ratio_compression"])["outputs"]
    assert f"Measure {found['measure_next']} more finely (" in found["sentence"]
    ranged = {"corner": put(corner(), "shock.piston.holes", "2x1.4..1.7")}
    (found,) = told(request=ranged, only=["damping_ratio_compression"])["outputs"]
    assert f"Measure {found['measure_next']} next (" in found["sentence"]


def test_measure_next() -> None:
    """What was assumed goes before what was measured; measured, its share of the variance is gone."""
    draft = {"size": "1:10 truck", "corner": DRAFT}
    (found,) = told(request=draft, only=["frequency_hz"], samples=2000)["outputs"]
    shares = {one["path"]: one["share"] for one in found["shares"]}
    assert found["measure_next"] == found["culprit"] == "corner.linkage.motion_ratio"
    left = math.sqrt(1.0 - shares[found["measure_next"]])
    assert found["sd_when_measured"] == pytest.approx(left * found["sd"])
    assert f"{left:.0%} of the width is left" in found["sentence"]
    assert "caliper eye to eye; 10 min" in found["sentence"]
    wide = {"oil.viscosity_cst": {"rel_sd": 0.12}}
    (found,) = told(request={"size": "1:10 truck", "corner": DRAFT}, spreads=wide)["outputs"]
    assert found["culprit"] == "corner.shock.oil.viscosity_cst"
    assert found["measure_next"] == "corner.shock.bore_mm"


def test_measured_it_really_shrinks() -> None:
    """Drawn again without the input that was to be measured next, the band is as wide as was said."""
    asked = {"request": {"size": "1:10 truck", "corner": DRAFT}, "only": ["frequency_hz"], "samples": 4000}
    (found,) = told(**asked)["outputs"]
    (after,) = told(**asked, spreads={found["measure_next"]: {"sd": 0}})["outputs"]
    assert after["sd"] == pytest.approx(found["sd_when_measured"], rel=0.05)


@pytest.mark.parametrize("name", ["rides", "sweep", "tolerance"])
def test_no_such_calculation(name: str) -> None:
    """An unknown calculation, or one that calls others itself, is a fault."""
    assert faults({**RIDE, "calculation": name}, "tolerance") == [("/calculation", "calculation")]


def test_all_faults_at_once() -> None:
    """Outputs that are no numbers, spreads of nothing, and faults of the request are told together."""
    spreads = {"oil.viscosity": {"sd": 1}, "oil.vtc": {"sd": 0.1}}
    only = ["frequency", "first_stop", "next_step", "frequency_hz", "findings"]
    request = {"corner": corner()}
    assert faults({**RIDE, "request": request, "only": only, "spreads": spreads}, "tolerance") == [
        ("/only/0", "output"),
        ("/only/1", "output"),
        ("/only/2", "output"),
        ("/only/4", "output"),
        ("/spreads/oil.viscosity", "address"),
        ("/spreads/corner.shock.oil.vtc", "no_number"),
    ]
    wrong = put(put(request, "corner.shock.bore_mm", -1), "corner.spring", {"rate_n_mm": "0.3..x"})
    assert faults({**RIDE, "request": wrong}, "tolerance") == [
        ("/request/corner/shock/bore_mm", "request_range"),
        ("/request/corner/spring/rate_n_mm", "request_unit"),
    ]
    wide = put(put(request, "corner.shock.bore_mm", "12..99"), "corner.spring.rate_n_mm", -2)
    assert faults({**RIDE, "request": wide}, "tolerance")[0] == ("/request/corner/shock/bore_mm", "request_range")
    assert ("/request/corner/spring/rate_n_mm", "request_range") in faults({**RIDE, "request": wide}, "tolerance")


@pytest.mark.parametrize(
    ("spread", "pointer", "rule"),
    [
        ({}, "", "either"),
        ({"sd": 1, "rel_sd": 0.1}, "", "either"),
        ({"low": 1}, "", "either"),
        ({"low": 1, "high": 2, "sd": 1}, "", "either"),
        ({"low": 2, "high": 1}, "/low", "consistent"),
        ({"sd": -1}, "/sd", "range"),
        ({"width": 1}, "/width", "unknown_field"),
        (3, "", "type"),
    ],
)
def test_wrong_spreads(spread: Any, pointer: str, rule: str) -> None:
    """A spread is said in one way, both ends the right way round."""
    assert faults({**RIDE, "spreads": {"x": spread}}, "tolerance") == [(f"/spreads/x{pointer}", rule)]


def test_one_input_twice() -> None:
    """One input under two names is a fault."""
    spreads = {"oil.viscosity_cst": {"sd": 1}, "/corner/shock/oil/viscosity_cst": {"sd": 2}}
    assert [rule for _, rule in faults({**RIDE, "spreads": spreads}, "tolerance")] == ["twice"]


def test_too_many_ranges() -> None:
    """Nine ranges have too many corners."""
    data = corner()
    paths = ("sprung_mass_g", "unsprung_mass_g", "level_clearance_mm", "tyre.rate_n_mm", "shock.bore_mm")
    for path in (*paths, "shock.stroke_mm", "shock.seal_drag_n", "shock.piston.thickness_mm", "spring.rate_n_mm"):
        data = put(data, path, "?")
    assert ("/request", "request_ranges") in faults({**RIDE, "request": {"corner": data}}, "tolerance")


def test_a_spread_of_a_range() -> None:
    """A spread that is given goes before the range that stands in the request."""
    data = {"oil": "300..350 cst", "temperature_c": 25}
    answer = libdamp.calculate("tolerance", {**OIL, "request": data, "spreads": {"oil.viscosity_cst": {"sd": 0}}})
    assert answer["ranges"] == []
    assert answer["inputs"][0]["kind"] == "given"


def test_bound() -> None:
    """Ten minutes of work and no more, with the number that may be asked for; `ride` has no such bound."""
    plan = {"calculation": "plan", "request": demo_data("demo-truck"), "only": ["front.considered"], "samples": 201}
    with pytest.raises(libdamp.TooCostly, match="at most 200 at once"):
        libdamp.calculate("tolerance", {**plan, "request": {**plan["request"], "box": {}}})
    assert told(samples=20_000)["samples"] == 20_000
    assert faults({**RIDE, "samples": 99}, "tolerance") == [("/samples", "range")]


def test_progress_and_cancelling() -> None:
    """Draws one by one and draws by arrays both tell how far they are, and stop when asked."""
    for request in ({**RIDE, "samples": 10_000}, {**TOLERANCE, "samples": 300}):
        seen: list[tuple[int, int]] = []
        libdamp.calculate("tolerance", request, progress=lambda done, total: seen.append((done, total)))  # noqa: B023
        assert len(seen) > 2
        assert seen == sorted(seen)
        assert seen[-1][0] == seen[-1][1] >= request["samples"]
        with pytest.raises(libdamp.Cancelled):
            libdamp.calculate("tolerance", request, progress=lambda *_: True)


def test_any_executor_gives_the_same() -> None:
    """Threads, or whatever sends work away, give what one process gives."""
    alone = libdamp.calculate("tolerance", TOLERANCE)
    posting = Posting()
    assert libdamp.calculate("tolerance", TOLERANCE, executor=posting) == alone
    assert posting.sent > 1
    with ThreadPoolExecutor(2) as threads:
        assert libdamp.calculate("tolerance", TOLERANCE, executor=threads) == alone


def test_what_is_carried_along() -> None:
    """Findings of the request as it stands with their places, cautions of the calculation; the request is kept."""
    before = copy.deepcopy(RIDE["request"])
    answer = told(request=put(RIDE["request"], "corner.preload_mm", -2))
    single = libdamp.calculate("ride", put(RIDE["request"], "corner.preload_mm", -2))
    carried = [(one["code"], one["where"]) for one in answer["findings"] if one["where"].startswith("/request")]
    assert carried == [(one["code"], f"/request{one['where']}") for one in single["findings"]]
    assert answer["cautions"] == single["cautions"]
    assert before == RIDE["request"]


def test_what_does_not_exist() -> None:
    """An output that never exists has no band, and a finding and a sentence say so."""
    answer = told(only=["next_step.preload_mm", "frequency_hz"], request={"corner": corner()})
    band = answer["outputs"][0]
    assert [band[name] for name in ("nominal", "mean", "sd", "low_5", "high_95", "culprit")] == [None] * 6
    missing = [one for one in answer["findings"] if one["code"] == "output_missing"]
    assert [(one["where"], one["value"]) for one in missing] == [("/only/0", 100.0)]
    assert "does not exist" in band["sentence"]


def test_impossible_draws_are_left_out() -> None:
    """Draws whose set-up cannot be are counted, said, and in no band."""
    spreads = {"corner.shock.shaft_mm": {"low": 3, "high": 9}}
    answer = told(spreads=spreads, samples=1000)
    limit = 0.7 * 12
    assert answer["impossible"] / 1000 >= (9 - limit) / 6 - 0.01  # some holes do not fit beside the shaft either
    assert "draws_impossible" in {one["code"] for one in answer["findings"]}
    assert answer["outputs"][0]["low_5"] > 0.0


def test_readme_example() -> None:
    """The request that the README shows says what the README says."""
    readme = (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8")
    block, after = re.findall(r"```json\n(\{\"calculation\".*?)```\n\n(.*?)\n\n", readme, flags=re.S)[0]
    (found,) = libdamp.calculate("tolerance", json.loads(block))["outputs"]
    assert f"says {found['low_5']:.2g} to {found['high_95']:.2g} in nine of ten draws" in " ".join(after.split())
    assert found["measure_next"] == HOLE
    assert found["shares"][0]["share"] == pytest.approx(0.75, abs=0.03)
    assert found["sd_when_measured"] / found["sd"] == pytest.approx(0.5, abs=0.04)


def test_typed() -> None:
    """The typed function takes Structs, and finds the calculations by itself."""
    spreads = {"oil.viscosity_cst": libdamp.InputSpread(sd=10.0), "temperature_c": libdamp.InputSpread(sd=0.0)}
    request = {"oil": {"viscosity_cst": 325}, "temperature_c": 25}
    answer = libdamp.tolerance(
        calculation="oil_viscosity", request=request, only=("viscosity_cst",), spreads=spreads
    )
    assert isinstance(answer, libdamp.Tolerance)
    assert answer.outputs[0].sd == pytest.approx(10.0)


def test_lists_and_motion() -> None:
    """An element of a list has a band; so has a landing."""
    request = {"shock": shock(), "speeds_m_s": [0.05, 0.2]}
    asked = {"calculation": "damping_curve", "request": request, "only": ["compression_n.1"], "samples": 100}
    (band,) = libdamp.calculate("tolerance", asked)["outputs"]
    assert band["unit"] == "N"
    assert 0.0 < band["sd"] < 0.15 * band["nominal"]


def test_what_was_worked_out_is_measured_with_what_it_came_from() -> None:
    """A level length alone would part from the lengths it was assumed by: all are named, and that is left."""
    corner_of = {"axle_g": 800, "spring": "0.38 N/mm", "shock": {"oil": "325 cst", "piston": {"holes": "2x1.7"}}}
    request: Data = {"size": "1:10 truck", "corner": corner_of}
    (found,) = told(request=request, only=["droop_travel_mm"], samples=2000)["outputs"]
    assert found["measure_next"] == "corner.linkage.level_length_mm"
    lengths = ("stroke_mm", "extended_length_mm", "limiter_mm")
    assert found["measure_with"] == [f"corner.shock.{name}" for name in lengths]
    shock_of = {**corner_of["shock"], **dict(zip(lengths, (30, 88, 4), strict=True))}  # type: ignore[dict-item]
    linkage = {"kind": "ratio", "level_length_mm": 72.3}
    measured = put(put(request, "corner.linkage", linkage), "corner.shock", shock_of)
    (known,) = told(request=measured, only=["droop_travel_mm"], samples=2000)["outputs"]
    assert known["sd"] == pytest.approx(found["sd_when_measured"], rel=0.1)
    assert known["measure_with"] == []


def test_a_range_is_looked_at_between_its_ends() -> None:
    """The faster, the flatter it lands on a slope, too fast beyond it: the band holds what is there between."""
    jump: Data = {"apex_m": 0.5, "speed_m_s": "4..12", "landing_deg": 20}
    asked = {"calculation": "equal_fall", "only": ["on_slope_mm"], "request": {"jump": jump}, "samples": 200}
    answer = libdamp.calculate("tolerance", asked)
    (found,) = answer["ranges"]
    slow, fast = (
        libdamp.calculate("equal_fall", {"jump": {**jump, "speed_m_s": speed}})["on_slope_mm"] for speed in (4, 12)
    )
    nominal = answer["outputs"][0]["nominal"]
    assert fast is None
    assert nominal < 0.1 * slow
    assert found["low"] <= nominal < found["high"] == pytest.approx(slow)
    assert found["culprit"] == "jump.speed_m_s"
    assert "no_spread" not in {one["code"] for one in answer["findings"]}
