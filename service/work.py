"""One calculation from bytes to bytes; run in line, or in a process of the pool."""

from typing import Any

import msgspec

from libdamp.assumed_tyre import with_assumed
from libdamp.calculations import CALCULATIONS, calculate, read_request
from libdamp.errors import DampError, Fault, InputError

from .problems import Refusal, encoded, problem_of

LONG = frozenset(
    {
        "bench_cycle",
        "bumps",
        "changes",
        "compare",
        "compare_shocks",
        "drop",
        "match",
        "plan",
        "push_release",
        "sweep",
        "tolerance",
        "touch_height",
    }
)
"""Calculations that go to the pool: above a few milliseconds."""

LARGE_BYTES = 8 * 1024
"""Bodies above this go to the pool too: long lists are long work."""

_DECODERS: dict[str, msgspec.json.Decoder[Any]] = {}


def decoded(body: bytes) -> Any:
    """Plain data of a JSON body.

    Raises
    ------
    Refusal : no JSON.
    """
    try:
        return msgspec.json.decode(body)
    except msgspec.DecodeError as error:
        raise Refusal(400, f"The body is not JSON: {error}") from None
    except (RecursionError, UnicodeDecodeError):
        raise Refusal(400, "The body is nested too deeply or is not UTF-8.") from None


def answer(name: str, body: bytes) -> bytes:
    """JSON answer to a JSON request.

    A complete request is decoded straight to its Struct; a draft, a text for a part, or a fault takes the plain
    door, which completes, reads, or lists everything that is wrong.

    Raises
    ------
    Refusal, DampError : with the reason.
    """
    entry = CALCULATIONS[name]
    decoder = _DECODERS.get(name)
    if decoder is None:
        decoder = _DECODERS[name] = msgspec.json.Decoder(entry.request)
    try:
        asked = decoder.decode(body)
    except (msgspec.DecodeError, RecursionError, UnicodeDecodeError):
        return msgspec.json.encode(calculate(name, as_object(decoded(body))))
    return msgspec.json.encode(entry.of(asked))


def answered(name: str, data: dict[str, Any]) -> Any:
    """Answer Struct to a request as plain data, the quick way where it is complete.

    Raises
    ------
    DampError : with the reason.
    """
    entry = CALCULATIONS[name]
    try:
        asked = msgspec.convert(data, entry.request)
    except msgspec.ValidationError:
        asked, assumed = read_request(entry, data)
        return with_assumed(entry.of(asked), assumed)
    return entry.of(asked)


def as_object(data: Any) -> dict[str, Any]:
    """Data that must be a JSON object.

    Raises
    ------
    InputError : it is none.
    """
    if not isinstance(data, dict):
        text = "the body must be a JSON object with the fields of the request"
        raise InputError([Fault(pointer="", rule="type", text=text)])
    return data


def answer_or_problem(name: str, body: bytes) -> tuple[int, bytes]:
    """Status and body of an answer; for the pool, so that nothing but bytes crosses over."""
    try:
        return 200, answer(name, body)
    except (Refusal, DampError) as error:
        found = problem_of(error)
        return found.status, encoded(found)
