"""Laws of the motion engine: energy, oil and momentum are kept, and what must not matter does not."""

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from libdamp.car import Corner
from libdamp.moving import STANDARD, Ready, Settings, alone, ready
from libdamp.runs import Watch, fall, ledger, resolved
from libdamp.touching import impact
from tests.moving_strategies import FILLS, usual_corners
from tests.strategies import between, over_decades

DURATION_S = 0.5
heights = over_decades(0.05, 0.6)
temperatures = between(0.0, 60.0)
kinds = pytest.mark.parametrize("kind", FILLS)
FEW = settings(max_examples=15)


def _ready(corner: Corner, temperature_c: float = 25.0, changed: Settings = STANDARD) -> Ready:
    """A corner ready to move, or none of this draw."""
    prepared = ready(corner, temperature_c, changed)
    assume(prepared is not None and math.isfinite(prepared.rest))
    assert prepared is not None
    return prepared


def _start(corner: Ready, speed: float) -> float:
    return 0.5 * (corner.moving.sprung + corner.moving.unsprung) * speed * speed


@kinds
@FEW
@given(st.data(), heights, temperatures)
def test_energy_is_kept(kind: str, data: st.DataObject, height: float, temperature: float) -> None:
    """At every instant all shares make up the energy at first contact, to 1e-3 of it; slaps and stops included.

    A stop of stiffness k that is met at a speed v within a step h may add k (v h)^2/8: the force of a whole step
    counts where only a part of it was pressed.
    """
    corner = alone(_ready(data.draw(usual_corners(kinds=(kind,))), temperature))
    speed = impact(height)
    begun, start = fall(corner, speed), _start(corner, speed)
    worst, allowed, inside = 0.0, 0.0, False

    def look(watch: Watch, time: float) -> bool:
        nonlocal worst, allowed, inside
        run = watch.run
        if time == 0.0:
            worst, allowed, inside = 0.0, 0.0, False
        there = run.over > 0.0 or run.under > 0.0
        if there != inside:
            allowed += run.c.stop_rate * (run.moved * run.moved) / 8.0
        inside = there
        off = abs(sum(ledger(run, begun.body, begun.wheel).values()) - start)
        worst = max(worst, (off - allowed) / start)
        return False

    resolved(corner, speed, DURATION_S, look)
    assert worst < 1e-3


@kinds
@FEW
@given(st.data(), heights, temperatures)
def test_oil_is_kept(kind: str, data: st.DataObject, height: float, temperature: float) -> None:
    """Gas, void and what the shaft takes make up one volume, to round-off; nothing of them is ever negative."""
    corner = alone(_ready(data.draw(usual_corners(kinds=(kind,))), temperature))
    room = []

    def look(watch: Watch, _: float) -> bool:
        run, inside = watch.run, watch.run.chamber
        assert inside.void >= 0.0
        assert inside.cap >= 0.0
        if kind == "emulsion":
            first = inside.c.oil - inside.rod_oil
            assert 0.0 < first < inside.cap_volume
            assert 0.0 < inside.rod_oil < inside.rod_volume
            both = inside.cap_volume + inside.rod_volume + inside.c.shaft_area * run.insertion
            room.append(both / (inside.c.cap_room + inside.c.rod_room))
        else:
            taken = inside.c.shaft_area * (run.insertion - inside.c.closing)
            room.append((inside.gas + taken + inside.void) / inside.c.room)
            assert kind == "vented" or inside.gas > 0.0
        return False

    resolved(corner, impact(height), DURATION_S, look)
    assert room == pytest.approx([1.0] * len(room), rel=1e-9)


@kinds
@FEW
@given(st.data(), heights, temperatures)
def test_heat_stays(kind: str, data: st.DataObject, height: float, temperature: float) -> None:
    """What the oil has turned into heat never comes back: it falls by no more than 5e-4 of the energy, ever.

    So much may the step take in which a void closes or a vented cap goes solid.
    """
    corner = alone(_ready(data.draw(usual_corners(kinds=(kind,))), temperature))
    speed = impact(height)
    most, back = 0.0, 0.0

    def look(watch: Watch, time: float) -> bool:
        nonlocal most, back
        oil = watch.run.chamber.oil_work
        most, back = (oil, 0.0) if time == 0.0 else (max(most, oil), max(back, most - oil))
        return False

    resolved(corner, speed, DURATION_S, look)
    assert back <= 5e-4 * _start(corner, speed)
    assert most > 0.0


@FEW
@given(usual_corners(), heights)
def test_momentum(corner: Corner, height: float) -> None:
    """The mean force of tyre and chassis is the weight and the change of momentum over the time, to round-off."""
    one = alone(_ready(corner))
    c, run, h = one.moving, fall(one, impact(height)), one.step
    pushed = 0.0
    for _ in range(round(DURATION_S / h)):
        run.step(h)
        if pushed == 0.0:
            before = c.sprung * run.body_old + c.unsprung * run.wheel_old
        pushed += h * (run.tyre + run.ground - (c.sprung + c.unsprung) * 9.80665)
    after = c.sprung * run.body_speed + c.unsprung * run.wheel_speed
    assert after - before == pytest.approx(pushed, rel=1e-9, abs=1e-9 * abs(before))
