"""Maps in colour: numbers → a palette PNG → an `<img>` inside SVG axes. The only file that uses matplotlib."""

from __future__ import annotations

import base64
import functools
import io
from collections.abc import Sequence

import matplotlib
import numpy as np
from PIL import Image

from coursekit.figure import Axis
from coursekit.lesson.draw.charts import LEFT, TEXT, WIDTH, narrowest, text, ticks
from coursekit.markup import Markup, tag

NOTHING = 255  # the last place of the table: see-through, for cells that are not there (nan)
# One table per kind of quantity, the same in every lesson; all of them can be told apart by colour-blind eyes.
TABLES = {"film": "cividis", "scratch": "viridis", "height": "berlin", "amount": "cividis", "change": "vanimo"}


@functools.lru_cache(maxsize=16)
def colours(table: str) -> np.ndarray:
    """(255, 3) bytes of a named colour table."""
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
    image = Image.frombytes("P", (places.shape[1], places.shape[0]), places.tobytes())
    image.putpalette(colours(table).tobytes() + b"\x80\x80\x80")
    file = io.BytesIO()
    image.save(file, "PNG", compress_level=1, **({} if np.all(here) else {"transparency": NOTHING}))
    return file.getvalue()


def map_picture(
    values: np.ndarray, x: Axis, y: Axis, scale: Axis, table: str = "cividis", alt: str = "", width: int = WIDTH
) -> Markup:
    """A map with its axes and colour bar. `scale` says what the colours mean and where they begin and end."""
    rows, columns = np.shape(values)
    left, top, right = LEFT, 10.0, width - 96.0
    tall = (right - left) * ((y.high - y.low) / (x.high - x.low) if x.high > x.low else rows / columns)
    bottom = top + min(max(tall, 120.0), 420.0)
    data = base64.b64encode(map_png(values, scale.low, scale.high, table)).decode()
    around = _around(x, y, scale, table, left, top, right, bottom, width)
    height = bottom + 50
    place = (
        f"left:{100 * left / width:.3f}%;top:{100 * top / height:.3f}%;"
        f"width:{100 * (right - left) / width:.3f}%;height:{100 * (bottom - top) / height:.3f}%"
    )
    return Markup(
        f'<div class="ck-map" style="{narrowest(width)};max-width:{width}px">'
        f"{tag('img', alt=alt, style=place, src=f'data:image/png;base64,{data}')}{around}</div>"
    )


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
    height = bottom + 48
    images, body = [], [upright_axis(y, left, top, bottom)]
    for number, (title, png) in enumerate(maps):
        begin = left + number * (side + gap)
        body.append(text(begin, top - 9, title) + level_axis(x, begin, begin + side, top, bottom))
        place = (
            f"left:{100 * begin / width:.3f}%;top:{100 * top / height:.3f}%;"
            f"width:{100 * side / width:.3f}%;height:{100 * (bottom - top) / height:.3f}%"
        )
        data = base64.b64encode(png).decode()
        images.append(tag("img", alt=alt, src=f"data:image/png;base64,{data}", style=place))
    bar = left + max(len(maps), 1) * (side + gap)
    body.append(_colour_bar(scale, table, bar, bar + 88, top, bottom))
    return Markup(
        f'<div class="ck-map" style="{narrowest(width)};max-width:{width}px">{"".join(images)}'
        f'<svg viewBox="0 0 {width} {height:.0f}" font-size="{TEXT}" fill="currentColor" aria-hidden="true">'
        f"{''.join(body)}</svg></div>"
    )


@functools.lru_cache(maxsize=32)
def _around(
    x: Axis, y: Axis, scale: Axis, table: str, left: float, top: float, right: float, bottom: float, width: int
) -> str:
    body = [
        level_axis(x, left, right, top, bottom),
        upright_axis(y, left, top, bottom),
        _colour_bar(scale, table, right + 14, width - 8, top, bottom),
    ]
    return (
        f'<svg viewBox="0 0 {width} {bottom + 50:.0f}" font-size="{TEXT}" fill="currentColor" '
        f'aria-hidden="true">{"".join(body)}</svg>'
    )


@functools.lru_cache(maxsize=64)
def level_axis(x: Axis, left: float, right: float, top: float, bottom: float) -> str:
    """The frame of a map, with the axis below it."""
    body = [
        f'<rect x="{left}" y="{top}" width="{right - left}" height="{bottom - top}" fill="none" '
        'stroke="currentColor"/>'
    ]
    for value in ticks(x.low, x.high, 6):
        at = left + (value - x.low) / (x.high - x.low) * (right - left)
        body.append(f'<path d="M{at:.1f},{bottom} v6" stroke="currentColor"/>')
        body.append(text(at, bottom + 21, f"{value:g}", "middle"))
    body.append(text((left + right) / 2, bottom + 42, x.label, "middle"))
    return "".join(body)


@functools.lru_cache(maxsize=64)
def upright_axis(y: Axis, left: float, top: float, bottom: float) -> str:
    body = []
    for value in ticks(y.low, y.high, 4):
        at = bottom - (value - y.low) / (y.high - y.low) * (bottom - top)
        body.append(f'<path d="M{left},{at:.1f} h-6" stroke="currentColor"/>')
        body.append(text(left - 9, at + 5, f"{value:g}", "end"))
    middle = (top + bottom) / 2
    body.append(text(15, middle + 5, y.label, "middle", f"rotate(-90 15 {middle:.0f})"))
    return "".join(body)


@functools.lru_cache(maxsize=64)
def _colour_bar(scale: Axis, table: str, bar: float, end: float, top: float, bottom: float) -> str:
    """What the colours mean; its label is written along `end`."""
    body, steps, middle = [], 16, (top + bottom) / 2
    found = colours(table)[np.linspace(0, NOTHING - 1, steps).astype(int)]
    deep = (bottom - top) / steps
    for number, (red, green, blue) in enumerate(found):
        body.append(
            f'<rect x="{bar}" y="{bottom - (number + 1) * deep:.2f}" width="16" height="{deep + 0.5:.2f}" '
            f'fill="rgb({red},{green},{blue})"/>'
        )
    for value in ticks(scale.low, scale.high, 4):
        at = bottom - (value - scale.low) / (scale.high - scale.low) * (bottom - top)
        body.append(text(bar + 21, at + 5, f"{value:g}"))
    body.append(text(end, middle, scale.label, "middle", f"rotate(-90 {end:.0f} {middle:.0f})"))
    return "".join(body)
