"""Counters and times for Prometheus at /metrics; on by setting only (extra `metrics`)."""

import time

from prometheus_client import CONTENT_TYPE_LATEST, CollectorRegistry, Counter, Histogram, generate_latest

from .guard import App, Message, Receive, Scope, Send


class Metrics:
    """Wraps the application; labels are the first two steps of a path, so that there are few."""

    def __init__(self, app: App) -> None:
        self._app = app
        self._registry = CollectorRegistry()
        labels = ("method", "path", "status")
        self._count = Counter("libdamp_requests", "Requests answered.", labels, registry=self._registry)
        self._time = Histogram("libdamp_seconds", "Time to answer, s.", ("path",), registry=self._registry)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one connection."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        if scope["path"] == "/metrics":
            body = generate_latest(self._registry)
            headers = [(b"content-type", CONTENT_TYPE_LATEST.encode())]
            await send({"type": "http.response.start", "status": 200, "headers": headers})
            await send({"type": "http.response.body", "body": body})
            return
        started, status = time.perf_counter(), [0]

        async def sending(message: Message) -> None:
            if message["type"] == "http.response.start":
                status[0] = message["status"]
            await send(message)

        try:
            await self._app(scope, receive, sending)
        finally:
            path = "/".join(scope["path"].split("/")[:3]) if status[0] not in (404, 414) else "other"
            self._count.labels(scope["method"][:8], path[:40], str(status[0])).inc()
            self._time.labels(path[:40]).observe(time.perf_counter() - started)
