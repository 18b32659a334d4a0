"""Kinds of load on a running service: each sends requests until a time, and judges every answer."""

import contextlib
import http.client
import itertools
import json
import os
import random
import signal
import socket
import threading
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

from libdamp.calculations import calculate
from service.examples import example_request

from .running import HOST, Answer, Service, asked, processes_with, read

PROBLEM_KEYS = {"type", "title", "status", "detail", "errors"}
HEAD = "POST /v1/{name} HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\n"
FAULTS: tuple[tuple[str, str, Any, int], ...] = (
    ("POST", "/v1/ride", b"{", 400),
    ("POST", "/v1/ride", b"\xff\xfe", 400),
    ("POST", "/v1/ride", b"[" * 5000, 400),
    ("POST", "/v1/ride", {"temperature_c": "warm"}, 400),
    ("POST", "/v1/check", {"car": 3}, 400),
    ("POST", "/v1/rode", {}, 404),
    ("GET", "/v1/ride", None, 405),
    ("GET", "/nothing", None, 404),
    ("GET", "/v1/setup?setup=" + "a" * 5000, None, 414),
    ("POST", "/v1/convert", {"value": "38 gf/mm", "to": "mm"}, 0),
)


def problem_status(answer: Answer) -> int:
    """Status of an answer that must be a problem, whole and in shape."""
    assert answer.kind == "application/problem+json", answer
    data = answer.data
    assert set(data) == PROBLEM_KEYS, data
    assert data["status"] == answer.status >= 400
    assert data["title"], data
    assert data["detail"], data
    if answer.status == 503:
        assert int(answer.headers["retry-after"]) > 0
    return answer.status


class Load:
    """Counts what was answered, and keeps every fault; its methods run in threads of their own."""

    def __init__(self, service: Service) -> None:
        self.service = service
        self.counts: Counter[str] = Counter()
        self.faults: list[str] = []
        self.ending = threading.Event()
        """Set when the service has been told to end: connections may then be refused."""
        self.rides = [example_request("ride") | {"temperature_c": t} for t in (5, 15, 25, 35)]
        self.ride_answers = [calculate("ride", ride) for ride in self.rides]
        self.plan = {name: value for name, value in example_request("plan").items() if name != "box"}
        self.plan["use"] = {**self.plan["use"], "jump": "none", "bump_height_mm": 0}
        """From the parts on the car alone, at rest: a whole box in motion would take seconds each time."""
        self.plan_answer = calculate("plan", self.plan)
        self.clearance_mm = calculate("drop", example_request("drop"))["least_clearance_mm"]

    def until(self, end: float, kind: Callable[[int], str]) -> None:
        """Run one kind of request again and again; count its words, keep its faults."""
        for number in itertools.count():
            if time.monotonic() > end or len(self.faults) > 20:
                return
            try:
                self.counts[kind(number)] += 1
            except (OSError, http.client.HTTPException) as error:
                if self.ending.is_set():
                    self.counts["refused at the end"] += 1
                    time.sleep(0.05)
                else:
                    self.faults.append(f"{kind.__name__}: {error!r}")
            except Exception as error:
                self.faults.append(f"{kind.__name__}: {error!r}"[:2000])

    def ask(self, method: str, path: str, data: Any = None) -> Answer:
        """One request."""
        return asked(self.service.port, method, path, data)

    def ride(self, number: int) -> str:
        """A quick calculation."""
        place = number % len(self.rides)
        answer = self.ask("POST", "/v1/ride", self.rides[place])
        assert (answer.status, answer.data) == (200, self.ride_answers[place])
        return "ride"

    def cell(self, number: int) -> str:
        """A cell, of quick and of long work."""
        if number % 5:
            path, wanted = "ride?setup=demo-truck.front&only=motion_ratio", self.ride_answers[0]["motion_ratio"]
        else:
            path, wanted = "drop?setup=demo-truck.front&height_mm=150&only=least_clearance_mm", self.clearance_mm
        answer = self.ask("GET", f"/v1/cell/{path}")
        assert answer.status == 200, answer
        text = answer.body.decode()
        if text.startswith("error: "):
            assert not number % 5, text
            assert any(words in text for words in ("Busy", "ask again", "took longer")), text
            return "cell of long work refused"
        assert float(text) == wanted
        return "cell"

    def long(self, number: int) -> str:
        """Long work: answered rightly, or refused because of the queue or of a killed process."""
        del number
        answer = self.ask("POST", "/v1/plan", self.plan)
        if answer.status == 200:
            assert answer.data == self.plan_answer
            return "plan"
        assert problem_status(answer) == 503
        return "plan busy" if "Busy" in answer.data["detail"] else "plan ended"

    def fault(self, number: int) -> str:
        """A request that is wrong."""
        method, path, data, status = FAULTS[number % len(FAULTS)]
        found = problem_status(self.ask(method, path, data))
        assert found == status or (not status and found in (400, 422)), (method, path[:40], found)
        return f"fault {found}"

    def oversized(self, number: int) -> str:
        """A body above the limit: declared, or in chunks without end."""
        chunked = number % 2
        length = "Transfer-Encoding: chunked" if chunked else "Content-Length: 900000"
        piece = b"2000\r\n" + b" " * 0x2000 + b"\r\n" if chunked else b" " * 0x2000
        answer = self.raw(f"{HEAD.format(name='ride')}{length}\r\n\r\n", piece, 20)
        assert problem_status(answer) == 413
        return "oversized"

    def half(self, number: int) -> str:
        """A request that stops in its head, or in its body."""
        text = HEAD.format(name="ride") + ("" if number % 2 else "Content-Length: 500\r\n\r\n{")
        assert problem_status(self.raw(text)) == 408
        return "half-sent head" if number % 2 else "half-sent body"

    def left(self, number: int) -> str:
        """A client that goes away in the middle of its request or before its answer."""
        body = json.dumps(self.plan).encode()
        head = f"{HEAD.format(name='plan')}Content-Length: {len(body)}\r\n\r\n"
        with socket.create_connection((HOST, self.service.port), 20) as connection:
            connection.sendall(head.encode() + (body if number % 2 else body[:100]))
            time.sleep(random.random() / 20)
        time.sleep(0.3)
        return "left"

    def raw(self, head: str, piece: bytes = b"", pieces: int = 0) -> Answer:
        """Answer to bytes that no client library would send; the service may answer before all is sent."""
        with socket.create_connection((HOST, self.service.port), 20) as connection:
            connection.sendall(head.encode())
            with contextlib.suppress(BrokenPipeError, ConnectionResetError):
                for _ in range(pieces):
                    connection.sendall(piece)
            with http.client.HTTPResponse(connection, method="POST") as response:
                response.begin()
                return read(response)

    def kill_worker(self, number: int) -> str:
        """End a process of the pool by force."""
        del number
        time.sleep(2.5)
        for process in processes_with(self.service.mark):
            with contextlib.suppress(OSError):
                if b"multiprocessing-fork" in Path(f"/proc/{process}/cmdline").read_bytes():
                    os.kill(process, signal.SIGKILL)
                    return "killed"
        return "nobody to kill"

    def run(self, seconds: float, kinds: list[Callable[[int], str]]) -> list[threading.Thread]:
        """Start a thread for each kind."""
        end = time.monotonic() + seconds
        threads = [threading.Thread(target=self.until, args=(end, kind), daemon=True) for kind in kinds]
        for thread in threads:
            thread.start()
        return threads

    def joined(self, threads: list[threading.Thread], seconds: float) -> None:
        """Wait for threads; none may hang, and nothing may have gone wrong."""
        end = time.monotonic() + seconds
        for thread in threads:
            thread.join(max(0.0, end - time.monotonic()))
        assert not any(thread.is_alive() for thread in threads), f"a request hangs; {self.faults[:3]}"
        assert self.faults == [], self.faults[:5]
