"""GET /v1/cell/<calculation>: one number as text, for a spreadsheet's cell; always status 200.

A spreadsheet throws away the body of every status from 400 up, so every fault, guards included, is text:
`error: <parameter>: <why>`.
"""

import re
from collections.abc import Mapping
from typing import Any
from urllib.parse import parse_qsl

import msgspec
from litestar import Request, Response, get, head
from litestar.handlers import HTTPRouteHandler
from litestar.params import FromPath

from libdamp.addresses import addresses, field_value, put
from libdamp.calculations import CALCULATIONS, Calculation, calculation_of
from libdamp.checked import Keyed, nodes
from libdamp.errors import DampError, Fault, InputError
from libdamp.plain import nearest

from .pool import Pool
from .problems import Refusal, problem_of
from .setups import base_request
from .work import LONG, answered

RESERVED = ("only", "form", "head", "dec", "v", "base", "app", "lang", "setup", "size", "surface")
"""Parameters that are no field of a request."""
PLAIN = "text/plain"
PREFIX = "/v1/cell"
AnyRequest = Request[Any, Any, Any]


def is_cell(path: str) -> bool:
    """Tell whether a path is a cell's, which answers nothing but text with status 200."""
    return f"{path}/".startswith(f"{PREFIX}/")


def error_text(error: BaseException) -> str:
    """One line for a cell: the parameter and why."""
    if isinstance(error, InputError):
        fault = error.faults[0]
        more = f" (and {len(error.faults) - 1} more)" if len(error.faults) > 1 else ""
        place = fault.pointer.strip("/").replace("/", ".") or "request"
        text = f"{place}: {fault.text}{more}"
    elif isinstance(error, (DampError, Refusal)):
        text = str(error)
    else:
        text = problem_of(error).detail
    return "error: " + " ".join(text.split())


def parameters(query: str) -> dict[str, str]:
    """Parameters of an address; empty ones are not given.

    Raises
    ------
    InputError : one is given twice.
    """
    found: dict[str, str] = {}
    for name, value in parse_qsl(query, keep_blank_values=True, errors="replace"):
        key = name.strip()
        if not value.strip():
            continue
        if key in found:
            raise refused(key, "is given twice")
        found[key] = value.strip()
    return found


def refused(parameter: str, why: str) -> InputError:
    """A fault of a parameter of the address."""
    return InputError([Fault(pointer=f"/{parameter}", rule="parameter", text=why)])


def plain_request(entry: Calculation, given: Mapping[str, str]) -> dict[str, Any]:
    """Plain request of an address.

    Raises
    ------
    InputError : an unknown parameter, with the nearest name.
    """
    known = addresses(entry.request)
    for name in given:
        if name not in known and name not in RESERVED:
            raise refused(name[:60], f"unknown parameter; {nearest(name, [*known, *RESERVED])}")
    data = base_request(entry, given["setup"]) if "setup" in given else {}
    for name in ("size", "surface"):
        if name in given:
            data[name] = given[name]
    for name, text in given.items():
        if name in known and name not in ("size", "surface"):
            put(data, name, field_value(_whole(text), name, entry.request), entry.request)
    return data


def _whole(text: str) -> str:
    """A parameter with the '+' of an exponent, which arrives as a blank, put back: '1E 021'."""
    return re.sub(r"(?<=[\d.,][eE]) (?=\d)", "+", text)


def _names(value: Any) -> list[str]:
    """Names inside an answer, whether a Struct or plain data."""
    return list(value.__struct_fields__) if isinstance(value, msgspec.Struct) else list(value)


def _step(value: Any, step: str, only: str) -> Any:
    """One step of a path into an answer."""
    if isinstance(value, (msgspec.Struct, Mapping)):
        names = _names(value)
        if step not in names:
            raise refused("only", f"no output '{only[:60]}'; {nearest(step, names)}")
        return getattr(value, step) if isinstance(value, msgspec.Struct) else value[step]
    if isinstance(value, (list, tuple)):
        if not step.isascii() or not step.isdigit() or int(step[:9]) >= len(value):
            raise refused("only", f"'{only[:60]}': the list has places 0 to {len(value) - 1}")
        return value[int(step)]
    raise refused("only", f"'{only[:60]}' goes deeper than the output")


def pick(answer: Any, only: str) -> Any:
    """Output of a path: `force_n.3`, `energy.gas_j`; `findings` as codes.

    Raises
    ------
    InputError : no such output, with the nearest name; or null, with the reason.
    """
    findings = _step(answer, "findings", only)
    if only == "findings":
        return " ".join(dict.fromkeys(_step(f, "code", only) for f in findings)) or "ok"
    value: Any = answer
    for step in only.split("."):
        value = None if value is None else _step(value, step, only)
    if value is None:
        why = "; ".join(_step(f, "text", only) for f in findings) or "it does not exist for this set-up"
        raise refused(only[:60], f"no value: {why}")
    if isinstance(value, (list, tuple)):
        raise refused("only", f"'{only[:60]}' is a list of {len(value)}; add a place: {only[:60]}.0")
    if isinstance(value, (msgspec.Struct, Mapping)):
        raise refused("only", f"'{only[:60]}' holds several values; add one of: {', '.join(_names(value)[:24])}")
    return value


def cell_text(value: Any, comma: bool) -> str:
    """Value as a cell's text: numbers bare with a point, bool 1 or 0, text as is."""
    if isinstance(value, bool):
        return "1" if value else "0"
    if isinstance(value, (int, float)):
        text = repr(value)
        return text.replace(".", ",") if comma else text
    return str(value)


async def cell(entry: Calculation, query: str, pool: Pool) -> str:
    """Text of a cell.

    Raises
    ------
    InputError, DampError, Refusal : with the reason.
    """
    given = parameters(query)
    if any(isinstance(node, Keyed) for node in nodes(entry.request).values()):
        instead = f"POST it to /v1/{entry.name}, or give each value its own cell of that calculation"
        raise refused("request", f"a cell cannot carry a request of another calculation: {instead}")
    if given.get("dec", ".") not in (".", ","):
        raise refused("dec", "must be '.' or ','")
    if "only" not in given:
        names = ", ".join(entry.answer.__struct_fields__)
        raise refused("only", f"say which output: {names}")
    data = plain_request(entry, given)
    if entry.name in LONG:
        status, done = await pool.run(entry.name, msgspec.json.encode(data))
        found = msgspec.json.decode(done)
        if status != 200:
            raise Refusal(status, _first_reason(found))
    else:
        found = answered(entry.name, data)
    return cell_text(pick(found, given["only"]), given.get("dec") == ",")


def _first_reason(problem: Mapping[str, Any]) -> str:
    """Place and text of a problem's first fault, or its detail."""
    errors = problem.get("errors") or [{"pointer": "", "detail": problem["detail"]}]
    place = str(errors[0]["pointer"]).strip("/").replace("/", ".") or "request"
    return f"{place}: {errors[0]['detail']}"


def text_response(text: str) -> Response[str]:
    """Answer of a cell route."""
    return Response(text, media_type=PLAIN, status_code=200)


def cell_routes(pool: Pool) -> list[HTTPRouteHandler]:
    """GET and HEAD of every cell, known or not."""

    async def handler(request: AnyRequest, name: FromPath[str]) -> Response[str]:
        try:
            entry = calculation_of(name.strip("/"))
            query = request.scope["query_string"].decode("ascii", "replace")
            return text_response(await cell(entry, query, pool))
        except Exception as error:
            if not isinstance(error, (DampError, Refusal)):
                request.app.state.log_failure(error)
            return text_response(error_text(error))

    async def nothing(name: FromPath[str]) -> None:  # noqa: ARG001 - HEAD computes nothing
        return None

    path = f"{PREFIX}/{{name:path}}"
    return [get(path)(handler), head(path)(nothing)]


NAMES_OF_CELLS = {name: list(addresses(entry.request)) for name, entry in CALCULATIONS.items()}
