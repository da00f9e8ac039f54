"""How a block lies on a surface: one-sided contact on an elastic backing, force and moments balanced.

A lattice of blocks covers the region, each pressed by its own force. Under a block the pressure is
k · max(0, surface − face). The face of the block has a height, two tilts and, for a board that bends, a shape
along its length (Legendre polynomials) that costs bending energy; the face makes the sum of the pressure equal
the force and puts its middle under the hand. That is the minimum of a convex energy and is found by Newton's
method on the cells in contact, for all blocks of the lattice at once: moments are products with narrow matrices,
so the work is linear in cells.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.polynomial import legendre

MOST_STEPS = 40
ONE_THREAD = 200_000  # multiplications that the library does on one thread
CLOSE = 0.01  # Newton's method ends when fewer than this share of the cells in contact still change


def product(left: np.ndarray, right: np.ndarray) -> np.ndarray:
    """Matrix product in pieces too small for the library to share among threads.

    For matrices as narrow as these sharing gains nothing, and on a busy machine one product then waits for the
    slowest thread: 20 ms now and then instead of 0.04.
    """
    rows = max(1, ONE_THREAD // (right.shape[0] * right.shape[1]))
    if rows >= len(left):
        return left @ right
    result = np.empty((len(left), right.shape[1]), dtype=left.dtype)
    for first in range(0, len(left), rows):
        np.matmul(left[first : first + rows], right, out=result[first : first + rows])
    return result


@dataclass(frozen=True)
class Axis:
    """Blocks side by side along one axis: where each cell lies under its block, as matrices of moments."""

    middles: np.ndarray  # (count,) m
    local: np.ndarray  # (n,) coordinate from the block's middle, −1 to 1 over the block
    moments: np.ndarray  # (n, (2 degree + 1) count): Legendre polynomials of `local` under each block

    @property
    def members(self) -> np.ndarray:
        """(n, count) one where the cell lies under the block."""
        return self.moments[:, : len(self.middles)]


class Press(NamedTuple):
    """Pressure (Pa) on every cell, height of the surface over the face (m), how many blocks bear, with what force."""

    pressure: np.ndarray
    gap: np.ndarray
    blocks: int
    force: float  # sum over the blocks, N
    unbalance: float  # the worst moment left, over force × size


def along_axis(coordinates: np.ndarray, size: float, offset: float, degree: int = 1) -> Axis:
    """Blocks of `size` along evenly spaced cells, one of them beginning at `offset`; faces of that degree."""
    which = np.floor((coordinates - offset) / size + 1e-9).astype(int)
    first, count = which[0], which[-1] - which[0] + 1
    middles = offset + (first + np.arange(count) + 0.5) * size
    local = (coordinates - middles[which - first]) / (size / 2)
    members = which[:, None] == first + np.arange(count)
    shapes = legendre.legvander(local, 2 * degree)
    moments = (shapes[:, :, None] * members[:, None, :]).reshape(len(coordinates), -1)
    return Axis(middles, local, moments)


@lru_cache(maxsize=16)
def _tables(degree: int) -> tuple[np.ndarray, np.ndarray]:
    """P_i P_j = Σ triple[i, j, k] P_k, and ∫ P_i″ P_j″ from −1 to 1."""
    one = np.eye(degree + 1)
    triple, bent = np.zeros((degree + 1, degree + 1, 2 * degree + 1)), np.zeros((degree + 1, degree + 1))
    for i in range(degree + 1):
        for j in range(degree + 1):
            both = legendre.legmul(one[i], one[j])
            triple[i, j, : len(both)] = both
            bent[i, j] = 2 * legendre.legmul(legendre.legder(one[i], 2), legendre.legder(one[j], 2))[0]
    return triple, bent


def press(surface: np.ndarray, stiffness: np.ndarray, forces: np.ndarray, along: Axis, across: Axis, cell: float,
          bending: float = 0.0) -> Press:  # fmt: skip
    """Press the blocks on a surface (m) with a backing of that stiffness (Pa/m; zero where there is no panel).

    forces   (blocks across, blocks along) N; a block with zero force is lifted
    along    the length of the blocks; its degree is that of the face
    bending  N/m   D·W·(2/L)³ of a board that bends
    """
    if not forces.any():
        return Press(np.zeros_like(surface), np.zeros_like(surface), 0, 0.0, 0.0)
    solver = _Faces(forces / cell**2, along, across, bending / cell**2)
    stiffness = stiffness * product(across.members, (forces > 0) @ along.members.T)
    gap = solver.moved(surface, stiffness)
    # Heights over the first face are small: single precision carries them, and is twice as fast.
    solver.single()
    gap, soft = gap.astype(np.float32), stiffness.astype(np.float32)
    touching = gap > 0
    for _ in range(MOST_STEPS):
        gap = solver.moved(gap, soft * touching)
        before, touching = touching, gap > 0
        if np.count_nonzero(before != touching) <= CLOSE * np.count_nonzero(touching):
            break
    gap = gap.astype(float)
    return held(stiffness * np.maximum(gap, 0), gap, forces, along, across, cell)


def held(pressure: np.ndarray, gap: np.ndarray, forces: np.ndarray, along: Axis, across: Axis, cell: float) -> Press:
    """That pressure, scaled under every block to carry its force to rounding."""
    borne = product(across.members.T, product(pressure, along.members)) * cell**2
    bears = borne > 0
    scale = np.divide(forces, borne, out=np.zeros_like(borne), where=bears)
    count = len(along.middles)
    first = product(across.members.T, product(pressure, along.moments[:, count : 2 * count]))
    unbalance = np.abs(first) * scale * cell**2 / 2 / np.maximum(forces, 1e-30)
    bears &= forces > 0
    return Press(pressure * product(across.members, scale @ along.members.T), gap, int(np.count_nonzero(bears)),
                 float(forces[bears].sum()), float(unbalance.max(initial=0.0)))  # fmt: skip


class _Faces:
    """The faces of all blocks of a lattice while they are being found."""

    def __init__(self, wanted: np.ndarray, along: Axis, across: Axis, bending: float) -> None:
        self.wanted, self.at = wanted, np.nonzero(wanted > 0)
        self.force = wanted[self.at]
        ny, nx = wanted.shape
        self.degree = (along.moments.shape[1] // nx - 1) // 2
        self.columns, self.rows = along.moments, np.ascontiguousarray(across.moments.T)
        self.low = (2 * ny, (self.degree + 1) * nx)
        triple, bent = _tables(self.degree)
        self.triple = triple.reshape((self.degree + 1) ** 2, -1).T
        self.bent = bending * bent
        self.one = np.eye(self.degree + 2)
        self.face = np.zeros((len(self.force), self.degree + 2))  # along the length by degree; last, the tilt across
        self._spread()

    def _spread(self) -> None:
        self.columns_low, self.rows_low = self.columns[:, : self.low[1]], self.rows[: self.low[0]]
        self.up, self.down = np.ascontiguousarray(self.columns_low.T), np.ascontiguousarray(self.rows_low.T)

    def single(self) -> None:
        """Go on in single precision."""
        self.columns, self.rows = self.columns.astype(np.float32), self.rows.astype(np.float32)
        self._spread()

    def moved(self, gap: np.ndarray, weight: np.ndarray) -> np.ndarray:
        """One step of Newton's method with those springs bearing: faces move, and with them the gap."""
        ny, nx = self.wanted.shape
        last = self.degree + 1
        second = product(self.rows, product(weight, self.columns)).reshape(3, ny, 2 * self.degree + 1, nx)
        first = product(self.rows_low, product(weight * gap, self.columns_low)).reshape(2, ny, last, nx)
        second, first = (np.moveaxis(sums[:, self.at[0], :, self.at[1]], 0, -1).astype(float)
                         for sums in (second, first))  # fmt: skip
        plain, by_tilt, by_tilt_twice = second[0].T, second[1, :last].T, second[2, 0]
        matrix = np.empty((len(plain), last + 1, last + 1))
        matrix[:, :last, :last] = (plain @ self.triple).reshape(-1, last, last) + self.bent
        matrix[:, :last, last] = matrix[:, last, :last] = by_tilt
        matrix[:, last, last] = (plain[:, 0] + 2 * by_tilt_twice) / 3  # v² = (1 + 2 P₂) / 3
        right = np.empty((len(plain), last + 1))
        right[:, :last], right[:, last] = first[0].T, first[1, 0]
        right[:, 0] -= self.force
        right[:, :last] -= self.face[:, :last] @ self.bent
        free = plain[:, 0] <= 0
        if free.any():
            matrix[free], right[free] = np.eye(last + 1), 0.0
        # A block on a single line of cells leaves a tilt open: the smallest of springs holds it.
        matrix += (1e-9 * plain[:, 0])[:, None, None] * self.one
        change = np.linalg.solve(matrix, right[..., None])[..., 0]
        self.face += change
        laid = np.zeros((2, ny, last, nx), dtype=self.rows.dtype)
        laid[0, self.at[0], :, self.at[1]] = change[:, :last]
        laid[1, self.at[0], 0, self.at[1]] = change[:, last]
        moved: np.ndarray = gap - product(self.down, product(laid.reshape(self.low), self.up))
        return moved
