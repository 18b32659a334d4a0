"""libdamp: choose, build and tune oil-filled coil-over shocks of radio-controlled model cars.

Calculations are typed functions (`libdamp.ride(corner=...)`); `libdamp.calculate(name, request)` takes and
gives plain data; `libdamp.describe(name)` tells fields, units and ranges. Everything loads when first used.

For model cars only, nothing that carries or protects people.
"""

import logging
from typing import TYPE_CHECKING, Any

__version__ = "0.1.0"

logging.getLogger("libdamp").addHandler(logging.NullHandler())

_PLACES = {
    "answers": "Answer Assumed Provenance",
    "as_built": "Check EndCheck JumpFigures check",
    "blending": "OilBlend oil_blend",
    "builds": "Build EndPlan Rejection",
    "calculations": "calculate describe",
    "car": "Arm BetweenGoals Blanks Box BoxOil BoxPiston BoxSpring Car Corner EndGoals Goal Goals Jump Pairs "
    "Ratio ScaleReadings Tyre Use",
    "converting": "Converted convert",
    "damping": "DampingCurve DampingFigures damping_curve",
    "errors": "Cancelled DampError Fault InputError TooCostly UnknownCalculation",
    "filling": "FillCheck FillFigures fill_check",
    "findings": "Finding",
    "goals": "GoalTerm",
    "landing": "EqualFall equal_fall",
    "oils": "OilAtTemperature OilGrade oil_for_temperature oil_viscosity",
    "packing": "pack unpack",
    "parts": "Bladder Emulsion Holes Oil Piston SecondPoint Shock Spring Vented",
    "planning": "CarBuild Plan plan",
    "springs": "SpringFromWire spring_from_wire",
    "stance": "NextStep Ride RideFigures ride",
}
_NAMES = {name: place for place, names in _PLACES.items() for name in names.split()}


def __getattr__(name: str) -> Any:
    """Load a public name from its module when it is first asked for."""
    place = _NAMES.get(name)
    if place is None:
        raise AttributeError(f"module 'libdamp' has no attribute '{name}'")
    from importlib import import_module

    value = getattr(import_module(f".{place}", __name__), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    """Public names, loaded or not."""
    return sorted([*globals(), *_NAMES])


if TYPE_CHECKING:
    from .answers import Answer, Assumed, Provenance
    from .as_built import Check, EndCheck, JumpFigures, check
    from .blending import OilBlend, oil_blend
    from .builds import Build, EndPlan, Rejection
    from .calculations import calculate, describe
    from .car import (
        Arm,
        BetweenGoals,
        Blanks,
        Box,
        BoxOil,
        BoxPiston,
        BoxSpring,
        Car,
        Corner,
        EndGoals,
        Goal,
        Goals,
        Jump,
        Pairs,
        Ratio,
        ScaleReadings,
        Tyre,
        Use,
    )
    from .converting import Converted, convert
    from .damping import DampingCurve, DampingFigures, damping_curve
    from .errors import Cancelled, DampError, Fault, InputError, TooCostly, UnknownCalculation
    from .filling import FillCheck, FillFigures, fill_check
    from .findings import Finding
    from .goals import GoalTerm
    from .landing import EqualFall, equal_fall
    from .oils import OilAtTemperature, OilGrade, oil_for_temperature, oil_viscosity
    from .packing import pack, unpack
    from .parts import Bladder, Emulsion, Holes, Oil, Piston, SecondPoint, Shock, Spring, Vented
    from .planning import CarBuild, Plan, plan
    from .springs import SpringFromWire, spring_from_wire
    from .stance import NextStep, Ride, RideFigures, ride

__all__ = [
    "Answer",
    "Arm",
    "Assumed",
    "BetweenGoals",
    "Bladder",
    "Blanks",
    "Box",
    "BoxOil",
    "BoxPiston",
    "BoxSpring",
    "Build",
    "Cancelled",
    "Car",
    "CarBuild",
    "Check",
    "Converted",
    "Corner",
    "DampError",
    "DampingCurve",
    "DampingFigures",
    "Emulsion",
    "EndCheck",
    "EndGoals",
    "EndPlan",
    "EqualFall",
    "Fault",
    "FillCheck",
    "FillFigures",
    "Finding",
    "Goal",
    "GoalTerm",
    "Goals",
    "Holes",
    "InputError",
    "Jump",
    "JumpFigures",
    "NextStep",
    "Oil",
    "OilAtTemperature",
    "OilBlend",
    "OilGrade",
    "Pairs",
    "Piston",
    "Plan",
    "Provenance",
    "Ratio",
    "Rejection",
    "Ride",
    "RideFigures",
    "ScaleReadings",
    "SecondPoint",
    "Shock",
    "Spring",
    "SpringFromWire",
    "TooCostly",
    "Tyre",
    "UnknownCalculation",
    "Use",
    "Vented",
    "__version__",
    "calculate",
    "check",
    "convert",
    "damping_curve",
    "describe",
    "equal_fall",
    "fill_check",
    "oil_blend",
    "oil_for_temperature",
    "oil_viscosity",
    "pack",
    "plan",
    "ride",
    "spring_from_wire",
    "unpack",
]
