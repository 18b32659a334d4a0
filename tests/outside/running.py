"""A real service in a process of its own, found again by a mark in its environment, and plain requests to it."""

import contextlib
import http.client
import json
import os
import signal
import socket
import subprocess
import sys
import time
import uuid
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from .tools import ROOT

MARK = "LIBDAMP_TEST_MARK"
HOST = "127.0.0.1"


class Answer(NamedTuple):
    """What came back."""

    status: int
    kind: str
    body: bytes
    headers: dict[str, str]

    @property
    def data(self) -> Any:
        """Body as JSON."""
        return json.loads(self.body)


def free_port() -> int:
    """A loopback port that nobody listens on."""
    with socket.socket() as probe:
        probe.bind((HOST, 0))
        port: int = probe.getsockname()[1]
        return port


def processes_with(mark: str) -> list[int]:
    """Process ids that carry the mark, whoever their parent is; ended ones are not counted."""
    found = []
    for folder in Path("/proc").glob("[0-9]*"):
        with contextlib.suppress(OSError):
            if f"{MARK}={mark}".encode() in (folder / "environ").read_bytes():
                found.append(int(folder.name))
    return found


def asked(port: int, method: str, path: str, data: Any = None, seconds: float = 30, **headers: str) -> Answer:
    """One request on a connection of its own."""
    body = data if data is None or isinstance(data, bytes) else json.dumps(data).encode()
    if body is not None:
        headers.setdefault("Content-Type", "application/json")
    connection = http.client.HTTPConnection(HOST, port, timeout=seconds)
    with contextlib.closing(connection):
        connection.request(method, path, body, headers)
        with connection.getresponse() as response:
            return read(response)


def read(response: http.client.HTTPResponse) -> Answer:
    """Whole answer of a response."""
    body = response.read()
    headers = {name.lower(): value for name, value in response.getheaders()}
    return Answer(response.status, headers.get("content-type", ""), body, headers)


class Service:
    """A started service."""

    def __init__(
        self,
        log: Path,
        module: str = "service",
        python: str = sys.executable,
        cwd: Path = ROOT,
        environment: Mapping[str, str] | None = None,
        flags: Sequence[str] = ("--quiet",),
        expected: str = "",
    ) -> None:
        self.expected = expected  # a line that the log may hold
        self.port = free_port()
        self.mark = uuid.uuid4().hex
        self.log = log
        self.address = f"http://{HOST}:{self.port}"
        with log.open("wb") as output:
            self.process = subprocess.Popen(
                [python, "-m", module, "--port", str(self.port), *flags],
                cwd=cwd,
                env={**os.environ, MARK: self.mark, **(environment or {})},
                stdout=output,
                stderr=subprocess.STDOUT,
            )

    def wait_ready(self, seconds: float = 60) -> None:
        """Wait until long work can be taken."""
        end = time.monotonic() + seconds
        while time.monotonic() < end and self.process.poll() is None:
            with contextlib.suppress(OSError, http.client.HTTPException):
                if asked(self.port, "GET", "/ready", seconds=5).status == 200:
                    return
            time.sleep(0.1)
        raise AssertionError(f"The service did not start: {self.log.read_text(errors='replace')}")

    def terminate(self) -> None:
        """Ask it to end."""
        self.process.send_signal(signal.SIGTERM)

    def check_end(self, seconds: float = 30) -> None:
        """Assert that it ends by itself, cleanly, without a word, and that nothing is left of it."""
        try:
            code = self.process.wait(seconds)
        except subprocess.TimeoutExpired:
            raise AssertionError(f"The service did not end within {seconds:g} s.") from None
        assert code in (0, -signal.SIGTERM, 128 + signal.SIGTERM), f"exit code {code}"
        end = time.monotonic() + 5
        while (left := processes_with(self.mark)) and time.monotonic() < end:
            time.sleep(0.1)
        assert not left, f"processes left behind: {left}"
        lines = self.log.read_text(errors="replace").splitlines()
        said = [line for line in lines if line != self.expected]
        assert not said, "\n".join(said[-40:])

    def kill(self) -> None:
        """End whatever is left, for a test that failed."""
        for number in processes_with(self.mark):
            with contextlib.suppress(ProcessLookupError):
                os.kill(number, signal.SIGKILL)
        self.process.wait(10)


@contextlib.contextmanager
def started(log: Path, **how: Any) -> Iterator[Service]:
    """A service that is ready, ended by SIGTERM at the end; its end is checked when the test went well."""
    service = Service(log, **how)
    try:
        service.wait_ready()
        yield service
        service.terminate()
        service.check_end()
    finally:
        service.kill()
