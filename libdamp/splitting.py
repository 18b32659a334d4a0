"""What makes two set-ups differ: one cause at a time, the error of the difference, and what is left over.

A set-up is a corner or a shock at an oil temperature. A cause is a part of it that differs; it is taken over alone
into the reference, and what that does is the cause's share. What the shares do not add up to is the interaction.
The error of a difference moves each input by one standard deviation: one that both set-ups share moves in both,
and its error cancels as far as it acts alike.
"""

import math
from collections.abc import Callable, Sequence
from functools import partial
from typing import Any, Literal, NamedTuple

from msgspec.structs import replace

from .car import Corner
from .errors import InputError
from .parts import Holes, Piston, Shock
from .uncertain import HOLES_MM, MEASURED

Setup = tuple[Any, float]
"""A corner or a shock, and the temperature of its oil, C."""
Figures = dict[str, float | None]
"""Figures of a set-up by name."""

CauseName = Literal["oil", "piston", "fill", "body", "spring", "preload", "geometry", "mass", "tyre", "temperature"]
SHOCK_PARTS: tuple[CauseName, ...] = ("oil", "piston", "fill")
"""Parts of a shock that are causes of their own; the rest of it is its body."""
NINE_OF_TEN = 1.645
"""Standard deviations within which nine of ten errors lie."""


class Cause(NamedTuple):
    """A part of a set-up: what of it is compared, and a set-up with that of another."""

    name: CauseName
    part: Callable[[Setup], Any]
    taken: Callable[[Setup, Setup], Setup]


class Error(NamedTuple):
    """An input that is not known exactly: when it is shared, and a set-up that is off by it."""

    name: str
    part: Callable[[Setup], Any]
    off: Callable[[Setup], Setup]


class Row(NamedTuple):
    """One figure of both set-ups."""

    name: str
    reference: float | None
    candidate: float | None
    shares: tuple[tuple[CauseName, float | None], ...]
    interaction: float | None
    error: float | None  # of the difference, one standard deviation
    apart: float | None  # the same were no error shared


def _shock(setup: Setup) -> Shock:
    return setup[0].shock if isinstance(setup[0], Corner) else setup[0]


def _with_shock(setup: Setup, **fields: Any) -> Setup:
    model, celsius = setup
    made = replace(_shock(setup), **fields)
    return (replace(model, shock=made) if isinstance(model, Corner) else made), celsius


def _shock_part(name: CauseName) -> Cause:
    return Cause(
        name,
        lambda setup: getattr(_shock(setup), name),
        lambda setup, other: _with_shock(setup, **{name: getattr(_shock(other), name)}),
    )


def _body(setup: Setup) -> dict[str, Any]:
    shock = _shock(setup)
    return {name: getattr(shock, name) for name in shock.__struct_fields__ if name not in SHOCK_PARTS}


def _corner_part(name: CauseName, *fields: str) -> Cause:
    return Cause(
        name,
        lambda setup: tuple(getattr(setup[0], field) for field in fields),
        lambda setup, other: (replace(setup[0], **{f: getattr(other[0], f) for f in fields}), setup[1]),
    )


SHOCK_CAUSES = (
    *(_shock_part(name) for name in SHOCK_PARTS),
    Cause("body", _body, lambda setup, other: _with_shock(setup, **_body(other))),
    Cause("temperature", lambda setup: setup[1], lambda setup, other: (setup[0], other[1])),
)
"""Causes of a difference between two shocks."""
CORNER_CAUSES = (
    *SHOCK_CAUSES[:4],
    _corner_part("spring", "spring"),
    _corner_part("preload", "preload_mm"),
    _corner_part("geometry", "linkage", "level_clearance_mm"),
    _corner_part("mass", "sprung_mass_g", "unsprung_mass_g"),
    _corner_part("tyre", "tyre"),
    SHOCK_CAUSES[4],
)
"""Causes of a difference between two corners."""


def _piston_off(setup: Setup, holes_mm: float, thickness_mm: float) -> Setup:
    piston: Piston = _shock(setup).piston
    holes = tuple(replace(h, diameter_mm=h.diameter_mm + holes_mm) for h in piston.holes)
    return _with_shock(setup, piston=replace(piston, holes=holes, thickness_mm=piston.thickness_mm + thickness_mm))


def _oil_off(setup: Setup) -> Setup:
    oil = _shock(setup).oil
    return _with_shock(setup, oil=replace(oil, viscosity_cst=oil.viscosity_cst * (1.0 + OIL_SHARE)))


OIL_SHARE, _ = MEASURED["oil.viscosity_cst"]
_, THICKNESS_MM = MEASURED["piston.thickness_mm"]
_, WARMER_C = MEASURED["temperature_c"]
SPRING_SHARE, MASS_SHARE, TYRE_SHARE = 0.02, 0.01, 0.1
"""Errors of a spring's rate, of weighing, of a tyre pressed on a scale (judgement)."""


def _holes(setup: Setup) -> tuple[Holes, ...]:
    return _shock(setup).piston.holes


SHOCK_ERRORS = (
    Error("holes", _holes, lambda setup: _piston_off(setup, HOLES_MM["shanks"], 0.0)),
    Error(
        "piston thickness",
        lambda setup: _shock(setup).piston.thickness_mm,
        lambda setup: _piston_off(setup, 0.0, THICKNESS_MM),
    ),
    Error("oil", lambda setup: _shock(setup).oil, _oil_off),
    Error("temperature", lambda setup: setup[1], lambda setup: (setup[0], setup[1] + WARMER_C)),
)
"""What is not known exactly of a shock, with the errors of `tolerance`."""


def _scaled(name: str, part: str, field: str, share: float) -> Error:
    def off(setup: Setup) -> Setup:
        corner, celsius = setup
        held = getattr(corner, part)
        return replace(corner, **{part: replace(held, **{field: getattr(held, field) * (1.0 + share)})}), celsius

    return Error(name, lambda setup: getattr(setup[0], part), off)


def _heavier(setup: Setup) -> Setup:
    corner, celsius = setup
    return replace(corner, sprung_mass_g=corner.sprung_mass_g * (1.0 + MASS_SHARE)), celsius


CORNER_ERRORS = (
    *SHOCK_ERRORS,
    _scaled("spring rate", "spring", "rate_n_mm", SPRING_SHARE),
    _scaled("tyre rate", "tyre", "rate_n_mm", TYRE_SHARE),
    Error("mass", lambda setup: setup[0].sprung_mass_g, _heavier),
)
"""What is not known exactly of a corner."""


class Split(NamedTuple):
    """All set-ups that a comparison needs, to be worked out together, and how to read their figures."""

    setups: list[Setup]
    causes: list[tuple[CauseName, int | None]]  # None: cannot be taken over alone
    errors: list[tuple[bool, int, int]]  # shared; the reference and the candidate that are off


def split(reference: Setup, candidate: Setup, causes: Sequence[Cause], errors: Sequence[Error]) -> Split:
    """Set-ups of a comparison: the two, each cause alone, each error in either."""
    made = Split([reference, candidate], [], [])
    for cause in causes:
        if cause.part(reference) == cause.part(candidate):
            continue
        place = _add(made.setups, partial(cause.taken, reference, candidate))
        made.causes.append((cause.name, place))
    for error in errors:
        pair = [_add(made.setups, partial(error.off, side)) for side in (reference, candidate)]
        if pair[0] is not None and pair[1] is not None:
            made.errors.append((error.part(reference) == error.part(candidate), pair[0], pair[1]))
    return made


def _add(setups: list[Setup], make: Callable[[], Setup]) -> int | None:
    """Place of one more set-up; None where it cannot be."""
    try:
        setups.append(make())
    except InputError:
        return None
    return len(setups) - 1


def rows(made: Split, figures: Sequence[Figures]) -> list[Row]:
    """Figure by figure: both set-ups, each cause's share, the interaction, the error of the difference."""
    return [_row(name, made, [seen[name] for seen in figures]) for name in figures[0]]


def _row(name: str, made: Split, values: Sequence[float | None]) -> Row:
    reference, candidate = values[0], values[1]
    shares = tuple((cause, None if at is None else _less(values[at], reference)) for cause, at in made.causes)
    whole, known = _less(candidate, reference), [share for _, share in shares if share is not None]
    error = apart = 0.0
    for shared, i, j in made.errors:
        one, other = _less(values[i], reference), _less(values[j], candidate)
        if one is None or other is None:
            continue
        error += (other - one) ** 2 if shared else one**2 + other**2
        apart += one**2 + other**2
    there = whole is not None
    return Row(
        name,
        reference,
        candidate,
        shares,
        whole - sum(known) if whole is not None and len(known) == len(shares) else None,
        math.sqrt(error) if there else None,
        math.sqrt(apart) if there else None,
    )


def _less(a: float | None, b: float | None) -> float | None:
    return None if a is None or b is None else a - b
