"""The edge of a coat where its mask ended, cut through far finer than a map shows."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coursekit.panel import Panel, Section, ramp_width


class EdgeCut(NamedTuple):
    """One edge of the coat: places across it, its film there, and how wide it rises from 10 to 90 %."""

    place: np.ndarray
    film: np.ndarray
    width: float

    @property
    def full(self) -> float:
        return float(self.film[-1])


GIVES = {"place": "outward", "film": "film", "width": "outward", "full": "film"}


def cut(panel: Panel, material: str = "surfacer", which: int = 0) -> EdgeCut:
    """The left edge of a mask, the mean of the middle half of its stations: its ends meet other edges.

    which  0 for the first mask, -1 for the last
    """
    edges: list[Section] = [section for section in panel.sections if section.line.kind == "mask edge"]
    section = [section for section in edges if section.line.name.endswith("left")][which]
    layers = [number for number, layer in enumerate(panel.layers) if layer.material == material]
    stations = section.thickness.shape[1]
    middle = slice(stations // 4, stations - stations // 4)
    film = sum(section.thickness[number][middle] for number in layers).mean(axis=0)
    width = float(np.mean([ramp_width(section, number)[middle].mean() for number in layers[-1:]]))
    return EdgeCut(section.across, film, width)
