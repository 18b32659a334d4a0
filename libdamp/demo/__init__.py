"""The bundled demo files: two invented cars, the smallest car file, other uses; nothing here was measured."""

import json
import tomllib
from importlib.resources import files
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from libdamp.car import Corner

NAMES = {"demo-truck": "truck.json", "demo-buggy": "buggy.json", "demo-smallest": "smallest.toml"}
"""Bundled car files by the name under which every door knows them."""


def demo_data(name: str) -> dict[str, Any]:
    """Plain data of a bundled car file, as written.

    Raises
    ------
    KeyError : no such name.

    Examples
    --------
    >>> demo_data("demo-truck")["car"]["label"]
    'invented 1:10 two-wheel-drive truck'
    """
    text = files(__name__).joinpath(NAMES[name]).read_text(encoding="utf-8")
    loaded: dict[str, Any] = tomllib.loads(text) if NAMES[name].endswith(".toml") else json.loads(text)
    return loaded


def demo_corner(name: str) -> "Corner":
    """One corner of a bundled complete car, "demo-truck.front".

    Raises
    ------
    KeyError : no such name.

    Examples
    --------
    >>> demo_corner("demo-truck.front").spring.rate_n_mm
    0.38
    """
    from libdamp.car import Corner
    from libdamp.checked import build
    from libdamp.errors import Fault, InputError

    car, end = name.rsplit(".", 1)
    faults: list[Fault] = []
    corner: Corner = build(Corner, demo_data(car)["car"][end], "", faults)
    if faults:
        raise InputError(faults)
    return corner
