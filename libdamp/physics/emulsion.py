"""Gas spread evenly through the oil on both sides of a piston.

Cap side 1, rod side 2. Gas and oil stay together (homogeneous, no slip) and the gas keeps the oil's temperature,
so the ratio of gas to oil is the same on both sides for ever: one state, the oil on the rod side, O2, says
everything; the cap side holds O1 = O - O2. Pressures are absolute.

Warming follows `gas`: the oil gains the volume that `gas_volume` takes as `oil_gain`, the gas's pressure goes with
the absolute temperature. Both are in the oil O and the ratio r that `oil_split` gives; nothing else changes, and
the pressure at rest is that of `rest_pressure` in the room left by `gas_volume`.

Sources
-------
[1] Geometry of a bore of which the piston leaves the same gap at either end.
[2] Boyle's and Gay-Lussac's laws for the gas, conservation of oil and of gas (derived for this project).
[3] Chamber balance: both sides' pressures and the atmosphere on the shaft (statics).
"""

import numpy as np

from .numbers import P_ATM, Array, Real


def chamber_volumes(
    insertion: Real, bore_area: Real, shaft_area: Real, cavity: Real, thickness: Real, stroke: Real
) -> tuple[Array, Array]:
    """Volumes of the cap side and of the rod side.

    Symbols: insertion: any shape, shaft pushed in, x [m]; bore_area, shaft_area: any shape, A_b and A_s [m^2];
    cavity: any shape, bore length for oil and piston [m]; thickness: any shape, of the piston [m]; stroke: any
    shape, of the shaft without limiter [m]. Returns (V1 [m^3], V2 [m^3]), broadcast shape.
    Raises: nothing.
    Validity: cavity above thickness + stroke, else a side is empty at its end of the stroke; the piston fills the
    bore (its holes and its gap are left out, under 1 %).
    Source: [1], e = (cavity - thickness - stroke)/2, V1 = A_b (cavity - thickness - e - x),
    V2 = (A_b - A_s)(e + x).

    >>> [float(volume * 1e6) for volume in chamber_volumes(15e-3, 113.097e-6, 7.069e-6, 35e-3, 2.4e-3, 26e-3)]
    [1.6173, 1.9403]
    """
    end = 0.5 * (np.asarray(cavity) - thickness - stroke)
    cap = bore_area * (np.asarray(cavity) - thickness - end - insertion)
    return np.asarray(cap), np.asarray((np.asarray(bore_area) - shaft_area) * (end + insertion))


def oil_split(cap: Real, rod: Real, gas: Real, t_fill: Real, t: Real, oil_gain: Real = 0.0) -> tuple[Array, Array]:
    """Oil in the shock, and the ratio of gas to oil.

    Symbols: cap, rod: any shape, volumes of the two sides when the cap was closed [m^3]; gas: any shape, gas then,
    under atmospheric pressure [m^3]; t_fill, t: any shape, temperatures then and now [K]; oil_gain: any shape,
    what the oil has gained on warming since [m^3]. Returns (O [m^3], r [1]), broadcast shape; r is the gas's
    volume at atmospheric pressure and this temperature over the oil's.
    Raises: nothing.
    Validity: less gas than room; gas that dissolves is left out, so r is an upper value.
    Source: [2], O = V1 + V2 - gas + gain, r = gas (T/T_fill)/O.

    >>> [float(value) for value in oil_split(1.7e-6, 1.8e-6, 0.5e-6, 298.15, 298.15)]
    [3.0e-06, 0.16667]
    """
    oil = np.asarray(cap) + rod - gas + oil_gain
    return np.asarray(oil), np.asarray(np.asarray(gas) * (np.asarray(t) / t_fill) / oil)


def side_pressure(volume: Real, oil: Real, ratio: Real) -> Array:
    """Pressure of one side.

    Symbols: volume: any shape, of the side, V [m^3]; oil: any shape, in it, positive and below the volume, O
    [m^3]; ratio: any shape, gas to oil, r [1]. Returns [Pa], broadcast shape.
    Raises: nothing.
    Validity: ideal gas at the oil's temperature: bubbles below 1 mm.
    Source: [2], p = p_atm r O/(V - O).

    >>> float(side_pressure(1.8e-6, 1.6e-6, 0.16667) / 1e3)
    135.10
    """
    return np.asarray(P_ATM * ratio * np.asarray(oil) / (np.asarray(volume) - oil))


def rest_oil(rod: Real, pressure: Real, ratio: Real) -> Array:
    """Oil on the rod side at rest.

    Symbols: rod: any shape, volume of the rod side, V2 [m^3]; pressure: any shape, at rest, the same on both sides
    (`gas.rest_pressure`), p [Pa]; ratio: any shape, gas to oil, r [1]. Returns [m^3], broadcast shape.
    Raises: nothing.
    Validity: the shaft less far in than the lock.
    Source: [2], O2 = V2/(1 + r p_atm/p).

    >>> float(rest_oil(1.8e-6, 135.10e3, 0.16667) * 1e6)
    1.6
    """
    return np.asarray(rod / (1.0 + ratio * (P_ATM / np.asarray(pressure))))


def log_mean_pressure(cap: Real, rod: Real) -> Array:
    """Logarithmic mean of the two sides' pressures; smooth where they meet.

    Symbols: cap, rod: any shape, pressures p1 and p2, positive [Pa]. Returns [Pa], broadcast shape.
    Raises: nothing.
    Validity: any ratio.
    Source: [2], 1/p averaged over the way through the piston: (p1 - p2)/ln(p1/p2), p1 where they are equal.

    >>> float(log_mean_pressure(200e3, 100e3) / 1e3)
    144.27
    """
    low, high = np.minimum(cap, rod), np.maximum(cap, rod)
    above = (high - low) / low
    apart = above > 0.0
    above = np.where(apart, above, 1.0)
    return np.asarray(np.where(apart, low * above / np.log1p(above), low))


def oil_crossing(flow: Real, cap: Real, rod: Real, ratio: Real) -> Array:
    """Rate at which the oil on the rod side grows.

    Symbols: flow: any shape, of the mixture through the piston at the loss p1 - p2, from cap to rod side positive,
    Q [m^3/s]; cap, rod: any shape, pressures p1 and p2, positive [Pa]; ratio: any shape, gas to oil, r [1].
    Returns dO2/dt [m^3/s], broadcast shape.
    Raises: nothing.
    Validity: gas expands along the way at the oil's temperature; density of the mixture in the loss is the oil's.
    Source: [2], dO2/dt = Q/(1 + r p_atm/p_lm).

    >>> float(oil_crossing(1e-6, 200e3, 100e3, 0.16667) * 1e6)
    0.89520
    """
    return np.asarray(flow / (1.0 + ratio * (P_ATM / log_mean_pressure(cap, rod))))


def shaft_force(cap: Real, rod: Real, bore_area: Real, shaft_area: Real) -> Array:
    """Force with which oil and gas push the shaft out.

    Symbols: cap, rod: any shape, pressures p1 and p2 [Pa]; bore_area, shaft_area: any shape, A_b and A_s [m^2].
    Returns [N], broadcast shape.
    Raises: nothing.
    Validity: any; at rest it is `gas.gas_force`.
    Source: [3], F = p1 A_b - p2 (A_b - A_s) - p_atm A_s.

    >>> float(shaft_force(135.10e3, 135.10e3, 113.097e-6, 7.0686e-6))
    0.2387
    """
    ring = np.asarray(bore_area) - shaft_area
    return np.asarray(np.asarray(cap) * bore_area - np.asarray(rod) * ring - P_ATM * np.asarray(shaft_area))
