"""A small writer of line drawings as SVG text, black on white: hatching tells things apart, never colour."""

from __future__ import annotations

from typing import Any, Literal

from coursekit.markup import Markup, tag, together

SIZE = 9.5  # points at the size it is drawn for; no text in print is under 9
CHARACTER = 0.5  # mean width of a character over the size, of the font below
FONT = "Liberation Sans, Arial, Helvetica, sans-serif"
Fill = Literal["black", "grey", "slant", "dots"]
_FILLS = {"black": "#000", "grey": "#c4c4c4", "slant": "url(#slant)", "dots": "url(#dots)"}
PATTERNS = Markup(
    '<svg width="0" height="0" style="position:absolute" aria-hidden="true"><defs>'
    '<pattern id="slant" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
    '<path d="M0 0V5" stroke="#000" stroke-width="1.6"/></pattern>'
    '<pattern id="dots" width="4" height="4" patternUnits="userSpaceOnUse">'
    '<circle cx="1.2" cy="1.2" r="0.8"/></pattern></defs></svg>'
)


def number(value: float) -> str:
    """A coordinate: the same text on every machine."""
    return f"{round(value, 1) + 0.0:.1f}".removesuffix(".0")


def width_of(words: str, size: float = SIZE) -> float:
    """About how wide a text is."""
    return CHARACTER * size * len(words)


def text(x: float, y: float, words: str, anchor: str = "start", bold: bool = False) -> Markup:
    """A line of text; a white rim keeps it readable beside a line."""
    return tag(
        "text",
        words,
        x=number(x),
        y=number(y),
        text_anchor=anchor,
        font_weight="bold" if bold else None,
        stroke="#fff",
        stroke_width=3,
        paint_order="stroke",
    )


def box(x: float, y: float, width: float, height: float, **look: Any) -> Markup:
    """A rectangle."""
    return tag("rect", x=number(x), y=number(y), width=number(width), height=number(height), **look)


def plate(x: float, y: float, words: str) -> Markup:
    """A line of text that ends at x, on a white plate: readable on a bar."""
    wide = width_of(words) + 4
    return together((box(x - wide, y - SIZE + 1, wide, SIZE, fill="#fff"), text(x - 2, y, words, "end")))


def bar(x0: float, x1: float, y: float, height: float, fill: Fill) -> Markup:
    """A bar with a thin outline, at least as wide as can be seen."""
    return box(x0, y, max(x1 - x0, 1.5), height, fill=_FILLS[fill], stroke="#000", stroke_width=0.6)


def line(x0: float, y0: float, x1: float, y1: float, dashed: bool = False, width: float = 0.8) -> Markup:
    """A straight line."""
    return tag(
        "path",
        d=f"M{number(x0)} {number(y0)}L{number(x1)} {number(y1)}",
        stroke="#000",
        stroke_width=number(width),
        stroke_dasharray="4 3" if dashed else None,
    )


def arrow(x: float, y: float, height: float) -> Markup:
    """The head of an arrow that points right: what it stands at goes on."""
    half = number(height / 2)
    return tag("path", d=f"M{number(x)} {number(y)}l{half} {half}l{number(-height / 2)} {half}z")


def drawing(width: float, height: float, words: str, parts: list[Markup]) -> Markup:
    """The whole drawing, as wide as the page's text; `words` say it to who cannot see it."""
    return tag(
        "svg",
        *parts,
        class_="drawing",
        viewBox=f"0 0 {number(width)} {number(height)}",
        role="img",
        aria_label=words,
        font_family=FONT,
        font_size=number(SIZE),
    )
