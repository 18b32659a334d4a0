"""The car as built, a second time: plain loops over both ends, from the formulas in plan_loop."""

import math
from typing import Any

from tests.oracles.plan_loop import Data, Standing, gas_of, slow_damping, stand

GOAL_TOLERANCES = {"frequency_hz": 0.4, "damping_ratio": 0.15, "height_error_mm": 1.0}
FREQUENCIES = {"loose": (3.8, 3.3), "smooth": (4.0, 3.5), "rutted": (3.5, 3.0)}
DAMPING_RATIOS = {"loose": 0.80, "smooth": 0.80, "rutted": 0.70}
RATIOS = {"frequency_ratio": (1.15, 0.10), "damping_ratio_ratio": (1.1, 0.2)}
"""Goals of common practice, as (target, tolerance)."""
FILLED_C, HOT_C = 20.0, 50.0


def end_distance(at: Standing, surface: str, place: int) -> float:
    """Sum of ((value - target)/tolerance)^2 of one end."""
    targets = {
        "frequency_hz": (at.frequency_hz, FREQUENCIES[surface][place]),
        "damping_ratio": (at.damping_ratio, DAMPING_RATIOS[surface]),
        "height_error_mm": (-at.travel_mm, 0.0),
    }
    return sum(((value - wish) / GOAL_TOLERANCES[name]) ** 2 for name, (value, wish) in targets.items())


def between_distance(front: Standing, rear: Standing) -> float:
    """The same between the ends, front over rear."""
    values = {
        "frequency_ratio": front.frequency_hz / rear.frequency_hz,
        "damping_ratio_ratio": front.damping_ratio / rear.damping_ratio,
    }
    return sum(((values[name] - wish) / tolerance) ** 2 for name, (wish, tolerance) in RATIOS.items())


def own_build(corner: Data) -> dict[str, Any]:
    """What is on the car."""
    shock = corner["shock"]
    return {
        "spring": corner["spring"],
        "oil": shock["oil"],
        "piston": shock["piston"],
        "limiter_mm": shock["limiter_mm"],
    }


def spare_ml(shock: Data, piston: Data, celsius: float, filled_c: float) -> float:
    """Gas left with the shaft fully in."""
    gas = gas_of(shock, piston, celsius, filled_c)
    return 1e6 * (gas.closed - gas.area * (shock["stroke_mm"] * 1e-3 - gas.closing) - gas.gain)


def end(corner: Data, place: int, use: Data) -> dict[str, float]:
    """Figures of one end by the answer's paths."""
    celsius, shock = use["oil_temperature_c"], corner["shock"]
    at = stand(corner, own_build(corner), celsius, corner.get("preload_mm"))
    assert isinstance(at, Standing)
    return {
        "ride.shock_force_n": at.shock_force_n,
        "ride.spring_force_n": at.spring_force_n,
        "ride.gas_force_n": at.gas_force_n,
        "ride.preload_for_level_mm": at.level_preload_mm,
        "ride.wheel_travel_mm": at.travel_mm,
        "ride.clearance_mm": corner["level_clearance_mm"] - at.travel_mm,
        "ride.droop_travel_mm": at.droop_mm,
        "ride.bump_travel_mm": at.bump_mm,
        "ride.wheel_rate_n_mm": at.wheel_rate,
        "ride.frequency_hz": at.frequency_hz,
        "ride.frequency_with_tyre_hz": at.with_tyre_hz,
        "ride.wheel_hop_hz": at.hop_hz,
        "ride.damping_ratio_compression": at.damping_ratio,
        "ride.damping_ratio_rebound": at.damping_ratio,
        "ride.drag_band_mm": at.drag_band_mm,
        "damping.low_speed_compression_n_s_m": slow_damping(shock, shock["piston"], shock["oil"], celsius),
        "fill.spare_cold_ml": spare_ml(shock, shock["piston"], FILLED_C, FILLED_C),
        "fill.spare_hot_ml": spare_ml(shock, shock["piston"], HOT_C, FILLED_C),
        "distance": end_distance(at, use["surface"], place),
    }


def check(car: Data, use: Data) -> dict[str, float]:
    """Figures of the whole car by the answer's paths."""
    celsius = use["oil_temperature_c"]
    ends = [stand(car[e], own_build(car[e]), celsius, car[e].get("preload_mm")) for e in ("front", "rear")]
    front, rear = ends
    assert isinstance(front, Standing)
    assert isinstance(rear, Standing)
    found = {
        f"{name}.{path}": value
        for place, name in enumerate(("front", "rear"))
        for path, value in end(car[name], place, use).items()
    }
    found["frequency_ratio"] = front.frequency_hz / rear.frequency_hz
    found["damping_ratio_ratio"] = front.damping_ratio / rear.damping_ratio
    found["distance"] = found["front.distance"] + found["rear.distance"] + between_distance(front, rear)
    jump = use["jump"]
    slope = math.radians(jump["landing_deg"])
    square = math.sqrt(2.0 * 9.80665 * jump["apex_m"]) * math.cos(slope) - jump["speed_m_s"] * math.sin(slope)
    found["jump.on_slope_mm"] = 1e3 * square**2 / (2.0 * 9.80665)
    return found
