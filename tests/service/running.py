"""The service as a process of its own on a free port of loopback."""

import contextlib
import json
import os
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

ROOT = Path(__file__).parents[2]
PATIENCE = 40.0
"""Longest wait for anything, s."""


class Running(NamedTuple):
    """A running service."""

    process: subprocess.Popen[str]
    port: int

    def get(self, path: str) -> tuple[int, Any]:
        """Status and JSON of an address."""
        try:
            with urllib.request.urlopen(f"http://127.0.0.1:{self.port}{path}", timeout=PATIENCE) as answer:
                return answer.status, json.loads(answer.read())
        except urllib.error.HTTPError as error:
            with error:
                return error.code, json.loads(error.read())

    def post(self, path: str, body: Any) -> tuple[int, Any]:
        """Status and JSON of a POST."""
        asked = urllib.request.Request(
            f"http://127.0.0.1:{self.port}{path}", json.dumps(body).encode(), {"content-type": "application/json"}
        )
        with urllib.request.urlopen(asked, timeout=PATIENCE) as answer:
            return answer.status, json.loads(answer.read())

    def send(self, data: bytes) -> bytes:
        """Everything that is answered to some bytes, until the service closes the connection."""
        found = b""
        with socket.create_connection(("127.0.0.1", self.port), PATIENCE) as connection:
            connection.sendall(data)
            while piece := connection.recv(65536):
                found += piece
        return found


def free_port() -> int:
    """A port of loopback that nothing listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def command(*flags: str) -> list[str]:
    """Command that runs the service."""
    return [sys.executable, "-m", "service", *flags]


@contextlib.contextmanager
def running(*flags: str, **settings: str) -> Iterator[Running]:
    """A service with some flags and settings of the environment, ready; ended at the end, whatever happens."""
    port = free_port()
    environment = {**os.environ, **{f"LIBDAMP_{name.upper()}": value for name, value in settings.items()}}
    process = subprocess.Popen(
        command("--port", str(port), *flags),
        cwd=ROOT,
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    made = Running(process, port)
    try:
        wait_until_ready(made)
        yield made
    finally:
        if process.poll() is None:
            process.send_signal(signal.SIGKILL)
        process.communicate(timeout=PATIENCE)


def wait_until_ready(service: Running) -> None:
    """Wait until the service takes long work.

    Raises
    ------
    AssertionError : it ended, or was not ready in time.
    """
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end:
        assert service.process.poll() is None, service.process.communicate()
        with contextlib.suppress(OSError):
            if service.get("/ready")[0] == 200:
                return
        time.sleep(0.05)
    raise AssertionError("not ready in time")


def children(pid: int) -> set[int]:
    """Processes that a process started, theirs too (Linux)."""
    found: set[int] = set()
    for folder in Path("/proc").glob("[0-9]*"):
        with contextlib.suppress(OSError, IndexError):
            parent = int((folder / "stat").read_text().rsplit(")", 1)[1].split()[1])
            if parent == pid:
                found |= {int(folder.name)} | children(int(folder.name))
    return found
