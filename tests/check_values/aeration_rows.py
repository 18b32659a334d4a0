"""Check values of bubbles that rise and of oil that holds air."""

from typing import Any

import mpmath
from fluids.drag import v_terminal
from mpmath import mpf

from tests.check_values.table import Row, formula, times
from tests.oracles.late import PropsSI

ATMOSPHERE = 101325.0
GRAVITY = mpf("9.80665")
OWN = "worked out apart from the library from the written rule, to the digits shown"
CRC = (
    "example in a chapter on hydraulic control (CRC Press, doi 10.1201/9781482269895-28): 250000 psi, 1 % of "
    "bubbles at 500 psi; the inputs are printed, the sum 4e-6 + 0.01/B_g per psi is by hand"
)


def _written_modulus(share: mpf, reference: mpf, pressure: mpf, modulus: mpf, exponent: mpf) -> mpf:
    a = share / (1 - share)
    above = 1 + a * (reference / pressure) ** (1 / exponent)
    below = 1 + a * reference ** (1 / exponent) * modulus / (exponent * pressure ** ((exponent + 1) / exponent))
    return modulus * above / below


def _share(share: mpf, reference: mpf, pressure: mpf, exponent: mpf) -> mpf:
    shrunk = share * (reference / pressure) ** (1 / exponent)
    return shrunk / (shrunk + 1 - share)


def _at(share: float, gauge: float, modulus: float = 1e9, exponent: float = 1.4) -> dict[str, float]:
    return {
        "share": share / (1.0 + share),  # the table's shares are air over oil
        "reference": ATMOSPHERE,
        "pressure": ATMOSPHERE + gauge,
        "modulus": modulus,
        "exponent": exponent,
    }


TABLE = (
    (0.001, 0.0, 1e9, "1.2436e8"),
    (0.001, 50e5, 1e9, "9.9161e8"),
    (0.005, 5e5, 1e9, "3.7582e8"),
    (0.01, 1e5, 1e9, "4.4271e7"),
    (0.01, 10e5, 1e9, "4.5959e8"),
    (0.05, 0.0, 1e9, "2.9705e6"),
    (0.10, 1e5, 1e9, "4.8622e6"),
    (0.10, 50e5, 1e9, "5.4321e8"),
    (0.005, 10e5, 1.5e9, "7.9654e8"),
    (0.01, 50e5, 1.5e9, "1.3308e9"),
)
"""Air over oil at one atmosphere, gauge pressure, modulus of the oil, result; exponent 1.4."""

AT_REST = (
    (0.001, 1e9, 1.4, "1.2425e8"),
    (0.005, 1e9, 1.0, "1.9864e7"),
    (0.01, 1e9, 1.4, "1.3989e7"),
    (0.05, 1e9, 1.0, "2.0226e6"),
    (0.10, 1e9, 1.4, "1.4167e6"),
    (0.01, 1.5e9, 1.0, "1.0065e7"),
)
"""Share, modulus of the oil, exponent, result; at one atmosphere."""


def _crc(gas_psi: float, exponent: float, digits: str) -> Row:
    psi = 6894.757293168361
    return Row(
        model="physics.aeration.effective_bulk_modulus",
        inputs={"share": 0.01, "pressure": gas_psi * psi, "modulus": 250e3 * psi, "exponent": exponent},
        pick=times(1.0 / psi),
        expected=digits,
        source=CRC,
        kind="independent",
        tolerance=0.01 * 4e-6 / 1.8e-5,
        reason="the example counts the oil whole, not 99 % of it: 1 % of its part of the sum",
    )


def _wood(share: float, pressure: float) -> Row:
    """Real air in a real short-chain silicone: the pressure over the change of the two volumes."""

    def volume(p: float) -> float:
        parts = ((share, "Air"), (1.0 - share, "MD4M"))
        return sum(
            float(part * PropsSI("D", "P", ATMOSPHERE, "T", 293.15, name) / PropsSI("D", "P", p, "T", 293.15, name))
            for part, name in parts
        )

    def expected() -> float:
        step = 1e-3 * pressure
        return -volume(pressure) * 2.0 * step / (volume(pressure + step) - volume(pressure - step))

    def inputs() -> dict[str, float]:
        give = PropsSI("ISOTHERMAL_COMPRESSIBILITY", "P", ATMOSPHERE, "T", 293.15, "MD4M")
        return {"share": share, "reference": ATMOSPHERE, "pressure": pressure, "modulus": 1.0 / float(give)}

    return Row(
        model="physics.aeration.fixed_mass_bulk_modulus",
        inputs=inputs,
        expected=expected,
        source=f"CoolProp PropsSI, Air beside MD4M at {pressure / 1e3:g} kPa, central difference of the volume",
        kind="independent",
        tolerance=5e-4 + 11.0 * abs(pressure - ATMOSPHERE) / 0.7e9,
        reason="compressibility factor of air (5e-4), and the silicone's modulus grows by 11 times the pressure",
    )


def _stated(name: str, pick: Any, value: float, source: str) -> Row:
    return Row(
        model=f"physics.aeration.{name}",
        inputs={},
        pick=pick,
        expected=lambda: value,
        source=source,
        kind="common practice",
        tolerance=1e-12,
        reason="the stated figure itself, a round one",
    )


ROWS = [
    _stated("AIR_SOLUBILITY", "silicone", 0.17, "suppliers' handbooks, 0.16 to 0.19, from memory"),
    _stated("AIR_SOLUBILITY", "petroleum", 0.09, "suppliers' handbooks, from memory"),
    _stated("REYNOLDS_STOKES", float, 1.0, "usual limit of Stokes' law, any text of fluid mechanics"),
    formula(
        "physics.aeration.stokes_rise",
        {"diameter": 0.2e-3, "difference": 968.8, "viscosity": 0.31525},
        lambda diameter, difference, viscosity: GRAVITY * diameter**2 * difference / (18 * viscosity),
        "Stokes, g d^2 (rho - rho_gas)/(18 mu)",
    ),
    *(
        Row(
            model="physics.aeration.stokes_rise",
            inputs={"diameter": mm * 1e-3, "difference": 968.8, "viscosity": 0.31525},
            expected=lambda mm=mm: -float(v_terminal(D=mm * 1e-3, rhop=1.2, rho=970.0, mu=0.31525)),
            source=f"laminar solution of fluids.drag.v_terminal, density of air, {mm:g} mm in 325 mm2/s",
            kind="independent",
            tolerance=1e-9,
            reason="the same law in other code",
        )
        for mm in (1.0, 0.5, 0.2, 0.1)
    ),
    *(
        Row(
            model="physics.aeration.stokes_rise",
            inputs={"diameter": mm * 1e-3, "difference": 970.0, "viscosity": 970.0 * 325e-6},
            pick=lambda speed: 35e-3 / float(speed),
            expected=digits,
            source=f"{OWN}: 35 mm of 325 mm2/s, g d^2/(18 nu)",
            kind="common practice",
        )
        for mm, digits in ((1.0, "21"), (0.5, "84"), (0.2, "522"), (0.1, "2088"))
    ),
    formula(
        "physics.aeration.rise_reynolds",
        {"speed": 1.67e-3, "diameter": 1e-3, "kinematic": 325e-6},
        lambda speed, diameter, kinematic: speed * diameter / kinematic,
        "v d/nu",
    ),
    formula(
        "physics.aeration.air_share_at",
        {"share": 0.05, "reference": ATMOSPHERE, "pressure": 3.1e5, "exponent": 1.3},
        _share,
        "p V^n constant, a r/(a r + 1 - a)",
    ),
    formula(
        "physics.aeration.effective_bulk_modulus",
        {"share": 0.02, "pressure": 3.1e5, "modulus": 0.85e9, "exponent": 1.2},
        lambda share, pressure, modulus, exponent: 1 / (share / (exponent * pressure) + (1 - share) / modulus),
        "Rabie eq. 2.57, 1/B_e = a/(n P) + (1 - a)/B",
    ),
    *(
        Row(
            model="physics.aeration.effective_bulk_modulus",
            inputs={"share": share, "pressure": ATMOSPHERE, "modulus": modulus, "exponent": exponent},
            expected=digits,
            source=f"Rabie eq. 2.57, {OWN}",
            kind="common practice",
        )
        for share, modulus, exponent, digits in AT_REST
    ),
    _crc(500.0, 1.0, "41667"),
    _crc(500.0, 1.4, "54688"),
    *(
        formula(
            "physics.aeration.fixed_mass_bulk_modulus",
            _at(*case),
            _written_modulus,
            "E_l [1 + a (p_a/p)^(1/n)]/[1 + a p_a^(1/n) E_l/(n p^((n+1)/n))]",
        )
        for case in ((0.01, 5e5, 1e9, 1.4), (0.1, -0.6e5, 0.85e9, 1.0))
    ),
    *(
        Row(
            model="physics.aeration.fixed_mass_bulk_modulus",
            inputs=_at(share, gauge, modulus),
            expected=digits,
            source=f"mixture with the air fixed in mass, {OWN}",
            kind="common practice",
        )
        for share, gauge, modulus, digits in TABLE
    ),
    *(_wood(*case) for case in ((0.05, 50e3), (0.05, 202.65e3), (0.01, 500e3), (0.002, 1e6))),
    formula(
        "physics.aeration.column_shortening",
        {"column": 20e-3, "share": 0.05, "reference": ATMOSPHERE, "pressure": 3.1e5, "exponent": 1.3},
        lambda column, share, reference, pressure, exponent: (
            column * share * (1 - (reference / pressure) ** (1 / exponent))
        ),
        "L a [1 - (p_0/p)^(1/n)]",
    ),
    formula(
        "physics.aeration.dissolved_air",
        {"oil": 4.7e-6, "pressure": 1e5, "solubility": 0.17},
        lambda oil, pressure, solubility: solubility * oil * pressure / mpmath.mpf(101325),
        "Henry, S V p/p_atm",
    ),
]
