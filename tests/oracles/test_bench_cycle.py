"""`bench_cycle` against a led shaft solved by another method, and its limit of damping alone."""

import math
from typing import Any

import numpy as np
import pytest

from libdamp import bench_cycle, damping_curve
from libdamp.checked import build
from libdamp.demo import demo_data
from libdamp.parts import Shock
from tests.oracles.stiff_bench import led
from tests.oracles.stiff_shock import Switches

CENTRE_MM = 15.0
FILLS: dict[str, dict[str, Any]] = {
    "bladder": {"kind": "bladder", "gas_ml": 0.42, "closing_insertion_mm": 15.0},
    "vented": {"kind": "vented", "room_ml": 0.42, "closing_insertion_mm": 15.0},
    "vented, little room": {"kind": "vented", "room_ml": 0.12, "closing_insertion_mm": 15.0},
    "emulsion": {"kind": "emulsion", "gas_ml": 0.42, "closing_insertion_mm": 15.0},
}
POINT, MEAN, WORK = 0.01, 0.004, 0.004
"""How close: each row and the mean over all, as shares of the peak force; the work of a cycle.

At 20 Hz the oil's give under a full vented cap, which the library leaves out under a void, comes 0.05 ms late.
"""
ROOM = 0.003
"""How close the void, as a share of the room that the piston leaves behind in a stroke."""
JUMP = 0.1
"""Share of the peak force from row to row from which it jumps, as a void closes or a cap fills: not compared."""


def shock_with(**changes: Any) -> tuple[dict[str, Any], Shock]:
    """The demo truck's front shock with changes, as plain data and as the library's."""
    data = demo_data("demo-truck")["car"]["front"]["shock"] | changes
    faults: list = []
    shock = build(Shock, data, "", faults)
    assert not faults
    return data, shock


@pytest.mark.long
@pytest.mark.parametrize("fill", list(FILLS))
@pytest.mark.parametrize(("frequency", "amplitude"), [(0.5, 10.0), (4.0, 10.0), (8.0, 12.0), (20.0, 8.0)])
@pytest.mark.parametrize("switches", [Switches(), Switches(hole_factor=1.5, void_pa=30e3)])
def test_bench_cycle_follows_the_solver(fill, frequency, amplitude, switches):
    """Force at every row, void, pressures and work of a cycle, with a void from 8 Hz on."""
    data, shock = shock_with(fill=FILLS[fill])
    found = bench_cycle(
        shock=shock,
        amplitude_mm=amplitude,
        frequency_hz=frequency,
        centre_insertion_mm=CENTRE_MM,
        void_hole_factor=switches.hole_factor,
        void_kpa=switches.void_pa * 1e-3,
    )
    way = (CENTRE_MM * 1e-3, amplitude * 1e-3, frequency)
    wanted = led(data, 25.0, way, np.linspace(0.0, 3.0 / frequency, 6001), switches)
    assert found.time_s == pytest.approx(np.linspace(0.0, 3.0 / frequency, 601), abs=1e-9)
    rows = slice(None, None, 10)
    peak, last = np.max(np.abs(wanted.force)), slice(4000, None)
    off = np.abs(np.array(found.force_n) - wanted.force[rows]) / peak
    jumps = np.abs(np.diff(wanted.force[rows])) > JUMP * peak
    calm = ~(np.append(jumps, False) | np.insert(jumps, 0, False))
    assert np.mean(calm) > 0.95
    assert np.max(off[calm]) <= POINT
    assert np.sqrt(np.mean(off[calm] ** 2)) <= MEAN
    assert found.peak_compression_n == pytest.approx(np.max(wanted.force), rel=POINT)
    assert found.peak_rebound_n == pytest.approx(-np.min(wanted.force), rel=POINT)
    assert found.peak_cap_kpa == pytest.approx(1e-3 * np.max(wanted.cap), rel=POINT)
    room = math.pi / 4.0 * (12.0**2 - 3.0**2) * 2.0 * amplitude * 1e-3
    assert found.peak_void_ml == pytest.approx(1e6 * np.max(wanted.void), abs=ROOM * room)
    assert found.loss_j == pytest.approx(np.trapezoid(wanted.force[last], wanted.x[last]), rel=WORK)
    assert frequency < 8.0 or fill == "emulsion" or np.max(wanted.void) > 0.1e-6


@pytest.mark.parametrize("speed", [0.002, 0.02, 0.1, 0.2])
def test_damping_alone(speed):
    """Without drag, under so much gas that its pressure stays: the force of `damping_curve`, both ways."""
    gas = {"kind": "bladder", "gas_ml": 200.0, "closing_insertion_mm": CENTRE_MM}
    _, shock = shock_with(fill=gas, seal_drag_n=0.0)
    frequency = speed / (2.0 * math.pi * 5e-3)
    found = bench_cycle(shock=shock, amplitude_mm=5.0, frequency_hz=frequency, centre_insertion_mm=CENTRE_MM)
    curve = damping_curve(shock=shock, speeds_m_s=(speed,))
    assert found.peak_compression_n == pytest.approx(curve.compression_n[0], rel=1e-3)
    assert found.peak_rebound_n == pytest.approx(-curve.rebound_n[0], rel=1e-3)
    assert found.peak_void_ml == 0.0


@pytest.mark.parametrize("speed", [0.5, 2.0])
def test_damping_alone_with_a_void(speed):
    """Faster, compression stays at what the gas brings: its pressure on the bore, nothing on the rod side."""
    gas = {"kind": "bladder", "gas_ml": 200.0, "closing_insertion_mm": CENTRE_MM}
    _, shock = shock_with(fill=gas, seal_drag_n=0.0)
    frequency = speed / (2.0 * math.pi * 5e-3)
    found = bench_cycle(shock=shock, amplitude_mm=5.0, frequency_hz=frequency, centre_insertion_mm=CENTRE_MM)
    curve = damping_curve(shock=shock, speeds_m_s=(speed,))
    assert curve.compression_n[0] > 1.5 * found.peak_compression_n
    squeezed = 1.0 + 1.3 * found.peak_void_ml / 200.0  # the void's room is taken from the gas
    wanted = 101.325e-3 * math.pi / 4.0 * (squeezed * 12.0**2 - 3.0**2)
    assert found.peak_compression_n == pytest.approx(wanted, rel=5e-4)
    assert found.peak_compression_n == pytest.approx(curve.compression_capped_n[0], rel=0.01)
