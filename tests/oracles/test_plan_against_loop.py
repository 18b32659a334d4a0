"""`plan` of a small box against four nested loops written apart from the library."""

from collections import Counter
from typing import Any

import pytest

import libdamp
from libdamp.demo import demo_data
from tests.oracles.plain_plan import Candidate, plan
from tests.oracles.plan_loop import holes_of

BOX = {
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


def _request(gas_ml: float) -> dict[str, Any]:
    data = demo_data("demo-truck")
    data["car"]["front"]["shock"]["fill"]["gas_ml"] = gas_ml
    data["car"]["front"]["spring"] = dict(BOX["front_springs"][1])  # type: ignore[index]
    data["car"]["rear"]["spring"] = dict(BOX["rear_springs"][1])  # type: ignore[index]
    return {"car": data["car"], "use": data["use"], "box": BOX}


def _same(build: dict[str, Any], one: Candidate) -> bool:
    kinds = "+".join(f"{hole['count']}x{hole['diameter_mm']:g}" for hole in build["piston"]["holes"])
    wanted = "+".join(f"{count}x{diameter:g}" for count, diameter in holes_of(one.build["piston"]["holes"]))
    return (
        build["spring"]["rate_n_mm"] == one.build["spring"]["rate_n_mm"]
        and build["limiter_mm"] == one.build["limiter_mm"]
        and build["oil"]["viscosity_cst"] == one.build["oil"]["viscosity_cst"]
        and kinds == wanted
        and abs(build["preload_mm"] - one.preload_mm) < 1e-6
    )


@pytest.mark.parametrize("gas_ml", [0.42, 0.2])
def test_plan(gas_ml: float) -> None:
    """Counts, reasons, figures of every listed build and the nearest pair agree with the loops."""
    request = _request(gas_ml)
    answer = libdamp.calculate("plan", request)
    loops = plan(request["car"], request["use"], BOX)
    for end in ("front", "rear"):
        every: list[Candidate] = loops[end]
        rows = answer[end]
        assert rows["considered"] == len(every)
        assert rows["legal"] == sum(one.reason is None for one in every)
        counted = Counter(one.reason for one in every if one.reason is not None)
        assert {r["reason"]: r["builds"] for r in rows["rejected"]} == dict(counted)
        listed = [*rows["builds"][1:], *(r["nearest"] for r in rows["rejected"])]
        for build in listed:
            _compare(build, next(one for one in every if _same(build, one)))


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


def test_the_nearest_pair() -> None:
    """The best distance among all pairs is the best that the answer reports, and each end's best build too."""
    request = _request(0.42)
    answer = libdamp.calculate("plan", request)
    loops = plan(request["car"], request["use"], BOX)
    nearest = min(row["best_of_equals"] for row in answer["builds"][1:])
    assert nearest == pytest.approx(loops["best"][0], rel=1e-9)
    for end in ("front", "rear"):
        best = min(one.distance for one in loops[end] if one.distance is not None)
        assert answer[end]["builds"][1]["best_of_equals"] == pytest.approx(best, rel=1e-9)
