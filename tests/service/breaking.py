"""What of a new description of the service breaks a client of the released one.

python -m tests.service.breaking            list what breaks; exit code 1 if anything does
python -m tests.service.breaking --release  make the present files the released ones (a step of a release)
"""

import json
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

FOLDER = Path(__file__).parents[2] / "openapi"
RELEASED = FOLDER / "released"
FILES = ("openapi.json", "cell_names.json")
METHODS = ("get", "head", "post", "put", "patch", "delete")

LOWER = ("minimum", "exclusiveMinimum", "minLength", "minItems")
UPPER = ("maximum", "exclusiveMaximum", "maxLength", "maxItems")
Schema = dict[str, Any]


class Side(NamedTuple):
    """One description with its components."""

    document: Schema

    def whole(self, schema: Schema) -> Schema:
        """Schema that a reference stands for, with what stands beside the reference."""
        if "$ref" not in schema:
            return schema
        found: Any = self.document
        for step in schema["$ref"].split("/")[1:]:
            found = found[step]
        return {**found, **{key: value for key, value in schema.items() if key != "$ref"}}

    def arms(self, schema: Schema) -> dict[tuple[str, str], Schema]:
        """Forms that a schema allows, by type and tag."""
        found = {}
        for option in schema.get("anyOf", [schema]):
            arm = self.whole(option)
            tag = arm.get("properties", {}).get("kind", {}).get("enum", [""])
            found[arm.get("type", "string" if "enum" in arm else "any"), ",".join(tag)] = arm
        return found


def breaks(old: Schema, new: Schema) -> list[str]:
    """Sentences on what breaks, none if the new description serves the old one's clients."""
    return list(_paths(Side(old), Side(new)))


def _paths(old: Side, new: Side) -> Iterator[str]:
    for path, methods in old.document["paths"].items():
        for method in (m for m in METHODS if m in methods):
            other = new.document["paths"].get(path, {}).get(method)
            if other is None:
                yield f"{method} {path}: gone"
            else:
                yield from _operation(old, new, methods[method], other, f"{method} {path}")


def _operation(old: Side, new: Side, was: Schema, now: Schema, at: str) -> Iterator[str]:
    if was["operationId"] != now["operationId"]:
        yield f"{at}: operationId {was['operationId']} is now {now['operationId']}"
    names = {p["name"]: p for p in now.get("parameters", ())}
    before = {p["name"]: p for p in was.get("parameters", ())}
    for name, parameter in before.items():
        if name not in names:
            yield f"{at} ?{name}: gone"
        else:
            yield from _schema(old, new, parameter["schema"], names[name]["schema"], f"{at} ?{name}", True, ())
    for name, parameter in names.items():
        if parameter.get("required") and not before.get(name, {}).get("required"):
            yield f"{at} ?{name}: now required"
    yield from _contents(old, new, was.get("requestBody"), now.get("requestBody"), f"{at} request", True)
    for status, response in was["responses"].items():
        yield from _contents(old, new, response, now["responses"].get(status), f"{at} {status}", False)


def _contents(old: Side, new: Side, was: Schema | None, now: Schema | None, at: str, sent: bool) -> Iterator[str]:
    if was is None:
        if now is not None and now.get("required"):
            yield f"{at}: now required"
        return
    if now is None:
        yield f"{at}: gone"
        return
    for kind, media in was.get("content", {}).items():
        if kind not in now.get("content", {}):
            yield f"{at} {kind}: gone"
        else:
            yield from _schema(old, new, media["schema"], now["content"][kind]["schema"], at, sent, ())


def _schema(
    old: Side, new: Side, was: Schema, now: Schema, at: str, sent: bool, above: tuple[str, ...]
) -> Iterator[str]:
    name = was.get("$ref", "")
    if name and name in above:
        return
    was, now, above = old.whole(was), new.whole(now), (*above, name)
    for key in ("x-unit", *(("default",) if sent else ())):
        if was.get(key, "none") != now.get(key, "none"):
            yield f"{at}: {key} {was.get(key, 'none')} is now {now.get(key, 'none')}"
    arms = new.arms(now)
    for form, arm in old.arms(was).items():
        if form not in arms:
            yield f"{at}: form {' '.join(form).strip()} gone"
        else:
            yield from _arm(old, new, arm, arms[form], at, sent, above)


def _arm(
    old: Side, new: Side, was: Schema, now: Schema, at: str, sent: bool, above: tuple[str, ...]
) -> Iterator[str]:
    if was.get("x-unit", "none") != now.get("x-unit", "none"):
        yield f"{at}: x-unit {was.get('x-unit', 'none')} is now {now.get('x-unit', 'none')}"
    if sent:
        yield from _bounds(was, now, at)
    gone = [value for value in was.get("enum", ()) if "enum" in now and value not in now["enum"]]
    yield from (f"{at}: value {value!r} gone" for value in gone)
    if "items" in was and "items" in now:
        yield from _schema(old, new, was["items"], now["items"], f"{at}[]", sent, above)
    fields = now.get("properties", {})
    for field, inner in was.get("properties", {}).items():
        if field not in fields:
            yield f"{at}.{field}: gone"
        else:
            yield from _schema(old, new, inner, fields[field], f"{at}.{field}", sent, above)
    required, before = set(now.get("required", ())), set(was.get("required", ()))
    if sent:
        yield from (f"{at}.{field}: now required" for field in sorted(required - before))
    else:
        yield from (f"{at}.{field}: no longer always there" for field in sorted((before - required) & set(fields)))


def _bounds(was: Schema, now: Schema, at: str) -> Iterator[str]:
    """Bounds of what is sent that became narrower."""
    for key, sign in (*((key, 1) for key in LOWER), *((key, -1) for key in UPPER)):
        if key in now and (key not in was or sign * now[key] > sign * was[key]):
            yield f"{at}: {key} {was.get(key, 'none')} is now {now[key]}"
    if "enum" in now and "enum" not in was:
        yield f"{at}: only some values are left"


def read(folder: Path, name: str) -> Any:
    """One generated file of a folder."""
    return json.loads((folder / name).read_text(encoding="utf-8"))


def main(arguments: list[str]) -> int:
    """Exit code: 1 if the present description breaks clients of the released one."""
    if arguments == ["--release"]:
        RELEASED.mkdir(exist_ok=True)
        for name in FILES:
            shutil.copyfile(FOLDER / name, RELEASED / name)
        return 0
    found = breaks(read(RELEASED, FILES[0]), read(FOLDER, FILES[0]))
    for sentence in found:
        print(sentence)
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
