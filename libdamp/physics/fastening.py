"""Loads where a piston is held on its shaft by retaining washers (E-clips) in grooves.

Sources
-------
[1] DIN 6799 (September 1981), retaining washers for shafts: sizes and static loads, as reprinted at
    beneri.com/en/prodotto/din-6799; what the symbols mean, from the standard's own list of symbols. How the
    groove's load goes with its depth and the yield stress: from memory of the standard.
[2] E-ring rule on a ring maker's data sheet for rings to DIN 6799 (americanring.net, DIN6799-009): a third of
    the circumference bears, over a safety factor.
[3] Force = pressure times area (statics).

One difference of pressure loads the piston whichever way it moves: on compression the washer on the rod side
carries it, on rebound the washer on the cap side.
"""

from typing import NamedTuple

import numpy as np

from .numbers import Array, Real

YIELD_RATED = 200e6
"""Yield stress of the shaft for which the table's groove loads hold, Pa [1]."""
CONTACT_SHARE = 0.75
"""Share of the ring between hole and washer's rim on which an E-clip really lies: its mouth is open."""


class Washer(NamedTuple):
    """One line of the table of retaining washers; SI."""

    groove: float  # d2, diameter of the groove and size of the washer, m
    shaft_from: float  # d1, thinnest shaft, m
    shaft_to: float  # d1, thickest shaft, m
    thickness: float  # s, m
    outer: float  # d3, largest outer diameter when seated, m
    groove_load: float  # FN, static load of the groove on a shaft d1' of yield stress YIELD_RATED, N
    shaft_rated: float  # d1', shaft for which FN holds, m
    load: float  # FR, static load of the washer against a square edge, N
    chamfer: float  # g, largest chamfer of the edge for FRg, m
    chamfered_load: float  # FRg, static load of the washer against a chamfered edge, N


_TABLE = """
1.2 |  1.4 |  2.0 | 0.30 |  3.25 |   40 |  1.5 |  120 | 0.4 |   60
1.5 |  2.0 |  2.5 | 0.40 |  4.25 |   70 |  2.0 |  220 | 0.6 |  110
1.9 |  2.5 |  3.0 | 0.50 |  4.80 |  100 |  2.5 |  350 | 0.7 |  170
2.3 |  3.0 |  4.0 | 0.60 |  6.30 |  150 |  3.0 |  500 | 0.9 |  240
3.2 |  4.0 |  5.0 | 0.60 |  7.30 |  220 |  4.0 |  650 | 0.9 |  320
4.0 |  5.0 |  7.0 | 0.70 |  9.30 |  250 |  5.0 |  950 | 1.0 |  470
5.0 |  6.0 |  8.0 | 0.70 | 11.30 |  900 |  7.0 | 1150 | 1.0 |  600
6.0 |  7.0 |  9.0 | 0.70 | 12.30 | 1100 |  8.0 | 1350 | 1.1 |  700
7.0 |  8.0 | 11.0 | 0.90 | 14.30 | 1250 |  9.0 | 1800 | 1.3 | 1000
8.0 |  9.0 | 12.0 | 1.00 | 16.30 | 1420 | 10.0 | 2500 | 1.5 | 1250
9.0 | 10.0 | 14.0 | 1.10 | 18.80 | 1600 | 11.0 | 3000 | 1.6 | 1500
10.0 | 11.0 | 15.0 | 1.20 | 20.40 | 1700 | 12.0 | 3500 | 1.8 | 1750
"""
"""d2 | d1 from | to | s | d3 | FN | at d1' | FR | g | FRg, in mm and N [1]."""


def _washer(line: str) -> Washer:
    cells = zip(Washer._fields, line.split("|"), strict=True)
    return Washer(*(float(cell) if name.endswith("load") else float(cell) * 1e-3 for name, cell in cells))


WASHERS: tuple[Washer, ...] = tuple(_washer(line) for line in _TABLE.strip().splitlines())
"""Retaining washers of DIN 6799 for the shafts of shocks, the smallest first [1]."""


def load_from_difference(pressure_difference: Real, bore_area: Real, shaft_area: Real) -> Array:
    """Thrust of a piston on the washer that holds it, from the pressure difference across it.

    Symbols: pressure_difference: any shape, between the piston's two sides, either sign [Pa]; bore_area,
    shaft_area: any shape [m^2]. Returns [N], broadcast shape, not negative.
    Raises: nothing.
    Validity: the ring between bore and shaft carries the difference, holes and gap included: what the oil loses
    in a hole it gives to the piston as drag and momentum. Of the drag in the gap half goes to the bore's wall;
    counting all of it is high by under 1 % for gaps of up to 1 % of the bore. Masses and seals are left out.
    Source: [3], F = |dp| (A_b - A_s).

    >>> float(load_from_difference(100e3, 113.097e-6, 7.0686e-6))
    10.603
    """
    return np.asarray(np.abs(pressure_difference) * (np.asarray(bore_area) - shaft_area))


def groove_load(
    rated: Real, shaft: Real, groove: Real, shaft_rated: Real, groove_rated: Real, yield_stress: Real
) -> Array:
    """Static thrust that a washer's groove takes.

    Symbols: rated: any shape, the table's load FN [N]; shaft, groove: any shape, diameters d1 and d2 as they are
    [m]; shaft_rated, groove_rated: any shape, the table's d1' and d2' [m]; yield_stress: any shape, R of the
    shaft [Pa]. Returns [N], broadcast shape.
    Raises: nothing.
    Validity: static, square shoulders, without reserve against yielding.
    Source: [1], FN t/t' R/200 MPa with the groove's depth t = (d1 - d2)/2; where the shoulder's area falls faster
    than its depth, by the area: the table's loads are about 50 MPa on it.

    >>> float(groove_load(150.0, 3.5e-3, 2.3e-3, 3.0e-3, 2.3e-3, 400e6))
    514.29
    """
    deeper = (np.asarray(shaft) - groove) / (np.asarray(shaft_rated) - groove_rated)
    wider = (np.asarray(shaft) + groove) / (np.asarray(shaft_rated) + groove_rated)
    return np.asarray(rated * deeper * np.minimum(1.0, wider) * (np.asarray(yield_stress) / YIELD_RATED))


def ring_load(shaft: Real, bearing: Real, strength: Real, safety: Real) -> Array:
    """Thrust that an E-ring takes by the rule of its makers: of the groove, or of the ring in shear.

    Symbols: shaft: any shape, B [m]; bearing: any shape, depth of the groove, or thickness of the ring [m];
    strength: any shape, yield stress of the groove, or shear strength of the ring [Pa]; safety: any shape, K, 2
    for the groove, 3 for the ring [1]. Returns [N], broadcast shape.
    Raises: nothing.
    Validity: E-rings, hardened; square edges.
    Source: [2], P = (1/3) pi B t S/K.

    >>> float(ring_load(3.0e-3, 0.6e-3, 1034e6, 3.0))
    649.7
    """
    return np.asarray(np.pi * np.asarray(shaft) * bearing * strength / (3.0 * np.asarray(safety)))


def bearing_pressure(force: Real, outer: Real, hole: Real) -> Array:
    """Pressure with which a washer lies on the face of a piston.

    Symbols: force: any shape [N]; outer: any shape, outer diameter of the washer d3 [m]; hole: any shape, hole in
    the piston, the shaft's diameter where it fits, less than outer [m]. Returns [Pa], broadcast shape.
    Raises: nothing.
    Validity: even contact on three quarters of the ring; no holes of the piston under the washer.
    Source: [3], F/(0.75 (pi/4) (d3^2 - d_hole^2)); the share of contact is an estimate.

    >>> float(bearing_pressure(150.0, 6.3e-3, 3.0e-3) / 1e6)
    8.297
    """
    ring = 0.25 * np.pi * (np.square(outer) - np.square(hole))
    return np.asarray(force / (CONTACT_SHARE * ring))
