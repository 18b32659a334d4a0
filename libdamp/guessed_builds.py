"""Figures of motion guessed for all builds of some places of a grid."""

from typing import NamedTuple

import numpy as np

from .grid import Space, Stances
from .guessing import OF_STANCE, TINY, Guesses, damped
from .physics.numbers import Array, Places


class GuessedBuilds(NamedTuple):
    """Guesses with what the stances and the dampers of all builds give to each figure."""

    guesses: Guesses
    stances: Array  # by (figure, fill, step, seat, part)
    dampers: Array  # by (figure, part, oil, piston)

    def terms(self, fills: Places, seats: Places, oils: Places, pistons: Places) -> Array:
        """Terms of motion that some builds likely have, by (step, seat, oil, piston); `fills` of all pistons."""
        fill, steps = fills[pistons], self.stances.shape[2]
        found = np.empty((steps, seats.size, oils.size, pistons.size))
        for one in np.unique(fill):
            own = np.flatnonzero(fill == one)
            dampers = self.dampers[:, :, oils][..., pistons[own]]
            found[..., own] = self.guesses.terms(self.stances[:, one][:, :, seats], dampers)
        return found


def guessed_builds(s: Space, at: Stances, guesses: Guesses) -> GuessedBuilds:
    """Guesses for all builds of some places; a seat is a place and a closing."""
    steps, places, closings, fills = at.exists.shape
    shape = fills, steps, places * closings
    per, *figures = (np.moveaxis(at.figures[name], 3, 0).reshape(shape) for name in ("per_damping", *OF_STANCE))
    none, closing = np.zeros(shape), np.broadcast_to(np.tile(s.closings, places), shape)
    decides = np.log(np.maximum(per, TINY)), none, none, none, *figures, closing
    dampers = guesses.of_dampers(damped(s.inward, s.outward, s.open_shares))
    return GuessedBuilds(guesses, guesses.of_stances(np.stack(decides, axis=-1)), dampers)
