"""Where a block may stand on a panel, and how it lies there: over an edge, riding a crown."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from coursekit.panel.contact import Axis, Lattices, Press, Strips, along_axis, gathered, pitch_of, press
from coursekit.panel.faces import Faces, settled
from coursekit.panel.shapes import bearing_share
from coursekit.panel.state import Area, Panel, borders, sides_of
from coursekit.panel.tools import Tool
from coursekit.panel.worn import weight_of_now

MOST_DEGREE = 18  # of the shape that a board takes
REMEMBERED = 0.1  # weight of the last visit among those before it
STRAYS, STRAY_LENGTHS = 12, (0.15, 0.45)  # waves of a hand's force, and m (assumed)
LEAST_SHARE = 0.1  # of a cell that bears, of which its wear is reckoned
MOST_FOLLOWED = 4  # times a side: where a block follows only waves longer than these it is rigid


class Region:
    """The part of the panel that the block can reach, and the places where it may stand."""

    def __init__(
        self,
        panel: Panel,
        window: tuple[slice, slice],
        where: np.ndarray,
        tool: Tool,
        force: float,
        overhang: float,
        keep_off: float | None,
        hand: StrayingHand | None,
        area: Area = None,
    ) -> None:
        shape = panel.shape
        self.cell, self.tool, self.force, self.overhang = shape.cell, tool, force, overhang
        self.x, self.y = shape.x[window[1]], shape.y[window[0]]
        self.form = shape.form[window]
        self.surface = panel.surface[window].copy()
        give = force / tool.area / tool.backing
        self.inside = (shape.inside & (panel.mask < 0.5))[window].astype(float)
        self.bearing = bearing_share(shape, give)[window] * self.inside
        self.whole = bool(self.inside.all())
        self.where = where[window]
        self.hand = hand
        self.lines = [] if keep_off is None else [line for line in shape.lines if line.kind == "body line"]
        self.keep_off = max(keep_off or 0.0, 0.0)
        self.ends = [np.flatnonzero(self.where.any(axis=axis))[[0, -1]] for axis in (0, 1)]
        bounds = [
            borders(at[held], self.cell, side)
            for at, held, side in zip((self.x, self.y), self.ends, sides_of(area), strict=True)
        ]
        self.bounds = {"x": bounds, "y": bounds[::-1]}
        self.degrees = _degree(tool, tool.length), _degree(tool, tool.width)
        self.bending = (
            tool.bending * tool.width * (2 / tool.length) ** 3 if self.degrees[0] > 1 else 0.0,
            tool.bending * tool.length * (2 / tool.width) ** 3 if self.degrees[1] > 1 else 0.0,
        )
        self.bore = {axis: np.ones_like(self.surface) for axis in ("x", "y")}
        # Share of the lattices that touch each cell: one that only now and then bears wears it only so much.
        self.touched = {axis: np.ones_like(self.surface) for axis in ("x", "y")}
        self.visits = dict.fromkeys(("x", "y"), 0)

    def press(
        self, axis: str, starts: np.ndarray, wander: np.ndarray, stiffness: np.ndarray, strips: Strips | None = None
    ) -> Press:
        """Lay the blocks on lattices, length along `axis`, and press each lattice by itself.

        starts  (lattices, 2) where they begin along and across, in shares of the way to the next block …
        wander  (2,)          … and how much farther, the same for all
        """
        flip = (lambda array: array) if axis == "x" else np.transpose
        coordinates = (self.x, self.y) if axis == "x" else (self.y, self.x)
        sizes = self.tool.length, self.tool.width
        along, across = (
            self._places(*each) for each in zip(coordinates, sizes, starts.T, wander, self.bounds[axis], strict=True)
        )
        lattices = Lattices(along, across, self._forces(axis, coordinates, along, across, flip))
        springs = flip(stiffness * self.bearing)
        bore = self.bore[axis]
        surface = flip(self.form + self.surface)
        laid = press(lattices, surface, springs, self.cell, self.degrees, self.bending, flip(bore), strips)
        pressure = flip(laid.pressure)
        self.visits[axis] += 1
        bore += max(REMEMBERED, 1 / self.visits[axis]) * ((pressure > 0) - bore)
        touched = flip(np.count_nonzero(laid.each, axis=0)) / len(lattices)
        self.touched[axis] += (touched - self.touched[axis]) * weight_of_now(self.visits[axis])
        each = laid.each if axis == "x" else laid.each.transpose(0, 2, 1)
        return laid._replace(pressure=pressure, each=each)

    def sink(self, gone: np.ndarray) -> None:
        """The surface as it bears after so much (m) of each cell went, all of it from the part that is not folded."""
        self.surface -= gone / np.maximum(self.bearing, LEAST_SHARE)

    def _places(
        self, coordinates: np.ndarray, size: float, starts: np.ndarray, wander: float, bounds: tuple[float, float]
    ) -> Axis:
        """Blocks side by side for each start, whole cells from one start to the next: they cover cells alike."""
        way = self._way(size, bounds[1] - bounds[0])
        cells = math.floor(wander * way / self.cell + 1e-9)
        into = wander * way - cells * self.cell
        places = max(math.ceil((way - into) / self.cell - 1e-9), 1)  # whole cells apart, from one end of the way on
        at = (cells + np.round(starts * way / self.cell)) % places * self.cell + into
        return along_axis(coordinates, self.cell, size, bounds[0] + at - size / 2)

    def _way(self, size: float, extent: float) -> float:
        """How far (m) a lattice is moved."""
        return min(extent, pitch_of(size, self.cell) * self.cell)

    def places_across(self, axis: str) -> int:
        """Whole cells by which a lattice can be moved across a body line, which runs along x."""
        size = self.tool.width if axis == "x" else self.tool.length
        low, high = self.bounds["x"][1]
        return max(round(self._way(size, high - low) / self.cell), 1)

    def share(self, axis: str) -> float:
        """Blocks that would cover the area over those of a lattice: the sliding of a visit is so much more."""
        return math.prod(
            max(self._way(size, high - low) / size, 1.0)
            for size, (low, high) in zip((self.tool.length, self.tool.width), self.bounds[axis], strict=True)
        )

    def _forces(
        self,
        axis: str,
        coordinates: tuple[np.ndarray, np.ndarray],
        along: Axis,
        across: Axis,
        flip: Callable[[np.ndarray], np.ndarray],
    ) -> np.ndarray:
        """(lattices, blocks across, blocks along) force (N); none on a block that may not stand there.

        Its middle lies in the area, it does not hang over too far and keeps off the lines.
        """
        column, row = (
            np.clip(np.floor((side.middles - at[0]) / self.cell + 0.5).astype(int), *held)
            for side, at, held in zip(
                (along, across), coordinates, self.ends[:: 1 if axis == "x" else -1], strict=True
            )
        )
        on = [
            (side.middles > low) & (side.middles < high) & (np.arange(side.middles.shape[1]) < side.blocks[:, None])
            for side, (low, high) in zip((along, across), self.bounds[axis], strict=True)
        ]
        allowed = on[1][:, :, None] & on[0][:, None] & flip(self.where)[row[:, :, None], column[:, None]]
        x, y = np.broadcast_arrays(along.middles[:, None], across.middles[:, :, None])[:: 1 if axis == "x" else -1]
        half = np.array([self.tool.length, self.tool.width][:: 1 if axis == "x" else -1]) / 2
        for line in self.lines:
            (across_x, across_y), (at_x, at_y) = line.normals[0], line.points[0]
            off = np.abs((x - at_x) * across_x + (y - at_y) * across_y)
            allowed &= off >= self.keep_off + np.abs(line.normals[0]) @ half
        at = np.nonzero(allowed)
        under, *over = self._bears(along, across, at, flip)
        hangs = np.maximum(*over) / np.maximum(under, 1e-9)
        allowed[at] = (under > 1e-6) & (hangs <= self.overhang + 1e-9)
        forces: np.ndarray = self.force * allowed
        if self.hand is not None:
            forces[allowed] *= self.hand.strays(x[allowed], y[allowed])
        return forces

    def _bears(
        self, along: Axis, across: Axis, at: tuple[np.ndarray, ...], flip: Callable[[np.ndarray], np.ndarray]
    ) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Cells under each of those blocks that are panel, and how far off its middle they lie along and across."""
        lattice, row, column = at
        weights = [np.stack([side.covered, side.covered * side.local], axis=1) for side in (across, along)]
        if self.whole:  # a rectangle: rows and columns apart
            rows, columns = (
                (side.under @ weight)[lattice, place]
                for side, weight, place in zip((across, along), weights, (row, column), strict=True)
            )
            sums = rows[:, :, None] * columns[:, None]
        else:
            inside = gathered(flip(self.inside), along, across, at) @ weights[1]
            sums = np.einsum("vbj,vi->bij", inside, weights[0])
        return np.abs(sums[:, 0, 0]), np.abs(sums[:, 0, 1]), np.abs(sums[:, 1, 0])


class StrayingHand:
    """By what the force of a hand strays from place to place of a panel, the same at every pass.

    A sum of waves of mixed direction, some hand's breadths long; its logarithm has the standard deviation `spread`.
    """

    def __init__(self, spread: float, seed: int) -> None:
        random = np.random.default_rng(seed)
        turn, self.phase = 2 * np.pi * random.random((2, STRAYS))
        waves = 2 * np.pi / random.uniform(*STRAY_LENGTHS, STRAYS)
        self.waves = waves * np.cos(turn), waves * np.sin(turn)
        self.height = spread * math.sqrt(2 / STRAYS)

    def strays(self, x: np.ndarray, y: np.ndarray) -> np.ndarray:
        """Force at those places (m) over the mean one."""
        phase = np.multiply.outer(x, self.waves[0]) + np.multiply.outer(y, self.waves[1]) + self.phase
        found: np.ndarray = np.exp(self.height * np.sin(phase).sum(axis=-1))
        return found


def bearing_width(tool: Tool, force: float, curvature: float, side: str) -> float:
    """How much (m) of the block's "length" or "width" bears on a sheet of that curvature (1/m) along it."""
    size, other = (tool.length, tool.width)[:: 1 if side == "length" else -1]
    degree, cells = _degree(tool, size), 200
    local = (2 * np.arange(cells) + 1) / cells - 1
    bending = tool.bending * (2 / size) ** 3 / (size / cells) if degree > 1 else 0.0
    faces = Faces(
        local, np.zeros(1), np.array([force / other / (size / cells)]), degrees=(degree, 0), bending=(bending, 0.0)
    )
    height = -0.5 * abs(curvature) * (local * size / 2) ** 2
    springs = np.full((1, 1, cells), tool.backing)
    gap, _ = settled(faces, height[None, None], springs, springs * (np.abs(local) < 0.1))
    return float(np.count_nonzero(gap > 0)) * size / cells


def _degree(tool: Tool, size: float) -> int:
    """Degree of the face along a side: one if it is rigid, more the shorter the waves that it follows."""
    follows = 2 * math.pi * tool.follows
    if follows == 0 or follows > MOST_FOLLOWED * size:
        return 1
    return min(2 + round(4 * size / follows), MOST_DEGREE)
