"""Whatever is possible gets an answer in bounded time: finite numbers, or none and a finding that says why."""

import contextlib
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from libdamp import bench_cycle, bumps, cycling, drop, drops, ground, push_release, runs, touch_height
from libdamp.car import Corner
from libdamp.errors import TooCostly
from libdamp.physics.chamber import SealedRun, SpreadRun
from tests.drawn import examples
from tests.model_strategies import temperatures_c
from tests.moving_strategies import grounds, made_ready, stops, told, usual_corners, wide_corners
from tests.strategies import between, over_decades

Told = dict[str, float]

STEPS = 20_000
"""Bound of these tests, a tenth of the library's, so that many corners come up against it."""


@contextlib.contextmanager
def counted() -> Iterator[Callable[[], int]]:
    """Count the time steps that all runs take."""
    taken = 0

    def counting(move: Any) -> Any:
        def moved(*given: Any) -> None:
            nonlocal taken
            taken += 1
            move(*given)

        return moved

    with pytest.MonkeyPatch.context() as patch:
        for kind in (SealedRun, SpreadRun):
            patch.setattr(kind, "move", counting(kind.move))
        yield lambda: taken


def _bounded(work: Callable[[], Any]) -> Any:
    """What a calculation answers that may take STEPS; it takes no more."""
    with pytest.MonkeyPatch.context() as patch, counted() as taken:
        for module in (runs, drops, ground, cycling):
            patch.setattr(module, "MOST_STEPS", STEPS)
        answer = work()
        assert taken() <= STEPS
    return answer


def _explained(answer: Any, field: str, *codes: str) -> None:
    """The output is there, or a finding says why not."""
    if getattr(answer, field) is None:
        assert any(f.severity == "do_not_run" or f.code in codes for f in answer.findings)


@settings(max_examples=examples(8))
@given(wide_corners(), between(0.0, 3000.0), temperatures_c, told, stops, grounds, st.booleans())
def test_drop(
    corner: Corner, height: float, temperature: float, how: Told, stop: Told, ground: Told, series: bool
) -> None:
    """A fall from up to 3 m."""
    asked: Any = {"corner": corner, "height_mm": height, "temperature_c": temperature, "series": series}
    answer = _bounded(lambda: drop(**asked, **how, **stop, **ground))
    _explained(answer, "least_clearance_mm")
    assert len({len(getattr(answer.series, name)) for name in answer.series.__struct_fields__}) == 1
    assert bool(answer.series.time_s) == (series and answer.least_clearance_mm is not None)


@settings(max_examples=examples(5))
@given(wide_corners(), temperatures_c, told, stops)
def test_touch_height(corner: Corner, temperature: float, how: Told, stop: Told) -> None:
    """The height from which the chassis just touches."""
    answer = _bounded(lambda: touch_height(corner=corner, temperature_c=temperature, **how, **stop))
    _explained(answer, "height_mm", "never_touches")
    if answer.height_mm is not None:
        assert answer.low_mm is not None
        assert 0.0 <= answer.low_mm <= answer.height_mm <= 3000.0 * (1.0 + 1e-9)


grounds_driven = st.tuples(between(0.0, 150.0), over_decades(5.0, 2000.0), over_decades(0.5, 60.0))
"""Height, spacing, mm, and speed, m/s."""


@settings(max_examples=examples(8))
@given(
    wide_corners(),
    st.sampled_from(("washboard", "step", "road")),
    grounds_driven,
    temperatures_c,
    told,
    stops,
    grounds,
)
def test_bumps(
    corner: Corner,
    shape: Any,
    driven: tuple[float, float, float],
    temperature: float,
    how: Told,
    stop: Told,
    ground: Told,
) -> None:
    """Bumps of any height; what takes too many steps is refused as too costly, with the bound."""
    way = dict(zip(("bump_height_mm", "bump_spacing_mm", "speed_m_s"), driven, strict=True))
    asked: Any = {"corner": corner, "shape": shape, "temperature_c": temperature}
    try:
        answer = _bounded(lambda: bumps(**asked, **way, **how, **stop, **ground))
    except TooCostly:
        return
    _explained(answer, "contact_share")
    if answer.contact_share is not None:
        assert 0.0 <= answer.contact_share <= 1.0


@settings(max_examples=examples(8))
@given(wide_corners(), between(0.5, 60.0), temperatures_c, told, stops)
def test_push_release(corner: Corner, push: float, temperature: float, how: Told, stop: Told) -> None:
    """A push of any depth."""
    answer = _bounded(lambda: push_release(corner=corner, push_mm=push, temperature_c=temperature, **how, **stop))
    _explained(answer, "half_time_s", "push_too_far", "stays_down")
    _explained(answer, "settle_s", "push_too_far")


@settings(max_examples=examples(8))
@given(
    wide_corners(),
    st.tuples(between(0.05, 0.95), between(0.01, 1.0)),
    over_decades(0.05, 100.0),
    st.integers(1, 20),
    temperatures_c,
    told,
)
def test_bench_cycle(
    corner: Corner, places: tuple[float, float], frequency: float, cycles: int, temperature: float, how: Told
) -> None:
    """A sine of any frequency within the stroke; a shock that locks on the way says so."""
    centre, share = places
    stroke = corner.shock.stroke_mm
    asked: Any = {
        "shock": corner.shock,
        "amplitude_mm": max(0.05, share * min(centre, 1.0 - centre) * stroke),
        "centre_insertion_mm": centre * stroke,
        "frequency_hz": frequency,
        "cycles": cycles,
        "temperature_c": temperature,
    }
    answer = _bounded(lambda: bench_cycle(**asked, **how))
    _explained(answer, "loss_j")


USUAL: dict[str, Callable[[Corner], object]] = {
    "drop": lambda corner: drop(corner=corner, height_mm=250.0),
    "touch_height": lambda corner: touch_height(corner=corner),
    "bumps": lambda corner: bumps(corner=corner, bump_height_mm=10.0, bump_spacing_mm=400.0, speed_m_s=4.0),
    "push_release": lambda corner: push_release(corner=corner),
    "bench_cycle": lambda corner: bench_cycle(
        shock=corner.shock,
        amplitude_mm=0.4 * corner.shock.stroke_mm,
        centre_insertion_mm=0.5 * corner.shock.stroke_mm,
        frequency_hz=2.0,
    ),
}


@pytest.mark.parametrize("name", sorted(USUAL))
@settings(max_examples=examples(1))
@given(corner=usual_corners())
def test_what_is_usual_is_far_from_the_bound(name: str, corner: Corner) -> None:
    """A usual corner takes no more than a third of the time steps that a calculation may."""
    made_ready(corner)
    with counted() as taken:
        USUAL[name](corner)
    assert 0 < taken() <= runs.MOST_STEPS // 3
