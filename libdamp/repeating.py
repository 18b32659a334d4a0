"""One calculation many times over: found by its name, its outputs picked, in chunks here or in other processes."""

import inspect
import types
import typing
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import Executor
from functools import partial
from itertools import islice
from typing import Annotated, Any, NamedTuple, Protocol, Union, get_args, get_origin

import msgspec

from .addresses import Path, put_at
from .answers import Assumed
from .checked import Model
from .errors import Cancelled, DampError, Fault, InputError, TooCostly, UnknownCalculation
from .plain import nearest

CHUNK_MS = 50.0
"""Work of one chunk as the table of costs has it: between two calls of `progress`, and for one process."""
MOST_MS = 600_000.0
"""Work that may be asked for at once."""
USUAL_COST_MS = 2.0
COST_MS: dict[str, float] = {
    "plan": 3000.0,
    "changes": 1000.0,
    "compare": 1000.0,
    "compare_shocks": 40.0,
    "season": 20.0,
    "touch_height": 150.0,
    "match": 60.0,
    "drop": 40.0,
    "bumps": 40.0,
    "push_release": 40.0,
    "bench_cycle": 15.0,
    "check": 8.0,
    "damping_curve": 8.0,
}
"""Rough time of one call on one core; what is not listed takes USUAL_COST_MS or less."""

REPEATERS = ("sweep", "tolerance")
"""Calculations that call others, and so are called by none of them."""

Progress = Callable[[int, int], object]
"""Told how much is done, of how much; a true answer stops the work."""


class Named(Protocol):
    """A calculation as it is found by its name."""

    @property
    def function(self) -> Callable[..., Any]: ...  # noqa: D102 - its typed function
    @property
    def request(self) -> type[Model]: ...  # noqa: D102 - Struct of its request
    @property
    def answer(self) -> type[msgspec.Struct]: ...  # noqa: D102 - Struct of its answer
    def read(self, request: Mapping[str, Any]) -> tuple[Model, tuple[Assumed, ...]]:
        """Validated request of plain data, and what was assumed."""

    def answered(self, request: Mapping[str, Any], **call: Any) -> Any:
        """Answer to plain data."""


Lookup = Callable[[str], Named]


def nothing_known(name: str) -> Named:
    """Find nothing: stands in where a caller hands over no list of calculations.

    Raises
    ------
    UnknownCalculation : always.
    """
    raise UnknownCalculation(f"no list of calculations to find '{name[:60]}' in")


class Asked(NamedTuple):
    """A calculation to be called many times: outputs as paths, and how its work is done."""

    name: str
    entry: Named
    only: tuple[Path, ...]
    lookup: Lookup
    executor: Executor | None = None
    progress: Progress | None = None


class Row(NamedTuple):
    """What one call gave: an output each, None where there is none; why not; codes of the cautions."""

    values: tuple[Any, ...]
    error: str | None
    cautions: tuple[str, ...] = ()


Job = tuple[Mapping[str, Any] | str, tuple[Any, ...]]
"""A request and the values to put into it; or why there is no request."""


def chosen(name: str, lookup: Lookup) -> Named:
    """Calculation of a name, unless it calls others itself.

    Raises
    ------
    InputError : no such calculation, or one of REPEATERS.
    """
    try:
        entry = lookup(name)
    except UnknownCalculation as error:
        raise InputError([_fault("/calculation", "calculation", name, str(error))]) from None
    if name in REPEATERS:
        text = f"'{name}' calls other calculations itself: name the one that it would call"
        raise InputError([_fault("/calculation", "calculation", name, text)])
    return entry


def _fault(pointer: str, rule: str, value: str, text: str) -> Fault:
    return Fault(pointer=pointer, rule=rule, value=value[:60], text=text)


def outputs_of(entry: Named, only: Sequence[str], faults: list[Fault], numbers: bool) -> tuple[Path, ...]:
    """Paths of outputs, and a fault for each that the answer cannot have; `numbers` refuses texts."""
    paths = []
    for i, name in enumerate(only):
        path = tuple(name.split("."))
        why = None if name == "findings" and not numbers else _why_no_output(entry.answer, path, numbers)
        if why is not None:
            faults.append(_fault(f"/only/{i}", "output", name, f"'{name[:60]}': {why}"))
        paths.append(path)
    return tuple(paths)


def unit_of(entry: Named, path: Path) -> str:
    """Unit of an output; none where it has no quantity of its own."""
    return unit_in(entry.answer, path)


def unit_in(kind: Any, path: Path) -> str:
    """Unit of a field of a Struct; none where it has no quantity of its own."""
    for hint in _hints_at(kind, path):
        for meta in _metas(hint):
            if meta.extra:
                return str(meta.extra["quantity"].unit)
    return ""


def _metas(hint: Any) -> Iterator[msgspec.Meta]:
    yield from getattr(hint, "__metadata__", ())
    for inner in get_args(hint) if get_origin(hint) in (Union, types.UnionType) else ():
        yield from _metas(inner)


def _hints_at(kind: Any, path: Path) -> list[Any]:
    found = [kind]
    for step in path:
        found = [inner for hint in found for inner in _inside(hint, step)]
    return found


def _plain_hints(hint: Any) -> Iterator[Any]:
    """Types that an annotation stands for, null aside."""
    if get_origin(hint) is Annotated:
        yield from _plain_hints(get_args(hint)[0])
    elif get_origin(hint) in (Union, types.UnionType):
        for one in get_args(hint):
            yield from _plain_hints(one)
    elif hint is not type(None):
        yield hint


def _inside(hint: Any, step: str) -> Iterator[Any]:
    for one in _plain_hints(hint):
        if get_origin(one) is tuple and step.isdecimal():
            yield get_args(one)[0]
        elif isinstance(one, type) and issubclass(one, msgspec.Struct):
            hints = typing.get_type_hints(one, include_extras=True)
            if step in hints:
                yield hints[step]


def _why_no_output(kind: type[msgspec.Struct], path: Path, numbers: bool) -> str | None:
    for i in range(len(path)):
        if _hints_at(kind, path[: i + 1]):
            continue
        names = [n for h in _hints_at(kind, path[:i]) for p in _plain_hints(h) for n in _names(p)]
        return f"no such output; {nearest(path[i][:60], names)}" if names else "goes deeper than the output"
    plain = [one for hint in _hints_at(kind, path) for one in _plain_hints(hint)]
    if any(get_origin(one) is tuple for one in plain):
        return f"is a list; add a place: {'.'.join(path)[:60]}.0"
    inner = [name for one in plain for name in _names(one)]
    if inner or any(get_origin(one) is dict for one in plain):
        return f"holds several values; add one of: {', '.join(inner[:24])}"
    if numbers and not any(one in (float, int) for one in plain):
        return "is no number: only numbers have a band"
    return None


def _names(plain: Any) -> tuple[str, ...]:
    if get_origin(plain) is tuple:
        return ("0",)
    struct = isinstance(plain, type) and issubclass(plain, msgspec.Struct)
    return tuple(plain.__struct_fields__) if struct else ()


def output(answer: Any, path: Path) -> Any:
    """Output at a path of an answer; None where it does not exist; `findings` as codes, or "ok".

    Raises
    ------
    InputError : a list has no such place.
    """
    if path == ("findings",):
        return " ".join(dict.fromkeys(f.code for f in answer.findings)) or "ok"
    value = answer
    for step in path:
        if value is None:
            return None
        if isinstance(value, tuple):
            if int(step[:9]) >= len(value):
                text = f"'{'.'.join(path)[:60]}': the list has places 0 to {len(value) - 1}"
                raise InputError([_fault("/only", "place", step, text)])
            value = value[int(step)]
        else:
            value = getattr(value, step)
    return value


def filled(
    entry: Named, request: Mapping[str, Any], paths: Sequence[Path], values: Sequence[Any]
) -> dict[str, Any]:
    """A request with values put into it; the one that it is made from stays as it is."""
    data = dict(request)
    for path, value in zip(paths, values, strict=True):
        put_at(data, path, value, entry.request)
    return data


def called(entry: Named, job: Job, paths: Sequence[Path], only: Sequence[Path], call: dict[str, Any]) -> Row:
    """One call: the values put into the request, the outputs picked; whatever is wrong is a text."""
    request, values = job
    found: list[Any] = [None] * len(only)
    if isinstance(request, str):
        return Row(tuple(found), request)
    try:
        answer = entry.answered(filled(entry, request, paths, values), **call)
        for i, path in enumerate(only):
            found[i] = output(answer, path)
    except Cancelled:
        raise
    except (DampError, ArithmeticError) as error:
        return Row(tuple(found), clean(" ".join(str(error).split())))
    return Row(tuple(found), None, answer.cautions)


def clean(text: str) -> str:
    """A text that can be written as UTF-8, whatever it quotes."""
    return text.encode("utf-8", "backslashreplace").decode("utf-8")


def run_chunk(
    jobs: Sequence[Job],
    name: str,
    lookup: Lookup,
    paths: Sequence[Path],
    only: Sequence[Path],
    progress: Progress | None = None,
) -> list[Row]:
    """Some calls, one after the other; a calculation that tells its progress is told ours."""
    entry = lookup(name)
    tells = progress is not None and "progress" in inspect.signature(entry.function).parameters
    call = {"progress": progress} if tells else {}
    return [called(entry, job, paths, only, call) for job in jobs]


def bounded(name: str, calls: int, what: str) -> None:
    """Refuse more work than the bound.

    Raises
    ------
    TooCostly : with the bound.
    """
    each = COST_MS.get(name, USUAL_COST_MS)
    if calls * each > MOST_MS:
        raise TooCostly(
            f"{calls} {what} of {name} at some {each:g} ms each are {calls * each / 1e3:.0f} s of work, at most "
            f"{MOST_MS / 1e3:.0f} s: at most {MOST_MS / each:.0f} at once"
        )


def tell(asked: Asked, done: int, total: int) -> None:
    """Tell what is done.

    Raises
    ------
    Cancelled : the caller's progress said so.
    """
    if asked.progress is not None and asked.progress(done, total):
        raise Cancelled(f"{asked.name}: stopped by the caller")


def every_row(asked: Asked, jobs: Iterable[Job], paths: Sequence[Path], total: int) -> Iterator[Row]:
    """Rows of all jobs, in order, whatever does the work.

    Raises
    ------
    Cancelled : the caller's progress said so.
    """
    size = max(1, int(CHUNK_MS / COST_MS.get(asked.name, USUAL_COST_MS)))
    done = 0
    run = partial(run_chunk, name=asked.name, lookup=asked.lookup, paths=paths, only=asked.only)
    if asked.executor is None:
        watched: Progress | None = None
        if asked.progress is not None:
            watched = lambda *_: tell(asked, done, total)  # noqa: E731 - sees how far the rows are
        made: Iterator[list[Row]] = (run(chunk, progress=watched) for chunk in _chunks(jobs, size))
    else:
        made = iter(asked.executor.map(run, list(_chunks(jobs, size))))
    for rows in made:
        yield from rows
        done += len(rows)
        tell(asked, done, total)


def _chunks(jobs: Iterable[Job], size: int) -> Iterator[list[Job]]:
    left = iter(jobs)
    while chunk := list(islice(left, size)):
        yield chunk
