"""One shock made to damp as another, by general root-finders on the written loss; plain floats and plain loops.

A shock is a `Plain`: one or more kinds of hole in a plate, a slit around it, an oil of given viscosity and
density. The unknowns are one factor on all hole diameters and the oil's viscosity.
"""

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from scipy.optimize import brentq, fsolve

from libdamp.demo import demo_data
from libdamp.parts import Shock
from libdamp.physics.orifice import Hole, Passages
from tests.oracles.piston import loss_of_piston


@dataclass(frozen=True)
class Plain:
    """A shock, SI."""

    bore: float
    shaft: float
    across: float  # of the piston; the bore's where there is no gap
    thickness: float
    kinds: tuple[tuple[int, float], ...]  # (count, diameter)
    viscosity: float  # dynamic
    density: float

    @property
    def annulus(self) -> float:
        """Area that pushes oil."""
        return math.pi / 4.0 * (self.bore**2 - self.shaft**2)

    def passages(self) -> Passages:
        """The ways past the piston."""
        share = sum(count * d**2 for count, d in self.kinds) / self.bore**2
        slit = 0.5 * (self.bore - self.across)
        gap = math.pi * self.bore * slit**3 / (12.0 * self.viscosity * self.thickness)
        holes = tuple(Hole(d, self.thickness, self.viscosity, self.density, share) for _, d in self.kinds)
        return Passages(holes, tuple(float(count) for count, _ in self.kinds), gap)

    def force(self, speed: float) -> float:
        """Damping force at a speed."""
        return self.annulus * loss_of_piston(self.annulus * speed, self.passages())

    def slow(self) -> float:
        """Damping coefficient in creeping flow."""
        share = sum(count * d**2 for count, d in self.kinds) / self.bore**2
        slit = 0.5 * (self.bore - self.across)
        conductance = math.pi * self.bore * slit**3 / (12.0 * self.viscosity * self.thickness)
        for count, d in self.kinds:
            bracket = 18.56 - 6.6 * share**1.5 + 32.0 * self.thickness / d
            conductance += count * math.pi * d**3 / (4.0 * self.viscosity * bracket)
        return self.annulus**2 / conductance

    def changed(self, factor: float, viscosity: float) -> "Plain":
        """With all holes scaled and another oil."""
        return replace(self, kinds=tuple((n, factor * d) for n, d in self.kinds), viscosity=viscosity)


def oil_alone(reference: Plain, candidate: Plain) -> float:
    """Viscosity with which the candidate's slow coefficient is the reference's, found by search."""

    def off(log_viscosity: float) -> float:
        return math.log(candidate.changed(1.0, math.exp(log_viscosity)).slow() / reference.slow())

    return math.exp(brentq(off, math.log(1e-4), math.log(1e3), xtol=1e-15, rtol=1e-15))


def hole_and_oil(reference: Plain, candidate: Plain, speeds: tuple[float, float]) -> tuple[float, float]:
    """Factor on the holes and viscosity with which both forces agree: two equations, two unknowns."""

    def off(logs: np.ndarray) -> list[float]:
        made = candidate.changed(*np.exp(logs).tolist())
        return [math.log(made.force(v) / reference.force(v)) for v in speeds]

    start = [0.0, math.log(oil_alone(reference, candidate))]
    found, _, status, message = fsolve(off, start, xtol=1e-13, full_output=True)
    if max(map(abs, off(found))) > 1e-11:
        raise ArithmeticError(f"{status}: {message}")
    factor, viscosity = np.exp(found).tolist()
    return factor, viscosity


def fast_ratio(reference: Plain, candidate: Plain, factor: float, speeds: tuple[float, float]) -> float:
    """Candidate's over reference's force at the second speed, with scaled holes and the first force met."""
    slow, fast = speeds

    def off(log_viscosity: float) -> float:
        made = candidate.changed(factor, math.exp(log_viscosity))
        return math.log(made.force(slow) / reference.force(slow))

    viscosity = math.exp(brentq(off, math.log(1e-4), math.log(1e3), xtol=1e-12))
    return candidate.changed(factor, viscosity).force(fast) / reference.force(fast)


def as_request(plain: Plain) -> dict[str, Any]:
    """The plain shock as a request has it; what does not matter here is the demo truck's."""
    holes = "+".join(f"{count}x{1e3 * d:.6g}" for count, d in plain.kinds)
    return {
        **demo_data("demo-truck")["car"]["front"]["shock"],
        "bore_mm": round(plain.bore * 1e3, 6),
        "shaft_mm": round(plain.shaft * 1e3, 6),
        "piston": {
            "holes": holes,
            "thickness_mm": round(plain.thickness * 1e3, 6),
            "diameter_mm": round(plain.across * 1e3, 6) if plain.across < plain.bore else None,
        },
        "oil": {"viscosity_cst": plain.viscosity / plain.density * 1e6, "density_kg_m3": plain.density},
    }


def as_shock(plain: Plain) -> Shock:
    """The plain shock as a Struct."""
    return Shock(**as_request(plain))
