"""What stands in the form of a repair: each table of the recipe as text, in plain words, and how it is read."""

from __future__ import annotations

import itertools
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from coursekit import quantities
from coursekit.errors import Entry, Problem, Voice, says
from coursekit.lesson.learner import typed_text
from coursekit.nomenclature import KINDS, System, names
from coursekit.panel.shapes import USUAL_EDGES, edges_of
from coursekit.quantities import InputError, read
from coursekit.repair import areas
from coursekit.repair import damage as damages
from coursekit.repair.fields import Field, choice, quantity
from coursekit.repair.pricing import WARES, read_prices
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
from coursekit.repair.wares import paper
from coursekit.repair.words import DAYS
from coursekit.tomlfile import Document
from coursekit.unit_grammar import NUMBER

LONGEST = 200  # characters of one entry
DIGITS = 4  # that are shown of a number nobody typed
RECTANGLE, ANCHORED = "rectangle", "around"
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
    "stock": "what you have",
    "hours": "hours you can work",
    "wish": "what you wish for",
}
OPTIONAL = ("forecast", "start", "cup")  # tables that are there only when something in them is
SHEETS = {name: f"data sheet: {name}" for name in materials()}
PAPERS = ("P80", "P180", "P240", "P320", "P400", "P500", "P600", "P800")  # whose price is asked for
PRICE = Field("text", default="")
_YES = ("no", "yes")
# What only a proposal asks for: a recipe does not hold it, the file of the damage does.
ASKED: Mapping[str, Mapping[str, Field]] = {
    "damage": {
        "on_it": choice(("nothing", "rust", "primer", "wax"), "nothing", label="on it now"),
    },
    "garage": {
        "spray_at": choice(
            ("booth", "home"),
            "booth",
            label="sprayed in a booth or at home",
            meaning="a painter's booth or its like, hired or as a favour; or your own garage",
        ),
        "extraction": choice(_YES, "no", label="a fan that draws the mist off"),
        "supplied_air": choice(_YES, "no", label="supplied air to breathe"),
    },
    "gun": {
        "fluid_delivery": quantity("fluid_delivery", "", label="delivery, as you measured it"),
        "fan_width": quantity("width", "", label="width of the fan, measured"),
        "captured": quantity("transfer_efficiency", "", label="share that lands, measured"),
    },
    "stock": {
        "papers": Field("text", default="", label="papers you have", meaning="with commas: P80, P180, P320"),
        "tools": Field(
            "text", default="", label="tools you have", meaning="with commas: hand block, soft pad, spray gun"
        ),
        "materials": Field("text", default="", label="cans you have", meaning="with commas: filler, surfacer"),
        "buy": choice(_YES, "no", label="buy what is missing"),
    },
    "hours": {
        day: Field("text", default="", label=day, meaning="from and to: 09:00 to 18:00, or 9 am to 6 pm")
        for day in DAYS
    },
    "wish": {
        "least": choice(("hours", "film", "paint", "mist"), "hours", label="least of"),
        "hand": quantity("hand_variation", "15 %", label="the plan bears a hand that varies by"),
    },
}
_DAMAGE = {
    **DAMAGE,
    "x": replace(DAMAGE["x"], default="", label="from the front edge"),
    "y": replace(DAMAGE["y"], default="", label="from the bottom edge"),
    "width": replace(DAMAGE["width"], default="250 mm", label="how long it is"),
    "height": replace(DAMAGE["height"], default="150 mm", label="how wide it is"),
    "low": replace(DAMAGE["low"], default="0.8 mm", label="how deep it is"),
    "stripped": replace(DAMAGE["stripped"], seldom=True),
    "feather": replace(DAMAGE["feather"], seldom=True),
    "down_to": replace(
        DAMAGE["down_to"],
        of=("clear", "base", "primer", "bare sheet", "old filler"),
        label="it reaches down to",
        meaning="the deepest layer that shows: into the clear, to base, primer, bare sheet, or filler of before",
        seldom=False,
    ),
}
_TABLES: Mapping[str, Mapping[str, Field]] = {
    **ASKED,
    "garage": {**ASKED["garage"], **GARAGE},
    "panel": {**PANEL, "sheet": choice(("steel", "aluminium", "plastic"), "steel", label="what it is made of")},
    "damage": {
        THERE: choice(("yes", "no"), "yes", label="is there a low place?", seldom=True),
        **_DAMAGE,
        **ASKED["damage"],
    },
    "hand": HAND,
    "measured": MEASURED,
    "forecast": FORECAST,
    "start": START,
    "gun": {**ASKED["gun"], **{key: replace(one, seldom=True) for key, one in GUN.items()}},
    "cup": CUP,
    "price": {
        one.name: replace(PRICE, label=one.name, seldom=one.kind == "pieces" or one.added)
        for one in (*WARES.values(), *map(paper, PAPERS))
    },
}
CORNER_WORDS = {
    "x": "– from the front edge",
    "y": "– from the bottom edge",
    "width": "– its width",
    "height": "– its height",
}
ANCHOR = {  # an area that hangs on something
    "around": choice(("damage", *materials()), "damage", label="– around"),
    "by": quantity("place", "", label="– so far beyond it"),
    "up_to": choice(("", *areas.LINES), "", label="– at most up to", seldom=True),
    "beside": quantity("place", "", label="– a strip so far from that line", seldom=True),
    "off_edges": quantity("place", "", label="– short of the edges by", seldom=True),
}
AREA_WORDS = {
    "all": "all of the panel",
    "repair": "a hand's breadth around",
    "damage": "the damage",
    ANCHORED: "around …",
    RECTANGLE: "a rectangle",
}
_US = re.compile(
    r"(?<![A-Za-z])(in|inch|inches|ft|foot|feet|mils?|thou|gal|gallons?|qt|quarts?|pt|pints?|fl|lbs?|"
    r"pounds?|lbf|psi\w*|F|degF|scfm|cfm)(?![A-Za-z])"
)


def words_of(kind: str, key: str, panel: str) -> str:
    """What the form calls an entry; a place is counted from the edges of that panel."""
    words = fields_of(kind)[key].words
    if key.rpartition(".")[2] in ("x", "y"):
        for usual, here in zip(USUAL_EDGES, edges_of(panel), strict=True):
            if words.endswith(usual):
                return words.removesuffix(usual) + here
    return words


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
        found |= {f"{key}.{part}": replace(said, seldom=one.seldom or said.seldom) for part, said in ANCHOR.items()}
    return found


# --- a table as text ---------------------------------------------------------------------------------------


@dataclass
class Table:
    """One table as text: what is written in it, which of that was typed here, and what cannot be read.

    why       why a proposed step is there; `role` finds the same step in another proposal
    id        the same in every copy, so that a step is known again wherever it was moved
    """

    kind: str
    written: dict[str, str] = field(default_factory=dict)
    typed: list[str] = field(default_factory=list)
    wrong: dict[str, Problem] = field(default_factory=dict)
    why: str = ""
    role: str = ""
    id: int = field(default_factory=itertools.count(1).__next__, compare=False)

    @classmethod
    def of(cls, kind: str, tables: Mapping[str, Any]) -> Table:
        """From a table of a recipe."""
        made = cls(kind)
        for key, value in tables.items():
            if isinstance(value, Mapping):
                word = ANCHORED if areas.is_anchored(value) else RECTANGLE
                made.written |= {key: word, **{f"{key}.{side}": _text(one) for side, one in value.items()}}
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
            elif text == ANCHORED and f"{key}.by" in fields:
                found[key] = {part: said for part in ANCHOR if (said := self.raw(f"{key}.{part}"))}
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
        elif one.reads == "densities" and not _DECIMAL_COMMA.fullmatch(text):
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
            if one.reads == "densities" and _DECIMAL_COMMA.fullmatch(text):
                raise InputError(key, f'"{text}" has a comma in a number.', DENSITIES_REMEDY, kind="comma")
            if key in self.typed and one.reads == "quantity":
                typed_text.with_clear_unit(text, one.row, key)  # a bare 0.4 could be 0.4 % or 40 %
            if self.kind == "price" and text:
                read_prices(Document.of_tables({"price": {key: text}}, ""))
            elif self.kind in ("stock", "hours") and text and len(text) <= LONGEST:
                damages.from_document(
                    Document.of_tables({"format": damages.FORMAT, **listed(self.kind, {key: text})}, "")
                )
            else:
                _read(self.kind, key, text)
        except InputError as error:
            if self.kind == "hours" and error.kind == "form":
                error = InputError(key, "is not a span of hours.", HOURS_REMEDY, kind="form")
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
        return not side or self.raw(first) == (ANCHORED if side in ANCHOR else RECTANGLE)

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
    if row.kind not in KINDS or match is None:
        return text
    stands = row.metric == row.us or bool(_US.search(match[2])) == (system == "us")
    if stands and len(match[1].replace(".", "")) <= DIGITS:
        return text
    try:
        return quantities.shown(float(read(text, row.key)), row.key, system, DIGITS)
    except InputError:
        return text


DENSITIES_REMEDY = 'Write decimals with a point, and a comma between the parts: "1.5 kg/L, 1.05 kg/L".'
_DECIMAL_COMMA = re.compile(r"[^.]*[0-9],[0-9][^.]*")  # "1,2 kg/L" is no list of two
HOURS_REMEDY = (
    'Write "09:00 to 17:00" or "9 am to 5 pm", several spans with commas; on a day left empty nobody works, once '
    "another has its hours."
)
_NOON = re.compile(r"(0?[1-9]|1[0-2])(?::([0-5][0-9]))?\s*([ap])\.?m\.?", re.ASCII | re.IGNORECASE)
SPAN = re.compile(r"\s*(?:to|until|-|\N{EN DASH})\s*")


def listed(kind: str, written: Mapping[str, str]) -> dict[str, Any]:
    """What is there and the hours of work, as a file of a damage writes them."""
    if kind == "stock":
        names = ("papers", "tools", "materials")
        return {
            kind: {
                key: [one.strip() for one in text.split(",") if one.strip()] if key in names else text
                for key, text in written.items()
            }
        }
    rows = []
    for day, text in written.items():
        for span in text.split(","):
            begins, *ends = SPAN.split(span.strip(), maxsplit=1)
            rows.append({"day": day, "from": _by_24(begins), "to": _by_24(ends[0]) if ends else ""})
    return {"hours": rows}


def _by_24(time: str) -> str:
    """ "5 pm" or "5:30 pm" as a clock of 24 hours; else as it is written."""
    match = _NOON.fullmatch(time.strip())
    if match is None:
        return time
    return f"{int(match[1]) % 12 + (12 if match[3] in 'pP' else 0):02}:{match[2] or '00'}"


def told_hours(rows: list[Mapping[str, str]]) -> dict[str, str]:
    """The rows of hours as the form writes them, day by day."""
    found: dict[str, str] = {}
    for row in rows:
        span = f"{row['from']} to {row['to']}"
        found[row["day"]] = f"{found[row['day']]}, {span}" if row["day"] in found else span
    return found


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
