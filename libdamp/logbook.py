"""A season's log: rows in, the same rows with the answers of `check` out.

The header holds addresses (`front.oil.viscosity_cst`), `setup` (a bundled name or a car file beside the log),
`size`, `surface`; other columns without a dot (date, venue, note) are kept as they are. Blank cells are not
given. The answers' columns begin with `answer.`; where a log has them already they are worked out anew. A row
that fails keeps its place and says why in `answer.error`.
"""

import csv
import io
import re
from collections.abc import Callable, Iterator
from copy import deepcopy
from pathlib import Path
from typing import Any

from .addresses import addresses, cell_value, field_value, put
from .calculations import calculate, calculation_of
from .demo import NAMES, demo_data
from .errors import Fault, InputError
from .files import LARGEST_LOG_BYTES, read_car_file, read_text, refused
from .plain import nearest

_EXTRAS = ("size", "surface")
ANSWER = "answer."
"""What the names of the answers' columns begin with."""
_MOST_ROWS = 20_000
ZERO = 1e-9
"""Round-off below this is written as 0."""


def _fields(data: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    """Scalars of an answer with their names; the envelope and lists left out."""
    for key, value in data.items():
        name = f"{path}.{key}" if path else key
        if isinstance(value, dict):
            yield from _fields(value, name)
        elif not isinstance(value, list):
            yield name, value


def _answers(answer: dict[str, Any]) -> dict[str, Any]:
    codes = " ".join(dict.fromkeys(f["code"] for f in answer["findings"])) or "ok"
    body = {k: v for k, v in answer.items() if k not in ("findings", "assumed", "cautions", "provenance")}
    named = {"findings": codes, "assumed": len(answer["assumed"]), **dict(_fields(body))}
    return {f"{ANSWER}{name}": value for name, value in named.items()}


def _setup(name: str, folder: Path) -> dict[str, Any]:
    if name in NAMES:
        return deepcopy(demo_data(name))
    try:
        return read_car_file(folder / name)
    except InputError as error:
        files = sorted(path.name for path in folder.iterdir() if path.suffix.lower() in (".toml", ".json"))
        near = nearest(name, [*NAMES, *files])
        raise refused(f"setup '{name[:60]}': {error.faults[0].text}; {near}") from None


def row_request(row: dict[str, str], folder: Path) -> dict[str, Any]:
    """Plain `check` request of a row.

    Raises
    ------
    InputError : an unknown address or set-up.
    """
    request = calculation_of("check").request
    known = addresses(request)
    data = _setup(row["setup"].strip(), folder) if row.get("setup", "").strip() else {}
    for column, text in row.items():
        if not (text or "").strip() or column == "setup":
            continue
        if column in known:
            put(data, column, field_value(text, column, request), request)
        elif column in _EXTRAS:
            data[column] = cell_value(text)
            if column == "surface" and isinstance(data.get("use"), dict):
                data["use"] = {**data["use"], "surface": data[column]}
    return data


def check_header(header: list[str]) -> list[str]:
    """Columns that are kept as they are.

    Raises
    ------
    InputError : a column with a dot that is no address, or a name twice.
    """
    request = calculation_of("check").request
    known = addresses(request)
    leaves = {name.rsplit(".", 1)[-1]: name for name in known}
    faults: list[Fault] = []
    for column in header:
        if "." in column and column not in known:
            try:
                put({}, column, None, request, pointer=f"/header/{column}")
            except InputError as error:
                faults += error.faults
    if faults:
        raise InputError(faults)
    for column in header:
        if column in leaves and column not in known and column not in _EXTRAS:
            raise refused(
                f"has the column '{column}', which does not say where: write {leaves[column]} or the like"
            )
        if header.count(column) > 1:
            raise refused(f"has the column '{column[:60]}' twice")
    if not any(column in known or column == "setup" for column in header):
        raise refused(
            "has no column that says anything of a set-up: name columns like front.oil.viscosity_cst, or setup"
        )
    return [c for c in header if c not in known and c not in _EXTRAS and c != "setup"]


def _delimiter(first_line: str) -> str:
    return max(",;\t", key=first_line.count)


def answered(
    path: Path, progress: Callable[[int, int], None] | None = None
) -> tuple[str, list[dict[str, Any]], list[str]]:
    """Log with the answers appended.

    Parameters
    ----------
    path : the CSV file; ',' or ';' or tab between columns, '.' or ',' in numbers.
    progress : called with rows done and rows in all.

    Returns
    -------
    The text with answers, the rows as plain data, the columns kept as they are.

    Raises
    ------
    InputError : the file or its header is wrong.
    """
    text = read_text(path, LARGEST_LOG_BYTES, "log; split it")
    delimiter, table = _table(text)
    there = [cell.strip() for cell in table[0]]
    own = [i for i, name in enumerate(there) if not name.startswith(ANSWER)]
    header = [there[i] for i in own]
    kept = check_header(header)
    body = [_own_cells(row, own, len(there)) for row in table[1:]]
    if len(body) > _MOST_ROWS:
        raise refused(f"has {len(body)} rows, at most {_MOST_ROWS}: split it")
    rows: list[dict[str, Any]] = []
    for number, cells in enumerate(body, start=1):
        row = dict(zip(header, [*cells, *[""] * (len(header) - len(cells))], strict=False))
        rows.append({**row, **_answer_row(row, len(cells) > len(header), path.parent)})
        if progress is not None:
            progress(number, len(body))
    comma = delimiter == ";" and any(re.fullmatch(r"\s*\d+,\d+\s*", c) for row in body for c in row)
    beyond = [cells[len(header) :] for cells in body]
    return _written(header, rows, beyond, (delimiter, comma)), rows, kept


def _table(text: str) -> tuple[str, list[list[str]]]:
    """Separator and rows of a CSV text: the header first, empty lines left out, rows of blank cells kept.

    Raises
    ------
    InputError : quotes that do not close, a cell that is too long.
    """
    lines = text.splitlines()
    delimiter = _delimiter(next(line for line in lines if line.strip()))
    try:
        rows = list(csv.reader(io.StringIO(text), delimiter=delimiter, strict=True))
    except csv.Error as error:
        raise refused(f"is no proper CSV: {error}; a cell that begins with a quote must end with one") from None
    first = next(i for i, row in enumerate(rows) if any(cell.strip() for cell in row))
    return delimiter, [row for row in rows[first:] if len(row) > 1 or any(cell.strip() for cell in row)]


def _own_cells(row: list[str], own: list[int], width: int) -> list[str]:
    """Cells of a row without the answers of an earlier run; more cells than columns stay at the end."""
    cells = [*row, *[""] * (width - len(row))]
    beyond = cells[width:]
    while beyond and not beyond[-1].strip():
        beyond.pop()
    return [*(cells[i] for i in own), *beyond]


def _answer_row(row: dict[str, str], too_long: bool, folder: Path) -> dict[str, Any]:
    if not any(cell.strip() for cell in row.values()):
        return {f"{ANSWER}error": ""}
    if too_long:
        return {f"{ANSWER}error": "more cells than the header has columns; a text with the separator needs quotes"}
    try:
        return {f"{ANSWER}error": "", **_answers(calculate("check", row_request(row, folder)))}
    except InputError as error:
        if not (row.get("setup") or "").strip() and any(f.rule == "missing_field" for f in error.faults):
            named = "the column setup is missing or empty: name demo-truck there, or a car file beside the log"
            return {f"{ANSWER}error": named}
        faults = [f"{f.pointer.strip('/').replace('/', '.')}: {f.text}".removeprefix(": ") for f in error.faults]
        return {f"{ANSWER}error": "; ".join(faults)}


def _written(header: list[str], rows: list[dict[str, Any]], beyond: list[list[str]], form: tuple[str, bool]) -> str:
    """The answered table; cells that no column is for stay at the end of their row. `form`: separator, comma."""
    delimiter, comma = form
    columns = list(dict.fromkeys([*header, *(key for row in rows for key in row)]))
    out = io.StringIO()
    writer = csv.writer(out, delimiter=delimiter, lineterminator="\n")
    writer.writerow(columns)
    for row, more in zip(rows, beyond, strict=True):
        writer.writerow([*(_cell(row.get(column), comma) for column in columns), *more])
    return out.getvalue()


def _cell(value: Any, comma: bool) -> str:
    if value is None:
        return ""
    if isinstance(value, float):
        text = f"{0.0 if abs(value) < ZERO else value:.10g}"
        return text.replace(".", ",") if comma else text
    return str(value)
