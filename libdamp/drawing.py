"""How pictures look: palette, dashes, settings, legends, and how they are written to a file.

Sources
-------
[1] Okabe, M., Ito, K., Color Universal Design, J*Fly Data Depository for Drosophila Researchers, 2008: the
    palette (its codes from memory).
"""

import functools
import textwrap
import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from io import StringIO
from pathlib import Path
from typing import TYPE_CHECKING, Any, ParamSpec

import numpy as np

from .findings import Finding

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

NEEDS = 'pictures need matplotlib: pip install "libdamp[plot]"'
BLUE, VERMILLION, GREEN, ORANGE = "#0072B2", "#D55E00", "#009E73", "#E69F00"  # [1]
CURVES: tuple[tuple[str, Any], ...] = (
    (BLUE, "-"),
    (VERMILLION, (0, (5, 1.5))),
    (GREEN, (0, (5, 1.5, 1, 1.5))),
    (ORANGE, (0, (1, 1))),
)
"""Colour and dash of the first, second, third and fourth answer."""
INK, GREY, PALE = "#222222", "#777777", "#E4E4E4"
THICK, BAND = 6.0, "_open"
"""Width and name of the pale band that follows a curve while the empty space is open."""
STYLE: dict[str, Any] = {
    "svg.hashsalt": "libdamp",
    "svg.fonttype": "none",
    "font.family": "sans-serif",
    "font.sans-serif": ["DejaVu Sans"],
    "font.size": 9.0,
    "text.parse_math": False,
    "axes.titlesize": 9.0,
    "axes.labelsize": 9.0,
    "axes.edgecolor": INK,
    "axes.labelcolor": INK,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.grid": True,
    "axes.axisbelow": True,
    "grid.color": PALE,
    "grid.linewidth": 0.7,
    "lines.linewidth": 1.6,
    "lines.solid_capstyle": "butt",
    "legend.frameon": False,
    "legend.handlelength": 3.0,
    "savefig.dpi": 150,
}
FORMATS = (".svg", ".png")
"""Endings of a picture's name."""
_LOCK = threading.RLock()
"""The settings of matplotlib are one for the whole process."""

P = ParamSpec("P")


def styled(draw: Callable[P, "Figure"]) -> Callable[P, "Figure"]:
    """A picture drawn in the settings above, whatever the caller's own are."""

    @functools.wraps(draw)
    def drawn(*args: P.args, **kwargs: P.kwargs) -> "Figure":
        try:
            from matplotlib import style
        except ImportError:
            raise ImportError(NEEDS) from None
        with _LOCK, style.context(["default", STYLE]):
            return draw(*args, **kwargs)

    return drawn


def blank(title: str, label: str, size: tuple[float, float]) -> "Figure":
    """An empty figure: what is seen, of what."""
    from matplotlib.figure import Figure

    figure = Figure(figsize=size, layout="constrained", facecolor="white")
    figure.suptitle(f"{title}\n{label}", fontsize=10.5, color=INK, x=0.01, ha="left")
    return figure


def curves_of(answers: Mapping[str, Any]) -> Iterator[tuple[str, Any, str, Any]]:
    """Answers with name, colour and dash.

    Raises
    ------
    ValueError : none, or more than can be told apart.
    """
    if not 1 <= len(answers) <= len(CURVES):
        raise ValueError(f"a picture holds one to {len(CURVES)} answers, not {len(answers)}")
    for (name, answer), (colour, dash) in zip(answers.items(), CURVES, strict=False):
        yield name, answer, colour, dash


def reasons(found: Sequence[Finding], name: str) -> list[str]:
    """Why an answer has nothing to draw, a sentence each."""
    return [f"{name}: {f.text}".removeprefix(": ") for f in found if f.severity == "do_not_run"]


def instead(title: str, label: str, why: Sequence[str]) -> "Figure":
    """A picture that says why there is nothing to see."""
    figure = blank(title, label, (7.4, 2.4))
    axes = figure.add_subplot()
    axes.axis("off")
    lines = [line for sentence in why for line in textwrap.wrap(sentence, 96)]
    axes.text(0.0, 1.0, "\n".join(lines), va="top", color=INK, transform=axes.transAxes)
    return figure


def banded(axes: "Axes", x: Sequence[float], y: Sequence[float], void: Sequence[float], colour: str) -> None:
    """A pale band along a curve while the empty space is open."""
    if max(void) > 0.0:
        height = np.where(np.asarray(void) > 0.0, np.asarray(y), np.nan)
        axes.plot(x, height, color=colour, alpha=0.25, linewidth=THICK, solid_capstyle="round", label=BAND)


def legend(figure: "Figure", axes: "Axes", *notes: str) -> None:
    """Names of the curves of a panel below the picture, and notes."""
    handles, labels = axes.get_legend_handles_labels()
    title = "\n".join(note for note in notes if note)
    figure.legend(handles, labels, loc="outside lower left", ncols=2, title=title, alignment="left")


def described(figure: "Figure") -> str:
    """A figure in words and numbers, a line a curve: for those who cannot see it, and to compare two of them."""
    lines = [" - ".join(figure.get_suptitle().split("\n"))]
    for axes in figure.axes:
        words = " ".join(axes.get_ylabel().split())
        for line in axes.lines:
            y = np.asarray(line.get_ydata(), dtype=float)
            if line.get_label() != BAND and len(y) > 2:
                name = str(line.get_label()).removeprefix("_")
                lines.append(f"{words}, {name}: from {np.nanmin(y):.4g} to {np.nanmax(y):.4g}")
    return "\n".join(lines)


def save(figure: "Figure", path: str | Path) -> None:
    """Write a figure as SVG or PNG, by the name's ending: the same bytes for the same figure.

    Raises
    ------
    ValueError : another ending.
    """
    from matplotlib import style

    ending = Path(path).suffix.lower()
    if ending not in FORMATS:
        raise ValueError(f"'{path}': a picture's name ends in {' or '.join(FORMATS)}")
    fixed = {"Date": None} if ending == ".svg" else {"Software": None}
    with _LOCK, style.context(["default", STYLE]):
        figure.savefig(path, metadata={**fixed, "Description": described(figure)})


def svg_of(figure: "Figure") -> str:
    """A figure as an SVG element, to stand inside a page: the same text for the same figure."""
    from matplotlib import style

    held = StringIO()
    with _LOCK, style.context(["default", STYLE]):
        figure.savefig(held, format="svg", metadata={"Date": None, "Description": described(figure)})
    text = held.getvalue()
    return text[text.index("<svg") :]
