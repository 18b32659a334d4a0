"""Helical compression springs from their wire, and springs that work together.

Sources
-------
[1] EN 13906-1, cold coiled cylindrical compression springs; the rate also in J. E. Shigley, Mechanical
    Engineering Design, 10th ed., eq. 10-9.
[2] Shigley, eq. 10-4 (Wahl), 10-5 (Bergstraesser).
[3] Series and parallel springs: equal force, equal deflection (any mechanics text).
"""

import numpy as np

from .numbers import Array, Real


def wire_rate(wire: Real, coil: Real, active: Real, modulus: Real) -> Array:
    """Rate of a helical spring.

    Symbols: wire, coil: any shape, wire and mean coil diameter, d and D [m]; active: any shape, active coils n
    [1]; modulus: any shape, shear modulus G [Pa]. Returns [N/m], broadcast shape.
    Raises: nothing.
    Validity: D/d 4..20, n of 2 and more, small pitch.
    Source: [1], R = G d^4/(8 D^3 n).

    >>> float(wire_rate(2.5e-3, 28.5e-3, 13.0, 81.0e9) / 1e3)
    1.314
    """
    square = np.square(wire)
    return np.asarray(modulus * square * square / (8.0 * coil * np.square(coil) * active))


def wahl_factor(index: Real) -> Array:
    """Factor on the stress for curvature and direct shear, after Wahl.

    Symbols: index: any shape, C = D/d, above 1 [1]. Returns [1], same shape.
    Raises: nothing.
    Validity: C of 3 and more.
    Source: [2], (4 C - 1)/(4 C - 4) + 0.615/C.

    >>> float(wahl_factor(6.0))
    1.2525
    """
    c = np.asarray(index)
    return np.asarray((4.0 * c - 1.0) / (4.0 * c - 4.0) + 0.615 / c)


def bergstraesser_factor(index: Real) -> Array:
    """Factor on the stress for curvature and direct shear, after Bergstraesser.

    Symbols: index: any shape, C = D/d, above 1 [1]. Returns [1], same shape.
    Raises: nothing.
    Validity: C of 3 and more.
    Source: [2] = [1], (4 C + 2)/(4 C - 3) = (w + 0.5)/(w - 0.75).

    >>> float(bergstraesser_factor(11.4))
    1.117
    """
    c = np.asarray(index)
    return np.asarray((4.0 * c + 2.0) / (4.0 * c - 3.0))


def shear_stress(force: Real, wire: Real, coil: Real, factor: Real) -> Array:
    """Largest shear stress in the wire.

    Symbols: force: any shape [N]; wire, coil: any shape, d and D [m]; factor: any shape, of curvature [1].
    Returns [Pa], broadcast shape.
    Raises: nothing.
    Validity: elastic.
    Source: [1], [2], K 8 F D/(pi d^3).

    >>> float(shear_stress(20.0, 1.2e-3, 14e-3, 1.123027) / 1e6)
    463.39
    """
    return np.asarray(factor * 8.0 * force * coil / (np.pi * wire * np.square(wire)))


def block_length(wire: Real, total: Real, ground: bool) -> Array:
    """Length with all coils touching.

    Symbols: wire: any shape, d [m]; total: any shape, all coils, the dead ones at the ends included [1];
    ground: whether the ends are ground flat. Returns [m], broadcast shape.
    Raises: nothing.
    Validity: closed ends.
    Source: [1], n_t d with ground ends, (n_t + 1.5) d without (the second from memory).

    >>> float(block_length(2.5e-3, 14.0, True) * 1e3)
    35.0
    """
    return np.asarray((np.asarray(total) + (0.0 if ground else 1.5)) * wire)


def active_mass(wire: Real, coil: Real, active: Real, density: Real) -> Array:
    """Mass of the coils that move.

    Symbols: wire, coil: any shape, d and D [m]; active: any shape, n [1]; density: any shape, of the wire
    [kg/m^3]. Returns [kg], broadcast shape.
    Raises: nothing.
    Validity: small pitch.
    Source: geometry, rho (pi d^2/4) (pi D n).

    >>> float(active_mass(1.2e-3, 14e-3, 6.0, 7850.0) * 1e3)
    2.3429
    """
    return np.asarray(0.25 * np.pi * np.pi * density * np.square(wire) * coil * active)


def surge_frequency(rate: Real, mass: Real) -> Array:
    """Lowest frequency at which the coils of a spring held at both ends swing by themselves.

    Symbols: rate: any shape [N/m]; mass: any shape, of the active coils [kg]. Returns [Hz], broadcast shape.
    Raises: nothing.
    Validity: both ends held.
    Source: wave equation of a spring (Shigley, section 10-8), (1/2) sqrt(R/m).

    >>> float(surge_frequency(1283.09, 2.34289e-3))
    370.02
    """
    return np.asarray(0.5 * np.sqrt(np.asarray(rate) / mass))


def buckling_deflection(free: Real, coil: Real, seating: Real, modulus_ratio: Real) -> Array:
    """Deflection at which a spring bows sideways; not-a-number where it never does.

    Symbols: free: any shape, free length L0 [m]; coil: any shape, D [m]; seating: any shape, 0.5 both ends flat
    and held, 1 both hinged [1]; modulus_ratio: any shape, G/E [1]. Returns [m], broadcast shape.
    Raises: nothing.
    Validity: unguided spring; on a shock's body it leans on the body and rubs.
    Source: [1] (from memory), s_K = L0 0.5/(1 - G/E) [1 - sqrt(1 - (1 - G/E)/(0.5 + G/E) (pi D/(nu L0))^2)].

    >>> float(buckling_deflection(80e-3, 13e-3, 1.0, 81.5 / 206.0) * 1e3)
    6.101
    """
    softer = 1.0 - np.asarray(modulus_ratio)
    slender = np.square(np.pi * coil / (seating * np.asarray(free)))
    with np.errstate(invalid="ignore"):
        root = np.sqrt(1.0 - softer / (0.5 + modulus_ratio) * slender)
    return np.asarray(free * 0.5 / softer * (1.0 - root))


def stacked_force(deflection: Real, soft: Real, stiff: Real, gap: Real) -> Array:
    """Force of two springs end to end of which the soft one closes after a way of its own.

    Symbols: deflection: any shape, of both together, not negative [m]; soft, stiff: any shape, rates [N/m];
    gap: any shape, way after which the soft one is closed [m]. Returns [N], broadcast shape.
    Raises: nothing.
    Validity: linear springs.
    Source: [3], k1 k2/(k1 + k2) up to F = k1 g, then k2.

    >>> float(stacked_force(12e-3, 1000.0, 2000.0, 6e-3))
    12.0
    """
    x = np.asarray(deflection)
    both = soft * np.asarray(stiff) / (np.asarray(soft) + stiff) * x
    after = soft * np.asarray(gap) + stiff * (x - gap * (1.0 + np.asarray(soft) / stiff))
    return np.asarray(np.where(both <= soft * np.asarray(gap), both, after))


def helper_force(deflection: Real, main: Real, helper: Real, gap: Real) -> Array:
    """Force of two springs side by side of which the helper touches after a gap.

    Symbols: deflection: any shape, not negative [m]; main, helper: any shape, rates [N/m]; gap: any shape [m].
    Returns [N], broadcast shape.
    Raises: nothing.
    Validity: linear springs.
    Source: [3], F = k1 x + k2 max(0, x - g).

    >>> float(helper_force(24.988839e-3, 28253.472, 29430.7, 15e-3))
    1000.0
    """
    x = np.asarray(deflection)
    return np.asarray(main * x + helper * np.maximum(0.0, x - gap))


def parallel_rate(one: Real, other: Real) -> Array:
    """Rate of two springs side by side.

    Symbols: one, other: any shape, rates [N/m]. Returns [N/m], broadcast shape.
    Raises: nothing.
    Validity: linear springs that both touch.
    Source: [3], k1 + k2.

    >>> float(parallel_rate(24832.153, 13243.815) / 1e3)
    38.076
    """
    return np.asarray(np.asarray(one) + other)


def series_rate(one: Real, other: Real) -> Array:
    """Rate of two springs end to end.

    Symbols: one, other: any shape, rates [N/m]. Returns [N/m], broadcast shape.
    Raises: nothing.
    Validity: linear springs of which none is closed.
    Source: [3], k1 k2/(k1 + k2).

    >>> float(series_rate(200.0, 300.0))
    120.0
    """
    return np.asarray(np.asarray(one) * other / (np.asarray(one) + other))


def shared_force(force: Real, own: Real, other: Real) -> Array:
    """Force that one of two springs side by side carries.

    Symbols: force: any shape, of both [N]; own, other: any shape, rates [N/m]. Returns [N], broadcast shape.
    Raises: nothing.
    Validity: linear springs that both touch from the start, one inside the other or beside it.
    Source: [3], equal deflection, F k1/(k1 + k2).

    >>> float(shared_force(2000.0, 24832.153, 13243.815))
    1304.35
    """
    return np.asarray(force * np.asarray(own) / (np.asarray(own) + other))


def helper_deflection(force: Real, main: Real, helper: Real, gap: Real) -> Array:
    """Deflection of two springs side by side of which the helper touches after a gap; inverse of `helper_force`.

    Symbols: force: any shape, not negative [N]; main, helper: any shape, rates [N/m]; gap: any shape [m].
    Returns [m], broadcast shape.
    Raises: nothing.
    Validity: linear springs.
    Source: [3], F/k1 up to k1 g, then (F + k2 g)/(k1 + k2).

    >>> float(helper_deflection(1000.0, 28253.472, 29430.7, 15e-3) * 1e3)
    24.988839
    """
    alone = np.asarray(force) / main
    both = (np.asarray(force) + np.asarray(helper) * gap) / (np.asarray(main) + helper)
    return np.asarray(np.where(alone <= gap, alone, both))


def progressive_deflection(force: Real, coil_rate: Real, gaps: Real) -> Array:
    """Deflection of a spring of unequal pitch whose coils close one by one.

    Symbols: force: any shape [N]; coil_rate: rate of one coil, G d^4/(8 D^3) [N/m]; gaps: shape (n,), way after
    which each coil is closed [m]. Returns [m], shape of force.
    Raises: nothing.
    Validity: equal coils, small pitch.
    Source: [3], every coil carries the whole force: x = sum of min(F/k_c, g_i).

    >>> float(progressive_deflection(7.698542, 7698.542, [0.5e-3, 1e-3, 2e-3, 2e-3, 3e-3, 3e-3]) * 1e3)
    5.5
    """
    each = np.asarray(force)[..., np.newaxis] / coil_rate
    return np.asarray(np.sum(np.minimum(each, np.asarray(gaps)), axis=-1))
