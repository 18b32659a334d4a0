"""Builds in words: what to fit, and one sentence of verdict per end."""

from .builds import Build, EndPlan
from .findings import shown
from .grid import REASONS


def part_words(build: Build, part: str) -> str:
    """What to fit, in words: "spring 0.44 N/mm", "oil 350 cSt at 25 C", "limiter 6 mm"."""
    if part == "spring":
        label = f" ({build.spring.label})" if build.spring.label else ""
        return f"spring {build.spring.rate_n_mm:.3g} N/mm{label}"
    if part == "oil":
        return f"oil {build.oil.viscosity_cst:.4g} cSt at {build.oil.reference_temperature_c:g} C"
    if part == "piston":
        return f"piston {holes_words(build)} ({build.piston.thickness_mm:g} mm thick)"
    return f"limiter {build.limiter_mm:g} mm"


def holes_words(build: Build) -> str:
    """Holes of a build's piston, "2x1.7+4x1.0"."""
    ways = {"both": "", "compression": " compression only", "rebound": " rebound only"}
    return "+".join(f"{h.count}x{h.diameter_mm:g}{ways[h.direction]}" for h in build.piston.holes)


def fault_words(build: Build, rows: EndPlan) -> str:
    """Why a build is rejected, with the size of the nearest miss where it is that build's."""
    words = []
    for reason in build.rejected_for:
        lack = next((r for r in rows.rejected if r.reason == reason and r.nearest == build), None)
        by = f" by {shown(lack.short_by)} {lack.unit}" if lack is not None and lack.unit != "pieces" else ""
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
    change = ", ".join(part_words(chosen, part) for part in chosen.changed)
    steps = [f"change to {change}"] if change else []
    if not change and (chosen.set_anew or standing.rejected_for):
        steps.append(f"leave the parts, {preload_words(chosen, standing)}")
    if standing.rejected_for:
        steps.insert(0, f"as it stands, {', '.join(REASONS[reason][1] for reason in standing.rejected_for)}")
    return f"{end}: {'; '.join(steps) or 'leave it'}"
