"""Rows of `changes` against single calculations of the car before and after, one after the other."""

from typing import Any

import pytest
from msgspec.structs import replace

import libdamp
from libdamp.alternatives import alternatives
from libdamp.car import Box, Car
from libdamp.checked import build
from libdamp.demo import demo_data
from tests.oracles.plain_changes import changes, figures

TRUCK = demo_data("demo-truck")
SPRING = TRUCK["box"]["rear_springs"][1]
PRELOAD_MM, FITTED, SOFTER = 3.0, 0.45, 0.39
BOX = {"oils": [{"viscosity_cst": 400}], "rear_springs": [SPRING], "limiters_mm": [10], "collar_step_mm": 0.5}


def _preload_for_same_height(corner: dict[str, Any]) -> float:
    """Preload of the softer spring that gives the force of the fitted one at rest (Hooke), mm."""
    ride = libdamp.calculate("ride", {"corner": corner, "temperature_c": 31})
    inserted = _insertion_at_rest(corner, ride["wheel_travel_mm"]) - corner["shock"]["limiter_mm"]
    return FITTED / SOFTER * (PRELOAD_MM + inserted) - inserted


def _insertion_at_rest(corner: dict[str, Any], travel_mm: float) -> float:
    """Shaft insertion at a wheel travel, from the triangle of the arm (plane geometry)."""
    link, shock = corner["linkage"], corner["shock"]
    sine = travel_mm / link["arm_length_mm"]
    cosine = (1.0 - sine * sine) ** 0.5
    along, above = link["lower_mount_along_mm"], link["lower_mount_above_mm"]
    lower = along * cosine - above * sine, along * sine + above * cosine
    across, up = link["upper_mount_out_mm"] - lower[0], link["upper_mount_up_mm"] - lower[1]
    return float(shock["extended_length_mm"] - (across * across + up * up) ** 0.5)


def test_rows() -> None:
    """Rows equal single calculations of the car before and after; the touch height to its bracket."""
    rear = {**TRUCK["car"]["rear"]}
    other = {"other_lower_mounts_along_mm": [62], "other_lower_mounts_above_mm": [5]}
    rear["linkage"] = {**rear["linkage"], **other}
    car = {**TRUCK["car"], "rear": rear}
    answer = libdamp.calculate("changes", {"car": car, "use": TRUCK["use"], "box": BOX, "end": "rear"})
    level = answer["rear"]["preload_mm"]
    asked: dict[str, tuple[dict[str, Any], float]] = {
        "oil 400 instead of 300 cSt": ({"shock.oil": {"viscosity_cst": 400}}, 31),
        "spring 0.39 instead of 0.45 N/mm": ({"spring": SPRING}, 31),
        "lower mount 62 along, 5 above instead of 66 along, 6 mm above": (
            {"linkage.lower_mount_along_mm": 62, "linkage.lower_mount_above_mm": 5},
            31,
        ),
        "50 g more on the axle": ({"sprung_mass_g": rear["sprung_mass_g"] + 25.0, "preload_mm": level}, 31),
    }
    rows = {row["what"]: row for row in answer["rows"]}
    before = figures(rear, TRUCK["use"], 31)
    for what, (change, celsius) in asked.items():
        for name, after in changes(rear, TRUCK["use"], change, celsius).items():
            same = 2e-3 if name == "touch_height_mm" else 1e-7
            assert answer["rear"][name] == pytest.approx(before[name], rel=same, abs=1e-9), (what, name)
            assert rows[what]["after"][name] == pytest.approx(after, rel=same, abs=1e-7), (what, name)
            gone = rows[what]["after"][name] - answer["rear"][name]
            assert rows[what]["difference"][name] == pytest.approx(gone, rel=1e-9, abs=1e-12)


def test_same_height_of_a_given_preload() -> None:
    """A spring's and a limiter's collar follow Hooke and the arm's triangle, a closing position the whole force."""
    car: Car = build(Car, TRUCK["car"], "", [])
    box: Box = build(Box, BOX, "", [])
    linkage = replace(car.rear.linkage, other_upper_mounts_out_mm=(32,), other_upper_mounts_up_mm=(84,))
    rear = replace(car.rear, preload_mm=PRELOAD_MM, linkage=linkage)
    made = {a.what: a for a in alternatives(replace(car, rear=rear), box, 31.0, ("rear",))}
    plain = {**TRUCK["car"]["rear"], "preload_mm": PRELOAD_MM}
    softer = made["spring 0.39 instead of 0.45 N/mm"].corner
    assert softer.preload_mm == pytest.approx(_preload_for_same_height(plain), rel=1e-9)
    limited = made["limiter 10 instead of 8 mm"].corner
    assert limited.preload_mm == pytest.approx(PRELOAD_MM + 2.0, rel=1e-9)
    height = libdamp.ride(corner=rear, temperature_c=31.0).clearance_mm
    same = [a for a in made.values() if a.kind in ("spring", "limiter", "closing", "mount")]
    assert len(same) == 5
    for one in same:
        assert libdamp.ride(corner=one.corner, temperature_c=31.0).clearance_mm == pytest.approx(height, rel=1e-9)
