"""`season`: what oil to fit or to mix at each oil temperature of a season, so that the damping stays the same."""

from collections.abc import Sequence
from typing import Annotated, Any, Literal, NamedTuple

import msgspec
import numpy as np

from .answers import Answer, calculation, signature_of
from .blending import RULES_AGREE
from .bottles import IN_SHOCK, Chosen, chosen_oils
from .car import BoxOil, Corner
from .filling import number
from .findings import Finding, finding
from .oils import density_over, grade_of, oil_findings, viscosity_over
from .parts import Oil, plain_part
from .physics.numbers import Array, Mask
from .quantities import Q
from .ride_samples import ride_many
from .season_words import against_words, cst_words, fit_words, oil_words, percent_words, ratio_words
from .stance import ride, ride_figures

WITHIN = 0.05
"""Share of the damping that cannot be told apart: oils come within 5 % of their print."""

Ratios = tuple[Annotated[float, Q("damping_ratio")] | None, ...]
Errors = tuple[Annotated[float, Q("damping_error_share")] | None, ...]
_RATIOS = (("damping_ratio_compression",), ("damping_ratio_rebound",))


class Season(Answer, frozen=True, kw_only=True):
    """Columns over the temperatures; nothing in hand: null, and a finding.

    `bottles` are places in the list of oils, the thinner first; `parts` by volume go with them; both are empty
    where the oil stays in.
    """

    wanted_damping_ratio_compression: Annotated[float, Q("damping_ratio")] | None
    wanted_damping_ratio_rebound: Annotated[float, Q("damping_ratio")] | None
    temperature_c: tuple[Annotated[float, Q("temperature_c")], ...]
    wanted_viscosity_cst: tuple[Annotated[float, Q("viscosity_25_cst")], ...]
    advice: tuple[Literal["leave", "fit", "mix"] | None, ...]
    bottles: tuple[tuple[Annotated[int, Q("season.bottles")], ...], ...]
    parts: tuple[tuple[Annotated[int, Q("season.parts")], ...], ...]
    thick_share: tuple[Annotated[float, Q("thick_share_volume")], ...]
    fit: tuple[str | None, ...]
    viscosity_cst: tuple[Annotated[float, Q("viscosity_25_cst")] | None, ...]
    damping_ratio_compression: Ratios
    damping_ratio_rebound: Ratios
    damping_error_share: Errors
    damping_ratio_compression_unchanged: Ratios
    damping_ratio_rebound_unchanged: Ratios
    damping_error_share_unchanged: Errors
    sentences: tuple[str, ...]


class _Damped(NamedTuple):
    """Damping ratios both ways over the temperatures for 1 Pa s of oil in the shock, and its viscosity."""

    ratios: tuple[Array, Array]
    dynamic: Array


def _dynamic(oil: Oil, celsius: Array) -> Array:
    return viscosity_over(oil, celsius) * density_over(oil, celsius)


def _damped(corner: Corner, oil: Oil, celsius: Array) -> _Damped:
    """Slow damping is in proportion to the dynamic viscosity: one oil of a family speaks for all."""
    shock = msgspec.structs.replace(corner.shock, oil=oil)
    asked = signature_of(ride).request(corner=msgspec.structs.replace(corner, shock=shock))
    (into, out), _ = ride_many(asked, {("temperature_c",): celsius}, _RATIOS, celsius.size)
    dynamic = _dynamic(oil, celsius)
    return _Damped((into / dynamic, out / dynamic), dynamic)


def _with_chosen(
    corner: Corner, oils: Sequence[Oil], chosen: Chosen, celsius: Array, own: _Damped
) -> tuple[Array, Array]:
    """Damping ratios with what is chosen; another family warms the gas's room otherwise."""
    present = corner.shock.oil
    other = next((i for i, oil in enumerate(oils) if oil.family != present.family), None)
    into, out = own.ratios
    if other is not None:
        foreign = np.isin(chosen.thin, [i for i, oil in enumerate(oils) if oil.family != present.family])
        theirs = _damped(corner, plain_part(Oil, oils[other]), celsius).ratios
        into, out = np.where(foreign, theirs[0], into), np.where(foreign, theirs[1], out)
    return into * chosen.dynamic, out * chosen.dynamic


def _numbers(column: Array, is_there: Mask) -> tuple[float | None, ...]:
    return tuple(number(float(v)) if here else None for v, here in zip(column, is_there, strict=True))


def _gap(i: int, warm: float, off: float, wanted_cst: float) -> Finding:
    """Nothing in hand is near enough: what would be."""
    low, high = (cst_words(wanted_cst * (1.0 + way * WITHIN)).removesuffix(" cSt") for way in (-1.0, 1.0))
    name = f"{warm:g} C: buy an oil of {low} to {high} cSt at 25 C, best {cst_words(wanted_cst)}."
    return finding("season_gap", f"/temperatures_c/{i}", 100.0 * off, 100.0 * WITHIN, name=name)


def _findings(corner: Corner, reference_c: float, columns: dict[str, Any], chosen: Chosen) -> list[Finding]:
    warm, found = columns["temperature_c"], []
    for celsius in dict.fromkeys((reference_c, min(warm), max(warm))):
        found += [f for f in ride_figures(corner, celsius)[1] if f.severity != "note"]
        found += oil_findings(corner.shock.oil, celsius, "/corner/shock/oil")
    missing = columns["advice"].count(None)
    if missing:
        found.append(finding("no_bottles", "/oils", float(missing), float(len(warm))))
    for i, off in enumerate(columns["damping_error_share"]):
        if off is not None and abs(off) > WITHIN:
            found.append(_gap(i, warm[i], off, columns["wanted_viscosity_cst"][i]))
        if off is not None and chosen.apart[i] > RULES_AGREE:
            apart = 100.0 * float(chosen.apart[i])
            found.append(finding("blend_uncertain", f"/temperatures_c/{i}", apart, 100.0 * RULES_AGREE))
    return list({(f.code, f.where, f.text): f for f in found}.values())


def _sentence(columns: dict[str, Any], i: int, wanted: str, present: str) -> str:
    """One row in plain words, with number and sign."""
    warm, fit = f"{columns['temperature_c'][i]:g} C", columns["fit"][i]
    ratios = [
        (columns[f"damping_ratio_compression{kind}"][i], columns[f"damping_ratio_rebound{kind}"][i])
        for kind in ("", "_unchanged")
    ]
    left = columns["damping_error_share_unchanged"][i]
    if fit is None:
        best = f"{warm}: wanted is an oil of {cst_words(columns['wanted_viscosity_cst'][i])} at 25 C"
        return f"{best}; with the {present} left in {against_words(ratios[1], wanted, left)}"
    off = columns["damping_error_share"][i]
    near = "nothing in hand is near enough; the nearest is to " if abs(off) > WITHIN else ""
    made = f" ({cst_words(columns['viscosity_cst'][i])})" if columns["advice"][i] == "mix" else ""
    text = f"{warm}: {near}{fit}{made}: {against_words(ratios[0], wanted, off)}"
    if columns["advice"][i] == "leave":
        return text
    return f"{text}; with the {present} left in {ratio_words(*ratios[1])}, {percent_words(left)}"


def _choice(corner: Corner, oils: Sequence[Oil], chosen: Chosen) -> dict[str, Any]:
    """Columns of what to fit, in places, parts and words."""
    advice, places, parts, words = [], [], [], []
    rows = zip(chosen.thin, chosen.thick, chosen.thin_parts, chosen.thick_parts, chosen.is_there, strict=True)
    for thin, thick, few, more, here in rows:
        own = (int(thin),) if thin == thick else (int(thin), int(thick))
        shares = (int(few),) if thin == thick else (int(few), int(more))
        advice.append(None if not here else "leave" if own == (IN_SHOCK,) else ("fit", "mix")[len(own) - 1])
        words.append(fit_words(corner.shock.oil, oils, own, shares) if here else None)
        is_new = here and own != (IN_SHOCK,)
        places.append(own if is_new else ())
        parts.append(shares if is_new else ())
    return {
        "advice": tuple(advice),
        "bottles": tuple(places),
        "parts": tuple(parts),
        "thick_share": tuple((chosen.thick_parts / (chosen.thin_parts + chosen.thick_parts)).tolist()),
        "fit": tuple(words),
    }


_Goal = list[float | None]
"""Damping ratios that are wanted, in and out; None where there is none."""


def _off(ratios: tuple[Array, Array], goal: _Goal, viscosity: Array) -> Array:
    """How far the damping is off, mean of both ways; by the viscosity where no damping ratio tells."""
    known = [ratio / wanted for ratio, wanted in zip(ratios, goal, strict=True) if wanted]
    off = np.mean(known, axis=0) if known else viscosity
    return np.asarray(np.where(np.isfinite(off), off, viscosity) - 1.0)


def _columns(
    corner: Corner, oils: Sequence[Oil], chosen: Chosen, celsius: Array, wanted: Array, kept: _Damped, goal: _Goal
) -> dict[str, Any]:
    """Every column over the temperatures but the sentences; `wanted` is the dynamic viscosity, Pa s."""
    present, fitted = corner.shock.oil, _with_chosen(corner, oils, chosen, celsius, kept)
    always, left = np.full(celsius.shape, True), (kept.ratios[0] * kept.dynamic, kept.ratios[1] * kept.dynamic)
    return {
        "temperature_c": tuple(celsius.tolist()),
        "wanted_viscosity_cst": tuple((grade_of(present, wanted, celsius) * 1e6).tolist()),
        **_choice(corner, oils, chosen),
        "viscosity_cst": _numbers(chosen.grade * 1e6, chosen.is_there),
        "damping_ratio_compression": _numbers(fitted[0], chosen.is_there),
        "damping_ratio_rebound": _numbers(fitted[1], chosen.is_there),
        "damping_error_share": _numbers(_off(fitted, goal, chosen.dynamic / wanted), chosen.is_there),
        "damping_ratio_compression_unchanged": _numbers(left[0], always),
        "damping_ratio_rebound_unchanged": _numbers(left[1], always),
        "damping_error_share_unchanged": _numbers(_off(left, goal, kept.dynamic / wanted), always),
    }


@calculation("oil_spill", "hot_shock")
def season(
    *,
    corner: Corner,
    temperatures_c: Annotated[
        tuple[Annotated[float, Q("temperature_c")], ...], msgspec.Meta(min_length=1, max_length=200)
    ],
    oils: Annotated[tuple[BoxOil, ...], msgspec.Meta(max_length=200)] = (),
    mix_oils: bool = True,
    reference_temperature_c: Annotated[float, Q("temperature_c")] = 25.0,
) -> Season:
    """What oil to fit or to mix at each oil temperature of a season, so that the damping stays the same.

    Slow damping is in proportion to the dynamic viscosity, so that is kept. What is in the shock stays where it
    comes within 5 %; else one bottle, else the mixture of the fewest parts, each the nearest of its kind; where
    nothing in hand comes within 5 % the nearest of all, and what to buy.

    Parameters
    ----------
    corner : the corner; with its own oil it is right at the reference temperature.
    temperatures_c : shape (n,), of the oil in the shock [C].
    oils : the bottles in hand.
    mix_oils : whether two of them may be mixed, in five parts at most.
    reference_temperature_c : where the corner damps as wanted [C].

    Raises
    ------
    InputError : a value is impossible.

    Examples
    --------
    >>> from libdamp.demo import demo_corner
    >>> from libdamp.car import BoxOil
    >>> bottles = (BoxOil(viscosity_cst=200), BoxOil(viscosity_cst=300))
    >>> season(corner=demo_corner("demo-truck.front"), temperatures_c=(10, 25), oils=bottles).fit
    ('mix 1 part of 200 cSt with 1 part of 300 cSt', 'leave the 325 cSt in')
    """
    celsius, present = np.array(temperatures_c), corner.shock.oil
    own = _damped(corner, present, np.append(celsius, reference_temperature_c))
    goal = [number(float(each[-1] * own.dynamic[-1])) for each in own.ratios]
    kept = _Damped((own.ratios[0][:-1], own.ratios[1][:-1]), own.dynamic[:-1])
    wanted = np.full(celsius.shape, own.dynamic[-1])
    there = [(i, oil) for i, oil in enumerate(oils) if oil.count != 0]
    chosen = chosen_oils(present, there, celsius, wanted, WITHIN, mix_oils)
    columns = _columns(corner, oils, chosen, celsius, wanted, kept, goal)
    words = ratio_words(*goal)
    return Season(
        findings=tuple(_findings(corner, reference_temperature_c, columns, chosen)),
        wanted_damping_ratio_compression=goal[0],
        wanted_damping_ratio_rebound=goal[1],
        **columns,
        sentences=tuple(_sentence(columns, i, words, oil_words(present)) for i in range(celsius.size)),
    )
