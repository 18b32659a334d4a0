"""`plan` of two small boxes against nested loops written apart from the library."""

from collections import Counter
from typing import Any

import pytest

import libdamp
from libdamp.demo import demo_data
from tests.oracles.plain_plan import Candidate, plan
from tests.oracles.plain_plan import end as every
from tests.oracles.plan_loop import holes_of

BOX: dict[str, Any] = {
    "front_springs": [
        {"rate_n_mm": 0.28, "free_length_mm": 53, "block_length_mm": 9.8},
        {"rate_n_mm": 0.38, "free_length_mm": 53, "block_length_mm": 29.0},
        {"rate_n_mm": 0.44, "free_length_mm": 53, "block_length_mm": 10.2},
    ],
    "rear_springs": [
        {"rate_n_mm": 0.39, "free_length_mm": 72, "block_length_mm": 11.3},
        {"rate_n_mm": 0.45, "free_length_mm": 72, "block_length_mm": 14.5},
    ],
    "oils": [{"viscosity_cst": 250}, {"viscosity_cst": 300}, {"viscosity_cst": 325}],
    "pistons": [
        {"holes": "2x1.6", "thickness_mm": 2.4, "diameter_mm": 11.9},
        {"holes": "2x1.7", "thickness_mm": 2.4, "diameter_mm": 11.9},
        {"holes": "2x1.2+2x1.0", "thickness_mm": 2.0, "diameter_mm": None},
    ],
    "limiters_mm": [4, 8],
    "collar_step_mm": 0.5,
    "mix_oils": False,
}


MADE: dict[str, Any] = {
    "front_springs": BOX["front_springs"][1:],
    "rear_springs": BOX["rear_springs"][1:],
    "oils": [{"viscosity_cst": 250}, {"viscosity_cst": 300}, {"viscosity_cst": 325}],
    "pistons": [{"holes": "2x1.6", "thickness_mm": 2.4, "diameter_mm": 11.9}],
    "limiters_mm": [4],
    "collar_step_mm": 0.5,
    "blanks": {"count": 2, "diameter_mm": 11.8, "thickness_mm": 2.2, "max_holes": 3},
    "drills_mm": [1.3, 3.0],
    "mix_oils": True,
}
"""Oils to mix, and blanks that are enough for one end only."""


def _request(gas_ml: float, box: dict[str, Any]) -> dict[str, Any]:
    """The demo truck with parts of a box on it; goals are those at rest alone."""
    data = demo_data("demo-truck")
    for end, spring, limiter in (("front", 1, 4), ("rear", 1, 4)):
        corner = data["car"][end]
        corner["shock"]["fill"]["gas_ml"] = gas_ml if end == "front" else corner["shock"]["fill"]["gas_ml"]
        corner["spring"] = dict(BOX[f"{end}_springs"][spring])
        corner["shock"]["piston"] = dict(box["pistons"][0])
        corner["shock"]["limiter_mm"] = limiter
        corner["shock"]["oil"] = dict(box["oils"][1])
    use = {**data["use"], "jump": "none", "bump_height_mm": 0}
    return {"car": data["car"], "use": use, "box": box}


def _same(build: dict[str, Any], one: Candidate) -> bool:
    kinds = "+".join(f"{hole['count']}x{hole['diameter_mm']:g}" for hole in build["piston"]["holes"])
    wanted = "+".join(f"{count}x{diameter:g}" for count, diameter in holes_of(one.build["piston"]["holes"]))
    return (
        build["spring"]["rate_n_mm"] == one.build["spring"]["rate_n_mm"]
        and build["limiter_mm"] == one.build["limiter_mm"]
        and abs(build["oil"]["viscosity_cst"] / one.build["oil"]["viscosity_cst"] - 1.0) < 1e-9
        and (build["mix"] is not None) == bool(one.build["oil"].get("mixed"))
        and (build["drill"] is not None) == bool(one.build["piston"].get("drilled"))
        and build["closing_insertion_mm"] == one.closing_mm
        and kinds == wanted
        and abs(build["preload_mm"] - one.preload_mm) < 1e-6
    )


@pytest.mark.parametrize(("gas_ml", "box"), [(0.42, BOX), (0.2, BOX), (0.42, MADE)], ids=["legal", "locks", "made"])
def test_plan(gas_ml: float, box: dict[str, Any]) -> None:
    """Counts, reasons, figures of every listed build and the nearest pair agree with the loops."""
    request = _request(gas_ml, box)
    answer = libdamp.calculate("plan", request)
    loops = {
        end: every(request["car"][end], box, end, place, request["use"])
        for place, end in enumerate(("front", "rear"))
    }
    for end in ("front", "rear"):
        looped: list[Candidate] = loops[end]
        rows = answer[end]
        assert rows["considered"] == len(looped)
        assert rows["legal"] == sum(one.reason is None for one in looped)
        counted = Counter(one.reason for one in looped if one.reason is not None)
        assert {r["reason"]: r["builds"] for r in rows["rejected"]} == dict(counted)
        listed = [*rows["builds"][1:], *(r["nearest"] for r in rows["rejected"])]
        for build in listed:
            _compare(build, next(one for one in looped if _same(build, one)))


def _compare(build: dict[str, Any], one: Candidate) -> None:
    """One build's figures against the loop's."""
    assert list(build["rejected_for"][:1]) == ([one.reason] if one.reason else [])
    if one.at is None:
        return
    at = one.at
    wanted = {
        "height_error_mm": -at.travel_mm,
        "droop_travel_mm": at.droop_mm,
        "bump_travel_mm": at.bump_mm,
        "wheel_rate_n_mm": at.wheel_rate,
        "frequency_hz": at.frequency_hz,
        "damping_ratio_compression": at.damping_ratio,
        "damping_ratio_rebound": at.damping_ratio,
    }
    for name, value in wanted.items():
        assert build[name] == pytest.approx(value, rel=1e-9, abs=1e-9), name
    if one.distance is not None:
        assert build["distance"] == pytest.approx(one.distance, rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("box", [BOX, MADE], ids=["plain", "made"])
def test_the_nearest_pair(box: dict[str, Any]) -> None:
    """The best distance among all pairs is the best that the answer reports, and each end's best build too."""
    request = _request(0.42, box)
    answer = libdamp.calculate("plan", request)
    loops = plan(request["car"], request["use"], box)
    nearest = min(row["best_of_equals"] for row in answer["builds"][1:])
    assert nearest == pytest.approx(loops["best"][0], rel=1e-9)
    for end in ("front", "rear"):
        best = min(one.distance for one in loops[end] if one.distance is not None)
        assert answer[end]["builds"][1]["best_of_equals"] == pytest.approx(best, rel=1e-9)
