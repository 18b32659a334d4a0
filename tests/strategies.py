"""Strategies of the equations' plain SI floats: the whole stated range of each model, and a little of both ends."""

import math
from typing import NamedTuple

from hypothesis import strategies as st
from hypothesis.strategies import SearchStrategy

from libdamp.physics.linkage import ArmGeometry
from libdamp.physics.orifice import Hole, Passages, gap_conductance


def between(low: float, high: float) -> SearchStrategy[float]:
    """Floats of a range, ends included; none so small beside the range that its square is lost."""
    least = 1e-30 * max(abs(low), abs(high))
    plain = st.floats(low, high, allow_nan=False, allow_subnormal=False)
    return plain.map(lambda value: 0.0 if low <= 0.0 <= high and abs(value) < least else value)


def over_decades(low: float, high: float) -> SearchStrategy[float]:
    """Floats of a range, every decade alike."""
    return between(math.log(low), math.log(high)).map(lambda power: min(max(math.exp(power), low), high))


viscosities = over_decades(5e-3, 25.0)  # Pa s
kinematic = over_decades(10e-6, 10e-3)  # m2/s
densities = between(800.0, 1000.0)  # kg/m3
temperatures = between(253.15, 353.15)  # K
vtcs = between(0.5, 0.7)
slopes = between(1400.0, 2200.0)  # K
expansions = between(6e-4, 1.1e-3)  # 1/K
hole_diameters = between(0.4e-3, 5e-3)  # m
thicknesses = between(0.5e-3, 12e-3)  # m
area_ratios = between(0.0, 0.5)
edges = between(0.5, 1.6)
hole_speeds = over_decades(1e-6, 50.0)  # m/s
shaft_speeds = over_decades(1e-5, 5.0)  # m/s
losses = over_decades(1e-3, 1e7)  # Pa
bores = between(8e-3, 40e-3)  # m
shafts = between(2e-3, 6e-3)  # m
clearances = over_decades(0.005e-3, 0.15e-3)  # m
strokes = between(0.0, 60e-3)  # m
pressures = over_decades(1e4, 2e6)  # Pa
gas_volumes = over_decades(0.05e-6, 10e-6)  # m3
masses = over_decades(0.02, 10.0)  # kg
rates = over_decades(10.0, 2e5)  # N/m
dampings = between(0.0, 500.0)  # N s/m
signs = st.sampled_from((-1.0, 1.0))


holes = st.tuples(hole_diameters, thicknesses, viscosities, densities, area_ratios, edges).map(lambda h: Hole(*h))
thinnings = st.tuples(over_decades(1e-8, 0.01), between(0.05, 1.0), st.just(0.0) | between(0.0, 1.0))
"""Relaxation time, power index and floor of an oil that thins in shear."""
thinning_holes = st.tuples(holes, thinnings).map(lambda pair: Hole(*pair[0][:6], *pair[1]))


class PistonDraw(NamedTuple):
    """A piston in a bore; the share b of its holes follows from them, so that changes keep it consistent."""

    bore: float
    thickness: float
    clearance: float  # 0 for no gap
    eccentricity: float
    viscosity: float
    density: float
    edge: float
    kinds: tuple[tuple[int, float], ...]  # (count, diameter)
    thinning: tuple[float, float, float] = (0.0, 1.0, 0.0)

    def area_ratio(self) -> float:
        """Area of all holes over the bore's."""
        return sum(count * diameter**2 for count, diameter in self.kinds) / self.bore**2

    def passages(self) -> Passages:
        """The ways past this piston."""
        b = self.area_ratio()
        oil = (self.thickness, self.viscosity, self.density, b, self.edge, *self.thinning)
        gap = 0.0
        if self.clearance > 0.0:
            piston = self.bore - 2.0 * self.clearance
            gap = float(gap_conductance(self.bore, piston, self.thickness, self.viscosity, self.eccentricity))
        return Passages(
            tuple(Hole(diameter, *oil) for _, diameter in self.kinds),
            tuple(float(count) for count, _ in self.kinds),
            gap,
        )

    def flow(self, shaft_speed: float) -> float:
        """Flow at a shaft speed, the shaft's own area left out."""
        return 0.25 * math.pi * self.bore**2 * shaft_speed


def _piston(kinds: list[tuple[int, float]], bore: float, *rest: float, gap: bool, edge: float = 1.0) -> PistonDraw:
    smallest = math.sqrt(2.0 * sum(count * diameter**2 for count, diameter in kinds))  # b = 0.5
    thickness, clearance, eccentricity, viscosity, density = rest
    return PistonDraw(
        max(bore, 1.0000001 * smallest),
        thickness,
        clearance if gap else 0.0,
        eccentricity,
        viscosity,
        density,
        edge,
        tuple(kinds),
    )


def pistons(kinds: int = 0, gap: bool | None = None) -> SearchStrategy[PistonDraw]:
    """Pistons with that many kinds of holes (0: one to three), with a gap, without, or either."""
    kind = st.tuples(st.integers(1, 6), hole_diameters)
    some = st.lists(kind, min_size=kinds or 1, max_size=kinds or 3)
    rest = (thicknesses, clearances, between(0.0, 1.0), viscosities, densities)
    gaps = st.booleans() if gap is None else st.just(gap)
    return st.builds(_piston, some, bores, *rest, gap=gaps, edge=edges)


def _arm(arm: float, along: float, above: float, out: float, up: float) -> ArmGeometry:
    return ArmGeometry(arm, arm * along, arm * above, arm * out, arm * up)


arms = st.builds(
    _arm,
    between(40e-3, 160e-3),
    between(0.4, 0.95),
    between(-0.1, 0.15),
    between(0.1, 0.6),
    between(0.6, 1.3),
)
"""Swinging arms: upper mount above and inside of the lower one."""

arm_angles = between(-0.45, 0.45)
"""Angle of an arm from level, rad; travel is arm sin of it."""

parabolas = st.tuples(between(40e-3, 150e-3), between(-1.1, -0.3), between(-4.0, 4.0))
travels = between(-30e-3, 30e-3)
