"""Files of the plan of a repair, in the learner's folder: the recipes that were saved, the sheets, and the draft."""

from __future__ import annotations

import contextlib
import json
import os
import unicodedata
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from coursekit import folder, repair
from coursekit.keeping import Damaged, change, read_text
from coursekit.lesson.coat.sheet import keep_page
from coursekit.lesson.plan.draft import Draft
from coursekit.lesson.plan.entries import SHEETS
from coursekit.lesson.plan.proposed import role_of
from coursekit.nomenclature import System
from coursekit.quantities import InputError
from coursekit.repair import Recipe
from coursekit.repair import damage as damages
from coursekit.repair.writing import reasons_in, recipe_text, with_reasons

FOLDER, DAMAGES = "repairs", "damages"
DRAFT = "plan_draft.json"
LONGEST_NAME, MOST_BYTES = 60, 120
MOST_DRAFTS = 20
# Names that one system keeps for itself; a folder may be carried there.
_RESERVED = {
    "con",
    "prn",
    "aux",
    "nul",
    "conin",
    "conout",
    *(f"{port}{n}" for port in ("com", "lpt") for n in "0123456789¹²³"),
}


class KeptFile(NamedTuple):
    """The file of a plan, and what stood in it when it was last read or written."""

    file: Path | None = None
    text: str = ""

    @classmethod
    def of(cls, file: Path) -> KeptFile:
        return cls(file, read_text(file).replace("\r\n", "\n"))


class Taken(InputError):
    """There is a file of that name that this plan was not read from."""


def saved() -> list[str]:
    """The names of the learner's own recipes and damages."""
    try:
        return sorted({file.stem for one in (FOLDER, DAMAGES) for file in (folder.place() / one).glob("*.toml")})
    except (OSError, InputError):
        return []


def place(name: str) -> Path:
    """Where the recipe of that name is."""
    return folder.place() / FOLDER / f"{name}.toml"


def file_name(title: str) -> str:
    """A title as the name of a file that any system can hold: "Left door, 2024" → "left-door-2024"."""
    text = unicodedata.normalize("NFC", unicodedata.normalize("NFC", title).casefold())
    if not any(sign.isalnum() for sign in text):  # nothing but symbols: by their names
        text = " ".join(unicodedata.name(sign, "") for sign in text if unicodedata.category(sign) == "So").casefold()
    words = "".join(sign if _of_word(sign) else " " for sign in text).split()
    name = "-".join(words)[:LONGEST_NAME].encode()[:MOST_BYTES].decode(errors="ignore").strip("-") or "repair"
    return f"{name}-repair" if name in _RESERVED else name


def _of_word(sign: str) -> bool:
    """Letters, digits and the marks above and below them; a mark that only chooses a picture is none."""
    marks = unicodedata.category(sign)[0] == "M" and not unicodedata.name(sign, "").startswith("VARIATION")
    return sign.isalnum() or sign == "_" or marks


def text_of(recipe: Recipe, reasons: Sequence[str] = ()) -> str:
    """The recipe as a file holds it, with the reasons of its steps."""
    return with_reasons(recipe_text(recipe.written), reasons)


def save(recipe: Recipe, kept: KeptFile, over: bool = False, reasons: Sequence[str] = ()) -> KeptFile:
    """Write the recipe, the whole of it or nothing. A file that is not this plan's is left alone unless `over`."""
    text, file = text_of(recipe, reasons), place(file_name(recipe.title))

    def written(there: str | None) -> str:
        if there is not None and not over:
            if kept.file != file:
                raise Taken(
                    "name",
                    f"is in use: {file} is there already and was not opened here.",
                    "Give the repair another name, or press “Overwrite”.",
                )
            if there not in (kept.text, text):
                raise Taken(
                    "file",
                    f"{file.name} was changed since it was opened here.",
                    "Give the repair another name, or press “Overwrite”.",
                )
        return text

    change(file, written, repair.loads)
    return KeptFile(file, text)


def opened(name: str) -> Draft:
    """A file of one's own: the recipe of that name with the answers it was made from, or these alone."""
    recipe, asked = place(name), damage_place(name)
    if not asked.exists():
        return _of_recipe(recipe)
    draft = Draft.of_damage(damages.read_tables(asked))
    if recipe.exists():
        made = _of_recipe(recipe)
        draft.title, draft.steps, draft.rest = made.title, made.steps, made.rest
        for part in (*OF_RECIPE, *SHEETS):
            draft.given[part] = made.given[part]
        draft.given["panel"].written.update(_kept(made.given["panel"].written, ("cell", "texture")))
        draft.given["damage"].written.update(_kept(made.given["damage"].written, ("stripped", "feather")))
        draft.given["gun"].written.update(made.given["gun"].written)
    return draft


def _of_recipe(file: Path) -> Draft:
    """What a recipe holds, with the reasons that stand above its steps."""
    made = Draft.of(repair.load(file).written)
    reasons = reasons_in(read_text(file), len(made.steps))
    for number, (table, why) in enumerate(zip(made.steps, reasons, strict=True), 1):
        table.why, table.role = why, role_of(made.steps, number) if why else ""
    return made


OF_RECIPE = ("hand", "measured", "cup", "price")  # parts that the file of a damage does not hold


def _kept(written: Mapping[str, str], keys: tuple[str, ...]) -> dict[str, str]:
    return {key: written[key] for key in keys if key in written}


def save_damage(title: str, text: str) -> Path:
    """Write what was asked, as `python -m coursekit propose` reads it."""
    file = damage_place(file_name(title))
    change(file, lambda _: text, damages.loads)
    return file


def damage_place(name: str) -> Path:
    """Where the damage of that name is."""
    return folder.place() / DAMAGES / f"{name}.toml"


def write_sheet(recipe: Recipe, system: System) -> Path:
    """The job sheet, as `python -m coursekit sheet` writes it, as a file of its own."""
    return keep_page(file_name(recipe.title), repair.job_sheet(recipe, system))


class DraftFile:
    """Where a form keeps what stands in it. Of two that are open at once neither writes over the other's."""

    def __init__(self) -> None:
        self.name = DRAFT
        self._seen: str | None = None  # what this form last read or wrote there

    @property
    def path(self) -> Path:
        return folder.place() / self.name

    @classmethod
    def of(cls, name: str) -> tuple[DraftFile, dict[str, Any] | None]:
        """A draft that is there, and what stands in it; None when it cannot be read."""
        found = cls()
        found.name = name
        try:
            text = read_text(found.path)
            state = _parsed(text)
        except (FileNotFoundError, InputError):
            return found, None
        found._seen = text
        return found, state

    def keep(self, state: dict[str, Any]) -> str:
        """Keep what stands in the form. Gives what the learner must know, or nothing."""
        text, told = json.dumps(state), ""

        def written(there: str | None) -> str:
            if there not in (None, self._seen):
                raise Taken("draft", "another page keeps its plan in this file.")
            return text

        while True:
            try:
                change(self.path, written, _parsed)
            except Taken:
                told = self._move()
            except InputError as error:
                return f"What stands here could not be kept on the disk: {error}"
            else:
                self._seen = text
                return told

    def _move(self) -> str:
        """To a file that is free, or else to that of the oldest draft; gives what is said of it."""
        free = (n for n in range(1, MOST_DRAFTS + 1) if not os.path.lexists(folder.place() / _draft(n)))
        if number := next(free, 0):
            self.name, self._seen = _draft(number), None
            return f"Another page plans a repair, too. Both are kept: this one is {_words(number)} from now on."
        words, self.name = list(drafts().items())[-1]
        with contextlib.suppress(FileNotFoundError, InputError):
            self._seen = read_text(self.path)
        return f"There are {MOST_DRAFTS} drafts already: the oldest, {words}, gave way to this one."


def drafts() -> dict[str, str]:
    """The drafts that are there, newest first: what each is called, and its file."""
    found = []
    with contextlib.suppress(InputError):
        for number in range(1, MOST_DRAFTS + 1):
            if seen := folder.stamp(folder.place() / _draft(number)):
                found.append((seen, number))
    return {_words(number): _draft(number) for _, number in sorted(found, reverse=True)}


def _draft(number: int) -> str:
    return DRAFT if number == 1 else f"plan_draft-{number}.json"


def _words(number: int) -> str:
    return f"draft {number}"


def _parsed(text: str) -> dict[str, Any]:
    try:
        found = json.loads(text)
    except (ValueError, RecursionError):
        found = None
    if not isinstance(found, dict):
        raise Damaged(DRAFT, "cannot be read as a draft.", kind="file")
    return found
