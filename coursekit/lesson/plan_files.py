"""Files of the plan of a repair, in the learner's folder: the recipes that were saved, the sheets, and the draft."""

from __future__ import annotations

import contextlib
import json
import re
from pathlib import Path
from typing import Any, NamedTuple

from coursekit import folder, repair
from coursekit.keeping import Damaged, change, read_text
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
        return cls(file, read_text(file).replace("\r\n", "\n"))


class Taken(InputError):
    """There is a file of that name that this plan was not read from."""


def saved() -> list[str]:
    """The names of the learner's own recipes."""
    try:
        return sorted(file.stem for file in (folder.place() / FOLDER).glob("*.toml"))
    except (OSError, InputError):
        return []


def place(name: str) -> Path:
    """Where the recipe of that name is."""
    return folder.place() / FOLDER / f"{name}.toml"


def file_name(title: str) -> str:
    """A title as the name of a file: "Left door, 2024" → "left-door-2024"."""
    return "-".join(re.findall(r"\w+", title.casefold()))[:LONGEST_NAME].strip("-") or "repair"


def text_of(recipe: Recipe) -> str:
    return recipe_text(recipe.written)


def save(recipe: Recipe, kept: Kept, over: bool = False) -> Kept:
    """Write the recipe, the whole of it or nothing. A file that is not this plan's is left alone unless `over`."""
    text, file = text_of(recipe), place(file_name(recipe.title))

    def written(there: str | None) -> str:
        if there is not None and not over:
            if kept.file != file:
                raise Taken("name", f"is taken: {file} is there already and was not opened here.",
                                 "Give the repair another name, or press “Save over it”.")  # fmt: skip
            if there not in (kept.text, text):
                raise Taken("file", f"{file.name} was changed since it was opened here.",
                                 "Give the repair another name, or press “Save over it”.")  # fmt: skip
        return text

    change(file, written, repair.loads)
    return Kept(file, text)


def write_sheet(recipe: Recipe, system: System) -> Path:
    """The job sheet, as `python -m coursekit sheet` writes it, as a file of its own."""
    return keep_page(file_name(recipe.title), repair.job_sheet(recipe, system))


def keep_draft(state: dict[str, Any]) -> None:
    """Keep what stands in the form; a disk that is full must not stop the planning."""
    with contextlib.suppress(InputError):
        change(folder.place() / DRAFT, lambda _: json.dumps(state), _parsed)


def kept_draft() -> dict[str, Any] | None:
    """What stood in the form last time."""
    try:
        return _parsed(read_text(folder.place() / DRAFT))
    except (FileNotFoundError, InputError):
        return None


def _parsed(text: str) -> dict[str, Any]:
    try:
        found = json.loads(text)
    except (ValueError, RecursionError):
        found = None
    if not isinstance(found, dict):
        raise Damaged(DRAFT, "cannot be read as a draft.")
    return found
