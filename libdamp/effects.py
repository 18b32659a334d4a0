"""What a change does to every headline figure, which effects are clear, and which are for the worse.

One table says for each figure from which difference on it counts and which way is better. Two set-ups of the same
shock differ truly when they differ by a few per cent; lengths below half a millimetre are lost in seal drag.
"""

from collections.abc import Mapping, Sequence
from typing import Annotated, Literal, NamedTuple

import msgspec

from .car import Car, Corner, Goals, Size, Use
from .findings import Finding
from .goals import Aim, between_aims, end_aims
from .headlines import Headlines, Runs, runs_of, told_headlines
from .quantities import Q
from .stance import dynamics_of
from .typical import DAMPING_RATIO_TOLERANCE
from .working import ALONE, Helpers

COLDER_C, COLDEST_C = 20.0, -20.0
"""How much colder a cold day is than the oil now, and no colder than this."""

Better = Literal["more", "less", "nil", "goal", "taut", "either"]


class ChangeFigures(Headlines, frozen=True, kw_only=True):
    """Headline figures of an end, its damping ratio on a cold day, and how it goes with the other end."""

    cold_damping_ratio: Annotated[float, Q("damping_ratio")] | None
    frequency_ratio: Annotated[float, Q("frequency_ratio")] | None
    damping_ratio_ratio: Annotated[float, Q("damping_ratio_ratio")] | None


class Measure(NamedTuple):
    """From which difference on a figure counts, and which way is better."""

    better: Better
    absolute: float  # in the figure's unit
    relative: float  # of the figure before

    def least(self, before: float) -> float:
        """Difference from which on a change is clear."""
        return max(self.absolute, self.relative * abs(before))


MEASURES: dict[str, Measure] = {
    "least_clearance_mm": Measure("more", 0.5, 0.0),
    "touch_height_mm": Measure("more", 5.0, 0.03),
    "bounce_height_mm": Measure("less", 1.0, 0.05),
    "tyre_load_variation": Measure("less", 0.02, 0.03),
    "contact_share": Measure("more", 0.02, 0.0),
    "kerb_peak_n": Measure("less", 0.5, 0.05),
    "half_time_s": Measure("either", 0.002, 0.05),
    "overshoot_mm": Measure("less", 0.3, 0.05),
    "mean_shift_mm": Measure("nil", 0.2, 0.05),
    "peak_shock_n": Measure("less", 1.0, 0.05),
    "clearance_mm": Measure("goal", 0.5, 0.0),
    "spare_hot_ml": Measure("more", 0.02, 0.1),
    "damping_ratio_compression": Measure("goal", 0.01, 0.05),
    "damping_ratio_rebound": Measure("goal", 0.01, 0.05),
    "frequency_hz": Measure("goal", 0.02, 0.02),
    "droop_travel_mm": Measure("either", 0.5, 0.0),
    "bump_travel_mm": Measure("more", 0.5, 0.0),
    "preload_mm": Measure("taut", 0.25, 0.0),
    "wheel_rate_n_mm": Measure("either", 0.0, 0.03),
    "cold_damping_ratio": Measure("either", 0.02, 0.05),
    "frequency_ratio": Measure("goal", 0.02, 0.02),
    "damping_ratio_ratio": Measure("goal", 0.02, 0.05),
}
"""The thresholds (judgement: a few per cent, seal drag, what a driver can tell) and the better way of each figure.

"nil" is the nearer to nothing the better; "goal" the nearer to the goal of the end, or of both ends; "taut" is
worse the further below nothing, and neither above it; "either" is never better nor worse by itself.
"""


class Effect(NamedTuple):
    """A change of one figure."""

    name: str
    before: float
    after: float
    clear: bool
    nearer: float  # towards the better way, in least differences; 0 where either way is as good
    better: bool
    worse: bool

    @property
    def size(self) -> float:
        """How large the change is, in least differences."""
        return abs(self.after - self.before) / MEASURES[self.name].least(self.before)


def steps(better: Better, least: float, before: float, after: float, aim: Aim | None) -> float:
    """How far a figure has gone towards the better way, in least differences."""
    if better == "goal" and aim is not None:
        gone = abs(before - aim.target) - abs(after - aim.target)
    else:
        ways = {
            "more": after - before,
            "less": before - after,
            "nil": abs(before) - abs(after),
            "taut": min(after, 0.0) - min(before, 0.0),
        }
        gone = ways.get(better, 0.0)
    return gone / least


def effect_of(name: str, before: float, after: float, aims: Mapping[str, Aim]) -> Effect:
    """What a change does to a figure; a figure with a goal is only worse outside of its tolerance."""
    measure, aim = MEASURES[name], aims.get(name)
    least = measure.least(before)
    gone = steps(measure.better, least, before, after, aim)
    clear = abs(after - before) > least
    matters = aim is None or abs((before if gone > 0.0 else after) - aim.target) > aim.tolerance
    return Effect(
        name=name,
        before=before,
        after=after,
        clear=clear,
        nearer=gone,
        better=clear and matters and gone > 1.0,
        worse=clear and matters and gone < -1.0,
    )


def effects(before: ChangeFigures, after: ChangeFigures, aims: Mapping[str, Aim]) -> tuple[Effect, ...]:
    """Effects on every figure that exists before and after."""
    made = []
    for name in MEASURES:
        was, now = getattr(before, name), getattr(after, name)
        if was is not None and now is not None:
            made.append(effect_of(name, was, now, aims))
    return tuple(made)


def aims_of(car: Car, end: str, goals: Goals, use: Use, size: Size | None, now: ChangeFigures) -> dict[str, Aim]:
    """Goals of an end by figure; on a cold day the goal is the damping ratio of now."""
    own, corner = end_aims(goals, end, use.surface, size), getattr(car, end)
    height = own["height_error_mm"]
    made = {
        "clearance_mm": height._replace(target=corner.level_clearance_mm + height.target),
        **between_aims(goals),
    }
    if "frequency_hz" in own:
        made["frequency_hz"] = own["frequency_hz"]
    for name in ("damping_ratio_compression", "damping_ratio_rebound"):
        aim = own.get(name, own.get("damping_ratio"))
        if aim is not None:
            made[name] = aim
    ratio = mean_ratio(now)
    if ratio is not None:
        made["cold_damping_ratio"] = Aim(ratio, DAMPING_RATIO_TOLERANCE, "common practice")
    return made


def mean_ratio(at: Headlines) -> float | None:
    """Damping ratio, mean of both ways."""
    both = (at.damping_ratio_compression, at.damping_ratio_rebound)
    return None if both[0] is None or both[1] is None else 0.5 * (both[0] + both[1])


def _cold_ratio(corner: Corner, temperature_c: float, at: Headlines) -> float | None:
    """Damping ratio on a cold day, mean of both ways."""
    both = (at.damping_ratio_compression, at.damping_ratio_rebound)
    if both[0] is None or both[1] is None:
        return None
    now, cold = (dynamics_of(corner, c) for c in (temperature_c, max(COLDEST_C, temperature_c - COLDER_C)))
    ways = ((now.compression, cold.compression), (now.rebound, cold.rebound))
    grown = [float(b) / float(a) for a, b in ways if float(a) > 0.0]
    return 0.5 * (both[0] * grown[0] + both[1] * grown[1]) if len(grown) == 2 else None


def _over(front: float | None, rear: float | None) -> float | None:
    return None if front is None or not rear else front / rear


def with_other(at: Headlines, cold: float | None, end: str, other: Headlines) -> ChangeFigures:
    """ChangeFigures of an end beside the other one."""
    front, rear = (at, other) if end == "front" else (other, at)
    own = {name: getattr(at, name) for name in Headlines.__struct_fields__}
    return ChangeFigures(
        **own,
        cold_damping_ratio=cold,
        frequency_ratio=_over(front.frequency_hz, rear.frequency_hz),
        damping_ratio_ratio=_over(mean_ratio(front), mean_ratio(rear)),
    )


def runs_of_car(car: Car, use: Use) -> Runs:
    """What both ends are put through; the kerb is that of the lower end."""
    return runs_of(use, min(car.front.level_clearance_mm, car.rear.level_clearance_mm))


class Seen(NamedTuple):
    """A corner worked out: its figures, and what is wrong with it at rest and with its fill, notes aside."""

    figures: ChangeFigures
    faults: tuple[Finding, ...]


def figures_of(
    car: Car, use: Use, changed: Sequence[tuple[str, Corner, float]], helpers: Helpers = ALONE
) -> list[Seen]:
    """Front and rear as they stand, then each changed corner (end, corner, oil [C]).

    Raises
    ------
    Cancelled : the caller's progress said so.
    """
    now = [(end, getattr(car, end), use.oil_temperature_c) for end in ("front", "rear")]
    every = [*now, *changed]
    seen = told_headlines([(corner, celsius) for _, corner, celsius in every], runs_of_car(car, use), helpers)
    made = []
    for (end, corner, celsius), (at, found) in zip(every, seen, strict=True):
        other = seen[1 if end == "front" else 0][0]
        figures = with_other(at, _cold_ratio(corner, celsius, at), end, other)
        made.append(Seen(figures, tuple(f for f in found if f.severity != "note")))
    return made


def differences(before: ChangeFigures, after: ChangeFigures) -> ChangeFigures:
    """After less before, figure by figure."""
    made = {}
    for name in ChangeFigures.__struct_fields__:
        was, now = getattr(before, name), getattr(after, name)
        made[name] = None if was is None or now is None else now - was
    return msgspec.structs.replace(before, **made)
