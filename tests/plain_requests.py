"""Plain requests that tests start from."""

import copy
from typing import Any

from libdamp.demo import demo_data

Data = dict[str, Any]

USE: Data = {
    "surface": "loose",
    "oil_temperature_c": 31,
    "bump_height_mm": 6,
    "bump_spacing_mm": 250,
    "speed_m_s": 6,
    "jump": "small",
}


LABELS: list[Data] = [
    {"label_value": 25, "viscosity_cst": 250},
    {"label_value": 30, "viscosity_cst": 320},
    {"label_value": 35, "viscosity_cst": 400},
]
VG_100: Data = {
    "viscosity_cst": 100,
    "reference_temperature_c": 40,
    "family": "petroleum",
    "second_point": {"viscosity_cst": 11.1, "temperature_c": 100},
}


def corner(end: str = "front", car: str = "demo-truck") -> Data:
    """A demo corner as plain data, to be changed freely."""
    return copy.deepcopy(demo_data(car)["car"][end])  # type: ignore[no-any-return]


def shock(end: str = "front") -> Data:
    """A demo shock."""
    return corner(end)["shock"]  # type: ignore[no-any-return]


def put(data: Data, path: str, value: Any) -> Data:
    """The data with the value at a dotted path; None of its parts is shared."""
    data = copy.deepcopy(data)
    inner: Any = data
    *steps, last = path.split(".")
    for step in steps:
        inner = inner[int(step)] if step.isdigit() else inner[step]
    inner[int(last) if last.isdigit() else last] = value
    return data


LARGER: Data = {**shock(), "bore_mm": 13, "shaft_mm": 3.5, "piston": {**shock()["piston"], "diameter_mm": 12.9}}
NO_RUNS: Data = {
    "oil_temperature_c": 31,
    "bump_height_mm": 0,
    "bump_spacing_mm": 200,
    "speed_m_s": 6,
    "jump": "none",
}
"""A smooth road without jumps."""
MATCH: Data = {
    "reference": shock(),
    "candidate": LARGER,
    "free": ["oil", "hole"],
    "speeds_m_s": [0.02, 0.1],
    "blank": {"count": 4, "diameter_mm": 12.9, "thickness_mm": 2.4, "max_holes": 4},
}
"""The demo truck's front shock carried over to a larger bore, its holes drilled into a blank."""


SWEEP: Data = {
    "calculation": "fill_check",
    "request": {"shock": shock("rear"), "fill_temperature_c": 20},
    "over": [
        {"path": "run_temperature_c", "values": [20, 35.0]},
        {"path": "shock.fill.gas_ml", "values": [0.5, 0.6]},
    ],
    "only": ["spare_hot_ml", "let_out_ml", "findings"],
}
TOLERANCE: Data = {
    "calculation": "fill_check",
    "request": {"shock": shock("rear"), "fill_temperature_c": 20, "run_temperature_c": "45..55"},
    "only": ["spare_hot_ml", "pressure_hot_kpa"],
    "samples": 100,
    "spreads": {"fill.gas_ml": {"rel_sd": 0.05}, "shock.shaft_mm": {"half_width": 0.02}},
}
"""The demo truck's rear fill: over some temperatures and gas rooms, and how sure it is."""


CHANGES: Data = {
    "car": demo_data("demo-truck")["car"],
    "use": USE,
    "box": {"oils": [{"viscosity_cst": 400}], "collar_step_mm": 0.5},
    "end": "rear",
}
"""The demo truck's rear with a second oil and a collar."""


PLAN: Data = demo_data("demo-buggy") | {
    "box": {"oils": ["450 cSt", "500 cSt"], "front_springs": [{"rate_n_mm": 0.7, "count": 2}], "limiters_mm": [4]},
    "use": USE,
}
"""Few parts: takes a fraction of a whole box."""


def requests() -> dict[str, Data]:
    """One good request of every calculation."""
    return {
        "check": demo_data("demo-truck"),
        "plan": PLAN,
        "changes": CHANGES,
        "ride": {"corner": corner(), "temperature_c": 31, "collar_step_mm": 0.5, "spacers_mm": [1, 2]},
        "damping_curve": {
            "shock": shock(),
            "speeds_m_s": [0.01, 0.05, 0.1],
            "temperature_c": 31,
            "insertion_mm": 12,
        },
        "match": MATCH,
        "bench_cycle": {
            "shock": shock("rear"),
            "amplitude_mm": 9,
            "frequency_hz": 4,
            "centre_insertion_mm": 20,
            "cycles": 1,
        },
        "fill_check": {"shock": shock("rear"), "fill_temperature_c": 20, "run_temperature_c": 50},
        "bubble_rise": {"oil": "325 cst", "depth_mm": 35, "bubble_mm": 0.2, "temperature_c": 25},
        "aerated_oil": {"air_share": 0.1, "chamber_mm": 20, "pressure_kpa": 140},
        "spring_from_wire": {"wire_mm": 1.2, "mean_coil_mm": 14, "active_coils": 6, "force_n": 20},
        "piston_load": {"shock": shock("rear"), "speed_m_s": 0.1, "temperature_c": 31},
        "equal_fall": {"jump": {"apex_m": 0.9, "speed_m_s": 7, "landing_deg": 20}},
        "drop": {"corner": corner(), "height_mm": 120, "temperature_c": 31},
        "touch_height": {"corner": corner("rear"), "temperature_c": 31},
        "bumps": {"corner": corner(), "bump_height_mm": 5, "bump_spacing_mm": 200, "speed_m_s": 6},
        "push_release": {"corner": corner("rear"), "push_mm": 9},
        "oil_viscosity": {"oil": {"viscosity_cst": 325}, "temperature_c": 40},
        "oil_blend": {"thin": {"viscosity_cst": 350}, "thick": "600 cst", "target_cst": 425},
        "oil_for_temperature": {"oil": "325 cSt", "from_temperature_c": 25, "to_temperature_c": 40},
        "season": {"corner": corner(), "temperatures_c": [5, 15, 25], "oils": ["200 cst", "300 cst"]},
        "oil_from_label": {"label_value": 32.5, "table": LABELS},
        "iso_grade": {"oil": copy.deepcopy(VG_100)},
        "compare": {
            "reference": corner(),
            "candidate": put(corner(), "shock.oil.viscosity_cst", 400),
            "use": NO_RUNS,
        },
        "compare_shocks": {"reference": shock(), "candidate": shock("rear"), "speeds_m_s": [0.05, 0.4]},
        "sweep": copy.deepcopy(SWEEP),
        "tolerance": copy.deepcopy(TOLERANCE),
        "convert": {"value": "38 gf/mm", "to": "lbf/in"},
    }
