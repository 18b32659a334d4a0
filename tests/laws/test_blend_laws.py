"""Laws of blends, of the rules and of `oil_blend`."""

import pytest
from hypothesis import given

from libdamp.blending import oil_blend
from libdamp.errors import InputError
from libdamp.parts import Oil, SecondPoint
from libdamp.physics.blend import (
    double_log_blend,
    double_log_share,
    index_blend,
    log_blend,
    log_share,
    mass_share,
    melt_blend,
)
from tests.strategies import between

RULES = (log_blend, double_log_blend, index_blend, melt_blend)
thins, thicks, shares = between(20.0, 500.0), between(501.0, 20_000.0), between(0.0, 1.0)


@given(thins, thicks, shares, shares)
def test_between_and_rising(thin: float, thick: float, one: float, other: float) -> None:
    """A blend lies between its oils, and more of the thick one is never thinner."""
    low, high = sorted((one, other))
    for rule in RULES:
        a, b = float(rule(thin, thick, low)), float(rule(thin, thick, high))
        assert thin * (1 - 1e-12) <= a <= b * (1 + 1e-12) <= thick * (1 + 3e-12)


@given(thins, thicks, between(0.01, 0.99))
def test_below_the_mean(thin: float, thick: float, share: float) -> None:
    """Every rule but the ends' own gives less than the arithmetic mean, the log rule less than the melt's."""
    mean = thin + share * (thick - thin)
    for rule in RULES:
        assert float(rule(thin * 1e-6, thick * 1e-6, share)) < mean * 1e-6
    assert float(log_blend(thin, thick, share)) <= float(melt_blend(thin, thick, share)) * (1 + 1e-12)


@given(thins, thicks, shares)
def test_share_and_blend_are_inverse(thin: float, thick: float, share: float) -> None:
    """The share for a blend's viscosity is the blend's share."""
    thin, thick = thin * 1e-6, thick * 1e-6
    for rule, inverse in ((log_blend, log_share), (double_log_blend, double_log_share)):
        assert float(inverse(thin, thick, rule(thin, thick, share))) == pytest.approx(
            share, abs=1e-11 / (thick / thin - 1)
        )


@given(shares, between(700.0, 1300.0), between(700.0, 1300.0))
def test_mass_is_conserved(share: float, thin: float, thick: float) -> None:
    """Masses by share add up to the mass of the volumes."""
    by_mass = float(mass_share(share, thin, thick))
    total = share * thick + (1 - share) * thin
    assert by_mass * total == pytest.approx(share * thick, rel=1e-12, abs=1e-12)


@given(thins, thicks, shares)
def test_calculation_both_ways(thin: float, thick: float, share: float) -> None:
    """The share for a target gives the target back, inside the band of the rules."""
    oils = {"thin": Oil(viscosity_cst=thin), "thick": Oil(viscosity_cst=thick)}
    made = oil_blend(**oils, thick_share=share)
    assert made.low_cst * (1 - 1e-12) <= made.viscosity_cst <= made.high_cst * (1 + 1e-12)
    wanted = min(max(made.viscosity_cst, thin), thick)
    again = oil_blend(**oils, target_cst=wanted)
    assert again.viscosity_cst == pytest.approx(wanted, rel=1e-11)


@pytest.mark.parametrize(
    ("more", "place"),
    [
        ({}, "/target_cst"),
        ({"target_cst": 400.0, "thick_share": 0.5}, "/target_cst"),
        ({"target_cst": 700.0}, "/target_cst"),
        ({"thick": Oil(viscosity_cst=300.0), "thick_share": 0.5}, "/thick"),
        (
            {
                "thick": Oil(
                    viscosity_cst=100.0,
                    reference_temperature_c=40.0,
                    family="petroleum",
                    second_point=SecondPoint(viscosity_cst=11.0, temperature_c=100.0),
                ),
                "thick_share": 0.5,
            },
            "/thick/family",
        ),
    ],
)
def test_what_cannot_be_mixed(more: dict[str, object], place: str) -> None:
    """Both or neither way to ask, a target out of reach, oils the wrong way round or of two families."""
    request = {"thin": Oil(viscosity_cst=350.0), "thick": Oil(viscosity_cst=600.0), **more}
    with pytest.raises(InputError) as caught:
        oil_blend(**request)  # type: ignore[arg-type]
    assert [fault.pointer for fault in caught.value.faults] == [place]
