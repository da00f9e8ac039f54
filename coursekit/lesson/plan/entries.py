"""What stands in the form of a repair: each table of the recipe as text, in plain words, and how it is read."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from coursekit import quantities
from coursekit.errors import Entry, Problem, Voice, says
from coursekit.lesson.learner import typed_text
from coursekit.nomenclature import KINDS, System, names
from coursekit.quantities import InputError, read
from coursekit.repair.fields import Field, choice, quantity
from coursekit.repair.pricing import LENGTHS, PAINTS, PIECES, read_prices
from coursekit.repair.reading import AREA_KEYS as CORNERS
from coursekit.repair.reading import read_value
from coursekit.repair.steps import STEPS
from coursekit.repair.vocabulary import (
    CUP,
    DAMAGE,
    FORECAST,
    GARAGE,
    GUN,
    HAND,
    MATERIAL,
    MEASURED,
    PANEL,
    START,
    materials,
)
from coursekit.tomlfile import Document
from coursekit.unit_grammar import NUMBER

LONGEST = 200  # characters of one entry
RECTANGLE = "rectangle"
THERE = "there"  # whether there is a damage at all
GIVEN = {
    "garage": "your garage",
    "forecast": "the forecast",
    "start": "when you begin",
    "panel": "the panel",
    "damage": "the damage",
    "hand": "your hand",
    "measured": "what you measured of sanding",
    "gun": "your gun",
    "cup": "your mixing cup",
    "price": "your prices",
}
OPTIONAL = ("forecast", "start", "cup")  # tables that are there only when something in them is
SHEETS = {name: f"data sheet: {name}" for name in materials()}
PAPERS = ("P80", "P180", "P240", "P320", "P400", "P500", "P600", "P800")  # whose price is asked for
PRICE = Field("text", default="")
_TABLES: Mapping[str, Mapping[str, Field]] = {
    "garage": GARAGE,
    "panel": PANEL,
    "damage": {THERE: choice(("yes", "no"), "yes", label="is there a low place?"), **DAMAGE},
    "hand": HAND,
    "measured": MEASURED,
    "forecast": FORECAST,
    "start": START,
    "gun": GUN,
    "cup": CUP,
    "price": {
        key: replace(PRICE, label=key, seldom=key in PIECES or " for " in key)
        for key in (*PAINTS, *PIECES, *LENGTHS, *(f"paper {grade}" for grade in PAPERS))
    },
}
CORNER_WORDS = {
    "x": "– from the front edge",
    "y": "– from the lower edge",
    "width": "– its width",
    "height": "– its height",
}
AREA_WORDS = {
    "all": "all of the panel",
    "repair": "the damage and a hand's breadth around",
    "damage": "the damage",
    RECTANGLE: "a rectangle:",
}
_US = re.compile(
    r"(?<![A-Za-z])(in|inch|inches|ft|foot|feet|mils?|thou|gal|gallons?|qt|quarts?|pt|pints?|fl|lbs?|"
    r"pounds?|lbf|psi\w*|F|degF|scfm|cfm)(?![A-Za-z])"
)


def fields_of(kind: str) -> dict[str, Field]:
    """The entries of a part of the recipe, or of a step that does `kind`; an area with its four sides."""
    fields = _TABLES.get(kind) or (MATERIAL if kind in SHEETS else STEPS[kind].entries())
    found: dict[str, Field] = {}
    for key, one in fields.items():
        if one.reads != "area":
            found[key] = one
            continue
        found[key] = replace(one, reads="choice", of=tuple(AREA_WORDS))
        found |= {
            f"{key}.{side}": quantity(row, label=CORNER_WORDS[side], seldom=one.seldom)
            for side, row in CORNERS.items()
        }
    return found


# --- a table as text ---------------------------------------------------------------------------------------


@dataclass
class Table:
    """One table as text: what is written in it, which of that was typed here, and what cannot be read."""

    kind: str
    written: dict[str, str] = field(default_factory=dict)
    typed: list[str] = field(default_factory=list)
    wrong: dict[str, Problem] = field(default_factory=dict)

    @classmethod
    def of(cls, kind: str, tables: Mapping[str, Any]) -> Table:
        """From a table of a recipe."""
        made = cls(kind)
        for key, value in tables.items():
            if isinstance(value, Mapping):
                made.written |= {key: RECTANGLE, **{f"{key}.{side}": _text(one) for side, one in value.items()}}
            elif key != "do":
                made.written[key] = _text(value)
        return made

    def table(self) -> dict[str, Any]:
        """As a recipe writes it."""
        fields, found = fields_of(self.kind), {}
        for key, text in self.written.items():
            if key == THERE or "." in key:
                continue
            if text == RECTANGLE and f"{key}.x" in fields:
                found[key] = {side: self.written.get(f"{key}.{side}", "") for side in CORNERS}
            else:
                found[key] = _written(fields.get(key, PRICE), text)
        return {"do": self.kind, **found} if self.kind in STEPS else found

    def raw(self, key: str) -> str:
        """What is written, or the default."""
        one = fields_of(self.kind)[key]
        default = materials()[self.kind][key] if self.kind in SHEETS else one.default
        if one.by:
            default = one.left_out(self.raw(one.by))
        return self.written.get(key, _text(default) if default is not None else "")

    def shown(self, key: str, system: System) -> str:
        """As the form shows it: what was typed as it was typed, the rest in the units that were chosen."""
        text = self.raw(key)
        if key in self.typed or key in self.wrong:
            return text
        return in_units(fields_of(self.kind)[key], text, system)

    def set(self, key: str, text: str) -> None:
        """Write an entry; an emptied one has its default again."""
        one = fields_of(self.kind)[key]
        text = " ".join(text.split())
        if one.reads == "quantity" and names()[one.row].kind != "number":
            text = typed_text.with_unit(text, one.row)
        elif one.reads == "densities":
            text = ", ".join(typed_text.with_unit(part, one.row) for part in text.split(",") if part.strip())
        self.typed = [*(other for other in self.typed if other != key), *([key] if text else [])]
        if text:
            self.written[key] = text
        else:
            self.written.pop(key, None)
        self.check(key)
        if key == THERE or self.kind in OPTIONAL:
            self.check_all()

    def check(self, key: str) -> None:
        """Read one entry; what is wrong with it is kept beside it."""
        self.wrong.pop(key, None)
        try:
            text, one = self.raw(key), fields_of(self.kind)[key]
            if key in self.typed and one.reads == "quantity":
                typed_text.with_clear_unit(text, one.row, key)  # a bare 0.4 could be 0.4 % or 40 %
            if self.kind == "price" and text:
                read_prices(Document.of_tables({"price": {key: text}}, ""))
            else:
                _read(self.kind, key, text)
        except InputError as error:
            self.wrong[key] = error.problems[0]

    def check_all(self) -> None:
        for key in fields_of(self.kind):
            if self.uses(key):
                self.check(key)

    def uses(self, key: str) -> bool:
        """Whether an entry counts as things stand: the sides of a rectangle only when there is one."""
        first, _, side = key.partition(".")
        if self.kind == "damage" and key != THERE:
            return self.raw(THERE) != "no"
        if self.kind in OPTIONAL:
            return not self.empty
        return not side or self.raw(first) == RECTANGLE

    @property
    def empty(self) -> bool:
        """Whether nothing stands in it that makes a table."""
        return not self.written.keys() - {"begins"}

    @property
    def errors(self) -> dict[str, str]:
        """What is wrong with the entries that count."""
        return {key: says(problem, voice_of(self.kind)) for key, problem in self.wrong.items() if self.uses(key)}


def in_units(one: Field, text: str, system: System) -> str:
    """A quantity in the units that were chosen; what stands in them already is left as it is written."""
    if one.reads != "quantity" or not text:
        return text
    row = names()[one.row]
    match = NUMBER.match(text.strip())
    if (
        row.kind not in KINDS
        or row.metric == row.us
        or match is None
        or bool(_US.search(match[2])) == (system == "us")
    ):
        return text
    try:
        return quantities.shown(float(read(text, row.key)), row.key, system, 4)
    except InputError:
        return text


def _text(value: Any) -> str:
    if isinstance(value, (list, tuple)):
        return ", ".join(map(_text, value))
    return f"{value:.12g}" if isinstance(value, float) else str(value)


def _written(one: Field, text: str) -> Any:
    if one.reads == "densities":
        return [part.strip() for part in text.split(",")]
    if one.reads == "whole" or (one.reads == "quantity" and names()[one.row].kind == "number"):
        match = NUMBER.match(text)
        if match is None or match[2]:
            return text
        number = float(match[1])
        return int(number) if number.is_integer() and abs(number) < 1e15 else number
    return text


# --- reading -----------------------------------------------------------------------------------------------


def voice_of(kind: str) -> Voice:
    """A complaint of the recipe's reader in the words of the form: entries by their labels, values without quotes
    that only a file needs."""

    def entry(one: Entry) -> str:
        if one.value is not None:
            value = tomllib.loads(f"x = {one.value}")["x"]
            return ", ".join(map(str, value)) if isinstance(value, list) else one.value
        part = one.key.strip("[]").rpartition(".")[2]
        return f"“{GIVEN[part] if part in GIVEN else fields_of(kind)[one.key].words}”"

    return typed_text.form_voice(entry=entry)


def _read(kind: str, key: str, text: str) -> None:
    """Read one entry; raise InputError with its problem and remedy."""
    one = fields_of(kind)[key]
    words = one.words.removeprefix("– ")
    if len(text) > LONGEST:
        raise InputError(
            key, f"holds {len(text)} characters; {LONGEST} are enough.", "Write it shorter.", kind="too long"
        )
    if not text and one.default != "":
        example = f" such as {names()[one.row].example}" if one.reads == "quantity" else ""
        raise InputError(key, "is empty.", f"Write down the {words}{example}.".replace("the its ", "its "))
    read_value(Document.of_tables({}, ""), (key,), one, _written(one, text) if text else text, {})
