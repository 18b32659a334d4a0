"""Pictures of answers: a bench loop, a landing, force over speed, a corner over its travel.

Each function gives a matplotlib Figure; `save` writes it as SVG or PNG, the same bytes for the same input. Up to
four answers go into one picture by name, so that set-ups stand side by side. Curves differ in colour and in dash,
so that print and the colour-blind can tell them apart. Needs `pip install "libdamp[plot]"`.
"""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from .car import Corner
from .cycling import BenchCycle
from .damping import DampingCurve
from .drawing import (
    BLUE,
    GREEN,
    GREY,
    INK,
    ORANGE,
    VERMILLION,
    banded,
    blank,
    curves_of,
    described,
    instead,
    legend,
    reasons,
    save,
    styled,
)
from .drops import Drop
from .physics.linkage import wheel_rate
from .stance import ride_figures
from .standing import Rest, level, rest, shock_at, stand_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

__all__ = ["bench_picture", "damping_picture", "described", "landing_picture", "ride_picture", "save"]

POINTS = 161
"""Of a curve over the wheel travel."""
NEAR_LOCK = 0.97
"""Share of the way to a lock that is drawn."""
LANDING = (
    ("insertion_mm", "shaft\npushed in\n[mm]"),
    ("shock_n", "force of\nthe shock\n[N]"),
    ("void_ml", "empty space\nunder the\npiston [ml]"),
    ("clearance_mm", "chassis over\nthe ground\n[mm]"),
)
"""Columns of a landing's series, a panel each, in words."""
VOID_WORDS = "pale band: an empty space is open under the piston"
CONTACT_WORDS = "bars, in the order of the names: the tyre presses on the ground; black: the chassis does"
LIMIT_WORDS = (
    "dots: the oil alone; beyond the bend an empty space opens under the piston and the gas sets the force"
)


def _void_note(voids: Sequence[Sequence[float]]) -> str:
    return VOID_WORDS if any(max(void) > 0.0 for void in voids) else ""


@styled
def bench_picture(cycles: Mapping[str, BenchCycle], label: str) -> "Figure":
    """Force of shocks on a bench, over speed and over insertion.

    Parameters
    ----------
    cycles : answers of `bench_cycle` by name.
    label : of what; say there whether it is invented or your own.

    Raises
    ------
    ImportError : matplotlib is not installed.
    ValueError : none, or more than four answers.
    """
    curves = list(curves_of(cycles))
    title = "A shock on the bench, its last cycle: force over speed and over travel"
    empty = [line for name, cycle, *_ in curves if not cycle.time_s for line in reasons(cycle.findings, name)]
    if empty:
        return instead(title, label, empty)
    figure = blank(title, label, (7.4, 4.2))
    left, right = figure.subplots(1, 2, sharey=True)
    for name, cycle, colour, dash in curves:
        last = slice(_last_cycle(cycle.speed_m_s), None)
        force, void = cycle.force_n[last], cycle.void_ml[last]
        for axes, x in ((left, cycle.speed_m_s[last]), (right, cycle.insertion_mm[last])):
            banded(axes, x, force, void, colour)
            axes.plot(x, force, color=colour, linestyle=dash, label=name)
            axes.axhline(0.0, color=INK, linewidth=0.8)
    left.axvline(0.0, color=INK, linewidth=0.8)
    left.set_ylabel("force without the spring [N], push +")
    left.set_xlabel("shaft speed [m/s], pushed in +")
    right.set_xlabel("shaft pushed in [mm]")
    legend(figure, left, _void_note([cycle.void_ml for cycle in cycles.values()]))
    return figure


def _last_cycle(speed: Sequence[float]) -> int:
    """Row at which the last whole cycle begins: the shaft turns from pulling out to pushing in."""
    v = np.asarray(speed)
    turns = np.flatnonzero((v[:-1] < 0.0) & (v[1:] >= 0.0))
    whole = turns[turns < len(v) - 3]
    return int(whole[-1]) if len(whole) else 0


@styled
def landing_picture(drops: Mapping[str, Drop], label: str) -> "Figure":
    """Landings over time: insertion, force, empty space, clearance, and when tyre and chassis touch the ground.

    Parameters
    ----------
    drops : answers of `drop` by name, asked with `series=True`.
    label : of what, from how high; say there whether it is invented or your own.

    Raises
    ------
    ImportError : matplotlib is not installed.
    ValueError : none, more than four answers, or one without its series.
    """
    title, curves = "A landing, from first contact on", list(curves_of(drops))
    empty = [(name, one) for name, one, *_ in curves if not one.series.time_s]
    if any(one.least_clearance_mm is not None for _, one in empty):
        raise ValueError("ask drop for series=True: a landing is drawn over time")
    if empty:
        return instead(title, label, [line for name, one in empty for line in reasons(one.findings, name)])
    figure = blank(title, label, (7.4, 7.6))
    heights = [1.0, 1.0, 0.8, 1.0, 0.25 + 0.13 * len(curves)]
    panels = figure.subplots(len(LANDING) + 1, 1, sharex=True, height_ratios=heights)
    for axes, (column, words) in zip(panels, LANDING, strict=False):
        axes.set_ylabel(words)
        for name, one, colour, dash in curves:
            over = getattr(one.series, column)
            if column != "void_ml":
                banded(axes, one.series.time_s, over, one.series.void_ml, colour)
            axes.plot(one.series.time_s, over, color=colour, linestyle=dash, label=name)
    _ground(panels[3])
    _contact(panels[4], curves)
    panels[4].set_xlabel("time since the tyre met the ground [s]")
    figure.align_ylabels(panels)
    legend(figure, panels[0], CONTACT_WORDS, _void_note([one.series.void_ml for one in drops.values()]))
    return figure


def _ground(axes: "Axes") -> None:
    """The ground, hatched, where a curve comes near it."""
    low, high = axes.get_ylim()
    low = min(low, -0.08 * high)
    axes.set_ylim(low, high)
    axes.axhspan(low, 0.0, facecolor="white", edgecolor=GREY, hatch="////", linewidth=0.0)
    axes.axhline(0.0, color=INK, linewidth=1.0)


def _contact(axes: "Axes", curves: Sequence[tuple[str, Drop, str, Any]]) -> None:
    """Bars while the tyre stands on the ground, black while the chassis does."""
    for row, (_, one, colour, _dash) in enumerate(curves):
        series = one.series
        axes.broken_barh(_spans(series.time_s, series.tyre_n), (-row - 0.35, 0.7), facecolor=colour)
        slap = _spans(series.time_s, [-clear for clear in series.clearance_mm])
        axes.broken_barh(slap, (-row - 0.35, 0.7), facecolor="black")
    axes.set_ylim(0.6 - len(curves), 0.6)
    axes.set_yticks([])
    axes.set_ylabel("on the\nground")


def _spans(time: Sequence[float], value: Sequence[float]) -> list[tuple[float, float]]:
    """Beginning and length of the times in which a value is above zero."""
    is_above = np.concatenate([[False], np.asarray(value) > 0.0, [False]])
    change = np.flatnonzero(is_above[1:] != is_above[:-1])
    ends = np.append(np.asarray(time), time[-1])
    return [(float(ends[a]), float(ends[b] - ends[a])) for a, b in zip(change[::2], change[1::2], strict=True)]


@styled
def damping_picture(curves: Mapping[str, DampingCurve], label: str) -> "Figure":
    """Damping force over shaft speed, pushed in and pulled out, with the limit that the gas sets.

    Parameters
    ----------
    curves : answers of `damping_curve` by name.
    label : of what; say there whether it is invented or your own.

    Raises
    ------
    ImportError : matplotlib is not installed.
    ValueError : none, or more than four answers.
    """
    figure = blank("Damping force over shaft speed", label, (7.4, 4.8))
    axes = figure.add_subplot()
    capped = False
    for name, curve, colour, dash in curves_of(curves):
        order = np.argsort(curve.speed_m_s)
        speed, oil, limited, back = (
            np.asarray(column)[order]
            for column in (curve.speed_m_s, curve.compression_n, curve.compression_capped_n, curve.rebound_n)
        )
        axes.plot(speed, limited, color=colour, linestyle=dash, label=name)
        axes.plot(speed, back, color=colour, linestyle=dash, label=f"_{name}, pulled out")
        if curve.void_force_n is not None and float(oil[-1]) > curve.void_force_n:
            capped = True
            beyond = oil > limited
            beyond[:-1] |= beyond[1:]  # the dots begin at the bend
            axes.plot(
                speed[beyond],
                oil[beyond],
                color=colour,
                linestyle=(0, (1, 3)),
                linewidth=1.0,
                label=f"_{name}, oil alone",
            )
    axes.axhline(0.0, color=INK, linewidth=0.8)
    axes.set_xlim(left=0.0)
    axes.set_xlabel("shaft speed [m/s]")
    axes.set_ylabel("damping force [N]: pushed in +, pulled out -")
    legend(figure, axes, LIMIT_WORDS if capped else "")
    return figure


@styled
def ride_picture(corner: Corner, label: str, temperature_c: float = 25.0) -> "Figure":
    """A corner over its wheel travel: wheel force and rate, shock length and motion ratio; rest and stops marked.

    Parameters
    ----------
    corner : the corner.
    label : of what; say there whether it is invented or your own.
    temperature_c : of the oil, for the gas [C].

    Raises
    ------
    ImportError : matplotlib is not installed.
    """
    title, stand = "A corner over its wheel travel", stand_of(corner, temperature_c)
    preload = level(stand).preload if corner.preload_mm is None else corner.preload_mm * 1e-3
    stands = rest(stand, preload)
    low, high = float(stands.droop), float(stands.shock_stop)
    if not (low < high and np.isfinite(float(preload))):
        return instead(title, label, reasons(ride_figures(corner, temperature_c)[1], ""))
    if np.isfinite(float(stands.lock)):
        high = low + NEAR_LOCK * (float(stands.lock) - low)  # at the lock itself the gas's force has no end
    z = np.linspace(low, high, POINTS)
    force, rate, ratio = shock_at(stand, np.asarray(preload), z)
    columns = (
        (force * ratio, "force of spring and gas\nat the wheel [N]"),
        (wheel_rate(rate, 0.0, ratio, force, stand.kin.slope(z)) * 1e-3, "rate at the wheel\n[N/mm]"),
        (stand.kin.length(z) * 1e3, "shock length,\neye to eye [mm]"),
        (ratio, "motion ratio,\nshock per wheel [1]"),
    )
    figure = blank(title, label, (7.4, 5.6))
    panels = figure.subplots(2, 2, sharex=True)
    for axes, (over, words) in zip(panels.flat, columns, strict=True):
        axes.plot(z * 1e3, over, color=BLUE, label="_corner")
        axes.set_ylabel(words)
        _marks(axes, stands)
    panels[0, 0].axhline(float(stand.weight), color=GREY, linewidth=1.0, label="weight to carry")
    for axes in panels[1]:
        axes.set_xlabel("wheel travel from level [mm], bump +")
    legend(figure, panels[0, 0])
    return figure


def _marks(axes: "Axes", stands: Rest) -> None:
    """Full droop, rest and the stops as upright lines; coils that touch after the shock's stop are no stop."""
    bind = np.where(stands.bind < stands.shock_stop, stands.bind, np.nan)
    for words, at, colour, dash in (
        ("wheel fully down", stands.droop, INK, (0, (1, 1.5))),
        ("at rest", stands.travel, GREEN, "-"),
        ("shock fully in", stands.shock_stop, VERMILLION, (0, (5, 1.5))),
        ("chassis touches", stands.chassis, INK, (0, (5, 1.5, 1, 1.5))),
        ("coils touch", bind, ORANGE, (0, (3, 1, 1, 1, 1, 1))),
        ("goes solid", stands.lock, ORANGE, (0, (2, 2))),
    ):
        if np.isfinite(float(at)):
            place = round(float(at) * 1e3, 1) + 0.0
            axes.axvline(place, color=colour, linestyle=dash, linewidth=1.3, label=f"{words}, {place:+.1f} mm")
