"""Sizes of twist drills, and the walls that drilled holes leave in a piston.

The sizes are printed tables: they follow no formula and nothing is read between two of them.

Sources
-------
[1] Metric drills, preferred steps of BS 328 and ISO 235 (as tabulated in public lists of drill sizes): 0.20 to
    0.98 mm in N/10 + 0, 0.02, 0.05, 0.08; 1.00 to 2.95 mm by 0.05; from 3.0 mm by 0.1.
[2] Number drills, ASME B94.11M: 80 to 47 as in a public-domain table of 2007, 46 to 8 from memory, equal to two
    public transcriptions.
[3] Geometry: holes evenly spaced on a circle around the shaft.
"""

import numpy as np

from .numbers import Array, Places, Real

METRIC_MM: tuple[float, ...] = (
    *((10 * tenth + step) / 100 for tenth in range(2, 10) for step in (0, 2, 5, 8)),
    *(step / 100 for step in range(100, 300, 5)),
    *(tenth / 10 for tenth in range(30, 51)),
)
"""Metric drills up to 5 mm [1], mm."""

NUMBER_INCH: dict[int, float] = dict(
    zip(
        range(80, 7, -1),
        (
            *(0.0135, 0.0145, 0.0160, 0.0180, 0.0200, 0.0210, 0.0225, 0.0240, 0.0250, 0.0260),  # 80 to 71
            *(0.0280, 0.0292, 0.0310, 0.0320, 0.0330, 0.0350, 0.0360, 0.0370, 0.0380, 0.0390),  # 70 to 61
            *(0.0400, 0.0410, 0.0420, 0.0430, 0.0465, 0.0520, 0.0550, 0.0595, 0.0635, 0.0670),  # 60 to 51
            *(0.0700, 0.0730, 0.0760, 0.0785, 0.0810, 0.0820, 0.0860, 0.0890, 0.0935, 0.0960),  # 50 to 41
            *(0.0980, 0.0995, 0.1015, 0.1040, 0.1065, 0.1100, 0.1110, 0.1130, 0.1160, 0.1200),  # 40 to 31
            *(0.1285, 0.1360, 0.1405, 0.1440, 0.1470, 0.1495, 0.1520, 0.1540, 0.1570, 0.1590),  # 30 to 21
            *(0.1610, 0.1660, 0.1695, 0.1730, 0.1770, 0.1800, 0.1820, 0.1850, 0.1890, 0.1910),  # 20 to 11
            *(0.1935, 0.1960, 0.1990),  # 10 to 8
        ),
        strict=True,
    )
)
"""Number drills up to 5 mm [2], inch."""

LEAST_WALL = 0.8e-3
"""Wall to leave between a hole and the rim, the shaft or the next hole, m (common practice, from memory)."""


def nearest_size(wanted: Real, sizes: Real) -> Places:
    """Place of the size that is nearest to a wanted one; of two equally near the one that stands first.

    Symbols: wanted: any shape [m]; sizes: shape (n,), in any order, in the unit of wanted [m]. Returns the place
    in sizes, from 0 [1], shape of wanted.
    Raises: nothing.
    Validity: any.
    Source: definition, the least |size - wanted|.

    >>> METRIC_MM[int(nearest_size(1.806, METRIC_MM))]
    1.8
    """
    off = np.abs(np.asarray(wanted)[..., np.newaxis] - np.asarray(sizes))
    return np.asarray(np.argmin(off, axis=-1))


def rim_wall(piston: Real, circle: Real, hole: Real) -> Array:
    """Wall between a hole and the rim of the piston; negative where the hole breaks through.

    Symbols: piston: any shape, its diameter [m]; circle: any shape, diameter of the circle on which the holes
    lie [m]; hole: any shape, diameter [m]. Returns [m], broadcast shape.
    Raises: nothing.
    Validity: any.
    Source: [3], (piston - circle - hole)/2.

    >>> float(rim_wall(11.9e-3, 7.4e-3, 1.7e-3) * 1e3)
    1.4
    """
    return np.asarray(0.5 * (np.asarray(piston) - circle - hole))


def shaft_wall(circle: Real, shaft: Real, hole: Real) -> Array:
    """Wall between a hole and the shaft; negative where the hole breaks through.

    Symbols: circle: any shape, diameter of the circle on which the holes lie [m]; shaft, hole: any shape,
    diameters [m]. Returns [m], broadcast shape.
    Raises: nothing.
    Validity: any.
    Source: [3], (circle - shaft - hole)/2.

    >>> float(shaft_wall(7.4e-3, 3.0e-3, 1.7e-3) * 1e3)
    1.35
    """
    return np.asarray(0.5 * (np.asarray(circle) - shaft - hole))


def hole_wall(circle: Real, count: Real, hole: Real) -> Array:
    """Wall between a hole and the next one; negative where they meet.

    Symbols: circle: any shape, diameter of the circle on which the holes lie [m]; count: any shape, holes on
    it, two or more [1]; hole: any shape, diameter, or the mean of two neighbours' [m]. Returns [m], broadcast.
    Raises: nothing.
    Validity: evenly spaced holes.
    Source: [3], chord less diameter, circle sin(pi/count) - hole.

    >>> float(hole_wall(7.4e-3, 4.0, 1.7e-3) * 1e3)
    3.533
    """
    return np.asarray(circle * np.sin(np.pi / np.asarray(count)) - hole)
