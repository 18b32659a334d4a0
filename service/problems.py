"""One problem body for every fault (RFC 9457), whatever the status."""

from http import HTTPStatus
from typing import Any

import msgspec

from libdamp.errors import DampError, Fault, InputError, TooCostly, UnknownCalculation

MEDIA_TYPE = "application/problem+json"

MISFIT_RULES = frozenset(
    {"type", "unit", "range", "finite", "integer", "choice", "length"}
    | {"unknown_field", "missing_field", "depth", "fill_in"}
)
"""Rules of the published schema: a request that breaks one gets 400; one that only breaks others gets 422."""


class ProblemError(msgspec.Struct, frozen=True, kw_only=True):
    """One fault of a request."""

    pointer: str
    rule: str
    value: str | float | None
    limit: str | float | None
    unit: str | None
    detail: str


class Problem(msgspec.Struct, frozen=True, kw_only=True):
    """What every status of 400 and up answers."""

    type: str = "about:blank"
    title: str
    status: int
    detail: str
    errors: tuple[ProblemError, ...] = ()


class Refusal(Exception):  # noqa: N818 - a refusal with its status, not a fault of the program
    """A request that is not answered, with status and reason."""

    def __init__(self, status: int, detail: str, retry_after: int | None = None) -> None:
        super().__init__(detail)
        self.status = status
        self.detail = detail
        self.retry_after = retry_after


def problem(status: int, detail: str, faults: tuple[Fault, ...] = ()) -> Problem:
    """Problem of a status."""
    try:
        title = HTTPStatus(status).phrase
    except ValueError:
        title = "Error"
    errors = tuple(
        ProblemError(pointer=f.pointer, rule=f.rule, value=f.value, limit=f.limit, unit=f.unit, detail=f.text)
        for f in faults
    )
    return Problem(title=title, status=status, detail=detail, errors=errors)


def problem_of(error: BaseException) -> Problem:
    """Problem of an exception."""
    if isinstance(error, InputError):
        status = 400 if any(f.rule in MISFIT_RULES for f in error.faults) else 422
        what = "does not fit the schema" if status == 400 else "fits the schema but not together"
        return problem(status, f"The request {what}: {len(error.faults)} fault(s).", error.faults)
    if isinstance(error, TooCostly):
        return problem(422, str(error), (Fault(pointer="", rule="too_costly", text=str(error)),))
    if isinstance(error, UnknownCalculation):
        return problem(404, str(error))
    if isinstance(error, Refusal):
        return problem(error.status, error.detail)
    if isinstance(error, DampError):
        return problem(422, str(error))
    status = getattr(error, "status_code", 500)
    if not isinstance(status, int) or status >= 500:
        return problem(500, "Something went wrong in the service; the request id is in the log.")
    return problem(status, _plain_words(status, error))


def _plain_words(status: int, error: BaseException) -> str:
    words = {
        404: "There is nothing at this address; GET /v1 lists what there is.",
        405: "This address does not take that method; GET /v1 lists what there is.",
        413: "The body is too large.",
    }
    return words.get(status, str(getattr(error, "detail", "")) or "The request cannot be read.")


def headers_of(error: BaseException) -> dict[str, str]:
    """Headers that go with an exception's problem."""
    if isinstance(error, Refusal) and error.retry_after is not None:
        return {"retry-after": str(error.retry_after)}
    own: Any = getattr(error, "headers", None)
    return {k: v for k, v in own.items() if k.lower() == "allow"} if isinstance(own, dict) else {}


def encoded(value: Problem) -> bytes:
    """Bytes of a problem."""
    return msgspec.json.encode(value)
