"""Parts that are not in the box and are tried: springs, oils and pistons, in steps, and what they are called."""

import math
from collections.abc import Sequence
from typing import Literal, get_args

import msgspec
import numpy as np

from .car import Corner
from .errors import InputError
from .in_hand import LEAST_HOLES, Parts
from .parts import Holes, Oil, Piston, SecondPoint, Spring

STEPS_AN_OCTAVE, BEYOND, MOST_TRIED = 12, 3.0, 60
"""Springs and oils that are tried: from a third of the least in hand to three times the most, by 6 %; by more where
that would be more than so many of them."""
MOST_HOLES, SMALLEST_HOLE_MM, LARGEST_HOLE_MM = 8, 0.9, 2.5
"""Pistons that are tried: two to so many equal holes, by tenths of a millimetre, thick and wide as the fitted."""

PartName = Literal["spring", "oil", "piston"]
PARTS: tuple[PartName, ...] = get_args(PartName)


def steps(in_hand: Sequence[float]) -> tuple[float, ...]:
    """Values around those in hand, evenly by ratio, to two figures; for any in hand the same ones.

    >>> steps([1.0])[::6], len(steps([1.0]))
    ((0.33, 0.47, 0.67, 0.94, 1.5, 2.1, 3.0), 37)
    """
    low, high = np.log2([min(in_hand) / BEYOND, max(in_hand) * BEYOND]) * STEPS_AN_OCTAVE
    wide = math.ceil((high - low + 1.0) / MOST_TRIED)
    values = (2.0 ** (k / STEPS_AN_OCTAVE) for k in range(math.ceil(low), math.floor(high) + 1) if k % wide == 0)
    return tuple(dict.fromkeys(float(f"{x:.2g}") for x in values))


def springs_to_buy(fitted: Spring, in_hand: Sequence[Spring]) -> tuple[Spring, ...]:
    """Springs as long as the fitted one, free and coil on coil."""
    made = []
    for rate in steps([spring.rate_n_mm for spring in in_hand]):
        try:
            made.append(msgspec.structs.replace(fitted, rate_n_mm=rate, label=None))
        except InputError:
            continue
    return tuple(made)


def oils_to_buy(fitted: Oil, in_hand: Sequence[Oil]) -> tuple[Oil, ...]:
    """Oils of the fitted one's family and law."""
    made = []
    for grade in steps([oil.viscosity_cst for oil in in_hand]):
        point = fitted.second_point
        try:
            if point is not None:
                scaled = point.viscosity_cst * grade / fitted.viscosity_cst
                point = SecondPoint(viscosity_cst=scaled, temperature_c=point.temperature_c)
            made.append(msgspec.structs.replace(fitted, viscosity_cst=grade, second_point=point, label=None))
        except InputError:
            continue
    return tuple(made)


def pistons_to_buy(fitted: Piston) -> tuple[Piston, ...]:
    """Pistons thick and wide as the fitted one with other holes."""
    sizes = np.round(np.arange(SMALLEST_HOLE_MM, LARGEST_HOLE_MM + 0.05, 0.1), 1)
    return tuple(
        msgspec.structs.replace(fitted, holes=(Holes(count=count, diameter_mm=float(size)),), label=None)
        for count in range(LEAST_HOLES, MOST_HOLES + 1)
        for size in sizes
    )


def bought(parts: Parts, corner: Corner, part: PartName) -> Parts:
    """The parts with those to buy in place of one list, as many of each as are needed."""
    shock, bottles = corner.shock, [oil for oil, mix in zip(parts.oils, parts.mixes, strict=True) if mix is None]
    if part == "spring":
        springs = springs_to_buy(corner.spring, parts.springs)
        return parts._replace(springs=springs, spring_counts=(np.inf,) * len(springs))
    if part == "oil":
        oils = oils_to_buy(shock.oil, bottles)
        return parts._replace(oils=oils, mixes=(None,) * len(oils))
    pistons = pistons_to_buy(shock.piston)
    number = len(pistons)
    return parts._replace(
        pistons=pistons,
        piston_counts=(np.inf,) * number,
        drills=(None,) * number,
        wall_lacks_mm=(0.0,) * number,
    )


def called(part: Spring | Oil | Piston) -> str:
    """What to ask for over the counter."""
    if isinstance(part, Spring):
        length = "" if part.free_length_mm is None else f", {part.free_length_mm:g} mm long"
        return f"a spring of {part.rate_n_mm:g} N/mm{length}"
    if isinstance(part, Oil):
        return f"an oil of {part.viscosity_cst:g} cSt at {part.reference_temperature_c:g} C"
    return f"a piston {part.holes[0].count}x{part.holes[0].diameter_mm:g}"
