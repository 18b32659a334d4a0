"""The choice from a parts box at rest, a second time: nested loops and a collar, no arrays."""

import math
from dataclasses import dataclass
from itertools import product
from typing import Any

from tests.oracles.plain_check import (
    FILLED_C,
    HOT_C,
    between_distance,
    end_distance,
    spare_ml,
)
from tests.oracles.plan_loop import Data, Standing, gas_of, holes_of, level_preload, stand


@dataclass(frozen=True)
class Candidate:
    """One build of one end."""

    build: dict[str, Any]
    closing_mm: float
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
        "thin_wall": bool(piston.get("drilled")) and thin_wall(shock, piston),
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


def thin_wall(shock: Data, piston: Data) -> bool:
    """Less than 0.8 mm between a drilled hole and rim, shaft or the next hole, on the circle between the two."""
    ((count, hole),) = holes_of(piston["holes"])
    rim, shaft = piston["diameter_mm"], shock["shaft_mm"]
    circle = (rim + shaft) / 2.0
    walls = [(rim - circle - hole) / 2.0, (circle - shaft - hole) / 2.0]
    if count > 1:
        walls.append(circle * math.sin(math.pi / count) - hole)
    return min(walls) < 0.8 - 1e-9


def mixtures(bottles: list[Data]) -> list[dict[str, Any]]:
    """Two-oil mixes: as many shares as steps of 5 % lie between the two, three at most; logarithmic rule."""
    shares = {1: [0.5], 2: [1 / 3, 2 / 3], 3: [0.25, 0.5, 0.75]}
    found = []
    for thin in bottles:
        for thick in bottles:
            ratio = thick["viscosity_cst"] / thin["viscosity_cst"]
            steps = min(3, int(math.log(ratio) / math.log(1.05)) - 1) if ratio > 1.0 else 0
            for share in shares.get(steps, []):
                mixed = thin["viscosity_cst"] ** (1.0 - share) * thick["viscosity_cst"] ** share
                found.append({"viscosity_cst": mixed, "mixed": True})
    return found


def drilled(box: Data) -> list[dict[str, Any]]:
    """Every count of holes of every drill."""
    blank = box.get("blanks")
    if not blank:
        return []
    size = {name: blank[name] for name in ("diameter_mm", "thickness_mm")}
    counts = range(min(2, blank["max_holes"]), blank["max_holes"] + 1)
    return [{**size, "holes": f"{n}x{d:g}", "drilled": True} for n in counts for d in box["drills_mm"]]


def closings(shock: Data) -> list[float]:
    """The cap closed with the shaft as now, out, half in, in."""
    stroke = shock["stroke_mm"]
    return list(dict.fromkeys([shock["fill"]["closing_insertion_mm"], 0.0, stroke / 2.0, stroke]))


def end(corner: Data, box: Data, name: str, place: int, use: Data) -> list[Candidate]:
    """Every build of one end."""
    oils = [*box["oils"], *(mixtures(box["oils"]) if box["mix_oils"] else [])]
    pistons = [*box["pistons"], *drilled(box)]
    axes = (box[f"{name}_springs"], box["limiters_mm"], closings(corner["shock"]), oils, pistons)
    found = []
    for spring, limiter, closing, oil, piston in product(*axes):
        closed = {**corner, "shock": {**corner["shock"], "fill": dict(corner["shock"]["fill"])}}
        closed["shock"]["fill"]["closing_insertion_mm"] = closing
        build = {"spring": spring, "limiter_mm": limiter, "oil": oil, "piston": piston}
        found += steps_of(closed, build, box["collar_step_mm"], use, place)
    return found


def steps_of(corner: Data, build: dict[str, Any], step: float, use: Data, place: int) -> list[Candidate]:
    """One build at every step of its collar."""
    celsius, found = use["oil_temperature_c"], []
    closing = corner["shock"]["fill"]["closing_insertion_mm"]
    for preload in preloads(corner, build, step, celsius):
        at = stand(corner, build, celsius, preload)
        reason = rejected_for(corner, build, preload, celsius, at)
        good = at if isinstance(at, Standing) else None
        far = end_distance(good, use["surface"], place) if good and reason is None else None
        found.append(Candidate(build, closing, preload, good, reason, far))
    return found


def plan(car: Data, use: Data, box: Data) -> dict[str, Any]:
    """All builds of both ends, and the nearest pair of legal ones."""
    ends = {name: end(car[name], box, name, place, use) for place, name in enumerate(("front", "rear"))}
    best = None
    for front in ends["front"]:
        for rear in ends["rear"]:
            if front.distance is None or rear.distance is None:
                continue
            if all(one.build["piston"].get("drilled") for one in (front, rear)) and box["blanks"]["count"] < 4:
                continue
            assert front.at is not None
            assert rear.at is not None
            far = front.distance + rear.distance + between_distance(front.at, rear.at)
            if best is None or far < best[0]:
                best = (far, front, rear)
    return {**ends, "best": best}
