"""What the models of loss, oil and clip have to say of a shock at the speeds that a run reached."""

from typing import NamedTuple

import numpy as np

from .clips import SHOCK_FACTOR, clip_for
from .damping import built, thins_from
from .findings import Finding, finding
from .parts import Shock
from .physics.fastening import YIELD_RATED, groove_load, load_from_difference
from .physics.orifice import REYNOLDS_FITTED, largest_reynolds, largest_wall_shear


class Fast(NamedTuple):
    """Extremes of a run, SI."""

    speed: float  # of the shaft
    over: float  # how far a stop was pressed in, m
    void: float  # largest void, m3
    void_from: float  # shaft speed that opened it
    difference: float  # largest pressure difference across the piston, Pa


def fast_findings(shock: Shock, at: str, temperature_c: float, seen: Fast) -> list[Finding]:
    """Findings on a run's extremes."""
    found = []
    if seen.over > 0.0:
        found.append(finding("stop_peak", f"{at}/shock/stroke_mm", seen.over * 1e3, 0.0))
    if seen.void > 0.0:
        found.append(finding("void_opens", f"{at}/shock/fill", seen.void_from, seen.void * 1e6))
    b = built(shock, temperature_c)
    flow = np.asarray(b.annulus * seen.speed)
    ways = (b.compression, b.rebound)
    reynolds = max(float(largest_reynolds(flow, way)) for way in ways)
    if reynolds > REYNOLDS_FITTED:
        found.append(finding("reynolds_high", f"{at}/shock/piston", reynolds, REYNOLDS_FITTED))
    shear = max(float(largest_wall_shear(flow, way)) for way in ways)
    if shock.oil.family == "silicone" and shock.oil.thinning is None and shear > thins_from(shock):
        found.append(finding("thinning", f"{at}/shock/oil", shear, thins_from(shock)))
    load = float(load_from_difference(seen.difference, b.bore_area, b.shaft_area))
    clip = clip_for(shock.shaft_mm)
    if clip is not None:
        shaft = shock.shaft_mm * 1e-3
        limit = groove_load(clip.groove_load, shaft, clip.groove, clip.shaft_rated, clip.groove, YIELD_RATED)
        if load > float(limit) / SHOCK_FACTOR:
            found.append(finding("groove_overloaded", f"{at}/shock/shaft_mm", load, float(limit) / SHOCK_FACTOR))
    return found
