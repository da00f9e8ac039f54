"""What data sheets usually print: flash, recoat, sand, pot life."""

from __future__ import annotations

from coursekit import drying, quantities
from coursekit.lesson.learner import unit_system
from coursekit.lesson.screen import page
from coursekit.lesson.screen.page import Piece
from coursekit.nomenclature import names
from coursekit.repair.words import time_words


def usual_times(*materials: str) -> Piece:
    """What data sheets usually print for refinish materials: flash, recoat, sand, pot life. Without one, all."""
    rows = []
    for material in materials or names()["refinish_material"].options:
        for one in drying.refinish_times(material):
            low, high = (time_words(end.m_as("second")) for end in (one.low, one.high))
            at = quantities.shown(one.temperature.m_as("kelvin"), "temperature", unit_system.chosen())
            rows.append((one.material, one.what, low if low == high else f"{low} to {high}", at, one.note, one.kind))
    head = ("material", "time", "usual", "at", "of what", "from")
    title = f"Usual times of data sheets ({len(rows)}); your own sheet comes first"
    return Piece(page.folded(title, page.table(head, rows)), f"{title}\n{page.plain_table(head, rows)}")
