"""Shapes of SVG, made by `markup.tag`: the one kit for the pictures of a lesson and those of the printed sheet.

Nothing in a drawing has a name: hatching is drawn as lines and a chart cuts its curves with a window, so two drawings
on a page share nothing, whichever of them is hidden, and the same input is the same text.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from coursekit.markup import Markup, tag

Point = tuple[float, float]
# Lines a x + b y = c, where c is the first share of the pitch and then goes on by the second.
_RULED: dict[str, tuple[tuple[float, float, float, float], ...]] = {
    "slant": ((1, 1, 0.5, 1),),
    "back": ((-1, 1, 0.5, 1),),
    "cross": ((1, 1, 0, 1), (-1, 1, 0, 1)),
    "level": ((0, 1, 0.25, 0.5),),
    "upright": ((1, 0, 0.25, 0.5),),
    "dots": ((0, 1, 0.25, 1), (0, 1, 0.75, 1)),
}
DOT = 0.1  # length of a dash with round ends


def number(value: float) -> str:
    """A coordinate: the same text on every machine."""
    return f"{round(value, 1) + 0.0:.1f}".removesuffix(".0")


def rect(x: float, y: float, width: float, height: float, **look: Any) -> Markup:
    wide, high = number(max(width, 0)), number(max(height, 0))
    return tag("rect", x=number(x), y=number(y), width=wide, height=high, **look)


def circle(x: float, y: float, radius: float, **look: Any) -> Markup:
    return tag("circle", cx=number(x), cy=number(y), r=number(radius), **look)


def path(*moves: str | float, **look: Any) -> Markup:
    """A line of moves and coordinates: `path("M", 0, 5, "h", 12)`."""
    return tag("path", d=" ".join(one if isinstance(one, str) else number(one) for one in moves), **look)


def curve(x: Iterable[float], y: Iterable[float], closed: bool = False, **look: Any) -> Markup:
    """Straight from place to place; places that are no numbers are left out."""
    places = [f"{a:.1f},{b:.1f}" for a, b in zip(x, y, strict=True) if math.isfinite(a) and math.isfinite(b)]
    return tag("polygon" if closed else "polyline", points=" ".join(places), **look)


def text(x: float, y: float, words: Any, anchor: str = "start", turned: bool = False, **look: Any) -> Markup:
    """A line of text that begins, has its middle or ends at a place; `turned` reads upwards."""
    at = f"rotate(-90 {number(x)} {number(y)})" if turned else None
    return tag("text", words, x=number(x), y=number(y), text_anchor=anchor, transform=at, **look)


def window(x: float, y: float, width: float, height: float, *parts: Any) -> Markup:
    """Parts that are cut off at the edges of a rectangle."""
    place = " ".join(map(number, (x, y, width, height)))
    size = {"width": number(width), "height": number(height)}
    # A page's own rules for pictures reach a drawing in a drawing, too: a style of its own is stronger.
    style = f"width:{size['width']}px;height:{size['height']}px;min-width:0;max-width:none;overflow:hidden"
    return tag("svg", *parts, x=number(x), y=number(y), **size, viewBox=place, style=style)


def drawing(width: float, height: float, parts: Iterable[Any], **look: Any) -> Markup:
    """The whole: `look` says how it stands on its page."""
    return tag("svg", *parts, **look, viewBox=f"0 0 {number(width)} {number(height)}")


def hatched(kind: str, outline: Sequence[Point], pitch: float, width: float, **look: Any) -> Markup:
    """The lines that tell an area from others without a colour, at the same places however the area is moved."""
    moves = [
        f"M{number(x0)},{number(y0)}L{number(x1)},{number(y1)}"
        for ruled in _RULED[kind]
        for (x0, y0), (x1, y1) in _inside(outline, *ruled, pitch, kind == "dots")
    ]
    if kind == "dots":
        look |= {"stroke_dasharray": f"{DOT} {number(pitch - DOT)}", "stroke_linecap": "round"}
    return tag("path", d="".join(moves), fill="none", stroke_width=width, **look) if moves else Markup("")


def corners(x: float, y: float, width: float, height: float) -> tuple[Point, ...]:
    """The outline of a rectangle."""
    return ((x, y), (x + width, y), (x + width, y + height), (x, y + height))


def _inside(
    outline: Sequence[Point], a: float, b: float, first: float, step: float, pitch: float, dotted: bool
) -> Iterator[tuple[Point, Point]]:
    """The pieces inside an outline of parallel lines; a dotted one begins with a dot of its row."""
    values = [a * x + b * y for x, y in outline]
    edges = list(zip(values, [*values[1:], values[0]], outline, [*outline[1:], outline[0]], strict=True))
    start, turn = first * pitch, step * pitch
    for row in range(math.ceil((min(values) - start) / turn), math.floor((max(values) - start) / turn) + 1):
        c, crossed = start + row * turn, []
        for v0, v1, (x0, y0), (x1, y1) in edges:
            if (v0 < c) != (v1 < c):
                share = (c - v0) / (v1 - v0)
                crossed.append((x0 + share * (x1 - x0), y0 + share * (y1 - y0)))
        crossed.sort()
        for one, other in zip(crossed[::2], crossed[1::2], strict=True):
            x, y = one
            if dotted:
                x = start + math.ceil((x - start) / pitch) * pitch
            if not dotted or x + DOT < other[0]:
                yield (x, y), other
