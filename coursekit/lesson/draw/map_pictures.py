"""Maps as pictures of a bench: of numbers in colours, and of a computed panel."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from coursekit.figure import Axis, Figure
from coursekit.lesson.draw import colour_maps, panel_maps
from coursekit.lesson.draw.charts import WIDTH
from coursekit.lesson.draw.picture import Picture, both_axes
from coursekit.nomenclature import System
from coursekit.panel import Panel
from coursekit.panel.mirror import Light


@dataclass(frozen=True)
class Map(Picture):
    """One map in colours; it has no room for a pinned one."""

    values: Figure
    x: Axis
    y: Axis
    scale: Axis
    width: int = WIDTH
    table: str = colour_maps.TABLES["film"]

    def markup(self, words: str, system: System) -> str:
        return colour_maps.map_picture(self.values.shown, self.x, self.y, self.scale, self.table, words, self.width)

    def joined(self, pinned: Map) -> Map:
        return replace(self, scale=both_axes(self.scale, pinned.scale))


@dataclass(frozen=True)
class Maps(Picture):
    """Maps of one kind side by side, on the same axes and colours."""

    maps: Sequence[tuple[str, Figure]]
    x: Axis
    y: Axis
    scale: Axis
    width: int = WIDTH
    table: str = colour_maps.TABLES["film"]

    def markup(self, words: str, system: System) -> str:
        coded = [(title, _png(values, self.scale, self.table)) for title, values in self.maps]
        return colour_maps.maps_picture(coded, self.x, self.y, self.scale, self.table, words, self.width)

    def joined(self, pinned: Maps) -> Maps:
        maps = [
            (f"{which}: {title}", values)
            for which, one in (("now", self), ("pinned", pinned))
            for title, values in one.maps
        ]
        x, y, scale = both_axes(self.x, pinned.x), both_axes(self.y, pinned.y), both_axes(self.scale, pinned.scale)
        return replace(self, maps=maps, x=x, y=y, scale=scale)


@dataclass(frozen=True)
class PanelMaps(Picture):
    """A computed panel as it is seen ("what shows", under a light) or a map of it; the pinned one before it, if it is
    not `alone`."""

    panels: Sequence[tuple[str, Panel]]
    view: str
    side: float = 0.0  # of a map that stands alone, or of each where no pinned one joins them
    alone: bool = False
    light: Light | None = None

    def markup(self, words: str, system: System) -> str:
        side = self.side if self.alone or len(self.panels) == 1 else 0.0
        return panel_maps.maps_of(self.panels, self.view, system, words, side, self.light)

    def joined(self, pinned: PanelMaps) -> PanelMaps:
        if self.alone:
            return self
        return replace(self, panels=[*(("pinned", panel) for _, panel in pinned.panels), *self.panels])


_PNGS: dict[tuple[int, Axis, str], tuple[np.ndarray, bytes]] = {}  # coded lately: a pinned map stays as it is


def _png(values: Figure, scale: Axis, table: str) -> bytes:
    place = (id(values.si), scale, table)
    if place not in _PNGS:
        if len(_PNGS) > 8:
            _PNGS.clear()
        coded = colour_maps.map_png(values.shown, scale.low, scale.high, table)
        _PNGS[place] = (values.si, coded)  # held, so that its id stays its own
    return _PNGS[place][1]
