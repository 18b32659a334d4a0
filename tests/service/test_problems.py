"""Every fault of every route is answered in one shape, with the status that its kind calls for."""

import asyncio
import json
from collections.abc import Iterator
from http import HTTPStatus
from typing import Any

import pytest
from litestar.testing import TestClient

from libdamp.demo import demo_data
from service import json_door
from service.app import create_app
from service.guard import Guard
from service.settings import Settings
from tests.service.asgi import Answered, ask, asked
from tests.service.faults import GOOD, JSON, NUMBER, Case, address_cases, body_cases, pointer, raw, setup_cases

CASES = [*body_cases(), *address_cases(), *setup_cases()]
KEYS = {"type", "title", "status", "detail", "errors"}
ERROR_KEYS = {"pointer", "rule", "value", "limit", "unit", "detail"}


def checked_problem(status: int, kind: str, body: bytes) -> list[dict[str, Any]]:
    """Assert the one shape of a problem and give its errors."""
    assert kind == "application/problem+json"
    problem = json.loads(body)
    assert set(problem) == KEYS
    assert problem["type"] == "about:blank"
    assert problem["title"] == HTTPStatus(status).phrase
    assert problem["status"] == status
    assert len(problem["detail"]) > 10
    for error in problem["errors"]:
        assert set(error) == ERROR_KEYS
        assert error["pointer"] == "" or error["pointer"].startswith("/")
        assert error["rule"].replace("_", "").isalpha()
        assert isinstance(error["value"], str | float | int | None)
        assert isinstance(error["limit"], str | float | int | None)
        assert isinstance(error["unit"], str | None)
        assert len(error["detail"]) > 5
    return list(problem["errors"])


@pytest.mark.parametrize("case", CASES, ids=[case.label for case in CASES])
def test_every_route_with_every_fault(client: TestClient[Any], case: Case) -> None:
    """Status by kind of fault, one shape, each fault with its pointer and rule."""
    answer = client.request(case.method, case.path, content=case.body, headers=case.headers)
    assert answer.status_code == case.status, answer.text
    errors = checked_problem(case.status, answer.headers["content-type"], answer.content)
    assert tuple((error["pointer"], error["rule"]) for error in errors) == case.faults


@pytest.mark.parametrize("name", sorted(NUMBER))
def test_value_and_limit(client: TestClient[Any], name: str) -> None:
    """A number out of range is told with its value, the limits and the unit."""
    answer = client.post(f"/v1/{name}", content=raw(GOOD[name], NUMBER[name], "-1e9"), headers=JSON)
    (error,) = checked_problem(400, answer.headers["content-type"], answer.content)
    low, high = error["limit"].split("..")
    assert error["value"] == -1e9 < float(low) < float(high)
    assert error["unit"]
    assert NUMBER[name].split(".")[-1] in error["detail"] or error["pointer"] == pointer(NUMBER[name])


def test_all_faults_at_once(client: TestClient[Any]) -> None:
    """Faults of a request are told together, wherever they stand; a misfit among them makes it 400."""
    body = json.loads(json.dumps(GOOD["plan"]))
    body["car"]["front"]["spring"]["rate_n_mm"] = -1
    body["car"]["rear"]["shock"]["oil"] = "30 wt"
    body["car"]["rear"]["tyre"]["zzz"] = 1
    body["box"]["drills_mm"] = [1.2, "x", 1.4]
    del body["car"]["front"]["shock"]["piston"]["holes"]
    answer = client.post("/v1/plan", json=body)
    errors = checked_problem(400, answer.headers["content-type"], answer.content)
    assert {(error["pointer"], error["rule"]) for error in errors} == {
        ("/car/front/spring/rate_n_mm", "range"),
        ("/car/front/shock/piston/holes", "missing_field"),
        ("/car/rear/shock/oil", "text"),
        ("/car/rear/tyre/zzz", "unknown_field"),
        ("/box/drills_mm/1", "unit"),
    }


def test_too_costly(small: TestClient[Any]) -> None:
    """Work above the bound is refused with the bound; a smaller request is answered."""
    answer = small.post("/v1/plan", json=demo_data("demo-truck"))
    (error,) = checked_problem(422, answer.headers["content-type"], answer.content)
    assert error["rule"] == "too_costly"
    assert "at most 50" in error["detail"]
    assert small.post("/v1/plan", json={**demo_data("demo-truck"), "box": {}}).status_code == 200


@pytest.mark.parametrize("name", sorted(GOOD))
def test_body_without_length(client: TestClient[Any], name: str) -> None:
    """A body whose length is not told beforehand is bounded too; 64 KiB and not a byte less are allowed."""

    def pieces(size: int) -> Iterator[bytes]:
        yield from (b" " * 10_000 for _ in range(size // 10_000))
        yield b" " * (size % 10_000)

    answer = client.post(f"/v1/{name}", content=pieces(64 * 1024 + 1), headers=JSON)
    checked_problem(413, answer.headers["content-type"], answer.content)
    answer = client.post(f"/v1/{name}", content=pieces(64 * 1024), headers=JSON)
    checked_problem(400, answer.headers["content-type"], answer.content)


def test_fault_of_the_service(monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture) -> None:
    """A fault of the program is 500 in the same shape, tells nothing of the inside, and is logged."""

    def broken(name: str, body: bytes) -> bytes:
        raise ZeroDivisionError("secret of " + name + str(len(body)))

    monkeypatch.setattr(json_door, "answer", broken)
    answer = asked(create_app(Settings()), "POST", "/v1/ride", headers=JSON, pieces=(b"{}",))  # type: ignore[arg-type]
    assert checked_problem(500, answer.headers["content-type"], answer.body) == []
    assert b"secret" not in answer.body
    assert any("secret of ride" in (record.exc_text or "") for record in caplog.records)


def guarded(read_seconds: float = 5.0, log: bool = False) -> Guard:
    """The application as served."""
    return Guard(create_app(Settings()), 4096, read_seconds, log)  # type: ignore[arg-type]


@pytest.mark.parametrize("path", ["/v1/ride", "/health", "/nope"])
def test_address_too_long(path: str) -> None:
    """An address above 4 KiB is refused before anything else looks at it; 4 KiB are allowed."""
    answer = asked(guarded(), "GET", path, query="a" * (4097 - len(path)))
    checked_problem(414, answer.headers["content-type"], answer.body)
    assert asked(guarded(), "GET", path, query="a" * (4096 - len(path))).status in (200, 404, 405)


@pytest.mark.parametrize("name", sorted(GOOD))
def test_half_sent_body(name: str) -> None:
    """A body that does not end in time gets 408."""
    answer = asked(
        guarded(read_seconds=0.05),
        "POST",
        f"/v1/{name}",
        headers={**JSON, "content-length": "50"},
        pieces=(b"{",),
        complete=False,
    )
    checked_problem(408, answer.headers["content-type"], answer.body)


def test_time_to_read_is_not_time_to_compute(monkeypatch: pytest.MonkeyPatch) -> None:
    """Once a request is complete, the time limit for reading does not cut its answer off."""
    app = guarded(read_seconds=0.05)

    async def slow(*_: object) -> Answered:
        return await ask(app, "POST", "/v1/plan", headers=JSON, pieces=(b"{}",))

    async def late(_: object, name: str, body: bytes) -> tuple[int, bytes]:
        await asyncio.sleep(0.2)
        return 200, name.encode() + body

    monkeypatch.setattr("service.pool.Pool.run", late)
    assert asyncio.run(slow()).body == b"plan{}"


@pytest.mark.parametrize(
    ("method", "path", "status"),
    [("GET", "/health", 200), ("GET", "/nope", 404), ("POST", "/v1", 405), ("GET", "/v1/cell/ride", 200)],
)
def test_headers_of_every_answer(method: str, path: str, status: int) -> None:
    """Security headers, no caching and an id of the request stand on every answer, good or bad."""
    first, second = (asked(guarded(), method, path) for _ in range(2))
    assert first.status == status
    assert first.headers["x-content-type-options"] == "nosniff"
    assert first.headers["x-frame-options"] == "DENY"
    assert first.headers["referrer-policy"] == "no-referrer"
    assert first.headers["cache-control"] == "no-store"
    policy = first.headers["content-security-policy"]
    assert policy.startswith("default-src 'none'")
    assert "http" not in policy
    assert first.headers["x-request-id"] != second.headers["x-request-id"]


def test_log_line(capsys: pytest.CaptureFixture[str]) -> None:
    """One JSON line a request: id, method, path, status, time; no body, no parameters."""
    answer = asked(guarded(log=True), "POST", "/v1/ride", query="q=hush", headers=JSON, pieces=(b'{"s":"hush"}',))
    (line,) = capsys.readouterr().out.splitlines()
    told = json.loads(line)
    assert told.keys() == {"time", "id", "method", "path", "status", "ms"}
    assert told["id"] == answer.headers["x-request-id"]
    assert (told["method"], told["path"], told["status"]) == ("POST", "/v1/ride", 400)
    assert 0 < told["ms"] < 10_000
    assert "hush" not in line


def test_allowed_methods_are_told(client: TestClient[Any]) -> None:
    """405 says which methods the address takes."""
    assert "POST" in client.get("/v1/ride").headers["allow"]
    assert "GET" in client.post("/v1").headers["allow"]


def test_other_origins() -> None:
    """No other origin may read answers, unless it is set."""
    for origins, wanted in (((), None), (("http://a.example",), "http://a.example")):
        app = create_app(Settings(cors_origins=origins))
        for path in ("/health", "/nope", "/v1/cell/ride"):
            answer = asked(app, "GET", path, headers={"origin": "http://a.example"})  # type: ignore[arg-type]
            assert answer.headers.get("access-control-allow-origin") == wanted
