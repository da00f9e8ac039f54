"""What sanding does across a body line, an edge or a mask's edge, finer than the grid.

The grid knows with which force, and how far off the line, a block bears on the few cells beside it; it cannot know
that a ridge or the shoulder of a fold takes that force on a strip of a millimetre or two. So at every visit the
section itself is pressed: a straight face on the same backing lies on its profile, film and all, carries the force
that the grid gives it and lies so that the middle of its pressure is the grid's. As the ridge wears, the strip
grows.

A visit stands for all the places on the way to the next one. A stiff block that rides a ridge bears on a small
patch, which moves along the line with the block, and across it as far as the line bears the block: what the
patch leaves is spread over that way.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from coursekit.panel.contact import Faces, Press, settled
from coursekit.panel.shapes import STATION_PITCH
from coursekit.panel.stack import Stack
from coursekit.panel.state import SECTION_STEP, Panel, Section, frozen
from coursekit.panel.tools import Tool

SEEN_ACROSS = 5e-3  # m apart, across a line: places of the block that tell the load on it
FIRST_TOUCH = 3e-3  # m of a section where the search for its contact begins
CARRIED_ALONG = 4  # power of the share of a block's force on a line by which the patch moves across it (assumed)


class Visit(NamedTuple):
    """One visit of the block as the sections see it.

    laid       on the region
    flipped    the lattice's rows are the region's columns
    places     of the lattice in all
    crown      1/m  along x and y, of the sheet over the face
    stiffness  Pa/m by layer, wear during the visit included
    step       m    of sliding
    ways       of the way along x and along y that the visit stands for, over the mean
    """

    laid: Press
    flipped: bool
    places: int
    crown: tuple[float, float]
    stiffness: np.ndarray
    step: float
    ways: np.ndarray


class Sections:
    """The sections of a panel that lie in a window of it, while it is being sanded."""

    def __init__(self, panel: Panel, window: tuple[slice, slice], rates: np.ndarray, tool: Tool) -> None:
        self.panel, self.rates, self.tool = panel, rates, tool
        self.near = np.zeros([axis.stop - axis.start for axis in window])
        beside = [_Beside(panel, section, window) for section in panel.sections]
        self.reached = [each for each in zip(range(len(beside)), panel.sections, beside, strict=True)
                        if each[2].bears.any()]  # fmt: skip
        self.strips: list[_Strip] = []

    def cut(self, visit: Visit) -> None:
        """What falls on the cells beside the lines, spread over the sections."""
        if not any(visit.laid.pressure[beside.rows, beside.columns].any() for *_, beside in self.reached):
            return
        if not self.strips:
            self.strips = [_Strip(same, self.rates, self.tool) for same in _alike(self.reached)]
            for *_, beside in self.reached:
                beside.mark(self.near)
        lattice, flip = visit.laid.lattice, np.transpose if visit.flipped else np.asarray
        borne = lattice.gathered(flip(visit.laid.pressure * self.near)).sum(axis=(0, 2)) * lattice.cell**2
        even = lattice.gathered(flip(self.near)).mean(axis=(0, 2))  # what lies there of a force that is spread evenly
        share = np.zeros(lattice.forces.shape)
        more = (borne / lattice.force - even) / np.maximum(1 - even, 1e-9)
        share[lattice.at] = np.clip(more, 0, 1) ** CARRIED_ALONG
        for strip in self.strips:
            strip.cut(visit, share.ravel())

    def now(self) -> tuple[Section, ...]:
        """All sections of the panel as they are now."""
        new = {number: section for strip in self.strips for number, section in strip.now()}
        return tuple(new.get(number, section) for number, section in enumerate(self.panel.sections))


class _Beside:
    """Cells of the window beside the stations of a section: arrays (stations, c)."""

    def __init__(self, panel: Panel, section: Section, window: tuple[slice, slice]) -> None:
        self.line, self.cell = section.line, panel.cell
        self.first = np.array([window[1].start, window[0].start])
        self.free = (panel.shape.inside & (panel.mask < 0.5))[window]
        self.ends = section.across[0] - SECTION_STEP / 2, section.across[-1] + SECTION_STEP / 2
        count = max(1, round((self.ends[1] - self.ends[0]) / panel.cell))
        self.steps = self.ends[0] + (np.arange(count) + 0.5) / count * (self.ends[1] - self.ends[0])
        self.rows, self.columns, self.bears = (found[0] for found in self.at(np.zeros(1)))

    def at(self, along: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Rows, columns (k, stations, c), so far along the line (k,) m, and whether they can bear."""
        points, normals = self.line.points, self.line.normals
        tangents = np.stack([-normals[:, 1], normals[:, 0]], axis=1)
        across = points[:, None] + self.steps[:, None] * normals[:, None]
        places = across + (along[:, None, None] * tangents)[:, :, None]
        columns, rows = np.moveaxis(np.floor(places / self.cell + 1e-6).astype(int) - self.first, -1, 0)
        on = (rows >= 0) & (rows < self.free.shape[0]) & (columns >= 0) & (columns < self.free.shape[1])
        rows, columns = np.clip(rows, 0, self.free.shape[0] - 1), np.clip(columns, 0, self.free.shape[1] - 1)
        bears = on & self.free[rows, columns]
        if self.line.kind == "edge" and len(self.steps) > 1:  # a curved rim in steps: the next cell inwards
            off = ~bears[..., -1]
            for cells in (rows, columns, bears):
                cells[off, -1] = cells[off, -2]
        return rows, columns, bears

    def lies(self) -> np.ndarray:
        """Where the middles of the cells lie across the line, −1 to 1 over the section."""
        off = (np.stack([self.columns, self.rows], axis=-1) + self.first + 0.5) * self.cell
        off -= self.line.points[:, None]
        half = (self.ends[1] - self.ends[0]) / 2
        places = ((off * self.line.normals[:, None]).sum(axis=-1) - self.ends[0]) / half - 1
        return np.clip(places, -0.95, 0.95)

    def mark(self, near: np.ndarray) -> None:
        """Mark the cells, from one station to the next."""
        rows, columns, bears = self.at(np.arange(-STATION_PITCH / 2, STATION_PITCH / 2, self.cell))
        near[rows[bears], columns[bears]] = 1


Numbered = list[tuple[int, Section, _Beside]]


def _alike(sections: Numbered) -> list[Numbered]:
    """Sections with the same points across: they are pressed together."""
    found: dict[tuple[float, int], Numbered] = {}
    for each in sections:
        found.setdefault((float(each[1].across[0]), len(each[1].across)), []).append(each)
    return list(found.values())


class _Strip:
    """Sections with the same n points across, over c cells of the grid: arrays (stations, n) and (stations, c)."""

    def __init__(self, numbered: Numbered, rates: np.ndarray, tool: Tool) -> None:
        self.numbers, self.sections, self.beside = zip(*numbered, strict=True)
        self.tool, self.touched = tool, False
        self.across = self.sections[0].across
        self.local = (2 * np.arange(len(self.across)) + 1) / len(self.across) - 1
        self.normals = np.concatenate([section.line.normals for section in self.sections])
        self.ridges = np.concatenate([np.full(len(section.line.points), section.line.kind == "body line")
                                      for section in self.sections])  # fmt: skip
        thickness = np.concatenate([section.thickness for section in self.sections], axis=1)
        self.stack = Stack(thickness, rates)
        profiles = [np.broadcast_to(section.profile, section.thickness.shape[1:]) for section in self.sections]
        self.height = np.concatenate(profiles) + thickness.sum(axis=0)
        self.rows, self.columns, self.bears = (found[0] for found in self._at(np.zeros(1)))
        self.lies = np.concatenate([beside.lies() for beside in self.beside])
        self.points = len(self.across) / self.rows.shape[1]  # for each cell
        self.cell_of = (np.arange(len(self.across)) / self.points).astype(int)
        self.ways: dict[tuple[bool, int], tuple[np.ndarray, np.ndarray, np.ndarray]] = {}

    def _at(self, along: np.ndarray) -> list[np.ndarray]:
        found = zip(*(beside.at(along) for beside in self.beside), strict=True)
        return [np.concatenate(part, axis=1) for part in found]

    def _way(self, flipped: bool, places: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Cells (k, stations, c) on the way that a visit stands for, whether they bear, and its points across."""
        if (flipped, places) not in self.ways:
            size = np.array([self.tool.length, self.tool.width][:: -1 if flipped else 1])
            across = np.abs(self.normals) @ size
            along = float((np.abs(self.normals[:, ::-1]) @ size).mean())
            cell = self.beside[0].cell
            most = math.floor(min(1.0, float(across.mean()) / (places * SEEN_ACROSS)) * along / 2 / cell)
            rows, columns, bears = self._at(np.arange(-most, most + 1) * cell)
            cells = rows * self.beside[0].free.shape[1] + columns
            self.ways[flipped, places] = cells, bears, across / places / SECTION_STEP
        return self.ways[flipped, places]

    def cut(self, visit: Visit, share: np.ndarray) -> None:
        """See `Sections.cut`; share (blocks,) by which the patch under each block goes with it across a line."""
        cells, bears, across = self._way(visit.flipped, visit.places)
        found = visit.laid.pressure.take(cells) * bears
        stations = np.flatnonzero(found.any(axis=(0, 2)))
        if not len(stations):
            return
        self.touched = True
        ways = np.maximum(bears.any(axis=2).sum(axis=0), 1)
        at = self.rows[stations], self.columns[stations]
        blocks = visit.laid.lattice.block_at(*(at[::-1] if visit.flipped else at))
        # A section lies under one block, or under two that meet on it: each presses it by itself.
        apart = blocks != blocks[:, :1]
        two = np.flatnonzero(apart.any(axis=1))
        here, under = np.concatenate([stations, stations[two]]), np.concatenate([~apart, apart[two]])
        loads = found[:, here] * under
        some = loads.any(axis=(0, 2))
        here, under, loads = here[some], under[some], loads[:, some]
        can = (under & self.bears[here])[:, self.cell_of]
        spread = self._pressed(here, loads, can, visit)
        if self.ridges.any():
            block = np.where(under, np.concatenate([blocks, blocks[two]])[some], 0).max(axis=1)
            spread = _smeared(spread, across[here] * share[block] * self.ridges[here]) * can
        whole = spread.sum(axis=1, keepdims=True)
        mean = loads.sum(axis=(0, 2)) * self.points / ways[here]
        spread *= np.divide(mean[:, None], whole, out=np.zeros_like(whole), where=whole > 0)
        work = np.zeros(self.height.shape)
        np.add.at(work, here, spread)
        way = self.normals**2 @ visit.ways * visit.step
        self.height -= self.stack.cut(work * way[:, None])

    def _pressed(self, here: np.ndarray, loads: np.ndarray, can: np.ndarray, visit: Visit) -> np.ndarray:
        """Pressures (stations, n): the force where it is on the line, and the middle, of loads (k, stations, c)."""
        height = self.height[here] - 0.5 * (self.normals[here] ** 2 @ visit.crown)[:, None] * self.across**2
        springs = visit.stiffness[self.stack.top[here]] * can
        each = loads.sum(axis=2)
        middle = (loads.sum(axis=0) * self.lies[here]).sum(axis=1) / each.sum(axis=0)
        force = (each**2).sum(axis=0) / each.sum(axis=0) * self.points
        faces = Faces(self.local, np.zeros(1), force, force * middle)
        close = springs * (np.abs(self.local - middle[:, None]) * len(self.local) < FIRST_TOUCH / SECTION_STEP)
        alone = ~close.any(axis=1)
        close[alone] = springs[alone]
        gap = settled(faces, height[None], springs[None], close[None])[0]
        found: np.ndarray = springs * np.maximum(gap, 0)
        return found

    def now(self) -> Iterator[tuple[int, Section]]:
        """Those that were cut, by number."""
        if not self.touched:
            return
        thickness, first = self.stack.thickness(), 0
        for number, section in zip(self.numbers, self.sections, strict=True):
            last = first + len(section.line.points)
            yield number, replace(section, thickness=frozen(thickness[:, first:last].copy()))
            first = last


def _smeared(pressure: np.ndarray, width: np.ndarray) -> np.ndarray:
    """Mean over so many points (sections,) of each row."""
    n = pressure.shape[1]
    sums = np.pad(np.cumsum(pressure, axis=1), ((0, 0), (1, 0)))
    half = np.maximum(width, 1)[:, None] / 2
    upto = []
    for side in (-half, half):
        ends = np.clip(np.arange(n) + 0.5 + side, 0, n)
        below = np.minimum(ends.astype(int), n - 1)
        low, high = np.take_along_axis(sums, below, 1), np.take_along_axis(sums, below + 1, 1)
        upto.append(low + (high - low) * (ends - below))
    return np.maximum(upto[1] - upto[0], 0)
