"""What stands on a bottle: an owner's own table of labels, and the grades of ISO 3448."""

import re
from collections.abc import Iterable, Mapping
from itertools import pairwise
from typing import Annotated, Any

import msgspec

from .answers import Answer, calculation
from .checked import FILL_IN, Model
from .errors import Fault, InputError
from .findings import Finding, finding
from .oils import kinematic, oil_findings
from .parts import Oil
from .physics.blend import log_blend
from .quantities import Q, UnitError

WAYS_ON = (
    "give the cSt printed on the bottle, or the mPa s printed on it (divided by the density in g/ml), or the "
    "viscosity from a timed pull or a falling ball"
)
"""What to do instead of reading a label that no table holds."""

LEAST_ROWS = 2
"""Rows between which a label can lie."""

_POINT = re.compile(r"\s*(\d{1,9}(?:[.,]\d{1,20})?)\s*:\s*(\d{1,9}(?:[.,]\d{1,20})?)(?:\s*cSt)?\s*", re.IGNORECASE)


class LabelPoint(Model, frozen=True, kw_only=True):
    """One row of an owner's table: what is printed on a bottle, and its viscosity at 25 C."""

    list_example = '"25:250 30:320 35:400", label : cSt at 25 C'

    label_value: Annotated[float, Q("label_value")]
    viscosity_cst: Annotated[float, Q("label.viscosity_cst")]

    @classmethod
    def many_from_text(cls, text: str) -> list[Mapping[str, Any]]:
        """Read "25:250 30:320"; '+' or ';' do for the blank.

        Raises
        ------
        UnitError : no such rows, or fewer than two.
        """
        if text.strip() == FILL_IN:
            raise UnitError("still to be filled in: the labels of your bottles, each with its cSt at 25 C")
        place, cleaned = 0, re.sub("[+;]", " ", text)
        found: list[Mapping[str, Any]] = []
        while place < len(cleaned):
            match = _POINT.match(cleaned, place)
            if match is None:
                raise UnitError(f"write label : cSt for each bottle, {cls.list_example.split(',')[0]}")
            label, cst = (float(part.replace(",", ".")) for part in match.groups())
            found.append({"label_value": label, "viscosity_cst": cst})
            place = match.end()
        if len(found) < LEAST_ROWS:
            raise UnitError(f"must have {LEAST_ROWS} rows or more, {cls.list_example.split(',')[0]}")
        return found


LabelTable = Annotated[tuple[LabelPoint, ...], msgspec.Meta(min_length=LEAST_ROWS, max_length=200)]


class OilFromLabel(Answer, frozen=True, kw_only=True):
    """The viscosity that an owner's own table gives a label, and the two rows it lies between."""

    viscosity_cst: Annotated[float, Q("viscosity_25_cst")]
    lower_label_value: Annotated[float, Q("table_label_value")]
    lower_cst: Annotated[float, Q("table_cst")]
    upper_label_value: Annotated[float, Q("table_label_value")]
    upper_cst: Annotated[float, Q("table_cst")]


def _told(at: int, row: LabelPoint) -> str:
    return f"row {at + 1} ({row.label_value:g}: {row.viscosity_cst:g} cSt)"


def _table_faults(rows: list[tuple[int, LabelPoint]]) -> Iterable[Fault]:
    """Neighbours of the sorted table that contradict each other."""
    for (i, low), (j, high) in pairwise(rows):
        both = f"{_told(i, low)} and {_told(j, high)}"
        if low.label_value == high.label_value:
            text = f"table holds a label twice, {both}: keep one of the two"
            yield Fault(pointer=f"/table/{j}/label_value", rule="consistent", value=high.label_value, text=text)
        elif low.viscosity_cst >= high.viscosity_cst:
            text = f"table must rise, the higher label the thicker oil; {both} do not: mend one of them"
            at = f"/table/{j}/viscosity_cst"
            limit = low.viscosity_cst
            yield Fault(pointer=at, rule="consistent", value=high.viscosity_cst, limit=limit, unit="cSt", text=text)


def _outside(label: float, rows: list[tuple[int, LabelPoint]]) -> Iterable[Fault]:
    first, last = rows[0][1].label_value, rows[-1][1].label_value
    if not first <= label <= last:
        text = (
            f"label_value = {label:g}: your table reaches from {first:g} to {last:g}, and beyond it a label says "
            f"nothing. Add a bottle of known viscosity on that side; or {WAYS_ON}"
        )
        limit = f"{first:g}..{last:g}"
        yield Fault(pointer="/label_value", rule="outside_table", value=label, limit=limit, unit="1", text=text)


@calculation()
def oil_from_label(
    *, label_value: Annotated[float, Q("label_value")], table: LabelTable | None = None
) -> OilFromLabel:
    """Viscosity of an oil from the label on its bottle, by the owner's own table of such labels.

    Between two rows the logarithm of the viscosity is taken as a straight line over the label. Nothing is read
    beyond the table, and there is none to begin with: no standard says what "wt" means on a damper oil.

    Parameters
    ----------
    label_value : the number on the bottle [1].
    table : rows of the same series of bottles, label and viscosity at 25 C, in any order; from 2 to 200.

    Raises
    ------
    InputError : no table, a label beyond it, a label twice, a viscosity that does not rise with the label.

    Examples
    --------
    >>> own = [{"label_value": 25, "viscosity_cst": 250}, {"label_value": 35, "viscosity_cst": 400}]
    >>> oil_from_label(label_value=30, table=own).viscosity_cst
    316.23
    """
    if table is None:
        text = (
            "table is missing: a label is no viscosity, and no standard says what it means. Give your own table, "
            f"{LabelPoint.list_example}; or {WAYS_ON}"
        )
        raise InputError([Fault(pointer="/table", rule="no_label_table", text=text)])
    rows = sorted(enumerate(table), key=lambda row: (row[1].label_value, row[0]))
    faults = [*_table_faults(rows), *_outside(label_value, rows)]
    if faults:
        raise InputError(faults)
    points = [row for _, row in rows]
    low, high = next(pair for pair in pairwise(points) if label_value <= pair[1].label_value)
    share = (label_value - low.label_value) / (high.label_value - low.label_value)
    return OilFromLabel(
        viscosity_cst=float(log_blend(low.viscosity_cst, high.viscosity_cst, share)),  # ln nu straight in the label
        lower_label_value=low.label_value,
        lower_cst=low.viscosity_cst,
        upper_label_value=high.label_value,
        upper_cst=high.viscosity_cst,
    )


ISO_3448 = (
    (2, 1.98, 2.42),
    (3, 2.88, 3.52),
    (5, 4.14, 5.06),
    (7, 6.12, 7.48),
    (10, 9.0, 11.0),
    (15, 13.5, 16.5),
    (22, 19.8, 24.2),
    (32, 28.8, 35.2),
    (46, 41.4, 50.6),
    (68, 61.2, 74.8),
    (100, 90.0, 110.0),
    (150, 135.0, 165.0),
    (220, 198.0, 242.0),
    (320, 288.0, 352.0),
    (460, 414.0, 506.0),
    (680, 612.0, 748.0),
    (1000, 900.0, 1100.0),
    (1500, 1350.0, 1650.0),
    (2200, 1980.0, 2420.0),  # from memory
    (3200, 2880.0, 3520.0),  # from memory
)
"""ISO 3448:1992, viscosity grades VG: grade, lowest and highest viscosity at 40 C, mm2/s (middle +-10 %)."""

ISO_C = 40.0
"""Temperature at which the grades hold."""
AT_THE_LIMIT = 1e-9
"""Share of a limit within which a viscosity counts as on it: round-off of the oil's law."""


class IsoGrade(Answer, frozen=True, kw_only=True):
    """The ISO viscosity grade of an oil, if it has one, and the grades next to it."""

    viscosity_40_cst: Annotated[float, Q("viscosity_40_cst")]
    grade: Annotated[int, Q("iso_grade_number")] | None
    low_cst: Annotated[float, Q("iso_low_cst")] | None
    high_cst: Annotated[float, Q("iso_high_cst")] | None
    grade_below: Annotated[int, Q("iso_grade_number")] | None
    grade_above: Annotated[int, Q("iso_grade_number")] | None


def _no_grade(cst: float, below: int | None, above: int | None) -> list[Finding]:
    """Why there is no grade: a gap of the standard, or beyond its ends."""
    limits = {grade: (low, high) for grade, low, high in ISO_3448}
    if below is not None and above is not None:
        span = f"{limits[below][1]:g} to {limits[above][0]:g}"
        name = f"VG {below} and VG {above}"
        return [finding("between_iso_grades", "/oil", cst, name=name, span=span)]
    end, name = (limits[above][0], "thinner") if above is not None else (ISO_3448[-1][2], "thicker")
    return [finding("outside_iso_grades", "/oil", cst, end, name=name)]


@calculation()
def iso_grade(*, oil: Oil) -> IsoGrade:
    """ISO viscosity grade (VG) of an oil, from its viscosity at 40 C; none in a gap between two grades.

    `grade_below` is the highest grade whose lower limit the oil reaches, `grade_above` the lowest whose upper
    limit it keeps; both are the grade itself where there is one. Industrial petroleum oils are sold by it;
    silicone oils are named by their viscosity at 25 C.

    Parameters
    ----------
    oil : the oil, its viscosity [mm2/s = cSt] at its reference temperature [C].

    Raises
    ------
    InputError : a value is impossible.

    Examples
    --------
    >>> sheet = {"viscosity_cst": 5.4, "temperature_c": 100}
    >>> iso_grade(
    ...     oil=Oil(viscosity_cst=32, reference_temperature_c=40, family="petroleum", second_point=sheet)
    ... ).grade
    32
    """
    cst = kinematic(oil, ISO_C) * 1e6
    more, less = cst * (1.0 + AT_THE_LIMIT), cst * (1.0 - AT_THE_LIMIT)
    below = max((grade for grade, low, _ in ISO_3448 if low <= more), default=None)
    above = min((grade for grade, _, high in ISO_3448 if less <= high), default=None)
    grade = below if below == above else None
    found = oil_findings(oil, ISO_C, "/oil")
    if grade is None:
        found += _no_grade(cst, below, above)
    if oil.family == "silicone":
        found.append(finding("silicone_named_at_25", "/oil", kinematic(oil, 25.0) * 1e6))
    low, high = next(((low, high) for name, low, high in ISO_3448 if name == grade), (None, None))
    return IsoGrade(
        findings=tuple(found),
        viscosity_40_cst=cst,
        grade=grade,
        low_cst=low,
        high_cst=high,
        grade_below=below,
        grade_above=above,
    )
