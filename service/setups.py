"""Set-ups that a request starts from: bundled names and tokens."""

from copy import deepcopy
from functools import lru_cache
from typing import Any

from libdamp.calculations import Calculation
from libdamp.car import Car, Corner
from libdamp.checked import Model, nodes
from libdamp.demo import NAMES, demo_data
from libdamp.errors import Fault, InputError
from libdamp.packing import LONGEST_TOKEN, unpack_data
from libdamp.parts import Shock
from libdamp.plain import nearest


class SetupRequest(Model, frozen=True, kw_only=True):
    """A set-up to pack: one of the three."""

    corner: Corner | None = None
    shock: Shock | None = None
    car: Car | None = None


def setup_data(name: str) -> dict[str, Any]:
    """Plain data of a bundled name ("demo-truck", "demo-truck.front") or a token.

    Raises
    ------
    InputError : neither.
    """
    if name.startswith("1."):
        return unpack_data(name)
    car, _, end = name.partition(".")
    if car in NAMES and end in ("", "front", "rear"):
        data = deepcopy(demo_data(car))
        if not end:
            return data
        extras: dict[str, Any] = {key: data[key] for key in ("size", "surface") if key in data}
        return {"corner": data["car"][end], "end": end, **extras} if extras else {"corner": data["car"][end]}
    known = [n for bundled in NAMES for n in (bundled, f"{bundled}.front", f"{bundled}.rear")]
    text = f"setup '{name[:60]}' is no token and no bundled name; {nearest(name, known)}"
    rule = "setup" if len(name) <= LONGEST_TOKEN else "length"
    raise InputError([Fault(pointer="/setup", rule=rule, value=name[:60], text=text)])


@lru_cache(maxsize=256)
def _kept_data(name: str) -> dict[str, Any]:
    """`setup_data`, kept for the next cell of the same set-up; whoever changes it copies first, as `put` does."""
    return setup_data(name)


def base_request(entry: Calculation, name: str) -> dict[str, Any]:
    """Plain request of a calculation that starts from a set-up: what of it the calculation takes.

    Raises
    ------
    InputError : no such set-up, or nothing of it is of use here.
    """
    data = _kept_data(name)
    fields = nodes(entry.request)
    if "shock" in fields and "shock" not in data and "corner" in data:
        data = {**{k: data[k] for k in ("size", "surface", "end") if k in data}, "shock": data["corner"]["shock"]}
    if "candidate" in fields:  # one thing twice: then say what differs
        data = _twice(data, "candidate_car" in fields)
    kept = {k: v for k, v in data.items() if k in fields or k in ("size", "surface", "end", "note")}
    if not any(k in fields for k in kept):
        end = f"; type '{name}.front' or '{name}.rear'" if name in NAMES and "corner" in fields else ""
        text = f"setup '{name[:60]}' holds {', '.join(data)}; {entry.name} needs {', '.join(fields)}{end}"
        raise InputError([Fault(pointer="/setup", rule="consistent", value=name[:60], text=text)])
    return kept


def _twice(data: dict[str, Any], corners: bool) -> dict[str, Any]:
    """A set-up as reference and candidate: a car or a corner where those are compared, else a shock."""
    rest: dict[str, Any] = {k: data[k] for k in ("size", "surface", "end", "use") if k in data}
    if "car" in data:
        return {**rest, "reference_car": data["car"], "candidate_car": data["car"]} if corners else data
    if corners and "corner" not in data:
        return data
    one = data["corner"] if corners else data.get("shock") or data["corner"]["shock"]
    return {**rest, "reference": one, "candidate": one}
