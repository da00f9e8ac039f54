"""The computed card under its lamp, and beside it a defect as it is found: face on, and cut through.

What is drawn of the defect is how such a one looks, not the one on the card: its size alone follows the strongest
figure, and films are drawn far thicker than they are.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from coursekit.drawing import corners, number, window
from coursekit.lesson.draw.colour_maps import ImageAt, mapped, palette_png
from coursekit.lesson.draw.defect_looks import ACROSS, DOWN, FLOOR, LEFT, LOOKS, SIDE, TOP, TOPS, WIDE, Look, places
from coursekit.lesson.draw.drawing import FINE, frame, label, lines_of, material, outline
from coursekit.lesson.draw.picture import Picture
from coursekit.markup import Markup, tag
from coursekit.nomenclature import System
from coursekit.panel import Panel, mirror
from coursekit.panel.mirror import Light
from coursekit.quantities import shown

WIDTH, HEIGHT = 560.0, 192.0
CARD, BESIDE = 150.0, 170.0  # px: the card's picture; how far the defect stands to its right
NAMES = LEFT + WIDE + 6.0  # px: where the films' words stand
COLUMNS = 66  # letters of what the defect is
LAMP = 30.0  # px, width of the lamp's image
LEAST, MOST = 0.35, 3.0  # of the size drawn where no figure speaks for it; the ratio at which it is drawn in full
NAMED = ("clear", 42), ("base", 24), ("old paint", 6)  # px over the sheet where their words stand


@dataclass(frozen=True)
class Defect(Picture):
    """The card under the lamp, and the defect of that name: larger the further its figure is past its limit."""

    seen: str
    ratio: float
    card: Panel
    light: Light

    def markup(self, words: str, system: System) -> str:
        look, strength = LOOKS[self.seen], max(LEAST, min(self.ratio / MOST, 1.0))
        high = CARD * self.card.shape.size[1] / self.card.shape.size[0]
        picture = mirror.seen(self.card, self.light, round(2 * CARD))
        png = palette_png(picture.codes, picture.palette.tobytes(), False)
        sizes = [shown(size, "panel_width", system, 2) for size in self.card.shape.size]
        told = textwrap.wrap(f"{look.told[:1].upper()}{look.told[1:]}.", COLUMNS)
        body = [
            label(0, 14, "your card"),
            frame(0, TOP, CARD, high),
            label(0, TOP + high + 18, " × ".join(sizes)),
            label(BESIDE, 14, "such a defect"),
            label(BESIDE + LEFT, 14, look.cut),
            tag("g", *_face(look, strength), *_section(look, strength), transform=f"translate({number(BESIDE)} 0)"),
            *(label(BESIDE + NAMES, TOP + FLOOR - over, name) for name, over in (*NAMED, ("sheet", -13))),
            lines_of(0, TOP + SIDE + 38, told),
        ]
        return mapped(WIDTH, HEIGHT, [ImageAt(png, words, (0, TOP, CARD, high))], body)


def _face(look: Look, strength: float) -> Iterator[Markup]:
    yield material("clear", corners(0, TOP, SIDE, SIDE), 0.0, above=True)
    moved = look.bend(strength) if look.bend else np.zeros(len(DOWN))
    near = SIDE / 2 - LAMP / 2 + LAMP * moved
    points = [
        *zip(near, TOP + SIDE * DOWN, strict=True),
        *zip(near[::-1] + LAMP, TOP + SIDE * DOWN[::-1], strict=True),
    ]
    lamp = outline(points, 0.0, fill="#fff", fill_opacity=f"{look.sharp:g}", stroke="none")
    yield window(0, TOP, SIDE, SIDE, lamp, *(look.marks(strength) if look.marks else ()))
    yield frame(0, TOP, SIDE, SIDE)


def _section(look: Look, strength: float) -> Iterator[Markup]:
    tops = TOPS | (dict(look.tops(strength)) if look.tops else {})
    if "bare metal" in tops:
        tops = {"bare metal": tops.pop("bare metal")} | tops
    ground, under = TOP + FLOOR, np.zeros(len(ACROSS))
    yield material("bare metal", corners(LEFT, ground, WIDE, 10), FINE)
    for name, top in tops.items():
        over = np.maximum(np.broadcast_to(top, ACROSS.shape), under)
        points = [*places(ACROSS, over), *places(ACROSS[::-1], under[::-1])]
        if (over - under).max() > 0.5:
            yield material(name, points, FINE)
        under = over
    yield from look.inside(strength) if look.inside else ()
