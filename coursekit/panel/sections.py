"""What sanding does across a body line, an edge or a mask's edge, finer than the grid.

The grid knows with which force, and how far off the line, a block bears on the few cells beside it; it cannot know
that a ridge or the shoulder of a fold takes that force on a strip of a millimetre or two. So at every visit the
section itself is pressed: a straight face on the same backing lies on its profile, film and all, carries the force
that the grid gives it and lies so that the middle of its pressure is the grid's. As the ridge wears, the strip
grows.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from coursekit.panel.contact import Faces, Press, settled
from coursekit.panel.stack import Stack
from coursekit.panel.state import SECTION_STEP, Panel, Section, frozen

COMPARED = 4  # visits, of whose mean the next one strays
FIRST_TOUCH = 3e-3  # m of a section where the search for its contact begins


class Visit(NamedTuple):
    """One visit of the block as the sections see it.

    laid       on the region
    flipped    the lattice's rows are the region's columns
    crown      1/m  along x and y, of the sheet over the face
    stiffness  Pa/m by layer, wear during the visit included
    step       m    of sliding
    """

    laid: Press
    flipped: bool
    crown: tuple[float, float]
    stiffness: np.ndarray
    step: float


class Sections:
    """The sections of a panel that lie in a window of it, while it is being sanded."""

    def __init__(self, panel: Panel, window: tuple[slice, slice], rates: np.ndarray) -> None:
        self.panel, self.rates = panel, rates
        beside = [_Beside(panel, section, window) for section in panel.sections]
        self.reached = [
            each for each in zip(range(len(beside)), panel.sections, beside, strict=True) if each[2].bears.any()
        ]
        self.strips: list[_Strip] = []

    def cut(self, visit: Visit) -> float:
        """What falls on the cells beside the lines, spread over the sections.

        Gives by how much the cut, per sliding, strayed from the visits before: at the worst point of a section, the
        root mean square over the sections.
        """
        if not any(visit.laid.pressure[beside.rows, beside.columns].any() for *_, beside in self.reached):
            return 0.0
        if not self.strips:
            self.strips = [_Strip(same, self.rates) for same in _alike(self.reached)]
        return max(strip.cut(visit) for strip in self.strips)

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
        steps = self.ends[0] + (np.arange(count) + 0.5) / count * (self.ends[1] - self.ends[0])
        places = self.line.points[:, None] + steps[:, None] * self.line.normals[:, None]
        columns, rows = np.moveaxis(np.floor(places / self.cell + 1e-6).astype(int) - self.first, -1, 0)
        on = (rows >= 0) & (rows < self.free.shape[0]) & (columns >= 0) & (columns < self.free.shape[1])
        self.rows, self.columns = (
            np.clip(at, 0, size - 1) for at, size in zip((rows, columns), self.free.shape, strict=True)
        )
        self.bears = on & self.free[self.rows, self.columns]
        if self.line.kind == "edge" and count > 1:  # a curved rim in steps: the next cell inwards
            off = ~self.bears[:, -1]
            for cells in (self.rows, self.columns, self.bears):
                cells[off, -1] = cells[off, -2]

    def lies(self) -> np.ndarray:
        """Where the middles of the cells lie across the line, −1 to 1 over the section."""
        off = (np.stack([self.columns, self.rows], axis=-1) + self.first + 0.5) * self.cell
        off -= self.line.points[:, None]
        half = (self.ends[1] - self.ends[0]) / 2
        places = ((off * self.line.normals[:, None]).sum(axis=-1) - self.ends[0]) / half - 1
        found: np.ndarray = np.clip(places, -0.95, 0.95)
        return found


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
        self.numbers, self.sections, self.beside = zip(*numbered, strict=True)
        self.visits = 0
        self.across = self.sections[0].across
        self.local = (2 * np.arange(len(self.across)) + 1) / len(self.across) - 1
        self.normals = np.concatenate([section.line.normals for section in self.sections])
        thickness = np.concatenate([section.thickness for section in self.sections], axis=1)
        self.stack = Stack(thickness, rates)
        profiles = [np.broadcast_to(section.profile, section.thickness.shape[1:]) for section in self.sections]
        self.height = np.concatenate(profiles) + thickness.sum(axis=0)
        self.mean = np.zeros(self.height.shape)
        self.rows, self.columns, self.bears = (
            np.concatenate([getattr(beside, name) for beside in self.beside]) for name in ("rows", "columns", "bears")
        )
        self.lies = np.concatenate([beside.lies() for beside in self.beside])
        self.points = len(self.across) / self.rows.shape[1]  # for each cell
        self.cell_of = (np.arange(len(self.across)) / self.points).astype(int)

    def cut(self, visit: Visit) -> float:
        """See `Sections.cut`."""
        found = [each[self.rows, self.columns] * self.bears for each in visit.laid.each]
        bears = [np.flatnonzero(each.any(axis=1)) for each in found]
        if not any(map(len, bears)):
            return 0.0
        self.visits += 1
        blocks = []
        for lattice, stations in zip(visit.laid.lattices, bears, strict=True):
            at = self.rows[stations], self.columns[stations]
            blocks.append(lattice.block_at(*(at[::-1] if visit.flipped else at)))
        stations, block = np.concatenate(bears), np.concatenate(blocks)
        load = np.concatenate([each[at] for each, at in zip(found, bears, strict=True)])
        # A section lies under one block, or under two that meet on it: each presses it by itself.
        apart = block != block[:, :1]
        two = np.flatnonzero(apart.any(axis=1))
        here, under = np.concatenate([stations, stations[two]]), np.concatenate([~apart, apart[two]])
        loads = np.concatenate([load, load[two]]) * under
        some = loads.any(axis=1)
        here, under, loads = here[some], under[some], loads[some]
        can = (under & self.bears[here])[:, self.cell_of]
        spread = self._pressed(here, loads, can, visit)
        whole = spread.sum(axis=1, keepdims=True)
        spread *= np.divide(
            loads.sum(axis=1, keepdims=True) * self.points, whole, out=np.zeros_like(whole), where=whole > 0
        )
        pressure = np.zeros(self.height.shape)
        order = np.argsort(here, kind="stable")
        first = np.flatnonzero(np.diff(here[order], prepend=-1))
        pressure[here[order[first]]] = np.add.reduceat(spread[order], first, axis=0) / len(found)
        off = (self.stack.rate * (pressure - self.mean)).max(axis=1)
        strays = math.sqrt(float((off**2).sum()) / max(int(np.count_nonzero(off)), 1))
        self.mean += (pressure - self.mean) / min(self.visits, COMPARED)
        self.height -= self.stack.cut(pressure * visit.step)
        return strays

    def _pressed(self, here: np.ndarray, loads: np.ndarray, can: np.ndarray, visit: Visit) -> np.ndarray:
        """Pressures (stations, n): the force where it is on the line, and the middle, of loads (stations, c)."""
        height = self.height[here] - 0.5 * (self.normals[here] ** 2 @ visit.crown)[:, None] * self.across**2
        springs = visit.stiffness[self.stack.top[here]] * can
        borne = loads.sum(axis=1)
        middle = (loads * self.lies[here]).sum(axis=1) / borne
        force = borne * self.points
        faces = Faces(self.local, np.zeros(1), force, force * middle)
        close = springs * (np.abs(self.local - middle[:, None]) * len(self.local) < FIRST_TOUCH / SECTION_STEP)
        alone = ~close.any(axis=1)
        close[alone] = springs[alone]
        gap = settled(faces, height[None], springs[None], close[None])[0]
        found: np.ndarray = springs * np.maximum(gap, 0)
        return found

    def now(self) -> Iterator[tuple[int, Section]]:
        """Those that were cut, by number."""
        if not self.visits:
            return
        thickness, first = self.stack.thickness(), 0
        for number, section in zip(self.numbers, self.sections, strict=True):
            last = first + len(section.line.points)
            yield number, replace(section, thickness=frozen(thickness[:, first:last].copy()))
            first = last
