"""`ride` of many set-ups that differ in some numbers: the code of a single corner over arrays."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from .addresses import Path
from .car import Arm, Corner, Pairs
from .checked import Model
from .damping import low_speed_damping
from .oils import expansion
from .parts import AREA_RATIO_POSSIBLE, THICKEST_CST, THINNEST_CST, Emulsion, Holes, Oil, Vented
from .physics.gas import circle_area, fill_volume
from .physics.linkage import ArmGeometry
from .physics.numbers import G_N, ZERO_C, Array, Mask, Real
from .physics.oil import (
    PETROLEUM_KG_M3,
    SILICONE_SLOPE_K,
    density,
    expansion_volume,
    grade_density,
    silicone_viscosity,
    slope_from_points,
    slope_from_vtc,
    walther_constants,
    walther_viscosity,
)
from .physics.orifice import Hole, Passages, gap_conductance
from .pocket import Pocket
from .riding import Dynamics, real_steps, riding
from .stance import NextStep, RideFigures
from .standing import (
    ARM_LENGTHS,
    Kinematics,
    Stand,
    arm_kinematics,
    collar_at,
    kinematics,
    level,
    parabola_kinematics,
)

FIGURES = frozenset(
    [(name,) for name in RideFigures.__struct_fields__ if name not in ("next_step", "first_stop")]
    + [("next_step", name) for name in NextStep.__struct_fields__]
)
"""Outputs that are numbers."""
SHOCK, SPRING = ("corner", "shock"), ("corner", "spring")


class Numbers:
    """Numbers of a request, single ones as floats, drawn ones as arrays; not-a-number where there is none."""

    def __init__(self, asked: Model, drawn: Mapping[Path, Array]) -> None:
        self.asked, self.drawn = asked, drawn

    def __call__(self, *path: str) -> Real:
        """The number at a path."""
        if path in self.drawn:
            return self.drawn[path]
        value: Any = self.asked
        for step in path:
            value = value[int(step)] if isinstance(value, tuple) else getattr(value, step)
        return float("nan") if value is None else value

    @property
    def request(self) -> Any:
        """The request of `ride`, whose fields are known by their names alone."""
        return self.asked

    def mm(self, *path: str) -> Real:
        """A length in m."""
        return self(*path) * 1e-3


def can_be_many(asked: Model, drawn: Mapping[Path, Array], only: Sequence[Path]) -> bool:
    """Whether all that is drawn is a number of its own (no measured pair, no spacer), and all asked a figure."""
    corner: Corner = Numbers(asked, drawn).request.corner
    if any(path not in FIGURES for path in only):
        return False
    paired = isinstance(corner.linkage, Pairs) and any(p[:2] == ("corner", "linkage") for p in drawn)
    return not paired and not any(path[0] == "spacers_mm" for path in drawn)


def _kinematic(n: Numbers, oil: Oil, celsius: Real) -> Array:
    """Kinematic viscosity of the oil, m^2/s."""
    at = (*SHOCK, "oil")
    nu, t_ref, t = n(*at, "viscosity_cst") * 1e-6, n(*at, "reference_temperature_c") + ZERO_C, celsius + ZERO_C
    if oil.second_point is None:
        slope = SILICONE_SLOPE_K if oil.vtc is None else slope_from_vtc(n(*at, "vtc"))
        return silicone_viscosity(nu, t_ref, t, slope)
    nu_2 = n(*at, "second_point", "viscosity_cst") * 1e-6
    t_2 = n(*at, "second_point", "temperature_c") + ZERO_C
    if oil.family == "petroleum":
        return walther_viscosity(*walther_constants(nu, t_ref, nu_2, t_2), t)
    return silicone_viscosity(nu, t_ref, t, slope_from_points(nu, t_ref, nu_2, t_2))


def _density(n: Numbers, oil: Oil) -> Array:
    """Density of the oil at the call's temperature, kg/m^3."""
    rho_25: Real = n(*SHOCK, "oil", "density_kg_m3")
    if oil.density_kg_m3 is None:
        rho_25 = grade_density(_kinematic(n, oil, 25.0)) if oil.family == "silicone" else PETROLEUM_KG_M3
    return density(rho_25, expansion(oil), n("temperature_c") + ZERO_C)


def _across(n: Numbers) -> Real:
    """The piston's diameter, or the bore's where no oil passes around it, m."""
    own = n.mm(*SHOCK, "piston", "diameter_mm")
    return np.where(np.isnan(own), n.mm(*SHOCK, "bore_mm"), own)


def _open(kinds: Sequence[Holes], way: str) -> list[int]:
    return [i for i, kind in enumerate(kinds) if kind.direction in ("both", way)]


def _hole(n: Numbers, i: int, name: str) -> Real:
    return n(*SHOCK, "piston", "holes", str(i), name)


def _area_ratio(n: Numbers, kinds: Sequence[Holes], way: str) -> Array:
    areas = [_hole(n, i, "count") * np.square(_hole(n, i, "diameter_mm")) for i in _open(kinds, way)]
    return np.asarray(sum(areas) / np.square(n(*SHOCK, "bore_mm")))


def _passages(n: Numbers, corner: Corner, way: str, viscosity: Real, rho: Real) -> Passages:
    """Ways past the piston; the order of the holes does not matter as the speed goes to zero."""
    kinds, at = corner.shock.piston.holes, (*SHOCK, "piston")
    length, ratio = n.mm(*at, "thickness_mm"), _area_ratio(n, kinds, way)
    holes = tuple(
        Hole(_hole(n, i, "diameter_mm") * 1e-3, length, viscosity, rho, ratio, _hole(n, i, "edge_factor"))
        for i in _open(kinds, way)
    )
    gap: Real = 0.0
    if corner.shock.piston.diameter_mm is not None:
        bore, across = n.mm(*SHOCK, "bore_mm"), n.mm(*at, "diameter_mm")
        gap = gap_conductance(bore, across, length, viscosity, n(*at, "eccentricity"))
    return Passages(holes, tuple(_hole(n, i, "count") for i in _open(kinds, way)), gap)


def _dynamics(n: Numbers, corner: Corner) -> Dynamics:
    rho = _density(n, corner.shock.oil)
    viscosity = _kinematic(n, corner.shock.oil, n("temperature_c")) * rho
    annulus = circle_area(n.mm(*SHOCK, "bore_mm")) - circle_area(n.mm(*SHOCK, "shaft_mm"))
    ways = [_passages(n, corner, way, viscosity, rho) for way in ("compression", "rebound")]
    return Dynamics(
        sprung=n("corner", "sprung_mass_g") * 1e-3,
        unsprung=n("corner", "unsprung_mass_g") * 1e-3,
        tyre_rate=n("corner", "tyre", "rate_n_mm") * 1e3,
        drag=n(*SHOCK, "seal_drag_n"),
        compression=low_speed_damping(annulus, ways[0]),
        rebound=low_speed_damping(annulus, ways[1]),
    )


def _room(n: Numbers) -> Array:
    """What the body holds beside piston and shaft at the closing position, m^3."""
    return fill_volume(
        circle_area(n.mm(*SHOCK, "bore_mm")),
        n.mm(*SHOCK, "cavity_length_mm"),
        _across(n),
        n.mm(*SHOCK, "piston", "thickness_mm"),
        circle_area(n.mm(*SHOCK, "shaft_mm")),
        n.mm(*SHOCK, "fill", "closing_insertion_mm"),
    )


def _pocket(n: Numbers, corner: Corner) -> Pocket:
    shock, fill, t = corner.shock, (*SHOCK, "fill"), n("temperature_c") + ZERO_C
    t_fill, gain = t, np.asarray(0.0)
    if shock.fill.filled_at_c is not None:
        t_fill = n(*fill, "filled_at_c") + ZERO_C
        if shock.cavity_length_mm is not None:
            oil = _room(n) - (n(*fill, "gas_ml") * 1e-6 if isinstance(shock.fill, Emulsion) else 0.0)
            gain = expansion_volume(oil, expansion(shock.oil), t_fill, t)
    vented = isinstance(shock.fill, Vented)
    return Pocket(
        closed=n(*fill, "room_ml" if vented else "gas_ml") * 1e-6,
        closing=n.mm(*fill, "closing_insertion_mm"),
        shaft_area=circle_area(n.mm(*SHOCK, "shaft_mm")),
        oil_gain=gain,
        t_fill=t_fill,
        t=t,
        vented=vented,
    )


def _kinematics(n: Numbers, corner: Corner) -> Kinematics:
    at = ("corner", "linkage")
    if isinstance(corner.linkage, Pairs):
        return kinematics(corner.linkage)
    if isinstance(corner.linkage, Arm):
        return arm_kinematics(ArmGeometry(*(n.mm(*at, name) for name in ARM_LENGTHS)))
    return parabola_kinematics(n.mm(*at, "level_length_mm"), -n(*at, "motion_ratio"), 0.0)


def _stand(n: Numbers, corner: Corner) -> Stand:
    return Stand(
        weight=n("corner", "sprung_mass_g") * 1e-3 * G_N,
        kin=_kinematics(n, corner),
        extended=n.mm(*SHOCK, "extended_length_mm"),
        limiter=n.mm(*SHOCK, "limiter_mm"),
        stroke=n.mm(*SHOCK, "stroke_mm"),
        clearance=n.mm("corner", "level_clearance_mm"),
        rate=n(*SPRING, "rate_n_mm") * 1e3,
        free=n.mm(*SPRING, "free_length_mm"),
        block=n.mm(*SPRING, "block_length_mm"),
        seat=n.mm(*SHOCK, "seat_offset_mm"),
        pocket=_pocket(n, corner),
    )


def _fits(n: Numbers, corner: Corner) -> Mask:
    """Which set-ups can be: shaft, stroke, piston, holes, gas and oil fit each other, as the Structs have it."""
    bore, shaft, stroke = (n(*SHOCK, name) for name in ("bore_mm", "shaft_mm", "stroke_mm"))
    thick, closing = n(*SHOCK, "piston", "thickness_mm"), n(*SHOCK, "fill", "closing_insertion_mm")
    across, kinds = _across(n) * 1e3, corner.shock.piston.holes
    rules = [shaft < 0.7 * bore, n(*SHOCK, "limiter_mm") < stroke, stroke < n(*SHOCK, "extended_length_mm")]
    rules += [closing <= stroke]
    if corner.shock.cavity_length_mm is not None:
        rules.append(n(*SHOCK, "cavity_length_mm") >= stroke + thick)
    if isinstance(corner.shock.fill, Emulsion):
        rules.append(n(*SHOCK, "fill", "gas_ml") < _room(n) * 1e6)
    if corner.shock.piston.diameter_mm is not None:
        rules += [across < bore, shaft < across]
    rules += [_hole(n, i, "diameter_mm") < 0.5 * (across - shaft) for i in range(len(kinds))]
    rules += [_area_ratio(n, kinds, way) <= AREA_RATIO_POSSIBLE for way in ("compression", "rebound")]
    if corner.spring.free_length_mm is not None and corner.spring.block_length_mm is not None:
        rules.append(n(*SPRING, "block_length_mm") < n(*SPRING, "free_length_mm"))
    if corner.shock.oil.second_point is not None:
        rules += _two_points(n, corner.shock.oil)
    return np.asarray(np.logical_and.reduce(np.broadcast_arrays(*rules)))


def _two_points(n: Numbers, oil: Oil) -> list[Real]:
    at = (*SHOCK, "oil")
    warmer = n(*at, "second_point", "temperature_c") - n(*at, "reference_temperature_c")
    thicker = n(*at, "second_point", "viscosity_cst") - n(*at, "viscosity_cst")
    with np.errstate(all="ignore"):
        ends = [_kinematic(n, oil, celsius) * 1e6 for celsius in (-20.0, 120.0)]
    within = [(end >= THINNEST_CST) & (end <= THICKEST_CST) for end in ends]
    return [np.abs(warmer) >= 1.0, thicker * warmer < 0.0, *within]


def ride_many(
    asked: Model, drawn: Mapping[Path, Array], only: Sequence[Path], count: int
) -> tuple[list[Array], Mask]:
    """Outputs of `ride` over many draws, not-a-number where one does not exist; and which draws can be."""
    n = Numbers(asked, drawn)
    corner: Corner = n.request.corner
    fits = np.broadcast_to(_fits(n, corner), (count,))
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        figures = _figures(n, corner)
    found = [np.array(np.broadcast_to(figures[path], (count,)), dtype=float) for path in only]
    return [np.where(fits & np.isfinite(column), column, np.nan) for column in found], fits


def _figures(n: Numbers, corner: Corner) -> dict[Path, Real]:
    """Every number of the answer, in its unit."""
    stand, dynamics = _stand(n, corner), _dynamics(n, corner)
    lv = level(stand)
    preload = lv.preload if corner.preload_mm is None else np.asarray(n.mm("corner", "preload_mm"))
    r = riding(stand, preload, dynamics)
    lengths = {
        "shock_length_mm": lv.length,
        "preload_for_level_mm": lv.preload,
        "collar_for_level_mm": lv.collar,
        "preload_mm": preload,
        "collar_mm": collar_at(stand, preload),
        "wheel_travel_mm": r.rest.travel,
        "clearance_mm": r.clearance,
        "droop_travel_mm": r.droop_travel,
        "bump_travel_mm": r.bump_travel,
        "drag_band_mm": r.drag_band,
    }
    others = {
        "motion_ratio": lv.ratio,
        "shock_force_n": lv.shock_force,
        "spring_force_n": lv.spring_force,
        "gas_force_n": lv.gas_force,
        "wheel_rate_n_mm": r.wheel_rate * 1e-3,
        "frequency_hz": r.frequency,
        "frequency_with_tyre_hz": r.with_tyre,
        "wheel_hop_hz": r.hop,
        "damping_ratio_compression": r.ratio_compression,
        "damping_ratio_rebound": r.ratio_rebound,
    }
    step = _step(n, stand, dynamics)
    return {
        **{(name,): value * 1e3 for name, value in lengths.items()},
        **{(name,): value for name, value in others.items()},
        **{("next_step", name): value * 1e3 for name, value in step.items()},
    }


def _step(n: Numbers, stand: Stand, dynamics: Dynamics) -> dict[str, Array]:
    """The nearest real step of preload, in m."""
    spacers, collar = n.request.spacers_mm, n.mm("collar_step_mm")
    at, none = level(stand), np.asarray(np.nan)
    if np.all(np.isnan(collar)) and spacers is None:
        return {"preload_mm": none, "collar_mm": none, "height_error_mm": none}
    turned = None if np.all(np.isnan(collar)) else collar
    preload = real_steps(stand, at, turned, tuple(s * 1e-3 for s in spacers or ()), 0)[0]
    error = -riding(stand, preload, dynamics).rest.travel
    known = np.isfinite(preload)
    places = {"preload_mm": preload, "collar_mm": collar_at(stand, preload), "height_error_mm": error}
    return {name: np.where(known, value, np.nan) for name, value in places.items()}
