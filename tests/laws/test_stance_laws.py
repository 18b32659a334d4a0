"""Laws of a corner at rest: balance, level arms, preload, stops, scale, and what may be null."""

import math

import pytest
from hypothesis import assume, given, settings

from libdamp import ride
from libdamp.car import Arm, Corner, Ratio
from libdamp.stance import Ride
from tests.drawn import examples
from tests.model_strategies import any_corners, level_length, replaced, standing_corners, temperatures_c
from tests.strategies import between

G_N = 9.80665
P_ATM = 101_325.0
GRAVE = {"no_equilibrium", "topped_out", "falling_rate", "linkage_out_of_reach", "linkage_backwards"}


def _codes(answer: Ride) -> set[str]:
    return {found.code for found in answer.findings}


def _shock_length(corner: Corner, travel_mm: float) -> tuple[float, float]:
    """Shock length and motion ratio at a wheel travel, from the geometry alone."""
    link = corner.linkage
    if isinstance(link, Ratio):
        return link.level_length_mm - link.motion_ratio * travel_mm, link.motion_ratio
    assert isinstance(link, Arm)
    sine = travel_mm / link.arm_length_mm
    cosine = math.sqrt(1.0 - sine * sine)
    x = link.lower_mount_along_mm * cosine - link.lower_mount_above_mm * sine
    y = link.lower_mount_along_mm * sine + link.lower_mount_above_mm * cosine
    length = math.hypot(link.upper_mount_out_mm - x, link.upper_mount_up_mm - y)
    # virtual work: the mount moves (-y, x) per angle, the wheel arm cos
    toward = ((link.upper_mount_out_mm - x) * -y + (link.upper_mount_up_mm - y) * x) / length
    return length, toward / (link.arm_length_mm * cosine)


def _gas_force(corner: Corner, insertion_mm: float) -> float:
    """Isothermal pocket, filled at the temperature it runs at; a vented cap gives none."""
    fill, area = corner.shock.fill, 0.25 * math.pi * corner.shock.shaft_mm**2
    if fill.__class__.__name__ == "Vented":
        return 0.0
    left = 1e3 * fill.gas_ml - area * (insertion_mm - fill.closing_insertion_mm)
    return P_ATM * (1e3 * fill.gas_ml / left - 1.0) * area * 1e-6


def _steady(corner: Corner, preload_mm: float | None = None) -> Ride:
    """The corner at rest; only cases that stand on their springs."""
    answer = ride(corner=replaced(corner, preload_mm=preload_mm))
    assume(not _codes(answer) & GRAVE)
    return answer


@given(standing_corners(), between(0.3, 1.5))
def test_forces_balance_at_rest(corner: Corner, share: float) -> None:
    """Spring and gas times the motion ratio carry the sprung mass to 1e-9 N, at any preload that stands."""
    level = ride(corner=corner).preload_for_level_mm
    assert level is not None
    answer = _steady(corner, min(max(share * level, -60.0), 120.0))
    assert answer.wheel_travel_mm is not None
    assert answer.preload_mm is not None
    length, ratio = _shock_length(corner, answer.wheel_travel_mm)
    insertion = corner.shock.extended_length_mm - length
    squeeze = answer.preload_mm + insertion - corner.shock.limiter_mm
    force = corner.spring.rate_n_mm * max(0.0, squeeze) + _gas_force(corner, insertion)
    weight = corner.sprung_mass_g * 1e-3 * G_N
    assert force * ratio == pytest.approx(weight, abs=1e-9 * max(1.0, weight))


@given(standing_corners(), temperatures_c)
def test_level_preload_stands_level(corner: Corner, t: float) -> None:
    """Preload null means level arms: wheel travel 0 to 1e-9 mm, clearance as at level."""
    answer = ride(corner=corner, temperature_c=t)
    assume(not _codes(answer) & GRAVE)
    assert answer.spring_force_n is not None
    assume(answer.spring_force_n > 0.0)  # a spring cannot pull the car down
    assert answer.wheel_travel_mm == pytest.approx(0.0, abs=1e-9)
    assert answer.clearance_mm == pytest.approx(corner.level_clearance_mm, abs=1e-9)
    assert answer.preload_mm == answer.preload_for_level_mm


@given(standing_corners())
def test_level_figures_come_from_the_geometry(corner: Corner) -> None:
    """Length, motion ratio and shock force at level arms are those of the triangle; preload closes the sum."""
    answer = ride(corner=corner)
    length, ratio = _shock_length(corner, 0.0)
    assert answer.shock_length_mm == pytest.approx(level_length(corner.linkage), rel=1e-12)
    assert answer.motion_ratio == pytest.approx(ratio, rel=1e-10)
    assert answer.shock_force_n == pytest.approx(corner.sprung_mass_g * 1e-3 * G_N / ratio, rel=1e-10)
    assert answer.spring_force_n is not None
    gas = _gas_force(corner, corner.shock.extended_length_mm - length)
    assert answer.gas_force_n == pytest.approx(gas, rel=1e-9, abs=1e-12)
    squeeze = answer.spring_force_n / corner.spring.rate_n_mm
    out = corner.shock.extended_length_mm - corner.shock.limiter_mm - length
    assert answer.preload_for_level_mm == pytest.approx(squeeze - out, rel=1e-9, abs=1e-9)


@given(standing_corners(), between(0.5, 2.0))
def test_shock_force_knows_no_spring(corner: Corner, factor: float) -> None:
    """The force at level arms is the load over the motion ratio, whatever the spring."""
    rate = min(max(corner.spring.rate_n_mm * factor, 0.05), 30.0)
    other = ride(corner=replaced(corner, spring=replaced(corner.spring, rate_n_mm=rate)))
    assert other.shock_force_n == ride(corner=corner).shock_force_n
    assert other.spring_force_n == ride(corner=corner).spring_force_n


@given(standing_corners(vented=True, ratio=True), between(-0.2, 0.3))
def test_preload_is_not_stiffness(corner: Corner, share: float) -> None:
    """With a fixed ratio and no gas, preload leaves rate, frequency and damping ratio exactly alone."""
    a = _steady(corner)
    assert a.preload_mm is not None
    assume(abs(a.preload_mm) < 50.0)
    b = _steady(corner, a.preload_mm + share * corner.shock.stroke_mm)
    assert b.wheel_rate_n_mm == pytest.approx(a.wheel_rate_n_mm, rel=1e-15)
    assert b.frequency_hz == a.frequency_hz
    assert b.damping_ratio_compression == a.damping_ratio_compression


@given(standing_corners(), between(-0.2, 0.3))
def test_droop_and_bump_add_up(corner: Corner, share: float) -> None:
    """Droop + bump is the travel between the stops, whatever the preload, while the first stop is the same."""
    a = _steady(corner)
    assert a.preload_mm is not None
    assume(abs(a.preload_mm) < 50.0)
    b = _steady(corner, a.preload_mm + share * corner.shock.stroke_mm)
    assume(a.first_stop == b.first_stop != "coil_bind")
    sums = [x.droop_travel_mm + x.bump_travel_mm for x in (a, b)]  # type: ignore[operator]
    assert sums[0] == pytest.approx(sums[1], abs=1e-9)


@given(standing_corners(), between(0.01, 0.3))
def test_collar_up_lifts_the_car(corner: Corner, share: float) -> None:
    """More preload stands higher: more clearance and bump, less droop; the collar moves by the preload."""
    a = _steady(corner)
    assert a.preload_mm is not None
    assume(abs(a.preload_mm) < 50.0)
    more = share * corner.shock.stroke_mm
    b = _steady(corner, a.preload_mm + more)
    assume(a.spring_force_n is not None and a.spring_force_n > 0.0)
    assert b.clearance_mm > a.clearance_mm  # type: ignore[operator]
    assert b.droop_travel_mm < a.droop_travel_mm  # type: ignore[operator]
    assert b.collar_mm - a.collar_mm == pytest.approx(more, abs=1e-9)  # type: ignore[operator]


@given(standing_corners(ratio=True), between(-0.15, 0.25))
def test_height_and_preload_round_trip(corner: Corner, share: float) -> None:
    """The preload that levels the arms where a preload let the car stand is that preload."""
    first = ride(corner=corner).preload_for_level_mm
    assert first is not None
    preload = first + share * corner.shock.stroke_mm
    assume(-60.0 < preload < 120.0)
    stood = _steady(corner, preload)
    assert isinstance(corner.linkage, Ratio)
    assert stood.wheel_travel_mm is not None
    length = corner.linkage.level_length_mm - corner.linkage.motion_ratio * stood.wheel_travel_mm
    assume(corner.shock.limiter_mm < corner.shock.extended_length_mm - length < corner.shock.stroke_mm)
    moved = replaced(corner, linkage=replaced(corner.linkage, level_length_mm=length))
    back = ride(corner=moved)
    assume(back.spring_force_n is not None and back.spring_force_n > 1e-6)
    assert back.preload_for_level_mm == pytest.approx(preload, abs=1e-9)


@given(standing_corners(), between(0.1, 3.0))
def test_heavier_sits_lower_and_slower(corner: Corner, extra: float) -> None:
    """More mass at the same preload: less clearance; at level arms: more shock force, lower frequency."""
    a = _steady(corner)
    assert a.preload_mm is not None
    assume(-60.0 <= a.preload_mm <= 120.0)
    assume(corner.sprung_mass_g * (1.0 + extra) <= 20_000.0)
    heavy = replaced(corner, sprung_mass_g=corner.sprung_mass_g * (1.0 + extra))
    b = _steady(heavy, a.preload_mm)
    assert b.clearance_mm < a.clearance_mm + 1e-9  # type: ignore[operator]
    assert b.shock_force_n > a.shock_force_n  # type: ignore[operator]


@settings(max_examples=examples(25))
@given(standing_corners(vented=True), between(0.8, 1.25))
def test_scale(corner: Corner, s: float) -> None:
    """Lengths x s, masses x s^3, spring rates x s^2: forces x s^3, lengths x s, frequencies x s^-1/2."""
    a = ride(corner=corner)
    spring, shock = corner.spring, corner.shock
    assume(0.05 <= spring.rate_n_mm * s * s <= 30.0)
    assume(5.0 <= shock.bore_mm * s <= 40.0)
    scaled = _scaled(corner, s)
    b = ride(corner=scaled)
    for name, power in (("shock_force_n", 3), ("spring_force_n", 3), ("shock_length_mm", 1), ("motion_ratio", 0)):
        assert getattr(b, name) == pytest.approx(getattr(a, name) * s**power, rel=1e-9)
    for name in ("preload_for_level_mm", "collar_for_level_mm", "droop_travel_mm", "bump_travel_mm"):
        one, other = getattr(a, name), getattr(b, name)
        assert (one is None) == (other is None)
        if one is not None:
            assert other == pytest.approx(one * s, rel=1e-8, abs=1e-7)
    if a.frequency_hz is not None:
        assert b.frequency_hz == pytest.approx(a.frequency_hz / math.sqrt(s), rel=1e-8)


def _scaled(corner: Corner, s: float) -> Corner:
    """The corner in another size on the same shaft: room x s, oil and piston do not matter for how it stands."""
    shock, spring, link = corner.shock, corner.spring, corner.linkage
    named = [name for name in link.__struct_fields__ if name.endswith("_mm") and not name.startswith("other_")]
    lengths = {name: s * getattr(link, name) for name in named}
    fill = replaced(
        shock.fill, room_ml=s * shock.fill.room_ml, closing_insertion_mm=s * shock.fill.closing_insertion_mm
    )
    return replaced(
        corner,
        sprung_mass_g=s**3 * corner.sprung_mass_g,
        unsprung_mass_g=min(max(5.0, s**3 * corner.unsprung_mass_g), 8000.0),
        level_clearance_mm=s * corner.level_clearance_mm,
        linkage=replaced(link, **lengths),
        spring=replaced(
            spring,
            rate_n_mm=s**2 * spring.rate_n_mm,
            free_length_mm=s * spring.free_length_mm,
            block_length_mm=s * spring.block_length_mm,
        ),
        shock=replaced(
            shock,
            stroke_mm=s * shock.stroke_mm,
            limiter_mm=s * shock.limiter_mm,
            extended_length_mm=s * shock.extended_length_mm,
            seat_offset_mm=s * shock.seat_offset_mm,
            cavity_length_mm=None,
            fill=fill,
        ),
    )


EXPLAINED = {
    "motion_ratio": {"linkage_backwards"},
    "shock_force_n": {"linkage_backwards"},
    "spring_force_n": {"linkage_backwards", "lock_cold", "lock_hot", "level_out_of_reach"},
    "gas_force_n": {"linkage_backwards", "lock_cold", "lock_hot", "level_out_of_reach"},
    "preload_for_level_mm": {"linkage_backwards", "lock_cold", "lock_hot", "level_out_of_reach"},
    "collar_for_level_mm": {"linkage_backwards", "lock_cold", "lock_hot", "level_out_of_reach", "collar_unknown"},
    "collar_mm": {"linkage_backwards", "lock_cold", "lock_hot", "level_out_of_reach", "collar_unknown"},
    "preload_mm": {"linkage_backwards", "lock_cold", "lock_hot", "level_out_of_reach"},
    "next_step": {"linkage_backwards", "lock_cold", "lock_hot", "level_out_of_reach"},
}
ANY_REST = GRAVE | {"lock_cold", "lock_hot", "level_out_of_reach"}
"""What may stand behind a missing figure of the rest position."""


@settings(max_examples=examples(50))
@given(any_corners(), temperatures_c)
def test_null_only_with_a_finding(corner: Corner, t: float) -> None:
    """Any corner whose parts are possible gets an answer; whatever is null has a finding that says why."""
    answer = ride(corner=corner, temperature_c=t, collar_step_mm=0.5)
    codes = _codes(answer)
    for name in answer.__struct_fields__:
        value = getattr(answer, name)
        if isinstance(value, float):
            assert math.isfinite(value)
        if value is None:
            assert codes & EXPLAINED.get(name, ANY_REST), f"{name} is null, findings {sorted(codes)}"
