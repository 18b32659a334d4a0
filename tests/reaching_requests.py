"""A plain request that reaches each finding."""

from collections.abc import Callable
from typing import Any

from libdamp.demo import demo_data
from tests.plain_requests import (
    CHANGES,
    LARGER,
    MATCH,
    NO_RUNS,
    SWEEP,
    TOLERANCE,
    USE,
    VG_100,
    Data,
    corner,
    put,
    shock,
)

HARD_TYRE = {"rate_n_mm": 100, "loss_factor": 2}


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


def _too_stiff() -> tuple[str, Data]:
    data = demo_data("demo-truck")
    car = put(data["car"], "front", {**data["car"]["front"], "unsprung_mass_g": 5, "tyre": HARD_TYRE})
    return "plan", {"car": car, "use": USE, "box": {}}


def _falling() -> tuple[str, Data]:
    short = put(shock(), "fill", {"kind": "bladder", "gas_ml": 0.0857, "closing_insertion_mm": 0})
    lengths = {"stroke_mm": 10.8, "limiter_mm": 0, "extended_length_mm": 94.1, "cavity_length_mm": 16}
    data = {**corner(), "sprung_mass_g": 512, "linkage": LEANING, "spring": "0.2535 N/mm"}
    return "ride", {"corner": {**data, "shock": {**short, **lengths}}}


def _pairs(travel: list[float], length: list[float]) -> Data:
    return {"kind": "pairs", "travel_mm": travel, "shock_length_mm": length}


def _ratio(ratio: float, length: float) -> Data:
    return {"kind": "ratio", "motion_ratio": ratio, "level_length_mm": length}


TYRE_UNKNOWN = {"axle_g": 800, "spring": "0.38 N/mm", "shock": {"oil": "325 cst", "piston": {"holes": "2x1.7"}}}
"""The least that must be known of a corner."""
THINS = {"viscosity_cst": 5000, "thinning": {"relaxation_time_s": 5e-5, "power_index": 0.5}}
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


def _load(**more: Any) -> Callable[[], tuple[str, Data]]:
    return lambda: ("piston_load", {"shock": shock(), **more})


def _match(*changes: tuple[str, Any]) -> Callable[[], tuple[str, Data]]:
    def made() -> tuple[str, Data]:
        data = MATCH
        for where, what in changes:
            data = put(data, where, what)
        return "match", data

    return made


def _holes(holes: str) -> Data:
    return put(shock(), "piston.holes", holes)


_NO_BLANK = ("blank", None)


def _moved(name: str, *changes: tuple[str, Any], **more: Any) -> Callable[[], tuple[str, Data]]:
    """A request of a calculation of the motion engine about the demo truck's front, with changes."""

    def made() -> tuple[str, Data]:
        data: Data = {"corner": corner(), **more}
        for where, what in changes:
            data = put(data, where, what)
        return name, data

    return made


def _bumps(height: float, spacing: float, speed: float, *changes: tuple[str, Any], **more: Any) -> Any:
    asked = {"bump_height_mm": height, "bump_spacing_mm": spacing, "speed_m_s": speed}
    return _moved("bumps", *changes, **asked, **more)


HARD_REBOUND = [
    {"count": 2, "diameter_mm": 1.0},
    {"count": 4, "diameter_mm": 1.7, "direction": "compression"},
]
SHORT_OF_GAS = {"kind": "emulsion", "gas_ml": 0.107, "closing_insertion_mm": 15}
"""Just enough gas for the whole shaft: pressed a little into its stop there is none left."""

SHORT_ARM = {
    "kind": "arm",
    "arm_length_mm": 40,
    "lower_mount_along_mm": 25,
    "lower_mount_above_mm": 0,
    "upper_mount_out_mm": 18,
    "upper_mount_up_mm": 60,
}
"""It stands straight up or down before the shock's stroke and the stops' give are used."""


REACHES: dict[str, Callable[[], tuple[str, Data]]] = {
    "unusual_value": _ride("corner.shock.bore_mm", 8.9, ("corner.shock.piston.diameter_mm", 8.8)),
    "steps_unknown": lambda: ("ride", {"corner": corner()}),
    "vented_full": lambda: (
        "drop",
        {
            "corner": put(corner(), "shock.fill", {"kind": "vented", "room_ml": 0.15, "closing_insertion_mm": 5}),
            "height_mm": 150,
        },
    ),
    "blend_uncertain": lambda: ("oil_blend", {"thin": "100 cst", "thick": "1000 cst", "thick_share": 0.5}),
    "season_gap": _moved("season", temperatures_c=[-10, 25], oils=["300 cst"]),
    "no_bottles": _moved("season", temperatures_c=[0, 25]),
    "coil_unusual": _wire(mean_coil_mm=30),
    "force_not_given": _wire(),
    "beyond_block": _wire(free_length_mm=40, force_n=100),
    "may_bow": _wire(mean_coil_mm=10, free_length_mm=150),
    "groove_overloaded": _load(pressure_difference_kpa=1000),
    "clip_overloaded": _load(pressure_difference_kpa=1500, yield_mpa=900, hole_edge="chamfered"),
    "piston_crushed": _load(pressure_difference_kpa=1500, material="pa66"),
    "clip_unknown": _load(speed_m_s=0.1, groove_mm=2.1),
    "no_load": _load(speed_m_s=0),
    "void_caps_load": _load(speed_m_s=1),
    "difference_above_gas": _load(pressure_difference_kpa=400),
    "masses_disagree": lambda: ("check", put(demo_data("demo-truck"), "car.scale_readings_g.front_left", 498)),
    "pairs_scatter": _ride("corner.linkage", _pairs([-10, -5, 0, 5, 10], [80.0, 77.5, 73.0, 70.5, 66.0])),
    "beyond_pairs": _ride("corner.linkage", _pairs([-5, 0, 5], [76.7, 73.35, 69.9])),
    "area_ratio_high": _curve("shock.piston.holes", "4x3"),
    "hole_short": _curve("shock.piston.thickness_mm", 1.0),
    "hole_long": _curve("shock.piston.holes", "2x0.45"),
    "gap_wide": _curve("shock.piston.diameter_mm", 11.0),
    "oil_unusual": _match(("candidate", _holes("2x0.9")), _NO_BLANK, ("free", ["oil"])),
    "not_harder_fast": _match(
        ("reference", _holes("6x1")), ("candidate", _holes("1x2.3")), _NO_BLANK, ("free", ["oil"])
    ),
    "hole_kept": _match(("free", ["oil"])),
    "oil_alone_does": _match(("candidate", _holes("2x1.68")), _NO_BLANK),
    "no_hole_matches": _match(("reference", _holes("1x1")), ("candidate.piston.holes", "12x1.7")),
    "hole_smaller": _match(("candidate", _holes("2x1.9")), _NO_BLANK),
    "no_drill_fits": _match(("drills_mm", [0.35])),
    "wall_thin": _match(("blank.hole_circle_mm", 5)),
    "too_many_holes": _match(("blank.max_holes", 1)),
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
    "thinned": lambda: (
        "damping_curve",
        {**put({"shock": shock()}, "shock.oil", THINS), "speeds_m_s": [0.2]},
    ),
    "between_iso_grades": lambda: ("iso_grade", {"oil": put(VG_100, "viscosity_cst", 120)}),
    "outside_iso_grades": lambda: ("iso_grade", {"oil": "20000 cSt"}),
    "silicone_named_at_25": lambda: ("iso_grade", {"oil": "100 cSt"}),
    "beyond_void": _curve("speeds_m_s", [1.0]),
    "emulsion_lags": _curve("shock.fill", EMULSION),
    "lock_cold": _fill("shock.fill.gas_ml", 0.05),
    "lock_hot": _fill("shock.fill.gas_ml", 0.2),
    "little_gas_hot": _fill("shock.fill.gas_ml", 0.22, run_temperature_c=50),
    "emulsion_stands": _fill("shock.fill", EMULSION),
    "gas_dissolves": _fill("shock.fill", EMULSION),
    "air_dissolves": lambda: ("aerated_oil", {"air_share": 0.05, "chamber_mm": 20, "pressure_kpa": 202.65}),
    "air_comes_out": lambda: ("aerated_oil", {"air_share": 0.05, "chamber_mm": 20, "pressure_kpa": 50}),
    "bubble_fast": lambda: ("bubble_rise", {"oil": "20 cst", "depth_mm": 35, "bubble_mm": 2}),
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
    "tyre_assumed": lambda: ("drop", {"size": "1:10 truck", "corner": TYRE_UNKNOWN, "height_mm": 120}),
    "cannot_move": _moved("drop", ("corner.linkage", SHORT_ARM), height_mm=100),
    "not_resolved": _moved(
        "drop", ("corner.shock.fill", SHORT_OF_GAS), ("corner.level_clearance_mm", 70), height_mm=1500
    ),
    "bound_left_out": _moved(  # on a harder tyre the chassis is on the ground before the wheel
        "drop",
        ("corner.preload_mm", 0),
        ("corner.shock.limiter_mm", 18),
        ("corner.level_clearance_mm", 3),
        height_mm=100,
    ),
    "slap": _moved("drop", height_mm=400),
    "rim_strike": _moved("drop", ("corner.tyre.sidewall_mm", 8), height_mm=120),
    "stop_peak": _moved("drop", ("corner.level_clearance_mm", 70), height_mm=500),
    "void_opens": _moved("drop", height_mm=150),
    "bounce": _moved("drop", ("corner.tyre", {"rate_n_mm": 1.6, "damping_n_s_m": 0}), height_mm=200),
    "slow_settling": _moved("drop", ("corner.shock.oil", "3000 cSt"), height_mm=100),
    "not_settled": _moved("drop", ("corner.shock.oil", "20000 cSt"), height_mm=100),
    "never_touches": _moved("touch_height", ("corner.level_clearance_mm", 130)),
    "touches_at_once": _moved(
        "touch_height",
        ("corner.level_clearance_mm", 3),
        ("corner.preload_mm", 0),
        ("corner.sprung_mass_g", 400),
    ),
    "band_open": _moved("touch_height", ("corner.level_clearance_mm", 105)),
    "road_like": _bumps(3, 300, 5, shape="road"),
    "not_steady": _bumps(20, 900, 6, ("corner.shock.oil", "2000 cSt")),
    "wheel_leaves": _bumps(12, 200, 6),
    "packs_down": _bumps(5, 200, 6, ("corner.shock.piston.holes", HARD_REBOUND)),
    "push_too_far": _moved("push_release", push_mm=40),
    "stays_down": _moved("push_release", ("corner.shock.seal_drag_n", 2), push_mm=10),
    "never_meets_slope": lambda: ("equal_fall", {"jump": NEVER}),
    "cause_not_alone": lambda: ("compare_shocks", {"reference": shock(), "candidate": put(LARGER, "bore_mm", 16)}),
    "figures_missing": lambda: ("compare", {"reference": corner(), "candidate": corner("rear"), "use": NO_RUNS}),
    "rows_failed": lambda: ("sweep", put(SWEEP, "over.0.values.1", 1000)),
    "values_missing": lambda: ("sweep", put(put(SWEEP, "only", ["pressure_hot_kpa"]), "over.1.values.1", 0.2)),
    "draws_impossible": lambda: ("tolerance", put(TOLERANCE, "spreads", {"shock.shaft_mm": {"low": 3, "high": 9}})),
    "output_missing": lambda: ("tolerance", put(TOLERANCE, "request.shock.fill.gas_ml", 0.3)),
    "no_spread": lambda: ("tolerance", put(TOLERANCE, "only", ["shaft_ml"])),
    "not_moved": _plan("use.jump", "none"),
    "goal_left_out": _too_stiff,
    "nothing_legal": _plan("car.front.shock.fill.gas_ml", 0.05),
    "parts_short": _plan("box.pistons", [SCARCE]),
    "figures_left_out": lambda: ("changes", put(CHANGES, "use.jump", "none")),
}
"""A request that reaches each finding."""
