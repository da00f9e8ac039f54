"""What stands in the form of a repair: each table of the recipe as text, in plain words, and how it is read."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from coursekit import quantities
from coursekit.errors import Entry, Problem, Voice, says
from coursekit.lesson.learner import own
from coursekit.nomenclature import KINDS, System, names
from coursekit.quantities import InputError, read
from coursekit.repair.pricing import LENGTHS, PAINTS, PIECES, read_prices
from coursekit.repair.recipe import AREA_KEYS as CORNERS
from coursekit.repair.recipe import read_value
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
    Field,
    materials,
    steps,
)
from coursekit.tomlfile import Document
from coursekit.unit_grammar import NUMBER

LONGEST = 200  # characters of one entry
RECTANGLE = "rectangle"
THERE = "there"  # whether there is a damage at all
GIVEN = {
    "garage": "your garage",
    "forecast": "the forecast",
    "panel": "the panel",
    "damage": "the damage",
    "hand": "your hand",
    "measured": "what you measured of sanding",
    "gun": "your gun",
    "cup": "your mixing cup",
    "price": "your prices",
}
OPTIONAL = ("forecast", "cup")  # tables that are there only when something in them is
SHEETS = {name: f"data sheet: {name}" for name in materials()}
PAPERS = ("P80", "P180", "P240", "P320", "P400", "P500", "P600", "P800")  # whose price is asked for
PRICE = Field("text", "", "")
_TABLES: Mapping[str, Mapping[str, Field]] = {
    "garage": GARAGE,
    "panel": PANEL,
    "damage": {THERE: Field("choice", ("yes", "no"), "yes"), **DAMAGE},
    "hand": HAND,
    "measured": MEASURED,
    "forecast": FORECAST,
    "gun": GUN,
    "cup": CUP,
    "price": dict.fromkeys((*PAINTS, *PIECES, *LENGTHS, *(f"paper {grade}" for grade in PAPERS)), PRICE),
}
FIRST = {  # what a new step says, where its fields have no default of their own
    "block": {"paper": "P320", "strokes": "100"},
    "hand sand": {"paper": "P320", "strokes": "30"},
    "machine sand": {"paper": "P600", "time": "2 min"},
    "polish": {"time": "3 min"},
    "wait": {"time": "30 min"},
    "spray": {"material": "surfacer"},
}
SELDOM = {
    "cell",
    "texture",
    "overhang",
    "block",
    "rotation",
    "orbit",
    "captured",
    "lead",
    "cover",
    "left",
    "seed",
    "hardness",
    "densities",
}
SELDOM_OF = {
    "clean": {"time"},
    "fill": {"time"},
    "guide coat": {"time"},
    "mask": {"time"},
    "unmask": set(),
    "spray": {"direction", *GUN},
    "panel": {"radius_along", "radius_up", "line_height"},
    "price": {*PIECES, *(paint for paint in PAINTS if " for " in paint)},
}
# What is asked first in a step; the rest follows.
ORDER = (
    "tool",
    "material",
    "compound",
    "paper",
    "coats",
    "wipes",
    "strokes",
    "time",
    "force",
    "direction",
    "flash",
    "delivery",
    "speed",
    "step",
    "fan",
    "reduction",
    "keep_off",
)
WORDS = {
    "air_changes": "air changes in an hour",
    "length": "length of the room",
    "width": "width of the room",
    "height": "height of the room",
    "shape": "kind of panel",
    "sheet": "what it is made of",
    "cell": "squares it is computed in",
    "texture": "orange peel",
    "variation": "how far the hand strays",
    "seed": "luck of the hand, a number",
    "wipes": "times wiped",
    "area": "where",
    "open": "left open",
    "time": "how long",
    "proud": "filler stands above the form by",
    "ripple": "waves the spreader leaves",
    "edge": "edge of the tape",
    "lip": "height of the tape's lip",
    "tool": "held in the hand",
    "strokes": "strokes over each place",
    "direction": "direction of the strokes",
    "keep_off": "kept off the body line by",
    "overhang": "most it hangs over an edge",
    "block": "size of your own block",
    "material": "what is sprayed",
    "flash": "wait between coats",
    "reduction": "thinner added",
    "delivery": "paint from the gun",
    "speed": "speed of the gun",
    "step": "step between passes",
    "fan": "width of the fan",
    "captured": "share caught where it is aimed",
    "lead": "trigger pulled before the edge",
    "cover": "cover beyond the panel",
    "left": "left in cup and gun",
    "coats": "coats",
    "force": "force of the hand",
    "compound": "compound",
    "paper": "paper",
    "volume_solids": "volume solids, as mixed",
    "densities": "density of each part, with commas",
    "sag_limit": "wet film that hangs",
    "dry_to_recoat": "dry to recoat, as the sheet says",
    "dry_to_sand": "dry to sand, as the sheet says",
    "recoat_until": "recoat before, as the sheet says",
    "pot_life": "pot life, as the sheet says",
    "ratio": "parts by volume",
    "isocyanate": "isocyanate in the hardener",
    "hardener": "chemistry of the hardener, by its safety data sheet",
}
WORDS_OF = {
    "cup": {"bottom": "inside width at the bottom", "top": "inside width at the top", "height": "inside height"},
    "damage": {
        THERE: "is there a low place?",
        "x": "begins from the front edge at",
        "y": "begins from the lower edge at",
        "width": "its width",
        "height": "its height",
        "low": "how low the metal lies",
        "stripped": "bare metal around it",
        "feather": "old paint feathered over",
    },
    "forecast": {"coldest": "coldest of the day", "warmest": "warmest of the day", "begins": "you begin at"},
    "panel": {
        "texture": "orange peel of the old paint",
        "width": "its length along the car",
        "height": "its height",
        "radius_along": "radius of its curve along the car",
        "radius_up": "radius of its curve upwards",
        "line_height": "height of the body line",
    },
    "polish": {"direction": "direction"},
    "spray": {"direction": "direction of the passes"},
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
    fields = _TABLES.get(kind) or (MATERIAL if kind in SHEETS else steps()[kind])
    found: dict[str, Field] = {}
    first = [key for key in ORDER if key in fields and kind in steps()]
    for key in (*first, *(key for key in fields if key not in first)):
        one = fields[key]
        if one.reads != "area":
            found[key] = one
            continue
        found[key] = Field("choice", tuple(AREA_WORDS), one.default)
        found |= {f"{key}.{side}": Field("quantity", name) for side, name in CORNERS.items()}
    return found


def label(kind: str, key: str) -> str:
    """An entry in plain words."""
    first, _, side = key.partition(".")
    if side:
        return CORNER_WORDS[side]
    row = fields_of(kind)[key].of
    if kind == "price":
        return key
    return WORDS_OF.get(kind, {}).get(first) or WORDS.get(first) or names()[str(row)].label


def meaning(kind: str, key: str) -> str:
    """What an entry means, for who rests on it."""
    of = fields_of(kind)[key].of
    return names()[of].meaning if isinstance(of, str) and of in names() else ""


def seldom(kind: str, key: str) -> bool:
    """Whether an entry is one of those that most plans leave as they are."""
    return key in SELDOM or key in SELDOM_OF.get(kind, ())


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
        return {"do": self.kind, **found} if self.kind in steps() else found

    def raw(self, key: str) -> str:
        """What is written, or the default."""
        one = fields_of(self.kind)[key]
        default = materials()[self.kind][key] if self.kind in SHEETS else one.default
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
        if one.reads == "quantity" and names()[str(one.of)].kind != "number":
            text = own.with_unit(text, str(one.of))
        elif one.reads == "densities":
            text = ", ".join(own.with_unit(part, str(one.of)) for part in text.split(",") if part.strip())
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
                own.with_clear_unit(text, str(one.of), key)  # a bare 0.4 could be 0.4 % or 40 %
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
    row = names()[str(one.of)]
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
    if one.reads == "whole" or (one.reads == "quantity" and names()[str(one.of)].kind == "number"):
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
        return f"“{GIVEN[part] if part in GIVEN else label(kind, one.key)}”"

    return own.form_voice(entry=entry)


def _read(kind: str, key: str, text: str) -> None:
    """Read one entry; raise InputError with its problem and remedy."""
    one, words = fields_of(kind)[key], label(kind, key).removeprefix("– ")
    if len(text) > LONGEST:
        raise InputError(key, f"holds {len(text)} characters; {LONGEST} are enough.", "Write it shorter.")
    if not text and one.default != "":
        example = f" such as {names()[str(one.of)].example}" if one.reads == "quantity" else ""
        raise InputError(key, "is empty.", f"Write down the {words}{example}.".replace("the its ", "its "))
    read_value(Document.of_tables({}, ""), (key,), one, _written(one, text) if text else text, {})
