"""What a choice aims at: stated quantities with target and tolerance, and the distance to them."""

from collections.abc import Iterable
from typing import Annotated, Literal, NamedTuple

import msgspec
import numpy as np

from .car import BetweenGoals, EndGoals, Goal, Goals
from .physics.numbers import Array, Real
from .quantities import Q
from .typical import (
    BOUNCE_HEIGHT_MM,
    DAMPING_RATIO_RATIO,
    DAMPING_RATIO_TOLERANCE,
    FREQUENCY_RATIO,
    FREQUENCY_TOLERANCE_HZ,
    HEIGHT_TOLERANCE_MM,
    LEAST_CLEARANCE_MM,
    SIZES,
    SURFACES,
    TYRE_LOAD_VARIATION,
)

Source = Literal["yours", "common practice"]


Side = Literal["either", "below", "above"]
"""On which side of its target a quantity misses it."""

SIDES: dict[str, Side] = {
    "least_clearance_mm": "below",
    "bounce_height_mm": "above",
    "peak_shock_n": "above",
    "tyre_load_variation": "above",
    "contact_share": "below",
}
"""Quantities of which only one side counts; all others count on either side."""

LANDING = ("least_clearance_mm", "bounce_height_mm", "peak_shock_n")
BUMPS = ("tyre_load_variation", "contact_share")
"""Quantities that a landing and that bumps give: the corner must be moved for them."""

GOAL_WORDS = {
    "frequency_hz": "natural frequency",
    "damping_ratio": "damping ratio",
    "damping_ratio_compression": "damping ratio in",
    "damping_ratio_rebound": "damping ratio out",
    "height_error_mm": "height over level arms",
    "least_clearance_mm": "clearance in the landing",
    "bounce_height_mm": "bounce after the landing",
    "peak_shock_n": "peak force of the shock in the landing",
    "tyre_load_variation": "variation of the tyre's load on bumps",
    "contact_share": "share of the time on the ground on bumps",
    "frequency_ratio": "front/rear frequency",
    "damping_ratio_ratio": "front/rear damping ratio",
}
"""What goals are for, in words."""


class Aim(NamedTuple):
    """One goal as it counts."""

    target: float
    tolerance: float
    source: Source
    side: Side = "either"

    def counted(self, value: Real) -> Array:
        """The value, or the target where it is on the side that does not count."""
        if self.side == "either":
            return np.asarray(value)
        return np.asarray(
            np.minimum(value, self.target) if self.side == "below" else np.maximum(value, self.target)
        )

    def term(self, value: Real) -> Array:
        """Square of the deviation in tolerances; none on the side that does not count."""
        return np.asarray(((self.counted(value) - self.target) / self.tolerance) ** 2)


class GoalTerm(msgspec.Struct, frozen=True, kw_only=True):
    """One term of a distance: ((value - target)/tolerance)^2, none on the side that does not count."""

    quantity: str
    value: Annotated[float, Q("value")] | None
    target: Annotated[float, Q("value")]
    tolerance: Annotated[float, Q("value")]
    term: Annotated[float, Q("distance")] | None
    source: Source
    side: Side


def end_aims(goals: Goals, end: str, surface: str | None, size: str | None) -> dict[str, Aim]:
    """Goals of one end at rest by quantity: the caller's, else the surface's."""
    own: EndGoals = getattr(goals, end)
    defaults: dict[str, tuple[float, float]] = {"height_error_mm": (0.0, HEIGHT_TOLERANCE_MM)}
    if surface is not None:
        row, factor = SURFACES[surface], SIZES[size].goal_factor if size else 1.0
        frequency = row.frequency_hz[0 if end == "front" else 1]
        defaults["frequency_hz"] = (frequency * factor, FREQUENCY_TOLERANCE_HZ)
        if own.damping_ratio_compression is None and own.damping_ratio_rebound is None:
            defaults["damping_ratio"] = (row.damping_ratio, DAMPING_RATIO_TOLERANCE)
    return _merge(own, defaults, [name for name in own.__struct_fields__ if name not in LANDING + BUMPS])


def motion_aims(goals: Goals, end: str, surface: str | None, lands: bool, rolls: bool) -> dict[str, Aim]:
    """Goals of one end in motion by quantity, of landings and of bumps where the use has them.

    Defaults go with a surface, as those at rest do: 2 mm of clearance left over the use's landing, no more than
    10 mm of bounce, and the tyre's load as even as can be (common practice, from memory).
    """
    own: EndGoals = getattr(goals, end)
    defaults: dict[str, tuple[float, float]] = {}
    if surface is not None:
        defaults = {
            "least_clearance_mm": LEAST_CLEARANCE_MM,
            "bounce_height_mm": BOUNCE_HEIGHT_MM,
            "tyre_load_variation": TYRE_LOAD_VARIATION,
        }
    return _merge(own, defaults, (*(LANDING if lands else ()), *(BUMPS if rolls else ())))


def between_aims(goals: Goals) -> dict[str, Aim]:
    """Goals between the ends by quantity, front over rear."""
    defaults = {"frequency_ratio": FREQUENCY_RATIO, "damping_ratio_ratio": DAMPING_RATIO_RATIO}
    return _merge(goals.between, defaults, goals.between.__struct_fields__)


def _merge(
    own: EndGoals | BetweenGoals, defaults: dict[str, tuple[float, float]], names: Iterable[str]
) -> dict[str, Aim]:
    aims = {}
    for name in names:
        goal: Goal | None = getattr(own, name)
        if goal is not None:
            aims[name] = Aim(goal.target, goal.tolerance, "yours", SIDES.get(name, "either"))
        elif name in defaults:
            aims[name] = Aim(*defaults[name], "common practice", SIDES.get(name, "either"))
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
                side=aim.side,
            )
        )
    return tuple(made)


def total(parts: tuple[GoalTerm, ...]) -> float | None:
    """Distance from its terms; None where one is missing."""
    values = [part.term for part in parts if part.term is not None]
    return sum(values) if len(values) == len(parts) else None
