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
    short = {"car": truck["car"], "use": truck["use"]}
    made: dict[str, dict[str, Any]] = {
        "check": {**short, "box": {"collar_step_mm": 0.5}},
        "plan": truck,
        "ride": {"corner": front, "temperature_c": 25, "collar_step_mm": 0.5},
        "damping_curve": {"shock": front["shock"], "speeds_m_s": [0, 0.02, 0.05, 0.1, 0.2, 0.5]},
        "fill_check": {"shock": front["shock"], "fill_temperature_c": 20, "run_temperature_c": 50},
        "spring_from_wire": {"wire_mm": 1.2, "mean_coil_mm": 14, "active_coils": 6, "force_n": 20},
        "equal_fall": {"jump": {"apex_m": 0.9, "speed_m_s": 7.0, "landing_deg": 20}},
        "oil_viscosity": {"oil": "325 cst", "temperature_c": 40},
        "oil_blend": {"thin": "350 cst", "thick": "600 cst", "target_cst": 425},
        "oil_for_temperature": {"oil": {"viscosity_cst": 325}, "from_temperature_c": 25, "to_temperature_c": 40},
        "convert": {"value": "38 gf/mm", "to": "lbf/in"},
    }
    return made[name]


def setup_example() -> dict[str, Any]:
    """Request for a token, invented."""
    return {"corner": demo_data("demo-truck")["car"]["front"]}
