"""Exact steady flow of an oil that thins (Carreau) through a long tube, by quadrature over the shear rate.

Rabinowitsch and Mooney (any rheology text): with the stress tau(g) = eta(g) g, the wall's tau_w = dp d/(4 L) and
the no-slip wall, the mean velocity is V = (d/2) tau_w^-3 times the integral of tau^2 g over tau from 0 to tau_w.
"""

from scipy.integrate import quad
from scipy.optimize import brentq

from tests.oracles.piston import carreau

Law = tuple[float, float, float]
"""Relaxation time, power index, floor."""


def wall_rate(velocity: float, diameter: float, law: Law) -> float:
    """True shear rate at the wall, 1/s, at a mean velocity."""

    def stress(rate: float) -> float:
        return carreau(rate, *law) * rate

    def slope(rate: float) -> float:
        step = 1e-6 * rate
        return (stress(rate + step) - stress(rate - step)) / (2.0 * step)

    def mean(wall: float) -> float:
        scale = stress(wall)
        # over shares of the wall's rate, stresses as shares of the wall's
        inner, _ = quad(lambda s: (stress(s * wall) / scale) ** 2 * s * wall * slope(s * wall) * wall / scale, 0, 1)
        return 0.5 * diameter * float(inner)

    plain = 8.0 * velocity / diameter
    return float(brentq(lambda wall: mean(wall) / velocity - 1.0, 0.5 * plain, 20.0 * plain, rtol=1e-10))


def tube_loss(velocity: float, diameter: float, length: float, viscosity: float, law: Law) -> float:
    """Pressure difference along a long tube, Pa."""
    wall = wall_rate(velocity, diameter, law)
    return 4.0 * length / diameter * viscosity * carreau(wall, *law) * wall
