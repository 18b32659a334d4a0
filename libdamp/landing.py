"""What a jump asks of a shock: the fall straight down that lands as hard."""

import math
from typing import Annotated

import numpy as np

from .answers import Answer, calculation
from .car import JUMP_WORDS_MM, JumpOrWord
from .findings import finding
from .physics.contact import fall_height, landing_speed
from .physics.numbers import G_N
from .quantities import Q


class EqualFall(Answer, frozen=True, kw_only=True):
    """Falls straight down onto the flat that land as hard as a jump."""

    on_slope_mm: Annotated[float, Q("on_slope_mm")] | None
    overshot_mm: Annotated[float, Q("overshot_mm")]
    impact_m_s: Annotated[float, Q("impact_m_s")] | None


@calculation("jumping")
def equal_fall(*, jump: JumpOrWord) -> EqualFall:
    """Fall straight down onto the flat that lands as hard as a jump, on its slope and overshot.

    Parameters
    ----------
    jump : apex over the landing [m], speed along the ground [m/s], slope of the landing [deg, downhill
        positive]; or "none", "small", "big": a fall of 0, 100, 350 mm onto the flat.

    Raises
    ------
    InputError : a value is impossible.

    Examples
    --------
    >>> from libdamp.car import Jump
    >>> equal_fall(jump=Jump(apex_m=0.9, speed_m_s=7.0, landing_deg=20.0)).on_slope_mm
    123.
    """
    if isinstance(jump, str):
        height = JUMP_WORDS_MM[jump]
        return EqualFall(on_slope_mm=height, overshot_mm=height, impact_m_s=math.sqrt(2.0 * G_N * height * 1e-3))
    impact = float(landing_speed(jump.apex_m, jump.speed_m_s, np.radians(jump.landing_deg)))
    overshot = jump.apex_m * 1e3
    if impact < 0.0:
        path = math.degrees(math.atan2(math.sqrt(2.0 * G_N * jump.apex_m), jump.speed_m_s))
        found = finding("never_meets_slope", "/jump/landing_deg", jump.landing_deg, path)
        return EqualFall(findings=(found,), on_slope_mm=None, overshot_mm=overshot, impact_m_s=None)
    return EqualFall(on_slope_mm=float(fall_height(impact)) * 1e3, overshot_mm=overshot, impact_m_s=impact)
