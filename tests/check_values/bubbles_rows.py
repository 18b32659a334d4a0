"""Check values of `bubble_rise` and `aerated_oil`: another library's spheres, real air, a real silicone."""

from typing import Any

from fluids.drag import v_terminal

from tests.check_values.table import Row
from tests.oracles.late import PropsSI

KPA = 101.325
WARM = 293.15
HAND = "worked out apart from the library, to the digits shown: 35 mm of 325 mm2/s at 25 C; 5 % of air in 20 mm"


def _rise_row(cst: float, depth_mm: float, bubble_mm: float) -> Row:
    def expected() -> float:
        speed = v_terminal(D=bubble_mm * 1e-3, rhop=1.2, rho=970.0, mu=970.0 * cst * 1e-6)
        return depth_mm * 1e-3 / -float(speed)

    return Row(
        model="bubble_rise",
        inputs={"oil": f"{cst} cst", "depth_mm": depth_mm, "bubble_mm": bubble_mm, "temperature_c": 25},
        pick="wait_s",
        expected=expected,
        source=f"laminar solution of fluids.drag.v_terminal, density of air, {bubble_mm:g} mm in {cst:g} mm2/s",
        kind="independent",
        tolerance=1.3e-3,
        reason="the weight of the air, 1.2 of 970 kg/m3, is left out",
    )


def _aerated(share: float, kpa: float, rest_kpa: float = KPA) -> dict[str, Any]:
    return {"air_share": share, "chamber_mm": 20, "pressure_kpa": kpa, "rest_pressure_kpa": rest_kpa}


def _air(p_kpa: float) -> float:
    return float(PropsSI("D", "P", p_kpa * 1e3, "T", WARM, "Air"))


def _travel_row(share: float, kpa: float, rest_kpa: float = KPA) -> Row:
    def expected() -> float:
        """Air and oil at the atmosphere, then at rest in 20 mm, then at the pressure."""
        at_rest, after = share * _air(KPA) / _air(rest_kpa), share * _air(KPA) / _air(kpa)
        return abs(at_rest - after) * 20.0 / (at_rest + 1.0 - share)

    return Row(
        model="aerated_oil",
        inputs=_aerated(share, kpa, rest_kpa),
        pick="dead_travel_mm",
        expected=expected,
        source=f"CoolProp PropsSI, Air at {WARM:g} K, {rest_kpa:g} to {kpa:g} kPa: change of the air's volume",
        kind="independent",
        tolerance=2e-3,
        reason="compressibility factor of air, 0.998 at 6 bar (the same library)",
    )


def _softness_row(share: float, kpa: float) -> Row:
    def volume(p_kpa: float) -> float:
        oil = PropsSI("D", "P", KPA * 1e3, "T", WARM, "MD4M") / PropsSI("D", "P", p_kpa * 1e3, "T", WARM, "MD4M")
        return share * _air(KPA) / _air(p_kpa) + (1.0 - share) * float(oil)

    def inputs() -> dict[str, Any]:
        give = float(PropsSI("ISOTHERMAL_COMPRESSIBILITY", "P", KPA * 1e3, "T", WARM, "MD4M"))
        return {**_aerated(share, kpa), "bulk_modulus_gpa": 1.0e-9 / give}

    return Row(
        model="aerated_oil",
        inputs=inputs,
        pick="effective_bulk_modulus_gpa",
        expected=lambda: -2e-9 * kpa * volume(kpa) / (volume(1.001 * kpa) - volume(0.999 * kpa)),
        source=f"CoolProp PropsSI, Air beside MD4M at {kpa:g} kPa, central difference of the volume",
        kind="independent",
        tolerance=1e-3,
        reason="compressibility factor of air between 0.5 and 3 bar (the same library)",
    )


ROWS = [
    _rise_row(325.0, 35.0, 0.2),
    _rise_row(325.0, 35.0, 0.5),
    _rise_row(1000.0, 50.0, 0.1),
    *(
        Row(
            model="bubble_rise",
            inputs={"oil": "325 cst", "depth_mm": 35, "bubble_mm": mm, "temperature_c": 25},
            pick="wait_s",
            expected=digits,
            source=HAND,
            kind="common practice",
        )
        for mm, digits in ((1.0, "21"), (0.5, "84"), (0.2, "522"), (0.1, "2088"))
    ),
    *(_travel_row(*case) for case in ((0.05, 202.65), (0.05, 50.6625), (0.1, 600.0, 150.0), (0.3, 60.0, 130.0))),
    *(_softness_row(*case) for case in ((0.05, 202.65), (0.1, 50.0), (0.02, 300.0))),
    *(
        Row(
            model="aerated_oil",
            inputs=_aerated(0.05, kpa),
            pick="dead_travel_mm",
            expected=digits,
            source=HAND,
            kind="common practice",
        )
        for kpa, digits in ((202.65, "0.5"), (50.6625, "1.0"))
    ),
]
