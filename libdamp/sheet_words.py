"""The words of a set-up sheet, in the order of the hands: one source for the text and for the page to print."""

from collections.abc import Callable, Sequence
from typing import NamedTuple

from .answers import CAUTIONS, Assumed
from .builds import Build
from .findings import Finding
from .pairing import CarBuild
from .sheet_columns import (
    expect_cell,
    fill_cell,
    fit_cell,
    look_cell,
    missed,
    number,
    set_cell,
    verdict_cell,
)
from .sheet_data import Sheet
from .sheet_landing import band_mm, landing_findings
from .typical import SPREAD
from .wording import part_words

OTHERS = 4
MOST_MEASURED = 6
MOST_MISSED = 4
BESIDE_LANDINGS = ("drop_test", "jumping")
"""Cautions that stand beside what landings do, not at the end."""
FIRST_DROP_MM, DROP_SHARE = 50.0, 0.8
"""From where drop tests begin; up to what share of the touch height they go."""
MARKS = {"do_not_run": "DO NOT RUN", "warning": "warning", "note": "note"}
"""Words for how grave a finding is, the gravest first."""
HANDS: tuple[tuple[str, Callable[[Sheet, str], str]], ...] = (
    ("verdict", verdict_cell),
    ("1 fit", fit_cell),
    ("2 fill", fill_cell),
    ("3 set", set_cell),
    ("4 look", look_cell),
    ("5 expect", expect_cell),
)
"""What stands in the two columns, in the order of the hands."""


class Told(NamedTuple):
    """A finding with the places where it was found."""

    mark: str
    where: tuple[str, ...]
    text: str

    @property
    def words(self) -> str:
        """The whole line."""
        return f"{self.mark} ({', '.join(self.where)}): {self.text}"


def title(sheet: Sheet) -> tuple[str, str]:
    """What car; where, how warm."""
    where = sheet.use.label or sheet.use.surface or "own use"
    return sheet.car.label or "your car", f"{where}, oil at {number(sheet.use.oil_temperature_c)} C"


def together_words(sheet: Sheet, brief: bool = False) -> str:
    """Balance of the ends, the distance and what it means; unless `brief` what is still missed."""
    now, built = sheet.proposal, sheet.plan.builds[1]
    near = "as near to the goals as the parts come, within the error"
    rule = "the fewest parts changed that meet every goal" if built.meets_goals else near
    distances, at_rest = (built.distance, sheet.plan.builds[0].distance), ""
    if (sheet.untold or None in distances) and None not in (sheet.proposal.distance, sheet.check.distance):
        distances, at_rest = (sheet.proposal.distance, sheet.check.distance), " at rest"
    standing = sheet.plan.builds[0]
    faulty = any(build.rejected_for for build in (standing.front, standing.rear))
    stands = "; as it stands it does not work" if faulty else f"; as it stands {number(distances[1], 2)}"
    stands = "" if sheet.untold and faulty else stands  # the verdict says that nobody can tell
    text = (
        f"front/rear frequency {number(now.frequency_ratio)}, damping ratio "
        f"{number(now.damping_ratio_ratio)}; this build is {rule}: distance from the goals{at_rest} "
        f"{number(distances[0], 2)} (0 is on all of them{stands})"
    )
    left = _left(sheet)
    if sheet.untold or brief or not left:
        return text
    more = f"; and {len(left) - MOST_MISSED} more" if len(left) > MOST_MISSED else ""
    return f"{text}; it still misses {'; '.join(left[:MOST_MISSED])}{more}"


def _left(sheet: Sheet) -> list[str]:
    """Goals that the proposal misses, the furthest first; an end that is left as it is tells its own."""
    built = sheet.plan.builds[1]
    changed = [end for end in ("front", "rear") if getattr(sheet.plan, f"verdict_{end}") != f"{end}: leave it"]
    terms = [(f"{end} ", term) for end in changed for term in getattr(built, end).terms]
    terms += [("", term) for term in built.terms]
    far = sorted(terms, key=lambda pair: -(pair[1].term or 0.0))
    return [f"{end}{what}" for end, term in far for what in missed([term])]


def told(sheet: Sheet) -> list[Told]:
    """Findings on the proposal that matter for building it, gravest first, places of the same one together."""
    places: dict[tuple[str, str], list[str]] = {}
    runs = [landing_findings(end, seen) for end, seen in sheet.landings.items()]
    for f in (*sheet.proposal.findings, *sheet.plan.findings):
        if f.code == "unusual_value" and f.where.endswith("/preload_mm"):
            continue  # worked out here, not given
        if f.code == "not_moved" and _none(sheet, f.where):
            continue
        if _open(sheet, (f.where, f)):
            continue
        place = ".".join(f.where.strip("/").split("/")[:2]).removeprefix("car.")
        known = places.setdefault((MARKS[f.severity], f.text), [])
        if place not in known:
            known.append(place)
    for place, f in (pair for run in runs for pair in run if not _open(sheet, pair)):
        known = places.setdefault((MARKS[f.severity], f.text), [])
        if not any(place.startswith(other) for other in known):
            known.append(place)
    order = list(MARKS.values())
    found = sorted(places.items(), key=lambda item: order.index(item[0][0]))
    return [Told(mark, tuple(where), text) for (mark, text), where in found]


def _open(sheet: Sheet, found: tuple[str, Finding]) -> bool:
    """Whether a spring is told loose at an end of which the verdict says that assumed lengths cannot tell."""
    place, one = found
    return one.code == "loose_spring" and any(place.removeprefix("/car/").startswith(end) for end in sheet.untold)


def _none(sheet: Sheet, where: str) -> bool:
    """Whether the use says itself that it has no jump, or no bumps."""
    return sheet.use.jump == "none" if where.endswith("jump") else sheet.use.bump_height_mm == 0.0


def others_title(sheet: Sheet) -> str:
    """How many builds were looked at."""
    return f"other builds (of {sheet.plan.front.considered} front and {sheet.plan.rear.considered} rear)"


BUY_TITLE = "worth buying, as the box does not meet every goal"


def other_words(sheet: Sheet) -> list[str]:
    """Next best cars, a line each, the nearest first; the last of the plan, which ask for least, among them."""
    others: dict[tuple[object, ...], CarBuild] = {_asked(sheet.plan.builds[1]): sheet.plan.builds[1]}
    for car in sheet.plan.builds[2:]:
        if car.changed:
            others.setdefault(_asked(car), car)
    lines, every = [], list(others.values())[1:]
    for car in sorted([*every[: OTHERS - 2], *every[OTHERS - 2 :][-2:]], key=lambda one: one.distance or 0.0):
        met = ", meets every goal" if car.meets_goals else ""
        lines.append(f"distance {number(car.distance, 2)}{met}: {', '.join(_change_words(car))}")
    return lines


def _asked(car: CarBuild) -> tuple[object, ...]:
    """What a car asks for: parts changed, oils mixed, blanks drilled."""
    made = ((build.mix is None, build.drill is None) for build in (car.front, car.rear))
    return (car.changed, *made)


def trade_words(sheet: Sheet) -> list[str]:
    """What landing and bumps cost each other at most, a line each; in one, where that is next to nothing."""
    lines, alike = [], []
    for end in ("front", "rear"):
        rows = getattr(sheet.plan, end)
        traded = rows.trade_offs
        if not traded and _moved(rows.builds[1]):
            alike.append(end)
        for trade in (traded[0], traded[-1]) if traded else ():
            parts = ", ".join(part_words(trade.build, part) for part in trade.build.changed) or "the parts fitted"
            lines.append(f"{end}, landing against bumps: {parts}: {trade.text}")
    if alike:
        ends = " and ".join(alike)
        lines.append(f"{ends}, landing against bumps: what is best for one costs the other less than the error")
    return lines


def _moved(build: Build) -> bool:
    """Whether a build was landed and driven over bumps."""
    return build.least_clearance_mm is not None and build.tyre_load_variation is not None


def buy_words(sheet: Sheet) -> list[str]:
    """The part whose purchase would help most, and what to fit with it; none where all goals can be met without."""
    missing = sheet.plan.best_missing_part
    if missing is None or any(car.meets_goals for car in sheet.plan.builds[1:]):
        return []
    ends = ("front", "rear") if missing.end == "both" else (missing.end,)
    own = [f"{end} {missing.part}" for end in ends]
    others = [] if missing.car is None else _change_words(missing.car, own)
    return [missing.text + (f"; then fit as well {', '.join(others)}" if others else "")]


def rejected_words(sheet: Sheet) -> list[str]:
    """What was rejected, a line for each end and reason."""
    ends = ("front", "rear")
    return [f"{end}, rejected: {one.text}" for end in ends for one in getattr(sheet.plan, end).rejected]


def _change_words(car: CarBuild, but: Sequence[str] = ()) -> list[str]:
    """What a car changes, end by end, but for some."""
    return [
        f"{end} {part_words(build, part)}"
        for end, build in (("front", car.front), ("rear", car.rear))
        for part in build.changed
        if f"{end} {part}" not in but
    ]


def measure_title(sheet: Sheet) -> str:
    """How much was assumed; nothing where everything was measured."""
    if not sheet.assumed:
        return ""
    return f"* assumed: {len(sheet.assumed)} values, by size and surface (common practice). Measure next:"


def measure_words(sheet: Sheet) -> list[str]:
    """Which measurement narrows the answer most, a line each."""
    if not sheet.assumed:
        return []
    lines, ranked = [*_collar_words(sheet), *_tyre_words(sheet)], []
    ways: dict[str, Assumed] = {a.path: a for a in sheet.assumed}
    for end in ("front", "rear"):
        b = sheet.bands[end]
        ranked += [(b.damping - b.without(e.path), end, e.path) for e in b.effects]
    seen: set[str] = set()
    for gain, end, path in sorted(ranked, reverse=True):
        field = _named(path)
        if field in seen or len(seen) >= MOST_MEASURED or gain < 0.005:
            continue
        seen.add(field)
        a, b = ways[path], sheet.bands[end]
        value = number(a.value) if isinstance(a.value, (int, float)) else str(a.value)
        unit = "" if a.unit in ("", "1") else f" {a.unit}"
        lines.append(
            f"{field} ({value}{unit} {a.spread}): {a.how_to_measure}; {_minutes(path)} minutes, "
            f"damping band of the {end} ±{100 * b.damping:.0f} % -> ±{100 * b.without(path):.0f} %"
        )
    rest = dict.fromkeys(a.path.rsplit("/", 1)[-1] for a in sheet.assumed if _named(a.path) not in seen)
    then = "then, with less effect on the damping" if lines else "none of these moves the damping much"
    return [*lines, f"{then}: {', '.join(rest)}"] if rest else lines


def _named(path: str) -> str:
    """A value by its name in the car file, below its end: "linkage.level_length_mm"."""
    return path.removeprefix("/car/front/").removeprefix("/car/rear/").strip("/").replace("/", ".")


def _minutes(path: str) -> str:
    """How long measuring a value takes."""
    return f"{SPREAD[path.rsplit('/', 1)[-1]].minutes:g}"


def _collar_words(sheet: Sheet) -> list[str]:
    """Which measurement tells most of where the collar goes."""
    end, worst = max(sheet.bands.items(), key=lambda pair: pair[1].preload)
    if worst.preload <= 1.0:
        return []
    path = max(worst.effects, key=lambda e: e.preload).path
    how = {a.path: a.how_to_measure for a in sheet.assumed}
    both = path.endswith("/level_length_mm") and f"/car/{end}/shock/extended_length_mm" in how
    with_it = " and shock.extended_length_mm, as their difference counts" if both else ""
    return [
        f"for the collar of the {end}: {_named(path)}{with_it}: {how[path]}; {_minutes(path)} minutes, it alone "
        f"moves the preload by ±{max(e.preload for e in worst.effects):.1f} mm"
    ]


def _tyre_words(sheet: Sheet) -> list[str]:
    """How to measure a tyre that was assumed, and how far it moves the touch height."""
    for end, seen in sheet.landings.items():
        low, high = band_mm(seen.touch, seen.tyre_assumed)
        if seen.tyre_assumed and low is not None:
            field = f"/car/{end}/tyre/rate_n_mm"
            how = next(a.how_to_measure for a in sheet.assumed if a.path == field)
            band = f"{low:.0f} mm and up" if high is None else f"{low:.0f}..{high:.0f} mm"
            text = f"for landings: tyre.rate_n_mm: {how}; {SPREAD['rate_n_mm'].minutes:g} minutes, until then the "
            return [f"{text}{end} touches anywhere in {band}"]
    return []


def caution_words(sheet: Sheet) -> list[str]:
    """Cautions that stand at the end, a line each."""
    codes = dict.fromkeys((*sheet.proposal.cautions, *sheet.plan.cautions))
    return [CAUTIONS[code] for code in codes if code not in BESIDE_LANDINGS]


def landing_cautions(sheet: Sheet) -> list[str]:
    """Cautions that stand beside what landings do, a line each; no drop test where its first step may touch."""
    lines = [CAUTIONS[code] for code in BESIDE_LANDINGS]
    heights = {end: band_mm(seen.touch, seen.tyre_assumed)[0] for end, seen in sheet.landings.items()}
    low = [end for end, height in heights.items() if height is not None and DROP_SHARE * height < FIRST_DROP_MM]
    if low:
        ends = " and the ".join(low)
        first = f"the first, from {FIRST_DROP_MM:g} mm, may be too high already"
        lines[0] = f"No drop tests with the {ends} as built: {first}."
    return lines
