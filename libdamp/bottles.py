"""Which of the oils in hand, alone or two of them mixed, comes nearest to a viscosity, over many temperatures.

The order of preference: the oil that is in the shock, one bottle, then the mixture of the fewest parts; the first
of them that comes within the error, the nearest of its kind. Where none does, the nearest of all.
"""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from .blending import RULES_AGREE, blended, every_rule
from .oils import density_25, density_over, expansion, kinematic, viscosity_over
from .parts import Oil
from .physics.blend import mass_share
from .physics.numbers import ZERO_C, Array, Mask, Places
from .physics.oil import density, grade_density

PARTS = (((1, 1),), ((1, 2), (2, 1)), ((1, 3), (3, 1)), ((1, 4), (2, 3), (3, 2), (4, 1)))
"""Parts by volume of the thinner and of the thicker oil that are mixed, as many in all, the fewest first."""
IN_SHOCK = -1
"""Place of the oil that is in the shock."""


class Chosen(NamedTuple):
    """What to fit at each temperature; places in the list of bottles, IN_SHOCK for the oil that is there."""

    thin: Places
    thick: Places  # the same as thin where nothing is mixed
    thin_parts: Places
    thick_parts: Places  # 0 where nothing is mixed
    dynamic: Array  # Pa s at the temperature
    grade: Array  # m^2/s at 25 C
    apart: Array  # share by which the rules of mixing differ
    is_there: Mask  # False where there is nothing to fit


class _Kind(NamedTuple):
    """Candidates of one kind; shape (candidates,), `dynamic` (candidates, temperatures)."""

    thin: Places
    thick: Places
    thin_parts: Places
    thick_parts: Places
    dynamic: Array
    grade: Array
    apart: Array


def chosen_oils(
    present: Oil, oils: Sequence[tuple[int, Oil]], temperature_c: Array, wanted: Array, within: float, mixed: bool
) -> Chosen:
    """What to fit at each temperature for a dynamic viscosity, Pa s, that is wanted there.

    Parameters
    ----------
    present : the oil in the shock.
    oils : the bottles in hand, each with its place in the list.
    temperature_c, wanted : shape (n,), temperatures [C] and the dynamic viscosities wanted [Pa s].
    within : share by which the viscosity may be off.
    mixed : whether two bottles may be mixed.

    Returns
    -------
    Where neither the oil in the shock is near enough nor any bottle in hand, `is_there` is False.
    """
    kinds = [_bottles([(IN_SHOCK, present)], temperature_c)]
    if oils:
        kinds.append(_bottles(oils, temperature_c))
        kinds += _mixtures(oils, temperature_c) if mixed else []
    best = [_nearest(kind, wanted, only_sure=True) for kind in kinds]
    near = np.array([np.abs(one.dynamic / wanted - 1.0) <= within for one in best])
    if not oils:
        return best[0]._replace(is_there=near[0])
    others = [_nearest(kind, wanted, only_sure=False) for kind in kinds]
    off = np.array([np.abs(one.dynamic / wanted - 1.0) for one in others])
    taken = np.where(np.any(near, axis=0), np.argmax(near, axis=0), len(best) + np.argmin(off, axis=0))
    return Chosen(*(np.choose(taken, fields) for fields in zip(*best, *others, strict=True)))


def _bottles(oils: Sequence[tuple[int, Oil]], temperature_c: Array) -> _Kind:
    """Oils as they are."""
    places = np.array([place for place, _ in oils])
    dynamic = [viscosity_over(oil, temperature_c) * density_over(oil, temperature_c) for _, oil in oils]
    grade = np.array([kinematic(oil, 25.0) for _, oil in oils])
    once = np.full(places.shape, 1)
    return _Kind(places, places, once, 0 * once, np.array(dynamic), grade, 0.0 * grade)


def _nearest(kind: _Kind, wanted: Array, *, only_sure: bool) -> Chosen:
    """The candidate of a kind that comes nearest at each temperature; of infinite viscosity where there is none."""
    off = np.abs(kind.dynamic / wanted - 1.0)
    usable = (kind.apart <= RULES_AGREE) | (not only_sure)
    at = np.argmin(np.where(usable[:, np.newaxis], off, np.inf), axis=0)
    return Chosen(
        thin=kind.thin[at],
        thick=kind.thick[at],
        thin_parts=kind.thin_parts[at],
        thick_parts=kind.thick_parts[at],
        dynamic=np.where(usable[at], kind.dynamic[at, np.arange(at.size)], np.inf),
        grade=kind.grade[at],
        apart=kind.apart[at],
        is_there=np.full(at.shape, True),
    )


def _mixtures(oils: Sequence[tuple[int, Oil]], temperature_c: Array) -> list[_Kind]:
    """Mixtures of every two oils of one family, a kind for each number of parts; not of what thins in shear."""
    pairs = []
    for family in ("silicone", "petroleum"):
        own = [(place, oil) for place, oil in oils if oil.family == family and oil.thinning is None]
        grades = np.array([kinematic(oil, 25.0) for _, oil in own])
        thin, thick = np.nonzero(grades[:, np.newaxis] < grades)
        if thin.size:
            pairs.append((own, thin, thick))
    made = []
    for alike in PARTS if pairs else ():
        ways = [_mixture(*pair, parts, temperature_c) for pair in pairs for parts in alike]
        made.append(_Kind(*(np.concatenate(columns) for columns in zip(*ways, strict=True))))
    return made


def _mixture(
    own: Sequence[tuple[int, Oil]], thin: Places, thick: Places, parts: tuple[int, int], temperature_c: Array
) -> _Kind:
    """Mixtures of pairs of oils of one family in one proportion."""
    oils, family, share = [oil for _, oil in own], own[0][1].family, parts[1] / (parts[0] + parts[1])
    grades = np.array([kinematic(oil, 25.0) for oil in oils])
    nu = np.array([viscosity_over(oil, temperature_c) for oil in oils])
    rho_25 = np.array([density_25(oil) for oil in oils])
    grade = blended(grades[thin], grades[thick], share, family)
    rules = every_rule(grades[thin], grades[thick], share, mass_share(share, rho_25[thin], rho_25[thick]))
    plain = np.array([oil.density_kg_m3 is None and family == "silicone" for oil in oils])
    weighed = (1.0 - share) * rho_25[thin] + share * rho_25[thick]
    rho = np.where(plain[thin] & plain[thick], grade_density(grade), weighed)[:, np.newaxis]
    rho = density(rho, expansion(oils[0]), temperature_c + ZERO_C)
    places = np.array([place for place, _ in own])
    return _Kind(
        thin=places[thin],
        thick=places[thick],
        thin_parts=np.full(thin.shape, parts[0]),
        thick_parts=np.full(thin.shape, parts[1]),
        dynamic=blended(nu[thin], nu[thick], share, family) * rho,
        grade=grade,
        apart=(np.max(rules, axis=0) - np.min(rules, axis=0)) / grade,
    )
