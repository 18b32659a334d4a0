"""Cars and boxes at the edge: what cannot be worked out beside others, parts in other units, no collar helps."""

import copy
import math
import warnings
from typing import Any

import msgspec
import pytest

import libdamp
from libdamp.batches import LEAST_STEP_S, quick
from libdamp.demo import demo_corner, demo_data
from libdamp.in_hand import alike
from libdamp.moving import VENTED_STEP, ready
from libdamp.parts import Holes, Oil, Vented
from libdamp.sheet import sheet_text
from libdamp.sheet_data import sheet_of

ENDS = ("front", "rear")


def car_of(name: str) -> dict[str, Any]:
    """Plain car and use of a bundled file, and an empty box."""
    data = demo_data(name)
    return {"car": data["car"], "use": data["use"], "box": {}}


def test_a_goal_without_figures_does_not_count() -> None:
    """Bumps that many builds at once do not resolve: the end keeps the order at rest, and it is said."""
    data = car_of("demo-buggy")
    for end in ENDS:
        data["car"][end]["tyre"]["sidewall_mm"] = 8
    data["use"].update(jump="none", bump_height_mm=20, bump_spacing_mm=400, speed_m_s=8)
    data["box"] = {"collar_step_mm": 0.5}
    found = libdamp.calculate("plan", data)
    left = {f["where"]: f["text"] for f in found["findings"] if f["code"] == "goal_left_out"}
    assert left.keys() == {"/car/front", "/car/rear"}
    said = "The goal for the variation of the tyre's load on bumps does not count here"
    assert all(text.startswith(said) for text in left.values())
    assert found["builds"][0]["rear"]["tyre_load_variation"] is None
    assert found["verdict_rear"] == "rear: leave it"
    assert found["builds"][0]["distance"] is not None
    assert "tyre_load_variation" not in {term["quantity"] for term in found["builds"][1]["rear"]["terms"]}


def test_least_clearance_is_one_figure() -> None:
    """Thick oil that still creeps down when a run ends: changes, plan and drop say the height it creeps to."""
    data = car_of("demo-truck")
    data["use"].update(
        oil_temperature_c=10, bump_height_mm=0, jump={"apex_m": 0.01, "speed_m_s": 0, "landing_deg": 0}
    )
    front = data["car"]["front"]
    alone = libdamp.calculate("drop", {"corner": front, "height_mm": 10, "temperature_c": 10})["least_clearance_mm"]
    ride = libdamp.calculate("ride", {"corner": front, "temperature_c": 10})
    assert alone <= ride["clearance_mm"] + ride["drag_band_mm"] + 1e-9
    for box in ({}, {"oils": [{"viscosity_cst": 5000}]}):
        asked = {**data, "box": box}
        assert libdamp.calculate("changes", asked)["front"]["least_clearance_mm"] == pytest.approx(alone, rel=1e-9)
        plan = libdamp.calculate("plan", asked)
        assert plan["builds"][0]["front"]["least_clearance_mm"] == pytest.approx(alone, rel=1e-9)


def test_a_spring_that_needs_more_preload_than_can_be_is_an_answer() -> None:
    """A car on springs far too soft: rejected with its reason, on the sheet too, never an error."""
    data = car_of("demo-truck")
    for end in ENDS:
        data["car"][end].update(spring="0.05 N/mm", sprung_mass_g=500)
    found = libdamp.calculate("plan", data)
    assert "sinks to the stop" in found["verdict_front"]
    assert "sinks to the stop" in sheet_text(sheet_of(data))
    data["box"] = {"front_springs": [{"rate_n_mm": 0.05}]}
    data["car"]["front"].update(spring="0.5 N/mm", sprung_mass_g=500)
    rejected = {one["reason"] for one in libdamp.calculate("plan", data)["front"]["rejected"]}
    assert rejected & {"preload_too_far", "no_equilibrium"}


def test_no_collar_that_sets_the_height_is_said() -> None:
    """A limiter so long that the car stands on its droop stop: no collar brings it to the same height."""
    data = car_of("demo-truck")
    for end in ENDS:
        data["car"][end]["preload_mm"] = 5.0
    data["box"] = {"limiters_mm": [20, 9]}
    rows = libdamp.calculate("changes", {**data, "end": "rear"})["rows"]
    collars = {row["what"]: row["collar"] for row in rows if row["kind"] == "limiter"}
    assert collars["limiter 20 instead of 8 mm"] == "no collar sets the same height"
    assert collars["limiter 9 instead of 8 mm"] == "same height"


def test_the_same_part_in_another_unit_is_the_same() -> None:
    """3.81 mm is 0.15 in, 325 cSt is 3.25 St: nothing to change."""
    data = car_of("demo-truck")
    data["car"]["front"]["shock"]["limiter_mm"] = "0.15 in"
    data["box"] = {"limiters_mm": ["3.81 mm"], "oils": ["3.25 St"]}
    rows = libdamp.calculate("changes", {**data, "end": "front"})["rows"]
    assert not [row for row in rows if row["kind"] in ("limiter", "oil")]
    near = math.nextafter(1.7, 2.0)
    assert alike((Holes(count=2, diameter_mm=1.7),), (Holes(count=2, diameter_mm=near),))
    assert not alike((Holes(count=2, diameter_mm=1.7),), (Holes(count=2, diameter_mm=1.71),))
    assert not alike(Oil(viscosity_cst=325), Oil(viscosity_cst=325, reference_temperature_c=40))


def test_a_kerb_is_the_same_either_way() -> None:
    """Two cars of different clearance meet one kerb: the difference only changes its sign."""
    front = demo_data("demo-truck")["car"]["front"]
    other = copy.deepcopy(front)
    other["level_clearance_mm"] = 20
    other["shock"]["oil"]["viscosity_cst"] = 600
    seen = []
    for one, two in ((front, other), (other, front)):
        asked = {"reference": one, "candidate": two, "use": demo_data("demo-truck")["use"]}
        figures = libdamp.calculate("compare", asked)["ends"][0]["figures"]
        seen.append(next(f["difference"] for f in figures if f["figure"] == "kerb_peak_n"))
    assert seen[0] == pytest.approx(-seen[1], rel=1e-9)


def test_a_corner_far_too_stiff_is_not_moved_beside_others() -> None:
    """One that needs a thousand times the usual steps has no figures of motion, quickly, and that is said."""
    data = car_of("demo-truck")
    for end in ENDS:
        data["car"][end].update(unsprung_mass_g=5, tyre={"rate_n_mm": 100, "loss_factor": 2})
    stiff = ready(msgspec.structs.replace(demo_corner("demo-truck.front"), unsprung_mass_g=5.0), 31.0)
    assert stiff is not None
    assert quick(stiff._replace(step=0.9 * LEAST_STEP_S)) is None
    assert quick(stiff._replace(step=LEAST_STEP_S)) is not None
    found = libdamp.calculate("plan", data)
    assert "goal_left_out" in {f["code"] for f in found["findings"]}
    assert found["builds"][0]["front"]["least_clearance_mm"] is None
    changes = libdamp.calculate("changes", data)
    assert changes["front"]["peak_shock_n"] is None
    assert "figures_left_out" in {f["code"] for f in changes["findings"]}


@pytest.mark.long
def test_a_landing_that_is_not_resolved_is_said_as_such() -> None:
    """An emulsion's landing from far too high, within the bound on heights: no word of other heights."""
    data = car_of("demo-truck")
    shock = data["car"]["front"]["shock"]
    shock["fill"] = {"kind": "emulsion", "gas_ml": 1.0, "closing_insertion_mm": 15}
    shock["piston"]["holes"] = "1x1.6"
    jump = {"apex_m": 2, "speed_m_s": 0, "landing_deg": 0}
    data["use"].update(oil_temperature_c=25, bump_height_mm=0, jump=jump)
    text = " ".join(sheet_text(sheet_of(data)).split())
    assert "falls above" not in text
    assert "cannot be worked out, see below" in text


def test_a_piston_closed_one_way_warns_of_nothing() -> None:
    """A box with a piston without gap and open one way only is an answer without warnings of arithmetic."""
    data = car_of("demo-truck")
    data["use"].update(jump="none", bump_height_mm=0)
    holes = [{"count": 2, "diameter_mm": 1.5, "direction": "compression"}]
    data["box"] = {"pistons": [{"holes": holes, "thickness_mm": 2.4, "diameter_mm": 12}]}
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        found = libdamp.calculate("plan", data)
    assert found["front"]["legal"] > 0


def test_a_vented_cap_has_finer_steps() -> None:
    """That its room is used up is known to a step: a quarter of the other fills', and the touch height holds."""
    front = demo_corner("demo-truck.front")
    vented = msgspec.structs.replace(front.shock, fill=Vented(room_ml=0.63, closing_insertion_mm=15.0))
    corners = [front, msgspec.structs.replace(front, shock=vented)]
    steps = [one.step for one in (ready(corner, 31.0) for corner in corners) if one is not None]
    assert steps[1] <= VENTED_STEP * steps[0] * 1.2
    found = libdamp.touch_height(corner=corners[1], temperature_c=31.0).height_mm
    assert found is not None
    below, above = (
        libdamp.drop(corner=corners[1], height_mm=share * found, temperature_c=31.0).least_clearance_mm
        for share in (0.97, 1.03)
    )
    assert below is not None
    assert above is not None
    assert below > 0.0 > above


def test_a_second_blow_counts() -> None:
    """A landing that throws the car up for long: plan and changes see it come down again, as drop does."""
    data = car_of("demo-truck")
    rear = data["car"]["rear"]
    rear["linkage"] = {"kind": "ratio", "motion_ratio": 0.5, "level_length_mm": 100}
    rear["shock"]["seal_drag_n"] = 2
    rear["spring"] = {"rate_n_mm": 0.585}
    jump = {"apex_m": 1.8, "speed_m_s": 9, "landing_deg": 5}
    data["use"].update(oil_temperature_c=-15, jump=jump, bump_height_mm=0)
    height = libdamp.calculate("equal_fall", {"jump": jump})["on_slope_mm"]
    alone = libdamp.calculate("drop", {"corner": rear, "height_mm": height, "temperature_c": -15})
    assert alone["bounce_height_mm"] > 300.0
    planned = libdamp.calculate("plan", {**data, "box": {"limiters_mm": [8]}})["builds"][0]["rear"]
    changed = libdamp.calculate("changes", {**data, "box": {}, "end": "rear"})["rear"]
    for told in (planned, changed):
        assert told["peak_shock_n"] == pytest.approx(alone["peak_shock_n"], rel=1e-9)
        assert told["bounce_height_mm"] == pytest.approx(alone["bounce_height_mm"], rel=1e-9)
