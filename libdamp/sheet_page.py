"""The set-up sheet as a page to print: HTML in one file, its words those of the text sheet, nothing fetched.

The first page is for the workbench, in the order of the hands; the second says how sure it is and what to change if
the car does not do as wanted; what follows is for reading: pictures (extra `plot`), other builds, every change.
"""

import html
import re
from collections.abc import Callable, Sequence
from pathlib import Path

from .bands import Effect
from .damping import damping_curve
from .drawing import NEEDS, blank, described, svg_of
from .drops import drop
from .pictures import damping_picture, landing_picture, ride_picture
from .sheet_data import ENDS, Sheet
from .sheet_hands import ChangeRow, FirstPage, HandsRow, cleaned, first_page, shortened
from .sheet_landing import HIGHEST_MM, band_mm
from .sheet_style import STYLE
from .sheet_words import other_words, others_title, rejected_words, trade_words

START = "<!DOCTYPE html>\n<!-- libdamp: a set-up sheet; written anew whenever it is asked for -->\n"
"""What every page begins with: a file that does not is somebody else's."""
NEW = " (new)"
MOST_EFFECTS = 6
FALL_MM = 100.0
"""Fall of the picture where the use has no jump that can be worked out."""
FASTEST_M_S, SPEEDS = 0.5, 101
LONGEST_NAME = 60
"""Of a car, in a picture."""
UNKNOWNS = {
    "void_hole_factor": "holes into the empty space lose so many times as much:",
    "void_kpa": "pressure left in the empty space [kPa]:",
}
"""Plain words for what is set otherwise in a landing."""


def is_foreign(path: Path) -> bool:
    """Whether a file is there that no page of this module is.

    Raises
    ------
    OSError : it cannot be read.
    """
    if not path.exists():
        return False
    with path.open("rb") as file:
        return file.read(len(START)) != START.encode()


def escaped(text: str) -> str:
    """A text as it may stand in HTML, without control characters, its arrows in one piece.

    >>> escaped("<b> & 'c' 1 -> 2")
    '&lt;b&gt; &amp; &#x27;c&#x27; 1 → 2'
    """
    return html.escape(cleaned(text).replace("->", "→"))


def page_html(sheet: Sheet, banner: str = "", changes: Sequence[ChangeRow] = ()) -> str:
    """The whole page.

    Parameters
    ----------
    sheet : what it is written from.
    banner : stands right below the title.
    changes : rows of the table of changes, the best first; without them there is no such table.
    """
    first = first_page(sheet, banner, changes)
    head = (
        f'<html lang="en">\n<head>\n<meta charset="utf-8">\n<title>Set-up sheet: {escaped(first.name)}</title>\n'
        f"<style>\n{STYLE}</style>\n</head>\n"
        f'<body style="font-size: {first.room.size_pt:g}pt">\n'
    )
    warning = f'<p class="banner">{escaped(banner)}</p>\n' if banner else ""
    top = f"<h1>{escaped(first.name)}</h1>\n<p>Set-up sheet: {escaped(first.where)}</p>\n{warning}"
    hands = f'<section id="hands">\n<header>\n{top}</header>\n{hands_table(first)}</section>\n'
    second = (
        f'<section id="second">\n<h2>How sure the figures are</h2>\n{bands_table(sheet)}{effects_table(sheet)}'
        f"{question_table(changes)}{rest_lists(first)}</section>\n"
    )
    more = (
        f'<section id="more">\n{picture_block(sheet, first.name, banner)}{other_builds(sheet)}'
        f"{change_table(changes)}</section>\n"
    )
    return f"{START}{head}{hands}{second}{more}</body>\n</html>\n"


def _verdict(text: str) -> str:
    """What to do, then why."""
    first, *why = text.split("\n")
    return "<br>\n".join([f"<b>{escaped(first)}</b>", *map(escaped, why)])


def _lines(text: str) -> str:
    """Lines of a cell; a new part stands out."""
    return "<br>\n".join(
        f"<b>{escaped(line.removesuffix(NEW))}</b> <mark>new</mark>" if line.endswith(NEW) else escaped(line)
        for line in text.split("\n")
    )


def _items(texts: Sequence[str]) -> str:
    """A list; nothing where there are none."""
    items = "".join(f"<li>{escaped(text)}</li>\n" for text in texts)
    return f"<ul>\n{items}</ul>\n" if items else ""


def hands_table(first: FirstPage) -> str:
    """The one table of the first page."""
    columns = '<tr><td></td><th scope="col">FRONT</th><th scope="col">REAR</th></tr>'
    rows = "".join(map(_hands_row, first.rows))
    return f"<table>\n<thead>\n{columns}\n</thead>\n<tbody>\n{rows}</tbody>\n</table>\n"


def _hands_row(row: HandsRow) -> str:
    write = _verdict if row.kind == "verdict" else _lines
    if row.rear is None:
        cells = f'<td colspan="2">{write(row.front) if row.front else ""}{_items(row.items)}</td>'
    else:
        cells = f"<td>{write(row.front)}</td><td>{write(row.rear)}</td>"
    kind = f' class="{row.kind}"' if row.kind else ""
    return f'<tr{kind}><th scope="row">{escaped(row.label)}</th>{cells}</tr>\n'


def question_table(changes: Sequence[ChangeRow]) -> str:
    """The change that helps each question best; nothing where none does."""
    rows = [(one.asked, one.end, one.change, one.gives, one.costs) for one in changes if one.asked]
    head = _columns("if", "end", "change", "gives", "costs")
    return f"<h2>If the car as built still ...</h2>\n{_table(head, rows)}" if rows else ""


def change_table(changes: Sequence[ChangeRow]) -> str:
    """What every other change would do; nothing without rows."""
    rows = [(one.end, one.change, one.gives, one.costs) for one in changes if not one.asked]
    head = _columns("end", "change", "gives", "costs")
    return f"<h2>What each other change would do</h2>\n{_table(head, rows)}" if rows else ""


def _columns(*names: str) -> str:
    return "<tr>" + "".join(f'<th scope="col">{escaped(name)}</th>' for name in names) + "</tr>"


def _table(head: str, rows: Sequence[Sequence[str]]) -> str:
    body = "".join(
        f'<tr><th scope="row">{escaped(first)}</th>{"".join(map(_cell, rest))}</tr>\n' for first, *rest in rows
    )
    return f'<table class="figures">\n<thead>\n{head}\n</thead>\n<tbody>\n{body}</tbody>\n</table>\n'


def _cell(text: str) -> str:
    kind = "" if " " in text else ' class="word"'
    return f"<td{kind}>{escaped(text)}</td>"


def bands_table(sheet: Sheet) -> str:
    """Headline figures of both ends with their bands."""
    rows: tuple[tuple[str, Callable[[Sheet, str], str]], ...] = (
        ("damping ratio, shaft pushed in", _damping_band),
        ("natural frequency [Hz]", _frequency_band),
        ("preload for level arms [mm]", _preload_band),
        ("fall from which the chassis touches [mm]", _touch_band),
    )
    cells = [(label, *(cell(sheet, end) for end in ENDS)) for label, cell in rows]
    return _table(_columns("", "front", "rear"), cells)


def _around(value: float | None, off: float, digits: int = 2) -> str:
    if value is None:
        return "-"
    return f"{value:.{digits}f}" if off < 0.5 * 10.0**-digits else f"{value:.{digits}f} ± {off:.{digits}f}"


def _damping_band(sheet: Sheet, end: str) -> str:
    ratio, band = getattr(sheet.proposal, end).ride.damping_ratio_compression, sheet.bands[end].damping
    return f"{_around(ratio, band * (ratio or 0.0))} (± {100.0 * band:.0f} %)"


def _frequency_band(sheet: Sheet, end: str) -> str:
    hz, band = getattr(sheet.proposal, end).ride.frequency_hz, sheet.bands[end].frequency
    return f"{_around(hz, band * (hz or 0.0))} (± {100.0 * band:.0f} %)"


def _preload_band(sheet: Sheet, end: str) -> str:
    return _around(getattr(sheet.proposal, end).ride.preload_for_level_mm, sheet.bands[end].preload)


def _touch_band(sheet: Sheet, end: str) -> str:
    seen = sheet.landings[end]
    low, high = band_mm(seen.touch, seen.tyre_assumed)
    if seen.touch.height_mm is None or low is None:
        return "-"
    return f"{seen.touch.height_mm:.0f} ({low:.0f} {'and up' if high is None else f'to {high:.0f}'})"


def effects_table(sheet: Sheet) -> str:
    """What each assumed value, and each unknown of a landing, is worth."""
    worth: dict[str, dict[str, Effect]] = {}
    for end in ENDS:
        for one in sheet.bands[end].effects:
            worth.setdefault(one.path.removeprefix(f"/car/{end}/").strip("/").replace("/", "."), {})[end] = one
    most = sorted(worth, key=lambda field: -max(e.damping**2 + e.frequency**2 for e in worth[field].values()))
    rows = [(field, *_effect_cells(worth[field])) for field in most[:MOST_EFFECTS]]
    head = _columns("assumed; front / rear", "moves the damping [%]", "the frequency [%]", "the preload [mm]")
    found = _table(head, rows) if rows else ""
    heights = {end: {one.name: one.height_mm for one in sheet.landings[end].touch.bounds} for end in ENDS}
    names = dict.fromkeys(name for end in ENDS for name in heights[end])
    falls = [(_unknown(name), *(_fall(heights[end], name) for end in ENDS)) for name in names]
    head = _columns("the chassis touches from [mm], if other than given or usual", "front", "rear")
    return found + (_table(head, falls) if falls else "")


def _unknown(name: str) -> str:
    word, _, rest = name.partition(" ")
    return f"{UNKNOWNS[word]} {rest}" if word in UNKNOWNS else name


def _fall(heights: dict[str, float | None], name: str) -> str:
    if name not in heights:
        return "-"
    height = heights[name]
    return "never" if height is None else f"{height:.0f}"


def _effect_cells(ends: dict[str, Effect]) -> tuple[str, ...]:
    """What an assumed value is worth at the front and at the rear."""
    both = [ends.get(end) for end in ENDS]
    columns = (
        [None if e is None else f"{100.0 * e.damping:.0f}" for e in both],
        [None if e is None else f"{100.0 * e.frequency:.0f}" for e in both],
        [None if e is None else f"{e.preload:.1f}" for e in both],
    )
    return tuple("± " + " / ".join(cell or "-" for cell in cells) for cells in columns)


def rest_lists(first: FirstPage) -> str:
    """Findings and measurements for which the first page has no room."""
    blocks = (("To know as well", first.told_left), ("Measure as well", first.measures_left))
    return "".join(f"<h2>{escaped(head)}</h2>\n{_items(items)}" for head, items in blocks if items)


def other_builds(sheet: Sheet) -> str:
    """What else the plan found, and what it rejected."""
    items = (*other_words(sheet), *trade_words(sheet), *rejected_words(sheet))
    return f"<h2>{escaped(others_title(sheet).capitalize())}</h2>\n{_items(items)}" if items else ""


def picture_block(sheet: Sheet, name: str, banner: str) -> str:
    """Pictures, or how to get them."""
    name = shortened(name, LONGEST_NAME)
    try:
        drawn = _pictures(sheet, f"INVENTED: {name}" if banner else name)
    except ImportError:
        return f'<p class="missing">No pictures here: {escaped(NEEDS)}, then write this page again.</p>\n'
    return "".join(f'<figure class="{kind}">\n{one}\n</figure>\n' for kind, one in drawn)


def _pictures(sheet: Sheet, label: str) -> list[tuple[str, str]]:
    """Landing, force over speed, and both corners over their travel, as SVG, each with its kind.

    Raises
    ------
    ImportError : no matplotlib; said before anything is worked out.
    """
    blank("", "", (1.0, 1.0))
    warm = sheet.use.oil_temperature_c
    falls = [seen.on_slope_mm for seen in sheet.landings.values() if seen.on_slope is not None]
    height = min(falls[0] or FALL_MM, HIGHEST_MM) if falls else FALL_MM
    speeds = tuple(FASTEST_M_S * i / (SPEEDS - 1) for i in range(SPEEDS))
    corners = {end: getattr(sheet.car, end) for end in ENDS}
    runs = {
        end: drop(corner=one, height_mm=height, temperature_c=warm, series=True) for end, one in corners.items()
    }
    curves = {
        end: damping_curve(shock=one.shock, speeds_m_s=speeds, temperature_c=warm) for end, one in corners.items()
    }
    figures = [
        ("wide", damping_picture(curves, label)),
        ("wide", landing_picture(runs, f"a fall of {height:.0f} mm; {label}")),
        *(("two", ride_picture(one, f"{end}; {label}", warm)) for end, one in corners.items()),
    ]
    return [
        (kind, _inline(svg_of(figure), described(figure), f"p{i}-")) for i, (kind, figure) in enumerate(figures)
    ]


def _inline(svg: str, words: str, prefix: str) -> str:
    """A picture's SVG with names of its own and without the data about the file; said in words as well."""
    text = re.sub(r"\s*<metadata>.*?</metadata>", "", svg, flags=re.S)
    text = re.sub(r'\bid="', f'id="{prefix}', text)
    text = re.sub(r'((?:xlink:)?href="#|url\(#)', rf"\g<1>{prefix}", text)
    return text.replace("<svg ", f'<svg role="img" aria-label="{escaped(words)}" ', 1).rstrip()
