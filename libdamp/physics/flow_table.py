"""The flow law of a piston as tables, made once a build, read once a step.

Loss and flow are kept as their ratio, which changes slowly, over the fourth root of what drives it:

    dp = q R((|q|/q0)^(1/4)),    q = dp G((|dp|/p0)^(1/4))                                            (1)

with R and G on an even grid and straight lines between. Compression flow is positive.

Sources
-------
[1] The loss of `orifice`; linear interpolation (any numerical-analysis text).
"""

from collections.abc import Callable
from typing import Any, NamedTuple

import numpy as np

from .numbers import Array, Real
from .orifice import Passages, piston_flow, piston_loss

CELLS = 200
"""Cells of each table; the ratio is then within 3e-4 of the law, most of it far nearer."""
FASTEST_M_S = 20.0
"""Shaft speed up to which R reaches; beyond, the last cell goes on as a straight line."""
LARGEST_PA = 30e6
"""Loss up to which G reaches at most; a shock bursts before."""


BLOCK = CELLS + 1
"""Values of one table; a build has five, one after another."""
COMPRESSION, REBOUND, SQUEEZED, INTO_VOID, BACK = (i * BLOCK for i in range(5))
"""Where R begins (compression, rebound, compression into a void), then G (into a void, rebound)."""


class FlowTable(NamedTuple):
    """Ratios of loss over flow and of flow over loss, both directions; one build or a batch of them."""

    values: Any  # R three times [Pa s/m3], G twice [m3/(Pa s)], five blocks a build, flat
    flow_scale: Real  # CELLS^4 over the flow at the end of the table [s/m3]
    loss_scale: Real  # CELLS^4 over the loss at the end of the table [1/Pa]
    start: Any  # where each corner's values begin


def flow_table(annulus: Real, compression: Passages, rebound: Passages, squeezed: Passages) -> FlowTable:
    """Tables of a batch of builds.

    Symbols: annulus: shape (n, 1), area that pushes oil past the piston [m^2]; compression, rebound: passages
    with fields of shape (n, 1) or floats; squeezed: the same for flow into an empty space behind the piston.
    Returns tables of n builds.
    Raises: nothing.
    Validity: as `orifice.hole_loss`; ratio within 3e-4 of it up to 20 m/s of shaft and 30 MPa; an oil that
    thins at a few 1/s already, 1 %.
    Source: (1).

    >>> from .orifice import Hole
    >>> ways = Passages((Hole(1.7e-3, 2.4e-3, 0.315, 970.0, 0.04),), (2,))
    >>> flow_table(106e-6, ways, ways, ways).values.size
    1005
    """
    grid = (np.arange(CELLS + 1.0) / CELLS) ** 4
    grid[0] = 1e-12  # the limit of the ratio at rest, to round-off
    flow = FASTEST_M_S * np.atleast_2d(annulus) * grid
    sides = _each(lambda ways: piston_loss(flow, ways) / flow, compression, rebound, squeezed)
    largest = np.maximum(*(side[:, -1:] * flow[:, -1:] for side in sides[:2]))
    end = np.minimum(largest, LARGEST_PA)
    loss = end * grid
    back = _each(lambda ways: piston_flow(loss, ways) / loss, squeezed, rebound)
    builds = largest.shape[0]
    return FlowTable(
        values=np.stack([np.broadcast_to(side, (builds, BLOCK)) for side in (*sides, *back)], axis=1).ravel(),
        flow_scale=CELLS**4 / np.broadcast_to(flow[:, -1], builds),
        loss_scale=CELLS**4 / end[:, 0],
        start=np.arange(builds) * (5 * BLOCK),
    )


def _each(work: Callable[[Passages], Array], *ways: Passages) -> list[Array]:
    """Work on each of some passages, once where two are one object."""
    done: dict[int, Array] = {}
    for way in ways:
        if id(way) not in done:
            done[id(way)] = work(way)
    return [done[id(way)] for way in ways]
