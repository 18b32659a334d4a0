"""The gas of a shock at rest: a sealed pocket, a vented cap, gas spread through the oil.

Pressures are absolute. At rest the gas is isothermal from the moment the cap was closed at atmospheric
pressure; warming raises its pressure in proportion to the absolute temperature and lets the oil take room.

Sources
-------
[1] Boyle's and Gay-Lussac's laws, p V/T constant for a fixed amount of an ideal gas (any physics text).
[2] Chamber balance: the shaft's area sees the gas against the atmosphere (statics).
"""

import numpy as np

from .numbers import P_ATM, Array, Real


def circle_area(diameter: Real) -> Array:
    """Area of a circle.

    Symbols: diameter: any shape [m]. Returns [m^2], same shape.
    Raises: nothing.
    Validity: any.
    Source: geometry, pi d^2/4.

    >>> float(circle_area(12e-3) * 1e6)
    113.097
    """
    return np.asarray(0.25 * np.pi * np.square(diameter))


def gas_volume(closed: Real, shaft_area: Real, insertion: Real, closing: Real, oil_gain: Real = 0.0) -> Array:
    """Volume left for the gas at a shaft insertion.

    Symbols: closed: any shape, gas volume when the cap was closed [m^3]; shaft_area: any shape [m^2];
    insertion, closing: any shape, shaft pushed in now and at closing [m]; oil_gain: any shape, what the oil
    has gained on warming [m^3]. Returns [m^3], broadcast shape; zero or less is a hydraulic lock.
    Raises: nothing.
    Validity: oil taken as incompressible (its own give is 1 % of the cap pressure's effect).
    Source: conservation of the oil's volume, V = V0 - A_s (x - x_closing) - gain.

    >>> float(gas_volume(0.42e-6, 7.0686e-6, 30e-3, 15e-3) * 1e6)
    0.3140
    """
    return np.asarray(closed - shaft_area * (np.asarray(insertion) - closing) - oil_gain)


def rest_pressure(closed: Real, volume: Real, t_fill: Real, t: Real) -> Array:
    """Pressure of the gas at rest, absolute.

    Symbols: closed: any shape, volume at closing under atmospheric pressure [m^3]; volume: any shape,
    positive, now [m^3]; t_fill, t: any shape [K]. Returns [Pa], broadcast shape.
    Raises: nothing.
    Validity: ideal gas, slow (isothermal); gas that dissolves in the oil is left out.
    Source: [1], p = p_atm (V0/V) (T/T_fill).

    >>> float(rest_pressure(0.42e-6, 0.314e-6, 298.15, 298.15) / 1e3)
    135.53
    """
    return np.asarray(P_ATM * np.asarray(closed) / volume * (np.asarray(t) / t_fill))


def gas_force(pressure: Real, shaft_area: Real) -> Array:
    """Force with which the gas pushes the shaft out at rest.

    Symbols: pressure: any shape, absolute [Pa]; shaft_area: any shape [m^2]. Returns [N], broadcast shape.
    Raises: nothing.
    Validity: at rest, where cap and rod side have the same pressure.
    Source: [2], F = (p - p_atm) A_s.

    >>> float(gas_force(135.53e3, 7.0686e-6))
    0.2418
    """
    return np.asarray((np.asarray(pressure) - P_ATM) * shaft_area)


def gas_rate(pressure: Real, volume: Real, shaft_area: Real, exponent: Real = 1.0) -> Array:
    """Rate of the gas as a spring on the shaft.

    Symbols: pressure: any shape, absolute [Pa]; volume: any shape, positive [m^3]; shaft_area: any shape
    [m^2]; exponent: any shape, n, 1 slow [1]. Returns [N/m], broadcast shape.
    Raises: nothing.
    Validity: ideal gas.
    Source: derivative of [1] with p V^n constant, n p A_s^2/V.

    >>> float(gas_rate(101325.0, 0.42e-6, 7.0686e-6))
    12.05
    """
    return np.asarray(exponent * np.asarray(pressure) * np.square(shaft_area) / volume)


def void_force(pressure: Real, bore_area: Real, shaft_area: Real) -> Array:
    """Compression damping beyond which an empty space opens under the piston.

    Symbols: pressure: any shape, of the cap side, absolute [Pa]; bore_area, shaft_area: any shape [m^2].
    Returns [N], broadcast shape.
    Raises: nothing.
    Validity: gas on the cap side; the pressure under the piston cannot fall below zero.
    Source: chamber balance, p_cap (A_b - A_s).

    >>> float(void_force(101325.0, 113.097e-6, 7.0686e-6))
    10.743
    """
    return np.asarray(np.asarray(pressure) * (np.asarray(bore_area) - shaft_area))


def fill_volume(
    bore_area: Real, cavity: Real, piston: Real, thickness: Real, shaft_area: Real, closing: Real
) -> Array:
    """Oil that fills a body to the brim with the piston in and the shaft pushed in to the closing position.

    Symbols: bore_area, shaft_area: any shape [m^2]; cavity: any shape, bore length for oil and piston [m];
    piston, thickness: any shape, the piston's diameter and thickness [m]; closing: any shape [m].
    Returns [m^3], broadcast shape.
    Raises: nothing.
    Validity: the piston's holes and the shaft beside the piston at full extension are left out (under 1 %).
    Source: geometry, A_b cavity - (pi/4) piston^2 thickness - A_s x_closing.

    >>> float(fill_volume(113.097e-6, 45e-3, 11.9e-3, 2.4e-3, 7.0686e-6, 20e-3) * 1e6)
    4.681
    """
    return np.asarray(bore_area * np.asarray(cavity) - circle_area(piston) * thickness - shaft_area * closing)
