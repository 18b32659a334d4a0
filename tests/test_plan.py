"""`plan`: row 0 as it stands, a proposal of few changes, rejections with reasons, groups of equals."""

import functools
from typing import Any

import pytest

import libdamp
from libdamp.car import Blanks, Box
from libdamp.demo import demo_corner, demo_data
from libdamp.in_hand import parts_of, with_made
from libdamp.mixtures import MOST_MIXTURES
from tests.plain_requests import USE, put

TRUCK = demo_data("demo-truck")
STILL = {**USE, "jump": "none", "bump_height_mm": 0}
"""A use without jump and bumps: the choice is one at rest."""
AT_REST = ("frequency_hz", "damping_ratio", "height_error_mm", "frequency_ratio", "damping_ratio_ratio")


@functools.cache
def _truck() -> dict[str, Any]:
    """Plan of the demo truck."""
    return libdamp.calculate("plan", TRUCK)


def _plan(request: dict[str, Any], **changes: Any) -> dict[str, Any]:
    if request is TRUCK and not changes:
        return _truck()
    for path, value in changes.items():
        request = put(request, path.replace("__", "."), value)
    return libdamp.calculate("plan", request)


def test_row_0_is_the_car_as_it_stands() -> None:
    """Row 0 changes nothing and bears the figures of `check`."""
    answer, checked = _plan(TRUCK), libdamp.calculate("check", TRUCK)
    row = answer["builds"][0]
    assert not row["changed"]
    terms = [*row["front"]["terms"], *row["rear"]["terms"], *row["terms"]]
    at_rest = sum(t["term"] for t in terms if t["quantity"] in AT_REST)
    assert at_rest == pytest.approx(checked["distance"], rel=1e-12)
    assert row["distance"] == pytest.approx(sum(t["term"] for t in terms), rel=1e-12)
    for end in ("front", "rear"):
        ride = checked[end]["ride"]
        assert row[end] == answer[end]["builds"][0]
        for name in ("clearance_mm", "frequency_hz", "damping_ratio_compression", "bump_travel_mm", "collar_mm"):
            assert row[end][name] == pytest.approx(ride[name], rel=1e-12, abs=1e-12)


def test_whole_grid_is_looked_at() -> None:
    """Springs x limiters x closings x oils, mixed too, x pistons, drilled too, x five or six steps: all of them."""
    oils, pistons = 8 + MOST_MIXTURES, 8 + 5 * 21  # two to six holes
    answer, parts = _plan(TRUCK), 5 * 7 * 3 * oils * pistons
    for end in ("front", "rear"):
        assert 5 * parts <= answer[end]["considered"] <= 6 * parts
        assert answer[end]["considered"] % (oils * pistons) == 0


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
                    and abs(a["tyre_load_variation"] / b["tyre_load_variation"] - 1.0) <= 0.01
                    and abs(min(a["least_clearance_mm"], 2) - min(b["least_clearance_mm"], 2)) <= 0.2
                )
                assert not same


def test_nothing_legal_is_never_empty() -> None:
    """With every build faulty, the nearest is shown with what it lacks, and the verdict says so."""
    answer = _plan({"car": TRUCK["car"], "use": STILL}, car__front__shock__fill__gas_ml=0.05)
    assert answer["front"]["legal"] == 0
    nearest = answer["front"]["builds"][1]
    assert "lock_hot" in nearest["rejected_for"]
    assert "no build from these parts is free of a fault" in answer["verdict_front"]
    assert "nothing_legal" in {f["code"] for f in answer["findings"]}
    assert not any(row["meets_goals"] for row in answer["builds"])


def test_reasons_are_told_with_the_nearest_miss() -> None:
    """Each rejection has a count, words, a unit and by how much the nearest misses."""
    box = {"front_springs": [{"rate_n_mm": 0.9, "free_length_mm": 53, "block_length_mm": 30}]}
    rejected = _plan({"car": TRUCK["car"], "use": STILL, "box": box})["front"]["rejected"]
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
        answer = _plan({"car": TRUCK["car"], "use": STILL, "box": {"pistons": [{**piston, "count": count}]}})
        for row in answer["builds"]:
            used = sum("piston" in row[end]["changed"] for end in ("front", "rear"))
            assert used <= count // 2


def test_a_piston_that_does_not_fit() -> None:
    """A piston wider than the bore is rejected with that reason, and never listed."""
    box = {"pistons": [{"holes": "2x1.5", "thickness_mm": 2.4, "diameter_mm": 15.9}]}
    answer = _plan({"car": TRUCK["car"], "use": STILL, "box": box})
    assert "does_not_fit" in {r["reason"] for r in answer["front"]["rejected"]}
    for row in answer["builds"]:
        assert row["front"]["piston"]["diameter_mm"] < 12.0


def test_no_surface_no_goals() -> None:
    """Without surface and goals there is nothing to aim at; with goals for both ends there is."""
    use = {key: value for key, value in STILL.items() if key != "surface"}
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
        box = {**TRUCK["box"], "blanks": None, "mix_oils": False}
        answer = libdamp.calculate("plan", {**TRUCK, "use": STILL, "box": box, "goals": {"front": end}})
        return answer["front"]["builds"][1]  # type: ignore[no-any-return]

    soft, stiff = first(3.5, 0.8), first(4.3, 0.8)
    assert stiff["spring"]["rate_n_mm"] > soft["spring"]["rate_n_mm"]
    assert stiff["frequency_hz"] > soft["frequency_hz"]
    little, much = first(3.8, 0.5), first(3.8, 1.2)
    assert much["damping_ratio_rebound"] > little["damping_ratio_rebound"]


def _few(oils: list[float], **box: Any) -> dict[str, Any]:
    """The demo truck with its own parts, some oils and what else is named."""
    listed = [{"viscosity_cst": oil} for oil in oils]
    goals = {"rear": {"damping_ratio": {"target": 0.8, "tolerance": 0.08}}}
    return {
        "car": TRUCK["car"],
        "use": STILL,
        "goals": goals,
        "box": {"collar_step_mm": 0.5, "oils": listed, **box},
    }


def test_a_mixture_where_nothing_else_meets_the_goals() -> None:
    """Two bottles either side of the goal are mixed, and how is said; with a bottle that does, none is mixed."""
    row = _plan(_few([200, 600]))["builds"][1]
    mix = row["rear"]["mix"]
    assert row["meets_goals"]
    assert (mix["thin"]["viscosity_cst"], mix["thick"]["viscosity_cst"]) == (200, 600)
    asked = {"thin": {"viscosity_cst": 200}, "thick": {"viscosity_cst": 600}, "thick_share": mix["thick_share"]}
    blend = libdamp.calculate("oil_blend", asked)
    assert row["rear"]["oil"]["viscosity_cst"] == pytest.approx(blend["viscosity_cst"], rel=1e-12)
    assert mix["thick_share"] == mix["thick_parts"] / (mix["thin_parts"] + mix["thick_parts"])
    words = _plan(_few([200, 600]))["verdict_rear"]
    assert f"{mix['thin_parts']} part" in words
    assert "600 cSt" in words
    plain = _plan(_few([200, 350, 600]))["builds"][1]
    assert plain["meets_goals"]
    assert plain["rear"]["mix"] is None


def test_oils_of_two_families_are_not_mixed() -> None:
    """No build mixes silicone with petroleum oil."""
    petroleum = {
        "viscosity_cst": 300,
        "family": "petroleum",
        "reference_temperature_c": 25,
        "second_point": {"viscosity_cst": 30, "temperature_c": 80},
    }
    request = _few([450])
    request["box"]["oils"].append(petroleum)
    for build in _plan(request)["rear"]["builds"]:
        assert build["mix"] is None
    assert "rear" in _plan(request)["verdict_rear"]


BLANKS = {"count": 4, "diameter_mm": 11.9, "thickness_mm": 2.4, "max_holes": 6}


def test_a_blank_is_drilled_where_nothing_else_meets_the_goals() -> None:
    """Without another piston or oil a blank is proposed, with holes and drill and the caution that goes with it."""
    request = _few([], blanks=BLANKS, drills_mm=[1.1, 1.2, 1.5])
    answer = _plan(request)
    row = answer["builds"][1]
    drill = row["rear"]["drill"]
    assert row["meets_goals"]
    assert drill["drill_mm"] in (1.1, 1.2, 1.5)
    assert row["rear"]["piston"]["holes"][0]["count"] == drill["count"]
    assert f"{drill['count']} holes of {drill['drill_mm']:g} mm" in answer["verdict_rear"]
    assert "drilling" in answer["cautions"]
    assert "drilling" not in _plan(_few([]))["cautions"]


def test_holes_leave_walls() -> None:
    """A drill that leaves less than 0.8 mm to rim, shaft or next hole is rejected, and by how much is said."""
    answer = _plan(_few([], blanks={**BLANKS, "max_holes": 8}, drills_mm=[1.2, 2.0, 4.0]))
    rejected = {r["reason"]: r for r in answer["rear"]["rejected"]}
    nearest = rejected["thin_wall"]["nearest"]["drill"]
    # eight holes of 2 mm on a circle of 7.45 mm: 7.45 sin 22.5 deg - 2 = 0.851 mm, enough
    # two of 4 mm: (11.9 - 7.45 - 4)/2 = 0.225 mm to the rim
    assert (nearest["count"], nearest["drill_mm"]) == (2, 4.0)
    assert rejected["thin_wall"]["short_by"] == pytest.approx(2.0 * (0.8 - 0.225))
    assert "needs a drill 1.15 mm smaller" in rejected["thin_wall"]["text"]


@pytest.mark.parametrize(("count", "ends"), [(0, 0), (1, 0), (2, 1), (3, 1), (4, 2)])
def test_blanks_are_counted(count: int, ends: int) -> None:
    """An end needs two blanks, both ends four."""
    answer = _plan(_few([], blanks={**BLANKS, "count": count}, drills_mm=[1.1, 1.2, 1.5]))
    most = max(sum(row[end]["drill"] is not None for end in ("front", "rear")) for row in answer["builds"])
    assert most <= ends
    if ends == 0:
        assert {r["reason"] for r in answer["rear"]["rejected"]} >= {"parts_short"}


def test_closing_positions_are_looked_at() -> None:
    """The cap is closed as now, out, half in or in; another position is a change."""
    seen = set()
    for row in _plan(TRUCK)["front"]["builds"]:
        seen.add(row["closing_insertion_mm"])
        assert ("closing" in row["changed"]) == (row["closing_insertion_mm"] != 15)
    assert seen <= {0, 15, 30}
    assert len(seen) > 1


def test_more_limiter_cures_a_loose_spring() -> None:
    """The nearest loose build with as much more limiter, its collar where it is, holds its spring."""
    rejected = {r["reason"]: r for r in _plan(TRUCK)["front"]["rejected"]}["loose_spring"]
    assert rejected["cure"] in rejected["text"]
    near, short = rejected["nearest"], rejected["short_by"]
    corner = put(TRUCK["car"]["front"], "shock.oil", near["oil"])
    for path, value in (
        ("shock.piston", near["piston"]),
        ("spring", near["spring"]),
        ("shock.fill.closing_insertion_mm", near["closing_insertion_mm"]),
        ("shock.limiter_mm", near["limiter_mm"] + short),
        ("preload_mm", near["preload_mm"] + short),
    ):
        corner = put(corner, path, value)
    answer = libdamp.calculate("ride", {"corner": corner, "temperature_c": 31})
    assert answer["collar_mm"] == pytest.approx(near["collar_mm"])
    assert answer["wheel_travel_mm"] == pytest.approx(-near["height_error_mm"], abs=1e-6)
    assert "loose_spring" not in {f["code"] for f in answer["findings"]}


def test_a_full_box_misses_nothing() -> None:
    """Where no part would lower the distance by more than the error, none is named."""
    assert _plan(TRUCK)["best_missing_part"] is None


def test_too_costly() -> None:
    """A box beyond the bound is refused with the bound and what makes it large."""
    springs = [{"rate_n_mm": 0.3 + 0.001 * k, "free_length_mm": 53} for k in range(100)]
    with pytest.raises(libdamp.TooCostly, match=r"at most 10000000: .*springs 100, .*ways to drill 113"):
        _plan(TRUCK, box__front_springs=springs)


def test_two_pistons_do_not_serve_four_shocks() -> None:
    """Where both ends need the same new piston and there are two, the rear is told to lack them."""
    car = TRUCK["car"]
    one_way = [{"count": 2, "diameter_mm": 1.5, "direction": "rebound"}]
    for end in ("front", "rear"):
        car = put(car, f"{end}.shock.piston.holes", one_way)
    for count, lacking in ((2, True), (4, False)):
        box = {"pistons": [{**TRUCK["box"]["pistons"][0], "count": count}]}
        answer = libdamp.calculate("plan", {"car": car, "use": STILL, "box": box})
        proposal = answer["builds"][1]
        assert proposal["changed"] == ["front piston", "rear piston"]
        assert proposal["front"]["rejected_for"] == []
        assert proposal["rear"]["rejected_for"] == (["parts_short"] if lacking else [])
        told = [f["text"] for f in answer["findings"] if f["code"] == "parts_short"]
        assert told == (["pistons alike for both ends: 2 in hand, 4 needed."] if lacking else [])


def test_one_hole_where_no_more_are_allowed() -> None:
    """Blanks are drilled with two holes and more, which push the shaft to no side; with one if that is the most."""
    for most, counts in ((3, {2, 3}), (1, {1})):
        box = Box(blanks=Blanks(**{**BLANKS, "max_holes": most}), drills_mm=(1.1, 1.5))
        corner = demo_corner("demo-truck.front")
        parts = with_made(parts_of(corner, box, "front"), corner, box)
        assert {drill.count for drill in parts.drills if drill is not None} == counts


def test_level_arms_out_of_reach_are_no_choice() -> None:
    """A given preload does not make a car legal whose shock cannot be as long as level arms need it."""
    rear = {**TRUCK["car"]["rear"], "preload_mm": 6}
    rear["linkage"] = {"kind": "ratio", "motion_ratio": 0.9, "level_length_mm": 106}
    answer = _plan({"car": {**TRUCK["car"], "rear": rear}, "use": STILL, "box": {"collar_step_mm": 0.5}})
    assert answer["builds"][0]["rear"]["rejected_for"] == ["out_of_reach"]
    assert answer["rear"]["legal"] == 0
    alone = libdamp.calculate("ride", {"corner": rear, "temperature_c": 31})
    assert "level_out_of_reach" in {f["code"] for f in alone["findings"]}
