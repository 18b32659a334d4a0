"""Air in the oil: how fast bubbles rise, how much softer they make the oil, how much the oil takes up.

Pressures are absolute. A share of air is a volume over the volume of oil and air together.

Sources
-------
[1] Stokes 1851, sphere with a rigid surface in creeping flow. R. Clift, J. R. Grace, M. E. Weber, Bubbles, Drops
    and Particles, Academic Press 1978 (from memory): small bubbles in a liquid that is not perfectly clean behave
    as rigid; with a clean, free surface (Hadamard, Rybczynski 1911) a gas bubble rises 1.5 times as fast.
[2] M. G. Rabie, Fluid Power Engineering, p. 32, eq. 2.49 to 2.57.
[3] Chamber blocks of a general simulator (Hydraulic Fluid, public manual): the same with the mass of air fixed,
    E = E_l [1 + a (p_a/p)^(1/n)]/[1 + a p_a^(1/n) E_l/(n p^((n+1)/n))], a = air over oil at p_a.
[4] Henry's law; the solubilities from suppliers' handbooks, from memory (silicone 0.16 to 0.19, petroleum 0.09).
[5] Bulk moduli: silicone oil from the equations of state of its short chains, extrapolated to long ones
    (0.86 GPa for the longest); petroleum oil from memory.
"""

import numpy as np

from .numbers import G_N, P_ATM, Array, Real

BULK_MODULUS_PA = {"silicone": 0.85e9, "petroleum": 1.5e9}
"""Isothermal bulk modulus of an oil without air, Pa [5]."""

AIR_SOLUBILITY = {"silicone": 0.17, "petroleum": 0.09}
"""Air that an oil takes up, volume at one atmosphere per volume of oil and atmosphere [4]."""

REYNOLDS_STOKES = 1.0
"""Reynolds number up to which [1] is used: there the true speed is about 12 % lower, at 0.1 it is 2 % lower."""


def stokes_rise(diameter: Real, difference: Real, viscosity: Real) -> Array:
    """Speed at which a small bubble rises.

    Symbols: diameter: any shape, d [m]; difference: any shape, density of the liquid less that of the gas
    [kg/m^3]; viscosity: any shape, dynamic, mu [Pa s]. Returns [m/s], broadcast shape.
    Raises: nothing.
    Validity: one bubble, Reynolds number up to 1; many together, 5 % by volume, rise about a fifth more slowly
    (power 4.65 of the liquid's share, from memory).
    Source: [1], v = g d^2 (rho - rho_gas)/(18 mu).

    >>> float(stokes_rise(0.2e-3, 970.0, 970.0 * 325e-6) * 1e3)
    0.067054
    """
    return np.asarray(G_N * np.square(diameter) * difference / (18.0 * np.asarray(viscosity)))


def rise_reynolds(speed: Real, diameter: Real, kinematic: Real) -> Array:
    """Reynolds number of a bubble.

    Symbols: speed: any shape [m/s]; diameter: any shape, d [m]; kinematic: any shape, viscosity of the liquid, nu
    [m^2/s]. Returns [1], broadcast shape.
    Raises: nothing.
    Validity: any.
    Source: definition, Re = v d/nu.

    >>> float(rise_reynolds(1.67635e-3, 1e-3, 325e-6))
    0.0051580
    """
    return np.asarray(np.asarray(speed) * diameter / kinematic)


def air_share_at(share: Real, reference: Real, pressure: Real, exponent: Real = 1.0) -> Array:
    """Share of air at a pressure, from the share at another.

    Symbols: share: any shape, a at the reference pressure, 0..1 [1]; reference, pressure: any shape, p_0 and p,
    positive [Pa]; exponent: any shape, n, 1 slow [1]. Returns [1], broadcast shape.
    Raises: nothing.
    Validity: no air goes into the oil or comes out; the oil's own give left out of the share (p/B of it).
    Source: [2] eq. 2.49, p V^n constant: a r/(a r + 1 - a) with r = (p_0/p)^(1/n).

    >>> float(air_share_at(0.05, 101325.0, 202650.0))
    0.025641
    """
    shrunk = np.asarray(share) * np.exp(np.log(np.asarray(reference) / pressure) / exponent)
    return np.asarray(shrunk / (shrunk + (1.0 - np.asarray(share))))


def effective_bulk_modulus(share: Real, pressure: Real, modulus: Real, exponent: Real = 1.0) -> Array:
    """Bulk modulus of oil that holds bubbles.

    Symbols: share: any shape, of air at this pressure, a, 0..1 [1]; pressure: any shape, p, positive [Pa];
    modulus: any shape, of the oil without air, B [Pa]; exponent: any shape, n, 1 slow [1]. Returns [Pa],
    broadcast shape.
    Raises: nothing.
    Validity: bubbles that do not dissolve; a stiff body.
    Source: [2] eq. 2.57, 1/B_e = a/(n p) + (1 - a)/B.

    >>> float(effective_bulk_modulus(0.01, 101325.0, 1.0e9) / 1e7)
    1.0032
    """
    a, gas = np.asarray(share), exponent * np.asarray(pressure)
    return np.asarray(gas * modulus / (a * modulus + (1.0 - a) * gas))  # [2] eq. 2.55


def fixed_mass_bulk_modulus(
    share: Real, reference: Real, pressure: Real, modulus: Real, exponent: Real = 1.0
) -> Array:
    """Bulk modulus at a pressure of oil whose share of air is known at another.

    Symbols: share: any shape, of air at the reference pressure, s, 0..1 [1]; reference, pressure: any shape, p_a
    and p, positive [Pa]; modulus: any shape, of the oil without air, E_l [Pa]; exponent: any shape, n, 1 slow [1].
    Returns [Pa], broadcast shape.
    Raises: nothing.
    Validity: as `air_share_at`.
    Source: [3] with a = s/(1 - s), both parts of the fraction times 1 - s.

    >>> float(fixed_mass_bulk_modulus(0.01 / 1.01, 101325.0, 201325.0, 1.0e9, 1.4) / 1e7)
    4.4271
    """
    oil = 1.0 - np.asarray(share)
    shrunk = np.asarray(share) * np.exp(np.log(np.asarray(reference) / pressure) / exponent)
    return np.asarray(modulus * (oil + shrunk) / (oil + shrunk * modulus / (exponent * np.asarray(pressure))))


def column_shortening(column: Real, share: Real, reference: Real, pressure: Real, exponent: Real = 1.0) -> Array:
    """Length by which the air in a column of oil gives way as the pressure changes; negative where it swells.

    Symbols: column: any shape, length at the reference pressure, L [m]; share: any shape, of air there, a [1];
    reference, pressure: any shape, p_0 and p, positive [Pa]; exponent: any shape, n, 1 slow [1]. Returns [m],
    broadcast shape.
    Raises: nothing.
    Validity: no air goes into the oil or comes out; the oil's own give, L (p - p_0)/B, left out.
    Source: [2] eq. 2.49, L a [1 - (p_0/p)^(1/n)].

    >>> float(column_shortening(20e-3, 0.05, 101325.0, 202650.0) * 1e3)
    0.5
    """
    fallen = np.log(np.asarray(reference) / pressure) / exponent
    return np.asarray(-column * np.asarray(share) * np.expm1(fallen))


def dissolved_air(oil: Real, pressure: Real, solubility: Real) -> Array:
    """Air that oil takes up on a rise of pressure, as a volume at one atmosphere; given time.

    Symbols: oil: any shape, volume of oil [m^3]; pressure: any shape, its rise, a fall negative [Pa]; solubility:
    any shape, S, volume of air per volume of oil and atmosphere [1]. Returns [m^3], broadcast shape.
    Raises: nothing.
    Validity: in balance, after minutes to hours; the solubility is good to 10 %.
    Source: [4], S V p/p_atm.

    >>> float(dissolved_air(10e-6, 101325.0, 0.16) * 1e6)
    1.6
    """
    return np.asarray(solubility * np.asarray(oil) * (np.asarray(pressure) / P_ATM))
