"""Property data of CoolProp, which takes seconds to load: only when a value is really asked for."""

from functools import cache
from typing import Any


@cache
def _loaded() -> Any:
    from CoolProp.CoolProp import PropsSI

    return PropsSI


def PropsSI(*given: Any) -> float:  # noqa: N802 - its name in CoolProp
    """CoolProp's function of that name."""
    return float(_loaded()(*given))
