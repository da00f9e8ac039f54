"""The numbers of a picture as a table: on the page, and as a file for a spreadsheet."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from coursekit.lesson.screen import page
from coursekit.quantities import InputError

Table = tuple[Sequence[str], Sequence[Sequence[Any]]]  # head, and rows of words and numbers


def piece(table: Table) -> page.Piece:
    """The table for a page."""
    head, rows = table
    cells = [[f"{cell:.3g}" if isinstance(cell, float) else cell for cell in row] for row in rows]
    return page.Piece(page.table(head, cells), page.plain_table(head, cells))


def save(table: Table, path: Any) -> Path:
    """Write the table as CSV."""
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows([table[0], *table[1]])
    try:
        file = Path(path)
        file.write_text(text.getvalue(), encoding="utf-8")
    except (OSError, TypeError, ValueError) as error:
        raise InputError(
            "path",
            f"cannot be written ({type(error).__name__}).",
            'Give a file name such as "sweep.csv".',
            kind="file",
        ) from None
    return file
