"""`compare` and `compare_shocks` a second time: single calculations, one plain set-up after another."""

from typing import Any

import pytest

import libdamp
from tests.plain_requests import Data, corner, put, shock

USE: Data = {"oil_temperature_c": 20, "bump_height_mm": 4, "bump_spacing_mm": 200, "speed_m_s": 6, "jump": "small"}
PISTON = {**shock()["piston"], "holes": [{"count": 3, "diameter_mm": 1.5}]}
SPRING = {"rate_n_mm": 0.42, "free_length_mm": 60}
CANDIDATE = put(put(put(corner(), "shock.oil", {"viscosity_cst": 450}), "shock.piston", PISTON), "spring", SPRING)
ALONE: dict[str, Data] = {
    "oil": put(corner(), "shock.oil", {"viscosity_cst": 450}),
    "piston": put(corner(), "shock.piston", PISTON),
    "spring": put(corner(), "spring", SPRING),
}
WARMER = 5.0


def figures(one: Data, celsius: float) -> dict[str, float]:
    """Headline figures of a corner by the single calculations."""
    stands = libdamp.calculate("ride", {"corner": one, "temperature_c": celsius})
    at: Data = {"corner": one, "temperature_c": celsius}
    lands = libdamp.calculate("drop", {**at, "height_mm": 100})
    runs = libdamp.calculate("bumps", {**at, "bump_height_mm": 4, "bump_spacing_mm": 200, "speed_m_s": 6})
    back = libdamp.calculate("push_release", {**at, "push_mm": 10})
    fill = libdamp.calculate("fill_check", {"shock": one["shock"], "run_temperature_c": 50})
    touch = libdamp.calculate("touch_height", at)
    found: dict[str, float] = {"touch_height_mm": touch["height_mm"], "spare_hot_ml": fill["spare_hot_ml"]}
    for answer, names in (
        (stands, ("preload_mm", "frequency_hz", "damping_ratio_compression", "droop_travel_mm", "wheel_rate_n_mm")),
        (lands, ("least_clearance_mm", "peak_shock_n", "bounce_height_mm")),
        (runs, ("contact_share", "tyre_load_variation", "mean_shift_mm")),
        (back, ("half_time_s", "overshoot_mm")),
    ):
        found |= {name: answer[name] for name in names}
    return found


def test_compare() -> None:
    """Both set-ups, every cause alone, the interaction; the touch height to what its search leaves open."""
    asked = {"reference": corner(), "candidate": CANDIDATE, "use": USE, "candidate_temperature_c": 20 + WARMER}
    answer = libdamp.calculate("compare", asked)
    rows = {row["figure"]: row for row in answer["ends"][0]["figures"]}
    reference, candidate = figures(corner(), 20), figures(CANDIDATE, 20 + WARMER)
    alone = {name: figures(one, 20) for name, one in ALONE.items()}
    alone["temperature"] = figures(corner(), 20 + WARMER)
    for name, was in reference.items():
        row = rows[name]
        near: Any = {"rel": 1e-4, "abs": 0.05} if name == "touch_height_mm" else {"rel": 1e-9, "abs": 1e-9}
        assert row["reference"] == pytest.approx(was, **near)
        assert row["candidate"] == pytest.approx(candidate[name], **near)
        shares = {cause["cause"]: cause["difference"] for cause in row["causes"]}
        assert shares == {cause: pytest.approx(made[name] - was, **near) for cause, made in alone.items()}
        rest = candidate[name] - was - sum(made[name] - was for made in alone.values())
        assert row["interaction"] == pytest.approx(rest, abs=4.0 * near["abs"], rel=1e-3)


def test_compare_shocks() -> None:
    """Forces by `damping_curve`, gas by `fill_check`; the error of the difference, input by input."""
    other = put(shock(), "oil", {"viscosity_cst": 450})
    answer = libdamp.calculate("compare_shocks", {"reference": shock(), "candidate": other})
    rows = {row["figure"]: row for row in answer["figures"]}
    fast = "fast_compression_n"

    def force(one: Data, celsius: float = 25.0) -> float:
        asked = {"shock": one, "speeds_m_s": [0.5], "temperature_c": celsius}
        return float(libdamp.calculate("damping_curve", asked)["compression_n"][0])

    assert rows[fast]["reference"] == pytest.approx(force(shock()), rel=1e-12)
    assert rows[fast]["candidate"] == pytest.approx(force(other), rel=1e-12)
    assert shock()["piston"]["holes"] == "2x1.7"
    error = 0.0
    for path, value in (
        ("piston.holes", "2x1.72"),
        ("piston.thickness_mm", shock()["piston"]["thickness_mm"] + 0.05),
    ):  # one piston, one error
        moved = [force(put(one, path, value)) - force(one) for one in (shock(), other)]
        error += (moved[1] - moved[0]) ** 2
    warmer = [force(one, 27.0) - force(one) for one in (shock(), other)]
    error += (warmer[1] - warmer[0]) ** 2
    for one in (shock(), other):  # two bottles, two errors
        grade = one["oil"]["viscosity_cst"]
        error += (force(put(one, "oil.viscosity_cst", 1.05 * grade)) - force(one)) ** 2
    assert rows[fast]["error"] == pytest.approx(error**0.5, rel=1e-9)
