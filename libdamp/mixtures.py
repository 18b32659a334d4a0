"""Mixtures of two oils that are worth trying: a few shares, pairs of close oils first."""

import math
from collections.abc import Iterator
from itertools import combinations
from typing import Annotated

import msgspec

from .blending import blended
from .errors import InputError
from .oils import kinematic, oil_state
from .parts import Oil, SecondPoint, plain_part
from .quantities import Q

PARTS: dict[int, tuple[tuple[int, int], ...]] = {
    1: ((1, 1),),
    2: ((2, 1), (1, 2)),
    3: ((3, 1), (1, 1), (1, 3)),
}
"""How many parts of the thin and of the thick oil, by how many steps lie between the two."""
STEP = 1.05
"""Ratio of viscosities below which a step is lost in the error of the answer: none is taken smaller."""
MOST_MIXTURES = 30
"""Mixtures that are looked at, those of the closest pairs first."""
AT_25_C, WARM_C = 25.0, 60.0
"""Temperatures at which a mixture of oils with laws of their own is worked out."""


class Mix(msgspec.Struct, frozen=True, kw_only=True):
    """A mixture of two oils by volume: so many parts of the thin one and of the thick one."""

    thin: Oil
    thick: Oil
    thin_parts: Annotated[int, Q("mix_parts")]
    thick_parts: Annotated[int, Q("mix_parts")]
    thick_share: Annotated[float, Q("thick_share_volume")]


def shares(ratio: float) -> tuple[tuple[int, int], ...]:
    """Parts of thin and thick oil worth trying for a ratio of their viscosities; none for close neighbours.

    >>> shares(1.25), shares(1.14), shares(1.08)
    (((3, 1), (1, 1), (1, 3)), ((1, 1),), ())
    """
    between = math.floor(math.log(ratio) / math.log(STEP) + 1e-9) - 1
    return PARTS[min(3, between)] if between >= 1 else ()


def mixed_oil(thin: Oil, thick: Oil, share: float) -> Oil:
    """Oil that two make, `share` of the thick one by volume: the family's rule at 25 C.

    Oils with laws of temperature of their own are mixed at 60 C as well.

    Raises
    ------
    InputError : the two points of the mixture make no oil.
    """

    def at(celsius: float) -> float:
        low, high = kinematic(thin, celsius), kinematic(thick, celsius)
        return float(blended(low, high, share, thin.family)) * 1e6

    usual = all(o.family == "silicone" and o.vtc is None and o.second_point is None for o in (thin, thick))
    point = None if usual else SecondPoint(viscosity_cst=at(WARM_C), temperature_c=WARM_C)
    density = None
    if thin.density_kg_m3 is not None or thick.density_kg_m3 is not None:
        both = [oil_state(oil, AT_25_C).density for oil in (thin, thick)]
        density = (1.0 - share) * both[0] + share * both[1]
    return Oil(viscosity_cst=at(AT_25_C), family=thin.family, second_point=point, density_kg_m3=density)


def _pairs(oils: tuple[Oil, ...]) -> Iterator[tuple[float, Oil, Oil]]:
    """Ratio of viscosities at 25 C, thin and thick oil of every pair that mixes."""
    for a, b in combinations(oils, 2):
        if a.family != b.family or a.thinning is not None or b.thinning is not None:
            continue
        thin, thick = sorted((a, b), key=lambda oil: kinematic(oil, AT_25_C))
        yield kinematic(thick, AT_25_C) / kinematic(thin, AT_25_C), thin, thick


def mixtures(oils: tuple[Oil, ...]) -> tuple[tuple[Oil, Mix], ...]:
    """Oils that mixing two of some bottles gives, and how; at most MOST_MIXTURES, close pairs first.

    Oils of two families do not mix; of one that thins at high shear the mixture is not known.

    >>> [(round(oil.viscosity_cst), mix.thin_parts, mix.thick_parts) for oil, mix in mixtures(
    ...     (Oil(viscosity_cst=300), Oil(viscosity_cst=400)))]
    [(322, 3, 1), (346, 1, 1), (372, 1, 3)]
    """
    found: list[tuple[Oil, Mix]] = []
    for ratio, thin, thick in sorted(_pairs(oils), key=lambda pair: pair[0]):
        for parts in shares(ratio):
            share = parts[1] / sum(parts)
            try:
                oil = mixed_oil(thin, thick, share)
            except InputError:
                continue
            both = plain_part(Oil, thin), plain_part(Oil, thick)
            mix = Mix(thin=both[0], thick=both[1], thin_parts=parts[0], thick_parts=parts[1], thick_share=share)
            found.append((oil, mix))
    return tuple(found[:MOST_MIXTURES])
