"""Strategies of corners that can move: of the usual sizes for laws of the numbers, of any for laws of soundness."""

import math
from collections.abc import Callable

from hypothesis import strategies as st
from hypothesis.strategies import DrawFn

from libdamp import ride
from libdamp.car import Arm, Corner, Ratio, Tyre
from libdamp.parts import Bladder, Emulsion, Holes, Oil, Piston, Shock, Spring, Vented
from tests.model_strategies import level_length, replaced
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
