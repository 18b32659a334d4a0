"""Check values of holes, gap and piston."""

import csv
import math
from pathlib import Path
from typing import Any

import mpmath
from mpmath import mpf

from libdamp.physics.orifice import Hole, Passages
from tests.check_values.table import Row, formula, times
from tests.oracles import written
from tests.oracles.annulus import annulus_conductance, thin_gap_error
from tests.oracles.long_orifice import discharge_coefficient
from tests.oracles.piston import loss_of_piston
from tests.oracles.tube import tube_loss

DAGAN = "Z. Dagan, S. Weinbaum & R. Pfeffer, J. Fluid Mech. 115 (1982) 505-523: dp d/(mu V) = 6 pi + 32 L/d"
LONG = "A. Lichtarowicz, R. K. Duggins & E. Markland, J. Mech. Eng. Sci. 7 (1965) 210-219, tests/oracles"
ANNULUS = "R. B. Bird, W. E. Stewart & E. N. Lightfoot, Transport Phenomena, section 2.4 (from memory), annulus"
PARALLEL = "parallel paths under one pressure difference, scipy.optimize.brentq point by point, tests/oracles"
FLOWS = Path(__file__).parents[1] / "oracles" / "navier_stokes" / "table.csv"

TRUCK = Hole(1.7e-3, 2.4e-3, 0.315, 970.0, 0.04)
ROUND = Hole(1.2e-3, 3.0e-3, 0.04, 950.0, 0.12, 0.8)
SMALL = Hole(1.0e-3, 2.4e-3, 0.315, 970.0, 0.04)
ONE = Passages((TRUCK,), (2,))
MIXED = Passages((TRUCK, SMALL), (2, 3), 0.5e-12)
THINS = TRUCK._replace(thinning_time=2e-5, power_index=0.6, floor_share=0.1)
THINNED = Passages((THINS, SMALL._replace(thinning_time=2e-5, power_index=0.6)), (2, 3), 0.5e-12)
RABINOWITSCH = "Rabinowitsch and Mooney, any shear-thinning oil through a tube, by quadrature, tests/oracles"
DIFFERENTIATED = "equation (1) differentiated by mpmath.diff"
SOLVED = "equation (1) solved by mpmath.findroot"
PATHS = "parallel paths solved by mpmath.findroot"
SHEARED = "the viscosity at 8 V/d by the form of Carreau"
GAP = {"bore": 12e-3, "piston": 11.9e-3, "length": 2.4e-3, "viscosity": 0.315}


def _dagan_row(length_ratio: float) -> Row:
    d, mu = 1.5e-3, 0.3
    return Row(
        model="physics.orifice.creeping_resistance",
        inputs={"hole": Hole(d, length_ratio * d, mu, 970.0, 0.0)},
        pick=times(d / mu),
        expected=lambda: 6.0 * math.pi + 32.0 * length_ratio,
        source=f"{DAGAN}, L/d = {length_ratio:g}",
        kind="published",
        tolerance=0.01,
        reason="the source states 1 % against its exact series",
    )


def _cd(hole: Hole, velocity: float) -> Any:
    return lambda loss: velocity / math.sqrt(2.0 * float(loss) / hole.density)


def _long_row(length_ratio: float, reynolds: float) -> Row:
    d, mu, rho = 1.5e-3, 0.1, 970.0
    hole = Hole(d, length_ratio * d, mu, rho, 0.0)
    velocity = reynolds * mu / (d * rho)
    return Row(
        model="physics.orifice.hole_loss",
        inputs={"velocity": velocity, "hole": hole},
        pick=_cd(hole, velocity),
        expected=lambda: discharge_coefficient(reynolds, length_ratio),
        source=f"{LONG}, Cd at L/d = {length_ratio:g}, Re = {reynolds:g}",
        kind="published",
        tolerance=0.04,
        reason="4 % in Cd is the agreement that the model states for Re 30..1000",
    )


def _annulus_row(gap_mm: float) -> Row:
    bore = 12e-3
    given = {"bore": bore, "piston": bore - 2e-3 * gap_mm, "length": 2.4e-3, "viscosity": 0.315}
    return Row(
        model="physics.orifice.gap_conductance",
        inputs=given,
        expected=lambda: annulus_conductance(**given),
        source=f"{ANNULUS}, gap {gap_mm:g} mm",
        kind="published",
        tolerance=thin_gap_error(bore, bore - 2e-3 * gap_mm),
        reason="plane slit against annulus, e/2 + e^2/4 with e = gap over bore radius (derived in tests/oracles)",
    )


def _piston_row(flow: float, passages: Passages) -> Row:
    return Row(
        model="physics.orifice.piston_loss",
        inputs={"flow": flow, "passages": passages},
        expected=lambda: loss_of_piston(flow, passages),
        source=f"{PARALLEL}, q = {flow * 1e6:g} ml/s",
        kind="independent",
        tolerance=1e-11,
        reason="one equation, two root-finders: round-off",
    )


def _tube_row(index: float, floor: float, beyond: float) -> Row:
    """A hole so long that its ends and its inertia count for nothing."""
    d, mu, velocity = 1.7e-3, 0.3, 1.0
    law = (beyond * d / (8.0 * velocity), index, floor)
    return Row(
        model="physics.orifice.hole_loss",
        inputs={"velocity": velocity, "hole": Hole(d, 1e6 * d, mu, 1e-6, 0.0, 1.0, *law)},
        expected=lambda: tube_loss(velocity, d, 1e6 * d, mu, law),
        source=f"{RABINOWITSCH}, n = {index:g}, floor {floor:g}, lambda 8 V/d = {beyond:g}",
        kind="independent",
        tolerance=0.14,
        reason="the model states that the viscosity at 8 V/d is up to 14 % low far into the power law",
    )


def _range_row(name: str, column: str, end: Any) -> Row:
    """An end of the range for which the loss was fitted: that of the committed flow solutions."""

    def expected() -> float:
        lines = [line for line in FLOWS.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
        return float(end(float(row[column]) for row in csv.DictReader(lines)))

    return Row(
        model=f"physics.orifice.{name}",
        inputs={},
        expected=expected,
        source=f"the project's own flow solutions, tests/oracles/navier_stokes/table.csv, column {column}",
        kind="independent",
        tolerance=1e-5,
        reason="the table prints six digits",
    )


def _slit(bore: mpf, piston: mpf, length: mpf, viscosity: mpf, eccentricity: mpf) -> mpf:
    width = (bore - piston) / 2
    return mpmath.pi * bore * width**3 * (1 + mpf("1.5") * eccentricity**2) / (12 * viscosity * length)


def _each(model: str, inputs: dict[str, Any], equation: Any, source: str) -> Row:
    return formula(f"physics.orifice.{model}", inputs, equation, source)


ROWS = [
    *(_dagan_row(ratio) for ratio in (0.5, 1.0, 1.5, 2.0, 3.0, 5.0)),
    *(_long_row(ratio, re) for ratio in (2.0, 3.0, 5.0) for re in (30.0, 100.0, 300.0, 1000.0)),
    *(_annulus_row(gap) for gap in (0.01, 0.03, 0.05, 0.10, 0.30)),
    _range_row("AREA_RATIO_FITTED", "area_ratio", max),
    _range_row("REYNOLDS_FITTED", "reynolds", max),
    _range_row("LENGTH_RATIO_FITTED", "length_ratio", min),
    *(_piston_row(flow, passages) for flow in (1e-7, 21.2e-6, 2e-4) for passages in (ONE, MIXED, THINNED)),
    *(
        _tube_row(index, floor, beyond)
        for index, floor, beyond in ((0.25, 0.0, 1e4), (0.5, 0.0, 1.0), (0.5, 0.1, 30.0), (0.8, 0.0, 10.0))
    ),
    _each("creeping_resistance", {"hole": TRUCK}, written.creeping, "equation (1), first part"),
    _each("creeping_resistance", {"hole": ROUND}, written.creeping, "equation (1), first part"),
    _each("inertial_coefficient", {"reynolds": 24.4, "hole": TRUCK}, written.coefficient, "equation (2)"),
    _each("inertial_coefficient", {"reynolds": 640.0, "hole": ROUND}, written.coefficient, "equation (2)"),
    _each("hole_loss", {"velocity": 4.67, "hole": TRUCK}, written.hole_loss, "equations (1), (2)"),
    _each("hole_loss", {"velocity": 9.0, "hole": ROUND}, written.hole_loss, "equations (1), (2)"),
    _each("hole_loss_slope", {"velocity": 4.67, "hole": TRUCK}, written.hole_loss_slope, DIFFERENTIATED),
    _each("hole_loss_slope", {"velocity": 9.0, "hole": ROUND}, written.hole_loss_slope, DIFFERENTIATED),
    _each("hole_velocity", {"loss": 68.86e3, "hole": TRUCK}, written.hole_velocity, SOLVED),
    _each("hole_velocity", {"loss": 5e5, "hole": ROUND}, written.hole_velocity, SOLVED),
    _each("hole_loss", {"velocity": 9.0, "hole": THINS}, written.hole_loss, f"equations (1), (2), {SHEARED}"),
    _each("hole_loss_slope", {"velocity": 9.0, "hole": THINS}, written.hole_loss_slope, DIFFERENTIATED),
    _each("hole_velocity", {"loss": 1e5, "hole": THINS}, written.hole_velocity, SOLVED),
    _each("gap_conductance", {**GAP, "eccentricity": 0.4}, _slit, "q/dp = pi D c^3 (1 + 1.5 e^2)/(12 mu L)"),
    _each("piston_conductance", {"passages": MIXED}, written.piston_conductance, "sum of n A V/dp and the gap"),
    _each("piston_flow", {"loss": 1e5, "passages": MIXED}, written.piston_flow, "sum of n A V(dp) and the gap"),
    _each("piston_flow_slope", {"loss": 1e5, "passages": MIXED}, written.piston_flow_slope, "d(sum of n A V)/dp"),
    _each("piston_velocity", {"flow": 21.2e-6, "passages": MIXED}, written.piston_velocity, PATHS),
    _each("piston_velocity", {"flow": 21.2e-6, "passages": ONE}, written.piston_velocity, PATHS),
    _each("piston_loss", {"flow": 2e-4, "passages": MIXED}, written.piston_loss, PATHS),
    _each("creeping_share", {"flow": 21.2e-6, "passages": MIXED}, written.creeping_share, "share of the power"),
    _each("piston_flow", {"loss": 1e5, "passages": THINNED}, written.piston_flow, PATHS),
    _each("piston_loss", {"flow": 21.2e-6, "passages": THINNED}, written.piston_loss, PATHS),
    _each("creeping_share", {"flow": 21.2e-6, "passages": THINNED}, written.creeping_share, "share of the power"),
    _each("largest_reynolds", {"flow": 21.2e-6, "passages": THINNED}, written.largest_reynolds, SHEARED),
    _each("largest_reynolds", {"flow": 21.2e-6, "passages": MIXED}, written.largest_reynolds, "Re = V d rho/mu"),
    _each("largest_wall_shear", {"flow": 21.2e-6, "passages": MIXED}, written.largest_wall_shear, "8 V/d"),
    Row(
        model="physics.roots.bracketed_newton",
        inputs={"residual": lambda x: (x**2 - 2.0, 2.0 * x), "start": 1.0, "low": 0.0, "high": 2.0},
        expected=lambda: float(mpmath.sqrt(2)),
        source="root of x^2 = 2 by mpmath",
        kind="formula",
        tolerance=1e-12,
        reason="the written equation itself, to 12 digits",
    ),
]
