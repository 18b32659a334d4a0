"""The motion engine where an exact answer exists: linear springs and dampers, a swinging road, a fall, a bump.

The step is second order: each tolerance is that of (w h)^2 at the step used, and one test sees the order itself.
"""

import cmath
import math
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from libdamp.car import Ratio
from libdamp.demo import demo_corner
from libdamp.moving import alone, inside_of, motion_of, plain_chamber, ready
from libdamp.physics.chamber import Sealed
from libdamp.physics.flow_table import flow_table
from libdamp.physics.motion import Motion, Moving
from libdamp.physics.numbers import G_N, P_ATM
from libdamp.physics.orifice import Passages
from libdamp.physics.stepping import FLOATS
from tests.model_strategies import replaced

FAR = 1e6
INSERTION = 0.02
HEAVY, RIGID = 1e9, 1e12
"""A wheel that stays where it is."""


class Dashpot:
    """In place of oil and gas, a force in proportion to the shaft's speed."""

    def __init__(self, damping: float) -> None:
        self.damping, self.area, self.base, self.cap = damping, 1.0, P_ATM, P_ATM
        self.void = self.oil_work = self.difference = 0.0
        self.c = SimpleNamespace(shaft_area=0.0)

    def move(self, insertion: float, moved: float, h: float) -> None:
        """Nothing changes."""

    def react(self, speed: float) -> tuple[float, float]:
        return self.damping * speed, self.damping

    def settle(self, difference: float) -> None:
        self.difference = difference


def gap_alone(damping: float) -> Any:
    """Oil that passes by a gap alone, under so much gas that its pressure stays; the same damper."""
    bore, shaft = 113.1e-6, 7.07e-6
    ways = Passages((), (), (bore - shaft) ** 2 / damping)
    table = flow_table(bore - shaft, ways, ways, ways)
    return inside_of(
        plain_chamber(
            Sealed(bore, bore - shaft, shaft, 1e3, 0.0, P_ATM, 1e3, 1.3, -1e9, 1.0, vented=False, table=table)
        ),
        FLOATS,
        INSERTION,
    )


def moving(sprung: float, unsprung: float, rate: float, tyre_rate: float, **changes: Any) -> Moving:
    """A corner of linear springs at rest at height 0, with motion ratio 1 and nothing to strike."""
    given = {
        "middle": 0.0,
        "scale": 1.0,
        "place": (1.0, INSERTION),
        "turn": (1.0,),
        "loose": INSERTION - (sprung * G_N / rate if rate > 0.0 else 0.0),
        "low": -FAR,
        "high": FAR,
        "stop_rate": 0.0,
        "drag": 0.0,
        "tyre_damping": 0.0,
        "squash": (sprung + unsprung) * G_N / tyre_rate,
        "rim": FAR,
        "rim_rate": 0.0,
        "clearance": FAR,
        "ground_rate": 0.0,
        "ground_damping": 0.0,
    }
    return Moving(sprung=sprung, unsprung=unsprung, rate=rate, tyre_rate=tyre_rate, **(given | changes))


def started(c: Moving, chamber: Any, *start: float) -> Motion:
    """A run from heights and speeds of body and wheel."""
    run = Motion(c, FLOATS, start)
    run.begin(chamber)
    return run


def heights(run: Motion, h: float, steps: int) -> np.ndarray:
    """Height of the body at every step."""
    found = []
    for _ in range(steps):
        run.step(h)
        found.append(run.body)
    return np.array(found)


def decay(time: np.ndarray, damping: float, rate: float, mass: float) -> np.ndarray:
    """A mass let go at 1 from rest, by the roots of the equation of motion."""
    root = cmath.sqrt(damping**2 - 4.0 * mass * rate)
    one, other = (-damping + root) / (2.0 * mass), (-damping - root) / (2.0 * mass)
    return np.real((one * np.exp(other * time) - other * np.exp(one * time)) / (one - other))


@pytest.mark.parametrize("chamber", [Dashpot, gap_alone])
@pytest.mark.parametrize("damping", [1.0, 6.0, 40.0])
def test_free_vibration(chamber, damping):
    """One mass on spring and damper follows its closed solution, weakly, middling and overdamped."""
    sprung, rate, h = 0.3, 300.0, 1e-4
    run = started(moving(sprung, HEAVY, rate, RIGID), chamber(damping), -1e-3, 0.0, 0.0, 0.0)
    found = heights(run, h, 6000)
    wanted = decay(h * np.arange(6000), damping, rate, sprung)
    assert np.max(np.abs(found / -1e-3 - wanted)) < 2e-5  # 0.6 s of w = 31.6/s: w t (w h)^2/24 = 8e-6


def test_the_step_is_second_order():
    """Half the step, a quarter of the error."""

    def error(h: float) -> float:
        run = started(moving(0.3, HEAVY, 300.0, RIGID), Dashpot(3.0), -1e-3, 0.0, 0.0, 0.0)
        steps = round(0.5 / h)
        return float(np.max(np.abs(heights(run, h, steps) / -1e-3 - decay(h * np.arange(steps), 3.0, 300.0, 0.3))))

    assert error(2e-3) / error(1e-3) == pytest.approx(4.0, rel=0.02)


def test_period_and_decrement_of_a_published_damper():
    """Rao, Mechanical Vibrations, shock absorber for a motorcycle: 2 s, a quarter of the amplitude each half."""
    c, h = moving(200.0, HEAVY, 2358.2652, RIGID), 1e-3
    run = started(c, Dashpot(554.4981), -0.1, 0.0, 0.0, 0.0)
    found = heights(run, h, 4001)
    assert found[[0, 1000, 2000, 3000]] / -0.1 == pytest.approx([1.0, -0.25, 0.0625, -0.015625], abs=2e-5)
    turns = np.flatnonzero(np.diff(np.sign(np.diff(found)))) + 1
    assert turns * h == pytest.approx([1.0, 2.0, 3.0], abs=1.1e-3)


def swing(c: Moving, chamber: Any, frequency: float, height: float, settle: float, h: float) -> Any:
    """Complex amplitudes of body and wheel over that of a swinging road, once steady."""
    count = round(1.0 / (frequency * h))
    h = 1.0 / (frequency * count)
    turn = 2.0 * math.pi * np.arange(count) / count
    road, speed = (height * np.sin(turn)).tolist(), (2.0 * math.pi * frequency * height * np.cos(turn)).tolist()
    run = started(c, chamber, 0.0, 0.0, 0.0, 0.0)
    for _ in range(math.ceil(settle * frequency)):
        for y, u in zip(road, speed, strict=True):
            run.step(h, y, u)
    places = []
    for y, u in zip(road, speed, strict=True):
        run.step(h, y, u)
        assert run.squash > 0.0
        places.append((run.body, run.wheel))
    wave = np.exp(-1j * turn)
    return (wave @ np.array(places)) / (wave @ np.array(road))


@pytest.mark.parametrize("frequency", [1.0, 3.5, 6.0, 15.0, 32.6, 45.0])
def test_two_masses_on_a_swinging_road(frequency):
    """Body and wheel follow the complex solution of two masses with both dampers."""
    ms, mu, ks, kt, c, ct = 0.40, 0.10, 200.0, 4000.0, 6.0, 2.0
    found = swing(moving(ms, mu, ks, kt, tyre_damping=ct), Dashpot(c), frequency, 1e-5, 2.0, 1e-4)
    s = 2j * math.pi * frequency
    link, tyre = ks + s * c, kt + s * ct
    wanted = np.linalg.solve([[ms * s**2 + link, -link], [-link, mu * s**2 + link + tyre]], [0.0, tyre])
    assert np.abs(found - wanted) == pytest.approx(0.0, abs=3e-4 * np.max(np.abs(wanted)))


@pytest.mark.parametrize("zeta", [0.1, 0.5, 1.2])
@pytest.mark.parametrize("r", [0.4, 1.0, math.sqrt(2.0), 2.5])
def test_transmissibility(zeta, r):
    """|X/Y|^2 = (1 + (2 zeta r)^2)/((1 - r^2)^2 + (2 zeta r)^2), the tyre 5,000 times as stiff as the spring."""
    ms, ks = 0.4, 200.0
    w = math.sqrt(ks / ms)
    c = moving(ms, 0.05, ks, 1e6)
    damping, frequency = 2.0 * zeta * math.sqrt(ks * ms), r * w / (2.0 * math.pi)
    found = abs(swing(c, Dashpot(damping), frequency, 1e-6, 12.0 / (min(zeta, 0.4) * w), 1e-4)[0])
    side = (2.0 * zeta * r) ** 2
    assert found == pytest.approx(math.sqrt((1.0 + side) / ((1.0 - r**2) ** 2 + side)), rel=1e-3)


@pytest.mark.parametrize(("km_h", "wanted"), [(20.0, 0.0550), (100.0, 0.0425)])
def test_a_published_rough_road(km_h, wanted):
    """Rao: 1200 kg on 400 kN/m, zeta 0.5, waves of 6 m and 50 mm; printed 0.0550 and 0.042 m (exactly 0.042466)."""
    c = moving(1200.0, 200.0, 400e3, 4e9)
    damping = math.sqrt(400e3 * 1200.0)
    found = abs(swing(c, Dashpot(damping), km_h / 3.6 / 6.0, 1e-4, 1.5, 1e-4)[0])
    assert 0.05 * found == pytest.approx(wanted, abs=5e-5)


def invariant(c: Moving, chamber: Any, mass: float, height: float, start: tuple[float, ...], cycles: int) -> Any:
    """Complex amplitudes over the road's at w^2 = kt/mass, which the step's own second difference shall meet.

    For heights every h that swing in N steps a cycle the second difference over h^2 is -(2 sin(pi/N)/h)^2 times
    them, so h = 2 sin(pi/N) sqrt(mass/kt) makes the invariants exact at any step.
    """
    count = 512
    h = 2.0 * math.sin(math.pi / count) * math.sqrt(mass / c.tyre_rate)
    turn = 2.0 * math.pi * np.arange(count) / count
    road = (height * np.sin(turn)).tolist()
    run = started(c, chamber, *start)
    for _ in range(cycles):
        for y in road:
            run.step(h, y)
    places = []
    for y in road:
        run.step(h, y)
        assert run.squash > 0.0
        places.append((run.body, run.wheel))
    wave = np.exp(-1j * turn)
    return (wave @ np.array(places)) / (wave @ np.array(road))


def real_corner(name: str) -> tuple[Moving, Any, tuple[float, ...]]:
    """A demo corner with holes, gas, drag and linkage, its tyre without loss, at rest."""
    prepared = ready(demo_corner(name), 25.0, at_rest=True)
    assert prepared is not None
    one = alone(prepared)
    run = motion_of(one, FLOATS, one.rest, 0.0, 0.0)
    return one.moving._replace(tyre_damping=0.0), run.chamber, (run.body, run.wheel, 0.0, 0.0)


def linear_corner(_: str) -> tuple[Moving, Any, tuple[float, ...]]:
    """Linear spring and damper."""
    return moving(0.4, 0.1, 200.0, 4000.0), Dashpot(6.0), (0.0, 0.0, 0.0, 0.0)


@pytest.mark.parametrize(
    ("corner", "name"), [(linear_corner, ""), (real_corner, "demo-truck.front"), (real_corner, "demo-buggy.rear")]
)
def test_invariants_of_a_quarter_car(corner, name):
    """For any force between body and wheel, tyre without loss (Hedrick & Butsuen, from memory; derived anew).

    At sqrt(kt/mu) the body swings mu/ms times the road, against it; at sqrt(kt/(ms + mu)) the wheel travels
    1 + mu/ms times the road.
    """
    c, chamber, start = corner(name)
    body, _ = invariant(c, chamber, c.unsprung, 3e-4, start, 100)
    assert abs(body + c.unsprung / c.sprung) < 1e-8
    c, chamber, start = corner(name)
    body, wheel = invariant(c, chamber, c.sprung + c.unsprung, 3e-4, start, 40)
    assert abs(wheel - body - 1.0 - c.unsprung / c.sprung) < 1e-8


BUMPS = [
    (0.25, 0.53333, 1.26808),
    (0.5, 1.33333, 1.73205),
    (1.0, 1.57080, 1.57080),
    (2.0, 0.94281, 0.66667),
    (4.0, 0.49274, 0.18856),
]
"""(pi/t0)/w, what is left, most during the pulse: Clough & Penzien (from memory), checked by integration."""


@pytest.mark.parametrize(("beta", "residual", "most"), BUMPS)
def test_half_sine_bump(beta, residual, most):
    """A wheel on its tyre alone, the body in free fall: what is left of the swing after the bump, and the peak."""
    mass, rate, per, height = 0.1, 100.0, 4000, 1e-4
    w = math.sqrt(rate / mass)
    h, count = 2.0 * math.pi / w / per, round(per / (2.0 * beta))
    c = moving(0.4, mass, 0.0, rate, squash=mass * G_N / rate)
    run = started(c, Dashpot(0.0), 0.0, 0.0, 0.0, 0.0)
    tops = []
    for i in range(count + 1):
        run.step(h, height * math.sin(math.pi * i / count))
        tops.append(run.wheel)
    assert math.hypot(run.wheel, run.now_wheel / w) / height == pytest.approx(residual, abs=6e-6)
    assert max(tops) / height == pytest.approx(most, abs=6e-6)


def dropped(height: float, mass: float, rate: float) -> tuple[float, float]:
    """Most compression and force over weight of a mass that falls onto a linear spring."""
    sag = mass * G_N / rate
    factor = 1.0 + math.sqrt(1.0 + 2.0 * height / sag)
    return sag * factor, factor


def test_drop_onto_the_tyre():
    """2 kg from 0.5 m onto 4 N/mm: 75.0985 mm and 15.3158 times the weight."""
    mass, rate = 2.0, 4000.0
    most, times = dropped(0.5, mass, rate)
    assert (round(1e3 * most, 4), round(times, 4)) == (75.0985, 15.3158)
    c = moving(0.4, mass, 0.0, rate, squash=mass * G_N / rate)
    speed = -math.sqrt(2.0 * G_N * 0.5)
    run = started(c, Dashpot(0.0), 0.0, c.squash, speed, speed)
    squash = force = 0.0
    while run.wheel_speed < 0.0:
        run.step(2e-5)
        squash, force = max(squash, run.squash), max(force, run.tyre)
    run.step(2e-5)
    squash, force = max(squash, run.squash), max(force, run.tyre)
    assert (squash, force / (mass * G_N)) == pytest.approx(dropped(0.5, mass, rate), rel=1e-6)


@pytest.mark.parametrize("height", [0.0, 0.05, 0.5])
def test_drop_onto_the_spring(height):
    """The body onto the spring of a wheel that stays, as onto any spring; from no height twice its weight."""
    mass, rate = 0.3, 400.0
    c = moving(mass, HEAVY, rate, RIGID, loose=INSERTION)
    run = started(c, Dashpot(0.0), 0.0, 0.0, -math.sqrt(2.0 * G_N * height), 0.0)
    found = [(run.step(2e-5), run.insertion - INSERTION, run.force)[1:] for _ in range(9000)]
    most = np.max(np.array(found), axis=0)
    wanted = dropped(height, mass, rate)
    assert most / (1.0, mass * G_N) == pytest.approx(np.array(wanted), rel=2e-6)


@pytest.mark.parametrize("ratio", [0.4, 0.75, 1.1])
def test_constant_motion_ratio(ratio):
    """Spring and damper behind a fixed ratio act as ratio^2 of them at the wheel, with ratio times their force."""
    ms, mu, ks, kt, damping = 0.4, 0.1, 500.0, 3000.0, 20.0
    loose = INSERTION - ms * G_N / (ks * ratio)
    behind = moving(ms, mu, ks, kt, place=(ratio, INSERTION), turn=(ratio,), loose=loose)
    direct = moving(ms, mu, ks * ratio**2, kt)
    start = (-3e-3, 1e-3, 0.2, -0.1)
    one, other = started(behind, Dashpot(damping), *start), started(direct, Dashpot(damping * ratio**2), *start)
    for _ in range(3000):
        one.step(1e-4)
        other.step(1e-4)
        assert (one.body, one.wheel) == pytest.approx((other.body, other.wheel), rel=1e-9, abs=1e-14)
        assert one.force * ratio == pytest.approx(other.force, rel=1e-9, abs=1e-10)


def test_the_polynomial_of_a_fixed_ratio_is_a_line():
    """The library's corner with a fixed ratio has that ratio at every travel."""
    corner = replaced(demo_corner("demo-truck.front"), linkage=Ratio(motion_ratio=0.62, level_length_mm=72.0))
    prepared = ready(corner, 25.0)
    assert prepared is not None
    c = prepared.moving
    for at in (-1.0, -0.3, 0.0, 0.7, 1.0):
        assert np.polyval(c.turn, at) == pytest.approx(0.62, rel=1e-10)
        travel = c.middle + at / c.scale
        assert np.polyval(c.place, at) == pytest.approx((88.0 - 72.0) * 1e-3 + 0.62 * travel, abs=1e-14)
