"""What was assumed goes on the answer; a landing on an assumed tyre says so first, with its band."""

from typing import Any

import msgspec

from .answers import Assumed
from .drops import Drop, TouchHeight
from .findings import Finding, finding, shown
from .touching import HIGHEST_M, TYRE_NAMES


def with_assumed(answer: Any, assumed: tuple[Assumed, ...]) -> Any:
    """An answer with what was assumed for it, and with what that does to a landing."""
    found: tuple[Finding, ...] = answer.findings
    rates = [a for a in assumed if a.path.endswith("/tyre/rate_n_mm")]
    words = tyre_words(answer)
    if rates and words is not None:
        said = finding("tyre_assumed", rates[0].path, float(rates[0].value or 0.0), name=words)
        graver = sum(f.severity == "do_not_run" for f in found)
        found = (*found[:graver], said, *found[graver:])
    return msgspec.structs.replace(answer, findings=found, assumed=(*answer.assumed, *assumed))


def tyre_words(answer: Any) -> str | None:
    """Band of a landing over the tyre's bounds, in words; None where there is none.

    >>> from libdamp.demo import demo_corner
    >>> from libdamp.drops import touch_height
    >>> tyre_words(touch_height(corner=demo_corner("demo-truck.front"), temperature_c=31.0))
    'touch height ... to ... mm'
    """
    if isinstance(answer, TouchHeight) and answer.bounds:
        heights = [answer.height_mm, *(b.height_mm for b in answer.bounds if b.name in TYRE_NAMES)]
        known = [height for height in heights if height is not None]
        beyond = f"above {shown(HIGHEST_M * 1e3)}"  # looked no further
        high = shown(max(known)) if len(known) == len(heights) else beyond
        return f"touch height {shown(min(known))} to {high} mm" if known else f"touch height {beyond} mm"
    if isinstance(answer, Drop) and answer.least_clearance_mm is not None:
        least = [answer.least_clearance_mm]
        least += [b.least_clearance_mm for b in answer.bounds if b.name in TYRE_NAMES]
        return f"least clearance {shown(min(least))} to {shown(max(least))} mm"
    return None
