"""What a sheet says of changes: the few that help what is wrong, or next to being wrong."""

from .changing import Change, Changes, Help
from .sheet_hands import ChangeRow

NEXT_TO_WRONG = 0.25
"""Concern from which on a question is worth a line."""
MOST_LINES = 4


def useful(answer: Changes | None, untold: tuple[str, ...] = ()) -> list[Help]:
    """Questions that are wrong or next to it and that a change from the box helps, the worst first."""
    return [asked for asked in helped(answer, untold) if concern_of(answer, asked) >= NEXT_TO_WRONG][:MOST_LINES]


def helped(answer: Changes | None, untold: tuple[str, ...] = ()) -> list[Help]:
    """Questions that a change from the box helps, the worst first.

    Of an end in `untold` nobody knows yet whether its spring is loose: nothing is said to cure that.
    """
    found = [] if answer is None else [asked for asked in answer.helps if asked.row is not None]
    told = [asked for asked in found if not (asked.question == "rattles" and asked.change.split()[0] in untold)]
    return sorted(told, key=lambda asked: -concern_of(answer, asked))


def concern_of(answer: Changes | None, asked: Help) -> float:
    """Concern of the end that the change is for."""
    at_rear = answer is not None and asked.row is not None and answer.rows[asked.row].end == "rear"
    return asked.rear_concern if at_rear else asked.front_concern


def if_words(answer: Changes | None, untold: tuple[str, ...] = ()) -> list[str]:
    """Lines of a sheet: "if chassis slaps: rear limiter 6 instead of 8 mm gives ...; costs ..."."""
    lines = []
    for asked in useful(answer, untold):
        costs = f"; costs: {asked.costs}" if asked.costs else ""
        lines.append(f"{asked.words}: {asked.change} gives: {asked.gives}{costs}")
    return lines


def change_rows(answer: Changes | None, untold: tuple[str, ...] = ()) -> list[ChangeRow]:
    """Rows of a page's tables: those that help a question best, the worst question first, then all others."""
    if answer is None:
        return []
    asks = [asked for asked in helped(answer, untold) if not asked.fine]
    best = [(asked, answer.rows[asked.row]) for asked in asks if asked.row is not None]
    near = {asked.question for asked in useful(answer, untold)}
    helping = [
        ChangeRow(row.end, _with_collar(row), asked.gives, asked.costs, asked.words, asked.question in near)
        for asked, row in best
    ]
    taken = {id(row) for _, row in best}
    others = [row for row in answer.rows if id(row) not in taken]
    return [*helping, *(ChangeRow(row.end, _with_collar(row), row.gives, row.costs) for row in others)]


def _with_collar(row: Change) -> str:
    """A change, and what becomes of the collar with it."""
    return f"{row.what} ({row.collar})" if row.collar else row.what
