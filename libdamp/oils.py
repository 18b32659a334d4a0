"""An oil at a temperature, and the oil that does the same at another temperature."""

from typing import Annotated, NamedTuple

import numpy as np

from .answers import Answer, calculation
from .findings import Finding, finding
from .parts import Oil
from .physics.numbers import ZERO_C, Array, Real
from .physics.oil import (
    EXPANSION_PER_K,
    PETROLEUM_KG_M3,
    SILICONE_SLOPE_K,
    density,
    grade_density,
    silicone_viscosity,
    slope_from_points,
    slope_from_vtc,
    walther_constants,
    walther_viscosity,
)
from .quantities import Q

LAW_C = (-10.0, 60.0)
"""Temperatures over which the laws were compared with data."""
LAW_CST = (2.0, 10_000.0)
"""Viscosities for which they hold."""


class OilState(NamedTuple):
    """An oil at a temperature, SI."""

    kinematic: float  # m2/s
    density: float  # kg/m3

    @property
    def dynamic(self) -> float:
        """Dynamic viscosity, Pa s."""
        return self.kinematic * self.density


def cst_text(viscosity_cst: float, digits: int = 4) -> str:
    """A viscosity with some figures, never an exponent.

    >>> cst_text(325.0), cst_text(1234.5, 3), cst_text(11050.0)
    ('325', '1234', '11050')
    """
    return f"{viscosity_cst:.0f}" if viscosity_cst >= 10.0**digits - 0.5 else f"{viscosity_cst:.{digits}g}"


def expansion(oil: Oil) -> float:
    """Thermal expansion of an oil's family, 1/K."""
    return EXPANSION_PER_K[oil.family]


def viscosity_over(oil: Oil, temperature_c: Real) -> Array:
    """Kinematic viscosity of an oil over temperatures, m^2/s."""
    nu, t_ref, t = oil.viscosity_cst * 1e-6, oil.reference_temperature_c + ZERO_C, temperature_c + ZERO_C
    point = oil.second_point
    if point is None:
        slope = SILICONE_SLOPE_K if oil.vtc is None else float(slope_from_vtc(oil.vtc))
        return silicone_viscosity(nu, t_ref, t, slope)
    nu_2, t_2 = point.viscosity_cst * 1e-6, point.temperature_c + ZERO_C
    if oil.family == "petroleum":
        return walther_viscosity(*walther_constants(nu, t_ref, nu_2, t_2), t)
    return silicone_viscosity(nu, t_ref, t, slope_from_points(nu, t_ref, nu_2, t_2))


def density_over(oil: Oil, temperature_c: Real) -> Array:
    """Density of an oil over temperatures, kg/m^3."""
    return density(density_25(oil), expansion(oil), temperature_c + ZERO_C)


def density_25(oil: Oil) -> float:
    """Density of an oil at 25 C: its own, or that of its grade or family, kg/m^3."""
    if oil.density_kg_m3 is not None:
        return oil.density_kg_m3
    return float(grade_density(kinematic(oil, 25.0))) if oil.family == "silicone" else PETROLEUM_KG_M3


def kinematic(oil: Oil, temperature_c: float) -> float:
    """Kinematic viscosity of an oil at a temperature, m^2/s."""
    return float(viscosity_over(oil, temperature_c))


def oil_state(oil: Oil, temperature_c: float) -> OilState:
    """Viscosity and density of an oil at a temperature."""
    return OilState(kinematic(oil, temperature_c), float(density_over(oil, temperature_c)))


def density_of_grade(oil: Oil, grade: Real, temperature_c: Real) -> Array:
    """Density at a temperature of another grade (viscosity at 25 C, m^2/s) of an oil's family, kg/m^3."""
    if oil.density_kg_m3 is None and oil.family == "silicone":
        return density(grade_density(grade), expansion(oil), temperature_c + ZERO_C)
    return np.asarray(density_over(oil, temperature_c) + 0.0 * np.asarray(grade))


def grade_of(oil: Oil, dynamic: Real, temperature_c: Real) -> Array:
    """Viscosity at 25 C, m^2/s, of the oil of the same family that has a dynamic viscosity at a temperature.

    Its law is kept as the ratio of the viscosities at the temperature and at 25 C; one or many temperatures.
    """
    nu_25, nu = kinematic(oil, 25.0), viscosity_over(oil, temperature_c)
    grade = np.asarray(nu_25 + 0.0 * np.asarray(dynamic) + 0.0 * nu)
    for _ in range(50):  # the density depends on the grade, weakly: converges within a few rounds
        factor = grade / nu_25
        following = grade * dynamic / (nu * factor * density_of_grade(oil, grade, temperature_c))
        if np.all(np.abs(following - grade) <= 1e-15 * grade):
            break
        grade = following
    return grade


def oil_findings(oil: Oil, temperature_c: float, at: str) -> list[Finding]:
    """Whether an oil is asked for outside the range of its law."""
    if not LAW_C[0] <= temperature_c <= LAW_C[1]:
        limit = LAW_C[0] if temperature_c < LAW_C[0] else LAW_C[1]
        span = f"{LAW_C[0]:g} to {LAW_C[1]:g}"
        return [finding("oil_law_range", at, temperature_c, limit, span=span, unit="C")]
    nu = kinematic(oil, temperature_c) * 1e6
    if not LAW_CST[0] <= nu <= LAW_CST[1]:
        limit = LAW_CST[0] if nu < LAW_CST[0] else LAW_CST[1]
        return [finding("oil_law_range", at, nu, limit, span=f"{LAW_CST[0]:g} to {LAW_CST[1]:g}", unit="cSt")]
    return []


class OilAtTemperature(Answer, frozen=True, kw_only=True):
    """An oil at a temperature."""

    viscosity_cst: Annotated[float, Q("viscosity_now_cst")]
    dynamic_mpa_s: Annotated[float, Q("dynamic_mpa_s")]
    density_kg_m3: Annotated[float, Q("density_now_kg_m3")]


@calculation()
def oil_viscosity(*, oil: Oil, temperature_c: Annotated[float, Q("temperature_c")]) -> OilAtTemperature:
    """Viscosity and density of an oil at a temperature.

    Parameters
    ----------
    oil : the oil, its viscosity [mm2/s = cSt] at its reference temperature [C].
    temperature_c : [C].

    Raises
    ------
    InputError : a value is impossible.

    Examples
    --------
    >>> oil_viscosity(oil=Oil(viscosity_cst=325.0), temperature_c=40.0).viscosity_cst
    245.07
    """
    state = oil_state(oil, temperature_c)
    return OilAtTemperature(
        findings=tuple(oil_findings(oil, temperature_c, "/oil")),
        viscosity_cst=state.kinematic * 1e6,
        dynamic_mpa_s=state.dynamic * 1e3,
        density_kg_m3=state.density,
    )


class OilGrade(Answer, frozen=True, kw_only=True):
    """The grade of an oil, at 25 C."""

    viscosity_cst: Annotated[float, Q("viscosity_25_cst")]


@calculation()
def oil_for_temperature(
    *,
    oil: Oil,
    from_temperature_c: Annotated[float, Q("temperature_c")],
    to_temperature_c: Annotated[float, Q("temperature_c")],
) -> OilGrade:
    """Grade of the oil that damps at one temperature as this oil does at another.

    Slow damping is in proportion to the dynamic viscosity, so that is kept, not the kinematic one; the new
    oil is of the same family and law.

    Parameters
    ----------
    oil : the oil whose damping is to be kept.
    from_temperature_c : where it damps as wanted [C].
    to_temperature_c : where the new oil shall do the same [C].

    Raises
    ------
    InputError : a value is impossible.

    Examples
    --------
    >>> oil_for_temperature(oil=Oil(viscosity_cst=325.0), from_temperature_c=25, to_temperature_c=40).viscosity_cst
    436.84
    """
    wanted = oil_state(oil, from_temperature_c).dynamic
    grade = float(grade_of(oil, wanted, to_temperature_c))
    found = [f for t in (from_temperature_c, to_temperature_c) for f in oil_findings(oil, t, "/oil")]
    return OilGrade(findings=tuple(found), viscosity_cst=grade * 1e6)
