"""What stands on the first page of a printed sheet: rows in the order of the hands, as much as one page holds."""

import textwrap
from collections.abc import Sequence
from typing import NamedTuple

from .sheet_columns import NOW, verdict_cell
from .sheet_data import ENDS, Sheet
from .sheet_words import (
    BUY_TITLE,
    HANDS,
    MARKS,
    Told,
    buy_words,
    caution_words,
    landing_cautions,
    measure_title,
    measure_words,
    other_words,
    title,
    together_words,
    told,
)

LONGEST_TITLE, LONGEST_LINE = 90, 200
"""Letters of what an owner's own names may stretch; what is longer ends in dots."""
PAGE_MM = 275.0
"""Height that may be used: A4 less its margins; the heights below are some 5 % more than a wide face needs."""
COLUMN_MM, ACROSS_MM, TITLE_MM = 80.0, 160.0, 186.0
MM_PER_PT = 0.3528
LETTER_EM, BOLD_EM = 0.54, 0.62
"""Mean width of a letter in a wide face."""
LINE_EM, ROW_MM = 1.2, 1.4
VERDICT_PT, FIT_PT, TITLE_PT = 10.0, 11.5, 13.0


class Room(NamedTuple):
    """How small the letters are, how many lines of each kind there are."""

    size_pt: float
    told: int
    changes: int
    others: int
    measured: int
    brief: bool = False  # what a change still misses is told with its end alone, and not how it is now


ROOMS = (
    Room(9.0, 5, 4, 3, 9),
    Room(8.5, 5, 4, 3, 9),
    Room(8.5, 5, 3, 1, 4),
    Room(8.5, 4, 2, 1, 2),
    Room(8.5, 3, 1, 0, 1),
    Room(8.5, 3, 1, 0, 1, brief=True),
    Room(8.5, 1, 1, 0, 0, brief=True),
)
"""From the roomiest on; the first that fits is taken."""


class ChangeRow(NamedTuple):
    """One change in words; `asked` is what it helps best, `near` whether the car is near to that wrong."""

    end: str
    change: str
    gives: str
    costs: str
    asked: str = ""
    near: bool = False

    @property
    def words(self) -> str:
        """The change in a sentence: "it slaps: front: 350 cSt: damping ratio +0.06; costs 2 mm of touch height"."""
        asked = f"{self.asked}: " if self.asked else ""
        costs = f"; costs {self.costs}" if self.costs else ""
        return f"{asked}{self.end}: {self.change}: {self.gives}{costs}"


class HandsRow(NamedTuple):
    """A row: two columns, or a text and a list over both; `kind` says how it looks."""

    label: str
    front: str = ""
    rear: str | None = None
    items: tuple[str, ...] = ()
    kind: str = ""


class FirstPage(NamedTuple):
    """The first page, and what it has no room for."""

    room: Room
    name: str
    where: str
    rows: tuple[HandsRow, ...]
    told_left: tuple[str, ...]
    measures_left: tuple[str, ...]


def cleaned(text: str) -> str:
    """A text in one line, without control characters."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())


def shortened(text: str, longest: int) -> str:
    """A text of no more than so many letters.

    >>> shortened("a very long name", 10)
    'a very ...'
    """
    text = cleaned(text)
    short = textwrap.shorten(text, longest, placeholder=" ...")
    return short if len(short) > longest // 2 or short == text else f"{text[: longest - 4]} ..."


def first_page(sheet: Sheet, banner: str = "", changes: Sequence[ChangeRow] = ()) -> FirstPage:
    """The first page with as much as it holds."""
    pages = (_page(sheet, banner, changes, room) for room in ROOMS)
    fitting = next((page for page, height in pages if height <= PAGE_MM), None)
    return fitting or _page(sheet, banner, changes, ROOMS[-1])[0]


def _page(sheet: Sheet, banner: str, changes: Sequence[ChangeRow], room: Room) -> tuple[FirstPage, float]:
    """The first page in a room, and how high it is, mm."""
    name, where = (shortened(text, LONGEST_TITLE) for text in title(sheet))
    grave, notes = _by_gravity(sheet)
    measures = measure_words(sheet)
    rows = _rows(sheet, room, grave, changes)
    left = [one.words for one in (*grave[room.told :], *notes)]
    left += _left_by(sheet) if room.brief else []
    page = FirstPage(room, name, where, rows, tuple(left), tuple(measures[room.measured :]))
    head = _lines_mm(name, TITLE_PT, TITLE_MM, BOLD_EM) + _lines_mm(where, room.size_pt, TITLE_MM)
    banner_mm = _lines_mm(banner, room.size_pt, TITLE_MM) + 2.0 if banner else 0.0
    return page, head + banner_mm + 7.0 + sum(_row_mm(row, room.size_pt) for row in rows)


def _left_by(sheet: Sheet) -> list[str]:
    """What a brief page leaves out: how each end is now, and the whole of how both go together."""
    cells = [(end, line) for end in ENDS for line in verdict_cell(sheet, end).split("\n")]
    return [*(f"{end}: {line}" for end, line in cells if line.startswith(NOW)), together_words(sheet)]


def _by_gravity(sheet: Sheet) -> tuple[list[Told], list[Told]]:
    found = told(sheet)
    return [one for one in found if one.mark != MARKS["note"]], [one for one in found if one.mark == MARKS["note"]]


def _rows(sheet: Sheet, room: Room, grave: list[Told], changes: Sequence[ChangeRow]) -> tuple[HandsRow, ...]:
    kinds = {"verdict": "verdict", "1 fit": "fit"}
    rows = []
    for label, cell in HANDS:
        front, rear = (_cell(cell(sheet, end), room.brief) for end in ENDS)
        rows.append(HandsRow(label, front, rear, kind=kinds.get(label, "")))
    rows.append(HandsRow("", "\n".join(landing_cautions(sheet)), kind="beside"))
    rows.append(HandsRow("together", together_words(sheet, room.brief)))
    rows.append(HandsRow("buy", f"{BUY_TITLE}:" if buy_words(sheet) else "", items=tuple(buy_words(sheet))))
    rows.append(_listed("to know", "", [one.words for one in grave], room.told))
    helping = [row.words for row in changes if row.near]
    if helping:
        rows.append(_listed("6 if", "", helping, room.changes))
    else:
        rows.append(_listed("6 or", "", [_cell(words) for words in other_words(sheet)], room.others))
    rows.append(_listed("7 measure", measure_title(sheet), measure_words(sheet), room.measured))
    rows.append(HandsRow("cautions", items=tuple(caution_words(sheet)), kind="cautions"))
    return tuple(row for row in rows if row.front or row.items)


def _cell(text: str, brief: bool = False) -> str:
    lines = [line for line in text.split("\n") if not (brief and line.startswith(NOW))]
    return "\n".join(shortened(line, LONGEST_LINE) for line in lines)


def _listed(label: str, head: str, items: Sequence[str], most: int) -> HandsRow:
    """A list of no more than so many lines, then how many there are overleaf."""
    shown = items[:most]
    more = [f"and {len(items) - most} more overleaf"] if len(items) > most and most else []
    return HandsRow(label, head if shown else "", items=(*shown, *more))


def _row_mm(row: HandsRow, size_pt: float) -> float:
    """Height of a row, mm."""
    size = {"verdict": VERDICT_PT, "fit": FIT_PT}.get(row.kind, size_pt)
    em = BOLD_EM if row.kind in ("verdict", "fit") else LETTER_EM
    if row.rear is not None:
        return ROW_MM + max(_lines_mm(text, size, COLUMN_MM, em) for text in (row.front, row.rear))
    return ROW_MM + sum(_lines_mm(text, size, ACROSS_MM, em) for text in (row.front, *row.items) if text)


def _lines_mm(text: str, size_pt: float, width_mm: float, em: float = LETTER_EM) -> float:
    """Height of wrapped lines, mm."""
    letters = max(1, int(width_mm / (em * size_pt * MM_PER_PT)))
    lines = sum(max(1, len(textwrap.wrap(part, letters))) for part in text.split("\n"))
    return lines * LINE_EM * size_pt * MM_PER_PT
