"""What each change does, as text to read at the bench; which question free words on the command line mean."""

import re
import textwrap
from collections.abc import Iterable
from typing import Any

from .answers import CAUTIONS
from .assumed_tyre import with_assumed
from .calculations import calculation_of
from .changing import NOTHING_TO_CURE, Change, Changes, Help
from .effects import COLDER_C
from .questions import Question, question_of

WIDTH = 100
HOLD = "\u00a0"
"""A blank at which no line is broken."""
ENDS = ("front", "rear")
END_WORDS = {
    "front": re.compile(r"\b(front|nose)( (end|axle|wheels?))?\b", re.IGNORECASE),
    "rear": re.compile(r"\b(rear|tail|back(?= (end|axle|wheels?)\b))( (end|axle|wheels?))?\b", re.IGNORECASE),
}
"""How an end is named."""
NO_FIGURES = (
    "no figures, as the use does not ask for them, or the run does not settle in the time that many at once are "
    "given (the sheet, or bumps and drop alone, may have them)"
)
KIND_WORDS = {
    "oil": "oil",
    "piston": "piston",
    "drill": "a blank drilled one size larger",
    "spring": "spring",
    "preload": "preload",
    "limiter": "limiter",
    "closing": "where the cap is closed",
    "fill": "how much oil",
    "mount": "the mount's hole",
    "temperature": "weather",
    "mass": "weight",
}


def asked_in(words: Iterable[str]) -> dict[str, Any]:
    """Fields `question` and `end` that free words ask for.

    Raises
    ------
    InputError : the words mean none of the twelve questions.

    Examples
    --------
    >>> asked_in(["rear", "slaps"]), asked_in([])
    ({'end': 'rear', 'question': 'slaps'}, {})
    """
    typed = text = " ".join(words)
    found: dict[str, Any] = {}
    named = [end for end in ENDS if END_WORDS[end].search(text)]
    if len(named) == 1:
        found["end"] = named[0]
        text = END_WORDS[named[0]].sub(" ", text)
    if text.strip():
        question: Question = question_of(text.strip(), typed)
        found["question"] = question
    return found


def wrapped(text: str, first: str, rest: str) -> list[str]:
    """Wrapped lines of a text; a number stays with its unit, two values stay together."""
    held = re.sub(r"(?<=\d) (?=(mm|%|ms|Hz|ml|N|N/mm|cSt|g|C)\b|%)| (?=->)|(?<=->) ", HOLD, text)
    lines = textwrap.wrap(held, WIDTH, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False)
    return [line.replace(HOLD, " ") for line in lines]


def row_lines(what: str, told: Change | Help, at: str = "  ") -> list[str]:
    """A change in its three parts: what, what it does, what it costs."""
    inner = at + "    "
    lines = [*wrapped(what, at, inner), *wrapped(told.gives, inner, inner)]
    return lines + (wrapped(f"costs: {told.costs}", inner, inner + "       ") if told.costs else [])


def now_lines(asked: Help, ends: tuple[str, ...], at: str) -> list[str]:
    """How the figures of a question are now at each end."""
    said = [(end, getattr(asked, f"{end}_now")) for end in ends]
    if len({text for _, text in said}) == 1 and "/" in said[0][1]:
        said = [("", said[0][1])]
    words = "; ".join(f"{end} {text}".strip() for end, text in said if text)
    return wrapped(f"now {words}" if words else f"now: {NO_FIGURES}", at, at + "    ")


def help_lines(asked: Help, ends: tuple[str, ...]) -> list[str]:
    """One of the twelve: how it is now, the best bargain."""
    lines = [f"  {asked.words}", *now_lines(asked, ends, "    ")]
    if asked.row is None:
        return [*lines, f"    {asked.reason}"]
    lines += ["    fine as it is; more of it, were it wanted:"] if asked.fine else []
    return lines + row_lines(f"-> {asked.change}", asked, "    ")


def rows_of_end(rows: list[Change], kinds: bool) -> list[str]:
    """Rows of one end, under the kind of change or in the order of their help."""
    lines: list[str] = []
    kind = ""
    for row in rows:
        if kinds and row.kind != kind:
            kind = row.kind
            lines.append(f" {KIND_WORDS[kind]}")
        collar = f" ({row.collar})" if row.collar else ""
        lines += row_lines(f"{row.what}{collar}", row)
    return lines


def top_lines(title: str, asked: Any, answer: Changes, mark: str) -> list[str]:
    """Which car, which day, and how to read the rows."""
    use = asked.use
    lines = [f"{title}  {asked.car.label or 'your car'}"]
    lines.append(f"{use.label or use.surface or 'driven'}, oil at {use.oil_temperature_c:g} C")
    lines += [mark] if mark else []
    text = (
        "One change at a time, from the car as it is in the file. (same height): after it the collar is set so "
        "that the car stands as high as before. "
        "costs: what gets worse by more than the error; the rest is better or a matter of taste. A push is 10 mm "
        f"by hand, a kerb half the clearance, a cold day {COLDER_C:g} C colder."
    )
    lines += ["", *wrapped(text, "", "")]
    if answer.assumed:
        tyre = ", the tyre among them: measure it before you trust a landing"
        among = tyre if any(a.path.endswith("/tyre/rate_n_mm") for a in answer.assumed) else ""
        lines += wrapped(f"* {len(answer.assumed)} values are assumed by size and surface{among}.", "", "  ")
    return lines


def changes_of(data: dict[str, Any]) -> tuple[Any, Changes]:
    """Request and answer of `changes` for the plain data of a car file, with a question perhaps.

    Raises
    ------
    InputError : with every fault of the file.
    """
    entry = calculation_of("changes")
    asked, assumed = entry.read(data)
    answer: Changes = with_assumed(entry.of(asked), assumed)
    return asked, answer


def changes_text(answer: Changes, asked: Any, mark: str = "") -> str:
    """The whole answer as text: what helps each question and every row, or what helps one question."""
    end = asked.end
    ends = ENDS if end is None else (end,)
    if answer.question is not None:
        lines = top_lines("WHAT HELPS", asked, answer, mark)
        return "\n".join([*lines, "", *_one(answer, ends), *_cautions(answer)]) + "\n"
    lines = [*top_lines("WHAT EACH CHANGE DOES", asked, answer, mark), ""]
    lines.append("WHAT HELPS (-> the best bargain in the box)")
    for one in answer.helps:
        lines += help_lines(one, ends)
    for each in ends:
        lines += ["", each.upper(), *rows_of_end([row for row in answer.rows if row.end == each], kinds=True)]
    return "\n".join([*lines, *_to_know(answer), *_cautions(answer)]) + "\n"


def _cautions(answer: Changes) -> list[str]:
    """The usual cautions, and those of the changes named."""
    told = [line for code in answer.cautions for line in wrapped(CAUTIONS[code], "  ", "    ")]
    return ["", "cautions:", *told]


def _one(answer: Changes, ends: tuple[str, ...]) -> list[str]:
    """What helps one question: how it is, the best bargain, then every helping change, most help first."""
    asked = answer.helps[0]
    lines = [asked.words.upper(), *now_lines(asked, ends, "  ")]
    if not answer.rows:
        none = f"none of the {answer.considered} single changes clearly helps; two together may"
        lines.append(f"  {asked.reason if asked.reason == NOTHING_TO_CURE else none}")
    elif asked.row is None:
        lines += ["", f"no bargain: {asked.reason}"]
    if asked.fine and asked.row is not None:
        lines.append("  by these figures it is fine as it is; if you feel it all the same:")
    if asked.row is not None:
        lines += ["", "the best bargain:", *row_lines(asked.change, asked)]
    worse = sorted(ends, key=lambda end: -getattr(asked, f"{end}_concern"))
    for end in worse:
        rows = [row for row in answer.rows if row.end == end]
        if rows:
            many = f"{len(rows)} changes clearly help, most help first"
            lines += ["", f"{end.upper()}: {many if len(rows) > 1 else '1 change clearly helps'}"]
            lines += rows_of_end(rows, kinds=False)
    return lines + _to_know(answer)


def _to_know(answer: Changes) -> list[str]:
    """What was left out."""
    told = dict.fromkeys(f.text for f in answer.findings if f.code in ("parts_short", "steps_unknown"))
    lines = [line for text in told for line in wrapped(text, "  ", "    ")]
    return ["", "left out:", *lines] if lines else []
