"""Oil and gas of a shock a second time, for stiff solvers; from the written equations, no code of the library.

A pocket, a vented cap, or gas spread through the oil. The library opens and closes the void under the piston by
cases. Here the oil under the piston gives a little: of the oil there, V, and the room, V_rod, the excess
w = V - V_rod says everything,

    p_rod = p_void + (B/V_stroke) max(0, w),    void = max(0, -w),    dw/dt = q(p_cap - p_rod) - A_a v
    V_gas = V_begin - A_s (x - x_begin) + w - w_begin

with B so large that the give does not count. A vented cap that is full gives as oil does. A shock is plain data in
millimetres, as in a car file; what is inside is SI.
"""

import math
from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

import numpy as np

from tests.oracles.plan_loop import P_ATM, oil_at

Data = Mapping[str, Any]

B_PA = 2e10
"""Bulk modulus of the oil under the piston: ten times stiffer changes nothing that is looked at."""
SILICONE_PA = 0.97e9
"""Bulk modulus of the oil under a vented cap that is full."""


class Switches(NamedTuple):
    """What a run is told beside the corner, SI."""

    hole_factor: float = 1.0
    void_pa: float = 0.0
    stop_rate: float = 300e3
    ground_rate: float = 100e3
    ground_damping: float = 60.0
    exponent: float | None = None
    cap_pa: float = SILICONE_PA  # bulk modulus of the oil under a vented cap that is full


class Kind(NamedTuple):
    """Equal holes: their common area and what their loss depends on."""

    area: float
    d: float
    creeping: float  # dp/V at rest, Pa s/m
    mu: float
    rho: float
    length: float
    share: float
    edge: float
    thins: tuple[float, float, float]

    def loss(self, v: float) -> float:
        """Loss (mu V/d)[18.56 - 6.6 b^1.5 + 32 L/d] + K rho V^2/2, mu at the wall's shear 8 V/d."""
        time, index, floor = self.thins
        thin = 1.0
        if time > 0.0:
            thin = floor + (1.0 - floor) * (1.0 + (time * 8.0 * v / self.d) ** 2) ** (0.5 * (index - 1.0))
        re = v * self.d * self.rho / (self.mu * thin)
        k = 1.53 + 0.72 * self.length / (self.length + 0.0095 * self.d * re) - 2.25 * self.share
        k *= self.edge * re / math.sqrt(re * re + 900.0)
        return thin * self.creeping * v + 0.5 * k * self.rho * v * v

    def speed(self, dp: float) -> float:
        """Velocity at a loss, by Newton's steps with a difference quotient."""
        c = 0.8 * self.rho * self.edge
        v = 2.0 * dp / (self.creeping + math.sqrt(self.creeping**2 + 4.0 * c * dp))
        for _ in range(60):
            at = self.loss(v)
            near = 1e-6 * v
            step = (at - dp) * near / (self.loss(v + near) - at)
            v -= step
            if abs(step) <= 1e-11 * v:
                return v
        message = f"no velocity for a loss of {dp} Pa"
        raise ArithmeticError(message)


class Ways(NamedTuple):
    """Everything that oil can pass in one direction."""

    kinds: tuple[Kind, ...]
    gap: float

    def flow(self, dp: float) -> float:
        """Flow at a loss."""
        if dp < 1e-9:
            return 0.0
        return self.gap * dp + sum(kind.area * kind.speed(dp) for kind in self.kinds)


def holes_of(text: str) -> list[dict[str, Any]]:
    """Holes of "2x1.7" or "2x1.7 both 0.8; 4x1.0 rebound": number x diameter, way, factor on the edges."""
    found = []
    for kind in text.split(";"):
        size, *rest = kind.split()
        count, diameter = size.split("x")
        way, edge = (rest + ["both", "1.0"][len(rest) :])[:2]
        found.append(
            {"count": int(count), "diameter_mm": float(diameter), "direction": way, "edge_factor": float(edge)}
        )
    return found


def ways_of(shock: Data, celsius: float, way: str, factor: float = 1.0) -> Ways:
    """Holes open in a direction, and the gap."""
    piston, oil, bore = shock["piston"], shock["oil"], shock["bore_mm"] * 1e-3
    nu, rho = oil_at(oil, celsius)
    mu, length = nu * rho, piston["thickness_mm"] * 1e-3
    given = piston["holes"]
    holes = holes_of(given) if isinstance(given, str) else given
    holes = [hole for hole in holes if hole["direction"] in ("both", way)]
    share = sum(hole["count"] * (hole["diameter_mm"] * 1e-3 / bore) ** 2 for hole in holes)
    law = oil.get("thinning")
    thins = (law["relaxation_time_s"], law["power_index"], law["floor_share"]) if law else (0.0, 1.0, 0.0)
    kinds = []
    for hole in holes:
        d = hole["diameter_mm"] * 1e-3
        creeping = mu / d * (18.56 - 6.6 * share**1.5 + 32.0 * length / d)
        area = hole["count"] * math.pi / 4.0 * d**2
        kinds.append(Kind(area, d, creeping, mu, rho, length, share, factor * hole["edge_factor"], thins))
    gap, across = 0.0, piston["diameter_mm"]
    if across is not None:
        c, e = (bore - across * 1e-3) / 2.0, piston.get("eccentricity", 0.0)
        gap = math.pi * bore * c**3 * (1.0 + 1.5 * e**2) / (12.0 * mu * length)
    return Ways(tuple(kinds), gap)


class Inside(NamedTuple):
    """Oil and gas: the state's first value, and pressures, rate and void as functions of (x, v, state)."""

    begin: float
    size: float  # what counts as nothing beside the state
    pressures: Callable[[Any, Any], tuple[Any, Any]]
    rate: Callable[[float, float, float], float]
    void: Callable[[Any], Any]
    vented: bool = False


class Filled(NamedTuple):
    """Gas and oil of a fill at rest, SI."""

    bore: float  # areas
    shaft: float
    closed: float
    closing: float
    gain: float  # of the oil on warming
    heat: float  # absolute temperature over that at closing

    def room(self, x: Any) -> Any:
        """Volume of the gas without a void."""
        return self.closed - self.gain - self.shaft * (x - self.closing)

    def pressure(self, x: float) -> float:
        """Isothermal, absolute."""
        return P_ATM * self.closed / self.room(x) * self.heat


def filled(shock: Data, celsius: float) -> Filled:
    """Fill of a shock at an oil temperature."""
    fill, piston = shock["fill"], shock["piston"]
    bore, shaft = (math.pi / 4.0 * (shock[name] * 1e-3) ** 2 for name in ("bore_mm", "shaft_mm"))
    closing, closed = fill["closing_insertion_mm"] * 1e-3, fill.get("gas_ml", fill.get("room_ml")) * 1e-6
    then = celsius if fill.get("filled_at_c") is None else fill["filled_at_c"]
    across = shock["bore_mm"] if piston["diameter_mm"] is None else piston["diameter_mm"]
    oil = bore * shock["cavity_length_mm"] * 1e-3 - shaft * closing
    oil -= math.pi / 4.0 * (across * 1e-3) ** 2 * piston["thickness_mm"] * 1e-3
    oil -= closed if fill["kind"] == "emulsion" else 0.0
    return Filled(
        bore, shaft, closed, closing, 9.4e-4 * oil * (celsius - then), (celsius + 273.15) / (then + 273.15)
    )


def sealed(shock: Data, celsius: float, begin: float, switches: Switches, modulus: float) -> Inside:
    """A pocket or a vented cap, at rest at an insertion."""
    f, fill = filled(shock, celsius), shock["fill"]
    inward = ways_of(shock, celsius, "compression")
    into_void = ways_of(shock, celsius, "compression", switches.hole_factor)
    outward, annulus = ways_of(shock, celsius, "rebound"), f.bore - f.shaft
    stiff = modulus / (annulus * shock["stroke_mm"] * 1e-3)
    cap_stiff = switches.cap_pa / (f.bore * (shock["stroke_mm"] + shock["piston"]["thickness_mm"]) * 1e-3)
    vented = fill["kind"] == "vented"
    pressure, volume = (P_ATM if vented else f.pressure(begin)), f.room(begin)
    n = (fill.get("exponent") or 1.3) if switches.exponent is None else switches.exponent
    first = (pressure - switches.void_pa) / stiff

    def pressures(x: Any, w: Any) -> tuple[Any, Any]:
        gas = f.room(x) + w - first
        if vented:
            cap = P_ATM + cap_stiff * np.maximum(0.0, -gas)
        else:
            cap = pressure * (volume / np.maximum(gas, 1e-6 * volume)) ** n
        return cap, switches.void_pa + stiff * np.maximum(0.0, w)

    def rate(x: float, v: float, w: float) -> float:
        cap, rod = pressures(x, w)
        dp = float(cap - rod)
        if dp < 0.0:
            return -outward.flow(-dp) - annulus * v
        return (into_void if w < 0.0 else inward).flow(dp) - annulus * v

    return Inside(first, 1.0 / stiff, pressures, rate, lambda w: np.maximum(0.0, -w), vented)


def spread(shock: Data, celsius: float, begin: float) -> Inside:
    """Gas spread through the oil, at rest at an insertion; the state is the oil on the rod side."""
    f = filled(shock, celsius)
    inward, outward = (ways_of(shock, celsius, way) for way in ("compression", "rebound"))
    long = (shock["cavity_length_mm"] - shock["piston"]["thickness_mm"]) * 1e-3
    end = 0.5 * (long - shock["stroke_mm"] * 1e-3)

    def rooms(x: Any) -> tuple[Any, Any]:
        return f.bore * (long - end - x), (f.bore - f.shaft) * (end + x)

    oil = sum(rooms(f.closing)) - f.closed + f.gain
    lifted = P_ATM * f.closed * f.heat / oil  # p (V - O)/O of either side

    def pressures(x: Any, rod_oil: Any) -> tuple[Any, Any]:
        cap, rod = rooms(x)
        cap_oil = oil - rod_oil
        return lifted * cap_oil / (cap - cap_oil), lifted * rod_oil / (rod - rod_oil)

    def rate(x: float, _: float, rod_oil: float) -> float:
        cap, rod = (float(p) for p in pressures(x, rod_oil))
        dp = cap - rod
        mean = 0.5 * (cap + rod) if abs(dp) < 1e-5 * cap else dp / math.log(cap / rod)
        flow = inward.flow(dp) if dp > 0.0 else -outward.flow(-dp)
        return flow / (1.0 + lifted / mean)

    first = rooms(begin)[1] / (1.0 + lifted / f.pressure(begin))
    return Inside(first, 1e-6 * oil, pressures, rate, lambda rod_oil: 0.0 * rod_oil)
