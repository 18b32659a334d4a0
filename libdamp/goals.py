"""What a choice aims at: stated quantities with target and tolerance, and the distance to them."""

from typing import Annotated, Literal, NamedTuple

import msgspec
import numpy as np

from .car import BetweenGoals, EndGoals, Goal, Goals
from .physics.numbers import Array, Real
from .quantities import Q
from .typical import (
    DAMPING_RATIO_RATIO,
    DAMPING_RATIO_TOLERANCE,
    FREQUENCY_RATIO,
    FREQUENCY_TOLERANCE_HZ,
    HEIGHT_TOLERANCE_MM,
    SIZES,
    SURFACES,
)

Source = Literal["yours", "common practice"]


class Aim(NamedTuple):
    """One goal as it counts."""

    target: float
    tolerance: float
    source: Source

    def term(self, value: Real) -> Array:
        """Square of the deviation in tolerances."""
        return np.asarray(((np.asarray(value) - self.target) / self.tolerance) ** 2)


class GoalTerm(msgspec.Struct, frozen=True, kw_only=True):
    """One term of a distance: ((value - target)/tolerance)^2."""

    quantity: str
    value: Annotated[float, Q("value")] | None
    target: Annotated[float, Q("value")]
    tolerance: Annotated[float, Q("value")]
    term: Annotated[float, Q("distance")] | None
    source: Source


def end_aims(goals: Goals, end: str, surface: str | None, size: str | None) -> dict[str, Aim]:
    """Goals of one end by quantity: the caller's, else the surface's."""
    own: EndGoals = getattr(goals, end)
    defaults: dict[str, tuple[float, float]] = {"height_error_mm": (0.0, HEIGHT_TOLERANCE_MM)}
    if surface is not None:
        row, factor = SURFACES[surface], SIZES[size].goal_factor if size else 1.0
        frequency = row.frequency_hz[0 if end == "front" else 1]
        defaults["frequency_hz"] = (frequency * factor, FREQUENCY_TOLERANCE_HZ)
        if own.damping_ratio_compression is None and own.damping_ratio_rebound is None:
            defaults["damping_ratio"] = (row.damping_ratio, DAMPING_RATIO_TOLERANCE)
    return _merge(own, defaults)


def between_aims(goals: Goals) -> dict[str, Aim]:
    """Goals between the ends by quantity, front over rear."""
    return _merge(goals.between, {"frequency_ratio": FREQUENCY_RATIO, "damping_ratio_ratio": DAMPING_RATIO_RATIO})


def _merge(own: EndGoals | BetweenGoals, defaults: dict[str, tuple[float, float]]) -> dict[str, Aim]:
    aims = {}
    for name in own.__struct_fields__:
        goal: Goal | None = getattr(own, name)
        if goal is not None:
            aims[name] = Aim(goal.target, goal.tolerance, "yours")
        elif name in defaults:
            aims[name] = Aim(*defaults[name], "common practice")
    return aims


def complete_without_surface(goals: Goals) -> bool:
    """Tell whether the caller's own goals say enough for both ends."""
    ends = (goals.front, goals.rear)
    return all(
        e.frequency_hz is not None
        and (e.damping_ratio or e.damping_ratio_compression or e.damping_ratio_rebound) is not None
        for e in ends
    )


def distance(aims: dict[str, Aim], values: dict[str, Real]) -> Array:
    """Sum of the terms of all aims."""
    total: Array = np.zeros(())
    for name, aim in aims.items():
        total = total + aim.term(values[name])
    return total


def terms(aims: dict[str, Aim], values: dict[str, float | None]) -> tuple[GoalTerm, ...]:
    """The distance term by term, for one build."""
    made = []
    for name, aim in aims.items():
        value = values[name]
        made.append(
            GoalTerm(
                quantity=name,
                value=value,
                target=aim.target,
                tolerance=aim.tolerance,
                term=None if value is None else float(aim.term(value)),
                source=aim.source,
            )
        )
    return tuple(made)


def total(parts: tuple[GoalTerm, ...]) -> float | None:
    """Distance from its terms; None where one is missing."""
    values = [part.term for part in parts if part.term is not None]
    return sum(values) if len(values) == len(parts) else None
