"""Exposure limits, and the names a substance goes by."""

from __future__ import annotations

import difflib
import functools
import re
from collections.abc import Mapping
from typing import Any

from coursekit.nomenclature import load_data
from coursekit.quantities import InputError, read

LONGEST_NAME = 80
# Any name that holds one of these is taken for an isocyanate: better once too often.
_ISOCYANATE = ("isocyan", "diisocy")


def table() -> Mapping[str, Any]:
    """Every row of the exposure limits."""
    return load_data("exposure_limits")


def _plain(name: str) -> str:
    return re.sub(r"[^a-z0-9]", "", name.casefold())


@functools.lru_cache(maxsize=1)
def _names() -> Mapping[str, str]:
    found = {}
    for key, row in table().items():
        for name in (key, row["name"], *row["also"]):
            found[_plain(name)] = key
    return found


def substance_key(substance: Any, argument: str = "substance") -> str:
    """The row a name means: capitals, hyphens and spaces do not matter; any isocyanate not listed is one."""
    remedy = "Use the name on the safety data sheet, for example: " + ", ".join(
        row["name"] for row in table().values()) + "."  # fmt: skip
    if not isinstance(substance, str) or not substance.strip() or len(substance) > LONGEST_NAME:
        raise InputError(argument, "is not the name of a substance.", remedy)
    plain = _plain(substance)
    if plain in _names():
        return _names()[plain]
    if any(part in plain for part in _ISOCYANATE):
        return "isocyanate"
    close = difflib.get_close_matches(plain, list(_names()), 1, 0.75)
    near = f' Did you mean "{table()[_names()[close[0]]]["name"]}"?' if close else ""
    raise InputError(argument, f'"{substance.strip()}" stands in no table here.{near}', remedy)


def molar_mass(key: str) -> float:
    return float(read(table()[key]["molar_mass"], "molar_mass"))
