"""`sweep` against two plain loops around the single calculation, bit for bit."""

from typing import Any

import pytest

import libdamp
from tests.oracles.plain_sweep import sweep
from tests.plain_requests import corner, shock

DRAFT = {"axle_g": 800, "spring": "0.38 N/mm", "shock": {"oil": "325 cst", "piston": {"holes": "2x1.7"}}}

CASES: dict[str, tuple[str, dict[str, Any], list[dict[str, Any]], list[str]]] = {
    "one list": (
        "ride",
        {"corner": corner(), "collar_step_mm": 0.5},
        [{"path": "corner.sprung_mass_g", "values": [250, 290.5, 400, -3]}],
        ["frequency_hz", "next_step.preload_mm", "first_stop"],
    ),
    "two lists, some rows impossible": (
        "damping_curve",
        {"shock": shock(), "speeds_m_s": [0.05, 0.5]},
        [
            {"path": "shock.piston.holes", "values": ["2x1.7", "9x4", "3x1.4"]},
            {"path": "shock.oil.viscosity_cst", "values": [200, 325, 1e7]},
        ],
        ["compression_n.1", "low_speed_rebound_n_s_m"],
    ),
    "a draft": (
        "ride",
        {"size": "1:10 truck", "corner": DRAFT},
        [{"path": "corner.axle_g", "values": [700, 800]}, {"path": "end", "values": ["front", "rear"]}],
        ["shock_length_mm", "damping_ratio_compression", "collar_mm"],
    ),
    "outputs that are not there": (
        "equal_fall",
        {"jump": {"apex_m": 0.1, "speed_m_s": 8, "landing_deg": 30}},
        [{"path": "jump.landing_deg", "values": [0, 30]}],
        ["on_slope_mm", "overshot_mm"],
    ),
    "a place in a list": (
        "bench_cycle",
        {"shock": shock(), "amplitude_mm": 8, "frequency_hz": 2.5, "centre_insertion_mm": 15, "cycles": 1},
        [{"path": "frequency_hz", "values": [1, 2]}],
        ["force_n.3", "loss_j"],
    ),
}


@pytest.mark.parametrize("label", CASES)
def test_sweep(label: str) -> None:
    """Columns, their order, and the rows that fail are those of the loops, to the last bit."""
    name, request, over, only = CASES[label]
    answer = libdamp.calculate("sweep", {"calculation": name, "request": request, "over": over, "only": only})
    rows, failed = sweep(name, request, over, only)
    assert [list(row) for row in zip(*(c["values"] for c in answer["columns"]), strict=True)] == rows
    assert [error is not None for error in answer["errors"]] == failed
    assert (answer["rows"], answer["failed"]) == (len(rows), sum(failed))
    assert [c["path"] for c in answer["columns"]] == [*(o["path"] for o in over), *only]
