"""How far off the headline figures of an end may be, and which measurement narrows them most.

One assumed value at a time is taken to both ends of its spread, the effects are added as squares, and the
error that remains with everything measured is added likewise.
"""

import math
from typing import Any, NamedTuple

import msgspec

from .answers import Assumed
from .car import Corner
from .checked import MISSING, build
from .quantities import quantity
from .stance import RideFigures, ride_figures
from .typical import SAG_SHARE, SPREAD

DAMPING_ERROR = 0.13
"""Error of the absolute damping with everything measured: loss model 2 %, hole, oil and temperature."""
FREQUENCY_ERROR = 0.03
"""Error of the frequency with everything measured: spring rate 2 %, motion ratio 2 %, mass 1 %."""


class Effect(NamedTuple):
    """What one assumed value does: to damping ratio and frequency as shares, to the level preload in mm."""

    path: str
    damping: float
    frequency: float
    preload: float


class Band(NamedTuple):
    """Bands of an end, either way; effects sorted, the largest on damping and frequency first."""

    damping: float  # share of the damping ratio
    frequency: float  # share of the frequency
    preload: float  # mm
    effects: tuple[Effect, ...]

    def without(self, path: str) -> float:
        """Damping band once a value is measured."""
        left = [e.damping for e in self.effects if e.path != path]
        return math.sqrt(DAMPING_ERROR**2 + sum(d * d for d in left))


FOLLOWS: dict[str, tuple[tuple[str, float], ...]] = {
    "/shock/bore_mm": (("/shock/piston/diameter_mm", 1.0),),
    "/shock/extended_length_mm": (("/linkage/level_length_mm", 1.0),),
    "/shock/limiter_mm": (("/linkage/level_length_mm", SAG_SHARE - 1.0),),
    "/shock/stroke_mm": (("/linkage/level_length_mm", -SAG_SHARE), ("/shock/cavity_length_mm", 1.0)),
}
"""What was assumed from a value goes with it, so many mm a mm."""


def band(corner: Corner, assumed: tuple[Assumed, ...], at: str, temperature_c: float) -> Band:
    """Bands of an end whose assumed values stand below the pointer `at`."""
    level = msgspec.structs.replace(corner, preload_mm=None)
    base = ride_figures(level, temperature_c)[0]
    own = {e.path.removeprefix(at): e for e in assumed if e.path.startswith(f"{at}/")}
    effects = [_effect(level, base, own, pointer, at, temperature_c) for pointer in own]
    effects += [_warmer(level, base, e, temperature_c) for e in assumed if e.path.endswith("/oil_temperature_c")]
    effects.sort(key=lambda e: -(e.damping**2 + e.frequency**2))
    return Band(
        damping=math.sqrt(DAMPING_ERROR**2 + sum(e.damping**2 for e in effects)),
        frequency=math.sqrt(FREQUENCY_ERROR**2 + sum(e.frequency**2 for e in effects)),
        preload=math.sqrt(sum(e.preload**2 for e in effects)),
        effects=tuple(effects),
    )


def _share(changed: float | None, base: float | None) -> float:
    return 0.0 if changed is None or not base else abs(changed / base - 1.0)


def _effect(
    corner: Corner, base: RideFigures, own: dict[str, Assumed], pointer: str, at: str, temperature_c: float
) -> Effect:
    entry, damping, frequency, preload = own[pointer], 0.0, 0.0, 0.0
    if isinstance(entry.value, (int, float)):
        for value in SPREAD[pointer.rsplit("/", 1)[-1]].ends(float(entry.value)):
            changed = _with(corner, pointer, value, own)
            if changed is None:
                continue
            r = ride_figures(changed, temperature_c)[0]
            damping = max(damping, _share(r.damping_ratio_compression, base.damping_ratio_compression))
            frequency = max(frequency, _share(r.frequency_hz, base.frequency_hz))
            if r.preload_for_level_mm is not None and base.preload_for_level_mm is not None:
                preload = max(preload, abs(r.preload_for_level_mm - base.preload_for_level_mm))
    return Effect(f"{at}{pointer}", damping, frequency, preload)


def _warmer(corner: Corner, base: RideFigures, entry: Assumed, temperature_c: float) -> Effect:
    low, high = quantity("oil_temperature_c").possible or (temperature_c, temperature_c)
    ends = [min(max(t, low), high) for t in SPREAD["oil_temperature_c"].ends(temperature_c)]
    rides = [ride_figures(corner, t)[0] for t in ends]
    damping = max(_share(r.damping_ratio_compression, base.damping_ratio_compression) for r in rides)
    return Effect(entry.path, damping, 0.0, 0.0)


def _with(corner: Corner, pointer: str, value: float, own: dict[str, Assumed]) -> Corner | None:
    """Corner with one number changed and what was assumed from it; None where it then does not fit together."""
    data = msgspec.to_builtins(corner)
    place, leaf = _place(data, pointer)
    change = value - place[leaf]
    place[leaf] = value
    for follower, share in FOLLOWS.get(pointer, ()):
        if follower in own:
            inner, name = _place(data, follower)
            inner[name] += share * change
    if pointer == "/unsprung_mass_g":  # what was weighed is the whole corner
        data["sprung_mass_g"] -= change
    built = build(Corner, data, "", [])
    return None if built is MISSING else built


def _place(data: dict[str, Any], pointer: str) -> tuple[dict[str, Any], str]:
    *steps, leaf = pointer.strip("/").split("/")
    for step in steps:
        data = data[step]
    return data, leaf
