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
    "bubbles": "AeratedOil BubbleRise aerated_oil bubble_rise",
    "builds": "Build Rejection",
    "calculations": "calculate describe sweep tolerance",
    "car": "Arm BetweenGoals Blanks Box BoxOil BoxPiston BoxSpring Car Corner EndGoals Goal Goals Jump Pairs "
    "Ratio ScaleReadings Tyre Use",
    "changing": "Change Changes Help changes",
    "clips": "PistonLoad piston_load",
    "comparing": "CauseShare Compare CompareShocks Compared ComparedEnd ShockFigures compare compare_shocks",
    "converting": "Converted convert",
    "cycling": "BenchCycle bench_cycle",
    "damping": "DampingCurve DampingFigures damping_curve",
    "drops": "Drop Energy LandingBound Series TouchBound TouchHeight drop touch_height",
    "effects": "ChangeFigures",
    "errors": "Cancelled DampError Fault InputError TooCostly UnknownCalculation",
    "filling": "FillCheck FillFigures fill_check",
    "findings": "Finding",
    "goals": "GoalTerm",
    "grading": "IsoGrade LabelPoint OilFromLabel iso_grade oil_from_label",
    "ground": "Bumps bumps",
    "headlines": "Headlines",
    "in_hand": "Drill",
    "landing": "EqualFall equal_fall",
    "matching": "Match match",
    "missing_part": "MissingPart",
    "mixtures": "Mix",
    "oils": "OilAtTemperature OilGrade oil_for_temperature oil_viscosity",
    "packing": "pack unpack",
    "parts": "Bladder Emulsion Holes Oil Piston SecondPoint Shock Spring Thinning Vented",
    "pairing": "CarBuild",
    "planning": "Plan plan",
    "releases": "PushRelease push_release",
    "seasons": "Season season",
    "springs": "SpringFromWire spring_from_wire",
    "sweeping": "Column Over Sweep",
    "trading": "EndPlan TradeOff",
    "tolerances": "OutputBand RangeBand Tolerance UncertainInput VarianceShare",
    "uncertain": "InputSpread",
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
    from .bubbles import AeratedOil, BubbleRise, aerated_oil, bubble_rise
    from .builds import Build, Rejection
    from .calculations import calculate, describe, sweep, tolerance
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
    from .changing import Change, Changes, Help, changes
    from .clips import PistonLoad, piston_load
    from .comparing import (
        CauseShare,
        Compare,
        Compared,
        ComparedEnd,
        CompareShocks,
        ShockFigures,
        compare,
        compare_shocks,
    )
    from .converting import Converted, convert
    from .cycling import BenchCycle, bench_cycle
    from .damping import DampingCurve, DampingFigures, damping_curve
    from .drops import Drop, Energy, LandingBound, Series, TouchBound, TouchHeight, drop, touch_height
    from .effects import ChangeFigures
    from .errors import Cancelled, DampError, Fault, InputError, TooCostly, UnknownCalculation
    from .filling import FillCheck, FillFigures, fill_check
    from .findings import Finding
    from .goals import GoalTerm
    from .grading import IsoGrade, LabelPoint, OilFromLabel, iso_grade, oil_from_label
    from .ground import Bumps, bumps
    from .headlines import Headlines
    from .in_hand import Drill
    from .landing import EqualFall, equal_fall
    from .matching import Match, match
    from .missing_part import MissingPart
    from .mixtures import Mix
    from .oils import OilAtTemperature, OilGrade, oil_for_temperature, oil_viscosity
    from .packing import pack, unpack
    from .pairing import CarBuild
    from .parts import Bladder, Emulsion, Holes, Oil, Piston, SecondPoint, Shock, Spring, Thinning, Vented
    from .planning import Plan, plan
    from .releases import PushRelease, push_release
    from .seasons import Season, season
    from .springs import SpringFromWire, spring_from_wire
    from .stance import NextStep, Ride, RideFigures, ride
    from .sweeping import Column, Over, Sweep
    from .tolerances import OutputBand, RangeBand, Tolerance, UncertainInput, VarianceShare
    from .trading import EndPlan, TradeOff
    from .uncertain import InputSpread

__all__ = [
    "AeratedOil",
    "Answer",
    "Arm",
    "Assumed",
    "BenchCycle",
    "BetweenGoals",
    "Bladder",
    "Blanks",
    "Box",
    "BoxOil",
    "BoxPiston",
    "BoxSpring",
    "BubbleRise",
    "Build",
    "Bumps",
    "Cancelled",
    "Car",
    "CarBuild",
    "CauseShare",
    "Change",
    "ChangeFigures",
    "Changes",
    "Check",
    "Column",
    "Compare",
    "CompareShocks",
    "Compared",
    "ComparedEnd",
    "Converted",
    "Corner",
    "DampError",
    "DampingCurve",
    "DampingFigures",
    "Drill",
    "Drop",
    "Emulsion",
    "EndCheck",
    "EndGoals",
    "EndPlan",
    "Energy",
    "EqualFall",
    "Fault",
    "FillCheck",
    "FillFigures",
    "Finding",
    "Goal",
    "GoalTerm",
    "Goals",
    "Headlines",
    "Help",
    "Holes",
    "InputError",
    "InputSpread",
    "IsoGrade",
    "Jump",
    "JumpFigures",
    "LabelPoint",
    "LandingBound",
    "Match",
    "MissingPart",
    "Mix",
    "NextStep",
    "Oil",
    "OilAtTemperature",
    "OilBlend",
    "OilFromLabel",
    "OilGrade",
    "OutputBand",
    "Over",
    "Pairs",
    "Piston",
    "PistonLoad",
    "Plan",
    "Provenance",
    "PushRelease",
    "RangeBand",
    "Ratio",
    "Rejection",
    "Ride",
    "RideFigures",
    "ScaleReadings",
    "Season",
    "SecondPoint",
    "Series",
    "Shock",
    "ShockFigures",
    "Spring",
    "SpringFromWire",
    "Sweep",
    "Thinning",
    "Tolerance",
    "TooCostly",
    "TouchBound",
    "TouchHeight",
    "TradeOff",
    "Tyre",
    "UncertainInput",
    "UnknownCalculation",
    "Use",
    "VarianceShare",
    "Vented",
    "__version__",
    "aerated_oil",
    "bench_cycle",
    "bubble_rise",
    "bumps",
    "calculate",
    "changes",
    "check",
    "compare",
    "compare_shocks",
    "convert",
    "damping_curve",
    "describe",
    "drop",
    "equal_fall",
    "fill_check",
    "iso_grade",
    "match",
    "oil_blend",
    "oil_for_temperature",
    "oil_from_label",
    "oil_viscosity",
    "pack",
    "piston_load",
    "plan",
    "push_release",
    "ride",
    "season",
    "spring_from_wire",
    "sweep",
    "tolerance",
    "touch_height",
    "unpack",
]
