"""A repair as data: a TOML file that a person can read and write, read strictly.

A recipe has `[panel]`, `[garage]`, `[forecast]`, `[hand]`, `[measured]`, `[gun]`, `[cup]`, `[price]`,
`[material.NAME]` and `[[step]]` after step; `vocabulary.py` lists what each may say. Every complaint names the line,
the field and the remedy, and nothing is evaluated.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from importlib import resources
from pathlib import Path
from typing import Any

import numpy as np

from coursekit import tomlfile
from coursekit.drying.weather import WARMEST
from coursekit.errors import Entry, Where
from coursekit.measured import Measured, read_rows
from coursekit.mixing.ratio import MOST_PARTS, read_ratio
from coursekit.quantities import InputError, read_choice
from coursekit.repair.order import check_order
from coursekit.repair.pricing import Price, read_prices
from coursekit.repair.start import shape_of
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
from coursekit.sanding import read_block, read_grade
from coursekit.tomlfile import Document

FORMAT = 1
MOST_STEPS = 200
MOST_COATS = 20
_CLOCK = re.compile(r"([01]?[0-9]|2[0-3]):([0-5][0-9])", re.ASCII)
MARGIN = 0.12  # m: how far the repair area reaches beyond the filler
AREA_KEYS = {"x": "place", "y": "place", "width": "extent", "height": "extent"}


@dataclass(frozen=True)
class Step:
    """One step: what is done, its settings in SI, and the line on which it stands."""

    number: int
    do: str
    settings: Mapping[str, Any]
    line: int
    written: Mapping[str, Any] = field(compare=False)

    def __getitem__(self, key: str) -> Any:
        return self.settings[key]

    @property
    def words(self) -> str:
        """What is done, in a few words: "spray surfacer", "block P320"."""
        what = self.settings.get("material") or self.settings.get("paper") or self.settings.get("compound")
        return f"{self.do} {what}" if what else self.do


@dataclass(frozen=True)
class Recipe:
    """A whole repair, every number in SI. `changed` gives another with one setting moved."""

    title: str
    panel: Mapping[str, Any]
    garage: Mapping[str, Any]
    hand: Mapping[str, Any]
    measured: Mapping[str, Any]
    materials: Mapping[str, Mapping[str, Any]]
    steps: tuple[Step, ...]
    name: str = "recipe"
    forecast: Mapping[str, Any] | None = None  # coldest, warmest (K) and begins (s after midnight)
    gun: Mapping[str, Any] = field(default_factory=dict)  # for steps that say nothing else
    cup: Mapping[str, Any] | None = None
    prices: Mapping[str, Price] = field(default_factory=dict)
    measurements: Measured | None = field(default=None, compare=False)  # of the gun, as in the garage file
    written: Mapping[str, Any] = field(default_factory=dict, compare=False)

    def changed(self, *where: str | int, to: Any) -> Recipe:
        """The recipe with one value written anew: `changed("step", 6, "force", to="12 N")`; steps count from 1."""
        written = _copy(self.written)
        table: Any = written
        try:
            path = [_from_zero(w) if isinstance(w, int) else w for w in where]
            for key in path[:-1]:
                table = table.setdefault(key, {}) if isinstance(table, dict) else table[key]
            table[path[-1]] = to
        except (KeyError, IndexError, TypeError, AttributeError):
            raise InputError(
                "where", f"{str(where)[:60]} is not in the recipe.", "Name a table, or a step by its number."
            ) from None
        return from_document(Document.of_tables(written, self.name))

    @property
    def damage_area(self) -> tuple[float, float, float, float] | None:
        """Where the panel was damaged: x from, x to, y from, y to; m."""
        damage = self.panel["damage"]
        if damage is None:
            return None
        return damage["x"], damage["x"] + damage["width"], damage["y"], damage["y"] + damage["height"]

    @property
    def repair_area(self) -> tuple[float, float, float, float] | None:
        """Where the repair is: the damage and a margin around it; None for the whole panel."""
        return _around(self.panel["damage"], MARGIN) if self.panel["damage"] else None


def _from_zero(number: int) -> int:
    if number < 1:
        raise IndexError
    return number - 1


def _copy(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {k: _copy(v) for k, v in value.items()}
    return [_copy(v) for v in value] if isinstance(value, list) else value


def load(path: str | Path) -> Recipe:
    """The recipe in a TOML file. Raises InputError naming line, field and remedy."""
    return from_document(tomlfile.load(path))


def loads(text: str, name: str = "recipe") -> Recipe:
    """The recipe in TOML text."""
    if not isinstance(text, str):
        raise InputError(name, "is not text.", "Give the text of a TOML recipe.")
    return from_document(Document(text, name))


def demo_path(which: str = "door_repair") -> Path:
    """Where the demo recipe of the invented scenario lies; "impatient_repair" is the one that goes wrong."""
    read_choice(which, ("door_repair", "impatient_repair"), "which")
    return Path(str(resources.files("coursekit") / "tables" / "demo" / f"{which}.toml"))


def with_hand(recipe: Recipe, seed: int, variation: float | None = None) -> Recipe:
    """The same recipe by another hand: another seed, and another unsteadiness when given."""
    hand = {**recipe.hand, "seed": seed}
    if variation is not None:
        hand["variation"] = variation
    return replace(recipe, hand=hand)


def with_measured(recipe: Recipe, mine: Measured) -> Recipe:
    """The same recipe with what the learner measured in the garage, of sanding and of the gun."""
    found = mine.coefficients()
    return replace(
        recipe,
        measurements=mine if mine.entries else recipe.measurements,
        measured={key: float(found[key]) if key in found else value for key, value in recipe.measured.items()},
    )


# --- reading -----------------------------------------------------------------------------------------------


def from_document(document: Document) -> Recipe:
    """The recipe in the tables of a document, which says where a complaint is."""
    top = document.check_keys(
        (),
        document.data,
        (
            "format",
            "title",
            "panel",
            "garage",
            "forecast",
            "hand",
            "measured",
            "gun",
            "cup",
            "price",
            "material",
            "step",
            "measurement",
        ),
    )
    if top.get("format") != FORMAT or isinstance(top.get("format"), bool):
        document.fail(
            ("format",), f"is {str(top.get('format'))[:20]}, not {FORMAT}.", f"Write format = {FORMAT} at the top."
        )
    panel = _panel(document)
    garage, hand, measured, gun = (
        _read_table(document, (key,), fields)
        for key, fields in (("garage", GARAGE), ("hand", HAND), ("measured", MEASURED), ("gun", GUN))
    )
    recipe = Recipe(
        _text(document, ("title",), top.get("title", "A repair")),
        panel,
        garage,
        hand,
        measured,
        _materials(document),
        _steps(document, panel),
        document.name,
        _forecast(document),
        gun,
        _read_table(document, ("cup",), CUP) if "cup" in top else None,
        read_prices(document),
        read_rows(document) if "measurement" in top else None,
        document.data,
    )
    _check_places(recipe, document)
    check_order(recipe, document)
    return recipe


def _forecast(document: Document) -> dict[str, Any] | None:
    if "forecast" not in document.data:
        return None
    where: Where = ("forecast",)
    document.check_keys(where, document.data["forecast"], FORECAST)
    found = _read_table(document, where, FORECAST)
    for key in ("coldest", "warmest"):
        if found[key] is None:
            document.fail(
                (*where, key),
                "is missing.",
                ("Write ", Entry(key, '"12 °C"'), f", the {key} air of the day."),
                "missing",
            )
    if found["coldest"] > found["warmest"]:
        document.fail((*where, "coldest"), "is above warmest.", "Exchange the two.")
    if found["warmest"] > WARMEST:
        document.fail((*where, "warmest"), "is above 50 °C.", "Nobody sprays on such a day: give a cooler one.")
    return found


def _panel(document: Document) -> dict[str, Any]:
    given = document.data.get("panel", {})
    document.check_keys(("panel",), given, (*PANEL, "damage"))
    panel = _read_table(document, ("panel",), PANEL)
    try:
        shape_of(panel)
    except InputError as error:
        document.refuse(("panel", error.problems[0].key), error)
    damage = _read_table(document, ("panel", "damage"), DAMAGE) if "damage" in given else None
    return {**panel, "damage": damage}


def _materials(document: Document) -> dict[str, dict[str, Any]]:
    own = document.check_keys(("material",), document.data.get("material", {}), materials())
    found = {}
    for name, row in materials().items():
        where: Where = ("material", name)
        given = document.check_keys(where, own.get(name, {}), MATERIAL)
        found[name] = {
            key: read_value(document, (*where, key), kind, given.get(key, row[key]), {})
            for key, kind in MATERIAL.items()
        }
        try:
            parts = len(read_ratio(found[name]["ratio"]).parts)
        except InputError as error:
            document.refuse((*where, "ratio"), error)
        if (given_ones := len(found[name]["densities"])) != parts:
            document.fail(
                (*where, "densities"),
                f"has {given_ones} for {parts} parts of the ratio.",
                "Give one for each part, in the order of the ratio.",
            )
        if found[name]["recoat_until"] < found[name]["dry_to_recoat"]:
            before = ("is before ", Entry("dry_to_recoat"), ".")
            document.fail((*where, "recoat_until"), before, "Exchange the two times.")
    return found


def _steps(document: Document, panel: Mapping[str, Any]) -> tuple[Step, ...]:
    given = document.data.get("step")
    if not isinstance(given, list) or not given:
        document.fail(("step",), "is missing.", 'Write each step as [[step]] with do = "clean" and its settings.')
    if len(given) > MOST_STEPS:
        document.fail(("step",), f"stands {len(given)} times.", f"A repair has at most {MOST_STEPS} steps.")
    return tuple(_step(document, number, table, panel) for number, table in enumerate(given))


def _step(document: Document, number: int, table: Any, panel: Mapping[str, Any]) -> Step:
    where: Where = ("step", number)
    known = steps()
    if not isinstance(table, dict) or "do" not in table:
        document.fail(
            where,
            "does not say what is done.",
            ("Write ", Entry("do", '"…"'), f", one of: {', '.join(known)}."),
            "missing",
        )
    do = _choice(document, (*where, "do"), table["do"], tuple(known))
    document.check_keys(where, table, ("do", *known[do]))
    settings = {
        key: read_value(document, (*where, key), kind, table.get(key, kind.default), panel)
        for key, kind in known[do].items()
    }
    if not 1 <= settings.get("coats", 1) <= MOST_COATS:
        document.fail((*where, "coats"), f"is {settings['coats']}.", f"Spray 1 to {MOST_COATS} coats in a step.")
    return Step(number + 1, do, settings, document.line(where), table)


def _read_table(document: Document, where: Where, fields: Mapping[str, Field]) -> dict[str, Any]:
    table: Any = document.data
    for key in where:
        table = table.get(key, {})
    table = {k: v for k, v in table.items() if k != "damage"} if where == ("panel",) else table
    document.check_keys(where, table, fields)
    return {
        key: read_value(document, (*where, key), kind, table.get(key, kind.default), {})
        for key, kind in fields.items()
    }


def read_value(document: Document, where: Where, kind: Field, value: Any, panel: Mapping[str, Any]) -> Any:
    """One setting in SI, as its field says; what is left out is given as its default."""
    key = str(where[-1])
    if value is None:
        document.fail(where, "is missing.", ("Write ", Entry(key, '"…"'), f" here ({kind})."), "missing")
    if kind.default == "" and isinstance(value, str) and not value.strip():
        return None
    if kind.reads == "quantity":
        return _one(document, where, value, str(kind.of))
    if kind.reads == "choice":
        return _choice(document, where, value, tuple(kind.of))
    if kind.reads == "area":
        return _area(document, where, value, panel)
    if kind.reads == "whole":
        number = _one(document, where, value, str(kind.of))
        if not math.isclose(number, round(number)):
            document.fail(where, "is not a whole number.", ("Write ", Entry(key, "2"), "."))
        return round(number)
    if kind.reads in ("grade", "block"):
        try:
            return (read_grade if kind.reads == "grade" else read_block)(value, str(where[-1]))
        except InputError as error:
            document.refuse(where, error)
    if kind.reads == "densities":
        if not isinstance(value, list) or not 1 <= len(value) <= MOST_PARTS:
            document.fail(
                where,
                "is not a list of densities.",
                ("Write ", Entry(key, '["1.5 kg/L", "1.05 kg/L"]'), ", one for each part."),
            )
        return tuple(_one(document, where, one, str(kind.of)) for one in value)
    if kind.reads == "clock":
        match = _CLOCK.fullmatch(value.strip()) if isinstance(value, str) else None
        if match is None:
            document.fail(where, "is not a time of day.", ("Write ", Entry(key, '"08:30"'), ", from 00:00 to 23:59."))
        return 3600.0 * int(match[1]) + 60.0 * int(match[2])
    return _text(document, where, value)


def _one(document: Document, where: Where, value: Any, name: str) -> float:
    if isinstance(value, (list, dict)):
        document.fail(
            where, "is not one value.", ("Write ", Entry(str(where[-1]), '"…"'), ", one number with its unit.")
        )
    return float(document.quantity(where, value, name))


def _choice(document: Document, where: Where, value: Any, options: tuple[str, ...]) -> str:
    try:
        return read_choice(value, options, str(where[-1]))
    except InputError as error:
        document.refuse(where, error)


def _text(document: Document, where: Where, value: Any) -> str:
    if not isinstance(value, str) or len(value) > 200:
        document.fail(
            where, "is not a short text.", ("Write ", Entry(str(where[-1]), '"…"'), " with at most 200 characters.")
        )
    return value


# --- places ------------------------------------------------------------------------------------------------


def _area(document: Document, where: Where, value: Any, panel: Mapping[str, Any]) -> tuple[float, ...] | None:
    """None (all of the panel) or a rectangle x0, x1, y0, y1 in m."""
    if isinstance(value, dict):
        document.check_keys(where, value, AREA_KEYS)
        for key in AREA_KEYS:
            if key not in value:
                document.fail((*where, key), "is missing.", "An area has x, y, width and height.")
        return _around({k: _one(document, (*where, k), value[k], n) for k, n in AREA_KEYS.items()}, 0.0)
    word = _choice(document, where, value, ("all", "damage", "repair"))
    if word == "all":
        return None
    damage = panel.get("damage")
    if damage is None:
        document.fail(
            where,
            f'"{word}" needs the damage.',
            ("Describe it in ", Entry("[panel.damage]"), ", or give the area itself."),
        )
    return _around(damage, MARGIN if word == "repair" else 0.0)


def _around(place: Mapping[str, float], margin: float) -> tuple[float, float, float, float]:
    return (
        place["x"] - margin,
        place["x"] + place["width"] + margin,
        place["y"] - margin,
        place["y"] + place["height"] + margin,
    )


def _check_places(recipe: Recipe, document: Document) -> None:
    """Every area has to lie on the panel at least in part, and filler needs one that is several cells wide."""
    shape = shape_of(recipe.panel)

    def check(where: Where, area: tuple[float, ...]) -> None:
        columns, rows = (
            (axis > low) & (axis < high)
            for axis, low, high in ((shape.x, area[0], area[1]), (shape.y, area[2], area[3]))
        )
        if not shape.inside[np.ix_(rows, columns)].any():
            width, height = shape.size
            document.fail(where, "does not touch the panel.", f"It is {width:g} m wide and {height:g} m high.")

    if recipe.panel["damage"]:
        check(("panel", "damage"), _around(recipe.panel["damage"], 0.0))
    for step in recipe.steps:
        for key in ("area", "open"):
            if step.settings.get(key) is not None:
                check(("step", step.number - 1, key), step[key])
        if step.do == "mask" and step["open"] is None:
            document.fail(
                ("step", step.number - 1, "open"),
                "is all of the panel.",
                "Leave the step out, or say which part stays open.",
            )
        if step.do == "fill" and step["area"] is None:
            document.fail(("step", step.number - 1, "area"), "is the whole panel.", "Fill a part of it.")
