"""The headline figures of a corner: how it stands, lands, rides bumps and comes back; many corners at once.

Each figure is the one that `ride`, `fill_check`, `drop`, `touch_height`, `bumps` and `push_release` give. None
stands for a figure that does not exist or was not asked for.
"""

from collections.abc import Sequence
from typing import Annotated, Any, NamedTuple

import msgspec
import numpy as np

from .batches import pushed_down, quick, touches
from .car import Corner, Use
from .filling import fill_figures, fill_temperature, number
from .findings import Finding
from .grid import HOT_C
from .landing import equal_fall
from .moving import Ready, begun_at, ready_both
from .physics.numbers import Array
from .quantities import Q
from .stance import RideFigures, ride_figures
from .together import Asked, moved
from .touching import HIGHEST_M
from .working import ALONE, Helpers, worked

PUSH_M = 10e-3
"""How far a body is pushed down by hand."""
KERB_LONG_M = 0.1
"""Run-up of a kerb."""
KERB_SHARE = 0.5
"""Height of a kerb over the clearance with level arms."""
SLOWEST_BUMPS_S = 1.0
"""Time from crest to crest beyond which a car merely follows its bumps."""


class Headlines(msgspec.Struct, frozen=True, kw_only=True):
    """The headline figures of a corner."""

    preload_mm: Annotated[float, Q("preload_now_mm")] | None
    clearance_mm: Annotated[float, Q("clearance_mm")] | None
    droop_travel_mm: Annotated[float, Q("droop_travel_mm")] | None
    bump_travel_mm: Annotated[float, Q("bump_travel_mm")] | None
    wheel_rate_n_mm: Annotated[float, Q("wheel_rate_n_mm")] | None
    frequency_hz: Annotated[float, Q("frequency_hz")] | None
    damping_ratio_compression: Annotated[float, Q("damping_ratio")] | None
    damping_ratio_rebound: Annotated[float, Q("damping_ratio")] | None
    spare_hot_ml: Annotated[float, Q("spare_ml")] | None
    touch_height_mm: Annotated[float, Q("touch_height_mm")] | None
    least_clearance_mm: Annotated[float, Q("least_clearance_mm")] | None
    peak_shock_n: Annotated[float, Q("peak_shock_n")] | None
    bounce_height_mm: Annotated[float, Q("bounce_height_mm")] | None
    contact_share: Annotated[float, Q("contact_share")] | None
    tyre_load_variation: Annotated[float, Q("tyre_load_variation")] | None
    mean_shift_mm: Annotated[float, Q("mean_shift_mm")] | None
    kerb_peak_n: Annotated[float, Q("kerb_peak_n")] | None
    half_time_s: Annotated[float, Q("half_time_s")] | None
    overshoot_mm: Annotated[float, Q("overshoot_mm")] | None


class Runs(NamedTuple):
    """What corners are put through, SI; a height of 0 leaves that run out."""

    fall: float  # of the use's jump, m
    bump: float  # trough to crest, m
    spacing: float  # crest to crest, m
    speed: float  # m/s
    kerb: float  # m


def runs_of(use: Use, clearance_mm: float) -> Runs:
    """Runs of a use; the kerb of a car of some clearance [mm] with level arms.

    Where the slope is met the landing is that on the slope, else on the flat. Falls too high to be worked out and
    bumps that the car merely follows are left out.
    """
    jump = equal_fall(jump=use.jump)
    fall = 1e-3 * (jump.overshot_mm if jump.on_slope_mm is None else jump.on_slope_mm)
    slow = use.bump_spacing_mm * 1e-3 > SLOWEST_BUMPS_S * use.speed_m_s
    return Runs(
        fall=fall if fall <= HIGHEST_M else 0.0,
        bump=0.0 if slow else use.bump_height_mm * 1e-3,
        spacing=use.bump_spacing_mm * 1e-3,
        speed=use.speed_m_s,
        kerb=KERB_SHARE * clearance_mm * 1e-3,
    )


AT_ONCE = 200
"""Corners that are worked out together, in one chunk of work."""

ToldHeadlines = tuple[Headlines, tuple[Finding, ...]]
"""The figures of a corner, and the findings on how it stands and on its fill."""


class Chunk(NamedTuple):
    """Corners with their oil temperatures [C], and what they are put through; may be handed to another process."""

    corners: tuple[tuple[Corner, float], ...]
    runs: Runs


def headlines_of(
    corners: Sequence[tuple[Corner, float]], runs: Runs, helpers: Helpers = ALONE
) -> tuple[Headlines, ...]:
    """Headline figures of corners, each at its oil temperature [C].

    Raises
    ------
    Cancelled : the caller's progress said so.
    """
    return tuple(heads for heads, _ in told_headlines(corners, runs, helpers))


def told_headlines(
    corners: Sequence[tuple[Corner, float]], runs: Runs, helpers: Helpers = ALONE
) -> tuple[ToldHeadlines, ...]:
    """Headline figures of corners, with the findings on how each stands and on its fill.

    Raises
    ------
    Cancelled : the caller's progress said so.
    """
    chunks = [Chunk(tuple(corners[i : i + AT_ONCE]), runs) for i in range(0, len(corners), AT_ONCE)]
    return tuple(one for part in worked(_told, chunks, helpers) for one in part)


def _told(chunk: Chunk) -> tuple[ToldHeadlines, ...]:
    """The same of one chunk."""
    corners, runs = chunk
    standing = [ride_figures(corner, celsius) for corner, celsius in corners]
    moving = _moving(corners, [stands for stands, _ in standing], runs)
    made = []
    for i, ((corner, celsius), (stands, found)) in enumerate(zip(corners, standing, strict=True)):
        still = {name: getattr(stands, name) for name in Headlines.__struct_fields__ if hasattr(stands, name)}
        filled = fill_temperature(corner.shock, None), max(HOT_C, celsius)
        fill, more = fill_figures(corner.shock, *filled, "/corner/shock")
        moved: dict[str, Any] = {name: number(float(column[i])) for name, column in moving.items()}
        made.append((Headlines(**still, spare_hot_ml=fill.spare_hot_ml, **moved), (*found, *more)))
    return tuple(made)


def _moving(
    corners: Sequence[tuple[Corner, float]], standing: Sequence[RideFigures], runs: Runs
) -> dict[str, Array]:
    """Figures of the runs, in their units, not-a-number where there is none."""
    pairs = [_both(corner, celsius, at) for (corner, celsius), at in zip(corners, standing, strict=True)]
    falling, resting = ([quick(pair and pair[i]) for pair in pairs] for i in (0, 1))
    none = np.full(len(corners), np.nan)
    made = dict.fromkeys(MOVING, none)
    made["touch_height_mm"] = 1e3 * touches(falling)
    wheel, insertion = pushed_down(resting, PUSH_M)
    held = [
        None if corner is None or not np.isfinite(x) else begun_at(corner, *pair, float(x))
        for corner, pair, x in zip(resting, corners, insertion, strict=True)
    ]
    seen = moved(falling, resting, held, wheel, Asked(*runs, KERB_LONG_M, PUSH_M))
    made["least_clearance_mm"], made["bounce_height_mm"] = (
        1e3 * seen.fallen.clearance,
        1e3 * seen.fallen.bounce + 0.0,
    )
    made["peak_shock_n"], made["kerb_peak_n"] = seen.fallen.force, seen.kerb
    made["contact_share"], made["mean_shift_mm"] = seen.driven.contact, 1e3 * seen.driven.shift
    made["tyre_load_variation"] = seen.driven.variation
    made["half_time_s"], made["overshoot_mm"] = seen.released.half, 1e3 * seen.released.over
    return made


MOVING = (
    "touch_height_mm",
    "least_clearance_mm",
    "peak_shock_n",
    "bounce_height_mm",
    "contact_share",
    "tyre_load_variation",
    "mean_shift_mm",
    "kerb_peak_n",
    "half_time_s",
    "overshoot_mm",
)
"""Figures that runs give."""


def _both(corner: Corner, celsius: float, at: RideFigures) -> tuple[Ready, Ready] | None:
    """A corner ready to fall and ready to go from rest; None where it does not stand."""
    if at.wheel_travel_mm is None:
        return None
    return ready_both(corner, celsius, (at.wheel_travel_mm * 1e-3, 1e-3 * (at.drag_band_mm or 0.0)))
