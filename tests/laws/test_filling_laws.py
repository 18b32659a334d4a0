"""Laws of a fill: volume is conserved, gas follows its law, a lock never heals by more oil or heat."""

import math

import pytest
from hypothesis import assume, given, reject

from libdamp import fill_check
from libdamp.errors import InputError
from libdamp.parts import Bladder, Emulsion, Shock, Vented
from libdamp.pocket import oil_volume, pocket_of, pressure, spare
from tests.model_strategies import replaced, shocks, temperatures_c
from tests.strategies import between

P_ATM_KPA = 101.325


def _area_mm2(diameter_mm: float) -> float:
    return 0.25 * math.pi * diameter_mm**2


def _locks(shock: Shock, fill_c: float, run_c: float) -> set[str]:
    answer = fill_check(shock=shock, fill_temperature_c=fill_c, run_temperature_c=run_c)
    return {f.code for f in answer.findings if f.code.startswith("lock")}


@given(shocks(), between(0.0, 1.0))
def test_volume_is_conserved(shock: Shock, share: float) -> None:
    """Oil, piston and inserted shaft fill the cavity and what the gas has given up, at every insertion."""
    assume(not isinstance(shock.fill, Emulsion))
    x = share * shock.stroke_mm
    given_up = (shock.fill.room_ml if isinstance(shock.fill, Vented) else shock.fill.gas_ml) - 1e6 * float(
        spare(pocket_of(shock, 25.0), x * 1e-3)
    )
    across = shock.piston.diameter_mm or shock.bore_mm
    oil = fill_check(shock=shock).oil_ml
    assert oil is not None
    inside = oil + 1e-3 * (_area_mm2(across) * shock.piston.thickness_mm + _area_mm2(shock.shaft_mm) * x)
    assert shock.cavity_length_mm is not None
    room = 1e-3 * _area_mm2(shock.bore_mm) * shock.cavity_length_mm + given_up
    assert inside == pytest.approx(room, rel=1e-12)


@given(shocks())
def test_emulsion_gas_takes_its_room_from_the_oil(shock: Shock) -> None:
    """Gas in the oil lies inside the cavity: the same shock with a pocket holds that much more oil."""
    gas = shock.fill.room_ml if isinstance(shock.fill, Vented) else shock.fill.gas_ml
    bladder, emulsion = (
        kind(gas_ml=gas, closing_insertion_mm=shock.fill.closing_insertion_mm) for kind in (Bladder, Emulsion)
    )
    with_pocket = oil_volume(replaced(shock, fill=bladder))
    try:
        with_emulsion = oil_volume(replaced(shock, fill=emulsion))
    except InputError:  # more gas than there is room
        reject()
    assert with_pocket is not None
    assert with_emulsion is not None
    assert (with_pocket - with_emulsion) * 1e6 == pytest.approx(gas, rel=1e-9, abs=1e-12)


@given(shocks(gas="enough"), between(0.0, 1.0), temperatures_c)
def test_boyle(shock: Shock, share: float, t: float) -> None:
    """Filled and run at one temperature, pressure times gas volume is the same at every insertion."""
    assume(not isinstance(shock.fill, Vented))
    pocket = pocket_of(shock, t)
    x = share * shock.stroke_mm * 1e-3
    product = float(pressure(pocket, x)) * float(spare(pocket, x))
    assert product == pytest.approx(101_325.0 * shock.fill.gas_ml * 1e-6, rel=1e-12)


@given(shocks())
def test_figures_of_a_fill(shock: Shock) -> None:
    """Spare gas, shaft volume, pressure and what to let out follow from the definitions."""
    answer = fill_check(shock=shock, fill_temperature_c=20.0, run_temperature_c=20.0)
    area = _area_mm2(shock.shaft_mm)
    gas = shock.fill.room_ml if isinstance(shock.fill, Vented) else shock.fill.gas_ml
    spare_ml = gas - 1e-3 * area * (shock.stroke_mm - shock.fill.closing_insertion_mm)
    assert answer.shaft_ml == pytest.approx(1e-3 * area * shock.stroke_mm, rel=1e-12)
    assert answer.spare_cold_ml == pytest.approx(spare_ml, rel=1e-9, abs=1e-9)
    assert answer.spare_hot_ml == answer.spare_cold_ml
    assert answer.let_out_ml == pytest.approx(max(0.0, 0.1 * answer.shaft_ml - answer.spare_cold_ml), abs=1e-12)
    if answer.spare_cold_ml > 0.0:
        wanted = P_ATM_KPA if isinstance(shock.fill, Vented) else P_ATM_KPA * gas / answer.spare_cold_ml
        assert answer.pressure_cold_kpa == pytest.approx(wanted, rel=1e-12)
    else:
        assert answer.pressure_cold_kpa is None


@given(shocks(), temperatures_c, temperatures_c, temperatures_c)
def test_hotter_locks_more(shock: Shock, fill_c: float, one: float, other: float) -> None:
    """What locks warm locks hotter too, and keeps no more gas."""
    warm, hot = sorted((one, other))
    assert _locks(shock, fill_c, warm) <= _locks(shock, fill_c, hot)
    spares = [
        fill_check(shock=shock, fill_temperature_c=fill_c, run_temperature_c=t).spare_hot_ml for t in (warm, hot)
    ]
    assert spares[0] is not None
    assert spares[1] is not None
    assert spares[1] <= spares[0]


@given(shocks(), between(0.1, 1.0), temperatures_c, temperatures_c)
def test_less_gas_locks_more(shock: Shock, share: float, fill_c: float, run_c: float) -> None:
    """What locks with some gas locks with less of it too."""
    name = "room_ml" if isinstance(shock.fill, Vented) else "gas_ml"
    volume = getattr(shock.fill, name)
    less = replaced(shock, fill=replaced(shock.fill, **{name: max(0.005, share * volume)}))
    assert _locks(shock, fill_c, run_c) <= _locks(less, fill_c, run_c)


@given(shocks(), between(0.0, 1.0))
def test_closing_further_in_locks_less(shock: Shock, share: float) -> None:
    """Closing the cap with the shaft further in lets oil out: more gas is left with the shaft fully in."""
    closing = shock.fill.closing_insertion_mm
    further = closing + share * (shock.stroke_mm - closing)
    new = replaced(shock, fill=replaced(shock.fill, closing_insertion_mm=min(further, shock.stroke_mm)))
    a, b = fill_check(shock=shock), fill_check(shock=new)
    assert b.spare_cold_ml >= a.spare_cold_ml - 1e-12
    assert a.oil_ml is not None
    assert b.oil_ml is not None
    assert b.oil_ml <= a.oil_ml + 1e-12


@given(shocks(gas="enough"))
def test_gas_force_rises_with_insertion(shock: Shock) -> None:
    """Further in, the gas never pushes less; it pushes nothing at the closing position."""
    answer = fill_check(shock=shock, fill_temperature_c=25.0, run_temperature_c=25.0)
    full = answer.gas_force_full_n
    assert full is not None
    assert answer.gas_force_mid_n is not None
    assert answer.gas_force_droop_n is not None
    assert full >= answer.gas_force_mid_n
    assert full >= answer.gas_force_droop_n
    pocket = pocket_of(shock, 25.0)
    assert float(pressure(pocket, pocket.closing)) == pytest.approx(101_325.0, rel=1e-12)
