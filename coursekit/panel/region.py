"""Where a block may stand on a panel, and how it lies there: bent by the hand, over an edge, riding a crown."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache

import numpy as np

from coursekit.panel.contact import Axis, Lattice, Press, along_axis, held, press
from coursekit.panel.shapes import Shape
from coursekit.panel.state import Panel
from coursekit.panel.tools import Tool
from coursekit.sanding.contours import crown_bearing

MOST_DEGREE = 9  # of the shape that a board takes along its length
MOST_FOLLOWED = 4  # block lengths: a board that only follows longer waves than these is rigid


class Region:
    """The part of the panel that the block can reach, and the places where it may stand."""

    def __init__(self, panel: Panel, window: tuple[slice, slice], where: np.ndarray, tool: Tool, force: float,
                 overhang: float, keep_off: float | None) -> None:  # fmt: skip
        shape = panel.shape
        self.cell, self.tool, self.force, self.overhang = shape.cell, tool, force, overhang
        self.x, self.y = shape.x[window[1]], shape.y[window[0]]
        self.form = shape.form[window]
        self.surface = panel.surface[window].copy()
        self.inside = (shape.inside & (panel.mask < 0.5))[window].astype(float)
        self.whole = bool(self.inside.all())
        self.where = where[window]
        self.forbidden = None if keep_off is None else _near_lines(shape, keep_off)[window].astype(float)
        rows, columns = np.flatnonzero(self.where.any(axis=1)), np.flatnonzero(self.where.any(axis=0))
        bounds = [(at[held[0]] - self.cell / 2, at[held[-1]] + self.cell / 2)
                  for at, held in ((self.x, columns), (self.y, rows))]  # fmt: skip
        self.bounds = {"x": bounds, "y": bounds[::-1]}
        self.crown = {"x": shape.crown, "y": shape.crown[::-1]}
        self.hand_bend = tool.bend(force)
        self.cells = [max(1, round(side / self.cell)) for side in (tool.length, tool.width)]
        self.degree = _degree(tool)
        self.bending = tool.bending * tool.width * (2 / tool.length) ** 3 if self.degree > 1 else 0.0

    def press(self, axis: str, start: np.ndarray, places: int, stiffness: np.ndarray, hand: float,
              random: np.random.Generator) -> Press:  # fmt: skip
        """Lay the blocks on one lattice, their length along `axis`, and press; one of that many places in all."""
        flip = (lambda array: array) if axis == "x" else np.transpose
        coordinates = (self.x, self.y) if axis == "x" else (self.y, self.x)
        bend = self._bend(axis)
        cells, rolls = self.cells, self._rolls(axis)
        along, across = (along_axis(at, self.cell, count, first) for at, count, first
                         in zip(coordinates, cells, self._first(axis, start), strict=True))  # fmt: skip
        forces = self.force * self._allowed(flip, coordinates, along, across)
        if hand:
            forces = forces * np.exp(hand * random.standard_normal(forces.shape))
        lattice = Lattice(along, across, forces, self.cell)
        surface = flip(self.form + self.surface)
        if any(bend):
            surface = surface + 0.5 * bend[0] * _square(coordinates[0], along)
            surface += (0.5 * bend[1] * _square(coordinates[1], across))[:, None]
        springs = flip(stiffness if self.whole else stiffness * self.inside)
        laid = press(lattice, surface, springs, self.degree, self.bending)
        if rolls[0] and laid.blocks:
            curvature = abs(self.crown[axis][0] - bend[0])
            strip = float(crown_bearing.si(max(self.force / self.tool.area, 1.0), self.tool.length, 1 / curvature,
                                           self.tool.backing).contact_width)  # fmt: skip
            low, high = self.bounds[axis][0]
            spacing = min(high - low, cells[0] * self.cell) / places
            if spacing > max(strip / 2, self.cell):
                reach = curvature * spacing / 2 * (strip / 2 + spacing / 4)
                laid = _rolled(lattice, laid, reach, spacing / self.cell, springs)
        return laid._replace(pressure=flip(laid.pressure))

    def _bend(self, axis: str) -> list[float]:
        """Curvature (1/m) along and across to which the hand bends the tool."""
        return [_least(crown, most) for crown, most in zip(self.crown[axis], self.hand_bend, strict=True)]

    def stands_over(self, axis: str) -> tuple[float, float]:
        """Curvature (1/m) along x and y of the sheet over that of a block along `axis`."""
        x, y = (crown - bent for crown, bent in zip(self.crown[axis], self._bend(axis), strict=True))
        return (x, y) if axis == "x" else (y, x)

    def _rolls(self, axis: str) -> list[bool]:
        return [abs(crown - bent) > 1e-6 for crown, bent in zip(self.crown[axis], self._bend(axis), strict=True)]

    def _first(self, axis: str, start: np.ndarray) -> list[float]:
        """Where, along and across, one of the blocks begins; in an area smaller than a block so that it stands there.

        In full contact a block covers whole cells, or its pressure would stray; riding a strip it must not jump.
        """
        found = []
        coordinates = (self.x, self.y) if axis == "x" else (self.y, self.x)
        for at, share, count, (low, high), rolling in zip(coordinates, start, self.cells, self.bounds[axis],
                                                         self._rolls(axis), strict=True):  # fmt: skip
            size, edge = count * self.cell, at[0] - self.cell / 2
            first = low + share * min(high - low, size) - size / 2 - edge
            found.append(edge + (first if rolling else round(first / self.cell) * self.cell))
        return found

    def stands_for(self, axis: str, starts: np.ndarray) -> np.ndarray:
        """(places, 2) share of the way along x and y that each lattice stands for, times their number.

        Whole cells make places that should be even a little uneven.
        """
        ways = np.ones(starts.shape)
        firsts = np.array([self._first(axis, start) for start in starts])
        for n, (count, (low, high)) in enumerate(zip(self.cells, self.bounds[axis], strict=True)):
            size = count * self.cell
            if high - low >= size:
                at, which, same = np.unique(np.round(firsts[:, n] / size % 1, 6) % 1, return_inverse=True,
                                            return_counts=True)  # fmt: skip
                way = (np.append(at[1:], at[0] + 1) - np.append(at[-1] - 1, at[:-1])) / 2
                ways[:, n] = (way / same)[which] * len(starts)
        return ways if axis == "x" else ways[:, ::-1]

    def _allowed(self, flip: Callable[[np.ndarray], np.ndarray], coordinates: tuple[np.ndarray, np.ndarray],
                 along: Axis, across: Axis) -> np.ndarray:  # fmt: skip
        """Blocks whose middle lies in the area, that do not hang over too far nor touch a line to be kept off."""
        if self.whole:  # a rectangle: rows and columns apart
            rows, columns = (axis.under @ np.stack([np.ones_like(axis.local), axis.local], axis=1)
                             for axis in (across, along))  # fmt: skip
            under = np.outer(rows[:, 0], columns[:, 0])
            over = [np.outer(rows[:, 0], np.abs(columns[:, 1])), np.outer(np.abs(rows[:, 1]), columns[:, 0])]
        else:
            everywhere = np.ones((across.blocks, along.blocks))
            inside = Lattice(along, across, everywhere, self.cell).gathered(flip(self.inside))
            under, *over = (np.abs(np.einsum("vbu,v,u->b", inside, v, u)).reshape(everywhere.shape)
                            for v, u in ((across.local**0, along.local**0), (across.local**0, along.local),
                                         (across.local, along.local**0)))  # fmt: skip
        hangs = [shift / np.maximum(under, 1e-9) - 1 / len(axis.local)
                 for shift, axis in zip(over, (along, across), strict=True)]  # fmt: skip
        column, row = (np.clip(((axis.middles - at[0]) / self.cell + 0.5).astype(int), 0, len(at) - 1)
                       for axis, at in zip((along, across), coordinates, strict=True))  # fmt: skip
        allowed = (under > 0) & (np.maximum(*hangs) <= self.overhang) & flip(self.where)[np.ix_(row, column)]
        if self.forbidden is not None and allowed.any():
            at = Lattice(along, across, allowed.astype(float), self.cell)
            allowed[at.at] = ~(at.gathered(flip(self.forbidden)) > 0).any(axis=(0, 2))
        return allowed


def _square(coordinates: np.ndarray, axis: Axis) -> np.ndarray:
    """Square of the distance (m²) of every cell of the region from the middle of its block."""
    at = np.minimum((np.arange(axis.cells) + axis.before) // len(axis.local), axis.blocks - 1)
    return (coordinates - axis.middles[at]) ** 2


def _rolled(lattice: Lattice, laid: Press, reach: float, spacing: float, springs: np.ndarray) -> Press:
    """A block that rides a crown rolls on its way to the next place: its strip goes over what lies between.

    Between two places, `spacing` cells apart, it comes down to cells that at the place itself it misses by `reach`
    (m), the crown's drop.
    """
    n = laid.pressure.shape[1]
    sums = np.pad(np.cumsum(laid.pressure, axis=1), ((0, 0), (1, 0)))
    ends = np.clip(np.arange(n) + 0.5 + np.array([[-spacing / 2], [spacing / 2]]), 0, n)
    below = np.minimum(ends.astype(int), n - 1)
    upto = sums[:, below] + (sums[:, below + 1] - sums[:, below]) * (ends - below)
    mean = np.maximum(upto[:, 1] - upto[:, 0], 0) / spacing
    pressure = np.where((laid.gap > -reach) & (lattice.gathered(springs) > 0), lattice.gathered(mean), 0)
    return held(lattice, pressure, laid.gap)


def _degree(tool: Tool) -> int:
    """Degree of the face along the length: one for a rigid block, more the shorter the waves that a board follows."""
    follows = 2 * math.pi * tool.follows
    if follows == 0 or follows > MOST_FOLLOWED * tool.length:
        return 1
    return min(2 + round(2 * tool.length / follows), MOST_DEGREE)


def _least(crown: float, bend: float) -> float:
    return math.copysign(min(abs(crown), bend), crown)


@lru_cache(maxsize=16)
def _near_lines(shape: Shape, distance: float) -> np.ndarray:
    """Cells nearer than that to a body line, those on it included."""
    near = np.zeros(shape.form.shape, dtype=bool)
    for line in shape.lines:
        if line.kind == "body line":
            start, normal = line.points[0], line.normals[0]
            off = (shape.x - start[0]) * normal[0] + ((shape.y - start[1]) * normal[1])[:, None]
            near |= np.abs(off) < max(distance, 0) + 0.51 * shape.cell
    return near
