"""`plan`: row 0 as it stands, a proposal of few changes, rejections with reasons, groups of equals."""

import time
from typing import Any

import pytest

import libdamp
from libdamp.demo import demo_data
from tests.plain_requests import USE, put

TRUCK = demo_data("demo-truck")


def _plan(request: dict[str, Any], **changes: Any) -> dict[str, Any]:
    for path, value in changes.items():
        request = put(request, path.replace("__", "."), value)
    return libdamp.calculate("plan", request)


def test_row_0_is_the_car_as_it_stands() -> None:
    """Row 0 changes nothing and bears the figures of `check`."""
    answer, checked = _plan(TRUCK), libdamp.calculate("check", TRUCK)
    row = answer["builds"][0]
    assert not row["changed"]
    assert row["distance"] == pytest.approx(checked["distance"], rel=1e-12)
    for end in ("front", "rear"):
        ride = checked[end]["ride"]
        assert row[end] == answer[end]["builds"][0]
        for name in ("clearance_mm", "frequency_hz", "damping_ratio_compression", "bump_travel_mm", "collar_mm"):
            assert row[end][name] == pytest.approx(ride[name], rel=1e-12, abs=1e-12)


def test_whole_grid_is_looked_at() -> None:
    """Springs x limiters x oils x pistons x five or six steps of the collar, nothing left out."""
    answer, parts = _plan(TRUCK), 5 * 7 * 8 * 8
    for end in ("front", "rear"):
        assert 5 * parts <= answer[end]["considered"] <= 6 * parts
        assert answer[end]["considered"] % (8 * 8) == 0


def test_leave_it() -> None:
    """A car that meets its goals is left alone: no part changes."""
    answer = _plan({"car": TRUCK["car"], "use": USE})
    assert answer["verdict_front"] == "front: leave it"
    assert answer["verdict_rear"] == "rear: leave it"
    assert not answer["builds"][1]["changed"]


def test_the_proposal_changes_the_fewest_parts() -> None:
    """Where the goals can be met, no listed row that meets them changes fewer parts than the proposal."""
    answer = _plan(TRUCK)
    proposal = answer["builds"][1]
    meeting = [row for row in answer["builds"] if row["meets_goals"]]
    assert proposal["meets_goals"]
    assert len(proposal["changed"]) == min(len(row["changed"]) for row in meeting)
    for end in ("front", "rear"):
        words = answer[f"verdict_{end}"]
        assert ("leave it" in words) == (not proposal[end]["changed"])


def test_changes_are_named() -> None:
    """`changed` lists just the parts that differ from those on the car."""
    for row in _plan(TRUCK)["builds"]:
        for end in ("front", "rear"):
            build, corner = row[end], TRUCK["car"][end]
            differs = {
                "spring": build["spring"]["rate_n_mm"] != corner["spring"]["rate_n_mm"],
                "oil": build["oil"]["viscosity_cst"] != corner["shock"]["oil"]["viscosity_cst"],
                "limiter": build["limiter_mm"] != corner["shock"]["limiter_mm"],
            }
            for part, changed in differs.items():
                assert (part in build["changed"]) == changed
        assert len(row["changed"]) == len(row["front"]["changed"]) + len(row["rear"]["changed"])


def test_equals_are_grouped() -> None:
    """Of two listed groups neither is as good as the other within the error of the answer."""
    for end in ("front", "rear"):
        builds = _plan(TRUCK)[end]["builds"][1:]
        for i, a in enumerate(builds):
            for b in builds[i + 1 :]:
                same = (
                    abs(a["frequency_hz"] / b["frequency_hz"] - 1.0) <= 0.005
                    and abs(a["damping_ratio_rebound"] / b["damping_ratio_rebound"] - 1.0) <= 0.01
                    and abs(a["height_error_mm"] - b["height_error_mm"]) <= 0.1
                )
                assert not same


def test_nothing_legal_is_never_empty() -> None:
    """With every build faulty, the nearest is shown with what it lacks, and the verdict says so."""
    answer = _plan({"car": TRUCK["car"], "use": USE}, car__front__shock__fill__gas_ml=0.05)
    assert answer["front"]["legal"] == 0
    nearest = answer["front"]["builds"][1]
    assert "lock_hot" in nearest["rejected_for"]
    assert "no build from these parts is free of a fault" in answer["verdict_front"]
    assert "nothing_legal" in {f["code"] for f in answer["findings"]}
    assert not any(row["meets_goals"] for row in answer["builds"])


def test_reasons_are_told_with_the_nearest_miss() -> None:
    """Each rejection has a count, words, a unit and by how much the nearest misses."""
    box = {"front_springs": [{"rate_n_mm": 0.9, "free_length_mm": 53, "block_length_mm": 30}]}
    rejected = _plan({"car": TRUCK["car"], "use": USE, "box": box})["front"]["rejected"]
    assert rejected
    for one in rejected:
        assert one["builds"] > 0
        assert one["short_by"] > 0.0
        assert str(one["builds"]) in one["text"]
        assert one["reason"] in one["nearest"]["rejected_for"]


def test_too_few_pistons_for_both_ends() -> None:
    """A piston of which two are in hand goes on one axle only; with one, on none."""
    piston = {"holes": "2x1.5", "thickness_mm": 2.4, "diameter_mm": 11.9}
    for count in (1, 2, 3, 4):
        answer = _plan({"car": TRUCK["car"], "use": USE, "box": {"pistons": [{**piston, "count": count}]}})
        for row in answer["builds"]:
            used = sum("piston" in row[end]["changed"] for end in ("front", "rear"))
            assert used <= count // 2


def test_a_piston_that_does_not_fit() -> None:
    """A piston wider than the bore is rejected with that reason, and never listed."""
    box = {"pistons": [{"holes": "2x1.5", "thickness_mm": 2.4, "diameter_mm": 15.9}]}
    answer = _plan({"car": TRUCK["car"], "use": USE, "box": box})
    assert "does_not_fit" in {r["reason"] for r in answer["front"]["rejected"]}
    for row in answer["builds"]:
        assert row["front"]["piston"]["diameter_mm"] < 12.0


def test_no_surface_no_goals() -> None:
    """Without surface and goals there is nothing to aim at; with goals for both ends there is."""
    use = {key: value for key, value in USE.items() if key != "surface"}
    request = {"car": TRUCK["car"], "use": use}
    with pytest.raises(libdamp.InputError, match="surface"):
        libdamp.calculate("plan", request)
    end = {"frequency_hz": {"target": 4, "tolerance": 0.4}, "damping_ratio": {"target": 0.8, "tolerance": 0.2}}
    answer = libdamp.calculate("plan", {**request, "goals": {"front": end, "rear": end}})
    yours = [t for t in answer["builds"][0]["front"]["terms"] if t["source"] == "yours"]
    assert [t["quantity"] for t in yours] == ["frequency_hz", "damping_ratio"]


def test_goals_are_followed() -> None:
    """A wish for a higher frequency gives a stiffer spring, one for more damping thicker oil or less hole."""

    def first(hertz: float, ratio: float) -> dict[str, Any]:
        end = {
            "frequency_hz": {"target": hertz, "tolerance": 0.05},
            "damping_ratio": {"target": ratio, "tolerance": 0.05},
        }
        answer = libdamp.calculate("plan", {**TRUCK, "goals": {"front": end}})
        return answer["front"]["builds"][1]  # type: ignore[no-any-return]

    soft, stiff = first(3.5, 0.8), first(4.3, 0.8)
    assert stiff["spring"]["rate_n_mm"] > soft["spring"]["rate_n_mm"]
    assert stiff["frequency_hz"] > soft["frequency_hz"]
    little, much = first(3.8, 0.5), first(3.8, 1.2)
    assert much["damping_ratio_rebound"] > little["damping_ratio_rebound"]


def test_what_is_not_searched_is_said() -> None:
    """Blanks and mixtures earn a finding as long as they are not searched; without them there is none."""
    codes = [(f["code"], f["where"]) for f in _plan(TRUCK)["findings"]]
    assert codes == [("not_searched", "/box/blanks"), ("not_searched", "/box/mix_oils")]
    quiet = _plan(TRUCK, box__blanks=None, box__mix_oils=False)
    assert not quiet["findings"]


def test_a_whole_box_is_quick() -> None:
    """The demo's 22,400 builds of both ends take well under two seconds, even on a busy machine."""
    start = time.perf_counter()
    _plan(TRUCK)
    assert time.perf_counter() - start < 2.0
