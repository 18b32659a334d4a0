"""Plain requests that tests start from, and one that reaches each finding."""

import copy
from collections.abc import Callable
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


def requests() -> dict[str, Data]:
    """One good request of every calculation."""
    return {
        "check": demo_data("demo-truck"),
        "plan": demo_data("demo-buggy"),
        "ride": {"corner": corner(), "temperature_c": 31, "collar_step_mm": 0.5, "spacers_mm": [1, 2]},
        "damping_curve": {
            "shock": shock(),
            "speeds_m_s": [0.01, 0.05, 0.1],
            "temperature_c": 31,
            "insertion_mm": 12,
        },
        "fill_check": {"shock": shock("rear"), "fill_temperature_c": 20, "run_temperature_c": 50},
        "spring_from_wire": {"wire_mm": 1.2, "mean_coil_mm": 14, "active_coils": 6, "force_n": 20},
        "equal_fall": {"jump": {"apex_m": 0.9, "speed_m_s": 7, "landing_deg": 20}},
        "oil_viscosity": {"oil": {"viscosity_cst": 325}, "temperature_c": 40},
        "oil_blend": {"thin": {"viscosity_cst": 350}, "thick": "600 cst", "target_cst": 425},
        "oil_for_temperature": {"oil": "325 cSt", "from_temperature_c": 25, "to_temperature_c": 40},
        "convert": {"value": "38 gf/mm", "to": "lbf/in"},
    }


def _ride(path: str, value: Any, *more: tuple[str, Any]) -> Callable[[], tuple[str, Data]]:
    def made() -> tuple[str, Data]:
        data = put({"corner": corner()}, path, value)
        for where, what in more:
            data = put(data, where, what)
        return "ride", data

    return made


def _curve(path: str, value: Any) -> Callable[[], tuple[str, Data]]:
    return lambda: ("damping_curve", put({"shock": shock(), "speeds_m_s": [0.001]}, path, value))


def _fill(path: str, value: Any, **more: Any) -> Callable[[], tuple[str, Data]]:
    return lambda: ("fill_check", put({"shock": shock(), **more}, path, value))


def _plan(path: str, value: Any) -> Callable[[], tuple[str, Data]]:
    def made() -> tuple[str, Data]:
        data = demo_data("demo-truck")
        return "plan", put({"car": data["car"], "use": USE, "box": {}}, path, value)

    return made


def _falling() -> tuple[str, Data]:
    short = put(shock(), "fill", {"kind": "bladder", "gas_ml": 0.0857, "closing_insertion_mm": 0})
    lengths = {"stroke_mm": 10.8, "limiter_mm": 0, "extended_length_mm": 94.1, "cavity_length_mm": 16}
    data = {**corner(), "sprung_mass_g": 512, "linkage": LEANING, "spring": "0.2535 N/mm"}
    return "ride", {"corner": {**data, "shock": {**short, **lengths}}}


def _pairs(travel: list[float], length: list[float]) -> Data:
    return {"kind": "pairs", "travel_mm": travel, "shock_length_mm": length}


def _ratio(ratio: float, length: float) -> Data:
    return {"kind": "ratio", "motion_ratio": ratio, "level_length_mm": length}


EMULSION = {"kind": "emulsion", "gas_ml": 0.5, "closing_insertion_mm": 15}
NEVER = {"apex_m": 0.1, "speed_m_s": 8, "landing_deg": 30}
UPRIGHT = {
    "kind": "arm",
    "arm_length_mm": 86,
    "lower_mount_along_mm": 62,
    "lower_mount_above_mm": 6,
    "upper_mount_out_mm": 300,
    "upper_mount_up_mm": 20,
}
LEANING = _pairs([-20, -10, 0, 10, 20], [100.93, 93.61, 87.75, 83.34, 80.39])
"""Measured pairs whose motion ratio falls so fast that the rate at the wheel turns negative."""
SCARCE = {"holes": "2x1.5", "thickness_mm": 2.4, "diameter_mm": 11.9, "count": 1}


def _wire(**more: Any) -> Callable[[], tuple[str, Data]]:
    return lambda: ("spring_from_wire", {"wire_mm": 1.2, "mean_coil_mm": 14, "active_coils": 6, **more})


REACHES: dict[str, Callable[[], tuple[str, Data]]] = {
    "unusual_value": _ride("corner.shock.bore_mm", 8.9, ("corner.shock.piston.diameter_mm", 8.8)),
    "steps_unknown": lambda: ("ride", {"corner": corner()}),
    "blend_uncertain": lambda: ("oil_blend", {"thin": "100 cst", "thick": "1000 cst", "thick_share": 0.5}),
    "coil_unusual": _wire(mean_coil_mm=30),
    "force_not_given": _wire(),
    "beyond_block": _wire(free_length_mm=40, force_n=100),
    "may_bow": _wire(mean_coil_mm=10, free_length_mm=150),
    "masses_disagree": lambda: ("check", put(demo_data("demo-truck"), "car.scale_readings_g.front_left", 498)),
    "pairs_scatter": _ride("corner.linkage", _pairs([-10, -5, 0, 5, 10], [80.0, 77.5, 73.0, 70.5, 66.0])),
    "beyond_pairs": _ride("corner.linkage", _pairs([-5, 0, 5], [76.7, 73.35, 69.9])),
    "area_ratio_high": _curve("shock.piston.holes", "4x3"),
    "hole_short": _curve("shock.piston.thickness_mm", 1.0),
    "hole_long": _curve("shock.piston.holes", "2x0.45"),
    "gap_wide": _curve("shock.piston.diameter_mm", 11.0),
    "closed_one_way": _curve("shock.piston.holes", [{"count": 2, "diameter_mm": 1.7, "direction": "rebound"}]),
    "oil_law_range": lambda: ("oil_viscosity", {"oil": "325 cSt", "temperature_c": 100}),
    "chassis_on_ground": _ride(
        "corner.level_clearance_mm", 3, ("corner.preload_mm", 0), ("corner.sprung_mass_g", 400)
    ),
    "collar_off": _ride("corner.spring.free_length_mm", 130),
    "reynolds_high": lambda: (
        "damping_curve",
        {**put({"shock": shock()}, "shock.oil", "20 cSt"), "speeds_m_s": [5.0]},
    ),
    "thinning": lambda: (
        "damping_curve",
        {**put({"shock": shock()}, "shock.oil", "5000 cSt"), "speeds_m_s": [0.2]},
    ),
    "beyond_void": _curve("speeds_m_s", [1.0]),
    "emulsion_lags": _curve("shock.fill", EMULSION),
    "lock_cold": _fill("shock.fill.gas_ml", 0.05),
    "lock_hot": _fill("shock.fill.gas_ml", 0.2),
    "little_gas_hot": _fill("shock.fill.gas_ml", 0.22, run_temperature_c=50),
    "cavity_unknown": _fill("shock.cavity_length_mm", None),
    "collar_unknown": _ride("corner.spring.free_length_mm", None),
    "block_length_unknown": _ride("corner.spring.block_length_mm", None),
    "loose_spring": _ride("corner.preload_mm", -2),
    "coil_bind": _ride("corner.spring.block_length_mm", 40),
    "no_equilibrium": _ride("corner.spring.rate_n_mm", 0.06, ("corner.preload_mm", 0)),
    "topped_out": _ride("corner.preload_mm", 30),
    "level_out_of_reach": _ride("corner.shock.extended_length_mm", 74),
    "linkage_out_of_reach": _ride("corner.shock.extended_length_mm", 300),
    "linkage_backwards": _ride("corner.linkage", UPRIGHT),
    "falling_rate": _falling,
    "never_meets_slope": lambda: ("equal_fall", {"jump": NEVER}),
    "not_searched": lambda: ("plan", demo_data("demo-truck")),
    "nothing_legal": _plan("car.front.shock.fill.gas_ml", 0.05),
    "parts_short": _plan("box.pistons", [SCARCE]),
}
"""A request that reaches each finding."""
