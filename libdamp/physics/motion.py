"""One corner in motion: two masses, linkage, spring, stops, seal drag, tyre and ground around a shock.

Wheel travel z = yw - yb is positive in bump, x is the shaft's insertion, forces push the car up:

    ms yb'' = -ms g + F MR + G,   mu yw'' = -mu g - F MR + T                                          (1)
    F = (p_cap - p_atm) A_s + dp A_a + k (x - x_loose)+ + stops + drag                                (2)
    stops = k_stop (x - x_high)+ - k_stop (x_low - x)+                                                (3)
    drag = k_d (x - s), |drag| <= F_c, k_d = F_c/0.02 mm, s slides                                    (4)
    T = (k_t d + k_t2 (d - d_rim)+ + c_t d')+ while d > 0, d the tyre's squash; G likewise            (5)

Positions at whole steps, speeds half way between (leapfrog). What depends on speed is solved for the speed at
the whole step: dp is taken as a straight line at the speed that the last acceleration foretells, and (1) are two
linear equations. Second order in the step away from contacts. Work is summed by the trapezoid rule; the
kinetic energy is m u- u+/2 with the speeds half a step before and after, so that for linear springs the ledger
is constant to round-off.

One code serves an array of corners and, handed floats and `FLOATS`, a single corner.

Sources
-------
[1] Newton's law for two masses, chamber balance (see `chamber`), virtual work for the linkage.
[2] Leapfrog: E. Hairer, C. Lubich & G. Wanner, Geometric Numerical Integration, ch. I (from memory).
[3] Elastic-plastic friction: a short spring that slides at the drag (any text on Coulomb friction models).
"""

from typing import Any, NamedTuple

from .chamber import SealedRun, SpreadRun
from .numbers import G_N, P_ATM, Real
from .stepping import Kit

FAR_M = 1.0
"""Stands for a stop or a rim that is not there."""
DRAG_GIVE_M = 2e-5
"""How far the seals give before they slide."""


class Moving(NamedTuple):
    """A corner, SI, floats or arrays; the linkage as a polynomial in (z - middle) scale."""

    sprung: Real
    unsprung: Real
    middle: Real
    scale: Real
    place: tuple[Real, ...]  # insertion, highest power first
    turn: tuple[Real, ...]  # motion ratio, highest power first
    rate: Real
    loose: Real  # insertion at which the spring begins to press
    low: Real  # insertion at the droop stop
    high: Real  # insertion at the first of shock stop and coil bind
    stop_rate: Real
    drag: Real
    tyre_rate: Real
    tyre_damping: Real
    squash: Real  # of the tyre under the standing car
    rim: Real  # squash at which the rim carries
    rim_rate: Real
    clearance: Real  # chassis above ground with level arms
    ground_rate: Real
    ground_damping: Real


def _polynomial(powers: tuple[Any, ...], at: Any) -> Any:
    value = powers[0]
    for power in powers[1:]:
        value = value * at + power
    return value


class Motion:
    """A run; after each `step` its attributes hold the corner's state at that step."""

    def __init__(self, c: Moving, kit: Kit, start: tuple[Any, Any, Any, Any]) -> None:
        """Begin at heights and speeds: body, wheel, body's speed, wheel's speed.

        Heights count from the standing tyre with level arms.
        """
        self.c, self.kit = c, kit
        self.body, self.wheel, self.body_speed, self.wheel_speed = start
        zero = abs(0.0 * self.body)
        self.insertion = self._linkage()
        self.slider = self.insertion
        self.pull = self.tyre = self.ground = self.drag = zero  # pull: relative acceleration of the last step
        self.drag_work = self.tyre_work = self.ground_work = zero
        self.depth = self.squash = zero
        self.begun = self.touches = self.touched = False
        self.h: Any = None
        self.rim = kit.any(c.rim_rate * c.squash > 0.0) and kit.any(c.rim < FAR_M)

    def begin(self, chamber: SealedRun | SpreadRun) -> None:
        """Take the shock's inside, at rest at this insertion."""
        self.chamber = chamber

    def _prepare(self, h: Any) -> None:
        """What stays the same as long as the step does."""
        c = self.c
        self.h, self.half = h, 0.5 * h
        self.body_light, self.wheel_light = 1.0 / c.sprung, 1.0 / c.unsprung
        self.body_weight, self.wheel_weight = c.sprung * G_N, c.unsprung * G_N
        self.ease = h * (self.body_light + self.wheel_light)
        self.fade = 2.0 - h * c.tyre_damping * self.wheel_light
        self.masses = c.sprung / self.half, c.unsprung / self.half
        self.drag_rate = c.drag / DRAG_GIVE_M

    def _linkage(self) -> Any:
        c = self.c
        at = (self.wheel - self.body - c.middle) * c.scale
        self.ratio = _polynomial(c.turn, at)
        return _polynomial(c.place, at)

    def step(self, h: Any, road: Any = 0.0, road_speed: Any = None, floor: Any = 0.0) -> None:
        """Take the corner one step of `h` on; heights, forces and `now_*` speeds are then those of that time.

        The first call works out the beginning; `body_speed` and `wheel_speed` are half a step ahead.
        """
        if h is not self.h:
            self._prepare(h)
        if self.begun:
            self.body = self.body + h * self.body_speed
            self.wheel = self.wheel + h * self.wheel_speed
        before = self.insertion
        self.insertion = self._linkage()
        moved = self.moved = self.insertion - before
        if self.begun:
            self.chamber.move(self.insertion, moved, h)
        self._contacts(road, floor)
        ahead = self.half if self.begun else 0.0
        speed = self.ratio * (self.wheel_speed - self.body_speed + ahead * self.pull)
        self.speed_ahead = speed
        difference, slope = self.chamber.react(speed)
        hold = self._held(moved)
        self._solve(h, hold, difference, slope, road_speed)
        self.chamber.settle(self.difference)
        self.force = hold + self.chamber.area * self.difference
        self._tally()
        self.begun = True

    def _held(self, moved: Any) -> Any:
        """Everything in (2) but dp A_a; (3), (4)."""
        c, kit, x = self.c, self.kit, self.insertion
        self.slider = kit.larger(kit.smaller(self.slider, x + DRAG_GIVE_M), x - DRAG_GIVE_M)
        drag = self.drag_rate * (x - self.slider)
        self.drag_work = self.drag_work + 0.5 * (self.drag + drag) * moved  # (4)
        self.drag = drag
        self.spring = c.rate * kit.larger(x - c.loose, 0.0)
        self.over, self.under = x - c.high, c.low - x
        self.stops = c.stop_rate * (kit.larger(self.over, 0.0) - kit.larger(self.under, 0.0))  # (3)
        return (self.chamber.base - P_ATM) * self.chamber.c.shaft_area + self.spring + self.stops + drag

    def _contacts(self, road: Any, floor: Any) -> None:
        """Squash of tyre and depth of the chassis in the ground, with what they were before."""
        c = self.c
        self.squash_before, self.depth_before = self.squash, self.depth
        self.squash = c.squash - self.wheel + road
        self.depth = floor - c.clearance - self.body

    def _solve(self, h: Any, hold: Any, difference: Any, slope: Any, road_speed: Any) -> None:
        """(1) for the speeds at this step, then the speeds half a step on."""
        ratio = self.ratio
        area = self.chamber.area
        lever = ratio * ratio * area * slope
        body_mass, wheel_mass = self._masses(lever)
        push = ratio * (hold + area * (difference - slope * self.speed_ahead))
        tyre, tyre_damping = self._tyre_line(road_speed)
        ground, ground_damping = self._ground_line()
        if self.begun:
            body_pull = body_mass * self.body_speed - self.body_weight + push + ground
            wheel_pull = wheel_mass * self.wheel_speed - self.wheel_weight - push + tyre
            body_side = body_mass + ground_damping + lever
            wheel_side = wheel_mass + tyre_damping + lever
            part = 1.0 / (body_side * wheel_side - lever * lever)
            self.now_body = (wheel_side * body_pull + lever * wheel_pull) * part
            self.now_wheel = (lever * body_pull + body_side * wheel_pull) * part
        else:
            self.now_body, self.now_wheel = self.body_speed, self.wheel_speed
        opening = self.now_wheel - self.now_body
        self.tyre_before, self.ground_before = self.tyre, self.ground
        self.tyre = tyre - tyre_damping * self.now_wheel
        self.ground = ground - ground_damping * self.now_body if self.touches else 0.0
        link = push + lever * opening
        body_gain = (link + self.ground) * self.body_light - G_N  # (1)
        wheel_gain = (self.tyre - link) * self.wheel_light - G_N
        self.pull = wheel_gain - body_gain
        self.speed = ratio * opening
        self.difference = difference + slope * (self.speed - self.speed_ahead)
        self._kick(h, body_gain, wheel_gain)

    def _kick(self, h: Any, body_gain: Any, wheel_gain: Any) -> None:
        """Speeds half a step on; at the beginning from the speeds given, also half a step back."""
        if self.begun:
            self.body_old, self.wheel_old = self.body_speed, self.wheel_speed
        else:
            self.body_old = self.body_speed - self.half * body_gain
            self.wheel_old = self.wheel_speed - self.half * wheel_gain
        self.body_speed = self.body_old + h * body_gain
        self.wheel_speed = self.wheel_old + h * wheel_gain

    def _masses(self, lever: Any) -> tuple[Any, Any]:
        """Masses over the part of the step to the speed that is solved for: half; more where damping would ring."""
        if not self.kit.any(lever * self.ease > self.fade):
            return self.masses
        c, kit = self.c, self.kit
        stiff = lever * self.ease + (2.0 - self.fade)
        part = kit.larger(self.half, self.h * (1.0 - 1.0 / kit.larger(stiff, 1.0)))
        return c.sprung / part, c.unsprung / part

    def _tyre_line(self, road_speed: Any) -> tuple[Any, Any]:
        """The tyre's force at rest and its damping, none where it is off the ground or would pull; (5)."""
        c, kit, d = self.c, self.kit, self.squash
        still = c.tyre_rate * d
        if self.rim:
            still = still + c.rim_rate * kit.larger(d - c.rim, 0.0)
        if road_speed is not None:
            still = still + c.tyre_damping * road_speed
        pushes = (d >= 0.0) & (still > c.tyre_damping * self.wheel_speed)
        return pushes * still, pushes * c.tyre_damping

    def _ground_line(self) -> tuple[Any, Any]:
        """The ground's force on the chassis at rest and its damping; (5)."""
        c, kit = self.c, self.kit
        self.touches = kit.any(self.depth > 0.0)
        if not self.touches:
            return 0.0, 0.0
        still = c.ground_rate * self.depth
        pushes = (self.depth > 0.0) & (still > c.ground_damping * self.body_speed)
        return pushes * still, pushes * c.ground_damping

    def _tally(self) -> None:
        """Work of tyre and ground since the last step."""
        if self.begun:
            pressed = self.squash - self.squash_before
            self.tyre_work = self.tyre_work + 0.5 * (self.tyre + self.tyre_before) * pressed
            if self.touches or self.touched:
                sunk = self.depth - self.depth_before
                self.ground_work = self.ground_work + 0.5 * (self.ground + self.ground_before) * sunk
        self.touched = self.touches
