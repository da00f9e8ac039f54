"""The plan of a repair as widgets: what is picked and its entries, the panel beside it, the files below."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import ipywidgets as w

from coursekit.lesson.learner import unit_system
from coursekit.lesson.plan import overview
from coursekit.lesson.plan.draft import step_title
from coursekit.lesson.plan.entries import AREA_WORDS, GIVEN, SHEETS, fields_of
from coursekit.lesson.plan.form import AGAIN, KINDS_OF_STEP, MAPS, PlanForm
from coursekit.lesson.screen import page
from coursekit.lesson.screen.widgets import View, button, control
from coursekit.lesson.workbench.bench import FRAME
from coursekit.repair.fields import Field


class PlanView(View, shows=PlanForm):
    """Every control stays where it is while values change, so that the keyboard never loses its place."""

    def __init__(self, form: PlanForm) -> None:
        self.form, self._filling = form, False
        self.start = w.Dropdown(options=form.starts())
        self.title = w.Text(continuous_update=False)
        self.part, self.map = w.Dropdown(), w.Dropdown(options=MAPS, value=form.view)
        self.more = w.ToggleButton(description="More settings")
        self.kind = w.Dropdown(options=[AGAIN, *KINDS_OF_STEP])
        self.asked: dict[str, Field] = {}
        self.fields: dict[str, w.Text | w.Dropdown] = {}
        self.rows: dict[str, w.Box] = {}
        self.notes: dict[str, w.HTML] = {}
        self.entries, self.wrong, self.said = w.VBox(), w.HTML(), w.HTML()
        self.picture, self.checks, self.uses, self.steps = (w.HTML() for _ in range(4))
        self.all = w.ToggleButton(description="All its steps")
        self.over = button("Save over it", lambda: self._press(lambda: form.save(over=True)))
        self._of: Any = None  # what the entries on the page are of
        super().__init__(self._laid_out())
        self.box.add_class("ck-broad")
        self.box.add_class("ck-plan")
        self._observe()
        form.watchers.append(self.draw)
        self.draw()

    def _laid_out(self) -> list[w.Widget]:
        form = self.form
        begin = w.HBox(
            [
                control("begin with, or open", self.start),
                button("Begin with it", lambda: self._press(lambda: form.begin(self.start.value))),
            ]
        )
        turn = w.HBox([button("‹ before", lambda: self._go(-1)), button("next ›", lambda: self._go(1)), self.more])
        self.adds = [
            button("", lambda: self._press(lambda: form.add(self.kind.value))),
            button("", lambda: self._press(lambda: form.add(self.kind.value, before=True))),
        ]
        self._name_adds()
        add = w.HBox(self.adds)
        order = w.HBox(
            [
                button("Earlier", lambda: self._press(lambda: form.move(-1))),
                button("Later", lambda: self._press(lambda: form.move(1))),
                button("Remove", lambda: self._press(form.remove)),
                button("Take back", lambda: self._press(form.take_back)),
            ]
        )
        files = w.HBox(
            [
                button("Save the plan", lambda: self._press(form.save)),
                self.over,
                button("Write the sheet", lambda: self._press(form.sheet)),
            ]
        )
        for line in (begin, turn, add, order, files):
            line.add_class("ck-line")
        left = w.VBox(
            [
                control("look at", self.part),
                turn,
                self.entries,
                self.wrong,
                control("new step", self.kind),
                add,
                order,
            ]
        )
        right = w.VBox([control("the map shows", self.map), self.picture, self.checks])
        beside = w.Box([left, right])
        beside.add_class("ck-beside")
        status = w.HTML(page.tag("div", class_="ck-status", role="status"))
        every = w.HBox([self.all])
        return [
            begin,
            control("name of the repair", self.title),
            beside,
            files,
            self.said,
            self.uses,
            every,
            self.steps,
            status,
        ]

    def _observe(self) -> None:
        self.title.observe(lambda change: self._change(lambda: self.form.name(change["new"])), "value")
        self.part.observe(lambda change: self._change(lambda: self.form.pick(change["new"])), "value")
        self.map.observe(lambda change: self._change(lambda: self.form.show(change["new"])), "value")
        self.more.observe(lambda _: self._show_rows(), "value")
        self.kind.observe(lambda _: self._name_adds(), "value")
        self.all.observe(lambda _: self._show_steps(), "value")

    def _name_adds(self) -> None:
        """The buttons say what they will add: a press can overtake a choice that the kernel has not seen yet."""
        for one, place in zip(self.adds, ("after", "before"), strict=True):
            one.description = f"Add {self.kind.value} {place}"

    # --- what the learner does ---

    def _change(self, work: Callable[[], Any]) -> None:
        if not self._filling:
            self._slowly(work)

    def _press(self, work: Callable[[], Any]) -> None:
        """The work of a button; a click would swallow a fault unseen."""
        try:
            self._slowly(lambda: self.form.press(work))
        except Exception as error:
            fault = (
                f"This could not be done ({type(error).__name__}: {error}). Your entries are kept; the fault is "
                "the course's, not yours."
            )
            self.said.value = page.paragraph(fault, "ck-error")
            raise

    def _slowly(self, work: Callable[[], Any]) -> None:
        """Early steps take longer: the old picture is marked as old until the new one is there."""
        slow = self.form.seconds > FRAME
        if slow:
            self.picture.add_class("ck-old")
        try:
            work()
        finally:
            if slow:
                self.picture.remove_class("ck-old")

    def _go(self, by: int) -> None:
        values = [value for _, value in self.part.options]
        self.part.value = values[min(max(values.index(self.form.picked) + by, 0), len(values) - 1)]

    # --- what is on the page ---

    def refresh(self) -> None:
        self._of = None  # other units: every entry anew
        self.draw()

    def draw(self) -> None:
        """After any change: the entries of what is picked, and everything that follows from the plan."""
        form = self.form
        self._filling = True
        try:
            if self.start.options != tuple(form.starts()):
                self.start.options = form.starts()
            self.title.value = form.draft.title
            parts = [
                *((words, key) for key, words in (GIVEN | SHEETS).items()),
                *((f"step {n} · {step_title(one)}", n) for n, one in enumerate(form.draft.steps, 1)),
            ]
            if self.part.options != tuple(parts):
                self.part.options = parts
            self.part.value = form.picked
            self._fill()
        finally:
            self._filling = False
        self.wrong.value, self.said.value = overview.wrong(form), overview.said(form)
        self.over.disabled = form.notice.kind != "taken"
        self.picture.value, self.checks.value = overview.picture(form), overview.checks(form)
        self.uses.value = overview.uses(form)
        self._show_steps()

    def _show_steps(self) -> None:
        self.steps.value = overview.steps(self.form) if self.all.value else ""

    def _fill(self) -> None:
        table = self.form.table
        if self._of != (table.kind, self.form.picked, unit_system.chosen()):
            self._build(table.kind)
            self._of = (table.kind, self.form.picked, unit_system.chosen())
        for key, one in self.fields.items():
            text = table.shown(key, unit_system.chosen())
            if isinstance(one, w.Text) or text in [value for _, value in one.options]:
                one.value = text
            wrong = self.form.wrong(key)
            (one.add_class if wrong else one.remove_class)("ck-error")
            self.notes[key].value = overview.note(wrong)
            self.notes[key].layout.display = "" if wrong else "none"
        self._show_rows()

    def _build(self, kind: str) -> None:
        """The entries of another part; those before go."""
        old = list(self.rows.values())
        self.asked = fields_of(kind)
        self.fields = {key: self._field(key, one) for key, one in self.asked.items()}
        self.notes = {key: w.HTML() for key in self.fields}
        self.rows = {
            key: control(self.asked[key].words, one, self.notes[key], meaning=self.asked[key].told)
            for key, one in self.fields.items()
        }
        self.entries.children = tuple(self.rows.values())
        for row in old:
            for part in row.children:
                part.close()
            row.close()

    def _field(self, key: str, one: Field) -> w.Text | w.Dropdown:
        if one.reads == "choice":
            made: w.Text | w.Dropdown = w.Dropdown(options=[(AREA_WORDS.get(v, v), v) for v in one.of])
        else:
            made = w.Text(continuous_update=False)
        made.observe(lambda change: self._change(lambda: self.form.set(**{key: str(change["new"])})), "value")
        return made

    def _show_rows(self) -> None:
        table = self.form.table
        for key, row in self.rows.items():
            here = table.uses(key) and (self.more.value or not self.asked[key].seldom or self.form.wrong(key))
            row.layout.display = "" if here else "none"
        self.more.layout.display = "" if any(one.seldom for one in self.asked.values()) else "none"

    def text(self) -> str:
        return self.form.words

    def markup(self) -> str:
        return overview.html(self.form)
