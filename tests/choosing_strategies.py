"""What choosing is tried with: a demo car, perhaps with little gas, a few parts about those on it, a use."""

from typing import Any

import msgspec
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn

from libdamp.car import Blanks, Box, BoxOil, BoxPiston, BoxSpring, Car, Corner, Use
from libdamp.demo import demo_corner
from libdamp.parts import Bladder, Holes
from tests.strategies import between


def _car(name: str) -> Car:
    return Car(front=demo_corner(f"{name}.front"), rear=demo_corner(f"{name}.rear"))


CARS = {name: _car(name) for name in ("demo-truck", "demo-buggy")}


def piston(bore: float, count: int, diameter: float, owned: int | None = None) -> BoxPiston:
    holes = (Holes(count=count, diameter_mm=diameter),)
    return BoxPiston(holes=holes, thickness_mm=2.4, diameter_mm=bore - 0.1, count=owned)


@st.composite
def boxes(draw: DrawFn, car: Car) -> Box:
    """A few springs, oils, pistons and limiters about those on the car, too soft and too stiff ones too."""

    def springs(corner: Corner) -> tuple[BoxSpring, ...]:
        free = corner.spring.free_length_mm
        factors = draw(st.lists(between(0.4, 2.0), max_size=3))
        blocks = draw(st.lists(st.none() | between(8.0, 35.0), min_size=3, max_size=3))
        made = zip(factors, blocks, strict=False)
        return tuple(
            BoxSpring(rate_n_mm=f * corner.spring.rate_n_mm, free_length_mm=free, block_length_mm=b)
            for f, b in made
        )

    bore = car.front.shock.bore_mm
    kinds = draw(st.lists(st.tuples(st.integers(1, 8), between(0.9, 2.2)), max_size=3))
    owned = draw(st.lists(st.none() | st.integers(0, 4), min_size=3, max_size=3))
    steps = draw(st.sampled_from((None, 0.5, 1.0)))
    return Box(
        front_springs=springs(car.front),
        rear_springs=springs(car.rear),
        oils=tuple(BoxOil(viscosity_cst=nu) for nu in draw(st.lists(between(100.0, 1000.0), max_size=3))),
        pistons=tuple(piston(bore, *kind, n) for kind, n in zip(kinds, owned, strict=False)),
        limiters_mm=tuple(draw(st.lists(between(0.0, 20.0), max_size=2))),
        collar_step_mm=steps,
        spacers_mm=() if steps else tuple(draw(st.lists(between(0.5, 4.0), max_size=3))),
        blanks=draw(st.none() | blanks(bore)),
        drills_mm=tuple(draw(st.lists(st.sampled_from((0.35, 1.0, 1.25, 1.6, 2.2, 4.0)), max_size=2, unique=True))),
        mix_oils=draw(st.booleans()),
    )


def blanks(bore: float) -> st.SearchStrategy[Blanks]:
    """Some blanks for a bore, too few or too thick ones too."""
    return st.builds(
        Blanks,
        count=st.integers(0, 4),
        diameter_mm=st.just(bore - 0.1),
        thickness_mm=st.sampled_from((2.4, 2.0)),
        max_holes=st.integers(1, 4),
        hole_circle_mm=st.none() | between(2.0, bore),
    )


def _with_gas(corner: Corner, gas_ml: float, share: float) -> Corner:
    """The corner with so much gas, its cap closed with the shaft in by a share of its stroke."""
    fill = Bladder(gas_ml=gas_ml, closing_insertion_mm=share * corner.shock.stroke_mm)
    return msgspec.structs.replace(corner, shock=msgspec.structs.replace(corner.shock, fill=fill))


@st.composite
def choices(draw: DrawFn) -> dict[str, Any]:
    """A demo car, perhaps with little gas, a box for it and a use."""
    car = CARS[draw(st.sampled_from(sorted(CARS)))]
    gas = draw(st.none() | st.tuples(between(0.02, 0.6), between(0.0, 1.0)))
    if gas is not None:
        car = msgspec.structs.replace(car, front=_with_gas(car.front, *gas))
    surface = draw(st.sampled_from(("smooth", "loose", "rutted", "grass")))
    use = Use(
        surface=surface,
        oil_temperature_c=draw(between(0.0, 60.0)),
        bump_height_mm=0.0,  # a choice at rest: what moves is held against single runs elsewhere
        bump_spacing_mm=250.0,
        speed_m_s=6.0,
        jump="none",
    )
    return {"car": car, "box": draw(boxes(car)), "use": use}
