"""Drafts: other ways to give a thing equal the direct form; gaps are filled and listed, nothing else is."""

import copy
import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import libdamp
from libdamp.assume import SIZE_NAMES, SURFACE_NAMES
from libdamp.demo import demo_data
from libdamp.typical import SIZES, SURFACES
from tests.answered import usual
from tests.plain_requests import USE, corner, put, requests
from tests.strategies import between

G_N = 9.80665
CLOSE = 1e-12


def _figures(answer: Any, path: str = "") -> dict[str, float | str]:
    """Every number and word of an answer by its path, the envelope's list of assumptions left out."""
    if isinstance(answer, dict):
        parts = {key: value for key, value in answer.items() if key not in ("assumed", "provenance")}
        return {k: v for key, value in parts.items() for k, v in _figures(value, f"{path}.{key}").items()}
    if isinstance(answer, list | tuple):
        return {k: v for i, value in enumerate(answer) for k, v in _figures(value, f"{path}.{i}").items()}
    return {} if answer is None else {path: answer}


def _equal(one: Any, other: Any) -> None:
    """The same answer to 1e-12."""
    a, b = _figures(one), _figures(other)
    assert set(a) == set(b)
    for key, value in a.items():
        if isinstance(value, float):
            assert b[key] == pytest.approx(value, rel=CLOSE, abs=CLOSE), key
        elif ".text" not in key:
            assert b[key] == value, key


def _without(data: dict[str, Any], *fields: str) -> dict[str, Any]:
    return {key: value for key, value in data.items() if key not in fields}


def _ride(given: dict[str, Any], **more: Any) -> dict[str, Any]:
    return libdamp.calculate("ride", {"corner": given, **more})


@given(between(120.0, 1000.0), between(20.0, 90.0))
def test_scale_readings(total: float, unsprung: float) -> None:
    """Axle and corner on the scale mean twice and once sprung plus unsprung mass."""
    rest = _without(corner(), "sprung_mass_g", "unsprung_mass_g")
    direct = _ride({**rest, "sprung_mass_g": total - unsprung, "unsprung_mass_g": unsprung})
    _equal(direct, _ride({**rest, "axle_g": 2.0 * total, "unsprung_mass_g": unsprung}))
    _equal(direct, _ride({**rest, "corner_g": total, "unsprung_mass_g": unsprung}))
    _equal(direct, _ride({**rest, "axle_g": f"{2e-3 * total!r} kg", "unsprung_mass_g": unsprung}))


@given(between(0.5, 10.0))
def test_squash(squash: float) -> None:
    """The squash under the corner's weight is the rate."""
    given_ = corner()
    mass = given_["sprung_mass_g"] + given_["unsprung_mass_g"]
    direct = put(given_, "tyre.rate_n_mm", mass * 1e-3 * G_N / squash)
    other = {**given_, "tyre": {**_without(given_["tyre"], "rate_n_mm"), "squash_mm": squash}}
    _equal(_ride(direct), _ride(other))


@given(between(0.0, 8.0))
def test_lengths(limiter: float) -> None:
    """In-use and compressed length give full length and stroke."""
    given_ = put(corner(), "shock.limiter_mm", limiter)
    shock = given_["shock"]
    other = _without(shock, "extended_length_mm", "stroke_mm")
    other |= {"extended_in_use_mm": 88.0 - limiter, "compressed_length_mm": 58.0}
    _equal(_ride(given_), _ride({**given_, "shock": other}))


@pytest.mark.parametrize(("word", "share"), [("out", 0.0), ("half", 0.5), ("in", 1.0)])
def test_closing_words(word: str, share: float) -> None:
    """Words for the closing position are shares of the stroke."""
    given_ = corner()
    direct = put(given_, "shock.fill.closing_insertion_mm", share * 30.0)
    fill = {**_without(given_["shock"]["fill"], "closing_insertion_mm"), "closing": word}
    _equal(_ride(direct), _ride(put(given_, "shock.fill", fill)))


@pytest.mark.parametrize(
    ("path", "text", "direct"),
    [
        ("spring", "2.17 lbf/in", {"rate_n_mm": 2.17e-3 * 0.45359237 * G_N / 0.0254}),
        ("shock.oil", "325 cst", {"viscosity_cst": 325.0}),
        ("shock.piston.holes", "2x1.7", [{"count": 2, "diameter_mm": 1.7}]),
        ("shock.piston.holes", "2x1.7+4x1.0", [{"count": 2, "diameter_mm": 1.7}, {"count": 4, "diameter_mm": 1.0}]),
        ("shock.piston.holes", "2x1,7 4X1", [{"count": 2, "diameter_mm": 1.7}, {"count": 4, "diameter_mm": 1.0}]),
        ("shock.bore_mm", "12 mm", 12.0),
        ("level_clearance_mm", "1 in", 25.4),
    ],
)
def test_short_texts(path: str, text: str, direct: Any) -> None:
    """A short text is the fields it stands for."""
    _equal(_ride(put(corner(), path, direct)), _ride(put(corner(), path, text)))


def test_dynamic_viscosity_text() -> None:
    """A dynamic viscosity, mPa s, is divided by the density of the grade that they give."""
    answer = libdamp.calculate("oil_viscosity", {"oil": "315 mPas", "temperature_c": 25})
    assert answer["dynamic_mpa_s"] == pytest.approx(315.0, rel=1e-12)
    assert answer["viscosity_cst"] == pytest.approx(315.0 / answer["density_kg_m3"] * 1e3, rel=1e-12)


def _leaves(data: Any, path: str = "") -> dict[str, Any]:
    if isinstance(data, dict):
        return {k: v for key, value in data.items() for k, v in _leaves(value, f"{path}/{key}").items()}
    return {path: data}


SMALLEST = demo_data("demo-smallest")


@pytest.mark.parametrize("size", SIZE_NAMES)
@pytest.mark.parametrize("surface", SURFACE_NAMES)
def test_every_size_and_surface_completes(size: str, surface: str) -> None:
    """Ten facts with any size and surface give an answer; each assumption has spread and way to measure."""
    request = {**copy.deepcopy(SMALLEST), "size": size, "surface": surface}
    answer = libdamp.calculate("check", request)
    paths = [a["path"] for a in answer["assumed"]]
    assert len(set(paths)) == len(paths)
    for one in answer["assumed"]:
        assert one["spread"]
        assert len(one["how_to_measure"]) > 3
        assert one["value"] is not None
    assert not set(paths) & set(_leaves(request))


def test_assumed_values_are_the_table_s() -> None:
    """What is filled comes from the row of the size and of the surface."""
    answer = libdamp.calculate("check", copy.deepcopy(SMALLEST))
    filled = {a["path"]: a["value"] for a in answer["assumed"]}
    size, surface = SIZES["1:10 truck"], SURFACES["loose"]
    for i, end in enumerate(("front", "rear")):
        at = f"/car/{end}"
        total = 0.5 * SMALLEST["car"][end]["axle_g"]
        wanted = {
            "unsprung_mass_g": size.unsprung_share * total,
            "level_clearance_mm": size.clearance_mm,
            "linkage/motion_ratio": size.motion_ratio,
            "tyre/rate_n_mm": size.tyre_n_mm,
            "shock/bore_mm": size.bore_mm,
            "shock/shaft_mm": size.shaft_mm,
            "shock/stroke_mm": size.stroke_mm[i],
            "shock/limiter_mm": size.limiter_mm[i],
            "shock/extended_length_mm": size.extended_mm[i],
            "shock/seal_drag_n": size.seal_drag_n,
            "shock/piston/thickness_mm": size.thickness_mm,
            "shock/piston/diameter_mm": size.bore_mm - 0.1,
            "shock/cavity_length_mm": size.stroke_mm[i] + 5,
            "shock/fill/gas_ml": 2e-3 * 0.25 * math.pi * size.shaft_mm**2 * size.stroke_mm[i],
            "shock/fill/closing_insertion_mm": 0.5 * size.stroke_mm[i],
        }
        for path, value in wanted.items():
            assert filled[f"{at}/{path}"] == pytest.approx(value, rel=1e-12), path
        assert filled[f"{at}/shock/fill/kind"] == "bladder"
    assert filled["/use/oil_temperature_c"] == surface.oil_c
    assert filled["/use/bump_height_mm"] == surface.bump_mm


@given(st.data())
def test_what_is_given_is_not_assumed(data: st.DataObject) -> None:
    """Any field left out of a complete corner is either assumed, and then alone, or stays unknown."""
    path = data.draw(st.sampled_from(sorted(_leaves(corner()))))
    request = corner()
    inner: Any = request
    *steps, last = path.split("/")[1:]
    for step in steps:
        inner = inner[step]
    del inner[last]
    try:
        answer = _ride(request, size="1:10 truck")
    except libdamp.InputError as error:
        places = {f.pointer for f in error.faults}
    else:
        assert {a["path"] for a in answer["assumed"]} <= _may_be_assumed(path)
        return
    assert places == {f"/corner{path}"}


def _may_be_assumed(path: str) -> set[str]:
    """The field itself; unsprung mass beside a sprung mass that is its own."""
    return {f"/corner{path}"}


def test_complete_requests_assume_nothing() -> None:
    """A complete request has an empty list of assumptions, with a size or without."""
    for name in requests():
        assert not usual(name)["assumed"], name
    assert not _ride(corner(), size="1:10 truck", surface="loose", end="rear", note="ours")["assumed"]


def test_typed_calls_assume_nothing() -> None:
    """A typed Struct is always complete."""
    from libdamp.demo import demo_corner

    assert libdamp.ride(corner=demo_corner("demo-truck.front")).assumed == ()


def test_air_temperature() -> None:
    """Air in place of oil: warmer by the size's share, listed as assumed; without size an error."""
    request = {"car": demo_data("demo-truck")["car"], "use": {**_without(USE, "oil_temperature_c")}}
    request["use"]["air_temperature_c"] = 20
    answer = libdamp.calculate("check", {**request, "size": "1:8 buggy"})
    assert [(a["path"], a["value"]) for a in answer["assumed"]] == [("/use/oil_temperature_c", 28.0)]
    with pytest.raises(libdamp.InputError, match="oil_temperature_c"):
        libdamp.calculate("check", request)


def test_use_wins_over_the_file_s_surface() -> None:
    """A surface in use wins over the file's; a field in use wins over both; none is an error naming surface."""
    car = demo_data("demo-truck")["car"]
    both = {"car": car, "surface": "loose", "use": {"surface": "grass", "bump_height_mm": 9}}
    filled = {a["path"]: a["value"] for a in libdamp.calculate("check", both)["assumed"]}
    assert filled["/use/oil_temperature_c"] == SURFACES["grass"].oil_c
    assert "/use/bump_height_mm" not in filled
    with pytest.raises(libdamp.InputError, match="surface"):
        libdamp.calculate("check", {"car": car})


def test_ends_differ() -> None:
    """A single corner is assumed as the end that it is said to be."""
    bare = {"axle_g": 800, "shock": {"oil": "325 cst", "piston": {"holes": "2x1.7"}}, "spring": "0.38 N/mm"}
    strokes = {}
    for end in ("front", "rear"):
        answer = _ride(copy.deepcopy(bare), size="1:10 truck", end=end)
        strokes[end] = {a["path"]: a["value"] for a in answer["assumed"]}["/corner/shock/stroke_mm"]
    assert (strokes["front"], strokes["rear"]) == SIZES["1:10 truck"].stroke_mm


def test_requests_are_left_alone() -> None:
    """Completing a draft never changes the caller's data."""
    request = copy.deepcopy(SMALLEST)
    libdamp.calculate("plan", request)
    assert request == SMALLEST


FACTS: dict[str, Any] = {
    "size": "1:10 truck",
    "surface": "loose",
    "car": {
        end: {"axle_g": 900, "spring": "0.4 N/mm", "shock": {"oil": "325 cst", "piston": {"holes": "2x1.7"}}}
        for end in ("front", "rear")
    },
}
"""The ten facts of an invented car."""


def _faults(data: dict[str, Any]) -> dict[str, str]:
    """Texts of the faults by their place."""
    with pytest.raises(libdamp.InputError) as caught:
        libdamp.calculate("check", data)
    return {fault.pointer: fault.text for fault in caught.value.faults}


def test_a_linkage_without_its_kind_is_told_which() -> None:
    """What only a ratio has, or only an arm, tells what to type."""
    for field, kind in (("motion_ratio", "ratio"), ("arm_length_mm", "arm")):
        told = _faults(put(FACTS, "car.front.linkage", {field: 1}))
        assert told["/car/front/linkage/kind"] == f'kind = None: must be "{kind}"'
    assert " or " in _faults(put(FACTS, "car.front.linkage", {}))["/car/front/linkage/kind"]


def test_a_wrong_size_is_told_alone() -> None:
    """What the size would complete is not told as missing; the nearest size is named."""
    assert _faults(put(FACTS, "size", "1/10 truck")).keys() == {"/size"}
    assert _faults(put(FACTS, "size", "1/10 truck"))["/size"].endswith("did you mean '1:10 truck'?")
    assert "did you mean" not in _faults(put(FACTS, "surface", "gravel"))["/surface"]


def test_what_was_not_weighed_is_asked_for_as_it_is_weighed() -> None:
    """The axle on a scale, not what is worked out from it."""
    data = copy.deepcopy(FACTS)
    del data["car"]["rear"]["axle_g"], data["car"]["rear"]["shock"]["oil"]
    told = _faults(data)
    assert told.keys() == {"/car/rear/axle_g", "/car/rear/shock/oil"}
    assert "axle_g = 800" in told["/car/rear/axle_g"]
    assert 'for example oil = "325 cst"' in told["/car/rear/shock/oil"]


@pytest.mark.parametrize(
    ("path", "where"),
    [
        ("car.front.level_length_mm", "linkage.level_length_mm"),
        ("car.front.shock.thickness_mm", "piston.thickness_mm"),
        ("bore_mm", "car.front.shock.bore_mm or car.rear.shock.bore_mm"),
    ],
)
def test_a_field_in_the_wrong_place_is_told_where_it_goes(path: str, where: str) -> None:
    """The same name further down."""
    (text,) = _faults(put(FACTS, path, 12)).values()
    assert text.endswith(f"it goes into {where}")
