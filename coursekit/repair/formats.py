"""Recipes of an older format: what their keys are called now. They open as ever, and are kept in the new one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from coursekit.errors import Where
from coursekit.tomlfile import Document

FORMAT = 2
RENAMED: Mapping[str, Mapping[str, str]] = {  # what a step of format 1 does → its keys, and what they are called now
    "spray": {"delivery": "fluid_delivery", "speed": "gun_speed", "step": "pitch", "fan": "fan_width"},
    "mask": {"lip": "lip_height"},
}


def check_format(document: Document) -> None:
    """Refuse a recipe of no known format; one of format 1 is brought to the present one, its lines with it."""
    given = document.data.get("format")
    if given not in (1, FORMAT) or isinstance(given, bool):
        wrong = "is missing." if given is None else f"is {str(given)[:20]}, not {FORMAT}."
        document.fail(("format",), wrong, f"Write format = {FORMAT} at the top.", "format")
    for where, step in _steps(document):
        for old, new in _renamed(step).items():
            if given == FORMAT and old in step:
                document.fail((*where, old), "is a key of format 1.", f"It is called {new} now.", "unknown key")
            if given != FORMAT and new in step:
                remedy = f"Call it {old}, or write format = {FORMAT} at the top."
                document.fail((*where, new), f"is a key of format {FORMAT}.", remedy, "unknown key")
    if given != FORMAT:
        document.data = {**document.data, "format": FORMAT}
        document.renamed = {
            (*where, new): (*where, old) for where, step in _steps(document) for old, new in _renamed(step).items()
        }
        if isinstance(document.data.get("step"), list):
            document.data["step"] = [_now(step) for step in document.data["step"]]


def renamed(do: str, table: Mapping[str, Any]) -> dict[str, Any]:
    """What a step of format 1 says, with its keys as they are called now, in their order."""
    names = RENAMED.get(do, {})
    return {names.get(key, key): value for key, value in table.items()}


def _renamed(step: Any) -> Mapping[str, str]:
    """The keys of a step that were renamed, when it is one that says what is done."""
    do = step.get("do") if isinstance(step, Mapping) else None
    return RENAMED.get(do, {}) if isinstance(do, str) else {}


def _now(step: Any) -> Any:
    return renamed(step["do"], step) if _renamed(step) else step


def _steps(document: Document) -> Iterator[tuple[Where, Mapping[str, Any]]]:
    steps = document.data.get("step")
    for number, step in enumerate(steps) if isinstance(steps, list) else ():
        yield ("step", number), step
