"""What a single change does, a second time: the request changed by hand, then single calculations."""

import copy
from typing import Any

import libdamp

Data = dict[str, Any]
PUSH_MM, KERB_RUN_UP_MM, KERB_SHARE = 10.0, 100.0, 0.5
"""A push by hand; a kerb's run-up and its height over the clearance with level arms."""


def figures(corner: Data, use: Data, celsius: float) -> dict[str, float | None]:
    """Headline figures of a corner, one single calculation after the other."""
    at = {"corner": corner, "temperature_c": celsius}
    ride = libdamp.calculate("ride", at)
    jump = libdamp.calculate("equal_fall", {"jump": use["jump"]})
    fall = libdamp.calculate("drop", {**at, "height_mm": jump["on_slope_mm"]})
    way = {"speed_m_s": use["speed_m_s"]}
    even = {"bump_height_mm": use["bump_height_mm"], "bump_spacing_mm": use["bump_spacing_mm"]}
    bumps = libdamp.calculate("bumps", {**at, **way, **even})
    kerb = {"bump_height_mm": KERB_SHARE * corner["level_clearance_mm"], "bump_spacing_mm": KERB_RUN_UP_MM}
    step = libdamp.calculate("bumps", {**at, **way, **kerb, "shape": "step"})
    back = libdamp.calculate("push_release", {**at, "push_mm": PUSH_MM})
    filled = corner["shock"]["fill"].get("filled_at_c", 20.0)
    fill = {"shock": corner["shock"], "fill_temperature_c": filled, "run_temperature_c": max(50.0, celsius)}
    found = {name: ride[name] for name in STANDING}
    found |= {name: fall[name] for name in ("least_clearance_mm", "peak_shock_n", "bounce_height_mm")}
    found |= {name: bumps[name] for name in ("contact_share", "tyre_load_variation", "mean_shift_mm")}
    found |= {name: back[name] for name in ("half_time_s", "overshoot_mm")}
    found["kerb_peak_n"] = step["peak_shock_n"]
    found["touch_height_mm"] = libdamp.calculate("touch_height", at)["height_mm"]
    found["spare_hot_ml"] = libdamp.calculate("fill_check", fill)["spare_hot_ml"]
    return found


STANDING = (
    "preload_mm",
    "clearance_mm",
    "droop_travel_mm",
    "bump_travel_mm",
    "wheel_rate_n_mm",
    "frequency_hz",
    "damping_ratio_compression",
    "damping_ratio_rebound",
)


def changes(corner: Data, use: Data, change: Data, celsius: float) -> dict[str, float | None]:
    """Every headline figure after a change: values by dotted path, `celsius` the oil's temperature."""
    after = copy.deepcopy(corner)
    for path, value in change.items():
        inner = after
        *steps, last = path.split(".")
        for step in steps:
            inner = inner[step]
        inner[last] = value
    return figures(after, use, celsius)
