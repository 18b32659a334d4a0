"""Laws of a built shock's damping, over the whole possible range of shocks."""

import math
from itertools import pairwise

import pytest
from hypothesis import assume, given, settings

from libdamp import damping_curve, oil_viscosity
from libdamp.damping import DampingCurve
from libdamp.demo import demo_corner
from libdamp.parts import Oil, Shock, Thinning
from tests.drawn import examples
from tests.model_strategies import oils, replaced, shocks, speeds_m_s, temperatures_c, thinning_oils
from tests.strategies import between

ROUND_OFF = 1e-11
EXAMPLES = settings(max_examples=examples(12))


def _curve(shock: Shock, speeds: tuple[float, ...], temperature_c: float = 25.0) -> DampingCurve:
    return damping_curve(shock=shock, speeds_m_s=speeds, temperature_c=temperature_c)


def _never_softer(stiff: DampingCurve, soft: DampingCurve) -> None:
    """Every force and both low-speed coefficients at least as large."""
    for hard, easy in zip(stiff.compression_n, soft.compression_n, strict=True):
        assert hard >= easy * (1.0 - ROUND_OFF)
    for hard, easy in zip(stiff.rebound_n, soft.rebound_n, strict=True):
        assert -hard >= -easy * (1.0 - ROUND_OFF)
    assert stiff.low_speed_compression_n_s_m >= soft.low_speed_compression_n_s_m * (1.0 - ROUND_OFF)
    assert stiff.low_speed_rebound_n_s_m >= soft.low_speed_rebound_n_s_m * (1.0 - ROUND_OFF)


@EXAMPLES
@given(shocks(), speeds_m_s, between(1.0, 3.0))
def test_thicker_oil_is_never_softer(shock: Shock, speeds: tuple[float, ...], factor: float) -> None:
    """More viscosity at the same density: no smaller force at any speed."""
    thin = Oil(viscosity_cst=min(shock.oil.viscosity_cst, 20_000.0 / factor), density_kg_m3=970.0)
    thick = replaced(thin, viscosity_cst=min(thin.viscosity_cst * factor, 20_000.0))
    _never_softer(_curve(replaced(shock, oil=thick), speeds), _curve(replaced(shock, oil=thin), speeds))


@EXAMPLES
@given(shocks(), speeds_m_s, temperatures_c, temperatures_c)
def test_colder_is_never_softer(shock: Shock, speeds: tuple[float, ...], one: float, other: float) -> None:
    """The same shock with colder oil, of any family: no smaller force at any speed."""
    cold, warm = sorted((one, other))
    _never_softer(_curve(shock, speeds, cold), _curve(shock, speeds, warm))


@EXAMPLES
@given(shocks(), speeds_m_s)
def test_fewer_holes_are_never_softer(shock: Shock, speeds: tuple[float, ...]) -> None:
    """One hole less of any kind: no smaller force at any speed."""
    first, *rest = shock.piston.holes
    assume(first.count > 1)
    fewer = replaced(shock.piston, holes=(replaced(first, count=first.count - 1), *rest))
    _never_softer(_curve(replaced(shock, piston=fewer), speeds), _curve(shock, speeds))


@EXAMPLES
@given(shocks(), speeds_m_s, between(0.7, 1.0))
def test_smaller_holes_are_never_softer(shock: Shock, speeds: tuple[float, ...], factor: float) -> None:
    """A kind of holes drilled smaller: no smaller force at any speed."""
    first, *rest = shock.piston.holes
    diameter = max(0.4, factor * first.diameter_mm)
    smaller = replaced(shock.piston, holes=(replaced(first, diameter_mm=diameter), *rest))
    _never_softer(_curve(replaced(shock, piston=smaller), speeds), _curve(shock, speeds))


@EXAMPLES
@given(shocks(), temperatures_c, temperatures_c)
def test_slow_damping_follows_dynamic_viscosity(shock: Shock, one: float, other: float) -> None:
    """The coefficient as v -> 0 over the dynamic viscosity is the same at every temperature."""
    ratios = []
    for t in (one, other):
        mu = oil_viscosity(oil=shock.oil, temperature_c=t).dynamic_mpa_s
        ratios.append(_curve(shock, (0.0,), t).low_speed_compression_n_s_m / mu)
    assert ratios[0] == pytest.approx(ratios[1], rel=1e-12)


@EXAMPLES
@given(shocks(), oils())
def test_slow_damping_is_in_proportion_to_any_oil(shock: Shock, oil: Oil) -> None:
    """Another oil: the low-speed coefficient changes as the dynamic viscosity does."""
    mu = [oil_viscosity(oil=o, temperature_c=25.0).dynamic_mpa_s for o in (shock.oil, oil)]
    c = [_curve(s, (0.0,)).low_speed_rebound_n_s_m for s in (shock, replaced(shock, oil=oil))]
    assert c[1] / c[0] == pytest.approx(mu[1] / mu[0], rel=1e-12)


@EXAMPLES
@given(shocks(two_way=True), speeds_m_s)
def test_force_is_odd(shock: Shock, speeds: tuple[float, ...]) -> None:
    """With holes open both ways, rebound is compression with the other sign."""
    curve = _curve(shock, speeds)
    assert curve.rebound_n == tuple(-force for force in curve.compression_n)
    assert curve.low_speed_compression_n_s_m == curve.low_speed_rebound_n_s_m


@EXAMPLES
@given(shocks(), speeds_m_s, temperatures_c)
def test_force_rises_with_speed(shock: Shock, speeds: tuple[float, ...], t: float) -> None:
    """Faster means more force, without thinning never less than the low-speed coefficient times speed."""
    curve = _curve(shock, (0.0, *speeds), t)
    assert curve.compression_n[0] == curve.rebound_n[0] == 0.0
    told_apart = [fast > slow * (1.0 + ROUND_OFF) for slow, fast in pairwise(curve.speed_m_s)]
    for forces in (curve.compression_n, tuple(-force for force in curve.rebound_n)):
        for apart, (slow, fast) in zip(told_apart, pairwise(forces), strict=True):
            assert fast > slow if apart else fast >= slow * (1.0 - ROUND_OFF)
    for v, force in zip(curve.speed_m_s, curve.compression_n, strict=True):
        thins = shock.oil.thinning is not None
        assert thins or force >= curve.low_speed_compression_n_s_m * v * (1.0 - ROUND_OFF)


@EXAMPLES
@given(shocks(), thinning_oils(), speeds_m_s, temperatures_c)
def test_thinning_is_never_stiffer(shock: Shock, oil: Oil, speeds: tuple[float, ...], t: float) -> None:
    """An oil that thins: no larger force at any speed than the same oil without; the low-speed figures the same."""
    thins, plain = replaced(shock, oil=oil), replaced(shock, oil=replaced(oil, thinning=None))
    soft, stiff = _curve(thins, speeds, t), _curve(plain, speeds, t)
    _never_softer(stiff, soft)
    assert soft.low_speed_compression_n_s_m == stiff.low_speed_compression_n_s_m
    assert soft.low_speed_rebound_n_s_m == stiff.low_speed_rebound_n_s_m


@EXAMPLES
@given(shocks(), thinning_oils(), speeds_m_s, between(1.0, 3.0))
def test_thicker_oil_that_thins_is_never_softer(
    shock: Shock, oil: Oil, speeds: tuple[float, ...], factor: float
) -> None:
    """More viscosity, thinning alike: no smaller force at any speed."""
    thin = Oil(viscosity_cst=100.0, density_kg_m3=970.0, thinning=oil.thinning)
    thick = replaced(thin, viscosity_cst=100.0 * factor)
    _never_softer(_curve(replaced(shock, oil=thick), speeds), _curve(replaced(shock, oil=thin), speeds))


def test_what_is_said_of_thinning() -> None:
    """The warning stands where thinning is not given, the note with its share where it is, neither when slow."""
    shock = demo_corner("demo-truck.front").shock
    plain = replaced(shock, oil=Oil(viscosity_cst=5000.0))
    law = Thinning(relaxation_time_s=5e-5, power_index=0.5)
    thins = replaced(shock, oil=Oil(viscosity_cst=5000.0, thinning=law))
    codes = [{f.code for f in _curve(s, (v,)).findings} for v in (0.3, 1e-4) for s in (plain, thins)]
    told = [code & {"thinning", "thinned"} for code in codes]
    assert told == [{"thinning"}, {"thinned"}, set(), set()]
    (note,) = (f for f in _curve(thins, (0.3,)).findings if f.code == "thinned")
    assert note.value is not None
    assert 0.0 < note.value < 95.0


@EXAMPLES
@given(shocks(), speeds_m_s)
def test_one_way_holes_only_help_their_way(shock: Shock, speeds: tuple[float, ...]) -> None:
    """Opening all one-way holes both ways never makes either direction stiffer."""
    holes = tuple(replaced(h, direction="both") for h in shock.piston.holes)
    freed = replaced(shock, piston=replaced(shock.piston, holes=holes))
    _never_softer(_curve(shock, speeds), _curve(freed, speeds))


@EXAMPLES
@given(shocks(gas="enough"), speeds_m_s, temperatures_c)
def test_cap_on_compression(shock: Shock, speeds: tuple[float, ...], t: float) -> None:
    """The capped force is the smaller of force and void force; the void speed is where they meet."""
    curve = _curve(shock, speeds, t)
    assert curve.void_force_n is not None
    assert curve.void_speed_m_s is not None
    for capped, force in zip(curve.compression_capped_n, curve.compression_n, strict=True):
        assert capped == min(force, curve.void_force_n)
    if 0.0 < curve.void_speed_m_s <= 20.0:
        at = _curve(shock, (curve.void_speed_m_s,), t).compression_n[0]
        assert at == pytest.approx(curve.void_force_n, rel=1e-9)


@EXAMPLES
@given(shocks(gas="enough"), between(1.2, 3.0))
def test_void_force_knows_no_oil_and_no_holes(shock: Shock, factor: float) -> None:
    """The void force depends on gas and areas alone; thicker oil reaches it at a lower speed."""
    thin = Oil(viscosity_cst=100.0, density_kg_m3=970.0)
    thick = Oil(viscosity_cst=100.0 * factor, density_kg_m3=970.0)
    a, b = (_curve(replaced(shock, oil=oil), (0.1,)) for oil in (thin, thick))
    assert a.void_force_n == b.void_force_n
    assert a.void_speed_m_s is not None
    assert b.void_speed_m_s is not None
    assert b.void_speed_m_s < a.void_speed_m_s


@EXAMPLES
@given(shocks(), speeds_m_s, temperatures_c)
def test_shares_are_shares(shock: Shock, speeds: tuple[float, ...], t: float) -> None:
    """The creeping share lies in 0..1, is 1 at rest, falls with speed where no gap takes over; leaks are shares."""
    curve = _curve(shock, (0.0, *speeds), t)
    for shares in (curve.viscous_share_compression, curve.viscous_share_rebound):
        assert shares[0] == 1.0
        assert all(0.0 < share <= 1.0 + ROUND_OFF for share in shares)
        if len(shock.piston.holes) == 1 and shock.piston.diameter_mm is None:
            assert all(b <= a * (1.0 + ROUND_OFF) for a, b in pairwise(shares))
    for leak in (curve.leak_share_compression, curve.leak_share_rebound):
        assert 0.0 <= leak < 1.0
        assert (leak == 0.0) == (shock.piston.diameter_mm is None)
    assert all(math.isfinite(re) and re >= 0.0 for re in curve.reynolds_compression)
