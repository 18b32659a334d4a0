"""Laws of `oil_from_label` and `iso_grade`, and what they refuse."""

from itertools import pairwise
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from libdamp import InputError, calculate
from libdamp.grading import ISO_3448, IsoGrade, LabelPoint, iso_grade, oil_from_label
from libdamp.parts import Oil, SecondPoint
from tests.strategies import between, over_decades

Table = tuple[LabelPoint, ...]


@st.composite
def tables(draw: st.DrawFn) -> Table:
    """Rising tables of two to nine rows, in any order."""
    size = draw(st.integers(2, 9))
    steps = st.lists(over_decades(0.1, 100.0), min_size=size, max_size=size)
    growths = st.lists(over_decades(1.001, 2.0), min_size=size, max_size=size)
    label, cst, rows = 0.0, 20.0, []
    for step, growth in zip(draw(steps), draw(growths), strict=True):
        label, cst = label + step, cst * growth
        rows.append(LabelPoint(label_value=label, viscosity_cst=cst))
    return tuple(draw(st.permutations(rows)))


def _rows(table: Table) -> list[tuple[float, float]]:
    return sorted((row.label_value, row.viscosity_cst) for row in table)


def _at(table: Table, label: float) -> float:
    return oil_from_label(label_value=label, table=table).viscosity_cst


def _inside(table: Table, share: float) -> float:
    low, high = _rows(table)[0][0], _rows(table)[-1][0]
    return min(max(low + share * (high - low), low), high)


shares = between(0.0, 1.0)


@given(tables())
def test_hits_its_own_rows(table: Table) -> None:
    """At a row's label the answer is the row's viscosity."""
    for label, cst in _rows(table):
        assert _at(table, label) == pytest.approx(cst, rel=1e-14)


@given(tables(), shares, shares)
def test_rises(table: Table, one: float, other: float) -> None:
    """A higher label is never the thinner oil."""
    low, high = (_at(table, _inside(table, share)) for share in sorted((one, other)))
    assert high >= low * (1.0 - 1e-14)


@given(tables(), shares)
def test_between_its_neighbours(table: Table, share: float) -> None:
    """The label and the viscosity lie between those of the two rows that are named; these are neighbours."""
    label = _inside(table, share)
    answer = oil_from_label(label_value=label, table=table)
    assert answer.lower_label_value <= label <= answer.upper_label_value
    assert answer.lower_cst * (1 - 1e-14) <= answer.viscosity_cst <= answer.upper_cst * (1 + 1e-14)
    named = ((answer.lower_label_value, answer.lower_cst), (answer.upper_label_value, answer.upper_cst))
    assert named in list(pairwise(_rows(table)))


@given(tables())
def test_halfway_is_the_geometric_mean(table: Table) -> None:
    """Halfway between two labels the viscosity is the geometric mean of theirs."""
    for (low, thin), (high, thick) in pairwise(_rows(table)):
        assert _at(table, 0.5 * (low + high)) == pytest.approx((thin * thick) ** 0.5, rel=1e-10)


@given(tables(), shares, st.randoms(use_true_random=False))
def test_order_of_rows(table: Table, share: float, random: Any) -> None:
    """The order of the rows does not matter."""
    mixed = list(table)
    random.shuffle(mixed)
    label = _inside(table, share)
    assert _at(tuple(mixed), label) == _at(table, label)


@given(tables(), between(0.001, 10.0), st.booleans())
def test_nothing_beyond_the_table(table: Table, beyond: float, above: bool) -> None:
    """A label outside the table is refused, with the ways on; none is extrapolated."""
    low, high = _rows(table)[0][0], _rows(table)[-1][0]
    label = high + beyond if above else low - beyond
    assume(label >= 0.0)
    with pytest.raises(InputError) as caught:
        _at(table, label)
    (fault,) = caught.value.faults
    assert (fault.pointer, fault.rule) == ("/label_value", "outside_table")
    assert all(way in fault.text for way in ("cSt", "mPa s", "timed pull", "falling ball"))


@pytest.mark.parametrize("more", [{}, {"table": None}])
def test_no_table_to_begin_with(more: dict[str, None]) -> None:
    """Without a table a label is refused, with the ways on."""
    with pytest.raises(InputError) as caught:
        calculate("oil_from_label", {"label_value": 30, **more})
    (fault,) = caught.value.faults
    assert (fault.pointer, fault.rule) == ("/table", "no_label_table")
    ways = ("own table", "cSt", "mPa s", "timed pull", "falling ball")
    assert all(way in fault.text for way in ways)


FAULTY: list[tuple[str, str | list[Any], list[tuple[str, str]]]] = [
    ("one row", [{"label_value": 25, "viscosity_cst": 250}], [("/table", "length")]),
    ("one row as text", "25:250", [("/table", "text")]),
    ("no row as text", "", [("/table", "text")]),
    ("no rows", [], [("/table", "length")]),
    ("too many rows", [{"label_value": n, "viscosity_cst": 20 + n} for n in range(201)], [("/table", "length")]),
    ("no such text", "25=250", [("/table", "text")]),
    ("still to fill in", "?", [("/table", "text")]),
    ("a label twice", "25:250 30:330 25:320", [("/table/2/label_value", "consistent")]),
    ("falling", "25:250 30:240 35:400", [("/table/1/viscosity_cst", "consistent")]),
    ("level", "25:250 30:250 35:400", [("/table/1/viscosity_cst", "consistent")]),
    (
        "all at once",
        "25:250 27:240 27:260 20:300 26:255",
        [
            ("/table/0/viscosity_cst", "consistent"),
            ("/table/1/viscosity_cst", "consistent"),
            ("/table/2/label_value", "consistent"),
            ("/label_value", "outside_table"),
        ],
    ),
    ("values", "25:0.1 30:300", [("/table/0/viscosity_cst", "range")]),
]


@pytest.mark.parametrize(("label", "table", "faults"), FAULTY, ids=[label for label, *_ in FAULTY])
def test_faulty_tables(label: str, table: Any, faults: list[tuple[str, str]]) -> None:  # noqa: ARG001
    """Every fault of a table at once, each at its row, both rows named."""
    with pytest.raises(InputError) as caught:
        calculate("oil_from_label", {"label_value": 30, "table": table})
    assert [(fault.pointer, fault.rule) for fault in caught.value.faults] == faults
    for fault in caught.value.faults:
        assert fault.rule != "consistent" or fault.text.count("row ") == 2


@pytest.mark.parametrize(
    "text", ["25:250 30:320", "25:250+30:320", " 25:250 ; 30:320 cSt", "25,0:250.0 30:320", "25 : 250 cst 30 : 320"]
)
def test_table_as_text(text: str) -> None:
    """A table may be written as a text, for a spreadsheet's cell or a column."""
    plain = [{"label_value": 25, "viscosity_cst": 250}, {"label_value": 30, "viscosity_cst": 320}]
    wanted = calculate("oil_from_label", {"label_value": 27, "table": plain})
    assert calculate("oil_from_label", {"label_value": 27, "table": text}) == wanted


def _graded(cst: float, family: str = "silicone") -> IsoGrade:
    """Grade of an oil with that viscosity at 40 C."""
    if cst >= 20.0:
        hot = SecondPoint(viscosity_cst=max(1.0, 0.2 * cst), temperature_c=100.0)
        return iso_grade(
            oil=Oil(viscosity_cst=cst, reference_temperature_c=40.0, family=family, second_point=hot)  # type: ignore[arg-type]
        )
    point = SecondPoint(viscosity_cst=cst, temperature_c=40.0)
    return iso_grade(oil=Oil(viscosity_cst=max(20.0, 6.0 * cst), reference_temperature_c=-20.0, second_point=point))


def test_limits_of_the_grades() -> None:
    """Each grade is its middle +-10 %, the grades do not touch, and rise."""
    middles = {2: 2.2, 3: 3.2, 5: 4.6, 7: 6.8}
    for grade, low, high in ISO_3448:
        middle = middles.get(grade, float(grade))
        assert (low, high) == pytest.approx((0.9 * middle, 1.1 * middle), rel=1e-12)
    for (one, _, high), (other, low, _) in pairwise(ISO_3448):
        assert one < other
        assert high < low


@pytest.mark.parametrize(("grade", "low", "high"), ISO_3448)
def test_ends_of_a_grade(grade: int, low: float, high: float) -> None:
    """Both limits belong to the grade; a hundredth per cent beyond them there is none."""
    for cst in (low, high, 0.5 * (low + high)):
        found = _graded(cst)
        assert (found.grade, found.grade_below, found.grade_above) == (grade, grade, grade)
        assert (found.low_cst, found.high_cst) == (low, high)
    for cst in (0.9999 * low, 1.0001 * high):
        assert _graded(cst).grade is None


@pytest.mark.parametrize(("below", "above"), list(pairwise(ISO_3448)))
def test_gaps_are_gaps(below: tuple[int, float, float], above: tuple[int, float, float]) -> None:
    """Between two grades there is none: both are named, and a finding says why."""
    for share in (0.001, 0.5, 0.999):
        found = _graded(below[2] + share * (above[1] - below[2]))
        assert (found.grade, found.low_cst, found.high_cst) == (None, None, None)
        assert (found.grade_below, found.grade_above) == (below[0], above[0])
        (told,) = (f for f in found.findings if f.code == "between_iso_grades")
        assert f"VG {below[0]} and VG {above[0]}" in told.text


@given(over_decades(1.5, 15_000.0))
def test_every_viscosity_has_its_place(cst: float) -> None:
    """In a grade, in a gap, or beyond the ends; what is null is told."""
    found = _graded(cst)
    assert found.viscosity_40_cst == pytest.approx(cst, rel=1e-12)
    inside = [grade for grade, low, high in ISO_3448 if low <= cst <= high]
    codes = {f.code for f in found.findings}
    if found.grade is not None:
        assert found.low_cst is not None
        assert found.high_cst is not None
        assert found.low_cst * (1 - 1e-8) <= cst <= found.high_cst * (1 + 1e-8)
        assert not codes & {"between_iso_grades", "outside_iso_grades"}
    else:
        assert inside == []
        assert len(codes & {"between_iso_grades", "outside_iso_grades"}) == 1
    assert (found.grade_below is None) == (cst < 1.98 * (1 - 1e-9))
    assert (found.grade_above is None) == (cst > 3520.0 * (1 + 1e-9))


@pytest.mark.parametrize(("cst", "word", "end"), [(1.5, "thinner", "1.98"), (9000.0, "thicker", "3520")])
def test_beyond_all_grades(cst: float, word: str, end: str) -> None:
    """Beyond the table's ends the nearest end is named."""
    (told,) = (f for f in _graded(cst).findings if f.code == "outside_iso_grades")
    assert word in told.text
    assert end in told.text


def test_silicone_is_told() -> None:
    """A silicone oil gets its grade and is told that it is named at 25 C; a petroleum oil is not."""
    silicone = iso_grade(oil=Oil(viscosity_cst=100.0))
    (told,) = (f for f in silicone.findings if f.code == "silicone_named_at_25")
    assert told.value == pytest.approx(100.0, rel=1e-14)
    assert silicone.viscosity_40_cst == pytest.approx(75.408, abs=5e-4)
    assert (silicone.grade, silicone.grade_below, silicone.grade_above) == (None, 68, 100)
    assert "silicone_named_at_25" not in {f.code for f in _graded(46.0, "petroleum").findings}
