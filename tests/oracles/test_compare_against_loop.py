"""`compare` and `compare_shocks` against plain loops around the single calculations."""

from typing import Any

import pytest

import libdamp
from tests.oracles import plain_compare, plain_compare_shocks
from tests.plain_requests import Data, corner, put, shock

USE: Data = {"oil_temperature_c": 20, "bump_height_mm": 4, "bump_spacing_mm": 200, "speed_m_s": 6, "jump": "small"}
PISTON = {**shock()["piston"], "holes": [{"count": 3, "diameter_mm": 1.5}]}
SPRING = {"rate_n_mm": 0.42, "free_length_mm": 60}
ALONE: dict[str, Data] = {
    "oil": put(corner(), "shock.oil", {"viscosity_cst": 450}),
    "piston": put(corner(), "shock.piston", PISTON),
    "spring": put(corner(), "spring", SPRING),
}
CANDIDATE = put(put(ALONE["oil"], "shock.piston", PISTON), "spring", SPRING)


def test_compare() -> None:
    """Both set-ups, every cause alone, the interaction; the touch height to what its search leaves open."""
    asked = {"reference": corner(), "candidate": CANDIDATE, "use": USE, "candidate_temperature_c": 25}
    answer = libdamp.calculate("compare", asked)
    rows = {row["figure"]: row for row in answer["ends"][0]["figures"]}
    loop = plain_compare.compare((corner(), CANDIDATE), ALONE, USE, (20, 25), 100)
    for name, (was, now, shares, rest) in loop.items():
        row = rows[name]
        near: Any = {"rel": 1e-4, "abs": 0.05} if name == "touch_height_mm" else {"rel": 1e-9, "abs": 1e-9}
        assert row["reference"] == pytest.approx(was, **near)
        assert row["candidate"] == pytest.approx(now, **near)
        found = {cause["cause"]: cause["difference"] for cause in row["causes"]}
        assert found == {cause: pytest.approx(share, **near) for cause, share in shares.items()}
        assert row["interaction"] == pytest.approx(rest, abs=4.0 * near["abs"], rel=1e-3)


def test_compare_shocks() -> None:
    """Both forces and the error of their difference, input by input."""
    assert shock()["piston"]["holes"] == "2x1.7"
    other = put(shock(), "oil", {**shock()["oil"], "viscosity_cst": 450})
    answer = libdamp.calculate("compare_shocks", {"reference": shock(), "candidate": other})
    row = next(row for row in answer["figures"] if row["figure"] == "fast_compression_n")
    was, now, error = plain_compare_shocks.compare_shocks(shock(), 450, "2x1.72", 0.5)
    assert row["reference"] == pytest.approx(was, rel=1e-12)
    assert row["candidate"] == pytest.approx(now, rel=1e-12)
    assert row["error"] == pytest.approx(error, rel=1e-9)
