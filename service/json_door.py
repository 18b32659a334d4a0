"""POST /v1/<calculation>, GET /v1, POST and GET /v1/setup."""

from typing import Any

import msgspec
from litestar import Request, Response, get, post
from litestar.handlers import HTTPRouteHandler

from libdamp import __version__
from libdamp.answers import CAUTIONS
from libdamp.calculations import CALCULATIONS, Calculation, describe, read_model
from libdamp.errors import Fault, InputError
from libdamp.findings import CATALOGUE
from libdamp.packing import PACKED, pack, unpack_data

from .pool import Pool
from .problems import MEDIA_TYPE, Refusal
from .setups import SetupRequest, setup_data
from .work import LARGE_BYTES, LONG, answer, as_object, decoded

JSON = "application/json"
AnyRequest = Request[Any, Any, Any]


def check_content_type(request: AnyRequest) -> None:
    """Refuse a body that does not say it is JSON.

    Raises
    ------
    Refusal : 415.
    """
    given = next((value for name, value in request.scope["headers"] if name == b"content-type"), b"")
    if given == b"application/json":
        return
    kind = given.decode("latin-1").split(";")[0].strip().lower()
    if kind != JSON and not (kind.startswith("application/") and kind.endswith("+json")):
        raise Refusal(415, f"The body must be {JSON}; its content type says '{kind[:60]}'.")


def calculation_route(entry: Calculation, pool: Pool) -> HTTPRouteHandler:
    """POST route of a calculation."""

    async def handler(request: AnyRequest) -> Response[bytes]:
        check_content_type(request)
        body = await request.body()
        if entry.name in LONG or len(body) > LARGE_BYTES:
            status, done = await pool.run(entry.name, body)
            return Response(done, status_code=status, media_type=JSON if status == 200 else MEDIA_TYPE)
        return Response(answer(entry.name, body), media_type=JSON)

    return post(f"/v1/{entry.name}", status_code=200, name=entry.name)(handler)


_CATALOGUE = msgspec.json.encode(
    {
        "version": __version__,
        "calculations": {name: describe(name) | {"findings": None, "cautions": None} for name in CALCULATIONS},
        "findings": {c: {"severity": e.severity, "unit": e.unit, "text": e.sentence} for c, e in CATALOGUE.items()},
        "cautions": CAUTIONS,
    }
)


@get("/v1", sync_to_thread=False)
def catalogue() -> Response[bytes]:
    """Everything there is: calculations with fields, units, ranges, how to measure; findings; cautions."""
    return Response(_CATALOGUE, media_type=JSON)


@post("/v1/setup", status_code=200)
async def make_setup(request: AnyRequest) -> Response[bytes]:
    """Token of a corner, a shock or a car."""
    check_content_type(request)
    asked, _ = read_model(SetupRequest, as_object(decoded(await request.body())))
    given = [value for name in PACKED if (value := getattr(asked, name)) is not None]
    if len(given) != 1:
        text = f"give one of {', '.join(PACKED)}"
        raise InputError([Fault(pointer="", rule="either", text=text)])
    return Response(msgspec.json.encode({"setup": pack(given[0])}), media_type=JSON)


@get("/v1/setup", sync_to_thread=False)
def read_setup(request: AnyRequest) -> Response[bytes]:
    """What a token or a bundled name stands for, readable."""
    tokens = request.query_params.getall("setup", [])
    if len(tokens) != 1:
        text = "setup: give one token, or a bundled name"
        raise InputError([Fault(pointer="/setup", rule="missing_field", text=text)])
    data = unpack_data(tokens[0]) if tokens[0].startswith("1.") else setup_data(tokens[0])
    return Response(msgspec.json.encode(data), media_type=JSON)
