"""Pictures: made for every demo corner and fill, units on every axis, the answers' own numbers, the same bytes."""

import functools
import re
import subprocess
import sys
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import matplotlib
import numpy as np
import pytest
from matplotlib.figure import Figure
from msgspec.structs import replace

import libdamp
from libdamp import pictures
from libdamp.car import Corner
from libdamp.demo import demo_corner
from libdamp.drawing import BAND, CURVES, NEEDS
from libdamp.parts import Bladder, Emulsion, Vented

ENDS = [f"{car}.{end}" for car in ("demo-truck", "demo-buggy") for end in ("front", "rear")]
FILLS = ("bladder", "vented", "emulsion")
LABEL = "invented car, front"
SPEEDS = tuple(np.linspace(0.0, 0.6, 61).tolist())


def filled(name: str, fill: str) -> Corner:
    """A demo corner with a fill of a kind, room as in its own."""
    corner = demo_corner(name)
    own = corner.shock.fill
    assert isinstance(own, Bladder)
    closing = own.closing_insertion_mm
    made = {
        "bladder": own,
        "vented": Vented(room_ml=own.gas_ml, closing_insertion_mm=closing),
        "emulsion": Emulsion(gas_ml=own.gas_ml, closing_insertion_mm=closing),
    }[fill]
    return replace(corner, shock=replace(corner.shock, fill=made))


@functools.cache
def landing(corner: Corner, height_mm: float = 150.0) -> libdamp.Drop:
    """A landing with its series."""
    return libdamp.drop(corner=corner, height_mm=height_mm, series=True)


@functools.cache
def cycle(corner: Corner) -> libdamp.BenchCycle:
    """Three cycles about mid-stroke, fast enough to open a void where one can be."""
    middle = 0.5 * corner.shock.stroke_mm
    return libdamp.bench_cycle(shock=corner.shock, amplitude_mm=10, frequency_hz=6, centre_insertion_mm=middle)


@functools.cache
def curve(corner: Corner) -> libdamp.DampingCurve:
    """Damping up to a speed at which the void limits it."""
    return libdamp.damping_curve(shock=corner.shock, speeds_m_s=SPEEDS)


PICTURES: dict[str, Callable[[dict[str, Corner]], Figure]] = {
    "bench": lambda corners: pictures.bench_picture({n: cycle(c) for n, c in corners.items()}, LABEL),
    "landing": lambda corners: pictures.landing_picture({n: landing(c) for n, c in corners.items()}, LABEL),
    "damping": lambda corners: pictures.damping_picture({n: curve(c) for n, c in corners.items()}, LABEL),
    "ride": lambda corners: pictures.ride_picture(next(iter(corners.values())), LABEL),
}


def panels(figure: Figure) -> list[Any]:
    """Panels of a figure that show a quantity; the strip of contacts shows none."""
    return [axes for axes in figure.axes if axes.get_ylabel() != "on the\nground"]


@pytest.mark.parametrize("fill", FILLS)
@pytest.mark.parametrize("name", ENDS)
@pytest.mark.parametrize("kind", PICTURES)
def test_every_corner_and_fill(kind: str, name: str, fill: str) -> None:
    """A picture is made, says of what it is, bears units on every axis, and shows finite numbers."""
    figure = PICTURES[kind]({"as it stands": filled(name, fill)})
    assert LABEL in figure.get_suptitle()
    lowest = max(axes.get_subplotspec().rowspan.stop for axes in figure.axes)
    for axes in figure.axes:
        if axes.get_subplotspec().rowspan.stop == lowest:
            assert re.search(r"\[\S+\]", axes.get_xlabel()), axes.get_xlabel()
    for axes in panels(figure):
        if not axes.get_shared_y_axes().get_siblings(axes)[1:] or axes.get_ylabel():
            assert re.search(r"\[\S+\]", axes.get_ylabel()), axes.get_ylabel()
        drawn = [line for line in axes.lines if line.get_label() != BAND]
        assert drawn
        for line in drawn:
            assert np.all(np.isfinite(np.asarray(line.get_xydata(), dtype=float)))


@pytest.mark.parametrize("ending", [".svg", ".png"])
@pytest.mark.parametrize("kind", PICTURES)
def test_same_bytes(kind: str, ending: str, tmp_path: Path) -> None:
    """The same input gives the same bytes, whatever the caller's settings, without a date in them."""
    corners = {fill: filled("demo-truck.front", fill) for fill in FILLS}
    first, second = tmp_path / f"1{ending}", tmp_path / f"2{ending}"
    pictures.save(PICTURES[kind](corners), first)
    with matplotlib.rc_context({"lines.linewidth": 9.0, "font.size": 20.0, "svg.hashsalt": "other"}):
        pictures.save(PICTURES[kind](corners), second)
    assert first.read_bytes() == second.read_bytes()
    assert len(first.read_bytes()) > 5000
    assert b"<dc:date>" not in first.read_bytes()
    assert b"invented car" in first.read_bytes()


def line(figure: Figure, panel: int, name: str) -> tuple[np.ndarray, np.ndarray]:
    """Points of a curve of a panel by its name."""
    (found,) = [one for one in figure.axes[panel].lines if one.get_label() == name]
    return np.asarray(found.get_xdata(), dtype=float), np.asarray(found.get_ydata(), dtype=float)


def test_a_landing_shows_its_series() -> None:
    """Every panel of a landing shows its column over time, each answer under its name."""
    drops = {
        "low": landing(filled("demo-truck.rear", "bladder"), 80.0),
        "high": landing(demo_corner(ENDS[1]), 300.0),
    }
    figure = pictures.landing_picture(drops, LABEL)
    for name, answer in drops.items():
        for panel, column in enumerate(("insertion_mm", "shock_n", "void_ml", "clearance_mm")):
            x, y = line(figure, panel, name)
            assert tuple(x) == answer.series.time_s
            assert tuple(y) == getattr(answer.series, column)


def test_a_landing_marks_contact_and_void() -> None:
    """Bars stand where the tyre presses and, black, where the chassis does; the band where the void is open."""
    answer = landing(demo_corner("demo-truck.front"), 600.0)
    assert answer.least_clearance_mm is not None
    assert answer.least_clearance_mm < 0.0
    figure = pictures.landing_picture({"slaps": answer}, LABEL)
    series = answer.series
    for bars, column in zip(
        figure.axes[4].collections, (series.tyre_n, [-c for c in series.clearance_mm]), strict=True
    ):
        inside = np.zeros(len(series.time_s), dtype=bool)
        for path in bars.get_paths():
            begin, end = float(np.min(path.vertices[:, 0])), float(np.max(path.vertices[:, 0]))
            inside |= (np.asarray(series.time_s) >= begin) & (np.asarray(series.time_s) < end)
        wanted = np.asarray(column) > 0.0
        assert np.array_equal(inside[:-1], wanted[:-1])
    _, band = line(figure, 1, BAND)
    assert np.array_equal(np.isfinite(band), np.asarray(series.void_ml) > 0.0)


def test_the_limit_of_compression() -> None:
    """The curve of compression bends at the void's force and speed; the oil alone goes on in dots."""
    answer = curve(demo_corner("demo-truck.front"))
    figure = pictures.damping_picture({"truck": answer}, LABEL)
    speed, force = line(figure, 0, "truck")
    assert answer.void_force_n is not None
    assert answer.void_speed_m_s is not None
    assert np.max(force) == pytest.approx(answer.void_force_n)
    assert np.all(force[speed > answer.void_speed_m_s] == np.max(force))
    beyond, alone = line(figure, 0, "_truck, oil alone")
    assert beyond[0] <= answer.void_speed_m_s <= beyond[1]
    assert np.all(np.diff(alone) > 0.0)
    assert tuple(line(figure, 0, "_truck, pulled out")[1]) == answer.rebound_n


def test_order_of_speeds_is_no_matter() -> None:
    """Speeds in any order give the same curve."""
    shock = demo_corner("demo-truck.front").shock
    mixed = libdamp.damping_curve(shock=shock, speeds_m_s=(0.3, 0.0, 0.6, 0.1))
    sorted_ = libdamp.damping_curve(shock=shock, speeds_m_s=(0.0, 0.1, 0.3, 0.6))
    both = [pictures.described(pictures.damping_picture({"x": c}, LABEL)) for c in (mixed, sorted_)]
    assert both[0] == both[1]


@pytest.mark.parametrize("cycles", [1, 2, 3])
def test_the_last_cycle_is_whole(cycles: int) -> None:
    """A bench picture shows one whole cycle: all of the way, in and out again."""
    shock = demo_corner("demo-truck.front").shock
    answer = libdamp.bench_cycle(shock=shock, amplitude_mm=8, frequency_hz=2, centre_insertion_mm=15, cycles=cycles)
    figure = pictures.bench_picture({"x": answer}, LABEL)
    x, force = line(figure, 1, "x")
    assert len(x) == pytest.approx(len(answer.time_s) / cycles, abs=3)
    assert (np.min(x), np.max(x)) == pytest.approx((7.0, 23.0), abs=0.01)
    assert x[0] == pytest.approx(x[-1], abs=0.05)
    assert tuple(force) == answer.force_n[-len(force) :]


@pytest.mark.parametrize("name", ENDS)
def test_ride_agrees_with_ride(name: str) -> None:
    """Curves over the travel pass through the figures of `ride`; rest and stops stand where it says."""
    corner = demo_corner(name)
    figure, answer = pictures.ride_picture(corner, LABEL, 25.0), libdamp.ride(corner=corner, temperature_c=25.0)
    at_rest = [answer.wheel_travel_mm]
    z, force = line(figure, 0, "_corner")
    assert np.interp(at_rest, z, force) == pytest.approx([corner.sprung_mass_g * 9.80665e-3], rel=1e-4)
    assert np.interp(at_rest, z, line(figure, 1, "_corner")[1]) == pytest.approx([answer.wheel_rate_n_mm], rel=1e-4)
    assert np.interp([0.0], z, line(figure, 2, "_corner")[1]) == pytest.approx([answer.shock_length_mm], rel=1e-4)
    assert np.interp([0.0], z, line(figure, 3, "_corner")[1]) == pytest.approx([answer.motion_ratio], rel=1e-4)
    assert answer.wheel_travel_mm is not None
    assert answer.droop_travel_mm is not None
    assert z[0] == pytest.approx(answer.wheel_travel_mm - answer.droop_travel_mm, abs=1e-6)
    marks = dict(
        str(one.get_label()).rsplit(", ", 1) for one in figure.axes[0].lines if ", " in str(one.get_label())
    )
    assert marks["at rest"] == f"{answer.wheel_travel_mm + 0.0:+.1f} mm".replace("-0.0", "+0.0")
    assert marks["chassis touches"] == f"{corner.level_clearance_mm:+.1f} mm"
    assert answer.bump_travel_mm is not None
    assert answer.first_stop == "shock"
    assert marks["shock fully in"] == f"{answer.wheel_travel_mm + answer.bump_travel_mm:+.1f} mm"


def test_a_lock_and_touching_coils_are_marked() -> None:
    """Where the gas runs out or the coils touch first, the picture says so and stays finite."""
    corner = demo_corner("demo-truck.front")
    little = replace(corner.shock, fill=Bladder(gas_ml=0.05, closing_insertion_mm=15.0))
    solid = pictures.ride_picture(replace(corner, shock=little), LABEL)
    assert "goes solid" in " ".join(str(one.get_label()) for one in solid.axes[0].lines)
    assert np.all(np.isfinite(line(solid, 0, "_corner")[1]))
    coils = replace(corner, spring=replace(corner.spring, block_length_mm=35.0))
    assert "coils touch" in " ".join(
        str(one.get_label()) for one in pictures.ride_picture(coils, LABEL).axes[0].lines
    )


def test_what_cannot_be_is_said_instead() -> None:
    """A corner that cannot move, a shock that goes solid: the picture holds the finding's sentence."""
    corner = demo_corner("demo-truck.front")
    far = replace(corner, shock=replace(corner.shock, extended_length_mm=300.0))
    solid = replace(corner.shock, fill=Bladder(gas_ml=0.05, closing_insertion_mm=15.0))
    bench = libdamp.bench_cycle(shock=solid, amplitude_mm=14, frequency_hz=2, centre_insertion_mm=15)
    for figure, words in (
        (pictures.landing_picture({"far": landing(far)}, LABEL), "far: The linkage cannot reach"),
        (pictures.ride_picture(far, LABEL), "The linkage cannot reach"),
        (pictures.bench_picture({"full": bench}, LABEL), "full: Goes solid"),
    ):
        assert words in "\n".join(text.get_text() for text in figure.axes[0].texts)


def test_no_series_no_picture() -> None:
    """A landing asked without its series is refused with what to ask."""
    answer = libdamp.drop(corner=demo_corner("demo-truck.front"), height_mm=100.0)
    with pytest.raises(ValueError, match="series=True"):
        pictures.landing_picture({"x": answer}, LABEL)


@pytest.mark.parametrize("count", [0, 5])
def test_how_many_curves(count: int) -> None:
    """None, or more than can be told apart, is refused."""
    answer = curve(demo_corner("demo-truck.front"))
    with pytest.raises(ValueError, match=f"one to 4 answers, not {count}"):
        pictures.damping_picture({str(i): answer for i in range(count)}, LABEL)


def test_other_endings_are_refused(tmp_path: Path) -> None:
    """A name that ends otherwise is refused, and nothing is written."""
    with pytest.raises(ValueError, match=r"\.svg or \.png"):
        pictures.save(PICTURES["damping"]({"x": demo_corner(ENDS[0])}), tmp_path / "x.pdf")
    assert not list(tmp_path.iterdir())


def test_curves_differ_without_colour() -> None:
    """No two curves share a dash, and no two a colour."""
    assert len({str(dash) for _, dash in CURVES}) == len(CURVES)
    assert len({colour for colour, _ in CURVES}) == len(CURVES)


def test_any_label(tmp_path: Path) -> None:
    """Dollars, brackets and letters of any script in a label are drawn as they are."""
    label = "my <truck> & $other$ _ \\alpha, Größe"
    figure = pictures.ride_picture(demo_corner(ENDS[0]), label)
    for ending in (".svg", ".png"):
        pictures.save(figure, tmp_path / f"x{ending}")
    assert "my &lt;truck&gt; &amp; $other$ _ \\alpha, Größe" in (tmp_path / "x.svg").read_text(encoding="utf-8")


def test_without_matplotlib(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without matplotlib the error says what to install."""
    monkeypatch.setitem(sys.modules, "matplotlib", None)
    with pytest.raises(ImportError, match=r'pip install "libdamp\[plot\]"') as raised:
        pictures.ride_picture(demo_corner(ENDS[0]), LABEL)
    assert str(raised.value) == NEEDS


def test_no_state_is_left() -> None:
    """Importing loads no matplotlib; drawing loads no pyplot and leaves the settings as they were."""
    code = (
        "import sys; from libdamp import pictures; assert 'matplotlib' not in sys.modules; import matplotlib; "
        "settings = lambda: {k: matplotlib.rcParams[k] for k in matplotlib.rcParams if k != 'backend'}; "
        "before = settings(); from libdamp.demo import demo_corner; "
        "pictures.ride_picture(demo_corner('demo-truck.front'), 'x'); "
        "assert 'matplotlib.pyplot' not in sys.modules; assert settings() == before"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_extras_hold_matplotlib() -> None:
    """The extra `plot` brings matplotlib, and the tests' extra brings that."""
    text = (Path(__file__).parents[1] / "pyproject.toml").read_text(encoding="utf-8")
    extras = tomllib.loads(text)["project"]["optional-dependencies"]
    assert any(need.startswith("matplotlib") for need in extras["plot"])
    assert any("libdamp[" in need and "plot" in need for need in extras["test"])
