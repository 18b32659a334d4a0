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
from .stance import ride_figures
from .typical import SPREAD

DAMPING_ERROR = 0.13
"""Error of the absolute damping with everything measured: loss model 2 %, hole, oil and temperature."""
FREQUENCY_ERROR = 0.03
"""Error of the frequency with everything measured: spring rate 2 %, motion ratio 2 %, mass 1 %."""


class Effect(NamedTuple):
    """What one assumed value does to the damping ratio and the frequency, as shares of them."""

    path: str
    damping: float
    frequency: float


class Band(NamedTuple):
    """Bands of an end as shares of the figures, either way; effects sorted, the largest first."""

    damping: float
    frequency: float
    effects: tuple[Effect, ...]

    def without(self, path: str) -> float:
        """Damping band once a value is measured."""
        left = [e.damping for e in self.effects if e.path != path]
        return math.sqrt(DAMPING_ERROR**2 + sum(d * d for d in left))


def band(corner: Corner, assumed: tuple[Assumed, ...], at: str, temperature_c: float) -> Band:
    """Bands of an end whose assumed values stand below the pointer `at`."""
    level = msgspec.structs.replace(corner, preload_mm=None)
    base = ride_figures(level, temperature_c)[0]
    effects, paths = [], {entry.path.removeprefix(at) for entry in assumed}
    for entry in assumed:
        if entry.path.startswith(f"{at}/"):
            effects.append(_effect(level, base, entry, entry.path.removeprefix(at), temperature_c, paths))
        elif entry.path.endswith("/oil_temperature_c"):
            effects.append(_warmer(level, base, entry, temperature_c))
    effects.sort(key=lambda e: -(e.damping**2 + e.frequency**2))
    return Band(
        damping=math.sqrt(DAMPING_ERROR**2 + sum(e.damping**2 for e in effects)),
        frequency=math.sqrt(FREQUENCY_ERROR**2 + sum(e.frequency**2 for e in effects)),
        effects=tuple(effects),
    )


def _share(changed: float | None, base: float | None) -> float:
    return 0.0 if changed is None or not base else abs(changed / base - 1.0)


def _effect(
    corner: Corner, base: Any, entry: Assumed, pointer: str, temperature_c: float, paths: set[str]
) -> Effect:
    damping, frequency = 0.0, 0.0
    if isinstance(entry.value, (int, float)):
        for value in SPREAD[pointer.rsplit("/", 1)[-1]].ends(float(entry.value)):
            changed = _with(corner, pointer, value, paths)
            if changed is not None:
                r = ride_figures(changed, temperature_c)[0]
                damping = max(damping, _share(r.damping_ratio_compression, base.damping_ratio_compression))
                frequency = max(frequency, _share(r.frequency_hz, base.frequency_hz))
    return Effect(entry.path, damping, frequency)


def _warmer(corner: Corner, base: Any, entry: Assumed, temperature_c: float) -> Effect:
    rides = [ride_figures(corner, t)[0] for t in SPREAD["oil_temperature_c"].ends(temperature_c)]
    damping = max(_share(r.damping_ratio_compression, base.damping_ratio_compression) for r in rides)
    return Effect(entry.path, damping, 0.0)


_BORE, _PISTON = "/shock/bore_mm", "/shock/piston/diameter_mm"


def _with(corner: Corner, pointer: str, value: float, paths: set[str]) -> Corner | None:
    """Corner with one number changed; None where it then does not fit together.

    A piston whose diameter was assumed from the bore goes with it.
    """
    data = msgspec.to_builtins(corner)
    *steps, leaf = pointer.strip("/").split("/")
    place = data
    for step in steps:
        place = place[step]
    if pointer == _BORE and _PISTON in paths:
        data["shock"]["piston"]["diameter_mm"] += value - place[leaf]
    place[leaf] = value
    built = build(Corner, data, "", [])
    return None if built is MISSING else built
