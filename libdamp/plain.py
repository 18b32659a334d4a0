"""Plain data: what JSON can carry; names in it that were misspelt."""

from collections.abc import Iterable, Mapping
from typing import Any

DEEPEST = 20
"""Levels of nesting that a plain request may have."""
MOST_NAMED = 24
"""Names that an error lists."""


LARGEST = 1e300
"""Whole numbers beyond this are no quantities."""


def brief(value: Any) -> str:
    """Short text of whatever was given; a whole number of thousands of digits is not written out."""
    if isinstance(value, int) and not isinstance(value, bool) and abs(value) > LARGEST:
        return "a whole number of hundreds of digits"
    return repr(value)[:80]


def escape(key: str) -> str:
    """One step of a JSON pointer (RFC 6901)."""
    return key.replace("~", "~0").replace("/", "~1")


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


def nearest(word: str, known: Iterable[str], cutoff: float = 0.5) -> str:
    """Sentence end that names the nearest known word, or all of them when none is near."""
    from difflib import get_close_matches

    names = list(known)
    close = get_close_matches(word, names, n=1, cutoff=cutoff)
    if close:
        return f"did you mean '{close[0]}'?"
    more = f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
    return f"known here: {', '.join(names[:MOST_NAMED])}{more}"
