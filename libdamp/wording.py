"""Builds in words: what to fit, and one sentence of verdict per end."""

from .builds import Build
from .findings import shown
from .grid import REASONS
from .mixtures import Mix
from .oils import cst_text
from .parts import Oil, holes_words
from .trading import EndPlan


def part_words(build: Build, part: str) -> str:
    """What to fit, in words: "spring 0.44 N/mm", "oil 1 part 300 + 1 part 400 cSt", "limiter 6 mm"."""
    if part == "spring":
        return f"spring {build.spring.rate_n_mm:.3g} N/mm{_label(build.spring.label)}"
    if part == "oil" and build.mix is not None:
        return mix_words(build.mix, build.oil.viscosity_cst)
    if part == "oil":
        at = f"{build.oil.reference_temperature_c:g} C{_label(build.oil.label)}"
        return f"oil {cst_text(build.oil.viscosity_cst)} cSt at {at}"
    if part == "piston" and build.drill is not None:
        drill = build.drill
        holes = f"{drill.count} hole{'s' if drill.count > 1 else ''} of {drill.drill_mm:g} mm"
        return f"piston drilled from a blank, {holes} ({build.piston.thickness_mm:g} mm thick)"
    if part == "piston":
        label = _label(build.piston.label)
        return f"piston {holes_words(build.piston)} ({build.piston.thickness_mm:g} mm thick){label}"
    if part == "closing":
        return f"cap closed with the shaft pushed in {build.closing_insertion_mm:g} mm"
    return f"limiter {build.limiter_mm:g} mm"


LONGEST_LABEL = 24


def _label(label: str | None) -> str:
    """An owner's name of a part, in brackets, as long as there is room for."""
    if not label:
        return ""
    return f" ({label if len(label) <= LONGEST_LABEL else f'{label[: LONGEST_LABEL - 4]} ...'})"


def mix_words(mix: Mix, viscosity_cst: float) -> str:
    """What to pour together: "oil 1 part 300 + 1 part 400 cSt (346 cSt at 25 C)"."""

    def parts(number: int) -> str:
        return f"{number} part{'s' if number > 1 else ''}"

    both = f"{parts(mix.thin_parts)} {_grade(mix.thin)} + {parts(mix.thick_parts)} {_grade(mix.thick)}"
    return f"oil {both} cSt (by volume: {cst_text(viscosity_cst, 3)} cSt at 25 C)"


def _grade(oil: Oil) -> str:
    at = "" if oil.reference_temperature_c == 25.0 else f" (at {oil.reference_temperature_c:g} C)"
    return f"{cst_text(oil.viscosity_cst)}{at}"


def fault_words(build: Build, rows: EndPlan) -> str:
    """Why a build is rejected, with the size of the nearest miss where it is that build's."""
    words = []
    for reason in build.rejected_for:
        lack = next((r for r in rows.rejected if r.reason == reason and r.nearest == build), None)
        by = f" (by {shown(lack.short_by)} {lack.unit})" if lack is not None and lack.unit != "pieces" else ""
        words.append(REASONS[reason][1] + by)
    return ", ".join(words)


def preload_words(build: Build, standing: Build) -> str:
    """Where to set the preload anew: "move the collar from 29 to 21.5 mm"."""
    if build.collar_mm is None or standing.collar_mm is None:
        was = "" if standing.preload_mm is None else f" from {standing.preload_mm:.1f}"
        return f"set the preload{was} to {build.preload_mm or 0.0:.1f} mm"
    return f"move the collar from {standing.collar_mm:.1f} to {build.collar_mm:.1f} mm"


def verdict(end: str, chosen: Build, standing: Build, rows: EndPlan) -> str:
    """One sentence on an end: leave it, or what to change."""
    if chosen.rejected_for:
        return f"{end}: {fault_words(chosen, rows)}; no build from these parts is free of a fault"
    change = ", ".join(part_words(chosen, part) for part in chosen.changed if part != "closing")
    steps = [f"change to {change}"] if change else []
    if "closing" in chosen.changed:
        steps.append(f"close the cap with the shaft pushed in {chosen.closing_insertion_mm:g} mm")
    if not steps and (chosen.set_anew or standing.rejected_for):
        steps.append(f"leave the parts, {preload_words(chosen, standing)}")
    elif not change and chosen.set_anew and standing.rejected_for:
        steps.append(preload_words(chosen, standing))
    if standing.rejected_for:
        steps.insert(0, f"as it stands, {', '.join(REASONS[reason][1] for reason in standing.rejected_for)}")
    return f"{end}: {'; '.join(steps) or 'leave it'}"
