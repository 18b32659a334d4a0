"""The plain door: numpy as floats, same bytes twice, same numbers typed, and nothing but answers or faults."""

import copy
import json
import math
from collections.abc import Iterator
from typing import Any

import msgspec
import numpy as np
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

import libdamp
from libdamp.calculations import CALCULATIONS, calculation_of, read_request
from libdamp.demo import NAMES, demo_data
from tests.answered import reaching, usual
from tests.drawn import examples
from tests.plain_requests import requests
from tests.reaching_requests import REACHES

NASTY: list[Any] = [
    None,
    True,
    False,
    0,
    -0.0,
    -1,
    1,
    2,
    5,
    12.0,
    1e-9,
    1e9,
    1e308,
    -1e308,
    5e-324,
    10**400,
    float("nan"),
    float("inf"),
    "",
    "?",
    "12",
    "4 lb",
    "4 N*m",
    "30 wt",
    "0.5 in",
    "1e999 mm",
    "2x1.7",
    "9" * 300,
    "bladder",
    "vented",
    "emulsion",
    "ratio",
    "arm",
    "loose",
    "1:10 truck",
    "\ud800",
    b"x",
    [],
    {},
    [[]],
    [1, 2, 3],
    {"kind": "vented"},
    {"kind": None},
    {"": {}},
    {"~/": 1},
    {1: 2},
    1j,
    object,
    np.float64("nan"),
    np.array([1.0, np.nan]),
    np.array(3.0),
    np.zeros((2, 2)),
]


def _numpy(value: Any) -> Any:
    """The same request in numpy's scalars and arrays."""
    if isinstance(value, dict):
        return {key: _numpy(inner) for key, inner in value.items()}
    if isinstance(value, list):
        numbers = value and all(isinstance(inner, int | float) for inner in value)
        return np.array(value) if numbers else [_numpy(inner) for inner in value]
    if isinstance(value, bool) or not isinstance(value, int | float):
        return value
    return np.float64(value) if isinstance(value, float) else np.int64(value)


LONG = {"plan", "changes", "compare"}
"""Calculations that take about a second or more."""


def _bytes(answer: Any) -> bytes:
    """Canonical JSON; a number that is not finite is an error."""
    return json.dumps(answer, sort_keys=True, allow_nan=False).encode()


@pytest.mark.parametrize("name", sorted(CALCULATIONS))
def test_numpy_in(name: str) -> None:
    """np.float64, np.int64 and arrays give the same bytes as floats, ints and lists; tuples too."""
    request = requests()[name]
    entry = calculation_of(name)
    plain = read_request(entry, request)
    assert read_request(entry, _numpy(request)) == plain
    assert read_request(entry, _tuples(request)) == plain
    if name not in LONG:
        assert _bytes(libdamp.calculate(name, _numpy(request))) == _bytes(usual(name))


def _tuples(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _tuples(inner) for key, inner in value.items()}
    return tuple(_tuples(inner) for inner in value) if isinstance(value, list) else value


def test_same_bytes_twice() -> None:
    """The same request gives the same bytes, whatever was asked between."""
    asked = requests()
    again = {name: _bytes(libdamp.calculate(name, asked[name])) for name in sorted(CALCULATIONS, reverse=True)}
    assert again == {name: _bytes(usual(name)) for name in CALCULATIONS}


@pytest.mark.parametrize("name", sorted(CALCULATIONS))
def test_typed_and_plain_agree(name: str) -> None:
    """The typed function gives the numbers of the plain door, bit for bit."""
    entry = calculation_of(name)
    asked, _ = read_request(entry, requests()[name])
    typed = getattr(libdamp, name)(**{field: getattr(asked, field) for field in asked.__struct_fields__})
    assert isinstance(typed, entry.answer)
    assert _bytes(msgspec.to_builtins(typed)) == _bytes(usual(name))


@pytest.mark.parametrize("name", sorted(CALCULATIONS))
def test_envelope(name: str) -> None:
    """Findings, assumptions, cautions and provenance are in every answer."""
    answer = usual(name)
    assert answer["provenance"]["version"] == libdamp.__version__
    assert answer["provenance"]["model_revision"] >= 1
    assert answer["cautions"][0] == "model_cars_only"
    assert isinstance(answer["findings"], list | tuple)
    assert isinstance(answer["assumed"], list | tuple)


def _fields(schema: Any, parts: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    """Every named field with its schema, through all parts."""
    for name, part in parts.items():
        for field, inner in part.get("properties", {}).items():
            yield f"{name}.{field}", inner
    yield from ((f".{field}", inner) for field, inner in schema.get("properties", {}).items())


def _is_number(schema: dict[str, Any]) -> bool:
    kinds = [schema, *schema.get("anyOf", ())]
    lists = [kind.get("items", {}) for kind in kinds if kind.get("type") == "array"]
    return any(isinstance(k, dict) and k.get("type") in ("number", "integer") for k in [*kinds, *lists])


def _annotated(schema: dict[str, Any]) -> bool:
    kinds = [schema, *schema.get("anyOf", ())]
    lists = [kind.get("items", {}) for kind in kinds if kind.get("type") == "array"]
    return any(isinstance(k, dict) and "x-unit" in k and k.get("description") for k in [*kinds, *lists])


FREE = {
    "ConvertRequest.value",
    "Provenance.model_revision",
    "Finding.value",
    "Finding.limit",
    "Assumed.value",
    "Fault.value",
}
"""Numbers whose unit stands beside them."""


@pytest.mark.parametrize("name", sorted(CALCULATIONS))
def test_describe_has_a_unit_for_every_number(name: str) -> None:
    """Each number of request and answer is described with its unit and meaning."""
    described = libdamp.describe(name)
    assert described["name"] == name
    assert described["meaning"]
    json.dumps(described, allow_nan=False)
    bare = [
        field
        for field, schema in _fields({}, described["parts"])
        if _is_number(schema) and not _annotated(schema) and field not in FREE
    ]
    assert not bare


@pytest.mark.parametrize("name", sorted(CALCULATIONS))
def test_describe_is_a_fresh_copy(name: str) -> None:
    """Changing what describe gave changes nothing for the next caller."""
    one = libdamp.describe(name)
    one["parts"].clear()
    assert libdamp.describe(name)["parts"]


@pytest.mark.parametrize("code", sorted(REACHES))
def test_answers_with_findings_are_finite(code: str) -> None:
    """An answer about an impossible set-up is JSON too: null, never not-a-number."""
    _bytes(reaching(code)[2])


def _paths(data: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Every place in nested data."""
    if path:
        yield path
    inner = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for key, value in inner:
        yield from _paths(value, (*path, key))


FILES = {name: demo_data(name) for name in NAMES}
PLACES = {name: sorted(_paths(data), key=str) for name, data in FILES.items()}


def _changed(data: Any, path: tuple[Any, ...], value: Any) -> None:
    """Replace or delete one place, where it still exists."""
    inner = data
    for step in path[:-1]:
        if not isinstance(inner, dict | list) or (isinstance(inner, dict) and step not in inner):
            return
        if isinstance(inner, list) and not (isinstance(step, int) and step < len(inner)):
            return
        inner = inner[step]
    last = path[-1]
    if isinstance(inner, list) and isinstance(last, int) and last < len(inner):
        inner[last] = value
    elif isinstance(inner, dict):
        if value is DELETE:
            inner.pop(last, None)
        else:
            inner[last] = value


DELETE = object()


def _answer_or_fault(name: str, request: Any) -> None:
    """An answer that is JSON, or an InputError (or TooCostly) whose faults are; nothing else."""
    try:
        answer = libdamp.calculate(name, request)
    except libdamp.InputError as error:
        answer = msgspec.to_builtins(error.faults)
    except libdamp.TooCostly as error:
        answer = str(error)
    assert len(answer) > 0
    _bytes(answer)


@settings(max_examples=examples(150))
@given(st.data())
def test_mutated_car_files(data: st.DataObject) -> None:
    """Demo files with a few places deleted or replaced: an answer or an InputError, never a traceback."""
    name = data.draw(st.sampled_from(sorted(FILES)))
    request = copy.deepcopy(FILES[name])
    for _ in range(data.draw(st.integers(1, 4))):
        path = data.draw(st.sampled_from(PLACES[name]))
        _changed(request, path, data.draw(st.sampled_from([DELETE, *NASTY])))
    _answer_or_fault("check", request)


@settings(max_examples=examples(20), phases=[Phase.explicit, Phase.reuse, Phase.generate])
@given(st.data())
def test_stretched_numbers(data: st.DataObject) -> None:
    """Demo files with numbers stretched and squeezed, most of them possible: an answer or an InputError.

    One in five is planned as well, from the parts on the car alone: a whole box takes seconds.
    """
    name = data.draw(st.sampled_from(sorted(FILES)))
    request = copy.deepcopy(FILES[name])
    for _ in range(data.draw(st.integers(1, 6))):
        path = data.draw(st.sampled_from([p for p in PLACES[name] if isinstance(_at(FILES[name], p), int | float)]))
        value = _at(FILES[name], path) * data.draw(st.sampled_from((0.0, 0.1, 0.5, 0.9, 1.1, 2.0, 5.0, -1.0)))
        _changed(request, path, value)
    _answer_or_fault("check", request)
    if data.draw(st.integers(0, 4)) == 4:
        request.pop("box", None)
        _answer_or_fault("plan", request)


def _at(data: Any, path: tuple[Any, ...]) -> Any:
    for step in path:
        data = data[step]
    return data


@settings(max_examples=examples(150))
@given(st.data())
def test_mutated_requests(data: st.DataObject) -> None:
    """The other calculations with a few places replaced: an answer or an InputError."""
    name = data.draw(st.sampled_from(sorted(set(CALCULATIONS) - LONG - {"check"})))
    request = copy.deepcopy(requests()[name])
    places = sorted(_paths(request), key=str)
    for _ in range(data.draw(st.integers(1, 3))):
        _changed(request, data.draw(st.sampled_from(places)), data.draw(st.sampled_from([DELETE, *NASTY])))
    _answer_or_fault(name, request)


_JSON = st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=8,
)


@given(st.sampled_from(sorted(CALCULATIONS)), st.data())
def test_any_json(name: str, data: st.DataObject) -> None:
    """Any JSON at all, with the request's own field names: an answer or an InputError."""
    fields = list(CALCULATIONS[name].request.__struct_fields__)
    request = data.draw(st.dictionaries(st.sampled_from([*fields, "size", "surface", "end"]), _JSON, max_size=4))
    _answer_or_fault(name, request)


def test_numbers_are_finite_and_plain() -> None:
    """Answers hold dicts, lists, texts, bools, ints and finite floats only."""
    allowed = (dict, list, tuple, str, bool, int, float, type(None))
    for name in requests():
        stack: list[Any] = [usual(name)]
        while stack:
            value = stack.pop()
            assert type(value) in allowed, (name, type(value))
            if isinstance(value, float):
                assert math.isfinite(value)
            stack += list(value.values()) if isinstance(value, dict) else []
            stack += list(value) if isinstance(value, list | tuple) else []
