"""Addresses: how a flat door (a column of a log, a part of a web address) names a field of a request.

An address is `[root.]parent.leaf`, the root only where two fields would share one; only a request's own
scalars stand bare. Ways to give a thing at the plain door (`axle_g`, `closing`, ...) have addresses too.
"""

from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

from .car import Corner, Tyre, Use
from .checked import Either, Flag, Many, Model, Number, Part, Text, nearest, nodes
from .errors import Fault, InputError
from .parts import Bladder, Emulsion, Shock, Vented
from .quantities import UnitError, parse_number

OTHER_WAYS: dict[type[Model], tuple[str, ...]] = {
    Corner: ("axle_g", "corner_g"),
    Shock: ("extended_in_use_mm", "compressed_length_mm"),
    Bladder: ("closing",),
    Vented: ("closing",),
    Emulsion: ("closing",),
    Tyre: ("squash_mm",),
    Use: ("air_temperature_c",),
}
"""Fields of the plain door that stand beside a Struct's own."""

_ONE_OF = (
    ("axle_g", "corner_g", "sprung_mass_g"),
    ("rate_n_mm", "squash_mm"),
    ("damping_n_s_m", "loss_factor"),
    ("closing", "closing_insertion_mm"),
    ("extended_length_mm", "extended_in_use_mm"),
    ("stroke_mm", "compressed_length_mm"),
    ("oil_temperature_c", "air_temperature_c"),
)

FLAG_WORDS = {"1": True, "true": True, "0": False, "false": False}
"""What a spreadsheet writes for yes and no."""

Path = tuple[str, ...]


def _leaves(kind: type[Model], path: Path) -> Iterator[Path]:
    for name, node in nodes(kind).items():
        here = (*path, name)
        inner = node.other if isinstance(node, Either) and node.other is not None else node
        if isinstance(inner, Part):
            if isinstance(node, Either) and node.text is not None:
                yield here
            if len(inner.types) > 1:
                yield (*here, "kind")
            for one in inner.types:
                yield from _leaves(one, here)
        elif isinstance(inner, (Number, Text, Flag, Either)) or _is_text_list(inner):
            yield here
    for name in OTHER_WAYS.get(kind, ()):
        yield (*path, name)


def _is_text_list(node: Any) -> bool:
    """Lists that a text can hold: holes, and numbers with ':' between them."""
    if not isinstance(node, Many):
        return False
    return isinstance(node.item, Number) or hasattr(node.item.types[0], "many_from_text")


@cache
def addresses(request: type[Model]) -> Mapping[str, Path]:
    """Every address of a request type, with the path it stands for."""
    paths = list(dict.fromkeys(_leaves(request, ())))
    short: dict[str, list[Path]] = {}
    for path in paths:
        short.setdefault(".".join(path[-2:]), []).append(path)
    table: dict[str, Path] = {}
    for name, sharing in short.items():
        if len(sharing) == 1:
            table[name] = sharing[0]
            continue
        for path in sharing:
            root = next(a for a, *others in zip(path, *sharing, strict=False) if any(a != b for b in others))
            table[f"{root}.{name}"] = path
    return table


def cell_value(text: str) -> Any:
    """A cell as plain data: a number where it is one ('1,5' is 1.5), else the text; None where it is empty.

    >>> cell_value("1,5"), cell_value("2x1.7"), cell_value(" ")
    (1.5, '2x1.7', None)
    """
    text = text.strip()
    if not text:
        return None
    try:
        value, rest = parse_number(text)
    except UnitError:
        return text
    return value if not rest else text


def field_value(text: str, address: str, request: type[Model]) -> Any:
    """A cell as plain data for the field of an address; lists of numbers have ':' between them.

    >>> from libdamp.calculations import CALCULATIONS
    >>> field_value("0,05:0.1", "speeds_m_s", CALCULATIONS["damping_curve"].request)
    [0.05, 0.1]
    """
    for node in _nodes_at(request, addresses(request).get(address, ())):
        if isinstance(node, Many) and isinstance(node.item, Number):
            return [cell_value(piece) for piece in text.split(":") if piece.strip()] or None
        if isinstance(node, Flag):
            return FLAG_WORDS.get(text.strip().lower(), text.strip())
        if isinstance(node, Text) or (isinstance(node, Either) and node.other is None):
            return text.strip() or None
    return cell_value(text)


def _nodes_at(request: type[Model], path: Path) -> list[Any]:
    """Nodes of the field at a path, in every kind that has it; optional ones unwrapped."""
    if not path:
        return []
    found = [nodes(kind).get(path[-1]) for kind in _kinds_at(request, list(path[:-1]))]
    return [n.other if isinstance(n, Either) and n.other is not None else n for n in found if n is not None]


def put(data: dict[str, Any], address: str, value: Any, request: type[Model], pointer: str = "") -> None:
    """Set the field of an address in plain data; other ways to give the same thing are taken out.

    Raises
    ------
    InputError : no such address; the text names the nearest.
    """
    table = addresses(request)
    if address not in table:
        text = f"unknown address '{address[:60]}'; {nearest(address, table)}"
        raise InputError([Fault(pointer=pointer or address, rule="unknown_field", value=address, text=text)])
    *steps, leaf = table[address]
    place: dict[str, Any] = data
    kinds: tuple[type[Model], ...] = (request,)
    for step in steps:
        kinds = _kinds(kinds, step)
        inner = place.get(step)
        if isinstance(inner, str) and len(kinds) == 1:
            inner = _read(kinds[0], inner)
        place[step] = dict(inner) if isinstance(inner, Mapping) else {}
        place = place[step]
    for group in _ONE_OF:
        if leaf in group and steps[-1:] != ["spring"]:
            for other in group:
                place.pop(other, None)
    place[leaf] = value
    if leaf == "kind":
        _forget_other_kinds(place, _kinds_at(request, steps))


def _kinds_at(request: type[Model], steps: list[str]) -> tuple[type[Model], ...]:
    kinds: tuple[type[Model], ...] = (request,)
    for step in steps:
        kinds = _kinds(kinds, step)
    return kinds


def _forget_other_kinds(place: dict[str, Any], kinds: tuple[type[Model], ...]) -> None:
    """Take out what belongs to other kinds than the one now named."""
    chosen = next((k for k in kinds if k.__struct_config__.tag == place["kind"]), None)
    if chosen is not None:
        own = {"kind", *nodes(chosen), *OTHER_WAYS.get(chosen, ())}
        for name in [n for n in place if n not in own]:
            del place[name]


def _kinds(kinds: tuple[type[Model], ...], step: str) -> tuple[type[Model], ...]:
    for kind in kinds:
        node = nodes(kind).get(step)
        inner = node.other if isinstance(node, Either) else node
        if isinstance(inner, Part):
            return inner.types
    return ()


def _read(kind: type[Model], text: str) -> Mapping[str, Any]:
    try:
        return kind.from_text(text)
    except UnitError:
        return {}
