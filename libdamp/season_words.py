"""A row of a season's table in plain words: what to fit, and what that does."""

from collections.abc import Sequence

from .bottles import IN_SHOCK
from .parts import Oil

SAME = 0.005
"""Errors of damping below this need no number."""


def oil_words(oil: Oil) -> str:
    """An oil as its bottle has it: "325 cSt (summer)", "46 cSt at 40 C".

    >>> oil_words(Oil(viscosity_cst=46, reference_temperature_c=40, label="thin"))
    '46 cSt at 40 C (thin)'
    """
    warm = "" if oil.reference_temperature_c == 25.0 else f" at {oil.reference_temperature_c:g} C"
    label = f" ({oil.label})" if oil.label else ""
    return f"{cst_words(oil.viscosity_cst)}{warm}{label}"


def cst_words(viscosity_cst: float) -> str:
    """A viscosity to three or four figures.

    >>> cst_words(213.456), cst_words(1234.5)
    ('213 cSt', '1234 cSt')
    """
    return f"{viscosity_cst:.0f} cSt" if viscosity_cst >= 100.0 else f"{viscosity_cst:.3g} cSt"


def parts_words(count: int) -> str:
    """A number of parts: "1 part", "3 parts"."""
    return f"{count} part{'' if count == 1 else 's'}"


def fit_words(present: Oil, oils: Sequence[Oil], places: tuple[int, ...], parts: tuple[int, ...]) -> str:
    """What to fit: "leave the 325 cSt in", "fit 200 cSt", "mix 1 part of 200 cSt with 2 parts of 300 cSt"."""
    if places == (IN_SHOCK,):
        return f"leave the {oil_words(present)} in"
    if len(places) == 1:
        return f"fit {oil_words(oils[places[0]])}"
    each = [f"{parts_words(n)} of {oil_words(oils[place])}" for place, n in zip(places, parts, strict=True)]
    return f"mix {' with '.join(each)}"


def ratio_words(compression: float | None, rebound: float | None) -> str:
    """Damping ratio, both ways where they differ: "damping ratio 0.80", "damping ratio 0.80 in, 1.10 out"."""
    if compression is None or rebound is None:
        return "damping"
    both = f"{compression:.2f}", f"{rebound:.2f}"
    return f"damping ratio {both[0]}" if both[0] == both[1] else f"damping ratio {both[0]} in, {both[1]} out"


def percent_words(share: float) -> str:
    """A share with its sign: "+3 %".

    >>> percent_words(0.0312), percent_words(-0.55), percent_words(-0.001)
    ('+3 %', '-55 %', '0 %')
    """
    whole = round(100.0 * share)
    return f"{whole:+d} %" if whole else "0 %"


def against_words(ratios: tuple[float | None, float | None], wanted: str, off: float) -> str:
    """A damping ratio beside the wanted one: "damping ratio 0.82, +2 % against the wanted 0.80"."""
    number = wanted.removeprefix("damping").removeprefix(" ratio").strip()
    if abs(off) < SAME:
        return f"{ratio_words(*ratios)}, as wanted"
    return f"{ratio_words(*ratios)}, {percent_words(off)} against the wanted {number or 'one'}"
