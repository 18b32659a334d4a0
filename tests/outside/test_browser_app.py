"""A page of another origin calls the service from a real browser: only when its origin is allowed."""

import contextlib
import json
import threading
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest

from libdamp.calculations import calculate
from service.examples import example_request

from .browser import opened
from .running import Service, started

pytestmark = pytest.mark.outside

PAGE = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>an app</title><link rel="icon" href="data:,"></head>
<body><p id="frequency"></p><p id="refused"></p><script>
const service = new URLSearchParams(location.search).get("service");
fetch(`${service}/v1/ride`, {
  method: "POST",
  headers: { "content-type": "application/json" },
  body: JSON.stringify(REQUEST),
}).then((response) => response.json()).then(
  (answer) => { document.getElementById("frequency").textContent = answer.frequency_hz; },
  (error) => { document.getElementById("refused").textContent = String(error); },
);
</script></body></html>
"""


class AppHandler(BaseHTTPRequestHandler):
    """Serves the page of an app."""

    def do_GET(self) -> None:
        """Answer with the page."""
        body = PAGE.replace("REQUEST", json.dumps(example_request("ride"))).encode()
        self.send_response(200)
        self.send_header("Content-Type", "text/html; charset=utf-8")
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, *_: Any) -> None:
        """Say nothing."""


@contextlib.contextmanager
def app_server() -> Iterator[str]:
    """Origin of a server of the page, on a port of its own."""
    with ThreadingHTTPServer(("127.0.0.1", 0), AppHandler) as server:
        thread = threading.Thread(target=server.serve_forever)
        thread.start()
        try:
            yield f"http://127.0.0.1:{server.server_port}"
        finally:
            server.shutdown()
            thread.join()


def shown(origin: str, service: Service, folder: Path, place: str) -> tuple[str, list[str]]:
    """Text that the app shows in a place, and what the browser complains of."""
    with opened(folder) as browser:
        browser.open(f"{origin}/?service={service.address}")
        browser.wait("[...document.querySelectorAll('p')].some((p) => p.textContent)")
        text: str = browser.value(f"document.getElementById('{place}').textContent")
        return text, browser.complaints()


def test_allowed_origin_shows_the_number(tmp_path: Path) -> None:
    """With its origin allowed, the app shows the library's number."""
    with (
        app_server() as origin,
        started(tmp_path / "log.txt", environment={"LIBDAMP_CORS_ORIGINS": origin}) as service,
    ):
        text, complaints = shown(origin, service, tmp_path, "frequency")
    assert float(text) == calculate("ride", example_request("ride"))["frequency_hz"]
    assert complaints == []


def test_other_origin_is_refused(tmp_path: Path) -> None:
    """An origin that is not in the list gets nothing."""
    setting = {"LIBDAMP_CORS_ORIGINS": "http://127.0.0.1:9"}
    with app_server() as origin, started(tmp_path / "log.txt", environment=setting) as service:
        text, complaints = shown(origin, service, tmp_path, "refused")
    assert "Failed to fetch" in text
    assert any("CORS" in complaint for complaint in complaints)


def test_without_the_setting_every_origin_is_refused(service: Service, tmp_path: Path) -> None:
    """Off unless set."""
    with app_server() as origin:
        text, complaints = shown(origin, service, tmp_path, "refused")
    assert "Failed to fetch" in text
    assert any("CORS" in complaint for complaint in complaints)
