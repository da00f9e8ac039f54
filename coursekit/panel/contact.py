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
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np
from numpy.lib.stride_tricks import as_strided
from numpy.polynomial import legendre

from coursekit.panel.faces import Faces, second_derivative, settled

FAINT = 1e-3  # weight of a cell that was not in touch before, where a search for the contact begins


class Axis(NamedTuple):
    """Blocks side by side along one axis of evenly spaced cells, lattice by lattice, all covering their cells alike.

    A block need not begin at a cell's edge: of its first and last cell that share bears, at the cell's own middle,
    where the height of the surface is known; the next block bears on the rest of it. From one block to the next, and
    from lattice to lattice, there are whole cells.
    """

    cells: int  # of the region
    size: float  # of a block, m
    blocks: np.ndarray  # (lattices,)
    before: np.ndarray  # (lattices,) cells of the first block that lie before the region
    middles: np.ndarray  # (lattices, most blocks) m
    local: np.ndarray  # (n + 1,) coordinate of a block's cells from its middle, −1 to 1 over the block
    covered: np.ndarray  # (n + 1,) share of each cell that the block covers
    ends: tuple[float, float]  # of a block, in cells from where its first cell begins

    @property
    def pitch(self) -> int:
        """Cells from one block to the next; the last cell of a block is the first of the next."""
        return len(self.local) - 1

    @property
    def first(self) -> np.ndarray:
        """(lattices, most blocks) the first cell of each block, counted from the region's first."""
        found: np.ndarray = np.arange(self.middles.shape[1]) * self.pitch - self.before[:, None]
        return found

    @property
    def under(self) -> np.ndarray:
        """(lattices, most blocks, n + 1) which cells of each block lie in the region."""
        at = np.add.outer(self.first, np.arange(self.pitch + 1))
        found: np.ndarray = (at >= 0) & (at < self.cells)
        return found


def pitch_of(size: float, cell: float) -> int:
    """Cells from one block to the next."""
    return math.ceil(size / cell - 1e-6)


def along_axis(coordinates: np.ndarray, cell: float, size: float, starts: np.ndarray | float) -> Axis:
    """Blocks of that size (m); in each lattice one of them begins at its start (m)."""
    n = pitch_of(size, cell)
    first = np.round((np.atleast_1d(starts) - coordinates[0]) / cell + 0.5, 9)  # in cells from the region's edge
    into = first - np.floor(first)
    before = -np.floor(first).astype(int) % n
    ends = float(into[0]), float(into[0]) + size / cell
    covered = np.diff(np.clip(np.arange(n + 2.0), *ends))
    local = (np.arange(n + 1) + 0.5) * 2 * cell / size
    local -= covered @ local / covered.sum()
    count = -(-(len(coordinates) + before) // n)
    from_first = np.arange(count.max()) * n - before[:, None] + into[:, None] - 0.5
    middles = coordinates[0] + from_first * cell + size / 2
    return Axis(len(coordinates), size, count, before, middles, local, covered, ends)


@dataclass(frozen=True)
class Lattices:
    """Lattices of blocks, each of which covers a region; those blocks that bear, with the force of each (N).

    forces  (lattices, most blocks across, most along) N; a block with no force is lifted
    """

    along: Axis
    across: Axis
    forces: np.ndarray
    at: tuple[np.ndarray, ...] = field(init=False)  # lattice, row and column of each bearing block
    force: np.ndarray = field(init=False)  # (bearing,) N

    def __post_init__(self) -> None:
        object.__setattr__(self, "at", np.nonzero(self.forces > 0))
        object.__setattr__(self, "force", self.forces[self.at])

    def __len__(self) -> int:
        return len(self.forces)

    def gathered(self, array: np.ndarray) -> np.ndarray:
        """(cells across a block, bearing blocks, cells along a block) of a map of the region; zero beyond it."""
        return gathered(array, self.along, self.across, self.at)

    def scattered(self, blocks: np.ndarray) -> np.ndarray:
        """(lattices, …) maps of the region again, cells shared by two blocks with what both bring; zero elsewhere."""
        down, right = self.across.pitch, self.along.pitch
        whole = np.zeros((len(self), *_padded(self.along, self.across)))
        each, high, wide = whole.strides
        shape = (*whole.shape[:2], whole.shape[2] - right, right)
        runs = as_strided(whole, shape, (each, high, wide, wide))
        lattice, top, left = _corners(self.along, self.across, self.at)
        rows = top + np.arange(down)[:, None]
        runs[lattice, rows, left] = blocks[:down, :, :right]
        runs[lattice, top + down, left] += blocks[down, :, :right]
        whole[lattice, rows, left + right] += blocks[:down, :, right]
        whole[lattice, top + down, left + right] += blocks[down, :, right]
        return whole[:, down : down + self.across.cells, right : right + self.along.cells]

    def block_at(self, lattice: np.ndarray, rows: np.ndarray, columns: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Row and column, in their lattices, of the blocks over those cells of the region."""
        across, along = (
            (at + axis.before[lattice]) // axis.pitch for at, axis in ((rows, self.across), (columns, self.along))
        )
        return across, along


def gathered(array: np.ndarray, along: Axis, across: Axis, at: tuple[np.ndarray, ...]) -> np.ndarray:
    """A map of the region under those blocks (lattices, rows, columns), row by row of a block in memory."""
    down, right = across.pitch, along.pitch
    whole = np.zeros(_padded(along, across), dtype=array.dtype)
    whole[down : down + across.cells, right : right + along.cells] = array
    high, wide = whole.strides
    runs = as_strided(whole, (len(whole), whole.shape[1] - right, right + 1), (high, wide, wide), writeable=False)
    _, top, left = _corners(along, across, at)
    found: np.ndarray = runs[top + np.arange(down + 1)[:, None], left]
    return found


def _padded(along: Axis, across: Axis) -> tuple[int, int]:
    """Shape of the region with room for a block that reaches past it on either side."""
    return across.cells + 2 * across.pitch + 1, along.cells + 2 * along.pitch + 1


def _corners(along: Axis, across: Axis, at: tuple[np.ndarray, ...]) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Lattice, first row and first column, in the padded region, of each of those blocks."""
    lattice, row, column = at
    top, left = row * across.pitch - across.before[lattice], column * along.pitch - along.before[lattice]
    return lattice, top + across.pitch, left + along.pitch


@dataclass(frozen=True)
class Strips:
    """Rows of cells along a body line, each cut into strips that bear by themselves: arrays (strips, cells along it).

    across     the line runs along the blocks' length, so that the strips lie side by side across them
    first      cell, across the line, where the strips begin
    each       strips to a cell
    surface    m     and stiffness Pa/m, as of cells
    bore       share of the visits before in which each strip was in touch
    """

    across: bool
    first: int
    each: int
    surface: np.ndarray
    stiffness: np.ndarray
    bore: np.ndarray


class _Cut:
    """The strips under those blocks that stand on some of them.

    blocks   (b,)           which of the bearing blocks
    places   (b, strips)    from the block's middle, −1 to 1
    covered  (b, strips)    share of a cell that the block covers of each
    cells    (rows, b)      of the block, that are cut into strips; −1 where it has none
    """

    def __init__(self, strips: Strips, lattices: Lattices) -> None:
        axis, self.other = _sides(lattices, strips.across)
        self.strips, self.lattices = strips, lattices
        lattice, *numbers = lattices.at
        number, beside = numbers if strips.across else numbers[::-1]
        rows = len(strips.surface) // strips.each
        edges = strips.first + np.arange(len(strips.surface) + 1) / strips.each - axis.first[lattice, number][:, None]
        covered = np.diff(np.clip(edges, *axis.ends), axis=1)
        self.blocks = np.flatnonzero(covered.any(axis=1))
        self.covered, edges = covered[self.blocks], edges[self.blocks]
        middles = (edges[:, 1:] + edges[:, :-1]) / 2
        self.places = np.clip(axis.local[0] + (middles - 0.5) * (axis.local[1] - axis.local[0]), -1, 1)
        cells = np.round(edges[:, 0]).astype(int) + np.arange(rows)[:, None]
        self.cells = np.where((cells >= 0) & (cells <= axis.pitch), cells, -1)
        begins = self.other.first[lattice, beside][self.blocks] + self.other.pitch
        self.at = begins[:, None] + np.arange(self.other.pitch + 1)  # in the other side, padded
        self.lattice = lattice[self.blocks]

    def gathered(self, array: np.ndarray) -> np.ndarray:
        """Of strips, as cells of the blocks: (strips, b, cells along) or (cells across, b, strips)."""
        pitch = self.other.pitch
        whole = np.pad(array, ((0, 0), (pitch, pitch + 1)))
        found: np.ndarray = whole[:, self.at]
        return found if self.strips.across else np.ascontiguousarray(found.transpose(2, 1, 0))

    def springs(self, stiffness: np.ndarray) -> np.ndarray:
        """Springs of the strips, by how much of each the block covers."""
        other = self.other.covered
        found = self.gathered(stiffness)
        if self.strips.across:
            found *= self.covered.T[:, :, None] * other
        else:
            found *= self.covered * other[:, None, None]
        return found

    def beside(self, cells: np.ndarray, strips: np.ndarray) -> np.ndarray:
        """Cells of the blocks (across, b, along), and their strips after them."""
        return np.concatenate([cells[:, self.blocks], strips], axis=0 if self.strips.across else 2)

    def without(self, springs: np.ndarray) -> np.ndarray:
        """Springs of all bearing blocks, nothing where strips bear in their place."""
        springs = springs.copy()
        for cut in self.cells:
            held = cut >= 0
            if self.strips.across:
                springs[cut[held], self.blocks[held]] = 0
            else:
                springs[:, self.blocks[held], cut[held]] = 0
        return springs

    def back(self, pressure: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Pressure on the blocks' cells, strips summed into theirs; and on the strips (lattices, strips, cells)."""
        count, each, side = len(self.strips.surface), self.strips.each, 0 if self.strips.across else 2
        cells, strips = np.split(pressure, [pressure.shape[side] - count], axis=side)
        number = np.arange(len(self.blocks))
        for row, cut in enumerate(self.cells):
            held, part = cut >= 0, slice(row * each, (row + 1) * each)
            if self.strips.across:
                cells[cut[held], number[held]] += strips[part].sum(axis=0)[held]
            else:
                cells[:, number[held], cut[held]] += strips[:, :, part].sum(axis=2)[:, held]
        values = strips.transpose(1, 0, 2) if self.strips.across else strips.transpose(1, 2, 0)
        shape = len(self.lattices), count, self.other.cells + 2 * self.other.pitch + 1
        at = (self.lattice[:, None, None] * count + np.arange(count)[:, None]) * shape[2] + self.at[:, None]
        whole = np.bincount(at.ravel(), (each * values).ravel(), math.prod(shape)).reshape(shape)
        return cells, whole[:, :, self.other.pitch : self.other.pitch + self.other.cells]


def _sides(lattices: Lattices, across: bool) -> tuple[Axis, Axis]:
    """The side of the blocks that strips divide, and the other."""
    return (lattices.across, lattices.along) if across else (lattices.along, lattices.across)


class Press(NamedTuple):
    """Pressure (Pa) on every cell of the region, mean and lattice by lattice."""

    lattices: Lattices
    pressure: np.ndarray
    each: np.ndarray  # (lattices, …)
    strips: np.ndarray | None  # (lattices, strips, cells along the line), where there are any
    faces: np.ndarray  # (bearing, degrees) m
    degrees: tuple[int, int]
    blocks: float  # of a lattice, mean
    force: float  # sum over the blocks, N, mean
    unbalance: float  # the worst moment left, over force × size

    def bent(
        self, blocks: tuple[np.ndarray, np.ndarray, np.ndarray], along: np.ndarray, across: np.ndarray
    ) -> np.ndarray:
        """Curvature (2, …) 1/m along and across of the faces of those blocks at places (m)."""
        lattices, degree = self.lattices, self.degrees[0]
        lattice, row, column = blocks
        found = np.zeros((2, len(row)))
        if max(self.degrees) < 2 or not len(row):
            return found
        number = np.full(lattices.forces.shape, -1)
        number[lattices.at] = np.arange(len(lattices.force))
        held = number[blocks]
        faces = self.faces[held] * (held >= 0)[:, None]
        for side, (axis, middle, places, shape) in enumerate(
            (
                (lattices.along, column, along, faces[:, : degree + 1]),
                (lattices.across, row, across, np.pad(faces[:, degree + 1 :], ((0, 0), (1, 0)))),
            )
        ):
            curved = second_derivative(shape.shape[1] - 1)
            if not curved.any():
                continue
            local = np.clip((places - axis.middles[lattice, middle]) * 2 / axis.size, -1, 1)
            found[side] = ((legendre.legvander(local, max(len(curved) - 1, 0)) @ curved) * shape).sum(axis=1)
            found[side] *= (2 / axis.size) ** 2
        return found


def press(
    lattices: Lattices,
    surface: np.ndarray,
    stiffness: np.ndarray,
    cell: float,
    degrees: tuple[int, int] = (1, 1),
    bending: tuple[float, float] = (0.0, 0.0),
    bore: np.ndarray | None = None,
    strips: Strips | None = None,
) -> Press:
    """Press blocks on a surface (m) with a backing of that stiffness (Pa/m; zero where there is no panel).

    lattices  each is pressed as if it were alone
    degrees   of the face along and across the block: one for a rigid block
    bending   N/m   D·W·(2/L)³ of a block that bends along its length, D·L·(2/W)³ across it
    bore      share of the visits before in which each cell was in touch: where the search for the contact begins
    strips    in place of the cells that they cut
    """
    along, across, force, area = lattices.along, lattices.across, lattices.force, cell**2
    if not len(force):
        each = np.zeros((len(lattices), *surface.shape))
        none = None if strips is None else np.zeros((len(lattices), *strips.surface.shape))
        return Press(
            lattices, np.zeros_like(surface), each, none, np.zeros((0, sum(degrees) + 1)), degrees, 0, 0.0, 0.0
        )
    springs = lattices.gathered(stiffness)
    springs *= across.covered[:, None, None] * along.covered
    first = springs if bore is None else springs * np.maximum(lattices.gathered(bore), FAINT)
    heights = lattices.gathered(surface)

    def borne_by(
        blocks: np.ndarray | slice,
        heights: np.ndarray,
        springs: np.ndarray,
        first: np.ndarray,
        own: tuple[np.ndarray | None, np.ndarray | None] = (None, None),
    ) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Pressure on the cells of those blocks, scaled to carry their force to rounding, faces, moment left."""
        faces = Faces(
            along.local,
            across.local,
            force[blocks] / area,
            degrees=degrees,
            bending=(bending[0] / area, bending[1] / area),
            own=own,
        )
        gap, face = settled(faces, heights, springs, first)
        pressure = springs * np.maximum(gap, 0)
        rows = pressure.sum(axis=0)
        borne = rows.sum(axis=1)
        more = np.divide(force[blocks] / area, borne, out=np.zeros_like(borne), where=borne > 0)
        pressure *= more[:, None]
        moment = rows[:, : len(along.local)] @ along.local
        if own[0] is not None:
            moment += (rows[:, len(along.local) :] * own[0]).sum(axis=1)
        return pressure, face, np.abs(moment) * more * area / 2

    cut = None if strips is None else _Cut(strips, lattices)
    if strips is None or cut is None or not len(cut.blocks):
        pressure, face, moment = borne_by(slice(None), heights, springs, first)
        on_strips = None if strips is None else np.zeros((len(lattices), *strips.surface.shape))
    else:
        pressure, face = np.empty_like(springs), np.empty((len(force), sum(degrees) + 1))
        moment = np.empty(len(force))
        rest = np.delete(np.arange(len(force)), cut.blocks)
        if len(rest):
            pressure[:, rest], face[rest], moment[rest] = borne_by(
                rest, heights[:, rest], springs[:, rest], first[:, rest]
            )
        soft = cut.springs(strips.stiffness)
        bearing, face[cut.blocks], moment[cut.blocks] = borne_by(
            cut.blocks,
            cut.beside(heights, cut.gathered(strips.surface)),
            cut.beside(cut.without(springs), soft),
            cut.beside(cut.without(first), soft * np.maximum(cut.gathered(strips.bore), FAINT)),
            (None, cut.places) if strips.across else (cut.places, None),
        )
        pressure[:, cut.blocks], on_strips = cut.back(bearing)
    borne = pressure.sum(axis=(0, 2)) * area
    bears = borne > 0
    each = lattices.scattered(pressure)
    return Press(
        lattices,
        each.sum(axis=0) / len(each),
        each,
        on_strips,
        face,
        degrees,
        np.count_nonzero(bears) / len(each),
        float(force[bears].sum()) / len(each),
        float((moment[bears] / force[bears]).max(initial=0.0)),
    )
