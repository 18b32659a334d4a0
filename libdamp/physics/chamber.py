"""Oil and gas inside a shock in motion: a pocket with a void, a vented cap, gas spread through the oil.

The force of the chambers on the shaft is p_cap A_b - p_rod A_a - p_atm A_s; with dp = p_cap - p_rod it reads
(p_cap - p_atm) A_s + dp A_a. The oil's volume is conserved:

    V_gas = V_gas0 - A_s (x - x_closing) - V_void                                                     (1)
    dV_void/dt = A_a v - q, V_void >= 0                                                               (2)
    dp = dp(A_a v), q = A_a v             while V_void = 0 and dp(A_a v) <= p_cap - p_void             (3)
    dp = p_cap - p_void, q = q(dp)        otherwise                                                   (4)
    pocket: p_cap V_gas^n constant; vented: p_atm until the room is used up, then the oil's own give   (5)
    spread: V1 = V1_0 - A_b x, V2 = V2_0 + A_a x, p_i = p_atm r O_i/(V_i - O_i), O1 + O2 = O           (6)
            dO2/dt = q(p1 - p2)/(1 + r p_atm/p_lm), p_lm = (p1 - p2)/ln(p1/p2)                         (7)

(2) and (7) are stepped by the trapezoid rule with the flow's slope, so that a stiff pocket stays stable.

Sources
-------
[1] Conservation of volume; polytropic gas; chamber balance (statics). The void as in shock-absorber practice:
    the pressure behind the piston cannot fall below that of the empty space.
[2] (6), (7): gas and oil of one ratio on both sides for ever, isothermal, no slip (homogeneous mixture).
"""

from typing import Any, NamedTuple

from .flow_table import BACK, INTO_VOID, REBOUND, SQUEEZED, FlowTable
from .numbers import P_ATM, Real
from .stepping import Kit

GIVE_PA = 0.97e9
"""Bulk modulus of silicone oil, fast, for a vented cap whose room is used up (extrapolated, notes)."""
_LEAST = 1e-4


class Sealed(NamedTuple):
    """A pocket or a vented cap; SI, floats or arrays."""

    bore_area: Real
    annulus: Real
    shaft_area: Real
    room: Real  # V_gas0 with the oil's gain taken off, m3
    closing: Real  # x_closing, m
    pressure: Real  # at rest where the run begins, Pa
    volume: Real  # there, m3
    exponent: Real  # n; not used when vented
    void_pressure: Real  # p_void, Pa
    give: Real  # -dp/dV of the oil once a vented room is used up, Pa/m3
    vented: bool
    table: FlowTable


class Spread(NamedTuple):
    """Gas spread through the oil; SI, floats or arrays."""

    bore_area: Real
    annulus: Real
    shaft_area: Real
    cap_room: Real  # V1 at x = 0, m3
    rod_room: Real  # V2 at x = 0, m3
    oil: Real  # O, m3
    gas_ratio: Real  # r, gas at p_atm over oil, 1
    table: FlowTable


class SealedRun:
    """A pocket on its way; `void`, `cap` (pressure) and `oil_work` may be read at any step.

    The force on the shaft is (base - p_atm) A_s + area dp.
    """

    def __init__(self, c: Sealed, kit: Kit, insertion: Any) -> None:
        self.c, self.kit = c, kit
        self.void = self.oil_work = abs(0.0 * insertion)
        self.grown = self.moved = self.void
        self.open = self.void < 0.0  # nowhere yet
        self.flow = self.slope = self.void
        self.area = c.annulus
        self._press(insertion)
        self.difference, self.before = self.void, self.available

    def _press(self, insertion: Any) -> None:
        """Volume and pressure of the gas; (1), (5)."""
        c = self.c
        self.gas = c.room - c.shaft_area * (insertion - c.closing) - self.void
        volume = self.kit.larger(self.gas, _LEAST * c.volume)
        self.cap = self.base = c.pressure * (volume / c.volume) ** -c.exponent
        self.stiffness = c.exponent * self.cap / volume
        self.available = self.kit.larger(self.cap - c.void_pressure, 0.0)

    def move(self, insertion: Any, moved: Any, h: Any) -> None:
        """Take the void and the pressure one step on, the shaft having moved in by `moved`."""
        self.before, self.moved = self.available, moved
        old = self.void
        if self.kit.any(self.open):
            self.void = self.kit.where(self.open, self.kit.larger(old + self._growth(moved, h), 0.0), old)
        self._press(insertion)
        self.grown = self.void - old

    def _growth(self, moved: Any, h: Any) -> Any:
        """What a void gains in a step; (2)."""
        c = self.c
        lead = 0.5 * h * self.slope * self.stiffness
        return (c.annulus * moved - h * self.flow - lead * c.shaft_area * moved) / (1.0 + lead)

    def react(self, speed: Any) -> tuple[Any, Any]:
        """Pressure difference across the piston near a shaft speed, and its slope with that speed; (3), (4)."""
        kit, table, flow = self.kit, self.c.table, self.c.annulus * speed
        block = (flow < 0.0) * REBOUND  # compression stands first
        difference, slope = self._loss(flow, block)
        slope = self.c.annulus * slope
        self.open = kit.either(self.void > 0.0, difference > self.available)
        if kit.any(self.open):
            at = kit.root(kit.root(self.available * table.loss_scale))
            ease, rise = kit.read(table.values, table.start + INTO_VOID, at)
            self.flow = self.available * ease
            self.slope = ease + 0.25 * at * rise
            difference = kit.where(self.open, self.available, difference)
            slope = kit.where(self.open, 0.0, slope)
        return difference, slope

    def _loss(self, flow: Any, block: Any) -> tuple[Any, Any]:
        """Loss of a flow and its slope with the flow, from the table."""
        table = self.c.table
        root = self.kit.root
        place = root(root(abs(flow) * table.flow_scale))
        ratio, rise = self.kit.read(table.values, table.start + block, place)
        return ratio * flow, ratio + 0.25 * place * rise

    def settle(self, difference: Any) -> None:
        """Take the difference found at this step, and what the oil has turned into heat since the last."""
        work = self.c.annulus * self.moved * (self.difference + difference)
        self.oil_work = self.oil_work + 0.5 * (work - (self.before + self.available) * self.grown)
        self.difference = difference

    def stored(self) -> tuple[Any, Any]:
        """Energy in the gas (over the run's beginning) and in the void."""
        c, kit = self.c, self.kit
        volume = kit.larger(self.gas, _LEAST * c.volume)
        swell = c.volume / volume
        bent = c.exponent - 1.0
        # (V0/V)^(n-1) - 1 over n - 1, whose limit at n = 1 is ln(V0/V)
        steep = (swell**bent - 1.0) / kit.where(bent == 0.0, 1.0, bent)
        work = c.pressure * c.volume * kit.where(bent == 0.0, kit.log(swell), steep)
        return work + P_ATM * (volume - c.volume), (P_ATM - c.void_pressure) * self.void


class VentedRun(SealedRun):
    """A vented cap on its way: atmospheric until the room is used up, then solid.

    Solid with a void open, all that the shaft pushes aside must pass the holes: q = A_b v, and the cap's pressure
    is what that takes; without a void the oil's own give carries the shaft.
    """

    def __init__(self, c: Sealed, kit: Kit, insertion: Any) -> None:
        self.solid = abs(0.0 * insertion) < 0.0
        self.least_gas = abs(0.0 * insertion) + c.room
        super().__init__(c, kit, insertion)
        self.solid_before, self.base_before, self.area_before = self.solid, self.base, self.area
        self.held = sum(self.stored())

    def _press(self, insertion: Any) -> None:
        c, kit = self.c, self.kit
        self.gas = c.room - c.shaft_area * (insertion - c.closing) - self.void
        # full and a void open: the void gives way, so that all the room is used and no more
        self.solid = kit.where(self.open, self.gas <= 0.0, self.gas > self.gas)
        self.void = kit.where(self.solid, kit.larger(self.void + self.gas, 0.0), self.void)
        self.solid = self.solid & (self.void > 0.0)  # once it has closed the oil's own give carries the shaft
        self.gas = c.room - c.shaft_area * (insertion - c.closing) - self.void
        self.least_gas = kit.smaller(self.least_gas, self.gas)
        self.cap = self.base = P_ATM - c.give * kit.smaller(self.gas, 0.0)
        self.stiffness = 0.0 * self.cap
        self.available = kit.larger(self.cap - c.void_pressure, 0.0)

    def react(self, speed: Any) -> tuple[Any, Any]:
        """As for a pocket; solid with a void, the loss of all the oil that the bore pushes."""
        c, kit = self.c, self.kit
        difference, slope = super().react(speed)
        if not kit.any(self.solid):
            self.area = c.annulus
            return difference, slope
        pressed, steep = self._loss(kit.larger(c.bore_area * speed, 0.0), SQUEEZED)
        self.solid = kit.where(pressed > self.available, self.solid, self.gas > self.gas)
        self.area = kit.where(self.solid, c.bore_area, c.annulus)
        self.base = kit.where(self.solid, c.void_pressure, self.cap)
        return kit.where(self.solid, pressed, difference), kit.where(self.solid, c.bore_area * steep, slope)

    def settle(self, difference: Any) -> None:
        """As for a pocket; solid with a void, the cap's pressure follows the loss."""
        kit, was = self.kit, self.oil_work
        self.cap = kit.where(self.solid, self.c.void_pressure + difference, self.cap)
        self.available = kit.where(self.solid, difference, self.available)
        pushed = (self.base_before + self.base - 2.0 * P_ATM) * self.c.shaft_area
        pushed = pushed + self.area_before * self.difference + self.area * difference
        give, void = self.stored()
        held = give + void
        super().settle(difference)
        # in the step in which the cap goes solid or comes free: what was pushed in less what is stored
        changed = kit.either(self.solid > self.solid_before, self.solid_before > self.solid)
        rest = was + 0.5 * pushed * self.moved - (held - self.held)
        self.oil_work = kit.where(changed, rest, self.oil_work)
        self.held, self.base_before, self.area_before = held, self.base, self.area
        self.solid_before = self.solid

    def stored(self) -> tuple[Any, Any]:
        """Energy in the oil's give and in the void."""
        c = self.c
        return 0.5 * c.give * self.kit.smaller(self.gas, 0.0) ** 2, (P_ATM - c.void_pressure) * self.void


class SpreadRun:
    """Gas spread through the oil on its way; it opens no void."""

    def __init__(self, c: Spread, kit: Kit, insertion: Any) -> None:
        self.c, self.kit, self.area = c, kit, c.annulus
        self.void = self.oil_work = abs(0.0 * insertion)
        cap, rod = c.cap_room - c.bore_area * insertion, c.rod_room + c.annulus * insertion
        # at rest both sides have one pressure: p_atm r O/(V - O); never no room, as in `_sides`
        self.rest = P_ATM * c.gas_ratio * c.oil / kit.larger(cap + rod - c.oil, _LEAST * c.oil)
        self.rod_oil = rod / (1.0 + c.gas_ratio * P_ATM / self.rest)
        self.power = self.speed = self.stiffness = self.time = self.void
        self.begun = self._energy(cap, rod)
        self._press(insertion)

    def _sides(self, cap_volume: Any, rod_volume: Any) -> tuple[Any, Any, Any]:
        """Oil and gas of the cap side, gas of the rod side; never none, whatever a stop lets in."""
        larger, least = self.kit.larger, _LEAST * self.c.oil
        cap_oil = larger(self.c.oil - self.rod_oil, least)
        return (
            cap_oil,
            larger(cap_volume - cap_oil, _LEAST * least),
            larger(rod_volume - self.rod_oil, _LEAST * least),
        )

    def _press(self, insertion: Any) -> None:
        c = self.c
        self.cap_volume = c.cap_room - c.bore_area * insertion
        self.rod_volume = c.rod_room + c.annulus * insertion
        gas = P_ATM * c.gas_ratio
        cap_oil, cap_gas, rod_gas = self._sides(self.cap_volume, self.rod_volume)
        self.cap, self.rod = gas * cap_oil / cap_gas, gas * self.rod_oil / rod_gas  # (6)
        self.base = self.cap
        # how the difference falls as oil passes to the rod side, and grows as the shaft goes in
        self.yields = self.cap * self.cap_volume / (cap_oil * cap_gas)
        self.yields = self.yields + self.rod * self.rod_volume / (self.rod_oil * rod_gas)
        self.grows = self.cap * c.bore_area / cap_gas + self.rod * c.annulus / rod_gas

    def move(self, insertion: Any, moved: Any, h: Any) -> None:
        """Take the oil's split and the pressures one step on, the shaft having moved in by `moved`."""
        c, kit, self.time = self.c, self.kit, h
        gain = (h * self.speed + 0.5 * h * self.stiffness * self.grows * moved) / (
            1.0 + 0.5 * h * self.stiffness * self.yields
        )  # (7)
        cap = c.cap_room - c.bore_area * insertion
        rod = c.rod_room + c.annulus * insertion
        most = kit.smaller(c.oil, rod) * (1.0 - _LEAST)
        least = kit.larger(c.oil - cap + _LEAST * cap, _LEAST * c.oil)
        self.rod_oil = kit.larger(kit.smaller(self.rod_oil + gain, most), least)
        self._press(insertion)

    def react(self, speed: Any) -> tuple[Any, Any]:
        """Pressure difference across the piston; it does not hang on the speed of the moment."""
        kit, table = self.kit, self.c.table
        difference = self.cap - self.rod
        at = kit.root(kit.root(abs(difference) * table.loss_scale))
        start = table.start + kit.where(difference < 0.0, BACK, INTO_VOID)
        ease, rise = kit.read(table.values, start, at)
        small = abs(difference) < 1e-6 * self.cap
        mean = kit.where(small, self.cap, difference / kit.log(kit.where(small, 2.718, self.cap / self.rod)))
        thinned = 1.0 + self.c.gas_ratio * P_ATM / mean
        self.speed = difference * ease / thinned  # (7)
        self.stiffness = (ease + 0.25 * at * rise) / thinned
        self.heating = difference * difference * ease
        return difference, 0.0 * speed

    def settle(self, difference: Any) -> None:
        """What the oil has turned into heat since the last step."""
        self.oil_work = self.oil_work + 0.5 * self.time * (self.power + self.heating)
        self.power = self.heating
        self.difference = difference

    def _energy(self, cap_volume: Any, rod_volume: Any) -> Any:
        """Energy of the gas at its temperature, from the oil's split."""
        c, kit = self.c, self.kit
        gas = P_ATM * c.gas_ratio
        cap_oil, cap_gas, rod_gas = self._sides(cap_volume, rod_volume)
        lifted = cap_oil * kit.log(gas * cap_oil / cap_gas) + self.rod_oil * kit.log(gas * self.rod_oil / rod_gas)
        return gas * lifted + P_ATM * (cap_gas + rod_gas)

    def stored(self) -> tuple[Any, Any]:
        """Energy in the gas (over the run's beginning); no void."""
        return self._energy(self.cap_volume, self.rod_volume) - self.begun, self.void
