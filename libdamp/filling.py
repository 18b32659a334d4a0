"""Oil volume, gas force, and whether a shock goes solid, cold or hot."""

from typing import Annotated

import msgspec

from .answers import Assumed, Provenance, calculation
from .findings import Finding, finding
from .parts import Emulsion, Shock
from .physics.aeration import AIR_SOLUBILITY, dissolved_air
from .pocket import Pocket, force_and_rate, oil_gain, oil_volume, pocket_of, pressure, spare
from .quantities import Q

SPARE_SHARE = 0.1
"""Gas that should be left hot with the shaft fully in, as a share of the shaft's displacement."""

USUAL_FILL_C = 20.0

BAR_PA = 1e5


class FillFigures(msgspec.Struct, frozen=True, kw_only=True):
    """Fill of a shock; gas forces are those at the fill temperature."""

    oil_ml: Annotated[float, Q("oil_ml")] | None
    shaft_ml: Annotated[float, Q("shaft_ml")]
    spare_cold_ml: Annotated[float, Q("spare_ml")]
    spare_hot_ml: Annotated[float, Q("spare_ml")] | None
    pressure_cold_kpa: Annotated[float, Q("pressure_kpa")] | None
    pressure_hot_kpa: Annotated[float, Q("pressure_kpa")] | None
    gas_force_droop_n: Annotated[float, Q("gas_force_n")] | None
    gas_force_mid_n: Annotated[float, Q("gas_force_n")] | None
    gas_force_full_n: Annotated[float, Q("gas_force_n")] | None
    let_out_ml: Annotated[float, Q("let_out_ml")] | None


class FillCheck(FillFigures, frozen=True, kw_only=True):
    """Fill of a shock, with the envelope."""

    findings: tuple[Finding, ...] = ()
    assumed: tuple[Assumed, ...] = ()
    cautions: tuple[str, ...] = ()
    provenance: Provenance = msgspec.field(default_factory=Provenance)


def _kpa(pocket: Pocket, insertion: float) -> float | None:
    return number(float(pressure(pocket, insertion)) * 1e-3)


def number(value: float) -> float | None:
    """A finite number, or None: an output that the findings explain."""
    return value if value - value == 0.0 else None


def fill_temperature(shock: Shock, given: float | None) -> float:
    """Temperature at which the cap was closed: the one given, the fill's own, or 20 C."""
    if given is not None:
        return given
    return USUAL_FILL_C if shock.fill.filled_at_c is None else shock.fill.filled_at_c


def _dissolving(shock: Shock, oil: float | None, at: str) -> list[Finding]:
    """What the oil of an emulsion can take up of its gas."""
    if not isinstance(shock.fill, Emulsion) or oil is None:
        return []
    taken = float(dissolved_air(oil, BAR_PA, AIR_SOLUBILITY[shock.oil.family]))
    return [finding("gas_dissolves", f"{at}/fill", taken * 1e6, shock.fill.gas_ml)]


def fill_figures(
    shock: Shock, fill_c: float, run_c: float, at: str = "/shock"
) -> tuple[FillFigures, list[Finding]]:
    """Figures and findings of a fill that was closed at one temperature and runs at another."""
    cold, hot = pocket_of(shock, fill_c, fill_c), pocket_of(shock, run_c, fill_c)
    full = shock.stroke_mm * 1e-3
    oil = oil_volume(shock)
    known = oil_gain(shock, fill_c, run_c) is not None
    shaft = cold.shaft_area * full
    spare_cold, spare_hot = float(spare(cold, full)), float(spare(hot, full))
    forces = [number(float(force_and_rate(cold, x)[0])) for x in (shock.limiter_mm * 1e-3, 0.5 * full, full)]
    found = _dissolving(shock, oil, at)
    if spare_cold <= 0.0:
        found.append(finding("lock_cold", f"{at}/fill", spare_cold * 1e6, 0.0))
    if not known:
        found.append(finding("cavity_unknown", f"{at}/cavity_length_mm"))
    elif spare_hot <= 0.0:
        found.append(finding("lock_hot", f"{at}/fill", spare_hot * 1e6, 0.0))
    elif spare_hot < SPARE_SHARE * shaft:
        found.append(finding("little_gas_hot", f"{at}/fill", spare_hot * 1e6, SPARE_SHARE * shaft * 1e6))
    return FillFigures(
        oil_ml=None if oil is None else oil * 1e6,
        shaft_ml=shaft * 1e6,
        spare_cold_ml=spare_cold * 1e6,
        spare_hot_ml=spare_hot * 1e6 if known else None,
        pressure_cold_kpa=_kpa(cold, full),
        pressure_hot_kpa=_kpa(hot, full) if known else None,
        gas_force_droop_n=forces[0],
        gas_force_mid_n=forces[1],
        gas_force_full_n=forces[2],
        let_out_ml=max(0.0, SPARE_SHARE * shaft - spare_hot) * 1e6 if known else None,
    ), found


@calculation("hot_shock", "oil_spill")
def fill_check(
    *,
    shock: Shock,
    fill_temperature_c: Annotated[float, Q("temperature_c")] | None = None,
    run_temperature_c: Annotated[float, Q("temperature_c")] = 50.0,
) -> FillCheck:
    """Oil and gas of a shock, and whether it goes solid, cold or hot.

    Parameters
    ----------
    shock : the built shock.
    fill_temperature_c : of the oil when the cap is closed [C]; the fill's own, else 20.
    run_temperature_c : the hottest the oil gets [C].

    Raises
    ------
    InputError : a value is impossible.

    Examples
    --------
    >>> from libdamp.demo import demo_corner
    >>> fill_check(shock=demo_corner("demo-truck.rear").shock).oil_ml
    4.681
    """
    fill_c = fill_temperature(shock, fill_temperature_c)
    heads, found = fill_figures(shock, fill_c, run_temperature_c)
    if isinstance(shock.fill, Emulsion):
        found.append(finding("emulsion_stands", "/shock/fill"))
    return FillCheck(findings=tuple(found), **msgspec.structs.asdict(heads))
