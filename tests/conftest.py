"""What all tests share: the profile of the properties and the counts of the check values."""

import functools
import inspect
import os
from collections.abc import Callable, Iterator
from typing import Any

import msgspec
import pytest
from hypothesis import HealthCheck, settings

from tests.drawn import LAWS

settings.register_profile(
    "libdamp",
    deadline=None,
    max_examples=LAWS,
    derandomize=bool(os.environ.get("CI")),
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("libdamp")

type(pytest.approx(0.0)).DEFAULT_ABSOLUTE_TOLERANCE = 0.0
"""Volumes, flows and conductances in SI lie far below the 1e-12 that else passes for nothing."""


@pytest.fixture(scope="session", autouse=True)
def kept_answers() -> Iterator[None]:
    """Sheets of one request are one sheet, and share its plan and its changes with others: each takes seconds."""
    from libdamp import sheet_data

    def kept(function: Callable[..., Any]) -> Callable[..., Any]:
        known: dict[bytes, Any] = {}

        @functools.wraps(function)
        def answer(*data: Any, **asked: Any) -> Any:
            key = msgspec.json.encode((data, asked))
            if key not in known:
                known[key] = function(*data, **asked)
            return known[key]

        return answer

    with pytest.MonkeyPatch.context() as patch:
        for name in ("plan", "changes", "sheet_of"):
            patch.setattr(sheet_data, name, kept(getattr(sheet_data, name)))
        yield


@pytest.fixture
def no_changes(monkeypatch: pytest.MonkeyPatch) -> None:
    """Sheets without their changes, which take a second or more; none of them is kept for others."""
    from libdamp import sheet_data

    monkeypatch.setattr(sheet_data, "sheet_of", inspect.unwrap(sheet_data.sheet_of))
    monkeypatch.setattr(sheet_data, "changes", lambda **_: None)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Print how many check values there are of each kind."""
    from tests.check_values.table import KINDS, all_rows

    kinds = [row.kind for row in all_rows()]
    counts = ", ".join(f"{kinds.count(kind)} {kind}" for kind in KINDS)
    terminalreporter.write_line(f"check values: {counts}")
