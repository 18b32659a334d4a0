"""Check values of viscosity and density over temperature."""

from itertools import pairwise

import mpmath
import numpy as np
from mpmath import mpf

from tests.check_values.table import Row, formula, times
from tests.oracles import written
from tests.oracles.late import PropsSI

S800 = "INCOMP::S800"
LIBRARY = "CoolProp PropsSI, INCOMP::S800, a silicone heat-transfer liquid of 10.49 mm2/s at 25 C"
LAW = "Andrade's law, log10 nu = 763/T + const; seen in a public file of fluid properties for a silicone fluid"
ASTM = "ASTM D341, worked example as copied in a course text with T = t + 273 (32 mm2/s at 40 C, 5.4 at 100 C)"
CARREAU = "f + (1 - f) [1 + (lambda g)^2]^((n - 1)/2)"
D341 = "ASTM D341, log10 log10 (nu + 0.7) = A - B log10 T"


def _s800(what: str, t: float) -> float:
    return float(PropsSI(what, "T", t, "P", 101325.0, S800))


def _s800_nu(t: float) -> float:
    return _s800("V", t) / _s800_rho(t)


def _s800_rho(t: float) -> float:
    return _s800("D", t)


def _s800_row(celsius: float) -> Row:
    t = celsius + 273.15
    return Row(
        model="physics.oil.silicone_viscosity",
        inputs=lambda: {"nu_ref": _s800_nu(298.15), "t_ref": 298.15, "t": t},
        expected=lambda: _s800_nu(t),
        source=f"{LIBRARY}, V/D at {celsius:g} C",
        kind="independent",
        tolerance=0.06,
        reason="the law's stated error for a light grade, 6 %, for its generic slope",
    )


def _s800_vtc_row(celsius: float) -> Row:
    t = celsius + 273.15
    return Row(
        model="physics.oil.silicone_viscosity",
        inputs=lambda: {
            "nu_ref": _s800_nu(298.15),
            "t_ref": 298.15,
            "t": t,
            "slope": _s800_own_slope(),
        },
        expected=lambda: _s800_nu(t),
        source=f"{LIBRARY}, V/D at {celsius:g} C; slope from its own V/D at 38 C and 99 C",
        kind="independent",
        tolerance=0.06,
        reason="the law's stated error for a light grade, 6 %",
    )


GRADES = ((10, 935), (20, 950), (50, 960), (100, 965), (350, 970), (1000, 971), (10000, 975))
"""Typical printed densities of silicone grades, mm2/s and kg/m3, from memory of suppliers' sheets."""


def _between_grades(low: tuple[int, int], high: tuple[int, int]) -> Row:
    (nu_low, rho_low), (nu_high, rho_high) = low, high
    return formula(
        "physics.oil.grade_density",
        {"nu_25": 0.3e-6 * nu_high + 0.7e-6 * nu_low},
        lambda nu_25: (
            rho_low + (rho_high - rho_low) * mpmath.log(nu_25 * 10**6 / nu_low) / mpmath.log(mpf(nu_high) / nu_low)
        ),
        f"between {rho_low} at {nu_low} mm2/s and {rho_high} at {nu_high} mm2/s, straight in log nu",
    )


def _long_chain_expansion() -> float:
    """Expansion at 350 mm2/s: a straight line over the inverse molar mass, 13.65 kg/mol there (from memory)."""
    chains = ("MDM", "MD2M", "MD3M", "MD4M")
    ends = [1.0 / PropsSI("M", chain) for chain in chains]
    found = [PropsSI("isobaric_expansion_coefficient", "T", 298.15, "P", 101325.0, chain) for chain in chains]
    slope, start = np.polyfit(ends, found, 1)
    return float(start + slope / 13.65)


def _s800_own_slope() -> float:
    from libdamp.physics.oil import slope_from_vtc

    return float(slope_from_vtc(1.0 - _s800_nu(372.15) / _s800_nu(311.15)))


def _density_row(celsius: float) -> Row:
    t = celsius + 273.15
    beta, own = 9.4e-4, 9.659e-4
    spread = abs(own - beta) * abs(t - 298.15) + (own * (t - 298.15)) ** 2
    return Row(
        model="physics.oil.density",
        inputs=lambda: {"rho_25": _s800_rho(298.15), "expansion": beta, "t": t},
        expected=lambda: _s800_rho(t),
        source=f"{LIBRARY}, D at {celsius:g} C",
        kind="independent",
        tolerance=spread,
        reason="generic 9.4e-4 against the liquid's own 9.659e-4 per K, and the square of the expansion",
    )


def _law_row(celsius: float, digits: str) -> Row:
    return Row(
        model="physics.oil.silicone_viscosity",
        inputs={"nu_ref": 1.0, "t_ref": 298.15, "t": celsius + 273.15},
        expected=digits,
        source=f"{LAW}; computed apart from the library and printed to six digits",
        kind="common practice",
    )


def _vtc_row(vtc: float, slope: str, cold: str, hot: str) -> list[Row]:
    source = "VTC = 1 - nu(99 C)/nu(38 C) put into Andrade's law; computed apart from the library"
    given = {"nu_ref": 1.0, "t_ref": 298.15, "slope": _slope(vtc)}
    return [
        Row(
            model="physics.oil.slope_from_vtc",
            inputs={"vtc": vtc},
            expected=slope,
            source=source,
            kind="common practice",
        ),
        *(
            Row(
                model="physics.oil.silicone_viscosity",
                inputs={**given, "t": t},
                expected=digits,
                source=source,
                kind="common practice",
            )
            for t, digits in ((273.15, cold), (333.15, hot))
        ),
    ]


def _slope(vtc: float) -> float:
    return float(-mpmath.log(1 - mpf(vtc)) / (1 / mpf(311.15) - 1 / mpf(372.15)))


def _walther(nu_1: mpf, t_1: mpf, nu_2: mpf, t_2: mpf) -> tuple[mpf, mpf]:
    first, second = (mpmath.log10(mpmath.log10(nu * 10**6 + mpf("0.7"))) for nu in (nu_1, nu_2))
    b = (first - second) / (mpmath.log10(t_2) - mpmath.log10(t_1))
    return first + b * mpmath.log10(t_1), b


TWO_POINTS = {"nu_1": 32e-6, "t_1": 313.15, "nu_2": 5.4e-6, "t_2": 373.15}
EXAMPLE = {"nu_1": 32e-6, "t_1": 313.0, "nu_2": 5.4e-6, "t_2": 373.0}

ROWS = [
    *(_s800_row(celsius) for celsius in (0.0, 10.0, 40.0, 60.0)),
    *(_s800_vtc_row(celsius) for celsius in (0.0, 10.0, 40.0, 60.0)),
    *(_density_row(celsius) for celsius in (0.0, 10.0, 40.0, 60.0)),
    *(
        _law_row(celsius, digits)
        for celsius, digits in (
            (-10.0, "2.18964"),
            (0.0, "1.71484"),
            (10.0, "1.36638"),
            (20.0, "1.10573"),
            (40.0, "0.754080"),
            (60.0, "0.538450"),
            (80.0, "0.399430"),
        )
    ),
    *_vtc_row(0.55, "1515.8", "1.5925", "0.5862"),
    *_vtc_row(0.58, "1646.8", "1.6578", "0.5598"),
    *_vtc_row(0.60, "1739.4", "1.7056", "0.5418"),
    *_vtc_row(0.62, "1836.7", "1.7574", "0.5235"),
    Row(
        model="physics.oil.walther_constants",
        inputs=EXAMPLE,
        pick=times(1.0, 0),
        expected="9.5259",
        source=f"{ASTM}, A",
        kind="published",
    ),
    Row(
        model="physics.oil.walther_constants",
        inputs=EXAMPLE,
        pick=times(1.0, 1),
        expected="3.7449",
        source=f"{ASTM}, B",
        kind="published",
    ),
    Row(
        model="physics.oil.walther_viscosity",
        inputs={"a": 9.5259, "b": 3.7449, "t": 353.0},
        pick=times(1e6),
        expected="8.5",
        source=f"{ASTM}, viscosity at 80 C from the printed constants",
        kind="published",
    ),
    *(
        Row(
            model="physics.oil.walther_constants",
            inputs=given,
            pick=times(1.0, index),
            expected=digits,
            source=f"{D341}, computed apart from the library",
            kind="common practice",
        )
        for given, index, digits in (
            (TWO_POINTS, 0, "9.530815"),
            (TWO_POINTS, 1, "3.746578"),
            ({**TWO_POINTS, "nu_1": 73.3e-6, "nu_2": 8.86e-6}, 0, "9.458393"),
            ({**TWO_POINTS, "nu_1": 73.3e-6, "nu_2": 8.86e-6}, 1, "3.680946"),
        )
    ),
    Row(
        model="physics.oil.grade_density",
        inputs=lambda: {"nu_25": _s800_nu(298.15)},
        expected=lambda: _s800_rho(298.15),
        source=f"{LIBRARY}, D at 25 C",
        kind="independent",
        tolerance=0.005,
        reason="the model states 0.5 % at this grade",
    ),
    *(
        Row(
            model="physics.oil.grade_density",
            inputs={"nu_25": grade * 1e-6},
            expected=digits,
            source="typical printed densities of silicone grades, from memory of suppliers' sheets",
            kind="common practice",
        )
        for grade, digits in ((50.0, "960"), (100.0, "965"), (350.0, "970"), (1000.0, "971"))
    ),
    formula(
        "physics.oil.silicone_viscosity",
        {"nu_ref": 350e-6, "t_ref": 298.15, "t": 273.15, "slope": 1739.4},
        lambda nu_ref, t_ref, t, slope: nu_ref * mpmath.exp(slope * (1 / t - 1 / t_ref)),
        "nu = nu_ref exp[B (1/T - 1/T_ref)]",
    ),
    formula(
        "physics.oil.silicone_viscosity",
        {"nu_ref": 350e-6, "t_ref": 298.15, "t": 333.15},
        lambda nu_ref, t_ref, t: nu_ref * 10 ** (763 * (1 / t - 1 / t_ref)),
        "log10 nu = 763/T + const",
    ),
    formula(
        "physics.oil.slope_from_vtc",
        {"vtc": 0.6037},
        lambda vtc: -mpmath.log(1 - vtc) / (1 / mpf("311.15") - 1 / mpf("372.15")),
        "B = -ln(1 - VTC)/(1/311.15 - 1/372.15)",
    ),
    formula(
        "physics.oil.slope_from_points",
        {"nu_1": 10.49411e-6, "t_1": 298.15, "nu_2": 8.07411e-6, "t_2": 313.15},
        lambda nu_1, t_1, nu_2, t_2: mpmath.log(nu_1 / nu_2) / (1 / t_1 - 1 / t_2),
        "B = ln(nu_1/nu_2)/(1/T_1 - 1/T_2)",
    ),
    formula("physics.oil.walther_constants", TWO_POINTS, lambda **given: _walther(**given)[0], D341, times(1.0, 0)),
    formula("physics.oil.walther_constants", TWO_POINTS, lambda **given: _walther(**given)[1], D341, times(1.0, 1)),
    formula(
        "physics.oil.walther_viscosity",
        {"a": 9.32, "b": 3.65, "t": 298.15},
        lambda a, b, t: (10 ** (10 ** (a - b * mpmath.log10(t))) - mpf("0.7")) / 10**6,
        D341,
    ),
    *(_between_grades(*pair) for pair in pairwise(GRADES)),
    Row(
        model="physics.oil.EXPANSION_PER_K",
        inputs={},
        pick="silicone",
        expected=_long_chain_expansion,
        source="CoolProp PropsSI, isobaric expansion of MDM to MD4M at 25 C, drawn out to long chains",
        kind="independent",
        tolerance=0.006,
        reason="the constant is rounded to two digits",
    ),
    *(
        Row(
            model=f"physics.oil.{name}",
            inputs={},
            pick=pick,
            expected=digits,
            source="OpenHydraulics, an open Modelica library, file GenericOil.mo",
            kind="published",
        )
        for name, pick, digits in (("EXPANSION_PER_K", "petroleum", "7.7e-4"), ("PETROLEUM_KG_M3", float, "870"))
    ),
    formula(
        "physics.oil.density",
        {"rho_25": 970.0, "expansion": 9.4e-4, "t": 328.15},
        lambda rho_25, expansion, t: rho_25 / (1 + expansion * (t - mpf("298.15"))),
        "rho = rho_25/(1 + beta (T - 298.15 K))",
    ),
    Row(
        model="physics.oil.carreau_share",
        inputs={"shear": 1.0, "time": 1.0, "index": 0.5},
        expected="0.84090",
        source="2^(-1/4), the form at lambda g = 1 and n = 1/2, by hand",
        kind="common practice",
    ),
    *(
        formula(
            "physics.oil.carreau_share",
            {"shear": shear, "time": 2e-5, "index": 0.6, "floor": floor},
            written.carreau,
            CARREAU,
        )
        for shear, floor in ((2e3, 0.0), (5e4, 0.1), (3e6, 0.1))
    ),
    *(
        formula(
            "physics.oil.carreau_slope",
            {"shear": shear, "time": 2e-5, "index": 0.6, "floor": floor},
            lambda shear, time, index, floor: mpmath.diff(
                lambda log: mpmath.log(written.carreau(mpmath.exp(log), time, index, floor)), mpmath.log(shear)
            ),
            f"{CARREAU}, d ln/d ln by mpmath.diff",
        )
        for shear, floor in ((2e3, 0.0), (5e4, 0.1), (3e6, 0.1))
    ),
    formula(
        "physics.oil.expansion_volume",
        {"oil_volume": 4.7e-6, "expansion": 9.4e-4, "t_fill": 293.0, "t": 323.0},
        lambda oil_volume, expansion, t_fill, t: expansion * oil_volume * (t - t_fill),
        "dV = beta V (T - T_fill)",
    ),
]
