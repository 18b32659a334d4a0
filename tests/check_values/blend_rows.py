"""Check values of blends of two oils."""

from collections.abc import Callable

import mpmath
from chemicals.utils import mixing_logarithmic, mixing_power

from tests.check_values.table import Row, formula, times

OWN = "worked out for this project from the written rule, to the digits shown"


def _blend(thin: float, thick: float, share: float) -> dict[str, float]:
    return {"thin": thin * 1e-6, "thick": thick * 1e-6, "share": share}


def _iterated(thin: mpmath.mpf, thick: mpmath.mpf, share: mpmath.mpf, shift: str) -> mpmath.mpf:
    ends = [mpmath.log(mpmath.log(nu * 10**6 + mpmath.mpf(shift))) for nu in (thin, thick)]
    return (mpmath.exp(mpmath.exp(ends[0] + share * (ends[1] - ends[0]))) - mpmath.mpf(shift)) / 10**6


FORMULAS = [
    formula(
        "physics.blend.log_blend",
        _blend(350.0, 500.0, 0.75),
        lambda thin, thick, share: thin ** (1 - share) * thick**share,
        "nu1^(1-x) nu2^x",
    ),
    formula(
        "physics.blend.log_share",
        {"thin": 350e-6, "thick": 600e-6, "target": 425e-6},
        lambda thin, thick, target: mpmath.log(target / thin) / mpmath.log(thick / thin),
        "ln(t/nu1)/ln(nu2/nu1)",
    ),
    formula(
        "physics.blend.double_log_blend",
        _blend(350.0, 500.0, 0.75),
        lambda thin, thick, share: _iterated(thin, thick, share, "0.7"),
        "W = log log (nu + 0.7)",
    ),
    formula(
        "physics.blend.double_log_share",
        {"thin": 22e-6, "thick": 68e-6, "target": 40e-6},
        lambda thin, thick, target: mpmath.findroot(
            lambda x: _iterated(thin, thick, x, "0.7") - target, mpmath.mpf("0.5")
        ),
        "W = log log (nu + 0.7), the share by mpmath.findroot",
    ),
    formula(
        "physics.blend.index_blend",
        _blend(350.0, 500.0, 0.75),
        lambda thin, thick, share: _iterated(thin, thick, share, "0.8"),
        "14.534 ln ln (nu + 0.8) + 10.975",
    ),
    formula(
        "physics.blend.melt_blend",
        _blend(100.0, 1000.0, 0.5),
        lambda thin, thick, share: (
            ((1 - share) * thin ** (1 / mpmath.mpf("3.4")) + share * thick ** (1 / mpmath.mpf("3.4")))
            ** mpmath.mpf("3.4")
        ),
        "nu^(1/3.4) averaged",
    ),
    formula(
        "physics.blend.mass_share",
        {"volume_share": 0.36, "thin_density": 970.0, "thick_density": 975.0},
        lambda volume_share, thin_density, thick_density: (
            volume_share * thick_density / (volume_share * thick_density + (1 - volume_share) * thin_density)
        ),
        "x rho2/(x rho2 + (1 - x) rho1)",
    ),
]


def _table(model: str, thin: float, thick: float, share: float, expected: str) -> Row:
    return Row(
        model=f"physics.blend.{model}",
        inputs=_blend(thin, thick, share),
        pick=times(1e6),
        expected=expected,
        source=OWN,
        kind="common practice",
    )


TABLE = [
    _table("log_blend", 300.0, 400.0, 0.5, "346.4102"),
    _table("index_blend", 300.0, 400.0, 0.5, "345.8077"),
    _table("double_log_blend", 300.0, 400.0, 0.5, "345.8065"),
    _table("melt_blend", 100.0, 1000.0, 0.5, "382.8987"),
    *(
        _table(model, thin, thick, share, digits)
        for thin, thick, share, *printed in (
            (5.0, 20.0, 0.4, "8.1085", "8.7055", "8.0813", "9.3296"),
            (22.0, 68.0, 0.5, "37.1892", "38.6782", "37.1685", "40.5234"),
            (350.0, 500.0, 0.75, "456.4505", "457.3456", "456.4490", "458.9244"),
            (100.0, 1000.0, 0.5, "282.1762", "316.2278", "282.0928", "382.8987"),
            (100.0, 10_000.0, 0.7, "1780.41", "2511.89", "1779.64", "4248.55"),
        )
        for model, digits in zip(
            ("index_blend", "log_blend", "double_log_blend", "melt_blend"), printed, strict=True
        )
    ),
    Row(
        model="physics.blend.log_share",
        inputs={"thin": 100e-6, "thick": 1000e-6, "target": 300e-6},
        expected="0.47712",
        source=OWN,
        kind="common practice",
    ),
    Row(
        model="oil_blend",
        inputs={"thin": "350 cst", "thick": "600 cst", "target_cst": 425},
        pick="thick_share",
        expected="0.36",
        source="common practice of the trade: 36 % of the thick oil for 425 from 350 and 600",
        kind="common practice",
    ),
]


def _other_code(model: str, thin: float, thick: float, share: float, mixed: Callable[..., float]) -> Row:
    return Row(
        model=f"physics.blend.{model}",
        inputs=_blend(thin, thick, share),
        pick=times(1e6),
        expected=lambda: float(mixed([1.0 - share, share], [thin, thick])),
        source=f"chemicals.utils, {model.removesuffix('_blend')} mean of two viscosities",
        kind="independent",
        tolerance=1e-12,
        reason="the same rule worked out by other code",
    )


def _calculation(thin: float, thick: float, share: float) -> Row:
    return Row(
        model="oil_blend",
        inputs={"thin": f"{thin} cst", "thick": f"{thick} cst", "thick_share": share},
        pick="viscosity_cst",
        expected=lambda: float(mixing_logarithmic([1.0 - share, share], [thin, thick])),
        source="chemicals.utils.mixing_logarithmic, the logarithmic rule in another library",
        kind="independent",
        tolerance=1e-12,
        reason="the same rule worked out by other code",
    )


OTHERS = [
    row
    for thin, thick, share in ((350.0, 600.0, 0.36), (100.0, 1000.0, 0.5), (22.0, 68.0, 0.9))
    for row in (
        _other_code("log_blend", thin, thick, share, mixing_logarithmic),
        _other_code("melt_blend", thin, thick, share, lambda x, nu: mixing_power(x, nu, 1.0 / 3.4)),
    )
]

ROWS = [*FORMULAS, *TABLE, *OTHERS, _calculation(350.0, 600.0, 0.36), _calculation(200.0, 1000.0, 0.5)]
