"""Laws of `match`: what is met is met, a shock matched to itself is itself, there and back is back."""

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from libdamp import damping_curve, match, oil_for_temperature, oil_viscosity
from libdamp.demo import demo_corner
from libdamp.drilling import factor_range, with_holes
from libdamp.matching import Match
from libdamp.parts import Holes, Oil, Shock
from libdamp.physics.drills import METRIC_MM
from libdamp.physics.orifice import piston_loss
from libdamp.two_speeds import Scaled, viscosity_for
from tests.drawn import examples
from tests.model_strategies import replaced, shocks, temperatures_c
from tests.oracles.same_damping import Plain, as_shock, fast_ratio
from tests.strategies import PistonDraw, between, over_decades, pistons

BOTH = ("oil", "hole")
TRUCK = demo_corner("demo-truck.front").shock
PLAIN = Oil(viscosity_cst=325.0, density_kg_m3=970.0)
ROUND_OFF = 1e-12

EXAMPLES = settings(max_examples=examples(8))
speeds = st.builds(lambda low, times: (low, low * times), over_decades(1e-3, 0.2), between(2.0, 100.0))
ways = st.sampled_from(("compression", "rebound"))


def _slow(shock: Shock, temperature_c: float = 25.0, way: str = "compression") -> float:
    curve = damping_curve(shock=shock, speeds_m_s=(0.0,), temperature_c=temperature_c)
    return float(getattr(curve, f"low_speed_{way}_n_s_m"))


def _forces(
    shock: Shock, at: tuple[float, ...], temperature_c: float = 25.0, way: str = "compression"
) -> np.ndarray:
    curve = damping_curve(shock=shock, speeds_m_s=at, temperature_c=temperature_c)
    return np.abs(getattr(curve, f"{way}_n"))


def _codes(answer: Match) -> set[str]:
    return {one.code for one in answer.findings}


def _built(candidate: Shock, holes: tuple[float, ...], viscosity_cst: float) -> Shock:
    """The candidate with holes and an oil that a bottle could hold, no law but the default."""
    assume(20.0 <= viscosity_cst <= 20_000.0)
    oil = Oil(viscosity_cst=viscosity_cst, density_kg_m3=candidate.oil.density_kg_m3)
    return replaced(with_holes(candidate, holes), oil=oil)


@st.composite
def plain_shocks(draw: st.DrawFn, **more: Any) -> Shock:
    """Shocks of any possible size with a silicone oil of the default law, of stated density or of its grade's."""
    oil = Oil(
        viscosity_cst=draw(over_decades(20.0, 20_000.0)), density_kg_m3=draw(st.none() | between(800.0, 1100.0))
    )
    return replaced(draw(shocks(**more)), oil=oil)


@EXAMPLES
@given(shocks(), shocks(), temperatures_c, temperatures_c, ways)
def test_oil_alone_meets_the_slow_coefficient(a: Shock, b: Shock, t_a: float, t_b: float, way: str) -> None:
    """With the oil alone the coefficients as v -> 0 are equal to round-off: they go with the viscosity."""
    made = match(reference=a, candidate=b, reference_temperature_c=t_a, candidate_temperature_c=t_b, direction=way)
    own = oil_viscosity(oil=b.oil, temperature_c=t_b).dynamic_mpa_s
    assert _slow(b, t_b, way) * made.dynamic_mpa_s / own == pytest.approx(_slow(a, t_a, way), rel=ROUND_OFF)
    assert made.viscosity_cst == made.oil_alone_viscosity_cst
    assert made.holes_mm == tuple(h.diameter_mm for h in b.piston.holes)


@EXAMPLES
@given(plain_shocks(), plain_shocks(), between(-10.0, 60.0), between(-10.0, 60.0), speeds)
def test_the_grade_is_the_oil(a: Shock, b: Shock, t_a: float, t_b: float, at: tuple[float, float]) -> None:
    """The candidate filled with the named grade has the wanted coefficient and the stated ratios."""
    made = match(reference=a, candidate=b, reference_temperature_c=t_a, candidate_temperature_c=t_b, speeds_m_s=at)
    filled = _built(b, made.holes_mm, made.viscosity_cst)
    assert _slow(filled, t_b) == pytest.approx(_slow(a, t_a), rel=1e-11)
    ratio = _forces(filled, at, t_b) / _forces(a, at, t_a)
    assert (made.low_speed_ratio, made.high_speed_ratio) == pytest.approx(tuple(ratio), rel=1e-9)


@EXAMPLES
@given(plain_shocks(), plain_shocks(), speeds, ways)
def test_both_speeds_agree(a: Shock, b: Shock, at: tuple[float, float], way: str) -> None:
    """With the hole free both forces agree to 1e-9, or a finding says that no hole does it."""
    made = match(reference=a, candidate=b, free=BOTH, speeds_m_s=at, direction=way)
    if "no_hole_matches" not in _codes(made):
        assert made.low_speed_ratio == pytest.approx(1.0, abs=1e-9)
        assert made.high_speed_ratio == pytest.approx(1.0, abs=1e-9)
        built = _built(b, made.holes_mm, made.viscosity_cst)
        assert _forces(built, at, way=way) == pytest.approx(_forces(a, at, way=way), rel=1e-9)
    scale = {made.holes_mm[i] / h.diameter_mm for i, h in enumerate(b.piston.holes)}
    assert max(scale) == pytest.approx(min(scale), rel=1e-12)


@EXAMPLES
@given(plain_shocks(), plain_shocks(), speeds)
def test_the_end_where_no_hole_matches(a: Shock, b: Shock, at: tuple[float, float]) -> None:
    """A force in proportion to the speed, by a gap alone, is met by no hole: the largest comes nearest."""
    shut = (Holes(count=1, diameter_mm=0.4, direction="rebound"),)
    leaks = replaced(a, piston=replaced(a.piston, holes=shut, diameter_mm=0.97 * a.bore_mm))
    tight = replaced(b, piston=replaced(b.piston, diameter_mm=None))
    made = match(reference=leaks, candidate=tight, free=BOTH, speeds_m_s=at)
    assume(made.viscosity_cst < 1e6)  # thicker, and there is no oil for the largest hole
    assert made.high_speed_ratio >= 1.0 - ROUND_OFF
    if made.high_speed_ratio > 1.0 + 1e-9:
        assert "no_hole_matches" in _codes(made)
        widest = factor_range(tight)[1] * tight.piston.holes[0].diameter_mm
        assert made.holes_mm[0] == pytest.approx(widest, rel=1e-12)
        assert made.low_speed_ratio == pytest.approx(1.0, abs=1e-9)


def test_the_nearest_beside_a_gap() -> None:
    """Beside a gap the fast force has a greatest value over the hole's size: beyond it the top comes nearest."""
    thin = Plain(12e-3, 3e-3, 12e-3, 2.4e-3, ((1, 0.8e-3),), 30e-6 * 970.0, 970.0)
    leaky = Plain(12e-3, 3e-3, 11.6e-3, 2.4e-3, ((2, 1.7e-3),), 325e-6 * 970.0, 970.0)
    made = match(reference=as_shock(thin), candidate=as_shock(leaky), free=BOTH, speeds_m_s=(0.02, 0.5))
    assert "no_hole_matches" in _codes(made)
    offs = [abs(math.log(fast_ratio(thin, leaky, 0.25 + 0.01 * i, (0.02, 0.5)))) for i in range(200)]
    inside = int(np.argmin(offs))
    assert 0 < inside < 199
    assert abs(math.log(made.high_speed_ratio)) <= offs[inside]
    assert made.holes_mm[0] == pytest.approx(1.7 * (0.25 + 0.01 * inside), abs=0.03)


@EXAMPLES
@given(shocks(), temperatures_c, speeds, st.sampled_from((("oil",), BOTH)), ways)
def test_a_shock_is_its_own_match(
    shock: Shock, t: float, at: tuple[float, float], free: tuple[str, ...], way: str
) -> None:
    """A shock matched to itself is itself, in both ways, with nothing to drill."""
    made = match(
        reference=shock,
        candidate=shock,
        free=free,
        speeds_m_s=at,
        reference_temperature_c=t,
        candidate_temperature_c=t,
        direction=way,
    )
    assert made.holes_mm == tuple(h.diameter_mm for h in shock.piston.holes)
    grade = oil_viscosity(oil=shock.oil, temperature_c=25.0).viscosity_cst
    assert made.viscosity_cst == pytest.approx(grade, rel=1e-9)
    assert made.curve_deviation < 1e-9
    assert made.drill_mm is None
    assert "no_hole_matches" not in _codes(made) or way not in _open_ways(shock)


def _open_ways(shock: Shock) -> set[str]:
    both = {"both": ("compression", "rebound")}
    return {way for h in shock.piston.holes for way in both.get(h.direction, (h.direction,))}


@EXAMPLES
@given(shocks(), temperatures_c, temperatures_c)
def test_another_temperature_is_oil_for_temperature(shock: Shock, warm: float, cold: float) -> None:
    """The same shock at another temperature needs what `oil_for_temperature` names."""
    made = match(reference=shock, candidate=shock, reference_temperature_c=warm, candidate_temperature_c=cold)
    named = oil_for_temperature(oil=shock.oil, from_temperature_c=warm, to_temperature_c=cold)
    assert made.viscosity_cst == pytest.approx(named.viscosity_cst, rel=1e-12)


@EXAMPLES
@given(plain_shocks(), plain_shocks(), between(-10.0, 60.0), between(-10.0, 60.0))
def test_there_and_back_by_oil(a: Shock, b: Shock, t_a: float, t_b: float) -> None:
    """The match of the match is the oil that one began with."""
    there = match(reference=a, candidate=b, reference_temperature_c=t_a, candidate_temperature_c=t_b)
    filled = _built(b, there.holes_mm, there.viscosity_cst)
    back = match(reference=filled, candidate=a, reference_temperature_c=t_b, candidate_temperature_c=t_a)
    assert back.viscosity_cst == pytest.approx(a.oil.viscosity_cst, rel=1e-11)


@EXAMPLES
@given(plain_shocks(), plain_shocks(), speeds)
def test_there_and_back_by_hole(a: Shock, b: Shock, at: tuple[float, float]) -> None:
    """The match of the match has the holes and the oil that one began with."""
    there = match(reference=a, candidate=b, free=BOTH, speeds_m_s=at)
    assume("no_hole_matches" not in _codes(there))
    built = _built(b, there.holes_mm, there.viscosity_cst)
    back = match(reference=built, candidate=a, free=BOTH, speeds_m_s=at)
    assert back.holes_mm == pytest.approx(tuple(h.diameter_mm for h in a.piston.holes), rel=1e-9)
    assert back.viscosity_cst == pytest.approx(a.oil.viscosity_cst, rel=1e-9)


@EXAMPLES
@given(plain_shocks(), between(0.0, 1.0), over_decades(20.0, 20_000.0), speeds)
def test_a_drilled_twin_is_found(shock: Shock, place: float, viscosity: float, at: tuple[float, float]) -> None:
    """The same piston with other holes and another oil, no gap: match finds those holes and that oil again."""
    shut = replaced(shock, piston=replaced(shock.piston, diameter_mm=None))
    low, high = factor_range(shut)
    factor = low * (high / low) ** place
    holes = tuple(factor * h.diameter_mm for h in shut.piston.holes)
    twin = _built(shut, holes, viscosity)
    made = match(reference=twin, candidate=shut, free=BOTH, speeds_m_s=at)
    assert "no_hole_matches" not in _codes(made)
    assert abs(made.high_speed_ratio - 1.0) < 1e-9
    bends = float(_forces(twin, at)[1] / _forces(twin, at)[0] / (at[1] / at[0])) - 1.0
    if bends > 1e-4:  # below it the forces hardly depend on the hole
        assert made.holes_mm == pytest.approx(holes, rel=1e-11 / bends)
        assert made.viscosity_cst == pytest.approx(viscosity, rel=1e-10 / bends)


def test_another_bore() -> None:
    """In a larger bore the oil alone leaves tens of per cent when fast; with the hole little is left between."""
    larger = replaced(TRUCK, bore_mm=13.0, shaft_mm=3.5, piston=replaced(TRUCK.piston, diameter_mm=12.9))
    oil = match(reference=TRUCK, candidate=larger)
    assert oil.viscosity_cst < 300.0
    assert 1.1 < oil.high_speed_ratio < 1.5
    both = match(reference=TRUCK, candidate=larger, free=BOTH)
    assert both.curve_deviation < 0.1 * (oil.high_speed_ratio - 1.0)
    assert both.hole_mm > 1.7
    for count in (3, 4):  # more holes: smaller ones, and a thinner oil
        more = replaced(larger, piston=replaced(larger.piston, holes=(Holes(count=count, diameter_mm=1.7),)))
        other = match(reference=TRUCK, candidate=more, free=BOTH)
        assert other.hole_mm < both.hole_mm
        assert other.viscosity_cst < both.viscosity_cst
        assert other.curve_deviation < 0.1 * abs(other.oil_alone_high_speed_ratio - 1.0)


@EXAMPLES
@given(plain_shocks(), st.lists(between(0.3, 6.0), max_size=12).map(tuple), between(0.6, 1.6))
def test_what_the_drill_gives(shock: Shock, drills: tuple[float, ...], times: float) -> None:
    """The drill is one of those in hand, none that fits is nearer; its ratios are those of the drilled piston."""
    low, high = factor_range(shock)
    there = tuple(h.diameter_mm for h in shock.piston.holes)
    candidate = with_holes(shock, (min(max(times, low), high) * d for d in there))
    made = match(reference=shock, candidate=candidate, free=BOTH, drills_mm=drills)
    assume("hole_kept" not in _codes(made))
    if made.drill_mm is None:
        assert "no_drill_fits" in _codes(made)
        assert made.drills_mm == ()
        return
    pool = drills or METRIC_MM
    assert set(made.drills_mm) <= set(pool)
    if len(there) == 1 and made.hole_mm < candidate.piston.holes[0].diameter_mm:  # all that fit a new piston
        fit = [d for d in pool if 0.4 <= d <= factor_range(candidate)[1] * candidate.piston.holes[0].diameter_mm]
        assert abs(made.drill_mm - made.hole_mm) == min(abs(d - made.hole_mm) for d in fit)
    assert made.drill_viscosity_cst is not None
    drilled = _built(candidate, made.drills_mm, made.drill_viscosity_cst)
    assert _slow(drilled) == pytest.approx(_slow(shock), rel=1e-11)
    ratio = _forces(drilled, (0.02, 0.5)) / _forces(shock, (0.02, 0.5))
    assert made.drill_low_speed_ratio == pytest.approx(ratio[0], rel=1e-9)
    assert made.drill_high_speed_ratio == pytest.approx(ratio[1], rel=1e-9)


@EXAMPLES
@given(over_decades(100.0, 1500.0), st.integers(1, 10), between(0.9, 3.0), st.booleans(), between(9.0, 26.0))
def test_equal_when_slow(nu: float, count: int, hole: float, gap: bool, bore: float) -> None:
    """Equal when slow means the limit: 0.1 % at 2 mm/s where both pistons have Reynolds numbers up to 1."""
    across = bore - 0.1 if gap else None
    shape = replaced(TRUCK.piston, diameter_mm=across, thickness_mm=3.0)
    assume(hole < 0.5 * (bore - 0.1 - TRUCK.shaft_mm) and count * hole**2 <= bore**2 / 6.0)
    body = replaced(TRUCK, bore_mm=bore, piston=shape, oil=replaced(PLAIN, viscosity_cst=nu))
    few = replaced(body, piston=replaced(shape, holes=(Holes(count=2, diameter_mm=1.7),)))
    many = replaced(body, piston=replaced(shape, holes=(Holes(count=count, diameter_mm=hole),)))
    made = match(reference=few, candidate=many, speeds_m_s=(0.002, 0.004))
    filled = _built(many, made.holes_mm, made.viscosity_cst)
    calm = [damping_curve(shock=s, speeds_m_s=(0.002,)).reynolds_compression[0] <= 1.0 for s in (few, filled)]
    assume(all(calm))
    assert abs(made.low_speed_ratio - 1.0) < 1e-3


@EXAMPLES
@given(pistons(), st.lists(between(0.5, 2.0), min_size=2, max_size=6), over_decades(1e-3, 1.0))
def test_larger_holes_need_thicker_oil(piston: PistonDraw, times: list[float], speed: float) -> None:
    """All holes larger: the same loss at the same flow needs a thicker oil; a batch gives what each alone gives."""
    ways, flow = piston.passages(), piston.flow(speed)
    scaled = Scaled(ways, piston.viscosity, lambda mu: piston.density + 0.0 * np.asarray(mu))
    most = math.sqrt(0.5 / piston.area_ratio())
    factors = np.array(sorted(min(each, most) for each in times))
    loss = float(piston_loss(flow, ways))
    viscosity, there = viscosity_for(scaled, factors, flow, loss)
    assert np.all(np.diff(viscosity[there]) >= -1e-9 * viscosity[there][1:])
    assert not np.any(there[:-1] & ~there[1:])
    for factor, together, found in zip(factors, viscosity, there, strict=True):
        alone, also = viscosity_for(scaled, np.array([factor]), flow, loss)
        assert (alone[0], also[0]) == (together, found)
        if found:
            assert float(piston_loss(flow, scaled.at(factor, together))) == pytest.approx(loss, rel=1e-10)
