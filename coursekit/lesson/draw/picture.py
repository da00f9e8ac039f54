"""The picture of a bench as data: it is drawn for one setting, and what is pinned is joined to it here.

A bench draws what it has computed and knows of no other setting. When one is pinned, it is drawn the same way, and
`joined` puts its lines, marks and bars into the picture of the present one, told apart by dash, hatch and shape. A
line or bar says by `pinned=` how it is called then; one without it is not drawn twice. Numbers may be figures.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from coursekit.figure import Axis, Figure
from coursekit.lesson.draw import charts
from coursekit.lesson.draw.charts import HEIGHT, WIDTH, Bar, Line, Mark, Part, Shade, Slice, Span, Stretch
from coursekit.nomenclature import System
from coursekit.uncertain import Band

__all__ = [
    "Bar",
    "Bars",
    "Chart",
    "Column",
    "Layers",
    "Line",
    "Mark",
    "Part",
    "Picture",
    "Row",
    "Shade",
    "Shares",
    "Slice",
    "Span",
    "Stretch",
    "level",
    "shaded",
    "upright",
]

ABREAST = 650  # wide: what stands side by side beside the controls
ROOMY = 1.05  # times the longest bar, where the axis asked for does not hold it
ROOM = 150  # for one more column of layers


class Picture:
    """Something drawn. `markup` gives its HTML; `joined` is the same with the picture of a pinned setting in it."""

    def markup(self, words: str, system: System) -> str:
        raise NotImplementedError

    def joined(self, pinned: Any) -> Any:
        return self


Drawn = Picture | str | Sequence["Drawn"]  # several stand under one another


def markup(drawn: Drawn, words: str, system: System) -> str:
    """HTML of what a bench drew; `words` are for who cannot see it."""
    if isinstance(drawn, str):
        return drawn
    if isinstance(drawn, Picture):
        return drawn.markup(words, system)
    return "".join(markup(part, words, system) for part in drawn)


def joined(drawn: Drawn, pinned: Drawn) -> Drawn:
    """A drawing with what is pinned in it; words are those of the present one."""
    if isinstance(drawn, str) or type(drawn) is not type(pinned):
        return drawn
    if isinstance(drawn, Picture):
        found: Drawn = drawn.joined(pinned)
        return found
    assert not isinstance(pinned, str | Picture)
    return [joined(one, other) for one, other in zip(drawn, pinned, strict=False)] + list(drawn[len(pinned) :])


# --- pictures ---------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Chart(Picture):
    """Curves, bands and marks on two axes."""

    x: Axis
    y: Axis
    parts: Sequence[Part]
    width: int = WIDTH
    height: int = HEIGHT

    def markup(self, words: str, system: System) -> str:
        return charts.chart(self.x, self.y, [_plain(part) for part in self.parts], self.width, self.height)

    def joined(self, pinned: Chart) -> Chart:
        if (self.x.label, self.y.label) != (pinned.x.label, pinned.y.label):
            return self  # numbers of another kind have no place on these axes
        used = {part.dash for part in self.parts if isinstance(part, Line)}
        dashes = itertools.cycle(
            [dash for dash in ("dashed", "dotted", "dash-dot") if dash not in used] or ["dotted"]
        )
        found: list[Part] = [
            part._replace(label=part.pinned, dash=next(dashes), pinned=None)
            for part in pinned.parts
            if isinstance(part, Line) and part.pinned is not None
        ]
        named = bool(found)
        for part in pinned.parts:
            if isinstance(part, Mark) and not part.pinned:
                found.append(part._replace(label="" if named else "pinned", pinned=True))
                named = True
        return replace(
            self, x=both_axes(self.x, pinned.x), y=both_axes(self.y, pinned.y), parts=[*self.parts, *found]
        )


@dataclass(frozen=True)
class Bars(Picture):
    """Bars that lie, to the end of one axis; a pinned one lies under the one that it compares with.

    limit   where a heavy line crosses all of them
    """

    axis: Axis
    rows: Sequence[Bar]
    width: int = WIDTH
    limit: float | None = None

    def markup(self, words: str, system: System) -> str:
        rows = [_bar(row) for row in self.rows]
        longest = max((max(row.size, row.high or 0.0) for row in rows), default=0.0)
        high = self.axis.high if longest <= self.axis.high else ROOMY * longest
        return charts.bars(self.axis.label, rows, high, self.width, self.limit)

    def joined(self, pinned: Bars) -> Bars:
        if self.axis.label != pinned.axis.label:
            return self
        used = {row.hatch for row in self.rows}
        hatch = next((one for one in ("dots", "cross", "back", "upright") if one not in used), "dots")
        rows: list[Bar] = []
        for row, other in itertools.zip_longest(self.rows, pinned.rows):
            rows += [] if row is None else [row]
            if other is not None and other.pinned is not None:
                rows.append(other._replace(label=other.pinned, hatch=hatch, pinned=None))
        return replace(self, axis=both_axes(self.axis, pinned.axis), rows=rows)


@dataclass(frozen=True)
class Shares(Picture):
    """Wholes cut into their parts, all to one scale; `alone` ones are not joined by a pinned one."""

    rows: Sequence[tuple[str, Sequence[Slice]]]
    width: int = WIDTH
    longest: float | Figure = 0.0
    alone: bool = False

    def markup(self, words: str, system: System) -> str:
        rows = [(title, [_slice(part) for part in parts]) for title, parts in self.rows]
        return charts.shares(rows, self.width, float(_shown(self.longest)))

    def joined(self, pinned: Shares) -> Shares:
        if self.alone:
            return self
        rows = [*self.rows, *((f"pinned, {title}", parts) for title, parts in pinned.rows)]
        return replace(self, rows=rows, longest=max(float(_shown(one.longest)) for one in (self, pinned)))


@dataclass(frozen=True)
class Layers(Picture):
    """Films or cups cut through, side by side on one upright axis; `alone` ones are not joined by a pinned one."""

    axis: Axis
    columns: Sequence[tuple[str, Sequence[Slice]]]
    width: int = 420
    height: int = HEIGHT
    alone: bool = False

    def markup(self, words: str, system: System) -> str:
        columns = [(title, [_slice(part) for part in parts]) for title, parts in self.columns]
        return charts.layers(self.axis, columns, self.width, self.height)

    def joined(self, pinned: Layers) -> Layers:
        if self.alone:
            return self
        one = len(pinned.columns) == 1
        more = [("pinned" if one else f"pinned, {title}", parts) for title, parts in pinned.columns]
        width = self.width + ROOM * len(more)
        return replace(self, axis=both_axes(self.axis, pinned.axis), columns=[*self.columns, *more], width=width)


class Row(Picture):
    """Drawings side by side, that fall under one another when the page is narrow."""

    def __init__(self, *parts: Drawn) -> None:
        self.parts = parts

    def markup(self, words: str, system: System) -> str:
        return charts.side_by_side(*(markup(part, words, system) for part in self._fitted()))

    def _fitted(self) -> Sequence[Drawn]:
        """Its parts, drawn so narrow that they stand side by side beside the controls; their text keeps its size."""
        wide = [part.width for part in self.parts if isinstance(part, Chart | Bars | Layers)]
        fixed = sum(part.width for part in self.parts if isinstance(part, Layers))  # its words stand side by side
        if len(wide) < len(self.parts) or sum(wide) <= ABREAST or fixed >= ABREAST:
            return self.parts
        share = (ABREAST - fixed) / (sum(wide) - fixed)
        return [
            replace(part, width=int(part.width * share)) if isinstance(part, Chart | Bars) else part
            for part in self.parts
        ]

    def joined(self, pinned: Row) -> Row:
        return Row(*(joined(one, other) for one, other in zip(self.parts, pinned.parts, strict=True)))


class Column(Row):
    """Drawings under one another, in a place of a row."""

    def markup(self, words: str, system: System) -> str:
        return f"<div>{''.join(markup(part, words, system) for part in self.parts)}</div>"

    def joined(self, pinned: Row) -> Column:
        return Column(*super().joined(pinned).parts)


def shaded(x: Any, band: Any, label: str, middle: str = "", pinned: str | None = "pinned") -> list[Part]:
    """A band over `x`, and its middle as a line."""
    return [Shade(x, band, label), Line(x, band.middle, middle, pinned=pinned)]


def upright(at: Any, y: Axis, label: str, dash: str = "dotted") -> Line:
    """A line from the lower to the upper end of the chart."""
    return Line([at, at], [y.low, y.high], label, dash)


def level(at: Any, x: Axis, label: str, dash: str = "dotted") -> Line:
    """A line from the left to the right end of the chart."""
    return Line([x.low, x.high], [at, at], label, dash)


# --- figures as numbers -----------------------------------------------------------------------------------


def _shown(value: Any) -> Any:
    """A number of a picture: of a figure in the unit shown, of a list of figures each."""
    if isinstance(value, Figure):
        return value.shown
    if isinstance(value, list | tuple) and any(isinstance(one, Figure) for one in value):
        return [_shown(one) for one in value]
    return value


def _plain(part: Part) -> Part:
    found: Part = part._replace(**{field: _shown(value) for field, value in part._asdict().items()})
    if isinstance(found, Mark) and isinstance(found.y, Band):
        return found._replace(y=found.y.middle, low=found.y.low, high=found.y.high)
    return found


def _bar(row: Bar) -> Bar:
    """A bar of a figure says it; one of a band has its ends."""
    size = _shown(row.size)
    text = row.text or (f"{row.size}" if isinstance(row.size, Figure) else "")
    if isinstance(size, Band):
        return row._replace(size=size.middle, text=text, low=size.low, high=size.high)
    return row._replace(size=size, text=text)


def _slice(part: Slice) -> Slice:
    size = _shown(part.size)
    text = part.text or (f"{part.size}" if isinstance(part.size, Figure) else "")
    return part._replace(size=size.middle if isinstance(size, Band) else size, text=text)


def both_axes(one: Axis, other: Axis) -> Axis:
    """An axis that holds both, with the label of the first."""
    return one._replace(low=min(one.low, other.low), high=max(one.high, other.high))
