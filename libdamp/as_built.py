"""The car as built: both ends at rest, their damping and fill, the jump, the balance; findings first."""

from typing import Annotated

import msgspec

from .answers import Answer, calculation
from .car import Box, Car, Goals, Size, Use
from .damping import DampingFigures
from .damping import figures as damping_figures
from .filling import FillFigures, fill_figures, fill_temperature
from .findings import Finding, finding
from .goals import GoalTerm, between_aims, end_aims, terms, total
from .grid import HOT_C
from .landing import equal_fall
from .quantities import Q
from .stance import RideFigures, ride_figures

SCALE_AGREES_SHARE = 0.02


class EndCheck(msgspec.Struct, frozen=True, kw_only=True):
    """One end as built."""

    ride: RideFigures
    damping: DampingFigures
    fill: FillFigures
    distance: Annotated[float, Q("distance")] | None
    terms: tuple[GoalTerm, ...]


class JumpFigures(msgspec.Struct, frozen=True, kw_only=True):
    """The use's jump as falls straight down."""

    on_slope_mm: Annotated[float, Q("on_slope_mm")] | None
    overshot_mm: Annotated[float, Q("overshot_mm")]
    impact_m_s: Annotated[float, Q("impact_m_s")] | None


class Check(Answer, frozen=True, kw_only=True):
    """The car as built."""

    front: EndCheck
    rear: EndCheck
    jump: JumpFigures
    frequency_ratio: Annotated[float, Q("frequency_ratio")] | None
    damping_ratio_ratio: Annotated[float, Q("damping_ratio_ratio")] | None
    distance: Annotated[float, Q("distance")] | None
    terms: tuple[GoalTerm, ...]


def _mean_ratio(ride: RideFigures) -> float | None:
    both = (ride.damping_ratio_compression, ride.damping_ratio_rebound)
    return None if both[0] is None or both[1] is None else 0.5 * (both[0] + both[1])


def _over(front: float | None, rear: float | None) -> float | None:
    return None if front is None or not rear else front / rear


def _end(car: Car, end: str, use: Use, box: Box, goals: Goals, size: str | None) -> tuple[EndCheck, list[Finding]]:
    corner, at, oil_c = getattr(car, end), f"/car/{end}", use.oil_temperature_c
    ride, found = ride_figures(corner, oil_c, box.collar_step_mm, box.spacers_mm or None, at)
    fill_c = fill_temperature(corner.shock, None)
    fill, fill_found = fill_figures(corner.shock, fill_c, max(HOT_C, oil_c), f"{at}/shock")
    known = {(f.code, f.where) for f in found}
    found += [f for f in fill_found if (f.code, f.where) not in known]
    values = {
        "frequency_hz": ride.frequency_hz,
        "damping_ratio": _mean_ratio(ride),
        "damping_ratio_compression": ride.damping_ratio_compression,
        "damping_ratio_rebound": ride.damping_ratio_rebound,
        "height_error_mm": None if ride.wheel_travel_mm is None else -ride.wheel_travel_mm,
    }
    aims = end_aims(goals, end, use.surface, size)
    parted = terms(aims, values)
    checked = EndCheck(
        ride=ride, damping=damping_figures(corner.shock, oil_c), fill=fill, distance=total(parted), terms=parted
    )
    return checked, found


def _masses(car: Car) -> list[Finding]:
    scale = car.scale_readings_g
    if scale is None:
        return []
    weighed = scale.front_left + scale.front_right + scale.rear_left + scale.rear_right
    summed = 2.0 * sum(c.sprung_mass_g + c.unsprung_mass_g for c in (car.front, car.rear))
    if abs(weighed - summed) <= SCALE_AGREES_SHARE * summed:
        return []
    return [finding("masses_disagree", "/car/scale_readings_g", weighed, summed)]


@calculation("springs_fly", "hot_shock", "droop", "oil_spill", "battery", "jumping")
def check(
    *, car: Car, use: Use, box: Box | None = None, goals: Goals | None = None, size: Size | None = None
) -> Check:
    """The car as built: both ends at rest, damping, fill, the use's jump, and the distance to the goals at rest.

    Parameters
    ----------
    car : the car as it stands.
    use : where it is driven; its oil temperature [C] holds for ride and damping.
    box : the parts box, of which collar step and spacers are used here.
    goals : wanted quantities; each left out takes the surface's default (common practice).
    size : size of the car; from 1:8 up the default frequencies are a tenth lower.

    Raises
    ------
    InputError : a value is impossible.

    Examples
    --------
    >>> from libdamp.demo import demo_corner
    >>> car = Car(front=demo_corner("demo-truck.front"), rear=demo_corner("demo-truck.rear"))
    >>> use = Use(oil_temperature_c=25, bump_height_mm=6, bump_spacing_mm=250, speed_m_s=6, jump="none")
    >>> check(car=car, use=use).frequency_ratio
    1.18
    """
    box, goals = box or Box(), goals or Goals()
    front, found = _end(car, "front", use, box, goals, size)
    rear, more = _end(car, "rear", use, box, goals, size)
    jump = equal_fall(jump=use.jump)
    values = {
        "frequency_ratio": _over(front.ride.frequency_hz, rear.ride.frequency_hz),
        "damping_ratio_ratio": _over(_mean_ratio(front.ride), _mean_ratio(rear.ride)),
    }
    parted = terms(between_aims(goals), values)
    distances = [front.distance, rear.distance, total(parted)]
    jumps = [msgspec.structs.replace(f, where=f"/use{f.where}") for f in jump.findings if f.code != "unusual_value"]
    return Check(
        findings=(*_masses(car), *found, *more, *jumps),
        front=front,
        rear=rear,
        jump=JumpFigures(on_slope_mm=jump.on_slope_mm, overshot_mm=jump.overshot_mm, impact_m_s=jump.impact_m_s),
        frequency_ratio=values["frequency_ratio"],
        damping_ratio_ratio=values["damping_ratio_ratio"],
        distance=None if None in distances else sum(d for d in distances if d is not None),
        terms=parted,
    )
