"""The way through the course: every notebook in its order, with a link to those that are in the folder."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from coursekit.course.notebooks import notebooks
from coursekit.lesson.screen import page


def path(folder: Path | None = None) -> page.Piece:
    """The short way to the garage first, then the rest; what is not in the folder stands there without a link."""
    here = folder or Path.cwd()
    rows = notebooks()[1:]
    short, rest = ([row for row in rows if bool(row.get("garage")) == wanted] for wanted in (True, False))
    first = f"To the garage in {len(short)} lessons"
    then = "The others, when you want to know more"
    ways = [page.tag("ol", *(_item(row, here) for row in part)) for part in (short, rest)]
    markup = page.tag("h4", first) + ways[0] + page.folded(f"{then} ({len(rest)})", ways[1])
    text = "\n".join(
        line
        for title, part in ((first, short), (then, rest))
        for line in (title, *(f"- {row['file']}: {row['what']}" for row in part))
    )
    return page.Piece(markup, text)


def _item(row: dict[str, Any], here: Path) -> page.Markup:
    file = f"{row['file']}.ipynb"
    there = (here / file).is_file()
    name = page.tag("strong", row["file"])
    link = page.tag("a", name, href=file) if there else name
    return page.tag("li", link, f" – {row['what']}{'' if there else ' (not in this folder)'}")
