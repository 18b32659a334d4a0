"""`season` against plain loops over temperatures, bottles and mixtures."""

from typing import Any

import pytest

import libdamp
from libdamp.demo import demo_data
from tests.oracles.plain_season import season

TEMPERATURES = [-5.0, 0.0, 4.0, 8.0, 12.0, 17.0, 22.0, 25.0, 28.0, 31.0, 36.0, 41.0]
BOTTLES = {
    "many": [200.0, 250.0, 300.0, 325.0, 350.0, 400.0, 450.0, 500.0],
    "few": [220.0, 290.0, 380.0],
    "one": [260.0],
    "none": [],
}


def alike(got: list[float | None], wanted: list[float | None]) -> bool:
    """Whether both have nothing in the same places and the same elsewhere, to 1e-9 of itself and of one."""
    assert len(got) == len(wanted)
    return all(
        a == b if a is None or b is None else a == pytest.approx(b, rel=1e-9, abs=1e-9)
        for a, b in zip(got, wanted, strict=True)
    )


@pytest.mark.parametrize("in_hand", BOTTLES)
@pytest.mark.parametrize(("car", "end"), [("demo-truck", "front"), ("demo-truck", "rear"), ("demo-buggy", "front")])
def test_rows(car: str, end: str, in_hand: str) -> None:
    """Bottles and parts are the same, wanted grade, damping ratios and errors agree to 1e-9."""
    corner: dict[str, Any] = demo_data(car)["car"][end]
    grades = BOTTLES[in_hand]
    answer = libdamp.calculate(
        "season",
        {
            "corner": corner,
            "temperatures_c": TEMPERATURES,
            "oils": [{"viscosity_cst": grade} for grade in grades],
            "reference_temperature_c": 25.0,
        },
    )
    rows = season(corner, TEMPERATURES, grades, 25.0)
    assert answer["bottles"] == [list(row.bottles) for row in rows]
    assert answer["parts"] == [list(row.parts) for row in rows]
    for name, wanted in (
        ("wanted_viscosity_cst", [row.wanted_cst for row in rows]),
        ("viscosity_cst", [row.viscosity_cst for row in rows]),
        ("damping_ratio_compression", [row.damping_ratio for row in rows]),
        ("damping_ratio_rebound", [row.damping_ratio for row in rows]),
        ("damping_ratio_compression_unchanged", [row.unchanged for row in rows]),
        ("damping_ratio_rebound_unchanged", [row.unchanged for row in rows]),
    ):
        assert alike(answer[name], wanted), name
    assert alike(answer["damping_error_share"], [row.error for row in rows])
    assert alike(answer["damping_error_share_unchanged"], [row.error_unchanged for row in rows])
