"""Steady axisymmetric flow of an incompressible liquid by Taylor-Hood elements and Newton steps.

Lengths in hole diameters d, velocities in the hole's mean velocity V, pressures in mu V/d:

    -div grad u + Re (u . grad) u + grad p = 0,   div u = 0,   Re = V d rho/mu                 (1)

Velocity is quadratic and pressure linear on triangles; the weak form carries the factor r. No slip on plate
and hole; on the cell's outer wall no radial velocity and no shear (the boundary between equal neighbours);
uniform velocity b at the inlet; no radial velocity and no normal stress at the outlet.

An outlet that ends before the jet has mixed with the liquid around it leaves pressure to be recovered. The
outer wall carries no shear, so axial momentum gives the pressure far downstream exactly,

    p_far = p_out + Re (mean of u_z^2 over the outlet - b^2)                                   (2)

and the loss is p_in - p_far: upstream minus downstream pressure, uniform velocity b at both places, so that
it is the difference of the total pressures too. An empty cell without shear at its wall has no friction.
"""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

import numpy as np
from scipy.sparse import bmat
from scipy.sparse.linalg import splu
from skfem import (
    Basis,
    BilinearForm,
    ElementTriP1,
    ElementTriP2,
    ElementVector,
    FacetBasis,
    LinearForm,
    MeshTri,
)
from skfem.helpers import ddot, grad

from .mesh import Cell, Grid, pipe_mesh, plate_mesh

NEAR = 1e-9
"""Points closer than this lie on one line."""

CONVERGED = 1e-5
"""Largest last Newton step, relative; the steps converge quadratically, so the rest is about its square."""

QUADRATURE = 5
"""Degree that the integrals over triangles are exact to: quadratic times gradient times quadratic."""


SMALLEST_FACTOR = 1.03
"""Smallest step in the Reynolds number, as a factor, before the search for a flow is given up."""


class NoSolution(ArithmeticError):  # noqa: N818  it says what there is not
    """Newton's steps do not converge, however small the steps in the Reynolds number."""


@BilinearForm
def _viscous(u, v, w):
    return ddot(grad(u), grad(v)) * w.x[1] + u[1] * v[1] / w.x[1]


@BilinearForm
def _continuity(u, q, w):
    return -q * ((grad(u)[0, 0] + grad(u)[1, 1]) * w.x[1] + u[1])


@BilinearForm
def _convection_slope(u, v, w):
    about, slope, change = w.flow, grad(w.flow), grad(u)
    along = [sum(about[j] * change[i, j] + u[j] * slope[i, j] for j in (0, 1)) for i in (0, 1)]
    return (v[0] * along[0] + v[1] * along[1]) * w.x[1]


@LinearForm
def _convection(v, w):
    about, slope = w.flow, grad(w.flow)
    return sum(v[i] * (about[0] * slope[i, 0] + about[1] * slope[i, 1]) for i in (0, 1)) * w.x[1]


class Solution(NamedTuple):
    """One flow."""

    reynolds: float
    loss: float  # dp d/(mu V)
    momentum: float  # mean of u_z^2 over the outlet, over that of uniform velocity


class Flow:
    """The discrete equations on one mesh, with what is fixed at its boundary."""

    def __init__(self, mesh: MeshTri, fixed, inlet_velocity) -> None:
        """`fixed(z, r)` gives two masks, of points with fixed axial and fixed radial velocity."""
        self.velocity = Basis(mesh, ElementVector(ElementTriP2()), intorder=QUADRATURE)
        self.pressure = self.velocity.with_element(ElementTriP1())
        self.viscous = _viscous.assemble(self.velocity)
        self.continuity = _continuity.assemble(self.velocity, self.pressure)
        self.size = self.velocity.N
        z, r = self.velocity.doflocs
        radial = np.zeros(self.size, dtype=bool)
        radial[self.velocity.split_indices()[1]] = True
        axial_fixed, radial_fixed = fixed(z, r)
        held = np.where(radial, radial_fixed, axial_fixed)
        self.free = np.nonzero(np.concatenate([~held, np.ones(self.pressure.N, dtype=bool)]))[0]
        self.start = np.zeros(self.size + self.pressure.N)
        inlet = (z < z.min() + NEAR) & ~radial
        self.start[: self.size][inlet] = inlet_velocity(r[inlet])
        self.inlet = self._section(mesh, z.min())
        self.outlet = self._section(mesh, z.max())

    def _section(self, mesh: MeshTri, z: float) -> tuple[FacetBasis, FacetBasis]:
        facets = mesh.facets_satisfying(lambda x: np.abs(x[0] - z) < NEAR, boundaries_only=True)
        velocity = FacetBasis(mesh, self.velocity.elem, facets=facets, intorder=QUADRATURE)
        return velocity, velocity.with_element(ElementTriP1())

    def newton(self, state: np.ndarray, reynolds: float, most: int = 9) -> np.ndarray | None:
        """The state at a Reynolds number from a guess, or nothing if the steps do not converge."""
        state = state.copy()
        for _ in range(most):
            u, p = state[: self.size], state[self.size :]
            momentum, matrix = self.viscous @ u + self.continuity.T @ p, self.viscous
            if reynolds > 0.0:
                flow = self.velocity.interpolate(u)
                momentum = momentum + reynolds * _convection.assemble(self.velocity, flow=flow)
                matrix = matrix + reynolds * _convection_slope.assemble(self.velocity, flow=flow)
            whole = bmat([[matrix, self.continuity.T], [self.continuity, None]], "csc")
            rest = np.concatenate([momentum, self.continuity @ u])[self.free]
            change = splu(whole[:, self.free][self.free]).solve(-rest)
            state[self.free] += change
            step = np.abs(change).max() / np.abs(state).max()
            if step < CONVERGED or reynolds == 0.0:
                return state
        return None

    def states(self, reynolds: Iterable[float]) -> Iterator[tuple[float, np.ndarray]]:
        """States at rising Reynolds numbers, the first from rest, with steps between where Newton needs them."""
        state, reached = self.newton(self.start, 0.0), 0.0
        for wanted in reynolds:
            factor = wanted / reached if reached > 0.0 else np.inf
            while reached < wanted:
                aim = min(wanted, reached * factor) if reached > 0.0 else wanted
                found = self.newton(state, aim)
                if found is not None:
                    state, reached = found, aim
                    continue
                factor = factor**0.5
                if not SMALLEST_FACTOR < factor < np.inf:
                    message = f"no flow found beyond Re = {reached:g}"
                    raise NoSolution(message)
            yield wanted, state

    def solution(self, reynolds: float, state: np.ndarray) -> Solution:
        """Loss of a state by (2)."""
        u, p = state[: self.size], state[self.size :]
        before, after = _means(self.inlet, u, p), _means(self.outlet, u, p)
        # the outlet's condition is that of no mean normal stress; its pressure is 0 in the mean
        loss = before.pressure - reynolds * (after.square - before.square)
        return Solution(reynolds, loss, after.square / before.square)

    def solutions(self, reynolds: Iterable[float]) -> Iterator[Solution]:
        """Losses at rising Reynolds numbers."""
        for number, state in self.states(reynolds):
            yield self.solution(number, state)


class _Means(NamedTuple):
    pressure: float
    square: float  # of the axial velocity


def _means(section: tuple[FacetBasis, FacetBasis], u: np.ndarray, p: np.ndarray) -> _Means:
    velocity, pressure = section
    weight = velocity.global_coordinates()[1] * velocity.dx
    axial = np.asarray(velocity.interpolate(u))[0]
    whole = weight.sum()
    return _Means(
        float((np.asarray(pressure.interpolate(p)) * weight).sum() / whole),
        float((axial**2 * weight).sum() / whole),
    )


def plate_flow(cell: Cell, grid: Grid) -> Flow:
    """Flow through a hole in its unit cell."""

    def fixed(z: np.ndarray, r: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        plate = (z > -NEAR) & (z < cell.length_ratio + NEAR) & (r > 0.5 - NEAR)
        inlet, outlet = z < NEAR - cell.inlet, z > cell.length_ratio + cell.outlet - NEAR
        return plate | inlet, plate | inlet | outlet | (r < NEAR) | (r > cell.radius - NEAR)

    return Flow(plate_mesh(cell, grid), fixed, lambda r: np.full_like(r, cell.area_ratio))


def pipe_flow(length: float, columns: int, rows: int) -> Flow:
    """Flow through a pipe with the developed profile at its inlet."""

    def fixed(z: np.ndarray, r: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        wall, ends = r > 0.5 - NEAR, (z < NEAR, z > length - NEAR)
        return wall | ends[0], wall | ends[0] | ends[1] | (r < NEAR)

    return Flow(pipe_mesh(length, columns, rows), fixed, lambda r: 2.0 - 8.0 * r * r)
