"""A repair as data: a TOML file that a person can read and write, read strictly.

A recipe has `[panel]`, `[garage]`, `[forecast]`, `[start]`, `[hand]`, `[measured]`, `[gun]`, `[cup]`, `[price]`,
`[material.NAME]` and `[[step]]` after step; `vocabulary.py` lists what each may say, `steps/` what a step may.
Every complaint names the line, the field and the remedy, and nothing is evaluated.
"""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from importlib import resources
from pathlib import Path
from typing import Any

import numpy as np

from coursekit import tomlfile
from coursekit.drying.weather import WARMEST
from coursekit.errors import Entry, InUnits, Where
from coursekit.measured import Measured, read_rows
from coursekit.mixing.ratio import read_ratio
from coursekit.quantities import InputError, read_choice
from coursekit.repair.formats import check_format
from coursekit.repair.given import Given, Place
from coursekit.repair.order import check_order
from coursekit.repair.pricing import Price, read_prices
from coursekit.repair.reading import read_one_of, read_table, read_text, read_value
from coursekit.repair.start import shape_of
from coursekit.repair.steps import STEPS, Step
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
from coursekit.repair.words import DAYS
from coursekit.tomlfile import Document

MOST_STEPS = 200


@dataclass(frozen=True, kw_only=True)
class Recipe(Given):
    """A whole repair, every number in SI. `changed` gives another with one setting moved."""

    title: str
    steps: tuple[Step, ...]
    name: str = "recipe"
    forecast: Mapping[str, Any] | None = None  # coldest, warmest (K) and begins (s after midnight)
    start: float | None = None  # s from Monday 00:00
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
                "where",
                f"{str(where)[:60]} is not in the recipe.",
                "Name a table, or a step by its number.",
                kind="unknown",
            ) from None
        return from_document(Document.of_tables(written, self.name))


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
        raise InputError(name, "is not text.", "Give the text of a TOML recipe.", kind="form")
    return from_document(Document(text, name))


def demo_path(which: str = "door_repair") -> Path:
    """Where a demo lies: a recipe of the invented scenario, the one that goes wrong, a small card; or a damage."""
    read_choice(which, ("door_repair", "impatient_repair", "card", "damage"), "which")
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
    document.check_keys(
        (),
        document.data,
        (
            "format",
            "title",
            "panel",
            "garage",
            "forecast",
            "start",
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
    check_format(document)
    top, panel = document.data, _panel(document)
    garage, hand, measured, gun = (
        read_table(document, (key,), fields)
        for key, fields in (("garage", GARAGE), ("hand", HAND), ("measured", MEASURED), ("gun", GUN))
    )
    recipe = Recipe(
        title=read_text(document, ("title",), top.get("title", "A repair")),
        panel=panel,
        garage=garage,
        hand=hand,
        measured=measured,
        gun=gun,
        materials=_materials(document),
        steps=_steps(document, panel),
        name=document.name,
        forecast=_forecast(document),
        start=_start(document),
        cup=read_table(document, ("cup",), CUP) if "cup" in top else None,
        prices=read_prices(document),
        measurements=read_rows(document) if "measurement" in top else None,
        written=document.data,
    )
    _check_places(recipe, document)
    check_order(recipe, recipe.steps, document)
    return recipe


def _forecast(document: Document) -> dict[str, Any] | None:
    if "forecast" not in document.data:
        return None
    where: Where = ("forecast",)
    document.check_keys(where, document.data["forecast"], FORECAST)
    found = read_table(document, where, FORECAST)
    for key in ("coldest", "warmest"):
        if found[key] is None:
            document.fail(
                (*where, key),
                "is missing.",
                ("Write ", Entry(key, '"12 °C"'), f", the {key} air of the day."),
                "missing",
            )
    if found["coldest"] > found["warmest"]:
        document.fail((*where, "coldest"), "is above the day's warmest.", "Exchange the two.", "order")
    if found["warmest"] > WARMEST:
        document.fail(
            (*where, "warmest"),
            ("is above ", InUnits(WARMEST, "air_temperature"), "."),
            "Nobody sprays on such a day: give a cooler one.",
            "value",
        )
    return found


def _start(document: Document) -> float | None:
    if "start" not in document.data:
        return None
    document.check_keys(("start",), document.data["start"], START)
    found = read_table(document, ("start",), START)
    return DAYS.index(found["day"]) * 86_400.0 + float(found["at"])


def _panel(document: Document) -> dict[str, Any]:
    given = document.data.get("panel", {})
    document.check_keys(("panel",), given, (*PANEL, "damage"))
    panel = read_table(document, ("panel",), PANEL)
    try:
        shape_of(panel)
    except InputError as error:
        document.refuse(("panel", error.problems[0].key), error)
    damage = read_table(document, ("panel", "damage"), DAMAGE) if "damage" in given else None
    return {**panel, "damage": damage}


def _materials(document: Document) -> dict[str, dict[str, Any]]:
    own = document.check_keys(("material",), document.data.get("material", {}), materials())
    return {name: _material(document, name, own[name]) if name in own else {**_usual(name)} for name in materials()}


@functools.lru_cache
def _usual(name: str) -> dict[str, Any]:
    """A material as the course has it, read once."""
    return _material(Document.of_tables({}, "materials"), name, {})


def _material(document: Document, name: str, given: object) -> dict[str, Any]:
    where: Where = ("material", name)
    row = {**materials()[name], **document.check_keys(where, given, MATERIAL)}
    found = {key: read_value(document, (*where, key), kind, row[key], {}) for key, kind in MATERIAL.items()}
    try:
        parts = len(read_ratio(found["ratio"]).parts)
    except InputError as error:
        document.refuse((*where, "ratio"), error)
    if (given_ones := len(found["densities"])) != parts:
        document.fail(
            (*where, "densities"),
            f"has {given_ones} for {parts} parts of the ratio.",
            "Give one for each part, in the order of the ratio.",
            "count",
        )
    if found["recoat_until"] < found["dry_to_recoat"]:
        before = ("is before ", Entry("dry_to_recoat"), ".")
        document.fail((*where, "recoat_until"), before, "Exchange the two times.", "order")
    return found


def _steps(document: Document, panel: Mapping[str, Any]) -> tuple[Step, ...]:
    given = document.data.get("step")
    if not isinstance(given, list) or not given:
        document.fail(
            ("step",), "is missing.", 'Write each step as [[step]] with do = "clean" and its settings.', "missing"
        )
    if len(given) > MOST_STEPS:
        document.fail(("step",), f"stands {len(given)} times.", f"A repair has at most {MOST_STEPS} steps.", "count")
    found: list[Step] = []
    laid: dict[str, Any] = {}  # material → where it was laid last, for areas that hang on it
    for number, table in enumerate(given):
        step = _step(document, number, table, {**panel, "laid": laid})
        if step.brings:
            laid[step.brings] = getattr(step, "area", None)
        found.append(step)
    return tuple(found)


def _step(document: Document, number: int, table: Any, panel: Mapping[str, Any]) -> Step:
    where: Where = ("step", number)
    if not isinstance(table, dict) or "do" not in table:
        document.fail(
            where,
            "does not say what is done.",
            ("Write ", Entry("do", '"…"'), f", one of: {', '.join(STEPS)}."),
            "missing",
        )
    kind = STEPS[read_one_of(document, (*where, "do"), table["do"], tuple(STEPS))]
    document.check_keys(where, table, ("do", *kind.entries()))
    entries = kind.entries()
    settings = {}
    for key, said in entries.items():
        usual = said.left_out(table.get(said.by, entries[said.by].default)) if said.by else said.default
        settings[key] = read_value(document, (*where, key), said, table.get(key, usual), panel)
    return kind(number=number + 1, line=document.line(where), written=table, **settings)


def _check_places(recipe: Recipe, document: Document) -> None:
    """Every area has to lie on the panel at least in part, and filler needs one that is several cells wide."""
    shape = shape_of(recipe.panel)

    def check(where: Where, area: Place) -> None:
        columns, rows = (
            (axis > low) & (axis < high)
            for axis, low, high in ((shape.x, area[0], area[1]), (shape.y, area[2], area[3]))
        )
        if not shape.inside[np.ix_(rows, columns)].any():
            document.fail(where, "does not touch the panel.", shape.how_large, "place")

    if recipe.damage_area:
        check(("panel", "damage"), recipe.damage_area)
    for step in recipe.steps:
        where: Where = ("step", step.number - 1)
        for key, said in step.entries().items():
            if said.reads == "area" and (area := getattr(step, key)) is not None:
                check((*where, key), area)
        if refused := step.misplaced():
            document.fail((*where, refused.key), refused.problem, refused.remedy, "place")
