"""Strategies of whole models: shocks and corners over the possible range, and corners that can stand level."""

import math
from typing import Any

import msgspec
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn, SearchStrategy

from libdamp.car import Arm, Corner, Pairs, Ratio, Tyre
from libdamp.parts import Bladder, Emulsion, Holes, Oil, Piston, SecondPoint, Shock, Spring, Thinning, Vented
from tests.strategies import between, over_decades, thinnings

temperatures_c = between(-20.0, 120.0)
"""The whole possible range of an oil in use."""


def thinning_oils() -> SearchStrategy[Oil]:
    """Oils of every kind that thin in fast shear."""
    names = ("relaxation_time_s", "power_index", "floor_share")
    laws = thinnings.map(lambda law: Thinning(**dict(zip(names, law, strict=True))))
    return st.tuples(oils(), laws).map(lambda pair: replaced(pair[0], thinning=pair[1]))


@st.composite
def oils(draw: DrawFn) -> Oil:
    """Silicone by its law, by a coefficient or by two points; petroleum by two points."""
    kind = draw(st.sampled_from(("silicone", "silicone", "vtc", "points", "petroleum")))
    nu, t = draw(over_decades(20.0, 20_000.0)), draw(between(0.0, 60.0))
    density = draw(st.none() | between(700.0, 1300.0))
    if kind == "silicone":
        return Oil(viscosity_cst=nu, reference_temperature_c=t, density_kg_m3=density)
    if kind == "vtc":
        return Oil(viscosity_cst=nu, reference_temperature_c=t, vtc=draw(between(0.3, 0.7)), density_kg_m3=density)
    if kind == "petroleum":
        nu = draw(over_decades(20.0, 500.0))
    warmer, slope = draw(between(20.0, 60.0)), draw(between(1000.0, 2200.0))
    thinner = math.exp(slope * (1.0 / (t + warmer + 273.15) - 1.0 / (t + 273.15)))
    point = SecondPoint(viscosity_cst=nu * thinner, temperature_c=t + warmer)
    return Oil(
        viscosity_cst=nu,
        reference_temperature_c=t,
        family="petroleum" if kind == "petroleum" else "silicone",
        second_point=point,
        density_kg_m3=density,
    )


@st.composite
def pistons(draw: DrawFn, bore: float, shaft: float, *, two_way: bool = False) -> Piston:
    """A piston that fits: one to three kinds of holes, one-way ones too, with or without a gap."""
    across = draw(st.none() | over_decades(0.01, 0.3).map(lambda gap: max(bore - gap, 4.0)))
    room = 0.5 * ((bore if across is None else across) - shaft)
    area = 0.49 * bore**2
    kinds = []
    for place in range(draw(st.integers(1, 3))):
        most = min(5.0, 0.99 * room, math.sqrt(area))
        if most < 0.4:
            break
        diameter = draw(over_decades(0.4, most))
        count = draw(st.integers(1, max(1, min(20, int(area / diameter**2)))))
        area -= count * diameter**2
        way = "both" if place == 0 or two_way else draw(st.sampled_from(("both", "compression", "rebound")))
        edge = draw(between(0.3, 1.5))
        kinds.append(Holes(count=count, diameter_mm=diameter, direction=way, edge_factor=edge))
    return Piston(
        holes=tuple(kinds),
        thickness_mm=draw(between(0.5, 12.0)),
        diameter_mm=across,
        eccentricity=draw(between(0.0, 1.0)),
    )


@st.composite
def shocks(draw: DrawFn, *, two_way: bool = False, gas: str = "any") -> Shock:
    """Shocks of any possible size; `gas`: "any" may lock, "enough" never does."""
    bore = draw(between(5.0, 40.0))
    shaft = draw(between(1.5, min(12.0, 0.69 * bore)))
    piston = draw(pistons(bore, shaft, two_way=two_way))
    stroke = draw(between(3.0, 120.0))
    cavity = max(5.0, stroke + piston.thickness_mm + draw(between(0.5, 20.0)))
    return Shock(
        bore_mm=bore,
        shaft_mm=shaft,
        stroke_mm=stroke,
        extended_length_mm=max(20.0, stroke + draw(between(5.0, 200.0))),
        limiter_mm=draw(between(0.0, 0.6)) * stroke,
        cavity_length_mm=cavity,
        seat_offset_mm=draw(between(-15.0, 60.0)),
        seal_drag_n=draw(between(0.0, 20.0)),
        piston=piston,
        oil=draw(oils() | oils() | thinning_oils()),
        fill=draw(fills(shaft, stroke, gas, 0.2e-3 * math.pi * bore**2 * (cavity - piston.thickness_mm - stroke))),
    )


@st.composite
def fills(draw: DrawFn, shaft: float, stroke: float, gas: str, room: float) -> Bladder | Vented | Emulsion:
    """A pocket, a vented cap or an emulsion; with "enough" the shaft takes no more than two thirds of the gas.

    An emulsion's gas stays within `room`, ml, so that there is oil as well.
    """
    closing = draw(between(0.0, 1.0)) * stroke
    displaced = 0.25e-3 * math.pi * shaft**2 * (stroke - closing)
    low = max(0.005, 1.5 * displaced) if gas == "enough" else 0.005
    volume = draw(over_decades(low, max(2.0 * low, 30.0)))
    kind = draw(st.sampled_from((Bladder, Bladder, Vented, Emulsion)))
    if kind is Vented:
        return Vented(room_ml=volume, closing_insertion_mm=closing)
    if kind is Emulsion and not low <= room:
        kind = Bladder
    return kind(gas_ml=min(volume, room) if kind is Emulsion else volume, closing_insertion_mm=closing)


@st.composite
def arms(draw: DrawFn) -> Arm:
    """Swinging arms: upper mount above and inside of the lower one."""
    length = draw(between(40.0, 200.0))
    along = length * draw(between(0.4, 0.95))
    return Arm(
        arm_length_mm=length,
        lower_mount_along_mm=along,
        lower_mount_above_mm=length * draw(between(-0.08, 0.12)),
        upper_mount_out_mm=along * draw(between(0.1, 0.8)),
        upper_mount_up_mm=length * draw(between(0.6, 1.3)),
    )


def level_length(linkage: Arm | Pairs | Ratio) -> float:
    """Shock length with level arms, mm, from the geometry."""
    if isinstance(linkage, Ratio):
        return linkage.level_length_mm
    if isinstance(linkage, Arm):
        return math.hypot(
            linkage.upper_mount_out_mm - linkage.lower_mount_along_mm,
            linkage.upper_mount_up_mm - linkage.lower_mount_above_mm,
        )
    message = "measured pairs have no exact length"
    raise TypeError(message)


@st.composite
def linkages(draw: DrawFn) -> Arm | Ratio:
    """An arm, or a fixed ratio."""
    if draw(st.booleans()):
        return draw(arms())
    return Ratio(motion_ratio=draw(between(0.3, 1.2)), level_length_mm=draw(between(40.0, 200.0)))


@st.composite
def standing_corners(draw: DrawFn, *, vented: bool = False, ratio: bool = False) -> Corner:
    """Corners whose shock fits the linkage with level arms, with gas to spare; preload for level arms."""
    linkage = draw(linkages().filter(lambda one: isinstance(one, Ratio)) if ratio else linkages())
    length = level_length(linkage)
    stroke = min(max(draw(between(0.1, 0.4)) * length, 4.0), 90.0)
    limiter = draw(between(0.0, 0.3)) * stroke
    at_level = limiter + draw(between(0.2, 0.8)) * (stroke - limiter)
    shock = draw(shocks(gas="enough"))
    closing = draw(between(0.0, 1.0)) * stroke
    displaced = 0.25e-3 * math.pi * shock.shaft_mm**2 * stroke
    volume = max(0.01, draw(between(1.5, 6.0)) * displaced)
    fill = Bladder(gas_ml=volume, closing_insertion_mm=closing)
    shock = replaced(
        shock,
        stroke_mm=stroke,
        limiter_mm=limiter,
        extended_length_mm=length + at_level,
        cavity_length_mm=stroke + shock.piston.thickness_mm + 5.0,
        fill=Vented(room_ml=volume, closing_insertion_mm=closing) if vented else fill,
    )
    sprung = draw(over_decades(50.0, 10_000.0))
    rate = sprung * 9.80665e-3 / draw(between(0.1, 0.8)) / at_level
    free = draw(between(1.05, 1.6)) * (stroke + 20.0)
    return Corner(
        sprung_mass_g=sprung,
        unsprung_mass_g=max(5.0, sprung * draw(between(0.1, 0.6))),
        level_clearance_mm=draw(between(3.0, 100.0)),
        linkage=linkage,
        tyre=Tyre(rate_n_mm=draw(over_decades(0.2, 50.0)), loss_factor=0.3),
        shock=shock,
        spring=Spring(rate_n_mm=min(max(rate, 0.05), 30.0), free_length_mm=free, block_length_mm=0.2 * free),
    )


@st.composite
def any_corners(draw: DrawFn) -> Corner:
    """Corners whose parts are each possible and need not suit each other at all."""
    shock = draw(shocks())
    if draw(st.booleans()):
        shock = replaced(shock, cavity_length_mm=None) if not isinstance(shock.fill, Emulsion) else shock
    free = draw(st.none() | between(5.0, 300.0))
    return Corner(
        sprung_mass_g=draw(over_decades(20.0, 20_000.0)),
        unsprung_mass_g=draw(over_decades(5.0, 8_000.0)),
        level_clearance_mm=draw(between(1.0, 150.0)),
        linkage=draw(any_linkages()),
        tyre=Tyre(rate_n_mm=draw(over_decades(0.1, 100.0)), damping_n_s_m=draw(between(0.0, 300.0))),
        shock=shock,
        spring=Spring(
            rate_n_mm=draw(over_decades(0.05, 30.0)),
            free_length_mm=free,
            block_length_mm=draw(st.none() | st.just(max(1.0, 0.3 * free))) if free else None,
        ),
        preload_mm=draw(st.none() | between(-60.0, 120.0)),
    )


@st.composite
def any_linkages(draw: DrawFn) -> Arm | Pairs | Ratio:
    """Linkages over the whole possible range, backwards and unreachable ones too."""
    kind = draw(st.sampled_from(("arm", "ratio", "pairs")))
    if kind == "ratio":
        return Ratio(motion_ratio=draw(between(0.1, 1.5)), level_length_mm=draw(between(15.0, 500.0)))
    if kind == "pairs":
        travel = sorted(draw(st.sets(st.integers(-40, 40), min_size=2, max_size=8)) | {0, 41})
        steps = [draw(between(0.1, 5.0)) for _ in travel]
        lengths = [480.0 - sum(steps[: i + 1]) for i in range(len(travel))]
        down = draw(between(0.0, 400.0))
        return Pairs(
            travel_mm=tuple(float(z) for z in travel),
            shock_length_mm=tuple(length - down for length in lengths),
        )
    holes = draw(st.lists(st.tuples(between(-300.0, 300.0), between(5.0, 500.0)), max_size=2))
    return Arm(
        other_upper_mounts_out_mm=tuple(out for out, _ in holes),
        other_upper_mounts_up_mm=tuple(up for _, up in holes),
        arm_length_mm=draw(between(10.0, 500.0)),
        lower_mount_along_mm=draw(between(5.0, 500.0)),
        lower_mount_above_mm=draw(between(-80.0, 80.0)),
        upper_mount_out_mm=draw(between(-300.0, 300.0)),
        upper_mount_up_mm=draw(between(5.0, 500.0)),
    )


def replaced(model: Any, **changes: Any) -> Any:
    """A model with some fields changed, checked anew."""
    return msgspec.structs.replace(model, **changes)


speeds_m_s: SearchStrategy[tuple[float, ...]] = st.lists(
    over_decades(1e-4, 5.0), min_size=3, max_size=6, unique=True
).map(lambda values: tuple(sorted(values)))
"""Rising shaft speeds."""
