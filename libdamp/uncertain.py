"""Which inputs of a request are uncertain, by how much, and how they are drawn.

What was measured is drawn from a normal distribution, what was assumed or is known only by its ends from a
uniform one. An input's draws are the middles of equal shares of its distribution in an order of its own, which
the seed and its path give: they fill the distribution evenly, and another input's spread does not change them.
"""

import zlib
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from itertools import product
from statistics import NormalDist
from typing import Annotated, Any, Literal, NamedTuple

import numpy as np

from .addresses import Path
from .answers import Assumed
from .checked import Either, Many, Model, Number, Part, nodes
from .errors import Fault, InputError
from .findings import shown
from .physics.numbers import Array
from .quantities import Q, Quantity
from .ranges import Range
from .repeating import Named, filled
from .typical import SPREAD

Kind = Literal["measured", "assumed", "range", "given"]

HOLES_MM = {"shanks": 0.02, "hand": 0.05}
"""Standard deviation of a hole that was measured with drill shanks, or drilled by hand and not measured."""

MEASURED: dict[str, tuple[float, float]] = {
    "oil.viscosity_cst": (0.05, 0.0),
    "piston.thickness_mm": (0.0, 0.05),
    "temperature_c": (0.0, 2.0),
    "oil_temperature_c": (0.0, 2.0),
}
"""Standard deviation of what is measured at home: share of the value, and in the field's unit."""

NOT_DRAWN = ("box", "blank", "goals", "drills_mm")
"""Parts of a request that are wishes, or parts in hand: neither is an error of the set-up."""


class InputSpread(Model, frozen=True, kw_only=True):
    """How far off one input may be: sd or rel_sd (normal), half_width, or low and high (uniform)."""

    sd: Annotated[float, Q("spread.sd")] | None = None
    rel_sd: Annotated[float, Q("spread.rel_sd")] | None = None
    half_width: Annotated[float, Q("spread.half_width")] | None = None
    low: Annotated[float, Q("spread.low")] | None = None
    high: Annotated[float, Q("spread.high")] | None = None

    def consistency(self) -> Iterator[Fault]:
        """One way to say it; both ends, the right way round."""
        ways = [self.sd, self.rel_sd, self.half_width, self.low if self.high is None else self.high]
        if sum(way is not None for way in ways) != 1:
            yield Fault(pointer="", rule="either", text="give one of sd, rel_sd, half_width, or low and high")
        elif (self.low is None) != (self.high is None):
            yield Fault(pointer="", rule="either", text="low and high go together: give both")
        elif self.low is not None and self.high is not None and self.low > self.high:
            text = f"low = {self.low:g}: must be no more than high = {self.high:g}"
            yield Fault(pointer="/low", rule="consistent", value=self.low, limit=self.high, text=text)

    def drawn(self, value: float) -> "Drawn":
        """What is drawn for a value."""
        if self.sd is not None or self.rel_sd is not None:
            return Drawn(sd=self.sd if self.sd is not None else (self.rel_sd or 0.0) * abs(value))
        if self.half_width is not None:
            return Drawn(ends=(value - self.half_width, value + self.half_width))
        return Drawn(ends=(self.low or 0.0, self.high or 0.0))


class Drawn(NamedTuple):
    """A distribution: normal with a standard deviation, or uniform between two ends."""

    sd: float = 0.0
    ends: tuple[float, float] | None = None


class Input(NamedTuple):
    """One uncertain input of a request."""

    path: Path
    kind: Kind
    nominal: float
    row: Quantity
    integer: bool
    drawn: Drawn
    assumed: Assumed | None = None

    @property
    def name(self) -> str:
        """Its path, dotted."""
        return ".".join(self.path)

    @property
    def spread(self) -> str:
        """The distribution in words."""
        unit = "" if self.row.unit == "1" else f" {self.row.unit}"
        if self.drawn.ends is None:
            return f"normal, ±{shown(self.drawn.sd)}{unit} (one standard deviation)"
        low, high = self.drawn.ends
        return f"uniform, {shown(low)} to {shown(high)}{unit}"


class Leaf(NamedTuple):
    """A number of a request."""

    path: Path
    value: float
    row: Quantity
    integer: bool


def leaves(model: Model, path: Path = ()) -> Iterator[Leaf]:
    """Every number of a request that is given or assumed, with its path."""
    for name, node in nodes(type(model)).items():
        value, here = getattr(model, name), (*path, name)
        if value is not None:
            inner = node.other if isinstance(node, Either) and node.other is not None else node
            yield from _leaf(inner, value, here)


def _leaf(node: Any, value: Any, path: Path) -> Iterator[Leaf]:
    if isinstance(node, Number) and node.row is not None and not isinstance(value, str):
        yield Leaf(path, float(value), node.row, node.integer)
    elif isinstance(node, Part) and isinstance(value, Model):
        yield from leaves(value, path)
    elif isinstance(node, Many):
        for i, item in enumerate(value):
            yield from _leaf(node.item, item, (*path, str(i)))


def uncertain(
    found: Sequence[Leaf],
    assumed: Sequence[Assumed],
    ranges: Sequence[Range],
    spreads: Mapping[Path, InputSpread],
    holes: str,
) -> list[Input]:
    """Inputs that are drawn, in the order of the request; a spread that the caller gives goes first."""
    guessed = {tuple(a.path.strip("/").split("/")): a for a in assumed}
    open_ends = {r.path: r for r in ranges}
    made = []
    for leaf in found:
        own = guessed.get(leaf.path)
        kind: Kind
        if leaf.path in spreads:
            kind, drawn = "given", spreads[leaf.path].drawn(leaf.value)
        elif leaf.path in open_ends:
            kind, drawn = "range", Drawn(ends=(open_ends[leaf.path].low, open_ends[leaf.path].high))
        elif own is not None:
            kind, drawn = "assumed", Drawn(ends=SPREAD[leaf.path[-1]].ends(leaf.value))
        elif leaf.row.name == "holes.diameter_mm" or leaf.row.name in MEASURED:
            if leaf.path[0] in NOT_DRAWN:
                continue
            share, absolute = MEASURED.get(leaf.row.name, (0.0, HOLES_MM[holes]))
            kind, drawn = "measured", Drawn(sd=share * abs(leaf.value) + absolute)
        else:
            continue
        made.append(Input(leaf.path, kind, leaf.value, leaf.row, leaf.integer, drawn, own))
    return made


@cache
def _normal_scores(count: int) -> Array:
    """Middles of equal shares of the normal distribution, lowest first, with a standard deviation of 1."""
    normal = NormalDist()
    lower = np.array([normal.inv_cdf((i + 0.5) / count) for i in range(count // 2)])
    scores = np.concatenate([lower, [0.0] * (count % 2), -lower[::-1]])
    return np.asarray(scores / np.sqrt(np.sum(scores * scores) / (count - 1)))


def draws(one: Input, count: int, seed: int) -> Array:
    """Draws of an input, within what is possible for its quantity."""
    order = np.random.default_rng([seed, zlib.crc32(one.name.encode())]).permutation(count)
    if one.drawn.ends is None:
        values = one.nominal + one.drawn.sd * _normal_scores(count)[order]
    else:
        low, high = one.drawn.ends
        if one.integer:
            low, high = low - 0.5, high + 0.5
        values = low + (high - low) * (order + 0.5) / count
    if one.integer:
        values = np.floor(values + 0.5)
    return within(values, one.row)


def within(values: Array, row: Quantity) -> Array:
    """Values no further than what is possible for a quantity."""
    return values if row.possible is None else np.clip(values, *row.possible)


def corners(ranged: Sequence[Input]) -> list[tuple[float, ...]]:
    """Every corner of the ranges: each at its lower or its upper end."""
    return list(product(*(one.drawn.ends or (one.nominal,) for one in ranged)))


class Follower(NamedTuple):
    """What is worked out from another number goes with it, so many units a unit."""

    path: Path
    leader: Path
    share: float


def followers(
    entry: Named, request: Mapping[str, Any], inputs: Sequence[Input], found: Sequence[Leaf]
) -> list[Follower]:
    """What completing the request works out from each input: a piston from its bore, a load from an axle."""
    before = {leaf.path: leaf.value for leaf in found}
    made = []
    for one in inputs:
        step = 1.0 if one.integer else 1e-3 * (abs(one.nominal) or 1.0)
        try:
            data = filled(entry, request, [one.path], [one.nominal + step])
            after = {leaf.path: leaf.value for leaf in leaves(entry.read(data)[0])}
        except InputError:  # at its limit: nothing can be said, nothing follows
            continue
        moved = {path: after[path] - value for path, value in before.items() if path in after and path != one.path}
        made += [Follower(path, one.path, by / step) for path, by in moved.items() if by]
    return sorted(made)


def columns_of(
    inputs: Sequence[Input], values: Sequence[Array], found: Sequence[Leaf], led: Sequence[Follower]
) -> dict[Path, Array]:
    """Every number that moves, by its path: the inputs, and what goes with them."""
    by_path = {leaf.path: leaf for leaf in found}
    own = {one.path: column for one, column in zip(inputs, values, strict=True)}
    columns = dict(own)
    for path, leader, share in led:
        moved = share * (own[leader] - by_path[leader].value)
        columns[path] = columns.get(path, np.full_like(moved, by_path[path].value)) + moved
    columns = {path: within(column, by_path[path].row) for path, column in columns.items()}
    for path in [path for path in columns if path[-1] == "closing_insertion_mm"]:
        stroke = (*path[:-2], "stroke_mm")
        if stroke in by_path:  # the shaft goes no further
            columns[path] = np.minimum(columns[path], columns.get(stroke, by_path[stroke].value))
    return columns
