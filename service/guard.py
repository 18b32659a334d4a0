"""An ASGI wrapper: length of the address, time to read, request id, security headers, one log line a request."""

import asyncio
import itertools
import json
import secrets
import sys
import time
from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any

from .cell_door import is_cell
from .problems import MEDIA_TYPE, encoded, problem

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

SECURITY = (
    (b"x-content-type-options", b"nosniff"),
    (b"x-frame-options", b"DENY"),
    (b"referrer-policy", b"no-referrer"),
    (
        b"content-security-policy",
        b"default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:; "
        b"connect-src 'self'; font-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
    ),
    (b"cache-control", b"no-store"),
)


class Guard:
    """Wraps the application."""

    def __init__(self, app: App, address_bytes: int, read_seconds: float, log: bool) -> None:
        self._app = app
        self._address_bytes = address_bytes
        self._read_seconds = read_seconds
        self._log = log
        self._prefix = secrets.token_hex(5)  # tells one process from another
        self._numbers = itertools.count(1)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one connection."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        request_id, started, status = f"{self._prefix}{next(self._numbers):06x}", time.perf_counter(), [0]
        own = [*SECURITY, (b"x-request-id", request_id.encode())]

        async def sending(message: Message) -> None:
            if message["type"] == "http.response.start":
                status[0] = message["status"]
                message["headers"] = [*message.get("headers", []), *own]
            await send(message)

        try:
            await self._serve(scope, receive, sending, status)
        finally:
            if self._log:
                self._line(scope, request_id, status[0], time.perf_counter() - started)

    async def _serve(self, scope: Scope, receive: Receive, send: Send, status: list[int]) -> None:
        length = len(scope.get("raw_path") or b"") + len(scope.get("query_string") or b"")
        if length > self._address_bytes:
            await refuse(scope, send, 414, f"The address is longer than {self._address_bytes} bytes.")
            return
        deadline = asyncio.get_running_loop().time() + self._read_seconds

        ended = [False]

        async def receiving() -> Message:
            if ended[0]:
                return await receive()
            try:
                async with asyncio.timeout_at(deadline):
                    message = await receive()
            except TimeoutError:
                raise SlowRequest from None
            if message["type"] == "http.disconnect":
                raise SlowRequest  # gone before its request was complete: no failure of the service
            ended[0] = not message.get("more_body", False)
            return message

        try:
            await self._app(scope, receiving, send)
        except SlowRequest:
            if not status[0]:
                await refuse(scope, send, 408, f"The request was not complete within {self._read_seconds:g} s.")

    def _line(self, scope: Scope, request_id: str, status: int, seconds: float) -> None:
        line = {
            "time": time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime()),
            "id": request_id,
            "method": scope["method"],
            "path": scope["path"][:200],
            "status": status,
            "ms": round(1e3 * seconds, 2),
        }
        sys.stdout.write(json.dumps(line) + "\n")
        sys.stdout.flush()


class SlowRequest(BaseException):  # not an Exception: no handler of the application may answer it
    """The client did not send its request in time."""


async def refuse(scope: Scope, send: Send, status: int, detail: str) -> None:
    """Answer a request without the application: a problem, or text where a cell asks."""
    if is_cell(scope["path"]):
        status, body, kind = 200, f"error: {detail}".encode(), b"text/plain; charset=utf-8"
    else:
        body, kind = encoded(problem(status, detail)), MEDIA_TYPE.encode()
    headers = [(b"content-type", kind), (b"content-length", str(len(body)).encode()), (b"connection", b"close")]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": b"" if scope["method"] == "HEAD" else body})
