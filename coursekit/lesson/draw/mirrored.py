"""Two settings against each other: one map split down its middle, and bars both ways from one upright line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from coursekit.drawing import text
from coursekit.figure import Axis, Figure
from coursekit.lesson.draw import colour_maps
from coursekit.lesson.draw.charts import LEFT, OUTLINE, WIDTH, box, svg, ticks
from coursekit.lesson.draw.drawing import FINE, HEAVY, label, line
from coursekit.lesson.draw.picture import Picture, both_axes
from coursekit.markup import Markup
from coursekit.nomenclature import System
from coursekit.uncertain import Band


@dataclass(frozen=True)
class SplitMap(Picture):
    """A map of one panel: its left half is now, its right half the pinned setting, where one is."""

    values: Figure
    x: Axis
    y: Axis
    scale: Axis
    width: int = 320
    pinned: Figure | None = None

    def markup(self, words: str, system: System) -> str:
        now, table = self.values.shown, colour_maps.TABLES["film"]
        middle = now.shape[1] // 2
        if self.pinned is not None and self.pinned.si.shape == now.shape:
            now = np.hstack([now[:, :middle], self.pinned.shown[:, middle:]])
        left, top, right = LEFT, 24.0, self.width - 88.0
        bottom = top + (right - left) * (self.y.high - self.y.low) / (self.x.high - self.x.low)
        half = (left + right) / 2
        around = [
            colour_maps.level_axis(self.x, left, right, top, bottom),
            colour_maps.upright_axis(self.y, left, top, bottom),
            colour_maps.colour_bar(self.scale, table, right + 12, self.width - 8, top, bottom),
        ]
        if self.pinned is None:
            around.append(text(half, top - 8, "now", "middle"))
        else:
            halves = ((left + half) / 2, "now"), ((half + right) / 2, "pinned")
            around += [text(x, top - 8, told, "middle") for x, told in halves]
            around.append(line("M", half, top - 12, "V", bottom, weight=HEAVY))
        image = colour_maps.ImageAt(
            colour_maps.map_png(now, self.scale.low, self.scale.high, table),
            words,
            (left, top, right - left, bottom - top),
        )
        return colour_maps.mapped(self.width, bottom + 48, [image], around)

    def joined(self, pinned: SplitMap) -> SplitMap:
        return replace(self, pinned=pinned.values, scale=both_axes(self.scale, pinned.scale))


class Sides(NamedTuple):
    """One thing of both settings: what it is called, its band now and the pinned one, and what is said of the two."""

    label: str
    now: Band
    pinned: Band | None = None
    told: str = ""


def mirrored(rows: Sequence[Sides], axis: Axis, width: float = WIDTH) -> Markup:
    """Bars of the pinned setting to the left and of the present one to the right, each with its band as a whisker."""
    both = any(row.pinned is not None for row in rows)
    left, right = 16.0, width - 20.0
    zero = (left + right) / 2 if both else left
    scale = (right - zero) / axis.high
    body: list[Markup] = []
    top = 4.0
    if both:
        body += [label(zero - 10, top + 13, "← pinned", "end"), label(zero + 10, top + 13, "now →")]
        top += 20
    bottom = top + 48 * len(rows)
    body.append(line("M", zero, top, "V", bottom, weight=HEAVY))
    for row in rows:
        said = f"{row.label}: {row.told}" if row.told else row.label
        body.append(label(left if both else left + 8, top + 14, said))
        for band, way, hatch in ((row.now, 1, "slant"), (row.pinned, -1, "dots")):
            if band is not None:
                body += _bar(band, zero, way * scale, top + 21, hatch)
        top += 48
    marks: list[str | float] = ["M", left, top, "H", right]
    for value in ticks(0, axis.high, 4):
        for way in (1, -1) if both and value else (1,):
            marks += ["M", zero + way * value * scale, top, "v", 6]
            body.append(text(zero + way * value * scale, top + 20, f"{value:g}", "middle"))
    body += [line(*marks, weight=FINE), text((left + right) / 2, top + 38, axis.label, "middle")]
    return svg(body, width, top + 44)


def _bar(band: Band, zero: float, scale: float, top: float, hatch: str) -> list[Markup]:
    middle, low, high = (zero + scale * end for end in (band.middle, band.low, band.high))
    whisker = ("M", low, top + 4, "v", 12, "m", 0, -6, "H", high, "m", 0, -6, "v", 12)
    told = f"{band.low:.0f} to {band.high:.0f}"
    away = high + (6 if scale > 0 else -6)
    return [
        box(min(zero, middle), top, abs(middle - zero), 20, hatch),
        line(*whisker, **{**OUTLINE, "weight": 2.5}),
        label(away, top + 15, told, "start" if scale > 0 else "end"),
    ]
