"""A season's log: rows in, the same rows with the answers of `check` out.

The header holds addresses (`front.oil.viscosity_cst`), `setup` (a bundled name or a car file beside the log),
`size`, `surface`, `end`; other columns without a dot (date, venue, note) are kept as they are. Blank cells
are not given. A row that fails keeps its place and says why in the column `error`.
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
from .errors import InputError
from .files import read_car_file, read_text, refused

_EXTRAS = ("size", "surface", "end")
_MOST_ROWS = 20_000


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
    return {"findings": codes, "assumed": len(answer["assumed"]), **dict(_fields(body))}


def _setup(name: str, folder: Path) -> dict[str, Any]:
    if name in NAMES:
        return deepcopy(demo_data(name))
    try:
        return read_car_file(folder / name)
    except InputError as error:
        known = ", ".join(NAMES)
        raise refused(f"setup '{name[:60]}': {error.faults[0].text}; bundled: {known}") from None


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
    return data


def check_header(header: list[str]) -> list[str]:
    """Columns that are kept as they are.

    Raises
    ------
    InputError : a column with a dot that is no address, or a name twice.
    """
    request = calculation_of("check").request
    known = addresses(request)
    for column in header:
        if "." in column and column not in known:
            put({}, column, None, request, pointer=f"/header/{column}")
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
    text = read_text(path)
    delimiter = _delimiter(text.splitlines()[0])
    table = list(csv.reader(io.StringIO(text), delimiter=delimiter))
    header = [cell.strip() for cell in table[0]]
    kept = check_header(header)
    body = [row for row in table[1:] if any(cell.strip() for cell in row)]
    if len(body) > _MOST_ROWS:
        raise refused(f"has {len(body)} rows, at most {_MOST_ROWS}: split it")
    rows: list[dict[str, Any]] = []
    for number, cells in enumerate(body, start=1):
        row = dict(zip(header, [*cells, *[""] * (len(header) - len(cells))], strict=False))
        rows.append({**row, **_answer_row(row, len(cells) > len(header), path.parent)})
        if progress is not None:
            progress(number, len(body))
    comma = delimiter == ";" and any(re.fullmatch(r"\s*\d+,\d+\s*", c) for row in body for c in row)
    return _written(header, rows, delimiter, comma), rows, kept


def _answer_row(row: dict[str, str], too_long: bool, folder: Path) -> dict[str, Any]:
    if too_long:
        return {"error": "more cells than the header has columns; a text with the separator needs quotes"}
    try:
        return {"error": "", **_answers(calculate("check", row_request(row, folder)))}
    except InputError as error:
        faults = [f"{f.pointer.strip('/').replace('/', '.')}: {f.text}".removeprefix(": ") for f in error.faults]
        return {"error": "; ".join(faults)}


def _written(header: list[str], rows: list[dict[str, Any]], delimiter: str, comma: bool) -> str:
    columns = list(dict.fromkeys([*header, *(key for row in rows for key in row)]))
    out = io.StringIO()
    writer = csv.writer(out, delimiter=delimiter, lineterminator="\n")
    writer.writerow(columns)
    for row in rows:
        writer.writerow([_cell(row.get(column), comma) for column in columns])
    return out.getvalue()


def _cell(value: Any, comma: bool) -> str:
    if value is None:
        return ""
    if isinstance(value, float):
        text = f"{value:.10g}"
        return text.replace(".", ",") if comma else text
    return str(value)
