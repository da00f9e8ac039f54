"""The form of a coat: what was typed is kept at each try, so that neither an error nor a restart loses it."""

from __future__ import annotations

import contextlib
from pathlib import Path
from typing import Any

from coursekit.folder import change_setting, setting
from coursekit.lesson.coat import sheet
from coursekit.lesson.coat.plan import FIELDS, PlannedCoat, plan_coat, start_entries, with_unit
from coursekit.lesson.learner import typed_text
from coursekit.lesson.screen import page
from coursekit.lesson.screen.displayed import Displayed
from coursekit.quantities import InputError

SETTING = "coat_plan"


class CoatForm(Displayed):
    """`set`, `make` and `words` work without a browser; `path` is where the last sheet was kept."""

    def __init__(self) -> None:
        kept = setting(SETTING)
        kept = kept if isinstance(kept, dict) else {}
        usable = {key: text for key, text in kept.items() if key in FIELDS and isinstance(text, str)}
        self._start = start_entries()
        self.entries = {**self._start, **usable}
        self._kept = usable
        self.plan: PlannedCoat | None = None
        self.path: Path | None = None
        self.error, self.wrong = "", ""  # what is said, and the entry it is about

    def set(self, **entries: str) -> CoatForm:
        """Write into the form: `form.set(area="1.2 m²")`."""
        for key, text in entries.items():
            if key not in FIELDS:
                raise InputError(
                    key, "is not an entry of this form.", f"There are: {', '.join(FIELDS)}.", kind="unknown"
                )
            self.entries[key] = with_unit(key, str(text))
        return self

    def restart(self) -> None:
        """The start values again."""
        self._start = start_entries()
        self.entries = dict(self._start)
        self.error = self.wrong = ""

    def make(self) -> Path | None:
        """Work out the sheet and keep it; None when an entry is wrong: then the sheet before it stays."""
        try:
            with contextlib.suppress(InputError):
                change_setting(SETTING, self._with_mine)
            plan = plan_coat(self.entries)
            self.path = sheet.save(plan)
        except InputError as error:
            key = error.problems[0].key
            self.wrong = key if key in FIELDS else ""
            self.error = typed_text.complaint(error, FIELDS[self.wrong].label if self.wrong else "")
            return None
        self.plan, self.error, self.wrong = plan, "", ""
        return self.path

    def _with_mine(self, there: Any) -> dict[str, str]:
        """What is kept of the form, with what was changed here: another page's entries stay."""
        mine = {key: text for key, text in self.entries.items() if text != self._start[key]}
        changed = {key for key in {*mine, *self._kept} if mine.get(key) != self._kept.get(key)}
        others = {key: text for key, text in there.items() if key not in changed} if isinstance(there, dict) else {}
        self._kept = mine
        return {**others, **{key: mine[key] for key in changed if key in mine}}

    def again(self) -> None:
        """Other units are shown, or a measurement came in: what was not typed follows, and the sheet on the page."""
        before, self._start = self._start, start_entries()
        for key, text in self.entries.items():
            if text == before[key]:
                self.entries[key] = self._start[key]
        if self.plan:
            with contextlib.suppress(InputError):
                self.plan = plan_coat(self.entries)

    @property
    def said(self) -> str:
        """Where the sheet is, or what is wrong."""
        if self.error:
            stays = " Your entries are kept." + (" The sheet below is the one before." if self.plan else "")
            return self.error + stays
        return f"Kept in {self.path}. Open that file in a browser to print it." if self.path else ""

    @property
    def download(self) -> str:
        """A link that saves the sheet from the browser, for a course that runs on another machine."""
        if self.plan is None or self.path is None:
            return ""
        return page.download(self.path.name, self.path.read_bytes())

    @property
    def html(self) -> str:
        """The sheet as it stands in the notebook."""
        return page.tag("div", sheet.body(self.plan), class_="ck ck-sheet") if self.plan else ""

    @property
    def words(self) -> str:
        told = sheet.summary(self.plan) if self.plan else "Fill in what is yours, then make the sheet."
        return f"Plan of one coat. {told} {self.said}".strip()

    def __repr__(self) -> str:
        return self.words
