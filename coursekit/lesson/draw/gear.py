"""What a painter wears against sprayed isocyanate, and what does not do instead of it.

A drawing of what is usual, with no number in it: data sheet, local rules and licensed practice say what is needed.
"""

from __future__ import annotations

import functools

from coursekit.drawing import Point, circle, corners
from coursekit.lesson.draw.drawing import (
    FINE,
    HEAVY,
    PAGE,
    USUAL,
    cross_out,
    ground,
    line,
    lines_of,
    outline,
    specks,
    told_beside,
)
from coursekit.markup import Markup, together

GEAR_HIGH = 174
SAID = (
    "A painter in a closed coverall and gloves, with a hood that is fed from a breathing air system of its own. "
    "Crossed out: a filter mask, and the gun's compressor as a source of breathing air."
)
DROPS = 90  # of mist round the painter


@functools.lru_cache(maxsize=2)
def gear(sprayed: bool) -> tuple[Markup, ...]:
    """640 by 174: the painter with supplied air, then a filter mask and the gun's compressor, both crossed out."""
    mist = specks(DROPS, corners(6, 12, 136, 150), 1.2, opacity=0.7) if sprayed else Markup("")
    told = ((86, 24, "hood, air fed into it"), (104, 76, "coverall, closed"), (123, 116, "gloves, as the sheet says"))
    return (
        mist,
        _painter(74),
        *told_beside(told, 158, 24, 104),
        _breathing_air(),
        _mask(424, 50),
        _compressor(556, 52),
        lines_of(424, 108, ("filter mask:", "not for this"), "middle"),
        lines_of(556, 108, ("gun's compressor:", "not breathing air"), "middle"),
        lines_of(536, 150, ("Data sheet, local rules and", "licensed practice decide."), "middle"),
    )


def _painter(x: float) -> Markup:
    def at(*places: Point) -> list[Point]:
        return [(x + across, y) for across, y in places]

    right = [(24, 58), (36, 68), (50, 112), (38, 116), (25, 86), (24, 110), (28, 160), (6, 160), (0, 116)]
    suit = at((-24, 58), *right, *((-across, y) for across, y in reversed(right)))
    hood = at((-14, 58), (-22, 50), (-22, 20), (-12, 6), (12, 6), (22, 20), (22, 50), (14, 58))
    return together(
        (
            outline(suit, USUAL, fill=PAGE),
            outline(suit, 0.0, fill="currentColor", opacity=0.12),
            line("M", x, 62, "V", 116, weight=FINE, stroke_dasharray="4 3"),
            outline(hood, HEAVY, fill=PAGE),
            outline(corners(x - 15, 19, 30, 20), USUAL, fill="currentColor", fill_opacity="0.15"),
            *(circle(x + side * 45, 119, 7.5, fill="currentColor") for side in (-1, 1)),
            *(outline(corners(x + left, 160, 24, 7), USUAL, fill="currentColor") for left in (-30, 6)),
        )
    )


def _breathing_air() -> Markup:
    """The hose of the hood, and where its air comes from."""
    hose = ("M", 96, 48, "C", 122, 54, 96, 140, 150, 158, "S", 230, 164, 254, 152)
    bottle = [(256, 128), (262, 120), (274, 120), (280, 128), (280, 168), (256, 168)]
    return together(
        (
            line(*hose, weight=5),
            line(*hose, weight=2.4, stroke=PAGE),
            ground(bottle, "level", pitch=8.0),
            line("M", 268, 120, "v", -6, "m", -6, 0, "h", 12, weight=HEAVY),
            lines_of(288, 146, ("breathing air,", "its own system")),
        )
    )


def _mask(x: float, y: float) -> Markup:
    """A half mask with two filters."""
    face = [(x - 24, y - 18), (x, y - 34), (x + 24, y - 18), (x + 22, y + 12), (x, y + 26), (x - 22, y + 12)]
    straps = line("M", x - 24, y - 16, "L", x - 48, y - 26, "M", x + 24, y - 16, "L", x + 48, y - 26, weight=USUAL)
    filters = [ground(corners(x + side * 32 - 12, y - 8, 24, 22), "upright", pitch=6.0) for side in (-1, 1)]
    return together((straps, outline(face, USUAL, fill=PAGE), *filters, cross_out(x, y - 2, 40)))


def _compressor(x: float, y: float) -> Markup:
    vessel = [(x - 44, y + 4), (x - 38, y - 4), (x + 38, y - 4), (x + 44, y + 4), (x + 44, y + 20), (x + 38, y + 28)]
    vessel += [(x - 38, y + 28), (x - 44, y + 20)]
    pump = ground(corners(x - 26, y - 34, 34, 30), "upright", pitch=6.0)
    wheels = line("M", x - 30, y + 28, "v", 6, "M", x + 30, y + 28, "v", 6, weight=HEAVY)
    return together((outline(vessel, USUAL), pump, wheels, cross_out(x, y - 2, 40)))
