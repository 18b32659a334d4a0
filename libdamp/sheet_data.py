"""What a set-up sheet is written from: the plan, the car as it stands and as proposed, the bands."""

from typing import Any, NamedTuple

import msgspec

from .answers import Assumed
from .as_built import Check, check
from .bands import Band, band
from .builds import Build, built_corner
from .calculations import calculation_of, read_request
from .car import Box, Car, Goals, Use
from .changing import Changes, changes
from .planning import Plan, plan
from .sheet_landing import Landings, landings_of

ENDS = ("front", "rear")


class Sheet(NamedTuple):
    """Everything that a sheet is written from."""

    car: Car
    use: Use
    box: Box
    assumed: tuple[Assumed, ...]
    plan: Plan
    check: Check  # as it stands
    proposal: Check  # as proposed
    bands: dict[str, Band]
    landings: dict[str, Landings]
    changes: Changes | None  # of the car as proposed; None where a fault is to be mended first
    untold: tuple[str, ...]  # ends of which the assumed lengths cannot tell whether the spring is loose

    def build(self, end: str) -> Build:
        """What is to be fitted at an end: the proposal, or what is there."""
        chosen: Build = getattr(self.plan.builds[0 if end in self.untold else 1], end)
        return chosen


def _untold(chosen: Plan, end: str, off_mm: float) -> bool:
    """Whether an end's one fault is a loose spring, by less than assumed lengths can tell, and no part helps."""
    own, proposed = getattr(chosen.builds[0], end), getattr(chosen.builds[1], end)
    loose = ("loose_spring",)
    only_loose = own.rejected_for == loose and proposed.rejected_for in ((), loose)
    no_nearer = None in (own.distance, proposed.distance) or proposed.distance >= own.distance
    idle = not proposed.changed or no_nearer
    return bool(only_loose and idle and own.preload_mm is not None and abs(own.preload_mm) < off_mm)


def sheet_of(data: dict[str, Any]) -> Sheet:
    """Work out a sheet from the plain data of a car file.

    Raises
    ------
    InputError : with every fault of the file.
    """
    entry = calculation_of("plan")
    asked, assumed = read_request(entry, data)
    fields = {name: getattr(asked, name) for name in asked.__struct_fields__}
    car, use, size = fields["car"], fields["use"], fields["size"]
    box, goals = fields["box"] or Box(), fields["goals"] or Goals()
    chosen = plan(car=car, use=use, box=box, goals=goals, size=size)
    made = {end: built_corner(getattr(car, end), getattr(chosen.builds[1], end)) for end in ENDS}
    bands = {end: band(made[end], assumed, f"/car/{end}", use.oil_temperature_c) for end in ENDS}
    untold = tuple(end for end in ENDS if _untold(chosen, end, bands[end].preload))
    made |= {end: msgspec.structs.replace(getattr(car, end), preload_mm=None) for end in untold}
    proposed = msgspec.structs.replace(car, **made)
    more = {"use": use, "box": box, "goals": goals, "size": size}
    built = check(car=proposed, **more)
    return Sheet(
        car=proposed,
        use=use,
        box=box,
        assumed=assumed,
        plan=chosen,
        check=check(car=car, **more),
        proposal=built,
        bands=bands,
        landings={
            end: landings_of(getattr(proposed, end), use, built.jump, assumed, f"/car/{end}") for end in ENDS
        },
        changes=None if any(f.severity == "do_not_run" for f in built.findings) else changes(car=proposed, **more),
        untold=untold,
    )
