"""Answers that many tests look at, each worked out once a process; not to be changed."""

import functools
from typing import Any

import libdamp
from tests.plain_requests import requests
from tests.reaching_requests import REACHES


@functools.cache
def usual(name: str) -> Any:
    """Answer to the usual request of a calculation."""
    return libdamp.calculate(name, requests()[name])


@functools.cache
def reaching(code: str) -> tuple[str, Any, Any]:
    """Calculation, request and answer that reach a finding."""
    name, request = REACHES[code]()
    return name, request, libdamp.calculate(name, request)
