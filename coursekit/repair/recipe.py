"""A repair as data: a TOML file that a person can read and write, read strictly.

A recipe has `[panel]`, `[garage]`, `[hand]`, `[material.NAME]` and `[[step]]` after step; `STEPS` lists what each
step may say. Every complaint names the line, the field and the remedy, and nothing is evaluated.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from importlib import resources
from pathlib import Path
from typing import Any, Literal, NamedTuple

from coursekit import tomlfile
from coursekit.nomenclature import load_data
from coursekit.quantities import InputError, read_choice
from coursekit.sanding import read_block, read_grade
from coursekit.tomlfile import Document, Where

FORMAT = 1
MOST_STEPS = 200

Reads = Literal["quantity", "choice", "area", "grade", "block", "whole", "text"]


class Field(NamedTuple):
    """One key of a recipe: how it is read, the row of the nomenclature or the choices, and its default text."""

    reads: Reads
    of: str | tuple[str, ...] = ""
    default: Any = None  # None: has to be given

    def __str__(self) -> str:
        return self.of if isinstance(self.of, str) else " / ".join(self.of)


def _quantity(name: str, default: Any = None) -> Field:
    return Field("quantity", name, default)


@dataclass(frozen=True)
class Step:
    """One step: what is done, its settings in SI, and the line on which it stands."""

    number: int
    do: str
    settings: Mapping[str, Any]
    line: int
    written: Mapping[str, Any]

    def __getitem__(self, key: str) -> Any:
        return self.settings[key]


@dataclass(frozen=True)
class Recipe:
    """A whole repair, every number in SI. `changed` gives another with one setting moved."""

    title: str
    panel: Mapping[str, Any]
    garage: Mapping[str, Any]
    hand: Mapping[str, Any]
    materials: Mapping[str, Mapping[str, Any]]
    steps: tuple[Step, ...]
    name: str = "recipe"
    written: Mapping[str, Any] = field(default_factory=dict, compare=False)

    def changed(self, *where: str | int, to: Any) -> Recipe:
        """The recipe with one value written anew: `changed("step", 6, "force", to="12 N")`; steps count from 1."""
        written = _copy(self.written)
        table: Any = written
        path = [w - 1 if isinstance(w, int) else w for w in where]
        try:
            for key in path[:-1]:
                table = table.setdefault(key, {}) if isinstance(table, dict) else table[key]
            table[path[-1]] = to
        except (KeyError, IndexError, TypeError, AttributeError):
            raise InputError("where", f"{where} is not in the recipe.",
                             "Name a table, or a step by its number.") from None  # fmt: skip
        return _from_tables(_Tables(written, self.name))


class _Tables(Document):
    """Tables that come from no file: no lines to name."""

    def __init__(self, data: dict[str, Any], name: str) -> None:
        self.data, self.name, self.lines = data, name, {}


def _copy(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {k: _copy(v) for k, v in value.items()}
    return [_copy(v) for v in value] if isinstance(value, list) else value


@functools.lru_cache(maxsize=1)
def tools() -> Mapping[str, Mapping[str, Any]]:
    """What the hand or the machine holds, by its name."""
    return load_data("tools")


@functools.lru_cache(maxsize=1)
def materials() -> Mapping[str, Mapping[str, Any]]:
    """What a recipe says of a material when the learner's own data sheet does not."""
    return load_data("repair_materials")


def _tool_names(use: str) -> tuple[str, ...]:
    return tuple(name for name, tool in tools().items() if use in tool["use"])


DIRECTIONS = ("along", "across", "cross")
AREA = Field("area", "", "all")
TIME = _quantity("step_time")

PANEL = {
    "shape": Field("choice", ("door", "quarter panel", "test card"), "door"),
    "cell": _quantity("cell", "5 mm"),
    "sheet": Field("choice", ("steel", "plastic"), "steel"),
    "old_paint": _quantity("old_film", "110 µm"),
    "texture": _quantity("peel_height", "1 µm"),
    "damage": Field("text", "", ""),
}
DAMAGE = {
    "x": _quantity("place"), "y": _quantity("place"), "width": _quantity("extent"),
    "height": _quantity("extent"), "low": _quantity("low_metal"), "stripped": _quantity("place", "30 mm"),
}  # fmt: skip
GARAGE = {
    "temperature": _quantity("temperature", "20 °C"), "humidity": _quantity("humidity", "50 %"),
    "length": _quantity("room_side", "6 m"), "width": _quantity("room_side", "3 m"),
    "height": _quantity("room_side", "2.4 m"), "air_changes": _quantity("air_changes", "1 /h"),
}  # fmt: skip
HAND = {"variation": _quantity("hand_variation", "0 %"), "seed": Field("whole", "seed", 1)}


def steps() -> dict[str, dict[str, Field]]:
    """What each step may say."""
    sanded = {"paper": Field("grade"), "area": AREA}
    by_hand = {**sanded, "force": _quantity("force", "20 N"), "strokes": _quantity("strokes")}
    return {
        "clean": {"wipes": Field("whole", "wipes", 2), "area": AREA, "time": _quantity("step_time", "10 min")},
        "fill": {"proud": _quantity("proud_filler", "0.5 mm"), "ripple": _quantity("ripple", "0.2 mm"),
                 "area": Field("area", "", "damage"), "time": _quantity("step_time", "10 min")},
        "guide coat": {"area": AREA, "time": _quantity("step_time", "2 min")},
        "block": {**by_hand, "tool": Field("choice", _tool_names("block"), "hand block"),
                  "block": Field("block", "", ""), "direction": Field("choice", DIRECTIONS, "cross")},
        "hand sand": {**by_hand, "tool": Field("choice", _tool_names("hand sand"), "soft pad")},
        "machine sand": {**sanded, "force": _quantity("force", "20 N"), "time": TIME,
                         "tool": Field("choice", _tool_names("machine sand"), "machine pad"),
                         "orbit": _quantity("orbit", "5 mm"), "rotation": _quantity("rotation", "10000 /min")},
        "polish": {**sanded, "force": _quantity("force", "20 N"), "time": TIME,
                   "tool": Field("choice", _tool_names("polish"), "polishing pad")},
        "mask": {"open": Field("area", "", "repair"), "edge": Field("choice", ("raised", "flat"), "raised"),
                 "lip": _quantity("lip", "5 mm"), "time": _quantity("step_time", "10 min")},
        "unmask": {"time": _quantity("step_time", "2 min")},
        "spray": {"material": Field("choice", ("epoxy primer", "surfacer", "base", "clear")),
                  "coats": Field("whole", "coats", 1), "area": AREA, "flash": _quantity("step_time", "10 min"),
                  "reduction": _quantity("reduction", "0 %"), "delivery": _quantity("fluid_delivery", "150 mL/min"),
                  "speed": _quantity("gun_speed", "0.45 m/s"), "step": _quantity("pitch", "125 mm"),
                  "fan": _quantity("width", "250 mm"), "captured": _quantity("transfer_efficiency", "75 %"),
                  "lead": _quantity("lead", "50 mm"), "cover": _quantity("cover", "1 m"),
                  "direction": Field("choice", DIRECTIONS, "along")},
        "wait": {"time": TIME},
    }  # fmt: skip


MATERIAL = {
    "volume_solids": _quantity("volume_solids"), "density": _quantity("density"),
    "hardness": _quantity("hardness"), "texture": _quantity("peel_height"),
    "dry_to_recoat": TIME, "dry_to_sand": TIME, "recoat_until": TIME, "pot_life": TIME,
    "ratio": Field("text"), "isocyanate": Field("choice", ("yes", "no")),
}  # fmt: skip


def load(path: str | Path) -> Recipe:
    """The recipe in a TOML file. Raises InputError naming line, field and remedy."""
    return _from_tables(tomlfile.load(path))


def loads(text: str, name: str = "recipe") -> Recipe:
    """The recipe in TOML text."""
    if not isinstance(text, str):
        raise InputError(name, "is not text.", "Give the text of a TOML recipe.")
    return _from_tables(Document(text, name))


def demo_path() -> Path:
    """Where the demo recipe of the invented scenario lies."""
    return Path(str(resources.files("coursekit") / "tables" / "demo" / "door_repair.toml"))


def _from_tables(document: Document) -> Recipe:
    top = document.check_keys((), document.data,
                              ("format", "title", "panel", "garage", "hand", "material", "step"))  # fmt: skip
    if top.get("format") != FORMAT:
        document.fail(("format",), f"is {top.get('format')!r}, not {FORMAT}.", f"Write format = {FORMAT} at the top.")
    panel = _panel(document)
    known = _read_table(document, ("garage",), GARAGE), _read_table(document, ("hand",), HAND)
    own = top.get("material", {})
    document.check_keys(("material",), own, materials())
    stuff = {name: {**_read_defaults(document, name, row), **_read_given(document, ("material", name), MATERIAL,
                                                                        own.get(name, {}))}
             for name, row in materials().items()}  # fmt: skip
    recipe = Recipe(_text(document, ("title",), top.get("title", "A repair")), panel, known[0], known[1], stuff,
                    _steps(document, panel), document.name, document.data)  # fmt: skip
    from coursekit.repair.order import check_order

    check_order(recipe, document)
    return recipe


def _panel(document: Document) -> dict[str, Any]:
    given = document.data.get("panel", {})
    document.check_keys(("panel",), given, PANEL)
    panel = _read_table(document, ("panel",), PANEL)
    damage = given.get("damage") if isinstance(given, dict) else None
    panel["damage"] = _read_table(document, ("panel", "damage"), DAMAGE) if damage is not None else None
    return panel


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
        document.fail(where, "does not say what is done.", f'Write do = "…", one of: {", ".join(known)}.')
    do = _choice(document, (*where, "do"), table["do"], tuple(known))
    document.check_keys(where, table, ("do", *known[do]))
    settings = {key: _value(document, (*where, key), kind, table.get(key, kind.default), panel)
                for key, kind in known[do].items()}  # fmt: skip
    return Step(number + 1, do, settings, document.line(where), table)


def _read_table(document: Document, where: Where, fields: Mapping[str, Field]) -> dict[str, Any]:
    table: Any = document.data
    for key in where:
        table = table.get(key, {}) if isinstance(table, dict) else {}
    document.check_keys(where, table, fields)
    return {key: _value(document, (*where, key), kind, table.get(key, kind.default), {})
            for key, kind in fields.items()}  # fmt: skip


def _read_given(document: Document, where: Where, fields: Mapping[str, Field], table: Any) -> dict[str, Any]:
    document.check_keys(where, table, fields)
    return {key: _value(document, (*where, key), fields[key], value, {}) for key, value in table.items()}


def _read_defaults(document: Document, name: str, row: Mapping[str, Any]) -> dict[str, Any]:
    kinds = {**MATERIAL}
    return {key: _value(document, ("material", name, key), kinds[key], value, {})
            for key, value in row.items() if key in kinds}  # fmt: skip


def _value(document: Document, where: Where, kind: Field, value: Any, panel: Mapping[str, Any]) -> Any:
    if value is None:
        document.fail(where, "is missing.", f'Write {where[-1]} = "…" here ({kind}).')
    if kind.reads == "quantity":
        return document.quantity(where, value, str(kind.of))
    if kind.reads == "choice":
        return _choice(document, where, value, tuple(kind.of))
    if kind.reads == "area":
        return _area(document, where, value, panel)
    if kind.reads == "whole":
        number = document.quantity(where, value, str(kind.of))
        if isinstance(value, bool) or not math.isclose(number, round(number)):
            document.fail(where, "is not a whole number.", f"Write {where[-1]} = 2, without quotes.")
        return round(number)
    if kind.reads in ("grade", "block"):
        if kind.default is not None and value == kind.default:
            return None
        try:
            return (read_grade if kind.reads == "grade" else read_block)(value, str(where[-1]))
        except InputError as error:
            document.fail(where, error.problem or str(error), error.remedy)
    return _text(document, where, value) if isinstance(value, str) else value


def _choice(document: Document, where: Where, value: Any, options: tuple[str, ...]) -> str:
    try:
        return read_choice(value, options, str(where[-1]))
    except InputError as error:
        document.fail(where, error.problem, error.remedy)


def _text(document: Document, where: Where, value: Any) -> str:
    if not isinstance(value, str) or len(value) > 200:
        document.fail(where, "is not a short text.", f'Write {where[-1]} = "…" with at most 200 characters.')
    return value


MARGIN = 0.12  # m: how far the repair area reaches beyond the filler


def _area(document: Document, where: Where, value: Any, panel: Mapping[str, Any]) -> tuple[float, ...] | None:
    """None (all of the panel) or a rectangle x0, x1, y0, y1 in m."""
    if isinstance(value, dict):
        document.check_keys(where, value, ("x", "y", "width", "height"))
        names = {"x": "place", "y": "place", "width": "extent", "height": "extent"}
        for key in names:
            if key not in value:
                document.fail((*where, key), "is missing.", "An area has x, y, width and height.")
        x, y, width, height = (document.quantity((*where, k), value[k], n) for k, n in names.items())
        return (x, x + width, y, y + height)
    word = _choice(document, where, value, ("all", "damage", "repair"))
    if word == "all":
        return None
    damage = panel.get("damage")
    if damage is None:
        document.fail(where, f'"{word}" needs the damage.', "Describe it in [panel.damage], or give the area itself.")
    edge = MARGIN if word == "repair" else 0.0
    x0, y0 = damage["x"] - edge, damage["y"] - edge
    return (x0, damage["x"] + damage["width"] + edge, y0, damage["y"] + damage["height"] + edge)


def with_hand(recipe: Recipe, seed: int, variation: float | None = None) -> Recipe:
    """The same recipe by another hand: another seed, and another unsteadiness when given."""
    hand = {**recipe.hand, "seed": seed}
    if variation is not None:
        hand["variation"] = variation
    return replace(recipe, hand=hand)
