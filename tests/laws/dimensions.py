"""Powers of length, mass, time and temperature of every symbol of every equation: data for the law of scales."""

from typing import NamedTuple

Powers = tuple[float, float, float, float]

NUMBER: Powers = (0, 0, 0, 0)
LENGTH: Powers = (1, 0, 0, 0)
PER_LENGTH: Powers = (-1, 0, 0, 0)
AREA: Powers = (2, 0, 0, 0)
VOLUME: Powers = (3, 0, 0, 0)
MASS: Powers = (0, 1, 0, 0)
TEMPERATURE: Powers = (0, 0, 0, 1)
PER_KELVIN: Powers = (0, 0, 0, -1)
TIME: Powers = (0, 0, 1, 0)
FREQUENCY: Powers = (0, 0, -1, 0)
SPEED: Powers = (1, 0, -1, 0)
ACCELERATION: Powers = (1, 0, -2, 0)
KINEMATIC: Powers = (2, 0, -1, 0)
VISCOSITY: Powers = (-1, 1, -1, 0)
DENSITY: Powers = (-3, 1, 0, 0)
PRESSURE: Powers = (-1, 1, -2, 0)
FLOW: Powers = (3, 0, -1, 0)
CONDUCTANCE: Powers = (4, -1, 1, 0)  # flow per pressure
RESISTANCE: Powers = (-2, 1, -1, 0)  # pressure per speed
FORCE: Powers = (1, 1, -2, 0)
RATE: Powers = (0, 1, -2, 0)
DAMPING: Powers = (0, 1, -1, 0)


class Case(NamedTuple):
    """Symbols of one equation, what it gives, and the constants with a dimension inside it."""

    symbols: dict[str, object]  # a tuple of powers, or a structure of them
    gives: tuple[Powers, ...]
    constants: dict[str, Powers] = {}  # noqa: RUF012 - names in the equation's module; scaled with the units
    frozen: str = ""  # bases that are not scaled, one letter each of "LMTK", and why


HOLE = (LENGTH, LENGTH, VISCOSITY, DENSITY, NUMBER, NUMBER, TIME, NUMBER, NUMBER)
IN_SHEAR = {"shear": FREQUENCY, "time": TIME, "index": NUMBER, "floor": NUMBER}
PASSAGES = (HOLE, NUMBER, CONDUCTANCE)  # each member of a tuple alike
ARM = (LENGTH, LENGTH, LENGTH, LENGTH, LENGTH)
POINTS = {"nu_1": KINEMATIC, "t_1": TEMPERATURE, "nu_2": KINEMATIC, "t_2": TEMPERATURE}
PARABOLA = {"c0": LENGTH, "c1": NUMBER, "c2": PER_LENGTH}
BY_FLOW = {"flow": FLOW, "passages": PASSAGES}

CASES: dict[str, Case] = {
    "heat.radiation": Case(
        {"temperature": TEMPERATURE, "emissivity": NUMBER},
        ((0, 1, -3, -1),),
        {"STEFAN_BOLTZMANN": (0, 1, -3, -4)},
    ),
    "heat.steady_rise": Case({"power": (2, 1, -3, 0), "coefficient": (0, 1, -3, -1), "area": AREA}, (TEMPERATURE,)),
    "heat.warming_time": Case({"capacity": (2, 1, -2, -1), "coefficient": (0, 1, -3, -1), "area": AREA}, (TIME,)),
    "road.washboard": Case({"way": LENGTH, "height": LENGTH, "spacing": LENGTH}, (LENGTH, NUMBER)),
    "road.rise": Case({"way": LENGTH, "height": LENGTH, "length": LENGTH}, (LENGTH, NUMBER)),
    "oil.silicone_viscosity": Case(
        {"nu_ref": KINEMATIC, "t_ref": TEMPERATURE, "t": TEMPERATURE, "slope": TEMPERATURE}, (KINEMATIC,)
    ),
    "oil.slope_from_points": Case(POINTS, (TEMPERATURE,)),
    "oil.density": Case(
        {"rho_25": DENSITY, "expansion": PER_KELVIN, "t": TEMPERATURE},
        (DENSITY,),
        frozen="K: 25 C stands in it as a number of kelvin",
    ),
    "oil.expansion_volume": Case(
        {"oil_volume": VOLUME, "expansion": PER_KELVIN, "t_fill": TEMPERATURE, "t": TEMPERATURE}, (VOLUME,)
    ),
    "oil.carreau_share": Case(IN_SHEAR, (NUMBER,)),
    "oil.carreau_slope": Case(IN_SHEAR, (NUMBER,)),
    "orifice.creeping_resistance": Case({"hole": HOLE}, (RESISTANCE,)),
    "orifice.inertial_coefficient": Case({"reynolds": NUMBER, "hole": HOLE}, (NUMBER,)),
    "orifice.hole_loss": Case({"velocity": SPEED, "hole": HOLE}, (PRESSURE,)),
    "orifice.hole_loss_slope": Case({"velocity": SPEED, "hole": HOLE}, (RESISTANCE,)),
    "orifice.hole_velocity": Case({"loss": PRESSURE, "hole": HOLE}, (SPEED,)),
    "orifice.gap_conductance": Case(
        {"bore": LENGTH, "piston": LENGTH, "length": LENGTH, "viscosity": VISCOSITY, "eccentricity": NUMBER},
        (CONDUCTANCE,),
    ),
    "orifice.piston_conductance": Case({"passages": PASSAGES}, (CONDUCTANCE,)),
    "orifice.piston_flow": Case({"loss": PRESSURE, "passages": PASSAGES}, (FLOW,)),
    "orifice.piston_flow_slope": Case({"loss": PRESSURE, "passages": PASSAGES}, (CONDUCTANCE,)),
    "orifice.piston_velocity": Case(BY_FLOW, (SPEED,)),
    "orifice.piston_loss": Case(BY_FLOW, (PRESSURE,)),
    "orifice.creeping_share": Case(BY_FLOW, (NUMBER,)),
    "orifice.largest_reynolds": Case(BY_FLOW, (NUMBER,)),
    "orifice.largest_wall_shear": Case(BY_FLOW, (FREQUENCY,)),
    "gas.circle_area": Case({"diameter": LENGTH}, (AREA,)),
    "gas.gas_volume": Case(
        {"closed": VOLUME, "shaft_area": AREA, "insertion": LENGTH, "closing": LENGTH, "oil_gain": VOLUME},
        (VOLUME,),
    ),
    "gas.rest_pressure": Case(
        {"closed": VOLUME, "volume": VOLUME, "t_fill": TEMPERATURE, "t": TEMPERATURE},
        (PRESSURE,),
        {"P_ATM": PRESSURE},
    ),
    "gas.gas_force": Case({"pressure": PRESSURE, "shaft_area": AREA}, (FORCE,), {"P_ATM": PRESSURE}),
    "gas.gas_rate": Case({"pressure": PRESSURE, "volume": VOLUME, "shaft_area": AREA, "exponent": NUMBER}, (RATE,)),
    "gas.void_force": Case({"pressure": PRESSURE, "bore_area": AREA, "shaft_area": AREA}, (FORCE,)),
    "gas.fill_volume": Case(
        {
            "bore_area": AREA,
            "cavity": LENGTH,
            "piston": LENGTH,
            "thickness": LENGTH,
            "shaft_area": AREA,
            "closing": LENGTH,
        },
        (VOLUME,),
    ),
    "linkage.arm_length": Case({"travel": LENGTH, "arm": ARM}, (LENGTH,)),
    "linkage.arm_ratio": Case({"travel": LENGTH, "arm": ARM}, (NUMBER,)),
    "linkage.arm_ratio_slope": Case({"travel": LENGTH, "arm": ARM}, (PER_LENGTH,)),
    "linkage.arm_travel": Case({"length": LENGTH, "arm": ARM}, (LENGTH,)),
    "linkage.fit_pairs": Case({"travel": LENGTH, "length": LENGTH}, (LENGTH, NUMBER, PER_LENGTH, LENGTH)),
    "linkage.parabola_length": Case({"travel": LENGTH, **PARABOLA}, (LENGTH,)),
    "linkage.parabola_travel": Case({"length": LENGTH, **PARABOLA}, (LENGTH,)),
    "linkage.wheel_rate": Case(
        {"spring": RATE, "gas": RATE, "ratio": NUMBER, "force": FORCE, "ratio_slope": PER_LENGTH}, (RATE,)
    ),
    "blend.log_blend": Case({"thin": KINEMATIC, "thick": KINEMATIC, "share": NUMBER}, (KINEMATIC,)),
    "blend.log_share": Case({"thin": KINEMATIC, "thick": KINEMATIC, "target": KINEMATIC}, (NUMBER,)),
    "blend.melt_blend": Case({"thin": KINEMATIC, "thick": KINEMATIC, "share": NUMBER}, (KINEMATIC,)),
    "blend.mass_share": Case(
        {"volume_share": NUMBER, "thin_density": DENSITY, "thick_density": DENSITY}, (NUMBER,)
    ),
    "aeration.stokes_rise": Case(
        {"diameter": LENGTH, "difference": DENSITY, "viscosity": VISCOSITY}, (SPEED,), {"G_N": ACCELERATION}
    ),
    "aeration.rise_reynolds": Case({"speed": SPEED, "diameter": LENGTH, "kinematic": KINEMATIC}, (NUMBER,)),
    "aeration.air_share_at": Case(
        {"share": NUMBER, "reference": PRESSURE, "pressure": PRESSURE, "exponent": NUMBER}, (NUMBER,)
    ),
    "aeration.effective_bulk_modulus": Case(
        {"share": NUMBER, "pressure": PRESSURE, "modulus": PRESSURE, "exponent": NUMBER}, (PRESSURE,)
    ),
    "aeration.fixed_mass_bulk_modulus": Case(
        {"share": NUMBER, "reference": PRESSURE, "pressure": PRESSURE, "modulus": PRESSURE, "exponent": NUMBER},
        (PRESSURE,),
    ),
    "aeration.column_shortening": Case(
        {"column": LENGTH, "share": NUMBER, "reference": PRESSURE, "pressure": PRESSURE, "exponent": NUMBER},
        (LENGTH,),
    ),
    "aeration.dissolved_air": Case(
        {"oil": VOLUME, "pressure": PRESSURE, "solubility": NUMBER}, (VOLUME,), {"P_ATM": PRESSURE}
    ),
    "emulsion.chamber_volumes": Case(
        {
            "insertion": LENGTH,
            "bore_area": AREA,
            "shaft_area": AREA,
            "cavity": LENGTH,
            "thickness": LENGTH,
            "stroke": LENGTH,
        },
        (VOLUME, VOLUME),
    ),
    "emulsion.oil_split": Case(
        {
            "cap": VOLUME,
            "rod": VOLUME,
            "gas": VOLUME,
            "t_fill": TEMPERATURE,
            "t": TEMPERATURE,
            "oil_gain": VOLUME,
        },
        (VOLUME, NUMBER),
    ),
    "emulsion.side_pressure": Case(
        {"volume": VOLUME, "oil": VOLUME, "ratio": NUMBER}, (PRESSURE,), {"P_ATM": PRESSURE}
    ),
    "emulsion.rest_oil": Case(
        {"rod": VOLUME, "pressure": PRESSURE, "ratio": NUMBER}, (VOLUME,), {"P_ATM": PRESSURE}
    ),
    "emulsion.log_mean_pressure": Case({"cap": PRESSURE, "rod": PRESSURE}, (PRESSURE,)),
    "emulsion.oil_crossing": Case(
        {"flow": FLOW, "cap": PRESSURE, "rod": PRESSURE, "ratio": NUMBER}, (FLOW,), {"P_ATM": PRESSURE}
    ),
    "emulsion.shaft_force": Case(
        {"cap": PRESSURE, "rod": PRESSURE, "bore_area": AREA, "shaft_area": AREA}, (FORCE,), {"P_ATM": PRESSURE}
    ),
    "coil.wire_rate": Case({"wire": LENGTH, "coil": LENGTH, "active": NUMBER, "modulus": PRESSURE}, (RATE,)),
    "coil.shear_stress": Case({"force": FORCE, "wire": LENGTH, "coil": LENGTH, "factor": NUMBER}, (PRESSURE,)),
    "coil.active_mass": Case({"wire": LENGTH, "coil": LENGTH, "active": NUMBER, "density": DENSITY}, (MASS,)),
    "coil.surge_frequency": Case({"rate": RATE, "mass": MASS}, (FREQUENCY,)),
    "coil.buckling_deflection": Case(
        {"free": LENGTH, "coil": LENGTH, "seating": NUMBER, "modulus_ratio": NUMBER}, (LENGTH,)
    ),
    "coil.stacked_force": Case({"deflection": LENGTH, "soft": RATE, "stiff": RATE, "gap": LENGTH}, (FORCE,)),
    "coil.helper_force": Case({"deflection": LENGTH, "main": RATE, "helper": RATE, "gap": LENGTH}, (FORCE,)),
    "coil.parallel_rate": Case({"one": RATE, "other": RATE}, (RATE,)),
    "coil.series_rate": Case({"one": RATE, "other": RATE}, (RATE,)),
    "coil.shared_force": Case({"force": FORCE, "own": RATE, "other": RATE}, (FORCE,)),
    "coil.helper_deflection": Case({"force": FORCE, "main": RATE, "helper": RATE, "gap": LENGTH}, (LENGTH,)),
    "winding.wire_for_stress": Case(
        {"force": FORCE, "index": NUMBER, "stress": PRESSURE, "factor": NUMBER}, (LENGTH,)
    ),
    "winding.coils_for_rate": Case({"rate": RATE, "wire": LENGTH, "coil": LENGTH, "modulus": PRESSURE}, (NUMBER,)),
    "winding.force_at_stress": Case(
        {"stress": PRESSURE, "wire": LENGTH, "coil": LENGTH, "factor": NUMBER}, (FORCE,)
    ),
    "winding.free_length": Case({"block": LENGTH, "deflection": LENGTH, "gaps": LENGTH}, (LENGTH,)),
    "winding.pitch": Case({"free": LENGTH, "total": NUMBER}, (LENGTH,)),
    "winding.least_gaps": Case({"wire": LENGTH, "coil": LENGTH, "active": NUMBER}, (LENGTH,)),
    "winding.critical_length": Case({"coil": LENGTH, "seating": NUMBER, "factor": NUMBER}, (LENGTH,)),
    "fastening.load_from_difference": Case(
        {"pressure_difference": PRESSURE, "bore_area": AREA, "shaft_area": AREA}, (FORCE,)
    ),
    "fastening.groove_load": Case(
        {
            "rated": FORCE,
            "shaft": LENGTH,
            "groove": LENGTH,
            "shaft_rated": LENGTH,
            "groove_rated": LENGTH,
            "yield_stress": PRESSURE,
        },
        (FORCE,),
        {"YIELD_RATED": PRESSURE},
    ),
    "fastening.ring_load": Case(
        {"shaft": LENGTH, "bearing": LENGTH, "strength": PRESSURE, "safety": NUMBER}, (FORCE,)
    ),
    "fastening.bearing_pressure": Case({"force": FORCE, "outer": LENGTH, "hole": LENGTH}, (PRESSURE,)),
    "drills.rim_wall": Case({"piston": LENGTH, "circle": LENGTH, "hole": LENGTH}, (LENGTH,)),
    "drills.shaft_wall": Case({"circle": LENGTH, "shaft": LENGTH, "hole": LENGTH}, (LENGTH,)),
    "drills.hole_wall": Case({"circle": LENGTH, "count": NUMBER, "hole": LENGTH}, (LENGTH,)),
    "spring.spring_compression": Case({"preload": LENGTH, "insertion": LENGTH, "limiter": LENGTH}, (LENGTH,)),
    "spring.spring_force": Case({"rate": RATE, "compression": LENGTH}, (FORCE,)),
    "spring.spring_rate": Case({"rate": RATE, "compression": LENGTH}, (RATE,)),
    "vibration.natural_frequency": Case({"rate": RATE, "mass": MASS}, (FREQUENCY,)),
    "vibration.damping_ratio": Case({"damping": DAMPING, "rate": RATE, "mass": MASS}, (NUMBER,)),
    "vibration.two_mass_frequencies": Case(
        {"sprung": MASS, "unsprung": MASS, "rate": RATE, "tyre_rate": RATE}, (FREQUENCY, FREQUENCY)
    ),
    "contact.landing_speed": Case(
        {"apex": LENGTH, "speed": SPEED, "slope": NUMBER}, (SPEED,), {"G_N": ACCELERATION}
    ),
    "contact.fall_height": Case({"speed": SPEED}, (LENGTH,), {"G_N": ACCELERATION}),
}

NOT_HOMOGENEOUS = {
    "flow_table.flow_table": "gives tables, on a grid up to a stated shaft speed; held by its own laws",
    "heat.cylinder_convection": "the properties of air at one temperature stand in it as numbers",
    "road.road_profile": "takes lists of waves; held by its own laws",
    "road.road_waves": "gives lists of waves; held by its own laws",
    "blend.double_log_blend": "ASTM D7152 is written for viscosities in mm2/s",
    "blend.double_log_share": "ASTM D7152 is written for viscosities in mm2/s",
    "blend.index_blend": "the index is written for viscosities in mm2/s",
    "coil.wahl_factor": "its only symbol is a number",
    "coil.bergstraesser_factor": "its only symbol is a number",
    "coil.block_length": "takes a yes or no beside its numbers; a length times a number",
    "coil.progressive_deflection": "takes a list of lengths; held by its own laws",
    "winding.wire_strength": "the law is written for wire in mm",
    "winding.stability_factor": "its only symbol is a number",
    "drills.nearest_size": "gives a place in a list of lengths; held by its own laws",
    "oil.slope_from_vtc": "its only symbol is a number; 38 C and 99 C stand in it by definition",
    "oil.walther_constants": "ASTM D341 is written for viscosities in mm2/s and temperatures in kelvin",
    "oil.walther_viscosity": "ASTM D341 is written for viscosities in mm2/s and temperatures in kelvin",
    "oil.grade_density": "a table of printed grades",
    "roots.bracketed_newton": "takes a function of any dimension",
}
