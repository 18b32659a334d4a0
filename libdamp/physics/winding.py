"""Choosing wire, coils and lengths of a helical compression spring.

Sources
-------
[1] J. E. Shigley, Mechanical Engineering Design, 10th ed., chapter 10: tensile strength of spring wire A/d^m,
    absolute stability, and stress and rate solved for what is wanted.
[2] V. B. Bhandari, Design of Machine Elements, chapter 10: free length, pitch.
[3] EN 13906-1, cold coiled cylindrical compression springs (from memory): sum of the least gaps.
"""

import numpy as np

from .numbers import Array, Real


def wire_strength(wire: Real, at_1_mm: Real, exponent: Real) -> Array:
    """Tensile strength of spring wire; thin wire is stronger.

    Symbols: wire: any shape, d [m]; at_1_mm: any shape, A, strength of wire of 1 mm [Pa]; exponent: any shape, m
    [1]. Returns [Pa], broadcast shape.
    Raises: nothing.
    Validity: the diameters for which A and m were fitted; music wire A 2211 MPa, m 0.145 for 0.10..6.5 mm (range
    from memory).
    Source: [1], A/d^m with d in mm.

    >>> float(wire_strength(2.5e-3, 2211e6, 0.145) / 1e6)
    1935.9
    """
    return np.asarray(at_1_mm * np.exp(-np.asarray(exponent) * np.log(np.asarray(wire) * 1e3)))  # A/d^m, d in mm


def wire_for_stress(force: Real, index: Real, stress: Real, factor: Real) -> Array:
    """Wire diameter that carries a force at a stress.

    Symbols: force: any shape [N]; index: any shape, C = D/d [1]; stress: any shape, allowed [Pa]; factor: any
    shape, of curvature [1]. Returns [m], broadcast shape.
    Raises: nothing.
    Validity: elastic.
    Source: [1], K 8 F C/(pi d^2) = stress, solved for d.

    >>> float(wire_for_stress(1250.0, 6.0, 545e6, 1.2525) * 1e3)
    6.6251
    """
    return np.asarray(np.sqrt(8.0 * np.asarray(factor) * force * index / (np.pi * np.asarray(stress))))


def coils_for_rate(rate: Real, wire: Real, coil: Real, modulus: Real) -> Array:
    """Active coils that give a rate.

    Symbols: rate: any shape [N/m]; wire, coil: any shape, d and D [m]; modulus: any shape, G [Pa]. Returns [1],
    broadcast shape.
    Raises: nothing.
    Validity: as the rate itself.
    Source: [1], R = G d^4/(8 D^3 n) solved for n.

    >>> float(coils_for_rate(20e3, 5e-3, 40e-3, 81.37e9))
    4.9664
    """
    square = np.square(wire)
    return np.asarray(modulus * square * square / (8.0 * np.asarray(rate) * coil * np.square(coil)))


def force_at_stress(stress: Real, wire: Real, coil: Real, factor: Real) -> Array:
    """Force at which the wire reaches a stress.

    Symbols: stress: any shape [Pa]; wire, coil: any shape, d and D [m]; factor: any shape, of curvature [1].
    Returns [N], broadcast shape.
    Raises: nothing.
    Validity: elastic.
    Source: [1], K 8 F D/(pi d^3) = stress, solved for F.

    >>> float(force_at_stress(871.2e6, 2.5e-3, 28.5e-3, 1.117))
    167.9
    """
    return np.asarray(np.pi * np.asarray(stress) * wire * np.square(wire) / (8.0 * np.asarray(factor) * coil))


def free_length(block: Real, deflection: Real, gaps: Real) -> Array:
    """Length of a spring off its seats.

    Symbols: block: any shape, length with all coils touching [m]; deflection: any shape, at the largest force
    [m]; gaps: any shape, sum of what is left between the coils there, 0 for a spring worked to block [m].
    Returns [m], broadcast shape.
    Raises: nothing.
    Validity: any.
    Source: [2], sum of the three.

    >>> float(free_length(70e-3, 30.337611e-3, 9e-3) * 1e3)
    109.337611
    """
    return np.asarray(np.asarray(block) + deflection + gaps)


def pitch(free: Real, total: Real) -> Array:
    """Distance from coil to coil of a spring with closed and ground ends.

    Symbols: free: any shape, free length [m]; total: any shape, all coils, above 1 [1]. Returns [m], broadcast
    shape.
    Raises: nothing.
    Validity: closed and ground ends, by this book's rule; others leave the wire of the ends out.
    Source: [2], L0/(n_t - 1).

    >>> float(pitch(109.337611e-3, 10.0) * 1e3)
    12.148623
    """
    return np.asarray(np.asarray(free) / (np.asarray(total) - 1.0))


def least_gaps(wire: Real, coil: Real, active: Real) -> Array:
    """Sum of the gaps between the coils below which a cold coiled spring should not be worked.

    Symbols: wire, coil: any shape, d and D [m]; active: any shape, n [1]. Returns [m], broadcast shape.
    Raises: nothing.
    Validity: cold coiled, static; half as much again where it works fast (from memory).
    Source: [3], n (0.0015 D^2/d + 0.1 d).

    >>> float(least_gaps(1.2e-3, 14e-3, 6.0) * 1e3)
    2.19
    """
    return np.asarray(np.asarray(active) * (0.0015 * np.square(coil) / wire + 0.1 * np.asarray(wire)))


def stability_factor(modulus_ratio: Real) -> Array:
    """Free length over mean coil diameter below which a hinged spring never bows sideways.

    Symbols: modulus_ratio: any shape, G/E, below 1 [1]. Returns [1], same shape.
    Raises: nothing.
    Validity: unguided spring.
    Source: [1], pi sqrt(2 (E - G)/(2 G + E)); 2.63 for steel.

    >>> float(stability_factor(79.3 / 207.0))
    2.6258
    """
    ratio = np.asarray(modulus_ratio)
    return np.asarray(np.pi * np.sqrt(2.0 * (1.0 - ratio) / (2.0 * ratio + 1.0)))


def critical_length(coil: Real, seating: Real, factor: Real) -> Array:
    """Longest free length at which a spring never bows sideways.

    Symbols: coil: any shape, D [m]; seating: any shape, 0.5 both ends flat and held, 1 both hinged [1]; factor:
    any shape, of `stability_factor` [1]. Returns [m], broadcast shape.
    Raises: nothing.
    Validity: unguided spring; on a shock's body a longer one leans on the body and rubs.
    Source: [1], L0 = factor D/alpha.

    >>> float(critical_length(28.5e-3, 0.5, 2.63) * 1e3)
    149.9
    """
    return np.asarray(np.asarray(factor) * coil / seating)
