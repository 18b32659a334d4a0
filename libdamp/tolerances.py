"""`tolerance`: how far off the outputs of any calculation may be, and which input to measure next."""

from collections.abc import Sequence
from concurrent.futures import Executor
from typing import Annotated, Any, Literal

import msgspec
import numpy as np

from .answers import Answer, calculation
from .errors import Fault, InputError
from .findings import Finding, finding, shown
from .physics.numbers import Array
from .quantities import Q
from .repeating import Asked, Lookup, Progress, bounded, chosen, nothing_known, output, outputs_of, unit_of
from .sampling import ALONG, BY_ARRAYS, Setting, Table, setting, table_of, within_faults
from .shares import NOISE, summary, variance_shares
from .sweeping import Address, Only, Request, within_request
from .typical import SPREAD
from .uncertain import Follower, Input, InputSpread, Kind

LEAST_DRAWS = 2
CLEAR_SHARE = 0.1
"""Share from which something not yet measured is named first, though a measured input may weigh more."""
SAID_IMPOSSIBLE = 0.01
"""Share of impossible draws from which the answer says so."""

Spreads = Annotated[dict[str, InputSpread], msgspec.Meta(max_length=100)]


class UncertainInput(msgspec.Struct, frozen=True, kw_only=True):
    """One input that is drawn: where, why, around what, how; how to measure it."""

    path: str
    kind: Kind
    nominal: Annotated[float, Q("input.nominal")]
    unit: str
    sd: Annotated[float, Q("input.sd")]
    spread: str
    how_to_measure: str


class VarianceShare(msgspec.Struct, frozen=True, kw_only=True):
    """Share of one input."""

    path: str
    share: Annotated[float, Q("variance.share")]


class OutputBand(msgspec.Struct, frozen=True, kw_only=True):
    """Band of one output; shares of its variance, the largest first; what to measure next and what is left then.

    `measure_with`: what was assumed and `measure_next` worked out from; one without the other makes a wider band.
    """

    output: str
    unit: str
    nominal: Annotated[float, Q("band.nominal")] | None
    mean: Annotated[float, Q("band.mean")] | None
    sd: Annotated[float, Q("band.sd")] | None
    low_5: Annotated[float, Q("band.low_5")] | None
    high_95: Annotated[float, Q("band.high_95")] | None
    shares: tuple[VarianceShare, ...]
    remainder: Annotated[float, Q("band.remainder")]
    culprit: str | None
    measure_next: str | None
    measure_with: tuple[str, ...]
    sd_when_measured: Annotated[float, Q("band.sd_when_measured")] | None
    sentence: str


class RangeBand(msgspec.Struct, frozen=True, kw_only=True):
    """An output over all ends of the ranges and along each alone, everything else as given; shares of its width."""

    output: str
    unit: str
    low: Annotated[float, Q("ranges.low")] | None
    high: Annotated[float, Q("ranges.high")] | None
    shares: tuple[VarianceShare, ...]
    culprit: str | None


class Tolerance(Answer, frozen=True, kw_only=True):
    """Bands of the outputs; of the ranges alone; the inputs that are drawn."""

    outputs: tuple[OutputBand, ...]
    ranges: tuple[RangeBand, ...]
    inputs: tuple[UncertainInput, ...]
    samples: Annotated[int, Q("draws.samples")]
    impossible: Annotated[int, Q("draws.impossible")]


def _number(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None


def _parted(inputs: Sequence[Input], shares: Array) -> tuple[VarianceShare, ...]:
    """Shares of the inputs, the largest first."""
    order = np.argsort(-shares, kind="stable")
    return tuple(VarianceShare(path=inputs[i].name, share=float(shares[i])) for i in order)


def _next(inputs: Sequence[Input], shares: Array) -> int | None:
    """Which input to measure next: the weightiest not measured yet, or where those weigh little, the weightiest."""
    if not shares.size or float(np.max(shares)) <= 0.0:
        return None
    unmeasured = np.array([one.kind in ("assumed", "range") for one in inputs])
    there = np.where(unmeasured, shares, 0.0)
    return int(np.argmax(there if float(np.max(there)) >= CLEAR_SHARE else shares))


def _how(one: Input) -> str:
    """How to measure an input, and how long it takes where that is known."""
    how = one.row.how_to_measure if one.assumed is None else one.assumed.how_to_measure
    minutes = f"; {SPREAD[one.path[-1]].minutes:g} min" if one.assumed is not None else ""
    return f"{how}{minutes}" if how else "measure it"


def _with_it(best: int | None, inputs: Sequence[Input], led: Sequence[Follower]) -> list[int]:
    """Places of what was assumed and an input worked out from, if it was."""
    leaders = {one.leader for one in led if best is not None and one.path == inputs[best].path}
    return [i for i, one in enumerate(inputs) if one.path in leaders and one.kind == "assumed"]


def _sentence(band: OutputBand, inputs: Sequence[Input], left: float | None, best: int | None) -> str:
    """The band in words: how wide, why, and what to measure next."""
    unit = "" if band.unit in ("", "1") else f" {band.unit}"
    if band.low_5 is None or band.sd is None:
        return f"{band.output} does not exist for these draws."
    if best is None or not band.shares:
        exact = "what is not drawn is taken as exact, give it a spread to draw it too"
        return f"{band.output} is {shown(band.mean)}{unit}: nothing that is drawn moves it; {exact}."
    first, one = band.shares[0], inputs[best]
    when = "more finely" if one.kind == "measured" else "next"
    kept = "nothing" if not left else f"{left:.0%} of the width"
    partners = ", ".join(band.measure_with)
    others = f", and with it {partners}, which it was worked out from" if partners else ""
    return (
        f"{band.output} is {shown(band.low_5)} to {shown(band.high_95)}{unit} in nine of ten draws; "
        f"{first.share:.0%} of the variance is from {first.path}. Measure {one.name} {when} ({_how(one)}){others}: "
        f"{kept} is left."
    )


def _band(
    name: str, unit: str, nominal: float | None, column: Array, table: Table, inputs: Sequence[Input]
) -> OutputBand:
    """Band of one output over the draws for which it exists."""
    column = column[: table.samples]
    there = np.isfinite(column)
    empty = OutputBand(
        output=name,
        unit=unit,
        nominal=nominal,
        mean=None,
        sd=None,
        low_5=None,
        high_95=None,
        shares=(),
        remainder=0.0,
        culprit=None,
        measure_next=None,
        measure_with=(),
        sd_when_measured=None,
        sentence="",
    )
    if int(np.sum(there)) < LEAST_DRAWS:
        return msgspec.structs.replace(empty, sentence=_sentence(empty, inputs, None, None))
    values = column[there]
    told = summary(values, float(values[0]) if nominal is None else nominal)
    shares = variance_shares(table.inputs[there], values)
    best = _next(inputs, shares)
    partners = _with_it(best, inputs, table.led)
    left = None if best is None else float(np.sqrt(max(0.0, 1.0 - float(np.sum(shares[[best, *partners]])))))
    band = msgspec.structs.replace(
        empty,
        **told._asdict(),
        shares=_parted(inputs, shares),
        remainder=1.0 - float(np.sum(shares)) if told.sd > 0.0 else 0.0,
        culprit=None if best is None else inputs[int(np.argmax(shares))].name,
        measure_next=None if best is None else inputs[best].name,
        measure_with=tuple(inputs[i].name for i in partners),
        sd_when_measured=None if left is None else told.sd * left,
    )
    return msgspec.structs.replace(band, sentence=_sentence(band, inputs, left, best))


def _range_band(name: str, unit: str, column: Array, table: Table, ranged: Sequence[Input]) -> RangeBand:
    """Band of one output over the ends of the ranges."""
    alone = column[table.samples + table.ends :].reshape(-1, ALONG)
    known = np.isfinite(alone)
    widths = np.max(np.where(known, alone, -np.inf), axis=1) - np.min(np.where(known, alone, np.inf), axis=1)
    widths = np.where(known.any(axis=1), widths, 0.0)
    ends = column[table.samples :]
    there = ends[np.isfinite(ends)]
    noise = NOISE * max(1.0, float(np.max(np.abs(there)))) if there.size else 0.0
    whole = float(np.sum(np.where(widths > noise, widths, 0.0)))
    shares = widths / whole if whole > 0.0 else widths
    return RangeBand(
        output=name,
        unit=unit,
        low=float(np.min(there)) if there.size else None,
        high=float(np.max(there)) if there.size else None,
        shares=_parted(ranged, shares),
        culprit=ranged[int(np.argmax(shares))].name if whole > 0.0 else None,
    )


def _findings(bands: Sequence[OutputBand], ranges: Sequence[RangeBand], table: Table) -> list[Finding]:
    """What is missing, what does not move, how many draws cannot be."""
    fits = table.fits[: table.samples]
    ends = table.fits[table.samples : table.samples + table.ends]
    found = []
    for name, rows in (("draws", fits), ("ends of the ranges", ends)):
        impossible = float(np.mean(~rows)) if rows.size else 0.0
        if impossible > SAID_IMPOSSIBLE:
            value, limit = 100.0 * impossible, 100.0 * SAID_IMPOSSIBLE
            found.append(finding("draws_impossible", "/request", value, limit, name=name))
    for i, band in enumerate(bands):
        lacking = float(np.mean(np.isnan(table.outputs[i][: table.samples][fits]))) if fits.any() else 1.0
        if lacking > 0.0 or band.nominal is None or (ranges and ranges[i].low is None):
            found.append(finding("output_missing", f"/only/{i}", 100.0 * lacking, name=band.output))
    of_ranges = [r.output for r in ranges if r.low is not None and r.culprit is None]
    of_draws = [b.output for b in bands if b.sd is not None and b.culprit is None]
    for span, still in (("None of the ranges", of_ranges), ("Nothing that is drawn", of_draws)):
        if still:
            found.append(finding("no_spread", "/only", name=", ".join(still), span=span))
    return found


def _told_input(one: Input, column: Array) -> UncertainInput:
    return UncertainInput(
        path=one.name,
        kind=one.kind,
        nominal=one.nominal,
        unit=one.row.unit,
        sd=summary(column, one.nominal).sd,
        spread=one.spread,
        how_to_measure=one.row.how_to_measure if one.assumed is None else one.assumed.how_to_measure,
    )


@calculation()
def tolerance(
    *,
    calculation: Address,
    request: Request,
    only: Only,
    samples: Annotated[int, Q("samples")] = 2000,
    seed: Annotated[int, Q("seed")] = 1,
    spreads: Spreads | None = None,
    holes: Literal["shanks", "hand"] = "shanks",
    executor: Executor | None = None,
    progress: Progress | None = None,
    lookup: Lookup = nothing_known,
) -> Tolerance:
    """How far off the outputs of a calculation may be, which input is to blame, and what to measure next.

    Holes, oil, temperature and piston thickness are drawn as measured at home (normal; standard deviations of
    0.02 mm, 5 %, 2 C, 0.05 mm), what was assumed from the size over its whole spread (uniform). A number given as
    "1.5..1.8", or as "?" when it is not known, is drawn evenly between its ends, and worked out at the ends too.

    Parameters
    ----------
    calculation : its name.
    request : a request of it; what its size lets be assumed may be left out, numbers may be ranges.
    only : outputs that are numbers, "frequency_hz", "energy.gas_j", "force_n.3".
    samples : how many draws [1].
    seed : what the draws begin from [1]; the same seed gives the same answer.
    spreads : by input, its own spread instead of the usual one: sd or rel_sd (normal), half_width, or low and high.
    holes : "shanks", measured with drill shanks; "hand", drilled by hand and not measured (0.05 mm).

    Raises
    ------
    InputError : no such calculation, input or output, or the request itself is not acceptable.
    TooCostly : more work than the bound; `ride` has none, it takes all draws at once.
    Cancelled : `progress`, called with what is done of how much, gave a true answer.

    Examples
    --------
    >>> from libdamp import tolerance
    >>> told = tolerance(
    ...     calculation="oil_viscosity",
    ...     request={"oil": "325 cst", "temperature_c": 25},
    ...     only=["viscosity_cst"],
    ...     spreads={"temperature_c": {"sd": 0}},
    ... )
    >>> told.outputs[0].sd, told.outputs[0].culprit
    (16.25, 'oil.viscosity_cst')
    """
    entry = chosen(calculation, lookup)
    faults: list[Fault] = []
    paths = outputs_of(entry, only, faults, numbers=True)
    asked = Asked(calculation, entry, paths, lookup, executor, progress)
    known = setting(asked, request, spreads or {}, holes, faults)
    if calculation not in BY_ARRAYS:
        bounded(calculation, samples, "draws")
    try:
        answer = entry.answered(known.plain)
    except InputError as error:
        raise InputError(within_faults(error.faults)) from None
    return _told(asked, only, known, answer, table_of(asked, known, samples, seed))


def _told(asked: Asked, only: Sequence[str], known: Setting, answer: Any, table: Table) -> Tolerance:
    """The answer from all rows and the answer to the request as it stands."""
    nominal = [_nominal(answer, path) for path in asked.only]
    outputs = table.outputs or [np.full(table.samples, np.nan if n is None else n) for n in nominal]
    table = table._replace(outputs=outputs)
    units = [unit_of(asked.entry, path) for path in asked.only]
    ranged = [one for one in known.inputs if one.kind == "range"]
    bands = tuple(_band(name, units[i], nominal[i], outputs[i], table, known.inputs) for i, name in enumerate(only))
    ranges = tuple(_range_band(name, units[i], outputs[i], table, ranged) for i, name in enumerate(only) if ranged)
    own = [msgspec.structs.replace(f, where=f"/request{f.where}") for f in answer.findings]
    return Tolerance(
        findings=(*own, *_findings(bands, ranges, table)),
        assumed=within_request(known.assumed),
        cautions=answer.cautions,
        outputs=bands,
        ranges=ranges,
        inputs=tuple(_told_input(one, table.inputs[:, i]) for i, one in enumerate(known.inputs)),
        samples=table.samples,
        impossible=int(np.sum(~table.fits[: table.samples])),
    )


def _nominal(answer: Any, path: tuple[str, ...]) -> float | None:
    """Output of the request as it stands; None where it does not exist."""
    try:
        value = output(answer, path)
    except InputError:
        return None
    return None if value is None else float(value)
