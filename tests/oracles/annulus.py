"""Laminar flow through a concentric annulus, exact.

Source: R. B. Bird, W. E. Stewart & E. N. Lightfoot, Transport Phenomena, section 2.4 (from memory):

    q = pi dp R^4/(8 mu L) [(1 - k^4) - (1 - k^2)^2/ln(1/k)],  k = inner over outer radius

For a thin gap c = (1 - k) R, with e = c/R, the bracket is (4/3) e^3 (1 - e/2 + e^2/60 + ...), so the plane
slit of width pi 2R gives e/2 + (1/4 - 1/60) e^2 + ... too much: never more than e/2 + e^2/4 for e <= 0.1.
"""

import mpmath


def annulus_conductance(bore: float, piston: float, length: float, viscosity: float) -> float:
    """q/dp; at 30 digits, since the bracket is a difference of nearly equal numbers."""
    with mpmath.workdps(30):
        outer, k = mpmath.mpf(bore) / 2, mpmath.mpf(piston) / mpmath.mpf(bore)
        bracket = (1 - k**4) - (1 - k**2) ** 2 / mpmath.log(1 / k)
        return float(mpmath.pi * outer**4 / (8 * mpmath.mpf(viscosity) * mpmath.mpf(length)) * bracket)


def thin_gap_error(bore: float, piston: float) -> float:
    """Largest relative excess of the plane slit over the annulus."""
    e = (bore - piston) / bore
    return 0.5 * e + 0.25 * e * e
