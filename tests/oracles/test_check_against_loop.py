"""`check` of the demo cars against a plain loop written apart from the library."""

from typing import Any

import pytest

import libdamp
from libdamp.demo import demo_data
from tests.check_values.table import walk
from tests.oracles.plain_check import check


def _request(name: str, surface: str, celsius: float) -> dict[str, Any]:
    data = demo_data(name)
    use = {
        "surface": surface,
        "oil_temperature_c": celsius,
        "bump_height_mm": 6,
        "bump_spacing_mm": 250,
        "speed_m_s": 6,
        "jump": {"apex_m": 0.9, "speed_m_s": 7.0, "landing_deg": 20.0},
    }
    return {"car": data["car"], "use": use}


@pytest.mark.parametrize("name", ["demo-truck", "demo-buggy"])
@pytest.mark.parametrize(("surface", "celsius"), [("loose", 31.0), ("smooth", 18.0), ("rutted", 5.0)])
@pytest.mark.parametrize("preload", [None, 1.5])
def test_check(name: str, surface: str, celsius: float, preload: float | None) -> None:
    """Every figure of both ends, the balance and the distance agree to 1e-9."""
    request = _request(name, surface, celsius)
    for end in ("front", "rear"):
        request["car"][end]["preload_mm"] = preload
    answer = libdamp.calculate("check", request)
    for path, wanted in check(request["car"], request["use"]).items():
        assert walk(answer, path) == pytest.approx(wanted, rel=1e-9, abs=1e-9), path
