"""The course's own small drawing kit: SVG text in `currentColor`, so that it follows Lab's light and dark themes.

Nothing is told by colour alone: lines differ in their dashes, fills in their hatching, marks in their shape. Numbers
come in the unit that is shown. A drawing has no words of its own for who cannot see it: the bench says its sentence.
"""

from __future__ import annotations

import functools
import itertools
import math
from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np

from coursekit import drawing
from coursekit.drawing import circle, corners, curve, hatched, path, rect, text
from coursekit.figure import Axis
from coursekit.markup import Markup, tag, together

WIDTH, HEIGHT = 640, 340
MARGIN = 14.0  # right of a chart
LEFT = 70.0  # room for the upright axis: its label and numbers of four digits
TEXT = 15  # never under 12 px on the page: `narrowest`
ACCENT = "var(--jp-brand-color1, currentColor)"
FAR = 40.0  # widths of a chart: a curve that runs further is drawn that far, so that its slope at the edge is right
INK: dict[str, Any] = {"stroke": "currentColor"}
OUTLINE: dict[str, Any] = {**INK, "fill": "none"}
DASHES = {"solid": None, "dashed": "9 5", "dotted": "2 4", "dash-dot": "10 4 2 4"}
HATCHES: dict[str, float] = {"slant": 1.6, "dots": 3.4, "cross": 1.1, "level": 1.4, "upright": 1.4, "back": 1.6}
PITCH = 16.0  # of the lines of a hatching, whose widths stand above


class Line(NamedTuple):
    """A curve; its label stands in the legend."""

    x: Any
    y: Any
    label: str = ""
    dash: str = "solid"
    pinned: str | None = None  # its label where its setting is the one pinned; none: not drawn then


class Shade(NamedTuple):
    """A band between two curves, the first and the last of `band`."""

    x: Any
    band: Any
    label: str = ""


class Span(NamedTuple):
    """A range of the upright axis, such as a film asked for."""

    low: Any
    high: Any
    label: str = ""


class Stretch(NamedTuple):
    """A range of the level axis, such as hours of a day; one that is hatched speaks against something."""

    low: Any
    high: Any
    label: str = ""
    hatch: str = "plain"


class Mark(NamedTuple):
    """A setting on the chart, from `low` to `high`: a full dot for the one now, an open square for the one pinned."""

    x: Any
    y: Any
    label: str = ""
    pinned: bool = False
    low: float | None = None
    high: float | None = None


class Slice(NamedTuple):
    """One part of a bar or one layer of a film: its size and what is written beside it."""

    label: str
    size: Any
    text: str = ""
    hatch: str = "plain"


class Bar(NamedTuple):
    """A bar with what is written at its end, and its band."""

    label: str
    size: Any
    text: str = ""
    hatch: str = "plain"
    low: float | None = None
    high: float | None = None
    pinned: str | None = None  # its label where its setting is the one pinned; none: not drawn then


Part = Line | Shade | Span | Stretch | Mark


def ticks(low: float, high: float, about: int = 5) -> list[float]:
    """Round numbers from low to high."""
    if not (math.isfinite(low) and math.isfinite(high)) or high <= low:
        return [low]
    raw = (high - low) / about
    size = 10.0 ** math.floor(math.log10(raw))
    step = next(m * size for m in (1, 2, 2.5, 5, 10) if m * size >= raw * 0.999)
    first = math.ceil(low / step - 1e-9)
    return [round(n * step, 12) for n in range(first, math.floor(high / step + 1e-9) + 1)]


def clear_ticks(low: float, high: float, room: float, about: int = 6) -> list[float]:
    """Round numbers along a level axis of so many px, no more than keep clear of each other."""
    for most in range(about, 0, -1):
        found = ticks(low, high, most)
        wide = max(width_of(f"{value:g}") for value in found) + TEXT / 2
        if len(found) < 2 or wide * (high - low) <= room * (found[1] - found[0]):
            return found
    return found[:1]


def inside(middle: float, words: str, end: float) -> float:
    """Where the middle of words stands that belong there, so that all of them lie between 0 and `end`."""
    half = width_of(words) / 2
    return max(min(middle, end - half), half)


def chart(x: Axis, y: Axis, parts: Sequence[Part], width: int = WIDTH, height: int = HEIGHT) -> Markup:
    """Curves, bands and marks on two straight axes that stay where they are while a slider moves."""
    labels = [(part, part.label) for part in parts if part.label]
    rows = _legend_rows([label for _, label in labels], width)
    foot = 32.0 + 18 * len(broken(x.label, width))
    frame = _Frame(x, y, LEFT, 12.0 + 22 * len(rows), width - MARGIN, height - foot)
    curves = [_curve(part, frame) for part in parts if isinstance(part, Line | Shade)]
    settings = [_setting(part, frame) for part in parts if isinstance(part, Span | Mark)]
    # Half a stroke of room, so that a line along an axis is not halved.
    place = (frame.left - 2, frame.top - 2, frame.right - frame.left + 4, frame.bottom - frame.top + 4)
    behind = [_stretch(part, frame) for part in parts if isinstance(part, Stretch)]
    body = [*behind, _axes(frame), drawing.window(*place, *curves), *settings]
    for (part, label), (left, top) in zip(labels, itertools.chain.from_iterable(rows), strict=True):
        body += [_sample(part, left, top), text(left + 34, top + 5, label)]
    return svg(body, width, height)


class _Frame(NamedTuple):
    x: Axis
    y: Axis
    left: float
    top: float
    right: float
    bottom: float

    def across(self, value: Any) -> Any:
        share = (np.asarray(value, dtype=float) - self.x.low) / (self.x.high - self.x.low)
        return self.left + np.clip(share, -0.02, 1.02) * (self.right - self.left)

    def up(self, value: Any) -> Any:
        share = (np.asarray(value, dtype=float) - self.y.low) / (self.y.high - self.y.low)
        return self.bottom - np.clip(share, -0.02, 1.02) * (self.bottom - self.top)

    def beyond(self, x: Any, y: Any) -> tuple[Any, Any]:
        """Places of a curve that may leave the chart: it is cut there, not bent along its edge."""
        across = (np.asarray(x, dtype=float) - self.x.low) / (self.x.high - self.x.low)
        up = (np.asarray(y, dtype=float) - self.y.low) / (self.y.high - self.y.low)
        return (
            self.left + np.clip(across, -FAR, FAR) * (self.right - self.left),
            self.bottom - np.clip(up, -FAR, FAR) * (self.bottom - self.top),
        )


@functools.lru_cache(maxsize=64)
def _axes(frame: _Frame) -> Markup:
    left, top, right, bottom = frame.left, frame.top, frame.right, frame.bottom
    marks: list[str | float] = []
    words = []
    for value in clear_ticks(frame.x.low, frame.x.high, right - left):
        at, told = float(frame.across(value)), f"{value:g}"
        marks += ["M", at, bottom, "v", 6, "M", at, bottom, "V", top]
        words.append(text(inside(at, told, right + MARGIN), bottom + 21, told, "middle"))
    for value in ticks(frame.y.low, frame.y.high):
        at = float(frame.up(value))
        marks += ["M", left, at, "h", -6, "M", left, at, "H", right]
        words.append(text(left - 9, at + 5, f"{value:g}", "end"))
    for row, told in enumerate(broken(frame.x.label, right + MARGIN)):
        words.append(text(inside((left + right) / 2, told, right + MARGIN), bottom + 42 + 18 * row, told, "middle"))
    words.append(upright_label(frame.y.label, top, bottom))
    frame_line = path("M", left, top, "V", bottom, "H", right, **OUTLINE)
    return together((path(*marks, **OUTLINE, opacity=0.22), frame_line, *words))


def _curve(part: Line | Shade, frame: _Frame) -> Markup:
    if isinstance(part, Line):
        return curve(*frame.beyond(part.x, part.y), **_stroke(part.dash))
    (across, low), (_, high) = frame.beyond(part.x, part.band[0]), frame.beyond(part.x, part.band[-1])
    there_and_back = np.r_[across, across[::-1]], np.r_[low, high[::-1]]
    return curve(*there_and_back, closed=True, fill="currentColor", opacity=0.16)


def _setting(part: Span | Mark, frame: _Frame) -> Markup:
    if isinstance(part, Span):
        top, bottom = float(frame.up(part.high)), float(frame.up(part.low))
        return hatch(frame.left, top, frame.right - frame.left, bottom - top, "slant", opacity=0.35)
    x, y = float(frame.across(part.x)), float(frame.up(part.y))
    shape = _shape(x, y, part.pinned)
    if not frame.y.low <= part.y <= frame.y.high:
        return _off(x, y, part.y > frame.y.high, part.pinned)
    if part.low is None or part.high is None:
        return shape
    low, high = float(frame.up(part.low)), float(frame.up(part.high))
    moves = ("M", x - 6, low, "h", 12, "m", -6, 0, "V", high, "m", -6, 0, "h", 12)
    return path(*moves, stroke="currentColor" if part.pinned else ACCENT, stroke_width=2.5, fill="none") + shape


def _stretch(part: Stretch, frame: _Frame) -> Markup:
    left, right = float(frame.across(part.low)), float(frame.across(part.high))
    return _stretched(left, frame.top, right - left, frame.bottom - frame.top, part.hatch)


def _stretched(x: float, y: float, width: float, height: float, kind: str) -> Markup:
    if kind == "plain":
        return rect(x, y, width, height, **OUTLINE, opacity=0.4)
    return hatch(x, y, width, height, kind, opacity=0.4)


def _shape(x: float, y: float, pinned: bool) -> Markup:
    if pinned:
        return rect(x - 6, y - 6, 12, 12, **OUTLINE, stroke_width=2.5)
    return circle(x, y, 7, **INK, fill=ACCENT, stroke_width=1.5)


def _off(x: float, y: float, above: bool, pinned: bool) -> Markup:
    """A setting off the chart: a head that points to where it would be."""
    way = -1 if above else 1
    head = {"fill": "none" if pinned else ACCENT, "stroke_width": 2.5 if pinned else 1.5}
    return path("M", x - 8, y, "h", 16, "L", x, y + 13 * way, "Z", **INK, **head)


def _sample(part: Part, x: float, y: float) -> Markup:
    if isinstance(part, Line):
        return path("M", x, y, "h", 28, **_stroke(part.dash))
    if isinstance(part, Mark):
        return _shape(x + 14, y, part.pinned)
    if isinstance(part, Shade):
        return rect(x, y - 7, 28, 14, fill="currentColor", opacity=0.16)
    if isinstance(part, Stretch):
        return _stretched(x, y - 7, 28, 14, part.hatch)
    return hatch(x, y - 7, 28, 14, "slant", opacity=0.6)


def _legend_rows(labels: Sequence[str], width: int) -> list[list[tuple[float, float]]]:
    """Where each legend entry begins, in rows that fit the width."""
    rows: list[list[tuple[float, float]]] = []
    left = float(width)
    for label in labels:
        space = 34 + width_of(label) + 22
        if left + space > width:
            rows.append([])
            left = 20.0
        rows[-1].append((left, 12.0 + 22 * (len(rows) - 1)))
        left += space
    return rows


def bars(
    label: str, rows: Sequence[Bar], high: float | None = None, width: int = WIDTH, limit: float | None = None
) -> Markup:
    """Bars that lie, each with its words above it, so that no label is cut; a limit crosses them all."""
    largest = max((max(r.size, r.high or 0) for r in rows), default=0.0)
    axis = Axis(label, 0, high or 1.15 * largest or 1)
    told = [broken(f"{row.label}: {row.text}" if row.text else row.label, width - 32) for row in rows]
    tops = [10.0 + 50 * number + 18 * sum(len(one) - 1 for one in told[: number + 1]) for number in range(len(rows))]
    bottom = (tops[-1] if tops else -40.0) + 50
    frame = _Frame(axis, Axis("", 0, 1), 16.0, 6.0, width - 20.0, bottom)
    body = [_bars_axis(frame)]
    for top, words, row in zip(tops, told, rows, strict=True):
        end = float(frame.across(row.size))
        body.append(_grid(frame, top + 20))
        body += [text(16, top + 14 - 18 * back, one) for back, one in enumerate(reversed(words))]
        body.append(box(16, top + 20, end - 16, 20, row.hatch))
        if row.low is not None and row.high is not None:
            low, top_end = float(frame.across(row.low)), float(frame.across(row.high))
            moves = ("M", low, top + 24, "v", 12, "m", 0, -6, "H", top_end, "m", 0, -6, "v", 12)
            body.append(path(*moves, **OUTLINE, stroke_width=2.5))
    if limit is not None:
        at = float(frame.across(limit))
        body += [path("M", at, top + 18, "v", 24, **OUTLINE, stroke_width=3) for top in tops]
    return svg(body, width, int(bottom + 50))


def broken(words: str, room: float) -> list[str]:
    """In as few lines as there is room for."""
    lines = [""]
    for word in words.split():
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and width_of(longer) > room:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines


def _bars_axis(frame: _Frame) -> Markup:
    places = [(float(frame.across(value)), value) for value in _bar_ticks(frame)]
    marks = [move for at, _ in places for move in ("M", at, frame.bottom, "v", 6)]
    words = [text(at, frame.bottom + 21, f"{value:g}", "middle") for at, value in places]
    words.append(text((frame.left + frame.right) / 2, frame.bottom + 42, frame.x.label, "middle"))
    return together((path("M", frame.left, frame.bottom, "H", frame.right, *marks, **INK), *words))


def _bar_ticks(frame: _Frame) -> list[float]:
    return clear_ticks(frame.x.low, frame.x.high, frame.right - frame.left)


def _grid(frame: _Frame, top: float) -> Markup:
    """Lines behind one bar, not through its words."""
    places = (float(frame.across(value)) for value in _bar_ticks(frame))
    return path(*(move for at in places for move in ("M", at, top, "v", 20)), **INK, opacity=0.22)


def shares(rows: Sequence[tuple[str, Sequence[Slice]]], width: int = WIDTH, longest: float = 0) -> Markup:
    """A whole cut into its parts: one bar a row, all of one length per unit, with the words of each part below."""
    longest = longest or max((sum(s.size for s in slices) for _, slices in rows), default=1) or 1
    body: list[Markup] = []
    top = 8.0
    for title, slices in rows:
        body.append(text(16, top + 14, title))
        left, scale = 16.0, (width - 32) / longest
        for part in slices:
            body.append(box(left, top + 22, part.size * scale, 34, part.hatch))
            left += part.size * scale
        top += 66
        entries = [f"{s.label} {s.text}".strip() for s in slices]
        laid = _legend_rows(entries, width)
        for (x, y), part, words in zip(itertools.chain.from_iterable(laid), slices, entries, strict=True):
            body += [box(x, top + y - 13, 24, 15, part.hatch), text(x + 32, top + y, words)]
        top += 22 * len(laid) + 12
    return svg(body, width, int(top))


def layers(
    axis: Axis, columns: Sequence[tuple[str, Sequence[Slice]]], width: int = 420, height: int = HEIGHT
) -> Markup:
    """Films cut through: each column a stack from the ground up, to scale on one axis, its words beside it."""
    frame = _Frame(Axis("", 0, 1), axis, LEFT, 14.0, width - 10.0, height - 34.0)
    room = (frame.right - frame.left) / max(len(columns), 1)
    words = max(
        (width_of(told) for _, slices in columns for part in slices for told in (part.label, part.text)), default=0
    )
    thick = min(0.42 * room, 90.0, max(room - words - 21, 24.0))  # so that what stands beside a column has room
    body = [_layers_axis(frame)]
    for number, (title, slices) in enumerate(columns):
        left, ground = frame.left + 12 + number * room, 0.0
        body.append(text(left, frame.bottom + 24, title))
        places = []
        for part in slices:
            low, high = float(frame.up(ground)), float(frame.up(ground + part.size))
            body.append(box(left, high, thick, low - high, part.hatch))
            places.append((low + high) / 2)
            ground += part.size
        for part, at in zip(slices, _spread(places, 38, frame.top + 10, frame.bottom - 22), strict=True):
            body += [text(left + thick + 7, at, part.label), text(left + thick + 7, at + 18, part.text)]
    return svg(body, width, height)


def _layers_axis(frame: _Frame) -> Markup:
    body = [path("M", frame.left, frame.top, "V", frame.bottom, "H", frame.right, **OUTLINE)]
    for value in ticks(frame.y.low, frame.y.high):
        at = float(frame.up(value))
        body += [path("M", frame.left, at, "h", -6, **INK), text(frame.left - 9, at + 5, f"{value:g}", "end")]
    return together((*body, upright_label(frame.y.label, frame.top, frame.bottom)))


def _spread(places: Sequence[float], gap: float, top: float, bottom: float) -> list[float]:
    """Places for words that stand apart by at least `gap`, from the lowest up, held inside."""
    found: list[float] = []
    limit = bottom
    for place in places:
        found.append(max(min(place, limit), top))
        limit = found[-1] - gap
    return found


def side_by_side(*drawings: str) -> Markup:
    """Drawings in a row, that fall under one another when the page is narrow."""
    return tag("div", *map(Markup, drawings), class_="ck-row")


# --- pieces ----------------------------------------------------------------------------------------------


def narrowest(width: float) -> str:
    """The style of a drawing that is not shown so narrow that its text falls under 12 px; then one scrolls it."""
    return f"min-width:{min(width, round(12.2 / TEXT * width)):.0f}px"


def svg(body: Sequence[Markup], width: float, height: float, kind: str = "", most: float = 0) -> Markup:
    """A drawing on the page of a lesson."""
    style = f"{narrowest(width)};max-width:{most or width:g}px"
    look: dict[str, Any] = {"font_size": TEXT, "fill": "currentColor", "aria_hidden": "true"}
    kinds = " ".join(one for one in ("ck-drawing", kind, "ck-tall" if height > width else "") if one)
    return drawing.drawing(width, height, body, class_=kinds, style=style, **look)


def hatch(x: float, y: float, width: float, height: float, kind: str, **look: Any) -> Markup:
    """The hatching of a rectangle; "plain" has none."""
    if kind == "plain" or not (width > 0 and height > 0):
        return Markup("")
    return hatched(kind, corners(x, y, width, height), PITCH, HATCHES[kind], **INK, class_="ck-hatch", **look)


def box(x: float, y: float, width: float, height: float, kind: str) -> Markup:
    """A part of a bar or a layer of a film."""
    ground = rect(x, y, width, height, fill="currentColor", opacity=0.07)
    return together(
        (ground, hatch(x, y, width, height, kind), rect(x, y, width, height, **OUTLINE, stroke_width=1.2))
    )


def upright_label(label: str, top: float, bottom: float) -> Markup:
    """What an upright axis says, along it; one longer than the axis goes on below, not into the legend."""
    return text(16, max((top + bottom) / 2, top + width_of(label) / 2), label, "middle", turned=True)


def _stroke(dash: str) -> dict[str, Any]:
    return {**OUTLINE, "stroke_width": 2.5, "stroke_dasharray": DASHES[dash]}


def width_of(words: str) -> float:
    """How wide words stand in a drawing, about; a digit is wider than most letters."""
    return TEXT * (0.54 * len(words) + 0.1 * sum(map(str.isdigit, words)))
