"""Strategies of the arguments of every public equation that takes numbers.

A new equation joins `ARGUMENTS` (a test in tests/laws asserts that none is missing).
"""

import math
from collections.abc import Callable
from typing import Any

import numpy as np
from hypothesis import strategies as st
from hypothesis.strategies import SearchStrategy

from libdamp.physics.linkage import ArmGeometry
from tests.strategies import (
    PistonDraw,
    arm_angles,
    arms,
    between,
    bores,
    dampings,
    densities,
    edges,
    expansions,
    gas_volumes,
    hole_diameters,
    hole_speeds,
    holes,
    kinematic,
    losses,
    masses,
    over_decades,
    parabolas,
    pistons,
    pressures,
    rates,
    shaft_speeds,
    shafts,
    signs,
    slopes,
    strokes,
    temperatures,
    thicknesses,
    thinning_holes,
    thinnings,
    travels,
    viscosities,
    vtcs,
)


def _of(**parts: SearchStrategy[Any]) -> Callable[[int], SearchStrategy[dict[str, Any]]]:
    return lambda _: st.fixed_dictionaries(parts)


def _arm_case(name: str) -> Callable[[int], SearchStrategy[dict[str, Any]]]:
    def case(arm: ArmGeometry, angle: float) -> dict[str, Any]:
        travel = arm.arm * math.sin(angle)
        if name == "travel":
            return {"travel": travel, "arm": arm}
        x = arm.out - (arm.along * math.cos(angle) - arm.above * math.sin(angle))
        y = arm.up - (arm.along * math.sin(angle) + arm.above * math.cos(angle))
        return {"length": math.hypot(x, y), "arm": arm}

    return lambda _: st.builds(case, arms, arm_angles)


def _parabola_case(name: str) -> Callable[[int], SearchStrategy[dict[str, Any]]]:
    def case(constants: tuple[float, float, float], travel: float) -> dict[str, Any]:
        c0, c1, c2 = constants
        value = travel if name == "travel" else c0 + c1 * travel + c2 * travel * travel
        return {name: value, "c0": c0, "c1": c1, "c2": c2}

    return lambda _: st.builds(case, parabolas, travels)


def _piston_case(name: str) -> Callable[[int], SearchStrategy[dict[str, Any]]]:
    def case(
        piston: PistonDraw, speed: float, sign: float, loss: float, thins: tuple[float, float, float]
    ) -> dict[str, Any]:
        piston = piston._replace(thinning=thins)
        given = {"flow": sign * piston.flow(speed), "loss": sign * loss}
        values: dict[str, Any] = {"passages": piston.passages()}
        return {name: given[name], **values} if name else values

    thins = st.just((0.0, 1.0, 0.0)) | thinnings
    return lambda kinds: st.builds(case, pistons(kinds), shaft_speeds, signs, losses, thins)


def _two_points(nu_1: float, t_1: float, warmer: float, thinner: float) -> dict[str, float]:
    return {"nu_1": nu_1, "t_1": t_1, "nu_2": nu_1 * thinner, "t_2": t_1 + warmer}


_points = st.builds(_two_points, over_decades(20e-6, 10e-3), temperatures, between(5.0, 80.0), between(0.2, 0.95))
_signed_speeds = st.builds(lambda sign, speed: sign * speed, signs, hole_speeds)
_signed_losses = st.builds(lambda sign, loss: sign * loss, signs, losses)
_areas = shafts.map(lambda d: 0.25 * math.pi * d**2)
_bore_areas = bores.map(lambda d: 0.25 * math.pi * d**2)

_wires, _coils = between(0.5e-3, 3e-3), between(6e-3, 40e-3)
_any_holes = holes | thinning_holes
_in_shear = {
    "shear": over_decades(1e-3, 1e7),
    "time": st.just(0.0) | over_decades(1e-8, 1.0),
    "index": between(0.05, 1.0),
    "floor": between(0.0, 1.0),
}
_thin, _thick = between(5e-6, 80e-6), between(250e-6, 5e-3)
_air_shares = between(0.0, 0.9)
_air_exponents = between(1.0, 1.4)
_oil_moduli = over_decades(0.3e9, 5e9)
_air_pressures = over_decades(1e3, 1e7)
_gas_ratios = over_decades(1e-3, 1.0)
_side_volumes = over_decades(0.2e-6, 40e-6)
_moduli = between(60e9, 90e9)


def _side(volume: float, share: float, ratio: float) -> dict[str, float]:
    return {"volume": volume, "oil": share * volume, "ratio": ratio}


ARGUMENTS: dict[str, Callable[[int], SearchStrategy[dict[str, Any]]]] = {
    "heat.cylinder_convection": _of(speed=over_decades(0.05, 60.0), diameter=between(5e-3, 45e-3)),
    "heat.radiation": _of(temperature=temperatures, emissivity=between(0.0, 1.0)),
    "heat.steady_rise": _of(
        power=over_decades(1e-4, 100.0), coefficient=between(1.0, 500.0), area=over_decades(1e-4, 0.1)
    ),
    "heat.warming_time": _of(
        capacity=between(1.0, 500.0), coefficient=between(1.0, 500.0), area=over_decades(1e-4, 0.1)
    ),
    "road.washboard": _of(way=between(-5.0, 5.0), height=between(0.0, 0.1), spacing=over_decades(5e-3, 10.0)),
    "road.rise": _of(way=between(-1.0, 5.0), height=between(0.0, 0.1), length=over_decades(5e-3, 10.0)),
    "oil.silicone_viscosity": _of(nu_ref=kinematic, t_ref=temperatures, t=temperatures, slope=slopes),
    "oil.slope_from_vtc": _of(vtc=vtcs),
    "oil.slope_from_points": lambda _: _points,
    "oil.walther_constants": lambda _: _points,
    "oil.walther_viscosity": _of(a=between(8.5, 9.8), b=between(3.3, 3.8), t=between(263.15, 373.15)),
    "oil.grade_density": _of(nu_25=kinematic),
    "oil.density": _of(rho_25=densities, expansion=expansions, t=temperatures),
    "oil.expansion_volume": _of(oil_volume=gas_volumes, expansion=expansions, t_fill=temperatures, t=temperatures),
    "oil.carreau_share": _of(**_in_shear),
    "oil.carreau_slope": _of(**_in_shear),
    "orifice.creeping_resistance": _of(hole=_any_holes),
    "orifice.inertial_coefficient": _of(reynolds=over_decades(1e-6, 1e4), hole=_any_holes),
    "orifice.hole_loss": _of(velocity=_signed_speeds, hole=_any_holes),
    "orifice.hole_loss_slope": _of(velocity=_signed_speeds, hole=_any_holes),
    "orifice.hole_velocity": _of(loss=_signed_losses, hole=_any_holes),
    "orifice.gap_conductance": _of(
        bore=between(8.2e-3, 40e-3),
        piston=between(7.6e-3, 8e-3),
        length=thicknesses,
        viscosity=viscosities,
        eccentricity=between(0.0, 1.0),
    ),
    "orifice.piston_conductance": _piston_case(""),
    "orifice.piston_flow": _piston_case("loss"),
    "orifice.piston_flow_slope": _piston_case("loss"),
    "orifice.piston_velocity": _piston_case("flow"),
    "orifice.piston_loss": _piston_case("flow"),
    "orifice.creeping_share": _piston_case("flow"),
    "orifice.largest_reynolds": _piston_case("flow"),
    "orifice.largest_wall_shear": _piston_case("flow"),
    "gas.circle_area": _of(diameter=bores),
    "gas.gas_volume": _of(
        closed=gas_volumes, shaft_area=_areas, insertion=strokes, closing=strokes, oil_gain=between(0.0, 1e-6)
    ),
    "gas.rest_pressure": _of(closed=gas_volumes, volume=gas_volumes, t_fill=temperatures, t=temperatures),
    "gas.gas_force": _of(pressure=pressures, shaft_area=_areas),
    "gas.gas_rate": _of(pressure=pressures, volume=gas_volumes, shaft_area=_areas, exponent=between(1.0, 1.4)),
    "gas.void_force": _of(pressure=pressures, bore_area=_bore_areas, shaft_area=_areas),
    "gas.fill_volume": _of(
        bore_area=_bore_areas,
        cavity=between(15e-3, 90e-3),
        piston=bores,
        thickness=thicknesses,
        shaft_area=_areas,
        closing=strokes,
    ),
    "linkage.arm_length": _arm_case("travel"),
    "linkage.arm_ratio": _arm_case("travel"),
    "linkage.arm_ratio_slope": _arm_case("travel"),
    "linkage.arm_travel": _arm_case("length"),
    "linkage.parabola_length": _parabola_case("travel"),
    "linkage.parabola_travel": _parabola_case("length"),
    "linkage.wheel_rate": _of(
        spring=rates,
        gas=between(0.0, 500.0),
        ratio=between(0.3, 1.1),
        force=between(0.0, 60.0),
        ratio_slope=between(-8.0, 8.0),
    ),
    "blend.log_blend": _of(thin=_thin, thick=_thick, share=between(0.0, 1.0)),
    "blend.double_log_blend": _of(thin=_thin, thick=_thick, share=between(0.0, 1.0)),
    "blend.index_blend": _of(thin=_thin, thick=_thick, share=between(0.0, 1.0)),
    "blend.melt_blend": _of(thin=_thin, thick=_thick, share=between(0.0, 1.0)),
    "blend.log_share": _of(thin=_thin, thick=_thick, target=between(90e-6, 200e-6)),
    "blend.double_log_share": _of(thin=_thin, thick=_thick, target=between(90e-6, 200e-6)),
    "blend.mass_share": _of(
        volume_share=between(0.0, 1.0), thin_density=between(800.0, 1000.0), thick_density=between(800.0, 1000.0)
    ),
    "aeration.stokes_rise": _of(
        diameter=over_decades(5e-6, 5e-3), difference=densities, viscosity=over_decades(1e-4, 1e4)
    ),
    "aeration.rise_reynolds": _of(speed=hole_speeds, diameter=over_decades(5e-6, 5e-3), kinematic=kinematic),
    "aeration.air_share_at": _of(
        share=_air_shares, reference=_air_pressures, pressure=_air_pressures, exponent=_air_exponents
    ),
    "aeration.effective_bulk_modulus": _of(
        share=_air_shares, pressure=_air_pressures, modulus=_oil_moduli, exponent=_air_exponents
    ),
    "aeration.fixed_mass_bulk_modulus": _of(
        share=_air_shares,
        reference=_air_pressures,
        pressure=_air_pressures,
        modulus=_oil_moduli,
        exponent=_air_exponents,
    ),
    "aeration.column_shortening": _of(
        column=between(0.5e-3, 250e-3),
        share=_air_shares,
        reference=_air_pressures,
        pressure=_air_pressures,
        exponent=_air_exponents,
    ),
    "aeration.dissolved_air": _of(oil=gas_volumes, pressure=between(-1e5, 1e6), solubility=between(0.05, 0.3)),
    "emulsion.chamber_volumes": _of(
        insertion=strokes,
        bore_area=_bore_areas,
        shaft_area=_areas,
        cavity=between(15e-3, 90e-3),
        thickness=thicknesses,
        stroke=strokes,
    ),
    "emulsion.oil_split": _of(
        cap=_side_volumes,
        rod=_side_volumes,
        gas=over_decades(0.005e-6, 0.3e-6),
        t_fill=temperatures,
        t=temperatures,
        oil_gain=between(0.0, 1e-6),
    ),
    "emulsion.side_pressure": lambda _: st.builds(_side, _side_volumes, between(0.05, 0.99), _gas_ratios),
    "emulsion.rest_oil": _of(rod=_side_volumes, pressure=_air_pressures, ratio=_gas_ratios),
    "emulsion.log_mean_pressure": _of(cap=_air_pressures, rod=_air_pressures),
    "emulsion.oil_crossing": _of(
        flow=between(-1e-3, 1e-3), cap=_air_pressures, rod=_air_pressures, ratio=_gas_ratios
    ),
    "emulsion.shaft_force": _of(cap=_air_pressures, rod=_air_pressures, bore_area=_bore_areas, shaft_area=_areas),
    "coil.wire_rate": _of(wire=_wires, coil=_coils, active=between(2.0, 20.0), modulus=_moduli),
    "coil.wahl_factor": _of(index=between(2.0, 25.0)),
    "coil.bergstraesser_factor": _of(index=between(2.0, 25.0)),
    "coil.shear_stress": _of(force=between(0.0, 500.0), wire=_wires, coil=_coils, factor=between(1.0, 2.0)),
    "coil.active_mass": _of(wire=_wires, coil=_coils, active=between(2.0, 20.0), density=between(4000.0, 9000.0)),
    "coil.surge_frequency": _of(rate=rates, mass=between(1e-4, 0.1)),
    "coil.buckling_deflection": _of(
        free=between(60e-3, 200e-3),
        coil=between(5e-3, 18e-3),
        seating=between(0.9, 1.0),
        modulus_ratio=between(0.3, 0.45),
    ),
    "coil.stacked_force": _of(deflection=between(0.0, 60e-3), soft=rates, stiff=rates, gap=between(1e-3, 20e-3)),
    "coil.helper_force": _of(deflection=between(0.0, 60e-3), main=rates, helper=rates, gap=between(0.0, 20e-3)),
    "coil.parallel_rate": _of(one=rates, other=rates),
    "coil.series_rate": _of(one=rates, other=rates),
    "coil.shared_force": _of(force=between(0.0, 500.0), own=rates, other=rates),
    "coil.helper_deflection": _of(force=between(0.0, 500.0), main=rates, helper=rates, gap=between(0.0, 20e-3)),
    "winding.wire_strength": _of(wire=_wires, at_1_mm=between(1.5e9, 2.5e9), exponent=between(0.1, 0.2)),
    "winding.wire_for_stress": _of(
        force=between(0.0, 500.0), index=between(3.0, 20.0), stress=between(2e8, 1e9), factor=between(1.0, 2.0)
    ),
    "winding.coils_for_rate": _of(rate=rates, wire=_wires, coil=_coils, modulus=_moduli),
    "winding.force_at_stress": _of(stress=between(0.0, 1e9), wire=_wires, coil=_coils, factor=between(1.0, 2.0)),
    "winding.free_length": _of(block=strokes, deflection=strokes, gaps=between(0.0, 10e-3)),
    "winding.pitch": _of(free=between(5e-3, 200e-3), total=between(3.0, 25.0)),
    "winding.least_gaps": _of(wire=_wires, coil=_coils, active=between(2.0, 20.0)),
    "winding.stability_factor": _of(modulus_ratio=between(0.3, 0.45)),
    "winding.critical_length": _of(coil=_coils, seating=between(0.5, 2.0), factor=between(2.0, 3.0)),
    "fastening.load_from_difference": _of(
        pressure_difference=_signed_losses, bore_area=between(113e-6, 1257e-6), shaft_area=_areas
    ),
    "fastening.groove_load": _of(
        rated=between(40.0, 1800.0),
        shaft=between(3.2e-3, 12e-3),
        groove=between(1e-3, 3e-3),
        shaft_rated=between(2.5e-3, 12e-3),
        groove_rated=between(1e-3, 2.3e-3),
        yield_stress=between(50e6, 3e9),
    ),
    "fastening.ring_load": _of(
        shaft=between(1.4e-3, 12e-3), bearing=between(0.1e-3, 2e-3), strength=over_decades(50e6, 3e9), safety=edges
    ),
    "fastening.bearing_pressure": _of(
        force=between(0.0, 5e3), outer=between(6.5e-3, 25e-3), hole=between(1.4e-3, 6e-3)
    ),
    "drills.rim_wall": _of(piston=bores, circle=between(4e-3, 36e-3), hole=hole_diameters),
    "drills.shaft_wall": _of(circle=between(4e-3, 36e-3), shaft=shafts, hole=hole_diameters),
    "drills.hole_wall": _of(circle=between(4e-3, 36e-3), count=st.integers(2, 20).map(float), hole=hole_diameters),
    "spring.spring_compression": _of(preload=between(-20e-3, 20e-3), insertion=strokes, limiter=strokes),
    "spring.spring_force": _of(rate=rates, compression=between(-20e-3, 60e-3)),
    "spring.spring_rate": _of(rate=rates, compression=between(-20e-3, 60e-3)),
    "vibration.natural_frequency": _of(rate=rates, mass=masses),
    "vibration.damping_ratio": _of(damping=dampings, rate=rates, mass=masses),
    "vibration.two_mass_frequencies": _of(sprung=masses, unsprung=masses, rate=rates, tyre_rate=rates),
    "contact.landing_speed": _of(apex=between(0.0, 3.0), speed=between(0.0, 25.0), slope=between(-0.8, 0.8)),
    "contact.fall_height": _of(speed=between(0.0, 20.0)),
}

NOT_POINTWISE = {
    "coil.block_length": "takes a yes or no beside its numbers",
    "coil.progressive_deflection": "takes a whole list of gaps for one force",
    "drills.nearest_size": "takes a whole list of sizes for one diameter",
    "flow_table.flow_table": "gives tables of a whole build",
    "road.road_profile": "takes whole lists of waves",
    "road.road_waves": "gives whole lists of waves",
    "linkage.fit_pairs": "takes a whole table and gives four numbers",
    "roots.bracketed_newton": "takes a function",
}


def batches(name: str) -> SearchStrategy[list[dict[str, Any]]]:
    """Several sets of arguments of one equation that can be stacked into arrays."""
    return st.integers(1, 3).flatmap(lambda kinds: st.lists(ARGUMENTS[name](kinds), min_size=2, max_size=9))


def stack(values: list[Any]) -> Any:
    """The same structure with an array in place of each number."""
    first = values[0]
    if isinstance(first, dict):
        return {key: stack([value[key] for value in values]) for key in first}
    if isinstance(first, tuple):
        members = [stack(list(member)) for member in zip(*values, strict=True)]
        return type(first)(*members) if hasattr(first, "_fields") else tuple(members)
    return np.array(values, dtype=float)
