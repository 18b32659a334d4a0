"""The choice from a parts box, a second time: four nested loops and a collar, no arrays."""

import math
from dataclasses import dataclass
from typing import Any

from tests.oracles.plain_check import (
    FILLED_C,
    HOT_C,
    between_distance,
    end_distance,
    spare_ml,
)
from tests.oracles.plan_loop import Data, Standing, gas_of, level_preload, stand


@dataclass(frozen=True)
class Candidate:
    """One build of one end."""

    build: dict[str, Any]
    preload_mm: float
    at: Standing | None
    reason: str | None
    distance: float | None


def preloads(corner: Data, build: Data, step: float, celsius: float) -> list[float]:
    """Whole steps of the collar: the nearest to level arms, two either side, the least with a captive spring."""
    shock, spring = corner["shock"], build["spring"]
    gas = gas_of(shock, build["piston"], celsius, celsius)
    wanted = level_preload(corner, spring, build["limiter_mm"], gas)[0]
    # upper eye to upper seat with no preload: the spring at its free length
    zero = shock["extended_length_mm"] - build["limiter_mm"] - shock["seat_offset_mm"] - spring["free_length_mm"]
    middle = round((zero + wanted) / step)
    steps = [middle + k for k in range(-2, 3)]
    captive = math.ceil(zero / step - 1e-6)
    return [k * step - zero for k in (steps if captive in steps else [*steps, captive])]


def rejected_for(corner: Data, build: Data, preload: float, celsius: float, at: Standing | str) -> str | None:
    """First reason that applies, in the order in which they count."""
    shock, piston = corner["shock"], build["piston"]
    locks = {
        "lock_cold": spare_ml(shock, piston, FILLED_C, FILLED_C) < 0.0,
        "lock_hot": spare_ml(shock, piston, max(HOT_C, celsius), FILLED_C) <= 0.0,
    }
    if isinstance(at, str):
        stands = {at: True}
    else:
        below_eye = shock["extended_length_mm"] - build["limiter_mm"] - shock["seat_offset_mm"]
        stands = {
            "falling_rate": at.wheel_rate <= 0.0,
            "chassis_on_ground": at.travel_mm >= corner["level_clearance_mm"],
            "collar_off": below_eye < build["spring"]["free_length_mm"] - preload,
            "loose_spring": preload < -1e-6,
            "coil_bind": at.bind_margin_mm is not None and at.bind_margin_mm < 0.0,
        }
    return next((reason for reason, applies in {**locks, **stands}.items() if applies), None)


def end(corner: Data, box: Data, name: str, place: int, use: Data) -> list[Candidate]:
    """Every build of one end."""
    celsius, found = use["oil_temperature_c"], []
    for spring in box[f"{name}_springs"]:
        for limiter in box["limiters_mm"]:
            for oil in box["oils"]:
                for piston in box["pistons"]:
                    build = {"spring": spring, "limiter_mm": limiter, "oil": oil, "piston": piston}
                    for preload in preloads(corner, build, box["collar_step_mm"], celsius):
                        at = stand(corner, build, celsius, preload)
                        reason = rejected_for(corner, build, preload, celsius, at)
                        good = at if isinstance(at, Standing) else None
                        far = end_distance(good, use["surface"], place) if good and reason is None else None
                        found.append(Candidate(build, preload, good, reason, far))
    return found


def plan(car: Data, use: Data, box: Data) -> dict[str, Any]:
    """All builds of both ends, and the nearest pair of legal ones."""
    ends = {name: end(car[name], box, name, place, use) for place, name in enumerate(("front", "rear"))}
    best = None
    for front in ends["front"]:
        for rear in ends["rear"]:
            if front.distance is None or rear.distance is None:
                continue
            assert front.at is not None
            assert rear.at is not None
            far = front.distance + rear.distance + between_distance(front.at, rear.at)
            if best is None or far < best[0]:
                best = (far, front, rear)
    return {**ends, "best": best}
