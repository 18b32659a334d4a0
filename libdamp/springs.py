"""A spring from its wire: rate, block length, stress, surge."""

from collections.abc import Iterable
from typing import Annotated

from .answers import Answer, calculation
from .errors import Fault, InputError
from .findings import Finding, finding
from .physics.coil import (
    active_mass,
    bergstraesser_factor,
    block_length,
    buckling_deflection,
    shear_stress,
    surge_frequency,
    wahl_factor,
    wire_rate,
)
from .quantities import Q

DEAD_COILS = 2.0
"""Coils at the ends that do not work, where the total is not given (closed ends)."""
ELASTIC_MODULUS_GPA = 206.0
HELD = 0.5
"""Seating of a spring whose ends are flat and held."""
INDEX_USUAL = (4.0, 12.0)
COILS_USUAL = (3.0, 15.0)
"""Shigley, eqs 10-18 and 10-19."""


class SpringFromWire(Answer, frozen=True, kw_only=True):
    """A spring from its wire."""

    rate_n_mm: Annotated[float, Q("wire_rate_n_mm")]
    block_length_mm: Annotated[float, Q("wire_block_length_mm")]
    wahl_factor: Annotated[float, Q("wahl_factor")]
    bergstraesser_factor: Annotated[float, Q("bergstraesser_factor")]
    stress_mpa: Annotated[float, Q("stress_mpa")] | None
    surge_hz: Annotated[float, Q("surge_hz")]


def _faults(
    wire: float, coil: float, active: float, total: float, free: float | None, block: float
) -> Iterable[Fault]:
    if coil < 2.0 * wire:
        text = f"mean_coil_mm = {coil:g} mm: must be at least twice wire_mm = {wire:g} mm"
        yield Fault(pointer="/mean_coil_mm", rule="consistent", value=coil, limit=2.0 * wire, unit="mm", text=text)
    if total < active:
        text = f"total_coils = {total:g}: must be no fewer than active_coils = {active:g}"
        yield Fault(pointer="/total_coils", rule="consistent", value=total, limit=active, unit="1", text=text)
    if free is not None and free <= block:
        text = f"free_length_mm = {free:g} mm: must be more than the block length, {block:.3g} mm"
        yield Fault(pointer="/free_length_mm", rule="consistent", value=free, limit=block, unit="mm", text=text)


def _findings(
    index: float, active: float, force: float | None, rate: float, free: float | None, block: float, bows: float
) -> list[Finding]:
    found = []
    for value, (low, high), where, name in (
        (index, INDEX_USUAL, "/mean_coil_mm", "mean coil over wire diameter"),
        (active, COILS_USUAL, "/active_coils", "active coils"),
    ):
        if not low <= value <= high:
            limit = low if value < low else high
            found.append(finding("coil_unusual", where, value, limit, name=name, span=f"{low:g} to {high:g}"))
    if force is None:
        found.append(finding("force_not_given", "/force_n"))
    elif free is not None and force > rate * (free - block):
        found.append(finding("beyond_block", "/force_n", force, rate * (free - block)))
    if free is not None and bows < free - block:
        found.append(finding("may_bow", "/free_length_mm", bows, free - block))
    return found


@calculation("springs_fly")
def spring_from_wire(
    *,
    wire_mm: Annotated[float, Q("wire_mm")],
    mean_coil_mm: Annotated[float, Q("mean_coil_mm")],
    active_coils: Annotated[float, Q("active_coils")],
    total_coils: Annotated[float, Q("total_coils")] | None = None,
    shear_modulus_gpa: Annotated[float, Q("shear_modulus_gpa")] = 81.5,
    ground_ends: bool = True,
    density_kg_m3: Annotated[float, Q("wire.density_kg_m3")] = 7850.0,
    free_length_mm: Annotated[float, Q("free_length_mm")] | None = None,
    force_n: Annotated[float, Q("force_n")] | None = None,
) -> SpringFromWire:
    """Rate, block length, stress and surge of a coil spring from its wire and coils.

    Parameters
    ----------
    wire_mm : wire diameter [mm].
    mean_coil_mm : outer diameter less one wire [mm].
    active_coils : coils that work [1].
    total_coils : all coils [1]; two more than the active ones unless given.
    shear_modulus_gpa : of the wire [GPa]; 81.5 patented carbon wire, about 71 stainless.
    ground_ends : whether the ends are ground flat.
    density_kg_m3 : of the wire [kg/m3].
    free_length_mm : off the shock [mm].
    force_n : force at which the stress is wanted [N].

    Raises
    ------
    InputError : a value is impossible.

    Examples
    --------
    >>> spring_from_wire(wire_mm=1.2, mean_coil_mm=14, active_coils=6).rate_n_mm
    1.28309
    """
    total = active_coils + DEAD_COILS if total_coils is None else total_coils
    d, coil, modulus = wire_mm * 1e-3, mean_coil_mm * 1e-3, shear_modulus_gpa * 1e9
    block = float(block_length(d, total, ground_ends))
    faults = list(_faults(wire_mm, mean_coil_mm, active_coils, total, free_length_mm, block * 1e3))
    if faults:
        raise InputError(faults)
    index = mean_coil_mm / wire_mm
    rate, wahl = float(wire_rate(d, coil, active_coils, modulus)), float(wahl_factor(index))
    free = None if free_length_mm is None else free_length_mm * 1e-3
    bows = float(buckling_deflection(free or 1.0, coil, HELD, shear_modulus_gpa / ELASTIC_MODULUS_GPA))
    found = _findings(
        index,
        active_coils,
        force_n,
        rate * 1e-3,
        free_length_mm,
        block * 1e3,
        bows * 1e3,
    )
    return SpringFromWire(
        findings=tuple(found),
        rate_n_mm=rate * 1e-3,
        block_length_mm=block * 1e3,
        wahl_factor=wahl,
        bergstraesser_factor=float(bergstraesser_factor(index)),
        stress_mpa=None if force_n is None else float(shear_stress(force_n, d, coil, wahl)) * 1e-6,
        surge_hz=float(surge_frequency(rate, active_mass(d, coil, active_coils, density_kg_m3))),
    )
