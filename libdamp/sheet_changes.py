"""What a sheet says of changes: the few that help what is wrong, or next to being wrong."""

from .changing import Changes, Help
from .sheet_hands import ChangeRow

NEXT_TO_WRONG = 0.25
"""Concern from which on a question is worth a line."""
MOST_LINES = 4


def useful(answer: Changes) -> list[Help]:
    """Questions that are wrong or next to it and that a change from the box helps, the worst first."""
    near = [asked for asked in answer.helps if concern_of(asked) >= NEXT_TO_WRONG and asked.row is not None]
    return sorted(near, key=lambda asked: -concern_of(asked))[:MOST_LINES]


def concern_of(asked: Help) -> float:
    """Concern of the end that is nearer to wrong."""
    return max(asked.front_concern, asked.rear_concern)


def if_words(answer: Changes) -> list[str]:
    """Lines of a sheet: "if chassis slaps: rear limiter 6 instead of 8 mm gives ...; costs ..."."""
    lines = []
    for asked in useful(answer):
        costs = f"; costs: {asked.costs}" if asked.costs else ""
        lines.append(f"{asked.words}: {asked.change} gives: {asked.gives}{costs}")
    return lines


def change_rows(answer: Changes) -> list[ChangeRow]:
    """Rows of a page's table: the useful ones, each with what it is for, then all others."""
    first = [(asked.row, asked) for asked in useful(answer) if asked.row is not None]
    rows = []
    for place, asked in first:
        row = answer.rows[place]
        rows.append(ChangeRow(row.end, f"{row.what} (if {asked.words})", asked.gives, asked.costs))
    for place, row in enumerate(answer.rows):
        if place not in {taken for taken, _ in first}:
            collar = f" ({row.collar})" if row.collar else ""
            rows.append(ChangeRow(row.end, f"{row.what}{collar}", row.gives, row.costs))
    return rows
