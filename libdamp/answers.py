"""What every answer carries beside its outputs, and the decorator that makes a function a calculation."""

import functools
import inspect
import math
import operator
import typing
from collections.abc import Callable, Iterable
from typing import Annotated, Any, NamedTuple, ParamSpec, Protocol, TypeVar, cast

import msgspec

from . import __version__
from .checked import Either, Many, Model, Number, Part, nodes
from .findings import Finding, finding, shown
from .quantities import Quantity

MODEL_REVISION = 1
"""Rises when a committed demo figure moves by more than 1e-9; CHANGELOG, section Numbers, says why."""

SWITCHES: dict[str, str | float] = {
    "oil_law": "andrade or astm d341",
    "hole_loss": "creeping + inertial (Re)",
    "gas_exponent_at_rest": 1.0,
    "gas_exponent_in_motion": 1.3,
    "void": "takes its volume from the gas",
}

CAUTIONS: dict[str, str] = {
    "model_cars_only": "For model cars only; not for anything that carries or protects people. Makers' manuals, "
    "venue rules and local law come first.",
    "springs_fly": "Springs, clips and spacers fly when let go: wear eye protection, release the preload first.",
    "hot_shock": "A shock can be hot and under pressure: let it cool, open it slowly inside a rag, never force "
    "the shaft, never heat a shock to test it. Let out only the stated amount.",
    "droop": "More droop: drive shafts must stay in, links and steering must be free at full droop.",
    "oil_spill": "Silicone oil makes floors slippery: wipe up, keep it out of eyes and drains.",
    "drilling": "Drilling cannot be undone: try the oil first. Piston in a clamp or pin vice, never in the "
    "fingers; goggles; one size under, check with a drill shank, then the last step; all pistons of an axle alike; "
    "0.8 mm from rim and other holes, clear of shaft and clip.",
    "battery": "Unplug the battery pack while measuring and setting up.",
    "clip_loads": "Loads of clip, groove and piston are guidance: static table values halved for blows, sound "
    "parts, 23 C. The hammer when an empty space under the piston collapses is not in them.",
    "jumping": "Jumps and drops: nobody on the landing, nobody catches the car.",
    "drop_test": "Drop tests: begin at 50 mm and go up in steps of 20 mm, stop at the first contact or at 80 % of "
    "the answer, with a dummy weight in place of the battery pack.",
}
"""Texts of the caution codes that answers carry."""

_BY_FINDING = {"lock_cold": "hot_shock", "lock_hot": "hot_shock", "loose_spring": "springs_fly"}
_ENVELOPE = ("findings", "assumed", "cautions", "provenance")
_RANK = {"do_not_run": 0, "warning": 1, "note": 2}


class Assumed(msgspec.Struct, frozen=True, kw_only=True):
    """One value that the owner did not give: where it went, how far it may be off, how to measure it."""

    path: Annotated[str, msgspec.Meta(description="JSON pointer into the request")]
    value: float | str | None
    unit: str
    spread: str
    how_to_measure: str


class Provenance(msgspec.Struct, frozen=True, kw_only=True):
    """Which version and which model switches gave the numbers."""

    version: str = __version__
    model_revision: int = MODEL_REVISION
    switches: dict[str, str | float] = msgspec.field(default_factory=lambda: dict(SWITCHES))


class Answer(msgspec.Struct, frozen=True, kw_only=True):
    """The envelope: findings first, what was assumed, cautions (codes), provenance; outputs follow."""

    findings: tuple[Finding, ...] = ()
    assumed: tuple[Assumed, ...] = ()
    cautions: tuple[str, ...] = ()
    provenance: Provenance = msgspec.field(default_factory=Provenance)


class Enveloped(Protocol):
    """What the decorator needs of an answer."""

    @property
    def findings(self) -> tuple[Finding, ...]: ...  # noqa: D102 - see Answer


P = ParamSpec("P")
A = TypeVar("A", bound=Enveloped)

CALL_ONLY = ("executor", "progress", "lookup")
"""Arguments of the call that are no part of a request."""


class Signature(NamedTuple):
    """A calculation's types: its request, made from its signature, and its answer."""

    request: type[Model]
    answer: type[msgspec.Struct]


def calculation(*cautions: str) -> Callable[[Callable[P, A]], Callable[P, A]]:
    """Make a keyword-only function a calculation.

    Its request Struct is made from its signature; a call validates it, adds findings on unusual values, and
    completes the envelope.
    """

    def wrap(function: Callable[P, A]) -> Callable[P, A]:
        request = _request_type(function)
        answer_type = typing.get_type_hints(function)["return"]
        names = tuple(nodes(request))

        def of(asked: Model, **rest: Any) -> A:
            fields = {name: getattr(asked, name) for name in names}
            answer = cast("Callable[..., A]", function)(**fields, **rest)
            return _finish(answer, asked, cautions)

        @functools.wraps(function)
        def called(*args: P.args, **kwargs: P.kwargs) -> A:
            if args:
                raise TypeError(f"{function.__name__}() takes keyword arguments only")
            own = {key: value for key, value in kwargs.items() if key not in CALL_ONLY}
            rest = {key: value for key, value in kwargs.items() if key in CALL_ONLY}
            return of(request(**own), **rest)

        made = cast("Any", called)
        made.of, made.signature = of, Signature(request, answer_type)
        return called

    return wrap


def signature_of(function: Callable[..., Any]) -> Signature:
    """Request and answer types of a calculation.

    Raises
    ------
    AttributeError : not a calculation.
    """
    return cast("Signature", cast("Any", function).signature)


def _request_type(function: Callable[..., Any]) -> type[Model]:
    hints = typing.get_type_hints(function, include_extras=True)
    fields: list[Any] = []
    for name, parameter in inspect.signature(function).parameters.items():
        if name in CALL_ONLY:
            continue
        if parameter.default is inspect.Parameter.empty:
            fields.append((name, hints[name]))
        else:
            fields.append((name, hints[name], parameter.default))
    title = "".join(word.capitalize() for word in function.__name__.split("_")) + "Request"
    made = msgspec.defstruct(title, fields, bases=(Model,), frozen=True, kw_only=True, forbid_unknown_fields=True)
    made.__doc__ = (function.__doc__ or "").strip().splitlines()[0]
    return cast("type[Model]", made)


def _finish(answer: A, asked: Model, cautions: Iterable[str]) -> A:
    found = [*unusual(asked, ""), *answer.findings]
    found.sort(key=lambda f: _RANK[f.severity])
    struct = cast("Any", answer)
    own = (*cautions, *struct.cautions)
    codes = dict.fromkeys(["model_cars_only", *own, *(_BY_FINDING.get(f.code) for f in found)])
    codes.pop(None, None)
    done = msgspec.structs.replace(struct, findings=tuple(found), cautions=tuple(codes))
    if not _finite(done):
        raise ArithmeticError("an answer holds a number that is not finite; please report the request")
    return cast("A", done)


@functools.cache
def _floating(kind: type[msgspec.Struct]) -> Callable[[Any], tuple[Any, ...]]:
    """Values of an answer that may hold floats; the envelope holds none that are worked out."""
    return _getter([f for f in kind.__struct_fields__ if f not in _ENVELOPE])


def _finite(value: Any) -> bool:
    if isinstance(value, float):
        return math.isfinite(value)
    if isinstance(value, tuple):
        return all(map(_finite, value))
    if isinstance(value, msgspec.Struct):
        return all(map(_finite, _floating(type(value))(value)))
    return True


class _Watched(NamedTuple):
    """What of a Struct can be unusual: plain numbers, lists of numbers, inner Structs and lists of them."""

    numbers: tuple[tuple[str, Number, float, float], ...]
    lists: tuple[tuple[str, Number, float, float], ...]
    inner: tuple[str, ...]


@functools.cache
def _watched(kind: type[Model]) -> _Watched:
    numbers: list[tuple[str, Number, float, float]] = []
    lists: list[tuple[str, Number, float, float]] = []
    inner: list[str] = []
    for name, node in nodes(kind).items():
        one = node.other if isinstance(node, Either) else node
        item = one.item if isinstance(one, Many) else one
        if isinstance(item, Part):
            inner.append(name)
        elif isinstance(item, Number) and item.row is not None and item.row.usual is not None:
            (lists if isinstance(one, Many) else numbers).append((name, item, *item.row.usual))
    return _Watched(tuple(numbers), tuple(lists), tuple(inner))


def _getter(names: list[str]) -> Callable[[Any], tuple[Any, ...]]:
    """Function that gives the values of some fields as a tuple."""
    if len(names) > 1:
        return operator.attrgetter(*names)
    return lambda model: tuple(getattr(model, name) for name in names)


def unusual(model: Model, pointer: str) -> list[Finding]:
    """Findings on values that are possible but outside the usual range."""
    found: list[Finding] = []
    _collect(model, (pointer,), found)
    return found


def _collect(model: Model, path: tuple[str | int, ...], found: list[Finding]) -> None:
    numbers, lists, inner = _watched(type(model))
    for name, node, low, high in numbers:
        value = getattr(model, name)
        if value is not None and not low <= value <= high:
            found.append(_unusual(value, node, path, name))
    for name, node, low, high in lists:
        values = getattr(model, name) or ()
        ends = dict.fromkeys((min(values), max(values))) if values else {}
        found += [_unusual(value, node, path, name) for value in ends if not low <= value <= high]
    for name in inner:
        value = getattr(model, name)
        if isinstance(value, Model):
            _collect(value, (*path, name), found)
        elif isinstance(value, tuple):
            for i, item in enumerate(value):
                _collect(item, (*path, name, i), found)


def _unusual(value: float, node: Number, path: tuple[str | int, ...], name: str) -> Finding:
    row = cast("Quantity", node.row)
    low, high = cast("tuple[float, float]", row.usual)
    return finding(
        "unusual_value",
        "/".join(map(str, (*path, name))),
        float(value),
        low if value < low else high,
        name=name,
        span=f"{shown(low)} to {shown(high)}",
        unit=row.unit,
    )
