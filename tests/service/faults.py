"""Requests that are wrong in one way each: every route of the service with every fault that it can have."""

import copy
import json
from collections.abc import Iterator
from typing import Any, NamedTuple

from tests.plain_requests import Data, corner, put, requests, shock

JSON = {"content-type": "application/json"}


class Case(NamedTuple):
    """A wrong request and what is said of it: status, and pointer and rule of each fault."""

    label: str
    method: str
    path: str
    body: bytes
    headers: dict[str, str]
    status: int
    faults: tuple[tuple[str, str], ...] = ()


GOOD: dict[str, Data] = {**requests(), "setup": {"corner": corner()}}
"""A good body for each route that takes one."""

NUMBER = {
    "check": "car.front.sprung_mass_g",
    "plan": "car.rear.spring.rate_n_mm",
    "changes": "use.speed_m_s",
    "ride": "corner.shock.bore_mm",
    "damping_curve": "speeds_m_s.1",
    "match": "candidate_temperature_c",
    "fill_check": "run_temperature_c",
    "bench_cycle": "amplitude_mm",
    "bubble_rise": "bubble_mm",
    "aerated_oil": "chamber_mm",
    "spring_from_wire": "wire_mm",
    "piston_load": "temperature_c",
    "equal_fall": "jump.apex_m",
    "drop": "height_mm",
    "touch_height": "corner.shock.oil.viscosity_cst",
    "bumps": "bump_spacing_mm",
    "push_release": "push_mm",
    "oil_blend": "thin.viscosity_cst",
    "oil_viscosity": "oil.viscosity_cst",
    "oil_for_temperature": "to_temperature_c",
    "season": "temperatures_c.1",
    "oil_from_label": "table.0.viscosity_cst",
    "iso_grade": "oil.second_point.viscosity_cst",
    "compare": "use.bump_height_mm",
    "compare_shocks": "speeds_m_s.1",
    "setup": "corner.tyre.rate_n_mm",
}
"""A number of each request, by its path."""

NEEDED = {
    "check": "car.front.spring",
    "plan": "car.rear.shock",
    "changes": "car.front.shock.piston",
    "ride": "corner.shock.oil",
    "damping_curve": "speeds_m_s",
    "match": "candidate.piston.holes",
    "fill_check": "shock.piston.holes",
    "bench_cycle": "frequency_hz",
    "bubble_rise": "depth_mm",
    "aerated_oil": "pressure_kpa",
    "spring_from_wire": "active_coils",
    "piston_load": "shock.piston.holes",
    "equal_fall": "jump.apex_m",
    "drop": "height_mm",
    "touch_height": "corner.spring",
    "bumps": "speed_m_s",
    "push_release": "corner.shock.oil",
    "oil_blend": "thick",
    "oil_viscosity": "temperature_c",
    "oil_for_temperature": "oil",
    "season": "temperatures_c",
    "oil_from_label": "label_value",
    "iso_grade": "oil",
    "compare": "candidate.shock.oil",
    "compare_shocks": "candidate.piston.holes",
    "sweep": "only",
    "tolerance": "request",
    "convert": "to",
    "setup": "corner.spring.rate_n_mm",
}
"""A field that each request cannot do without, whatever the size."""

ASSUMABLE = {
    "check": "car.front.sprung_mass_g",
    "plan": "car.rear.tyre",
    "changes": "car.front.tyre",
    "ride": "corner.unsprung_mass_g",
    "damping_curve": "shock.shaft_mm",
    "match": "candidate.shaft_mm",
    "bench_cycle": "shock.seal_drag_n",
    "fill_check": "shock.fill",
    "drop": "corner.tyre",
    "touch_height": "corner.sprung_mass_g",
    "bumps": "corner.tyre",
    "push_release": "corner.level_clearance_mm",
    "piston_load": "shock.bore_mm",
    "compare": "candidate.tyre",
    "compare_shocks": "reference.shaft_mm",
    "season": "corner.tyre",
    "setup": "corner.shock.stroke_mm",
}
"""A field that each request can do without if a size is named, which none of them does."""


def _two(name: str, path: str, first: str, second: str) -> Data:
    return put(GOOD[name], path, {"viscosity_cst": 325, **json.loads(f"{{{first},{second}}}")})


IMPOSSIBLE: dict[str, tuple[Data, str, str]] = {
    "check": (put(GOOD["check"], "car.front.shock.shaft_mm", 8.5), "/car/front/shock/shaft_mm", "consistent"),
    "plan": (put(GOOD["plan"], "car.rear.tyre", {"rate_n_mm": 2}), "/car/rear/tyre/loss_factor", "consistent"),
    "changes": (put(GOOD["changes"], "car.front.shock.shaft_mm", 8.5), "/car/front/shock/shaft_mm", "consistent"),
    "ride": (
        put(GOOD["ride"], "corner.shock.piston.diameter_mm", 12.5),
        "/corner/shock/piston/diameter_mm",
        "consistent",
    ),
    "damping_curve": (put(GOOD["damping_curve"], "insertion_mm", 100), "/insertion_mm", "consistent"),
    "bench_cycle": (put(GOOD["bench_cycle"], "amplitude_mm", 30), "/amplitude_mm", "consistent"),
    "fill_check": (put(GOOD["fill_check"], "shock.piston.holes", "9x4"), "/shock/piston/holes", "consistent"),
    "drop": (put(GOOD["drop"], "corner.shock.oil", "30 wt"), "/corner/shock/oil", "text"),
    "touch_height": (
        put(GOOD["touch_height"], "corner.shock.stroke_mm", 47),
        "/corner/shock/cavity_length_mm",
        "consistent",
    ),
    "bumps": (put(GOOD["bumps"], "corner.tyre", {"rate_n_mm": 2}), "/corner/tyre/loss_factor", "consistent"),
    "push_release": (
        put(GOOD["push_release"], "corner.shock.shaft_mm", 8.5),
        "/corner/shock/shaft_mm",
        "consistent",
    ),
    "oil_viscosity": (
        _two("oil_viscosity", "oil", '"vtc":0.6', '"second_point":{"viscosity_cst":99,"temperature_c":80}'),
        "/oil/vtc",
        "consistent",
    ),
    "oil_for_temperature": (put(GOOD["oil_for_temperature"], "oil", "30 wt"), "/oil", "text"),
    "match": (put(GOOD["match"], "blank.hole_circle_mm", 3), "/blank/hole_circle_mm", "consistent"),
    "oil_blend": (put(GOOD["oil_blend"], "thick_share", 0.5), "/target_cst", "either"),
    "season": (put(GOOD["season"], "oils.0", "30 wt"), "/oils/0", "text"),
    "oil_from_label": (put(GOOD["oil_from_label"], "table", None), "/table", "no_label_table"),
    "iso_grade": (put(GOOD["iso_grade"], "oil.vtc", 0.6), "/oil/vtc", "consistent"),
    "bubble_rise": (put(GOOD["bubble_rise"], "oil", "30 wt"), "/oil", "text"),
    "spring_from_wire": (put(GOOD["spring_from_wire"], "mean_coil_mm", 2.1), "/mean_coil_mm", "consistent"),
    "piston_load": (put(GOOD["piston_load"], "pressure_difference_kpa", 100), "/speed_m_s", "either"),
    "compare": (put(GOOD["compare"], "candidate", None), "", "either"),
    "compare_shocks": (
        put(GOOD["compare_shocks"], "candidate.stroke_mm", 47),
        "/candidate/cavity_length_mm",
        "consistent",
    ),
    "sweep": (put(GOOD["sweep"], "calculation", "fill_chek"), "/calculation", "calculation"),
    "tolerance": (put(GOOD["tolerance"], "request.shock.bore_mm", -1), "/request/shock/bore_mm", "request_range"),
    "convert": (put(GOOD["convert"], "to", "N m"), "/value", "conversion"),
    "setup": ({"corner": corner(), "shock": shock()}, "", "either"),
}
"""A request of each route that fits the schema, but not together: pointer and rule."""


def without(data: Data, path: str) -> Data:
    """The data without the field at a path."""
    *steps, last = path.split(".")
    changed = copy.deepcopy(data)
    inner: Any = changed
    for step in steps:
        inner = inner[step]
    del inner[last]
    return changed


def pointer(path: str) -> str:
    """JSON pointer of a dotted path."""
    return "/" + path.replace(".", "/")


def raw(data: Data, path: str, text: str) -> bytes:
    """JSON of the data with a piece of text, JSON or not, at a path."""
    return json.dumps(put(data, path, "@@")).replace('"@@"', text).encode()


def _unread(name: str) -> Iterator[tuple[str, bytes, dict[str, str], int, tuple[tuple[str, str], ...]]]:
    """Bodies that are no JSON object, or do not say that they are."""
    good = json.dumps(GOOD[name]).encode()
    yield "malformed", good[:-1], JSON, 400, ()
    yield "two values", good + b"1", JSON, 400, ()
    yield "no body", b"", JSON, 400, ()
    yield "bad UTF-8 value", b'{"note":"\xff"}', JSON, 400, ()
    yield "bad UTF-8 key", b'{"\xff":1}', JSON, 400, ()
    yield "very deep", b'{"a":' + b"[" * 20_000 + b"]" * 20_000 + b"}", JSON, 400, ()
    yield "NaN", b'{"a":NaN}', JSON, 400, ()
    yield "Infinity", b'{"a":-Infinity}', JSON, 400, ()
    yield "a list", b"[]", JSON, 400, (("", "type"),)
    yield "a text", b'"x"', JSON, 400, (("", "type"),)
    yield "null", b"null", JSON, 400, (("", "type"),)
    yield "plain text", good, {"content-type": "text/plain"}, 415, ()
    yield "a form", good, {"content-type": "application/x-www-form-urlencoded"}, 415, ()
    yield "no content type", good, {}, 415, ()
    yield "too large", b" " * 70_000 + good, JSON, 413, ()


def _misfit(name: str) -> Iterator[tuple[str, bytes, dict[str, str], int, tuple[tuple[str, str], ...]]]:
    """JSON objects that do not fit the schema, or not together."""
    good = GOOD[name]
    yield "unknown field", json.dumps({**good, "zzz/~": 1}).encode(), JSON, 400, (("/zzz~1~0", "unknown_field"),)
    needed = NEEDED[name]
    yield (
        "missing field",
        json.dumps(without(good, needed)).encode(),
        JSON,
        400,
        ((pointer(needed), "missing_field"),),
    )
    deep: Any = 1
    for _ in range(30):
        deep = {"a": deep}
    told = ("", "depth")
    yield "deep", json.dumps({**good, "a": deep}).encode(), JSON, 400, (told,)
    if name in NUMBER:
        at = NUMBER[name]
        yield "1e999", raw(good, at, "1e999"), JSON, 400, ()
        for label, text, rule in (
            ("a list for a number", "[1]", "type"),
            ("null for a number", "null", "type"),
            ("true for a number", "true", "type"),
            ("digits in quotes", '"12"', "unit"),
            ("another dimension", '"5 s"', "unit"),
            ("out of range", "-1e9", "range"),
            ("hundreds of digits", "9" * 400, "finite"),
        ):
            yield label, raw(good, at, text), JSON, 400, ((pointer(at), rule),)
    if name in ASSUMABLE:
        at = ASSUMABLE[name]
        yield "incomplete", json.dumps(without(good, at)).encode(), JSON, 422, ((pointer(at), "incomplete"),)
    if name in IMPOSSIBLE:
        body, where, rule = IMPOSSIBLE[name]
        yield "impossible together", json.dumps(body).encode(), JSON, 422, ((where, rule),)


def body_cases() -> list[Case]:
    """Every route that takes a body with every fault of a body."""
    return [
        Case(f"{name}: {label}", "POST", f"/v1/{name}", body, headers, status, faults)
        for name in GOOD
        for made in (_unread, _misfit)
        for label, body, headers, status, faults in made(name)
    ]


GET_ONLY = ("/v1", "/health", "/ready", "/version", "/docs", "/openapi.json")


def address_cases() -> list[Case]:
    """Addresses that do not exist, and methods that an address does not take."""
    unknown = (
        "/",
        "/nope",
        "/v1/nope",
        "/v1/ride/x",
        "/v2/ride",
        "/v1/cellar",
        "/static/nope.js",
        "/static/../app.py",
    )
    found = [Case(f"{m} {p}", m, p, b"", {}, 404) for p in unknown for m in ("GET", "POST", "PUT")]
    found = [case for case in found if not case.path.startswith("/static") or case.method == "GET"]
    for name in GOOD:
        methods = ("PUT", "PATCH", "DELETE", *(("GET",) if name != "setup" else ()))
        found += [Case(f"{m} {name}", m, f"/v1/{name}", b"{}", JSON, 405) for m in methods]
    found += [Case(f"{m} {p}", m, p, b"{}", JSON, 405) for p in GET_ONLY for m in ("POST", "PUT", "DELETE")]
    return found


def setup_cases() -> list[Case]:
    """Wrong ways to read a set-up."""
    asked = {
        "": (400, "missing_field"),
        "setup=a&setup=b": (400, "missing_field"),
        "setup=demo-truck.fron": (422, "setup"),
        "setup=": (422, "setup"),
        "setup=1.": (422, "token"),
        "setup=1.zzzz": (422, "token"),
        "setup=2.abcd": (422, "setup"),
        "setup=1.%C3%A4": (422, "token"),
        f"setup=1.{'A' * 4000}": (400, "length"),
        f"setup={'A' * 4001}": (400, "length"),
    }
    return [
        Case(f"setup?{query[:24]}", "GET", f"/v1/setup?{query}", b"", {}, status, (("/setup", rule),))
        for query, (status, rule) in asked.items()
    ]
