"""The OpenAPI description: paths from the list of calculations, schemas from libdamp."""

import json
from importlib.resources import files
from typing import Any

import msgspec

from libdamp import __version__
from libdamp.calculations import CALCULATIONS, Calculation
from libdamp.schemas import Schema, published

from .examples import example_request, setup_example
from .problems import MEDIA_TYPE, Problem
from .setups import SetupRequest

TEMPLATE = "#/components/schemas/{name}"
REFUSALS = {
    "400": "The body cannot be read or does not fit the schema; every fault is listed.",
    "405": "The address does not take that method.",
    "408": "The request was not complete in time.",
    "413": "The body is too large.",
    "414": "The address is too long.",
    "415": "The body is not said to be JSON.",
    "422": "The body fits the schema, but its values are impossible together, or too much work.",
    "500": "A fault of the service.",
    "503": "Busy, or the work took too long; Retry-After says when to ask again.",
}
TAGS = (
    ("calculations", "Every calculation of the library, JSON in and JSON out."),
    ("cells", "One number as text, for a spreadsheet's cell; always status 200."),
    ("setups", "A set-up as a short text token and back."),
    ("service", "What there is, and whether it runs."),
)


def _refusals(*codes: str) -> Schema:
    found: Schema = {}
    for code in codes:
        found[code] = {
            "description": REFUSALS[code],
            "content": {MEDIA_TYPE: {"schema": {"$ref": TEMPLATE.format(name="Problem")}}},
        }
        if code == "503":
            found[code]["headers"] = {
                "Retry-After": {"description": "Seconds to wait.", "schema": {"type": "integer"}}
            }
    return found


def _json(schema: Schema, example: Any = None) -> Schema:
    media: Schema = {"schema": schema}
    if example is not None:
        media["example"] = example
    return {"application/json": media}


def _calculation(entry: Calculation, request: Schema, answer: Schema) -> Schema:
    summary = entry.meaning[0].upper() + entry.meaning[1:]
    return {
        "post": {
            "operationId": entry.name,
            "tags": ["calculations"],
            "summary": summary,
            "description": (entry.function.__doc__ or "").split("\n\n")[0].strip(),
            "requestBody": {"required": True, "content": _json(request, example_request(entry.name))},
            "responses": {
                "200": {
                    "description": "The answer; an impossible set-up is an answer with findings.",
                    "content": _json(answer),
                },
                **_refusals("400", "405", "408", "413", "414", "415", "422", "500", "503"),
            },
        }
    }


def _query(name: str, text: str, schema: Schema, *, required: bool = False, example: str | None = None) -> Schema:
    parameter: Schema = {"name": name, "in": "query", "required": required, "description": text, "schema": schema}
    if example is not None:
        parameter["example"] = example
    return parameter


def _cell(entry: Calculation) -> Schema:
    word: Schema = {"type": "string", "maxLength": 200}
    text = {
        "200": {
            "description": "A bare number or text, or `error: ...`.",
            "content": {"text/plain": {"schema": {"type": "string"}}},
        },
        **_refusals("408"),
    }
    parameters = [
        _query("only", "Which output: `frequency_hz`, `force_n.3`, `front.ride.frequency_hz`, `findings`.", word),
        _query("setup", "A bundled name or a token to start from.", {"type": "string", "maxLength": 4000}),
        _query("dec", "Decimal mark of the answer, '.' unless ','.", word),
        _query("v", "Ignored; change it to ask again.", word),
        _query("size", "Size of the car, lets gaps be assumed.", word),
        _query("surface", "Surface, lets the use be assumed.", word),
    ]
    note = (
        "Further parameters are addresses of the request's fields, `oil.viscosity_cst`, `piston.holes`; "
        "`openapi/cell_names.json` lists them. A value may carry a unit; '1,5' is read as '1.5'; an empty value "
        "is not given."
    )
    return {
        "get": {
            "operationId": f"cell_{entry.name}",
            "tags": ["cells"],
            "summary": f"One output of {entry.name} as text",
            "description": note,
            "parameters": parameters,
            "responses": text,
        },
        "head": {
            "operationId": f"cell_{entry.name}_head",
            "tags": ["cells"],
            "summary": "Nothing is computed",
            "description": "Spreadsheets ask this before they ask for the cell.",
            "responses": {"200": {"description": "Always."}, **_refusals("408")},
        },
    }


def _plain(operation: str, tag: str, summary: str, schema: Schema, *codes: str, **more: Any) -> Schema:
    """A GET without a body."""
    responses = {"200": {"description": "The answer.", "content": _json(schema)}, **_refusals(*codes)}
    return {
        "get": {
            "operationId": operation,
            "tags": [tag],
            "summary": summary,
            "description": f"{summary}.",
            "responses": responses,
            **more,
        }
    }


def _setup_paths(setup_request: Schema) -> Schema:
    token = {"type": "object", "properties": {"setup": {"type": "string"}}, "required": ["setup"]}
    read = _plain(
        "read_setup",
        "setups",
        "What a token or a bundled name stands for",
        {"type": "object"},
        "400",
        "405",
        "414",
        "422",
        "500",
        parameters=[
            _query(
                "setup",
                "The token, or a bundled name.",
                {"type": "string", "maxLength": 4000},
                required=True,
                example="demo-truck.front",
            )
        ],
    )
    make = {
        "operationId": "make_setup",
        "tags": ["setups"],
        "summary": "Token of a corner, a shock or a car",
        "description": "The token holds all data; the service keeps nothing. Give one of the three.",
        "requestBody": {"required": True, "content": _json(setup_request, setup_example())},
        "responses": {
            "200": {"description": "The token.", "content": _json(token)},
            **_refusals("400", "405", "408", "413", "414", "415", "422", "500"),
        },
    }
    return {"/v1/setup": {**read, "post": make}}


def document() -> Schema:
    """The whole description, as plain data."""
    requests = {name: entry.request for name, entry in CALCULATIONS.items()}
    answers = {name: entry.answer for name, entry in CALCULATIONS.items()}
    asked, given, components = published({**requests, "setup": SetupRequest}, answers, TEMPLATE)
    problems = msgspec.json.schema_components((Problem,), ref_template=TEMPLATE)[1]
    paths: Schema = {}
    for name, entry in CALCULATIONS.items():
        paths[f"/v1/{name}"] = _calculation(entry, asked[name], given[name])
        paths[f"/v1/cell/{name}"] = _cell(entry)
    words: Schema = {"type": "object", "additionalProperties": {"type": "string"}}
    paths |= {
        "/v1": _plain("catalogue", "service", "Everything there is", {"type": "object"}, "405", "500"),
        **_setup_paths(asked["setup"]),
        "/health": _plain("health", "service", "Whether the process is up", words, "405"),
        "/ready": _plain("ready", "service", "Whether long work can be taken", words, "405", "503"),
        "/version": _plain("version", "service", "Version of library and model", {"type": "object"}, "405"),
    }
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "libdamp",
            "version": __version__,
            "summary": "Choose, build and tune oil-filled coil-over shocks of radio-controlled model cars.",
            "description": "Model cars only, nothing that carries or protects people. The service keeps no state.",
            "license": {"name": "MIT", "identifier": "MIT"},
            "contact": {"name": "libdamp"},
        },
        "servers": [
            {"url": "/", "description": "Where this description was read."},
            {"url": "http://127.0.0.1:8000", "description": "This machine."},
        ],
        "security": [{}],
        "tags": [{"name": name, "description": text} for name, text in TAGS],
        "paths": dict(sorted(paths.items())),
        "components": {"schemas": dict(sorted({**components, **problems}.items()))},
    }


def written(data: Any) -> str:
    """Text of generated JSON: sorted, indented, a newline at the end."""
    return json.dumps(data, indent=1, sort_keys=True, ensure_ascii=False) + "\n"


def static_text(name: str) -> str:
    """A text of the static folder."""
    return files(__package__ or "service").joinpath("static", name).read_text(encoding="utf-8")
