"""Air in the oil: how long bubbles take to rise, and what the ones that stay do to the stroke."""

from typing import Annotated, Literal

from .answers import Answer, calculation
from .findings import Finding, finding
from .oils import oil_findings, oil_state
from .parts import Oil
from .physics.aeration import (
    AIR_SOLUBILITY,
    BULK_MODULUS_PA,
    REYNOLDS_STOKES,
    air_share_at,
    column_shortening,
    dissolved_air,
    fixed_mass_bulk_modulus,
    rise_reynolds,
    stokes_rise,
)
from .physics.numbers import P_ATM
from .quantities import Q


class BubbleRise(Answer, frozen=True, kw_only=True):
    """A bubble on its way up."""

    rise_mm_s: Annotated[float, Q("rise_mm_s")]
    wait_s: Annotated[float, Q("wait_s")]
    reynolds: Annotated[float, Q("bubble.reynolds")]


@calculation("oil_spill")
def bubble_rise(
    *,
    oil: Oil,
    depth_mm: Annotated[float, Q("depth_mm")],
    bubble_mm: Annotated[float, Q("bubble_mm")] = 0.2,
    temperature_c: Annotated[float, Q("temperature_c")] = 20.0,
) -> BubbleRise:
    """How long to wait until bubbles have risen out of the oil.

    The wait goes with viscosity and with one over the bubble's diameter squared: half the bubble, four times the
    wait. Small bubbles rise as rigid spheres; in perfectly clean oil they need two thirds of the wait. The weight
    of the air, 0.1 % of the oil's, is left out.

    Parameters
    ----------
    oil : the oil, its viscosity [mm2/s = cSt] at its reference temperature [C].
    depth_mm : height of oil above the lowest bubble [mm].
    bubble_mm : diameter of the smallest bubble that shall come out [mm].
    temperature_c : of the oil [C].

    Raises
    ------
    InputError : a value is impossible.

    Examples
    --------
    >>> bubble_rise(oil=Oil(viscosity_cst=325), depth_mm=35, bubble_mm=0.5, temperature_c=25).wait_s
    83.515
    """
    state, diameter = oil_state(oil, temperature_c), bubble_mm * 1e-3
    speed = float(stokes_rise(diameter, state.density, state.dynamic))
    reynolds = float(rise_reynolds(speed, diameter, state.kinematic))
    found = oil_findings(oil, temperature_c, "/oil")
    if reynolds > REYNOLDS_STOKES:
        found.append(finding("bubble_fast", "/bubble_mm", reynolds, REYNOLDS_STOKES))
    return BubbleRise(
        findings=tuple(found), rise_mm_s=speed * 1e3, wait_s=depth_mm * 1e-3 / speed, reynolds=reynolds
    )


class AeratedOil(Answer, frozen=True, kw_only=True):
    """Oil with air in it, in front of a piston."""

    dead_travel_mm: Annotated[float, Q("dead_travel_mm")]
    effective_bulk_modulus_gpa: Annotated[float, Q("effective_bulk_modulus_gpa")]
    air_share_now: Annotated[float, Q("air_share_now")]


def _solution(share: float, pressure: float, family: str) -> list[Finding]:
    """Whether the oil could take up all its free air, or gives off more."""
    taken = float(dissolved_air(1.0 - share, pressure - P_ATM, AIR_SOLUBILITY[family]))
    if taken < 0.0:
        return [finding("air_comes_out", "/pressure_kpa", -taken, share)]
    if taken >= share > 0.0:
        return [finding("air_dissolves", "/pressure_kpa", taken, share)]
    return []


@calculation("oil_spill")
def aerated_oil(
    *,
    air_share: Annotated[float, Q("air_share")],
    chamber_mm: Annotated[float, Q("chamber_mm")],
    pressure_kpa: Annotated[float, Q("aerated.pressure_kpa")],
    rest_pressure_kpa: Annotated[float, Q("rest_pressure_kpa")] = 101.325,
    exponent: Annotated[float, Q("aerated.exponent")] = 1.0,
    family: Literal["silicone", "petroleum"] = "silicone",
    bulk_modulus_gpa: Annotated[float, Q("bulk_modulus_gpa")] | None = None,
) -> AeratedOil:
    """Dead travel of a piston in front of which the oil holds air, and how soft the oil is.

    The dead travel is the way that the piston makes while the pressure changes from rest, whether it rises or
    falls, because the air gives way; the oil's own give, about 0.002 mm for 20 mm and 1 bar, is not in it.

    Parameters
    ----------
    air_share : free air by volume of oil and air together, at atmospheric pressure [1].
    chamber_mm : length of the oil in front of the piston at rest [mm].
    pressure_kpa : pressure after the change, absolute [kPa].
    rest_pressure_kpa : pressure before, absolute [kPa].
    exponent : of the air, 1 for small bubbles, 1.4 at most [1].
    family : of the oil.
    bulk_modulus_gpa : of the oil without air [GPa]; the family's own, 0.85 or 1.5, unless given.

    Raises
    ------
    InputError : a value is impossible.

    Examples
    --------
    >>> aerated_oil(air_share=0.05, chamber_mm=20, pressure_kpa=202.65).dead_travel_mm
    0.5
    """
    rest, pressure = rest_pressure_kpa * 1e3, pressure_kpa * 1e3
    modulus = BULK_MODULUS_PA[family] if bulk_modulus_gpa is None else bulk_modulus_gpa * 1e9
    at_rest = air_share_at(air_share, P_ATM, rest, exponent)
    given_way = column_shortening(chamber_mm * 1e-3, at_rest, rest, pressure, exponent)
    return AeratedOil(
        findings=tuple(_solution(air_share, pressure, family)),
        dead_travel_mm=abs(float(given_way)) * 1e3,
        effective_bulk_modulus_gpa=float(fixed_mass_bulk_modulus(air_share, P_ATM, pressure, modulus, exponent))
        * 1e-9,
        air_share_now=float(air_share_at(air_share, P_ATM, pressure, exponent)),
    )
