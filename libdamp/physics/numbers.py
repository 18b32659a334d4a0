"""Constants and the array type of the equations.

Sources: g_n and the atmosphere are exact by definition (ISO 80000-3; ISO 2533).
"""

from typing import Any

import numpy as np
from numpy.typing import NDArray

G_N = 9.80665
"""Standard acceleration of free fall, m/s^2 (exact)."""

P_ATM = 101_325.0
"""Standard atmosphere, Pa (exact)."""

ZERO_C = 273.15
"""0 degrees Celsius in kelvin (exact)."""

Array = NDArray[np.float64]
"""An array of floats; every equation also takes plain floats and returns what numpy broadcasting gives."""

Real = Any
"""A float or an array of floats: what an equation takes, broadcast by numpy's rules."""

Mask = NDArray[np.bool_]
"""An array of true and false."""

Places = NDArray[np.integer[Any]]
"""An array of places in another array."""
