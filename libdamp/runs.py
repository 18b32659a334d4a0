"""Runs of the motion engine: what is watched on the way, and the ledger of energy; one corner or a batch."""

from collections.abc import Callable, Generator
from typing import Any, NamedTuple, TypeVar

import numpy as np

from .moving import Ready, kit_of, motion_of
from .physics.motion import DRAG_GIVE_M, Motion
from .physics.numbers import G_N

T = TypeVar("T")

SETTLED_M = 1e-3
"""A body within this and the drag's band of rest has settled."""
QUIET_S, LEAST_S, LONGEST_S = 0.08, 0.25, 2.0
"""A landing goes on until the body has been settled so long, at least and at most so long."""
HAMMER_S = 1e-3
"""How long after a void has closed no peak is taken on the way out: the blow is not in the model."""
CLOSES = 5e-4
"""Share of the energy within which the ledger of a landing, or of bumps, closes; else the step is too long."""
HALVINGS = 6
"""How often the step is halved for that at most."""
MOST_STEPS = 200_000
"""Time steps of all runs of one calculation together: some seconds of one core, ten times what most need."""
ENERGY = ("kinetic", "potential", "spring", "gas", "void", "oil", "drag", "tyre", "stops", "ground")
"""Shares of the ledger; together they are the energy at first contact, at every instant."""


class Effort:
    """Time steps that the runs of one calculation may still take; every run of a single corner draws on one."""

    def __init__(self) -> None:
        self.left = MOST_STEPS

    def take(self, steps: int) -> None:
        """Take some steps from what is left.

        Raises
        ------
        ArithmeticError : so many are not left; then none is.
        """
        self.left = self.left - steps if steps <= self.left else 0
        if self.left == 0:
            raise ArithmeticError("the calculation takes too many time steps")


class Watch:
    """Peaks of a run, taken at every step."""

    def __init__(self, corner: Ready, run: Motion) -> None:
        zero = abs(0.0 * run.body)
        self.corner, self.run, self.kit, self.rest = corner, run, run.kit, -corner.rest
        self.tolerance = SETTLED_M + corner.band
        self.depth = -(run.c.clearance + run.body)
        stands = np.asarray(run.c.clearance - corner.rest + corner.band, dtype=float)
        stands = np.where(np.isnan(stands), np.inf, stands)
        self.stands = stands if stands.ndim else float(stands)
        self.insertion = run.insertion
        self.speed = self.force = self.pull = self.difference = self.back = self.void = self.cap = zero
        self.lost = self.squash = self.flight = self.settled = zero
        self.lowest = self.highest = run.body
        self.void_from = self.closed = zero - 1.0
        self.recent, self.calming = 0, int(HAMMER_S / np.min(corner.step)) + 2  # steps

    def look(self, time: Any) -> None:
        """Take the state of a step."""
        kit, run = self.kit, self.run
        larger, smaller, body, squash = kit.larger, kit.smaller, run.body, run.squash
        self.depth = larger(self.depth, run.depth)
        self.insertion = larger(self.insertion, run.insertion)
        self.speed = larger(self.speed, abs(run.speed))
        self.force = larger(self.force, run.force)
        self.difference = larger(self.difference, run.difference)
        self.cap = larger(self.cap, run.chamber.cap)
        self.flight = smaller(self.flight, squash)
        self.squash = larger(self.squash, squash)
        self._void(time)
        self.highest = kit.where(body < self.lowest, body, larger(self.highest, body))
        self.lowest = smaller(self.lowest, body)
        self.settled = kit.where(abs(body - self.rest) > self.tolerance, time, self.settled)

    @property
    def clearance(self) -> Any:
        """Least clearance of the chassis so far."""
        return -self.depth

    @property
    def least(self) -> Any:
        """Least clearance, that which a body still creeps down to included."""
        return self.kit.smaller(-self.depth, self.stands)

    @property
    def bounce(self) -> Any:
        """Greatest height of the tyre above the ground."""
        return 0.0 - self.flight

    @property
    def over(self) -> Any:
        """How far the stop was pressed in at most, below zero where it was not reached."""
        return self.insertion - self.run.c.high

    def _void(self, time: Any) -> None:
        """Largest void, the shaft speed that opened it, the way out without damping; peaks on the way out.

        The blow of a void that closes is no peak: for HAMMER_S after it none is taken on the way out.
        """
        kit, run, void = self.kit, self.run, self.run.chamber.void
        there = void > 0.0
        some = kit.any(there)
        if not some and self.recent == 0:
            self.pull = kit.smaller(self.pull, run.force)
            self.back = kit.smaller(self.back, run.difference)
            return
        self.recent = self.calming if some else self.recent - 1
        self.closed = kit.where(there, time, self.closed)
        calm = time - self.closed > HAMMER_S
        self.pull = kit.smaller(self.pull, calm * run.force)
        self.back = kit.smaller(self.back, calm * run.difference)
        first = kit.where(self.void_from < 0.0, abs(run.speed), self.void_from)
        self.void_from = kit.where(there, first, self.void_from)
        self.void = kit.larger(self.void, void)
        self.lost = self.lost + there * kit.larger(-run.moved, 0.0)


def fall(corner: Ready, speed: Any) -> Motion:
    """A corner that meets the ground at a speed, its shock fully out, its tyre just touching."""
    return motion_of(corner, kit_of(corner), corner.droop, corner.moving.squash, -speed)


def ledger(run: Motion, body: Any, wheel: Any) -> dict[str, Any]:
    """Where the energy of first contact is, J; `body` and `wheel` are the heights then."""
    c, kit = run.c, run.kit
    kinetic = c.sprung * run.body_old * run.body_speed + c.unsprung * run.wheel_old * run.wheel_speed
    pressed, before = kit.larger(run.insertion - c.loose, 0.0), kit.larger(c.low - c.loose, 0.0)
    high, low = kit.larger(run.over, 0.0), kit.larger(run.under, 0.0)
    gas, void = run.chamber.stored()
    return {
        "kinetic": 0.5 * kinetic,
        "potential": G_N * (c.sprung * (run.body - body) + c.unsprung * (run.wheel - wheel)),
        "spring": 0.5 * c.rate * (pressed * pressed - before * before),
        "gas": gas,
        "void": void,
        "oil": run.chamber.oil_work,
        "drag": run.drag_work,
        "tyre": run.tyre_work,
        "stops": 0.5 * c.stop_rate * (high * high + low * low),
        "ground": run.ground_work,
    }


class Peak:
    """The greatest push of a run, and nothing else: a watch for batches of which no more is asked."""

    def __init__(self, corner: Ready, run: Motion) -> None:
        self.corner, self.run, self.force = corner, run, abs(0.0 * run.body)

    def look(self, _: Any) -> None:
        """Take the state of a step."""
        self.force = self.run.kit.larger(self.force, self.run.force)


class Start(NamedTuple):
    """How a course begins: the corner, the wheel's travel and height, one speed, whether the seals gave way."""

    corner: Ready
    travel: Any
    wheel: Any
    speed: Any
    pressed_in: bool = False


Course = Generator[Any, Any, T]
"""A run as seen by whoever follows it: asks for its start, is sent the run, then asks step by step.

A step is what `Motion.step` takes: (h,), or (h, road, road's speed, floor). So a run may have its motion to itself
(`followed`) or share it with others.
"""


def begun(start: Start) -> Motion:
    """A motion that begins so."""
    corner = start.corner
    run = motion_of(corner, kit_of(corner), start.travel, start.wheel, start.speed)
    if start.pressed_in:
        run.slider, run.drag = run.insertion - DRAG_GIVE_M, corner.moving.drag
    return run


def followed(course: Course[T]) -> T:
    """What a course gives that has a motion to itself."""
    run = begun(next(course))
    return carried(run, course, run)


def carried(run: Motion, course: Course[T], sent: Motion | None = None) -> T:
    """What a course gives that goes on with a motion; `sent` is what it waits for first."""
    try:
        step = course.send(sent)
        while True:
            run.step(*step)
            step = next(course)
    except StopIteration as end:
        given: T = end.value
        return given


def landed(
    corner: Ready,
    speed: Any,
    duration: float,
    until: Callable[[Watch, float], bool] | None = None,
    effort: Effort | None = None,
) -> Watch:
    """A landing at a speed, for a time or until a sign; a batch goes on until its smallest step has covered it.

    Raises
    ------
    ArithmeticError : it takes more steps than an effort, where one is given, has left.
    """
    return followed(landing(corner, speed, duration, until, effort))


def landing(
    corner: Ready,
    speed: Any,
    duration: float,
    until: Callable[[Watch, float], bool] | None = None,
    effort: Effort | None = None,
) -> Course[Watch]:
    """Course of `landed`.

    Raises
    ------
    ArithmeticError : it takes more steps than an effort, where one is given, has left.
    """
    watch = Watch(corner, (yield Start(corner, corner.droop, corner.moving.squash, -speed)))
    h = corner.step
    least = float(h.min()) if isinstance(h, np.ndarray) else h
    for i in range(round(duration / least)):
        if effort is not None:
            effort.take(1)  # one by one: numbers that run away end a run at any step
        yield (h,)
        watch.look(i * h)
        if until is not None and until(watch, i * h):
            break
    return watch


def halved(corner: Ready, run: Callable[[Ready], T], effort: Effort) -> T:
    """What a run of a single corner gives with the first time step, halved again and again, that resolves it.

    Raises
    ------
    ArithmeticError : HALVINGS or the effort do not suffice; the numbers run away, or `run` itself says so.
    """
    for i in range(HALVINGS + 1):
        try:
            return run(corner._replace(step=corner.step * 0.5**i))
        except (ArithmeticError, ValueError):
            if effort.left == 0:
                break
    raise ArithmeticError("no time step resolves this run")


def quiet(watch: Watch, time: float) -> Any:
    """Whether a landing has settled for good."""
    return time - watch.settled > (QUIET_S if time > LEAST_S else LONGEST_S)


def missing(watch: Watch, speed: Any) -> Any:
    """What is missing in the ledger of a landing, over all the energy that came in."""
    c, corner = watch.run.c, watch.corner
    body, mass = c.squash - corner.droop, c.sprung + c.unsprung
    start = 0.5 * mass * speed * speed
    came = start + mass * G_N * watch.kit.larger(body - watch.lowest, SETTLED_M)
    return abs(sum(ledger(watch.run, body, c.squash).values()) - start) / came


def can_fall(corner: Ready) -> Any:
    """Whether the wheel meets the ground before the chassis does."""
    return corner.moving.clearance + corner.moving.squash > corner.droop


def resolved(
    corner: Ready,
    speed: float,
    duration: float,
    until: Callable[[Watch, float], bool] | None = None,
    effort: Effort | None = None,
) -> Watch:
    """A landing of a single corner whose ledger closes: as `landed`, the step halved as often as that takes.

    Raises
    ------
    ArithmeticError : HALVINGS or the effort (all of one if none is given) do not suffice, or the chassis is on
        the ground before the wheel.
    """
    shared = Effort() if effort is None else effort
    if not can_fall(corner):
        raise ArithmeticError("the chassis is on the ground before the wheel")

    def once(finer: Ready) -> Watch:
        watch = landed(finer, speed, duration, until, shared)
        if not missing(watch, speed) <= CLOSES:
            raise ArithmeticError("the ledger is open")
        return watch

    return halved(corner, once, shared)


def turned(watch: Watch, _: float) -> bool:
    """Whether the body of a single corner has begun to rise."""
    return bool(watch.run.now_body > 0.0)
