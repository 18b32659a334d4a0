"""A shock on a bench a second time: the shaft is led, scipy's solver finds the oil; no code of the library."""

import math
from typing import Any, NamedTuple

import numpy as np
from scipy.integrate import solve_ivp

from tests.oracles.plan_loop import P_ATM
from tests.oracles.stiff_motion import BAND_M, BENDS, USUAL, inside_of
from tests.oracles.stiff_shock import Data, Switches, filled


class Bench(NamedTuple):
    """A shock over time, SI."""

    x: Any
    v: Any
    force: Any
    void: Any
    cap: Any


def led(
    shock: Data, celsius: float, way: tuple[float, float, float], time: Any, switches: Switches = USUAL
) -> Bench:
    """A shaft led along centre - amplitude cos(2 pi f t), at rest where it begins."""
    centre, amplitude, frequency = way
    turn, f, drag = 2.0 * math.pi * frequency, filled(shock, celsius), shock["seal_drag_n"]

    def place(t: Any) -> tuple[Any, Any]:
        return centre - amplitude * np.cos(turn * t), amplitude * turn * np.sin(turn * t)

    inside = inside_of(shock, celsius, centre - amplitude, switches)

    def rates(t: float, y: Any) -> list[float]:
        (x, v), (slider, oil) = place(t), y
        bent = (x - slider) / BAND_M * math.copysign(1.0, v)
        slides = min(1.0, max(0.0, (bent - BENDS) / (1.0 - BENDS)))
        return [float(v) * slides, inside.rate(float(x), float(v), float(oil))]

    run = solve_ivp(
        rates,
        (0.0, float(time[-1])),
        [centre - amplitude, inside.begin],
        "LSODA",
        t_eval=time,
        rtol=1e-8,
        atol=[1e-11, inside.size],
        max_step=0.01 / frequency,
    )
    if not run.success:
        raise ArithmeticError(run.message)
    (x, v), (slider, oil) = place(time), run.y
    cap, rod = inside.pressures(x, oil)
    seals = drag / BAND_M * np.clip(x - slider, -BAND_M, BAND_M)
    force = cap * f.bore - rod * (f.bore - f.shaft) - P_ATM * f.shaft + seals
    return Bench(x, v, force, inside.void(oil), cap)
