"""The public equations by name, and their answers as plain tuples of arrays."""

import importlib
import inspect
import pkgutil
from collections.abc import Callable
from typing import Any

import numpy as np

import libdamp.physics


def public() -> dict[str, Callable[..., Any]]:
    """Every public function of libdamp/physics as "<module>.<name>"."""
    found: dict[str, Callable[..., Any]] = {}
    for module in pkgutil.iter_modules(libdamp.physics.__path__):
        loaded = importlib.import_module(f"libdamp.physics.{module.name}")
        for name, function in inspect.getmembers(loaded, inspect.isfunction):
            if function.__module__ == loaded.__name__ and not name.startswith("_"):
                found[f"{module.name}.{name}"] = function
    return found


EQUATIONS = public()


def answers(name: str, arguments: dict[str, Any]) -> tuple[np.ndarray, ...]:
    """The answer of an equation as a tuple, one member for each quantity that it gives."""
    answer = EQUATIONS[name](**arguments)
    return tuple(np.asarray(part) for part in (answer if isinstance(answer, tuple) else (answer,)))
