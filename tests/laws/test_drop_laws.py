"""Laws of a fall: higher is never gentler, the touch height is where the clearance is nil, what is said holds."""

import math
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from libdamp import drop, touch_height
from libdamp.car import Corner
from libdamp.drops import BOUND_S, HIGH_BOUNCE_MM, SLOW_S
from libdamp.runs import LONGEST_S, QUIET_S, quiet, resolved
from libdamp.touching import HIGHEST_M, impact, least_clearance, touch
from tests.drawn import examples
from tests.model_strategies import replaced
from tests.moving_strategies import FILLS, made_ready, usual_corners
from tests.strategies import between, over_decades

heights = over_decades(0.02, 0.5)
kinds = pytest.mark.parametrize("kind", FILLS)
FEW = settings(max_examples=examples(6))
EVEN_M = 2e-5
"""0.02 mm: what a time step and a search leave open."""


@kinds
@FEW
@given(st.data(), heights, between(1.02, 2.0))
def test_higher_is_never_gentler(kind: str, data: st.DataObject, height: float, times: float) -> None:
    """From higher the chassis comes no less far down."""
    corner = made_ready(data.draw(usual_corners(kinds=(kind,))))
    low, high = (least_clearance(corner, h) for h in (height, times * height))
    assert high <= low + EVEN_M


@kinds
@settings(max_examples=examples(4))
@given(st.data(), between(1.0, 12.0))
def test_touch_height(kind: str, data: st.DataObject, more: float) -> None:
    """Fallen from its touch height a corner just touches; with more clearance it touches from no lower."""
    drawn = data.draw(usual_corners(kinds=(kind,)))
    corner = made_ready(drawn)
    height = touch(corner, 0.2)
    if height is None:
        assert least_clearance(corner, HIGHEST_M) > 0.0
        return
    if height > 0.0:
        assert abs(least_clearance(corner, height)) < EVEN_M
    higher = touch(made_ready(replaced(drawn, level_clearance_mm=drawn.level_clearance_mm + more)), 0.2)
    assert higher is None or higher >= height


@settings(max_examples=examples(4))
@given(usual_corners(), between(10.0, 400.0))
def test_what_a_drop_says(corner: Corner, height: float) -> None:
    """Each finding is there when its number passes its limit and not otherwise; the shares make up the energy."""
    corner = replaced(corner, tyre=replaced(corner.tyre, sidewall_mm=10.0))
    answer: Any = drop(corner=corner, height_mm=height, series=True)
    codes = {f.code for f in answer.findings}
    assume(answer.least_clearance_mm is not None)
    watch = resolved(made_ready(corner), impact(height * 1e-3), LONGEST_S, quiet)
    said = {
        "slap": answer.least_clearance_mm < 0.0,
        "bounce": answer.bounce_height_mm > HIGH_BOUNCE_MM,
        "void_opens": answer.peak_void_ml > 0.0,
        "slow_settling": SLOW_S < answer.settle_s < LONGEST_S - QUIET_S,
        "not_settled": answer.settle_s >= LONGEST_S - QUIET_S,
        "rim_strike": watch.squash > 10.0e-3,
        "stop_peak": watch.over > 0.0,
    }
    assert {code: code in codes for code in said} == said
    energy, series = answer.energy, answer.series
    shares = [getattr(energy, name) for name in energy.__struct_fields__ if name != "start_j"]
    assert sum(shares) == pytest.approx(energy.start_j, rel=2e-3)
    assert min(energy.oil_j, energy.stops_j, energy.void_j, energy.ground_j) >= 0.0
    assert max(series.insertion_mm) <= answer.peak_insertion_mm * (1.0 + 1e-12)
    assert min(series.clearance_mm) >= answer.least_clearance_mm
    assert max(series.shock_n) <= answer.peak_shock_n * (1.0 + 1e-12)


@settings(max_examples=examples(2))
@given(usual_corners(), between(1.0, 90.0))
def test_what_a_touch_height_says(corner: Corner, clearance: float) -> None:
    """No height, nil and a band without an end are said, each where it is so; the band holds the answer."""
    answer: Any = touch_height(corner=replaced(corner, level_clearance_mm=clearance))
    codes = {f.code for f in answer.findings}
    assume(answer.bounds)  # else it cannot move, and says so
    assert ("never_touches" in codes) == (answer.height_mm is None)
    assert ("touches_at_once" in codes) == (answer.height_mm == 0.0)
    if answer.height_mm is None:
        return
    ends = answer.high_mm, answer.tyre_high_mm
    assert ("band_open" in codes) == (None in ends)
    assert answer.low_mm <= answer.height_mm <= (math.inf if ends[0] is None else ends[0])
    assert answer.tyre_low_mm <= answer.height_mm <= (math.inf if ends[1] is None else ends[1])


@settings(max_examples=examples(6))
@given(usual_corners(), heights)
def test_a_bound_is_the_landing_told_so(corner: Corner, height: float) -> None:
    """The landing at a bound has force and bounce of `drop` told that bound; once it has settled, depth as well."""
    fall = 1e3 * height
    found = {one.name: one for one in drop(corner=corner, height_mm=fall).bounds}
    told = drop(corner=corner, height_mm=fall, void_hole_factor=1.6)
    assume("void_hole_factor 1.6" in found and told.peak_shock_n is not None)
    bound = found["void_hole_factor 1.6"]
    settled = told.settle_s is not None and told.settle_s < BOUND_S - QUIET_S
    depths = ("least_clearance_mm", "peak_insertion_mm") if settled else ()  # else it still creeps down
    for field in ("peak_shock_n", "bounce_height_mm", *depths):
        assert getattr(bound, field) == pytest.approx(getattr(told, field), rel=1e-9, abs=1e-9), field
