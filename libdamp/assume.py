"""Completing a draft: what an owner may leave out or give in another way at the plain door.

A draft may carry `size` and `surface`; what it leaves out is then filled from `typical` and listed as
assumed. It may give masses as axle or corner readings, tyre squash instead of a rate, in-use and compressed
lengths, and words for the closing position. Nothing here judges a value: building the Structs does that.
"""

from collections.abc import Mapping
from typing import Any, get_args

from .answers import Assumed
from .car import Car, Corner, Size, Surface, Use
from .checked import MISSING, Either, Model, Part, Text, nodes
from .drafting import Data, Drafting
from .errors import Fault
from .parts import Shock
from .physics.gas import circle_area
from .physics.numbers import G_N
from .quantities import quantity
from .typical import (
    CLOSING_SHARES,
    EMULSION_GAS_PER_SHAFT,
    GAS_PER_SHAFT,
    LOSS_FACTOR,
    PISTON_GAP_MM,
    SAG_SHARE,
    SIZES,
    SURFACES,
)

SIZE_NAMES: tuple[str, ...] = get_args(Size)
SURFACE_NAMES: tuple[str, ...] = get_args(Surface)
EXTRAS = ("size", "surface", "end", "note")
"""Keys of a draft that need not be fields of the calculation."""
LONGEST_NOTE = 2000


def complete(
    request: Mapping[str, Any], asked: type[Model], path: str = ""
) -> tuple[Data, list[Assumed], list[Fault]]:
    """Complete a plain request of a type.

    Parameters
    ----------
    request : plain data, its extras (`size`, `surface`, `end`, `note`) included.
    asked : the request's Struct type.
    path : where the request stands, for pointers.

    Returns
    -------
    The request without extras, what was assumed, and the faults found on the way.

    Examples
    --------
    >>> from libdamp.filling import fill_check
    >>> from libdamp.answers import signature_of
    >>> complete({"shock": {}, "size": "1:10 truck"}, signature_of(fill_check).request)[0]["shock"]["bore_mm"]
    12
    """
    fields = nodes(asked)
    extras = {key: request[key] for key in EXTRAS if key in request} if is_draftable(asked) else {}
    data: Data = {key: value for key, value in request.items() if key not in extras or key in fields}
    drafting = Drafting(*(extras[key] if isinstance(extras.get(key), str) else None for key in ("size", "surface")))
    words = {"size": SIZE_NAMES, "surface": SURFACE_NAMES, "end": ("front", "rear")}
    for key, choices in words.items():
        if key not in extras or (extras[key] is None and key in fields):
            continue
        read = Text(choices).accept(extras[key], f"{path}/{key}", drafting.faults)
        if read is MISSING and key == "surface":
            drafting.surface = None
        if read is MISSING and key == "size":  # so that what it would complete is not told as missing, too
            drafting.size = next(iter(SIZES.values()))
    if "note" in extras:
        Text(longest=LONGEST_NOTE).accept(extras["note"], f"{path}/note", drafting.faults)
    end = 1 if extras.get("end") == "rear" else 0
    for name, node in fields.items():
        kind = _part(node)
        if kind is Use:
            data[name] = _use(drafting, data.get(name, {}), f"{path}/{name}")
        elif name in data and isinstance(data[name], Mapping):
            at = f"{path}/{name}"
            if kind is Car:
                data[name] = _car(drafting, data[name], at)
            elif kind is Corner:
                data[name] = _corner(drafting, data[name], end, at)
            elif kind is Shock:
                data[name] = _shock(drafting, data[name], end, at)
    return data, drafting.assumed, drafting.faults


def is_draftable(asked: type[Model]) -> bool:
    """Tell whether a request has something that a size or a surface completes."""
    return any(_part(node) in (Car, Corner, Shock, Use) for node in nodes(asked).values())


def _part(node: Any) -> type[Model] | None:
    inner = node.other if isinstance(node, Either) else node
    return inner.types[0] if isinstance(inner, Part) and len(inner.types) == 1 else None


def _car(d: Drafting, given: Mapping[str, Any], at: str) -> Data:
    car = dict(given)
    for i, end in enumerate(("front", "rear")):
        if isinstance(car.get(end), Mapping):
            car[end] = _corner(d, car[end], i, f"{at}/{end}")
    return car


def _corner(d: Drafting, given: Mapping[str, Any], end: int, at: str) -> Data:
    corner = dict(given)
    mass = _masses(d, corner, at)
    shock = corner.get("shock")
    if isinstance(shock, Mapping):
        corner["shock"] = shock = _shock(d, shock, end, f"{at}/shock")
    if d.size is not None:
        if "level_clearance_mm" not in corner:
            d.assume(corner, "level_clearance_mm", d.size.clearance_mm, at)
        _linkage(d, corner, shock if isinstance(shock, Mapping) else {}, f"{at}/linkage")
    _tyre(d, corner, mass, f"{at}/tyre")
    return corner


def _masses(d: Drafting, corner: Data, at: str) -> float | None:
    """Sprung and unsprung mass from what was weighed; the corner's whole mass in g where it is known."""
    if not d.only_one(corner, at, "axle_g", "corner_g", "sprung_mass_g"):
        corner.pop("axle_g", None)
        corner.pop("corner_g", None)
        return None
    weighed = [key for key in ("axle_g", "corner_g") if key in corner]
    sprung, unsprung = d.number(corner, "sprung_mass_g", at), d.number(corner, "unsprung_mass_g", at)
    share = d.size.unsprung_share if d.size is not None else None
    if weighed:
        total = d.number(corner, weighed[0], at)
        corner.pop(weighed[0])
        corner["sprung_mass_g"] = 100.0  # stands in until the masses are known; faults stop the request anyway
        if total is None:
            corner.setdefault("unsprung_mass_g", 25.0)
            return None
        total = 0.5 * total if weighed[0] == "axle_g" else total
        if "unsprung_mass_g" not in corner:
            if share is None:
                d.missing(at, "unsprung_mass_g", "only what the spring does not carry turns a scale into a load")
                corner["unsprung_mass_g"] = 25.0
                return total
            unsprung = share * total
            d.assume(corner, "unsprung_mass_g", unsprung, at)
        if unsprung is not None:
            d.derive(corner, "sprung_mass_g", total - unsprung, at)
        return total
    if d.size is not None and "sprung_mass_g" not in corner and "unsprung_mass_g" not in corner:
        how = quantity("axle_g").how_to_measure
        text = f"axle_g is missing: {how}; for example axle_g = 800 (or give corner_g, or sprung_mass_g)"
        d.faults.append(Fault(pointer=f"{at}/axle_g", rule="incomplete", unit="g", text=text))
        corner["sprung_mass_g"], corner["unsprung_mass_g"] = 100.0, 25.0
        return None
    if sprung is not None and share is not None and "unsprung_mass_g" not in corner:
        unsprung = sprung * share / (1.0 - share)
        d.assume(corner, "unsprung_mass_g", unsprung, at)
    return None if sprung is None or unsprung is None else sprung + unsprung


def _shock(d: Drafting, given: Mapping[str, Any], end: int, at: str) -> Data:
    shock = dict(given)
    size = d.size
    if size is not None:
        for field, value in (
            ("bore_mm", size.bore_mm),
            ("shaft_mm", size.shaft_mm),
            ("seal_drag_n", size.seal_drag_n),
            ("limiter_mm", size.limiter_mm[end]),
        ):
            if field not in shock:
                d.assume(shock, field, value, at)
    _lengths(d, shock, end, at)
    stroke, bore = d.number(shock, "stroke_mm", at), d.number(shock, "bore_mm", at)
    if size is not None:
        if "cavity_length_mm" not in shock and stroke is not None:
            d.assume(shock, "cavity_length_mm", stroke + size.cavity_over_stroke_mm, at)
        piston = shock.setdefault("piston", {})
        if isinstance(piston, Mapping):
            shock["piston"] = piston = dict(piston)
            if "thickness_mm" not in piston:
                d.assume(piston, "thickness_mm", size.thickness_mm, f"{at}/piston")
            if "diameter_mm" not in piston and bore is not None:
                d.assume(piston, "diameter_mm", bore - PISTON_GAP_MM, f"{at}/piston")
    _fill(d, shock, stroke, f"{at}/fill")
    return shock


def _lengths(d: Drafting, shock: Data, end: int, at: str) -> None:
    """Extended length and stroke from in-use and compressed lengths, or from the size."""
    one = d.only_one(shock, at, "extended_length_mm", "extended_in_use_mm")
    in_use = d.number(shock, "extended_in_use_mm", at) if one else None
    had_in_use = shock.pop("extended_in_use_mm", None) is not None
    limiter = d.number(shock, "limiter_mm", at)
    if in_use is not None and limiter is not None:
        d.derive(shock, "extended_length_mm", in_use + limiter, at)
    elif had_in_use and "extended_length_mm" not in shock:
        if in_use is not None and "limiter_mm" not in shock:
            d.missing(at, "limiter_mm", "the length in use needs it to give the full length")
            shock["limiter_mm"] = 0.0
        shock["extended_length_mm"] = 100.0
    if d.size is not None and "extended_length_mm" not in shock:
        d.assume(shock, "extended_length_mm", d.size.extended_mm[end], at)
    one = d.only_one(shock, at, "stroke_mm", "compressed_length_mm")
    compressed = d.number(shock, "compressed_length_mm", at) if one else None
    had_compressed = shock.pop("compressed_length_mm", None) is not None
    extended = d.number(shock, "extended_length_mm", at)
    if compressed is not None and extended is not None:
        d.derive(shock, "stroke_mm", extended - compressed, at)
    elif had_compressed and "stroke_mm" not in shock:
        shock["stroke_mm"] = 10.0
    if d.size is not None and "stroke_mm" not in shock:
        d.assume(shock, "stroke_mm", d.size.stroke_mm[end], at)


def _fill(d: Drafting, shock: Data, stroke: float | None, at: str) -> None:
    if "fill" not in shock and d.size is None:
        return
    fill = shock.get("fill", {})
    if not isinstance(fill, Mapping):
        return
    given = "fill" in shock
    shock["fill"] = fill = dict(fill)
    if not given:
        d.assume(fill, "kind", "bladder", at)
    _closing(d, fill, stroke, at)
    shaft = d.number(shock, "shaft_mm", at)
    if d.size is None or stroke is None or shaft is None:
        return
    area = float(circle_area(shaft))  # mm2, so that mm of shaft give mm3
    field = "room_ml" if fill.get("kind") == "vented" else "gas_ml"
    if field in fill:
        return
    if fill.get("kind") == "emulsion":
        closing = d.number(fill, "closing_insertion_mm", at) or 0.0
        gas = max(EMULSION_GAS_PER_SHAFT * area * (stroke - closing), 0.1 * area * stroke) * 1e-3
    else:
        gas = GAS_PER_SHAFT * area * stroke * 1e-3
    d.assume(fill, field, gas, at)


def _closing(d: Drafting, fill: Data, stroke: float | None, at: str) -> None:
    """Closing position from a word, or half in where the size lets it be assumed."""
    one = d.only_one(fill, at, "closing", "closing_insertion_mm")
    worded, word = "closing" in fill, fill.pop("closing", None)
    if worded and one:
        read = Text(tuple(CLOSING_SHARES)).accept(word, f"{at}/closing", d.faults)
        fill["closing_insertion_mm"] = 0.0 if read is MISSING or stroke is None else CLOSING_SHARES[read] * stroke
    elif d.size is not None and stroke is not None and "closing_insertion_mm" not in fill:
        d.assume(fill, "closing_insertion_mm", 0.5 * stroke, at)


def _linkage(d: Drafting, corner: Data, shock: Mapping[str, Any], at: str) -> None:
    size, linkage = d.size, corner.get("linkage", {"kind": "ratio"})
    if size is None or not isinstance(linkage, Mapping) or linkage.get("kind") != "ratio":
        return
    corner["linkage"] = linkage = dict(linkage)
    if "motion_ratio" not in linkage:
        d.assume(linkage, "motion_ratio", size.motion_ratio, at)
    values = [d.number(dict(shock), f, at) for f in ("extended_length_mm", "limiter_mm", "stroke_mm")]
    if "level_length_mm" not in linkage and None not in values:
        extended, limiter, stroke = (float(v) for v in values if v is not None)
        d.assume(linkage, "level_length_mm", extended - limiter - SAG_SHARE * (stroke - limiter), at)


def _tyre(d: Drafting, corner: Data, mass: float | None, at: str) -> None:
    tyre = corner.get("tyre", {} if d.size is not None else None)
    if not isinstance(tyre, Mapping):
        return
    corner["tyre"] = tyre = dict(tyre)
    one = d.only_one(tyre, at, "rate_n_mm", "squash_mm")
    squash = d.number(tyre, "squash_mm", at) if one else None
    if tyre.pop("squash_mm", None) is not None and "rate_n_mm" not in tyre:
        d.derive(tyre, "rate_n_mm", 1.0 if squash is None or mass is None else mass * 1e-3 * G_N / squash, at)
        if squash is not None and mass is None:
            text = "squash_mm needs the corner's whole mass: give axle_g or corner_g, or both masses"
            d.faults.append(Fault(pointer=f"{at}/squash_mm", rule="incomplete", text=text))
    if d.size is None:
        return
    if "rate_n_mm" not in tyre:
        d.assume(tyre, "rate_n_mm", d.size.tyre_n_mm, at)
    if "damping_n_s_m" not in tyre and "loss_factor" not in tyre:
        d.assume(tyre, "loss_factor", LOSS_FACTOR, at)


def _use(d: Drafting, given: Any, at: str) -> Any:
    """Use from what is given, the surface for the rest."""
    if not isinstance(given, Mapping):
        return given
    use: Data = dict(given)
    if d.surface is not None:
        use.setdefault("surface", d.surface)
    air = (
        d.number(use, "air_temperature_c", at)
        if d.only_one(use, at, "oil_temperature_c", "air_temperature_c")
        else None
    )
    if use.pop("air_temperature_c", None) is not None and "oil_temperature_c" not in use:
        if d.size is None:
            d.missing(at, "oil_temperature_c", "how much warmer than the air the oil is depends on the car")
            use["oil_temperature_c"] = 20.0
        else:
            warm = 20.0 if air is None else air + d.size.oil_over_air_c
            d.assume(use, "oil_temperature_c", warm, at)
    row = SURFACES.get(str(use.get("surface")))
    wanted = ("oil_temperature_c", "bump_height_mm", "bump_spacing_mm", "speed_m_s", "jump")
    lacking = [field for field in wanted if field not in use]
    if row is None:
        if lacking and "surface" not in use:
            names = ", ".join(f'"{name}"' for name in SURFACE_NAMES)
            text = f"surface is missing: give one of {names}, or all of use: {', '.join(lacking)}"
            d.faults.append(Fault(pointer="/surface", rule="incomplete", text=text))
        if lacking:
            use.update(dict.fromkeys(lacking, 10.0) | ({"jump": "none"} if "jump" in lacking else {}))
        return use
    values = dict(zip(wanted, (row.oil_c, row.bump_mm, row.spacing_mm, row.speed_m_s), strict=False))
    for field in lacking:
        if field == "jump":
            jump = {"apex_m": row.fall_mm * 1e-3, "speed_m_s": row.speed_m_s, "landing_deg": 0.0}
            d.assume(use, "jump", "", at, shown=row.fall_mm)
            use["jump"] = jump if row.fall_mm else "none"
        else:
            d.assume(use, field, values[field], at)
    return use
