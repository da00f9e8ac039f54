"""The words of a trade: meaning, unit and range."""

from __future__ import annotations

import inspect
from collections.abc import Mapping

from coursekit import quantities
from coursekit.lesson.learner import unit_system
from coursekit.lesson.screen import page
from coursekit.lesson.screen.page import Piece
from coursekit.nomenclature import KINDS, Name, load_data, names
from coursekit.reference import public_calls


def glossary(trade: str = "") -> Piece:
    """The words of a trade: what each means, its units and the range it is held to. Without a trade, all of them."""
    keys: set[str] = set()
    for call in public_calls(trade).values() if trade else ():
        keys.update(inspect.signature(call.si).parameters)
        gives = call.gives.values() if isinstance(call.gives, Mapping) else [call.gives]
        keys.update(name for name in gives if isinstance(name, str))
    rows = [_word(row) for key, row in names().items() if not trade or key in keys]
    head = ("word", "meaning", "unit", "range")
    rows.sort(key=lambda row: row[0].casefold())
    title = f"Words of {spoken(trade)}" if trade else "Words of the course"
    markup = page.folded(f"{title} ({len(rows)})", page.table(head, rows))
    text = f"{title}\n{page.plain_table(head, rows)}"
    if trade:
        return Piece(markup, text)
    terms, told = _terms()
    return Piece(page.together((terms, markup)), f"{told}\n\n{text}")


def _terms() -> tuple[page.Markup, str]:
    """The terms of the trade that the course keeps to, and what else they are called."""
    head = ("term", "also called", "meaning")
    rows = [(term, row.get("also", ""), row["means"]) for term, row in sorted(load_data("terms")["term"].items())]
    title = "Terms of the trade"
    return page.folded(f"{title} ({len(rows)})", page.table(head, rows)), f"{title}\n{page.plain_table(head, rows)}"


def spoken(trade: str) -> str:
    """A trade's name for a title: "spraying, air supply"."""
    return trade.replace(".", ", ").replace("_", " ")


def _word(row: Name) -> tuple[str, str, str, str]:
    label = f"{row.label}, {row.symbol}" if row.symbol else row.label
    if row.kind not in KINDS:
        return label, row.meaning, "", ", ".join(row.options)
    system = unit_system.chosen()
    low, high = (quantities.shown(end, row.key, system, 3, unit=False) for end in (row.low, row.high))
    return label, row.meaning, row.unit(system), f"{low} to {high}"
