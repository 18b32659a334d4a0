"""Parts that are not in the box and are tried: springs, oils and pistons, in steps, and what they are called."""

import math
from collections.abc import Sequence
from typing import Literal, get_args

import msgspec
import numpy as np

from .car import Corner
from .errors import InputError
from .findings import shown
from .in_hand import LEAST_HOLES, Parts
from .parts import Holes, Oil, Piston, SecondPoint, Spring, holes_words
from .physics.numbers import ZERO_C
from .physics.oil import walther_constants, walther_viscosity
from .quantities.units import parse_unit

STEPS_AN_OCTAVE, BEYOND, MOST_TRIED = 12, 3.0, 60
"""Springs and oils that are tried: from a third of the least in hand to three times the most, by 6 %; by more where
that would be more than so many of them."""
MOST_HOLES, SMALLEST_HOLE_MM, LARGEST_HOLE_MM = 8, 0.9, 2.5
"""Pistons that are tried: two to so many equal holes, by tenths of a millimetre, thick and wide as the fitted."""

ONE_WAY = (2, 4)
"""Counts of one-way holes that are tried beside the others."""

PartName = Literal["oil", "spring", "piston"]
"""The easiest first."""
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
        try:
            second = _second_point(fitted, grade)
            made.append(msgspec.structs.replace(fitted, viscosity_cst=grade, second_point=second, label=None))
        except InputError:
            continue
    return tuple(made)


def _second_point(fitted: Oil, grade: float) -> SecondPoint | None:
    """Second point of an oil like a fitted one: of silicone in proportion, of petroleum on a parallel line of D341.

    Parallel lines are common practice for oils of one base stock; real ones of a viscosity index differ by a tenth.
    """
    point = fitted.second_point
    if point is None:
        return None
    second = point.viscosity_cst * grade / fitted.viscosity_cst
    if fitted.family == "petroleum":
        first_k, second_k = fitted.reference_temperature_c + ZERO_C, point.temperature_c + ZERO_C
        b = walther_constants(fitted.viscosity_cst * 1e-6, first_k, point.viscosity_cst * 1e-6, second_k)[1]
        a = np.log10(np.log10(grade + 0.7)) + b * np.log10(first_k)  # D341 solved for A, of the grade
        second = float(walther_viscosity(a, b, second_k) * 1e6)
    return SecondPoint(viscosity_cst=second, temperature_c=point.temperature_c)


def pistons_to_buy(fitted: Piston) -> tuple[Piston, ...]:
    """Pistons thick and wide as the fitted one with other holes; where it has one-way holes with such as well."""
    sizes = np.round(np.arange(SMALLEST_HOLE_MM, LARGEST_HOLE_MM + 0.05, 0.1), 1).tolist()
    holes: list[tuple[Holes, ...]] = [
        (Holes(count=n, diameter_mm=size),) for n in range(LEAST_HOLES, MOST_HOLES + 1) for size in sizes
    ]
    for way in dict.fromkeys(h.direction for h in fitted.holes if h.direction != "both"):
        holes += [
            (Holes(count=n, diameter_mm=size), Holes(count=one_way, diameter_mm=size, direction=way))
            for n in range(LEAST_HOLES, MOST_HOLES + 1)
            for one_way in ONE_WAY
            for size in sizes[::2]
        ]
    return tuple(msgspec.structs.replace(fitted, holes=each, label=None) for each in holes)


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


def other_rates(rate_n_mm: float) -> str:
    """A spring's rate as other labels say it.

    >>> other_rates(0.38)
    '2.17 lbf/in, 38.7 gf/mm'
    """
    return ", ".join(f"{shown(rate_n_mm * 1e3 / parse_unit(unit).factor)} {unit}" for unit in ("lbf/in", "gf/mm"))


def called(part: Spring | Oil | Piston, ends: int) -> str:
    """What to ask for over the counter, for one end or both."""
    if isinstance(part, Spring):
        long = "" if part.free_length_mm is None else f" ({part.free_length_mm:g} mm)"
        rate = f"{part.rate_n_mm:g} N/mm ({other_rates(part.rate_n_mm)})"
        return f"two springs of {rate}, as long as the fitted ones{long}"
    if isinstance(part, Oil):
        petroleum = "petroleum " if part.family == "petroleum" else ""
        second = part.second_point
        warm = "" if second is None else f" and {second.viscosity_cst:.3g} cSt at {second.temperature_c:g} C"
        return f"{petroleum}oil of {part.viscosity_cst:g} cSt at {part.reference_temperature_c:g} C{warm}"
    return f"{'two' if ends == 1 else 'four'} pistons {holes_words(part)}, {part.thickness_mm:g} mm thick"
