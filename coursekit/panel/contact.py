"""How a block lies on a surface: one-sided contact on an elastic backing, force and both moments balanced.

A lattice of blocks covers the region, each pressed by its own force. Under a block the pressure is
k · max(0, surface − plane); plane height and two tilts make the sum equal the force and put its middle under
the hand. That is the minimum of a convex energy and is found by Newton's method on the cells in contact, for
all blocks of the lattice at once: moments are products with narrow matrices, so the work is linear in cells.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

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
    local: np.ndarray  # (n,) coordinate from the block's middle over the block's size
    members: np.ndarray  # (n, count) one where the cell lies under the block
    moments: np.ndarray  # (n, 3 count) members, members × local, members × local²


class Press(NamedTuple):
    """Pressure (Pa) on every cell, how many blocks bear, and the worst moment left over force × size."""

    pressure: np.ndarray
    blocks: int
    force: float  # sum over the blocks, N
    unbalance: float


def along_axis(coordinates: np.ndarray, size: float, offset: float) -> Axis:
    """Blocks of `size` along evenly spaced cells, one of them beginning at `offset`."""
    which = np.floor((coordinates - offset) / size + 1e-9).astype(int)
    first, count = which[0], which[-1] - which[0] + 1
    middles = offset + (first + np.arange(count) + 0.5) * size
    local = (coordinates - middles[which - first]) / size
    members = (which[:, None] == first + np.arange(count)).astype(float)
    moments = np.concatenate([members, members * local[:, None], members * (local**2)[:, None]], axis=1)
    return Axis(middles, local, members, moments)


def press(surface: np.ndarray, stiffness: np.ndarray, forces: np.ndarray, along: Axis, across: Axis,
          cell: float) -> Press:  # fmt: skip
    """Press the blocks on a surface (m) with a backing of that stiffness (Pa/m; zero where there is no panel).

    forces   (blocks across, blocks along) N; a block with zero force is lifted
    """
    ny, nx = len(across.middles), len(along.middles)
    wanted = forces / cell**2
    bears = wanted > 0
    rows, rows_low = across.moments.T, across.moments[:, : 2 * ny].T
    columns, columns_low = along.moments, along.moments[:, : 2 * nx]
    stiffness = stiffness * product(across.members, bears @ along.members.T)
    second = (rows @ product(stiffness, columns)).reshape(3, ny, 3, nx)
    first = (rows_low @ product(stiffness * surface, columns_low)).reshape(2, ny, 2, nx)
    plane = _planes(second, first, wanted, bears)
    # Heights over the first plane are small: single precision carries them, and is twice as fast.
    gap = (surface - product(rows_low.T, plane.reshape(2 * ny, 2 * nx) @ columns_low.T)).astype(np.float32)
    stiff, right, left = stiffness.astype(np.float32), columns.astype(np.float32), rows.astype(np.float32)
    right_low, left_low = right[:, : 2 * nx], left[: 2 * ny]
    down, up = np.ascontiguousarray(left_low.T), np.ascontiguousarray(right_low.T)
    touching = gap > 0
    for _ in range(MOST_STEPS):
        weight = stiff * touching
        second = (left @ product(weight, right)).reshape(3, ny, 3, nx)
        first = (left_low @ product(weight * gap, right_low)).reshape(2, ny, 2, nx)
        plane = _planes(second, first, wanted, bears).reshape(2 * ny, 2 * nx).astype(np.float32)
        gap -= product(down, plane @ up)
        before, touching = touching, gap > 0
        if np.count_nonzero(before != touching) <= CLOSE * np.count_nonzero(touching):
            break
    gap = np.maximum(gap, 0, dtype=float)
    pressure = stiffness * gap
    borne = across.members.T @ product(pressure, along.members)
    scale = np.divide(wanted, borne, out=np.zeros_like(borne), where=borne > 0)
    moments = (rows_low @ product(pressure, columns_low)).reshape(2, ny, 2, nx)
    left = np.abs(np.stack([moments[0, :, 1], moments[1, :, 0]])) * np.where(scale > 0, 1, 0)
    unbalance = np.divide(left, borne, out=np.zeros_like(left), where=borne > 0)
    held = scale > 0
    return Press(pressure * product(across.members, scale @ along.members.T), int(np.count_nonzero(held)),
                 float(forces[held].sum()), float(unbalance.max(initial=0.0)))  # fmt: skip


# Which power of the two coordinates stands where in the balance of force and two moments.
_ACROSS = np.array([0, 0, 1, 0, 0, 1, 1, 1, 2])
_ALONG = np.array([0, 1, 0, 1, 2, 1, 0, 1, 0])


def _planes(second: np.ndarray, first: np.ndarray, wanted: np.ndarray, bears: np.ndarray) -> np.ndarray:
    """Change of height and tilts of every block, laid out for the product that spreads them over the cells."""
    ny, nx = wanted.shape
    matrix = second[_ACROSS, :, _ALONG].transpose(1, 2, 0).reshape(ny, nx, 3, 3).astype(float)
    right = first[_ACROSS[:3], :, _ALONG[:3]].transpose(1, 2, 0).astype(float)
    right[..., 0] -= wanted
    free = ~bears | (matrix[..., 0, 0] <= 0)
    matrix[free], right[free] = _EYE, 0.0
    # A block on a single line of cells leaves a tilt open: the smallest of springs holds it.
    matrix += (1e-9 * matrix[..., :1, :1]) * _EYE
    change = np.linalg.solve(matrix, right[..., None])[..., 0]
    plane = np.zeros((2, ny, 2, nx))
    plane[0, :, 0], plane[0, :, 1], plane[1, :, 0] = change[..., 0], change[..., 1], change[..., 2]
    return plane


_EYE = np.eye(3)
