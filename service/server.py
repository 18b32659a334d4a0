"""The server: uvicorn with httptools, and a time limit for the head of a request."""

import asyncio
from http import HTTPStatus
from typing import Any

import uvicorn
from uvicorn.protocols.http.httptools_impl import HttpToolsProtocol

from .problems import MEDIA_TYPE, encoded, problem
from .settings import Settings, from_environment

GRACE_SECONDS = 10


class TimedProtocol(HttpToolsProtocol):
    """Closes a connection whose request line and headers are not complete in time, with status 408."""

    head_timer: asyncio.TimerHandle | None = None

    def connection_made(self, transport: Any) -> None:
        """Start the time for the first request."""
        super().connection_made(transport)
        self._start()

    def on_message_begin(self) -> None:
        """Start the time for a further request on the same connection."""
        self._stop()
        self._start()
        super().on_message_begin()

    def on_headers_complete(self) -> None:
        """The head is complete; the body has its own time."""
        self._stop()
        super().on_headers_complete()

    def connection_lost(self, exc: Exception | None) -> None:
        """Forget the time."""
        self._stop()
        super().connection_lost(exc)

    def _start(self) -> None:
        self.head_timer = self.loop.call_later(from_environment().read_seconds, self._too_slow)

    def _stop(self) -> None:
        if self.head_timer is not None:
            self.head_timer.cancel()
            self.head_timer = None

    def send_400_response(self, msg: str) -> None:  # noqa: ARG002 - the server's own words are not for clients
        """Answer bytes that are no request in the one shape of a problem."""
        self._refuse(400, "The request is not HTTP that can be read.")

    def _too_slow(self) -> None:
        self._refuse(408, "The head of the request was not complete in time.")

    def _refuse(self, status: int, detail: str) -> None:
        if self.transport.is_closing():
            return
        body = encoded(problem(status, detail))
        head = (
            f"HTTP/1.1 {status} {HTTPStatus(status).phrase}\r\ncontent-type: {MEDIA_TYPE}\r\n"
            f"content-length: {len(body)}\r\nconnection: close\r\n\r\n"
        )
        self.transport.write(head.encode() + body)
        self.transport.close()


def serve(settings: Settings) -> None:
    """Serve until a signal ends it; requests under way are finished."""
    package = __package__ or "service"
    uvicorn.run(
        f"{package}.app:served",
        factory=True,
        host=settings.host,
        port=settings.port,
        workers=settings.workers if settings.workers > 1 else None,
        http=f"{package}.server:TimedProtocol" if settings.workers > 1 else TimedProtocol,
        log_level="error",
        access_log=False,
        server_header=False,
        timeout_graceful_shutdown=GRACE_SECONDS,
        timeout_keep_alive=5,
    )
