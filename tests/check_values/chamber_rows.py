"""Check values of the inside of a shock in motion: the oil's own give."""

import numpy as np

from tests.check_values.table import Row
from tests.oracles.late import PropsSI


def _fast_modulus() -> float:
    """Isentropic modulus at 100 mm2/s, straight over the inverse molar mass, 5.97 kg/mol there (from memory)."""
    chains = ("MDM", "MD2M", "MD3M", "MD4M")
    state = ("P", 101325.0, "T", 298.15)
    ends = [1.0 / PropsSI("M", chain) for chain in chains]
    gives = [1.0 / (PropsSI("D", *state, chain) * PropsSI("A", *state, chain) ** 2) for chain in chains]
    slope, start = np.polyfit(ends, gives, 1)
    return float(1.0 / (start + slope / 5.97))


ROWS = [
    Row(
        model="physics.chamber.GIVE_PA",
        inputs={},
        expected=_fast_modulus,
        source="CoolProp PropsSI, density by speed of sound squared, MDM to MD4M at 25 C, for long chains",
        kind="independent",
        tolerance=0.006,
        reason="the constant is rounded to two digits",
    ),
]
