"""Maps in colour: numbers → a palette PNG → an `<img>` inside SVG axes. The only file that uses matplotlib."""

from __future__ import annotations

import base64
import functools
import io
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from PIL import Image

from coursekit import drawing
from coursekit.drawing import path, rect, text
from coursekit.figure import Axis
from coursekit.lesson.draw.charts import INK, LEFT, OUTLINE, TEXT, WIDTH, clear_ticks, narrowest, ticks, upright_label
from coursekit.markup import Markup, tag, together

NOTHING = 255  # the last place of the table: see-through, for cells that are not there (nan)
# One table per kind of quantity, the same in every lesson; all of them can be told apart by colour-blind eyes.
TABLES = {"film": "cividis", "scratch": "viridis", "height": "berlin", "amount": "cividis", "change": "vanimo"}
TICK = 19.0  # px that a number on an upright axis takes


@functools.lru_cache(maxsize=16)
def colours(table: str) -> np.ndarray:
    """(255, 3) bytes of a named colour table."""
    import matplotlib  # no sooner than a map is drawn: an eighth of what a lesson takes to start

    colours: np.ndarray = matplotlib.colormaps[table](np.linspace(0, 1, NOTHING), bytes=True)[:, :3]
    return colours


def map_png(values: np.ndarray, low: float, high: float, table: str = "cividis") -> bytes:
    """(rows, columns) numbers as a PNG; row 0 lies at the bottom, nan is see-through."""
    scaled = np.asarray(values, dtype=float) - low
    scaled *= (NOTHING - 1) / ((high - low) or 1)
    whole = bool(np.isfinite(scaled.sum()))  # one look instead of one a cell
    here = True if whole else np.isfinite(scaled)
    np.clip(scaled, 0, NOTHING - 1, out=scaled)
    places = (scaled if whole else np.where(here, scaled, NOTHING)).astype(np.uint8)[::-1]
    return palette_png(places, colours(table).tobytes() + b"\x80\x80\x80", not whole)


def palette_png(codes: np.ndarray, palette: bytes, holes: bool) -> bytes:
    """Numbers of colours (rows, columns), the first row at the top, as a PNG; with holes the last is see-through."""
    image = Image.frombytes("P", (codes.shape[1], codes.shape[0]), codes.tobytes())
    image.putpalette(palette)
    file = io.BytesIO()
    image.save(file, "PNG", compress_level=1, **({"transparency": NOTHING} if holes else {}))
    return file.getvalue()


def map_picture(
    values: np.ndarray, x: Axis, y: Axis, scale: Axis, table: str = "cividis", alt: str = "", width: int = WIDTH
) -> Markup:
    """A map with its axes and colour bar. `scale` says what the colours mean and where they begin and end."""
    rows, columns = np.shape(values)
    left, top, right = LEFT, 10.0, width - 96.0
    tall = (right - left) * ((y.high - y.low) / (x.high - x.low) if x.high > x.low else rows / columns)
    bottom = top + min(max(tall, 120.0), 420.0)
    around = _around(x, y, scale, table, left, top, right, bottom, width)
    place = (left, top, right - left, bottom - top)
    return mapped(width, bottom + 50, [ImageAt(map_png(values, scale.low, scale.high, table), alt, place)], [around])


def maps_picture(
    maps: Sequence[tuple[str, bytes]],
    x: Axis,
    y: Axis,
    scale: Axis,
    table: str = "cividis",
    alt: str = "",
    width: int = WIDTH,
    side: float = 262.0,
) -> Markup:
    """Maps side by side, each with its title over it, on the same axes and colours: PNGs as `map_png` makes them."""
    left, top, gap = LEFT, 26.0, 26.0
    bottom = top + side * (y.high - y.low) / (x.high - x.low)
    images, body = [], [upright_axis(y, left, top, bottom)]
    for number, (title, png) in enumerate(maps):
        begin = left + number * (side + gap)
        body += [text(begin, top - 9, title), level_axis(x, begin, begin + side, top, bottom)]
        images.append(ImageAt(png, alt, (begin, top, side, bottom - top)))
    bar = left + max(len(maps), 1) * (side + gap)
    body.append(colour_bar(scale, table, bar, bar + 88, top, bottom))
    return mapped(width, bottom + 48, images, body)


class ImageAt(NamedTuple):
    """A picture of cells, and where it stands in a drawing."""

    png: bytes
    alt: str
    place: tuple[float, float, float, float]  # left, top, width, height


def mapped(width: float, height: float, images: Sequence[ImageAt], around: Sequence[Markup]) -> Markup:
    """Images, and over them the drawing of their axes."""
    found = []
    for one in images:
        left, top, wide, high = one.place
        place = (
            f"left:{100 * left / width:.3f}%;top:{100 * top / height:.3f}%;"
            f"width:{100 * wide / width:.3f}%;height:{100 * high / height:.3f}%"
        )
        data = base64.b64encode(one.png).decode()
        found.append(tag("img", alt=one.alt, src=f"data:image/png;base64,{data}", style=place))
    look = {"font_size": TEXT, "fill": "currentColor", "aria_hidden": "true"}
    axes = drawing.drawing(width, height, around, **look)
    return tag("div", *found, axes, class_="ck-map", style=f"{narrowest(width)};max-width:{width:.0f}px")


@functools.lru_cache(maxsize=32)
def _around(
    x: Axis, y: Axis, scale: Axis, table: str, left: float, top: float, right: float, bottom: float, width: int
) -> Markup:
    body = [
        level_axis(x, left, right, top, bottom),
        upright_axis(y, left, top, bottom),
        colour_bar(scale, table, right + 14, width - 8, top, bottom),
    ]
    return together(body)


@functools.lru_cache(maxsize=64)
def level_axis(x: Axis, left: float, right: float, top: float, bottom: float) -> Markup:
    """The frame of a map, with the axis below it."""
    body = [rect(left, top, right - left, bottom - top, **OUTLINE)]
    for value in clear_ticks(x.low, x.high, right - left, 6 if right - left > 200 else 3):
        at = left + (value - x.low) / (x.high - x.low) * (right - left)
        body += [path("M", at, bottom, "v", 6, **INK), text(at, bottom + 21, f"{value:g}", "middle")]
    body.append(text((left + right) / 2, bottom + 42, x.label, "middle"))
    return together(body)


@functools.lru_cache(maxsize=64)
def upright_axis(y: Axis, left: float, top: float, bottom: float) -> Markup:
    body = []
    for value in ticks(y.low, y.high, max(min(4, int((bottom - top) / TICK)), 1)):
        at = bottom - (value - y.low) / (y.high - y.low) * (bottom - top)
        body += [path("M", left, at, "h", -6, **INK), text(left - 9, at + 5, f"{value:g}", "end")]
    body.append(upright_label(y.label, top, bottom))
    return together(body)


@functools.lru_cache(maxsize=64)
def colour_bar(scale: Axis, table: str, bar: float, end: float, top: float, bottom: float) -> Markup:
    """What the colours mean; its label is written along `end`."""
    body, steps, middle = [], 16, (top + bottom) / 2
    found = colours(table)[np.linspace(0, NOTHING - 1, steps).astype(int)]
    deep = (bottom - top) / steps
    for number, (red, green, blue) in enumerate(found):
        colour = f"rgb({red},{green},{blue})"
        body.append(rect(bar, bottom - (number + 1) * deep, 16, deep + 0.5, fill=colour))
    for value in ticks(scale.low, scale.high, 4):
        at = bottom - (value - scale.low) / (scale.high - scale.low) * (bottom - top)
        body.append(text(bar + 21, at + 5, f"{value:g}"))
    body.append(text(end, middle, scale.label, "middle", turned=True))
    return together(body)
