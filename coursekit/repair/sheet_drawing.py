"""How the job sheet's drawings look: black on white, told apart by hatching, readable in print."""

from __future__ import annotations

from typing import Any, Literal

from coursekit import drawing
from coursekit.drawing import Point, corners, path, rect
from coursekit.markup import Markup, together

SIZE = 9.5  # points at the size it is drawn for; no text in print is under 9
CHARACTER = 0.5  # mean width of a character over the size, of the font below
FONT = "Liberation Sans, Arial, Helvetica, sans-serif"
Fill = Literal["black", "grey", "slant", "dots"]
_FILLS = {"black": "#000", "grey": "#c4c4c4"}


def width_of(words: str, size: float = SIZE) -> float:
    """About how wide a text is."""
    return CHARACTER * size * len(words)


def text(x: float, y: float, words: str, anchor: str = "start", bold: bool = False) -> Markup:
    """A line of text; a white rim keeps it readable beside a line."""
    rim: dict[str, Any] = {"stroke": "#fff", "stroke_width": 3, "paint_order": "stroke"}
    return drawing.text(x, y, words, anchor, font_weight="bold" if bold else None, **rim)


def plate(x: float, y: float, words: str) -> Markup:
    """A line of text that ends at x, on a white plate: readable on a bar."""
    wide = width_of(words) + 4
    return together((rect(x - wide, y - SIZE + 1, wide, SIZE, fill="#fff"), text(x - 2, y, words, "end")))


def bar(x0: float, x1: float, y: float, height: float, fill: Fill) -> Markup:
    """A bar with a thin outline, at least as wide as can be seen."""
    width = max(x1 - x0, 1.5)
    hatching = covered(corners(x0, y, width, height), fill) if fill == "slant" or fill == "dots" else ""
    frame = rect(x0, y, width, height, fill=_FILLS.get(fill, "none"), stroke="#000", stroke_width=0.6)
    return together((hatching, frame))


def covered(outline: tuple[Point, ...], fill: Literal["slant", "dots"] = "slant") -> Markup:
    """Hatching inside an outline."""
    return drawing.hatched(fill, outline, 7.0 if fill == "slant" else 5.6, 1.6, stroke="#000")


def line(x0: float, y0: float, x1: float, y1: float, dashed: bool = False, width: float = 0.8) -> Markup:
    """A straight line."""
    dash = "4 3" if dashed else None
    return path("M", x0, y0, "L", x1, y1, stroke="#000", stroke_width=width, stroke_dasharray=dash)


def arrow(x: float, y: float, height: float) -> Markup:
    """The head of an arrow that points right: what it stands at goes on."""
    half = height / 2
    return path("M", x, y, "l", half, half, "l", -half, half, "z")


def whole(width: float, height: float, words: str, parts: list[Markup]) -> Markup:
    """The whole drawing, as wide as the page's text; `words` say it to who cannot see it."""
    said: dict[str, Any] = {"class_": "drawing", "role": "img", "aria_label": words}
    return drawing.drawing(width, height, parts, **said, font_family=FONT, font_size=SIZE)
