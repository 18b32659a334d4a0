"""Viscosity of a blend of two oils at one temperature.

Sources
-------
[1] Arrhenius (Grunberg and Nissan without interaction): ln nu = sum of x_i ln nu_i (textbook, from memory).
[2] ASTM D7152, the method at one temperature: W = log10 log10 (nu + 0.7), volume shares (the form seen on a
    general page, the standard's scope in the standard).
[3] Refutas index as in R. E. Maples, Petroleum Refinery Process Economics: 14.534 ln ln (nu + 0.8) + 10.975,
    mass shares.
[4] Polymer melts: nu goes with the weight-average molar mass to the power 3.4, so nu^(1/3.4) averages (from
    memory); for silicone oils above entanglement, an upper estimate.

nu in m^2/s outside, in mm^2/s inside [2] and [3], which are written for it.
"""

import numpy as np

from .numbers import Array, Real

MELT_POWER = 3.4


def log_blend(thin: Real, thick: Real, share: Real) -> Array:
    """Viscosity of a blend by the logarithmic rule.

    Symbols: thin, thick: any shape, viscosities [m^2/s]; share: any shape, of the thick oil, 0..1 [1].
    Returns [m^2/s], broadcast shape.
    Raises: nothing.
    Validity: oils of one family; within 1 % of the other rules for neighbours within a factor 1.5.
    Source: [1].

    >>> float(log_blend(350e-6, 600e-6, 0.5) * 1e6)
    458.26
    """
    return np.asarray(thin * np.exp(np.asarray(share) * np.log(np.asarray(thick) / thin)))


def log_share(thin: Real, thick: Real, target: Real) -> Array:
    """Share of the thick oil that gives a viscosity by the logarithmic rule.

    Symbols: thin, thick, target: any shape, viscosities, thin not thick [m^2/s]. Returns [1], broadcast shape.
    Raises: nothing.
    Validity: target between the two.
    Source: [1] solved for the share.

    >>> float(log_share(350e-6, 600e-6, 425e-6))
    0.360
    """
    return np.asarray(np.log(np.asarray(target) / thin) / np.log(np.asarray(thick) / thin))


def double_log_blend(thin: Real, thick: Real, share: Real) -> Array:
    """Viscosity of a blend by the rule of petroleum oils.

    Symbols: thin, thick: any shape, viscosities [m^2/s]; share: any shape, of the thick oil by volume [1].
    Returns [m^2/s], broadcast shape.
    Raises: nothing.
    Validity: petroleum oils of 2 mm2/s and more; not validated for silicone.
    Source: [2].

    >>> float(double_log_blend(22e-6, 68e-6, 0.5) * 1e6)
    37.1685
    """
    return _iterated(thin, thick, share, 0.7)


def double_log_share(thin: Real, thick: Real, target: Real) -> Array:
    """Share of the thick oil that gives a viscosity by the rule of petroleum oils.

    Symbols: thin, thick, target: any shape, viscosities, thin not thick [m^2/s]. Returns [1], broadcast shape.
    Raises: nothing.
    Validity: as `double_log_blend`.
    Source: [2] solved for the share.

    >>> float(double_log_share(22e-6, 68e-6, 37.1685e-6))
    0.5000
    """
    low, wanted, high = (np.log(np.log(np.asarray(nu) * 1e6 + 0.7)) for nu in (thin, target, thick))
    return np.asarray((wanted - low) / (high - low))


def index_blend(thin: Real, thick: Real, share: Real) -> Array:
    """Viscosity of a blend by the blending index of petroleum oils.

    Symbols: thin, thick: any shape, viscosities [m^2/s]; share: any shape, of the thick oil by mass [1].
    Returns [m^2/s], broadcast shape.
    Raises: nothing.
    Validity: petroleum oils; not validated for silicone.
    Source: [3]; its constants cancel, natural or decimal logarithms alike.

    >>> float(index_blend(22e-6, 68e-6, 0.5) * 1e6)
    37.1892
    """
    return _iterated(thin, thick, share, 0.8)


def _iterated(thin: Real, thick: Real, share: Real, shift: float) -> Array:
    low = np.log(np.log(np.asarray(thin) * 1e6 + shift))
    high = np.log(np.log(np.asarray(thick) * 1e6 + shift))
    return np.asarray((np.exp(np.exp(low + np.asarray(share) * (high - low))) - shift) * 1e-6)


def melt_blend(thin: Real, thick: Real, share: Real) -> Array:
    """Viscosity of a blend by the law of polymer melts: an upper estimate.

    Symbols: thin, thick: any shape, viscosities [m^2/s]; share: any shape, of the thick oil [1]. Returns
    [m^2/s], broadcast shape.
    Raises: nothing.
    Validity: silicone oils above about 1000 mm2/s; above the truth for thinner ones.
    Source: [4], nu^(1/3.4) averaged.

    >>> float(melt_blend(100e-6, 1000e-6, 0.5) * 1e6)
    382.90
    """
    low, high = np.power(thin, 1.0 / MELT_POWER), np.power(thick, 1.0 / MELT_POWER)
    return np.asarray(np.power(low + np.asarray(share) * (high - low), MELT_POWER))


def mass_share(volume_share: Real, thin_density: Real, thick_density: Real) -> Array:
    """Share by mass of the thick oil from its share by volume.

    Symbols: volume_share: any shape [1]; thin_density, thick_density: any shape [kg/m^3]. Returns [1], broadcast.
    Raises: nothing.
    Validity: volumes add up.
    Source: conservation of mass and volume.

    >>> float(mass_share(0.5, 900.0, 1100.0))
    0.55
    """
    thick = np.asarray(volume_share) * thick_density
    return np.asarray(thick / (thick + (1.0 - np.asarray(volume_share)) * thin_density))
