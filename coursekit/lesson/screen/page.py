"""Pieces of a lesson's page: HTML that also reads as plain text, its style, and the one script of the page."""

from __future__ import annotations

import base64
from collections.abc import Iterable, Sequence
from typing import Any

from IPython import get_ipython
from IPython.display import display

from coursekit import markup
from coursekit.markup import Markup as Markup
from coursekit.markup import folded as folded
from coursekit.markup import items as items
from coursekit.markup import paragraph as paragraph
from coursekit.markup import tag as tag
from coursekit.markup import together as together
from coursekit.template import text_of


class Piece:
    """HTML for a browser and the same said in plain text, for exported pages and terminals."""

    def __init__(self, markup: Any, text: str) -> None:
        self.html, self.text = tag("div", markup, class_="ck"), text

    def __repr__(self) -> str:
        return self.text

    def _repr_mimebundle_(self, **_: Any) -> dict[str, str]:
        dress()
        return {"text/html": self.html, "text/plain": self.text}


HERE = "coursekit.lesson.screen"


def style() -> str:
    """The style sheet of the page, inside its tag."""
    return f'<style class="ck-style">{text_of(HERE, "page.css")}</style>'


def sheet_style() -> str:
    """The style of a sheet that is kept and printed, inside its tag."""
    return f"<style>{text_of(HERE, 'sheet.css')}</style>"


def script() -> str:
    """The script that keeps the style on the page, names sliders for screen readers, reads a sentence out once."""
    return text_of(HERE, "page.js")


_carrier: tuple[str, str] | None = None  # the cell whose output carries style and script, and the run of it


def dress(again: bool = False) -> None:
    """Put style and script on the page, once: they go into the output of the first cell that shows a lesson.

    When that cell is run again, so that its output is replaced, it gets them again. Outside a notebook there is no
    page. `again` is for the first cell of a lesson, which is run when something looks wrong.
    """
    global _carrier
    shell = get_ipython()
    if shell is None or not hasattr(shell, "kernel"):
        return
    parent = shell.get_parent()
    cell, run = parent.get("metadata", {}).get("cellId", ""), parent.get("header", {}).get("msg_id", "")
    due = _carrier is None or again or (cell and cell == _carrier[0])
    if due and _carrier != (cell, run):
        _carrier = (cell, run)
        display({"text/html": style(), "text/plain": ""}, raw=True)
        display({"application/javascript": script(), "text/plain": ""}, raw=True)


def status(*words: Any) -> Markup:
    """Words that a screen reader reads out when they change."""
    return tag("div", *words, role="status")


def table(head: Sequence[Any], rows: Iterable[Sequence[Any]]) -> Markup:
    """A table whose first column names its rows; it scrolls where the page is narrow."""
    return tag("div", markup.table(head, rows, first=True), class_="ck-wide")


def plain_table(head: Sequence[str], rows: Iterable[Sequence[Any]]) -> str:
    return "\n".join(" | ".join(str(cell) for cell in row) for row in [head, *rows])


def drawn(picture: str, words: str) -> Markup:
    """A picture that is named by its sentence."""
    return tag("div", Markup(picture), class_="ck-picture", role="img", aria_label=words)


def figure(picture: str, words: str) -> Markup:
    """A picture with its sentence: named by it for who cannot see it, and shown under it for who can."""
    return tag("figure", drawn(picture, words), tag("figcaption", words, class_="ck-words"), class_="ck-figure")


def download(name: str, data: bytes) -> Markup:
    """A link that saves a page which is kept in the learner's folder."""
    link = f"data:text/html;base64,{base64.b64encode(data).decode()}"
    words = "Save the sheet from this page"
    return paragraph(tag("a", words, download=name, href=link, style="text-decoration: underline"))
