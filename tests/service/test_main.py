"""The service as a process: start, answers, log, time limits, workers, end."""

import contextlib
import json
import os
import signal
import subprocess
import time
from collections.abc import Iterator

import pytest

import libdamp
from tests.plain_requests import requests
from tests.service.running import PATIENCE, ROOT, Running, children, command, running

pytestmark = pytest.mark.long


@pytest.fixture(scope="module")
def service() -> Iterator[Running]:
    """A running service with a short time to read."""
    with running("--quiet", read_seconds="0.5") as made:
        yield made


def test_up(service: Running) -> None:
    """It is up, ready, and tells its version."""
    assert service.get("/health") == (200, {"status": "up"})
    assert service.get("/ready") == (200, {"status": "ready"})
    assert service.get("/version")[1]["version"] == libdamp.__version__


def test_answers(service: Running) -> None:
    """Over a socket, too, the answers are the library's, and problems have their shape."""
    assert service.post("/v1/ride", requests()["ride"]) == (200, libdamp.calculate("ride", requests()["ride"]))
    assert service.post("/v1/plan", requests()["plan"]) == (200, libdamp.calculate("plan", requests()["plan"]))
    status, problem = service.get("/v1/nope")
    assert (status, problem["status"], problem["title"]) == (404, 404, "Not Found")


def split(answer: bytes) -> tuple[int, str, bytes]:
    """Status, head and body of an answer as it came."""
    head, _, body = answer.partition(b"\r\n\r\n")
    return int(head.split()[1]), head.decode().lower(), body


@pytest.mark.parametrize(
    "sent",
    [
        b"",
        b"GET /health HT",
        b"GET /health HTTP/1.1\r\nhost: x\r\nx-slow: ",
        b"POST /v1/ride HTTP/1.1\r\nhost: x\r\ncontent-type: application/json\r\ncontent-length: 50\r\n\r\n{",
        b"POST /v1/plan HTTP/1.1\r\nhost: x\r\ncontent-type: application/json\r\n"
        b"transfer-encoding: chunked\r\n\r\n5\r\n{",
        b"GET /version HTTP/1.1\r\nhost: x\r\n\r\nGET /health HT",
    ],
)
def test_half_sent(service: Running, sent: bytes) -> None:
    """A request that does not end in time gets 408, and its connection ends."""
    start = time.monotonic()
    answer = service.send(sent)
    took = time.monotonic() - start
    if b'"model_revision"' in answer:
        answer = answer[answer.index(b"HTTP/1.1", 10) :]
    status, head, body = split(answer)
    assert status == 408
    assert "content-type: application/problem+json" in head
    assert json.loads(body)["status"] == 408
    assert 0.3 < took < 5


@pytest.mark.parametrize("sent", [b"\x16\x03\x01\x00\xa5\x01\x00\r\n\r\n", b"NONSENSE\r\n\r\n", b"GET\r\n\r\n"])
def test_no_request(service: Running, sent: bytes) -> None:
    """Bytes that are no request get 400, and nothing else suffers."""
    assert split(service.send(sent))[0] == 400
    assert service.get("/health")[0] == 200


def test_long_address(service: Running) -> None:
    """An address above the bound is 414 over a socket, too; at a cell it is text."""
    assert service.get("/v1/ride?" + "a" * 5000)[0] == 414
    line = b"GET /v1/cell/ride?" + b"a" * 5000 + b" HTTP/1.1\r\nhost: x\r\n\r\n"
    status, _, body = split(service.send(line))
    assert (status, body) == (200, b"error: The address is longer than 4096 bytes.")


def ended(service: Running) -> tuple[int, str, str]:
    """Exit code, standard output and standard error after SIGTERM."""
    service.process.send_signal(signal.SIGTERM)
    out, err = service.process.communicate(timeout=PATIENCE)
    return service.process.returncode, out, err


def alive(pids: set[int]) -> set[int]:
    """Those of some processes that still run after a moment to end."""
    end = time.monotonic() + 10
    while time.monotonic() < end:
        left = {pid for pid in pids if os.path.exists(f"/proc/{pid}")}
        if not left:
            return set()
        time.sleep(0.05)
    return left


def test_end_and_log() -> None:
    """SIGTERM ends it without a word and without orphans; the log has a line for each request."""
    with running() as service:
        own = children(service.process.pid)
        service.post("/v1/ride", requests()["ride"])
        service.get("/v1/nope")
        code, out, err = ended(service)
    assert code in (0, -signal.SIGTERM)
    assert err == ""
    assert own
    assert alive(own) == set()
    lines = [json.loads(line) for line in out.splitlines()]
    told = [(line["method"], line["path"], line["status"]) for line in lines if line["path"] != "/ready"]
    assert told == [("POST", "/v1/ride", 200), ("GET", "/v1/nope", 404)]


def test_two_workers() -> None:
    """Two workers answer at one port, and end together."""
    with running("--quiet", "--workers", "2") as service:
        own = children(service.process.pid)
        for _ in range(6):
            assert service.post("/v1/ride", requests()["ride"])[0] == 200
        code, _, err = ended(service)
    assert code in (0, -signal.SIGTERM)
    assert "Traceback" not in err
    assert alive(own) == set()


def test_killed_service_leaves_nobody() -> None:
    """Even a service that is killed leaves no worker behind."""
    with running("--quiet") as service:
        own = children(service.process.pid)
        service.process.kill()
        service.process.wait(PATIENCE)
    assert own
    assert alive(own) == set()


def test_port_taken(service: Running) -> None:
    """A second service at the same port says so in one line, exit code 2."""
    done = subprocess.run(
        command("--port", str(service.port)),
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=PATIENCE,
        check=False,
    )
    assert (done.returncode, done.stdout, len(done.stderr.splitlines())) == (2, "", 1)
    assert f"--port {service.port + 1}" in done.stderr


def test_metrics() -> None:
    """Counters are served where that is set, and only there."""
    import urllib.request

    with running("--quiet", "--metrics") as service:
        for path in ("/v1/nope", "/x/y/z", "/v1/version"):
            assert service.get(path)[0] == 404
        with contextlib.closing(urllib.request.urlopen(f"http://127.0.0.1:{service.port}/metrics")) as answer:
            text = answer.read().decode()
    assert 'libdamp_requests_total{method="GET",path="/ready",status="200"}' in text
    assert 'libdamp_requests_total{method="GET",path="other",status="404"} 3.0' in text


def test_no_metrics_unless_set(service: Running) -> None:
    """Without the setting there are no counters."""
    assert service.get("/metrics")[0] == 404
