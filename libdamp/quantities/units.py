"""Units: what a text such as "4 lbf/in" means in SI, and which dimension it has.

Factors are exact by definition: the yard and pound agreement of 1959 (1 in = 0.0254 m, 1 lb = 0.45359237 kg)
and the standard acceleration 9.80665 m/s2; a test compares them with scipy.constants.
"""

import re
from typing import NamedTuple

INCH_M = 0.0254
POUND_KG = 0.45359237
G_N = 9.80665


class Dimension(NamedTuple):
    """Powers of length, mass, time and temperature."""

    length: int = 0
    mass: int = 0
    time: int = 0
    temperature: int = 0


class Unit(NamedTuple):
    """A unit: its size in SI, the offset of its zero (temperatures only), its dimension."""

    factor: float
    dimension: Dimension
    offset: float = 0.0


class UnitError(ValueError):
    """A text is no unit, or not one of the wanted dimension; the text says why and what to type instead."""


_L, _M, _T, _K = Dimension(1), Dimension(0, 1), Dimension(0, 0, 1), Dimension(0, 0, 0, 1)
_FORCE = Dimension(1, 1, -2)
_PRESSURE = Dimension(-1, 1, -2)
TORQUE = Dimension(2, 1, -2)
POWER = Dimension(2, 1, -3)
TEMPERATURE = _K
KINEMATIC = Dimension(2, 0, -1)
DYNAMIC = Dimension(-1, 1, -1)
RATE = Dimension(0, 1, -2)

_UNITS: dict[str, Unit] = {
    **dict.fromkeys(("m",), Unit(1.0, _L)),
    **dict.fromkeys(("mm",), Unit(1e-3, _L)),
    **dict.fromkeys(("cm",), Unit(1e-2, _L)),
    **dict.fromkeys(("um", "µm", "μm"), Unit(1e-6, _L)),
    **dict.fromkeys(("in", "inch", "inches", '"'), Unit(INCH_M, _L)),
    **dict.fromkeys(("ft",), Unit(12 * INCH_M, _L)),
    **dict.fromkeys(("kg",), Unit(1.0, _M)),
    **dict.fromkeys(("g",), Unit(1e-3, _M)),
    **dict.fromkeys(("lb", "lbs"), Unit(POUND_KG, _M)),
    **dict.fromkeys(("oz",), Unit(POUND_KG / 16, _M)),
    **dict.fromkeys(("s",), Unit(1.0, _T)),
    **dict.fromkeys(("ms",), Unit(1e-3, _T)),
    **dict.fromkeys(("min",), Unit(60.0, _T)),
    **dict.fromkeys(("h",), Unit(3600.0, _T)),
    **dict.fromkeys(("N",), Unit(1.0, _FORCE)),
    **dict.fromkeys(("kN",), Unit(1e3, _FORCE)),
    **dict.fromkeys(("kgf", "kp"), Unit(G_N, _FORCE)),
    **dict.fromkeys(("gf",), Unit(1e-3 * G_N, _FORCE)),
    **dict.fromkeys(("lbf",), Unit(POUND_KG * G_N, _FORCE)),
    **dict.fromkeys(("ozf",), Unit(POUND_KG * G_N / 16, _FORCE)),
    **dict.fromkeys(("Pa",), Unit(1.0, _PRESSURE)),
    **dict.fromkeys(("mPa",), Unit(1e-3, _PRESSURE)),
    **dict.fromkeys(("kPa",), Unit(1e3, _PRESSURE)),
    **dict.fromkeys(("MPa",), Unit(1e6, _PRESSURE)),
    **dict.fromkeys(("GPa",), Unit(1e9, _PRESSURE)),
    **dict.fromkeys(("bar",), Unit(1e5, _PRESSURE)),
    **dict.fromkeys(("mbar",), Unit(1e2, _PRESSURE)),
    **dict.fromkeys(("atm",), Unit(101_325.0, _PRESSURE)),
    **dict.fromkeys(("psi",), Unit(POUND_KG * G_N / INCH_M**2, _PRESSURE)),
    **dict.fromkeys(("St",), Unit(1e-4, KINEMATIC)),
    **dict.fromkeys(("cSt", "cst", "CST"), Unit(1e-6, KINEMATIC)),
    **dict.fromkeys(("P",), Unit(0.1, DYNAMIC)),
    **dict.fromkeys(("cP", "cp"), Unit(1e-3, DYNAMIC)),
    **dict.fromkeys(("mPas",), Unit(1e-3, DYNAMIC)),
    **dict.fromkeys(("Pas",), Unit(1.0, DYNAMIC)),
    **dict.fromkeys(("l", "L"), Unit(1e-3, Dimension(3))),
    **dict.fromkeys(("ml", "mL", "cc"), Unit(1e-6, Dimension(3))),
    **dict.fromkeys(("K",), Unit(1.0, _K)),
    **dict.fromkeys(("C", "°C", "degC"), Unit(1.0, _K, 273.15)),
    **dict.fromkeys(("F", "°F", "degF"), Unit(5.0 / 9.0, _K, 459.67 * 5.0 / 9.0)),
    **dict.fromkeys(("Hz",), Unit(1.0, Dimension(0, 0, -1))),
    **dict.fromkeys(("J", "Nm"), Unit(1.0, TORQUE)),
    **dict.fromkeys(("Nmm",), Unit(1e-3, TORQUE)),
    **dict.fromkeys(("Ncm",), Unit(1e-2, TORQUE)),
    **dict.fromkeys(("W",), Unit(1.0, Dimension(2, 1, -3))),
    **dict.fromkeys(("rad",), Unit(1.0, Dimension())),
    **dict.fromkeys(("deg", "°"), Unit(0.017453292519943295, Dimension())),
    **dict.fromkeys(("%",), Unit(0.01, Dimension())),
    **dict.fromkeys(("1",), Unit(1.0, Dimension())),
}
_MASSES = {"kg", "g", "lb", "lbs", "oz"}
_TOKEN = re.compile(r"([^\d\s*/·^⁻²³.\-+()]+|1)(?:\^?(-?\d)|([²³]))?")
_NAMES = {
    Dimension(): "a plain number",
    _L: "a length",
    _M: "a mass",
    _T: "a time",
    _K: "a temperature",
    _FORCE: "a force",
    _PRESSURE: "a pressure",
    TORQUE: "a torque or an energy (force times length)",
    KINEMATIC: "a kinematic viscosity",
    DYNAMIC: "a dynamic viscosity",
    RATE: "a spring rate (force per length)",
    Dimension(3): "a volume",
    Dimension(1, 0, -1): "a speed",
    Dimension(-3, 1): "a density",
    Dimension(0, 1, -1): "a damping coefficient (force per speed)",
    Dimension(0, 0, -1): "a frequency",
    Dimension(2, 1, -3): "a power",
}


def dimension_name(dimension: Dimension) -> str:
    """Plain words for a dimension, "a spring rate (force per length)"."""
    return _NAMES.get(dimension, "a quantity of another kind")


def parse_unit(text: str, wanted: Dimension | None = None) -> Unit:
    """Read a unit.

    Parameters
    ----------
    text : "lbf/in", "gf/mm", "mPa s", "N s/m", "mm2/s".
    wanted : dimension that the reader needs; then "lb", "kg", "g" and "oz" are read as the weight of that mass
        where a force is wanted, as spring labels and scales do.

    Raises
    ------
    UnitError : with a sentence.

    Examples
    --------
    >>> parse_unit("lbf/in").factor
    175.126835246476
    >>> parse_unit("kg/mm", RATE).factor
    9806.65
    """
    numerator, *denominators = text.strip().split("/")
    if not text.strip() or not numerator.strip():
        raise UnitError("there is no unit")
    if not all(part.strip() for part in denominators):
        raise UnitError(f"'{text.strip()}' is not a unit that is known here")
    factor, powers, mass_above, single = 1.0, [0, 0, 0, 0], False, None
    for place, part in enumerate([numerator, *denominators]):
        rest = _TOKEN.sub(" ", part).strip(" *·.-()")
        if rest:
            raise UnitError(f"'{text.strip()}' is not a unit that is known here")
        for name, power, raised in _TOKEN.findall(part):
            unit = _lookup(name, text)
            exponent = int(power) if power else {"²": 2, "³": 3}.get(raised, 1)
            sign = exponent if place == 0 else -exponent
            factor *= unit.factor**sign
            powers = [p + sign * d for p, d in zip(powers, unit.dimension, strict=True)]
            mass_above = mass_above or (place == 0 and name in _MASSES)
            single = unit if single is None else Unit(factor, unit.dimension)
    dimension = Dimension(*powers)
    weight = Dimension(*(p + f - m for p, f, m in zip(powers, _FORCE, _M, strict=True)))
    if wanted is not None and dimension != wanted and mass_above and weight == wanted:
        return Unit(factor * G_N, wanted)
    offset = single.offset if single is not None and dimension == _K else 0.0
    return Unit(factor, dimension, offset)


def _lookup(name: str, text: str) -> Unit:
    unit = _UNITS.get(name)
    if unit is None:
        same = [known for known in _UNITS if known.lower() == name.lower()]
        if len(same) != 1:
            raise UnitError(f"'{text.strip()}' is not a unit that is known here")
        unit = _UNITS[same[0]]
    return unit


def is_torque(text: str, unit: Unit) -> bool:
    """Tell force times length ("N*m", "lbf in") from an energy given in joules."""
    return unit.dimension == TORQUE and text.strip() != "J"


def to_si(value: float, unit: Unit) -> float:
    """Value in SI of a number in a unit (K for temperatures)."""
    return value * unit.factor + unit.offset


def from_si(value: float, unit: Unit) -> float:
    """Number in a unit of a value in SI."""
    return (value - unit.offset) / unit.factor
