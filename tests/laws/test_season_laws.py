"""Laws of `season`: the same damping, thicker where it is warmer, one temperature like many, words like numbers."""

import re
from itertools import pairwise

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from libdamp import BoxOil, Corner, Oil, SecondPoint, oil_blend, oil_for_temperature, ride, season
from libdamp.demo import demo_corner
from libdamp.seasons import WITHIN, Season
from tests.drawn import examples
from tests.model_strategies import oils, replaced, standing_corners
from tests.strategies import between, over_decades

FRONT = demo_corner("demo-truck.front")
SOME = tuple(BoxOil(viscosity_cst=cst) for cst in (200, 250, 300, 350, 400, 500))
POSSIBLE_CST = (20.0, 20_000.0)
"""Of an oil in a request."""
celsius = between(-10.0, 60.0)
hundredths_c = st.integers(-1000, 6000).map(lambda n: 0.01 * n)
bottles = st.lists(over_decades(100.0, 1500.0), max_size=6).map(
    lambda grades: tuple(BoxOil(viscosity_cst=grade) for grade in grades)
)


def _with(corner: Corner, oil: Oil, **fill: float) -> Corner:
    shock = replaced(corner.shock, oil=oil)
    return replaced(corner, shock=replaced(shock, fill=replaced(shock.fill, **fill)))


def _codes(answer: Season) -> set[str]:
    return {found.code for found in answer.findings}


@settings(max_examples=examples(10))
@given(standing_corners(), celsius, celsius)
def test_the_wanted_oil_keeps_the_damping_ratio(corner: Corner, reference: float, warm: float) -> None:
    """`ride` with the wanted oil has the damping ratio that the corner has at the reference."""
    corner = _with(corner, Oil(viscosity_cst=corner.shock.oil.viscosity_cst))
    asked = season(corner=corner, temperatures_c=(warm,), reference_temperature_c=reference)
    (wanted,) = asked.wanted_viscosity_cst
    assume(POSSIBLE_CST[0] <= wanted <= POSSIBLE_CST[1])
    made = ride(corner=_with(corner, Oil(viscosity_cst=wanted)), temperature_c=warm)
    before = ride(corner=corner, temperature_c=reference)
    if before.damping_ratio_compression is None or made.damping_ratio_compression is None:
        return  # stiffness of the gas follows the temperature: it may stand at one and not at the other
    assert before.wheel_rate_n_mm is not None
    assert made.wheel_rate_n_mm is not None
    stiffer = (made.wheel_rate_n_mm / before.wheel_rate_n_mm) ** 0.5
    assert made.damping_ratio_compression * stiffer == pytest.approx(before.damping_ratio_compression, rel=1e-9)
    assert asked.wanted_damping_ratio_compression == pytest.approx(before.damping_ratio_compression, rel=1e-9)
    same = oil_for_temperature(oil=corner.shock.oil, from_temperature_c=reference, to_temperature_c=warm)
    assert wanted == pytest.approx(same.viscosity_cst, rel=1e-12)


@given(oils(), celsius)
def test_at_the_reference_the_oil_stays(oil: Oil, reference: float) -> None:
    """Whatever is in hand, at the reference temperature the oil stays in."""
    corner = _with(FRONT, oil)
    made = season(corner=corner, temperatures_c=(reference,), oils=SOME, reference_temperature_c=reference)
    assert made.advice == ("leave",)
    assert made.bottles == ((),)
    assert made.damping_error_share == pytest.approx((0.0,), abs=1e-12)
    assert made.damping_ratio_rebound == made.damping_ratio_rebound_unchanged
    assert made.sentences[0].endswith("as wanted")


@given(st.lists(hundredths_c, min_size=2, max_size=12, unique=True).map(sorted), bottles, st.booleans())
def test_warmer_is_never_thinner(warm: list[float], in_hand: tuple[BoxOil, ...], mixed: bool) -> None:
    """The wanted oil grows thicker with every degree, what is fitted never thinner."""
    made = season(corner=FRONT, temperatures_c=tuple(warm), oils=in_hand, mix_oils=mixed)
    wanted = made.wanted_viscosity_cst
    assert all(a < b for a, b in pairwise(wanted))
    fitted = [cst for cst in made.viscosity_cst if cst is not None]
    assert all(a <= b * (1.0 + 1e-12) for a, b in pairwise(fitted))
    left = made.damping_error_share_unchanged
    assert all(a is not None and b is not None and a > b for a, b in pairwise(left))


@settings(max_examples=examples(12))
@given(standing_corners(), st.lists(celsius, min_size=2, max_size=5), bottles, celsius)
def test_many_are_like_one(
    corner: Corner, warm: list[float], in_hand: tuple[BoxOil, ...], reference: float
) -> None:
    """Each row of many temperatures is that of the temperature alone."""
    rest = {"corner": corner, "oils": in_hand, "reference_temperature_c": reference}
    made = season(temperatures_c=tuple(warm), **rest)
    for i, one in enumerate(season(temperatures_c=(t,), **rest) for t in warm):
        for name in Season.__struct_fields__[6:]:
            there, alone = getattr(made, name)[i], getattr(one, name)[0]
            assert there == (pytest.approx(alone, rel=1e-12) if isinstance(alone, float) else alone), name


@settings(max_examples=examples(10))
@given(st.lists(oils(), min_size=1, max_size=5), st.lists(celsius, min_size=1, max_size=4))
def test_what_is_fitted_does_what_is_said(in_hand: list[Oil], warm: list[float]) -> None:
    """A bottle, put into the corner, gives the damping ratio of its row; so does what stays in; cap closed cold."""
    corner = _with(FRONT, FRONT.shock.oil, filled_at_c=20.0)
    boxed = tuple(BoxOil(**{name: getattr(oil, name) for name in Oil.__struct_fields__}) for oil in in_hand)
    made = season(corner=corner, temperatures_c=tuple(warm), oils=boxed, mix_oils=False)
    for i, t in enumerate(warm):
        kept = ride(corner=corner, temperature_c=t)
        assert made.damping_ratio_rebound_unchanged[i] == pytest.approx(kept.damping_ratio_rebound, rel=1e-9)
        oil = in_hand[made.bottles[i][0]] if made.bottles[i] else corner.shock.oil
        single = ride(corner=_with(corner, oil), temperature_c=t)
        assert made.damping_ratio_compression[i] == pytest.approx(single.damping_ratio_compression, rel=1e-9)
        assert made.damping_ratio_rebound[i] == pytest.approx(single.damping_ratio_rebound, rel=1e-9)


@given(celsius, st.booleans())
def test_a_mixture_is_that_of_oil_blend(warm: float, petroleum: bool) -> None:
    """A mixture has the viscosity of `oil_blend`, and the corner with it the damping ratio of its row."""
    grades = (68.0, 150.0) if petroleum else (210.0, 370.0)
    made = [_petroleum(cst) if petroleum else BoxOil(viscosity_cst=cst) for cst in grades]
    answer = season(corner=FRONT, temperatures_c=(warm,), oils=tuple(made))
    if answer.advice != ("mix",):
        return
    thin, thick = (Oil(**{n: getattr(made[i], n) for n in Oil.__struct_fields__}) for i in answer.bottles[0])
    few, more = answer.parts[0]
    assert answer.thick_share[0] == pytest.approx(more / (few + more), rel=1e-15)
    blend = oil_blend(thin=thin, thick=thick, thick_share=answer.thick_share[0])
    assert answer.viscosity_cst[0] == pytest.approx(blend.viscosity_cst, rel=1e-12)
    assert ("blend_uncertain" in _codes(answer)) == ("blend_uncertain" in {f.code for f in blend.findings})
    if not petroleum:
        single = ride(corner=_with(FRONT, Oil(viscosity_cst=blend.viscosity_cst)), temperature_c=warm)
        assert answer.damping_ratio_compression[0] == pytest.approx(single.damping_ratio_compression, rel=1e-9)


def _petroleum(cst: float) -> BoxOil:
    point = SecondPoint(viscosity_cst=cst**0.5, temperature_c=100.0)
    return BoxOil(viscosity_cst=cst, reference_temperature_c=40.0, family="petroleum", second_point=point)


@given(st.lists(celsius, min_size=1, max_size=6), bottles)
def test_gaps_and_words_follow_the_numbers(warm: list[float], in_hand: tuple[BoxOil, ...]) -> None:
    """A gap is found exactly where the error is beyond 5 %; each sentence has its row's error, with its sign."""
    made = season(corner=FRONT, temperatures_c=tuple(warm), oils=in_hand)
    gaps = {found.where for found in made.findings if found.code == "season_gap"}
    far = {i for i, off in enumerate(made.damping_error_share) if off is not None and abs(off) > WITHIN}
    assert gaps == {f"/temperatures_c/{i}" for i in far}
    assert ("no_bottles" in _codes(made)) == (None in made.advice)
    for i, sentence in enumerate(made.sentences):
        assert sentence.startswith(f"{warm[i]:g} C: ")
        off = made.damping_error_share[i] if made.advice[i] else made.damping_error_share_unchanged[i]
        assert off is not None
        told = re.search(r"([+-]\d+|0) % against the wanted 0\.90", sentence)
        assert (told is None) == (abs(off) < 0.005)
        if told is not None:
            assert int(told[1]) == round(100.0 * off)
        assert ("nothing in hand" in sentence) == (i in far)
        assert (made.fit[i] or "wanted is an oil of") in sentence


def test_a_bottle_that_is_used_up() -> None:
    """A count of 0 is no bottle; places stay those of the list."""
    box = (BoxOil(viscosity_cst=250, count=0), BoxOil(viscosity_cst=260, label="new"))
    made = season(corner=FRONT, temperatures_c=(16.0,), oils=box)
    assert made.bottles == ((1,),)
    assert made.fit == ("fit 260 cSt (new)",)
    assert season(corner=FRONT, temperatures_c=(16.0,), oils=box[:1]).advice == (None,)
