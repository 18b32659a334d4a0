"""Corners of the table: a drawn spread over the usual ranges, all three fills, and the demo corners; rows of text.

A corner is plain data as in a car file, flat under dotted names. All of it is invented.
"""

import math
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

import numpy as np

from libdamp.car import Corner
from libdamp.checked import build
from libdamp.demo import demo_data
from libdamp.errors import Fault
from tests.oracles.plan_loop import slow_damping
from tests.oracles.stiff_motion import lever_of
from tests.oracles.stiff_shock import Data, Switches, filled, holes_of

SWITCHES = {"switch.hole_factor": 1.0, "switch.void_kpa": 1e3, "switch.stop_rate_n_mm": 1e3, "switch.exponent": 1.0}
"""Columns of what a run is told, with their factors to SI."""
CORNER = (
    "sprung_mass_g",
    "unsprung_mass_g",
    "level_clearance_mm",
    "linkage",
    "tyre.rate_n_mm",
    "tyre.loss_factor",
    "tyre.damping_n_s_m",
    "tyre.sidewall_mm",
    "shock.bore_mm",
    "shock.shaft_mm",
    "shock.stroke_mm",
    "shock.extended_length_mm",
    "shock.limiter_mm",
    "shock.cavity_length_mm",
    "shock.seal_drag_n",
    "shock.piston.holes",
    "shock.piston.thickness_mm",
    "shock.piston.diameter_mm",
    "shock.piston.eccentricity",
    "shock.oil.viscosity_cst",
    "shock.oil.thinning.relaxation_time_s",
    "shock.oil.thinning.power_index",
    "shock.oil.thinning.floor_share",
    "shock.fill.kind",
    "shock.fill.gas_ml",
    "shock.fill.room_ml",
    "shock.fill.closing_insertion_mm",
    "shock.fill.exponent",
    "shock.fill.filled_at_c",
    "spring.rate_n_mm",
    "spring.free_length_mm",
    "spring.block_length_mm",
    "preload_mm",
)
"""Columns of a corner; empty where nothing is given."""
INPUTS = ("name", "temperature_c", "height_mm", *SWITCHES, *CORNER)
_TEXTS = ("linkage", "shock.piston.holes", "shock.fill.kind")
_ARM = (
    "arm_length_mm",
    "lower_mount_along_mm",
    "lower_mount_above_mm",
    "upper_mount_out_mm",
    "upper_mount_up_mm",
)

DRAWN = {"bladder": 34, "vented": 22, "emulsion": 22}
DEMO_FALLS_MM = (60, 150, 300)
SEED = 20


class Case(NamedTuple):
    """A landing to be solved."""

    name: str
    corner: Data
    temperature_c: float
    height_mm: float
    switches: Switches


def case_of(row: Mapping[str, str]) -> Case:
    """A landing from the texts of a row."""
    corner: dict[str, Any] = {}
    for path in CORNER:
        if row[path] == "":
            continue
        *parents, leaf = path.split(".")
        place = corner
        for parent in parents:
            place = place.setdefault(parent, {})
        place[leaf] = row[path] if path in _TEXTS else float(row[path])
    corner["linkage"] = linkage_of(corner["linkage"])
    piston = corner["shock"]["piston"]
    piston["holes"] = holes_of(piston["holes"])
    piston.setdefault("diameter_mm", None)
    told = {
        name.split(".")[1].replace("_kpa", "_pa").replace("_n_mm", ""): float(row[name]) * factor
        for name, factor in SWITCHES.items()
        if row[name] != ""
    }
    return Case(row["name"], corner, float(row["temperature_c"]), float(row["height_mm"]), Switches(**told))


def library_corner(case: Case) -> Corner | None:
    """The library's corner of a case; None where it refuses it."""
    faults: list[Fault] = []
    corner = build(Corner, case.corner, "", faults)
    return None if faults else corner


def possible(case: Case) -> bool:
    """Whether the parts fit each other and the gas has room until the shaft is fully in, if vented at the start."""
    shock = case.corner["shock"]
    farthest = shock["limiter_mm" if shock["fill"]["kind"] == "vented" else "stroke_mm"] * 1e-3
    return library_corner(case) is not None and filled(shock, case.temperature_c).room(farthest) > 0.0


def linkage_of(text: str) -> dict[str, Any]:
    """Linkage of "arm 86 62 6 30 72" (mm), "ratio 0.67 78" or "pairs -10:80 0:73.3 10:66.4"."""
    kind, *rest = text.split()
    if kind == "arm":
        return {"kind": kind, **dict(zip(_ARM, map(float, rest), strict=True))}
    if kind == "ratio":
        return {"kind": kind, "motion_ratio": float(rest[0]), "level_length_mm": float(rest[1])}
    pairs = [pair.split(":") for pair in rest]
    return {
        "kind": kind,
        "travel_mm": [float(z) for z, _ in pairs],
        "shock_length_mm": [float(length) for _, length in pairs],
    }


class Size(NamedTuple):
    """Usual corner of a size of car; ranges as (low, high)."""

    corner_g: tuple[float, float]
    bore: float
    shaft: float
    thickness: float
    tyre: float
    clearance: float
    drag: float
    stroke: tuple[float, float]
    over_stroke: float
    arm: tuple[float, float]


SIZES = (
    Size((280, 450), 10, 3.0, 2.0, 6.0, 5.5, 0.15, (11, 15), 5, (55, 75)),
    Size((330, 550), 12, 3.0, 2.2, 1.8, 22, 0.25, (24, 36), 5, (75, 95)),
    Size((380, 650), 12, 3.0, 2.4, 1.7, 27, 0.25, (28, 42), 5, (80, 100)),
    Size((650, 1100), 16, 3.5, 2.8, 3.1, 30, 0.40, (32, 45), 7, (100, 125)),
    Size((900, 1500), 16, 4.0, 3.0, 2.6, 40, 0.40, (42, 50), 7, (110, 140)),
    Size((2000, 3500), 20, 6.0, 4.0, 6.0, 45, 0.60, (50, 62), 9, (150, 185)),
)
"""From 1:10 on-road to 1:5; common practice, from memory."""


def _number(value: float) -> str:
    return f"{value:.4g}"


class Draw:
    """One corner after another from a seeded generator."""

    def __init__(self, seed: int) -> None:
        self.rng = np.random.default_rng(seed)

    def between(self, low: float, high: float) -> float:
        return float(self.rng.uniform(low, high))

    def decades(self, low: float, high: float) -> float:
        return math.exp(self.between(math.log(low), math.log(high)))

    def sometimes(self, share: float) -> bool:
        return bool(self.rng.uniform() < share)

    def linkage(self, size: Size) -> str:
        """An arm, measured pairs or a fixed ratio."""
        kind = self.rng.choice(("arm", "arm", "ratio", "pairs"))
        if kind == "arm":
            arm = self.between(*size.arm)
            along = arm * self.between(0.6, 0.85)
            places = (arm, along, self.between(-4, 8), along * self.between(0.2, 0.7), arm * self.between(0.7, 1.0))
            return " ".join(("arm", *map(_number, places)))
        ratio, length = self.between(0.5, 0.85), size.stroke[1] * self.between(1.7, 2.3)
        if kind == "ratio":
            return f"ratio {ratio:.3g} {length:.4g}"
        bend = self.between(-2e-3, 2e-3)
        travel = (-20, -10, 0, 10, 20)
        return " ".join(("pairs", *(f"{z}:{length - ratio * z - bend * z * z:.5g}" for z in travel)))

    def holes(self, bore: float) -> str:
        """Some holes, now and then of two kinds, one-way ones too."""
        count = int(self.rng.integers(2, 9))
        size = bore * math.sqrt(self.between(0.02, 0.12) / count)
        text = f"{count}x{size:.2f}"
        if self.sometimes(0.25):
            text += f" both {self.between(0.6, 1.1):.2f}"
        if self.sometimes(0.3):
            way = self.rng.choice(("both", "compression", "rebound"))
            text += f"; {int(self.rng.integers(1, 4))}x{size * self.between(0.5, 0.9):.2f} {way}"
        return text

    def fill(self, kind: str, shaft: float, stroke: float) -> dict[str, str]:
        """A fill that has room until the shaft is fully in; a vented cap may go solid before."""
        closing = float(_number(self.between(0.0, 1.0) * stroke))
        whole = math.pi / 4.0 * shaft**2 * stroke * 1e-3
        share = {
            "bladder": self.decades(1.0, 5.0),
            "vented": self.decades(0.25, 4.0),
            "emulsion": self.decades(0.5, 2.5),
        }
        beyond = math.pi / 4.0 * shaft**2 * (stroke - closing) * 1e-3
        least = 0.0 if kind == "vented" else 1.15 * beyond
        volume = "shock.fill.room_ml" if kind == "vented" else "shock.fill.gas_ml"
        found = {
            "shock.fill.kind": kind,
            volume: _number(max(share[kind] * whole, least)),
            "shock.fill.closing_insertion_mm": _number(closing),
        }
        if kind == "bladder" and self.sometimes(0.2):
            found["shock.fill.exponent"] = _number(self.between(1.0, 1.4))
        return found

    def shock(self, kind: str, size: Size) -> dict[str, str]:
        """A shock without its oil, its length still open."""
        stroke, thickness = float(_number(self.between(*size.stroke))), size.thickness * self.between(0.85, 1.15)
        bore = size.bore * self.between(0.97, 1.03)
        row = {
            "shock.bore_mm": _number(bore),
            "shock.shaft_mm": _number(size.shaft),
            "shock.stroke_mm": _number(stroke),
            "shock.limiter_mm": _number(stroke * self.between(0.0, 0.25)),
            "shock.cavity_length_mm": _number(stroke + thickness + size.over_stroke * self.between(0.6, 1.4)),
            "shock.seal_drag_n": _number(size.drag * self.decades(0.3, 3.0)),
            "shock.piston.holes": self.holes(size.bore),
            "shock.piston.thickness_mm": _number(thickness),
            "shock.piston.eccentricity": _number(self.between(0.0, 1.0)) if self.sometimes(0.3) else "0",
        }
        if self.sometimes(0.7):
            row["shock.piston.diameter_mm"] = _number(bore - self.between(0.03, 0.16))
        return row | self.fill(kind, size.shaft, stroke)

    def row(self, name: str, kind: str) -> dict[str, str]:
        """A corner that can stand, and its fall."""
        size = SIZES[int(self.rng.integers(len(SIZES)))]
        mass, share = self.between(*size.corner_g), self.between(0.15, 0.35)
        row = dict.fromkeys(INPUTS, "") | self.shock(kind, size)
        row |= {
            "name": name,
            "temperature_c": _number(round(self.between(5, 45))),
            "height_mm": _number(self.decades(0.6, 12.0) * size.clearance),
            "sprung_mass_g": _number(mass * (1.0 - share)),
            "unsprung_mass_g": _number(mass * share),
            "level_clearance_mm": _number(
                size.clearance * self.between(0.8, 1.4) * self.rng.choice((1.0, 1.0, 1.8))
            ),
            "linkage": self.linkage(size),
            "tyre.rate_n_mm": _number(size.tyre * self.between(0.65, 1.35)),
        }
        if self.sometimes(0.75):
            row["tyre.loss_factor"] = _number(self.between(0.05, 0.6))
        else:
            row["tyre.damping_n_s_m"] = _number(self.between(0.0, 8.0) * mass / 500.0)
        if self.sometimes(0.15):
            row["tyre.sidewall_mm"] = _number(size.clearance * self.between(0.35, 0.7))
        if self.sometimes(0.3):
            row["shock.fill.filled_at_c"] = "20"
        return self._sprung(row) | self._switches(kind)

    def _sprung(self, row: dict[str, str]) -> dict[str, str]:
        """Length of the shock, spring and oil for a level arm, a ride frequency and a damping ratio."""
        lever, sprung = lever_of(linkage_of(row["linkage"])), float(row["sprung_mass_g"]) * 1e-3
        length, ratio = float(lever.length(0.0)), float(lever.ratio(0.0))
        stroke, limiter = float(row["shock.stroke_mm"]), float(row["shock.limiter_mm"])
        frequency, damped = self.between(2.5, 5.5), self.between(0.3, 1.3)
        rate = sprung * (2.0 * math.pi * frequency) ** 2
        at_level = limiter + self.between(0.25, 0.6) * (stroke - limiter)
        row["shock.extended_length_mm"] = f"{1e3 * length + at_level:.5g}"
        row["spring.rate_n_mm"] = _number(rate / ratio**2 * 1e-3)
        row["shock.oil.viscosity_cst"] = "100"
        case = case_of(row)
        slow = _slow(case) * ratio**2 / (2.0 * math.sqrt(rate * sprung))
        row["shock.oil.viscosity_cst"] = _number(min(max(100.0 * damped / slow, 60.0), 3000.0))
        if self.sometimes(0.15):
            law = {"relaxation_time_s": self.decades(1e-6, 1e-4), "power_index": self.between(0.4, 0.9)}
            row |= {f"shock.oil.thinning.{key}": _number(value) for key, value in law.items()}
            row["shock.oil.thinning.floor_share"] = _number(self.between(0.0, 0.3))
        weight = sprung * 9.80665 / ratio / (rate / ratio**2) * 1e3
        if self.sometimes(0.3):
            row["preload_mm"] = _number(weight - (at_level - limiter) + self.between(-2.0, 3.0))
        if self.sometimes(0.15):
            free = weight + stroke + 12.0
            row["spring.free_length_mm"] = _number(free)
            row["spring.block_length_mm"] = _number(free - weight - (stroke - at_level) * self.between(0.4, 0.9))
        return row

    def _switches(self, kind: str) -> dict[str, str]:
        row = {}
        if self.sometimes(0.15) and kind != "emulsion":
            row["switch.hole_factor"] = _number(self.between(1.1, 1.6))
        if self.sometimes(0.15) and kind != "emulsion":
            row["switch.void_kpa"] = _number(self.between(5, 50))
        if self.sometimes(0.15):
            row["switch.stop_rate_n_mm"] = _number(self.decades(100, 1000))
        if self.sometimes(0.15) and kind == "bladder":
            row["switch.exponent"] = _number(self.between(1.0, 1.4))
        return row


def _slow(case: Case) -> float:
    """Damping coefficient as the speed goes to zero, both-way holes alone."""
    shock = case.corner["shock"]
    both = [hole for hole in shock["piston"]["holes"] if hole["direction"] == "both"]
    text = "+".join(f"{hole['count']}x{hole['diameter_mm']}" for hole in both)
    return slow_damping(shock, shock["piston"] | {"holes": text}, shock["oil"], case.temperature_c)


def demo_rows() -> Iterator[dict[str, str]]:
    """The four demo corners as they are, vented, and with an emulsion."""
    for car in ("demo-truck", "demo-buggy"):
        for end in ("front", "rear"):
            flat = _flat(demo_data(car)["car"][end])
            for fall in DEMO_FALLS_MM:
                yield _demo(f"{car}.{end} {fall}", flat, fall, {})
            gas = float(flat["shock.fill.gas_ml"])
            vented = {"shock.fill.kind": "vented", "shock.fill.gas_ml": "", "shock.fill.room_ml": _number(gas)}
            yield _demo(f"{car}.{end} vented", flat, DEMO_FALLS_MM[1], vented)
            yield _demo(f"{car}.{end} emulsion", flat, DEMO_FALLS_MM[1], {"shock.fill.kind": "emulsion"})


def _demo(name: str, flat: dict[str, str], fall: float, changes: dict[str, str]) -> dict[str, str]:
    given = {"name": name, "temperature_c": "25", "height_mm": _number(fall)}
    return dict.fromkeys(INPUTS, "") | flat | given | changes


def _flat(corner: Data) -> dict[str, str]:
    """A corner of a car file under dotted names, texts as in the table."""
    found: dict[str, str] = {}

    def walk(part: Data, path: str) -> None:
        for key, value in part.items():
            if isinstance(value, Mapping) and key != "linkage":
                walk(value, f"{path}{key}.")
            elif path + key in CORNER:
                found[path + key] = value if isinstance(value, str) else " ".join(map(str, _items(value)))

    walk(corner, "")
    return found


def _items(value: Any) -> list[Any]:
    return list(value.values()) if isinstance(value, Mapping) else [value]


def rows() -> Iterator[dict[str, str]]:
    """Every landing of the table, as texts."""
    yield from demo_rows()
    draw = Draw(SEED)
    for kind, count in DRAWN.items():
        for number in range(count):
            row = draw.row(f"{kind} {number + 1}", kind)
            while not possible(case_of(row)):
                row = draw.row(f"{kind} {number + 1}", kind)
            yield row
