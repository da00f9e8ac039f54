"""The side of a car with the film that landed beside the sprayed door, as grey on a scale of powers of ten."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from coursekit.drawing import Point, corners, text, window
from coursekit.figure import Figure
from coursekit.lesson.draw import colour_maps
from coursekit.lesson.draw.charts import hatch
from coursekit.lesson.draw.drawing import FINE, HEAVY, USUAL, frame, label, line, material, measure, outline
from coursekit.lesson.draw.picture import Picture
from coursekit.markup import Markup
from coursekit.nomenclature import System, names

At = Callable[[float, float], Point]  # of a place of the car, m from its lower left, where it is drawn
TABLE = "Greys"
STEPS = 18  # of the bar that says what the greys mean


@dataclass(frozen=True)
class CarSide(Picture):
    """`film` over the side (nan where it is covered), the `door` that is sprayed (x0, x1, y0, y1), and its cover."""

    film: Figure
    size: tuple[float, float]
    door: tuple[float, float, float, float]
    cover: Figure
    ends: tuple[float, float]  # m of film: what is drawn white, and what is drawn black
    width: int = 400

    def markup(self, words: str, system: System) -> str:
        left, top = 8.0, 24.0
        scale = (self.width - 92.0) / self.size[0]
        wide, high = self.size[0] * scale, self.size[1] * scale
        low, most = (math.log10(end) for end in self.ends)
        dark = np.log10(np.maximum(self.film.si, self.ends[0]))
        image = colour_maps.ImageAt(colour_maps.map_png(dark, low, most, TABLE), words, (left, top, wide, high))

        def at(x: float, y: float) -> Point:
            return left + x * scale, top + high - y * scale

        car = window(left, top, wide, high, *self._car(at))
        drawn = [car, *self._cover(at, scale), *self._bar(left + wide + 12, top, high, system)]
        return colour_maps.mapped(self.width, top + high + 24, [image], [*drawn, frame(left, top, wide, high)])

    def _car(self, at: At) -> list[Markup]:
        """Seams, glass, sill and the arches of the wheels."""
        x0, x1, y0, y1 = self.door
        wide, high = self.size
        waist, roof, post = y1 + 0.03, high - 0.08, (x0 + x1) / 2 + 0.05
        glass = [at(*one) for one in ((0.25, waist), (0.55, roof), (wide - 0.1, roof), (wide - 0.05, waist))]
        arches: list[Markup] = []
        for middle in (0.12, wide - 0.1):
            (x, y), radius = at(middle, 0.18), at(0.36, 0)[0] - at(0, 0)[0]
            arches.append(line("M", x - radius, y, "A", radius, radius, 0, 0, 1, x + radius, y, stroke="#000"))
        seam = [at(x0, y0), at(x1, y0), at(x1, y1), at(x0, y1)]
        x, y = at((x0 + x1) / 2, (y0 + y1) / 2)
        return [
            outline(glass, USUAL, stroke="#000"),
            line("M", *at(post, waist), "L", *at(post, roof), stroke="#000", weight=HEAVY),
            line("M", *at(0.52, 0.18), "L", *at(wide - 0.5, 0.18), stroke="#000", weight=FINE),
            *arches,
            material("surfacer", seam, HEAVY),
            label(x, y, "sprayed door", "middle", class_="ck-on"),
        ]

    def _cover(self, at: At, scale: float) -> list[Markup]:
        reach = self.cover.si
        if not reach:
            return []
        x0, x1, y0, y1 = self.door
        rims = ((x0 - reach, y1 + reach, x1 - x0 + 2 * reach, reach), (x0 - reach, y0, x1 - x0 + 2 * reach, reach))
        sides = ((x0 - reach, y1, reach, y1 - y0), (x1, y1, reach, y1 - y0))
        sheets = []
        for x, y, wide, high in (*rims, *sides):
            left, top = at(x, y)
            sheets.append(hatch(left, top, wide * scale, high * scale, "slant"))
        left, top = at(x0 - reach, y1 + reach)
        outer = corners(left, top, (x1 - x0 + 2 * reach) * scale, (y1 - y0 + 2 * reach) * scale)
        (a, b), (c, _) = at(x1, (y0 + y1) / 2), at(x1 + reach, 0)
        x, y = at((x0 + x1) / 2, y0 - reach)
        told = [measure(a, b, c, b, ""), label(x, y + 17, f"cover reaches {self.cover}", "middle", class_="ck-on")]
        return [*sheets, outline(outer, USUAL), *told]

    def _bar(self, left: float, top: float, high: float, system: System) -> list[Markup]:
        """What the greys mean, in the unit that is shown."""
        table = colour_maps.colours(TABLE)[np.linspace(0, 254, STEPS).astype(int)]
        deep = high / STEPS
        body = [
            outline(
                corners(left, top + high - (n + 1) * deep, 16, deep + 0.5),
                0.0,
                fill=f"rgb({r},{g},{b})",
                stroke="none",
            )
            for n, (r, g, b) in enumerate(table)
        ]
        ends = [float(self.film.of(end).shown) for end in self.ends]
        low, most = (math.log10(end) for end in ends)
        for power in range(math.ceil(low), math.floor(most) + 1):
            y = top + high * (1 - (power - low) / (most - low))
            body.append(text(left + 21, y + 5, f"{10.0**power:g}"))
        unit = names()[self.film.row].unit(system)
        return [*body, frame(left, top, 16, high, FINE), text(left + 70, top - 9, f"dry, {unit}", "end")]
