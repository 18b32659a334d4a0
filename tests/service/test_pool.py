"""The pool of processes: a bounded queue, a deadline that kills, and recovery from a killed worker."""

import asyncio
import os
import signal
import threading
import time
import weakref
from collections.abc import Callable, Coroutine
from typing import Any

import msgspec
import pytest

import service.pool as pool_module
from libdamp.demo import demo_data
from service.guard import Guard
from service.pool import Pool
from service.problems import Refusal
from tests.service.asgi import ask

pytestmark = pytest.mark.long

PLAN = msgspec.json.encode(demo_data("demo-truck"))
QUICK = msgspec.json.encode({"value": "38 gf/mm", "to": "lbf/in"})


def sleeping(name: str, body: bytes) -> tuple[int, bytes]:
    """Stand-in for long work: the body is the time it takes, s."""
    time.sleep(float(body))
    return 200, name.encode()


def dying(name: str, body: bytes) -> tuple[int, bytes]:
    """Stand-in for work during which its process dies."""
    os.kill(os.getpid(), signal.SIGKILL)
    return 200, name.encode() + body


def with_pool(work: Callable[[Pool], Coroutine[Any, Any, None]], *settings: Any) -> None:
    """Run some work with a pool, and end the pool."""

    async def run() -> None:
        pool = Pool(*settings)
        try:
            await pool.start()
            await asyncio.wait_for(work(pool), 60)
        finally:
            await pool.stop()

    asyncio.run(run())


def test_work_is_answered() -> None:
    """Work gives status and bytes; a fault of the request comes back as its problem."""

    async def work(pool: Pool) -> None:
        assert pool.ready
        status, body = await pool.run("convert", QUICK)
        assert (status, msgspec.json.decode(body)["unit"]) == (200, "lbf/in")
        status, body = await pool.run("convert", b"{}")
        assert (status, msgspec.json.decode(body)["status"]) == (400, 400)

    with_pool(work, 1, 2, 20.0)


def test_bound_on_work_reaches_the_processes() -> None:
    """The bound on work holds where the work is done."""

    async def work(pool: Pool) -> None:
        status, body = await pool.run("plan", PLAN)
        assert status == 422
        assert msgspec.json.decode(body)["errors"][0]["rule"] == "too_costly"

    with_pool(work, 1, 2, 20.0, 50)


def test_full_queue(monkeypatch: pytest.MonkeyPatch) -> None:
    """More work than there are places is refused at once, and told when to ask again; the rest is answered."""
    monkeypatch.setattr(pool_module, "answer_or_problem", sleeping)

    async def work(pool: Pool) -> None:
        tasks = [asyncio.create_task(pool.run("x", b"0.4")) for _ in range(5)]
        done = await asyncio.gather(*tasks, return_exceptions=True)
        refused = [one for one in done if isinstance(one, Refusal)]
        assert [one for one in done if not isinstance(one, Refusal)] == [(200, b"x")] * 3
        assert [(one.status, one.retry_after) for one in refused] == [(503, 2)] * 2
        assert await pool.run("x", b"0") == (200, b"x")

    with_pool(work, 1, 2, 20.0)


async def _gone(pids: list[int | None]) -> bool:
    """Whether processes end within ten seconds, asked of the system: two threads may wait for one at once."""
    for _ in range(100):
        left = [pid for pid in pids if pid is not None and _exists(pid)]
        if not left:
            return True
        await asyncio.sleep(0.1)
    return False


def _exists(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return True


def test_deadline(monkeypatch: pytest.MonkeyPatch) -> None:
    """Work beyond the deadline is killed, with its process; the next is answered by a new one."""
    monkeypatch.setattr(pool_module, "answer_or_problem", sleeping)

    async def work(pool: Pool) -> None:
        executor = pool._executor
        assert executor is not None
        old = list(executor._processes.values())
        start = time.monotonic()
        with pytest.raises(Refusal) as caught:
            await pool.run("x", b"60")
        assert time.monotonic() - start < 10
        assert (caught.value.status, caught.value.retry_after) == (503, 5)
        assert await _gone([process.pid for process in old])
        monkeypatch.setattr(pool, "_seconds", 30.0)
        assert await pool.run("x", b"0") == (200, b"x")

    with_pool(work, 1, 2, 1.0)


def test_killed_process(monkeypatch: pytest.MonkeyPatch) -> None:
    """A process that dies at work is told as 503; the next request is answered by a new one."""

    async def work(pool: Pool) -> None:
        with monkeypatch.context() as inner:
            inner.setattr(pool_module, "answer_or_problem", dying)
            results = await asyncio.gather(*(pool.run("x", b"") for _ in range(3)), return_exceptions=True)
        assert all(isinstance(one, Refusal) and one.status == 503 for one in results)
        assert all(one.retry_after for one in results if isinstance(one, Refusal))
        assert (await pool.run("convert", QUICK))[0] == 200

    with_pool(work, 1, 4, 30.0)


def test_idle_process_killed() -> None:
    """A process that dies while it waits costs one request at most."""

    async def work(pool: Pool) -> None:
        executor = pool._executor
        assert executor is not None
        for process in executor._processes.values():
            process.kill()
            await asyncio.to_thread(process.join, 10)
        results = await asyncio.gather(*(pool.run("convert", QUICK) for _ in range(2)), return_exceptions=True)
        assert all(one[0] == 200 if isinstance(one, tuple) else one.status == 503 for one in results)  # type: ignore[attr-defined]
        assert (await pool.run("convert", QUICK))[0] == 200

    with_pool(work, 1, 2, 30.0)


@pytest.mark.parametrize("path", ["/v1/plan", "/v1/cell/plan"])
def test_busy_over_http(path: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """A refusal of the pool is a problem with Retry-After; in a cell it is a text."""
    from service.app import create_app
    from service.settings import Settings

    app = Guard(create_app(Settings()), 4096, 10.0, log=False)  # type: ignore[arg-type]

    async def busy(*_: object) -> tuple[int, bytes]:
        raise Refusal(503, "Busy: all places in the queue are taken.", retry_after=2)

    monkeypatch.setattr(Pool, "run", busy)
    cell = path.startswith("/v1/cell")
    answer = asyncio.run(
        ask(
            app,
            "GET" if cell else "POST",
            path,
            query="setup=demo-truck&only=findings" if cell else "",
            headers={} if cell else {"content-type": "application/json"},
            pieces=(b"" if cell else PLAN,),
        )
    )
    if cell:
        assert (answer.status, answer.body) == (200, b"error: Busy: all places in the queue are taken.")
    else:
        assert (answer.status, answer.headers["retry-after"]) == (503, "2")
        assert msgspec.json.decode(answer.body)["title"] == "Service Unavailable"


def test_a_pool_that_ended_holds_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Executors that were given up, and the last, are gone after the end, with their threads and semaphores."""
    monkeypatch.setattr(pool_module, "answer_or_problem", sleeping)
    executors: list[weakref.ref[Any]] = []
    before = set(threading.enumerate())  # a service that other tests share may have a pool of its own

    async def run() -> None:
        pool = Pool(1, 2, 0.3)
        await pool.start()
        for _ in range(2):
            executors.append(weakref.ref(pool._made()))
            with pytest.raises(Refusal):
                await pool.run("sleep", b"30")
        executors.append(weakref.ref(pool._made()))
        await pool.stop()

    asyncio.run(run())
    assert [one() for one in executors] == [None] * 3
    for one in set(threading.enumerate()) - before:
        if "ExecutorManager" in type(one).__name__:
            one.join(30.0)  # it has been told to end; a slow machine may take a moment
            assert not one.is_alive()
