"""Laws of bumps, of a push and of a bench: weight is carried, what is said holds, work is only ever lost."""

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import Phase, assume, given, settings
from hypothesis import strategies as st

from libdamp import bench_cycle, bumps, push_release, ride
from libdamp.car import Corner
from libdamp.effects import MEASURES
from libdamp.ground import FULL_CONTACT, PACKS_M, _steady, at_rest, sound, window_of
from libdamp.parts import Shock
from libdamp.physics.numbers import G_N
from libdamp.runs import Watch
from libdamp.windows import STEADY_SHARE, road_of
from tests.drawn import examples
from tests.model_strategies import replaced
from tests.moving_strategies import FILLS, made_ready, usual_corners, usual_shocks
from tests.strategies import between, over_decades

FEW = settings(max_examples=examples(5))
kinds = pytest.mark.parametrize("kind", FILLS)
washboards = st.tuples(over_decades(1e-3, 20e-3), over_decades(0.1, 0.6), over_decades(2.0, 12.0))
"""Height, spacing, m, and speed, m/s."""


class _TyreWatch(Watch):
    """Sums the tyre's force as well, whichever way it acts."""

    total = 0.0

    def look(self, time: Any) -> None:
        """Take the state of a step."""
        super().look(time)
        self.total += self.run.tyre


@kinds
@settings(FEW, phases=[Phase.explicit, Phase.reuse, Phase.generate])
@given(st.data(), washboards)
def test_the_tyre_carries_the_weight(kind: str, data: st.DataObject, board: tuple[float, float, float]) -> None:
    """The mean force of the tyre is the weight and what the car gains in momentum: Newton, to round-off.

    A window that is resolved has this mean to 0.3 %; it leaves out the steps in which a tyre that comes off pulls.
    A run that counts as steady may still swap momentum from window to window: its wheel hops at random.
    """
    corner = made_ready(data.draw(usual_corners(kinds=(kind,))), at_rest=True)
    run, road = at_rest(corner), road_of("washboard", *board, corner.step)
    c, watch = corner.moving, _TyreWatch(corner, run)
    window_of(run, watch, road)
    watch.total = 0.0
    before = c.sprung * run.body_speed + c.unsprung * run.wheel_speed
    window = window_of(run, watch, road)
    gained = c.sprung * run.body_speed + c.unsprung * run.wheel_speed - before
    assume(watch.clearance > 0.0)
    weight = (c.sprung + c.unsprung) * G_N
    carried = weight + gained / window.time
    assert watch.total / len(road.height) == pytest.approx(carried, abs=1e-9 * weight)
    if sound(window):
        assert window.force == pytest.approx(carried, rel=3e-3)


@kinds
@FEW
@given(st.data(), washboards)
def test_bumps_give_what_the_shock_takes(kind: str, data: st.DataObject, board: tuple[float, float, float]) -> None:
    """The shock turns no more into heat than the ground can give: the rms tyre force at the rms road speed."""
    corner = data.draw(usual_corners(kinds=(kind,)))
    height, spacing, speed = board
    answer = bumps(corner=corner, bump_height_mm=1e3 * height, bump_spacing_mm=1e3 * spacing, speed_m_s=speed)
    if answer.power_w is None or answer.tyre_load_variation is None or not answer.steady:
        return
    rising = math.pi * height / spacing * speed / math.sqrt(2.0)
    weight = (corner.sprung_mass_g + corner.unsprung_mass_g) * 1e-3 * G_N
    most = weight * math.hypot(1.0, answer.tyre_load_variation) * rising
    assert answer.power_w <= 1.02 * most


@kinds
@FEW
@given(st.data(), washboards)
def test_steady_is_steady(kind: str, data: st.DataObject, board: tuple[float, float, float]) -> None:
    """A run that counts as steady, its ledger closed, goes on so: the next window has its work and its heights.

    A run that beats slowly may by chance be alike in two windows and drift a little in the next: no further than
    what counts as a clear shift.
    """
    corner = made_ready(data.draw(usual_corners(kinds=(kind,))), at_rest=True)
    run = at_rest(corner)
    road = road_of("washboard", *board, corner.step)
    window, watch, steady, _ = _steady(run, Watch(corner, run), road)
    assume(steady and sound(window))
    following = window_of(run, watch, road)
    clear = 1e-3 * MEASURES["mean_shift_mm"].absolute
    assert abs(following.travel - window.travel) <= clear
    assert abs(following.body - window.body) <= clear
    assert abs(following.work - window.work) <= 2.0 * STEADY_SHARE * max(abs(following.work), 1e-6)


@FEW
@given(usual_corners(), washboards, st.sampled_from(("washboard", "road", "step")))
def test_what_bumps_say(corner: Corner, board: tuple[float, float, float], shape: str) -> None:
    """Each finding is there when its number passes its limit and not otherwise."""
    made_ready(corner, at_rest=True)
    height, spacing, speed = board
    answer = bumps(
        corner=corner, shape=shape, bump_height_mm=height * 1e3, bump_spacing_mm=spacing * 1e3, speed_m_s=speed
    )
    assume(answer.contact_share is not None)
    codes = {f.code for f in answer.findings}
    band = ride(corner=corner).drag_band_mm or 0.0
    over = answer.mean_shift_mm - band
    said = {
        "road_like": shape == "road",
        "not_steady": shape != "step" and not answer.steady,
        "wheel_leaves": answer.contact_share < FULL_CONTACT,
        "slap": answer.least_clearance_mm < 0.0,
        "void_opens": answer.peak_void_ml > 0.0,
        "packs_down": shape != "step" and over > PACKS_M * 1e3,
    }
    assume(abs(over - PACKS_M * 1e3) > 1e-6)
    assert {code: code in codes for code in said} == said
    assert answer.power_w >= 0.0
    assert answer.oil_rise_low_c <= answer.oil_rise_c <= answer.oil_rise_high_c
    assert answer.viscosity_share_warm <= 1.0


@FEW
@given(usual_corners(), between(2.0, 30.0))
def test_what_a_push_says(corner: Corner, push: float) -> None:
    """A push that reaches the ground is refused; what does not come back half-way is said; it never undershoots."""
    made_ready(corner, at_rest=True)
    answer = push_release(corner=corner, push_mm=push)
    codes = {f.code for f in answer.findings}
    room = ride(corner=corner).clearance_mm
    assume(room is not None and "cannot_move" not in codes)
    assert ("push_too_far" in codes) == (push >= room)
    if push >= room:
        assert answer.settle_s is None
        return
    assert ("stays_down" in codes) == (answer.half_time_s is None)
    assert answer.overshoot_mm >= 0.0
    assert answer.settle_s >= 0.0
    if answer.half_time_s is not None:
        assert answer.half_time_frames == pytest.approx(240.0 * answer.half_time_s, rel=1e-12)
        assert answer.half_time_s > 0.0
    assert answer.rest_error_mm <= push


@kinds
@FEW
@given(st.data(), over_decades(0.3, 8.0), between(0.3, 0.9))
def test_a_bench_only_takes(kind: str, data: st.DataObject, frequency: float, share: float) -> None:
    """A cycle takes work; on the way in the shock never pushes back less than at the same place on the way out."""
    shock = data.draw(usual_shocks(1.0, kind))
    answer = _bench(shock, frequency, share)
    assert answer.loss_j > 0.0
    assert answer.peak_compression_n > 0.0
    per = (len(answer.time_s) - 1) // 3
    x, force = (np.asarray(column)[-per - 1 :] for column in (answer.insertion_mm, answer.force_n))
    way = np.gradient(x)
    inward, outward = (np.argsort(np.where(side, x, np.inf))[: side.sum()] for side in (way > 0.0, way < 0.0))
    middle = np.linspace(x.min() + 0.1 * np.ptp(x), x.max() - 0.1 * np.ptp(x), 9)
    pushed = np.interp(middle, x[inward], force[inward]) - np.interp(middle, x[outward], force[outward])
    assert float(pushed.min()) > 0.0


def _bench(shock: Shock, frequency: float, share: float) -> object:
    centre = 0.5 * shock.stroke_mm
    return bench_cycle(shock=shock, amplitude_mm=share * centre, centre_insertion_mm=centre, frequency_hz=frequency)


@kinds
@FEW
@given(st.data(), over_decades(0.3, 8.0), between(0.3, 0.9), between(0.0, 3.0))
def test_drag_on_a_bench(kind: str, data: st.DataObject, frequency: float, share: float, drag: float) -> None:
    """Seals that give 0.02 mm before they slide take 4 F (X - 0.02 mm) a cycle, whatever the oil does."""
    shock = data.draw(usual_shocks(1.0, kind))
    free, held = (_bench(replaced(shock, seal_drag_n=f), frequency, share) for f in (0.0, drag))
    amplitude = share * 0.5e-3 * shock.stroke_mm
    wanted = 4.0 * drag * (amplitude - 2e-5)
    assert held.loss_j - free.loss_j == pytest.approx(wanted, rel=1e-3, abs=1e-9 + 1e-6 * free.loss_j)


@FEW
@given(usual_shocks(1.0, "bladder"), over_decades(0.3, 8.0), between(0.3, 0.9))
def test_what_a_bench_says(shock: Shock, frequency: float, share: float) -> None:
    """An empty space is said when there was one."""
    answer = _bench(shock, frequency, share)
    codes = {f.code for f in answer.findings}
    assert ("void_opens" in codes) == (answer.peak_void_ml > 0.0)
    assert min(answer.void_ml) >= 0.0
    assert min(answer.cap_kpa) > 0.0
    assert all(math.isfinite(f) for f in answer.force_n)
