"""What sanding does across a body line, an edge or a mask's edge, finer than the grid.

The grid knows with which force, and how far off an edge, a block bears on the few cells beside it; it cannot know
that the shoulder of a fold takes that force on a strip of a millimetre or two. So at every visit the section itself
is pressed: a straight face on the same backing lies on its profile, film and all, carries the force that the grid
gives it and lies so that the middle of its pressure is the grid's. As the shoulder wears, the strip grows. A body
line bears in strips of its own (`panel.ridges`).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from coursekit.panel.contact import Press, Strips
from coursekit.panel.faces import Faces, settled
from coursekit.panel.ridges import Ridge, in_window
from coursekit.panel.stack import Stack
from coursekit.panel.state import SECTION_STEP, Panel, Section, frozen
from coursekit.panel.worn import Worn, wearing, weight_of_now

FIRST_TOUCH = 3e-3  # m of a section where the search for its contact begins


class Visit(NamedTuple):
    """One visit of the block as the sections see it.

    laid       on the region
    axis       "x" or "y", along which the blocks' length runs: for "y" the lattice's rows are the region's columns
    crown      1/m  of the sheet, along x and y
    backing    Pa/m
    step       m    of sliding
    straight   the face does not bend within a section
    """

    laid: Press
    axis: str
    crown: tuple[float, float]
    backing: float
    step: float
    straight: bool


class Sections:
    """The sections of a panel that lie in a window of it, while it is being sanded."""

    def __init__(self, panel: Panel, window: tuple[slice, slice], rates: np.ndarray, give: float) -> None:
        """`give` is what the backing yields under the mean pressure, m."""
        self.panel, self.window, self.rates, self.give = panel, window, rates, give
        near = [each for each in enumerate(panel.sections) if _reaches(each[1], panel.cell, window)]
        lines = [each for each in near if each[1].line.kind == "body line" and in_window(each[1], panel.cell, window)]
        self.ridge = Ridge(panel, lines[0][1], window, rates) if lines else None
        self.lines = lines
        near = [each for each in near if each[1].line.kind != "body line"]
        beside = [(*each, _Beside(panel, each[1], window, give)) for each in near]
        self.reached = [each for each in beside if each[2].bears.any()]
        self.strips: list[_Strip] = []

    def rim(self, cells: tuple[np.ndarray, ...]) -> np.ndarray:
        """By how much (m) the flat part of the rim's cells lies over the mean of the cell: its fold is hardly worn.

        cells  (rows, columns) of the window that lie partly in a fold; each is taken as the nearest station has it
        """
        edges = [section for section in self.panel.sections if section.line.kind == "edge"]
        if not edges or not len(cells[0]):
            return np.zeros(len(cells[0]))
        over = []
        for section in edges:
            flat = (section.across > -self.panel.cell) & (section.across < -section.line.folded(self.give))
            film = section.thickness[:, :, flat].sum(axis=0).mean(axis=1) if flat.any() else 0.0
            mean = sum(layer.thickness[section.at] for layer in self.panel.layers)
            over.append(film - mean if flat.any() else np.zeros(len(section.line.points)))
        points = np.concatenate([section.line.points for section in edges])
        shape, (rows, columns) = self.panel.shape, self.window
        places = np.stack([shape.x[columns][cells[1]], shape.y[rows][cells[0]]], axis=1)
        nearest = ((places[:, None] - points) ** 2).sum(axis=2).argmin(axis=1)
        found: np.ndarray = np.concatenate(over)[nearest]
        return found

    def strips_of(
        self, axis: str, surface: np.ndarray, bearing: np.ndarray, backing: float, over: float
    ) -> Strips | None:
        """What a body line bears on, as `Ridge.strips`."""
        return None if self.ridge is None else self.ridge.strips(axis, surface, bearing, backing, over)

    def cut(self, visit: Visit) -> float:
        """What falls on the cells beside the lines, spread over the sections.

        Gives by how much the cut, per sliding, strayed from the visits before: at the worst point of a section, the
        root mean square over the sections.
        """
        strayed = 0.0 if self.ridge is None else self.ridge.cut(visit.axis, visit.laid, visit.step)
        if not any(visit.laid.pressure[beside.rows, beside.columns].any() for *_, beside in self.reached):
            return strayed
        if not self.strips:
            self.strips = [_Strip(same, self.rates) for same in _alike(self.reached)]
        return max(strayed, *(strip.cut(visit) for strip in self.strips))

    def now(self) -> tuple[Section, ...]:
        """All sections of the panel as they are now."""
        new = {number: section for strip in self.strips for number, section in strip.now()}
        if self.ridge is not None and self.ridge.worn.visits:
            for number, section in self.lines:
                new[number] = replace(section, thickness=frozen(self.ridge.worn.stack.thickness().copy()))
        return tuple(new.get(number, section) for number, section in enumerate(self.panel.sections))


def _reaches(section: Section, cell: float, window: tuple[slice, slice]) -> bool:
    """Whether some of it may lie in that window of a panel with such cells."""
    reach = float(np.abs(section.across).max()) + 2 * cell
    low, high = section.line.points.min(axis=0) - reach, section.line.points.max(axis=0) + reach
    rows, columns = window
    first, last = (np.array([getattr(side, end) for side in (columns, rows)]) * cell for end in ("start", "stop"))
    return bool((high > first).all() and (low < last).all())


class _Beside:
    """Cells of the window that the points of a section lie in, station by station: arrays (stations, c).

    runs    (stations, n)  which of these cells each point lies in
    counts                 points in each cell: what it bears comes on the section by their share of the cell
    lies                   where that load lies across the line, −1 to 1: the middle of what is not folded away
    bearing                how much of each cell at an edge is not folded away, on that same scale
    """

    def __init__(self, panel: Panel, section: Section, window: tuple[slice, slice], give: float) -> None:
        line, across = section.line, section.across
        first = np.array([window[1].start, window[0].start])
        inside = panel.shape.inside[window]
        free = inside & (panel.mask < 0.5)[window]
        self.middles = line.points + 0.5 * (across[0] + across[-1]) * line.normals
        places = line.points[:, None] + across[:, None] * line.normals[:, None]
        cells = np.floor(places / panel.cell + 1e-6).astype(int) - first
        self.runs = np.zeros(cells.shape[:2], dtype=np.intp)
        np.cumsum((np.diff(cells, axis=1) != 0).any(axis=2), axis=1, out=self.runs[:, 1:])
        most = int(self.runs.max()) + 1
        local = (2 * np.arange(len(across)) + 1) / len(across) - 1
        flat = np.ones(len(across))
        if line.kind == "edge":
            flat[across >= -line.folded(give)] = 0
        number = self.runs + most * np.arange(len(cells))[:, None]
        counts, flats, moments = (
            np.bincount(number.ravel(), np.broadcast_to(weight, number.shape).ravel(), most * len(cells)).reshape(
                -1, most
            )
            for weight in (np.ones(len(across)), flat, flat * local)
        )
        begins = np.zeros((len(cells), most), dtype=np.intp)
        for run in range(1, most):
            begins[:, run] = np.minimum((self.runs < run).sum(axis=1), len(across) - 1)
        self.counts = counts
        middle = np.clip(local[begins] + (counts - 1) / len(across), -1, 1)
        self.lies = np.where(flats > 0, moments / np.maximum(flats, 1e-12), middle)
        self.bearing = flats * (2 / len(across) if line.kind == "edge" else 0.0)
        columns, rows = np.moveaxis(np.take_along_axis(cells, begins[:, :, None], axis=1), -1, 0)
        on = (rows >= 0) & (rows < free.shape[0]) & (columns >= 0) & (columns < free.shape[1])
        self.rows, self.columns = (
            np.clip(at, 0, size - 1) for at, size in zip((rows, columns), free.shape, strict=True)
        )
        if line.kind == "edge":  # a curved rim in steps: the next cell inwards
            for run in range(1, most):
                off = ~(on & inside[self.rows, self.columns])[:, run]
                for array in (self.rows, self.columns, on):
                    array[off, run] = array[off, run - 1]
        self.bears = on & free[self.rows, self.columns] & (counts > 0)


Numbered = list[tuple[int, Section, _Beside]]


def _alike(sections: Numbered) -> list[Numbered]:
    """Sections with the same points across: they are pressed together."""
    found: dict[tuple[float, int], Numbered] = {}
    for each in sections:
        found.setdefault((float(each[1].across[0]), len(each[1].across)), []).append(each)
    return list(found.values())


class _Strip:
    """Sections with the same n points across, over c cells of the grid: arrays (stations, n) and (stations, c)."""

    def __init__(self, numbered: Numbered, rates: np.ndarray) -> None:
        self.numbers, self.sections, beside = zip(*numbered, strict=True)
        self.across = self.sections[0].across
        self.bow = (self.across**2).astype(np.float32)
        self.local = (2 * np.arange(len(self.across)) + 1) / len(self.across) - 1
        self.normals = np.concatenate([section.line.normals for section in self.sections])
        self.middles, self.runs = (
            np.concatenate([getattr(each, name) for each in beside]) for name in ("middles", "runs")
        )
        thickness = np.concatenate([section.thickness for section in self.sections], axis=1)
        profiles = [np.broadcast_to(section.profile, section.thickness.shape[1:]) for section in self.sections]
        self.worn = Worn(Stack(thickness, rates), np.concatenate(profiles) + thickness.sum(axis=0))
        self.touched = np.ones(self.worn.height.shape)
        most = max(each.rows.shape[1] for each in beside)
        self.rows, self.columns, self.bears, self.counts, self.lies, self.bearing = (
            np.concatenate([np.pad(getattr(each, name), ((0, 0), (0, most - each.rows.shape[1]))) for each in beside])
            for name in ("rows", "columns", "bears", "counts", "lies", "bearing")
        )

    def cut(self, visit: Visit) -> float:
        """See `Sections.cut`."""
        laid = visit.laid
        found = laid.each[:, self.rows, self.columns] * self.bears
        lattice, stations = np.nonzero(found.any(axis=2))
        if not len(stations):
            return 0.0
        loads = found[lattice, stations] * self.counts[stations]
        way = -1 if visit.axis == "y" else 1
        cells = (self.rows[stations], self.columns[stations])[::way]
        row, column = laid.lattices.block_at(lattice[:, None], *cells)
        # A section lies under one block, or under several that meet on it: the one that bears most says how
        # the face is bent there.
        most = np.arange(len(stations)), loads.argmax(axis=1)
        curved = laid.bent((lattice, row[most], column[most]), *self.middles[stations].T[::way])[::way].T
        curved = ((np.asarray(visit.crown) + curved) * self.normals[stations] ** 2).sum(axis=1)
        # Each block presses its part by itself.
        part = np.zeros(row.shape, dtype=np.intp)
        np.cumsum((np.diff(row, axis=1) != 0) | (np.diff(column, axis=1) != 0), axis=1, out=part[:, 1:])
        each = [np.flatnonzero((loads * (part == this)).any(axis=1)) for this in range(int(part.max()) + 1)]
        at, this = np.concatenate(each), np.repeat(np.arange(len(each)), [len(some) for some in each])
        under, here = part[at] == this[:, None], stations[at]
        loads = loads[at] * under
        under &= self.bears[here]
        spread = self._pressed(here, loads, under, curved[at], visit)
        whole = spread.sum(axis=1, keepdims=True)
        spread *= np.divide(loads.sum(axis=1, keepdims=True), whole, out=np.zeros_like(whole), where=whole > 0)
        order = np.argsort(here, kind="stable")
        first = np.flatnonzero(np.diff(here[order], prepend=-1))
        pressure, touched = np.zeros(self.touched.shape), np.zeros(self.touched.shape)
        for total, part in ((pressure, spread), (touched, (spread > 0).astype(float))):
            total[here[order[first]]] = np.add.reduceat(part[order], first, axis=0) / len(found)
        strayed = self.worn.cut(pressure, visit.step)
        self.touched += (touched - self.touched) * weight_of_now(self.worn.visits)
        return strayed

    def _pressed(
        self, here: np.ndarray, loads: np.ndarray, under: np.ndarray, curved: np.ndarray, visit: Visit
    ) -> np.ndarray:
        """Pressures (stations, n): the force where it is on the line, and the middle, of loads (stations, c).

        under  (stations, c) which cells can bear
        """
        # Heights of a section are a millimetre at most: single precision carries them to a tenth of a nanometre.
        bent = np.float32(0.5) * curved[:, None].astype(np.float32) * self.bow
        height = self.worn.height.astype(np.float32)[here] - bent
        can = np.take_along_axis(under, self.runs[here], axis=1)
        springs = wearing(visit.backing, self.worn.stack.rate * visit.step * self.touched)
        springs = springs.astype(np.float32)[here] * can
        force = loads.sum(axis=1)
        middle = _middle(loads, force, self.lies[here], self.bearing[here] * (under & visit.straight))
        faces = Faces(self.local, np.zeros(1), force, force * middle, degrees=(1, 0))
        faces.single()
        close = springs * (np.abs(self.local - middle[:, None]) * len(self.local) < FIRST_TOUCH / SECTION_STEP)
        alone = ~close.any(axis=1)
        close[alone] = springs[alone]
        gap, _ = settled(faces, height[None], springs[None], close[None])
        found: np.ndarray = springs * np.maximum(gap[0], 0)
        return found

    def now(self) -> Iterator[tuple[int, Section]]:
        """Those that were cut, by number."""
        if not self.worn.visits:
            return
        thickness, first = self.worn.stack.thickness(), 0
        for number, section in zip(self.numbers, self.sections, strict=True):
            last = first + len(section.line.points)
            yield number, replace(section, thickness=frozen(thickness[:, first:last].copy()))
            first = last


def _middle(loads: np.ndarray, force: np.ndarray, lies: np.ndarray, bearing: np.ndarray) -> np.ndarray:
    """Middle of loads (stations, c), which lie at the middles of what bears of each cell.

    Under a straight face the pressure falls within a cell as it does from one cell to the next, so the middle lies
    by that much farther off the middle of an even load. Where `bearing` is nothing it is taken as the loads lie.
    """
    middle = (loads * lies).sum(axis=1) / force
    even = (bearing * lies).sum(axis=1) / np.maximum(bearing.sum(axis=1), 1e-12)
    between = (bearing * (lies - even[:, None]) ** 2).sum(axis=1)
    within = (bearing**3).sum(axis=1) / 12
    more = np.divide(within, between, out=np.zeros_like(between), where=between > 1e-9)
    found: np.ndarray = middle + (middle - even) * more
    return found
