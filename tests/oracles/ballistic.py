"""A jumping car as a point without air, integrated step by step."""

import math

import numpy as np
from scipy.integrate import solve_ivp


def normal_landing_speed(apex: float, speed: float, slope: float) -> float:
    """Speed square to the landing surface at the point that lies `apex` below the highest point."""
    gravity = 9.80665

    def motion(_: float, state: np.ndarray) -> list[float]:
        return [state[2], state[3], 0.0, -gravity]

    def contact(_: float, state: np.ndarray) -> float:
        return state[1] + apex

    contact.terminal = True  # type: ignore[attr-defined]
    path = solve_ivp(motion, (0.0, 60.0), [0.0, 0.0, speed, 0.0], events=contact, rtol=1e-11, atol=1e-12)
    along, down = path.y_events[0][0][2:]
    return float(-(along * math.sin(slope) + down * math.cos(slope)))
