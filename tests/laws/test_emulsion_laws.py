"""Laws of gas spread through the oil: at rest both sides agree, oil and gas are conserved, flow evens out."""

import itertools
from typing import NamedTuple

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from libdamp import fill_check
from libdamp.parts import Bladder, Emulsion, Shock
from libdamp.physics.emulsion import (
    chamber_volumes,
    log_mean_pressure,
    oil_crossing,
    oil_split,
    rest_oil,
    shaft_force,
    side_pressure,
)
from libdamp.physics.gas import circle_area, fill_volume, gas_force, gas_volume, rest_pressure
from libdamp.physics.numbers import P_ATM
from tests.model_strategies import replaced, shocks
from tests.strategies import between, over_decades, signs, temperatures


class Draw(NamedTuple):
    """A shock with gas in its oil: areas, lengths, fill, where it stands and how warm it is."""

    bore_area: float
    shaft_area: float
    cavity: float
    thickness: float
    stroke: float
    closing: float
    gas: float
    insertion: float
    t_fill: float
    t: float
    oil_gain: float

    def volumes(self, insertion: float) -> tuple[float, float]:
        """Both sides' volumes at an insertion."""
        size = (self.bore_area, self.shaft_area, self.cavity, self.thickness, self.stroke)
        cap, rod = chamber_volumes(insertion, *size)
        return float(cap), float(rod)

    def split(self) -> tuple[float, float]:
        """Oil and ratio."""
        oil, ratio = oil_split(*self.volumes(self.closing), self.gas, self.t_fill, self.t, self.oil_gain)
        return float(oil), float(ratio)

    def room(self) -> float:
        """Volume left for the gas, by the equation of a pocket."""
        return float(gas_volume(self.gas, self.shaft_area, self.insertion, self.closing, self.oil_gain))

    def pressure(self) -> float:
        """Pressure at rest, by the equation of a pocket."""
        return float(rest_pressure(self.gas, self.room(), self.t_fill, self.t))


def _draw(
    bore: float,
    shaft: float,
    stroke: float,
    gap: float,
    thickness: float,
    places: tuple[float, float],
    fill: tuple[float, float],
    warmth: tuple[float, float],
) -> Draw:
    bore_area, shaft_area = (float(circle_area(d)) for d in (bore, shaft * bore))
    closing, insertion = (place * stroke for place in places)
    cavity = stroke + thickness + 2.0 * gap
    taken = shaft_area * max(insertion - closing, 0.0)
    room = bore_area * (stroke + 2.0 * gap)
    gas = taken + fill[0] * (0.6 * room - taken)  # enough for the shaft, less than half the room
    oil_gain = fill[1] * 0.5 * (gas - taken)
    return Draw(
        bore_area, shaft_area, cavity, thickness, stroke, closing, gas, insertion, warmth[0], warmth[1], oil_gain
    )


draws = st.builds(
    _draw,
    between(8e-3, 40e-3),
    between(0.15, 0.45),
    between(8e-3, 80e-3),
    between(0.2e-3, 8e-3),
    between(1e-3, 10e-3),
    st.tuples(between(0.0, 1.0), between(0.0, 1.0)),
    st.tuples(between(0.02, 0.8), between(0.0, 1.0)),
    st.tuples(temperatures, temperatures),
)
sides = over_decades(1e3, 1e7)


@given(draws)
def test_volumes(shock: Draw) -> None:
    """Both sides and the shaft between them fill the bore beside the piston; each end keeps the same gap."""
    cap, rod = shock.volumes(shock.insertion)
    end = 0.5 * (shock.cavity - shock.thickness - shock.stroke)
    whole = shock.bore_area * (shock.cavity - shock.thickness)
    assert cap + rod + shock.shaft_area * (end + shock.insertion) == pytest.approx(whole, rel=1e-13)
    assert shock.volumes(0.0)[1] == pytest.approx((shock.bore_area - shock.shaft_area) * end, rel=1e-9)
    assert shock.volumes(shock.stroke)[0] == pytest.approx(shock.bore_area * end, rel=1e-9)


@given(draws)
def test_room_is_that_of_the_fill(shock: Draw) -> None:
    """Both sides at closing hold the fill of a bore with a piston that fits, less the shaft beside the gap."""
    piston = float(np.sqrt(4.0 * shock.bore_area / np.pi))
    whole = fill_volume(shock.bore_area, shock.cavity, piston, shock.thickness, shock.shaft_area, shock.closing)
    end = 0.5 * (shock.cavity - shock.thickness - shock.stroke)
    assert sum(shock.volumes(shock.closing)) + shock.shaft_area * end == pytest.approx(float(whole), rel=1e-12)


@given(draws)
def test_at_rest(shock: Draw) -> None:
    """At rest both sides have the pressure of a pocket of the same gas, and the shaft feels its force."""
    (cap, rod), (oil, ratio), p = shock.volumes(shock.insertion), shock.split(), shock.pressure()
    second = float(rest_oil(rod, p, ratio))
    first = oil - second
    assert 0.0 < second < rod
    assert 0.0 < first < cap
    both = [float(side_pressure(v, o, ratio)) for v, o in ((cap, first), (rod, second))]
    digits = 4e-15 * (cap + rod) / min(cap - first, rod - second)  # round-off of the smaller room
    assert both == pytest.approx([p, p], rel=digits)
    force = float(shaft_force(*both, shock.bore_area, shock.shaft_area))
    size = (p + P_ATM) * shock.bore_area
    assert abs(force - float(gas_force(p, shock.shaft_area))) <= 2.0 * digits * size


@given(draws, between(0.05, 0.95))
def test_gas_is_conserved(shock: Draw, share: float) -> None:
    """Whatever oil is on which side, p V/T of the gas on both is what was closed in."""
    (cap, rod), (oil, ratio) = shock.volumes(shock.insertion), shock.split()
    low, high = max(0.0, oil - cap), min(oil, rod)
    second = low + share * (high - low)
    kept = sum(
        float(side_pressure(volume, part, ratio)) * (volume - part)
        for volume, part in ((cap, oil - second), (rod, second))
    )
    assert kept / shock.t == pytest.approx(P_ATM * shock.gas / shock.t_fill, rel=1e-12)


@given(draws)
def test_warmth(shock: Draw) -> None:
    """Hotter gas at the same oil has its pressure raised by the absolute temperature; the oil gained is oil."""
    hotter = shock._replace(t=shock.t * 1.1)
    (oil, ratio), (same, more) = shock.split(), hotter.split()
    assert same == oil
    assert more == pytest.approx(1.1 * ratio, rel=1e-14)
    cap = shock.volumes(shock.insertion)[0]
    pressures = [float(side_pressure(cap, 0.7 * cap, r)) for r in (ratio, more)]
    assert pressures[1] == pytest.approx(1.1 * pressures[0], rel=1e-13)
    cold = shock._replace(oil_gain=0.0)
    assert oil - cold.split()[0] == pytest.approx(shock.oil_gain, rel=1e-6, abs=1e-21)


@given(draws, between(0.0, 0.9), between(0.01, 0.09))
def test_more_oil_more_pressure(shock: Draw, share: float, more: float) -> None:
    """The more oil a side holds, the higher its pressure; without oil there is no gas and no pressure."""
    cap, ratio = shock.volumes(shock.insertion)[0], shock.split()[1]
    low, high = (float(side_pressure(cap, part * cap, ratio)) for part in (share, share + more))
    assert low < high
    assert side_pressure(cap, 0.0, ratio) == 0.0


@given(sides, sides, between(1.1, 9.0))
def test_log_mean(cap: float, rod: float, factor: float) -> None:
    """Between geometric and arithmetic mean, the same both ways round, in proportion."""
    mean = float(log_mean_pressure(cap, rod))
    assert np.sqrt(cap * rod) * (1 - 1e-14) <= mean <= 0.5 * (cap + rod) * (1 + 1e-14)
    assert mean == float(log_mean_pressure(rod, cap))
    assert float(log_mean_pressure(factor * cap, factor * rod)) == pytest.approx(factor * mean, rel=1e-13)


@given(sides, over_decades(1e-17, 1e-5), signs)
def test_log_mean_is_smooth_where_the_sides_meet(p: float, apart: float, sign: float) -> None:
    """Near equal pressures it is their arithmetic mean less a twelfth of the square of what parts them."""
    other = p * (1.0 + sign * apart)
    part = (other - p) / p
    assert float(log_mean_pressure(p, other)) == pytest.approx(
        p * (1.0 + part / 2.0 - part**2 / 12.0), rel=4e-16 * 4
    )
    assert log_mean_pressure(p, p) == p


@given(between(-1e-4, 1e-4), sides, sides, over_decades(1e-6, 1.0))
def test_crossing(flow: float, cap: float, rod: float, ratio: float) -> None:
    """Oil goes where the mixture goes, less of it than of mixture; without gas all of it; odd in the flow."""
    oil = float(oil_crossing(flow, cap, rod, ratio))
    assert abs(oil) <= abs(flow)
    assert oil * flow >= 0.0
    assert float(oil_crossing(-flow, rod, cap, ratio)) == -oil
    assert oil_crossing(flow, cap, rod, 0.0) == flow


@pytest.mark.parametrize(("insertion", "start"), [(2e-3, 0.2), (13e-3, 0.5), (24e-3, 0.9)])
def test_left_alone_it_comes_to_rest(insertion: float, start: float) -> None:
    """From any split of the oil, flow in proportion to p1 - p2 ends in the state of rest, both sides falling in."""
    shock = Draw(113e-6, 7.07e-6, 35e-3, 2.4e-3, 26e-3, 13e-3, 0.5e-6, insertion, 293.15, 303.15, 0.03e-6)
    (cap, rod), (oil, ratio) = shock.volumes(insertion), shock.split()
    low, high = max(0.0, oil - cap), min(oil, rod)

    def sides_of(second: float) -> tuple[float, float]:
        return float(side_pressure(cap, oil - second, ratio)), float(side_pressure(rod, second, ratio))

    def growth(_: float, second: np.ndarray) -> list[float]:
        p1, p2 = sides_of(float(second[0]))
        return [float(oil_crossing(1e-11 * (p1 - p2), p1, p2, ratio))]

    begun = low + start * (high - low)
    done = solve_ivp(growth, (0.0, 50.0), [begun], method="LSODA", rtol=1e-10, atol=1e-18, dense_output=True)
    assert done.success
    assert float(done.y[0, -1]) == pytest.approx(float(rest_oil(rod, shock.pressure(), ratio)), rel=1e-8)
    differences = [abs(np.subtract(*sides_of(float(second)))) for second in done.y[0]]
    assert all(later <= earlier + 1.0 for earlier, later in itertools.pairwise(differences))


@given(shocks(), over_decades(0.005, 0.1))
def test_what_is_said_of_an_emulsion(shock: Shock, gas: float) -> None:
    """A fill check of an emulsion says that it stands apart and that gas dissolves; a pocket has neither."""
    assume(shock.cavity_length_mm is not None)
    closing = shock.fill.closing_insertion_mm
    shock = replaced(shock, fill=Emulsion(gas_ml=gas, closing_insertion_mm=closing))
    answer = fill_check(shock=shock)
    said = {f.code: f for f in answer.findings}
    assert {"emulsion_stands", "gas_dissolves"} <= set(said)
    assert answer.oil_ml is not None
    share = {"silicone": 0.17, "petroleum": 0.09}[shock.oil.family]
    assert said["gas_dissolves"].value == pytest.approx(share * answer.oil_ml * 100.0 / 101.325, rel=1e-12)
    pocket = Bladder(gas_ml=gas, closing_insertion_mm=closing)
    codes = {f.code for f in fill_check(shock=replaced(shock, fill=pocket)).findings}
    assert not {"emulsion_stands", "gas_dissolves"} & codes
