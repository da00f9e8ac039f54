"""A body line while it is sanded: its ridge bears in strips of half a millimetre, each at its own height.

A block lies on a ridge of a radius of some millimetres on a strip of one or two: a cell of the grid, one spring at
one height, bears too early or too late, by where in it the line lies. So the cells beside the line are cut into
strips along it, with the height that the line's sections have there, and the blocks are pressed on those
(`contact.Strips`). What the strips bear falls on the sections as it is.
"""

from __future__ import annotations

import numpy as np

from coursekit.panel.contact import Press, Strips
from coursekit.panel.stack import Stack
from coursekit.panel.state import Panel, Section
from coursekit.panel.worn import Worn, wearing, weight_of_now

WIDTH = 0.5e-3  # m of a strip, about
NEAR = 3e-3  # m: cells that come so near to the ridge are cut; farther off its flanks are straight to a micrometre


def in_window(section: Section, cell: float, window: tuple[slice, slice]) -> bool:
    """Whether cells that come near to a ridge lie in a window: a block led beside it may stop short of them."""
    at, rows = section.line.points[0, 1], window[0]
    return bool(at + NEAR > rows.start * cell and at - NEAR < rows.stop * cell)


class Ridge:
    """The sections of a body line that lie in a window of the panel: arrays (stations, points) and (strips, columns).

    The line runs along x, as all body lines do.
    """

    def __init__(self, panel: Panel, section: Section, window: tuple[slice, slice], rates: np.ndarray) -> None:
        line, across, cell = section.line, section.across, panel.cell
        rows, columns = window
        at = line.points[0, 1]
        first, last = (
            min(max(int(np.floor((at + side * NEAR) / cell)), rows.start), rows.stop - 1) for side in (-1, 1)
        )
        self.each = max(round(cell / WIDTH), 1)
        self.cells, self.first = slice(first - rows.start, last + 1 - rows.start), first - rows.start
        ends = np.arange(first, last + 1 + 0.5 / self.each, 1 / self.each) * cell - at
        step = across[1] - across[0]
        overlap = np.minimum(across[:, None] + step / 2, ends[1:]) - np.maximum(across[:, None] - step / 2, ends[:-1])
        overlap = np.maximum(overlap, 0)
        self.shares = overlap / overlap.sum(axis=0)  # (points, strips) of a strip's mean
        self.spread = overlap.T / step  # (strips, points) of a point in the strips …
        self.beyond = 1 - self.spread.sum(axis=0)  # … and beyond them, in these cells
        self.rows = np.clip(np.floor((at + across) / cell).astype(int) - rows.start, 0, rows.stop - rows.start - 1)
        self.columns = np.clip(
            np.floor(line.points[:, 0] / cell + 1e-6).astype(int) - columns.start, 0, columns.stop - columns.start - 1
        )
        x = panel.shape.x[columns]
        self.there = (line.points[:, 0] > x[0] - cell) & (line.points[:, 0] < x[-1] + cell)
        self.between = np.stack([np.interp(x, line.points[:, 0], one) for one in np.eye(len(line.points))])
        # What the form has within a cell that it has not at its middle: the ridge, and the crown's slope.
        ridge = line.profile(panel.shape.y - at)
        crowned = panel.shape.form[:, 0] - ridge
        off = (ends[1:] + ends[:-1]) / 2 - np.repeat(panel.shape.y[first : last + 1] - at, self.each)
        slope = np.gradient(crowned, cell)[first : last + 1]
        self.lift = section.profile @ self.shares - np.repeat(ridge[first : last + 1], self.each)
        self.lift += np.repeat(slope, self.each) * off - panel.shape.crown[1] / 2 * off**2
        self.worn = Worn(Stack(section.thickness, rates), section.thickness.sum(axis=0))
        size = len(self.lift), len(x)
        self.bore, self.touched = ({axis: np.ones(size) for axis in ("x", "y")} for _ in range(2))
        self.visits = dict.fromkeys(("x", "y"), 0)

    def strips(self, axis: str, surface: np.ndarray, bearing: np.ndarray, backing: float, over: float) -> Strips:
        """As blocks whose length runs along that axis find them, on that surface (m, form and all) of the window.

        bearing  share of each cell of the window
        over     m of sliding of the visit
        """
        film = self.worn.height @ self.shares
        cells = film.reshape(len(film), -1, self.each)
        off = (cells - cells.mean(axis=2, keepdims=True)).reshape(film.shape)
        heights = np.repeat(surface[self.cells], self.each, axis=0) + self.lift[:, None] + off.T @ self.between
        rate = (self.worn.stack.rate @ self.shares).T @ self.between
        stiffness = wearing(backing, rate * over * self.touched[axis])
        stiffness *= np.repeat(bearing[self.cells], self.each, axis=0)
        return Strips(axis == "x", self.first, self.each, heights, stiffness, self.bore[axis])

    def cut(self, axis: str, laid: Press, over: float) -> float:
        """Wear of a visit; gives by how much it strayed from those before, as `Worn.cut`."""
        if laid.strips is None or not laid.pressure[self.rows.min() : self.rows.max() + 1].any():
            return 0.0
        self.visits[axis] += 1
        touch = np.count_nonzero(laid.strips, axis=0) / len(laid.strips)
        self.touched[axis] += (touch - self.touched[axis]) * weight_of_now(self.visits[axis])
        pressed = laid.strips.mean(axis=0)
        self.bore[axis] += max(0.1, 1 / self.visits[axis]) * ((pressed > 0) - self.bore[axis])
        spread = pressed[:, self.columns].T @ self.spread
        spread += laid.pressure[self.rows, self.columns[:, None]] * self.beyond
        return self.worn.cut(spread * self.there[:, None], over)
