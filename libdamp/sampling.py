"""A request read for drawing: what of it is uncertain, and its outputs over all draws."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

import msgspec
import numpy as np

from .addresses import Path, path_of, row_at
from .answers import Assumed
from .checked import MISSING, Model, Number
from .errors import Fault, InputError
from .physics.numbers import Array, Mask
from .ranges import split_ranges
from .repeating import Asked, Job, bounded, every_row, filled, tell
from .ride_samples import can_be_many, ride_many
from .uncertain import (
    Follower,
    Input,
    InputSpread,
    Leaf,
    columns_of,
    corners,
    draws,
    followers,
    leaves,
    uncertain,
)

AT_ONCE = 4096
"""Draws that are worked out together where a calculation takes arrays."""

ALONG = 9
"""Places along a range at which it is worked out alone."""

BY_ARRAYS = ("ride",)
"""Calculations that take all draws at once, unless what is drawn forbids it."""


class Setting(NamedTuple):
    """A request that was read: as plain data with the middles of its ranges, as numbers, and what is drawn."""

    plain: dict[str, Any]
    asked: Model
    found: tuple[Leaf, ...]
    assumed: tuple[Assumed, ...]
    inputs: tuple[Input, ...]
    ways: tuple[Path, ...]  # inputs that completing the request turns into others


def _spread_paths(asked: Asked, spreads: Mapping[str, InputSpread], faults: list[Fault]) -> dict[Path, InputSpread]:
    """Spreads by the path of their input, and a fault for each name that is none, or names one twice."""
    found: dict[Path, InputSpread] = {}
    for name, spread in spreads.items():
        pointer = "/spreads/" + name.replace("~", "~0").replace("/", "~1")[:60]
        try:
            path = path_of(name, asked.entry.request, pointer)
        except InputError as error:
            faults.extend(error.faults)
            continue
        if path in found:
            faults.append(
                Fault(pointer=pointer, rule="twice", value=name[:60], text=f"'{name[:60]}' is given twice")
            )
        found[path] = spread
    return found


def within_faults(faults: Sequence[Fault]) -> list[Fault]:
    """Faults of the inner request, with their places in the outer one."""
    return [msgspec.structs.replace(f, pointer=f"/request{f.pointer}", rule=f"request_{f.rule}") for f in faults]


def _way(plain: Mapping[str, Any], path: Path, request: type[Model]) -> Leaf | None:
    """A number that stands in the plain request alone: a way to give something else, `axle_g`."""
    value: Any = plain
    for step in path:
        value = value.get(step) if isinstance(value, Mapping) else None
    row = row_at(request, path)
    read = MISSING if row is None or value is None else Number(row).accept(value, "", [])
    return None if read is MISSING or row is None else Leaf(path, float(read), row, False)


def setting(
    asked: Asked, request: Mapping[str, Any], spreads: Mapping[str, InputSpread], holes: str, faults: list[Fault]
) -> Setting:
    """Read a request and find what of it is uncertain; `faults` are those found before.

    Raises
    ------
    InputError : with every fault of the request, its ranges and the spreads.
    """
    kind = asked.entry.request
    given = _spread_paths(asked, spreads, faults)
    plain, ranges, wrong = split_ranges(request, kind)
    try:
        read, assumed = asked.entry.read(plain)
    except InputError as error:
        places = {fault.pointer for fault in wrong}
        raise InputError(
            [*faults, *within_faults([*wrong, *(f for f in error.faults if f.pointer not in places)])]
        ) from None
    found = list(leaves(read))
    known = {leaf.path for leaf in found}
    ways = [_way(plain, path, kind) for path in {*given, *(r.path for r in ranges)} - known]
    found += sorted(leaf for leaf in ways if leaf is not None)
    lacking = [path for path in given if path not in {leaf.path for leaf in found}]
    for path in lacking:
        name = ".".join(path)
        text = f"{name}: the request gives no number there that could be drawn"
        faults.append(Fault(pointer=f"/spreads/{name[:60]}", rule="no_number", value=name[:60], text=text))
    if faults or wrong:
        raise InputError([*faults, *within_faults(wrong)])
    inputs = uncertain(found, assumed, ranges, given, holes)
    others = tuple(one.path for one in inputs if one.path not in known)
    return Setting(plain, read, tuple(found), assumed, tuple(inputs), others)


class Table(NamedTuple):
    """Outputs over rows: the draws, then every corner of the ranges, then each range alone from end to end."""

    outputs: list[Array]  # not-a-number where one does not exist
    fits: Mask  # rows whose set-up can be
    inputs: Array  # drawn values, shape (samples, inputs)
    samples: int
    ends: int  # corners of the ranges
    led: tuple[Follower, ...] = ()  # what completing the request works out from inputs


def _values(known: Setting, samples: int, seed: int) -> tuple[list[Array], int]:
    """Values of every input over all rows, and how many rows are corners of the ranges."""
    ranged = [one for one in known.inputs if one.kind == "range"]
    ends = corners(ranged) if ranged else []
    values = []
    for one in known.inputs:
        drawn = draws(one, samples, seed)
        at_ends = np.full(len(ends), one.nominal)
        alone = np.full(ALONG * len(ranged), one.nominal)
        if one in ranged:
            i = ranged.index(one)
            at_ends = np.array([end[i] for end in ends])
            along = np.linspace(*(one.drawn.ends or (one.nominal, one.nominal)), ALONG)
            alone[ALONG * i : ALONG * (i + 1)] = np.round(along) if one.integer else along
        values.append(np.concatenate([drawn, at_ends, alone]))
    return values, len(ends)


def _jobs(asked: Asked, known: Setting, columns: Mapping[Path, Array], ways: Mapping[Path, Array]) -> Iterator[Job]:
    """A request for every row: the numbers as read, and those that move."""
    base = msgspec.to_builtins(known.asked)
    nominal = {leaf.path: leaf.value for leaf in known.found}
    rows = len(next(iter([*columns.values(), *ways.values()])))
    for i in range(rows):
        values = tuple(float(column[i]) for column in columns.values())
        if not ways:
            yield base, values
            continue
        try:
            data = filled(asked.entry, known.plain, list(ways), [float(column[i]) for column in ways.values()])
            read = asked.entry.read(data)[0]
        except InputError as error:
            yield str(error), values
            continue
        now = {leaf.path: leaf.value for leaf in leaves(read)}
        moved = [now.get(path, nominal[path]) - nominal[path] for path in columns]
        yield msgspec.to_builtins(read), tuple(value + by for value, by in zip(values, moved, strict=True))


def _looped(
    asked: Asked, known: Setting, columns: dict[Path, Array], ways: dict[Path, Array], rows: int
) -> tuple[list[Array], Mask]:
    """Outputs row by row."""
    bounded(asked.name, rows, "draws")
    jobs = _jobs(asked, known, columns, ways)
    made = list(every_row(asked, jobs, list(columns), rows))
    outputs = [
        np.array([np.nan if row.values[i] is None else float(row.values[i]) for row in made])
        for i in range(len(asked.only))
    ]
    return outputs, np.array([row.error is None for row in made])


def _at_once(asked: Asked, known: Setting, columns: dict[Path, Array], rows: int) -> tuple[list[Array], Mask]:
    """Outputs by arrays."""
    parts: list[tuple[list[Array], Mask]] = []
    for start in range(0, rows, AT_ONCE):
        end = min(start + AT_ONCE, rows)
        part = {path: column[start:end] for path, column in columns.items()}
        parts.append(ride_many(known.asked, part, asked.only, end - start))
        tell(asked, end, rows)
    outputs = [np.concatenate([part[0][i] for part in parts]) for i in range(len(asked.only))]
    return outputs, np.concatenate([part[1] for part in parts])


def table_of(asked: Asked, known: Setting, samples: int, seed: int, arrays: bool = True) -> Table:
    """Work out every row; `arrays` where the calculation takes them.

    Raises
    ------
    TooCostly : too much work, where rows are worked out one by one.
    Cancelled : the caller's progress said so.
    """
    values, ends = _values(known, samples, seed)
    drawn = np.column_stack([v[:samples] for v in values]) if values else np.zeros((samples, 0))
    if not values:
        return Table([], np.ones(samples, dtype=bool), drawn, samples, 0)
    rows = len(values[0])
    own = [(one, v) for one, v in zip(known.inputs, values, strict=True) if one.path not in known.ways]
    ways = {one.path: v for one, v in zip(known.inputs, values, strict=True) if one.path in known.ways}
    led = followers(asked.entry, known.plain, [one for one, _ in own], known.found)
    columns = columns_of([one for one, _ in own], [v for _, v in own], known.found, led)
    if arrays and asked.name in BY_ARRAYS and not ways and can_be_many(known.asked, columns, asked.only):
        outputs, fits = _at_once(asked, known, columns, rows)
    else:
        outputs, fits = _looped(asked, known, columns, ways, rows)
    return Table(outputs, fits, drawn, samples, ends, tuple(led))
