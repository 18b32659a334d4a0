"""A pool of processes for long work: a bounded queue, and a deadline that kills."""

import asyncio
import contextlib
import gc
import multiprocessing
import os
import threading
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool

from .problems import Refusal
from .work import answer_or_problem


def _end_with_parent() -> None:
    """End this process when the service has ended, however it ended."""
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)


def _warm(most_builds: int) -> None:
    """Load what the first request would wait for; set the bound on work; watch the service."""
    threading.Thread(target=_end_with_parent, daemon=True).start()
    import libdamp.grid
    from libdamp.calculations import CALCULATIONS

    if most_builds:
        libdamp.grid.MOST_BUILDS = most_builds
    assert CALCULATIONS


def _notice(future: asyncio.Future[tuple[int, bytes]]) -> None:
    """Look at a result that nobody waits for any more, so that it is not complained about."""
    if not future.cancelled():
        future.exception()


def _nothing() -> None:
    """Make a worker start."""


LONGEST_END_S = 15.0
"""How long the end of an executor that was given up is waited for."""


class Pool:
    """Long work, so many at a time, so many waiting, none longer than the deadline."""

    def __init__(self, workers: int, queue: int, seconds: float, most_builds: int = 0) -> None:
        self._workers = workers
        self._room = workers + queue
        self._seconds = seconds
        self._most_builds = most_builds
        self._inside = 0
        self._executor: ProcessPoolExecutor | None = None
        self._ending: list[threading.Thread] = []  # of executors that were given up

    @property
    def ready(self) -> bool:
        """Whether the pool has been started."""
        return self._executor is not None

    async def start(self) -> None:
        """Start the workers and wait until one answers."""
        executor = self._made()
        await asyncio.get_running_loop().run_in_executor(executor, _nothing)

    def _made(self) -> ProcessPoolExecutor:
        if self._executor is None:
            self._executor = ProcessPoolExecutor(
                self._workers,
                mp_context=multiprocessing.get_context("spawn"),
                initializer=_warm,
                initargs=(self._most_builds,),
            )
        return self._executor

    async def run(self, name: str, body: bytes) -> tuple[int, bytes]:
        """Status and body of a calculation.

        Raises
        ------
        Refusal : the queue is full, the deadline passed, or the process died.
        """
        if self._inside >= self._room:
            raise Refusal(503, "Busy: all places in the queue are taken.", retry_after=2)
        self._inside += 1
        executor = self._made()
        try:
            future = asyncio.get_running_loop().run_in_executor(executor, answer_or_problem, name, body)
            future.add_done_callback(_notice)
            done, _ = await asyncio.wait({future}, timeout=self._seconds)  # a cancelled future breaks the executor
            if done:
                return future.result()
            self._discard(executor)
            text = f"The work took longer than {self._seconds:g} s; ask for less."
            raise Refusal(503, text, retry_after=5)
        except BrokenProcessPool:
            self._discard(executor)
            raise Refusal(503, "The process that did the work has ended; ask again.", retry_after=1) from None
        finally:
            self._inside -= 1

    def _discard(self, executor: ProcessPoolExecutor) -> None:
        """Kill the workers of an executor; the next request makes new ones."""
        if self._executor is executor:
            self._executor = None
        thread = getattr(executor, "_executor_manager_thread", None)
        self._ending = [one for one in (*self._ending, thread) if one is not None and one.is_alive()]
        for process in list((executor._processes or {}).values()):
            with contextlib.suppress(OSError, ValueError):
                process.kill()
        executor.shutdown(wait=False)  # what waits is told that the process has ended; cancelled, it would be a 500

    async def stop(self) -> None:
        """End the workers; what runs is finished by its own deadline."""
        executor, self._executor = self._executor, None
        if executor is not None:
            await asyncio.to_thread(executor.shutdown, wait=True, cancel_futures=True)
        while self._ending:
            await asyncio.to_thread(self._ending.pop().join, LONGEST_END_S)
        del executor
        gc.collect()  # what executors hold of the system is given back before a signal ends the process
