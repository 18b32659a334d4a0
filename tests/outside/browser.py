"""A headless Chromium of its own, driven over its debugging pipe; its network log tells every address it asked.

The full browser asks its maker's hosts for the time, for updates and for accounts by itself (the flags stop most of
it, and names other than this machine's are not looked up); the headless shell is the same engine without these.
"""

import base64
import contextlib
import json
import os
import select
import subprocess
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from .tools import program

FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--disable-dev-shm-usage",
    "--no-first-run",
    "--no-default-browser-check",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--window-size=1280,1600",
    "--remote-debugging-pipe",
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1",
)
FULL = "chromium"
SHELL = "chromium-headless-shell"
WEB = ("http", "https", "ws", "wss", "ftp")


class Browser:
    """One page of a running browser."""

    def __init__(self, process: subprocess.Popen[bytes], orders: int, answers: int) -> None:
        self.process = process
        self.events: list[dict[str, Any]] = []
        self._orders, self._answers = orders, answers
        self._number, self._rest, self._session = 0, b"", ""
        target = self.call("Target.createTarget", url="about:blank")["targetId"]
        self._session = self.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Network", "Runtime", "Log"):
            self.call(f"{domain}.enable")

    def call(self, method: str, **parameters: Any) -> dict[str, Any]:
        """Result of one order; what happens meanwhile is kept in `events`."""
        self._number += 1
        order: dict[str, Any] = {"id": self._number, "method": method, "params": parameters}
        if self._session:
            order["sessionId"] = self._session
        os.write(self._orders, json.dumps(order).encode() + b"\0")
        end = time.monotonic() + 60
        while True:
            message = self._message(end)
            if message.get("id") == self._number:
                assert "error" not in message, message
                result: dict[str, Any] = message["result"]
                return result
            self.events.append(message)

    def _message(self, end: float) -> dict[str, Any]:
        while b"\0" not in self._rest:
            ready, _, _ = select.select([self._answers], [], [], max(0.0, end - time.monotonic()))
            got = os.read(self._answers, 1 << 16) if ready else b""
            if not got:
                raise AssertionError("Chromium did not answer in time, or has ended.")
            self._rest += got
        text, _, self._rest = self._rest.partition(b"\0")
        message: dict[str, Any] = json.loads(text)
        return message

    def open(self, address: str) -> None:
        """Go to an address."""
        self.call("Page.navigate", url=address)

    def value(self, script: str) -> Any:
        """Value of an expression in the page."""
        found = self.call("Runtime.evaluate", expression=script, returnByValue=True, awaitPromise=True)
        assert "exceptionDetails" not in found, found
        return found["result"].get("value")

    def wait(self, script: str, seconds: float = 30) -> Any:
        """Value of an expression once it is true."""
        end = time.monotonic() + seconds
        while not (found := self.value(script)):
            assert time.monotonic() < end, f"not true within {seconds:g} s: {script}\n{self.complaints()}"
            time.sleep(0.1)
        return found

    def picture(self, path: Path) -> None:
        """Write a picture of the page."""
        path.write_bytes(base64.b64decode(self.call("Page.captureScreenshot", format="png")["data"]))

    def requested(self) -> list[str]:
        """Addresses that the page asked for."""
        sent = [e["params"] for e in self.events if e.get("method") == "Network.requestWillBeSent"]
        return [parameters["request"]["url"] for parameters in sent]

    def complaints(self) -> list[str]:
        """Errors and warnings of the console, refusals of the content policy included."""
        found = []
        for event in self.events:
            inner = event.get("params", {})
            entry = inner.get("entry", {})
            if event.get("method") == "Log.entryAdded" and entry["level"] in ("error", "warning"):
                found.append(f"{entry['text']} {entry.get('url', '')}")
            elif event.get("method") == "Runtime.exceptionThrown":
                found.append(str(inner["exceptionDetails"]))
            elif event.get("method") == "Runtime.consoleAPICalled" and inner["type"] in ("error", "warning"):
                found.append(str(inner["args"]))
        return found


@contextlib.contextmanager
def opened(folder: Path, name: str = FULL) -> Iterator[Browser]:
    """A browser with a profile of its own; ended at the end, its network log is then complete."""
    path = program(name)
    to_browser, orders = os.pipe()
    answers, from_browser = os.pipe()
    flags = (*FLAGS, f"--user-data-dir={folder / 'profile'}", f"--log-net-log={folder / 'net.json'}")
    line = f'exec "$0" "$@" 3<&{to_browser} 4>&{from_browser}'
    with (folder / "chromium.txt").open("wb") as log:
        process = subprocess.Popen(
            ["bash", "-c", line, path, *flags],
            pass_fds=(to_browser, from_browser),
            stdout=log,
            stderr=log,
        )
    os.close(to_browser)
    os.close(from_browser)
    try:
        browser = Browser(process, orders, answers)
        yield browser
        browser._session = ""
        with contextlib.suppress(AssertionError, OSError):
            browser.call("Browser.close")
        process.wait(20)
    finally:
        if process.poll() is None:
            process.kill()
            process.wait()
        os.close(orders)
        os.close(answers)


def hosts_asked(folder: Path) -> dict[str, set[str]]:
    """Hosts of the browser's network log: asked by pages, asked by anybody, and connected to."""
    log = json.loads((folder / "net.json").read_text(encoding="utf-8"))
    names = {number: name for name, number in log["constants"]["logEventTypes"].items()}
    found: dict[str, set[str]] = {"pages": set(), "all": set(), "connections": set()}
    for event in log["events"]:
        kind, inner = names[event["type"]], event.get("params", {})
        parts = urlsplit(inner.get("url", ""))
        if kind == "URL_REQUEST_START_JOB" and parts.scheme in WEB:
            found["all"].add(parts.hostname or "")
            if inner.get("initiator", "").startswith(WEB):
                found["pages"].add(parts.hostname or "")
        elif kind == "TCP_CONNECT_ATTEMPT" and "address" in inner:
            found["connections"].add(inner["address"].rpartition(":")[0])
    return found
