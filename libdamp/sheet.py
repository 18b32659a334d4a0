"""The set-up sheet as text, in the order of the hands: verdict, fit, fill, set, look, expect, measure next."""

import textwrap
from collections.abc import Callable, Iterable
from typing import Any, NamedTuple

import msgspec

from .answers import CAUTIONS, Assumed
from .as_built import Check, check
from .bands import Band, band
from .builds import Build
from .calculations import calculation_of, read_request
from .car import Box, Car, Corner, Goals, Use
from .planning import CarBuild, Plan, plan
from .typical import SPREAD
from .wording import part_words

LABEL = 9
COLUMN = 35
OTHERS = 3
WIDTH = LABEL + 2 * COLUMN + 2


class Sheet(NamedTuple):
    """Everything that a sheet is written from."""

    car: Car
    use: Use
    box: Box
    assumed: tuple[Assumed, ...]
    plan: Plan
    check: Check  # as it stands
    proposal: Check  # as proposed
    bands: dict[str, Band]


def sheet_of(data: dict[str, Any]) -> Sheet:
    """Work out a sheet from the plain data of a car file.

    Raises
    ------
    InputError : with every fault of the file.
    """
    entry = calculation_of("plan")
    asked, assumed = read_request(entry, data)
    fields = {name: getattr(asked, name) for name in asked.__struct_fields__}
    car, use, size = fields["car"], fields["use"], fields["size"]
    box, goals = fields["box"] or Box(), fields["goals"] or Goals()
    chosen = plan(car=car, use=use, box=box, goals=goals, size=size)
    proposed = msgspec.structs.replace(
        car,
        front=built_corner(car.front, chosen.builds[1].front),
        rear=built_corner(car.rear, chosen.builds[1].rear),
    )
    more = {"use": use, "box": box, "goals": goals, "size": size}
    return Sheet(
        car=proposed,
        use=use,
        box=box,
        assumed=assumed,
        plan=chosen,
        check=check(car=car, **more),
        proposal=check(car=proposed, **more),
        bands={
            end: band(getattr(proposed, end), assumed, f"/car/{end}", use.oil_temperature_c)
            for end in ("front", "rear")
        },
    )


def built_corner(corner: Corner, build: Build) -> Corner:
    """A corner with a build of the plan fitted."""
    shock = msgspec.structs.replace(corner.shock, oil=build.oil, piston=build.piston, limiter_mm=build.limiter_mm)
    return msgspec.structs.replace(corner, spring=build.spring, shock=shock, preload_mm=build.preload_mm)


def number(value: float | None, digits: int = 3) -> str:
    """A number with some figures, never an exponent; a dash where there is none.

    >>> number(0.7971), number(123.06), number(1234.5), number(None)
    ('0.797', '123', '1234', '-')
    """
    if value is None:
        return "-"
    if abs(value) >= 10 ** (digits - 1):
        return f"{value:.0f}"
    text = f"{value:.{digits}g}"
    return f"{float(text):.{digits}f}".rstrip("0").rstrip(".") if "e" in text else text


def rows_of(label: str, front: str, rear: str) -> list[str]:
    """Lines of a row with two wrapped columns."""
    columns = [
        [piece for part in cell.split("\n") for piece in (textwrap.wrap(part, COLUMN) or [""])]
        for cell in (front, rear)
    ]
    height = max(len(c) for c in columns)
    lines = []
    for i in range(height):
        left, right = (c[i] if i < len(c) else "" for c in columns)
        lines.append(f"{label if i == 0 else '':<{LABEL}} {left:<{COLUMN}} {right}".rstrip())
    return lines


def paragraph(text: str, first: str = "", rest: str = "  ") -> list[str]:
    """Wrapped lines of a text."""
    return textwrap.wrap(text, WIDTH, initial_indent=first, subsequent_indent=rest)


def star(sheet: Sheet, end: str, *fields: str) -> str:
    """'*' where one of some fields of an end was assumed."""
    at = f"/car/{end}/"
    hit = any(a.path.startswith(at) and a.path.rsplit("/", 1)[-1] in fields for a in sheet.assumed)
    return "*" if hit else ""


def _pair(sheet: Sheet, cell: Any) -> tuple[str, str]:
    return cell(sheet, "front"), cell(sheet, "rear")


GOAL_WORDS = {
    "frequency_hz": "natural frequency",
    "damping_ratio": "damping ratio",
    "damping_ratio_compression": "damping ratio in",
    "damping_ratio_rebound": "damping ratio out",
    "height_error_mm": "height over level arms",
    "frequency_ratio": "front/rear frequency",
    "damping_ratio_ratio": "front/rear damping ratio",
}


def verdict_cell(sheet: Sheet, end: str) -> str:
    """What to do with an end in a sentence, and which goals it misses as it stands."""
    text: str = getattr(sheet.plan, f"verdict_{end}").removeprefix(f"{end}: ")
    if text == "leave it":
        return text.upper()
    standing = sheet.plan.builds[0]
    own: Build = getattr(standing, end)
    missed = [t for t in own.terms if t.term is not None and t.term > 1.0]
    missed = missed or [t for t in standing.terms if t.term is not None and t.term > 1.0]
    why = [
        f"{GOAL_WORDS[t.quantity]} {number(t.value)}, goal {number(t.target)} ±{number(t.tolerance)}"
        for t in missed
    ]
    return f"{text}\n(now {'; '.join(why)})" if why else text


def fit_cell(sheet: Sheet, end: str) -> str:
    """Parts to fit."""
    build: Build = getattr(sheet.plan.builds[1], end)
    new = set(build.changed)
    parts = [
        f"{part_words(build, p)}{' (new)' if p in new else ''}" for p in ("spring", "oil", "piston", "limiter")
    ]
    return "\n".join(parts)


def fill_cell(sheet: Sheet, end: str) -> str:
    """How much oil, where to close, what gas stays."""
    fill, shock = getattr(sheet.proposal, end).fill, getattr(sheet.car, end).shock
    mark = star(sheet, end, "bore_mm", "shaft_mm", "stroke_mm", "cavity_length_mm", "thickness_mm", "gas_ml")
    kind = {"bladder": "", "vented": ", vented cap", "emulsion": ", emulsion"}[shock.fill.__struct_config__.tag]
    closing = star(sheet, end, "closing_insertion_mm")
    cold, hot = number(fill.spare_cold_ml, 2), number(fill.spare_hot_ml, 2)
    lines = [
        f"{number(fill.oil_ml)} ml{mark} of oil{kind}; close the cap with the shaft pushed in "
        f"{number(shock.fill.closing_insertion_mm)} mm{closing}",
        f"gas left, shaft fully in: {cold} ml cold, {hot} ml hot{mark}",
    ]
    if fill.let_out_ml:
        lines.append(f"let out {number(fill.let_out_ml, 2)} ml of oil")
    return "\n".join(lines)


def set_cell(sheet: Sheet, end: str) -> str:
    """Where the collar goes, and what level arms need exactly."""
    build: Build = getattr(sheet.plan.builds[1], end)
    r = getattr(sheet.proposal, end).ride
    mark = star(sheet, end, "motion_ratio", "level_length_mm", "extended_length_mm", "unsprung_mass_g")
    lines = [f"preload {mm_text(build.preload_mm)} mm{mark} at full droop"]
    exact = f"exactly level: preload {mm_text(r.preload_for_level_mm)} mm{mark}"
    if build.collar_mm is not None:
        lines = [f"collar {mm_text(build.collar_mm)} mm{mark} below the upper eye ({lines[0]})"]
        exact = (
            f"exactly level: collar {mm_text(r.collar_for_level_mm)} mm{mark}, preload "
            f"{mm_text(r.preload_for_level_mm)} mm{mark}"
        )
    ratio = "-" if r.motion_ratio is None else f"{r.motion_ratio:.4f}"
    shock, spring, gas = (
        "-" if f is None else f"{f:.3f}" for f in (r.shock_force_n, r.spring_force_n, r.gas_force_n)
    )
    need = f"level arms need {shock} N{mark} at the shock: spring {spring}, gas {gas} (motion ratio {ratio})"
    return "\n".join([*lines, exact, need])


def mm_text(value: float | None) -> str:
    """A length to the hundredth of a millimetre, shorter where that is exact."""
    return "-" if value is None else f"{value:.2f}".rstrip("0").rstrip(".")


def look_cell(sheet: Sheet, end: str) -> str:
    """What the standing car should show."""
    r = getattr(sheet.proposal, end).ride
    marks = star(sheet, end, "level_clearance_mm"), star(sheet, end, "seal_drag_n", "motion_ratio", "stroke_mm")
    stop = {"shock": "shock", "coil_bind": "coils touch", "chassis": "chassis", None: "-"}[r.first_stop]
    return (
        f"chassis {number(r.clearance_mm)} mm{marks[0]} above ground, ±{number(r.drag_band_mm, 2)} mm{marks[1]} "
        f"from seal friction\ndroop {number(r.droop_travel_mm)} mm{marks[1]}, bump {number(r.bump_travel_mm)} mm"
        f"{marks[1]} ({stop} first)"
    )


def expect_cell(sheet: Sheet, end: str) -> str:
    """Frequency and damping with their bands."""
    r, d, b = getattr(sheet.proposal, end).ride, getattr(sheet.proposal, end).damping, sheet.bands[end]
    mark = "*" if b.effects else ""
    both = (r.damping_ratio_compression, r.damping_ratio_rebound)
    same = both[0] is not None and both[1] is not None and abs(both[0] - both[1]) < 5e-4
    shown = ["-" if ratio is None else f"{ratio:.2f}" for ratio in both]
    ratio = shown[0] if same else f"{shown[0]} in, {shown[1]} out"
    off = "" if both[0] is None else f" ±{b.damping * both[0]:.2f}"
    hz = "" if r.frequency_hz is None else f" ±{b.frequency * r.frequency_hz:.2f}"
    return (
        f"natural frequency {number(r.frequency_hz)}{hz} Hz{mark}\n"
        f"damping ratio {ratio}{off}{mark} (0 swings on, 1 does not)\n"
        f"empty space under the piston from {number(d.void_speed_m_s, 2)} m/s of shaft speed, "
        f"{number(d.void_force_n)} N{mark}"
    )


def together_lines(sheet: Sheet) -> list[str]:
    """Balance of the ends and the use's jump."""
    now, jump = sheet.proposal, sheet.proposal.jump
    text = (
        f"together: front/rear frequency {number(now.frequency_ratio)}, damping ratio "
        f"{number(now.damping_ratio_ratio)}; distance to the goals {number(sheet.plan.builds[1].distance, 2)} "
        f"(as it stands {number(sheet.plan.builds[0].distance, 2)})"
    )
    if jump.overshot_mm > 0.0:
        slope = "the landing is never met" if jump.on_slope_mm is None else f"{number(jump.on_slope_mm)} mm"
        text += f"; jump lands like a fall of {slope} onto the flat, {number(jump.overshot_mm)} mm if overshot"
    return paragraph(text)


def main_rows(sheet: Sheet) -> list[str]:
    """Rows of both ends."""
    lines = rows_of("", "FRONT", "REAR")
    for label, cell in (
        ("verdict", verdict_cell),
        ("1 fit", fit_cell),
        ("2 fill", fill_cell),
        ("3 set", set_cell),
        ("4 look", look_cell),
        ("5 expect", expect_cell),
    ):
        lines += rows_of(label, *_pair(sheet, cell))
    return lines


def finding_lines(sheet: Sheet) -> list[str]:
    """Findings on the proposal that matter for building it, gravest first."""
    marks = {"do_not_run": "DO NOT RUN", "warning": "warning", "note": "note"}
    lines, seen = [], set()
    for f in (*sheet.proposal.findings, *sheet.plan.findings):
        key = (f.code, f.text)
        if key not in seen:
            seen.add(key)
            place = ".".join(f.where.strip("/").split("/")[:2]).removeprefix("car.")
            lines += paragraph(f"{marks[f.severity]} ({place}): {f.text}", "  ", "    ")
    return ["to know:", *lines] if lines else []


def other_lines(sheet: Sheet) -> list[str]:
    """Next best cars, and what was rejected."""
    lines = [f"other builds (of {sheet.plan.front.considered} front and {sheet.plan.rear.considered} rear):"]
    told = {sheet.plan.builds[1].changed}
    for car in sheet.plan.builds[2:]:
        if car.changed and car.changed not in told and len(told) <= OTHERS:
            told.add(car.changed)
            text = f"distance {number(car.distance, 2)}: {', '.join(_change_words(car))}"
            lines += paragraph(text, "  ", "    ")
    for end in ("front", "rear"):
        for rejection in getattr(sheet.plan, end).rejected:
            lines += paragraph(f"{end}, rejected: {rejection.text}", "  ", "    ")
    return lines if len(lines) > 1 else []


def _change_words(car: CarBuild) -> list[str]:
    return [
        f"{end} {part_words(build, part)}"
        for end, build in (("front", car.front), ("rear", car.rear))
        for part in build.changed
    ]


def measure_lines(sheet: Sheet, most: int = 6) -> list[str]:
    """What was assumed, and which measurement narrows the damping band most."""
    if not sheet.assumed:
        return []
    lines = [f"* assumed: {len(sheet.assumed)} values, by size and surface (common practice). Measure next:"]
    ways: dict[str, Assumed] = {a.path: a for a in sheet.assumed}
    ranked = []
    for end in ("front", "rear"):
        b = sheet.bands[end]
        ranked += [(b.damping - b.without(e.path), end, e.path) for e in b.effects]
    seen: set[str] = set()
    for _, end, path in sorted(ranked, reverse=True):
        field = path.rsplit("/", 1)[-1]
        if field in seen or len(seen) >= most or sheet.bands[end].damping - sheet.bands[end].without(path) < 0.005:
            continue
        seen.add(field)
        a, b = ways[path], sheet.bands[end]
        value = number(a.value) if isinstance(a.value, (int, float)) else str(a.value)
        unit = "" if a.unit in ("", "1") else f" {a.unit}"
        lines += paragraph(
            f"{field} ({value}{unit} {a.spread}): {a.how_to_measure}; {SPREAD[field].minutes:g} minutes, "
            f"damping band of the {end} ±{100 * b.damping:.0f} % -> ±{100 * b.without(path):.0f} %",
            "  ",
            "    ",
        )
    others = dict.fromkeys(a.path.rsplit("/", 1)[-1] for a in sheet.assumed)
    rest = [field for field in others if field not in seen]
    if rest:
        lines += paragraph(f"then, with less effect on the damping: {', '.join(rest)}", "  ", "    ")
    return lines


def caution_lines(codes: tuple[str, ...]) -> list[str]:
    """Texts of caution codes."""
    lines = ["cautions:"]
    for code in codes:
        lines += paragraph(CAUTIONS[code], "  ", "    ")
    return lines


def title(sheet: Sheet) -> str:
    """What car, where, how warm."""
    where = sheet.use.label or sheet.use.surface or "own use"
    return f"{sheet.car.label or 'your car'} - {where}, oil at {number(sheet.use.oil_temperature_c)} C"


def sheet_text(sheet: Sheet, banner: str = "") -> str:
    """The whole sheet; a banner stands right below its title."""
    blocks = [
        [*paragraph(f"SET-UP SHEET  {title(sheet)}"), *([banner] if banner else [])],
        main_rows(sheet),
        together_lines(sheet),
        finding_lines(sheet),
        other_lines(sheet),
        measure_lines(sheet),
        caution_lines(sheet.proposal.cautions),
    ]
    return "\n\n".join("\n".join(block) for block in blocks if block) + "\n"


def short_text(sheet: Sheet) -> str:
    """Eight lines of result, front / rear."""
    names, builds = ("front", "rear"), (sheet.plan.builds[1].front, sheet.plan.builds[1].rear)
    ends, shocks = (sheet.proposal.front, sheet.proposal.rear), (sheet.car.front.shock, sheet.car.rear.shock)
    rides, jump = [e.ride for e in ends], sheet.proposal.jump

    def both(values: Iterable[float | None], write: Callable[[float | None], str] = number) -> str:
        return " / ".join(write(v) for v in values)

    fits = [", ".join(part_words(b, p) for p in ("spring", "oil", "piston", "limiter")) for b in builds]
    ratios = [r.damping_ratio_compression or 0.0 for r in rides]
    damping = [f"{z:.2f} ±{z * sheet.bands[n].damping:.2f}" for z, n in zip(ratios, names, strict=True)]
    lines = [
        f"front   {verdict_cell(sheet, 'front').splitlines()[0]}: {fits[0]}",
        f"rear    {verdict_cell(sheet, 'rear').splitlines()[0]}: {fits[1]}",
        f"fill    {both(e.fill.oil_ml for e in ends)} ml of oil, shaft pushed in "
        f"{both(s.fill.closing_insertion_mm for s in shocks)} mm when the cap is closed (front / rear)",
        f"set     collar {both((b.collar_mm for b in builds), mm_text)} mm below the upper eye "
        f"(exactly level: {both((r.collar_for_level_mm for r in rides), mm_text)})",
        f"look    chassis {both(r.clearance_mm for r in rides)} mm above ground, droop "
        f"{both(r.droop_travel_mm for r in rides)} mm, bump {both(r.bump_travel_mm for r in rides)} mm",
        f"expect  {both(r.frequency_hz for r in rides)} Hz; damping ratio {' / '.join(damping)} "
        "(0 swings on, 1 does not)",
        f"balance front/rear frequency {number(sheet.proposal.frequency_ratio)}, damping ratio "
        f"{number(sheet.proposal.damping_ratio_ratio)}",
        f"jump    lands like a fall of {number(jump.on_slope_mm)} mm onto the flat, "
        f"{number(jump.overshot_mm)} mm if overshot",
    ]
    return "\n".join(lines) + "\n"
