"""A season's oils as text: a table for each end, from a car file."""

import textwrap
from collections.abc import Sequence
from typing import Any, NamedTuple

from .addresses import cell_value
from .answers import Assumed
from .calculations import calculation_of, read_request
from .car import Box, Car, Use
from .errors import Fault, InputError
from .season_words import cst_words, oil_words, percent_words, ratio_words
from .seasons import WITHIN, Season, season

USUAL_C = tuple(float(t) for t in range(0, 45, 5))
"""Oil temperatures of the table unless others are named."""
WIDTH, FIT = 82, 33
ENDS = ("front", "rear")


class SeasonTable(NamedTuple):
    """What the table is written from."""

    car: Car
    use: Use
    assumed: tuple[Assumed, ...]
    ends: dict[str, Season]


def temperatures_of(words: Sequence[str]) -> tuple[float, ...]:
    """Oil temperatures of a command line, C; the usual ones where there are none.

    Raises
    ------
    InputError : a word is no number.

    Examples
    --------
    >>> temperatures_of(["5", "12,5"])
    (5.0, 12.5)
    """
    faults, found = [], []
    for word in words:
        value = cell_value(word.strip().removesuffix("C").removesuffix("c"))
        if isinstance(value, (int, float)):
            found.append(float(value))
        else:
            text = f"'{word[:40]}' is no temperature: write numbers in C, python -m libdamp season car.toml 5 15 30"
            faults.append(Fault(pointer="", rule="type", value=word[:40], text=text))
    if faults:
        raise InputError(faults)
    return tuple(found) or USUAL_C


def season_of(data: dict[str, Any], temperatures_c: Sequence[float]) -> SeasonTable:
    """Work out the oils of both ends from the plain data of a car file; its use says where the car is right.

    Raises
    ------
    InputError : with every fault of the file, or of the temperatures.
    """
    asked, assumed = read_request(calculation_of("plan"), data)
    fields = {name: getattr(asked, name) for name in asked.__struct_fields__}
    car, use, box = fields["car"], fields["use"], fields["box"] or Box()
    ends = {
        end: season(
            corner=getattr(car, end),
            temperatures_c=tuple(temperatures_c),
            oils=box.oils,
            mix_oils=box.mix_oils,
            reference_temperature_c=use.oil_temperature_c,
        )
        for end in ENDS
    }
    return SeasonTable(car, use, assumed, ends)


def season_text(table: SeasonTable, banner: str = "") -> str:
    """The tables of both ends, then what there is to know."""
    mark = "*" if any(a.path.endswith("/oil_temperature_c") for a in table.assumed) else ""
    intro = (
        f"What to fit so that the car damps as its file has it at {table.use.oil_temperature_c:g} C{mark} of oil "
        f"temperature; up to {100.0 * WITHIN:g} % off cannot be told apart. Parts are by volume."
    )
    title = f"OILS OF A SEASON  {table.car.label or 'your car'}"
    blocks = [[*textwrap.wrap(title, WIDTH), *([banner] if banner else []), *textwrap.wrap(intro, WIDTH)]]
    blocks += [_end_lines(table, end) for end in ENDS]
    blocks += [_finding_lines(table), _assumed_lines(table)]
    return "\n\n".join("\n".join(block) for block in blocks if block) + "\n"


def _end_lines(table: SeasonTable, end: str) -> list[str]:
    """Table of an end."""
    answer, oil = table.ends[end], getattr(table.car, end).shock.oil
    wanted = ratio_words(answer.wanted_damping_ratio_compression, answer.wanted_damping_ratio_rebound)
    lines = textwrap.wrap(f"{end.upper()}: {oil_words(oil)} in the shock, {wanted} wanted", WIDTH)
    lines.append(_line("oil at", "wanted", ["what to do"], "damps then", "left as it is"))
    for i, warm in enumerate(answer.temperature_c):
        words = answer.fit[i] or "buy oil as wanted"
        if answer.advice[i] == "mix":
            words = f"{words} ({cst_words(answer.viscosity_cst[i] or 0.0)})"
        if answer.advice[i] == "leave":
            words = "leave it"
        if round(100.0 * abs(answer.damping_error_share[i] or 0.0)) > 100.0 * WITHIN:
            words = f"nearest: {words}"
        lines.append(
            _line(
                f"{warm:g} C",
                cst_words(answer.wanted_viscosity_cst[i]),
                textwrap.wrap(words, FIT),
                _damping(answer, i, ""),
                _damping(answer, i, "_unchanged"),
            )
        )
    return lines


def _line(warm: str, wanted: str, words: Sequence[str], then: str, left: str) -> str:
    first = f"{warm:>6}  {wanted:>9}  {words[0]:<{FIT}}  {then:<13}  {left:<13}".rstrip()
    return "\n".join([first, *(" " * 19 + word for word in words[1:])])


def _damping(answer: Season, i: int, kind: str) -> str:
    """Damping ratio and how far it is off: "0.86, -4 %"."""
    ratio, off = (
        getattr(answer, f"{name}{kind}")[i] for name in ("damping_ratio_compression", "damping_error_share")
    )
    if off is None:
        return "-"
    return percent_words(off) if ratio is None else f"{ratio:.2f}, {percent_words(off)}"


def _finding_lines(table: SeasonTable) -> list[str]:
    """Findings of both ends, what both have in common once."""
    marks = {"do_not_run": "DO NOT RUN", "warning": "warning", "note": "note"}
    told: dict[tuple[str, str], list[str]] = {}
    for end in ENDS:
        for f in table.ends[end].findings:
            told.setdefault((marks[f.severity], f.text), []).append(end)
    lines = []
    for mark, text in sorted(told, key=lambda key: list(marks.values()).index(key[0])):
        where = ", ".join(dict.fromkeys(told[mark, text]))
        lines += textwrap.wrap(f"{mark} ({where}): {text}", WIDTH, initial_indent="  ", subsequent_indent="    ")
    return ["to know:", *lines] if lines else []


def _assumed_lines(table: SeasonTable) -> list[str]:
    if not table.assumed:
        return []
    text = (
        f"* {len(table.assumed)} values are assumed by size and surface: the wanted oils hold all the same, they "
        "follow from the oil and the temperatures alone; the damping ratios are as good as what is assumed "
        "(see the set-up sheet)."
    )
    return textwrap.wrap(text, WIDTH)
