"""The JSON door gives what the library gives, to the last bit, and takes what it takes."""

import json
from pathlib import Path
from typing import Any

import msgspec
import pytest
from litestar.testing import TestClient

import libdamp
from libdamp.calculations import CALCULATIONS
from libdamp.demo import NAMES, demo_corner, demo_data
from libdamp.packing import pack, unpack
from service.setups import setup_data
from tests.answered import reaching, usual
from tests.plain_requests import corner, put, requests, shock
from tests.reaching_requests import REACHES

EXAMPLES = Path(__file__).parents[2] / "openapi" / "examples"
ENDS = [f"{name}.{end}" for name in NAMES for end in ("front", "rear")]


def posted(client: TestClient[Any], name: str, request: Any) -> Any:
    """Answer of a calculation over HTTP."""
    answer = client.post(f"/v1/{name}", json=request)
    assert answer.status_code == 200, answer.text
    assert answer.headers["content-type"] == "application/json"
    return answer.json()


@pytest.mark.parametrize("name", sorted(CALCULATIONS))
def test_same_as_the_library(client: TestClient[Any], name: str) -> None:
    """Every calculation answers over HTTP what `calculate` gives."""
    assert posted(client, name, requests()[name]) == usual(name)


@pytest.mark.long
@pytest.mark.parametrize("code", sorted(REACHES))
def test_findings_travel(client: TestClient[Any], code: str) -> None:
    """An impossible or unusual set-up is an answer with its finding, the same as in the library."""
    name, request, answered = reaching(code)
    answer = posted(client, name, request)
    assert answer == answered
    assert code in {finding["code"] for finding in answer["findings"]}


DRAFTS: dict[str, tuple[str, dict[str, Any]]] = {
    "a shock of nothing": (
        "fill_check",
        {"size": "1:10 truck", "shock": {"oil": "325 cst", "piston": {"holes": "2x1.7"}}},
    ),
    "ten facts": ("check", {k: v for k, v in demo_data("demo-smallest").items() if k != "box"}),
    "a plan of ten facts": ("plan", demo_data("demo-smallest")),
    "the rear": (
        "damping_curve",
        {
            "size": "1:8 buggy",
            "end": "rear",
            "note": "from the bench",
            "speeds_m_s": [0.1],
            "shock": {
                "oil": "450 cst",
                "piston": {"holes": "6x1.3"},
                "fill": {"kind": "emulsion", "closing": "half"},
            },
        },
    ),
    "tyre by its squash": (
        "ride",
        {"corner": {**corner(), "tyre": {"squash_mm": 5, "loss_factor": 0.3}}, "temperature_c": 25},
    ),
}


@pytest.mark.parametrize("label", sorted(DRAFTS))
def test_drafts(client: TestClient[Any], label: str) -> None:
    """A draft with its size is completed, and what was assumed is listed as in the library."""
    name, draft = DRAFTS[label]
    answer = posted(client, name, draft)
    assert answer == libdamp.calculate(name, draft)
    assert bool(answer["assumed"]) == ("size" in draft)


@pytest.mark.parametrize(
    ("path", "text", "plain"),
    [
        ("spring", "0.38 N/mm", {"rate_n_mm": 0.38}),
        ("shock.oil", "325 cst", {"viscosity_cst": 325}),
        ("shock.piston.holes", "2x1.7+4x1", [{"count": 2, "diameter_mm": 1.7}, {"count": 4, "diameter_mm": 1}]),
        ("shock.bore_mm", "0.5 in", 12.7),
        ("sprung_mass_g", "0.3 kg", 300),
    ],
)
def test_texts_for_parts(client: TestClient[Any], path: str, text: str, plain: Any) -> None:
    """A text with its unit stands for the part or the number."""
    spoken, written = (posted(client, "ride", {"corner": put(corner(), path, value)}) for value in (text, plain))
    assert spoken == written


def test_counts_may_have_a_point(client: TestClient[Any]) -> None:
    """JSON knows one kind of number: 2.0 is a count of two; 2.5 is none."""
    whole, pointed, broken = (
        put({"shock": shock()}, "shock.piston.holes", [{"count": count, "diameter_mm": 1.7}])
        for count in (2, 2.0, 2.5)
    )
    assert posted(client, "fill_check", whole) == posted(client, "fill_check", pointed)
    answer = client.post("/v1/fill_check", json=broken)
    assert (answer.status_code, answer.json()["errors"][0]["rule"]) == (400, "integer")


@pytest.mark.parametrize(
    "kind",
    ["application/json; charset=utf-8", "APPLICATION/JSON", "application/vnd.car+json", " application/json "],
)
def test_content_types(client: TestClient[Any], kind: str) -> None:
    """JSON by any of its names is read."""
    body = json.dumps(requests()["oil_viscosity"]).encode()
    assert client.post("/v1/oil_viscosity", content=body, headers={"content-type": kind}).status_code == 200


def close(found: Any, wanted: Any, at: str = "") -> None:
    """Assert that two answers are the same, numbers to 1e-9 of their size."""
    if isinstance(wanted, dict):
        assert found.keys() == wanted.keys(), at
        for key in wanted:
            close(found[key], wanted[key], f"{at}/{key}")
    elif isinstance(wanted, list):
        assert len(found) == len(wanted), at
        for i, (one, other) in enumerate(zip(found, wanted, strict=True)):
            close(one, other, f"{at}/{i}")
    elif isinstance(wanted, float):
        assert found == pytest.approx(wanted, rel=1e-9, abs=1e-9), at
    else:
        assert found == wanted, at


@pytest.mark.parametrize("name", sorted(CALCULATIONS))
def test_worked_examples(client: TestClient[Any], name: str) -> None:
    """The worked requests that are published still give their answers, to 1e-9."""
    request, answer = (json.loads((EXAMPLES / f"{name}.{part}.json").read_text()) for part in ("request", "answer"))
    close(posted(client, name, request), answer)


def test_no_example_without_calculation() -> None:
    """Each published example belongs to a calculation, and each calculation has both halves."""
    wanted = {f"{name}.{part}.json" for name in CALCULATIONS for part in ("request", "answer")}
    assert {path.name for path in EXAMPLES.iterdir()} == wanted


@pytest.mark.parametrize("end", [end for end in ENDS if "smallest" not in end])
@pytest.mark.parametrize("kind", ["corner", "shock", "car"])
def test_token_there_and_back(client: TestClient[Any], end: str, kind: str) -> None:
    """POST /v1/setup packs as the library does; GET /v1/setup gives the same set-up back, readable."""
    data = demo_data(end.split(".", maxsplit=1)[0])["car"]
    plain = {"car": data, "corner": data[end.split(".")[1]], "shock": data[end.split(".")[1]]["shock"]}[kind]
    answer = client.post("/v1/setup", json={kind: plain})
    assert answer.status_code == 200
    token = answer.json()["setup"]
    setup = unpack(token)
    assert token == pack(setup)
    read = client.get("/v1/setup", params={"setup": token})
    assert read.status_code == 200
    again = client.post("/v1/setup", json=read.json())
    assert again.json()["setup"] == token
    fresh = msgspec.to_builtins(setup)
    assert client.post("/v1/setup", json={kind: fresh}).json()["setup"] == token


def test_token_of_a_draft(client: TestClient[Any]) -> None:
    """Other ways to give a thing are understood when a set-up is packed."""
    worded = put(corner(), "shock.fill", {"kind": "bladder", "gas_ml": 0.4, "closing": "half"})
    plain = put(corner(), "shock.fill", {"kind": "bladder", "gas_ml": 0.4, "closing_insertion_mm": 15})
    assert corner()["shock"]["stroke_mm"] == 30
    one, other = (client.post("/v1/setup", json={"corner": c}).json() for c in (worded, plain))
    assert one == other


@pytest.mark.parametrize("name", [*NAMES, *ENDS])
def test_bundled_names(client: TestClient[Any], name: str) -> None:
    """A bundled name gives its set-up, and the whole of it."""
    answer = client.get("/v1/setup", params={"setup": name})
    assert answer.status_code == 200
    car, _, end = name.partition(".")
    whole = demo_data(car)
    assert answer.json() == setup_data(name)
    assert (answer.json()["corner"] if end else answer.json()) == (whole["car"][end] if end else whole)


def test_bundled_data_cannot_be_changed() -> None:
    """What is handed out is a copy."""
    setup_data("demo-truck.front")["corner"]["spring"] = "0.1 N/mm"
    assert demo_corner("demo-truck.front").spring.rate_n_mm == 0.38
    assert setup_data("demo-truck.front")["corner"]["spring"] == demo_data("demo-truck")["car"]["front"]["spring"]


def test_catalogue(client: TestClient[Any]) -> None:
    """GET /v1 describes every calculation: fields, units, ranges, how to measure; findings and cautions once."""
    told = client.get("/v1").json()
    assert told["version"] == libdamp.__version__
    assert list(told["calculations"]) == list(CALCULATIONS)
    for name, one in told["calculations"].items():
        whole = libdamp.describe(name)
        assert {key: one[key] for key in ("request", "answer", "parts", "meaning")} == {
            key: whole[key] for key in ("request", "answer", "parts", "meaning")
        }
        assert told["findings"] == whole["findings"]
        assert told["cautions"] == whole["cautions"]
    bore = told["calculations"]["ride"]["parts"]["Shock"]["properties"]["bore_mm"]
    assert bore["x-unit"] == "mm"
    assert bore["minimum"] < bore["maximum"]
    assert bore["x-how-to-measure"]


def test_small_answers(client: TestClient[Any]) -> None:
    """The process is up, the pool is warm, the version is the library's."""
    assert client.get("/health").json() == {"status": "up"}
    assert client.get("/ready").json() == {"status": "ready"}
    version = client.get("/version").json()
    assert version == {"version": libdamp.__version__, "model_revision": version["model_revision"]}
    page = client.get("/docs")
    assert page.headers["content-type"].startswith("text/html")
    for word in ('src="', 'href="'):
        for part in page.text.split(word)[1:]:
            assert not part.startswith(("http", "//"))
