"""Viscosity and density of damper oil over temperature, and its viscosity in fast shear.

Sources
-------
[1] Andrade's law with the generic coefficient of polydimethylsiloxane, log10 nu = 763/T + const (T in K);
    the coefficient was seen in a public file of fluid properties, its attribution is from memory.
[2] ASTM D341, viscosity-temperature equation for petroleum products: log10 log10 (nu + 0.7) = A - B log10 T.
[3] Density by grade: typical printed values for polydimethylsiloxane, from memory; within 0.5 % of the
    incompressible liquid INCOMP::S800 of CoolProp at its grade of 10.5 mm2/s.
[4] P. J. Carreau, Trans. Soc. Rheol. 16 (1972) 99-127 (from memory), a common form for polymer melts:
    (eta - eta_inf)/(eta_0 - eta_inf) = [1 + (lambda g)^2]^((n - 1)/2).
"""

import numpy as np

from .numbers import ZERO_C, Array, Real

SILICONE_SLOPE_K = 763.0 * float(np.log(10.0))
"""B of [1], K: 1756.87."""

EXPANSION_PER_K = {"silicone": 9.4e-4, "petroleum": 7.7e-4}
"""Thermal expansion at 25 C, 1/K: silicone from its short chains, petroleum from an open hydraulic model."""

_GRADE_CST = np.array([10.0, 20.0, 50.0, 100.0, 350.0, 1000.0, 10000.0])
_GRADE_KG_M3 = np.array([935.0, 950.0, 960.0, 965.0, 970.0, 971.0, 975.0])
PETROLEUM_KG_M3 = 870.0


def silicone_viscosity(nu_ref: Real, t_ref: Real, t: Real, slope: Real = SILICONE_SLOPE_K) -> Array:
    """Kinematic viscosity of a silicone oil at another temperature.

    Symbols: nu_ref: any shape, viscosity at t_ref [m^2/s]; t_ref: any shape [K]; t: any shape [K];
    slope: any shape, B of the law [K]. Returns [m^2/s], broadcast shape.
    Raises: nothing.
    Validity: 10 to 10000 mm2/s, -10..60 C; within 6 % of a light grade's printed values at 0 C.
    Source: [1], nu = nu_ref exp[B (1/T - 1/T_ref)].

    >>> float(silicone_viscosity(325e-6, 298.15, 313.15) * 1e6)
    245.07
    """
    return np.asarray(nu_ref * np.exp(slope * (1.0 / np.asarray(t) - 1.0 / np.asarray(t_ref))))


def slope_from_vtc(vtc: Real) -> Array:
    """Slope B of the silicone law from a printed viscosity-temperature coefficient.

    Symbols: vtc: any shape, 1 - nu(99 C)/nu(38 C) [1]. Returns [K], same shape.
    Raises: nothing.
    Validity: 0 < vtc < 1; silicone oils print 0.55 to 0.62.
    Source: [1] solved for B at 311.15 K and 372.15 K.

    >>> float(slope_from_vtc(0.6))
    1739.4
    """
    return np.asarray(-np.log1p(-np.asarray(vtc, dtype=float)) / (1.0 / 311.15 - 1.0 / 372.15))


def slope_from_points(nu_1: Real, t_1: Real, nu_2: Real, t_2: Real) -> Array:
    """Slope B of the silicone law from two measured points.

    Symbols: nu_1, nu_2: any shape [m^2/s]; t_1, t_2: any shape, different [K]. Returns [K], broadcast shape.
    Raises: nothing.
    Validity: as `silicone_viscosity`.
    Source: [1] solved for B.

    >>> float(slope_from_points(10.49411e-6, 298.15, 8.07411e-6, 313.15))
    1631.8
    """
    return np.asarray(np.log(np.asarray(nu_1) / nu_2) / (1.0 / np.asarray(t_1) - 1.0 / np.asarray(t_2)))


def walther_constants(nu_1: Real, t_1: Real, nu_2: Real, t_2: Real) -> tuple[Array, Array]:
    """Constants A and B of the petroleum law through two points.

    Symbols: nu_1, nu_2: any shape [m^2/s]; t_1, t_2: any shape, different [K]. Returns (A [1], B [1]).
    Raises: nothing.
    Validity: nu of 2 mm2/s and more, where Z = nu + 0.7 mm2/s.
    Source: [2].

    >>> [float(value) for value in walther_constants(32e-6, 313.15, 5.4e-6, 373.15)]
    [9.530815, 3.746578]
    """
    w_1 = np.log10(np.log10(np.asarray(nu_1) * 1e6 + 0.7))
    w_2 = np.log10(np.log10(np.asarray(nu_2) * 1e6 + 0.7))
    b = (w_1 - w_2) / (np.log10(t_2) - np.log10(t_1))
    return np.asarray(w_1 + b * np.log10(t_1)), np.asarray(b)


def walther_viscosity(a: Real, b: Real, t: Real) -> Array:
    """Kinematic viscosity of a petroleum oil at a temperature.

    Symbols: a, b: any shape, constants of the law [1]; t: any shape [K]. Returns [m^2/s], broadcast shape.
    Raises: nothing.
    Validity: nu of 2 mm2/s and more.
    Source: [2] solved for nu.

    >>> float(walther_viscosity(9.530815, 3.746578, 353.15) * 1e6)
    8.5332
    """
    return np.asarray((10.0**10.0 ** (a - b * np.log10(t)) - 0.7) * 1e-6)


def grade_density(nu_25: Real) -> Array:
    """Density of a silicone oil at 25 C from its grade, where the bottle prints none.

    Symbols: nu_25: any shape, viscosity at 25 C [m^2/s]. Returns [kg/m^3], same shape.
    Raises: nothing.
    Validity: 10..10000 mm2/s, beyond it the end value; spread between makers 1 %.
    Source: [3], linear in log nu between the printed grades.

    >>> float(grade_density(350e-6))
    970.0
    """
    return np.asarray(np.interp(np.log(np.asarray(nu_25) * 1e6), np.log(_GRADE_CST), _GRADE_KG_M3))


def density(rho_25: Real, expansion: Real, t: Real) -> Array:
    """Density at a temperature.

    Symbols: rho_25: any shape, density at 25 C [kg/m^3]; expansion: any shape, beta [1/K];
    t: any shape [K]. Returns [kg/m^3], broadcast shape.
    Raises: nothing.
    Validity: -20..120 C.
    Source: definition of the volume expansion, rho = rho_25/(1 + beta (T - 298.15 K)).

    >>> float(density(970.0, 9.4e-4, 328.15))
    943.4
    """
    return np.asarray(rho_25 / (1.0 + expansion * (np.asarray(t) - (ZERO_C + 25.0))))


def expansion_volume(oil_volume: Real, expansion: Real, t_fill: Real, t: Real) -> Array:
    """Volume that a fill of oil gains on warming; negative on cooling.

    Symbols: oil_volume: any shape, at t_fill [m^3]; expansion: any shape, beta [1/K]; t_fill, t: any
    shape [K]. Returns [m^3], broadcast shape.
    Raises: nothing.
    Validity: -20..120 C; the body's own expansion is left out (a few per cent of it).
    Source: definition of the volume expansion, dV = beta V (T - T_fill).

    >>> float(expansion_volume(4.7e-6, 9.4e-4, 293.15, 323.15) * 1e6)
    0.1325
    """
    return np.asarray(expansion * np.asarray(oil_volume) * (np.asarray(t) - np.asarray(t_fill)))


def carreau_share(shear: Real, time: Real, index: Real, floor: Real = 0.0) -> Array:
    """Viscosity in shear over the viscosity at rest.

    Symbols: shear: any shape, shear rate g, not negative [1/s]; time: any shape, relaxation time lambda [s];
    index: any shape, power index n, 0 < n <= 1 [1]; floor: any shape, eta_inf/eta_0, 0..1 [1]. Returns [1],
    broadcast shape.
    Raises: nothing.
    Validity: steady shear; the three numbers belong to one oil at one temperature.
    Source: [4], eta/eta_0 = f + (1 - f) [1 + (lambda g)^2]^((n - 1)/2).

    >>> float(carreau_share(1e5, 1e-5, 0.5))
    0.8409
    """
    bend = np.exp(0.5 * (np.asarray(index) - 1.0) * np.log1p(np.square(np.asarray(time) * shear)))  # [4]
    return np.asarray(floor + (1.0 - np.asarray(floor)) * bend)


def carreau_slope(shear: Real, time: Real, index: Real, floor: Real = 0.0) -> Array:
    """How steeply the viscosity falls with the shear rate: per cent of it per per cent of the rate.

    Symbols: shear: any shape, shear rate g, not negative [1/s]; time: any shape, relaxation time lambda [s];
    index: any shape, power index n [1]; floor: any shape, eta_inf/eta_0 [1]. Returns [1], broadcast shape, from
    n - 1 to 0.
    Raises: nothing.
    Validity: as `carreau_share`.
    Source: [4] differentiated, d ln eta/d ln g = (n - 1) (1 - f eta_0/eta) (lambda g)^2/[1 + (lambda g)^2].

    >>> float(carreau_slope(1e5, 1e-5, 0.5))
    -0.25
    """
    square = np.square(np.asarray(time) * shear)
    above = 1.0 - np.asarray(floor) / carreau_share(shear, time, index, floor)
    return np.asarray((np.asarray(index) - 1.0) * above * square / (1.0 + square))
