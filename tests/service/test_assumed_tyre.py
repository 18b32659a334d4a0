"""The doors of the service say of a landing on an assumed tyre what the library says, first."""

from typing import Any
from urllib.parse import urlencode

import pytest
from litestar.testing import TestClient

import libdamp
from libdamp.demo import demo_data

DRAFT: dict[str, Any] = {"size": "1:10 truck", "end": "front", "corner": demo_data("demo-smallest")["car"]["front"]}
ASKED: dict[str, dict[str, Any]] = {"drop": {**DRAFT, "height_mm": 120}, "touch_height": DRAFT}


@pytest.mark.parametrize("name", ASKED)
def test_json_door(client: TestClient[Any], name: str) -> None:
    """A draft over HTTP has the finding first, and is the library's answer whole."""
    answer = client.post(f"/v1/{name}", json=ASKED[name]).json()
    assert answer["findings"][0]["code"] == "tyre_assumed"
    assert answer == libdamp.calculate(name, ASKED[name])


@pytest.mark.parametrize("name", ASKED)
def test_cell_door(client: TestClient[Any], name: str) -> None:
    """A cell of a draft names the finding first, and its sentence when asked for it."""
    query = {"setup": "demo-smallest.front", "only": "findings"}
    if name == "drop":
        query["height_mm"] = "120"
    assert client.get(f"/v1/cell/{name}?{urlencode(query)}").text.split()[0] == "tyre_assumed"
    text = client.get(f"/v1/cell/{name}?{urlencode({**query, 'only': 'findings.0.text'})}").text
    assert text == libdamp.calculate(name, ASKED[name])["findings"][0]["text"]


def test_cell_of_a_measured_tyre(client: TestClient[Any]) -> None:
    """A cell that gives the tyre's rate does not name it."""
    query = {"setup": "demo-smallest.front", "height_mm": "120", "tyre.rate_n_mm": "1.7", "only": "findings"}
    found = client.get(f"/v1/cell/drop?{urlencode(query)}").text.split()
    assert "void_opens" in found
    assert "tyre_assumed" not in found
