"""Entries of the form as widgets: a label, a field, and what is wrong with it under it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import ipywidgets as w

from coursekit.lesson.learner import unit_system
from coursekit.lesson.plan import overview
from coursekit.lesson.plan.entries import AREA_WORDS, fields_of, words_of
from coursekit.lesson.plan.form import PlanForm
from coursekit.lesson.plan.questions import WITHOUT, Asked, usual
from coursekit.lesson.screen.widgets import closed, control, label
from coursekit.repair.damage import ALSO
from coursekit.repair.fields import Field

PLACED = {("damage", "x"): "ck-place-x", ("damage", "y"): "ck-place-y"}


class Pane:
    """The entries of a step, or some that are asked; each stays where it is while values change."""

    def __init__(self, form: PlanForm, change: Callable[[Callable[[], Any]], None]) -> None:
        self.form, self.change, self.filling = form, change, False
        self.box = w.VBox()
        self.asked: dict[str, Asked] = {}
        self.fields: dict[str, w.Text | w.Dropdown] = {}
        self.rows: dict[str, w.Box] = {}
        self.notes: dict[str, w.HTML] = {}
        self.said: dict[str, str] = {}
        self.more = False
        self._of: Any = None

    def show(self, asked: Sequence[Asked], more: bool) -> None:
        """These entries, with the folded ones when `more` is wanted."""
        self.more = more
        of = [(one.part, one.key, self._kind(one)) for one in asked], unit_system.chosen()
        if of != self._of:
            self._build(asked)
            self._of = of
        self.filling = True
        try:
            for key, field in self.fields.items():
                self._fill(key, field)
        finally:
            self.filling = False
        for key, row in self.rows.items():
            one = self.asked[key]
            if (words := self._words(one)) != self.said.get(key):  # edges are called otherwise on another panel
                row.children[0].value = label(words, fields_of(self._kind(one))[one.key].told)
                self.said[key] = words
            here = self._table(one).uses(one.key) and (more or not one.folded or bool(self._wrong(one)))
            row.layout.display = "" if here else "none"

    @property
    def folds(self) -> bool:
        """Whether there is more than stands on the page at first."""
        return any(one.folded for one in self.asked.values())

    def _table(self, one: Asked) -> Any:
        return self.form.table_of(one.part)

    def _kind(self, one: Asked) -> str:
        return str(self._table(one).kind)

    def _words(self, one: Asked) -> str:
        return words_of(self._kind(one), one.key, self.form.draft.panel_kind)

    def _wrong(self, one: Asked) -> str:
        return self.form.wrong(one.key, one.part)

    def _fill(self, key: str, field: w.Text | w.Dropdown) -> None:
        one, system = self.asked[key], unit_system.chosen()
        table = self._table(one)
        unknown = isinstance(one.part, str) and one.key not in table.written and one.key not in table.wrong
        text = "" if unknown else table.shown(one.key, system)
        if isinstance(field, w.Text):
            field.value = text
            if isinstance(one.part, str):
                field.placeholder = usual(self.form.draft, one.part, one.key, system)
        else:
            options = [value for _, value in field.options]
            text = text if text in options else table.raw(one.key)
            if text in options:
                field.value = text
        wrong = self._wrong(one)
        (field.add_class if wrong else field.remove_class)("ck-error")
        self.notes[key].value = overview.note(wrong)
        self.notes[key].layout.display = "" if wrong else "none"

    def _build(self, asked: Sequence[Asked]) -> None:
        """Other entries; those before go."""
        old = list(self.rows.values())
        self.asked = {one.key: one for one in asked}
        self.fields, self.notes, self.rows, self.said = {}, {}, {}, {}
        for key, one in self.asked.items():
            said = fields_of(self._kind(one))[key]
            self.fields[key], self.notes[key] = self._field(one, said), w.HTML()
            self.rows[key] = control(self._words(one), self.fields[key], self.notes[key], meaning=said.told)
        self.box.children = tuple(self.rows.values())
        closed(*old)

    def _field(self, one: Asked, said: Field) -> w.Text | w.Dropdown:
        if said.reads == "choice":
            options = [(_worded(v), v) for v in said.of]
            if isinstance(one.part, str) and (one.part, one.key) not in WITHOUT:
                known = self._table(one).raw(one.key) if one.key not in self._table(one).written else said.default
                options.insert(0, (f"I don't know ({known})", ""))
            made: w.Text | w.Dropdown = w.Dropdown(options=options)
        else:
            made = w.Text(continuous_update=False)
        if place := PLACED.get((str(one.part), one.key)):
            made.add_class(place)
        made.observe(lambda change: self._set(one, str(change["new"])), "value")
        return made

    def _set(self, one: Asked, text: str) -> None:
        if self.filling:
            return
        self.form.picked = one.part
        self.change(lambda: self.form.set(**{one.key: text}))


def _worded(value: str) -> str:
    """A choice as the page says it; a panel with its US name first where lessons are shown in US units."""
    here = {panel: name for name, panel in ALSO.items()} if unit_system.chosen() == "us" else {}
    return f"{here[value]} ({value})" if value in here else AREA_WORDS.get(value, value) or "–"
