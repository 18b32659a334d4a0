"""Laws of viscosity and density."""

import numpy as np
import pytest
from hypothesis import given

from libdamp.physics.oil import (
    carreau_share,
    carreau_slope,
    density,
    expansion_volume,
    grade_density,
    silicone_viscosity,
    slope_from_points,
    slope_from_vtc,
    walther_constants,
    walther_viscosity,
)
from tests.argument_strategies import ARGUMENTS
from tests.strategies import between, expansions, kinematic, over_decades, slopes, temperatures, thinnings, vtcs

points = ARGUMENTS["oil.walther_constants"](1)


@given(kinematic, temperatures, slopes)
def test_reference(nu: float, t: float, slope: float) -> None:
    """At its reference temperature an oil has its reference viscosity, exactly."""
    assert silicone_viscosity(nu, t, t, slope) == nu


@given(kinematic, temperatures, temperatures, slopes)
def test_there_and_back(nu: float, t_1: float, t_2: float, slope: float) -> None:
    """To another temperature and back gives the viscosity that one began with."""
    there = silicone_viscosity(nu, t_1, t_2, slope)
    assert float(silicone_viscosity(there, t_2, t_1, slope)) == pytest.approx(nu, rel=1e-13)


@given(kinematic, temperatures, between(0.01, 50.0), slopes)
def test_colder_is_thicker(nu: float, t: float, colder: float, slope: float) -> None:
    """A colder silicone oil is thicker."""
    assert silicone_viscosity(nu, 298.15, t - colder, slope) > silicone_viscosity(nu, 298.15, t, slope)


@given(kinematic, temperatures, temperatures, between(0.1, 10.0))
def test_grades_keep_their_ratio(nu: float, t_1: float, t_2: float, factor: float) -> None:
    """Two grades of one slope keep the ratio of their viscosities at every temperature."""
    ratio = silicone_viscosity(factor * nu, t_1, t_2) / silicone_viscosity(nu, t_1, t_2)
    assert float(ratio) == pytest.approx(factor, rel=1e-14)


@given(kinematic, temperatures, between(1.0, 60.0), slopes)
def test_slope_of_two_points(nu: float, t: float, warmer: float, slope: float) -> None:
    """The slope from two points of the law is the law's slope."""
    other = silicone_viscosity(nu, t, t + warmer, slope)
    assert float(slope_from_points(nu, t, other, t + warmer)) == pytest.approx(slope, rel=1e-11)


@given(vtcs)
def test_slope_of_vtc(vtc: float) -> None:
    """The slope from a coefficient gives the coefficient back from 38 C and 99 C."""
    cold, hot = (silicone_viscosity(1.0, 298.15, t, slope_from_vtc(vtc)) for t in (311.15, 372.15))
    assert float(1.0 - hot / cold) == pytest.approx(vtc, rel=1e-13)


@given(vtcs, between(1e-4, 0.1))
def test_larger_vtc_is_steeper(vtc: float, more: float) -> None:
    """A larger coefficient means a steeper law."""
    assert slope_from_vtc(vtc + more) > slope_from_vtc(vtc)


@given(points)
def test_walther_through_its_points(two: dict[str, float]) -> None:
    """The petroleum law passes through the two points that made it."""
    a, b = walther_constants(**two)
    for nu, t in ((two["nu_1"], two["t_1"]), (two["nu_2"], two["t_2"])):
        assert float(walther_viscosity(a, b, t)) == pytest.approx(nu, rel=1e-11)


@given(points)
def test_walther_order_of_points(two: dict[str, float]) -> None:
    """The order of the two points does not matter."""
    swapped = {"nu_1": two["nu_2"], "t_1": two["t_2"], "nu_2": two["nu_1"], "t_2": two["t_1"]}
    for one, other in zip(walther_constants(**two), walther_constants(**swapped), strict=True):
        assert float(one) == pytest.approx(float(other), rel=1e-12)


@given(points, between(0.01, 30.0))
def test_walther_colder_is_thicker(two: dict[str, float], colder: float) -> None:
    """A colder petroleum oil is thicker."""
    a, b = walther_constants(**two)
    assert walther_viscosity(a, b, two["t_1"] - colder) > walther_viscosity(a, b, two["t_1"])


@given(between(1e-6, 0.1), between(1.0, 3.0))
def test_grade_density_rises(nu: float, factor: float) -> None:
    """A thicker grade is never lighter, and every grade lies between the ends of the table."""
    light, heavy = grade_density(nu), grade_density(nu * factor)
    assert 935.0 <= light <= heavy <= 975.0


@given(over_decades(1e-3, 1e7), thinnings, between(1.0, 10.0))
def test_thinning_in_shear(shear: float, law: tuple[float, float, float], factor: float) -> None:
    """In faster shear an oil is never thicker, and it stays between its floor and its viscosity at rest."""
    slow, fast = carreau_share(shear, *law), carreau_share(factor * shear, *law)
    assert law[2] <= fast * (1.0 + 1e-15) <= slow * (1.0 + 1e-14) <= 1.0 + 2e-14


@given(over_decades(1e-3, 1e7), thinnings, between(1.0, 10.0))
def test_stress_rises(shear: float, law: tuple[float, float, float], factor: float) -> None:
    """Viscosity times shear rate, the stress, rises with the rate: at least with its power n."""
    slow, fast = (rate * float(carreau_share(rate, *law)) for rate in (shear, factor * shear))
    assert fast >= factor ** law[1] * slow * (1.0 - 1e-13)


@given(thinnings)
def test_ends_of_thinning(law: tuple[float, float, float]) -> None:
    """At rest the whole viscosity, exactly; far beyond, the floor and a power law of the rate."""
    time, index, floor = law
    assert carreau_share(0.0, *law) == 1.0
    assert carreau_slope(0.0, *law) == 0.0
    far = 1e9 / time
    expected = floor + (1.0 - floor) * 1e9 ** (index - 1.0)
    assert float(carreau_share(far, *law)) == pytest.approx(expected, rel=1e-12)
    assert float(carreau_slope(far, time, index)) == pytest.approx(index - 1.0, abs=1e-15)


@given(over_decades(1e-3, 1e7), thinnings)
def test_slope_of_thinning(shear: float, law: tuple[float, float, float]) -> None:
    """The slope is the change of the viscosity's logarithm over that of the rate (central difference)."""
    step = 1e-5
    slow, fast = (np.log(carreau_share(shear * np.exp(s), *law)) for s in (-step, step))
    assert float(carreau_slope(shear, *law)) == pytest.approx(float((fast - slow) / (2.0 * step)), abs=1e-9)


@given(between(800.0, 1000.0), expansions, temperatures, between(0.01, 50.0))
def test_warm_oil_is_lighter(rho: float, expansion: float, t: float, warmer: float) -> None:
    """Warm oil is lighter, and at 25 C it has its stated density."""
    assert density(rho, expansion, t + warmer) < density(rho, expansion, t)
    assert density(rho, expansion, 298.15) == rho


@given(between(1e-6, 20e-6), expansions, temperatures)
def test_mass_is_kept(volume: float, expansion: float, t: float) -> None:
    """A fill of 25 C keeps its mass when its volume and its density change together."""
    after = density(970.0, expansion, t) * (volume + expansion_volume(volume, expansion, 298.15, t))
    assert float(after) == pytest.approx(970.0 * volume, rel=1e-14)


@given(between(1e-6, 20e-6), expansions, temperatures, temperatures)
def test_expansion_is_odd(volume: float, expansion: float, t_1: float, t_2: float) -> None:
    """Warming and cooling by the same step move the volume alike in opposite senses."""
    there, back = (expansion_volume(volume, expansion, *pair) for pair in ((t_1, t_2), (t_2, t_1)))
    assert there == -back
    assert np.sign(there) == np.sign(t_2 - t_1)
