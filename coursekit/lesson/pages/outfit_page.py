"""The page of the learner's guns, paints, hands and panels: what is asked, and what is said. No widget is known."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping

from coursekit import outfit
from coursekit.lesson.learner import own, typed_text, unit_system
from coursekit.nomenclature import KINDS, names
from coursekit.records import Record
from coursekit.spraying import records

FORMS = {kind: tuple(field.name for field in dataclasses.fields(cls)) for kind, cls in records.KINDS.items()}
WORDS = {
    "air_cap": "stamped on the air cap, may be left out",
    "cup": "flow cup, such as DIN 4, may be left out",
    "solvent": "slowest solvent, may be left out",
    "cap_pressure": "air on a test cap, in place of that at the inlet",
}


def label(kind: str, key: str) -> str:
    """What to write down; the unit may be any of the trade's."""
    if key == "name":
        return f"name of the {kind}"
    return WORDS.get(key) or names()[key].label


def words(record: Record) -> str:
    """A record in one line, in the units shown."""
    return ", ".join(f"{label} {value}" for label, value in record.lines(unit_system.chosen()) if label != "name")


def keep(kind: str, typed: Mapping[str, str]) -> str:
    """Write down what was typed, choose it, and say so; a bare number has the unit that is shown."""
    given = {key: _entry(key, text) for key, text in typed.items() if text.strip()}
    record = records.KINDS[kind].of(given)
    outfit.keep(record)
    unit_system.refresh()  # benches take it up at once
    return f"Kept and chosen: {record.name}, {words(record)}."


def _entry(key: str, text: str) -> str:
    row = names().get(key)
    return typed_text.with_clear_unit(text, key, key) if row is not None and row.kind in KINDS else text


def choose(kind: str, name: str) -> str:
    outfit.choose(kind, name)
    unit_system.refresh()
    return f"Chosen: {name}. Controls that you have not moved follow."


def forget(kind: str, name: str) -> str:
    outfit.forget(kind, name.strip())
    unit_system.refresh()
    return f"Forgotten: {name.strip()}. What was measured with it stays in your garage file."


def text() -> str:
    mine = own.my_outfit()
    lines = [f"{kind}: {mine.one(kind).name}, {words(mine.one(kind))}" for kind in FORMS]
    return "\n".join([*lines, *own.garage_file().carried()])
