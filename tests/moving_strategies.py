"""Strategies of corners that can move: of the usual sizes for laws of the numbers, of any for laws of soundness."""

import math
from collections.abc import Callable
from typing import Any

from hypothesis import assume
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn, SearchStrategy

from libdamp import ride
from libdamp.car import Arm, Corner, Ratio, Tyre
from libdamp.errors import InputError
from libdamp.moving import STANDARD, Ready, Settings, alone, ready
from libdamp.parts import Bladder, Emulsion, Holes, Oil, Piston, Shock, Spring, Vented
from tests.model_strategies import any_corners, level_length, oils, replaced, standing_corners, thinning_oils
from tests.strategies import between, over_decades

FILLS = ("bladder", "vented", "emulsion")
G = 9.80665


def _near(low: float, high: float) -> Callable[[float], float]:
    return lambda value: min(max(value, low), high)


@st.composite
def _linkages(draw: DrawFn, size: float) -> Arm | Ratio:
    """A fixed ratio, or an arm whose shock leans inward."""
    if draw(st.booleans()):
        return Ratio(motion_ratio=draw(between(0.5, 0.9)), level_length_mm=80.0 * size)
    arm = 88.0 * size * draw(between(0.8, 1.2))
    along = arm * draw(between(0.6, 0.8))
    return Arm(
        arm_length_mm=arm,
        lower_mount_along_mm=along,
        lower_mount_above_mm=6.0 * size,
        upper_mount_out_mm=along * draw(between(0.3, 0.6)),
        upper_mount_up_mm=arm * draw(between(0.8, 1.0)),
    )


@st.composite
def _pistons(draw: DrawFn, bore: float, shaft: float, size: float, *, gap: bool) -> Piston:
    """Two to six equal holes that take 1.5 to 8 % of the bore, or what fits."""
    count = draw(st.integers(2, 6))
    across = bore * math.sqrt(draw(between(0.015, 0.08)) / count)
    return Piston(
        holes=(Holes(count=count, diameter_mm=_near(0.9, 0.45 * (bore - shaft))(across)),),
        thickness_mm=2.4 * size * draw(between(0.8, 1.4)),
        diameter_mm=bore - draw(between(0.05, 0.12)) if gap else None,
    )


def _fill(kind: str, gas: float, closing: float) -> Bladder | Vented | Emulsion:
    if kind == "vented":
        return Vented(room_ml=gas, closing_insertion_mm=closing)
    return (Emulsion if kind == "emulsion" else Bladder)(gas_ml=gas, closing_insertion_mm=closing)


@st.composite
def usual_shocks(draw: DrawFn, size: float, kind: str, *, gap: bool = True) -> Shock:
    """Shocks of the usual proportions; length and oil are the corner's to set."""
    bore = 12.0 * size * draw(between(0.9, 1.15))
    shaft = bore * draw(between(0.22, 0.32))
    piston = draw(_pistons(bore, shaft, size, gap=gap))
    stroke = 30.0 * size * draw(between(0.8, 1.2))
    closing = stroke * draw(between(0.3, 0.7))
    displaced = 0.25e-3 * math.pi * shaft**2 * (stroke - closing)
    return Shock(
        bore_mm=bore,
        shaft_mm=shaft,
        stroke_mm=stroke,
        extended_length_mm=88.0 * size,
        limiter_mm=stroke * draw(between(0.0, 0.25)),
        cavity_length_mm=stroke + piston.thickness_mm + draw(between(2.0, 5.0)) * size,
        seat_offset_mm=10.0 * size,
        seal_drag_n=draw(between(0.05, 0.6)) * size**2,
        piston=piston,
        oil=Oil(viscosity_cst=draw(over_decades(150.0, 1000.0))),
        fill=_fill(kind, displaced * draw(between(2.0, 6.0)), closing),
    )


@st.composite
def usual_corners(draw: DrawFn, *, kinds: tuple[str, ...] = FILLS, gap: bool = True) -> Corner:
    """Corners as they are built, small to large: 2.5 to 5 Hz, standing level between the ends of the stroke."""
    size = draw(between(0.85, 1.8))
    linkage = draw(_linkages(size))
    shock = draw(usual_shocks(size, draw(st.sampled_from(kinds)), gap=gap))
    at_level = shock.limiter_mm + draw(between(0.3, 0.55)) * (shock.stroke_mm - shock.limiter_mm)
    shock = replaced(shock, extended_length_mm=level_length(linkage) + at_level)
    sprung = 320.0 * size**3 * draw(between(0.7, 1.5))
    unsprung = sprung * draw(between(0.2, 0.45))
    weight = (sprung + unsprung) * 1e-3 * G
    rate = sprung * 1e-6 * (2.0 * math.pi * draw(between(2.5, 5.0))) ** 2 / 0.45
    free = 1.9 * shock.stroke_mm
    corner = Corner(
        sprung_mass_g=sprung,
        unsprung_mass_g=unsprung,
        level_clearance_mm=draw(between(18.0, 36.0)) * size,
        linkage=linkage,
        tyre=Tyre(
            rate_n_mm=weight / (draw(between(1.5, 5.0)) * math.sqrt(size)), loss_factor=draw(between(0.05, 0.5))
        ),
        shock=shock,
        spring=Spring(rate_n_mm=rate, free_length_mm=free, block_length_mm=0.2 * free),
    )
    return damped(corner, draw(between(0.2, 1.0)))


def damped(corner: Corner, wanted: float) -> Corner:
    """The corner with the oil, of 100 to 1500 cSt, that comes nearest to a damping ratio in compression."""
    found = ride(corner=corner).damping_ratio_compression
    viscosity = corner.shock.oil.viscosity_cst * (1.0 if found is None else wanted / found)
    oil = Oil(viscosity_cst=_near(100.0, 1500.0)(viscosity))
    return replaced(corner, shock=replaced(corner.shock, oil=oil))


def made_ready(corner: Corner, temperature_c: float = 25.0, told: Settings = STANDARD, **more: Any) -> Ready:
    """A corner ready to move alone; a draw that cannot is passed over."""
    prepared = ready(corner, temperature_c, told, **more)
    assume(prepared is not None and math.isfinite(prepared.rest))
    assert prepared is not None
    return alone(prepared)


def _spread(shock: Shock, gas: float) -> Shock:
    """The shock with gas spread through its oil, a share more than the shaft takes, where so much has room."""
    closing = shock.fill.closing_insertion_mm
    displaced = 0.25e-3 * math.pi * shock.shaft_mm**2 * (shock.stroke_mm - closing)
    try:
        return replaced(shock, fill=Emulsion(gas_ml=max(0.005, gas * displaced), closing_insertion_mm=closing))
    except InputError:
        return shock


def _with_oil(shock: Shock, oil: Oil) -> Shock:
    try:
        return replaced(shock, oil=oil)
    except InputError:  # an emulsion's oil must leave room
        return shock


@st.composite
def wide_corners(draw: DrawFn) -> Corner:
    """Corners of the whole possible range: light wheels, hard and flat tyres, every oil, parts that do not suit."""
    suits = draw(st.integers(0, 4)) > 0
    corner = draw(standing_corners(vented=draw(st.booleans())) if suits else any_corners())
    shock = corner.shock
    if draw(st.integers(0, 2)) == 0 and shock.cavity_length_mm is not None:
        shock = _spread(shock, draw(between(1.01, 5.0)))
    shock = replaced(_with_oil(shock, draw(oils() | thinning_oils())), seal_drag_n=draw(between(0.0, 20.0)))
    name, most = draw(st.sampled_from((("damping_n_s_m", 300.0), ("loss_factor", 2.0))))
    loss = {name: draw(between(0.0, most))}
    sidewall = draw(st.none() | over_decades(1.0, 100.0))
    return replaced(
        corner,
        shock=shock,
        tyre=Tyre(rate_n_mm=draw(over_decades(0.1, 100.0)), sidewall_mm=sidewall, **loss),
        unsprung_mass_g=draw(over_decades(5.0, 8000.0)),
        preload_mm=draw(st.none() | st.just(corner.preload_mm) | between(-5.0, 20.0)),
    )


told: SearchStrategy[dict[str, float]] = st.fixed_dictionaries(
    {"void_hole_factor": st.just(1.0) | between(1.0, 2.0), "void_kpa": st.just(0.0) | between(0.0, 60.0)}
)
"""Switches of the model that every run takes."""
stops: SearchStrategy[dict[str, float]] = st.fixed_dictionaries({"stop_rate_n_mm": over_decades(30.0, 5000.0)})
grounds: SearchStrategy[dict[str, float]] = st.fixed_dictionaries(
    {"ground_rate_n_mm": over_decades(5.0, 5000.0), "ground_damping_n_s_m": between(0.0, 1000.0)}
)
