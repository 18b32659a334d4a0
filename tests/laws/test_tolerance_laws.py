"""Laws of `tolerance`: wider errors widen, none is a point, shares are parts of a whole, arrays are the loop."""

import json
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import libdamp
from libdamp.calculations import calculation_of
from libdamp.quantities import quantity
from libdamp.repeating import Asked
from libdamp.ride_samples import FIGURES
from libdamp.sampling import setting, table_of
from libdamp.shares import summary, variance_shares
from libdamp.uncertain import Drawn, Input, InputSpread, draws
from tests.drawn import examples
from tests.plain_requests import Data, corner, put, shock
from tests.reaching_requests import LEANING
from tests.strategies import between

OIL = {"oil": {"viscosity_cst": 325}, "temperature_c": 40}
STILL = {"temperature_c": {"sd": 0}, "oil.viscosity_cst": {"sd": 0}}
HOLES = "corner.shock.piston.holes.0.diameter_mm"
WAYS = {
    "sd": lambda size: {"sd": size},
    "rel_sd": lambda size: {"rel_sd": size / 325},
    "half_width": lambda size: {"half_width": size},
    "low, high": lambda size: {"low": 325 - size, "high": 325 + 0.5 * size},
}


def band(name: str, request: Data, only: str, spreads: Data, **more: Any) -> dict[str, Any]:
    """Band of one output."""
    asked = {"calculation": name, "request": request, "only": [only], "samples": 100, "spreads": spreads, **more}
    return libdamp.calculate("tolerance", asked)["outputs"][0]  # type: ignore[no-any-return]


@pytest.mark.parametrize("way", WAYS)
@given(size=between(0.01, 60.0), factor=between(1.05, 3.0), seed=st.integers(0, 2**32 - 1))
@settings(max_examples=examples(6))
def test_widens(way: str, size: float, factor: float, seed: int) -> None:
    """A larger spread of an input makes the band wider both ways, whatever the seed."""
    narrow, wide = (
        band("oil_viscosity", OIL, "viscosity_cst", {**STILL, "oil.viscosity_cst": WAYS[way](s)}, seed=seed)
        for s in (size, factor * size)
    )
    assert wide["sd"] > narrow["sd"]
    assert wide["low_5"] < narrow["low_5"] < narrow["high_95"] < wide["high_95"]


@given(share=between(0.001, 0.15), seed=st.integers(0, 2**32 - 1))
@settings(max_examples=examples(3))
def test_proportional_is_exact(share: float, seed: int) -> None:
    """Slow damping is in proportion to the viscosity: its relative error is the oil's, to round-off."""
    request = {"shock": shock(), "speeds_m_s": [0.05]}
    still = {"shock.piston.holes.0.diameter_mm": {"sd": 0}, "piston.thickness_mm": {"sd": 0}}
    spreads = {**still, "temperature_c": {"sd": 0}, "shock.oil.viscosity_cst": {"rel_sd": share}}
    density = put(request, "shock.oil.density_kg_m3", 970)  # else the grade's density moves a little too
    found = band("damping_curve", density, "low_speed_compression_n_s_m", spreads, seed=seed)
    assert found["sd"] / found["nominal"] == pytest.approx(share, rel=1e-9)
    assert found["mean"] == pytest.approx(found["nominal"], rel=1e-12)
    assert found["shares"][0] == {"path": "shock.oil.viscosity_cst", "share": pytest.approx(1.0, rel=1e-12)}
    assert found["sd_when_measured"] == pytest.approx(0.0, abs=1e-5 * found["nominal"])


@pytest.mark.parametrize("end", ["front", "rear"])
@pytest.mark.parametrize("only", ["frequency_hz", "damping_ratio_rebound", "clearance_mm"])
def test_no_error_is_the_point(end: str, only: str) -> None:
    """Nothing drawn: mean, both ends and nominal are one number to the last bit; nothing to measure."""
    still = {HOLES: {"sd": 0}, "piston.thickness_mm": {"half_width": 0}, "oil.viscosity_cst": {"rel_sd": 0}}
    found = band("ride", {"corner": corner(end)}, only, {**still, "temperature_c": {"low": 25, "high": 25}})
    single = libdamp.calculate("ride", {"corner": corner(end)})[only]
    assert found["sd"] == 0.0
    assert found["nominal"] == found["mean"] == found["low_5"] == found["high_95"] == single
    assert found["culprit"] is found["measure_next"] is None
    assert found["remainder"] == 0.0


def test_same_seed_same_bytes() -> None:
    """The same seed gives the same bytes, another one others."""
    request = {"calculation": "ride", "request": {"corner": corner()}, "only": ["damping_ratio_compression"]}
    one, again, other = (
        json.dumps(libdamp.calculate("tolerance", {**request, "seed": seed})) for seed in (7, 7, 8)
    )
    assert one == again != other


@given(seed=st.integers(0, 2**32 - 1), count=st.integers(100, 400))
@settings(max_examples=examples(8))
def test_shares_are_parts_of_a_whole(seed: int, count: int) -> None:
    """Shares and remainder sum to 1, none is negative, the largest is the culprit's."""
    draft = {"axle_g": 800, "spring": "0.38 N/mm", "shock": {"oil": "325 cst", "piston": {"holes": "2x1.4..1.7"}}}
    request = {"calculation": "ride", "request": {"size": "1:10 truck", "corner": draft}, "seed": seed}
    only = ["frequency_hz", "damping_ratio_compression", "wheel_hop_hz", "droop_travel_mm"]
    for found in libdamp.calculate("tolerance", {**request, "samples": count, "only": only})["outputs"]:
        shares = [one["share"] for one in found["shares"]]
        assert min(shares) >= 0.0
        assert sum(shares) <= 1.0 + 1e-12
        assert sum(shares) + found["remainder"] == pytest.approx(1.0, abs=1e-12)
        assert shares == sorted(shares, reverse=True)
        assert found["shares"][0]["path"] == found["culprit"]
        assert 0.0 <= found["sd_when_measured"] <= found["sd"]
        assert found["low_5"] < found["high_95"]


@given(st.lists(between(-5.0, 5.0), min_size=1, max_size=6), st.integers(0, 1000))
def test_shares_of_a_plane(slopes: list[float], seed: int) -> None:
    """Of a plane over inputs of one spread the shares go with the squares of the slopes, and nothing remains."""
    squares = np.square(slopes)
    inputs = np.random.default_rng(seed).normal(size=(300, len(slopes)))
    inputs = (inputs - inputs.mean(axis=0)) / inputs.std(axis=0)
    shares = variance_shares(inputs, inputs @ np.array(slopes))
    if np.max(np.abs(slopes)) < 1e-6:
        return
    assert shares == pytest.approx(squares / squares.sum(), abs=1e-9)


@pytest.mark.parametrize(("draws", "band"), [(1000, 0.03), (4000, 0.01), (16_000, 0.005)])
def test_shares_of_a_known_function(draws: int, band: float) -> None:
    """Of sin x1 + 7 sin^2 x2 + 0.1 x3^4 sin x1, the third moves nothing alone, 0.2436 is left.

    Source: Ishigami & Homma, Proc. ISUMA (1990) 398; indices by their closed form, from memory and derived again.
    """
    a, b, rng = 7.0, 0.1, np.random.default_rng(draws)
    order = np.array([rng.permutation(draws) for _ in range(4)]).T
    x = np.pi * (2.0 * (order + 0.5) / draws - 1.0)
    first, second = 0.5 * (1.0 + b * np.pi**4 / 5.0) ** 2, a**2 / 8.0
    whole = first + second + b**2 * np.pi**8 * (1.0 / 18.0 - 1.0 / 50.0)
    assert (first / whole, second / whole) == pytest.approx((0.3139, 0.4424), abs=5e-5)
    shares = variance_shares(x, np.sin(x[:, 0]) * (1.0 + b * x[:, 2] ** 4) + a * np.sin(x[:, 1]) ** 2)
    assert shares == pytest.approx([first / whole, second / whole, 0.0, 0.0], abs=band)


@given(power=between(-6.0, 6.0), low=between(0.1, 0.8), kink=between(0.2, 0.9), seed=st.integers(0, 1000))
def test_what_alone_moves_has_everything(power: float, low: float, kink: float, seed: int) -> None:
    """However curved or broken the output is in it, and whatever else is drawn."""
    rng = np.random.default_rng(seed)
    x = rng.permutation(2000) / 2000.0
    inputs = np.column_stack([x, rng.normal(size=(2000, 3))])
    for output in (np.exp(power * x), (low + x) ** -4.0, np.maximum(x, kink)):
        shares = variance_shares(inputs, output)
        if np.std(output) > 1e-9:
            assert shares[0] > 0.99
            assert shares[1:] == pytest.approx(np.zeros(3), abs=0.01)


def test_what_is_left_when_measured_is_left() -> None:
    """A hole from 1.0 to 2.5 mm: with the hole known, wherever it lies, the variance is on average as told."""

    def sd(holes: str, **more: Any) -> dict[str, Any]:
        draft = {"axle_g": 800, "spring": "0.38 N/mm", "shock": {"oil": "325 cst", "piston": {"holes": holes}}}
        request = {"size": "1:10 truck", "corner": draft}
        asked = {"calculation": "ride", "request": request, "only": ["damping_ratio_compression"], **more}
        return libdamp.calculate("tolerance", asked)["outputs"][0]  # type: ignore[no-any-return]

    open_ends, path = sd("2x1.0..2.5", samples=8000), "corner.shock.piston.holes.0.diameter_mm"
    assert open_ends["measure_next"] == path
    known = [sd(f"2x{1.0 + 0.025 * (2 * i + 1):g}", spreads={path: {"sd": 0}})["sd"] for i in range(30)]
    assert open_ends["sd_when_measured"] == pytest.approx(np.sqrt(np.mean(np.square(known))), rel=0.1)


@given(st.lists(between(-1e3, 1e3), min_size=2, max_size=50))
def test_summary(values: list[float]) -> None:
    """Mean and ends lie within the values, and are theirs by numpy."""
    found = summary(np.array(values), values[0])
    assert found.mean == pytest.approx(np.mean(values), abs=1e-9)
    assert found.sd == pytest.approx(np.std(values, ddof=1), abs=1e-9)
    assert min(values) <= found.low_5 <= found.high_95 <= max(values)


def _input(drawn: Drawn, nominal: float = 12.0, path: str = "bore_mm", integer: bool = False) -> Input:
    row = quantity(path)
    return Input(("corner", path), "given", nominal, row, integer, drawn)


@given(sd=between(0.0, 0.5), count=st.integers(100, 2000), seed=st.integers(0, 2**32 - 1))
def test_normal_draws(sd: float, count: int, seed: int) -> None:
    """Mean and standard deviation are exact, the draws symmetric; within what is possible."""
    values = draws(_input(Drawn(sd=sd)), count, seed)
    assert np.mean(values) == pytest.approx(12.0, abs=1e-12)
    assert np.std(values, ddof=1) == pytest.approx(sd, abs=1e-12)
    ordered = np.sort(values)
    assert ordered + ordered[::-1] == pytest.approx(np.full(count, 24.0))
    wide = draws(_input(Drawn(sd=50.0)), count, seed)
    assert (wide.min(), wide.max()) == (5.0, 40.0)


@given(low=between(5.0, 20.0), width=between(0.0, 20.0), count=st.integers(100, 2000), seed=st.integers(0, 99))
def test_uniform_draws(low: float, width: float, count: int, seed: int) -> None:
    """Every equal part of the way holds one draw."""
    values = np.sort(draws(_input(Drawn(ends=(low, low + width))), count, seed))
    places = (np.arange(count) + 0.5) / count
    assert values == pytest.approx(low + width * places, abs=1e-9)


def test_whole_numbers() -> None:
    """A range of counts draws each count alike."""
    row = quantity("holes.count")
    one = Input(("holes", "0", "count"), "range", 3.0, row, True, Drawn(ends=(2.0, 4.0)))
    found, times = np.unique(draws(one, 300, 1), return_counts=True)
    assert found.tolist() == [2.0, 3.0, 4.0]
    assert times.tolist() == [100, 100, 100]


def test_an_input_is_drawn_alike_whatever_else_is() -> None:
    """Another input's spread does not change an input's draws."""
    alone = band("ride", {"corner": corner()}, "frequency_hz", {"spring.rate_n_mm": {"sd": 0.01}})
    beside = {"spring.rate_n_mm": {"sd": 0.01}, "tyre.rate_n_mm": {"sd": 0.3}, "seal_drag_n": {"sd": 0.01}}
    beside["shock.seal_drag_n"] = beside.pop("seal_drag_n")
    assert band("ride", {"corner": corner()}, "frequency_hz", beside)["sd"] == alone["sd"]


@given(low=between(1.2, 1.6), width=between(0.01, 0.6), wider=between(0.01, 0.2))
@settings(max_examples=examples(6))
def test_ranges(low: float, width: float, wider: float) -> None:
    """The ends of a range give the single calculation's numbers, a wider one a wider band, all due to it."""

    def ranged(a: float, b: float) -> dict[str, Any]:
        request = {"corner": put(corner(), "shock.piston.holes", f"2x{a:.6f}..{b:.6f}")}
        asked = {"calculation": "ride", "request": request, "only": ["damping_ratio_compression"], "samples": 100}
        (found,) = libdamp.calculate("tolerance", asked)["ranges"]
        return found  # type: ignore[no-any-return]

    found = ranged(low, low + width)
    single = [
        libdamp.calculate("ride", {"corner": put(corner(), "shock.piston.holes", f"2x{d:.6f}")})
        for d in (low + width, low)
    ]
    ends = [one["damping_ratio_compression"] for one in single]
    assert [found["low"], found["high"]] == pytest.approx(ends, rel=1e-9)
    assert found["culprit"] == HOLES
    assert found["shares"] == [{"path": HOLES, "share": 1.0}]
    more = ranged(low - wider, low + width + wider)
    assert more["low"] < found["low"] <= found["high"] < more["high"]


PETROLEUM = {
    "viscosity_cst": 100,
    "reference_temperature_c": 40,
    "family": "petroleum",
    "second_point": {"viscosity_cst": 11.1, "temperature_c": 100},
}
RATIO = {"kind": "ratio", "motion_ratio": 0.67, "level_length_mm": 73}
ONE_WAY = [{"count": 2, "diameter_mm": 1.5}, {"count": 2, "diameter_mm": 1.2, "direction": "rebound"}]
SET_UPS: dict[str, Data] = {
    "as it is": {},
    "rear": corner("rear"),
    "buggy": corner("front", "demo-buggy"),
    "ratio": {"linkage": RATIO},
    "pairs": {"linkage": LEANING},
    "preload given": {"preload_mm": 2},
    "petroleum oil": {"shock.oil": PETROLEUM},
    "two points": {
        "shock.oil": {"viscosity_cst": 325, "second_point": {"viscosity_cst": 150, "temperature_c": 70}}
    },
    "own coefficient": {"shock.oil": {"viscosity_cst": 325, "vtc": 0.6, "density_kg_m3": 960}},
    "vented": {"shock.fill": {"kind": "vented", "room_ml": 0.4, "closing_insertion_mm": 15, "filled_at_c": 10}},
    "emulsion": {"shock.fill": {"kind": "emulsion", "gas_ml": 0.4, "closing_insertion_mm": 15, "filled_at_c": 20}},
    "one way, no gap": {"shock.piston.holes": ONE_WAY, "shock.piston.diameter_mm": None},
    "filled cold": {"shock.fill.filled_at_c": 5},
    "lengths of the spring": {"spring": {"rate_n_mm": 0.38, "free_length_mm": 60, "block_length_mm": 21}},
}
WIDE = {
    "corner.sprung_mass_g": 0.3,
    "corner.tyre.rate_n_mm": 0.3,
    "corner.level_clearance_mm": 0.3,
    "corner.shock.bore_mm": 0.06,
    "corner.shock.shaft_mm": 0.2,
    "corner.shock.stroke_mm": 0.1,
    "corner.shock.limiter_mm": 0.5,
    "corner.shock.extended_length_mm": 0.05,
    "corner.shock.cavity_length_mm": 0.1,
    "corner.shock.seal_drag_n": 0.5,
    "corner.shock.piston.thickness_mm": 0.2,
    "corner.shock.piston.holes.0.diameter_mm": 0.2,
    "corner.shock.oil.viscosity_cst": 0.4,
    "corner.shock.fill.closing_insertion_mm": 0.5,
    "corner.spring.rate_n_mm": 0.3,
}
MORE = {
    "corner.linkage.motion_ratio": 0.1,
    "corner.linkage.arm_length_mm": 0.05,
    "corner.linkage.lower_mount_along_mm": 0.05,
    "corner.shock.fill.gas_ml": 0.5,
    "corner.shock.fill.room_ml": 0.5,
    "corner.shock.fill.filled_at_c": 0.5,
    "corner.shock.piston.diameter_mm": 0.01,
    "corner.spring.free_length_mm": 0.2,
    "corner.spring.block_length_mm": 0.5,
    "corner.preload_mm": 0.5,
    "corner.shock.oil.second_point.viscosity_cst": 0.5,
}


@pytest.mark.parametrize("label", SET_UPS)
@given(seed=st.integers(0, 2**32 - 1))
@settings(max_examples=examples(2))
def test_arrays_are_the_loop(label: str, seed: int) -> None:
    """`ride` over arrays gives each draw's numbers to 1e-9, and leaves out the same draws, impossible ones too."""
    change = SET_UPS[label]
    data = change if "shock" in change else corner()
    for path, value in change.items() if "shock" not in change else ():
        data = put(data, path, value)
    request: Data = {"corner": data, "temperature_c": 31, "collar_step_mm": 0.5}
    asked_once = calculation_of("ride")
    only = tuple(sorted(FIGURES))
    asked = Asked("ride", asked_once, only, calculation_of)
    spreads = {path: InputSpread(rel_sd=share) for path, share in (WIDE | MORE).items() if _given(request, path)}
    known = setting(asked, request, spreads, "hand", [])
    fast, slow = (table_of(asked, known, 100, seed, arrays) for arrays in (True, False))
    assert fast.fits.tolist() == slow.fits.tolist()
    assert 5 < int(fast.fits.sum()) < fast.fits.size
    for path, one, other in zip(only, fast.outputs, slow.outputs, strict=True):
        assert np.isnan(one).tolist() == np.isnan(other).tolist(), path
        assert one == pytest.approx(other, rel=1e-9, abs=1e-9, nan_ok=True), path


def _given(request: Data, path: str) -> bool:
    inner: Any = request
    for step in path.split("."):
        if isinstance(inner, list):
            inner = inner[int(step)]
        elif isinstance(inner, dict) and step in inner:
            inner = inner[step]
        else:
            return isinstance(inner, str) and step in ("0", "diameter_mm", "viscosity_cst", "rate_n_mm")
    return isinstance(inner, int | float)


def test_spacers() -> None:
    """Preload by spacers works over arrays as well."""
    request: Data = {"corner": corner(), "temperature_c": 31, "spacers_mm": [0.5, 1, 2]}
    asked = Asked("ride", calculation_of("ride"), (("next_step", "height_error_mm"),), calculation_of)
    known = setting(asked, request, {"corner.sprung_mass_g": InputSpread(rel_sd=0.2)}, "hand", [])
    fast, slow = (table_of(asked, known, 100, 3, arrays) for arrays in (True, False))
    assert fast.outputs[0] == pytest.approx(slow.outputs[0], rel=1e-9, abs=1e-9, nan_ok=True)
    assert np.isfinite(fast.outputs[0]).any()
