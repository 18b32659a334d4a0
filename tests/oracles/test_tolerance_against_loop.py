"""`tolerance` against a quadrature of the written formulas, and against first-order propagation by hand."""

from typing import Any

import pytest

import libdamp
from tests.oracles.plain_tolerance import tolerance
from tests.oracles.plan_loop import Standing, stand
from tests.plain_requests import corner

SDS = {"hole": 0.02, "oil": 16.25, "celsius": 2.0, "thickness": 0.05}
PATHS = {
    "hole": "corner.shock.piston.holes.0.diameter_mm",
    "oil": "corner.shock.oil.viscosity_cst",
    "celsius": "temperature_c",
    "thickness": "corner.shock.piston.thickness_mm",
}
CENTRE = {"hole": 1.7, "oil": 325.0, "celsius": 25.0, "thickness": 2.4}


def damping_ratio(inputs: dict[str, float]) -> float:
    """Damping ratio of the demo truck's front by the written formulas."""
    data = corner()
    piston = {**data["shock"]["piston"], "holes": f"2x{inputs['hole']!r}", "thickness_mm": inputs["thickness"]}
    build = {
        "spring": data["spring"],
        "oil": {"viscosity_cst": inputs["oil"]},
        "piston": piston,
        "limiter_mm": data["shock"]["limiter_mm"],
    }
    at = stand(data, build, inputs["celsius"], data.get("preload_mm"))
    assert isinstance(at, Standing)
    return at.damping_ratio


def told(**more: Any) -> dict[str, Any]:
    """Band of the damping ratio at the usual errors of measuring."""
    request = {"calculation": "ride", "request": {"corner": corner(), "temperature_c": 25}, "samples": 20_000}
    answer = libdamp.calculate("tolerance", {**request, "only": ["damping_ratio_compression"], **more})
    return answer["outputs"][0]  # type: ignore[no-any-return]


def test_mean_sd_and_shares() -> None:
    """20,000 draws give the quadrature's mean within 0.2 % of itself, its sd within 2 %, its shares within 0.01.

    The sd of n draws is good to 1/sqrt(2 n) = 0.5 %, a share of a third to as much again.
    """
    mean, sd, shares = tolerance(damping_ratio, CENTRE, SDS)
    band = told()
    assert band["nominal"] == pytest.approx(damping_ratio(CENTRE), rel=1e-9)
    assert band["mean"] == pytest.approx(mean, rel=2e-3)
    assert band["sd"] == pytest.approx(sd, rel=2e-2)
    found = {share["path"]: share["share"] for share in band["shares"]}
    assert set(found) == set(PATHS.values())
    for name, path in PATHS.items():
        assert found[path] == pytest.approx(shares[name], abs=0.01), name
    assert 0.0 <= band["remainder"] < 0.02


def test_eight_per_cent() -> None:
    """These errors make some 8 % of the damping: each one's own, from its slope at the centre, added as squares."""
    whole = 0.0
    for name, sd in SDS.items():
        up, down = (damping_ratio({**CENTRE, name: CENTRE[name] + side * 1e-3 * sd}) for side in (1, -1))
        whole += ((up - down) / 2e-3) ** 2
    band = told()
    assert band["sd"] == pytest.approx(whole**0.5, rel=0.03)  # the slopes change within the errors
    assert 0.07 < band["sd"] / band["nominal"] < 0.09


@pytest.mark.parametrize("name", SDS)
def test_one_input_alone(name: str) -> None:
    """With one input drawn, mean and sd are the quadrature's in one dimension, and all of it is that input's."""
    still = {path: {"sd": 0} for other, path in PATHS.items() if other != name}
    band = told(spreads=still, samples=2000)
    mean, sd, _ = tolerance(damping_ratio, CENTRE, {name: SDS[name]}, order=9)
    assert band["mean"] == pytest.approx(mean, rel=1e-4)
    assert band["sd"] == pytest.approx(sd, rel=2e-3)  # the outermost thousandth of the curve is not drawn
    assert band["culprit"] == PATHS[name]
    assert band["shares"][0]["share"] > 0.99


@pytest.mark.parametrize("holes", ["shanks", "hand"])
def test_hand_drilled_is_wider(holes: str) -> None:
    """A hole not measured after drilling is drawn with 0.05 mm."""
    sd = {"shanks": 0.02, "hand": 0.05}[holes]
    _, wanted, _ = tolerance(damping_ratio, CENTRE, {**SDS, "hole": sd})
    assert told(holes=holes)["sd"] == pytest.approx(wanted, rel=2e-2)
