"""The list of all calculations, and the plain door: `calculate` and `describe`.

A new calculation appears at every door by being listed here; its request and answer come from its signature.
"""

from collections.abc import Callable, Mapping
from functools import cache
from typing import Any, NamedTuple

import msgspec

from .answers import CALL_ONLY, CAUTIONS, signature_of
from .as_built import check
from .assume import complete
from .blending import oil_blend
from .checked import MISSING, Model, build, nearest
from .converting import convert
from .damping import damping_curve
from .errors import Fault, InputError, UnknownCalculation
from .filling import fill_check
from .findings import CATALOGUE
from .landing import equal_fall
from .oils import oil_for_temperature, oil_viscosity
from .planning import plan
from .schemas import published
from .springs import spring_from_wire
from .stance import ride


class Calculation(NamedTuple):
    """One line of the list."""

    name: str
    function: Callable[..., Any]
    meaning: str

    @property
    def request(self) -> type[Model]:
        """Struct of its request."""
        return signature_of(self.function).request

    def of(self, asked: Model, **call: Any) -> Any:
        """Answer to a validated request."""
        return self.function.of(asked, **call)  # type: ignore[attr-defined]

    @property
    def answer(self) -> type[msgspec.Struct]:
        """Struct of its answer."""
        return signature_of(self.function).answer


_LISTED: tuple[tuple[Callable[..., Any], str], ...] = (
    (check, "the car as built: both ends, fill, jump and balance, findings first"),
    (plan, "choose spring, preload, oil, piston and limiter from the parts box"),
    (ride, "how one corner stands: level arms, real step, droop, stops, frequency, damping ratio"),
    (damping_curve, "damping force of a shock over speed, both ways"),
    (fill_check, "oil and gas of a shock, and whether it goes solid"),
    (spring_from_wire, "rate, block length, stress and surge of a spring from its wire"),
    (equal_fall, "the fall straight down that lands as hard as a jump"),
    (oil_viscosity, "an oil at a temperature"),
    (oil_blend, "how much of two oils gives a viscosity, or what a mixture gives"),
    (oil_for_temperature, "the oil that damps the same at another temperature"),
    (convert, "a value in another unit"),
)

CALCULATIONS: dict[str, Calculation] = {
    function.__name__: Calculation(function.__name__, function, meaning) for function, meaning in _LISTED
}
"""Every calculation by name."""

DEEPEST = 20
"""Levels of nesting that a plain request may have."""


def calculation_of(name: str) -> Calculation:
    """Calculation of a name.

    Raises
    ------
    UnknownCalculation : with the nearest name.

    Examples
    --------
    >>> calculation_of("ride").meaning[:10]
    'how one co'
    """
    if not isinstance(name, str) or name not in CALCULATIONS:
        raise UnknownCalculation(f"unknown calculation '{str(name)[:60]}'; {nearest(str(name), CALCULATIONS)}")
    return CALCULATIONS[name]


def calculate(name: str, request: Mapping[str, Any], **call: Any) -> dict[str, Any]:
    """Work out a calculation on plain data: what JSON can carry; numpy numbers and arrays too.

    Parameters
    ----------
    name : of the calculation.
    request : its fields. With `size` (and `surface`) gaps are filled and listed in `assumed`; numbers may be
        texts with a unit, "4 lbf/in"; parts may be texts, "325 cst", "2x1.7".
    **call : `executor`, `progress`, where the calculation takes them.

    Raises
    ------
    UnknownCalculation : no such name.
    InputError : with every fault of the request.
    TooCostly : more work than the bound.

    Examples
    --------
    >>> calculate("oil_viscosity", {"oil": "325 cst", "temperature_c": 40})["viscosity_cst"]
    245.07
    """
    entry = calculation_of(name)
    asked, assumed = read_request(entry, request)
    strange = set(call) - set(CALL_ONLY)
    if strange:
        raise TypeError(f"calculate() got unexpected arguments {sorted(strange)}")
    answer = entry.of(asked, **call)
    done = msgspec.structs.replace(answer, assumed=assumed)
    plain: dict[str, Any] = msgspec.json.decode(msgspec.json.encode(done))
    return plain


def read_request(entry: Calculation, request: Mapping[str, Any]) -> tuple[Model, tuple[Any, ...]]:
    """Validated request of plain data, and what was assumed.

    Raises
    ------
    InputError : with every fault of the request.
    """
    if not isinstance(request, Mapping):
        text = f"{entry.name} needs an object with fields, not {type(request).__name__}"
        raise InputError([Fault(pointer="", rule="type", value=repr(request)[:80], text=text)])
    return read_model(entry.request, request)


def read_model(kind: type[Model], plain: Mapping[str, Any]) -> tuple[Model, tuple[Any, ...]]:
    """Validated Struct of a request type from plain data, and what was assumed.

    Raises
    ------
    InputError : with every fault of the data.
    """
    checked_depth(plain)
    data, assumed, faults = complete({str(key): value for key, value in plain.items()}, kind)
    asked = build(kind, data, "", faults)
    if faults or asked is MISSING:
        raise InputError(_distinct(faults))
    return asked, tuple(assumed)


def _distinct(faults: list[Fault]) -> list[Fault]:
    """First fault of each place: a thing that is wrong is not also missing; a wrong value beats a choice of two."""
    seen: dict[str, Fault] = {}
    for fault in faults:
        if fault.pointer not in seen or seen[fault.pointer].rule == "either":
            seen[fault.pointer] = fault
    return list(seen.values())


def checked_depth(data: Any) -> None:
    """Refuse data nested deeper than any request can be.

    Raises
    ------
    InputError : deeper than DEEPEST levels.
    """
    level = [data]
    for _ in range(DEEPEST):
        level = [
            inner
            for item in level
            if isinstance(item, (Mapping, list, tuple))
            for inner in (item.values() if isinstance(item, Mapping) else item)
        ]
        if not level:
            return
    text = f"nested deeper than {DEEPEST} levels"
    raise InputError([Fault(pointer="", rule="depth", limit=float(DEEPEST), text=text)])


@cache
def _described(name: str) -> bytes:
    entry = calculation_of(name)
    requests, answers, parts = published({name: entry.request}, {name: entry.answer}, "#/parts/{name}")
    return msgspec.json.encode(
        {
            "name": name,
            "meaning": entry.meaning,
            "request": requests[name],
            "answer": answers[name],
            "parts": parts,
            "findings": {
                code: {"severity": e.severity, "unit": e.unit, "text": e.sentence} for code, e in CATALOGUE.items()
            },
            "cautions": CAUTIONS,
        }
    )


def describe(name: str) -> dict[str, Any]:
    """Schema of a calculation: request and answer with units, ranges, meaning, how to measure.

    Parameters
    ----------
    name : of the calculation.

    Raises
    ------
    UnknownCalculation : no such name.

    Examples
    --------
    >>> sorted(describe("ride"))
    ['answer', 'cautions', 'findings', 'meaning', 'name', 'parts', 'request']
    """
    found: dict[str, Any] = msgspec.json.decode(_described(name))
    return found
