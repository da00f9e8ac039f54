"""Widgets of the gun: the bench whose settings are pinned, and the page of guns, paints, hands and panels."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import ipywidgets as w

from coursekit.lesson.learner import typed_text
from coursekit.lesson.pins.pinned import ANSWERS, COLUMNS, NOW, PinBench
from coursekit.lesson.screen import page
from coursekit.lesson.screen.widgets import button, control
from coursekit.lesson.workbench.view import BenchView
from coursekit.quantities import InputError


class PinView(BenchView, shows=PinBench):
    """A bench whose settings are pinned under names, with the table of them under its picture."""

    def __init__(self, bench: PinBench) -> None:
        self.pin_bench = bench
        self.name = w.Text(placeholder="low air", layout=w.Layout(width="12em"))
        self.name.on_msg(lambda _, content, buffers: self.pin() if content.get("event") == "submit" else None)
        self.which, self.base, self.order = (w.Dropdown(layout=w.Layout(width="max-content")) for _ in range(3))
        self.order.options = [("as pinned", ""), *((column.label, column.key) for column in COLUMNS)]
        self.order.value = ""  # a list filled later has nothing chosen, and stands empty
        self.table, self.told = w.HTML(), w.HTML()
        super().__init__(bench)
        lines = [
            w.HBox([control("name", self.name), button("Pin under this name", self.pin)]),
            w.HBox(
                [
                    control("pinned", self.which),
                    button("Set the bench to it", self.use),
                    button("Unpin this name", self.unpin),
                ]
            ),
            w.HBox(
                [
                    control("compared with", self.base),
                    control("sorted by", self.order),
                    button("Save as CSV", self.save),
                ]
            ),
        ]
        self.answer = w.Dropdown(options=list(ANSWERS), layout=w.Layout(width="max-content"))
        lines.append(w.HBox([control("band of", self.answer), button("What would narrow it?", self.narrow)]))
        for line in lines:
            line.add_class("ck-line")
            line.add_class("ck-pins")
        self.box.children = (*self.box.children, *lines, self.told, self.table)
        self.base.observe(lambda change: self._choose(change["new"]), "value")
        self.order.observe(lambda change: self._sort(change["new"]), "value")

    def draw(self) -> None:
        super().draw()
        bench, was = self.pin_bench, self._filling
        names_there = list(bench.pinned)
        self._filling = True
        try:
            chosen = self.which.value
            self.which.options = names_there
            self.which.value = chosen if chosen in names_there else next(reversed(names_there), None)
            self.base.options = [NOW, *names_there]
            self.base.value = bench.base if bench.base in names_there else NOW
        finally:
            self._filling = was
        self.table.value = bench.pins_html if names_there else ""

    def pin(self) -> None:
        """Pin under the name in the field; an empty one gets the next number."""
        name = self.name.value.strip() or f"setting {len(self.pin_bench.pinned) + 1}"
        if self._told(lambda: self.pin_bench.pin(name), f"Pinned: {name}. It stays until you unpin it."):
            self.name.value, self.which.value = "", next(reversed(self.pin_bench.pinned))

    def unpin(self) -> None:
        name = self.which.value or ""
        self._told(lambda: self.pin_bench.unpin(name), f"Unpinned: {name}.")

    def use(self) -> None:
        name = self.which.value or ""
        self._told(lambda: self.pin_bench.use(name), f"The bench is set to {name}.")

    def narrow(self) -> None:
        found: list[str] = []
        if self._told(lambda: found.append(self.pin_bench.narrower(self.answer.value)), ""):
            self.told.value = page.status(page.paragraph(found[0]))

    def save(self) -> None:
        found: list[Any] = []
        if self._told(lambda: found.append(self.pin_bench.save_pins()), ""):
            self.told.value = page.status(page.paragraph(f"Written: {found[0]}"))

    def _choose(self, name: str | None) -> None:
        if not self._filling and name:
            self._told(lambda: self.pin_bench.hold_against(name), "")

    def _sort(self, column: str) -> None:
        self._told(lambda: self.pin_bench.sort(column), "")

    def _told(self, work: Callable[[], Any], words: str) -> bool:
        try:
            work()
        except InputError as error:
            self.told.value = page.status(page.paragraph(typed_text.complaint(error), "ck-failed"))
            return False
        self.told.value = page.status(page.paragraph(words)) if words else ""
        return True

    def markup(self) -> str:
        return super().markup() + (self.pin_bench.pins_html if self.pin_bench.pinned else "")
