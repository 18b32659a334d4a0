"""The shape of a check value: what is computed, what is expected, where the expectation comes from.

`expected` is a text with the digits as they are printed; the tolerance is half a unit of the last one. A
`tolerance` (relative) stands only where the source itself states an error, or where the expectation is
computed while the tests run; `reason` then says why it is what it is.
"""

import importlib
import operator
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

import mpmath

KINDS = ("published", "independent", "common practice", "formula", "regression")
"""Only the first two count as evidence for a public calculation."""

EVIDENCE = ("published", "independent")

Inputs = Mapping[str, Any]


@dataclass(frozen=True, kw_only=True)
class Row:
    """One check value."""

    model: str  # "physics.<module>.<name>" or the name of a public calculation
    inputs: Inputs | Callable[[], Inputs]
    pick: Callable[[Any], Any] | str = float  # from the answer to the number, or a path into it ("a.b.0")
    expected: str | Callable[[], float]
    source: str
    kind: str
    tolerance: float | None = None
    reason: str = ""

    def given(self) -> Inputs:
        """The inputs, made now if they come from a library call."""
        return self.inputs() if callable(self.inputs) else self.inputs

    def computed(self) -> float:
        """What the library gives."""
        answer = run(self.model, self.given())
        return float(walk(answer, self.pick) if isinstance(self.pick, str) else self.pick(answer))

    def wanted(self) -> float:
        """What the source gives."""
        return float(self.expected() if callable(self.expected) else self.expected)

    def allowed(self) -> float:
        """Largest difference, in the unit of the expectation."""
        if self.tolerance is not None:
            return self.tolerance * abs(self.wanted())
        if callable(self.expected):
            message = f"{self.model}: a computed expectation needs a tolerance and its reason"
            raise TypeError(message)
        return half_unit(self.expected)


def half_unit(digits: str) -> float:
    """Half a unit of the last printed digit, and the round-off of a comparison in floats."""
    exponent = Decimal(digits).as_tuple().exponent
    if not isinstance(exponent, int):
        message = f"{digits} is no number"
        raise TypeError(message)
    return 0.5 * 10.0**exponent + 4e-16 * abs(float(digits))


def walk(answer: Any, path: str) -> Any:
    """Follow a path such as `energy.gas_j` or `force_n.3` into a plain answer."""
    for step in path.split("."):
        answer = answer[int(step)] if step.isdigit() else answer[step]
    return answer


def run(model: str, inputs: Inputs) -> Any:
    """Evaluate an equation, a constant of the equations or a public calculation."""
    if not model.startswith("physics."):
        import libdamp

        return libdamp.calculate(model, inputs)
    _, module, name = model.split(".")
    found = getattr(importlib.import_module(f"libdamp.physics.{module}"), name)
    return found(**inputs) if callable(found) else found


def all_rows() -> list[Row]:
    """The rows of every file *_rows.py beside this one."""
    here = Path(__file__).parent
    names = sorted(path.stem for path in here.glob("*_rows.py"))
    rows: list[Row] = []
    for name in names:
        rows += importlib.import_module(f"tests.check_values.{name}").ROWS
    return rows


def exact(value: Any) -> Any:
    """The same value in mpmath numbers; tuples, named tuples and lists member by member."""
    if isinstance(value, tuple) and hasattr(value, "_fields"):
        return type(value)(*(exact(member) for member in value))
    if isinstance(value, list | tuple):
        return type(value)(exact(member) for member in value)
    return mpmath.mpf(value)


def formula(
    model: str,
    inputs: Inputs,
    written: Callable[..., Any],
    source: str,
    pick: Callable[[Any], Any] = float,
) -> Row:
    """A row whose expectation is the written equation at 30 digits, compared to 12."""

    def expected() -> float:
        with mpmath.workdps(30):
            return float(written(**{name: exact(value) for name, value in inputs.items()}))

    return Row(
        model=model,
        inputs=inputs,
        pick=pick,
        expected=expected,
        source=f"{source}, evaluated by mpmath at 30 digits",
        kind="formula",
        tolerance=1e-12,
        reason="the written equation itself, to 12 digits",
    )


def times(factor: float, index: int | None = None) -> Callable[[Any], float]:
    """A pick that changes the unit of an answer, or of one member of it."""
    part = operator.itemgetter(index) if index is not None else (lambda answer: answer)
    return lambda answer: float(part(answer)) * factor
