"""What the sheet says of landings and bumps: numbers of the calculations, bands, the assumed tyre first."""

import re
from copy import deepcopy
from typing import Any

import pytest

import libdamp
from libdamp import sheet_data
from libdamp.answers import CAUTIONS
from libdamp.as_built import JumpFigures
from libdamp.calculations import calculation_of, read_request
from libdamp.demo import demo_data
from libdamp.sheet import sheet_text
from libdamp.sheet_data import Sheet
from libdamp.sheet_landing import Landings, band_mm, landing_words, landings_of
from tests.plain_requests import put

TRUCK, SMALLEST = demo_data("demo-truck"), demo_data("demo-smallest")
ENDS = ("front", "rear")


@pytest.fixture(scope="module")
def truck() -> Sheet:
    """Sheet of the demo truck: everything measured."""
    return sheet_data.sheet_of(TRUCK)


@pytest.fixture(scope="module")
def smallest() -> Sheet:
    """Sheet of ten facts: the tyre and much more assumed."""
    return sheet_data.sheet_of(SMALLEST)


def words(data: dict[str, Any], end: str = "front", **changed: Any) -> list[str]:
    """Lines on an end in motion, with some of the file changed; its parts stay on the car."""
    data = deepcopy(data)
    data.pop("box", None)
    for path, value in changed.items():
        data = put(data, path.replace("__", "."), value)
    return landing_words(landings(data, end))


def landings(data: dict[str, Any], end: str = "front") -> Landings:
    """What the car of a file does in motion as it stands."""
    asked: Any
    asked, assumed = read_request(calculation_of("plan"), data)
    fall = libdamp.equal_fall(jump=asked.use.jump)
    jump = JumpFigures(on_slope_mm=fall.on_slope_mm, overshot_mm=fall.overshot_mm, impact_m_s=fall.impact_m_s)
    return landings_of(getattr(asked.car, end), asked.use, jump, assumed, f"/car/{end}")


def starting(lines: list[str], start: str) -> list[str]:
    """Those of some lines that begin with a word."""
    return [line for line in lines if line.startswith(start)]


@pytest.mark.parametrize("end", ENDS)
def test_lines_bear_the_figures_of_the_calculations(truck: Sheet, end: str) -> None:
    """Touch height, landing and bumps on the sheet are those of `touch_height`, `drop` and `bumps`."""
    corner, use = getattr(truck.car, end), truck.use
    warm = use.oil_temperature_c
    touch = libdamp.touch_height(corner=corner, temperature_c=warm)
    fall = libdamp.equal_fall(jump=use.jump)
    assert fall.on_slope_mm is not None
    drop = libdamp.drop(corner=corner, height_mm=fall.on_slope_mm, temperature_c=warm)
    bumps = libdamp.bumps(
        corner=corner,
        bump_height_mm=use.bump_height_mm,
        bump_spacing_mm=use.bump_spacing_mm,
        speed_m_s=use.speed_m_s,
        temperature_c=warm,
    )
    assert touch.low_mm is not None
    assert touch.high_mm is not None
    assert touch.height_mm is not None
    assert drop.least_clearance_mm is not None
    assert bumps.contact_share is not None
    lines = landing_words(truck.landings[end])
    assert lines[0] == (
        f"touches its chassis from about {touch.height_mm:.0f} mm of flat fall "
        f"({touch.low_mm:.0f}..{touch.high_mm:.0f})"
    )
    assert lines[1].startswith(
        f"jump, like a fall of {fall.on_slope_mm:.0f} mm: lands with {drop.least_clearance_mm:.1f} mm to spare ("
    )
    assert lines[2] == "overshot, 900 mm: slaps"
    assert f"tyre on the ground {100 * bumps.contact_share:.0f} % of the time" in lines[3]
    assert f"oil +{bumps.oil_rise_c:.0f} C" in lines[3]


@pytest.mark.parametrize("end", ENDS)
def test_an_assumed_tyre_comes_first(smallest: Sheet, end: str) -> None:
    """With the tyre assumed the first line says so first, and its band is that of the tyre's bounds at least."""
    seen = smallest.landings[end]
    first = landing_words(seen)[0]
    assert first.startswith("* tyre assumed: ")
    low, high = (float(n) for n in re.findall(r"\((\d+)\.\.(\d+)\)", first)[0])
    assert seen.touch.tyre_low_mm is not None
    assert seen.touch.tyre_high_mm is not None
    assert low <= seen.touch.tyre_low_mm + 0.5
    assert high >= seen.touch.tyre_high_mm - 0.5
    assert seen.touch.findings[0].code == "tyre_assumed"
    assert seen.on_slope is not None
    assert seen.on_slope.findings[0].code == "tyre_assumed"


@pytest.mark.usefixtures("no_changes")
def test_a_measured_tyre_is_not_called_assumed() -> None:
    """With its squash measured the line no longer speaks of the tyre, and the band is narrower."""
    lines = words(SMALLEST, car__front__tyre={"squash_mm": 2.5})
    assert not starting(lines, "* tyre")
    assert starting(lines, "touches its chassis from about")
    assert re.search(r"from about \d+ mm\* of", lines[0])  # much else is still assumed
    text = sheet_text(sheet_data.sheet_of(put(SMALLEST, "car.front.tyre", {"squash_mm": 2.5})))
    assert "until then the rear touches anywhere" in " ".join(text.split())


def test_measuring_the_tyre_is_asked_for(smallest: Sheet) -> None:
    """What to measure next names the tyre, how, and within what the touch height lies until then."""
    text = " ".join(sheet_text(smallest).split())
    low, high = band_mm(smallest.landings["front"].touch, True)
    assert f"until then the front touches anywhere in {low:.0f}..{high:.0f} mm" in text
    assert "for landings: tyre.rate_n_mm: axle height with the wheel lifted" in text


def test_no_jump_no_line() -> None:
    """Without a jump there is no line on it; the touch height and the bumps stay."""
    lines = words(TRUCK, use__jump="none")
    assert [line.split(" ")[0] for line in lines] == ["touches", "bumps"]


def test_a_flat_jump_has_one_line() -> None:
    """A jump that lands on the flat lands alike whether overshot or not: one line."""
    lines = words(TRUCK, use__jump="small")
    assert len(starting(lines, "jump, like a fall of 100 mm: lands with")) == 1
    assert not starting(lines, "overshot")


def test_a_slope_that_is_never_met() -> None:
    """Where the car flies past the slope only the overshot landing is told."""
    lines = words(TRUCK, use__jump={"apex_m": 0.1, "speed_m_s": 8, "landing_deg": 30})
    assert "jump: its slope is never met" in lines
    assert len(starting(lines, "overshot, 100 mm: lands with")) == 1


def test_slaps() -> None:
    """A fall far above the touch height slaps; one about it may, either way the figure decides."""
    assert starting(words(TRUCK, use__jump="big"), "jump, like a fall of 350 mm: slaps")
    about = landings(TRUCK).touch.height_mm
    assert about is not None
    jump = {"apex_m": round(about * 1e-3, 3), "speed_m_s": 5, "landing_deg": 0}
    assert starting(words(TRUCK, use__jump=jump), f"jump, like a fall of {about:.0f} mm: may slap")


def test_more_than_is_worked_out() -> None:
    """A jump from above 3 m is no fault of the sheet: it slaps, or the line says that it is not worked out."""
    jump = {"apex_m": 5, "speed_m_s": 5, "landing_deg": 0}
    assert starting(words(TRUCK, use__jump=jump), "jump, like a fall of 5000 mm: slaps")
    high = words(TRUCK, use__jump=jump, car__front__level_clearance_mm=90, car__front__tyre__rate_n_mm=30)
    assert starting(high, "touches its chassis from no flat fall up to 3 m")
    assert starting(high, "jump, like a fall of 5000 mm: falls above 3 m are not worked out")


def test_touches_from_any_fall() -> None:
    """A chassis that touches at once is said to, and every landing slaps or may."""
    thin = {"use__oil_temperature_c": 50, "car__front__shock__oil": "50 cSt"}
    lines = words(TRUCK, car__front__level_clearance_mm=2, **thin)
    assert lines[0] == "touches its chassis from any fall"
    assert "slap" in lines[1]


def test_bumps_that_are_none() -> None:
    """No bumps, or waves slower than one a second, have no line."""
    assert not starting(words(TRUCK, use__bump_height_mm=0), "bumps")
    assert not starting(words(TRUCK, use__bump_spacing_mm=8000), "bumps")
    assert starting(words(TRUCK, use__bump_spacing_mm=5000), "bumps of 6 mm")


@pytest.mark.usefixtures("no_changes")
def test_a_corner_that_cannot_move() -> None:
    """Where a corner cannot be run the line says so, and the reason stands below as a thing to know."""
    data = put(TRUCK, "car.front.spring.rate_n_mm", 0.05)
    data.pop("box")
    sheet = sheet_data.sheet_of(data)
    assert landing_words(sheet.landings["front"]) == ["landing: cannot be worked out, see below"]
    assert "DO NOT RUN (front): The car sinks to the stop" in sheet_text(sheet)


@pytest.mark.usefixtures("no_changes")
def test_warnings_of_a_landing_are_told() -> None:
    """A rim that strikes in the jump stands among the things to know, with its place; a slap is not told twice."""
    data = put(put(TRUCK, "car.front.tyre.sidewall_mm", 7), "use.jump", "small")
    data.pop("box")
    text = " ".join(sheet_text(sheet_data.sheet_of(data)).split())
    assert "warning (front, jump): The tyre is squashed" in text
    assert "The chassis hits the ground" not in text


@pytest.mark.parametrize("name", ["truck", "smallest"])
def test_cautions_stand_beside_the_landings(request: pytest.FixtureRequest, name: str) -> None:
    """How to test a drop, and that nobody stands there, is told once: right below the landings."""
    text = " ".join(sheet_text(request.getfixturevalue(name)).split())
    for code in ("drop_test", "jumping"):
        assert text.count(CAUTIONS[code]) == 1
        assert text.index("touches its chassis") < text.index(CAUTIONS[code]) < text.index("together:")
