"""One pass over a draft: what it assumes, works out, and finds wrong."""

from typing import Any

from .answers import Assumed
from .checked import MISSING, Number, Text
from .errors import Fault
from .quantities import quantity
from .typical import CLOSING_SHARES, SIZES, SPREAD, SizeRow

_MEASURES = {
    "rate_n_mm": "tyre.rate_n_mm",
    "thickness_mm": "piston.thickness_mm",
    "diameter_mm": "piston.diameter_mm",
    "speed_m_s": "use.speed_m_s",
}
_LOOK = {
    "kind": "look for a hole in the cap (vented), a bladder (bladder), or neither (emulsion)",
    "jump": "phone film: apex, speed, slope of the landing",
}
Data = dict[str, Any]


class Drafting:
    """One pass over a draft: collects what was assumed and what was wrong."""

    def __init__(self, size: str | None, surface: str | None) -> None:
        self.size: SizeRow | None = SIZES.get(size or "")
        self.surface = surface
        self.assumed: list[Assumed] = []
        self.faults: list[Fault] = []

    def assume(self, data: Data, field: str, value: float | str, at: str, shown: float | None = None) -> None:
        """Fill a field and list it."""
        if isinstance(value, str):
            data[field] = value
        else:
            self.derive(data, field, value, at)
        row = quantity(_MEASURES.get(field, field)) if field not in _LOOK else None
        self.assumed.append(
            Assumed(
                path=f"{at}/{field}",
                value=value if shown is None else shown,
                unit="" if row is None else row.unit,
                spread=SPREAD[field].text,
                how_to_measure=_LOOK[field] if row is None else row.how_to_measure,
            )
        )

    def derive(self, data: Data, field: str, value: float, at: str) -> None:
        """Set a field that was worked out from others; where it cannot be, that is a fault of those others."""
        row = quantity(_MEASURES.get(field, field))
        low, high = row.possible or (value, value)
        data[field] = min(max(value, low), high)
        if data[field] != value:
            text = f"{field} works out as {value:.4g} {row.unit}: must be from {low:g} to {high:g} {row.unit}"
            self.faults.append(
                Fault(
                    pointer=f"{at}/{field}",
                    rule="derived",
                    value=value,
                    limit=f"{low:g}..{high:g}",
                    unit=row.unit,
                    text=text,
                )
            )

    def number(self, data: Data, field: str, at: str, name: str | None = None) -> float | None:
        """Read a number that other fields depend on; None where it is absent or wrong (then a fault)."""
        if field not in data:
            return None
        own: list[Fault] = []
        value = Number(quantity(name or field)).accept(data[field], f"{at}/{field}", own)
        if value is MISSING:
            if field not in _BUILT:  # fields that remain in the data are judged when it is built
                self.faults.extend(own)
            return None
        return float(value)

    def only_one(self, data: Data, at: str, *fields: str) -> bool:
        """Check that at most one of several ways to give a thing is used."""
        given = [f for f in fields if f in data]
        if len(given) > 1:
            for field in given:  # what is wrong with the values themselves comes first
                if field == "closing":
                    Text(tuple(CLOSING_SHARES)).accept(data[field], f"{at}/{field}", self.faults)
                elif field not in _BUILT:
                    self.number(data, field, at)
            text = f"give only one of {', '.join(given)}"
            self.faults.append(Fault(pointer=f"{at}/{given[1]}", rule="either", text=text))
        return len(given) <= 1

    def missing(self, at: str, field: str, why: str) -> None:
        """Note that a field cannot be done without."""
        row = quantity(_MEASURES.get(field, field))
        text = f"{field} is missing: {why}; to measure: {row.how_to_measure}; or name the car's size"
        self.faults.append(Fault(pointer=f"{at}/{field}", rule="incomplete", unit=row.unit, text=text))


_BUILT = frozenset(
    (
        "sprung_mass_g",
        "unsprung_mass_g",
        "bore_mm",
        "shaft_mm",
        "stroke_mm",
        "limiter_mm",
        "extended_length_mm",
        "closing_insertion_mm",
        "rate_n_mm",
    )
)
