"""One key of a recipe, or a table of them, read strictly: a complaint names line, field and remedy."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import Any

from coursekit.errors import Entry, Where
from coursekit.mixing.ratio import MOST_PARTS
from coursekit.quantities import InputError, read_choice
from coursekit.repair.areas import is_anchored, read_anchored
from coursekit.repair.fields import Field
from coursekit.repair.given import MARGIN, Place, around
from coursekit.sanding import read_block, read_grade
from coursekit.tomlfile import Document

AREA_KEYS = {"x": "place", "y": "place", "width": "extent", "height": "extent"}
_CLOCK = re.compile(r"([01]?[0-9]|2[0-3]):([0-5][0-9])", re.ASCII)


def read_table(document: Document, where: Where, fields: Mapping[str, Field]) -> dict[str, Any]:
    """A table of the document, with what it leaves out; it may be missing."""
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
        return read_one(document, where, value, str(kind.of))
    if kind.reads == "choice":
        return read_one_of(document, where, value, tuple(kind.of))
    if kind.reads == "area":
        return _area(document, where, value, panel)
    if kind.reads == "whole":
        number = read_one(document, where, value, str(kind.of))
        if not math.isclose(number, round(number)):
            document.fail(where, "is not a whole number.", ("Write ", Entry(key, "2"), "."), "form")
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
                "form",
            )
        return tuple(read_one(document, where, one, str(kind.of)) for one in value)
    if kind.reads == "clock":
        return read_clock(document, where, value)
    return read_text(document, where, value)


def read_clock(document: Document, where: Where, value: Any) -> float:
    """A time of day, s after midnight."""
    match = _CLOCK.fullmatch(value.strip()) if isinstance(value, str) else None
    if match is None:
        remedy = ("Write ", Entry(str(where[-1]), '"08:30"'), ", from 00:00 to 23:59.")
        document.fail(where, "is not a time of day.", remedy, "form")
    return 3600.0 * int(match[1]) + 60.0 * int(match[2])


def read_one(document: Document, where: Where, value: Any, name: str) -> float:
    """One number with its unit, in SI."""
    if isinstance(value, (list, dict)):
        document.fail(
            where,
            "is not one value.",
            ("Write ", Entry(str(where[-1]), '"…"'), ", one number with its unit."),
            "form",
        )
    return float(document.quantity(where, value, name))


def read_one_of(document: Document, where: Where, value: Any, options: tuple[str, ...]) -> str:
    try:
        return read_choice(value, options, str(where[-1]))
    except InputError as error:
        document.refuse(where, error)


def read_text(document: Document, where: Where, value: Any) -> str:
    if not isinstance(value, str) or len(value) > 200:
        document.fail(
            where,
            "is not a short text.",
            ("Write ", Entry(str(where[-1]), '"…"'), " with at most 200 characters."),
            "form",
        )
    return value


def _area(document: Document, where: Where, value: Any, panel: Mapping[str, Any]) -> Place | None:
    """None (all of the panel) or a rectangle x0, x1, y0, y1 in m."""
    if is_anchored(value):
        known = dict(panel.get("laid", {}))
        if panel.get("damage") is not None:
            known |= {"damage": around(panel["damage"]), "repair": around(panel["damage"], MARGIN)}
        return read_anchored(document, where, value, panel, known)
    if isinstance(value, dict):
        document.check_keys(where, value, AREA_KEYS)
        for key in AREA_KEYS:
            if key not in value:
                document.fail((*where, key), "is missing.", "An area has x, y, width and height.", "missing")
        return around({k: read_one(document, (*where, k), value[k], n) for k, n in AREA_KEYS.items()})
    word = read_one_of(document, where, value, ("all", "damage", "repair"))
    if word == "all":
        return None
    damage = panel.get("damage")
    if damage is None:
        document.fail(
            where,
            f'"{word}" needs the damage.',
            ("Describe it in ", Entry("[panel.damage]"), ", or give the area itself."),
            "missing",
        )
    return around(damage, MARGIN if word == "repair" else 0.0)
