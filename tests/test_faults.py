"""Bad input: always one InputError with every fault, its place, rule, value and what to type; nothing else."""

import json
import math
import pickle
from collections import OrderedDict
from typing import Any

import msgspec
import numpy as np
import pytest

import libdamp
from libdamp import InputError, TooCostly, UnknownCalculation
from libdamp.demo import demo_corner
from tests.plain_requests import USE, corner, put, requests, shock

NAN, INF = float("nan"), float("inf")

STEEP = {
    "viscosity_cst": 20,
    "reference_temperature_c": 120,
    "family": "petroleum",
    "second_point": {"viscosity_cst": 100_000, "temperature_c": 119},
}
THINNING = {"relaxation_time_s": 1e-5, "power_index": 0.5}
SLOW = {**THINNING, "relaxation_time_s": 1.0}
CROWDED = {"kind": "emulsion", "gas_ml": 5.0, "closing_insertion_mm": 15}

HOLES_UP = "/corner/linkage/other_upper_mounts_up_mm"

ONE_FAULT: list[tuple[str, str, Any, str, str]] = [
    # calculation, dotted path, bad value, pointer, rule
    ("ride", "corner.shock.bore_mm", -12, "/corner/shock/bore_mm", "range"),
    ("ride", "corner.shock.bore_mm", 0, "/corner/shock/bore_mm", "range"),
    ("ride", "corner.shock.bore_mm", 1.2, "/corner/shock/bore_mm", "range"),
    ("ride", "corner.shock.bore_mm", NAN, "/corner/shock/bore_mm", "finite"),
    ("ride", "corner.shock.bore_mm", INF, "/corner/shock/bore_mm", "finite"),
    ("ride", "corner.shock.bore_mm", -INF, "/corner/shock/bore_mm", "finite"),
    ("ride", "corner.shock.bore_mm", 10**400, "/corner/shock/bore_mm", "finite"),
    ("ride", "corner.shock.bore_mm", None, "/corner/shock/bore_mm", "type"),
    ("ride", "corner.shock.bore_mm", True, "/corner/shock/bore_mm", "type"),
    ("ride", "corner.shock.bore_mm", [12], "/corner/shock/bore_mm", "type"),
    ("ride", "corner.shock.bore_mm", {}, "/corner/shock/bore_mm", "type"),
    ("ride", "corner.shock.bore_mm", 1j, "/corner/shock/bore_mm", "type"),
    ("ride", "corner.shock.bore_mm", b"12", "/corner/shock/bore_mm", "type"),
    ("ride", "corner.shock.bore_mm", "", "/corner/shock/bore_mm", "unit"),
    ("ride", "corner.shock.bore_mm", "12", "/corner/shock/bore_mm", "unit"),
    ("ride", "corner.shock.bore_mm", "twelve", "/corner/shock/bore_mm", "unit"),
    ("ride", "corner.shock.bore_mm", "12 kg", "/corner/shock/bore_mm", "unit"),
    ("ride", "corner.shock.bore_mm", "1e999 mm", "/corner/shock/bore_mm", "unit"),
    ("ride", "corner.shock.bore_mm", "?", "/corner/shock/bore_mm", "fill_in"),
    ("ride", "corner.shock.bore_mm", "12 in", "/corner/shock/bore_mm", "range"),
    ("ride", "corner.shock.shaft_mm", 8.45, "/corner/shock/shaft_mm", "consistent"),
    ("ride", "corner.shock.limiter_mm", 31, "/corner/shock/limiter_mm", "consistent"),
    ("ride", "corner.shock.extended_length_mm", 29, "/corner/shock/stroke_mm", "consistent"),
    ("ride", "corner.shock.cavity_length_mm", 31, "/corner/shock/cavity_length_mm", "consistent"),
    ("ride", "corner.shock.fill.closing_insertion_mm", 31, "/corner/shock/fill/closing_insertion_mm", "consistent"),
    ("ride", "corner.shock.fill.kind", "bag", "/corner/shock/fill/kind", "choice"),
    ("ride", "corner.shock.fill.kind", ["bladder"], "/corner/shock/fill/kind", "choice"),
    ("ride", "corner.shock.fill", "half", "/corner/shock/fill", "type"),
    ("ride", "corner.shock.fill", None, "/corner/shock/fill", "type"),
    ("ride", "corner.shock.piston.holes", "2x", "/corner/shock/piston/holes", "text"),
    ("ride", "corner.shock.piston.holes", "two", "/corner/shock/piston/holes", "text"),
    ("ride", "corner.shock.piston.holes", "", "/corner/shock/piston/holes", "text"),
    ("ride", "corner.shock.piston.holes", "?", "/corner/shock/piston/holes", "text"),
    ("ride", "corner.shock.piston.holes", [], "/corner/shock/piston/holes", "length"),
    ("ride", "corner.shock.piston.holes", "2x9", "/corner/shock/piston/holes/0/diameter_mm", "range"),
    ("ride", "corner.shock.piston.holes", "2x4.6", "/corner/shock/piston/holes/0/diameter_mm", "consistent"),
    ("ride", "corner.shock.piston.holes", "20x2", "/corner/shock/piston/holes", "consistent"),
    ("ride", "corner.shock.piston.holes", "999x1", "/corner/shock/piston/holes/0/count", "range"),
    ("ride", "corner.shock.piston.diameter_mm", 12.0, "/corner/shock/piston/diameter_mm", "consistent"),
    ("ride", "corner.shock.oil", "30 wt", "/corner/shock/oil", "text"),
    ("ride", "corner.shock.oil", "?", "/corner/shock/oil", "text"),
    ("ride", "corner.shock.oil", "325", "/corner/shock/oil", "text"),
    ("ride", "corner.shock.oil", 325, "/corner/shock/oil", "type"),
    ("ride", "corner.shock.oil.viscosity_cst", "30wt", "/corner/shock/oil/viscosity_cst", "unit"),
    ("ride", "corner.spring", "4 lb", "/corner/spring", "text"),
    ("ride", "corner.spring", "4 N*m", "/corner/spring", "text"),
    ("ride", "corner.spring", "4 lbf in", "/corner/spring", "text"),
    ("ride", "corner.spring", "", "/corner/spring", "text"),
    ("ride", "corner.spring.rate_n_mm", "4 lb", "/corner/spring/rate_n_mm", "unit"),
    ("ride", "corner.spring.rate_n_mm", "4 N*m", "/corner/spring/rate_n_mm", "unit"),
    ("ride", "corner.spring.block_length_mm", 60, "/corner/spring/block_length_mm", "consistent"),
    ("ride", "corner.tyre.damping_n_s_m", 4, "/corner/tyre/loss_factor", "consistent"),
    ("ride", "corner.linkage.kind", "rocker", "/corner/linkage/kind", "choice"),
    ("ride", "corner.linkage.other_upper_mounts_out_mm", [25], HOLES_UP, "consistent"),
    ("ride", "corner.linkage.other_upper_mounts_up_mm", [70, 4], f"{HOLES_UP}/1", "range"),
    ("ride", "corner.linkage.other_upper_mounts_up_mm", [70] * 25, HOLES_UP, "length"),
    ("ride", "corner.boar_mm", 12, "/corner/boar_mm", "unknown_field"),
    ("ride", "corner.spring.label", 5, "/corner/spring/label", "type"),
    ("ride", "corner.spring.label", "x" * 201, "/corner/spring/label", "type"),
    ("ride", "spacers_mm", 3, "/spacers_mm", "type"),
    ("ride", "spacers_mm", "3 mm", "/spacers_mm", "type"),
    ("ride", "spacers_mm", [1] * 13, "/spacers_mm", "length"),
    ("ride", "spacers_mm", [1, NAN], "/spacers_mm/1", "finite"),
    ("ride", "corner", [], "/corner", "type"),
    ("ride", "corner", None, "/corner", "type"),
    ("ride", "corner", "truck", "/corner", "type"),
    ("damping_curve", "speeds_m_s", [], "/speeds_m_s", "length"),
    ("damping_curve", "speeds_m_s", [-0.1], "/speeds_m_s/0", "range"),
    ("damping_curve", "speeds_m_s", [0.1] * 10_001, "/speeds_m_s", "length"),
    ("damping_curve", "speeds_m_s", [[0.1]], "/speeds_m_s/0", "type"),
    ("equal_fall", "jump", "huge", "/jump", "choice"),
    ("equal_fall", "jump", None, "/jump", "type"),
    ("plan", "box.mix_oils", "yes", "/box/mix_oils", "type"),
    ("plan", "box.oils", [{"viscosity_cst": 300}] * 201, "/box/oils", "length"),
    ("plan", "use.surface", "mud", "/use/surface", "choice"),
    ("check", "size", "1:12", "/size", "choice"),
    ("check", "car.front.shock.fill.gas_ml", -1, "/car/front/shock/fill/gas_ml", "range"),
    ("convert", "value", "4 lb", "/value", "conversion"),
    ("convert", "value", "4 N*m", "/value", "conversion"),
    ("convert", "value", NAN, "/value", "finite"),
    ("convert", "value", None, "/value", "type"),
    ("convert", "to", "furlong", "/to", "conversion"),
    ("oil_viscosity", "oil", STEEP, "/oil/second_point/viscosity_cst", "consistent"),
    ("oil_viscosity", "oil.thinning", {"power_index": 0.5}, "/oil/thinning/relaxation_time_s", "missing_field"),
    ("oil_viscosity", "oil.thinning", {**THINNING, "power_index": 0}, "/oil/thinning/power_index", "range"),
    ("oil_viscosity", "oil.thinning", {**THINNING, "floor_share": 1.1}, "/oil/thinning/floor_share", "range"),
    ("oil_viscosity", "oil.thinning", SLOW, "/oil/thinning/relaxation_time_s", "range"),
    ("fill_check", "shock.fill", CROWDED, "/shock/fill/gas_ml", "consistent"),
    ("oil_viscosity", "temperature_c", 200, "/temperature_c", "range"),
]


def refused(name: str, request: Any) -> list[dict[str, Any]]:
    """Faults of a request that must be refused, as plain data."""
    with pytest.raises(InputError) as caught:
        libdamp.calculate(name, request)
    faults: list[dict[str, Any]] = msgspec.to_builtins(caught.value.faults)
    assert faults
    json.dumps(faults, allow_nan=False)
    for fault in faults:
        assert fault["rule"]
        assert len(fault["text"]) > 10
        assert fault["text"] in str(caught.value)
    return list(faults)


@pytest.mark.parametrize(
    ("name", "path", "value", "pointer", "rule"), ONE_FAULT, ids=[f"{c[1]}-{str(c[2])[:20]}" for c in ONE_FAULT]
)
def test_one_fault(name: str, path: str, value: Any, pointer: str, rule: str) -> None:
    """One bad value is one fault: place, rule, the value given, and a limit and unit where a range is left."""
    faults = refused(name, put(requests()[name], path, value))
    assert [(f["pointer"], f["rule"]) for f in faults] == [(pointer, rule)]
    if rule == "range":
        assert faults[0]["limit"]
        assert faults[0]["unit"]
        assert faults[0]["value"] is not None
    if rule in ("type", "finite", "choice", "text", "unit", "conversion", "fill_in", "length"):
        assert faults[0]["value"] is not None


def test_all_at_once() -> None:
    """Faults all over a car file are all reported in one go."""
    request = requests()["check"]
    bad = {
        "car.front.shock.bore_mm": -1,
        "car.front.spring": "4 lb",
        "car.rear.shock.oil": "30 wt",
        "car.rear.shock.piston.holes": [{"count": 0, "diameter_mm": "x"}],
        "car.rear.sprung_mass_g": None,
        "use.speed_m_s": "fast",
        "use.jmup": "big",
    }
    for path, value in bad.items():
        request = put(request, path, value)
    pointers = {f["pointer"] for f in refused("check", request)}
    assert pointers == {
        "/car/front/shock/bore_mm",
        "/car/front/spring",
        "/car/rear/shock/oil",
        "/car/rear/shock/piston/holes/0/count",
        "/car/rear/shock/piston/holes/0/diameter_mm",
        "/car/rear/sprung_mass_g",
        "/use/speed_m_s",
        "/use/jmup",
    }


@pytest.mark.parametrize(
    ("path", "nearest"),
    [
        ("corner.shock.bor_mm", "bore_mm"),
        ("corner.shock.piston.thicknes_mm", "thickness_mm"),
        ("corner.spring.rate_nmm", "rate_n_mm"),
        ("corner.preload", "preload_mm"),
        ("temperature", "temperature_c"),
    ],
)
def test_unknown_field_names_the_nearest(path: str, nearest: str) -> None:
    """A misspelt field is refused, and the field that was meant is named."""
    faults = refused("ride", put(requests()["ride"], path, 1))
    assert [f["rule"] for f in faults] == ["unknown_field"]
    assert f"did you mean '{nearest}'?" in faults[0]["text"]


@pytest.mark.parametrize(
    ("path", "rule"),
    [
        ("corner.shock", "missing_field"),
        ("corner.spring", "missing_field"),
        ("corner.shock.oil", "missing_field"),
        ("corner.shock.bore_mm", "incomplete"),
        ("corner.tyre.rate_n_mm", "incomplete"),
        ("corner.sprung_mass_g", "incomplete"),
    ],
)
def test_missing_field(path: str, rule: str) -> None:
    """A required field left out is named; it is `incomplete` where the size of the car would fill it."""
    request = requests()["ride"]
    inner: Any = request
    *steps, last = path.split(".")
    for step in steps:
        inner = inner[step]
    del inner[last]
    faults = refused("ride", request)
    assert [(f["pointer"], f["rule"]) for f in faults] == [("/" + path.replace(".", "/"), rule)]
    if rule == "incomplete":
        assert "to measure" in faults[0]["text"]


@pytest.mark.parametrize("request_", [None, 5, "ride", [], [("corner", 1)], b"", True, NAN])
def test_not_an_object(request_: Any) -> None:
    """A request that is no object is one fault at the top."""
    faults = refused("ride", request_)
    assert [(f["pointer"], f["rule"]) for f in faults] == [("", "type")]


@pytest.mark.parametrize("name", sorted(requests()))
def test_empty(name: str) -> None:
    """An empty request misses every required field."""
    assert {f["rule"] for f in refused(name, {})} <= {"missing_field", "incomplete"}


@pytest.mark.parametrize("levels", [25, 5000])
def test_deep(levels: int) -> None:
    """Deep nesting is refused, however deep."""
    deep: Any = {}
    for _ in range(levels):
        deep = {"corner": deep}
    assert refused("ride", deep)[0]["rule"] == "depth"
    nested: Any = []
    for _ in range(levels):
        nested = [nested]
    assert refused("damping_curve", {"shock": shock(), "speeds_m_s": nested})[0]["rule"] == "depth"


def test_itself_inside() -> None:
    """A request that holds itself is refused as too deep."""
    loop: dict[str, Any] = {}
    loop["corner"] = loop
    assert refused("ride", loop)[0]["rule"] == "depth"


def test_both_of_two_ways() -> None:
    """Two ways to give one thing are refused, not ranked."""
    both = {
        "corner.axle_g": 800,
        "corner.tyre.squash_mm": 2.4,
        "corner.shock.extended_in_use_mm": 84,
        "corner.shock.compressed_length_mm": 58,
        "corner.shock.fill.closing": "half",
    }
    for path, value in both.items():
        faults = refused("ride", put(requests()["ride"], path, value))
        assert [f["rule"] for f in faults] == ["either"], path
    warm = put({"car": requests()["check"]["car"], "use": USE}, "use.air_temperature_c", 20)
    assert [f["rule"] for f in refused("check", {**warm, "size": "1:10 truck"})] == ["either"]


def test_unknown_calculation() -> None:
    """A misspelt calculation names the nearest; the error is a LookupError too."""
    for call in (lambda: libdamp.calculate("rides", {}), lambda: libdamp.describe("rides")):
        with pytest.raises(UnknownCalculation, match="'ride'") as caught:
            call()
        assert isinstance(caught.value, LookupError)
    with pytest.raises(UnknownCalculation):
        libdamp.calculate("", {})


def test_too_costly() -> None:
    """A box with more builds than can be looked at is refused with the bound and what to leave out."""
    request = requests()["plan"]
    oils = [{"viscosity_cst": 100 + i} for i in range(200)]
    springs = [{"rate_n_mm": 0.3 + 0.001 * i} for i in range(200)]
    limiters = [0.1 * i for i in range(100)]
    box = {**request["box"], "oils": oils, "front_springs": springs, "limiters_mm": limiters}
    with pytest.raises(TooCostly, match="at most"):
        libdamp.calculate("plan", {**request, "box": box})


def test_typed_construction_refuses_the_same() -> None:
    """A Struct built, replaced or decoded is checked by the same rules, all its faults at once."""
    good = demo_corner("demo-truck.front").shock
    wrong = {"bore_mm": -1.0, "shaft_mm": NAN, "oil": "30 wt"}
    kept = {name: getattr(good, name) for name in good.__struct_fields__}
    for call in (
        lambda: libdamp.Shock(**{**kept, **wrong}),
        lambda: msgspec.structs.replace(good, **wrong),
    ):
        with pytest.raises(InputError) as caught:
            call()
        assert {(f.pointer, f.rule) for f in caught.value.faults} == {
            ("/bore_mm", "range"),
            ("/shaft_mm", "finite"),
            ("/oil", "text"),
        }
    with pytest.raises(InputError, match="less than"):
        msgspec.structs.replace(good, shaft_mm=11.0)
    with pytest.raises((InputError, msgspec.ValidationError), match="bore_mm"):
        msgspec.json.decode(_encoded(good), type=type(good))


def _encoded(good: libdamp.Shock) -> bytes:
    """The shock as JSON with a bore below zero."""
    return msgspec.json.encode(good).replace(b'"bore_mm":12.0', b'"bore_mm":-12.0')


def test_typed_calls_refuse_the_same() -> None:
    """A typed call with a bad number is the same InputError."""
    with pytest.raises(InputError) as caught:
        libdamp.ride(corner=demo_corner("demo-truck.front"), temperature_c=NAN)
    assert caught.value.faults[0].pointer == "/temperature_c"
    with pytest.raises(InputError):
        libdamp.ride(corner=corner(), temperature_c=500)  # type: ignore[arg-type]


def test_errors_travel() -> None:
    """An InputError is a ValueError and a DampError, and crosses a process boundary whole."""
    with pytest.raises(InputError) as caught:
        libdamp.calculate("ride", {})
    assert isinstance(caught.value, ValueError)
    assert isinstance(caught.value, libdamp.DampError)
    back = pickle.loads(pickle.dumps(caught.value))
    assert back.faults == caught.value.faults
    assert str(back) == str(caught.value)


def test_structs_are_frozen() -> None:
    """A model cannot be changed behind its checks."""
    shock_ = demo_corner("demo-truck.front").shock
    with pytest.raises(AttributeError):
        shock_.bore_mm = 5.0  # type: ignore[misc]


def test_strange_but_harmless() -> None:
    """Integers, numpy numbers, ordered dicts and tuples are read; a key that is no text is an unknown field."""
    request = requests()["damping_curve"]
    usual = libdamp.calculate("damping_curve", request)
    given = OrderedDict(request, speeds_m_s=np.array(request["speeds_m_s"]), temperature_c=np.int64(31))
    assert libdamp.calculate("damping_curve", given) == usual
    assert refused("damping_curve", {**request, 5: 1})[0]["rule"] == "unknown_field"
    assert all(math.isfinite(force) for force in usual["compression_n"])


def test_one_way_holes_are_explained() -> None:
    """Words for a direction in the short form of holes: the text says how to write a list, which is read."""
    text = put(corner(), "shock.piston.holes", "2x1.5; 2x0.6 rebound")
    with pytest.raises(libdamp.InputError) as caught:
        libdamp.calculate("ride", {"corner": text})
    (fault,) = caught.value.faults
    assert fault.pointer == "/corner/shock/piston/holes"
    one = '{"count": 2, "diameter_mm": 0.6, "direction": "rebound"}'
    assert f"[{one}]" in fault.text
    listed = put(corner(), "shock.piston.holes", [{"count": 2, "diameter_mm": 1.5}, json.loads(one)])
    answer = libdamp.calculate("ride", {"corner": listed})
    assert answer["damping_ratio_rebound"] < answer["damping_ratio_compression"]
