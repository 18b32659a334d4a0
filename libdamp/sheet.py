"""The set-up sheet as text, in the order of the hands: verdict, fit, fill, set, look, expect, measure next."""

import textwrap
from collections.abc import Callable, Iterable
from typing import Any

from .answers import CAUTIONS, Assumed
from .pairing import CarBuild
from .sheet_columns import (
    expect_cell,
    fill_cell,
    fit_cell,
    look_cell,
    mm_text,
    number,
    set_cell,
    verdict_cell,
)
from .sheet_data import Sheet
from .sheet_landing import band_mm, landing_findings
from .typical import SPREAD
from .wording import part_words

LABEL = 9
COLUMN = 35
OTHERS = 3
BESIDE_LANDINGS = ("drop_test", "jumping")
"""Cautions that stand beside what landings do, not at the end."""
WIDTH = LABEL + 2 * COLUMN + 2


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


def _pair(sheet: Sheet, cell: Any) -> tuple[str, str]:
    return cell(sheet, "front"), cell(sheet, "rear")


def together_lines(sheet: Sheet) -> list[str]:
    """Balance of the ends, the distance and what it means."""
    now, built = sheet.proposal, sheet.plan.builds[1]
    near = "as near to the goals as the parts come, within the error"
    rule = "the fewest parts changed that meet every goal" if built.meets_goals else near
    text = (
        f"together: front/rear frequency {number(now.frequency_ratio)}, damping ratio "
        f"{number(now.damping_ratio_ratio)}; this build is {rule}: distance {number(built.distance, 2)} "
        f"(as it stands {number(sheet.plan.builds[0].distance, 2)})"
    )
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
    return lines + [line for code in BESIDE_LANDINGS for line in paragraph(CAUTIONS[code], " " * 10, " " * 10)]


def finding_lines(sheet: Sheet) -> list[str]:
    """Findings on the proposal that matter for building it, gravest first, places of the same one together."""
    marks = {"do_not_run": "DO NOT RUN", "warning": "warning", "note": "note"}
    places: dict[tuple[str, str], list[str]] = {}
    runs = [landing_findings(end, seen) for end, seen in sheet.landings.items()]
    for f in (*sheet.proposal.findings, *sheet.plan.findings):
        if f.code == "unusual_value" and f.where.endswith("/preload_mm"):
            continue  # worked out here, not given
        place = ".".join(f.where.strip("/").split("/")[:2]).removeprefix("car.")
        known = places.setdefault((marks[f.severity], f.text), [])
        if place not in known:
            known.append(place)
    for place, f in (pair for run in runs for pair in run):
        known = places.setdefault((marks[f.severity], f.text), [])
        if not any(place.startswith(other) for other in known):
            known.append(place)
    lines = []
    for (mark, text), where in sorted(places.items(), key=lambda item: list(marks.values()).index(item[0][0])):
        lines += paragraph(f"{mark} ({', '.join(where)}): {text}", "  ", "    ")
    return ["to know:", *lines] if lines else []


def other_lines(sheet: Sheet) -> list[str]:
    """Next best cars, and what was rejected."""
    lines = [f"other builds (of {sheet.plan.front.considered} front and {sheet.plan.rear.considered} rear):"]
    told = {sheet.plan.builds[1].changed}
    for car in sheet.plan.builds[2:]:
        if car.changed and car.changed not in told and len(told) <= OTHERS:
            told.add(car.changed)
            met = ", meets every goal" if car.meets_goals else ""
            text = f"distance {number(car.distance, 2)}{met}: {', '.join(_change_words(car))}"
            lines += paragraph(text, "  ", "    ")
    lines += trade_lines(sheet)
    for end in ("front", "rear"):
        for rejection in getattr(sheet.plan, end).rejected:
            lines += paragraph(f"{end}, rejected: {rejection.text}", "  ", "    ")
    return lines if len(lines) > 1 else []


def trade_lines(sheet: Sheet) -> list[str]:
    """What landing and bumps cost each other at most, and what to buy."""
    lines = []
    for end in ("front", "rear"):
        traded = getattr(sheet.plan, end).trade_offs
        for trade in (traded[0], traded[-1]) if traded else ():
            parts = ", ".join(part_words(trade.build, part) for part in trade.build.changed) or "the parts fitted"
            lines += paragraph(f"{end}, landing against bumps: {parts}: {trade.text}", "  ", "    ")
    missing = sheet.plan.best_missing_part
    return lines + (paragraph(f"to buy, {missing.text}", "  ", "    ") if missing is not None else [])


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
    worst = max(sheet.bands.values(), key=lambda b: b.preload)
    if worst.preload > 1.0:
        path = max(worst.effects, key=lambda e: e.preload).path
        field = path.rsplit("/", 1)[-1]
        how = next(a.how_to_measure for a in sheet.assumed if a.path == path)
        lines += paragraph(
            f"for the collar: {field}: {how}; {SPREAD[field].minutes:g} minutes, it alone moves the preload by "
            f"±{max(e.preload for e in worst.effects):.1f} mm",
            "  ",
            "    ",
        )
    lines += tyre_lines(sheet)
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


def tyre_lines(sheet: Sheet) -> list[str]:
    """How to measure a tyre that was assumed, and how far it moves the touch height."""
    lines: list[str] = []
    for end, seen in sheet.landings.items():
        low, high = band_mm(seen.touch, seen.tyre_assumed)
        if seen.tyre_assumed and low is not None and not lines:
            field = f"/car/{end}/tyre/rate_n_mm"
            how = next(a.how_to_measure for a in sheet.assumed if a.path == field)
            band = f"{low:.0f} mm and up" if high is None else f"{low:.0f}..{high:.0f} mm"
            text = f"for landings: tyre.rate_n_mm: {how}; {SPREAD['rate_n_mm'].minutes:g} minutes, until then the "
            lines = paragraph(f"{text}{end} touches anywhere in {band}", "  ", "    ")
    return lines


def caution_lines(codes: tuple[str, ...]) -> list[str]:
    """Texts of caution codes."""
    lines = ["cautions:"]
    for code in codes:
        if code in BESIDE_LANDINGS:
            continue
        lines += paragraph(CAUTIONS[code], "  ", "    ")
    return lines


def title(sheet: Sheet) -> str:
    """What car; where, how warm."""
    where = sheet.use.label or sheet.use.surface or "own use"
    return f"{sheet.car.label or 'your car'}\n{where}, oil at {number(sheet.use.oil_temperature_c)} C"


def sheet_text(sheet: Sheet, banner: str = "") -> str:
    """The whole sheet; a banner stands right below its title."""
    blocks = [
        [line for part in f"SET-UP SHEET  {title(sheet)}".split("\n") for line in paragraph(part)]
        + ([banner] if banner else []),
        main_rows(sheet),
        together_lines(sheet),
        finding_lines(sheet),
        other_lines(sheet),
        measure_lines(sheet),
        caution_lines(tuple(dict.fromkeys((*sheet.proposal.cautions, *sheet.plan.cautions)))),
    ]
    return "\n\n".join("\n".join(block) for block in blocks if block) + "\n"


def short_text(sheet: Sheet) -> str:
    """Eight lines of result, front / rear."""
    names, builds = ("front", "rear"), (sheet.plan.builds[1].front, sheet.plan.builds[1].rear)
    ends, shocks = (sheet.proposal.front, sheet.proposal.rear), (sheet.car.front.shock, sheet.car.rear.shock)
    rides, jump = [e.ride for e in ends], sheet.proposal.jump
    seen = [sheet.landings[name] for name in names]
    spare = [None if s.on_slope is None else s.on_slope.least_clearance_mm for s in seen]

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
        f"jump    lands like a fall of {number(jump.on_slope_mm)} mm onto the flat with "
        f"{both(spare)} mm to spare ({number(jump.overshot_mm)} mm if overshot); the chassis touches from "
        f"{both(s.touch.height_mm for s in seen)} mm",
    ]
    return "\n".join(lines) + "\n"
