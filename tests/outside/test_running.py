"""A service starts, answers, and ends by a signal."""

import sys
from pathlib import Path

import pytest

from .running import Service, asked, processes_with, started
from .tools import run

pytestmark = pytest.mark.outside


def test_service_with_two_workers_ends_cleanly(tmp_path: Path) -> None:
    """Every process is marked, answers, and is gone after SIGTERM."""
    with started(tmp_path / "log.txt", flags=("--quiet", "--workers", "2")) as service:
        assert len(processes_with(service.mark)) >= 3
        for _ in range(8):
            assert asked(service.port, "GET", "/health").data == {"status": "up"}
        mark = service.mark
    assert processes_with(mark) == []


def test_taken_port_is_said_in_one_sentence(service: Service) -> None:
    """A second service on the same port ends with one clear sentence."""
    done = run([sys.executable, "-m", "service", "--port", str(service.port)])
    assert done.returncode == 2
    assert done.stderr.startswith(f"Port {service.port} on 127.0.0.1 cannot be used")
    assert done.stderr.count("\n") == 1
    assert asked(service.port, "GET", "/health").status == 200
