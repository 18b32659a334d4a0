"""Height of the ground under a wheel over the way it has gone.

Sources
-------
[1] A sine wave; a rise of half a cosine (geometry).
[2] ISO 8608: displacement spectrum G(n) = G(n0) (n/n0)^-2 over the wave number n; sum of cosines with even
    wave numbers, amplitudes sqrt(2 G dn) and free phases (common practice).
"""

from typing import NamedTuple

import numpy as np

from .numbers import Array, Real

WAVES = 48
"""Cosines of which a road-like profile is made."""


def washboard(way: Real, height: Real, spacing: Real) -> tuple[Array, Array]:
    """Even bumps, and their slope.

    Symbols: way: any shape, gone along the ground [m]; height: any shape, trough to crest [m]; spacing: any
    shape, crest to crest, positive [m]. Returns (height over the mean [m], slope [1]), broadcast shape.
    Raises: nothing.
    Validity: a wheel that touches at one point.
    Source: [1], (H/2) sin(2 pi s/L).

    >>> [float(value) for value in washboard(0.125, 0.01, 0.5)]
    [0.005, 0.0]
    """
    turn = 2.0 * np.pi / np.asarray(spacing)
    at = turn * way
    return np.asarray(0.5 * height * np.sin(at)), np.asarray(0.5 * height * turn * np.cos(at))


def rise(way: Real, height: Real, length: Real) -> tuple[Array, Array]:
    """A single rise of the ground, and its slope.

    Symbols: way: any shape, gone since the foot of the rise [m]; height: any shape, of the rise [m]; length:
    any shape, over which it rises, positive [m]. Returns (height over the foot [m], slope [1]), broadcast.
    Raises: nothing.
    Validity: a wheel that touches at one point.
    Source: [1], H (1 - cos(pi s/L))/2 on the way, 0 before and H after.

    >>> [float(value) for value in rise(0.05, 0.01, 0.1)]
    [0.005, 0.15708]
    """
    share = np.clip(np.asarray(way) / np.asarray(length), 0.0, 1.0)
    up = 0.5 * height * (1.0 - np.cos(np.pi * share))
    return np.asarray(up), np.asarray(0.5 * np.pi * height / length * np.sin(np.pi * share))


class Waves(NamedTuple):
    """A profile that repeats, as a sum of cosines."""

    amplitude: Array  # shape (k,), m
    number: Array  # shape (k,), wave numbers, 1/m
    phase: Array  # shape (k,), rad


def road_waves(height: float, longest: float, seed: int = 1) -> Waves:
    """Cosines of a road-like profile of a height from its lowest to its highest point.

    Symbols: height: trough to crest over the whole profile [m]; longest: longest wave, positive [m]; seed: of
    the phases. Returns waves of the lengths longest x 16/16, 16/17 ... 16/63; the profile repeats after 16 of
    the longest.
    Raises: nothing.
    Validity: the form of ISO 8608; its range of wavelengths is that of full-size roads, so "road-like" only.
    Source: [2], amplitudes in proportion to 1/n.

    >>> profile = road_profile(np.linspace(0.0, 4.0, 4001), road_waves(0.01, 0.25))[0]
    >>> float(np.ptp(profile))
    0.0100
    """
    number = np.arange(16, 16 + WAVES) / (16.0 * longest)
    phase = np.random.default_rng(seed).uniform(0.0, 2.0 * np.pi, WAVES)
    raw = Waves(1.0 / number, number, phase)
    profile, _ = road_profile(np.arange(16 * 256) * (longest / 256.0), raw)
    return Waves(raw.amplitude * (height / np.ptp(profile)), number, phase)


def road_profile(way: Real, waves: Waves) -> tuple[Array, Array]:
    """Height of a profile over its mean, and its slope.

    Symbols: way: any shape [m]; waves: shape (k,). Returns (height [m], slope [1]), shape of way.
    Raises: nothing.
    Validity: a wheel that touches at one point.
    Source: [2], sum of a cos(2 pi n s + phase).

    >>> [float(value) for value in road_profile(0.0, Waves(np.ones(1), np.ones(1), np.zeros(1)))]
    [1.0, 0.0]
    """
    at = 2.0 * np.pi * np.asarray(way)[..., np.newaxis] * waves.number + waves.phase
    slope = -2.0 * np.pi * waves.number * waves.amplitude * np.sin(at)
    return np.sum(waves.amplitude * np.cos(at), axis=-1), np.sum(slope, axis=-1)
