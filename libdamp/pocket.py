"""The gas of a built shock at rest, from its fill and temperature; arrays throughout, SI."""

from typing import NamedTuple

import numpy as np

from .oils import expansion
from .parts import Emulsion, Shock, Vented
from .physics.gas import circle_area, fill_volume, gas_force, gas_rate, gas_volume, rest_pressure
from .physics.numbers import P_ATM, ZERO_C, Array, Real
from .physics.oil import expansion_volume


class Pocket(NamedTuple):
    """What the gas at rest depends on; each a float or an array."""

    closed: Real  # gas when the cap was closed, m3
    closing: Real  # shaft insertion then, m
    shaft_area: Real  # m2
    oil_gain: Real  # what the oil has gained on warming since, m3
    t_fill: Real  # K
    t: Real  # K
    vented: bool


def oil_volume(shock: Shock) -> float | None:
    """Oil in the shock, m^3; None where the cavity length is not known."""
    if shock.cavity_length_mm is None:
        return None
    piston = shock.piston
    across = shock.bore_mm if piston.diameter_mm is None else piston.diameter_mm
    total = fill_volume(
        circle_area(shock.bore_mm * 1e-3),
        shock.cavity_length_mm * 1e-3,
        across * 1e-3,
        piston.thickness_mm * 1e-3,
        circle_area(shock.shaft_mm * 1e-3),
        shock.fill.closing_insertion_mm * 1e-3,
    )
    gas = shock.fill.gas_ml * 1e-6 if isinstance(shock.fill, Emulsion) else 0.0
    return float(total) - gas


def oil_gain(shock: Shock, fill_c: float, temperature_c: float) -> float | None:
    """What the oil gains on warming, m^3; None where its volume is not known and the temperatures differ."""
    if fill_c == temperature_c:
        return 0.0
    volume = oil_volume(shock)
    if volume is None:
        return None
    return float(expansion_volume(volume, expansion(shock.oil), fill_c + ZERO_C, temperature_c + ZERO_C))


def pocket_of(shock: Shock, temperature_c: float, fill_temperature_c: float | None = None) -> Pocket:
    """Pocket of a shock at a temperature; filled at its own fill temperature, or the one given, or this one."""
    fill = shock.fill
    fill_c = fill.filled_at_c if fill_temperature_c is None else fill_temperature_c
    fill_c = temperature_c if fill_c is None else fill_c
    closed = fill.room_ml if isinstance(fill, Vented) else fill.gas_ml
    return Pocket(
        closed=closed * 1e-6,
        closing=fill.closing_insertion_mm * 1e-3,
        shaft_area=float(circle_area(shock.shaft_mm * 1e-3)),
        oil_gain=oil_gain(shock, fill_c, temperature_c) or 0.0,
        t_fill=fill_c + ZERO_C,
        t=temperature_c + ZERO_C,
        vented=isinstance(fill, Vented),
    )


def spare(pocket: Pocket, insertion: Real) -> Array:
    """Volume left for the gas, m^3; zero or less is a lock."""
    return gas_volume(pocket.closed, pocket.shaft_area, insertion, pocket.closing, pocket.oil_gain)


def lock_insertion(pocket: Pocket) -> Array:
    """Shaft insertion at which no room is left, m."""
    return np.asarray(pocket.closing + (np.asarray(pocket.closed) - pocket.oil_gain) / pocket.shaft_area)


def pressure(pocket: Pocket, insertion: Real) -> Array:
    """Gas pressure at rest, absolute, Pa; not-a-number where it is locked."""
    room = spare(pocket, insertion)
    if pocket.vented:
        return np.where(room > 0.0, P_ATM, np.nan)
    return np.where(
        room > 0.0, rest_pressure(pocket.closed, np.where(room > 0.0, room, 1.0), pocket.t_fill, pocket.t), np.nan
    )


def force_and_rate(pocket: Pocket, insertion: Real) -> tuple[Array, Array]:
    """Force of the gas on the shaft, N, and its rate, N/m, at rest."""
    room, p = spare(pocket, insertion), pressure(pocket, insertion)
    if pocket.vented:
        return gas_force(p, pocket.shaft_area), 0.0 * p
    return gas_force(p, pocket.shaft_area), gas_rate(p, np.where(room > 0.0, room, np.nan), pocket.shaft_area)
