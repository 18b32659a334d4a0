"""Laws of bubbles that rise and of oil that holds air, of the equations and of both calculations."""

import math
from typing import Any

import pytest
from fluids.drag import v_terminal
from hypothesis import assume, given

from libdamp import InputError, Oil, aerated_oil, bubble_rise
from libdamp.physics.aeration import (
    AIR_SOLUBILITY,
    REYNOLDS_STOKES,
    air_share_at,
    column_shortening,
    dissolved_air,
    effective_bulk_modulus,
    fixed_mass_bulk_modulus,
    rise_reynolds,
    stokes_rise,
)
from libdamp.physics.numbers import P_ATM
from tests.strategies import between, densities, gas_volumes, over_decades, viscosities

KPA = 101.325
diameters, factors = over_decades(5e-6, 5e-3), between(1.01, 5.0)
shares, some_air = between(0.0, 0.9), over_decades(1e-4, 0.9)
pressures = over_decades(1e3, 1e7)
exponents, moduli = between(1.0, 1.4), over_decades(0.3e9, 5e9)
bubbles_mm, depths_mm, grades_cst, celsius = (
    over_decades(0.005, 5.0),
    over_decades(1.0, 300.0),
    over_decades(20.0, 20_000.0),
    between(-20.0, 120.0),
)
kpas, chambers_mm = over_decades(1.0, 1e4), over_decades(0.5, 250.0)


@given(diameters, densities, viscosities, factors)
def test_rise_scales(d: float, difference: float, viscosity: float, factor: float) -> None:
    """Twice the bubble rises four times as fast; thicker oil slows it in proportion; no difference, no rise."""
    speed = float(stokes_rise(d, difference, viscosity))
    assert float(stokes_rise(factor * d, difference, viscosity)) == pytest.approx(factor**2 * speed, rel=1e-13)
    assert float(stokes_rise(d, difference, factor * viscosity)) == pytest.approx(speed / factor, rel=1e-13)
    assert stokes_rise(d, 0.0, viscosity) == 0.0
    assert float(stokes_rise(d, -difference, viscosity)) == -speed


@given(diameters, densities, viscosities)
def test_weight_balances_drag(d: float, difference: float, viscosity: float) -> None:
    """At that speed Stokes's drag, 3 pi mu d v, is the bubble's buoyancy."""
    drag = 3.0 * math.pi * viscosity * d * float(stokes_rise(d, difference, viscosity))
    assert drag == pytest.approx(9.80665 * difference * math.pi / 6.0 * d**3, rel=1e-13)


def test_what_the_finding_says_of_the_law() -> None:
    """At the limit, Reynolds number 1, a sphere rises 8 to 14 % slower than Stokes says; at 0.01 as he says."""
    nu, rho = 20e-6, 950.0
    for reynolds, low, high in ((REYNOLDS_STOKES, 1.08, 1.14), (0.1, 1.0, 1.03), (0.01, 1.0, 1.005)):
        d = (18.0 * nu * nu * reynolds / 9.80665) ** (1.0 / 3.0)
        speed = float(stokes_rise(d, rho, rho * nu))
        assert float(rise_reynolds(speed, d, nu)) == pytest.approx(reynolds, rel=1e-12)
        falls = float(
            v_terminal(D=d, rhop=2.0 * rho, rho=rho, mu=rho * nu, Method="Clift")
        )  # as heavy as it is light
        assert low <= speed / falls <= high


@given(shares, pressures, pressures, pressures, exponents)
def test_share_there_and_back(share: float, one: float, two: float, three: float, n: float) -> None:
    """A share goes to another pressure and back, directly or by way of a third."""
    away = float(air_share_at(share, one, two, n))
    assert 0.0 <= away <= 1.0
    onward = float(air_share_at(away, two, three, n))
    assert onward == pytest.approx(float(air_share_at(share, one, three, n)), rel=1e-9, abs=1e-300)
    assert float(air_share_at(away, two, one, n)) == pytest.approx(share, rel=1e-9, abs=1e-300)
    assert (away - share) * (one - two) >= -1e-15


@given(pressures, pressures, exponents)
def test_ends_of_the_share(one: float, two: float, n: float) -> None:
    """No air stays none, all air stays all; at the same pressure nothing changes."""
    assert air_share_at(0.0, one, two, n) == 0.0
    assert air_share_at(1.0, one, two, n) == 1.0
    assert float(air_share_at(0.3, one, one, n)) == pytest.approx(0.3, rel=1e-15)


@given(shares, pressures, pressures, moduli)
def test_slow_unless_said(share: float, one: float, two: float, modulus: float) -> None:
    """Without an exponent the air is slow: exponent 1, pressure times volume constant."""
    assert air_share_at(share, one, two) == air_share_at(share, one, two, 1.0)
    assert effective_bulk_modulus(share, one, modulus) == effective_bulk_modulus(share, one, modulus, 1.0)
    by_mass = fixed_mass_bulk_modulus(share, one, two, modulus)
    assert by_mass == fixed_mass_bulk_modulus(share, one, two, modulus, 1.0)
    assert column_shortening(0.02, share, one, two) == column_shortening(0.02, share, one, two, 1.0)


@given(shares, pressures, moduli, exponents)
def test_modulus_between_gas_and_oil(share: float, pressure: float, modulus: float, n: float) -> None:
    """Oil with air is softer than the oil, stiffer than the air; without air it is the oil, all air the air."""
    mixed = float(effective_bulk_modulus(share, pressure, modulus, n))
    assert n * pressure * (1 - 1e-14) <= mixed <= modulus * (1 + 1e-14)
    assert float(effective_bulk_modulus(0.0, pressure, modulus, n)) == pytest.approx(modulus, rel=1e-15)
    assert float(effective_bulk_modulus(1.0, pressure, modulus, n)) == pytest.approx(n * pressure, rel=1e-15)


@given(some_air, pressures, moduli, exponents, factors)
def test_more_air_is_softer(share: float, pressure: float, modulus: float, n: float, factor: float) -> None:
    """More air never stiffens the oil, more pressure always does."""
    assume(factor * share <= 1.0)
    assert effective_bulk_modulus(factor * share, pressure, modulus, n) < effective_bulk_modulus(
        share, pressure, modulus, n
    )
    assert fixed_mass_bulk_modulus(share, P_ATM, factor * pressure, modulus, n) > fixed_mass_bulk_modulus(
        share, P_ATM, pressure, modulus, n
    )


@given(shares, pressures, pressures, moduli, exponents)
def test_fixed_mass_is_the_share_at_the_pressure(
    share: float, reference: float, pressure: float, modulus: float, n: float
) -> None:
    """The modulus with the air's mass fixed is that of the share which the air has at the pressure."""
    there = float(effective_bulk_modulus(air_share_at(share, reference, pressure, n), pressure, modulus, n))
    assert float(fixed_mass_bulk_modulus(share, reference, pressure, modulus, n)) == pytest.approx(there, rel=1e-12)


@given(some_air, pressures, pressures, exponents)
def test_shortening_is_what_the_modulus_says(share: float, reference: float, pressure: float, n: float) -> None:
    """The slope of the column's length over pressure is its air's part of the modulus."""
    step = 1e-4 * pressure
    slope = float(
        column_shortening(1.0, share, reference, pressure + step, n)
        - column_shortening(1.0, share, reference, pressure - step, n)
    ) / (2.0 * step)
    length = 1.0 - float(column_shortening(1.0, share, reference, pressure, n))
    endless = 1e30  # a modulus so large that only the air gives
    modulus = float(fixed_mass_bulk_modulus(share, reference, pressure, endless, n))
    part = float(air_share_at(share, reference, pressure, n))
    assume(part > 1e-3)  # below it the difference of two lengths near 1 loses its digits
    assert slope / length == pytest.approx(1.0 / modulus, rel=1e-6)


@given(some_air, pressures, pressures, exponents)
def test_shortening_signs_and_bounds(share: float, reference: float, pressure: float, n: float) -> None:
    """Pressed it shortens, by less than the air it has; let go it swells; no change at the same pressure."""
    given_way = float(column_shortening(1.0, share, reference, pressure, n))
    assert given_way < share
    assert given_way * (pressure - reference) >= 0.0
    assert column_shortening(1.0, share, reference, reference, n) == 0.0
    assert column_shortening(1.0, 0.0, reference, pressure, n) == 0.0


@given(gas_volumes, between(0.0, 1e6), between(0.0, 1e6))
def test_dissolving_adds_up(oil: float, one: float, two: float) -> None:
    """What two rises dissolve is what their sum does; a fall gives back the same; one atmosphere gives S V."""
    parts = sum(float(dissolved_air(oil, p, 0.17)) for p in (one, two))
    assert parts == pytest.approx(float(dissolved_air(oil, one + two, 0.17)), rel=1e-12)
    assert float(dissolved_air(oil, -one, 0.17)) == -float(dissolved_air(oil, one, 0.17))
    assert float(dissolved_air(oil, P_ATM, 0.17)) == pytest.approx(0.17 * oil, rel=1e-15)


@given(grades_cst, depths_mm, bubbles_mm, celsius, between(0.5, 25.0))
def test_wait(cst: float, depth: float, bubble: float, t: float, warmer: float) -> None:
    """Wait times speed is the depth; half the bubble waits four times as long; warm oil waits less."""
    oil = Oil(viscosity_cst=cst)
    made = bubble_rise(oil=oil, depth_mm=depth, bubble_mm=bubble, temperature_c=t)
    assert made.wait_s * made.rise_mm_s == pytest.approx(depth, rel=1e-12)
    assert ("bubble_fast" in {f.code for f in made.findings}) == (made.reynolds > REYNOLDS_STOKES)
    if bubble >= 0.01:
        half = bubble_rise(oil=oil, depth_mm=depth, bubble_mm=0.5 * bubble, temperature_c=t)
        assert half.wait_s == pytest.approx(4.0 * made.wait_s, rel=1e-12)
    if t + warmer <= 120.0:
        warm = bubble_rise(oil=oil, depth_mm=depth, bubble_mm=bubble, temperature_c=t + warmer)
        assert warm.wait_s < made.wait_s


def test_wait_defaults() -> None:
    """Bubbles of 0.2 mm at 20 C unless said."""
    oil = Oil(viscosity_cst=325.0)
    plain = bubble_rise(oil=oil, depth_mm=35.0)
    assert plain == bubble_rise(oil=oil, depth_mm=35.0, bubble_mm=0.2, temperature_c=20.0)
    assert plain.wait_s > bubble_rise(oil=oil, depth_mm=35.0, temperature_c=25.0).wait_s


@given(shares, chambers_mm, kpas, kpas, exponents)
def test_dead_travel(share: float, chamber: float, kpa: float, rest: float, n: float) -> None:
    """Never negative, nothing without air or without change; in proportion to the column."""
    asked = {"chamber_mm": chamber, "pressure_kpa": kpa, "rest_pressure_kpa": rest, "exponent": n}
    made = aerated_oil(air_share=share, **asked)
    assert made.dead_travel_mm >= 0.0
    assert 0.0 <= made.air_share_now <= 1.0
    assert aerated_oil(air_share=0.0, **asked).dead_travel_mm == 0.0
    assert aerated_oil(air_share=share, **{**asked, "pressure_kpa": rest}).dead_travel_mm == 0.0
    if chamber <= 100.0:
        longer = aerated_oil(air_share=share, **{**asked, "chamber_mm": 2.5 * chamber})
        assert longer.dead_travel_mm == pytest.approx(2.5 * made.dead_travel_mm, rel=1e-12)


@given(between(0.0, 0.4), kpas)
def test_dead_travel_goes_with_the_air(share: float, kpa: float) -> None:
    """From the atmosphere the dead travel is in proportion to the share of air."""
    one, two = (aerated_oil(air_share=a, chamber_mm=20.0, pressure_kpa=kpa) for a in (share, 2.0 * share))
    assert two.dead_travel_mm == pytest.approx(2.0 * one.dead_travel_mm, rel=1e-12)


@given(some_air, kpas, kpas)
def test_there_and_back(share: float, kpa: float, rest: float) -> None:
    """The way back over the same column is the way there."""
    there = aerated_oil(air_share=share, chamber_mm=20.0, pressure_kpa=kpa, rest_pressure_kpa=rest)
    length = 20.0 - math.copysign(there.dead_travel_mm, kpa - rest)
    assume(0.5 <= length <= 250.0)
    back = aerated_oil(air_share=share, chamber_mm=length, pressure_kpa=rest, rest_pressure_kpa=kpa)
    assert back.dead_travel_mm == pytest.approx(there.dead_travel_mm, rel=1e-9, abs=1e-12)


@given(some_air, kpas)
def test_what_is_said_of_solution(share: float, kpa: float) -> None:
    """Below the atmosphere air comes out; above it the oil may take up all that is free, petroleum less."""
    for family, solubility in AIR_SOLUBILITY.items():
        asked: dict[str, Any] = {"air_share": share, "chamber_mm": 20.0, "pressure_kpa": kpa, "family": family}
        made = aerated_oil(**asked)
        codes = {f.code for f in made.findings}
        room = solubility * (1.0 - share) * (kpa - KPA) / KPA
        assume(abs(room - share) > 1e-9)
        assert ("air_comes_out" in codes) == (kpa < KPA)
        assert ("air_dissolves" in codes) == (room > share)


def test_family_gives_the_modulus() -> None:
    """Silicone is softer than petroleum oil; a modulus that is given counts, whatever the family."""
    asked: dict[str, Any] = {"air_share": 0.0, "chamber_mm": 20.0, "pressure_kpa": 300.0}
    soft, stiff = aerated_oil(**asked, family="silicone"), aerated_oil(**asked, family="petroleum")
    assert soft.effective_bulk_modulus_gpa == pytest.approx(0.85, rel=1e-12)
    assert stiff.effective_bulk_modulus_gpa == pytest.approx(1.5, rel=1e-12)
    own = aerated_oil(**asked, bulk_modulus_gpa=0.97)
    assert own.effective_bulk_modulus_gpa == pytest.approx(0.97, rel=1e-12)


def test_all_faults_at_once() -> None:
    """Every value out of range is told in one go."""
    with pytest.raises(InputError) as caught:
        aerated_oil(air_share=1.5, chamber_mm=-1.0, pressure_kpa=0.0, exponent=2.0)
    assert [f.pointer for f in caught.value.faults] == ["/air_share", "/chamber_mm", "/pressure_kpa", "/exponent"]
    with pytest.raises(InputError) as caught:
        bubble_rise(oil=Oil(viscosity_cst=325.0), depth_mm=0.0, bubble_mm=float("nan"))
    assert [f.pointer for f in caught.value.faults] == ["/depth_mm", "/bubble_mm"]
