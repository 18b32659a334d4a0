"""`plan` by whatever does the work: the same bytes; progress told in order; stopped when asked to."""

import os
import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor, ThreadPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import msgspec
import pytest

import libdamp
from libdamp import headlines, in_motion, in_rounds, likely, searching
from libdamp.demo import demo_data
from tests.docs.test_readme import ROOT, blocks
from tests.plain_requests import USE

TRUCK = demo_data("demo-truck")
SMALL: dict[str, Any] = {
    "car": TRUCK["car"],
    "use": {**USE, "bump_height_mm": 0},
    "box": {
        "front_springs": TRUCK["box"]["front_springs"][1:4],
        "rear_springs": TRUCK["box"]["rear_springs"][1:4],
        "oils": TRUCK["box"]["oils"][::3],
        "blanks": {**TRUCK["box"]["blanks"], "max_holes": 3},
        "drills_mm": [1.2, 1.6],
        "collar_step_mm": 0.5,
    },
}


def _few_moved(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(in_motion, "FEW", 0)
    patch.setattr(in_motion, "MOVED_PER_END", 60)
    patch.setattr(likely, "NEAREST", 4)
    patch.setattr(likely, "EVERY_KIND", 4)


@pytest.fixture(autouse=True)
def _small_chunks(monkeypatch: pytest.MonkeyPatch) -> None:
    """Chunks of a few hundred builds, so that a small box makes several; few to move, enough to guess from."""
    monkeypatch.setattr(searching, "CHUNK_BUILDS", 900)
    _few_moved(monkeypatch)


def _bytes(**call: Any) -> bytes:
    return msgspec.json.encode(libdamp.calculate("plan", SMALL, **call))


@pytest.fixture(scope="module")
def alone() -> Iterator[bytes]:
    """The answer of this thread."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(searching, "CHUNK_BUILDS", 900)
        _few_moved(patch)
        yield _bytes()


def test_threads(alone: bytes) -> None:
    """Threads give the same bytes."""
    with ThreadPoolExecutor(2) as threads:
        assert _bytes(executor=threads) == alone


def test_processes(alone: bytes) -> None:
    """Processes give the same bytes: chunks and what comes back can be sent."""
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as processes:
        assert _bytes(executor=processes) == alone


@pytest.mark.outside
@pytest.mark.filterwarnings("ignore")
def test_a_cluster(alone: bytes) -> None:
    """A cluster's executor gives the same bytes."""
    from distributed import Client, LocalCluster

    with (
        LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster,
        Client(cluster) as client,
    ):
        assert _bytes(executor=client.get_executor()) == alone


@pytest.mark.outside
def test_the_readmes_example_runs(tmp_path: Path) -> None:
    """The README's process pool gives the demo's verdict."""
    (code,) = blocks("python cluster")
    (tmp_path / "example.py").write_text(code, encoding="utf-8")
    path = {**os.environ, "PYTHONPATH": str(ROOT)}
    command = [sys.executable, str(tmp_path / "example.py")]
    done = subprocess.run(command, capture_output=True, text=True, check=True, env=path)
    assert done.stdout.startswith("rear: ")


def test_builds_are_guessed_here(monkeypatch: pytest.MonkeyPatch) -> None:
    """What these tests compare holds builds that were chosen by a guess: without one fewer are moved."""
    made = []
    guess = in_rounds.guessed
    monkeypatch.setattr(in_rounds, "guessed", lambda *of: made.append(guess(*of)) or made[-1])
    _bytes()
    assert len(made) == 4
    assert None not in made


def test_chunks_do_not_matter(alone: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    """All places in one chunk give the same bytes."""
    monkeypatch.setattr(searching, "CHUNK_BUILDS", 10**6)
    assert _bytes() == alone


def test_progress_is_told_in_order() -> None:
    """Every chunk is told, up to the last."""
    told: list[tuple[int, int]] = []
    _bytes(progress=lambda done, of: told.append((done, of)))
    assert len(told) > 4
    assert told == [(k + 1, len(told)) for k in range(len(told))]


@pytest.mark.parametrize("pooled", [False, True])
def test_stopped(pooled: bool) -> None:
    """A true answer stops the work there."""
    seen: list[int] = []

    def stop(done: int, of: int) -> bool:
        seen.append(done)
        return done == 2 < of

    def run(executor: Executor | None) -> None:
        with pytest.raises(libdamp.Cancelled, match="after 2 of"):
            _bytes(progress=stop, executor=executor)

    if pooled:
        with ThreadPoolExecutor(1) as threads:
            run(threads)
    else:
        run(None)
    assert seen == [1, 2]


ONE_BY_ONE: dict[str, dict[str, Any]] = {
    "changes": {"car": TRUCK["car"], "use": USE, "box": {"oils": SMALL["box"]["oils"], "limiters_mm": [2]}},
    "compare": {
        "reference_car": TRUCK["car"],
        "candidate_car": {"front": TRUCK["car"]["rear"], "rear": TRUCK["car"]["front"]},
        "use": {**USE, "jump": "none"},
    },
}
"""Calculations that work out many corners, some seven at a time here."""


@pytest.mark.parametrize("name", ONE_BY_ONE)
def test_many_corners_by_any_executor(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Threads and processes give the bytes of this thread; progress is told chunk by chunk, and stops the work."""
    monkeypatch.setattr(headlines, "AT_ONCE", 7)
    told: list[tuple[int, int]] = []
    here = libdamp.calculate(name, ONE_BY_ONE[name], progress=lambda *done: told.append(done))
    count = len(told)
    assert count > 1
    assert told == [(i, count) for i in range(1, count + 1)]
    with ThreadPoolExecutor(2) as threads, ProcessPoolExecutor(2, mp_context=get_context("spawn")) as processes:
        for executor in (threads, processes):
            there = libdamp.calculate(name, ONE_BY_ONE[name], executor=executor)
            assert msgspec.json.encode(there) == msgspec.json.encode(here)
    with pytest.raises(libdamp.Cancelled):
        libdamp.calculate(name, ONE_BY_ONE[name], progress=lambda *_: True)
