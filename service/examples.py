"""A worked request for every calculation, from the invented demo cars."""

from typing import Any

from libdamp.demo import demo_data


def example_request(name: str) -> dict[str, Any]:
    """Request of a calculation, invented.

    Raises
    ------
    KeyError : no example for that calculation; write one here.
    """
    truck = demo_data("demo-truck")
    front = truck["car"]["front"]
    larger = {**front["shock"], "bore_mm": 13, "shaft_mm": 3.5}
    larger["piston"] = {**larger["piston"], "diameter_mm": 12.9}
    short = {"car": truck["car"], "use": truck["use"]}
    few = {"oils": truck["box"]["oils"][2:5], "limiters_mm": [6, 8], "collar_step_mm": 0.5}
    made: dict[str, dict[str, Any]] = {
        "check": {**short, "box": {"collar_step_mm": 0.5}},
        "plan": truck,
        "changes": {**short, "box": few, "question": "slaps", "end": "rear"},
        "ride": {"corner": front, "temperature_c": 25, "collar_step_mm": 0.5},
        "damping_curve": {"shock": front["shock"], "speeds_m_s": [0, 0.02, 0.05, 0.1, 0.2, 0.5]},
        "match": {
            "reference": front["shock"],
            "candidate": larger,
            "free": ["oil", "hole"],
            "speeds_m_s": [0.02, 0.1],
        },
        "bench_cycle": {
            "shock": front["shock"],
            "amplitude_mm": 8,
            "frequency_hz": 3,
            "centre_insertion_mm": 15,
            "cycles": 1,
        },
        "fill_check": {"shock": front["shock"], "fill_temperature_c": 20, "run_temperature_c": 50},
        "bubble_rise": {"oil": "325 cst", "depth_mm": 35, "bubble_mm": 0.2, "temperature_c": 25},
        "aerated_oil": {"air_share": 0.05, "chamber_mm": 20, "pressure_kpa": 202.65},
        "spring_from_wire": {"wire_mm": 1.2, "mean_coil_mm": 14, "active_coils": 6, "force_n": 20},
        "piston_load": {"shock": front["shock"], "pressure_difference_kpa": 400, "yield_mpa": 400},
        "equal_fall": {"jump": {"apex_m": 0.9, "speed_m_s": 7.0, "landing_deg": 20}},
        "drop": {"corner": front, "height_mm": 150},
        "touch_height": {"corner": front},
        "bumps": {"corner": front, "bump_height_mm": 6, "bump_spacing_mm": 250, "speed_m_s": 6},
        "push_release": {"corner": front, "push_mm": 10},
        "oil_viscosity": {"oil": "325 cst", "temperature_c": 40},
        "oil_blend": {"thin": "350 cst", "thick": "600 cst", "target_cst": 425},
        "oil_for_temperature": {"oil": {"viscosity_cst": 325}, "from_temperature_c": 25, "to_temperature_c": 40},
        "season": {
            "corner": front,
            "temperatures_c": [0, 10, 20, 30, 40],
            "oils": ["200 cst", "250 cst", "400 cst", "450 cst"],
        },
        "oil_from_label": {"label_value": 32.5, "table": "25:250 30:320 35:400"},
        "iso_grade": {
            "oil": {
                "viscosity_cst": 100,
                "reference_temperature_c": 40,
                "family": "petroleum",
                "second_point": {"viscosity_cst": 11.1, "temperature_c": 100},
            }
        },
        "compare": {
            "reference": front,
            "candidate": {**front, "shock": {**front["shock"], "oil": {"viscosity_cst": 400}}},
            "use": truck["use"],
        },
        "compare_shocks": {"reference": front["shock"], "candidate": larger},
        "sweep": {
            "calculation": "ride",
            "request": {"corner": front, "temperature_c": 25, "collar_step_mm": 0.5},
            "over": [
                {"path": "spring.rate_n_mm", "values": [0.33, 0.38, 0.44]},
                {"path": "oil.viscosity_cst", "values": [300, 350]},
            ],
            "only": ["frequency_hz", "damping_ratio_compression", "next_step.height_error_mm"],
        },
        "tolerance": {
            "calculation": "ride",
            "request": {"corner": front, "temperature_c": 25, "collar_step_mm": 0.5},
            "only": ["damping_ratio_compression"],
            "samples": 500,
            "spreads": {"spring.rate_n_mm": {"rel_sd": 0.02}},
        },
        "convert": {"value": "38 gf/mm", "to": "lbf/in"},
    }
    return made[name]


def setup_example() -> dict[str, Any]:
    """Request for a token, invented."""
    return {"corner": demo_data("demo-truck")["car"]["front"]}
