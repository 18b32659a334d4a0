"""Oils of a season, a second time: loops over temperatures, bottles, mixtures, by the formulas in plan_loop."""

import math
from typing import NamedTuple

from scipy.optimize import brentq

from tests.oracles.plan_loop import Data, Standing, slow_damping, stand

PROPORTIONS = [[(1, 1)], [(1, 2), (2, 1)], [(1, 3), (3, 1)], [(1, 4), (2, 3), (3, 2), (4, 1)]]
"""Parts of the thinner and the thicker oil, as many in all, the fewest first."""
ALIKE = 0.05


class Row(NamedTuple):
    """One temperature: the wanted grade, bottles and parts, the grade to fit, damping ratios, errors."""

    wanted_cst: float
    bottles: tuple[int, ...]
    parts: tuple[int, ...]
    viscosity_cst: float | None
    damping_ratio: float | None
    unchanged: float
    error: float | None
    error_unchanged: float


def ratio_with(corner: Data, grade: float, celsius: float) -> float:
    """Damping ratio of a corner with a silicone oil of a grade."""
    shock = corner["shock"]
    build = {
        "spring": corner["spring"],
        "oil": {"viscosity_cst": grade},
        "piston": shock["piston"],
        "limiter_mm": shock["limiter_mm"],
    }
    at = stand(corner, build, celsius, corner.get("preload_mm"))
    assert isinstance(at, Standing)
    return at.damping_ratio


def damps(corner: Data, grade: float, celsius: float) -> float:
    """Slow damping of a corner's shock with a silicone oil of a grade, N s/m."""
    shock = corner["shock"]
    return slow_damping(shock, shock["piston"], {"viscosity_cst": grade}, celsius)


def kinds_in_hand(own: float, grades: list[float]) -> list[list[tuple[tuple[int, ...], tuple[int, ...], float]]]:
    """Bottles, parts and grade of everything that can be fitted, in order of preference."""
    kinds = [[((), (), own)], [((i,), (1,), grade) for i, grade in enumerate(grades)]]
    for alike in PROPORTIONS:
        kinds.append([])
        for i, thin in enumerate(grades):
            for j, thick in enumerate(grades):
                if thin < thick:
                    for few, more in alike:
                        mixed = math.exp((few * math.log(thin) + more * math.log(thick)) / (few + more))
                        kinds[-1].append(((i, j), (few, more), mixed))
    return kinds


def season(corner: Data, temperatures: list[float], grades: list[float], reference_c: float) -> list[Row]:
    """A row a temperature; the bottles are silicone oils that are near enough to each other to be mixed."""
    own = corner["shock"]["oil"]["viscosity_cst"]
    goal, rows = damps(corner, own, reference_c), []
    for celsius in temperatures:
        wanted = brentq(lambda grade: damps(corner, grade, celsius) / goal - 1.0, 11.0, 9900.0, xtol=1e-12)  # noqa: B023
        best: tuple[tuple[int, ...], tuple[int, ...], float] | None = None
        everything = []
        for kind in kinds_in_hand(own, grades):
            off = [(abs(damps(corner, one[2], celsius) / goal - 1.0), n) for n, one in enumerate(kind)]
            everything += [(miss, kind[n]) for miss, n in off]
            if best is None and off and min(off)[0] <= ALIKE:
                best = kind[min(off)[1]]
        if best is None and grades:
            best = min(everything, key=lambda pair: pair[0])[1]
        rows.append(
            Row(
                wanted_cst=wanted,
                bottles=best[0] if best else (),
                parts=best[1] if best else (),
                viscosity_cst=best[2] if best else None,
                damping_ratio=ratio_with(corner, best[2], celsius) if best else None,
                unchanged=ratio_with(corner, own, celsius),
                error=damps(corner, best[2], celsius) / goal - 1.0 if best else None,
                error_unchanged=damps(corner, own, celsius) / goal - 1.0,
            )
        )
    return rows
