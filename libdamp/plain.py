"""Plain data: what JSON can carry."""

from collections.abc import Mapping
from typing import Any

DEEPEST = 20
"""Levels of nesting that a plain request may have."""


def too_deep(data: Any) -> bool:
    """Whether data is nested deeper than any request can be.

    >>> too_deep({"a": [1]})
    False
    """
    level = [data]
    for _ in range(DEEPEST):
        level = [
            inner
            for item in level
            if isinstance(item, (Mapping, list, tuple))
            for inner in (item.values() if isinstance(item, Mapping) else item)
        ]
        if not level:
            return False
    return True


def plain_data(value: Any) -> Any:
    """Plain data with dicts and lists of its own, numpy's numbers and arrays as floats, ints and lists.

    >>> plain_data({"holes": ({"count": 2},)})
    {'holes': [{'count': 2}]}
    """
    if isinstance(value, Mapping):
        return {str(key): plain_data(inner) for key, inner in value.items()}
    if hasattr(value, "tolist"):
        value = value.tolist()
    if isinstance(value, (list, tuple)):
        return [plain_data(inner) for inner in value]
    return value
