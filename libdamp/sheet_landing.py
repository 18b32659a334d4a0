"""What a sheet says of an end in motion: touch height, the use's jump, its bumps; numbers and words."""

from typing import NamedTuple

from .answers import Assumed
from .as_built import JumpFigures
from .assumed_tyre import with_assumed
from .car import Corner, Use
from .drops import Drop, TouchHeight, drop, touch_height
from .errors import TooCostly
from .findings import Finding
from .ground import Bumps, bumps
from .touching import HIGHEST_M, TYRE_NAMES

SLOWEST_BUMPS_S = 1.0
"""Time from crest to crest beyond which a car merely follows its bumps."""
HIGHEST_MM = 1e3 * HIGHEST_M
"""Falls above this are not worked out."""
SAME_MM = 0.5
"""Falls that differ by no more than this are one."""
SMALL_MM = 0.05
"""Lengths below this are not worth a word."""


class Landings(NamedTuple):
    """An end in motion; None where the use has no such thing, or where it is certain."""

    tyre_assumed: bool
    mark: str  # '*' where anything of the end was assumed
    use_marks: tuple[str, str]  # the same of the jump, of the bumps
    touch: TouchHeight
    on_slope_mm: float | None  # None: the slope is never met
    overshot_mm: float
    on_slope: Drop | None  # None too where the fall is too high to be worked out
    overshot: Drop | None  # None too where it lies above the touch height's band: it slaps
    bump_height_mm: float
    bumps: Bumps | None


def landings_of(corner: Corner, use: Use, jump: JumpFigures, assumed: tuple[Assumed, ...], at: str) -> Landings:
    """Touch height, landings and bumps of an end whose assumed values stand below the pointer `at`."""
    own = tuple(a for a in assumed if a.path.startswith(f"{at}/"))
    warm = use.oil_temperature_c
    touch: TouchHeight = with_assumed(touch_height(corner=corner, temperature_c=warm), own)
    is_assumed = any(f.code == "tyre_assumed" for f in touch.findings)

    def landing(height_mm: float) -> Drop | None:
        if not 0.0 < height_mm <= HIGHEST_MM:
            return None
        made: Drop = with_assumed(drop(corner=corner, height_mm=height_mm, temperature_c=warm), own)
        return made

    slope, overshot = jump.on_slope_mm, jump.overshot_mm
    highest = band_mm(touch, is_assumed)[1]
    certain = highest is not None and overshot > highest
    same = slope is not None and abs(overshot - slope) <= SAME_MM
    guessed = {a.path for a in assumed}
    return Landings(
        tyre_assumed=is_assumed,
        mark="*" if own else "",
        use_marks=("*" if "/use/jump" in guessed else "", "*" if "/use/bump_height_mm" in guessed else ""),
        touch=touch,
        on_slope_mm=slope,
        overshot_mm=overshot,
        on_slope=None if slope is None else landing(slope),
        overshot=None if same or certain else landing(overshot),
        bump_height_mm=use.bump_height_mm,
        bumps=_bumps(corner, use),
    )


def _bumps(corner: Corner, use: Use) -> Bumps | None:
    """The use's bumps; None where there are none, or where they come too slowly to matter."""
    if use.bump_height_mm == 0.0 or use.bump_spacing_mm * 1e-3 > SLOWEST_BUMPS_S * use.speed_m_s:
        return None
    try:
        return bumps(
            corner=corner,
            bump_height_mm=use.bump_height_mm,
            bump_spacing_mm=use.bump_spacing_mm,
            speed_m_s=use.speed_m_s,
            temperature_c=use.oil_temperature_c,
        )
    except TooCostly:
        return None


def band_mm(touch: TouchHeight, tyre_assumed: bool) -> tuple[float | None, float | None]:
    """Lowest and highest touch height, the tyre's bounds too where it is assumed; the highest None without end."""
    if not tyre_assumed or touch.tyre_low_mm is None or touch.low_mm is None:
        return touch.low_mm, touch.high_mm
    high = None if touch.high_mm is None or touch.tyre_high_mm is None else max(touch.high_mm, touch.tyre_high_mm)
    return min(touch.low_mm, touch.tyre_low_mm), high


def landing_words(seen: Landings) -> list[str]:
    """Lines on an end in motion; where the tyre is assumed that comes first."""
    lines = [touch_words(seen)]
    if seen.touch.height_mm is None and not seen.touch.bounds:
        return lines
    slope, overshot, (jump_mark, bump_mark) = seen.on_slope_mm, seen.overshot_mm, seen.use_marks
    if slope is None:
        lines.append("jump: its slope is never met")
    elif slope > 0.0:
        lines.append(f"jump{jump_mark}, like a fall of {slope:.0f} mm: {fall_words(seen.on_slope, slope, seen)}")
    if overshot > 0.0 and (slope is None or abs(overshot - slope) > SAME_MM):
        lines.append(f"overshot, {overshot:.0f} mm: {fall_words(seen.overshot, overshot, seen)}")
    if seen.bumps is not None and seen.bumps.contact_share is not None:
        lines.append(f"bumps{bump_mark} of {seen.bump_height_mm:g} mm: {bump_words(seen.bumps)}")
    return lines


def touch_words(seen: Landings) -> str:
    """From which fall the chassis touches, with its band."""
    touch = seen.touch
    first, mark = ("* tyre assumed: ", "") if seen.tyre_assumed else ("", seen.mark)
    if touch.height_mm is None and not touch.bounds:
        return "landing: cannot be worked out, see below"
    if touch.height_mm is None:
        return f"{first}touches its chassis from no flat fall up to {HIGHEST_M:g} m"
    if touch.height_mm == 0.0:
        return f"{first}touches its chassis from any fall"
    low, high = band_mm(touch, seen.tyre_assumed)
    band = f"{low:.0f} mm and up" if high is None else f"{low:.0f}..{high:.0f}"
    return f"{first}touches its chassis from about {touch.height_mm:.0f} mm{mark} of flat fall ({band})"


def fall_words(landing: Drop | None, height_mm: float, seen: Landings) -> str:
    """What a landing does, with its band: "lands with 9.9 mm to spare (9.5..11.2)"."""
    highest = band_mm(seen.touch, seen.tyre_assumed)[1]
    if landing is None and highest is not None and height_mm > highest:
        return "slaps"
    if landing is None:
        return f"falls above {HIGHEST_M:g} m are not worked out"
    if landing.least_clearance_mm is None:
        return "cannot be worked out, see below"
    spare = landing.least_clearance_mm
    bounds = [b.least_clearance_mm for b in landing.bounds if seen.tyre_assumed or b.name not in TYRE_NAMES]
    low, high = min([spare, *bounds]), max([spare, *bounds])
    if high < 0.0:
        words = "slaps"
    elif low < 0.0:
        words = f"may slap, {spare:z.1f} mm{seen.mark} to spare ({low:z.1f}..{high:z.1f})"
    else:
        words = f"lands with {spare:z.1f} mm{seen.mark} to spare ({low:z.1f}..{high:z.1f})"
    bounce = landing.bounce_height_mm or 0.0
    return f"{words}, {f'bounces {bounce:.1f} mm' if bounce > SMALL_MM else 'does not bounce'}"


def bump_words(seen: Bumps) -> str:
    """What the use's bumps do: contact, height, heat."""
    shift = seen.mean_shift_mm or 0.0
    way = "lower" if shift > 0.0 else "higher"
    runs = "as high as at rest" if abs(shift) < SMALL_MM else f"{abs(shift):.1f} mm {way}"
    return (
        f"tyre on the ground {100.0 * (seen.contact_share or 0.0):.0f} % of the time, "
        f"runs {runs}, oil +{seen.oil_rise_c:.0f} C ({seen.oil_rise_low_c:.0f}..{seen.oil_rise_high_c:.0f})"
    )


def landing_findings(end: str, seen: Landings) -> list[tuple[str, Finding]]:
    """What the runs of an end warn of, with the place; what the lines above say themselves is left out."""
    told = ("slap", "tyre_assumed", "unusual_value")
    runs = ((end, seen.touch), (f"{end}, jump", seen.on_slope), (f"{end}, jump", seen.overshot))
    answers = (*runs, (f"{end}, bumps", seen.bumps))
    found = [(place, f) for place, answer in answers if answer is not None for f in answer.findings]
    return [(place, f) for place, f in found if f.severity != "note" and f.code not in told]
