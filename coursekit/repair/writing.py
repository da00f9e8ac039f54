"""A recipe written down: the TOML text of its tables, which `loads` reads as the same repair."""

from __future__ import annotations

import datetime
import json
import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from coursekit.quantities import InputError

_BARE = re.compile(r"[A-Za-z0-9_-]+")
HEAD = "# A repair. Every value may be changed by hand, in metric or US units.\n"
DAMAGE_HEAD = "# A damage. What is left out counts as not known: the usual value stands in.\n"


STEP = "\n[[step]]\n"


def recipe_text(written: Mapping[str, Any]) -> str:
    """The text of a recipe file, from its tables as they were written (`Recipe.written`)."""
    return _sound(HEAD + "\n".join(_lines(written)) + "\n", "recipe")


def with_reasons(text: str, reasons: Sequence[str]) -> str:
    """The text of a recipe with the reason of each step, where it has one, above it."""
    head, *steps = text.split(STEP)
    if len(steps) != len(reasons):  # a text of the learner's holds the mark itself
        return text
    said = (f"\n# {' '.join(why.split())}." if why else "" for why in reasons)
    return head + "".join(f"{why}{STEP}{step}" for why, step in zip(said, steps, strict=True))


def reasons_in(text: str, count: int) -> list[str]:
    """The reasons of so many steps, as they stand above them in the text of a recipe; "" where none does."""
    parts = text.replace("\r\n", "\n").split(STEP)[:-1]
    if len(parts) != count:
        return [""] * count
    last = (part.rpartition("\n")[2] for part in parts)
    return [line[2:].removesuffix(".") if line.startswith("# ") else "" for line in last]


def damage_text(written: Mapping[str, Any]) -> str:
    """The text of a damage's file, from its tables."""
    return _sound(DAMAGE_HEAD + "\n".join(_lines(written)) + "\n", "damage")


def _sound(text: str, name: str) -> str:
    try:
        text.encode()
    except UnicodeEncodeError:
        raise InputError(
            name, "holds a character that no file can hold.", "Write that text anew.", kind="file"
        ) from None
    return text


def _lines(written: Mapping[str, Any]) -> Iterator[str]:
    """First the plain keys, then table after table, and the steps at the end."""
    yield from (f"{key} = {_value(value)}" for key, value in written.items() if not isinstance(value, (dict, list)))
    yield from _tables((), {key: value for key, value in written.items() if isinstance(value, dict)})
    for name in ("hours", "measurement", "step"):
        for row in written.get(name, ()):
            yield from ("", f"[[{name}]]", *(f"{_key(key)} = {_value(value)}" for key, value in row.items()))


def _tables(where: tuple[str, ...], tables: Mapping[str, Any]) -> Iterator[str]:
    for key, table in tables.items():
        here = (*where, key)
        plain = [f"{_key(name)} = {_value(value)}" for name, value in table.items() if not isinstance(value, dict)]
        if plain or not table:
            yield from ("", f"[{'.'.join(map(_key, here))}]", *plain)
        yield from _tables(here, {name: value for name, value in table.items() if isinstance(value, dict)})


def _key(key: str) -> str:
    return key if _BARE.fullmatch(key) else _text(key)


def _text(text: str) -> str:
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (int, float)):
        return repr(value)
    if isinstance(value, datetime.date):
        return value.isoformat()
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{_key(key)} = {_value(one)}" for key, one in value.items()) + " }"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(map(_value, value)) + "]"
    return _text(str(value))
