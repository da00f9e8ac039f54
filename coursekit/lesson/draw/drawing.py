"""The drawing language of the course: what a drawing of a tool, a room or a section is made of.

Three weights of line, one size of type, one colour and pattern for each material; arrows, measures and words that
keep clear of each other. What is no material is drawn in `currentColor`, so that it follows Lab's themes; nothing is
told by colour alone. A sketch has no words of its own for who cannot see it: the bench says its sentence.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from coursekit.drawing import Point, circle, corners, curve, hatched, path, rect, text
from coursekit.lesson.draw.charts import ACCENT, HATCHES, WIDTH, svg
from coursekit.lesson.draw.picture import Picture
from coursekit.markup import Markup, together
from coursekit.nomenclature import System
from coursekit.panel.mirror import shade, surfaces

FINE, USUAL, HEAVY = 1.0, 1.6, 2.6  # weights of a line: measures and leaders; outlines; what the drawing is about
ROW = 19.0  # from one line of words to the next
HEAD = 8.0  # length of the head of an arrow
PAGE = "var(--jp-layout-color0, #fff)"  # the ground that a drawing stands on, in every theme of Lab
NOT_TO_SCALE = "not to scale"
PATTERNS = {"lines": "slant", "plain": "plain", "dots": "dots", "cross": "cross", "level": "level"}
CUT = {"clear": "upright"}  # cut through; from above a film of clear has no marks, it shows what lies under it
DARK = 0x78  # mean channel of a colour on which marks are light
# Multiples of both, without their whole parts, lie evenly over a square however many there are: powers of the root of
# x³ = x + 1.
STREWN = (0.7548776662466927, 0.5698402909980532)


@dataclass(frozen=True)
class Sketch(Picture):
    """A drawing with its size; it has no room for a pinned one unless its bench draws that itself."""

    parts: Sequence[Markup]
    width: float = WIDTH
    height: float = 300.0
    most: float = 0.0  # how wide it is shown at most; as it is drawn without

    def markup(self, words: str, system: System) -> str:
        return svg(self.parts, self.width, self.height, "ck-sketch", most=self.most)


# --- lines and areas --------------------------------------------------------------------------------------


def line(*moves: str | float, weight: float = USUAL, **look: Any) -> Markup:
    """Moves of a path as a line: `line("M", 0, 5, "h", 12)`."""
    return path(*moves, **{"fill": "none", "stroke": "currentColor", "stroke_width": weight, **look})


def outline(points: Sequence[Point], weight: float = USUAL, **look: Any) -> Markup:
    """A closed line through points."""
    x, y = zip(*points, strict=True)
    return curve(x, y, closed=True, **{"fill": "none", "stroke": "currentColor", "stroke_width": weight, **look})


def ground(points: Sequence[Point], hatch: str = "plain", weight: float = USUAL, pitch: float = 8.0) -> Markup:
    """A body of a tool, cut or seen: faintly filled, hatched where it is cut."""
    return together(
        (
            outline(points, 0.0, fill="currentColor", fill_opacity="0.08", stroke="none"),
            _hatch(points, hatch, pitch, "currentColor", 0.55),
            outline(points, weight),
        )
    )


def between(
    x: np.ndarray | Sequence[float], top: np.ndarray | Sequence[float], low: np.ndarray | Sequence[float]
) -> list[Point]:
    """The outline of what lies between two lines over the same places."""
    there, over, under = (np.asarray(each, dtype=float).tolist() for each in (x, top, low))
    return [*zip(there, over, strict=True), *zip(there[::-1], under[::-1], strict=True)]


def material(
    name: str, points: Sequence[Point], weight: float = FINE, pitch: float = 10.0, above: bool = False
) -> Markup:
    """An area of a material – `bare metal`, `filler`, `surfacer`, `base`, `clear` … – in its colour and pattern.

    above  seen from above; otherwise cut through
    """
    fill, pattern = shade(name), PATTERNS[surfaces()[name].pattern]
    pattern = pattern if above else CUT.get(name, pattern)
    dark = sum(int(fill[at : at + 2], 16) for at in (1, 3, 5)) / 3 < DARK
    return together(
        (
            outline(points, 0.0, fill=fill, stroke="none"),
            _hatch(points, pattern, pitch, "#fff" if dark else "#000", 0.45),
            outline(points, weight),
        )
    )


def box_of(name: str, x: float, y: float, width: float, height: float, weight: float = FINE) -> Markup:
    """A rectangle of a material; nothing where it has no size."""
    return material(name, corners(x, y, width, height), weight) if width > 0 and height > 0 else Markup("")


def _hatch(points: Sequence[Point], kind: str, pitch: float, ink: str, opacity: float) -> Markup:
    if kind == "plain":
        return Markup("")
    width = HATCHES[kind] * max(pitch / 16, 0.6)
    return hatched(kind, points, pitch, width, stroke=ink, opacity=opacity, class_="ck-hatch")


def specks(number: int, points: Sequence[Point], radius: float = 1.4, first: int = 1, **look: Any) -> Markup:
    """Drops or dust: so many dots, evenly strewn over a four-sided area, the same ones each time.

    points  its corners in turn; the first of more drops are where fewer were, so that a slider adds and takes away
    first   another number strews another cloud
    """
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = points
    moves: list[str | float] = []
    for n in range(first, first + number):
        u, v = (n * step % 1 for step in STREWN)
        across = (1 - v) * (x0 + u * (x1 - x0)) + v * (x3 + u * (x2 - x3))
        moves += ["M", across, (1 - v) * (y0 + u * (y1 - y0)) + v * (y3 + u * (y2 - y3)), "h", 0.1]
    if not moves:
        return Markup("")
    dots = {"stroke": "currentColor", "stroke_width": 2 * radius, "stroke_linecap": "round", "class_": "ck-hatch"}
    return path(*moves, **{**dots, **look})


# --- arrows and measures ----------------------------------------------------------------------------------


def arrow(x0: float, y0: float, x1: float, y1: float, weight: float = USUAL, **look: Any) -> Markup:
    """From one place to another; none where it would be shorter than nothing."""
    length = math.hypot(x1 - x0, y1 - y0)
    if length < 1:
        return Markup("")
    head = min(HEAD * max(weight / USUAL, 1), length)
    along, across = ((x1 - x0) / length, (y1 - y0) / length), ((y1 - y0) / length, (x0 - x1) / length)
    back = (x1 - head * along[0], y1 - head * along[1])
    ends = [(back[0] + side * 0.45 * head * across[0], back[1] + side * 0.45 * head * across[1]) for side in (1, -1)]
    ink = look.pop("stroke", "currentColor")
    return together(
        (
            line("M", x0, y0, "L", *back, weight=weight, stroke=ink, **look),
            outline([(x1, y1), *ends], 0.0, fill=ink, stroke="none"),
        )
    )


def measure(x0: float, y0: float, x1: float, y1: float, words: Any, above: float = -6.0) -> Markup:
    """A length with an arrow at both ends; its words, if any, over a level one and right of an upright one."""
    mid = ((x0 + x1) / 2, (y0 + y1) / 2)
    lines = together((arrow(*mid, x0, y0, FINE), arrow(*mid, x1, y1, FINE)))
    if not words:
        return lines
    level = abs(x1 - x0) >= abs(y1 - y0)
    told = label(mid[0], mid[1] + above, words, "middle") if level else label(mid[0] + 8, mid[1] + 5, words)
    return lines + told


def gauge(x: float, y: float, share: float, radius: float = 17.0) -> Markup:
    """A pressure gauge whose needle turns over three quarters of a circle."""
    turn = math.radians(135 + 270 * min(max(share, 0.0), 1.0))
    ends = [math.radians(angle) for angle in (135, 180, 225, 270, 315, 360, 405)]
    marks: list[str | float] = []
    for end in ends:
        c, s = math.cos(end), math.sin(end)
        marks += ["M", x + 0.72 * radius * c, y + 0.72 * radius * s, "L", x + 0.9 * radius * c, y + 0.9 * radius * s]
    return together(
        (
            circle(x, y, radius, fill=PAGE, stroke="currentColor", stroke_width=USUAL),
            line(*marks, weight=FINE),
            line(
                "M", x, y, "L", x + 0.78 * radius * math.cos(turn), y + 0.78 * radius * math.sin(turn), weight=HEAVY
            ),
            circle(x, y, 2.4, fill="currentColor"),
        )
    )


def cross_out(x: float, y: float, size: float) -> Markup:
    """Two heavy strokes through what must not be used."""
    moves = ("M", x - size, y - size, "l", 2 * size, 2 * size, "m", 0, -2 * size, "l", -2 * size, 2 * size)
    return together((line(*moves, weight=7, stroke=PAGE), line(*moves, weight=4)))


# --- words ------------------------------------------------------------------------------------------------


def label(x: float, y: float, words: Any, anchor: str = "start", **look: Any) -> Markup:
    """Words that stay legible over lines and patterns."""
    return text(x, y, words, anchor, **{"class_": "ck-clear", **look})


def lines_of(x: float, y: float, rows: Sequence[Any], anchor: str = "start", **look: Any) -> Markup:
    """Rows of words under one another."""
    return together(label(x, y + ROW * n, words, anchor, **look) for n, words in enumerate(rows))


def apart(places: Sequence[float], gap: float, low: float, high: float) -> list[float]:
    """Places for words as near as may be to where they belong, in their order, `gap` apart and between two ends."""
    order = sorted(range(len(places)), key=lambda n: places[n])
    found = [0.0] * len(places)
    at = low - gap
    for n in order:
        at = found[n] = max(places[n], at + gap)
    at = high + gap
    for n in reversed(order):
        at = found[n] = min(found[n], at - gap)
    return found


def told_beside(
    things: Sequence[tuple[float, float, Any]], x: float, low: float, high: float, anchor: str = "start"
) -> Iterator[Markup]:
    """What things are called, in a column at `x` beside the drawing, each with a line to its thing: x, y, words."""
    toward = -5 if anchor == "start" else 5
    for (to_x, to_y, words), y in zip(things, apart([one[1] for one in things], ROW, low, high), strict=True):
        yield line("M", x + toward, y - 5, "L", to_x, to_y, weight=FINE, opacity=0.7)
        yield circle(to_x, to_y, 2.2, fill="currentColor")
        yield label(x, y, words, anchor)


def here(x: float, y: float, radius: float = 6.0) -> Markup:
    """The setting as it is now, as the full dot of a chart."""
    return circle(x, y, radius, fill=ACCENT, stroke="currentColor", stroke_width=1.5)


def frame(x: float, y: float, width: float, height: float, weight: float = USUAL, **look: Any) -> Markup:
    """A plain rectangle."""
    return rect(x, y, width, height, **{"fill": "none", "stroke": "currentColor", "stroke_width": weight, **look})
