"""Discharge coefficient of a long orifice by experiment.

Source: A. Lichtarowicz, R. K. Duggins & E. Markland, Discharge coefficients for incompressible
non-cavitating flow through long orifices, J. Mech. Eng. Sci. 7(2) (1965) 210-219. The equation as it is
carried by two open programs that cite the paper (an open finite element program's network elements and an
open thermal-hydraulics library); the paper itself was not read. Range there: Re_h 10..20000, L/d 2..10.

    1/Cd = 1/Cdu + (20/Re_h)(1 + 2.25 L/d) - 0.005 (L/d)/(1 + 7.5 (log10 0.00015 Re_h)^2)
    Cdu  = 0.827 - 0.0085 L/d

Re_h is formed with the velocity sqrt(2 dp/rho), so Re_h = Re/Cd with the mean velocity's Re.
"""

import math

from scipy.optimize import brentq


def discharge_coefficient(reynolds: float, length_ratio: float) -> float:
    """Cd at the Reynolds number of the mean velocity."""
    ultimate = 0.827 - 0.0085 * length_ratio

    def residual(cd: float) -> float:
        ideal = reynolds / cd
        inverse = (
            1.0 / ultimate
            + 20.0 / ideal * (1.0 + 2.25 * length_ratio)
            - 0.005 * length_ratio / (1.0 + 7.5 * math.log10(0.00015 * ideal) ** 2)
        )
        return 1.0 / inverse - cd

    return float(brentq(residual, 1e-4, 1.0, xtol=1e-14))
