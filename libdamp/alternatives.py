"""What may be changed on a car, one thing at a time, with the parts in hand.

After a change of spring, limiter, closing position, amount of oil or mount hole the collar is set again so that the
car stands as high as before, where one can be. Warmer oil and weight leave the collar where it is. Where the
preload is set for level arms, that is the height before.
"""

import math
from collections.abc import Iterator
from itertools import combinations
from typing import Any, Literal, NamedTuple, get_args

import msgspec
import numpy as np

from .car import Arm, Box, Car, Corner
from .drilling import PISTONS_OF_AN_AXLE, drilling_findings, with_holes
from .errors import InputError
from .filling import fill_figures, fill_temperature
from .findings import Finding, finding
from .grid import ANY_STEP_M, HOT_C
from .in_hand import alike, parts_of, same_oil, same_piston, same_spring
from .oils import cst_text, kinematic
from .parts import Oil, Piston, Spring, Vented, plain_part
from .quantities import quantity
from .riding import real_steps
from .standing import level, rest, shock_at, stand_of
from .typical import CLOSING_SHARES

End = Literal["front", "rear"]
Kind = Literal[
    "oil", "piston", "drill", "spring", "preload", "limiter", "closing", "fill", "mount", "temperature", "mass"
]
ENDS: tuple[End, ...] = get_args(End)
KINDS: tuple[Kind, ...] = get_args(Kind)
"""Kinds of change, in the order of the rows."""
FROM_THE_BOX = KINDS[:-2]
"""Kinds of change that parts and tools in hand make; weather and weight are not among them."""
WARMER_C = 10.0
COLDEST_C, HOTTEST_C = quantity("temperature_c").possible or (-math.inf, math.inf)
AXLE_G = 50.0
"""Weight put on or taken off an axle: half of it on each corner."""
SAME_MM = 1e-6
SYRINGE_ML = 0.01
"""What a small syringe shows: oil is let out in such steps."""
LEVEL_MM = 0.25
"""Preload that far from level arms, or below holding the spring, is worth a row."""
CLOSING_WORDS = {"out": "fully out", "half": "half-way in", "in": "fully in"}
SAME_HEIGHT, AS_IT_IS = "same height", "collar left as it is"
NOT_AS_HIGH = "no collar sets the same height"
"""What is said of the collar."""
SAME_TRAVEL_M = 5e-5
"""Wheel travels at rest that differ by no more than this are the same height."""


class Alternative(NamedTuple):
    """The car with one thing changed."""

    end: End
    kind: Kind
    what: str
    collar: str  # what happened to it, in words; empty where the change says so itself
    corner: Corner
    temperature_c: float


class Standing(NamedTuple):
    """One end as it stands."""

    end: End
    corner: Corner
    temperature_c: float
    preload_mm: float | None  # as it is now; None where the corner cannot stand level
    travel: float | None  # of the wheel at rest, m; None where it does not rest freely


def standing_of(end: End, corner: Corner, temperature_c: float) -> Standing:
    """One end as it stands, with its preload and height."""
    stand = stand_of(corner, temperature_c)
    preload = float(level(stand).preload) if corner.preload_mm is None else corner.preload_mm * 1e-3
    if not math.isfinite(preload):
        return Standing(end, corner, temperature_c, None, None)
    r = rest(stand, preload)
    free = not bool(r.topped_out) and math.isfinite(float(r.travel))
    mm = preload * 1e3 if corner.preload_mm is None else corner.preload_mm
    return Standing(end, corner, temperature_c, mm, float(r.travel) if free else None)


def same_height(corner: Corner, now: Standing) -> Corner:
    """A changed corner with the collar set so that it stands as high as before; level arms stay level."""
    if corner.preload_mm is None or now.travel is None:
        return corner
    stand = stand_of(corner, now.temperature_c)
    force, _, ratio = shock_at(
        stand, np.asarray(-1e3), np.asarray(now.travel)
    )  # so loose that the spring gives nothing
    if not float(ratio) > 0.0:  # a mount from which the wheel would pull the shock out
        return corner
    insertion = float(stand.extended - stand.kin.length(now.travel))
    needed = float(stand.weight) / float(ratio) - float(force)
    preload = 1e3 * (needed / float(stand.rate) - (insertion - float(stand.limiter)))
    try:
        return msgspec.structs.replace(corner, preload_mm=preload)
    except InputError:  # no collar reaches that far
        return corner


def _stands_as(corner: Corner, now: Standing) -> bool:
    """Whether a changed corner stands as high as before, or nobody can say; level arms are as high as they were."""
    if corner.preload_mm is None or now.travel is None:
        return True
    travel = float(rest(stand_of(corner, now.temperature_c), corner.preload_mm * 1e-3).travel)
    return not abs(travel - now.travel) > SAME_TRAVEL_M


def alternatives(car: Car, box: Box, temperature_c: float, ends: tuple[End, ...]) -> list[Alternative]:
    """Every single change that the box allows, by end and kind."""
    made = []
    for end in ends:
        now = standing_of(end, getattr(car, end), temperature_c)
        for ways in (
            _oils,
            _pistons,
            _drilled,
            _springs,
            _preloads,
            _limiters,
            _closings,
            _let_out,
            _mounts,
            _warmer,
            _weights,
        ):
            made += list(ways(now, box))
    return made


def _with(now: Standing, kind: Kind, what: str, collar: str = "", **changes: Any) -> Iterator[Alternative]:
    """The change of a corner's or its shock's fields; none where these do not go together."""
    own = {key: value for key, value in changes.items() if key in Corner.__struct_fields__}
    inner = {key: value for key, value in changes.items() if key not in own}
    try:
        shock = msgspec.structs.replace(now.corner.shock, **inner) if inner else now.corner.shock
        corner = msgspec.structs.replace(now.corner, shock=shock, **own)
    except InputError:
        return
    if collar == SAME_HEIGHT:
        corner = same_height(corner, now)
        collar = collar if _stands_as(corner, now) else NOT_AS_HIGH
    yield Alternative(now.end, kind, what, collar, corner, now.temperature_c)


def oil_words(oil: Oil) -> str:
    """An oil in words: "325 cSt", "100 cSt at 40 C"."""
    at = "" if oil.reference_temperature_c == 25.0 else f" at {oil.reference_temperature_c:g} C"
    return f"{cst_text(oil.viscosity_cst)} cSt{at}"


def _instead(kind: str, new: str, old: str, unit: str = "") -> str:
    """Words of a change: "oil 400 instead of 325 cSt"."""
    tail = f" {unit}" if unit else ""
    short = new.removesuffix(tail) if tail and old.endswith(tail) else new
    return f"{kind} {short} instead of {old}"


def _oils(now: Standing, box: Box) -> Iterator[Alternative]:
    """The next thinner and the next thicker bottle, at the oil's temperature."""
    fitted = now.corner.shock.oil
    present = kinematic(fitted, now.temperature_c)
    bottles = [oil for oil in box.oils if oil.count != 0 and not same_oil(oil, fitted)]
    others = sorted(bottles, key=lambda oil: kinematic(oil, now.temperature_c))
    thinner = [oil for oil in others if kinematic(oil, now.temperature_c) < present][-1:]
    thicker = [oil for oil in others if kinematic(oil, now.temperature_c) > present][:1]
    for oil in (*thinner, *thicker):
        what = _instead("oil", oil_words(oil), oil_words(fitted), "cSt")
        yield from _with(now, "oil", what, oil=plain_part(Oil, oil))


def piston_words(piston: Piston) -> str:
    """Holes of a piston, "2x1.7+4x1.0"."""
    ways = {"both": "", "compression": " compression only", "rebound": " rebound only"}
    return "+".join(f"{h.count}x{h.diameter_mm:g}{ways[h.direction]}" for h in piston.holes)


def _thickness(new: Piston, old: Piston) -> str:
    return "" if new.thickness_mm == old.thickness_mm else f" ({new.thickness_mm:g} mm thick)"


def _pistons(now: Standing, box: Box) -> Iterator[Alternative]:
    """Each other piston of which there are two."""
    fitted, parts = now.corner.shock.piston, parts_of(now.corner, box, now.end)
    for piston, count in zip(parts.pistons, parts.piston_counts, strict=True):
        if count >= PISTONS_OF_AN_AXLE and not same_piston(piston, fitted):
            new = piston_words(piston) + _thickness(piston, fitted)
            yield from _with(
                now, "piston", _instead("piston", new, piston_words(fitted)), piston=plain_part(Piston, piston)
            )


def _drilled(now: Standing, box: Box) -> Iterator[Alternative]:
    """Blanks drilled one size larger than the present holes, as many of them."""
    blank, fitted = box.blanks, now.corner.shock.piston
    if blank is None or len(fitted.holes) != 1 or fitted.holes[0].direction != "both":
        return
    present = fitted.holes[0].diameter_mm
    larger = sorted(drill for drill in box.drills_mm if drill > present)
    if not larger or blank.count < PISTONS_OF_AN_AXLE:
        return
    piston = msgspec.structs.replace(
        fitted, thickness_mm=blank.thickness_mm, diameter_mm=blank.diameter_mm, label=None
    )
    try:
        shock = with_holes(msgspec.structs.replace(now.corner.shock, piston=piston), (larger[0],))
    except InputError:
        return
    ready_made = any(same_piston(other, shock.piston) for other in box.pistons)
    if ready_made or drilling_findings(shock, (larger[0],), blank):
        return
    what = f"blank drilled {piston_words(shock.piston)} instead of piston {piston_words(fitted)}"
    yield from _with(now, "drill", what, piston=shock.piston)


def _springs(now: Standing, box: Box) -> Iterator[Alternative]:
    """Each other spring of which there are two, the collar set for the same height."""
    fitted, parts = now.corner.spring, parts_of(now.corner, box, now.end)
    for spring, count in zip(parts.springs, parts.spring_counts, strict=True):
        if count >= PISTONS_OF_AN_AXLE and not same_spring(spring, fitted):
            length = ""
            both = (spring.free_length_mm, fitted.free_length_mm)
            if None not in both and both[0] != both[1]:
                length = f", {both[0]:g} mm long"
            names = [f" ({one.label})" if one.label else "" for one in (spring, fitted)]
            what = (
                f"spring {spring.rate_n_mm:.3g}{names[0]} instead of {fitted.rate_n_mm:.3g} N/mm{names[1]}{length}"
            )
            yield from _with(now, "spring", what, SAME_HEIGHT, spring=plain_part(Spring, spring))


def _preloads(now: Standing, box: Box) -> Iterator[Alternative]:
    """One step of the preload less and more; then what levels the arms, and what holds a loose spring."""
    if now.preload_mm is None:
        return
    near = [now.preload_mm]
    for made in _steps(now, now.preload_mm, box):
        near.append(made.corner.preload_mm or 0.0)
        yield made
    steps = (
        (_level_step(now, box), -math.inf, "for level arms"),
        (_held_step(now, box), -SAME_MM, "the spring just held"),
    )
    for wanted, least, why in steps:  # a row near by does as well only where it holds the spring, too
        known = [preload for preload in near if preload >= least]
        if math.isfinite(wanted) and all(abs(wanted - preload) > LEVEL_MM for preload in known):
            near.append(wanted)
            what = f"preload {wanted + 0.0:.1f} instead of {now.preload_mm:.1f} mm, {why}"
            yield from _with(now, "preload", what, preload_mm=wanted)


def _level_step(now: Standing, box: Box) -> float:
    """Preload nearest to level arms [mm]; not-a-number where that is what the corner has."""
    if now.corner.preload_mm is None:
        return math.nan
    stand, step = stand_of(now.corner, now.temperature_c), box.collar_step_mm
    spacers = tuple(1e-3 * spacer for spacer in box.spacers_mm)
    return 1e3 * float(real_steps(stand, level(stand), None if step is None else 1e-3 * step, spacers, 0)[0])


def _held_step(now: Standing, box: Box) -> float:
    """Least preload that holds a loose spring [mm]; not-a-number where it is held."""
    loose, step = -(now.preload_mm or 0.0), box.collar_step_mm
    if loose <= SAME_MM:
        return math.nan
    return 0.0 if step is None else math.ceil(loose / step - SAME_MM) * step - loose


def _steps(now: Standing, preload_mm: float, box: Box) -> Iterator[Alternative]:
    """The collar one step further up and down; else the next less and more of spacers; else a little of any."""
    if box.collar_step_mm is not None:
        step = box.collar_step_mm
        for way, word in ((-step, "up"), (step, "down")):
            what = f"collar {step:g} mm further {word}"
            yield from _with(now, "preload", what, preload_mm=preload_mm + way)
        return
    spacers = box.spacers_mm
    if not spacers:
        for way in (-1e3 * ANY_STEP_M, 1e3 * ANY_STEP_M):
            what = f"preload {preload_mm + way + 0.0:.1f} instead of {preload_mm + 0.0:.1f} mm"
            yield from _with(now, "preload", what, preload_mm=preload_mm + way)
        return
    sets = (sum(chosen) for n in range(len(spacers) + 1) for chosen in combinations(spacers, n))
    sums = sorted({round(total, 9) for total in sets})
    less = [total for total in sums if total < preload_mm - SAME_MM][-1:]
    more = [total for total in sums if total > preload_mm + SAME_MM][:1]
    for total in (*less, *more):
        what = f"spacers of {total:g} instead of a preload of {preload_mm:.1f} mm"
        yield from _with(now, "preload", what, preload_mm=total)


def _limiters(now: Standing, box: Box) -> Iterator[Alternative]:
    """Each other limiter."""
    fitted = now.corner.shock.limiter_mm
    for limiter in sorted(set(box.limiters_mm)):
        if not alike(limiter, fitted):
            what = f"limiter {limiter:g} instead of {fitted:g} mm"
            yield from _with(now, "limiter", what, SAME_HEIGHT, limiter_mm=limiter)


def _closings(now: Standing, _: Box) -> Iterator[Alternative]:
    """The cap closed with the shaft elsewhere."""
    fill, stroke = now.corner.shock.fill, now.corner.shock.stroke_mm
    for name, share in CLOSING_SHARES.items():
        closing = share * stroke
        if abs(closing - fill.closing_insertion_mm) > SAME_MM:
            where = f"{closing:g} instead of {fill.closing_insertion_mm:g} mm in"
            what = f"cap closed with the shaft {CLOSING_WORDS[name]}, {where}"
            new = msgspec.structs.replace(fill, closing_insertion_mm=closing)
            yield from _with(now, "closing", what, SAME_HEIGHT, fill=new)


def _let_out(now: Standing, _: Box) -> Iterator[Alternative]:
    """A little oil let out where a hot shock has too little gas left: that much more room for the gas."""
    shock, fill = now.corner.shock, now.corner.shock.fill
    hot = max(HOT_C, now.temperature_c)
    much = fill_figures(shock, fill_temperature(shock, None), hot)[0].let_out_ml
    if much:
        much = SYRINGE_ML * math.ceil(much / SYRINGE_ML)
        room = "room_ml" if isinstance(fill, Vented) else "gas_ml"
        what = f"{much:.2f} ml of oil let out, the cap closed as before"
        try:
            new = msgspec.structs.replace(fill, **{room: getattr(fill, room) + much})
        except InputError:
            return
        yield from _with(now, "fill", what, SAME_HEIGHT, fill=new)


def _mounts(now: Standing, _: Box) -> Iterator[Alternative]:
    """The upper, then the lower mount in each other hole; of a measured or fixed linkage no other is known."""
    link = now.corner.linkage
    if not isinstance(link, Arm):
        return
    for mount, across, up in (("upper", "out", "up"), ("lower", "along", "above")):
        names = [f"{mount}_mount_{way}_mm" for way in (across, up)]
        fitted = tuple(getattr(link, name) for name in names)
        columns = [getattr(link, f"other_{mount}_mounts_{way}_mm") for way in (across, up)]
        for hole in dict.fromkeys(zip(*columns, strict=True)):
            if hole != fitted:
                new = f"{hole[0]:g} {across}, {hole[1]:g} {up}"
                what = f"{mount} mount {new} instead of {fitted[0]:g} {across}, {fitted[1]:g} mm {up}"
                linkage = msgspec.structs.replace(link, **dict(zip(names, hole, strict=True)))
                yield from _with(now, "mount", what, SAME_HEIGHT, linkage=linkage)


def _warmer(now: Standing, _: Box) -> Iterator[Alternative]:
    """The oil warmer and colder."""
    for way, word in ((-WARMER_C, "colder"), (WARMER_C, "warmer")):
        what, celsius = f"oil {WARMER_C:g} C {word}", now.temperature_c + way
        if not COLDEST_C <= celsius <= HOTTEST_C:
            continue
        for made in _with(now, "temperature", what, AS_IT_IS, preload_mm=now.preload_mm):
            yield made._replace(temperature_c=celsius)


def _weights(now: Standing, _: Box) -> Iterator[Alternative]:
    """Weight put on the axle and taken off."""
    for way, word in ((-AXLE_G, "less"), (AXLE_G, "more")):
        what = f"{AXLE_G:g} g {word} on the axle"
        mass = now.corner.sprung_mass_g + 0.5 * way
        yield from _with(now, "mass", what, AS_IT_IS, sprung_mass_g=mass, preload_mm=now.preload_mm)


def short_of(box: Box, ends: tuple[str, ...]) -> list[Finding]:
    """Parts of the box that are left out because there are fewer than an end needs."""
    found = []
    for kind in (*(f"{end}_springs" for end in ends), "pistons"):
        word = kind.replace("_", " ").removesuffix("s")
        for i, part in enumerate(getattr(box, kind)):
            if part.count is not None and part.count < PISTONS_OF_AN_AXLE:
                name = f"{word} number {i + 1} in the box"
                found.append(finding("parts_short", f"/box/{kind}/{i}", float(part.count), 2.0, name=name))
    if box.blanks is not None and box.blanks.count < PISTONS_OF_AN_AXLE:
        found.append(finding("parts_short", "/box/blanks", float(box.blanks.count), 2.0, name="blanks"))
    return found
