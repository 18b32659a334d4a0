"""Warming of a shock by its own work: convection from a cylinder, radiation, lumped balance.

Sources
-------
[1] S. W. Churchill & M. Bernstein, J. Heat Transfer 99 (1977) 300-306: cylinder across a stream.
[2] Radiation of a grey body to surroundings of nearly its temperature, 4 eps sigma T^3 (any text on heat).
[3] W. T. Thomson, Theory of Vibration with Applications, eq. 3.7-2: a linear damper loses pi c w X^2 a cycle.
[4] Air at 40 C and one atmosphere (CoolProp): the film between a shock at 60 C and air at 20 C.
"""

import numpy as np

from .numbers import Array, Real

AIR_CONDUCTIVITY = 0.02735427
"""Of air at 40 C, W/(m K), [4]."""
AIR_VISCOSITY = 1.6998749e-5
"""Kinematic, of air at 40 C, m2/s, [4]."""
AIR_PRANDTL = 0.7054793
"""Of air at 40 C, [4]."""
STEFAN_BOLTZMANN = 5.670374419e-8
"""W/(m2 K4), exact by the definition of the units."""


def cylinder_convection(speed: Real, diameter: Real) -> Array:
    """Heat transfer coefficient of a cylinder across an air stream.

    Symbols: speed: any shape, of the air, positive [m/s]; diameter: any shape, positive [m].
    Returns [W/(m^2 K)], broadcast shape.
    Raises: nothing.
    Validity: Re Pr above 0.2; a lower bound with +-20 %; the shock stands partly behind wheel, spring and arms.
    Source: [1], Nu = 0.3 + 0.62 Re^0.5 Pr^(1/3)/[1 + (0.4/Pr)^(2/3)]^0.25 [1 + (Re/282000)^(5/8)]^0.8.

    >>> float(cylinder_convection(10.0, 12e-3))
    100.80
    """
    re = np.asarray(speed) * diameter / AIR_VISCOSITY
    bend = (1.0 + (0.4 / AIR_PRANDTL) ** (2.0 / 3.0)) ** 0.25
    nusselt = (
        0.3 + 0.62 * np.sqrt(re) * AIR_PRANDTL ** (1.0 / 3.0) / bend * (1.0 + (re / 282_000.0) ** 0.625) ** 0.8
    )
    return np.asarray(nusselt * AIR_CONDUCTIVITY / diameter)


def radiation(temperature: Real, emissivity: Real) -> Array:
    """Heat transfer coefficient of radiation to surroundings of nearly the same temperature.

    Symbols: temperature: any shape, absolute [K]; emissivity: any shape [1]. Returns [W/(m^2 K)], broadcast.
    Raises: nothing.
    Validity: differences small beside the absolute temperature.
    Source: [2], 4 eps sigma T^3.

    >>> float(radiation(313.15, 1.0))
    6.965
    """
    return np.asarray(4.0 * np.asarray(emissivity) * STEFAN_BOLTZMANN * np.asarray(temperature) ** 3)


def steady_rise(power: Real, coefficient: Real, area: Real) -> Array:
    """How much warmer than the air a body gets that is heated for long.

    Symbols: power: any shape [W]; coefficient: any shape, h, positive [W/(m^2 K)]; area: any shape, positive
    [m^2]. Returns [K], broadcast shape.
    Raises: nothing.
    Validity: one temperature for the whole body.
    Source: balance of power in and out, P/(h A).

    >>> float(steady_rise(0.222, 60.0, 2.513e-3))
    1.472
    """
    return np.asarray(np.asarray(power) / (np.asarray(coefficient) * area))


def warming_time(capacity: Real, coefficient: Real, area: Real) -> Array:
    """Time in which 63 % of the steady rise is reached.

    Symbols: capacity: any shape, of the body [J/K]; coefficient: any shape, h, positive [W/(m^2 K)]; area: any
    shape, positive [m^2]. Returns [s], broadcast shape.
    Raises: nothing.
    Validity: as `steady_rise`.
    Source: lumped balance, C/(h A).

    >>> float(warming_time(21.72, 30.0, 2.513e-3))
    288.1
    """
    return np.asarray(np.asarray(capacity) / (np.asarray(coefficient) * area))
