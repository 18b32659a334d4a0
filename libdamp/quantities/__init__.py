"""THE table of quantities: name, unit, possible and usual range, meaning, how to measure.

It feeds the annotations of every Struct (and so validation, error texts and schemas), the reading of texts
such as "4 lbf/in", and a test of the docstrings.
"""

from .reading import parse_number, read_quantity, read_text
from .table import QUANTITIES, Q, Quantity, quantity
from .units import Dimension, Unit, UnitError, dimension_name, from_si, is_torque, parse_unit, to_si

__all__ = [
    "QUANTITIES",
    "Dimension",
    "Q",
    "Quantity",
    "Unit",
    "UnitError",
    "dimension_name",
    "from_si",
    "is_torque",
    "parse_number",
    "parse_unit",
    "quantity",
    "read_quantity",
    "read_text",
    "to_si",
]
