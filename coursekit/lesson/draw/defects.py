"""A defect as it is found: face on under a tube lamp, and cut through, the films drawn far thicker than they are.

What is drawn is how such a defect looks, not the one on the card: its size alone follows the strongest figure.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

import numpy as np

from coursekit.drawing import corners, window
from coursekit.lesson.draw.defect_looks import ACROSS, DOWN, FLOOR, LEFT, LOOKS, SIDE, TOP, TOPS, WIDE, Look, places
from coursekit.lesson.draw.drawing import FINE, Sketch, frame, label, lines_of, material, outline
from coursekit.markup import Markup

WIDTH, HEIGHT = 560.0, 136.0
NAMES, WORDS = LEFT + WIDE + 6.0, LEFT + WIDE + 84.0  # px: where the films' words stand, and what the defect is
LAMP = 30.0  # px, width of the lamp's image
LEAST, MOST = 0.35, 3.0  # of the size drawn where no figure speaks for it; the ratio at which it is drawn in full
NAMED = ("clear", 42), ("base", 24), ("old paint", 6)  # px over the sheet where their words stand


def defect(seen: str, ratio: float) -> Sketch:
    """The defect of that name, larger the further the strongest figure is past its limit."""
    look, strength = LOOKS[seen], max(LEAST, min(ratio / MOST, 1.0))
    parts = [
        label(0, 14, "under a lamp"),
        label(LEFT, 14, look.cut),
        *_face(look, strength),
        *_section(look, strength),
        *(label(NAMES, TOP + FLOOR - over, name) for name, over in (*NAMED, ("sheet", -13))),
        lines_of(WORDS, TOP + 10, textwrap.wrap(f"{look.told[:1].upper()}{look.told[1:]}.", 24)),
    ]
    return Sketch(parts, WIDTH, HEIGHT, most=WIDTH)


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
