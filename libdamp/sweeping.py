"""`sweep`: a calculation over lists of one or two of its fields, as columns."""

import math
from collections.abc import Iterator
from concurrent.futures import Executor
from itertools import product
from typing import Annotated, Any

import msgspec

from .addresses import Path, path_of, row_at, value_at
from .answers import Answer, Assumed, calculation
from .checked import Model
from .errors import Fault, InputError, TooCostly
from .findings import Finding, finding
from .quantities import Q
from .repeating import (
    Asked,
    Job,
    Lookup,
    Named,
    Progress,
    Row,
    bounded,
    chosen,
    clean,
    every_row,
    filled,
    nothing_known,
    outputs_of,
    unit_of,
)

MOST_ROWS = 10_000

Address = Annotated[str, msgspec.Meta(max_length=200)]
Request = Annotated[
    dict[str, Any],
    msgspec.Meta(description="a request of the calculation, as the calculation itself takes it", max_length=200),
]
Only = Annotated[tuple[Address, ...], msgspec.Meta(min_length=1, max_length=50)]
Swept = Annotated[float, Q("over.values")] | Address
Seen = Annotated[float, Q("column.values")] | str | bool | None


class Over(Model, frozen=True, kw_only=True):
    """A field of the request and the values that it takes; a text is read as in a log, "2x1.7", "0.4 N/mm"."""

    path: Address
    values: Annotated[tuple[Swept, ...], msgspec.Meta(min_length=1, max_length=2000)]


class Column(msgspec.Struct, frozen=True, kw_only=True):
    """A value of every row: of a field that is swept, or of an output; null where there is none."""

    path: str
    unit: str
    values: tuple[Seen, ...]


class Sweep(Answer, frozen=True, kw_only=True):
    """Columns of the swept fields, then of the outputs; the last list runs fastest."""

    columns: tuple[Column, ...]
    errors: tuple[str | None, ...]
    rows: Annotated[int, Q("sweep.rows")]
    failed: Annotated[int, Q("sweep.failed")]


def _paths(entry: Named, over: tuple[Over, ...], faults: list[Fault]) -> list[Path]:
    """Paths of the swept fields, and a fault for each that there is not, or that is swept twice."""
    found: list[Path] = []
    for i, one in enumerate(over):
        try:
            path = path_of(one.path, entry.request, f"/over/{i}/path")
        except InputError as error:
            faults.extend(error.faults)
            continue
        if path in found:
            text = f"'{one.path[:60]}' is swept twice"
            faults.append(Fault(pointer=f"/over/{i}/path", rule="twice", value=one.path[:60], text=text))
        found.append(path)
    return found


def _jobs(entry: Named, request: dict[str, Any], over: tuple[Over, ...], paths: list[Path]) -> Iterator[Job]:
    lists = [
        [value_at(value, path, entry.request) if isinstance(value, str) else value for value in one.values]
        for one, path in zip(over, paths, strict=True)
    ]
    return ((request, values) for values in product(*lists))


def _findings(rows: list[Row], only: tuple[str, ...]) -> list[Finding]:
    """How many rows failed, how many values there are not."""
    failed = sum(row.error is not None for row in rows)
    found = [finding("rows_failed", "/over", float(failed), float(len(rows)))] if failed else []
    empty = sum(value is None for row in rows if row.error is None for value in row.values)
    if empty:
        found.append(finding("values_missing", "/only", float(empty), float(len(rows) * len(only))))
    return found


def _assumed(entry: Named, jobs: Iterator[Job], rows: list[Row], paths: list[Path]) -> tuple[Assumed, ...]:
    """What was assumed for the first row that did not fail."""
    for (request, values), row in zip(jobs, rows, strict=True):
        if row.error is None and not isinstance(request, str):
            return within_request(entry.read(filled(entry, request, paths, values))[1])
    return ()


def within_request(assumed: tuple[Assumed, ...]) -> tuple[Assumed, ...]:
    """What was assumed for an inner request, with the places where the outer one has it."""
    return tuple(msgspec.structs.replace(one, path=f"/request{one.path}") for one in assumed)


def _columns(
    entry: Named, over: tuple[Over, ...], paths: list[Path], only: tuple[str, ...], rows: list[Row]
) -> tuple[Column, ...]:
    given = list(product(*(one.values for one in over)))
    columns = []
    for i, (one, path) in enumerate(zip(over, paths, strict=True)):
        quantity = row_at(entry.request, path)
        values = tuple(clean(v) if isinstance(v, str) else v for v in (row[i] for row in given))
        columns.append(Column(path=one.path, unit=quantity.unit if quantity else "", values=values))
    for i, name in enumerate(only):
        values = tuple(row.values[i] for row in rows)
        columns.append(Column(path=name, unit=unit_of(entry, tuple(name.split("."))), values=values))
    return tuple(columns)


@calculation()
def sweep(
    *,
    calculation: Address,
    request: Request,
    over: Annotated[tuple[Over, ...], msgspec.Meta(min_length=1, max_length=2)],
    only: Only,
    executor: Executor | None = None,
    progress: Progress | None = None,
    lookup: Lookup = nothing_known,
) -> Sweep:
    """A calculation over lists of one or two of its fields: columns of outputs, faults row by row.

    Parameters
    ----------
    calculation : its name.
    request : a request of it, what its size lets be assumed left out.
    over : one or two fields with their values; of two every pair, the last one running fastest.
    only : outputs, "frequency_hz", "energy.gas_j", "force_n.3"; "findings" gives codes, or "ok".

    Raises
    ------
    InputError : no such calculation, field or output. What is wrong with a row stands in `errors`.
    TooCostly : more than 10,000 rows, or too much work in all.
    Cancelled : `progress`, called with what is done of how much, gave a true answer.

    Examples
    --------
    >>> from libdamp import sweep
    >>> over = [{"path": "temperature_c", "values": [25, 40]}]
    >>> sweep(calculation="oil_viscosity", request={"oil": "325 cst"}, over=over, only=["viscosity_cst"]).columns[1]
    Column(path='viscosity_cst', unit='cSt', values=(325.0, 245.07))
    """
    entry = chosen(calculation, lookup)
    faults: list[Fault] = []
    paths, outputs = _paths(entry, over, faults), outputs_of(entry, only, faults, numbers=False)
    if faults:
        raise InputError(faults)
    count = math.prod(len(one.values) for one in over)
    if count > MOST_ROWS:
        raise TooCostly(f"{count} rows, at most {MOST_ROWS}: shorter lists, or several sweeps")
    bounded(calculation, count, "rows")
    asked = Asked(calculation, entry, outputs, lookup, executor, progress)
    rows = list(every_row(asked, _jobs(entry, request, over, paths), paths, count))
    return Sweep(
        findings=tuple(_findings(rows, only)),
        assumed=_assumed(entry, _jobs(entry, request, over, paths), rows, paths),
        cautions=tuple(dict.fromkeys(code for row in rows for code in row.cautions)),
        columns=_columns(entry, over, paths, only, rows),
        errors=tuple(row.error for row in rows),
        rows=count,
        failed=sum(row.error is not None for row in rows),
    )
