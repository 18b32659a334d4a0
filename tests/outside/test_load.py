"""Under load, with workers killed and clients that misbehave, every answer is right and nothing hangs."""

import time
from pathlib import Path

import pytest

from service.examples import example_request

from .loads import Load, problem_status
from .running import Service, asked, processes_with, started

pytestmark = pytest.mark.outside
SETTINGS = {"LIBDAMP_READ_SECONDS": "2", "LIBDAMP_POOL_QUEUE": "2", "LIBDAMP_POOL_WORKERS": "1"}
SECONDS = 30.0
EXPECTED = {
    *("ride", "cell", "plan", "plan busy", "plan ended", "left", "oversized", "half-sent head", "half-sent body"),
    *("killed", "fault 400", "fault 404", "fault 405", "fault 414", "fault 422"),
}


def test_mixed_load_with_faults_and_an_end_in_the_middle(tmp_path: Path) -> None:
    """30 s of everything at once; then a burst, and SIGTERM in the middle of it."""
    service = Service(tmp_path / "log.txt", environment=SETTINGS)
    try:
        service.wait_ready()
        load = Load(service)
        many = [load.ride] * 2 + [load.cell] * 2 + [load.long] * 5
        threads = load.run(SECONDS, [*many, load.fault, load.oversized, load.half, load.left, load.kill_worker])
        load.joined(threads, SECONDS + 30)
        assert set(load.counts) >= EXPECTED, load.counts
        assert "plan" in (load.long(0), load.long(1)), "the pool was not made anew"
        load.counts.clear()
        threads = load.run(4, [*many, load.fault])
        time.sleep(1.5)
        load.ending.set()
        service.terminate()
        service.check_end(30)
        load.joined(threads, 30)
        assert load.counts["ride"], load.counts
        assert load.counts["plan"], load.counts
        assert load.counts["refused at the end"], load.counts
    finally:
        service.kill()


def test_all_who_wait_behind_work_that_takes_too_long_are_refused_in_shape(tmp_path: Path) -> None:
    """When the deadline ends one piece of work, those behind it get an answer or a problem, never less."""
    settings = {"LIBDAMP_POOL_SECONDS": "0.15", "LIBDAMP_POOL_QUEUE": "8"}
    with started(tmp_path / "log.txt", environment=settings) as service:
        load = Load(service)
        load.joined(load.run(6, [load.long] * 6), 30)
        assert load.counts["plan ended"], load.counts


def test_work_under_way_is_finished_at_the_end(tmp_path: Path) -> None:
    """SIGTERM while work is under way: it is answered rightly, then the service ends."""
    import threading

    service = Service(tmp_path / "log.txt", environment={"LIBDAMP_POOL_QUEUE": "40"})
    try:
        service.wait_ready()
        load = Load(service)
        answers = []
        threads = [
            threading.Thread(target=lambda: answers.append(asked(service.port, "POST", "/v1/plan", load.plan)))
            for _ in range(6)
        ]
        for thread in threads:
            thread.start()
        time.sleep(0.4)
        service.terminate()
        service.check_end(30)
        for thread in threads:
            thread.join(10)
    finally:
        service.kill()
    assert len(answers) == 6
    assert all((answer.status, answer.data) == (200, load.plan_answer) for answer in answers)


def test_killed_service_leaves_no_pool(tmp_path: Path) -> None:
    """When the service itself is ended by force, its pool ends too."""
    service = Service(tmp_path / "log.txt")
    try:
        service.wait_ready()
        assert asked(service.port, "POST", "/v1/plan", example_request("plan")).status == 200
        service.process.kill()
        service.process.wait(10)
        end = time.monotonic() + 10
        while processes_with(service.mark) and time.monotonic() < end:
            time.sleep(0.1)
        assert processes_with(service.mark) == []
    finally:
        service.kill()


def test_bytes_that_are_no_request_are_refused(tmp_path: Path) -> None:
    """Bytes that no HTTP program sends are answered by a problem too."""
    with started(tmp_path / "log.txt", expected="WARNING:  Invalid HTTP request received.") as service:
        load = Load(service)
        assert problem_status(load.raw("HELLO\r\n\r\n")) == 400
        assert problem_status(load.raw("GET / HTTP/1.1\r\nHost x\r\n\r\n")) == 400
