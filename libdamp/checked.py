"""The base of every Struct: validation in the type, all faults at once.

Building, replacing and decoding all end in `Model.__post_init__`, which reads each field by the node of its
annotation (number, text, choice, Struct, union, list), coerces what is harmless (ints and numpy numbers to
floats, lists and arrays to tuples, "4 lbf/in" to the field's unit) and raises one InputError with every
fault. Values end up as floats, ints, texts, tuples and frozen Structs, nothing else.
"""

import math
import types
import typing
from collections.abc import Iterable, Mapping
from functools import cache
from typing import Annotated, Any, ClassVar, Literal, NamedTuple, Union, get_args, get_origin

import msgspec

from .errors import Fault, InputError
from .plain import DEEPEST, LARGEST, brief, escape, nearest, plain_data, too_deep
from .quantities import Quantity, UnitError, read_quantity
from .quantities.reading import example_of

FILL_IN = "?"
"""What a new car file holds where the owner has still to write a fact."""

MISSING: Any = object()


class Model(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A validated, frozen Struct; subclasses add `consistency` for rules between fields.

    `assumable` names the required fields that a draft may leave out, given the size of the car;
    `text_example` shows the short text that may stand for the whole, `list_example` the one for a list of them.
    """

    assumable: ClassVar[tuple[str, ...]] = ()
    text_example: ClassVar[str] = ""
    list_example: ClassVar[str] = ""

    def __post_init__(self) -> None:
        faults: list[Fault] = []
        for name, node, low, high, optional in _quick(type(self)):
            given = getattr(self, name)
            if (type(given) is float and low <= given <= high) or (given is None and optional):
                continue
            value = node.accept(given, f"/{escape(name)}", faults)
            if value is not given and value is not MISSING:
                msgspec.structs.force_setattr(self, name, value)
        if not faults:
            faults.extend(self.consistency())
        if faults:
            raise InputError(faults)

    def consistency(self) -> Iterable[Fault]:
        """Faults between fields that are each all right; none by default."""
        return ()

    @classmethod
    def from_text(cls, text: str) -> Mapping[str, Any]:  # noqa: ARG003 - for the subclasses
        """Fields that a short text stands for, "0.38 N/mm"; most Structs have no such text."""
        raise UnitError(f"a text will not do, give the fields {_names(cls)}")


class Number(NamedTuple):
    """A number of a quantity; `integer` for counts."""

    row: Quantity | None
    integer: bool = False

    def accept(self, value: Any, pointer: str, faults: list[Fault]) -> Any:
        """Value as a float or int, or MISSING with a fault added."""
        if type(value) is float and self.row is not None and self.row.possible is not None:
            low, high = self.row.possible
            if low <= value <= high and not self.integer:
                return value
        if hasattr(value, "item") and getattr(value, "ndim", None) == 0:
            value = value.item()
        if isinstance(value, str):
            return self._read(value, pointer, faults)
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            return self._refuse("type", value, pointer, faults, "must be a number")
        if not math.isfinite(value) if isinstance(value, float) else abs(value) > LARGEST:
            return self._refuse("finite", value, pointer, faults, "must be a finite number")
        if self.integer and value != int(value):
            return self._refuse("integer", value, pointer, faults, "must be a whole number")
        if self.row is not None and self.row.possible is not None:
            low, high = self.row.possible
            if not low <= value <= high:
                limit = f"{low:g}..{high:g}"
                text = f"must be from {low:g} to {high:g}{self._unit()}{self._hint(value)}"
                return self._refuse("range", value, pointer, faults, text, limit)
        return int(value) if self.integer else float(value)

    def _read(self, text: str, pointer: str, faults: list[Fault]) -> Any:
        if text.strip() == FILL_IN:
            how = f": {self.row.how_to_measure}" if self.row else ""
            return self._refuse("fill_in", text, pointer, faults, f"still to be filled in{how}")
        if self.row is None or self.integer or self.row.unit == "1":
            return self._refuse("type", text, pointer, faults, "must be a number, without quotes")
        try:
            value = read_quantity(text, self.row)
        except UnitError as error:
            return self._refuse("unit", text, pointer, faults, str(error))
        return self.accept(value, pointer, faults)

    def _refuse(
        self, rule: str, value: Any, pointer: str, faults: list[Fault], text: str, limit: str | None = None
    ) -> Any:
        name = ".".join(pointer.rsplit("/", 2)[-1 - pointer.rsplit("/", 1)[-1].isdecimal() :])
        plain = isinstance(value, (int, float)) and not isinstance(value, bool) and abs(value) < LARGEST
        shown = value if plain or isinstance(value, float) else brief(value)
        told, unit = float(value) if plain else brief(value), self.row.unit if self.row else None
        text = f"{name} = {str(shown)[:80]}: {text}"
        faults.append(Fault(pointer=pointer, rule=rule, value=told, limit=limit, unit=unit, text=text))
        return MISSING

    def _unit(self) -> str:
        return f" {self.row.unit}" if self.row and self.row.unit != "1" else ""

    def _hint(self, value: float) -> str:
        if self.row is None or self.row.usual is None or self.row.unit == "1":
            return ""
        low, high = self.row.usual
        for factor, what in ((25.4, "inches"), (10.0, "ten times this"), (0.1, "a tenth of this")):
            if low <= value * factor <= high:
                return f' ({what} would fit; a unit may be written, "{example_of(self.row)}")'
        return ""


class Text(NamedTuple):
    """A free text, or one of some words."""

    choices: tuple[str, ...] = ()
    longest: int = 200

    def accept(self, value: Any, pointer: str, faults: list[Fault]) -> Any:
        """Value as a text, or MISSING with a fault added."""
        if isinstance(value, str) and (value in self.choices if self.choices else len(value) <= self.longest):
            return value
        words = " or ".join(f'"{word}"' for word in self.choices)
        close = nearest(value, self.choices, 0.7) if isinstance(value, str) and self.choices else ""
        rule, wanted = "type", f"must be a text of up to {self.longest} letters"
        if words:
            rule, wanted = "choice", f"must be {words}" + (f"; {close}" if close.startswith("did you") else "")
        if isinstance(value, str) and value == FILL_IN:
            rule, wanted = "fill_in", f"still to be filled in; {wanted}"
        name = pointer.rsplit("/", 1)[-1]
        shown = repr(value)[:80]
        text = f"{name} = {shown}: {wanted}"
        faults.append(Fault(pointer=pointer, rule=rule, value=shown, limit=words or None, text=text))
        return MISSING


class Flag(NamedTuple):
    """True or false."""

    def accept(self, value: Any, pointer: str, faults: list[Fault]) -> Any:
        """Value as a bool, or MISSING with a fault added."""
        if hasattr(value, "item") and getattr(value, "ndim", None) == 0:
            value = value.item()
        if isinstance(value, bool):
            return value
        name = pointer.rsplit("/", 1)[-1]
        text = f"{name} = {value!r}: must be true or false"
        faults.append(Fault(pointer=pointer, rule="type", value=repr(value)[:80], text=text))
        return MISSING


class Part(NamedTuple):
    """A Struct, or one of some Structs told apart by `kind`."""

    types: tuple[type[Model], ...]

    def accept(self, value: Any, pointer: str, faults: list[Fault]) -> Any:
        """Value as a Struct, or MISSING with faults added."""
        if type(value) in self.types:
            return value
        if isinstance(value, str) and len(self.types) == 1:
            try:
                value = self.types[0].from_text(value)
            except UnitError as error:
                faults.append(_text_fault(value, pointer, error, bool(self.types[0].text_example)))
                return MISSING
        if not isinstance(value, Mapping):
            wanted = " or ".join(t.__name__ for t in self.types)
            name, example = pointer.rsplit("/", 1)[-1], self.types[0].text_example
            how = f"write it with its unit, {example}, or" if example else "must be"
            text = f"{name} = {brief(value)[:60]}: {how} an object ({wanted})"
            faults.append(Fault(pointer=pointer, rule="type", value=repr(value)[:80], text=text))
            return MISSING
        chosen = self._choose(value, pointer, faults)
        return MISSING if chosen is None else build(chosen, value, pointer, faults)

    def _choose(self, value: Mapping[str, Any], pointer: str, faults: list[Fault]) -> type[Model] | None:
        if len(self.types) == 1 and self.types[0].__struct_config__.tag is None:
            return self.types[0]
        kinds = {str(t.__struct_config__.tag): t for t in self.types}
        chosen = kinds.get(str(value.get("kind")))
        if chosen is None:
            fit = [kind for kind, t in kinds.items() if value and set(value) <= set(nodes(t))]
            Text(tuple(fit if len(fit) == 1 else kinds)).accept(value.get("kind"), f"{pointer}/kind", faults)
        return chosen


class Many(NamedTuple):
    """A list of one kind of thing."""

    item: Any
    least: int
    most: int

    def accept(self, value: Any, pointer: str, faults: list[Fault]) -> Any:
        """Value as a tuple, or MISSING with faults added."""
        if hasattr(value, "tolist"):
            value = value.tolist()
        reader = getattr(self.item.types[0], "many_from_text", None) if isinstance(self.item, Part) else None
        if isinstance(value, str) and reader is not None:
            try:
                value = reader(value)
            except UnitError as error:
                faults.append(_text_fault(value, pointer, error, True))
                return MISSING
        name = pointer.rsplit("/", 1)[-1]
        if isinstance(value, (str, Mapping)) or not isinstance(value, Iterable):
            instead = "" if reader is None else ', or a text like "2x1.4"'
            text = f"{name} = {repr(value)[:60]}: must be a list{instead}"
            faults.append(Fault(pointer=pointer, rule="type", value=repr(value)[:80], text=text))
            return MISSING
        items = value if isinstance(value, tuple) else tuple(value)
        if not self.least <= len(items) <= self.most:
            limit = f"{self.least}..{self.most}"
            text = f"{name} has {len(items)} entries: must have from {self.least} to {self.most}"
            faults.append(Fault(pointer=pointer, rule="length", value=float(len(items)), limit=limit, text=text))
            return MISSING
        read = tuple(self.item.accept(item, f"{pointer}/{i}", faults) for i, item in enumerate(items))
        if any(item is MISSING for item in read):
            return MISSING
        return items if all(a is b for a, b in zip(items, read, strict=True)) else read


class Keyed(NamedTuple):
    """An object with keys of the caller's choice: to things of one kind, or (None) to plain data of any shape."""

    item: Any
    most: int

    def accept(self, value: Any, pointer: str, faults: list[Fault]) -> Any:
        """Value as a dict, or MISSING with faults added."""
        if isinstance(value, Mapping) and len(value) <= self.most and not too_deep(value):
            if self.item is None:
                return plain_data(value)
            read = {str(k): self.item.accept(v, f"{pointer}/{escape(str(k))}", faults) for k, v in value.items()}
            return MISSING if any(item is MISSING for item in read.values()) else read
        rule = "length" if isinstance(value, Mapping) else "type"
        text = f"must be an object of no more than {self.most} entries, nested no deeper than {DEEPEST} levels"
        faults.append(Fault(pointer=pointer, rule=rule, value=brief(value), text=text))
        return MISSING


class Either(NamedTuple):
    """Nothing (null) or one of two forms: words or a Struct."""

    optional: bool
    text: Text | None
    other: Any

    def accept(self, value: Any, pointer: str, faults: list[Fault]) -> Any:
        """Value read by the form that fits it, or MISSING with faults added."""
        if value is None and self.optional:
            return None
        if self.text is not None and (isinstance(value, str) or self.other is None):
            return self.text.accept(value, pointer, faults)
        return self.other.accept(value, pointer, faults)


def build(cls: type[Model], data: Mapping[str, Any], pointer: str, faults: list[Fault]) -> Any:
    """Struct from plain data, or MISSING with every fault added."""
    before = len(faults)
    known = nodes(cls)
    tagged = cls.__struct_config__.tag is not None
    strange = [key for key in data if key not in known and not (tagged and key == "kind")]
    faults.extend(_unknown(cls, str(key), pointer) for key in strange)
    required = {f.name for f in msgspec.structs.fields(cls) if f.required}
    values = {}
    for name, node in known.items():
        if name in data:
            values[name] = node.accept(data[name], f"{pointer}/{escape(name)}", faults)
        elif name in required:
            rule = "incomplete" if name in cls.assumable else "missing_field"
            faults.append(_missing(name, node, pointer, rule))
    if len(faults) > before:
        return MISSING
    try:
        return cls(**values)
    except InputError as error:
        faults.extend(msgspec.structs.replace(f, pointer=pointer + f.pointer) for f in error.faults)
        return MISSING


DEEP, MOST_PLACES = 4, 2
"""Levels below a Struct at which a misplaced field is looked for; places that are named."""


def _inside(cls: type[msgspec.Struct], key: str, depth: int) -> Iterable[str]:
    """Where below a Struct there is a field of a name: "linkage.level_length_mm"."""
    for name, node in nodes(cls).items():
        inner = node.other if isinstance(node, Either) else node
        for kind in inner.types if isinstance(inner, Part) and depth else ():
            if key in nodes(kind):
                yield f"{name}.{key}"
            else:
                yield from (f"{name}.{place}" for place in _inside(kind, key, depth - 1))


def _unknown(cls: type[msgspec.Struct], key: str, pointer: str) -> Fault:
    places = list(dict.fromkeys(_inside(cls, key, DEEP)))[:MOST_PLACES]
    where = f"it goes into {' or '.join(places)}" if places else nearest(key, nodes(cls))
    text = f"unknown field '{key[:60]}'; {where}"
    return Fault(pointer=f"{pointer}/{escape(key[:60])}", rule="unknown_field", value=key[:60], text=text)


def _missing(name: str, node: Any, pointer: str, rule: str) -> Fault:
    row = getattr(node if not isinstance(node, Either) else node.other, "row", None)
    inner = node.other if isinstance(node, Either) else node
    example = inner.types[0].text_example if isinstance(inner, Part) else ""
    text = f"{name} is missing" + (f": for example {name} = {example}" if example else "")
    if row is not None:
        text += f": {row.meaning}" + (f"; to measure: {row.how_to_measure}" if row.how_to_measure else "")
    return Fault(pointer=f"{pointer}/{escape(name)}", rule=rule, unit=row.unit if row else None, text=text)


def _text_fault(value: str, pointer: str, error: UnitError, may_be_text: bool) -> Fault:
    rule = "text" if may_be_text and len(value) <= Text().longest else "type"
    text = f"{pointer.rsplit('/', 1)[-1]} = '{value[:60]}': {error}"
    return Fault(pointer=pointer, rule=rule, value=value[:80], text=text)


def _names(cls: type[msgspec.Struct]) -> str:
    return ", ".join(nodes(cls))


@cache
def nodes(cls: type[msgspec.Struct]) -> Mapping[str, Any]:
    """Node of each field of a Struct, in order."""
    hints = typing.get_type_hints(cls, include_extras=True)
    return types.MappingProxyType({f.name: _node(hints[f.name]) for f in msgspec.structs.fields(cls)})


@cache
def _quick(cls: type[msgspec.Struct]) -> tuple[tuple[str, Any, float, float, bool], ...]:
    """Fields with what lets a plain float, or null, pass without a closer look."""
    made = []
    for name, node in nodes(cls).items():
        inner = node.other if isinstance(node, Either) else node
        possible = inner.row.possible if isinstance(inner, Number) and inner.row and not inner.integer else None
        low, high = possible or (math.inf, -math.inf)
        made.append((name, node, low, high, isinstance(node, Either) and node.optional))
    return tuple(made)


def _node(hint: Any) -> Any:
    meta: list[msgspec.Meta] = []
    while get_origin(hint) is Annotated:
        hint, *extra = get_args(hint)
        meta.extend(extra)
    if hint in (float, int):
        row = next((m.extra["quantity"] for m in meta if m.extra), None)
        return Number(row, hint is int)
    if hint is str:
        return Text(longest=next((m.max_length for m in meta if m.max_length is not None), 200))
    if hint is bool:
        return Flag()
    origin, arguments = get_origin(hint), get_args(hint)
    if origin is Literal:
        return Text(tuple(arguments))
    if origin is tuple:
        least = next((m.min_length for m in meta if m.min_length is not None), 0)
        most = next((m.max_length for m in meta if m.max_length is not None), 10_000)
        return Many(_node(arguments[0]), least, most)
    if origin in (Union, types.UnionType):
        return _union(arguments)
    if origin is dict:
        most = next((m.max_length for m in meta if m.max_length is not None), 200)
        return Keyed(None if arguments[1] is Any else _node(arguments[1]), most)
    return Part((hint,))


def _union(arguments: tuple[Any, ...]) -> Any:
    read = [_node(a) for a in arguments if a is not type(None)]
    texts = [n for n in read if isinstance(n, Text)]
    parts = tuple(t for n in read if isinstance(n, Part) for t in n.types)
    others = [n for n in read if not isinstance(n, (Text, Part))]
    other = Part(parts) if parts else next(iter(others), None)
    if type(None) not in arguments and not texts:
        return other
    return Either(type(None) in arguments, texts[0] if texts else None, other)
