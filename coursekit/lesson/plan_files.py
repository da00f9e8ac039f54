"""Files of the plan of a repair, in the learner's folder: the recipes that were saved, the sheets, and the draft."""

from __future__ import annotations

import contextlib
import json
import re
from pathlib import Path
from typing import Any, NamedTuple

from coursekit import repair
from coursekit.folder import folder, write_atomically
from coursekit.lesson.coat_sheet import keep_page
from coursekit.nomenclature import System
from coursekit.quantities import InputError
from coursekit.repair import Recipe
from coursekit.repair.writing import recipe_text

FOLDER = "repairs"
DRAFT = "plan_draft.json"
LONGEST_NAME = 60


class Kept(NamedTuple):
    """The file of a plan, and what stood in it when it was last read or written."""

    file: Path | None = None
    text: str = ""

    @classmethod
    def of(cls, file: Path) -> Kept:
        return cls(file, file.read_text(encoding="utf-8"))


class Taken(InputError):
    """There is a file of that name that this plan was not read from."""


def saved() -> list[str]:
    """The names of the learner's own recipes."""
    try:
        return sorted(file.stem for file in (folder() / FOLDER).glob("*.toml"))
    except OSError:
        return []


def place(name: str) -> Path:
    """Where the recipe of that name is."""
    return folder() / FOLDER / f"{name}.toml"


def file_name(title: str) -> str:
    """A title as the name of a file: "Left door, 2024" → "left-door-2024"."""
    return "-".join(re.findall(r"\w+", title.casefold()))[:LONGEST_NAME].strip("-") or "repair"


def text_of(recipe: Recipe) -> str:
    return recipe_text(recipe.written)


def save(recipe: Recipe, kept: Kept, over: bool = False) -> Kept:
    """Write the recipe, the whole of it or nothing. A file that is not this plan's is left alone unless `over`."""
    text = text_of(recipe)
    try:
        file = place(file_name(recipe.title))
        file.parent.mkdir(exist_ok=True)
        if file.exists() and not over:
            there = file.read_text(encoding="utf-8", errors="replace")
            if kept.file != file:
                raise Taken("name", f"is taken: {file} is there already and was not opened here.",
                                 "Give the repair another name, or press “Save over it”.")  # fmt: skip
            if there not in (kept.text, text):
                raise Taken("file", f"{file.name} was changed since it was opened here.",
                                 "Give the repair another name, or press “Save over it”.")  # fmt: skip
        write_atomically(file, text)
    except OSError as error:
        raise InputError("plan", f"could not be saved ({error.strerror or error}); what was there is there still.",
                         "See that the disk has room and that your folder can be written.") from None  # fmt: skip
    return Kept(file, text)


def write_sheet(recipe: Recipe, system: System) -> Path:
    """The job sheet, as `python -m coursekit sheet` writes it, as a file of its own."""
    return keep_page(file_name(recipe.title), repair.job_sheet(recipe, system))


def keep_draft(state: dict[str, Any]) -> None:
    """Keep what stands in the form; a disk that is full must not stop the planning."""
    with contextlib.suppress(OSError, UnicodeEncodeError):
        write_atomically(folder() / DRAFT, json.dumps(state, ensure_ascii=False))


def kept_draft() -> dict[str, Any] | None:
    """What stood in the form last time."""
    try:
        found = json.loads((folder() / DRAFT).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return None
    return found if isinstance(found, dict) else None
