"""Pieces of a lesson's page: HTML that also reads as plain text, its style, and the one script of the page."""

from __future__ import annotations

import functools
import html
from collections.abc import Iterable, Sequence
from importlib import resources
from typing import Any

from IPython import get_ipython
from IPython.display import display


class Piece:
    """HTML for a browser and the same said in plain text, for exported pages and terminals."""

    def __init__(self, markup: str, text: str) -> None:
        self.html, self.text = f'<div class="ck">{markup}</div>', text

    def __repr__(self) -> str:
        return self.text

    def _repr_mimebundle_(self, **_: Any) -> dict[str, str]:
        dress()
        return {"text/html": self.html, "text/plain": self.text}


@functools.lru_cache(maxsize=1)
def style() -> str:
    """The style sheet of the page, inside its tag."""
    return f'<style class="ck-style">{_file("page.css")}</style>'


@functools.lru_cache(maxsize=1)
def sheet_style() -> str:
    """The style of a sheet that is kept and printed, inside its tag."""
    return f"<style>{_file('sheet.css')}</style>"


@functools.lru_cache(maxsize=1)
def script() -> str:
    """The script that keeps the style on the page, names sliders for screen readers, reads a sentence out once."""
    return _file("page.js")


def _file(name: str) -> str:
    return (resources.files("coursekit.lesson.screen") / name).read_text(encoding="utf-8")


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


def escape(text: Any) -> str:
    return html.escape(str(text))


def paragraph(text: str, kind: str = "") -> str:
    return f'<p class="{kind}">{escape(text)}</p>' if kind else f"<p>{escape(text)}</p>"


def items(lines: Iterable[str]) -> str:
    return "<ul>" + "".join(f"<li>{escape(line)}</li>" for line in lines) + "</ul>"


def folded(title: str, markup: str) -> str:
    """Something that opens on a click, with the browser's own control."""
    return f"<details><summary>{escape(title)}</summary>{markup}</details>"


def table(head: Sequence[str], rows: Iterable[Sequence[Any]]) -> str:
    """A table of text whose first column names its rows."""
    top = "".join(f'<th scope="col">{escape(cell)}</th>' for cell in head)
    body = "".join(
        f'<tr><th scope="row">{escape(first)}</th>' + "".join(f"<td>{escape(cell)}</td>" for cell in rest) + "</tr>"
        for first, *rest in rows
    )
    return f'<div class="ck-wide"><table><thead><tr>{top}</tr></thead><tbody>{body}</tbody></table></div>'


def plain_table(head: Sequence[str], rows: Iterable[Sequence[Any]]) -> str:
    return "\n".join(" | ".join(str(cell) for cell in row) for row in [head, *rows])


def figure(picture: str, words: str, error: str = "") -> str:
    """A picture with its sentence: named by it for who cannot see it, and shown under it for who can."""
    wrong = f'<p class="ck-error" role="alert">{escape(error)}</p>' if error else ""
    old = " ck-old" if error else ""
    return (
        f'{wrong}<figure class="ck-figure{old}"><div class="ck-picture" role="img" aria-label="{escape(words)}">'
        f'{picture}</div><figcaption class="ck-words">{escape(words)}</figcaption></figure>'
    )
