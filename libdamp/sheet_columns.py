"""The two columns of a set-up sheet: what stands in each row for one end."""

from collections.abc import Iterable

from .goals import GOAL_WORDS, GoalTerm
from .sheet_data import Sheet
from .sheet_landing import landing_words
from .to_buy import other_rates
from .wording import part_words


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


def star(sheet: Sheet, end: str, *fields: str) -> str:
    """'*' where one of some fields of an end was assumed."""
    at = f"/car/{end}/"
    hit = any(a.path.startswith(at) and a.path.rsplit("/", 1)[-1] in fields for a in sheet.assumed)
    return "*" if hit else ""


STOP_WORDS = {
    "shock": "shock",
    "coil_bind": "coils touch",
    "chassis": "chassis",
    "lock": "goes solid",
    None: "-",
}
SIDE_WORDS = {"either": "", "below": "at least ", "above": "at most "}


NOW = "(now "
"""How a line begins that tells how an end is now."""


def verdict_cell(sheet: Sheet, end: str) -> str:
    """What to do with an end in a sentence, and which goals it misses."""
    text: str = getattr(sheet.plan, f"verdict_{end}").removeprefix(f"{end}: ")
    if end in sheet.untold:
        text = (
            "LEAVE THE PARTS, set the collar for level arms, then look: is the spring captive at full droop? "
            "The assumed lengths cannot tell."
        )
    elif text != "leave it":
        standing, built = sheet.plan.builds[:2]
        why = missed(getattr(standing, end).terms) or missed(standing.terms)
        lines = [text, *([f"{NOW}{'; '.join(why)})"] if why else ()), *_still(getattr(built, end).terms)]
        return "\n".join(lines)
    else:
        text = text.upper()
    terms = getattr(sheet.proposal, end).terms
    why = missed(terms)
    return f"{text}\n(but {'; '.join(why)}: {_why_left(sheet, end, terms)})" if why else text


def _still(terms: Iterable[GoalTerm]) -> tuple[str, ...]:
    """What a change of parts still misses, most of all what."""
    far = sorted(terms, key=lambda term: -(term.term or 0.0))
    still = missed(far)
    if not still:
        return ()
    many = f"{len(still)} goals, most of all " if len(still) > 1 else ""
    return (f"(so built it still misses {many}{still[0]})",)


BY_A_HAIR = 1.1
"""A goal whose term is no more than this is missed by a hair."""


def _why_left(sheet: Sheet, end: str, terms: Iterable[GoalTerm]) -> str:
    """Why an end is left as it is though it misses goals."""
    far = {t.quantity: t.term for t in terms if t.term is not None and t.term > 1.0}
    if max(far.values()) <= BY_A_HAIR:
        return "missed by a hair, no reason to change parts"
    rows = [{t.quantity: t.term for t in build.terms} for build in getattr(sheet.plan, end).builds[1:]]
    met = all(any((row.get(name) or 0.0) <= 1.0 for row in rows) for name in far)
    return "what cures it costs more elsewhere" if met else "the parts in hand do not cure it"


def missed(terms: Iterable[GoalTerm]) -> list[str]:
    """Goals that are missed, with what there is: "natural frequency 5.12, goal 3.5 ±0.4"."""
    return [
        f"{GOAL_WORDS[t.quantity]} {number(t.value)}, goal {SIDE_WORDS[t.side]}{number(t.target)} "
        f"±{number(t.tolerance)}"
        for t in terms
        if t.term is not None and t.term > 1.0
    ]


def fit_cell(sheet: Sheet, end: str) -> str:
    """Parts to fit."""
    build = sheet.build(end)
    new = set(build.changed)
    lines = [
        f"{part_words(build, p)}{' (new)' if p in new else ''}" for p in ("spring", "oil", "piston", "limiter")
    ]
    if not build.spring.label:
        lines.insert(1, f"({other_rates(build.spring.rate_n_mm)})")
    return "\n".join(lines)


def fill_cell(sheet: Sheet, end: str) -> str:
    """How much oil, where to close, what gas stays."""
    fill, shock = getattr(sheet.proposal, end).fill, getattr(sheet.car, end).shock
    mark = star(sheet, end, "bore_mm", "shaft_mm", "stroke_mm", "cavity_length_mm", "thickness_mm", "gas_ml")
    kind = {"bladder": "", "vented": ", vented cap", "emulsion": ", emulsion"}[shock.fill.__struct_config__.tag]
    closing = star(sheet, end, "closing_insertion_mm")
    build = sheet.build(end)
    closing += " (new)" if "closing" in build.changed else ""
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
    r = getattr(sheet.proposal, end).ride
    mark = star(sheet, end, "motion_ratio", "level_length_mm", "extended_length_mm", "unsprung_mass_g")
    off = sheet.bands[end].preload
    about = f" ±{off:.1f}" if off > 0.05 else ""
    lines = [f"preload {mm_text(r.preload_mm)}{about} mm{mark} at full droop"]
    exact = f"exactly level: preload {mm_text(r.preload_for_level_mm)} mm{mark}"
    if r.collar_mm is not None:
        lines = [f"collar {mm_text(r.collar_mm)} mm{mark} below the upper eye ({lines[0]})"]
        exact = (
            f"exactly level: collar {mm_text(r.collar_for_level_mm)}{about} mm{mark}, preload "
            f"{mm_text(r.preload_for_level_mm)} mm{mark}"
        )
    ratio = "-" if r.motion_ratio is None else f"{r.motion_ratio:.4f}"
    shock, spring, gas = (
        "-" if f is None else f"{f:.3f}" for f in (r.shock_force_n, r.spring_force_n, r.gas_force_n)
    )
    need = f"level arms need {shock} N{mark} at the shock: spring {spring}, gas {gas} (motion ratio {ratio})"
    if sheet.box.spacers_mm and sheet.box.collar_step_mm is None and end not in sheet.untold:
        lines.append(f"spacers: {mm_text(r.preload_mm)} mm in all (0 mm: the spring just held at full droop)")
    return "\n".join([*lines, exact, need])


def mm_text(value: float | None) -> str:
    """A length to the hundredth of a millimetre, shorter where that is exact."""
    return "-" if value is None else f"{value:.2f}".rstrip("0").rstrip(".")


def look_cell(sheet: Sheet, end: str) -> str:
    """What the standing car should show."""
    r = getattr(sheet.proposal, end).ride
    marks = star(sheet, end, "level_clearance_mm"), star(sheet, end, "seal_drag_n", "motion_ratio", "stroke_mm")
    stop = STOP_WORDS[r.first_stop]
    return (
        f"chassis {number(r.clearance_mm)} mm{marks[0]} above ground, ±{number(r.drag_band_mm, 2)} mm{marks[1]} "
        f"from seal friction\ndroop {number(r.droop_travel_mm)} mm{marks[1]}, bump {number(r.bump_travel_mm)} mm"
        f"{marks[1]} ({stop} first)"
    )


def expect_cell(sheet: Sheet, end: str) -> str:
    """Frequency and damping with their bands, then what landings and bumps do."""
    r, d, b = getattr(sheet.proposal, end).ride, getattr(sheet.proposal, end).damping, sheet.bands[end]
    mark = "*" if b.effects else ""
    both = (r.damping_ratio_compression, r.damping_ratio_rebound)
    same = both[0] is not None and both[1] is not None and abs(both[0] - both[1]) < 5e-4
    shown = ["-" if ratio is None else f"{ratio:.2f}" for ratio in both]
    ratio = shown[0] if same else f"{shown[0]} in, {shown[1]} out"
    off = "" if both[0] is None else f" ±{b.damping * both[0]:.2f}"
    hz = "" if r.frequency_hz is None else f" ±{b.frequency * r.frequency_hz:.2f}"
    lines = [
        f"natural frequency {number(r.frequency_hz)}{hz} Hz{mark}",
        f"damping ratio {ratio}{off}{mark} (0 swings on, 1 does not)",
        f"empty space under the piston from {number(d.void_speed_m_s, 2)} m/s of shaft speed, "
        f"{number(d.void_force_n)} N{mark}",
    ]
    return "\n".join([*lines, *landing_words(sheet.landings[end])])
