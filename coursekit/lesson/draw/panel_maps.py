"""A computed panel in lessons: as the eye sees it under a light, and maps of its numbers with a colour bar."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from coursekit.drawing import text
from coursekit.figure import Axis
from coursekit.lesson.draw.charts import LEFT, TEXT, broken, width_of
from coursekit.lesson.draw.colour_maps import (
    TABLES,
    ImageAt,
    level_axis,
    map_png,
    mapped,
    maps_picture,
    palette_png,
    upright_axis,
)
from coursekit.markup import Markup, tag
from coursekit.nomenclature import System, names
from coursekit.panel import Panel
from coursekit.panel.mirror import Light, on_top, seen, shade, surfaces
from coursekit.quantities import in_unit, shown
from coursekit.repair.words import spot_words

ENDS = (1e-6, 2e-6, 5e-6, 1e-5, 2e-5, 5e-5, 1e-4, 2e-4, 5e-4, 1e-3, 2e-3, 5e-3)  # m: where a scale may end


POINTS = 1.3  # of the picture for each of the drawing
POWDERED = 0.5  # of guide coat left: the eye sees powder, not what is under it
MOSTLY = 0.9  # of the box of a name lies on what it names
BOLD = 1.1  # as wide as plain


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
}
MAPS = ("what shows", *VIEWS)


def values_of(panel: Panel, view: str) -> np.ndarray:
    """(rows, columns) SI values; nan off the panel."""
    if view == "height":
        surface = panel.surface
        found = surface - np.median(surface[panel.shape.inside])
    elif view in ("surfacer", "clear"):
        found = panel.film(view)
    else:
        found = panel.scratch
    return np.where(panel.shape.inside, found, np.nan)


def maps_of(
    panels: Sequence[tuple[str, Panel]],
    view: str,
    system: System,
    alt: str,
    side: float = 0.0,
    light: Light | None = None,
) -> Markup:
    """The panels side by side, each under its title, on one scale or under one light."""
    shape = panels[0][1].shape
    x, y = (
        Axis(f"{words} ({names()['panel_width'].unit(system)})", 0.0, float(in_unit(size, "panel_width", system)))
        for words, size in zip(("along the panel", "up"), shape.size, strict=True)
    )
    side = side or (360.0 if len(panels) == 1 else 282.0)
    if view == "what shows":
        return _seen(panels, x, y, system, alt, side, light or Light())
    drawn = VIEWS[view]
    found = [values_of(panel, view) for _, panel in panels]
    end = round_end(found, drawn.least)
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


def _seen(
    panels: Sequence[tuple[str, Panel]], x: Axis, y: Axis, system: System, alt: str, side: float, light: Light
) -> Markup:
    left, gap = LEFT, 26.0
    titles = [broken(title, side) for title, _ in panels]
    top = 8.0 + 18 * max(map(len, titles))
    bottom = top + side * (y.high - y.low) / (x.high - x.low)
    width, height = left + len(panels) * (side + gap), bottom + 48
    images, body = [], [upright_axis(y, left, top, bottom)]
    areas: dict[str, list[str]] = {}
    for number, (_, panel) in enumerate(panels):
        begin = left + number * (side + gap)
        picture = seen(panel, light, round(POINTS * side))
        holes = not panel.shape.inside.all()
        png = palette_png(picture.codes, picture.palette.tobytes(), holes)
        images.append(ImageAt(png, alt, (begin, top, side, bottom - top)))
        body += [text(begin, top - 9 - 18 * row, one) for row, one in enumerate(reversed(titles[number]))]
        body.append(level_axis(x, begin, begin + side, top, bottom))
        places = _places(panel, side)
        for name, across, up in places if len(picture.share) > 1 else ():  # one alone is named below, off its image
            at = begin + across * side, bottom - up * (bottom - top) + 5
            body.append(text(*at, name, "middle", class_="ck-on"))
        shares = dict(picture.share)
        if powdered := float((panel.guide_coat > POWDERED)[panel.shape.inside].mean()):
            shares["guide coat"] = powdered  # it lies on what is named beside it
        for name, share in shares.items():
            areas.setdefault(name, ["none"] * len(panels))[number] = _size(share * panel.shape.area, system)
    key = (tag("span", tag("i", style=swatch(name)), f" {name} {' | '.join(sizes)}") for name, sizes in areas.items())
    return mapped(width, height, images, body) + tag("p", *key, class_="ck-key", aria_hidden="true")


def _places(panel: Panel, side: float) -> list[tuple[str, float, float]]:
    """What lies on top and has room for its name on a picture `side` wide, and where that stands: shares of width
    and height. What has no room is named below alone: on a small map a name would cover its own place."""
    names, index = on_top(panel)
    ny, nx = index.shape
    powder = panel.guide_coat > POWDERED
    found = []
    for name, there in [*((one, (index == n) & ~powder) for n, one in enumerate(names)), ("guide coat", powder)]:
        rows, columns = (math.ceil(one * nx / side) for one in (TEXT, BOLD * width_of(name)))
        room = _room(there, rows, columns)
        step = max(min(ny, nx) // 24, 1)
        if (rough := room[::step, ::step]).any():
            row, column = (step * place for place in deepest(rough))
            found.append((name, (column + columns / 2) / nx, (row + rows / 2) / ny))
    return found


def _room(there: np.ndarray, rows: int, columns: int) -> np.ndarray:
    """Whether a box of that many cells lies on an area, by the place of its first corner."""
    count = np.cumsum(np.cumsum(np.pad(there, ((1, 0), (1, 0))), 0, dtype=int), 1)
    within = count[rows:, columns:] - count[:-rows, columns:] - count[rows:, :-columns] + count[:-rows, :-columns]
    return np.asarray(within >= MOSTLY * rows * columns)


def deepest(full: np.ndarray) -> tuple[int, int]:
    """The place that lies farthest from the rim of an area, one of those in the middle."""
    left = np.pad(full, 1)
    depth = left.astype(int)
    while True:
        left = left & np.roll(left, 1, 0) & np.roll(left, -1, 0) & np.roll(left, 1, 1) & np.roll(left, -1, 1)
        if not left.any():
            break
        depth += left
    places = np.argwhere(depth == depth.max())
    row, column = places[len(places) // 2] - 1
    return int(row), int(column)


STRIPES = {
    "plain": "",
    "lines": "repeating-linear-gradient(45deg,transparent 0 4px,#0006 4px 5px),",
    "cross": "repeating-linear-gradient(45deg,transparent 0 6px,#0006 6px 7px),"
    "repeating-linear-gradient(-45deg,transparent 0 6px,#0006 6px 7px),",
    "level": "repeating-linear-gradient(0deg,transparent 0 4px,#0006 4px 5px),",
    "dots": "radial-gradient(circle,#0008 0 1px,transparent 1.5px) 0 0/6px 6px,",
}


def swatch(name: str) -> str:
    """The style of a patch in the colour and pattern of a material."""
    return f"background:{STRIPES[surfaces()[name].pattern]}{shade(name)}"


def _size(area: float, system: System) -> str:
    return spot_words(area, system) if area < 0.2 else shown(area, "area", system, 2)
