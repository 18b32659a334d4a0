"""Check values of the flow tables: at their grid the law itself, between the points within the stated error."""

from collections.abc import Callable
from typing import Any

import mpmath

from libdamp.physics.flow_table import BLOCK, CELLS, FASTEST_M_S
from libdamp.physics.orifice import Hole, Passages
from tests.check_values.table import Row, exact
from tests.oracles import written

OIL = (2.4e-3, 0.315, 970.0, 0.045)
ONE = Passages((Hole(1.7e-3, *OIL),), (2.0,))
TWO = Passages((Hole(1.5e-3, *OIL), Hole(1.1e-3, *OIL)), (2.0, 1.0), 4e-13)
TIGHT = Passages((Hole(1.7e-3, *OIL, 1.6),), (2.0,))
ANNULUS = 106e-6
GIVEN = {"annulus": ANNULUS, "compression": ONE, "rebound": TWO, "squeezed": TIGHT}
BLOCKS = {0: ONE, 1: TWO, 2: TIGHT}


def _ratio(block: int, point: int) -> Callable[[], float]:
    """dp/q of the written law at a point of the grid."""

    def expected() -> float:
        with mpmath.workdps(25):
            flow = mpmath.mpf(FASTEST_M_S) * mpmath.mpf(ANNULUS) * (mpmath.mpf(point) / CELLS) ** 4
            return float(written.piston_loss(flow, exact(BLOCKS[block])) / flow)

    return expected


def _row(block: int, point: int) -> Row:
    def pick(table: Any) -> float:
        return float(table.values[block * BLOCK + point])

    return Row(
        model="physics.flow_table.flow_table",
        inputs=GIVEN,
        pick=pick,
        expected=_ratio(block, point),
        source=f"loss of the holes over the flow at point {point} of the grid, evaluated by mpmath",
        kind="formula",
        tolerance=1e-12,
        reason="the written equation itself, to 12 digits",
    )


def _flow_ratio(point: int) -> Row:
    """q/dp into a void: the flow that the written law gives back its loss."""

    def pick(table: Any) -> float:
        loss = (point / CELLS) ** 4 * CELLS**4 / float(table.loss_scale[0])
        flow = loss * float(table.values[3 * BLOCK + point])
        with mpmath.workdps(25):
            return float(written.piston_loss(mpmath.mpf(flow), exact(TIGHT)) / mpmath.mpf(loss))

    return Row(
        model="physics.flow_table.flow_table",
        inputs=GIVEN,
        pick=pick,
        expected="1.00000000000",
        source=f"loss at the table's flow over the loss at point {point}, by mpmath",
        kind="independent",
    )


ROWS = [
    *(_row(block, point) for block, point in ((0, 8), (0, 100), (0, 160), (1, 40), (2, 75))),
    *(_flow_ratio(point) for point in (5, 60, 159)),
]
