"""Free vibration of one corner: one mass on a spring and damper, two masses with the tyre.

Sources
-------
[1] S. S. Rao, Mechanical Vibrations; W. T. Thomson, Theory of Vibration with Applications: single mass.
[2] D. C. Barton & J. D. Fieldhouse, Automotive Chassis Engineering (Springer), p. 209: two masses.
"""

import numpy as np

from .numbers import Array, Real


def natural_frequency(rate: Real, mass: Real) -> Array:
    """Undamped natural frequency of a mass on a spring.

    Symbols: rate: any shape, positive [N/m]; mass: any shape [kg]. Returns [Hz], broadcast shape.
    Raises: nothing; a rate that is not positive gives not-a-number.
    Validity: small movements.
    Source: [1], sqrt(k/m)/(2 pi).

    >>> float(natural_frequency(189.6, 0.295))
    4.035
    """
    with np.errstate(invalid="ignore"):
        return np.asarray(np.sqrt(np.asarray(rate) / mass) / (2.0 * np.pi))


def damping_ratio(damping: Real, rate: Real, mass: Real) -> Array:
    """Damping as a share of the critical damping, below which a mass swings on.

    Symbols: damping: any shape, c [N s/m]; rate: any shape, positive [N/m]; mass: any shape [kg].
    Returns [1], broadcast shape.
    Raises: nothing; a rate that is not positive gives not-a-number.
    Validity: linear damping, small movements.
    Source: [1], c/(2 sqrt(k m)).

    >>> float(damping_ratio(554.4981, 2358.2652, 200.0))
    0.4037
    """
    with np.errstate(invalid="ignore"):
        return np.asarray(np.asarray(damping) / (2.0 * np.sqrt(np.asarray(rate) * mass)))


def two_mass_frequencies(sprung: Real, unsprung: Real, rate: Real, tyre_rate: Real) -> tuple[Array, Array]:
    """Undamped natural frequencies of body and wheel with the tyre as a second spring.

    Symbols: sprung, unsprung: any shape [kg]; rate: any shape, wheel rate, positive [N/m]; tyre_rate: any
    shape [N/m]. Returns (body [Hz], wheel hop [Hz]), broadcast shape.
    Raises: nothing.
    Validity: linear, tyre on the ground.
    Source: [2], w^4 - w^2 [(k + kt)/mu + k/ms] + k kt/(ms mu) = 0.

    >>> [float(value) for value in two_mass_frequencies(317.5, 45.4, 22e3, 192e3)]
    [1.2539, 10.935]
    """
    half = 0.5 * ((np.asarray(rate) + tyre_rate) / unsprung + np.asarray(rate) / sprung)
    product = np.asarray(rate) * tyre_rate / (np.asarray(sprung) * unsprung)
    with np.errstate(invalid="ignore"):
        high = half + np.sqrt(half**2 - product)
        # the low root from the product of the roots: no difference of large numbers
        return np.sqrt(product / high) / (2.0 * np.pi), np.sqrt(high) / (2.0 * np.pi)
