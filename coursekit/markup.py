"""Markup for pages and drawings, escaped by type: text is escaped where it goes in, `Markup` is not escaped again.

No other module escapes anything or writes a table by hand.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from markupsafe import Markup, escape

__all__ = ["Markup", "each", "folded", "items", "paragraph", "rows", "table", "tag", "together"]

VOID = ("br", "img", "input", "meta")  # HTML that has nothing inside and no end
SHAPES = ("rect", "path", "circle", "polyline", "polygon")  # of a drawing, closed at once


def tag(name: str, /, *inside: Any, **attributes: Any) -> Markup:
    """An element: `tag("p", "a < b", class_="lead")`. An attribute that is None or "" is left out."""
    told = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{escape(value)}"'
        for key, value in attributes.items()
        if value is not None and value != ""
    )
    if name in VOID or name in SHAPES:
        return Markup(f"<{name}{told}{'' if name in VOID else '/'}>")
    return Markup(f"<{name}{told}>{together(inside)}</{name}>")


def together(parts: Iterable[Any]) -> Markup:
    """One after the other; text among them is escaped."""
    return Markup("").join(parts)


def each(name: str, parts: Iterable[Any], /, **attributes: Any) -> Markup:
    """Each part in an element of its own."""
    return together(tag(name, part, **attributes) for part in parts)


def paragraph(text: Any, kind: str = "") -> Markup:
    return tag("p", text, class_=kind)


def items(lines: Iterable[Any], kind: str = "") -> Markup:
    return tag("ul", each("li", lines), class_=kind)


def folded(title: Any, *inside: Any) -> Markup:
    """Something that opens on a click, with the browser's own control."""
    return tag("details", tag("summary", title), *inside)


def rows(cells: Iterable[Sequence[Any]], first: bool = False, style: str = "") -> Markup:
    """Rows of a table; `first` says that the first cell names its row."""
    return together(
        tag(
            "tr",
            *(tag("th", cell, scope="row", style=style) for cell in row[:first]),
            each("td", row[first:], style=style),
        )
        for row in cells
    )


def table(
    head: Sequence[Any], cells: Iterable[Sequence[Any]], *, first: bool = False, caption: Any = "", **attributes: Any
) -> Markup:
    """A table with a head, which scrolls with its columns and is repeated on each page in print."""
    style = attributes.pop("cell_style", "")
    return tag(
        "table",
        tag("caption", caption) if caption else "",
        tag("thead", tag("tr", *(tag("th", cell, scope="col", style=style) for cell in head))),
        tag("tbody", rows(cells, first, style)),
        **attributes,
    )
