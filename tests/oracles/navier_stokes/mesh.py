"""Meshes of one hole in a thick plate, in the plane of axis and radius; lengths in hole diameters.

The hole is the axis' part 0 <= z <= L/d, r <= 1/2; upstream and downstream of it lies the unit cell of radius
R/d = 1/(2 sqrt b), b the hole's share of the cell's area. Lines of constant z and r crowd towards both edges
of the hole, where velocity gradients are singular; each rectangle between them is cut into two triangles.
"""

from typing import NamedTuple

import numpy as np
from skfem import MeshTri


class Grid(NamedTuple):
    """How fine a mesh is; lengths in hole diameters."""

    edge: float = 0.001  # size of the rectangles at the hole's edges
    growth: float = 1.3  # size of each next rectangle over the one before
    stretch: float = 1.25  # the same downstream, along the jet
    hole: float = 0.06  # largest size across the hole; L/d times half of it along the hole
    cell: float = 0.15  # largest size across the cell outside it, over the cell's radius
    outlet: float = 0.04  # largest size downstream, over the outlet's length

    def scaled(self, factor: float) -> "Grid":
        """The same with every rectangle about `factor` times as wide."""
        return Grid(
            edge=self.edge * factor,
            growth=self.growth**factor,
            stretch=self.stretch**factor,
            hole=self.hole * factor,
            cell=self.cell * factor,
            outlet=self.outlet * factor,
        )


class Cell(NamedTuple):
    """A hole in its unit cell; lengths in hole diameters."""

    length_ratio: float  # L/d
    area_ratio: float  # b, hole over cell area
    inlet: float  # length of the cell upstream
    outlet: float  # length of the cell downstream

    @property
    def radius(self) -> float:
        """Radius of the cell."""
        return 0.5 / self.area_ratio**0.5


def graded(length: float, first: float, growth: float, largest: float) -> np.ndarray:
    """Points 0..length whose distances grow from `first` by `growth` up to about `largest`."""
    steps = []
    step = first
    while sum(steps) + step < length:
        steps.append(step)
        step = min(step * growth, largest)
    points = np.concatenate([[0.0], np.cumsum([*steps, step])])
    return points * (length / points[-1])


def graded_both(length: float, first: float, growth: float, largest: float) -> np.ndarray:
    """Points 0..length, small distances at both ends."""
    half = graded(0.5 * length, first, growth, largest)
    return np.concatenate([half, (length - half[-2::-1])])


def plate_mesh(cell: Cell, grid: Grid) -> MeshTri:
    """Mesh of a hole and its cell; x[0] is the axis, x[1] the radius."""
    across = grid.cell * cell.radius
    inner = 0.5 - graded(0.5, grid.edge, grid.growth, grid.hole)[::-1]
    outer = 0.5 + graded(cell.radius - 0.5, grid.edge, grid.growth, across)
    before = -graded(cell.inlet, grid.edge, grid.growth, 2.0 * across)[::-1]
    inside = graded_both(cell.length_ratio, grid.edge, grid.growth, 0.5 * grid.hole * cell.length_ratio)
    after = cell.length_ratio + graded(cell.outlet, grid.edge, grid.stretch, grid.outlet * cell.outlet)
    z = np.concatenate([before, inside[1:], after[1:]])
    r = np.concatenate([inner, outer[1:]])
    open_hole = np.zeros((len(z) - 1, len(r) - 1), dtype=bool)
    open_hole[: len(before) - 1] = True
    open_hole[len(before) + len(inside) - 2 :] = True
    open_hole[:, : len(inner) - 1] = True
    return _triangles(z, r, open_hole)


def pipe_mesh(length: float, columns: int, rows: int) -> MeshTri:
    """Mesh of an empty pipe of diameter 1."""
    z, r = np.linspace(0.0, length, columns + 1), np.linspace(0.0, 0.5, rows + 1)
    return _triangles(z, r, np.ones((columns, rows), dtype=bool))


def _triangles(z: np.ndarray, r: np.ndarray, kept: np.ndarray) -> MeshTri:
    number = np.arange(len(z) * len(r)).reshape(len(z), len(r))
    i, j = np.nonzero(kept)
    a, b, c, e = number[i, j], number[i + 1, j], number[i + 1, j + 1], number[i, j + 1]
    corners = np.hstack([np.array([a, b, c]), np.array([a, c, e])])
    used, renumbered = np.unique(corners, return_inverse=True)
    points = np.array([np.repeat(z, len(r)), np.tile(r, len(z))])[:, used]
    return MeshTri(np.ascontiguousarray(points), np.ascontiguousarray(renumbered.reshape(corners.shape)))
