"""The form of a coat as widgets: a field for each entry, and the sheet under it."""

from __future__ import annotations

from collections.abc import Callable

import ipywidgets as w

from coursekit.lesson.coat.form import CoatForm
from coursekit.lesson.coat.plan import FIELDS, GROUPS, CoatEntry
from coursekit.lesson.screen import page
from coursekit.lesson.screen.widgets import View, button, control
from coursekit.nomenclature import names


class CoatView(View, shows=CoatForm):
    """Fields in groups, one button, and what is said to them."""

    def __init__(self, form: CoatForm) -> None:
        self.form = form
        self.fields: dict[str, w.Text | w.Dropdown] = {key: _widget(field) for key, field in FIELDS.items()}
        self.said, self.sheet = w.HTML(), w.HTML()
        rows: list[w.Widget] = []
        for group in GROUPS:
            rows.append(w.HTML(page.tag("h4", group.title)))
            rows += [
                control(field.label, self.fields[key], meaning=_meaning(field)) for key, field in group.fields.items()
            ]
        buttons = w.HBox([button("Make the sheet", self.make), button("Reset", self.restart)])
        buttons.add_class("ck-line")
        super().__init__([*rows, buttons, self.said, self.sheet])
        self._fill()
        for key, field in self.fields.items():
            field.observe(lambda change, key=key: self._typed(key, str(change["new"])), "value")

    def refresh(self) -> None:
        self.form.again()
        self._fill()
        self._show()

    def make(self) -> None:
        self._guard(self.form.make)
        self._fill()
        self._show()

    def restart(self) -> None:
        self.form.restart()
        self._fill()
        self._show()

    def _guard(self, work: Callable[[], object]) -> None:
        try:
            work()
        except Exception as error:  # a click would swallow it unseen
            fault = (
                f"The sheet could not be made ({type(error).__name__}: {error}). "
                "The fault is the course's, not yours."
            )
            self.said.value = page.paragraph(fault, "ck-error")
            raise

    def _typed(self, key: str, text: str) -> None:
        self.form.set(**{key: text})
        if self.form.entries[key] != text:
            self.fields[key].value = self.form.entries[key]

    def _fill(self) -> None:
        for key, field in self.fields.items():
            text = self.form.entries[key]
            if not FIELDS[key].options or text in FIELDS[key].options:
                field.value = text

    def _show(self) -> None:
        for key, field in self.fields.items():
            (field.add_class if key == self.form.wrong else field.remove_class)("ck-error")
        kind = "ck-error" if self.form.error else "ck-passed"
        said = page.paragraph(self.form.said, kind) if self.form.said else ""
        self.said.value = page.status(said, "" if self.form.error else self.form.download)
        self.sheet.value = self.form.html

    def text(self) -> str:
        return self.form.words


def _widget(field: CoatEntry) -> w.Text | w.Dropdown:
    if field.options:
        return w.Dropdown(options=field.options, layout=w.Layout(width="max-content"))
    return w.Text(continuous_update=False, layout=w.Layout(width="20em"))


def _meaning(field: CoatEntry) -> str:
    return names()[field.name].meaning if field.name else ""
