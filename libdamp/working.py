"""Work in chunks: here, or by whatever executor the caller hands over; the same chunks and order for all."""

from collections.abc import Callable, Sequence
from concurrent.futures import Executor
from typing import NamedTuple, TypeVar

from .errors import Cancelled

Job = TypeVar("Job")
Done = TypeVar("Done")

Progress = Callable[[int, int], object]
"""Told how much is done, of how much; a true answer stops the work."""


class Helpers(NamedTuple):
    """Who does the work and who is told; None: this thread, nobody."""

    executor: Executor | None = None
    progress: Progress | None = None


ALONE = Helpers()
"""This thread, and nobody is told."""


def worked(
    function: Callable[[Job], Done], jobs: Sequence[Job], helpers: Helpers, before: int = 0, after: int = 0
) -> list[Done]:
    """Results of all jobs, in their order. `before` and `after` are the chunks of other work that are counted too.

    Raises
    ------
    Cancelled : the caller's progress said so; what had not begun is not begun.
    """
    made, total = [], before + len(jobs) + after
    if helpers.executor is None:
        for job in jobs:
            made.append(function(job))
            tell(helpers, before + len(made), total)
        return made
    futures = [helpers.executor.submit(function, job) for job in jobs]
    try:
        for future in futures:
            made.append(future.result())
            tell(helpers, before + len(made), total)
    finally:
        for future in futures:
            future.cancel()
    return made


def tell(helpers: Helpers, done: int, total: int) -> None:
    """Tell what is done.

    Raises
    ------
    Cancelled : the caller's progress said so.
    """
    if helpers.progress is not None and helpers.progress(done, total):
        raise Cancelled(f"stopped by the caller after {done} of {total} chunks")
