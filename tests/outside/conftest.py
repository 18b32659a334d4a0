"""The one service that the outside tests share."""

from collections.abc import Iterator

import pytest

from .running import Service, started


@pytest.fixture(scope="session")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Service]:
    """A real service on a free port; ended by SIGTERM, with a clean end and no orphans."""
    with started(tmp_path_factory.mktemp("service") / "log.txt") as running:
        yield running
