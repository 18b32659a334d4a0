"""The ground under a wheel over one window of time that repeats, and when a run over it counts as steady."""

import math
from typing import NamedTuple

import numpy as np

from .physics.road import road_profile, road_waves, washboard

WINDOW_S = 0.25
"""Least time over which a run is averaged, whole periods."""
WINDOWS = 16
"""Most windows before a run counts as not steady."""
STEADY_M = 3e-5
STEADY_SHARE = 0.02
"""Two windows that agree in mean heights and work within these are steady."""
LEAST_WORK_J = 1e-6
PER_PERIOD = 50
"""Least number of steps over a bump."""
ROAD_PERIODS = 16
"""Longest waves after which a road repeats."""


class Road(NamedTuple):
    """Heights and speeds of the ground at every step of a window."""

    height: list[float]
    speed: list[float]
    step: float
    floor: bool = False  # whether the ground under the chassis rises too


def period_of(shape: str, spacing: float, speed: float) -> float:
    """Time after which the ground repeats, s."""
    return spacing / speed * (ROAD_PERIODS if shape == "road" else 1.0)


def step_over(spacing: float, speed: float, step: float) -> float:
    """Time step over bumps: no longer than the corner allows, and PER_PERIOD to a bump."""
    return min(step, spacing / speed / PER_PERIOD)


def road_of(shape: str, height: float, spacing: float, speed: float, step: float) -> Road:
    """Ground under the wheel over one window, at each step."""
    period = period_of(shape, spacing, speed)
    times = max(1, math.ceil(WINDOW_S / period))
    count = math.ceil(times * period / step_over(spacing, speed, step))
    h = times * period / count
    way = speed * h * np.arange(count)
    if shape == "road":
        y, slope = road_profile(way, road_waves(height, spacing))
    else:
        y, slope = washboard(way, height, spacing)
    return Road(y.tolist(), (slope * speed).tolist(), h)
