"""A data sheet in a notebook: what is printed on it, what follows, what is missing."""

from __future__ import annotations

import re
from typing import Any

from coursekit import datasheet
from coursekit.lesson.learner import unit_system
from coursekit.lesson.screen import page
from coursekit.quantities import InputError


def data_sheet(material: str = "surfacer", file: Any = None) -> page.Piece:
    """One material of the demo sheet, or of a file of the learner's own."""
    sheet = datasheet.demo() if file is None else datasheet.load(file)
    found = sheet[material]
    first, *lines = found.report(unit_system.chosen()).splitlines()
    markup = page.tag("h4", first)
    printed = _printed(material) if file is None else ""
    if printed:
        markup += page.paragraph("The sheet, as it is written down:") + page.tag("pre", printed)
    markup += page.paragraph("What it says, what follows from it, and what stands in:") + page.items(lines)
    return page.Piece(markup, "\n".join(part for part in (first, printed, *lines) if part))


def _printed(material: str) -> str:
    match = re.search(rf"^\[{re.escape(material)}\]\n(.+?)(?=\n\[|\Z)", datasheet.demo_text(), re.S | re.M)
    if match is None:
        raise InputError("material", "is not on the demo sheet.", "Take its key, such as surfacer.", kind="unknown")
    return match[1].strip()
