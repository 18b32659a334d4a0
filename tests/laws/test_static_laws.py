"""Laws of shocks and corners at rest that need no constant: halves, sizes, wear, and no jump at a switch."""

import math
from typing import Any

import pytest
from hypothesis import assume, given, settings

from libdamp import damping_curve, fill_check, oil_viscosity, ride
from libdamp.car import Arm, Corner, Ratio
from libdamp.damping import DampingCurve
from libdamp.parts import Bladder, Emulsion, Oil, Shock, Vented
from libdamp.stance import Ride
from tests.drawn import examples
from tests.model_strategies import (
    any_corners,
    oils,
    replaced,
    shocks,
    speeds_m_s,
    standing_corners,
    temperatures_c,
)
from tests.strategies import between, over_decades

ROUND_OFF = 1e-11
GRAVE = {"no_equilibrium", "topped_out", "falling_rate", "linkage_out_of_reach", "linkage_backwards"}
HELD = {"lock_cold", "lock_hot", "level_out_of_reach", "linkage_backwards"}
RESTS = {"loose_spring", "coil_bind", "collar_off", "chassis_on_ground"}
Speeds = tuple[float, ...]


def _curve(shock: Shock, speeds: Speeds, temperature_c: float = 25.0) -> DampingCurve:
    return damping_curve(shock=shock, speeds_m_s=speeds, temperature_c=temperature_c)


def _codes(answer: Any) -> set[str]:
    return {found.code for found in answer.findings}


@given(shocks(), speeds_m_s, temperatures_c, between(1.0, 3.0))
def test_thicker_is_never_softer_at_any_temperature(shock: Shock, speeds: Speeds, t: float, factor: float) -> None:
    """More viscosity at the same density, cold or hot: no smaller force at any speed, either way."""
    thin = Oil(viscosity_cst=min(shock.oil.viscosity_cst, 20_000.0 / factor), density_kg_m3=970.0)
    thick = replaced(thin, viscosity_cst=min(factor * thin.viscosity_cst, 20_000.0))
    soft, stiff = (_curve(replaced(shock, oil=oil), speeds, t) for oil in (thin, thick))
    for way in ("compression_n", "rebound_n"):
        for low, high in zip(getattr(soft, way), getattr(stiff, way), strict=True):
            assert abs(high) >= abs(low) * (1.0 - ROUND_OFF)


@given(shocks(), oils(), temperatures_c, between(10.0, 60.0))
def test_slow_damping_over_kinematic_viscosity_is_the_density(
    shock: Shock, oil: Oil, t: float, warmer: float
) -> None:
    """Over mu the slow damping is the same at every temperature; over nu it falls as the oil gets lighter."""
    assume(t + warmer <= 120.0)
    at = [oil_viscosity(oil=oil, temperature_c=c) for c in (t, t + warmer)]
    slow = [_curve(replaced(shock, oil=oil), (0.0,), c).low_speed_compression_n_s_m for c in (t, t + warmer)]
    by_mu = [c0 / one.dynamic_mpa_s for c0, one in zip(slow, at, strict=True)]
    by_nu = [c0 / one.viscosity_cst for c0, one in zip(slow, at, strict=True)]
    assert by_mu[1] == pytest.approx(by_mu[0], rel=1e-12)
    assert by_nu[1] / by_nu[0] == pytest.approx(at[1].density_kg_m3 / at[0].density_kg_m3, rel=1e-12)
    assert by_nu[1] < by_nu[0] * 0.995


def _half(shock: Shock) -> Shock:
    """A shock without a gap whose holes, drag and gas can be doubled; its gas in a pocket or vented."""
    holes = tuple(replaced(kind, count=min(kind.count, 10)) for kind in shock.piston.holes)
    fill = shock.fill
    if isinstance(fill, Emulsion):
        fill = Bladder(gas_ml=fill.gas_ml, closing_insertion_mm=fill.closing_insertion_mm)
    return replaced(
        shock,
        piston=replaced(shock.piston, holes=holes, diameter_mm=None),
        seal_drag_n=0.5 * shock.seal_drag_n,
        fill=fill,
    )


def _pair_as_one(shock: Shock) -> Shock:
    """The one shock that does what two of these do: twice the areas, the holes, the gas and the drag."""
    root = math.sqrt(2.0)
    assume(shock.bore_mm * root <= 40.0 and shock.shaft_mm * root <= 12.0)
    holes = tuple(replaced(kind, count=2 * kind.count) for kind in shock.piston.holes)
    name = "room_ml" if isinstance(shock.fill, Vented) else "gas_ml"
    return replaced(
        shock,
        bore_mm=root * shock.bore_mm,
        shaft_mm=root * shock.shaft_mm,
        seal_drag_n=2.0 * shock.seal_drag_n,
        piston=replaced(shock.piston, holes=holes),
        fill=replaced(shock.fill, **{name: 2.0 * getattr(shock.fill, name)}),
    )


@given(shocks(gas="enough").map(_half), speeds_m_s, temperatures_c)
def test_two_shocks_are_one_of_twice_the_area(shock: Shock, speeds: Speeds, t: float) -> None:
    """Two shocks side by side push twice as hard at every speed, and so does one of twice the area and holes."""
    half, whole = _curve(shock, speeds, t), _curve(_pair_as_one(shock), speeds, t)
    for way in ("compression_n", "rebound_n", "compression_capped_n"):
        for one, both in zip(getattr(half, way), getattr(whole, way), strict=True):
            assert both == pytest.approx(2.0 * one, rel=1e-9)
    for name in ("low_speed_compression_n_s_m", "low_speed_rebound_n_s_m", "void_force_n"):
        assert getattr(whole, name) == pytest.approx(2.0 * getattr(half, name), rel=1e-9)
    assert whole.void_speed_m_s == pytest.approx(half.void_speed_m_s, rel=1e-9)


SAME = (
    "shock_length_mm",
    "motion_ratio",
    "preload_for_level_mm",
    "wheel_travel_mm",
    "clearance_mm",
    "droop_travel_mm",
    "bump_travel_mm",
    "frequency_hz",
    "frequency_with_tyre_hz",
    "wheel_hop_hz",
    "damping_ratio_compression",
    "damping_ratio_rebound",
    "drag_band_mm",
)
TWICE = ("shock_force_n", "spring_force_n", "gas_force_n", "wheel_rate_n_mm")


@given(standing_corners(), between(0.5, 1.2))
def test_two_shocks_hold_twice_the_mass_alike(corner: Corner, share: float) -> None:
    """Twice the mass on two shocks and springs stands and swings as once the mass on one of each."""
    level = ride(corner=corner).preload_for_level_mm
    assert level is not None
    assume(2.0 * corner.spring.rate_n_mm <= 30.0)
    unsprung = min(corner.unsprung_mass_g, 4_000.0)
    preload = min(max(share * level, -60.0), 120.0)
    single = replaced(corner, shock=_half(corner.shock), unsprung_mass_g=unsprung, preload_mm=preload)
    double = replaced(
        single,
        sprung_mass_g=2.0 * corner.sprung_mass_g,
        unsprung_mass_g=2.0 * unsprung,
        tyre=replaced(corner.tyre, rate_n_mm=2.0 * corner.tyre.rate_n_mm),
        spring=replaced(corner.spring, rate_n_mm=2.0 * corner.spring.rate_n_mm),
        shock=_pair_as_one(single.shock),
    )
    one, two = ride(corner=single), ride(corner=double)
    assume(one.wheel_rate_n_mm is None or one.wheel_rate_n_mm > 0.05 * corner.spring.rate_n_mm)
    assert _codes(one) & (GRAVE | HELD | RESTS) == _codes(two) & (GRAVE | HELD | RESTS)
    for names, factor in ((SAME, 1.0), (TWICE, 2.0)):
        for name in names:
            a, b = getattr(one, name), getattr(two, name)
            assert (a is None) == (b is None), name
            if a is not None:
                assert b == pytest.approx(factor * a, rel=1e-8, abs=1e-8), name


def _resized(shock: Shock, s: float) -> Shock:
    """The shock in another size: every length of body, piston and holes x s."""
    piston = shock.piston
    holes = tuple(replaced(kind, diameter_mm=s * kind.diameter_mm) for kind in piston.holes)
    return replaced(
        shock,
        **{name: s * getattr(shock, name) for name in ("bore_mm", "shaft_mm", "stroke_mm", "limiter_mm")},
        extended_length_mm=s * shock.extended_length_mm,
        cavity_length_mm=None,
        fill=Vented(room_ml=5.0, closing_insertion_mm=s * shock.fill.closing_insertion_mm),
        piston=replaced(
            piston,
            holes=holes,
            thickness_mm=s * piston.thickness_mm,
            diameter_mm=None if piston.diameter_mm is None else s * piston.diameter_mm,
        ),
    )


def _fits_both_sizes(shock: Shock, s: float) -> bool:
    lengths = [
        (shock.bore_mm, 5.0, 40.0),
        (shock.shaft_mm, 1.5, 12.0),
        (shock.stroke_mm, 3.0, 120.0),
        (shock.extended_length_mm, 20.0, 400.0),
        (shock.piston.thickness_mm, 0.5, 12.0),
        *((kind.diameter_mm, 0.4, 5.0) for kind in shock.piston.holes),
    ]
    if shock.piston.diameter_mm is not None:
        lengths.append((shock.piston.diameter_mm, 4.0, 40.0))
    return all(low <= size * value <= high for value, low, high in lengths for size in (1.0, s))


@given(shocks(), speeds_m_s, between(0.8, 1.25), over_decades(20.0, 20_000.0))
def test_another_size_of_shock(shock: Shock, speeds: Speeds, s: float, nu: float) -> None:
    """Every length x s, the same oil, speeds / s: the same Reynolds numbers, shares and forces; damping x s."""
    assume(_fits_both_sizes(shock, s))
    shock = replaced(shock, oil=Oil(viscosity_cst=nu, density_kg_m3=970.0))
    small = _curve(_resized(shock, 1.0), speeds)
    large = _curve(_resized(shock, s), tuple(v / s for v in speeds))
    for name in ("compression_n", "rebound_n", "reynolds_compression", "viscous_share_rebound"):
        assert getattr(large, name) == pytest.approx(getattr(small, name), rel=1e-9)
    for name, power in (
        ("low_speed_compression_n_s_m", 1),
        ("low_speed_rebound_n_s_m", 1),
        ("leak_share_compression", 0),
        ("void_force_n", 2),
    ):
        assert getattr(large, name) == pytest.approx(getattr(small, name) * s**power, rel=1e-9)


def _stands(corner: Corner, preload_mm: float) -> Ride:
    answer = ride(corner=replaced(corner, preload_mm=preload_mm))
    assume(not _codes(answer) & (GRAVE | HELD))
    return answer


@given(standing_corners(), over_decades(2e-6, 1e-3))
def test_no_jump_at_preload_zero(corner: Corner, little: float) -> None:
    """A spring just loose at full droop and one just held there stand alike: nothing jumps at preload zero."""
    below, above = (_stands(corner, preload) for preload in (-little, little))
    assert "loose_spring" in _codes(below)
    assert "loose_spring" not in _codes(above)
    assert below.wheel_travel_mm is not None
    assert above.wheel_travel_mm is not None
    assert below.wheel_rate_n_mm is not None
    assume(below.wheel_rate_n_mm > 0.05 * corner.spring.rate_n_mm)
    moved = below.wheel_travel_mm - above.wheel_travel_mm
    assert moved >= -1e-10
    assert moved <= 2.0 * little / 0.05 * 2.0 + 1e-9  # dz/dp = k MR/kw, MR below 2 here
    assert above.droop_travel_mm == pytest.approx(below.droop_travel_mm, abs=moved + 1e-9)
    assert above.wheel_rate_n_mm == pytest.approx(below.wheel_rate_n_mm, rel=1e-2)


@given(standing_corners(ratio=True), over_decades(1e-8, 1e-4))
def test_no_jump_where_the_shock_tops_out(corner: Corner, little: float) -> None:
    """At the preload that just carries the car at full droop the droop travel comes to nothing without a jump."""
    assert isinstance(corner.linkage, Ratio)
    link, shock, fill = corner.linkage, corner.shock, corner.shock.fill
    area = 0.25 * math.pi * shock.shaft_mm**2
    left = 1e3 * fill.gas_ml - area * (shock.limiter_mm - fill.closing_insertion_mm)  # type: ignore[union-attr]
    gas = 101_325.0 * (1e3 * fill.gas_ml / left - 1.0) * area * 1e-6  # type: ignore[union-attr]
    limit = (corner.sprung_mass_g * 9.80665e-3 / link.motion_ratio - gas) / corner.spring.rate_n_mm
    assume(little < limit < 119.0)  # the spring carries some of it
    under, over = (ride(corner=replaced(corner, preload_mm=limit + step)) for step in (-little, little))
    assert "topped_out" not in _codes(under)
    assert "topped_out" in _codes(over)
    assert over.droop_travel_mm == pytest.approx(0.0, abs=1e-9)
    assert under.droop_travel_mm is not None
    assert 0.0 <= under.droop_travel_mm <= little / link.motion_ratio + 1e-9  # kw is at least k MR^2


@given(standing_corners(), over_decades(1e-9, 1e-5))
def test_no_jump_where_another_stop_comes_first(corner: Corner, little: float) -> None:
    """Bump travel is the same whether the chassis or the shock's end comes first by a hair."""
    high = _stands(replaced(corner, level_clearance_mm=150.0), 1.0)
    assume(high.first_stop == "shock")
    assert high.bump_travel_mm is not None
    assert high.wheel_travel_mm is not None
    stop = high.bump_travel_mm + high.wheel_travel_mm
    assume(1.1 < stop < 149.0)
    low, just = (
        _stands(replaced(corner, level_clearance_mm=stop * (1.0 + side * little)), 1.0) for side in (-1.0, 1.0)
    )
    assert (low.first_stop, just.first_stop) == ("chassis", "shock")
    assert just.bump_travel_mm == high.bump_travel_mm
    assert low.bump_travel_mm == pytest.approx(just.bump_travel_mm, abs=1.01 * stop * little + 1e-9)


def _wheel_force(corner: Corner, answer: Ride, travel_mm: float) -> float:
    """Spring and gas times motion ratio at a wheel travel, N, from the geometry."""
    link, shock, fill = corner.linkage, corner.shock, corner.shock.fill
    step = 1e-4

    def length(z: float) -> float:
        if isinstance(link, Ratio):
            return link.level_length_mm - link.motion_ratio * z
        assert isinstance(link, Arm)
        t = math.asin(z / link.arm_length_mm)
        out = link.lower_mount_along_mm * math.cos(t) - link.lower_mount_above_mm * math.sin(t)
        up = link.lower_mount_along_mm * math.sin(t) + link.lower_mount_above_mm * math.cos(t)
        return math.hypot(link.upper_mount_out_mm - out, link.upper_mount_up_mm - up)

    inserted = shock.extended_length_mm - length(travel_mm)
    assert answer.preload_mm is not None
    squeeze = answer.preload_mm + inserted - shock.limiter_mm
    area = 0.25 * math.pi * shock.shaft_mm**2
    left = 1e3 * fill.gas_ml - area * (inserted - fill.closing_insertion_mm)  # type: ignore[union-attr]
    gas = 101_325.0 * (1e3 * fill.gas_ml / left - 1.0) * area * 1e-6  # type: ignore[union-attr]
    ratio = (length(travel_mm - step) - length(travel_mm + step)) / (2.0 * step)
    return (corner.spring.rate_n_mm * max(0.0, squeeze) + gas) * ratio


@given(standing_corners(), between(0.5, 1.2))
def test_rates_and_ratios_of_a_standing_corner(corner: Corner, share: float) -> None:
    """The wheel rate is the slope of the wheel's force; frequency, damping ratio and drag band follow."""
    level = ride(corner=corner).preload_for_level_mm
    assume(level is not None and -60.0 <= share * level <= 120.0)
    assert level is not None
    answer = _stands(corner, share * level)
    z, kw = answer.wheel_travel_mm, answer.wheel_rate_n_mm
    assert z is not None
    assert kw is not None
    step = 1e-2
    force = [_wheel_force(corner, answer, z + side * step) for side in (-1.0, 1.0)]
    scale = corner.spring.rate_n_mm + corner.sprung_mass_g * 9.80665e-3 / 10.0
    assert kw == pytest.approx((force[1] - force[0]) / (2.0 * step), abs=1e-4 * scale)
    mass = 1e-3 * corner.sprung_mass_g
    assert answer.frequency_hz == pytest.approx(math.sqrt(1e3 * kw / mass) / (2.0 * math.pi), rel=1e-12)
    slow = _curve(corner.shock, (0.0,))
    squared = [
        2.0 * math.sqrt(1e3 * kw * mass) * zeta / c0  # type: ignore[operator]
        for zeta, c0 in (
            (answer.damping_ratio_compression, slow.low_speed_compression_n_s_m),
            (answer.damping_ratio_rebound, slow.low_speed_rebound_n_s_m),
        )
    ]
    assert squared[0] == pytest.approx(squared[1], rel=1e-12)
    assert answer.drag_band_mm == pytest.approx(corner.shock.seal_drag_n * math.sqrt(squared[0]) / kw, rel=1e-11)


@settings(max_examples=examples(30))
@given(any_corners(), temperatures_c, temperatures_c, speeds_m_s)
def test_null_only_with_a_finding(corner: Corner, fill_c: float, run_c: float, speeds: Speeds) -> None:
    """Any possible shock has a curve and a fill; whatever is null in them has a finding that says why."""
    curve = _curve(corner.shock, speeds, run_c)
    assert all(map(math.isfinite, (*curve.compression_n, *curve.rebound_n, *curve.viscous_share_rebound)))
    missing = curve.void_force_n is None
    assert missing == (curve.void_speed_m_s is None) == ("lock_cold" in _codes(curve))
    fill = fill_check(shock=corner.shock, fill_temperature_c=fill_c, run_temperature_c=run_c)
    codes = _codes(fill)
    unknown = "cavity_unknown" in codes
    assert (fill.oil_ml is None) == (corner.shock.cavity_length_mm is None)
    assert (fill.spare_hot_ml is None) == (fill.let_out_ml is None) == unknown
    assert unknown <= (fill.oil_ml is None)
    assert (fill.pressure_cold_kpa is None) == (fill.gas_force_full_n is None) == ("lock_cold" in codes)
    assert (fill.pressure_hot_kpa is None) == (unknown or "lock_hot" in codes)
    if "lock_cold" not in codes:
        assert fill.gas_force_droop_n is not None
        assert fill.gas_force_mid_n is not None
