"""The list of all calculations, and the plain door: `calculate` and `describe`.

A new calculation appears at every door by being listed here; its request and answer come from its signature.
"""

from collections.abc import Callable, Mapping
from functools import cache, wraps
from typing import Any, NamedTuple, ParamSpec, TypeVar, cast

import msgspec

from . import sweeping, tolerances
from .answers import CALL_ONLY, CAUTIONS, signature_of
from .as_built import check
from .assume import complete
from .assumed_tyre import with_assumed
from .blending import oil_blend
from .bubbles import aerated_oil, bubble_rise
from .changing import changes
from .checked import MISSING, Model, build
from .clips import piston_load
from .comparing import compare, compare_shocks
from .converting import convert
from .cycling import bench_cycle
from .damping import damping_curve
from .drops import drop, touch_height
from .errors import Fault, InputError, UnknownCalculation
from .filling import fill_check
from .findings import CATALOGUE
from .grading import iso_grade, oil_from_label
from .ground import bumps
from .landing import equal_fall
from .matching import match
from .oils import oil_for_temperature, oil_viscosity
from .plain import DEEPEST, nearest, too_deep
from .planning import plan
from .releases import push_release
from .schemas import published
from .seasons import season
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
        return cast("Any", self.function).of(asked, **call)

    def read(self, request: Mapping[str, Any]) -> tuple[Model, tuple[Any, ...]]:
        """Validated request of plain data, and what was assumed."""
        return read_request(self, request)

    def answered(self, request: Mapping[str, Any], **call: Any) -> Any:
        """Answer to plain data, with what was assumed."""
        asked, assumed = self.read(request)
        return with_assumed(self.of(asked, **call), assumed)

    @property
    def answer(self) -> type[msgspec.Struct]:
        """Struct of its answer."""
        return signature_of(self.function).answer


P = ParamSpec("P")
A = TypeVar("A")


def _handed(function: Callable[P, A]) -> Callable[P, A]:
    """A calculation that calls others by name, with the list to find them in."""
    call = cast("Any", function)

    @wraps(function)
    def called(*args: P.args, **kwargs: P.kwargs) -> A:
        return cast("A", call(*args, **{"lookup": calculation_of, **kwargs}))

    cast("Any", called).of = lambda asked, **rest: call.of(asked, lookup=calculation_of, **rest)
    return called


sweep, tolerance = _handed(sweeping.sweep), _handed(tolerances.tolerance)

_LISTED: tuple[tuple[Callable[..., Any], str], ...] = (
    (check, "the car as built: both ends, fill, jump and balance, findings first"),
    (plan, "choose spring, preload, oil or mixture, piston or blank to drill, limiter from the parts box"),
    (changes, "what every single change that the parts box allows does to every headline figure"),
    (ride, "how one corner stands: level arms, real step, droop, stops, frequency, damping ratio"),
    (damping_curve, "damping force of a shock over speed, both ways"),
    (bench_cycle, "force of a shock that is pushed to and fro on a bench"),
    (match, "the oil, or hole and oil, with which one shock damps as another does"),
    (fill_check, "oil and gas of a shock, and whether it goes solid"),
    (bubble_rise, "how long to wait until bubbles have risen out of the oil"),
    (aerated_oil, "dead travel and softness of oil that holds air"),
    (spring_from_wire, "rate, block length, stress and surge of a spring from its wire"),
    (piston_load, "how hard the piston pushes on its clip, and what clip, groove and piston take"),
    (equal_fall, "the fall straight down that lands as hard as a jump"),
    (drop, "what a landing does to a corner: clearance, forces, void, bounce, where the energy goes"),
    (touch_height, "the fall from which the chassis just touches, with its band"),
    (bumps, "a corner on bumps, a step or a road: contact, height, tyre load, heat"),
    (push_release, "how a corner comes back that is pushed down and let go"),
    (oil_viscosity, "an oil at a temperature"),
    (oil_blend, "how much of two oils gives a viscosity, or what a mixture gives"),
    (oil_for_temperature, "the oil that damps the same at another temperature"),
    (season, "what oil to fit or to mix at each temperature of a season, so that the damping stays"),
    (oil_from_label, "the viscosity behind a label, by your own table of labels"),
    (iso_grade, "the ISO viscosity grade of an oil, or the gap it lies in"),
    (compare, "two corners or two cars side by side: every figure, the difference, its causes, its error"),
    (compare_shocks, "two shocks side by side: damping, void, gas; the difference, its causes, its error"),
    (sweep, "any calculation over lists of one or two of its fields, as columns"),
    (tolerance, "how far off any calculation's outputs may be, by which input, and what to measure next"),
    (convert, "a value in another unit"),
)

CALCULATIONS: dict[str, Calculation] = {
    function.__name__: Calculation(function.__name__, function, meaning) for function, meaning in _LISTED
}
"""Every calculation by name."""


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
    strange = set(call) - set(CALL_ONLY)
    if strange:
        raise TypeError(f"calculate() got unexpected arguments {sorted(strange)}")
    done = entry.answered(request, **call)
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
    if not too_deep(data):
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
