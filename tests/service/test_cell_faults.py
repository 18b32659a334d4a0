"""What a cell says of faults, guards and whatever else may stand in an address: a text, never a failure."""

from typing import Any
from urllib.parse import urlencode

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st
from litestar.testing import TestClient

from libdamp.calculations import CALCULATIONS
from libdamp.findings import CATALOGUE
from service import cell_door
from service.app import create_app
from service.settings import Settings
from tests.service.asgi import Answered, asked
from tests.service.test_cells import CURVE, JUMP, OIL, TOKEN, bare, cell
from tests.service.test_problems import guarded

FAULTS: dict[str, tuple[str, str, str]] = {
    "no output asked": ("ride", f"setup={TOKEN}", "error: only: say which output: "),
    "nearest output": ("oil_viscosity", "oil.viscosity_cst=9&only=viscosity", "error: "),
    "nearest parameter": (
        "oil_viscosity",
        urlencode({**OIL, "oil.viscosity": "3"}),
        "error: oil.viscosity: unknown parameter; did you mean 'oil.viscosity_cst'?",
    ),
    "bare leaf": ("fill_check", "bore_mm=12&only=oil_ml", "error: bore_mm: unknown parameter; did you mean"),
    "given twice": ("oil_viscosity", urlencode(OIL) + "&temperature_c=1", "error: temperature_c: is given twice"),
    "word for a number": ("oil_viscosity", urlencode({**OIL, "temperature_c": "warm"}), "error: temperature_c: "),
    "another dimension": ("oil_viscosity", urlencode({**OIL, "temperature_c": "5 mm"}), "error: temperature_c: "),
    "out of range": (
        "oil_viscosity",
        urlencode({**OIL, "oil.viscosity_cst": "-1"}),
        "error: oil.viscosity_cst: viscosity_cst = -1",
    ),
    "nan": ("oil_viscosity", urlencode({**OIL, "temperature_c": "nan"}), "error: temperature_c: "),
    "infinite": ("oil_viscosity", urlencode({**OIL, "temperature_c": "inf"}), "error: temperature_c: "),
    "1e999": ("oil_viscosity", urlencode({**OIL, "temperature_c": "1e999"}), "error: temperature_c: "),
    "label": (
        "fill_check",
        f"setup={TOKEN}&oil.viscosity_cst=30wt&only=oil_ml",
        "error: shock.oil.viscosity_cst: ",
    ),
    "missing": ("oil_viscosity", "oil.viscosity_cst=325&only=viscosity_cst", "error: temperature_c: "),
    "impossible together": (
        "fill_check",
        f"setup={TOKEN}&shock.shaft_mm=8.9&shock.bore_mm=9&only=oil_ml",
        "error: ",
    ),
    "unknown kind": ("fill_check", f"setup={TOKEN}&fill.kind=gas&only=oil_ml", "error: shock.fill.kind: "),
    "no such place": ("damping_curve", urlencode({**CURVE, "only": "compression_n.2"}), "error: only: "),
    "no such place at all": ("damping_curve", urlencode({**CURVE, "only": "compression_n.x"}), "error: only: "),
    "place before the first": ("damping_curve", urlencode({**CURVE, "only": "compression_n.-1"}), "error: only: "),
    "a whole list": ("damping_curve", urlencode({**CURVE, "only": "compression_n"}), "error: only: "),
    "an empty list": ("oil_viscosity", urlencode({**OIL, "only": "findings.0"}), "error: only: "),
    "several values": ("check", "setup=demo-truck&only=front", "error: only: 'front' holds several values; "),
    "deeper than it goes": ("oil_viscosity", urlencode({**OIL, "only": "viscosity_cst.0"}), "error: only: "),
    "unknown set-up": ("ride", "setup=demo-truck.fron&only=frequency_hz", "error: setup: "),
    "cut token": ("ride", f"setup={TOKEN[:-3]}&only=frequency_hz", "error: setup: "),
    "unknown calculation": (
        "rides",
        "only=frequency_hz",
        "error: unknown calculation 'rides'; did you mean 'ride'?",
    ),
    "deeper path": ("ride/x", "only=frequency_hz", "error: unknown calculation 'ride/x'"),
    "no calculation": ("", "only=frequency_hz", "error: "),
    "bytes that are no text": ("equal_fall", "%ff=%fe&only=%fd", "error: "),
    "long work, out of range": (
        "plan",
        "setup=demo-truck&front.spring.rate_n_mm=-1&only=builds",
        "error: car.front.spring.rate_n_mm: rate_n_mm = -1",
    ),
}


@pytest.mark.parametrize("label", sorted(FAULTS))
def test_faults_are_text(client: TestClient[Any], label: str) -> None:
    """A fault is status 200 and one line: error, the parameter, why."""
    name, query, start = FAULTS[label]
    text = cell(client, name, query)
    assert text.startswith(start), text
    assert "went wrong" not in text


def test_too_costly(small: TestClient[Any]) -> None:
    """Too much work is a text that names the bound."""
    text = cell(small, "plan", "setup=demo-truck&only=builds")
    assert text.startswith("error: ")
    assert "at most 50" in text


@pytest.mark.parametrize("method", ["POST", "PUT", "PATCH", "DELETE"])
def test_wrong_method(client: TestClient[Any], method: str) -> None:
    """A method that a cell does not take is a text too."""
    answer = client.request(method, "/v1/cell/ride", content=b"x")
    text = bare(answer.text, answer.status_code, answer.headers["content-type"])
    assert text.startswith("error: This address does not take that method")


def text_of(answer: Answered) -> str:
    """Text of a cell answered without a socket."""
    return bare(answer.body.decode(), answer.status, answer.headers["content-type"])


def test_guards_are_text() -> None:
    """An address too long, a body that does not end and a fault of the program are texts with status 200."""
    long = asked(guarded(), "GET", "/v1/cell/ride", query="v=" + "a" * 4096)
    assert text_of(long) == "error: The address is longer than 4096 bytes."
    slow = asked(guarded(0.05), "POST", "/v1/cell/ride", pieces=(b"",), complete=False)
    assert text_of(slow).startswith("error: ")


def test_fault_of_the_program(monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture) -> None:
    """A fault of the program tells nothing of the inside, and is logged."""

    async def broken(*_: object) -> str:
        raise ZeroDivisionError("secret")

    monkeypatch.setattr(cell_door, "cell", broken)
    text = text_of(asked(create_app(Settings()), "GET", "/v1/cell/ride"))  # type: ignore[arg-type]
    assert text.startswith("error: Something went wrong in the service")
    assert any("secret" in (record.exc_text or "") for record in caplog.records)


@pytest.mark.parametrize("name", [*sorted(CALCULATIONS), "nope"])
def test_head_computes_nothing(monkeypatch: pytest.MonkeyPatch, client: TestClient[Any], name: str) -> None:
    """HEAD is 200 without a body, whatever is asked, and nothing is read or computed."""
    called: list[object] = []
    monkeypatch.setattr(cell_door, "cell", lambda *a: called.append(a))
    monkeypatch.setattr(cell_door, "calculation_of", lambda *a: called.append(a))
    for query in ("", f"?setup={TOKEN}&only=x", "?zzz=1"):
        answer = client.head(f"/v1/cell/{name}{query}")
        assert (answer.status_code, answer.content, called) == (200, b"", [])
    assert client.options(f"/v1/cell/{name}").status_code < 300


PARTS = st.one_of(
    st.sampled_from(
        [*OIL, *CURVE, *JUMP, "fill.kind", "oil.label", "spring.rate_n_mm", "dec", "v", "size", "only"]
    ),
    st.sampled_from([n for entry in CALCULATIONS.values() for n in entry.answer.__struct_fields__]),
    st.sampled_from(
        [TOKEN, "demo-truck.front", "0,1:0.2", "1E 021", "2x1.7 4x1", "-0", "9" * 400, "null", "[]", "1:10 truck"]
    ),
    st.text(max_size=12),
    st.floats().map(repr),
)
QUERIES = st.one_of(
    st.lists(st.tuples(PARTS, PARTS), max_size=6).map(urlencode),
    st.text(st.characters(min_codepoint=32, max_codepoint=126), max_size=60),
)


@given(name=st.sampled_from([n for n in CALCULATIONS if n != "plan"]), query=QUERIES)
def test_any_query_is_answered(client: TestClient[Any], name: str, query: str) -> None:
    """Whatever a cell asks, it gets one line of text: a number, a word, or an error, never a failure."""
    query = query.replace("#", "")
    answer = asked(client.app, "GET", f"/v1/cell/{name}", query=query)  # type: ignore[arg-type]
    assert "went wrong" not in text_of(answer)


@given(data=st.data())
def test_any_override_is_answered(client: TestClient[Any], data: st.DataObject) -> None:
    """Any value at any address of a set-up gives a number or a reason."""
    name = data.draw(st.sampled_from(["check", "ride", "damping_curve", "fill_check"]))
    known = cell_door.NAMES_OF_CELLS[name]
    values = st.one_of(PARTS, st.floats(0, 1000).map(repr))
    changed = data.draw(st.dictionaries(st.sampled_from(known), values, min_size=1, max_size=3))
    base = {"setup": "demo-truck" if name == "check" else TOKEN, "speeds_m_s": "0.1"}
    if name != "damping_curve":
        del base["speeds_m_s"]
    query = urlencode({**base, **changed, "only": data.draw(st.sampled_from(["findings", "cautions.0"]))})
    text = text_of(asked(client.app, "GET", f"/v1/cell/{name}", query=query))  # type: ignore[arg-type]
    assert "went wrong" not in text
    assert text.startswith("error: ") or set(text.split()) <= {"ok", "model_cars_only", *CATALOGUE}


def test_longest_documented_address() -> None:
    """Every published address of a cell stays below the 2,000 characters that spreadsheets carry."""
    names = [len(max(own, key=len)) for own in cell_door.NAMES_OF_CELLS.values()]
    base = "http://127.0.0.1:8000/v1/cell/oil_for_temperature?setup=&only=front.ride.damping_ratio_compression"
    assert len(base) + len(TOKEN) + 10 * (max(names) + 20) < 2000
    assert len(msgspec.json.encode(TOKEN)) < 212
