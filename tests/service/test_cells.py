"""The cell door: one number as bare text, always status 200, every fault a text that says what to do."""

from typing import Any
from urllib.parse import quote, quote_plus, urlencode

import pytest
from litestar.testing import TestClient

import libdamp
from libdamp.demo import demo_corner, demo_data
from libdamp.packing import pack
from service import cell_door
from tests.plain_requests import MATCH, NO_RUNS, corner, put, shock
from tests.service.faults import GOOD

TOKEN = pack(demo_corner("demo-truck.front"))
OIL = {"oil.viscosity_cst": "325", "temperature_c": "40", "only": "viscosity_cst"}
CURVE = {"setup": "demo-truck.front", "speeds_m_s": "0.1:0.2"}
JUMP = {"jump.apex_m": "0.1", "jump.speed_m_s": "8", "jump.landing_deg": "30"}


def bare(text: str, status: int, kind: str) -> str:
    """Assert what holds for every cell's answer, and give its text."""
    assert status == 200
    assert kind.startswith("text/plain")
    assert text
    assert text == text.strip()
    assert "\n" not in text
    return text


def cell(client: TestClient[Any], name: str, query: str | dict[str, str]) -> str:
    """Text of a cell."""
    query = query if isinstance(query, str) else urlencode(query, quote_via=quote)
    answer = client.get(f"/v1/cell/{name}?{query}")
    return bare(answer.text, answer.status_code, answer.headers["content-type"])


def oil(client: TestClient[Any], **changed: str) -> str:
    """Cell of an oil's viscosity with some parameters changed."""
    return cell(client, "oil_viscosity", {**OIL, **changed})


def wanted(request: Any, name: str, *steps: str | int) -> str:
    """Text of the library's output."""
    value = libdamp.calculate(name, request)
    for step in steps:
        value = value[step]
    return repr(value)


PLAIN_OIL = {"oil": {"viscosity_cst": 325}, "temperature_c": 40}
LAST_LABEL = {"label_value": 35, "viscosity_cst": 400}


@pytest.mark.parametrize(
    "changed",
    [
        {},
        {"oil.viscosity_cst": "325.0"},
        {"oil.viscosity_cst": "325,0"},
        {"oil.viscosity_cst": "3.25E2"},
        {"oil.viscosity_cst": "3,25E+02"},
        {"oil.viscosity_cst": "3.25E 02"},
        {"oil.viscosity_cst": "3.25e 002"},
        {"oil.viscosity_cst": "0.325E 003"},
        {"oil.viscosity_cst": "32500E-002"},
        {"oil.viscosity_cst": " 325 "},
        {"oil.viscosity_cst": "325 cst"},
        {"oil.viscosity_cst": "3.25 cm2/s"},
        {"temperature_c": "40 C"},
        {"temperature_c": "104 F"},
        {"temperature_c": "40,0"},
        {"oil.vtc": ""},
        {"oil.vtc": "  "},
        {"dec": "."},
        {"v": "17", "base": "b", "app": "a", "lang": "de", "head": "1", "form": "text", "size": "", "surface": ""},
    ],
)
def test_how_a_number_may_be_written(client: TestClient[Any], changed: dict[str, str]) -> None:
    """Comma or point, exponent with its '+' turned blank, blanks around, a unit; empty is not given."""
    found = float(oil(client, **changed))
    assert found == pytest.approx(float(wanted(PLAIN_OIL, "oil_viscosity", "viscosity_cst")), rel=1e-12)


def test_text_is_the_number(client: TestClient[Any]) -> None:
    """The text reads back as the very number that the library gives; a comma on request."""
    exact = wanted(PLAIN_OIL, "oil_viscosity", "viscosity_cst")
    assert oil(client) == exact
    assert oil(client, dec=",") == exact.replace(".", ",")
    assert oil(client, dec=";").startswith("error: dec:")


def test_large_exponent_is_read_whole(client: TestClient[Any]) -> None:
    """'1E 021' is 1e21, not 1: a spreadsheet's way to write a large number."""
    assert "1e+21" in oil(client, **{"oil.viscosity_cst": "1E 021"})


@pytest.mark.parametrize("text", ["2x1.7+4x1.0", "2x1.7 4x1.0", "2x1,7 4x1,0", "2x1.7 + 4x1"])
@pytest.mark.parametrize("coding", [quote, quote_plus, lambda t, *_: t.replace(" ", "%20")])
def test_holes(client: TestClient[Any], text: str, coding: Any) -> None:
    """Holes are read whether the '+' arrives as itself or as a blank."""
    query = urlencode({**CURVE, "only": "compression_n.1"}) + "&piston.holes=" + coding(text)
    plain = put({"shock": shock(), "speeds_m_s": [0.1, 0.2]}, "shock.piston.holes", "2x1.7+4x1.0")
    assert cell(client, "damping_curve", query) == wanted(plain, "damping_curve", "compression_n", 1)


@pytest.mark.parametrize("name", ["sweep", "tolerance"])
def test_no_cell_carries_another_request(client: TestClient[Any], name: str) -> None:
    """A calculation of another's request is no cell: the text says what to do instead."""
    text = cell(client, name, "calculation=ride&only=columns.0.path")
    assert text.startswith("error: request: a cell cannot carry")
    assert f"/v1/{name}" in text


@pytest.mark.parametrize("name", [n for n in sorted(GOOD) if n not in ("setup", "sweep", "tolerance")])
def test_bundled_setup_or_own_numbers(client: TestClient[Any], name: str) -> None:
    """Every calculation is reached as a cell, and its number is the library's."""
    asked_for: dict[str, tuple[dict[str, str], Any, str]] = {
        "check": ({"setup": "demo-truck"}, demo_data("demo-truck"), "front.ride.frequency_hz"),
        "plan": ({"setup": "demo-smallest"}, demo_data("demo-smallest"), "builds.0.front.limiter_mm"),
        "changes": (
            {"setup": "demo-smallest", "end": "rear", "question": "slaps"},
            {**demo_data("demo-smallest"), "end": "rear", "question": "slaps"},
            "rows.0.difference.least_clearance_mm",
        ),
        "ride": ({"setup": "demo-buggy.rear"}, {"corner": corner("rear", "demo-buggy")}, "damping_ratio_rebound"),
        "damping_curve": (CURVE, {"shock": shock(), "speeds_m_s": [0.1, 0.2]}, "rebound_n.1"),
        "match": (
            {
                "setup": "demo-truck.front",
                "candidate.bore_mm": "13",
                "candidate.shaft_mm": "3.5",
                "candidate.piston.diameter_mm": "12.9",
                "free": "oil:hole",
                "speeds_m_s": "0.02:0.1",
            },
            {**MATCH, "blank": None},
            "drill_high_speed_ratio",
        ),
        "bench_cycle": (
            {
                "setup": "demo-truck.front",
                "amplitude_mm": "8",
                "frequency_hz": "2,5",
                "centre_insertion_mm": "15",
                "cycles": "1",
            },
            {"shock": shock(), "amplitude_mm": 8, "frequency_hz": 2.5, "centre_insertion_mm": 15, "cycles": 1},
            "loss_j",
        ),
        "fill_check": ({"setup": "demo-truck.rear"}, {"shock": shock("rear")}, "oil_ml"),
        "bubble_rise": (
            {"oil.viscosity_cst": "325", "depth_mm": "35", "bubble_mm": "0,5"},
            {"oil": "325 cst", "depth_mm": 35, "bubble_mm": 0.5},
            "wait_s",
        ),
        "aerated_oil": (
            {"air_share": "0,05", "chamber_mm": "20", "pressure_kpa": "2 atm", "family": "petroleum"},
            {"air_share": 0.05, "chamber_mm": 20, "pressure_kpa": 202.65, "family": "petroleum"},
            "effective_bulk_modulus_gpa",
        ),
        "piston_load": (
            {"setup": "demo-truck.front", "speed_m_s": "0,2", "yield_mpa": "450", "material": "pa66"},
            {"shock": shock(), "speed_m_s": 0.2, "yield_mpa": 450, "material": "pa66"},
            "margin",
        ),
        "equal_fall": (
            {**JUMP, "jump.apex_m": "2"},
            {"jump": {"apex_m": 2, "speed_m_s": 8, "landing_deg": 30}},
            "",
        ),
        "drop": (
            {"setup": "demo-truck.front", "piston.holes": "3x1.4", "height_mm": "150"},
            {"corner": put(corner(), "shock.piston.holes", "3x1.4"), "height_mm": 150},
            "energy.gas_j",
        ),
        "touch_height": ({"setup": "demo-truck.front"}, {"corner": corner()}, "height_mm"),
        "bumps": (
            {"setup": "demo-truck.rear", "bump_height_mm": "4", "bump_spacing_mm": "150", "speed_m_s": "5"},
            {"corner": corner("rear"), "bump_height_mm": 4, "bump_spacing_mm": 150, "speed_m_s": 5},
            "tyre_load_variation",
        ),
        "push_release": (
            {"setup": "demo-truck.rear", "push_mm": "0.4 in"},
            {"corner": corner("rear"), "push_mm": 10.16},
            "half_time_s",
        ),
        "spring_from_wire": (
            {"wire_mm": "1,2", "mean_coil_mm": "14", "active_coils": "6", "force_n": "20"},
            {"wire_mm": 1.2, "mean_coil_mm": 14, "active_coils": 6, "force_n": 20},
            "stress_mpa",
        ),
        "oil_blend": (
            {"thin.viscosity_cst": "350", "thick.viscosity_cst": "600", "target_cst": "425"},
            {"thin": "350 cst", "thick": "600 cst", "target_cst": 425},
            "thick_share",
        ),
        "oil_viscosity": (OIL, PLAIN_OIL, "density_kg_m3"),
        "oil_for_temperature": (
            {"oil.viscosity_cst": "325", "from_temperature_c": "25", "to_temperature_c": "40"},
            {"oil": "325 cst", "from_temperature_c": 25, "to_temperature_c": 40},
            "viscosity_cst",
        ),
        "season": (
            {"setup": "demo-truck.front", "temperatures_c": "5:15", "reference_temperature_c": "31"},
            {"corner": corner(), "temperatures_c": [5, 15], "reference_temperature_c": 31},
            "damping_ratio_rebound_unchanged.1",
        ),
        "oil_from_label": (
            {"label_value": "32,5", "table": "25:250+30:320;35:400 cSt"},
            {"label_value": 32.5, "table": [{"label_value": 30, "viscosity_cst": 320}, LAST_LABEL]},
            "viscosity_cst",
        ),
        "iso_grade": (
            {
                "oil.viscosity_cst": "100",
                "oil.reference_temperature_c": "40",
                "oil.family": "petroleum",
                "second_point.viscosity_cst": "11,1",
                "second_point.temperature_c": "100",
            },
            GOOD["iso_grade"],
            "grade",
        ),
        "compare": (
            {
                "setup": "demo-truck.front",
                "candidate.oil.viscosity_cst": "400",
                **{f"use.{name}": str(value) for name, value in NO_RUNS.items()},
            },
            GOOD["compare"],
            "ends.0.figures.6.difference",
        ),
        "compare_shocks": (
            {"setup": "demo-truck.front", "candidate.oil.viscosity_cst": "400", "speeds_m_s": "0,05:0,5"},
            {"reference": shock(), "candidate": put(shock(), "oil.viscosity_cst", 400), "speeds_m_s": [0.05, 0.5]},
            "figures.4.ratio",
        ),
        "convert": ({"value": "38 gf/mm", "to": "lbf/in"}, {"value": "38 gf/mm", "to": "lbf/in"}, "value"),
    }
    query, request, only = asked_for[name]
    only = only or "impact_m_s"
    steps = [int(step) if step.isdigit() else step for step in only.split(".")]
    assert cell(client, name, {**query, "only": only}) == wanted(request, name, *steps)


def test_outputs_that_are_no_numbers(client: TestClient[Any]) -> None:
    """Text stands as it is; findings are "ok" or their codes; a text within a list is reached."""
    assert cell(client, "ride", {"setup": TOKEN, "only": "first_stop"}) == "shock"
    assert cell(client, "oil_viscosity", {**OIL, "only": "provenance.version"}) == libdamp.__version__
    assert cell(client, "oil_viscosity", {**OIL, "only": "findings"}) == "ok"
    hot = {**OIL, "temperature_c": "100"}
    assert cell(client, "oil_viscosity", {**hot, "only": "findings"}) == "oil_law_range unusual_value"
    assert "100 C" in cell(client, "oil_viscosity", {**hot, "only": "findings.0.text"})
    assert cell(client, "oil_viscosity", {**hot, "only": "findings.0.limit", "dec": ","}) == "60,0"
    locked = {"setup": TOKEN, "fill.gas_ml": "0.05", "only": "findings"}
    assert cell(client, "fill_check", locked).split()[:2] == ["lock_cold", "lock_hot"]


@pytest.mark.parametrize(("text", "flag"), [("1", True), ("0", False), ("true", True), ("FALSE", False)])
def test_yes_and_no(client: TestClient[Any], text: str, flag: bool) -> None:
    """What is true or false is given as 1 or 0, or in words as a spreadsheet writes them."""
    spring = {"wire_mm": 1.2, "mean_coil_mm": 14, "active_coils": 6}
    query = {**{name: str(value) for name, value in spring.items()}, "ground_ends": text, "only": "block_length_mm"}
    plain = {**spring, "ground_ends": flag}
    assert cell(client, "spring_from_wire", query) == wanted(plain, "spring_from_wire", "block_length_mm")


@pytest.mark.parametrize(("value", "text"), [(True, "1"), (False, "0"), (3, "3"), (1.5, "1.5"), ("ab", "ab")])
def test_text_of_a_value(value: Any, text: str) -> None:
    """True is 1, false is 0, numbers bare, text as it is."""
    assert cell_door.cell_text(value, comma=False) == text


def test_nothing_to_show_is_an_error_with_its_reason(client: TestClient[Any]) -> None:
    """An output that does not exist for this set-up says why, below it too."""
    text = cell(client, "equal_fall", {**JUMP, "only": "on_slope_mm"})
    assert text.startswith("error: on_slope_mm: no value: ")
    assert "flies past the slope" in text
    assert cell(client, "ride", {"setup": TOKEN, "only": "next_step.preload_mm"}).startswith(
        "error: next_step.preload_mm: no value: "
    )
    stepped = {"setup": TOKEN, "collar_step_mm": "0,5", "only": "next_step.preload_mm"}
    assert float(cell(client, "ride", stepped)) == 0.5


@pytest.mark.parametrize("base", ["demo-truck.front", TOKEN])
def test_setup_and_override(client: TestClient[Any], base: str) -> None:
    """Parameters change the set-up that a name or a token stands for, whatever their order."""
    plain = {"corner": put(put(corner(), "spring.rate_n_mm", 0.5), "shock.oil.viscosity_cst", 450)}
    rate = wanted(plain, "ride", "damping_ratio_compression")
    changes = {"spring.rate_n_mm": "0.5", "oil.viscosity_cst": "450", "only": "damping_ratio_compression"}
    assert cell(client, "ride", {"setup": base, **changes}) == rate
    assert cell(client, "ride", {**changes, "setup": base}) == rate
    assert cell(client, "ride", {"setup": base, "only": "damping_ratio_compression"}) != rate


def test_setups_of_other_kinds(client: TestClient[Any]) -> None:
    """A corner serves where a shock is asked; what cannot serve says what is needed."""
    filled = wanted({"shock": shock()}, "fill_check", "oil_ml")
    for base in ("demo-truck.front", TOKEN, pack(demo_corner("demo-truck.front").shock)):
        assert cell(client, "fill_check", {"setup": base, "only": "oil_ml"}) == filled
    text = cell(client, "ride", {"setup": "demo-truck", "only": "frequency_hz"})
    assert text.startswith("error: setup:")
    assert "ride needs corner" in text


def test_a_size_fills_gaps(client: TestClient[Any]) -> None:
    """With `size` a cell needs the facts of an owner only."""
    facts = {"size": "1:10 truck", "oil.viscosity_cst": "325", "piston.holes": "2x1.7", "only": "oil_ml"}
    draft = {"size": "1:10 truck", "shock": {"oil": {"viscosity_cst": 325}, "piston": {"holes": "2x1.7"}}}
    assert cell(client, "fill_check", facts) == wanted(draft, "fill_check", "oil_ml")
    assert "bore_mm is missing" in cell(client, "fill_check", {**facts, "size": ""})
    assert cell(client, "fill_check", {**facts, "size": "1:4"}).startswith("error: size:")
