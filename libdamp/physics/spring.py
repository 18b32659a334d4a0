"""Coil springs on a shock: the force of a linear spring that can also be loose.

Source
------
[1] Hooke's law for a helical compression spring, EN 13906-1; preload shifts the force and not the rate
    (elementary).
"""

import numpy as np

from .numbers import Array, Real


def spring_compression(preload: Real, insertion: Real, limiter: Real) -> Array:
    """Compression of the spring at a shaft insertion; negative while the spring is loose.

    Symbols: preload: any shape, compression with the shock as far out as the limiter lets it [m];
    insertion: any shape, from the uncut full length [m]; limiter: any shape [m]. Returns [m], broadcast.
    Raises: nothing.
    Validity: rigid seats.
    Source: geometry, s = s0 + x - x_limiter.

    >>> float(spring_compression(0.57e-3, 14.65e-3, 4e-3) * 1e3)
    11.22
    """
    return np.asarray(np.asarray(preload) + insertion - limiter)


def spring_force(rate: Real, compression: Real) -> Array:
    """Force of a linear compression spring; none while it is loose.

    Symbols: rate: any shape [N/m]; compression: any shape [m]. Returns [N], broadcast shape.
    Raises: nothing.
    Validity: from loose to coil bind.
    Source: [1], F = R s for s > 0.

    >>> float(spring_force(380.0, 11.22e-3))
    4.264
    """
    return np.asarray(rate * np.maximum(compression, 0.0))


def spring_rate(rate: Real, compression: Real) -> Array:
    """Rate of the spring at a compression: its own, or none while it is loose.

    Symbols: rate: any shape [N/m]; compression: any shape [m]. Returns [N/m], broadcast shape.
    Raises: nothing.
    Validity: from loose to coil bind.
    Source: [1], derivative of `spring_force`.

    >>> float(spring_rate(380.0, 11.22e-3))
    380.0
    """
    return np.asarray(np.where(np.asarray(compression) >= 0.0, rate, 0.0))
