"""A landing on an assumed tyre says so first, in words with the tyre's band, and only then."""

from typing import Any

import msgspec
import pytest

import libdamp
from libdamp.answers import Assumed
from libdamp.assumed_tyre import tyre_words, with_assumed
from libdamp.demo import demo_corner
from libdamp.touching import TYRE_NAMES
from tests.plain_requests import put

DRAFT: dict[str, Any] = {
    "size": "1:10 truck",
    "corner": {"axle_g": 800, "shock": {"oil": "325 cst", "piston": {"holes": "2x1.7"}}, "spring": "0.38 N/mm"},
}
ASKED: dict[str, dict[str, Any]] = {
    "drop": {**DRAFT, "height_mm": 120},
    "touch_height": DRAFT,
}


def codes(answer: dict[str, Any]) -> list[str]:
    """Codes of an answer's findings in their order."""
    return [f["code"] for f in answer["findings"]]


@pytest.mark.parametrize("name", ASKED)
def test_first_of_all(name: str) -> None:
    """It stands before every other warning, with the assumed rate, its place, and what to do."""
    answer = libdamp.calculate(name, ASKED[name])
    said = answer["findings"][0]
    assert said["code"] == "tyre_assumed"
    assert said["severity"] == "warning"
    assert said["where"] == "/corner/tyre/rate_n_mm"
    assert (said["value"], said["unit"]) == (1.7, "N/mm")
    assert "Measure it first" in said["text"]
    assert codes(answer).count("tyre_assumed") == 1
    assert "loose_spring" in codes(answer)


def test_its_band_is_in_words() -> None:
    """The words are the lowest and the highest of the answer and the tyre's bounds."""
    landing = libdamp.calculate("drop", ASKED["drop"])
    least = [b["least_clearance_mm"] for b in landing["bounds"] if b["name"] in TYRE_NAMES]
    assert len(least) == 2
    low, high = min(*least, landing["least_clearance_mm"]), max(*least, landing["least_clearance_mm"])
    assert f"least clearance {low:.3g} to {high:.3g} mm" in landing["findings"][0]["text"]
    touch = libdamp.calculate("touch_height", ASKED["touch_height"])
    words = f"touch height {touch['tyre_low_mm']:.3g} to {touch['tyre_high_mm']:.3g} mm"
    assert words in touch["findings"][0]["text"]


@pytest.mark.parametrize("tyre", [{"rate_n_mm": 1.7}, {"squash_mm": 2.4}])
@pytest.mark.parametrize("name", ASKED)
def test_not_with_a_measured_tyre(name: str, tyre: dict[str, Any]) -> None:
    """A rate or a squash that was given is not called assumed, whatever else was."""
    answer = libdamp.calculate(name, put(ASKED[name], "corner.tyre", tyre))
    assert answer["assumed"]
    assert "tyre_assumed" not in codes(answer)


@pytest.mark.parametrize("name", ["ride", "bumps", "push_release"])
def test_only_landings_say_it(name: str) -> None:
    """An answer without a landing lists the tyre as assumed and has no band of it."""
    more = {"bump_height_mm": 5, "bump_spacing_mm": 200, "speed_m_s": 6} if name == "bumps" else {}
    answer = libdamp.calculate(name, {**DRAFT, **more})
    assert "/corner/tyre/rate_n_mm" in [a["path"] for a in answer["assumed"]]
    assert "tyre_assumed" not in codes(answer)


@pytest.mark.parametrize("name", ASKED)
def test_what_forbids_stays_before_it(name: str) -> None:
    """A finding that says do not run comes first; a corner that cannot move has no band to tell."""
    binds = put(ASKED[name], "corner.spring", {"rate_n_mm": 0.38, "free_length_mm": 53, "block_length_mm": 40})
    answer = libdamp.calculate(name, binds)
    assert codes(answer)[:2] == ["coil_bind", "tyre_assumed"]
    shock = {**DRAFT["corner"]["shock"], "fill": {"kind": "bladder", "gas_ml": 0.02, "closing": "out"}}
    solid = libdamp.calculate(name, put(ASKED[name], "corner.shock", shock))
    assert "tyre_assumed" not in codes(solid)
    assert solid["findings"][0]["severity"] == "do_not_run"


def test_numbers_do_not_move() -> None:
    """The finding changes no number: the same corner with its assumed values given answers alike."""
    answer = libdamp.calculate("drop", ASKED["drop"])
    given = put(ASKED["drop"], "corner.tyre", {"rate_n_mm": 1.7})
    same = libdamp.calculate("drop", given)
    envelope = ("findings", "assumed")
    assert {k: v for k, v in answer.items() if k not in envelope} == {
        k: v for k, v in same.items() if k not in envelope
    }


def test_a_band_without_an_end() -> None:
    """Where one of the tyres never touches the words say so; with nothing that touches too."""
    touch = libdamp.touch_height(corner=demo_corner("demo-truck.front"))
    stiff = [msgspec.structs.replace(b, height_mm=None) if b.name == TYRE_NAMES[1] else b for b in touch.bounds]
    open_ended = msgspec.structs.replace(touch, bounds=tuple(stiff), tyre_high_mm=None)
    assert tyre_words(open_ended) == f"touch height {touch.tyre_low_mm:.0f} to above 3000 mm"
    none = [msgspec.structs.replace(b, height_mm=None) for b in touch.bounds]
    never = msgspec.structs.replace(touch, height_mm=None, bounds=tuple(none))
    assert tyre_words(never) == "touch height above 3000 mm"


def test_nothing_assumed_nothing_changed() -> None:
    """An answer for which nothing was assumed stays as it is."""
    touch = libdamp.touch_height(corner=demo_corner("demo-truck.front"))
    assert with_assumed(touch, ()) == touch
    other = Assumed(path="/corner/spring/rate_n_mm", value=0.4, unit="N/mm", spread="", how_to_measure="")
    assert with_assumed(touch, (other,)).findings == touch.findings
