"""`check`: it is the single calculations of both ends, findings first, and says what is wrong."""

import copy
from typing import Any

import pytest

import libdamp
from libdamp.demo import NAMES, demo_data
from tests.plain_requests import USE, put

SMALLEST = demo_data("demo-smallest")


def _check(**changes: Any) -> dict[str, Any]:
    request = demo_data("demo-truck")
    for path, value in changes.items():
        request = put(request, path.replace("__", "."), value)
    return libdamp.calculate("check", request)


@pytest.mark.parametrize("end", ["front", "rear"])
@pytest.mark.parametrize("car", ["demo-truck", "demo-buggy"])
def test_the_parts_are_the_single_calculations(car: str, end: str) -> None:
    """Ride, damping and fill of an end are `ride`, `damping_curve` and `fill_check` of it."""
    data = demo_data(car)
    box, celsius = data["box"], data["use"]["oil_temperature_c"]
    got = libdamp.calculate("check", data)[end]
    corner = data["car"][end]
    ride = libdamp.calculate(
        "ride",
        {
            "corner": corner,
            "temperature_c": celsius,
            "collar_step_mm": box.get("collar_step_mm"),
            "spacers_mm": box.get("spacers_mm") or None,
        },
    )
    fill = libdamp.calculate("fill_check", {"shock": corner["shock"], "run_temperature_c": max(50, celsius)})
    curve = libdamp.calculate(
        "damping_curve", {"shock": corner["shock"], "speeds_m_s": [0.1], "temperature_c": celsius}
    )
    for part, whole in (("ride", ride), ("fill", fill), ("damping", curve)):
        assert got[part] == {name: whole[name] for name in got[part]}


def test_the_jump_is_equal_fall() -> None:
    """The use's jump is `equal_fall` of it; a surface's assumed jump is a fall onto the flat."""
    data = demo_data("demo-truck")
    alone = libdamp.calculate("equal_fall", {"jump": data["use"]["jump"]})
    jump = libdamp.calculate("check", data)["jump"]
    assert jump == {name: alone[name] for name in jump}
    assumed = libdamp.calculate("check", copy.deepcopy(SMALLEST))["jump"]
    assert assumed["on_slope_mm"] == pytest.approx(120.0, rel=1e-12)


@pytest.mark.parametrize("name", sorted(NAMES))
def test_demo_files_answer(name: str) -> None:
    """Every bundled file is checked and planned, the smallest too."""
    for calculation in ("check", "plan"):
        answer = libdamp.calculate(calculation, demo_data(name))
        assert answer["builds"] if calculation == "plan" else answer["front"]
        assert not [f for f in answer["findings"] if f["severity"] == "do_not_run"]


def test_findings_say_which_end() -> None:
    """A finding points at the end that it is about, and each is told once."""
    answer = _check(car__rear__shock__fill__gas_ml=0.1)
    grave = [f for f in answer["findings"] if f["severity"] == "do_not_run"]
    assert grave
    assert all(f["where"].startswith("/car/rear/") for f in grave)
    keys = [(f["code"], f["where"]) for f in answer["findings"]]
    assert len(set(keys)) == len(keys)
    assert answer["findings"][0]["severity"] == "do_not_run"
    assert "hot_shock" in answer["cautions"]


def test_distance_is_the_sum_of_its_terms() -> None:
    """The distance is the sum over both ends and the balance of ((value - target)/tolerance)^2."""
    answer = libdamp.calculate("check", demo_data("demo-buggy"))
    terms = [*answer["front"]["terms"], *answer["rear"]["terms"], *answer["terms"]]
    for term in terms:
        assert term["term"] == pytest.approx(((term["value"] - term["target"]) / term["tolerance"]) ** 2, rel=1e-12)
    assert answer["distance"] == pytest.approx(sum(term["term"] for term in terms), rel=1e-12)
    assert {term["source"] for term in terms} == {"common practice"}


def test_own_goals_win() -> None:
    """A goal of the caller replaces the surface's, and is said to be his."""
    goals = {"front": {"frequency_hz": {"target": 4.4, "tolerance": 0.1}}}
    answer = libdamp.calculate("check", {**demo_data("demo-truck"), "goals": goals})
    term = next(t for t in answer["front"]["terms"] if t["quantity"] == "frequency_hz")
    assert (term["target"], term["tolerance"], term["source"]) == (4.4, 0.1, "yours")


def test_bigger_cars_aim_lower() -> None:
    """From 1:8 up the surface's frequencies are a tenth lower."""
    request = {"car": demo_data("demo-truck")["car"], "use": USE}
    targets = {}
    for size in ("1:10 truck", "1:8 buggy"):
        answer = libdamp.calculate("check", {**request, "size": size})
        targets[size] = next(t["target"] for t in answer["rear"]["terms"] if t["quantity"] == "frequency_hz")
    assert targets["1:8 buggy"] == pytest.approx(0.9 * targets["1:10 truck"], rel=1e-12)


def test_balance_is_the_ratio_of_the_ends() -> None:
    """Frequency and damping ratio, front over rear; swapping the ends gives the reciprocals."""
    data = demo_data("demo-truck")
    one = libdamp.calculate("check", data)
    car = data["car"]
    swapped = {**data, "car": {**car, "front": car["rear"], "rear": car["front"], "scale_readings_g": None}}
    other = libdamp.calculate("check", swapped)
    for name in ("frequency_ratio", "damping_ratio_ratio"):
        assert one[name] * other[name] == pytest.approx(1.0, rel=1e-12)
    assert one["frequency_ratio"] == one["front"]["ride"]["frequency_hz"] / one["rear"]["ride"]["frequency_hz"]


@pytest.mark.parametrize("celsius", [8, 25, 38])
def test_colder_damps_more(celsius: int) -> None:
    """At a lower oil temperature every damping ratio is higher; nothing else but gas moves."""
    here, colder = _check(use__oil_temperature_c=celsius), _check(use__oil_temperature_c=celsius - 5)
    for end in ("front", "rear"):
        for name in ("damping_ratio_compression", "damping_ratio_rebound"):
            assert colder[end]["ride"][name] > here[end]["ride"][name]
        assert colder[end]["ride"]["motion_ratio"] == here[end]["ride"]["motion_ratio"]


def test_next_step_is_within_half_a_step() -> None:
    """The real step of the collar stands at whole multiples and within half a step of level arms."""
    for end in ("front", "rear"):
        ride = _check(box__collar_step_mm=0.5)[end]["ride"]
        step = ride["next_step"]
        assert step["collar_mm"] / 0.5 == pytest.approx(round(step["collar_mm"] / 0.5), abs=1e-9)
        assert abs(step["preload_mm"] - ride["preload_for_level_mm"]) <= 0.25 + 1e-9
        assert abs(step["height_error_mm"]) <= 0.25 / ride["motion_ratio"] * 1.1


def test_spacers_give_sums_of_subsets() -> None:
    """Without a collar the preload is the sum of some of the spacers, the one nearest to level arms."""
    request = {"corner": demo_data("demo-buggy")["car"]["rear"], "spacers_mm": [1, 2, 4]}
    step = libdamp.calculate("ride", request)["next_step"]
    wanted = libdamp.calculate("ride", request)["preload_for_level_mm"]
    sums = [0, 1, 2, 3, 4, 5, 6, 7]
    assert step["preload_mm"] == pytest.approx(min(sums, key=lambda s: abs(s - wanted)), abs=1e-12)
