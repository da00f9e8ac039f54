"""Maps of a computed panel for lessons: what shows as shades with their names, numbers with a colour bar."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from coursekit.drawing import rect, text
from coursekit.figure import Axis
from coursekit.lesson.draw.charts import INK, LEFT
from coursekit.lesson.draw.colour_maps import (
    TABLES,
    ImageAt,
    colours,
    level_axis,
    map_png,
    mapped,
    maps_picture,
    upright_axis,
)
from coursekit.markup import Markup
from coursekit.nomenclature import System, names
from coursekit.panel import Panel
from coursekit.quantities import in_unit, shown
from coursekit.repair.condition import on_top, plain
from coursekit.repair.words import spot_words

# Shades from dark to light, so that what may lie side by side differs in a grey print too.
SHADES = {
    "bare metal": 0.0,
    "bare plastic": 0.0,
    "epoxy primer": 0.18,
    "old paint": 0.34,
    "base": 0.5,
    "surfacer": 0.66,
    "clear": 0.8,
    "filler": 1.0,
}
ENDS = (1e-6, 2e-6, 5e-6, 1e-5, 2e-5, 5e-5, 1e-4, 2e-4, 5e-4, 1e-3, 2e-3, 5e-3)  # m: where a scale may end


class View(NamedTuple):
    """How one thing of the panel is drawn: its row of the nomenclature, what it is called, its colours."""

    name: str
    words: str
    table: str
    least: float  # the scale never ends below: it stays put while little happens


VIEWS = {
    "surfacer": View("film", "surfacer", TABLES["film"], 1e-4),
    "clear": View("film", "clear", TABLES["film"], 5e-5),
    "height": View("amplitude", "height over the old paint", TABLES["height"], 2e-5),
    "scratch": View("scratch_depth", "scratch", TABLES["scratch"], 2e-6),
    "guide coat": View("remaining", "guide coat left", "cividis_r", 1.0),  # it is dark: where it is left the map is
}


def values_of(panel: Panel, view: str) -> np.ndarray:
    """(rows, columns) SI values; nan off the panel."""
    if view == "what shows":
        shades = np.array([SHADES[plain(layer.material)] for layer in panel.layers] + [np.nan])
        result: np.ndarray = shades[on_top(panel)]
        return result
    if view == "height":
        surface = panel.surface
        found = surface - np.median(surface[panel.shape.inside])
    elif view in ("surfacer", "clear"):
        found = panel.film(view)
    else:
        found = {"scratch": panel.scratch, "guide coat": panel.guide_coat}[view]
    return np.where(panel.shape.inside, found, np.nan)


def maps_of(panels: Sequence[tuple[str, Panel]], view: str, system: System, alt: str, side: float = 0.0) -> Markup:
    """The panels side by side, each under its title, on one scale."""
    shape = panels[0][1].shape
    x, y = (
        Axis(f"{words} ({names()['panel_width'].unit(system)})", 0.0, float(in_unit(size, "panel_width", system)))
        for words, size in zip(("along the panel", "up"), shape.size, strict=True)
    )
    side = side or (360.0 if len(panels) == 1 else 282.0)
    if view == "what shows":
        return _shown(panels, x, y, system, alt, side)
    drawn = VIEWS[view]
    found = [values_of(panel, view) for _, panel in panels]
    end = 1.0 if view == "guide coat" else round_end(found, drawn.least)
    unit = names()[drawn.name].unit(system)
    low, high = (float(in_unit(edge, drawn.name, system)) for edge in (-end if view == "height" else 0.0, end))
    pngs = [
        (title, map_png(in_unit(values, drawn.name, system), low, high, drawn.table))
        for (title, _), values in zip(panels, found, strict=True)
    ]
    width = round(LEFT + len(panels) * (side + 26) + 96)
    return maps_picture(pngs, x, y, Axis(f"{drawn.words} ({unit})", low, high), drawn.table, alt, width, side)


def round_end(found: Sequence[np.ndarray], least: float) -> float:
    """A round end that holds all but the largest hundredth of the values."""
    most = max(float(np.nanpercentile(np.abs(values), 99)) for values in found)
    return next((end for end in ENDS if end >= max(most, least)), ENDS[-1])


def _shown(panels: Sequence[tuple[str, Panel]], x: Axis, y: Axis, system: System, alt: str, side: float) -> Markup:
    left, top, gap = LEFT, 26.0, 26.0
    bottom = top + side * (y.high - y.low) / (x.high - x.low)
    bar = left + len(panels) * (side + gap)
    images, body = [], [upright_axis(y, left, top, bottom)]
    areas: dict[str, list[float]] = {}
    for number, (title, panel) in enumerate(panels):
        begin = left + number * (side + gap)
        png = map_png(values_of(panel, "what shows"), 0.0, 1.0, TABLES["film"])
        images.append(ImageAt(png, alt, (begin, top, side, bottom - top)))
        body += [text(begin, top - 9, title), level_axis(x, begin, begin + side, top, bottom)]
        for layer, count in zip(panel.layers, _counts(panel), strict=True):
            here = areas.setdefault(plain(layer.material), [0.0] * len(panels))
            here[number] += count * panel.cell_area
    there = sorted((name for name, sizes in areas.items() if any(sizes)), key=lambda name: -SHADES[name])
    for number, name in enumerate(there):
        at, sizes = top + 8 + 46 * number, areas[name]
        red, green, blue = colours(TABLES["film"])[round(SHADES[name] * 254)]
        body.append(rect(bar, at, 22, 22, fill=f"rgb({red},{green},{blue})", **INK))
        body.append(text(bar + 30, at + 11, name))
        body.append(text(bar + 30, at + 28, " | ".join(_size(one, system) for one in sizes)))
    return mapped(bar + 190, bottom + 48, images, body)


def _size(area: float, system: System) -> str:
    return spot_words(area, system) if area < 0.2 else shown(area, "area", system, 2)


def _counts(panel: Panel) -> np.ndarray:
    top = on_top(panel)
    counts: np.ndarray = np.bincount(top[top >= 0].astype(int), minlength=len(panel.layers))
    return counts
