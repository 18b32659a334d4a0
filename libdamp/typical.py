"""What is usual by size of car and by surface.

All values: common practice and trade experience, from memory, no source; each is shown as assumed, with its
spread, until it is measured.
"""

from typing import NamedTuple


class SizeRow(NamedTuple):
    """Usual values of a size of car; pairs are (front, rear)."""

    motion_ratio: float
    bore_mm: float
    shaft_mm: float
    thickness_mm: float
    unsprung_share: float
    tyre_n_mm: float
    clearance_mm: float
    seal_drag_n: float
    stroke_mm: tuple[float, float]
    limiter_mm: tuple[float, float]
    extended_mm: tuple[float, float]
    cavity_over_stroke_mm: float
    oil_over_air_c: float
    goal_factor: float  # on the frequency goals


SIZES: dict[str, SizeRow] = {
    "1:10 truck": SizeRow(0.67, 12, 3, 2.4, 0.25, 1.7, 27, 0.25, (30, 40), (4, 8), (88, 112), 5, 3, 1.0),
    "1:10 buggy": SizeRow(0.67, 12, 3, 2.2, 0.25, 1.8, 22, 0.25, (26, 34), (3, 5), (82, 102), 5, 3, 1.0),
    "1:10 on-road": SizeRow(0.80, 10, 3, 2.0, 0.22, 6.0, 5.5, 0.15, (13, 13), (2, 2), (62, 62), 5, 3, 1.0),
    "1:8 buggy": SizeRow(0.61, 16, 3.5, 2.8, 0.30, 3.1, 30, 0.40, (34, 42), (7.5, 8.5), (114, 134), 7, 8, 0.9),
    "1:8 truck": SizeRow(0.62, 16, 4, 3.0, 0.32, 2.6, 40, 0.40, (44, 48), (6, 6), (140, 150), 7, 8, 0.9),
    "1:5 off-road": SizeRow(0.65, 20, 6, 4.0, 0.30, 6.0, 45, 0.60, (55, 60), (8, 8), (170, 185), 9, 8, 0.9),
}

PISTON_GAP_MM = 0.1
"""Bore less piston diameter."""
GAS_PER_SHAFT = 2.0
"""Gas room of a bladder over the shaft's whole displacement."""
EMULSION_GAS_PER_SHAFT = 1.1
"""Emulsion gas over the shaft's displacement beyond the closing position."""
CLOSING_SHARES = {"out": 0.0, "half": 0.5, "in": 1.0}
"""Words for the closing position, as shares of the stroke."""
SAG_SHARE = 0.45
"""Share of the stroke in use that is used up with level arms."""
LOSS_FACTOR = 0.3


class SurfaceRow(NamedTuple):
    """Usual use and goals on a surface; pairs are (front, rear)."""

    oil_c: float
    bump_mm: float
    spacing_mm: float
    speed_m_s: float
    fall_mm: float  # equal flat fall of the jumps
    frequency_hz: tuple[float, float]
    damping_ratio: float


SURFACES: dict[str, SurfaceRow] = {
    "carpet or asphalt": SurfaceRow(22, 2, 60, 8, 0, (5.0, 4.8), 0.70),
    "smooth": SurfaceRow(18, 3, 120, 4, 100, (4.0, 3.5), 0.80),
    "loose": SurfaceRow(31, 6, 250, 6, 120, (3.8, 3.3), 0.80),
    "rutted": SurfaceRow(36, 12, 500, 6, 120, (3.5, 3.0), 0.70),
    "grass": SurfaceRow(14, 20, 900, 6, 100, (3.3, 2.9), 0.65),
}

FREQUENCY_TOLERANCE_HZ = 0.4
DAMPING_RATIO_TOLERANCE = 0.15
HEIGHT_TOLERANCE_MM = 1.0
LEAST_CLEARANCE_MM = (2.0, 1.0)
"""Chassis above the ground in the use's landing: target, tolerance; more is as good."""
BOUNCE_HEIGHT_MM = (10.0, 5.0)
"""Tyre above the ground after the use's landing: target, tolerance; less is as good."""
TYRE_LOAD_VARIATION = (0.0, 2.0)
"""Rms of the tyre's load over its mean on the use's bumps: as small as can be, and what counts as one deviation."""
FREQUENCY_RATIO = (1.15, 0.10)
"""Front over rear natural frequency: target, tolerance."""
DAMPING_RATIO_RATIO = (1.1, 0.2)
"""Front over rear damping ratio: target, tolerance."""


class Spread(NamedTuple):
    """How far an assumed value may be off, how long measuring takes; one of relative, absolute, factor."""

    text: str
    minutes: float
    relative: float = 0.0
    absolute: float = 0.0
    factor: float = 1.0

    def ends(self, value: float) -> tuple[float, float]:
        """Lowest and highest value that it may be."""
        off = abs(value) * self.relative + self.absolute
        return (value - off, value + off) if self.factor == 1.0 else (value / self.factor, value * self.factor)


SPREAD: dict[str, Spread] = {
    "motion_ratio": Spread("±8 %", 10, relative=0.08),
    "level_length_mm": Spread("±4 mm", 2, absolute=4.0),
    "bore_mm": Spread("±3 %", 5, relative=0.03),
    "shaft_mm": Spread("±10 %", 1, relative=0.10),
    "thickness_mm": Spread("±12 %", 5, relative=0.12),
    "diameter_mm": Spread("±0.05 mm", 5, absolute=0.05),
    "unsprung_mass_g": Spread("±20 %", 5, relative=0.20),
    "rate_n_mm": Spread("±35 %", 3, relative=0.35),
    "loss_factor": Spread("±0.15", 10, absolute=0.15),
    "level_clearance_mm": Spread("±20 %", 1, relative=0.20),
    "seal_drag_n": Spread("x 0.5 to x 2", 5, factor=2.0),
    "stroke_mm": Spread("±15 %", 2, relative=0.15),
    "limiter_mm": Spread("±15 %", 5, relative=0.15),
    "extended_length_mm": Spread("±15 %", 2, relative=0.15),
    "cavity_length_mm": Spread("±3 mm", 5, absolute=3.0),
    "gas_ml": Spread("±50 %", 10, relative=0.50),
    "room_ml": Spread("±50 %", 10, relative=0.50),
    "closing_insertion_mm": Spread("fully out to fully in", 5, relative=1.0),
    "kind": Spread("look", 1),
    "oil_temperature_c": Spread("±5 C", 2, absolute=5.0),
    "bump_height_mm": Spread("±50 %", 5, relative=0.50),
    "bump_spacing_mm": Spread("±50 %", 5, relative=0.50),
    "speed_m_s": Spread("±30 %", 5, relative=0.30),
    "jump": Spread("0 to 350 mm", 10),
}
"""Spread of each field that may be assumed."""
