"""How a block lies on a surface: one-sided contact on an elastic backing, force and moments balanced.

A lattice of blocks covers the region, each pressed by its own force. Under a block the pressure is
k · max(0, surface − face). The face of the block has a height, two tilts and, where it bends, a shape along its
length and one across it (Legendre polynomials) that cost bending energy. The hand presses evenly on the back of the
block: the face makes the sum of the pressure equal the force and puts its middle under the hand, and a block that
bends does so as a free beam, its ends standing off a crown. That is the minimum of a convex energy and is found by
Newton's method on the cells in contact, for all blocks of the lattice at once (`panel.faces`).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np
from numpy.lib.stride_tricks import as_strided
from numpy.polynomial import legendre

from coursekit.panel.faces import Faces, second_derivative, settled

FAINT = 1e-3  # weight of a cell that was not in touch before, where a search for the contact begins


class Axis(NamedTuple):
    """Blocks side by side along one axis of evenly spaced cells, each over the same share of its first and last cell.

    A block need not begin at a cell's edge: of its first and last cell that share bears, at the cell's own middle,
    where the height of the surface is known; the next block bears on the rest of it. From one block to the next there
    are whole cells.
    """

    cells: int  # of the region
    size: float  # of a block, m
    blocks: int
    before: int  # cells of the first block that lie before the region
    middles: np.ndarray  # (count,) m
    local: np.ndarray  # (n + 1,) coordinate of a block's cells from its middle, −1 to 1 over the block
    covered: np.ndarray  # (n + 1,) share of each cell that the block covers

    @property
    def pitch(self) -> int:
        """Cells from one block to the next; the last cell of a block is the first of the next."""
        return len(self.local) - 1

    @property
    def under(self) -> np.ndarray:
        """(count, n + 1) which cells of each block lie in the region."""
        at = np.add.outer(np.arange(self.blocks) * self.pitch, np.arange(self.pitch + 1)) - self.before
        found: np.ndarray = (at >= 0) & (at < self.cells)
        return found


def pitch_of(size: float, cell: float) -> int:
    """Cells from one block to the next."""
    return math.ceil(size / cell - 1e-6)


def along_axis(coordinates: np.ndarray, cell: float, size: float, start: float) -> Axis:
    """Blocks of that size (m); one of them begins at `start` (m)."""
    n = pitch_of(size, cell)
    first = round((start - coordinates[0]) / cell + 0.5, 9)  # in cells from the region's edge
    into = first - math.floor(first)
    before = -math.floor(first) % n
    ends = np.clip(np.arange(n + 2), into, into + size / cell)
    covered = np.diff(ends)
    local = (np.arange(n + 1) + 0.5) * 2 * cell / size
    local -= covered @ local / covered.sum()
    count = -(-(len(coordinates) + before) // n)
    middles = coordinates[0] + (np.arange(count) * n - before + into - 0.5) * cell + size / 2
    return Axis(len(coordinates), size, count, before, middles, local, covered)


@dataclass(frozen=True)
class Lattice:
    """Blocks that cover a region; those that bear, with the force of each (N).

    forces  (blocks across, blocks along) N; a block with no force is lifted
    """

    along: Axis
    across: Axis
    forces: np.ndarray
    cell: float
    at: tuple[np.ndarray, np.ndarray] = field(init=False)
    force: np.ndarray = field(init=False)  # (bearing,) N

    def __post_init__(self) -> None:
        object.__setattr__(self, "at", np.nonzero(self.forces > 0))
        object.__setattr__(self, "force", self.forces[self.at])

    def gathered(self, array: np.ndarray) -> np.ndarray:
        """(cells across a block, bearing blocks, cells along a block) of a map of the region; zero beyond it."""
        whole = self._padded()
        self._inner(whole)[:] = array
        (high, wide), (down, right) = whole.strides, (self.across.pitch, self.along.pitch)
        shape = self.across.blocks, self.along.blocks, down + 1, right + 1
        tiles = as_strided(whole, shape, (down * high, right * wide, high, wide), writeable=False)
        found: np.ndarray = tiles[self.at].transpose(1, 0, 2)
        return found

    def scattered(self, blocks: np.ndarray) -> np.ndarray:
        """The map of the region again, cells shared by two blocks with what both bring; zero where none bears."""
        whole, down, right = self._padded(), self.across.pitch, self.along.pitch
        tiles = np.zeros((self.across.blocks, self.along.blocks, down + 1, right + 1))
        tiles[self.at] = blocks.transpose(1, 0, 2)
        main = tiles[:, :, :down, :right].transpose(0, 2, 1, 3)
        whole[:-1, :-1] = main.reshape(self.across.blocks * down, self.along.blocks * right)
        whole[down::down, :-1] += tiles[:, :, down, :right].reshape(self.across.blocks, -1)
        whole[:-1, right::right] += tiles[:, :, :down, right].transpose(0, 2, 1).reshape(-1, self.along.blocks)
        whole[down::down, right::right] += tiles[:, :, down, right]
        return np.ascontiguousarray(self._inner(whole))

    def block_at(self, rows: np.ndarray, columns: np.ndarray) -> np.ndarray:
        """Number of the block over those cells of the region; each has its own."""
        across, along = (
            (at + axis.before) // axis.pitch for at, axis in ((rows, self.across), (columns, self.along))
        )
        found: np.ndarray = across * self.along.blocks + along
        return found

    def bearing(self, block: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Where those blocks, by number, stand among the ones that bear, and which of them do."""
        numbers = self.at[0] * self.along.blocks + self.at[1]
        found = np.minimum(np.searchsorted(numbers, block), len(numbers) - 1)
        return found, numbers[found] == block

    def _padded(self) -> np.ndarray:
        return np.zeros((self.across.blocks * self.across.pitch + 1, self.along.blocks * self.along.pitch + 1))

    def _inner(self, whole: np.ndarray) -> np.ndarray:
        rows, columns = self.across.before, self.along.before
        return whole[rows : rows + self.across.cells, columns : columns + self.along.cells]


class Press(NamedTuple):
    """Pressure (Pa) on every cell of the region, mean and lattice by lattice."""

    lattices: Sequence[Lattice]
    pressure: np.ndarray
    each: Sequence[np.ndarray]
    faces: Sequence[np.ndarray]  # of each lattice, (bearing, degrees) m
    degrees: tuple[int, int]
    blocks: float  # of a lattice, mean
    force: float  # sum over the blocks, N, mean
    unbalance: float  # the worst moment left, over force × size

    def bent(self, number: int, block: np.ndarray, along: np.ndarray, across: np.ndarray) -> np.ndarray:
        """Curvature (2, …) 1/m along and across of the faces of those blocks of a lattice at places (m)."""
        lattice, degree = self.lattices[number], self.degrees[0]
        found = np.zeros((2, len(block)))
        if max(self.degrees) < 2 or not len(block):
            return found
        at, bears = lattice.bearing(block)
        faces = self.faces[number][at] * bears[:, None]
        row, column = np.divmod(block, lattice.along.blocks)
        for side, (axis, held, places, shape) in enumerate(
            (
                (lattice.along, column, along, faces[:, : degree + 1]),
                (lattice.across, row, across, np.pad(faces[:, degree + 1 :], ((0, 0), (1, 0)))),
            )
        ):
            local = np.clip((places - axis.middles[held]) * 2 / axis.size, -1, 1)
            curved = second_derivative(shape.shape[1] - 1)
            found[side] = ((legendre.legvander(local, max(len(curved) - 1, 0)) @ curved) * shape).sum(axis=1)
            found[side] *= (2 / axis.size) ** 2
        return found


def press(
    lattices: Sequence[Lattice],
    surface: np.ndarray,
    stiffness: np.ndarray,
    degrees: tuple[int, int] = (1, 1),
    bending: tuple[float, float] = (0.0, 0.0),
    bore: np.ndarray | None = None,
) -> Press:
    """Press blocks on a surface (m) with a backing of that stiffness (Pa/m; zero where there is no panel).

    lattices  whose blocks cover their cells alike; each is pressed as if it were alone
    degrees   of the face along and across the block: one for a rigid block
    bending   N/m   D·W·(2/L)³ of a block that bends along its length, D·L·(2/W)³ across it
    bore      share of the visits before in which each cell was in touch: where the search for the contact begins
    """
    bearing = [lattice for lattice in lattices if len(lattice.force)]
    if not bearing:
        return Press(
            lattices,
            np.zeros_like(surface),
            [np.zeros_like(surface)] * len(lattices),
            [np.zeros((0, sum(degrees) + 1))] * len(lattices),
            degrees,
            0,
            0.0,
            0.0,
        )
    along, across, area = bearing[0].along, bearing[0].across, bearing[0].cell ** 2
    force = np.concatenate([lattice.force for lattice in bearing])
    faces = Faces(
        along.local, across.local, force / area, degrees=degrees, bending=(bending[0] / area, bending[1] / area)
    )
    springs = _together(bearing, stiffness)
    springs *= across.covered[:, None, None] * along.covered
    first = springs if bore is None else springs * (_together(bearing, bore) + FAINT)
    gap, face = settled(faces, _together(bearing, surface), springs, first)
    pressure = springs * np.maximum(gap, 0)
    # Scaled under each block to carry its force to rounding.
    rows = pressure.sum(axis=0)
    borne = rows.sum(axis=1) * area
    bears = borne > 0
    pressure *= np.divide(force, borne, out=np.zeros_like(borne), where=bears)[:, None]
    unbalance = np.divide(np.abs(rows @ along.local) * area / 2, borne, out=np.zeros_like(borne), where=bears)
    ends = np.cumsum([len(lattice.force) for lattice in lattices])[:-1]
    each = [lattice.scattered(part) for lattice, part in zip(lattices, np.split(pressure, ends, axis=1), strict=True)]
    return Press(
        lattices,
        sum(each[1:], each[0]) / len(each),
        each,
        np.split(face, ends),
        degrees,
        np.count_nonzero(bears) / len(each),
        float(force[bears].sum()) / len(each),
        float(unbalance.max(initial=0.0)),
    )


def _together(lattices: Sequence[Lattice], array: np.ndarray) -> np.ndarray:
    """A map of the region under the bearing blocks of all those lattices, row by row in memory."""
    return np.ascontiguousarray(np.concatenate([lattice.gathered(array) for lattice in lattices], axis=1))
