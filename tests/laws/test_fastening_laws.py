"""Laws of the piston's load on its clip, of the table of clips, and of `piston_load`."""

import itertools
import math
from typing import Any

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from libdamp.clips import BEARING_LIMIT_MPA, GROOVE_FIT_MM, clip_for, piston_load
from libdamp.damping import damping_curve
from libdamp.demo import demo_corner
from libdamp.errors import InputError
from libdamp.parts import Bladder, Shock
from libdamp.physics.fastening import WASHERS, bearing_pressure, groove_load, load_from_difference, ring_load
from libdamp.quantities import quantity
from tests.strategies import between, over_decades, signs

SHOCK = demo_corner("demo-truck.front").shock
shafts_mm = between(*quantity("shaft_mm").possible)  # type: ignore[misc]
bores, thin = between(113e-6, 1257e-6), between(1.8e-6, 110e-6)
speeds, yields = over_decades(1e-4, 20.0), between(50.0, 3000.0)
materials = st.sampled_from(sorted(BEARING_LIMIT_MPA))


def _with(**changes: Any) -> Shock:
    return msgspec.structs.replace(SHOCK, **changes)


@given(over_decades(1.0, 1e7), signs, bores, thin)
def test_load_is_even_and_linear(difference: float, sign: float, bore: float, shaft: float) -> None:
    """The load is the same both ways, grows with the difference, and shrinks with the shaft by its area."""
    load = float(load_from_difference(sign * difference, bore, shaft))
    assert load == float(load_from_difference(difference, bore, shaft)) > 0.0
    assert float(load_from_difference(2.0 * difference, bore, shaft)) == 2.0 * load
    gone = float(load_from_difference(difference, bore, 0.0)) - load
    assert gone == pytest.approx(difference * shaft, rel=1e-12)


@given(st.sampled_from(WASHERS), between(0.0, 1.0), between(0.2, 1.0), between(50e6, 3e9))
def test_groove_is_never_above_either_rule(washer: Any, place: float, depth: float, strength: float) -> None:
    """The groove's load is the table's at the table's shaft, follows the yield stress, and never beats a rule."""
    rated = washer.groove_load, washer.shaft_rated, washer.groove
    at = float(groove_load(rated[0], washer.shaft_rated, washer.groove, *rated[1:], 200e6))
    assert at == washer.groove_load
    shaft = washer.shaft_from + place * (washer.shaft_to - washer.shaft_from)
    groove = shaft - depth * (shaft - 0.9 * washer.groove)
    load = float(groove_load(rated[0], shaft, groove, *rated[1:], strength))
    by_depth = washer.groove_load * (shaft - groove) / (washer.shaft_rated - washer.groove)
    by_area = washer.groove_load * (shaft**2 - groove**2) / (washer.shaft_rated**2 - washer.groove**2)
    assert load == pytest.approx(min(by_depth, by_area) * strength / 200e6, rel=1e-12)
    assert load < float(groove_load(rated[0], 1.01 * shaft, groove, *rated[1:], strength))


@given(between(0.0, 5e3), between(1.4e-3, 12e-3), between(1.1, 3.0), between(1.01, 2.0))
def test_bearing(force: float, hole: float, share: float, wider: float) -> None:
    """Pressure times three quarters of the ring is the force; a wider clip presses less."""
    outer = share * hole
    pressed = float(bearing_pressure(force, outer, hole))
    ring = math.pi / 4.0 * (outer - hole) * (outer + hole)
    assert pressed * 0.75 * ring == pytest.approx(force, rel=1e-12, abs=1e-300)
    assert float(bearing_pressure(force, wider * outer, hole)) <= pressed


def test_the_table_is_in_order() -> None:
    """Larger washers have larger everything, each fits over its shafts, its rated shaft lies among them."""
    for small, large in itertools.pairwise(WASHERS):
        assert all(a <= b for a, b in zip(small, large, strict=True))
        assert small.shaft_to >= large.shaft_from
    for washer in WASHERS:
        assert washer.groove < washer.shaft_from <= washer.shaft_rated <= washer.shaft_to < washer.outer
        assert washer.groove_load < washer.load
        assert washer.chamfered_load < washer.load


@pytest.mark.parametrize("washer", WASHERS, ids=lambda w: f"{1e3 * w.groove:g}")
def test_the_table_against_the_makers_rule(washer: Any) -> None:
    """Two sources agree: the standard's loads are 0.6 to 1.1 of what the makers' rule for E-rings gives."""
    depth = 0.5 * (washer.shaft_rated - washer.groove)
    groove = float(ring_load(washer.shaft_rated, depth, 310e6, 2.0))
    shear = float(ring_load(washer.shaft_rated, washer.thickness, 1034e6, 3.0))
    assert 0.6 < washer.groove_load / groove < 1.1
    assert 0.6 < washer.load / shear < 0.8


@given(shafts_mm)
def test_every_shaft_has_a_clip(shaft: float) -> None:
    """Every possible shaft has a standard clip, the one with the shallowest groove; its groove finds it again."""
    clip = clip_for(shaft)
    assert clip is not None
    assert clip.shaft_from * 1e3 <= shaft * (1 + 1e-12)
    assert shaft * (1 - 1e-12) <= clip.shaft_to * 1e3
    assert all(shaft < w.shaft_from * 1e3 for w in WASHERS if w.groove > clip.groove)
    for groove in (clip.groove * 1e3, clip.groove * 1e3 - GROOVE_FIT_MM, clip.groove * 1e3 + GROOVE_FIT_MM):
        assert clip_for(shaft, groove) == clip


@pytest.mark.parametrize(
    ("shaft", "groove", "size"),
    [
        (2.0, None, 1.5),
        (2.0, 1.2, 1.2),
        (3.0, None, 2.3),
        (3.0, 1.9, 1.9),
        (3.5, None, 2.3),
        (4.0, None, 3.2),
        (4.0, 2.3, 2.3),
        (3.0, 2.25, 2.3),
        (3.0, 2.1, None),
        (3.0, 1.2, None),
        (6.0, None, 5.0),
    ],
)
def test_which_clip(shaft: float, groove: float | None, size: float | None) -> None:
    """The standard clip by default, the other one by its groove, none for a groove that fits none."""
    clip = clip_for(shaft, groove)
    assert (None if clip is None else round(1e3 * clip.groove, 9)) == size


@given(speeds)
def test_load_is_the_damping_force(speed: float) -> None:
    """At a steady speed the load is the damping force of the curve, on compression up to the gas."""
    answer = piston_load(shock=SHOCK, speed_m_s=speed)
    curve = damping_curve(shock=SHOCK, speeds_m_s=(speed,), insertion_mm=SHOCK.stroke_mm)
    assert answer.rebound_load_n == pytest.approx(-curve.rebound_n[0], rel=1e-14)
    assert answer.compression_load_n == pytest.approx(curve.compression_capped_n[0], rel=1e-14)
    assert answer.load_n == max(answer.rebound_load_n, answer.compression_load_n)
    capped = any(f.code == "void_caps_load" for f in answer.findings)
    assert capped == (curve.compression_n[0] > curve.compression_capped_n[0])


@given(speeds, between(1.01, 3.0))
def test_faster_is_never_less(speed: float, faster: float) -> None:
    """More speed never loads less, and never leaves more margin."""
    slow = piston_load(shock=SHOCK, speed_m_s=speed / faster)
    fast = piston_load(shock=SHOCK, speed_m_s=speed)
    assert fast.rebound_load_n > slow.rebound_load_n
    assert fast.compression_load_n >= slow.compression_load_n
    assert fast.margin < slow.margin  # type: ignore[operator]


@given(over_decades(1.0, 1e5), shafts_mm, yields, materials, st.sampled_from(("square", "chamfered")))
def test_margin_is_the_least(kpa: float, shaft: float, strength: float, material: Any, edge: Any) -> None:
    """The margin is the least limit over its load, the weakest part is named, and below 1 a warning says so."""
    shock = _with(shaft_mm=min(shaft, 5.0))
    answer = piston_load(
        shock=shock, pressure_difference_kpa=kpa, yield_mpa=strength, material=material, hole_edge=edge
    )
    load = kpa * 1e3 * math.pi / 4e6 * (shock.bore_mm**2 - shock.shaft_mm**2)
    assert answer.compression_load_n == answer.rebound_load_n == answer.load_n == pytest.approx(load, rel=1e-12)
    assert answer.groove_limit_n is not None
    assert answer.clip_limit_n is not None
    assert answer.bearing_mpa is not None
    margins = {
        "groove": answer.groove_limit_n / load,
        "clip": answer.clip_limit_n / load,
        "piston": answer.bearing_limit_mpa / answer.bearing_mpa,
    }
    assert answer.margin == pytest.approx(min(margins.values()), rel=1e-11)
    assert margins[str(answer.weakest)] == pytest.approx(answer.margin, rel=1e-11)
    codes = {"groove": "groove_overloaded", "clip": "clip_overloaded", "piston": "piston_crushed"}
    found = {f.code for f in answer.findings}
    for part, margin in margins.items():
        if abs(margin - 1.0) > 1e-9:
            assert (codes[part] in found) == (margin < 1.0)


def test_no_load_no_margin() -> None:
    """At rest nothing pushes: no margin, and a note; at once above it a large one."""
    for nothing in ({"speed_m_s": 0.0}, {"pressure_difference_kpa": 0.0}):
        answer = piston_load(shock=SHOCK, **nothing)
        assert answer.margin is None
        assert [f.code for f in answer.findings] == ["no_load"]
        assert answer.weakest == "groove"
    barely = piston_load(shock=SHOCK, pressure_difference_kpa=1e-6)
    assert barely.margin is not None
    assert barely.margin > 1e5


def test_gas_above_or_locked() -> None:
    """A difference above the gas at rest is loaded in full and noted; a locked shock caps nothing."""
    above = piston_load(shock=SHOCK, pressure_difference_kpa=200.0)
    assert [f.code for f in above.findings] == ["difference_above_gas"]
    assert above.findings[0].limit == pytest.approx(135.5, abs=0.1)
    assert not piston_load(shock=SHOCK, pressure_difference_kpa=135.0).findings
    full = _with(fill=Bladder(gas_ml=0.05, closing_insertion_mm=0.0))
    answer = piston_load(shock=full, speed_m_s=2.0)
    assert answer.compression_load_n == answer.rebound_load_n
    assert {f.code for f in answer.findings} >= {"lock_cold"}
    warm = _with(fill=Bladder(gas_ml=0.05, closing_insertion_mm=0.0, filled_at_c=10.0))
    assert "lock_hot" in {f.code for f in piston_load(shock=warm, speed_m_s=0.1, temperature_c=40.0).findings}


@pytest.mark.parametrize(
    ("request_", "places"),
    [
        ({}, ["/speed_m_s"]),
        ({"speed_m_s": 0.1, "pressure_difference_kpa": 10.0}, ["/speed_m_s"]),
        ({"speed_m_s": 0.1, "groove_mm": 3.0}, ["/groove_mm"]),
        ({"groove_mm": 3.5}, ["/speed_m_s", "/groove_mm"]),
    ],
)
def test_what_cannot_be(request_: dict[str, Any], places: list[str]) -> None:
    """Neither or both of speed and difference, a groove as wide as the shaft: all faults at once."""
    with pytest.raises(InputError) as caught:
        piston_load(shock=SHOCK, **request_)
    assert [fault.pointer for fault in caught.value.faults] == places
