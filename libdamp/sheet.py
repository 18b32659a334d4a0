"""The set-up sheet as text, in the order of the hands: verdict, fit, fill, set, look, expect, measure next."""

import textwrap
from collections.abc import Callable, Iterable, Sequence

from .sheet_changes import if_words
from .sheet_columns import mm_text, number, verdict_cell
from .sheet_data import Sheet
from .sheet_words import (
    BUY_TITLE,
    HANDS,
    buy_words,
    caution_words,
    landing_cautions,
    measure_title,
    measure_words,
    other_words,
    others_title,
    rejected_words,
    title,
    together_words,
    told,
    trade_words,
)
from .wording import part_words

LABEL = 9
COLUMN = 35
WIDTH = LABEL + 2 * COLUMN + 2


def rows_of(label: str, front: str, rear: str) -> list[str]:
    """Lines of a row with two wrapped columns."""
    columns = [
        [piece for part in cell.split("\n") for piece in (textwrap.wrap(part, COLUMN) or [""])]
        for cell in (front, rear)
    ]
    height = max(len(c) for c in columns)
    lines = []
    for i in range(height):
        left, right = (c[i] if i < len(c) else "" for c in columns)
        lines.append(f"{label if i == 0 else '':<{LABEL}} {left:<{COLUMN}} {right}".rstrip())
    return lines


def paragraph(text: str, first: str = "", rest: str = "  ") -> list[str]:
    """Wrapped lines of a text."""
    return textwrap.wrap(text, WIDTH, initial_indent=first, subsequent_indent=rest)


def listed(head: str, items: Sequence[str]) -> list[str]:
    """A head and wrapped lines below it; nothing where there are none."""
    lines = [line for item in items for line in paragraph(item, "  ", "    ")]
    return [head, *lines] if lines else []


def main_rows(sheet: Sheet) -> list[str]:
    """Rows of both ends."""
    lines = rows_of("", "FRONT", "REAR")
    for label, cell in HANDS:
        lines += rows_of(label, cell(sheet, "front"), cell(sheet, "rear"))
    return lines + [line for text in landing_cautions(sheet) for line in paragraph(text, " " * 10, " " * 10)]


def sheet_text(sheet: Sheet, banner: str = "") -> str:
    """The whole sheet; a banner stands right below its title."""
    blocks = [
        [line for part in (f"SET-UP SHEET  {title(sheet)[0]}", title(sheet)[1]) for line in paragraph(part)]
        + ([banner] if banner else []),
        main_rows(sheet),
        listed("6 if the car as built here still ...", if_words(sheet.changes, sheet.untold)),
        paragraph(f"together: {together_words(sheet)}"),
        listed(f"{BUY_TITLE}:", buy_words(sheet)),
        listed("to know:", [one.words for one in told(sheet)]),
        listed(f"{others_title(sheet)}:", [*other_words(sheet), *trade_words(sheet), *rejected_words(sheet)]),
        listed(measure_title(sheet), measure_words(sheet)),
        listed("cautions:", caution_words(sheet)),
    ]
    return "\n\n".join("\n".join(block) for block in blocks if block) + "\n"


def short_text(sheet: Sheet) -> str:
    """Eight lines of result, front / rear."""
    names, builds = ("front", "rear"), (sheet.build("front"), sheet.build("rear"))
    ends, shocks = (sheet.proposal.front, sheet.proposal.rear), (sheet.car.front.shock, sheet.car.rear.shock)
    rides, jump = [e.ride for e in ends], sheet.proposal.jump
    seen = [sheet.landings[name] for name in names]
    spare = [None if s.on_slope is None else s.on_slope.least_clearance_mm for s in seen]

    def both(values: Iterable[float | None], write: Callable[[float | None], str] = number) -> str:
        return " / ".join(write(v) for v in values)

    fits = [", ".join(part_words(b, p) for p in ("spring", "oil", "piston", "limiter")) for b in builds]
    ratios = [r.damping_ratio_compression or 0.0 for r in rides]
    damping = [f"{z:.2f} ±{z * sheet.bands[n].damping:.2f}" for z, n in zip(ratios, names, strict=True)]
    lines = [
        f"front   {verdict_cell(sheet, 'front').splitlines()[0]}: {fits[0]}",
        f"rear    {verdict_cell(sheet, 'rear').splitlines()[0]}: {fits[1]}",
        f"fill    {both(e.fill.oil_ml for e in ends)} ml of oil, shaft pushed in "
        f"{both(s.fill.closing_insertion_mm for s in shocks)} mm when the cap is closed (front / rear)",
        f"set     collar {both((r.collar_mm for r in rides), mm_text)} mm below the upper eye "
        f"(exactly level: {both((r.collar_for_level_mm for r in rides), mm_text)})",
        f"look    chassis {both(r.clearance_mm for r in rides)} mm above ground, droop "
        f"{both(r.droop_travel_mm for r in rides)} mm, bump {both(r.bump_travel_mm for r in rides)} mm",
        f"expect  {both(r.frequency_hz for r in rides)} Hz; damping ratio {' / '.join(damping)} "
        "(0 swings on, 1 does not)",
        f"balance front/rear frequency {number(sheet.proposal.frequency_ratio)}, damping ratio "
        f"{number(sheet.proposal.damping_ratio_ratio)}",
        f"jump    lands like a fall of {number(jump.on_slope_mm)} mm onto the flat with "
        f"{both(spare)} mm to spare ({number(jump.overshot_mm)} mm if overshot); the chassis touches from "
        f"{both(s.touch.height_mm for s in seen)} mm",
    ]
    return "\n".join(lines) + "\n"
