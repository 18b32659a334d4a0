"""A client that speaks ASGI to an application directly: no socket, no thread, any message in any order."""

import asyncio
from collections.abc import MutableMapping
from typing import Any, NamedTuple

from service.guard import App

Message = MutableMapping[str, Any]


class Answered(NamedTuple):
    """What an application answered."""

    status: int
    headers: dict[str, str]
    body: bytes


def scope(method: str, path: str, query: str = "", headers: dict[str, str] | None = None) -> dict[str, Any]:
    """Scope of a request on loopback."""
    return {
        "type": "http",
        "asgi": {"version": "3.0", "spec_version": "2.3"},
        "http_version": "1.1",
        "method": method,
        "scheme": "http",
        "path": path,
        "raw_path": path.encode(),
        "query_string": query.encode(),
        "root_path": "",
        "headers": [(b"host", b"x"), *((k.encode(), v.encode()) for k, v in (headers or {}).items())],
        "client": ("127.0.0.1", 1),
        "server": ("127.0.0.1", 8000),
    }


async def ask(
    app: App,
    method: str,
    path: str,
    *,
    query: str = "",
    headers: dict[str, str] | None = None,
    pieces: tuple[bytes, ...] = (b"",),
    complete: bool = True,
) -> Answered:
    """Answer of an application; an incomplete request leaves its last piece unsent for ever."""
    left = [
        {"type": "http.request", "body": piece, "more_body": not complete or i + 1 < len(pieces)}
        for i, piece in enumerate(pieces)
    ]
    sent: list[Message] = []

    async def receive() -> Message:
        if left:
            return left.pop(0)
        await asyncio.Event().wait()
        raise AssertionError("never")

    async def send(message: Message) -> None:
        sent.append(message)

    await asyncio.wait_for(app(scope(method, path, query, headers), receive, send), 20)
    start, *rest = sent
    own = {name.decode().lower(): value.decode() for name, value in start["headers"]}
    return Answered(start["status"], own, b"".join(m.get("body", b"") for m in rest))


def asked(app: App, method: str, path: str, **more: Any) -> Answered:
    """Answer of an application, on an event loop of its own."""
    return asyncio.run(ask(app, method, path, **more))
