"""A calculation over lists, a second time: two loops around the single calculation."""

import copy
from typing import Any

import libdamp

Data = dict[str, Any]


def changed(request: Data, path: str, value: Any) -> Data:
    """The request with the value at a whole dotted path, the rest as it was."""
    data = copy.deepcopy(request)
    *steps, leaf = path.split(".")
    inner: Any = data
    for step in steps:
        inner = inner[int(step)] if isinstance(inner, list) else inner.setdefault(step, {})
    if isinstance(inner, list):
        inner[int(leaf)] = value
    else:
        inner[leaf] = value
    return data


def picked(answer: Any, path: str) -> Any:
    """Output at a dotted path; None where it does not exist."""
    for step in path.split("."):
        if answer is None:
            return None
        answer = answer[int(step)] if isinstance(answer, list) else answer[step]
    return answer


def sweep(calculation: str, request: Data, over: list[Data], only: list[str]) -> tuple[list[list[Any]], list[bool]]:
    """Rows (swept values, then outputs), the last list fastest; and which rows failed."""
    first, second = over[0], over[1] if len(over) > 1 else None
    rows, failed = [], []
    for a in first["values"]:
        for b in second["values"] if second else [None]:
            data = changed(request, first["path"], a)
            swept = [a]
            if second:
                data = changed(data, second["path"], b)
                swept.append(b)
            try:
                answer = libdamp.calculate(calculation, data)
            except libdamp.DampError:
                rows.append([*swept, *(None for _ in only)])
                failed.append(True)
                continue
            rows.append([*swept, *(picked(answer, path) for path in only)])
            failed.append(False)
    return rows, failed
