"""How a jumping car meets the ground.

Source
------
[1] Motion of a body in a uniform field without air (any mechanics text).
"""

import numpy as np

from .numbers import G_N, Array, Real


def landing_speed(apex: Real, speed: Real, slope: Real) -> Array:
    """Speed with which a car meets a landing, square to its surface; negative when it never meets it.

    Symbols: apex: any shape, height of the highest point over the landing [m]; speed: any shape, along the
    ground [m/s]; slope: any shape, of the landing, downhill positive [rad]. Returns [m/s], broadcast shape.
    Raises: nothing.
    Validity: no air, no spin, flat landing surface.
    Source: [1], sqrt(2 g h) cos a - v sin a.

    >>> float(landing_speed(0.9, 7.0, np.radians(20.0)))
    1.554
    """
    return np.asarray(np.sqrt(2.0 * G_N * np.asarray(apex)) * np.cos(slope) - speed * np.sin(slope))


def fall_height(speed: Real) -> Array:
    """Height of a fall straight down that ends at a speed.

    Symbols: speed: any shape [m/s]. Returns [m], same shape.
    Raises: nothing.
    Validity: no air.
    Source: [1], v^2/(2 g).

    >>> float(fall_height(1.40047))
    0.1
    """
    return np.asarray(np.square(speed) / (2.0 * G_N))
