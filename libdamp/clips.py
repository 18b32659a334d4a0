"""The piston's load on the clip that holds it, and what clip, groove and piston take."""

from collections.abc import Iterable
from typing import Annotated, Literal, NamedTuple

import numpy as np

from .answers import Answer, calculation
from .damping import Built, built, shock_findings
from .errors import Fault, InputError
from .findings import Finding, finding
from .parts import Shock, fault
from .physics.fastening import WASHERS, Washer, bearing_pressure, groove_load, load_from_difference
from .physics.orifice import REYNOLDS_FITTED, largest_reynolds, piston_loss
from .pocket import pocket_of, pressure, spare
from .quantities import Q

Material = Literal["pom", "pa66", "aluminium"]
Edge = Literal["square", "chamfered"]
Weakest = Literal["groove", "clip", "piston"]

SHOCK_FACTOR = 2.0
"""What static loads are divided by for blows: judgement."""
GROOVE_FIT_MM = 0.1
"""How far a measured groove may lie from a clip's size: tolerance h11 and a caliper."""
NO_LOAD_N = 1e-9
"""Load below which nothing pushes."""

BEARING_LIMIT_MPA: dict[str, float] = {"pom": 10.0, "pa66": 50.0 / 8.0, "aluminium": 110.0 / SHOCK_FACTOR}
"""Pressure that a piston takes under a clip, always the safe figure.

POM: low end of 10..15 MPa, steady, 23 C (from memory; 30 MPa for a short time). PA66: lowest yield stress of
polyamides, 50 MPa (jfjm100.com), over the largest factor for plastics, 8 (plastics.toray, design of nylon parts);
bushes take 20 MPa moving (mecmove.se). Aluminium: least yield stress of a soft bar, 6063-T5, 110 MPa (from
memory), halved for blows.
"""


class PistonLoad(Answer, frozen=True, kw_only=True):
    """Load of a piston on its clip, what holds it, and the margin."""

    load_n: Annotated[float, Q("load_n")]
    compression_load_n: Annotated[float, Q("compression_load_n")]
    rebound_load_n: Annotated[float, Q("rebound_load_n")]
    clip_mm: Annotated[float, Q("clip_mm")] | None
    clip_limit_n: Annotated[float, Q("clip_limit_n")] | None
    groove_limit_n: Annotated[float, Q("groove_limit_n")] | None
    bearing_mpa: Annotated[float, Q("bearing_mpa")] | None
    bearing_limit_mpa: Annotated[float, Q("bearing_limit_mpa")]
    margin: Annotated[float, Q("margin")] | None
    weakest: Weakest | None


def clip_for(shaft_mm: float, groove_mm: float | None = None) -> Washer | None:
    """The standard clip of a shaft, the one with the shallowest groove; or the one for its groove; None if none."""
    fits = [w for w in WASHERS if w.shaft_from <= shaft_mm * 1e-3 <= w.shaft_to]
    if groove_mm is None:
        return fits[-1] if fits else None
    off, nearest = min(((abs(w.groove * 1e3 - groove_mm), w) for w in fits), default=(np.inf, None))
    return nearest if off <= GROOVE_FIT_MM * (1.0 + 1e-9) else None


def _faults(
    shock: Shock, speed: float | None, difference: float | None, groove_mm: float | None
) -> Iterable[Fault]:
    if (speed is None) == (difference is None):
        text = "give one of speed_m_s and pressure_difference_kpa"
        yield Fault(pointer="/speed_m_s", rule="either", text=text)
    if groove_mm is not None and groove_mm >= shock.shaft_mm:
        text = f"groove_mm = {groove_mm:g} mm: must be less than shaft_mm = {shock.shaft_mm:g} mm"
        yield fault("/groove_mm", text, groove_mm, shock.shaft_mm)


def _at_speed(shock: Shock, b: Built, speed: float, temperature_c: float) -> tuple[float, float, list[Finding]]:
    """Loads on compression and rebound at a steady speed; compression no more than the gas can press."""
    flow = b.annulus * speed
    ways = (b.compression, b.rebound)
    pushed, pulled = (float(load_from_difference(piston_loss(flow, w), b.bore_area, b.shaft_area)) for w in ways)
    found = shock_findings(shock, "/shock", temperature_c)
    reynolds = max(float(largest_reynolds(flow, w)) for w in ways)
    if reynolds > REYNOLDS_FITTED:
        found.append(finding("reynolds_high", "/shock/piston", reynolds, REYNOLDS_FITTED))
    pocket = pocket_of(shock, temperature_c)
    full = shock.stroke_mm * 1e-3
    room = float(spare(pocket, full))
    if room <= 0.0:
        found.append(
            finding("lock_hot" if pocket.t > pocket.t_fill else "lock_cold", "/shock/fill", room * 1e6, 0.0)
        )
        return pushed, pulled, found
    cap = float(load_from_difference(pressure(pocket, full), b.bore_area, b.shaft_area))
    if pushed > cap:
        found.append(finding("void_caps_load", "/speed_m_s", pushed, cap))
    return min(pushed, cap), pulled, found


def _at_difference(shock: Shock, b: Built, kpa: float, temperature_c: float) -> tuple[float, float, list[Finding]]:
    """The same load both ways, from a known difference of pressure."""
    load = float(load_from_difference(kpa * 1e3, b.bore_area, b.shaft_area))
    gas = float(pressure(pocket_of(shock, temperature_c), shock.stroke_mm * 1e-3)) * 1e-3
    found = [finding("difference_above_gas", "/pressure_difference_kpa", kpa, gas)] if kpa > gas else []
    return load, load, found


class Limits(NamedTuple):
    """What a clip's seat takes of thrust, N, and the pressure under it per thrust, 1/m^2."""

    groove: float
    clip: float
    piston: float
    per_newton: float


def _limits(clip: Washer, shaft: float, groove: float, yield_pa: float, bearing_pa: float, edge: str) -> Limits:
    """Limits of groove and clip, halved for blows, and of the piston under the clip."""
    static = groove_load(clip.groove_load, shaft, groove, clip.shaft_rated, clip.groove, yield_pa)
    per_newton = float(bearing_pressure(1.0, clip.outer, shaft))
    return Limits(
        groove=float(static) / SHOCK_FACTOR,
        clip=(clip.load if edge == "square" else clip.chamfered_load) / SHOCK_FACTOR,
        piston=bearing_pa / per_newton,
        per_newton=per_newton,
    )


def _weakest(limits: Limits) -> Weakest:
    """What gives way first, whatever the load."""
    ways: tuple[Weakest, ...] = ("groove", "clip", "piston")
    return min(ways, key=limits._asdict().__getitem__)


def _overloads(load: float, limits: Limits, bearing_limit_mpa: float) -> list[Finding]:
    found = []
    if load > limits.groove:
        found.append(finding("groove_overloaded", "/groove_mm", load, limits.groove))
    if load > limits.clip:
        found.append(finding("clip_overloaded", "/shock/shaft_mm", load, limits.clip))
    if load > limits.piston:
        found.append(finding("piston_crushed", "/material", load * limits.per_newton * 1e-6, bearing_limit_mpa))
    return found


@calculation("springs_fly", "clip_loads")
def piston_load(
    *,
    shock: Shock,
    speed_m_s: Annotated[float, Q("speed_m_s")] | None = None,
    pressure_difference_kpa: Annotated[float, Q("pressure_difference_kpa")] | None = None,
    temperature_c: Annotated[float, Q("temperature_c")] = 25.0,
    groove_mm: Annotated[float, Q("groove_mm")] | None = None,
    yield_mpa: Annotated[float, Q("yield_mpa")] = 200.0,
    material: Material = "pom",
    hole_edge: Edge = "square",
) -> PistonLoad:
    """How hard the piston pushes on the clip that holds it, and what clip, groove and piston take.

    The pressure difference acts on the ring between bore and shaft, whichever way the piston moves. At a steady
    speed compression loads no more than the gas presses with the shaft fully in: beyond it a void opens. In a
    landing the gas is squeezed to several bar: then give the difference. Table loads of clip and groove are
    halved for blows; the bearing limit is the safe figure of each material. Guidance only.

    Parameters
    ----------
    shock : the built shock.
    speed_m_s : steady shaft speed, both ways [m/s]; or
    pressure_difference_kpa : between the two sides of the piston [kPa].
    temperature_c : of the oil [C].
    groove_mm : diameter of the groove as it is [mm]; the standard one for the shaft unless given.
    yield_mpa : yield stress of the shaft [MPa]; 200 is soft steel, on the safe side.
    material : of the piston.
    hole_edge : of the piston's hole under the clip; chamfered lets the clip dish and takes half as much.

    Raises
    ------
    InputError : both or neither of speed and difference, a groove that is no groove.

    Examples
    --------
    >>> from libdamp.demo import demo_corner
    >>> answer = piston_load(shock=demo_corner("demo-truck.front").shock, pressure_difference_kpa=500)
    >>> answer.load_n, answer.groove_limit_n, answer.weakest
    (53.0, 75.0, 'groove')
    """
    faults = list(_faults(shock, speed_m_s, pressure_difference_kpa, groove_mm))
    if faults:
        raise InputError(faults)
    b = built(shock, temperature_c)
    pushed, pulled, found = (
        _at_difference(shock, b, pressure_difference_kpa or 0.0, temperature_c)
        if speed_m_s is None
        else _at_speed(shock, b, speed_m_s, temperature_c)
    )
    load, most = max(pushed, pulled), BEARING_LIMIT_MPA[material]
    clip = clip_for(shock.shaft_mm, groove_mm)
    limits = None
    if clip is None:
        found.append(finding("clip_unknown", "/groove_mm", shock.shaft_mm, groove_mm))
    else:
        groove = clip.groove if groove_mm is None else groove_mm * 1e-3
        limits = _limits(clip, shock.shaft_mm * 1e-3, groove, yield_mpa * 1e6, most * 1e6, hole_edge)
        found += _overloads(load, limits, most)
    if load <= NO_LOAD_N:
        found.append(finding("no_load", "/speed_m_s" if speed_m_s is not None else "/pressure_difference_kpa"))
    weakest = None if limits is None else _weakest(limits)
    return PistonLoad(
        findings=tuple(found),
        load_n=load,
        compression_load_n=pushed,
        rebound_load_n=pulled,
        clip_mm=None if clip is None else round(clip.groove * 1e3, 3),
        clip_limit_n=None if limits is None else limits.clip,
        groove_limit_n=None if limits is None else limits.groove,
        bearing_mpa=None if limits is None else load * limits.per_newton * 1e-6,
        bearing_limit_mpa=most,
        margin=getattr(limits, weakest) / load if weakest is not None and load > NO_LOAD_N else None,
        weakest=weakest,
    )
