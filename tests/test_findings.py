"""Every finding is reached, says what its line of the catalogue says, and comes in order of gravity."""

import functools

import pytest

import libdamp
from libdamp.answers import CAUTIONS
from libdamp.findings import CATALOGUE
from tests.answered import reaching, usual
from tests.plain_requests import requests
from tests.reaching_requests import REACHES

RANK = {"do_not_run": 0, "warning": 1, "note": 2}


def test_every_code_has_a_request() -> None:
    """The table below covers the whole catalogue, no more."""
    assert set(REACHES) == set(CATALOGUE)


@pytest.mark.parametrize("code", sorted(REACHES))
def test_reached(code: str) -> None:
    """A request exists that earns this finding, with its severity, a place, and a sentence without gaps."""
    _, _, answer = reaching(code)
    found = [f for f in answer["findings"] if f["code"] == code]
    assert found, [f["code"] for f in answer["findings"]]
    for one in found:
        assert one["severity"] == CATALOGUE[code].severity
        assert one["where"].startswith("/")
        assert len(one["text"]) > 20
        assert "{" not in one["text"]
        assert "  " not in one["text"]


@pytest.mark.parametrize("code", sorted(REACHES))
def test_gravest_first(code: str) -> None:
    """Findings stand in order of gravity; cautions are codes whose texts exist."""
    _, _, answer = reaching(code)
    ranks = [RANK[f["severity"]] for f in answer["findings"]]
    assert ranks == sorted(ranks)
    assert answer["cautions"][0] == "model_cars_only"
    assert set(answer["cautions"]) <= set(CAUTIONS)


@functools.cache
def _demo_codes() -> dict[str, set[str]]:
    return {name: {f["code"] for f in usual(name)["findings"]} for name in requests()}


USUAL = {"block_length_unknown", "void_opens", "thinning", "wheel_leaves", "figures_missing"}
"""What the demo requests earn: a length left out, landings and bumps, or none."""


@pytest.mark.parametrize("code", sorted(set(REACHES) - USUAL))
def test_not_always(code: str) -> None:
    """The demo requests do not earn it: a finding is no decoration."""
    for name, codes in _demo_codes().items():
        assert code not in codes, name


@pytest.mark.parametrize("code", sorted(REACHES))
def test_points_into_the_request(code: str) -> None:
    """The pointer of a finding names a field that the request has or could have."""
    name, request, answer = reaching(code)
    for one in answer["findings"]:
        inner = request
        for step in one["where"].split("/")[1:]:
            if isinstance(inner, str) or (isinstance(inner, dict) and step not in inner):
                break  # a text that stands for fields, or a field left out
            inner = inner[int(step)] if isinstance(inner, list | tuple) else inner[step]
        first = one["where"].split("/")[1]
        assert first in request or first in libdamp.describe(name)["parts"][_title(name)]["properties"]


def _title(name: str) -> str:
    return "".join(word.capitalize() for word in name.split("_")) + "Request"


def test_a_fault_never_vanishes_as_things_get_worse() -> None:
    """Less gas, more preload, thinner piston: what was found stays found."""
    from tests.plain_requests import corner, put, shock

    for gas in (0.2, 0.1, 0.05):
        codes = _codes("fill_check", put({"shock": shock()}, "shock.fill.gas_ml", gas))
        assert "lock_hot" in codes
    for preload in (-0.5, -1.0, -3.0):
        assert "loose_spring" in _codes("ride", put({"corner": corner()}, "corner.preload_mm", preload))
    for thickness in (1.6, 1.0, 0.6):
        request = put({"shock": shock(), "speeds_m_s": [0.1]}, "shock.piston.thickness_mm", thickness)
        assert "hole_short" in _codes("damping_curve", request)


def _codes(name: str, request: dict[str, object]) -> set[str]:
    return {f["code"] for f in libdamp.calculate(name, request)["findings"]}
