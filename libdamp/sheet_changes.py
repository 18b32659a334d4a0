"""What a sheet says of changes: the few that help what is wrong, or next to being wrong."""

from .changing import Changes, Help
from .sheet_hands import ChangeRow

NEXT_TO_WRONG = 0.25
"""Concern from which on a question is worth a line."""
MOST_LINES = 4


def useful(answer: Changes | None) -> list[Help]:
    """Questions that are wrong or next to it and that a change from the box helps, the worst first."""
    return [asked for asked in helped(answer) if concern_of(asked) >= NEXT_TO_WRONG][:MOST_LINES]


def helped(answer: Changes | None) -> list[Help]:
    """Questions that a change from the box helps, the worst first."""
    found = [] if answer is None else [asked for asked in answer.helps if asked.row is not None]
    return sorted(found, key=lambda asked: -concern_of(asked))


def concern_of(asked: Help) -> float:
    """Concern of the end that is nearer to wrong."""
    return max(asked.front_concern, asked.rear_concern)


def if_words(answer: Changes | None) -> list[str]:
    """Lines of a sheet: "if chassis slaps: rear limiter 6 instead of 8 mm gives ...; costs ..."."""
    lines = []
    for asked in useful(answer):
        costs = f"; costs: {asked.costs}" if asked.costs else ""
        lines.append(f"{asked.words}: {asked.change} gives: {asked.gives}{costs}")
    return lines


def change_rows(answer: Changes | None) -> list[ChangeRow]:
    """Rows of a page's tables: those that help a question best, the worst question first, then all others."""
    if answer is None:
        return []
    rows, taken = [], set()
    for asked in helped(answer):
        if asked.row is not None:
            row = answer.rows[asked.row]
            rows.append(ChangeRow(row.end, row.what, asked.gives, asked.costs, asked.words))
            taken.add(asked.row)
    for place, row in enumerate(answer.rows):
        if place not in taken:
            collar = f" ({row.collar})" if row.collar else ""
            rows.append(ChangeRow(row.end, f"{row.what}{collar}", row.gives, row.costs))
    return rows
