"""What sanding does across a body line, an edge or a mask's edge, finer than the grid.

The grid knows how much work falls on the cells beside a line; it cannot know that the ridge or the rim of the
fold takes the surplus on a strip of a millimetre or two. There the pressure of an elastic backing on a ridge of
radius r stands over a width 2·√(2·r·δ), δ = [3·q / (4·k·√(2·r))]^(2/3) for a line load q (derived: parabola of
contact on an elastic foundation).
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache

import numpy as np

from coursekit.panel.stack import Stack
from coursekit.panel.state import SECTION_STEP, Panel, Section, frozen

LEAST_BESIDE = 3  # cells beside a line that are looked at
NEAR = 1.5  # cells to each side of a line whose surplus belongs to it


def cut_sections(panel: Panel, work: np.ndarray, rates: np.ndarray, sliding: float, backing: float
                 ) -> tuple[Section, ...]:  # fmt: skip
    """Every section after the grid has been given that work (pressure × sliding, Pa·m)."""
    return tuple(_cut(panel, section, work, rates, sliding, backing) for section in panel.sections)


def _cut(panel: Panel, section: Section, work: np.ndarray, rates: np.ndarray, sliding: float,
         backing: float) -> Section:  # fmt: skip
    cell = panel.cell
    reach = max(math.ceil(-section.across[0] / cell), LEAST_BESIDE)
    steps = (np.arange(-reach, 1 if section.line.kind == "edge" else reach + 1) + 0.0) * cell
    if section.line.kind == "edge":
        steps = steps - cell / 2
    points = section.line.points[:, None] + steps[:, None] * section.line.normals[:, None]
    beside = _at(work, points / cell - 0.5)
    if not beside.any():
        return section
    stack = Stack(section.thickness, rates)
    stack.cut(spread(section, steps, beside, cell, sliding, backing))
    return replace(section, thickness=frozen(stack.thickness()))


def _at(work: np.ndarray, places: np.ndarray) -> np.ndarray:
    """Values between the cells, x and y counted in cells from the middle of the first: a line may lie on a border."""
    ny, nx = work.shape
    low = np.floor(places).astype(int)
    x, y = np.moveaxis(places - low, -1, 0)
    found = np.zeros(places.shape[:-1])
    for right, share_x in ((0, 1 - x), (1, x)):
        columns = np.clip(low[..., 0] + right, 0, nx - 1)
        for up, share_y in ((0, 1 - y), (1, y)):
            found += share_x * share_y * work[np.clip(low[..., 1] + up, 0, ny - 1), columns]
    return found


@lru_cache(maxsize=32)
def _between(steps: tuple[float, ...], first: float, count: int) -> np.ndarray:
    """Linear interpolation from the middles of cells to the section, as a matrix (cells, n)."""
    across = first + np.arange(count) * SECTION_STEP
    return np.array([np.interp(across, steps, one) for one in np.eye(len(steps))])


def spread(section: Section, steps: np.ndarray, beside: np.ndarray, cell: float, sliding: float,
           backing: float) -> np.ndarray:  # fmt: skip
    """Work (stations, n) across a line from that of the cells beside it (stations, cells at `steps`)."""
    line, across = section.line, section.across
    near = np.abs(steps) <= NEAR * cell
    level = beside.copy()
    surplus = np.zeros(len(beside))
    if line.kind != "mask edge":
        far = beside[:, ~near]
        flank = far[:, -2:].mean(axis=1) if line.kind == "edge" else far.mean(axis=1)
        level[:, near] = np.minimum(beside[:, near], flank[:, None])
        surplus = (beside[:, near] - level[:, near]).sum(axis=1) * cell
    fine = level @ _between(tuple(steps), float(across[0]), len(across))
    if not surplus.any():
        return fine
    middle = -line.radius if line.kind == "edge" else 0.0
    load = surplus / max(sliding, 1e-9)
    deep = (0.75 * load / (backing * np.sqrt(2 * line.radius))) ** (2 / 3)
    half = np.sqrt(2 * line.radius * deep) + line.radius * line.turn / 2
    strip = np.maximum(1 - ((across - middle) / np.maximum(half, 2e-4)[:, None]) ** 2, 0)
    whole = strip.sum(axis=1, keepdims=True) * (across[1] - across[0])
    return fine + strip / np.maximum(whole, 1e-30) * surplus[:, None]
