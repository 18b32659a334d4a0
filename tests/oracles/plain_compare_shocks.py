"""Two shocks side by side, a second time: one force at a time by `damping_curve`, one error after another."""

import copy
from typing import Any

import libdamp

Data = dict[str, Any]


def force(one: Data, speed: float, celsius: float = 25.0) -> float:
    """Compression force at a speed, N."""
    asked = {"shock": one, "speeds_m_s": [speed], "temperature_c": celsius}
    return float(libdamp.calculate("damping_curve", asked)["compression_n"][0])


def _with(one: Data, part: str, field: str, value: Any) -> Data:
    made = copy.deepcopy(one)
    made[part][field] = value
    return made


def compare_shocks(reference: Data, oil_cst: float, holes_off: str, speed: float) -> tuple[float, float, float]:
    """Force of a shock, with another oil, and the error of their difference; `holes_off`: holes 0.02 mm wider."""
    other = _with(reference, "oil", "viscosity_cst", oil_cst)
    both, squares = (reference, other), 0.0
    thicker = reference["piston"]["thickness_mm"] + 0.05
    for field, value in (("holes", holes_off), ("thickness_mm", thicker)):  # one piston, one error
        moved = [force(_with(one, "piston", field, value), speed) - force(one, speed) for one in both]
        squares += (moved[1] - moved[0]) ** 2
    warmer = [force(one, speed, 27.0) - force(one, speed) for one in both]
    squares += (warmer[1] - warmer[0]) ** 2
    for one in both:  # two bottles, two errors
        grade = one["oil"]["viscosity_cst"]
        squares += (force(_with(one, "oil", "viscosity_cst", 1.05 * grade), speed) - force(one, speed)) ** 2
    return force(reference, speed), force(other, speed), squares**0.5
