"""Mixing two oils: how much of which for a viscosity, and what a mixture gives."""

from typing import Annotated

from .answers import Answer, calculation
from .errors import Fault, InputError
from .findings import Finding, finding
from .oils import kinematic, oil_state
from .parts import Oil
from .physics.blend import (
    double_log_blend,
    double_log_share,
    index_blend,
    log_blend,
    log_share,
    mass_share,
    melt_blend,
)
from .physics.numbers import Array, Real
from .quantities import Q

RULES_AGREE = 0.05
"""Spread of the rules above which a mixture's viscosity is said to be uncertain."""


class OilBlend(Answer, frozen=True, kw_only=True):
    """A mixture of two oils, at 25 C."""

    thick_share: Annotated[float, Q("thick_share_volume")]
    thick_share_mass: Annotated[float, Q("thick_share_mass")]
    viscosity_cst: Annotated[float, Q("viscosity_25_cst")]
    low_cst: Annotated[float, Q("blend_low_cst")]
    high_cst: Annotated[float, Q("blend_high_cst")]


def blended(low: Real, high: Real, share: Real, family: str) -> Array:
    """Viscosity of a mixture by its family's rule: silicone logarithmic, petroleum that of ASTM D7152; m^2/s."""
    rule = log_blend if family == "silicone" else double_log_blend
    return rule(low, high, share)


def _refused(pointer: str, rule: str, text: str) -> InputError:
    return InputError([Fault(pointer=pointer, rule=rule, text=text)])


def _check(thin: Oil, thick: Oil, target_cst: float | None, share: float | None) -> tuple[float, float]:
    """Viscosities of both at 25 C, m^2/s."""
    if (target_cst is None) == (share is None):
        raise _refused("/target_cst", "either", "give one of target_cst and thick_share")
    if thin.family != thick.family:
        text = f"{thin.family} and {thick.family} oil do not mix: take two of one family"
        raise _refused("/thick/family", "consistent", text)
    low, high = kinematic(thin, 25.0), kinematic(thick, 25.0)
    if not low < high:
        text = f"thick is {high * 1e6:.4g} cSt at 25 C: must be more than thin, {low * 1e6:.4g} cSt"
        raise _refused("/thick", "consistent", text)
    if target_cst is not None and not low <= target_cst * 1e-6 <= high:
        text = (
            f"target_cst = {target_cst:g} cSt: must lie between the two, {low * 1e6:.4g} and {high * 1e6:.4g} cSt"
        )
        raise _refused("/target_cst", "consistent", text)
    return low, high


@calculation("oil_spill")
def oil_blend(
    *,
    thin: Oil,
    thick: Oil,
    target_cst: Annotated[float, Q("target_cst")] | None = None,
    thick_share: Annotated[float, Q("thick_share")] | None = None,
) -> OilBlend:
    """How much of two oils gives a viscosity at 25 C, or what a mixture gives.

    Silicone oils by the logarithmic rule, petroleum oils by that of ASTM D7152; `low_cst` and `high_cst` are
    the lowest and highest of all rules.

    Parameters
    ----------
    thin, thick : the two oils, of one family.
    target_cst : wanted viscosity at 25 C [cSt]; or
    thick_share : share of the thick oil by volume, 0..1 [1].

    Raises
    ------
    InputError : both or neither of target and share, oils that do not mix, a target out of reach.

    Examples
    --------
    >>> oil_blend(thin=Oil(viscosity_cst=350), thick=Oil(viscosity_cst=600), target_cst=425).thick_share
    0.360
    """
    low, high = _check(thin, thick, target_cst, thick_share)
    silicone = thin.family == "silicone"
    share = _share(low, high, target_cst, silicone) if thick_share is None else thick_share
    densities = [oil_state(oil, 25.0).density for oil in (thin, thick)]
    by_mass = float(mass_share(share, *densities))
    rules = [
        float(log_blend(low, high, share)),
        float(double_log_blend(low, high, share)),
        float(index_blend(low, high, by_mass)),
        float(melt_blend(low, high, share)),
    ]
    value = float(blended(low, high, share, thin.family))
    spread = (max(rules) - min(rules)) / value
    found: list[Finding] = []
    if spread > RULES_AGREE:
        found.append(finding("blend_uncertain", "/thick", 100.0 * spread, 100.0 * RULES_AGREE))
    return OilBlend(
        findings=tuple(found),
        thick_share=share,
        thick_share_mass=by_mass,
        viscosity_cst=value * 1e6,
        low_cst=min(rules) * 1e6,
        high_cst=max(rules) * 1e6,
    )


def _share(low: float, high: float, target_cst: float | None, silicone: bool) -> float:
    """Share of the thick oil by volume for a target, by the family's own rule."""
    rule = log_share if silicone else double_log_share
    return min(1.0, max(0.0, float(rule(low, high, (target_cst or 0.0) * 1e-6))))
