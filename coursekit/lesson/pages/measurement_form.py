"""The form of a garage measurement: how it is made, what to write down, and keeping it. No widget is known."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np

from coursekit import measured
from coursekit.folder import place
from coursekit.garage_entry import Entry
from coursekit.lesson.learner import own, unit_system
from coursekit.lesson.learner.own import made_with, my_outfit
from coursekit.lesson.learner.typed_text import with_clear_unit
from coursekit.lesson.screen import page
from coursekit.measurements import Field, Way, ways
from coursekit.nomenclature import System, names
from coursekit.quantities import InputError, shown, shown_band
from coursekit.spraying import pressure_at_cap
from coursekit.spraying.pattern import REFERENCE_DISTANCE

SHOWN = ("gun_distance", "gun_inlet_pressure")  # readings at which it is said what a measurement comes to


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
        said = said._replace(sentence=" ".join([said.sentence, *meant(mine.entries[-1]), belongs_words()]))
    unit_system.refresh()  # benches take it up at once
    return said


def meant(entry: Entry) -> Iterator[str]:
    """What numbers that nobody reads off anything come to at the learner's own reading."""
    system, at = unit_system.chosen(), {key: float(np.mean(v)) for key, v in entry.readings.items() if key in SHOWN}
    if "open_fan" in entry.keys:
        there = shown(at["gun_distance"], "gun_distance", system)
        width = shown(float(own.coefficient("open_fan")) * at["gun_distance"] / REFERENCE_DISTANCE, "width", system)
        away = shown(REFERENCE_DISTANCE, "gun_distance", system, 2)
        yield f"That is {away} from the gun; at the {there} you sprayed from it is {width}."
    if "passage_ratio" in entry.keys:
        cap = own.band_si(pressure_at_cap, gun_inlet_pressure=at["gun_inlet_pressure"])
        inlet = shown(at["gun_inlet_pressure"], "gun_inlet_pressure", system)
        yield f"So {inlet} at the inlet give {shown_band(cap.low, cap.high, 'cap_pressure', system)} at the cap."


def kept(way: str) -> bool:
    """Whether one of that kind is in the garage file."""
    return any(entry.way.key == way for entry in own.garage_file().entries)


def take_back(way: str) -> str:
    """Take the last one of that kind out of the garage file, and say what counts now."""
    measured.Measured(place() / measured.FILE).forget(way)
    unit_system.refresh()
    left = "The one before it counts again." if kept(way) else "The course's own band counts again."
    return f"Taken back: {ways()[way].title}. {left}"


def belongs_words() -> str:
    """To which gun and paint a measurement is put down."""
    mine, system = my_outfit(), unit_system.chosen()
    at = {key: shown(mine.si[key], key, system) for key in ("tip_bore", "turns", "gun_inlet_pressure")}
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
    return shown(said[name], name, unit_system.chosen(), 4) if name in GIVEN and name in said else ""


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
