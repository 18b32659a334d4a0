"""JSON schemas of requests and answers as every door takes and gives them.

msgspec writes the schemas of the Structs; what the plain door takes beyond them (texts for parts, other ways to
give a thing, fields that a size lets one leave out) is put in here, from the same tables that the reading uses.
"""

from collections.abc import Iterable, Mapping
from typing import Any

import msgspec

from .addresses import OTHER_WAYS
from .assume import LONGEST_NOTE, SIZE_NAMES, SURFACE_NAMES, is_draftable
from .car import Arm, Box, BoxPiston, Car, Corner, Pairs, Ratio, Tyre, Use
from .checked import Either, Many, Model, Part, nodes
from .parts import Bladder, Emulsion, Piston, Shock, Vented
from .quantities import quantity

CLOSING_WORDS = ("out", "half", "in")
_LONGEST_TEXT = 200

Schema = dict[str, Any]


def _text(example: str) -> Schema:
    return {"type": "string", "maxLength": _LONGEST_TEXT, "description": f"as a short text: {example}"}


def _own(name: str) -> Schema:
    """Schema of a plain-door field from its row of the table."""
    row = quantity(name)
    schema: Schema = {"type": "number", "description": row.meaning, "x-unit": row.unit}
    if row.possible is not None:
        schema |= {"minimum": row.possible[0], "maximum": row.possible[1]}
    if row.how_to_measure:
        schema["x-how-to-measure"] = row.how_to_measure
    return schema


def _other_way(name: str) -> Schema:
    if name == "closing":
        return {"enum": list(CLOSING_WORDS), "description": "closing position in words"}
    return _own(name)


def _with_text(schema: Schema, example: str) -> Schema:
    """Schema of a field that may also be given as a text."""
    inner = dict(schema)
    kept: Schema = {key: inner.pop(key) for key in ("default", "description") if key in inner}
    options = inner.pop("anyOf") if set(inner) == {"anyOf"} else [inner]
    return {"anyOf": [*options, _text(example)], **kept}


def _relax(kind: type[Model], schema: Schema) -> None:
    """Put what the plain door takes beyond a Struct into its schema."""
    properties = schema["properties"]
    for name, field in nodes(kind).items():
        node = field.other if isinstance(field, Either) and isinstance(field.other, Many) else field
        if isinstance(node, Part) and len(node.types) == 1 and node.types[0].text_example:
            properties[name] = _with_text(properties[name], node.types[0].text_example)
        elif isinstance(node, Many) and isinstance(node.item, Part):
            item = node.item.types[0]
            if item.list_example:
                properties[name] = _with_text(properties[name], item.list_example)
            elif item.text_example:
                properties[name]["items"] = _with_text(properties[name]["items"], item.text_example)
    for name in OTHER_WAYS.get(kind, ()):
        properties[name] = _other_way(name)
    _require(schema, set(schema.get("required", ())) - set(kind.assumable))


def _require(schema: Schema, names: Iterable[str]) -> None:
    wanted = set(names)
    left = [name for name in schema.get("required", ()) if name in wanted]
    if left:
        schema["required"] = left
    else:
        schema.pop("required", None)


def _extras(schema: Schema) -> None:
    """Keys of a draft that are no fields of the calculation."""
    properties = schema["properties"]
    properties.setdefault("size", {"enum": list(SIZE_NAMES), "description": "lets gaps be assumed"})
    properties["surface"] = {"enum": list(SURFACE_NAMES), "description": "lets the use be assumed"}
    properties.setdefault("end", {"enum": ["front", "rear"], "description": "which end's usual lengths to assume"})
    properties["note"] = {
        "type": "string",
        "maxLength": LONGEST_NOTE,
        "description": "kept nowhere; for whoever reads the file",
    }
    _require(schema, set(schema.get("required", ())) - {"use"})


_KINDS: tuple[type[Model], ...] = (
    Shock,
    Piston,
    Bladder,
    Vented,
    Emulsion,
    Corner,
    Car,
    Box,
    BoxPiston,
    Use,
    Arm,
    Pairs,
    Ratio,
    Tyre,
)


def published(
    requests: Mapping[str, type[Model]], answers: Mapping[str, type[msgspec.Struct]], template: str
) -> tuple[dict[str, Schema], dict[str, Schema], dict[str, Schema]]:
    """Schemas of requests and answers by name, and the components that they refer to.

    Parameters
    ----------
    requests, answers : Struct types by calculation.
    template : how a reference is written, "#/components/schemas/{name}".
    """
    _, asked = msgspec.json.schema_components(tuple(requests.values()), ref_template=template)
    refs = {name: {"$ref": template.format(name=kind.__name__)} for name, kind in requests.items()}
    for kind in (*_KINDS, *requests.values()):
        if kind.__name__ in asked:
            _relax(kind, asked[kind.__name__])
    for kind in requests.values():
        if is_draftable(kind):
            _extras(asked[kind.__name__])
    _, given = msgspec.json.schema_components(tuple(answers.values()), ref_template=template)
    renamed = {n: f"Fitted{n}" for n, schema in given.items() if n in asked and asked[n] != schema}
    for name, title in renamed.items():
        given[name]["title"] = title
    given = {renamed.get(n, n): _redirect(schema, renamed, template) for n, schema in given.items()}
    answer_refs = {
        name: {"$ref": template.format(name=renamed.get(kind.__name__, kind.__name__))}
        for name, kind in answers.items()
    }
    return refs, answer_refs, {**asked, **given}


def _redirect(schema: Any, renamed: Mapping[str, str], template: str) -> Any:
    """Schema with references to renamed components put right."""
    if isinstance(schema, list):
        return [_redirect(item, renamed, template) for item in schema]
    if not isinstance(schema, dict):
        return schema
    turned = {template.format(name=old): template.format(name=new) for old, new in renamed.items()}
    return {
        key: turned.get(value, value) if key == "$ref" else _redirect(value, renamed, template)
        for key, value in schema.items()
    }
