"""The course's own small drawing kit: SVG text in `currentColor`, so that it follows Lab's light and dark themes.

Nothing is told by colour alone: lines differ in their dashes, fills in their hatching, marks in their shape. Numbers
come in the unit that is shown. A drawing has no words of its own for who cannot see it: the bench says its sentence.
"""

from __future__ import annotations

import functools
import itertools
import math
import zlib
from collections.abc import Iterable, Sequence
from typing import Any, NamedTuple

import numpy as np

from coursekit.figure import Axis
from coursekit.markup import Markup, tag

WIDTH, HEIGHT = 640, 340
LEFT = 70.0  # room for the upright axis: its label and numbers of four digits
TEXT = 15  # never under 12 px on the page: `narrowest`
ACCENT = "var(--jp-brand-color1, currentColor)"
FAR = 40.0  # widths of a chart: a curve that runs further is drawn that far, so that its slope at the edge is right
DASHES = {"solid": "", "dashed": "9 5", "dotted": "2 4", "dash-dot": "10 4 2 4"}
HATCHES = {
    "plain": "",
    "slant": '<path d="M-2,10 L10,-2 M6,18 L18,6" stroke="currentColor" stroke-width="1.6"/>',
    "dots": '<path d="M4,4 h.1 M12,12 h.1" stroke="currentColor" stroke-width="3.4" stroke-linecap="round"/>',
    "cross": '<path d="M0,0 L16,16 M16,0 L0,16" stroke="currentColor" stroke-width="1.1"/>',
    "level": '<path d="M0,4 H16 M0,12 H16" stroke="currentColor" stroke-width="1.4"/>',
    "upright": '<path d="M4,0 V16 M12,0 V16" stroke="currentColor" stroke-width="1.4"/>',
    "back": '<path d="M-2,6 L10,18 M6,-2 L18,10" stroke="currentColor" stroke-width="1.6"/>',
}


class Line(NamedTuple):
    """A curve; its label stands in the legend."""

    x: Any
    y: Any
    label: str = ""
    dash: str = "solid"
    kept: str | None = None  # its label where its setting is the one kept; none: not drawn then


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


class Mark(NamedTuple):
    """A setting on the chart, from `low` to `high`: a full dot for the one now, an open square for the one kept."""

    x: Any
    y: Any
    label: str = ""
    kept: bool = False
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
    kept: str | None = None  # its label where its setting is the one kept; none: not drawn then


Part = Line | Shade | Span | Mark


def ticks(low: float, high: float, about: int = 5) -> list[float]:
    """Round numbers from low to high."""
    if not (math.isfinite(low) and math.isfinite(high)) or high <= low:
        return [low]
    raw = (high - low) / about
    size = 10.0 ** math.floor(math.log10(raw))
    step = next(m * size for m in (1, 2, 2.5, 5, 10) if m * size >= raw * 0.999)
    first = math.ceil(low / step - 1e-9)
    return [round(n * step, 12) for n in range(first, math.floor(high / step + 1e-9) + 1)]


def chart(x: Axis, y: Axis, parts: Sequence[Part], width: int = WIDTH, height: int = HEIGHT) -> Markup:
    """Curves, bands and marks on two straight axes that stay where they are while a slider moves."""
    labels = [(part, part.label) for part in parts if part.label]
    rows = _legend_rows([label for _, label in labels], width)
    frame = _Frame(x, y, LEFT, 12.0 + 22 * len(rows), width - 14.0, height - 50.0)
    curves = "".join(_curve(part, frame) for part in parts if isinstance(part, Line | Shade))
    settings = [_setting(part, frame) for part in parts if isinstance(part, Span | Mark)]
    body = [_axes(frame), f'<g clip-path="{_CLIP}">{curves}</g>', *settings]
    for part_label, (left, top) in zip(labels, itertools.chain.from_iterable(rows), strict=True):
        body.append(_sample(part_label[0], left, top) + text(left + 34, top + 5, part_label[1]))
    return svg("".join(body), width, height, frame)


_CLIP = "url(#ck-clip)"


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
def _axes(frame: _Frame) -> str:
    left, top, right, bottom = frame.left, frame.top, frame.right, frame.bottom
    marks, words = [], []
    for value in ticks(frame.x.low, frame.x.high, 6):
        at = float(frame.across(value))
        marks.append(f"M{at:.1f},{bottom} v6 M{at:.1f},{bottom} V{top}")
        words.append(text(at, bottom + 21, f"{value:g}", "middle"))
    for value in ticks(frame.y.low, frame.y.high):
        at = float(frame.up(value))
        marks.append(f"M{left},{at:.1f} h-6 M{left},{at:.1f} H{right}")
        words.append(text(left - 9, at + 5, f"{value:g}", "end"))
    words.append(text((left + right) / 2, bottom + 42, frame.x.label, "middle"))
    turned = f"rotate(-90 15 {(top + bottom) / 2:.0f})"
    words.append(text(15, (top + bottom) / 2 + 5, frame.y.label, "middle", turned))
    return (
        f'<path d="{" ".join(marks)}" stroke="currentColor" opacity=".22" fill="none"/>'
        f'<path d="M{left},{top} V{bottom} H{right}" stroke="currentColor" fill="none"/>' + "".join(words)
    )


def _curve(part: Line | Shade, frame: _Frame) -> str:
    if isinstance(part, Line):
        return f'<polyline points="{_points(*frame.beyond(part.x, part.y))}" {_stroke(part.dash)}/>'
    (across, low), (_, high) = frame.beyond(part.x, part.band[0]), frame.beyond(part.x, part.band[-1])
    points = _points(np.r_[across, across[::-1]], np.r_[low, high[::-1]])
    return f'<polygon points="{points}" fill="currentColor" opacity=".16"/>'


def _setting(part: Span | Mark, frame: _Frame) -> str:
    if isinstance(part, Span):
        top, bottom = float(frame.up(part.high)), float(frame.up(part.low))
        return (
            f'<rect x="{frame.left}" y="{top:.1f}" width="{frame.right - frame.left:.1f}" '
            f'height="{bottom - top:.1f}" fill="{hatch("slant")}" opacity=".35"/>'
        )
    x, y = float(frame.across(part.x)), float(frame.up(part.y))
    colour = "currentColor" if part.kept else ACCENT
    band = ""
    if part.low is not None and part.high is not None:
        band = (
            f'<path d="M{x - 6:.1f},{float(frame.up(part.low)):.1f} h12 m-6,0 V{float(frame.up(part.high)):.1f} '
            f'm-6,0 h12" stroke="{colour}" stroke-width="2.5" fill="none"/>'
        )
    return band + _shape(x, y, part.kept)


def _shape(x: float, y: float, kept: bool) -> str:
    if kept:
        return (
            f'<rect x="{x - 6:.1f}" y="{y - 6:.1f}" width="12" height="12" fill="none" '
            'stroke="currentColor" stroke-width="2.5"/>'
        )
    return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="7" fill="{ACCENT}" stroke="currentColor" stroke-width="1.5"/>'


def _sample(part: Part, x: float, y: float) -> str:
    if isinstance(part, Line):
        return f'<path d="M{x},{y} h28" {_stroke(part.dash)}/>'
    if isinstance(part, Mark):
        return _shape(x + 14, y, part.kept)
    fill, opacity = ("currentColor", ".16") if isinstance(part, Shade) else (hatch("slant"), ".6")
    return f'<rect x="{x}" y="{y - 7}" width="28" height="14" fill="{fill}" opacity="{opacity}"/>'


def _legend_rows(labels: Sequence[str], width: int) -> list[list[tuple[float, float]]]:
    """Where each legend entry begins, in rows that fit the width."""
    rows: list[list[tuple[float, float]]] = []
    left = float(width)
    for label in labels:
        space = 34 + _width(label) + 22
        if left + space > width:
            rows.append([])
            left = 20.0
        rows[-1].append((left, 12.0 + 22 * (len(rows) - 1)))
        left += space
    return rows


def bars(label: str, rows: Sequence[Bar], high: float | None = None, width: int = WIDTH) -> Markup:
    """Bars that lie, each with its words above it, so that no label is cut."""
    largest = max((max(r.size, r.high or 0) for r in rows), default=0.0)
    axis = Axis(label, 0, high or 1.15 * largest or 1)
    bottom = 10.0 + 50 * len(rows)
    frame = _Frame(axis, Axis("", 0, 1), 16.0, 6.0, width - 20.0, bottom)
    body = [_bars_axis(frame)]
    for number, row in enumerate(rows):
        top, end = 10.0 + 50 * number, float(frame.across(row.size))
        body.append(_grid(frame, top + 20))
        words = f"{row.label}: {row.text}" if row.text else row.label
        body.append(text(16, top + 14, words) + box(16, top + 20, end - 16, 20, row.hatch))
        if row.low is not None and row.high is not None:
            low, top_end = float(frame.across(row.low)), float(frame.across(row.high))
            body.append(
                f'<path d="M{low:.1f},{top + 24} v12 m0,-6 H{top_end:.1f} m0,-6 v12" stroke="currentColor" '
                'stroke-width="2.5" fill="none"/>'
            )
    return svg("".join(body), width, int(bottom + 50))


def _bars_axis(frame: _Frame) -> str:
    places = [(float(frame.across(value)), value) for value in ticks(frame.x.low, frame.x.high, 6)]
    marks = " ".join(f"M{at:.1f},{frame.bottom} v6" for at, _ in places)
    words = [text(at, frame.bottom + 21, f"{value:g}", "middle") for at, value in places]
    words.append(text((frame.left + frame.right) / 2, frame.bottom + 42, frame.x.label, "middle"))
    line = f'<path d="M{frame.left},{frame.bottom} H{frame.right} {marks}" stroke="currentColor"/>'
    return line + "".join(words)


def _grid(frame: _Frame, top: float) -> str:
    """Lines behind one bar, not through its words."""
    places = (float(frame.across(value)) for value in ticks(frame.x.low, frame.x.high, 6))
    return f'<path d="{" ".join(f"M{at:.1f},{top} v20" for at in places)}" stroke="currentColor" opacity=".22"/>'


def shares(rows: Sequence[tuple[str, Sequence[Slice]]], width: int = WIDTH, longest: float = 0) -> Markup:
    """A whole cut into its parts: one bar a row, all of one length per unit, with the words of each part below."""
    longest = longest or max((sum(s.size for s in slices) for _, slices in rows), default=1) or 1
    body, top = [], 8.0
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
            body.append(box(x, top + y - 13, 24, 15, part.hatch) + text(x + 32, top + y, words))
        top += 22 * len(laid) + 12
    return svg("".join(body), width, int(top))


def layers(
    axis: Axis, columns: Sequence[tuple[str, Sequence[Slice]]], width: int = 420, height: int = HEIGHT
) -> Markup:
    """Films cut through: each column a stack from the ground up, to scale on one axis, its words beside it."""
    frame = _Frame(Axis("", 0, 1), axis, LEFT, 14.0, width - 10.0, height - 34.0)
    room = (frame.right - frame.left) / max(len(columns), 1)
    thick = min(0.42 * room, 90.0)
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
            body.append(text(left + thick + 7, at, part.label) + text(left + thick + 7, at + 18, part.text))
    return svg("".join(body), width, height)


def _layers_axis(frame: _Frame) -> str:
    body = [f'<path d="M{frame.left},{frame.top} V{frame.bottom} H{frame.right}" stroke="currentColor" fill="none"/>']
    for value in ticks(frame.y.low, frame.y.high):
        at = float(frame.up(value))
        body.append(
            f'<path d="M{frame.left},{at:.1f} h-6" stroke="currentColor"/>'
            + text(frame.left - 9, at + 5, f"{value:g}", "end")
        )
    middle = (frame.top + frame.bottom) / 2
    body.append(text(15, middle + 5, frame.y.label, "middle", f"rotate(-90 15 {middle:.0f})"))
    return "".join(body)


def _spread(places: Sequence[float], gap: float, top: float, bottom: float) -> list[float]:
    """Places for words that stand apart by at least `gap`, from the lowest up, kept inside."""
    found: list[float] = []
    limit = bottom
    for place in places:
        found.append(max(min(place, limit), top))
        limit = found[-1] - gap
    return found


def side_by_side(*drawings: str) -> Markup:
    """Drawings in a row, that fall under one another when the page is narrow."""
    return Markup(f'<div class="ck-row">{"".join(drawings)}</div>')


# --- pieces ----------------------------------------------------------------------------------------------


def narrowest(width: float) -> str:
    """The style of a drawing that is not shown so narrow that its text falls under 12 px; then one scrolls it."""
    return f"min-width:{min(width, max(520, round(12.2 / TEXT * width))):.0f}px"


def svg(body: str, width: int, height: int, frame: _Frame | None = None) -> Markup:
    # A pattern of the same name in a cell that Lab has hidden would draw nothing: each drawing has its own, named by
    # what is drawn, so that the same drawing is the same text.
    number = f"{zlib.crc32(f'{frame}{body}'.encode()):08x}"
    named = [name for name in HATCHES if f"#ck-{name})" in body]
    for name in named:
        body = body.replace(f"#ck-{name})", f"#ck-{name}-{number})")
    used = "".join(_pattern(name, number) for name in named)
    if frame is not None:  # half a stroke of room, so that a line along an axis is not halved
        body = body.replace(_CLIP, f"url(#ck-clip-{number})")
        wide, high = frame.right - frame.left + 4, frame.bottom - frame.top + 4
        used += (
            f'<clipPath id="ck-clip-{number}"><rect x="{frame.left - 2}" y="{frame.top - 2}" width="{wide}" '
            f'height="{high}"/></clipPath>'
        )
    return Markup(
        f'<svg class="ck-drawing" viewBox="0 0 {width} {height}" style="{narrowest(width)};max-width:{width}px" '
        f'aria-hidden="true" font-size="{TEXT}" fill="currentColor">'
        + (f"<defs>{used}</defs>" if used else "")
        + body
        + "</svg>"
    )


def _pattern(name: str, number: str) -> str:
    return (
        f'<pattern id="ck-{name}-{number}" width="16" height="16" patternUnits="userSpaceOnUse">'
        f"{HATCHES[name]}</pattern>"
    )


def hatch(name: str) -> str:
    return f"url(#ck-{name})" if HATCHES[name] else "none"


def box(x: float, y: float, width: float, height: float, fill: str) -> str:
    size = f'x="{x:.1f}" y="{y:.1f}" width="{max(width, 0):.1f}" height="{max(height, 0):.1f}"'
    return (
        f'<rect {size} fill="currentColor" opacity=".07"/>'
        f'<rect {size} fill="{hatch(fill)}" stroke="currentColor" stroke-width="1.2"/>'
    )


def _stroke(dash: str) -> str:
    pattern = f' stroke-dasharray="{DASHES[dash]}"' if DASHES[dash] else ""
    return f'stroke="currentColor" stroke-width="2.5" fill="none"{pattern}'


def text(x: float, y: float, words: str, anchor: str = "start", turned: str | None = None) -> str:
    return str(tag("text", words, x=f"{x:.1f}", y=f"{y:.1f}", text_anchor=anchor, transform=turned))


def _width(words: str) -> float:
    return 0.54 * TEXT * len(words)


def _points(x: Iterable[float], y: Iterable[float]) -> str:
    return " ".join([f"{a:.1f},{b:.1f}" for a, b in zip(x, y, strict=True) if math.isfinite(a) and math.isfinite(b)])
