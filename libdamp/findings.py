"""The catalogue of findings: what an answer says of a set-up that is well-formed but not all right.

A finding never changes a number; it says what the number means and what to do. Severity: "note" (good to
know), "warning" (the answer is worth less, or something will disappoint), "do_not_run" (something breaks).
"""

from typing import Annotated

import msgspec

from .entries import (
    COMPARING,
    GAS_IN_OIL,
    IN_MOTION,
    MANY_TIMES,
    MATCHING,
    OVER_A_SEASON,
    PISTON_ON_ITS_CLIP,
    Entry,
    Severity,
)


class Finding(msgspec.Struct, frozen=True, kw_only=True):
    """One thing to know about an answer: which rule, how grave, where, the value and its limit."""

    code: str
    severity: Severity
    where: Annotated[str, msgspec.Meta(description="JSON pointer into the request")]
    value: float | None = None
    limit: float | None = None
    unit: str | None = None
    text: str


CATALOGUE: dict[str, Entry] = {
    **GAS_IN_OIL,
    **IN_MOTION,
    **MANY_TIMES,
    **PISTON_ON_ITS_CLIP,
    **MATCHING,
    **COMPARING,
    **OVER_A_SEASON,
    # what was given
    "unusual_value": Entry(
        "note",
        None,
        "{name} = {value} {unit} is outside the usual {limit} {unit}: check the number and its unit.",
    ),
    "masses_disagree": Entry(
        "warning",
        "g",
        "The four scale readings sum to {value} g, the corners' sprung and unsprung masses to {limit} g: "
        "weigh again, or mend one of the two.",
    ),
    "pairs_scatter": Entry(
        "warning",
        "mm",
        "The measured pairs lie {value} mm (rms) off a smooth curve: the motion ratio is good to a few per cent "
        "only; measure with calipers to get below {limit} mm.",
    ),
    "beyond_pairs": Entry(
        "warning",
        "mm",
        "Wheel travel reaches {value} mm, the measured pairs end at {limit} mm: measure further.",
    ),
    # the model's limits
    "area_ratio_high": Entry(
        "warning",
        "1",
        "The holes take {value} of the bore's area; the loss is fitted up to {limit}: read the force as "
        "uncertain by more than the usual 13 %.",
    ),
    "hole_short": Entry(
        "warning",
        "1",
        "The piston is {value} hole diameters thick; below {limit} the computed loss is 3 to 12 % low.",
    ),
    "hole_long": Entry(
        "note",
        "1",
        "The piston is {value} hole diameters thick; the loss was checked up to {limit}: above it the slow part "
        "holds, the fast part is an extrapolation.",
    ),
    "gap_wide": Entry(
        "warning",
        "mm",
        "Bore less piston is {value} mm; the gap's flow is good up to {limit} mm: check both diameters.",
    ),
    "closed_one_way": Entry(
        "do_not_run",
        None,
        "No hole is open in {name}: oil passes around the piston alone and the shock is all but solid that way.",
    ),
    "oil_law_range": Entry(
        "warning",
        None,
        "The oil is asked for at {value} {unit}; its law is good from {limit} {unit}: read the viscosity as a "
        "guess.",
    ),
    "blend_uncertain": Entry(
        "warning",
        "%",
        "The rules of blending differ by {value} % (above {limit} % they do not agree): mix, then check by a timed "
        "pull or a falling ball.",
    ),
    "between_iso_grades": Entry(
        "note",
        "cSt",
        "{value} cSt at 40 C lies in the gap {limit} cSt between {name}: the oil has no ISO grade. Name it by its "
        "viscosity and temperature.",
    ),
    "outside_iso_grades": Entry(
        "note",
        "cSt",
        "{value} cSt at 40 C is {name} than any ISO grade (they end at {limit} cSt): name the oil by its viscosity "
        "and temperature.",
    ),
    "silicone_named_at_25": Entry(
        "note",
        "cSt",
        "Silicone oil is named by its viscosity at 25 C, here {value} cSt; an ISO grade holds at 40 C: never read "
        "the one for the other.",
    ),
    "reynolds_high": Entry(
        "warning",
        "1",
        "The Reynolds number reaches {value}; the loss is fitted up to {limit}: forces at this speed are an "
        "extrapolation. Compare set-ups rather than trust the figure.",
    ),
    "thinning": Entry(
        "note",
        "1/s",
        "The oil is sheared at {value} 1/s; from about {limit} 1/s an oil of this grade may begin to thin: the "
        "real force at this speed may be lower. Give the oil's `thinning` if it is known; a thinner oil in smaller "
        "holes thins less.",
    ),
    "thinned": Entry(
        "note",
        "%",
        "In the holes the oil thins to {value} % of its viscosity at rest (said below {limit} %): the forces have "
        "it in, with the relaxation time as given whatever the temperature; the gap keeps the viscosity at rest.",
    ),
    "beyond_void": Entry(
        "note",
        "N",
        "Compression damping would be {value} N; beyond {limit} N an empty space opens under the piston and "
        "the gas, not the holes, sets the force.",
    ),
    "emulsion_lags": Entry(
        "note",
        None,
        "Gas spread through the oil lets the force build up later than these steady values; a shock that has "
        "stood still has its gas at the top, as a pocket, until it is worked.",
    ),
    # fill
    "lock_cold": Entry(
        "do_not_run",
        "ml",
        "Goes solid before the shaft is fully in, even cold: {value} ml of gas would be left, more than "
        "{limit} ml is needed. Let oil out or close the cap with the shaft further in.",
    ),
    "lock_hot": Entry(
        "do_not_run",
        "ml",
        "Goes solid when hot: {value} ml of gas would be left with the shaft fully in, more than {limit} ml is "
        "needed. Let oil out or close the cap with the shaft further in.",
    ),
    "little_gas_hot": Entry(
        "warning",
        "ml",
        "Only {value} ml of gas is left when hot with the shaft fully in; a tenth of the shaft's volume, "
        "{limit} ml, is a sensible least.",
    ),
    "cavity_unknown": Entry(
        "note",
        "mm",
        "The cavity length is not given: the oil's volume, and what warming does to the gas, cannot be said. "
        "Measure the bore's length with the depth gauge of the calipers.",
    ),
    # stance
    "collar_unknown": Entry(
        "note",
        "mm",
        "Free length of the spring or its seat offset is not given: the preload can be said, the collar's "
        "place cannot. Measure both with calipers.",
    ),
    "steps_unknown": Entry(
        "note",
        "mm",
        "Neither the collar's step nor spacers are given: the exact preload can be said, the nearest that can be "
        "set cannot.",
    ),
    "block_length_unknown": Entry(
        "note",
        "mm",
        "Free or block length of the spring is not given: whether the coils touch before the shock is fully in "
        "cannot be said. Count the turns that touch x wire diameter.",
    ),
    "loose_spring": Entry(
        "warning",
        "mm",
        "At full droop the preload is {value} mm, less than {limit}: the spring is loose and can jump off its "
        "seat. Add as much limiter or preload, or take a softer spring.",
    ),
    "coil_bind": Entry(
        "do_not_run",
        "mm",
        "The coils touch before the shock is fully in ({value} mm of spring length left, at least {limit} "
        "needed): the spring takes the blow. Less preload, a spring with fewer turns, or a bump stop.",
    ),
    "no_equilibrium": Entry(
        "do_not_run",
        "N",
        "The car sinks to the stop: spring and gas reach {value} N at the wheel, {limit} N is needed. More "
        "preload or a stiffer spring.",
    ),
    "chassis_on_ground": Entry(
        "do_not_run",
        "mm",
        "The chassis would stand {value} mm above the ground (more than {limit} mm is needed): it drags. More "
        "preload or a stiffer spring.",
    ),
    "collar_off": Entry(
        "do_not_run",
        "mm",
        "The collar would stand at {value} mm, above the upper eye ({limit} mm): the spring is too long for this "
        "shock.",
    ),
    "topped_out": Entry(
        "warning",
        "N",
        "The car stands on its droop stop: spring and gas push with {value} N at the wheel, {limit} N is the "
        "load. Less preload, a softer spring, or less limiter.",
    ),
    "level_out_of_reach": Entry(
        "do_not_run",
        "mm",
        "Level arms need a shaft insertion of {value} mm, the shock allows {limit} mm: the shock does not fit "
        "these mounts; check the lengths and the linkage.",
    ),
    "linkage_out_of_reach": Entry(
        "do_not_run",
        "mm",
        "The linkage cannot reach the shock's {name} length of {value} mm: check mounts and shock length.",
    ),
    "linkage_backwards": Entry(
        "do_not_run",
        "1",
        "The motion ratio is {value}: the shock does not shorten as the wheel rises. Check the mounts' signs.",
    ),
    "falling_rate": Entry(
        "do_not_run",
        "N/mm",
        "The rate at the wheel is {value} N/mm: the corner does not stand stably. Check the linkage.",
    ),
    "never_meets_slope": Entry(
        "warning",
        "deg",
        "The landing falls by {value} degrees, the car's path only by {limit}: it flies past the slope and "
        "lands beyond; read the overshot figure.",
    ),
    # springs
    "coil_unusual": Entry(
        "note",
        "1",
        "{value} {name}: springs are usually made with {limit}; such a spring may be hard to find.",
    ),
    "force_not_given": Entry("note", "N", "No force is given: the stress cannot be said."),
    "beyond_block": Entry(
        "do_not_run",
        "N",
        "{value} N is more than the spring takes before its coils touch, {limit} N.",
    ),
    "may_bow": Entry(
        "note",
        "mm",
        "From {value} mm of compression the spring would bow sideways (it is compressed up to {limit} mm): on the "
        "shock's body it leans and rubs.",
    ),
    # choosing
    "not_moved": Entry(
        "note",
        None,
        "{name}: not worked out, so these figures are missing and their goals do not count. The use has none, or "
        "one beyond what can be worked out.",
    ),
    "goal_left_out": Entry(
        "warning",
        None,
        "The goal for the {name} does not count here, as it is not known of the end as it stands, or of most of "
        "its builds: their runs do not settle, or need finer steps of time, in what many at once are given. `drop` "
        "or `bumps` for that end alone may have the figure.",
    ),
    "nothing_legal": Entry(
        "warning",
        "1",
        "None of {value} builds from these parts is free of a fault; the nearest is shown with what it lacks.",
    ),
    "parts_short": Entry(
        "warning",
        "1",
        "{name}: {value} in hand, {limit} needed.",
    ),
}


def shown(value: float | str | None) -> str:
    """Write a number for a sentence: three or four figures that mean something, no exponent below a million.

    >>> shown(0.123456), shown(12345.6), shown(2.0)
    ('0.123', '12346', '2')
    """
    if value is None or isinstance(value, str):
        return value or ""
    if value == 0 or not 1e-4 <= abs(value) < 1e6:
        return f"{value:.3g}"
    return f"{value:.0f}" if abs(value) >= 1000 else f"{value:.3g}"


def finding(
    code: str,
    where: str,
    value: float | None = None,
    limit: float | None = None,
    *,
    name: str = "",
    span: str = "",
    unit: str | None = None,
) -> Finding:
    """Make the finding of a code.

    Parameters
    ----------
    code : a key of CATALOGUE.
    where : JSON pointer into the request.
    value, limit : in the unit of the entry, or of `unit`.
    name, span : words for the sentence: of which thing, of which range.

    Raises
    ------
    KeyError : no such code.

    Examples
    --------
    >>> finding("loose_spring", "/corner/spring", -0.93, 0.0).text[:38]
    'At full droop the preload is -0.93 mm,'
    """
    entry = CATALOGUE[code]
    unit = unit or entry.unit
    text = entry.sentence.format(
        value=shown(value), limit=span or shown(limit), unit="" if unit == "1" else unit, name=name
    )
    return Finding(
        code=code,
        severity=entry.severity,
        where=where,
        value=value,
        limit=limit,
        unit=unit,
        text=" ".join(text.split()).replace(" :", ":"),
    )
