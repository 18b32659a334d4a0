"""Two applications that the tests of the service share: as delivered, and with a small bound on work."""

from collections.abc import Iterator
from typing import Any

import pytest
from litestar import Litestar
from litestar.testing import TestClient

import libdamp.grid
from service.app import create_app
from service.settings import Settings

SMALL = 50
"""Builds of one end that the small bound allows."""


def small_app() -> Litestar:
    """Application with a small bound on work; this process keeps its own bound."""
    before = libdamp.grid.MOST_BUILDS
    try:
        return create_app(Settings(most_builds=SMALL))
    finally:
        libdamp.grid.MOST_BUILDS = before


@pytest.fixture(scope="session")
def client() -> Iterator[TestClient[Any]]:
    """The application as delivered, without its guard."""
    with TestClient(create_app(Settings())) as made:
        yield made


@pytest.fixture(scope="session")
def small() -> Iterator[TestClient[Any]]:
    """The application with a small bound on work."""
    with TestClient(small_app()) as made:
        yield made
