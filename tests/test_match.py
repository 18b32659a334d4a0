"""`match`: drills, walls, blanks, directions and faults, example by example."""

import math
from typing import Any

import pytest

import libdamp
from libdamp import InputError, match
from libdamp.car import Blanks
from libdamp.demo import demo_corner
from libdamp.matching import Match
from libdamp.parts import Holes, Oil, Shock, Thinning
from tests.model_strategies import replaced
from tests.plain_requests import LARGER, MATCH, put, shock

BOTH = ("oil", "hole")
TRUCK = demo_corner("demo-truck.front").shock
BLANK = Blanks(count=4, diameter_mm=11.9, thickness_mm=2.4, max_holes=8)


def _with(*kinds: Holes, **more: Any) -> Shock:
    return replaced(TRUCK, piston=replaced(TRUCK.piston, holes=kinds, **more))


def _found(answer: Match, code: str) -> list[Any]:
    return [one for one in answer.findings if one.code == code]


def test_the_reversible_answer_is_always_there() -> None:
    """What the oil alone does stands beside hole and oil, and is what the oil alone gives."""
    both = libdamp.calculate("match", MATCH)
    alone = libdamp.calculate("match", {**MATCH, "free": ["oil"]})
    assert both["oil_alone_viscosity_cst"] == alone["viscosity_cst"] == alone["oil_alone_viscosity_cst"]
    assert both["oil_alone_high_speed_ratio"] == alone["high_speed_ratio"]
    assert alone["drill_mm"] is None
    assert [f["code"] for f in alone["findings"]] == ["hole_kept"]


def test_drilling_is_cautioned() -> None:
    """Drilling cannot be undone: the caution stands in every answer, with what to do."""
    answer = match(reference=TRUCK, candidate=TRUCK)
    assert "drilling" in answer.cautions
    text = libdamp.describe("match")["cautions"]["drilling"]
    for word in ("oil first", "clamp or pin vice", "goggles", "one size under", "shank", "axle", "0.8 mm", "clip"):
        assert word in text


def test_metric_and_number_drill() -> None:
    """Next to 1.885 mm lie the metric drill 1.9 and the number drill 49 (1.854 mm); in hand 1.8 of three."""
    answer = libdamp.calculate("match", MATCH)
    assert answer["hole_mm"] == pytest.approx(1.885, abs=5e-4)
    assert (answer["drill_mm"], answer["number_drill"], answer["number_drill_mm"]) == (1.9, 49, 1.8542)
    assert libdamp.calculate("match", {**MATCH, "drills_mm": [2.0, 1.6, 1.8]})["drill_mm"] == 1.8


def test_the_drill_is_off_by_what_it_is_larger() -> None:
    """A larger drill than wanted needs the thicker oil and is softer when fast; a smaller one the reverse."""
    large = libdamp.calculate("match", {**MATCH, "drills_mm": [2.1]})
    small = libdamp.calculate("match", {**MATCH, "drills_mm": [1.6]})
    assert large["drill_high_speed_ratio"] < 1.0 < small["drill_high_speed_ratio"]
    assert large["drill_viscosity_cst"] > large["viscosity_cst"] > small["drill_viscosity_cst"]
    assert large["viscosity_cst"] == small["viscosity_cst"]


def test_a_hole_cannot_be_made_smaller() -> None:
    """Wider holes are drilled into the piston that is there; smaller ones need another, unless a blank is given."""
    wide = _with(Holes(count=2, diameter_mm=1.9))
    (one,) = _found(match(reference=TRUCK, candidate=wide, free=BOTH), "hole_smaller")
    assert one.value == pytest.approx(1.7, rel=1e-9)
    assert one.limit == 1.9
    assert not _found(match(reference=TRUCK, candidate=wide, free=BOTH, blank=BLANK), "hole_smaller")
    assert not _found(match(reference=wide, candidate=TRUCK, free=BOTH), "hole_smaller")


def test_no_drill_below_the_hole_that_is_there() -> None:
    """Where a hole is to be widened, drills thinner than it do nothing: none is named."""
    tight, wider = (_with(Holes(count=2, diameter_mm=d)) for d in (1.62, 1.64))
    made = match(reference=wider, candidate=tight, free=BOTH)
    assert made.drill_mm == 1.65
    none = match(reference=wider, candidate=tight, free=BOTH, drills_mm=(1.6, 0.5))
    assert none.drill_mm is None
    assert _found(none, "no_drill_fits")
    assert none.number_drill == 52  # 1.6129 mm
    blank = match(reference=wider, candidate=tight, free=BOTH, drills_mm=(1.6, 0.5), blank=BLANK)
    assert blank.drill_mm == 1.6


def test_every_kind_of_hole_by_one_factor() -> None:
    """Several kinds of hole are scaled alike, their numbers kept; the widest kind leads, each has its drill."""
    mixed = replaced(
        TRUCK,
        bore_mm=13.0,
        piston=replaced(
            TRUCK.piston,
            diameter_mm=12.9,
            holes=(Holes(count=2, diameter_mm=1.0), Holes(count=2, diameter_mm=1.5)),
        ),
    )
    made = match(reference=TRUCK, candidate=mixed, free=BOTH)
    assert made.holes_mm[1] / made.holes_mm[0] == pytest.approx(1.5, rel=1e-12)
    assert made.hole_mm == made.holes_mm[1]
    assert made.drill_mm == made.drills_mm[1]
    assert abs(made.drills_mm[0] - made.holes_mm[0]) <= 0.025


def test_the_blank_takes_the_place_of_the_piston() -> None:
    """A blank's thickness and diameter are what is drilled: the answer is that of a piston so made."""
    thick = Blanks(count=2, diameter_mm=11.8, thickness_mm=3.2, max_holes=4)
    blank = match(reference=TRUCK, candidate=TRUCK, free=BOTH, blank=thick)
    piston = replaced(TRUCK.piston, diameter_mm=11.8, thickness_mm=3.2)
    same = match(reference=TRUCK, candidate=replaced(TRUCK, piston=piston), free=BOTH)
    assert blank.hole_mm == same.hole_mm != 1.7
    assert blank.viscosity_cst == same.viscosity_cst
    assert blank.oil_alone_viscosity_cst == pytest.approx(325.0, rel=1e-12)


def test_walls() -> None:
    """0.8 mm from rim, shaft and next hole: each is said when nearer, by the geometry, and not before."""
    holes = Holes(count=2, diameter_mm=1.7)

    def walls(circle: float, *kinds: Holes) -> dict[str, float]:
        blank = Blanks(count=2, diameter_mm=11.9, thickness_mm=2.4, max_holes=20, hole_circle_mm=circle)
        made = match(reference=_with(*kinds), candidate=_with(*kinds), free=BOTH, blank=blank)
        found = _found(made, "wall_thin")
        assert all(one.limit == pytest.approx(0.8) for one in found)
        return {one.text.split("hole and ")[1].split(",")[0]: one.value for one in found}

    assert walls(7.4, holes) == {}
    assert walls(8.62, holes) == {"rim": pytest.approx(0.5 * (11.9 - 8.62 - 1.7))}
    assert walls(8.59, holes) == {}
    assert walls(6.28, holes) == {"shaft": pytest.approx(0.5 * (6.28 - 3.0 - 1.7))}
    assert walls(6.31, holes) == {}
    crowd = Holes(count=10, diameter_mm=1.7)
    assert walls(7.4, crowd) == {"next hole": pytest.approx(7.4 * math.sin(math.pi / 10) - 1.7)}
    assert walls(7.4, replaced(crowd, count=9)) == {}
    few = (Holes(count=1, diameter_mm=1.7), Holes(count=8, diameter_mm=1.5))
    assert walls(7.4, *few) == {}
    assert walls(7.4, replaced(few[0], diameter_mm=2.0), few[1]) == {
        "next hole": pytest.approx(7.4 * math.sin(math.pi / 9) - 1.75)
    }
    assert walls(7.4, Holes(count=1, diameter_mm=1.7)) == {}


def test_walls_never_vanish_as_holes_grow() -> None:
    """A larger drill: what was too thin stays too thin."""
    last: set[str] = set()
    for drill in (1.9, 2.4, 2.9, 3.4, 4.0):
        answer = libdamp.calculate("match", {**MATCH, "drills_mm": [drill]})
        now = {f["text"].split(" and ")[1].split(",")[0] for f in answer["findings"] if f["code"] == "wall_thin"}
        assert last <= now
        last = now
    assert last == {"rim", "shaft"}


def test_blanks_in_hand() -> None:
    """More holes than the blank has room for, fewer blanks than an axle has pistons: both are said."""
    few = match(reference=TRUCK, candidate=TRUCK, free=BOTH, blank=replaced(BLANK, count=1, max_holes=1))
    (holes,), (parts,) = _found(few, "too_many_holes"), _found(few, "parts_short")
    assert (holes.value, holes.limit) == (2.0, 1.0)
    assert (parts.value, parts.limit) == (1.0, 2.0)
    enough = match(reference=TRUCK, candidate=TRUCK, free=BOTH, blank=replaced(BLANK, count=2, max_holes=2))
    assert not _found(enough, "too_many_holes")
    assert not _found(enough, "parts_short")


def test_each_direction_by_itself() -> None:
    """One-way holes: compression and rebound need different oils, each that of its own coefficient."""
    one_way = _with(Holes(count=1, diameter_mm=1.7), Holes(count=1, diameter_mm=1.7, direction="compression"))
    push, pull = (match(reference=TRUCK, candidate=one_way, direction=way) for way in ("compression", "rebound"))
    assert push.viscosity_cst == pytest.approx(325.0, rel=1e-12)
    assert pull.viscosity_cst < 0.6 * push.viscosity_cst


def test_no_hole_open_that_way() -> None:
    """Where oil passes around the piston alone its holes do not matter: the oil is named, and why no hole."""
    shut = _with(Holes(count=2, diameter_mm=1.7, direction="rebound"))
    made = match(reference=TRUCK, candidate=shut, free=BOTH)
    assert made.holes_mm == (1.7,)
    assert made.viscosity_cst == made.oil_alone_viscosity_cst
    assert _found(made, "no_hole_matches")
    assert _found(made, "closed_one_way")
    assert made.drill_mm is None


def test_oils_that_thin() -> None:
    """Both speeds agree with oils that thin in fast shear as well."""
    thins = Thinning(relaxation_time_s=2e-5, power_index=0.7)
    thick = replaced(TRUCK, oil=Oil(viscosity_cst=600.0, thinning=thins))
    larger = Shock(**{**LARGER, "oil": Oil(viscosity_cst=400.0, thinning=thins)})
    made = match(reference=thick, candidate=larger, free=BOTH)
    assert made.low_speed_ratio == pytest.approx(1.0, abs=1e-9)
    assert made.high_speed_ratio == pytest.approx(1.0, abs=1e-9)
    assert made.curve_deviation < 0.02


FAULTS: dict[str, tuple[dict[str, Any], list[tuple[str, str]]]] = {
    "speeds too close": ({"speeds_m_s": [0.1, 0.19]}, [("/speeds_m_s", "consistent")]),
    "speeds the wrong way round": ({"speeds_m_s": [0.5, 0.02]}, [("/speeds_m_s", "consistent")]),
    "a speed of zero": ({"speeds_m_s": [0, 0.5]}, [("/speeds_m_s/0", "range")]),
    "three speeds": ({"speeds_m_s": [0.02, 0.1, 0.5]}, [("/speeds_m_s", "length")]),
    "hole alone": ({"free": ["hole"]}, [("/free", "consistent")]),
    "oil twice": ({"free": ["oil", "oil"]}, [("/free", "consistent")]),
    "nothing free": ({"free": []}, [("/free", "length")]),
    "another word": ({"free": ["oil", "piston"]}, [("/free/1", "choice")]),
    "a blank too large": (put(MATCH, "blank.diameter_mm", 13.0), [("/blank/diameter_mm", "consistent")]),
    "a blank without room": (
        put(MATCH, "blank.diameter_mm", 5.5),
        [("/candidate/piston/holes/0/diameter_mm", "consistent")],
    ),
    "a circle outside the blank": (
        put(MATCH, "blank.hole_circle_mm", 12.9),
        [("/blank/hole_circle_mm", "consistent")],
    ),
    "a circle inside the shaft": (
        put(MATCH, "blank.hole_circle_mm", 3.5),
        [("/blank/hole_circle_mm", "consistent")],
    ),
    "all at once": (
        {**put(MATCH, "blank.diameter_mm", 14.0), "speeds_m_s": [0.1, 0.1], "free": ["hole"]},
        [("/speeds_m_s", "consistent"), ("/free", "consistent"), ("/blank/diameter_mm", "consistent")],
    ),
}


@pytest.mark.parametrize("name", sorted(FAULTS))
def test_faults(name: str) -> None:
    """What cannot be asked is refused, all faults at once."""
    changes, wanted = FAULTS[name]
    with pytest.raises(InputError) as caught:
        libdamp.calculate("match", {**MATCH, **changes})
    assert [(fault.pointer, fault.rule) for fault in caught.value.faults] == wanted


def test_speeds_twice_apart_are_enough() -> None:
    """The second speed may be twice the first, no less."""
    answer = libdamp.calculate("match", {**MATCH, "speeds_m_s": [0.05, 0.1]})
    assert answer["high_speed_ratio"] == pytest.approx(1.0, abs=1e-9)


def test_a_size_completes_both_shocks() -> None:
    """With a size both shocks may leave out what an owner cannot know; what was assumed says which of them."""
    draft = {"oil": "325 cst", "piston": {"holes": "2x1.7"}}
    other = {**draft, "piston": {"holes": "3x1.4"}}
    answer = libdamp.calculate("match", {"reference": draft, "candidate": other, "size": "1:10 truck"})
    roots = {one["path"].split("/")[1] for one in answer["assumed"]}
    assert roots == {"reference", "candidate"}
    assert shock()["bore_mm"] == 12
