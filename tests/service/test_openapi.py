"""The description of the service: generated, current, valid, whole, and kind to clients of the last release."""

import copy
import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from litestar.testing import TestClient
from openapi_spec_validator import OpenAPIV31SpecValidator

from libdamp.calculations import CALCULATIONS
from service.cell_door import NAMES_OF_CELLS
from service.openapi import document, written
from tests.service.breaking import FOLDER, RELEASED, breaks, main, read

ROOT = FOLDER.parent
DOCUMENT = read(FOLDER, "openapi.json")

NO_UNIT = {
    "Assumed.value": "the unit stands beside it",
    "Finding.value": "the unit stands beside it",
    "Finding.limit": "the unit stands beside it",
    "ProblemError.value": "the unit stands beside it",
    "ProblemError.limit": "the unit stands beside it",
    "Problem.status": "a status",
    "Provenance.model_revision": "a revision",
    "Provenance.switches": "settings of the model",
    "ConvertRequest.value": "the unit stands beside it",
}
"""Numbers of the description that carry no unit of their own, and why."""


def test_current() -> None:
    """The committed file is, byte for byte, what is generated."""
    assert (FOLDER / "openapi.json").read_text(encoding="utf-8") == written(document())


@pytest.fixture(scope="module")
def generated(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """All generated files, written twice by fresh interpreters that order their sets differently."""
    folders = []
    for seed in ("1", "2"):
        folder = tmp_path_factory.mktemp(f"seed{seed}")
        shutil.copyfile(FOLDER / "cell_names.json", folder / "cell_names.json")
        subprocess.run(
            [sys.executable, "-m", "service", "--write-openapi", str(folder)],
            check=True,
            cwd=ROOT,
            env={**os.environ, "PYTHONHASHSEED": seed},
            timeout=120,
        )
        folders.append(folder)
    return folders


def files(folder: Path) -> dict[str, bytes]:
    """Content of every file below a folder."""
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


@pytest.mark.long
def test_same_bytes_from_any_run(generated: list[Path]) -> None:
    """Two runs write the same bytes, the committed ones; only answers may differ elsewhere by a last digit."""
    first, second = map(files, generated)
    assert first == second
    for name, content in first.items():
        committed = (FOLDER / name).read_bytes()
        assert committed == content or name.endswith(".answer.json"), name
    assert len(first) == 2 + 2 * len(CALCULATIONS)


def test_served_is_the_file(client: TestClient[Any]) -> None:
    """The address /openapi.json serves the committed description."""
    assert client.get("/openapi.json").json() == DOCUMENT


def test_valid() -> None:
    """The description keeps to OpenAPI 3.1."""
    assert [error.message for error in OpenAPIV31SpecValidator(DOCUMENT).iter_errors()] == []


def inner(schema: Any) -> Iterator[dict[str, Any]]:
    """A schema and all that stand in it, but not those of its named fields."""
    if isinstance(schema, dict):
        yield schema
        for key in ("anyOf", "items", "additionalProperties"):
            within = schema.get(key, ())
            for one in within if isinstance(within, list) else (within,):
                yield from inner(one)


def test_every_number_has_its_unit() -> None:
    """Each number of each component names its unit, but for a short list with reasons."""
    found = set()
    for name, component in DOCUMENT["components"]["schemas"].items():
        for field, schema in component.get("properties", {}).items():
            forms = list(inner(schema))
            numbers = [one for one in forms if one.get("type") in ("number", "integer")]
            if numbers and not any("x-unit" in one for one in forms):
                found.add(f"{name}.{field}")
    assert found == set(NO_UNIT)


def references(data: Any) -> set[str]:
    """Components that something refers to."""
    return set(re.findall(r'"#/components/schemas/([^"]+)"', json.dumps(data)))


def test_every_component_is_used() -> None:
    """Each component is reached from a path, and nothing refers to one that is not there."""
    schemas = DOCUMENT["components"]["schemas"]
    reached = todo = references(DOCUMENT["paths"])
    while todo:
        todo = references([schemas[name] for name in todo]) - reached
        reached = reached | todo
    assert reached == set(schemas)


def test_every_route_is_described(client: TestClient[Any]) -> None:
    """The described addresses are those of the application, methods included."""
    described = {(path, m.upper()) for path, methods in DOCUMENT["paths"].items() for m in methods}
    served = {
        (route.path, method)
        for route in client.app.routes  # type: ignore[attr-defined]
        for method in getattr(route, "methods", ())
        if method != "OPTIONS"
    }
    cells = {(f"/v1/cell/{name}", method) for name in CALCULATIONS for method in ("GET", "HEAD")}
    pages = {("/docs", "GET"), ("/openapi.json", "GET")}
    generic = {(path, method) for path, method in served if "{" in path}
    assert described - cells == served - generic - pages


def test_every_operation_is_told_whole() -> None:
    """Each operation has a name of its own, a summary, a tag that is explained, and problems of one shape."""
    tags = {tag["name"] for tag in DOCUMENT["tags"] if tag["description"]}
    names = []
    for path, methods in DOCUMENT["paths"].items():
        for operation in methods.values():
            names.append(operation["operationId"])
            assert operation["summary"]
            assert operation["description"]
            assert set(operation["tags"]) <= tags
            problems = {s: r for s, r in operation["responses"].items() if s[0] in "45"}
            for response in problems.values():
                schema = response["content"]["application/problem+json"]["schema"]
                assert schema == {"$ref": "#/components/schemas/Problem"}
            if path.startswith("/v1/cell/"):
                assert set(problems) <= {"408"}  # a head that does not end is no cell yet
    assert len(set(names)) == len(names)


def test_names_of_cells() -> None:
    """A published address of a cell stays, in its place; new ones are appended; each one works."""
    released, present = read(RELEASED, "cell_names.json"), read(FOLDER, "cell_names.json")
    for name, known in released.items():
        assert present[name][: len(known)] == known
    for name, known in present.items():
        assert set(known) == set(NAMES_OF_CELLS[name])
        assert len(set(known)) == len(known)
    assert set(present) == set(NAMES_OF_CELLS)


def test_nothing_breaks() -> None:
    """Clients of the released description can use the present one."""
    assert breaks(read(RELEASED, "openapi.json"), DOCUMENT) == []


Change = Callable[[dict[str, Any]], Any]


def _part(document: dict[str, Any], name: str) -> Any:
    return document["components"]["schemas"][name]


def _field(document: dict[str, Any], name: str, field: str) -> Any:
    return _part(document, name)["properties"][field]


BREAKING: dict[str, Change] = {
    "path gone": lambda d: d["paths"].pop("/v1/ride"),
    "method gone": lambda d: d["paths"]["/v1/setup"].pop("post"),
    "operation renamed": lambda d: d["paths"]["/v1/ride"]["post"].update(operationId="rides"),
    "parameter gone": lambda d: d["paths"]["/v1/cell/ride"]["get"]["parameters"].pop(0),
    "parameter required": lambda d: d["paths"]["/v1/cell/ride"]["get"]["parameters"][0].update(required=True),
    "response field gone": lambda d: _part(d, "Ride")["properties"].pop("frequency_hz"),
    "response field uncertain": lambda d: _part(d, "Ride")["required"].remove("frequency_hz"),
    "response unit changed": lambda d: _field(d, "Ride", "frequency_hz").update({"x-unit": "1/min"}),
    "request field gone": lambda d: _part(d, "Shock")["properties"].pop("seat_offset_mm"),
    "field now required": lambda d: _part(d, "Piston")["required"].append("label"),
    "enum value gone": lambda d: _field(d, "RideRequest", "size")["enum"].pop(),
    "lower bound tightened": lambda d: _field(d, "Shock", "bore_mm").update(minimum=9),
    "upper bound tightened": lambda d: _field(d, "Shock", "bore_mm").update(maximum=12),
    "bound new": lambda d: _field(d, "Piston", "holes").update(maxItems=1) or _arm_of(d)[0].update(maxItems=1),
    "unit changed": lambda d: _field(d, "Shock", "bore_mm").update({"x-unit": "in"}),
    "union arm gone": lambda d: _field(d, "Shock", "fill")["anyOf"].pop(),
    "text arm gone": lambda d: _arm_of(d).pop(),
    "default changed": lambda d: _field(d, "RideRequest", "temperature_c").update(default=20.0),
    "default gone": lambda d: _field(d, "RideRequest", "temperature_c").pop("default"),
    "media type changed": lambda d: d["paths"]["/v1/ride"]["post"]["responses"]["200"].update(content={}),
    "status gone": lambda d: d["paths"]["/v1/ride"]["post"]["responses"].pop("422"),
}


def _arm_of(document: dict[str, Any]) -> Any:
    """Forms in which the holes of a piston may be given."""
    return _field(document, "Piston", "holes")["anyOf"]


HARMLESS: dict[str, Change] = {
    "path new": lambda d: d["paths"].update({"/v1/new": d["paths"]["/v1/ride"]}),
    "optional field new": lambda d: _part(d, "Shock")["properties"].update(
        new_mm={"type": "number", "x-unit": "mm"}
    ),
    "answer field new": lambda d: _part(d, "Ride")["properties"].update(new_mm={"type": "number", "x-unit": "mm"}),
    "enum value new": lambda d: _field(d, "RideRequest", "size")["enum"].append("1:4 truck"),
    "bound loosened": lambda d: _field(d, "Shock", "bore_mm").update(minimum=0.1, maximum=1e3),
    "bound dropped": lambda d: _field(d, "Shock", "bore_mm").pop("maximum"),
    "requirement dropped": lambda d: _part(d, "RideRequest")["required"].clear(),
    "arm new": lambda d: _arm_of(d).append({"type": "boolean"}),
    "words changed": lambda d: _field(d, "Shock", "bore_mm").update(description="inner diameter"),
    "parameter new": lambda d: d["paths"]["/v1/cell/ride"]["get"]["parameters"].append(
        {"name": "new", "in": "query", "schema": {"type": "string"}}
    ),
}


@pytest.mark.parametrize("label", sorted(BREAKING))
def test_what_breaks_is_seen(label: str) -> None:
    """A change that breaks a client is told."""
    changed = copy.deepcopy(DOCUMENT)
    BREAKING[label](changed)
    assert changed != DOCUMENT
    assert breaks(DOCUMENT, changed) != []


@pytest.mark.parametrize("label", sorted(HARMLESS))
def test_what_does_not_break_is_let_pass(label: str) -> None:
    """An addition breaks nobody."""
    changed = copy.deepcopy(DOCUMENT)
    HARMLESS[label](changed)
    assert changed != DOCUMENT
    assert breaks(DOCUMENT, changed) == []


def test_command(capsys: pytest.CaptureFixture[str]) -> None:
    """The comparison is a command, too."""
    assert main([]) == 0
    assert capsys.readouterr().out == ""
