"""The form of a garage measurement: how it is made, what to write down, and keeping it. No widget is known."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coursekit import measured, quantities
from coursekit.folder import place
from coursekit.lesson.learner import unit_system
from coursekit.lesson.learner.own import made_with, my_outfit
from coursekit.lesson.learner.typed_text import with_clear_unit
from coursekit.lesson.screen import page
from coursekit.measurements import Field, Way, ways
from coursekit.nomenclature import System, names
from coursekit.quantities import InputError


def enter(way: str, typed: Mapping[str, str]) -> measured.Said:
    """Keep a measurement as it was typed: repeats with commas between them, the shown unit where none is written."""
    readings: dict[str, Any] = {}
    for key, field in ways()[way].fields.items():
        parts = [with_clear_unit(part, field.name, key) for part in typed.get(key, "").split(",") if part.strip()]
        if parts:
            readings[key] = parts if len(parts) > 1 else parts[0]
        elif not (field.default or field.optional):
            raise InputError(key, "is empty.", f"Write down: {field.words}.", kind="empty")
    made = made_with()
    mine = measured.Measured(place() / measured.FILE, used=made)
    said = mine.enter(way, system=unit_system.chosen(), made_with=made, **readings)
    if mine.entries[-1].made_with.at:
        said = said._replace(sentence=f"{said.sentence} {belongs_words()}")
    unit_system.refresh()  # benches take it up at once
    return said


def belongs_words() -> str:
    """To which gun and paint a measurement is put down."""
    mine, system = my_outfit(), unit_system.chosen()
    at = {key: quantities.shown(mine.si[key], key, system) for key in ("tip_bore", "turns", "gun_inlet_pressure")}
    return (
        f"Recorded for {mine.gun.name} ({at['tip_bore']} tip, {at['turns']} turns, {at['gun_inlet_pressure']} at "
        f"the gun) with {mine.paint.name}; lesson.outfit() changes them."
    )


def line(way: Way) -> str:
    """A measurement in a list."""
    return f"{way.title}, {way.minutes:g} minutes"


def found(words: str) -> list[str]:
    """The measurements in whose title, purpose or readings each word stands; all of them without a word."""
    told = {
        key: " ".join((way.title, way.measures, *(f.words for f in way.fields.values())))
        for key, way in ways().items()
    }
    return [key for key, text in told.items() if all(word in text.lower() for word in words.lower().split())]


GIVEN = ("tip_bore", "kinematic_viscosity", "density", "volume_solids")  # what a gun and a paint are, not a setting


def known_reading(name: str) -> str:
    """What the learner wrote down of their gun or paint, for a field that asks for it again; else empty."""
    said = my_outfit().said
    return quantities.shown(said[name], name, unit_system.chosen(), 4) if name in GIVEN and name in said else ""


def how_html(way: Way) -> page.Markup:
    """How a measurement is made."""
    care = page.paragraph(f"Caution: {way.caution}", "ck-kept") if way.caution else ""
    steps = page.tag("ol", *(page.tag("li", step) for step in way.steps))
    several = page.paragraph("Several readings: put a comma between them.")
    measures = page.paragraph(f"Measures {way.measures}.")
    return page.together((page.tag("h4", way.title), measures, steps, care, several))


def field_label(way: Way, key: str) -> str:
    """What to write down, with the unit that is shown."""
    field = way.fields[key]
    unit = unit_words(field, unit_system.chosen())
    spare = ", may be left out" if field.default or field.optional else ""
    return f"{field.words} ({unit}){spare}" if unit else f"{field.words}{spare}"


def unit_words(field: Field, system: System) -> str:
    """The unit in which a reading is written down; empty where its words say it."""
    row = names()[field.name]
    unit = row.unit(system)
    return "" if row.classes or unit in field.words.split() else unit  # "strokes (strokes)" says it twice
