"""Addresses: how a flat door (a column of a log, a part of a web address) names a field of a request.

An address is `[root.]parent.leaf`, the root only where two fields would share one; only a request's own
scalars stand bare. Ways to give a thing at the plain door (`axle_g`, `closing`, ...) have addresses too.
"""

from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

from .assume import EXTRAS, is_draftable
from .car import Corner, Tyre, Use
from .checked import Either, Flag, Many, Model, Number, Part, Text, nodes
from .errors import Fault, InputError
from .parts import Bladder, Emulsion, Shock, Vented
from .plain import nearest
from .quantities import Quantity, UnitError, parse_number, quantity

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
LONGEST_ADDRESS = 200
MOST_PARTS = 4
"""Parts that an error lists."""


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
    """Lists that a text can hold: holes, and numbers or words with ':' between them."""
    if not isinstance(node, Many):
        return False
    return isinstance(node.item, (Number, Text)) or hasattr(node.item.types[0], "many_from_text")


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
        table |= {f"{'.'.join(root)}.{name}": path for root, path in _roots(sharing, 0)}
    return table


def _roots(sharing: list[Path], depth: int) -> Iterator[tuple[Path, Path]]:
    """Each of some paths with the steps that tell it from the others."""
    if len(sharing) == 1:
        yield (), sharing[0]
        return
    steps = list(dict.fromkeys(path[depth] for path in sharing))
    for step in steps:
        for root, path in _roots([path for path in sharing if path[depth] == step], depth + 1):
            yield ((step, *root) if len(steps) > 1 else root), path


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
    """A cell as plain data for the field of an address; lists of numbers or words have ':' between them.

    >>> from libdamp.calculations import CALCULATIONS
    >>> field_value("0,05:0.1", "speeds_m_s", CALCULATIONS["damping_curve"].request)
    [0.05, 0.1]
    """
    return value_at(text, addresses(request).get(address, ()), request)


def value_at(text: str, path: Path, request: type[Model]) -> Any:
    """A cell as plain data for the field of a path."""
    for node in map(_unwrapped, nodes_at(request, path) if path else ()):
        if isinstance(node, Many) and isinstance(node.item, Number):
            return [cell_value(piece) for piece in text.split(":") if piece.strip()] or None
        if isinstance(node, Many) and isinstance(node.item, Text):
            return [piece.strip() for piece in text.split(":") if piece.strip()] or None
        if isinstance(node, Flag):
            return FLAG_WORDS.get(text.strip().lower(), text.strip())
        if isinstance(node, Text) or (isinstance(node, Either) and node.other is None):
            return text.strip() or None
    return cell_value(text)


def nodes_at(request: type[Model], path: Path) -> list[Any]:
    """Nodes of the field at a path, in every kind that has it; none where the path leads nowhere."""
    found: list[Any] = [Part((request,))]
    for step in path:
        found = [inner for node in found for inner in _inside(_unwrapped(node), step)]
    return found


def row_at(request: type[Model], path: Path) -> Quantity | None:
    """Row of the quantity at a path; None where it has none."""
    found = (getattr(_unwrapped(node), "row", None) for node in nodes_at(request, path))
    return next((row for row in found if row is not None), None)


def _inside(node: Any, step: str) -> Iterator[Any]:
    """Nodes of what a step leads to: a field, or a place in a list."""
    if isinstance(node, Many) and step.isdecimal():
        yield node.item
    for kind in node.types if isinstance(node, Part) else ():
        if step in nodes(kind):
            yield nodes(kind)[step]
        elif step in OTHER_WAYS.get(kind, ()):
            yield Text() if step == "closing" else Number(quantity(step))
        elif step == "kind" and kind.__struct_config__.tag is not None:
            yield Text()


def _unwrapped(node: Any) -> Any:
    return node.other if isinstance(node, Either) and node.other is not None else node


@cache
def _kinds_at(request: type[Model], path: Path) -> tuple[type[Model], ...]:
    """Kinds of thing that a path, or the list on it, may hold."""
    found = [_unwrapped(node) for node in nodes_at(request, path)]
    parts = [node.item if isinstance(node, Many) else node for node in found]
    return tuple(kind for node in parts if isinstance(node, Part) for kind in node.types)


def put(data: dict[str, Any], address: str, value: Any, request: type[Model], pointer: str = "") -> None:
    """Set the field of an address in plain data; other ways to give the same thing are taken out.

    Raises
    ------
    InputError : no such address; the text names the nearest.
    """
    table = addresses(request)
    if address not in table:
        text = f"unknown address '{address[:60]}'; {_instead(address, table)}"
        raise InputError([Fault(pointer=pointer or address, rule="unknown_field", value=address, text=text)])
    put_at(data, table[address], value, request)


def _instead(address: str, table: Mapping[str, Path]) -> str:
    """What to write instead: the parts of what is no number itself, or the nearest."""
    parts = [name for name in table if name.startswith(f"{address}.")]
    return f"it has parts: {', '.join(parts[:MOST_PARTS])}" if parts else nearest(address, table)


def put_at(data: dict[str, Any], path: Path, value: Any, request: type[Model]) -> None:
    """Set the field of a path in plain data, places of lists included; what lies on the way is copied.

    Raises
    ------
    InputError : a list on the way has no such place.
    """
    place: Any = data
    for i, step in enumerate(path[:-1]):
        kinds, at = _kinds_at(request, path[: i + 1]), _place(place, step, path)
        inner = place[at] if isinstance(place, list) else place.get(at)
        if isinstance(inner, str) and len(kinds) == 1:
            inner = _read(kinds[0], inner, path[i + 1])
        listed, keyed = isinstance(inner, (list, tuple)), isinstance(inner, Mapping)
        place[at] = list(inner) if listed else dict(inner) if keyed else {}
        place = place[at]
    leaf = path[-1]
    if isinstance(place, list):
        place[_place(place, leaf, path)] = value
        return
    for group in _ONE_OF:
        if leaf in group and path[-2:-1] != ("spring",):
            for other in group:
                place.pop(other, None)
    place[leaf] = value
    if leaf == "kind":
        _forget_other_kinds(place, _kinds_at(request, path[:-1]))


def _place(place: Any, step: str, path: Path) -> Any:
    """Where a step leads: a key, or a place in a list that has it."""
    if not isinstance(place, list):
        return step
    if step.isdecimal() and int(step[:9]) < len(place):
        return int(step)
    text = f"'{'.'.join(path)[:60]}': the list has places 0 to {len(place) - 1}"
    raise InputError([Fault(pointer="/" + "/".join(path), rule="place", value=step[:60], text=text)])


def path_of(address: str, request: type[Model], pointer: str = "") -> Path:
    """Path that an address stands for; a whole dotted path or a JSON pointer does too, through lists as well.

    Raises
    ------
    InputError : no such field; the text names the nearest address.

    Examples
    --------
    >>> from libdamp.calculations import CALCULATIONS
    >>> path_of("/corner/shock/piston/holes/0/diameter_mm", CALCULATIONS["ride"].request)
    ('corner', 'shock', 'piston', 'holes', '0', 'diameter_mm')
    """
    table = addresses(request)
    if address in table:
        return table[address]
    if address in EXTRAS and is_draftable(request):
        return (address,)
    dotted = address[1:].replace("/", ".") if address.startswith("/") else address
    path = tuple(dotted[:LONGEST_ADDRESS].split("."))
    if nodes_at(request, path):
        return path
    text = f"unknown field '{address[:60]}'; {_instead(address[:60], table)}"
    raise InputError([Fault(pointer=pointer or "/", rule="address", value=repr(address)[:60], text=text)])


def _forget_other_kinds(place: dict[str, Any], kinds: tuple[type[Model], ...]) -> None:
    """Take out what belongs to other kinds than the one now named."""
    chosen = next((k for k in kinds if k.__struct_config__.tag == place["kind"]), None)
    if chosen is not None:
        own = {"kind", *nodes(chosen), *OTHER_WAYS.get(chosen, ())}
        for name in [n for n in place if n not in own]:
            del place[name]


def _read(kind: type[Model], text: str, step: str) -> Any:
    """Plain data that a text stands for: a list where a place in it follows, else a part's fields."""
    try:
        reader = getattr(kind, "many_from_text", None)
        return reader(text) if reader is not None and step.isdecimal() else kind.from_text(text)
    except UnitError:
        return {}
