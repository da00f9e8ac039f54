"""What one step changed, in a few figures: where it broke through, what film it laid, what hung wet."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from coursekit.panel import Panel, Used, cells_of, ramp_width
from coursekit.panel.looks import LEAST_SEEN, opened
from coursekit.panel.state import SECTION_STEP
from coursekit.repair.condition import (
    OLD_PAINT,
    Film,
    film_of,
    lowest_on_lines,
    meant_on_top,
    on_top,
    plain,
)
from coursekit.repair.steps import Spray, Step, Unmask

LEAST_OPENED = 10e-3  # m of a line: less is told by nobody (assumed)


class Opened(NamedTuple):
    """A body line or an edge that went through: m of its length and the share, through what, to what."""

    length: float
    share: float
    through: str
    to: str


class Change(NamedTuple):
    """Figures of one step.

    broken  (from, to) → m²   where sanding went through one material and another shows now
    lines   name → Opened     body lines and edges that went through, finer than the cells
    laid    Film              of a spraying step, over the open area
    missed  share             of the open area that got less than half of the mean film
    glossy  share             of the open area that was old paint without a scratch to hold on to
    edge    (film, width) m   the hardest edge that a mask left: its film, and the width over which it rises
    """

    broken: Mapping[tuple[str, str], float]
    lines: Mapping[str, Opened]
    laid: Film
    missed: float
    glossy: float
    edge: tuple[float, float] | None = None


NONE = Change({}, {}, Film(0.0, 0.0, 0.0), 0.0, 0.0)


def change_of(step: Step, before: Panel, after: Panel, used: Used) -> Change:
    """The figures of a step from the panels before and after it."""
    if used.removed:
        return NONE._replace(broken=_broken(before, after), lines=_lines(before, after))
    if isinstance(step, Spray):
        laid = after.film(step.material) - before.film(step.material)
        where = cells_of(after, step.area) & (after.mask < 0.5)
        here = laid[where]
        if not len(here):
            return NONE
        low = np.count_nonzero(here < 0.5 * here.mean()) / len(here)
        top = on_top(before)
        old = np.array([layer.material in OLD_PAINT for layer in before.layers])
        glossy = np.count_nonzero(where & old[top] & (before.scratch <= 0)) / len(here)
        return NONE._replace(laid=film_of(here), missed=float(low), glossy=float(glossy))
    if isinstance(step, Unmask):
        return NONE._replace(edge=_edge(before))
    return NONE


def _edge(panel: Panel) -> tuple[float, float] | None:
    hardest = None
    for section in panel.sections:
        film = float((section.thickness[-1][:, -1] - section.thickness[-1][:, 0]).mean())
        if section.line.kind != "mask edge" or film <= LEAST_SEEN or section.share.min() >= 1:
            continue
        width = max(float(ramp_width(section).mean()), SECTION_STEP)
        if hardest is None or width / film < hardest[1] / hardest[0]:
            hardest = film, width
    return hardest


def _broken(before: Panel, after: Panel) -> dict[tuple[str, str], float]:
    was = meant_on_top(before)
    if not (meant_on_top(after) < was).any():
        return {}
    names = [plain(layer.material) for layer in after.layers]
    found: dict[tuple[str, str], float] = {}
    for through in dict.fromkeys(names[1:]):
        layers = [number for number, name in enumerate(names) if name == through]
        covered = np.isin(was, layers)
        if not covered.any():
            continue
        share, under = opened(before, after, layers, covered)
        for number, area in enumerate(np.bincount(under.ravel(), share.ravel(), len(names)) * after.cell_area):
            if area and names[number] != through:
                to = through, names[number]
                found[to] = found.get(to, 0.0) + float(area)
    return found


def _lines(before: Panel, after: Panel) -> dict[str, Opened]:
    """Body lines and edges that opened, though the cells beside them may not show it; to the deepest that shows."""
    found = {}
    for old, new in zip(before.sections, after.sections, strict=True):
        if old is new or old.line.kind == "mask edge":
            continue
        was, now = lowest_on_lines(before, old), lowest_on_lines(after, new)
        names = [plain(layer.material) for layer in before.layers]
        opened = [(low, top) for top, low in zip(was, now, strict=True) if low < top and names[low] != names[top]]
        length = old.line.length * len(opened) / len(was)
        if length > LEAST_OPENED:
            deepest, top = min(opened)
            found[old.line.name] = Opened(length, len(opened) / len(was), names[top], names[deepest])
    return found
