"""The plan of a repair as widgets: what is asked beside the drawing, then the steps beside what they come to."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import Any

import ipywidgets as w

from coursekit.lesson.draw.panel_maps import MAPS
from coursekit.lesson.plan import overview
from coursekit.lesson.plan.draft import step_title
from coursekit.lesson.plan.editing import AGAIN, KINDS_OF_STEP
from coursekit.lesson.plan.entries import ASKED, fields_of
from coursekit.lesson.plan.form import PlanForm
from coursekit.lesson.plan.pane import Pane
from coursekit.lesson.plan.questions import GROUPS, TINS, Asked, asked_in
from coursekit.lesson.screen import page
from coursekit.lesson.screen.widgets import View, button, control
from coursekit.lesson.workbench.settling import PAUSE

AIMS = {"hours": "least hours", "film": "least film", "paint": "least paint", "mist": "least mist"}


class PlanView(View, shows=PlanForm):
    """Every control stays where it is while values change, so that the keyboard never loses its place."""

    def __init__(self, form: PlanForm) -> None:
        self.form, self._filling, self.step = form, False, 1
        self._timer: asyncio.TimerHandle | None = None
        self.start = w.Dropdown(options=form.starts())
        self.title = w.Text(continuous_update=False)
        self.group, self.tin = w.ToggleButtons(options=list(GROUPS)), w.Dropdown(options=TINS, value="surfacer")
        self.more_asked, self.more_set = (
            w.ToggleButton(description=words) for words in ("More questions", "More settings")
        )
        self.number, self.map = w.Dropdown(), w.Dropdown(options=MAPS, value=form.view)
        self.kind = w.Dropdown(options=[AGAIN, *KINDS_OF_STEP])
        self.aim = w.Dropdown(options=[(words, key) for key, words in AIMS.items()])
        self.kept, self.gun = w.Dropdown(), w.Dropdown(options=form.guns)
        self.questions, self.settings = Pane(form, self._change), Pane(form, self._change)
        self.bar = w.FloatProgress(min=0, max=1)
        self.far = w.HTML()
        self.place = w.HTML()
        self.place.add_class("ck-place")
        self.wrong, self.said, self.summary, self.changed = (w.HTML() for _ in range(4))
        self.strip, self.picture, self.checks, self.care = (w.HTML() for _ in range(4))
        self.uses, self.shopping, self.beside = (w.HTML() for _ in range(3))
        self.task = w.HTML()
        self.judge = button("Judge my plan", lambda: self._press(form.judge))
        self.over = button("Overwrite", lambda: self._press(lambda: form.save(over=True)))
        super().__init__(self._laid_out())
        for name in ("ck-broad", "ck-plan"):
            self.box.add_class(name)
        self._observe()
        form.watchers.append(self.draw)
        form.told.append(self.tell)
        try:
            asyncio.get_running_loop()
        except RuntimeError:  # nobody serves a page: each change is played exactly at once
            pass
        else:
            form.later = self._later
        self.draw()

    # --- what stands where ---

    def _laid_out(self) -> list[w.Widget]:
        form = self.form
        self.undo = button("Undo", lambda: self._press(form.undo))
        self.redo = button("Redo", lambda: self._press(form.redo))
        name = control("name of the repair", self.title)
        self.tins = control("which can", self.tin)
        self.guns = _line(
            control("gun you keep", self.gun),
            button("Take this gun", lambda: self._press(lambda: form.take_gun(self.gun.value))),
        )
        ask = w.VBox([self.tins, self.guns, self.questions.box, w.HBox([self.more_asked])])
        drawn = w.VBox([self.place, w.HTML(page.paragraph(HOW, "ck-how")), self.wrong])
        self.find = button("Propose a plan", self._search)
        self.stop = button("Stop", form.search.stop)
        find = _line(self.find, control("aim", self.aim), self.stop, self.bar, self.far)
        turn = _line(button("‹ before", lambda: self._go(-1)), button("next ›", lambda: self._go(1)), self.more_set)
        self.adds = [
            button("", lambda: self._at_step(lambda: form.add(self.kind.value))),
            button("", lambda: self._at_step(lambda: form.add(self.kind.value, before=True))),
        ]
        self._name_adds()
        left = w.VBox(
            [
                control("step", self.number),
                turn,
                self.settings.box,
                _line(button("Propose this step again", lambda: self._at_step(lambda: self._search(only=True)))),
                control("new step", self.kind),
                _line(*self.adds),
                _line(
                    button("Earlier", lambda: self._at_step(lambda: form.move(-1))),
                    button("Later", lambda: self._at_step(lambda: form.move(1))),
                    button("Remove", lambda: self._at_step(form.remove)),
                ),
            ]
        )
        self.number_row = left.children[0]
        self.number.add_class("ck-step-pick")
        right = w.VBox([self.strip, self.changed, control("the map shows", self.map), self.picture])
        self.results = w.VBox(
            [
                self.summary,
                _beside(left, right),
                self.checks,
                self.care,
                self.uses,
                self.shopping,
                _line(
                    button("Keep this plan beside", lambda: self._press(form.keep_beside)),
                    control("plans kept", self.kept),
                    button("Take it up", lambda: self._press(lambda: form.take_beside(self.kept.value or ""))),
                    button("Let it go", lambda: self._press(lambda: form.let_go(self.kept.value or ""))),
                ),
                self.beside,
            ]
        )
        self.results.add_class("ck-results")
        files = _line(
            button("Save the plan", lambda: self._press(form.save)),
            self.over,
            button("Write the sheet", lambda: self._press(form.sheet)),
            self.judge,
        )
        begin = _line(
            control("start from, or open", self.start),
            button("Begin with it", lambda: self._press(lambda: form.begin(self.start.value))),
        )
        status = w.HTML(page.tag("div", class_="ck-status", role="status"))
        top = _line(name, self.undo, self.redo)
        asking = _beside(ask, drawn)
        asking.add_class("ck-ask")
        return [top, self.task, self.group, asking, find, self.results, files, self.said, begin, status]

    def _observe(self) -> None:
        self.title.observe(lambda change: self._change(lambda: self.form.name(change["new"])), "value")
        self.number.observe(lambda change: self._pick(change["new"]), "value")
        self.map.observe(lambda change: self._change(lambda: self.form.show(change["new"])), "value")
        self.aim.observe(lambda change: self._wish(change["new"]), "value")
        for one in (self.group, self.tin, self.more_asked):
            one.observe(lambda _: self._ask(), "value")
        self.more_set.observe(lambda _: self._set_out(), "value")
        self.kind.observe(lambda _: self._name_adds(), "value")

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
        """What follows from the plan is marked as old until the new one is there."""
        self.results.add_class("ck-old")
        try:
            work()
        finally:
            self._age()

    def _age(self) -> None:
        old = self.form.good.rough or self.form.stuck
        (self.results.add_class if old else self.results.remove_class)("ck-old")

    def _later(self) -> None:
        """The exact plan, once the hand has stopped."""
        if self._timer is not None:
            self._timer.cancel()
        self._timer = asyncio.get_running_loop().call_later(PAUSE, self._settle)

    def _settle(self) -> None:
        self.form.settle()
        self._age()

    def _at_step(self, work: Callable[[], Any]) -> None:
        """The work of a button on the step that is shown."""
        if self.form.draft.steps:
            self.form.picked = self.step
        self._press(work)

    def _search(self, only: bool = False) -> None:
        self.form.start_proposal(only)
        self.tell()
        self.said.value = overview.said(self.form)

    def _wish(self, least: str) -> None:
        if not self._filling:
            self.form.picked = "wish"
            self._change(lambda: self.form.set(least=least))

    def _pick(self, number: int | None) -> None:
        if number is not None and not self._filling:
            self.step = number
            self.form.pick(number)

    def _go(self, by: int) -> None:
        if self.form.draft.steps:
            self.number.value = min(max(self.step + by, 1), len(self.form.draft.steps))

    # --- what is on the page ---

    def refresh(self) -> None:
        self.draw()

    def tell(self) -> None:
        """How far the search is; called from its thread."""
        search = self.form.search
        self.bar.value = search.share
        running = search.running
        self.bar.layout.display = self.stop.layout.display = "" if running else "none"
        self.far.value = page.tag("span", f"{search.words} …" if running else "", role="status")

    def draw(self) -> None:
        """After any change: what is asked, the step that is shown, and everything that follows from the plan."""
        form = self.form
        self._filling = True
        try:
            if self.start.options != tuple(form.starts()):
                self.start.options = form.starts()
            self.title.value = form.draft.title
            self.aim.value = form.draft.given["wish"].raw("least") if self._aim_known else "hours"
            self._fill_steps()
            names = tuple(one.name for one in form.beside)
            if self.kept.options != names:
                self.kept.options = names
                self.kept.value = names[-1] if names else None
        finally:
            self._filling = False
        self._ask()
        self.undo.disabled, self.redo.disabled = not form.undone, not form.redone
        self.over.disabled = form.notice.kind != "taken"
        self.wrong.value, self.said.value = overview.wrong(form), overview.said(form)
        self.place.value, self.summary.value = overview.place(form), overview.summary(form)
        self.strip.value, self.changed.value = overview.strip(form), overview.change(form)
        self.picture.value, self.checks.value = overview.picture(form), overview.checks(form)
        self.care.value, self.beside.value = overview.care(form), overview.beside(form)
        self.uses.value, self.shopping.value = overview.uses(form), overview.shopping(form)
        begun = form.draft.steps or form.proposal is not None or form.task
        self.results.layout.display = "" if begun else "none"
        self.task.value = overview.task(form)
        self.judge.layout.display = "" if form.task else "none"
        self.tell()

    @property
    def _aim_known(self) -> bool:
        return self.form.draft.given["wish"].raw("least") in ASKED["wish"]["least"].of

    def _fill_steps(self) -> None:
        steps = self.form.draft.steps
        options = tuple((f"{n} · {step_title(one)}", n) for n, one in enumerate(steps, 1))
        if self.form.number:
            self.step = self.form.number
        self.step = min(max(self.step, 1), max(len(steps), 1))
        if self.number.options != options:
            self.number.options = options
        self.number.value = self.step if steps else None
        self._set_out()

    def _ask(self) -> None:
        """The questions of the group that is shown."""
        self.tins.layout.display = "" if self.group.value == "Cans" else "none"
        self.guns.layout.display = "" if self.group.value == "Gun" else "none"
        if self.gun.options != self.form.guns:
            self.gun.options = self.form.guns
        self.questions.show(asked_in(self.group.value, self.tin.value), self.more_asked.value)
        self.more_asked.layout.display = "" if self.questions.folds else "none"

    def _set_out(self) -> None:
        """The settings of the step that is shown."""
        if self.form.draft.steps:
            said = fields_of(self.form.draft.steps[self.step - 1].kind)
            self.settings.show([Asked(self.step, key, one.seldom) for key, one in said.items()], self.more_set.value)
        self.more_set.layout.display = "" if self.settings.folds else "none"

    def text(self) -> str:
        return self.form.words

    def markup(self) -> str:
        return overview.html(self.form)


HOW = (
    "Place the damage: drag it, or go to the drawing with Tab and move it with the arrow keys. An empty field means "
    "“I don't know”: the value in grey counts."
)


def _line(*parts: w.Widget) -> w.HBox:
    made = w.HBox(list(parts))
    made.add_class("ck-line")
    return made


def _beside(left: w.Widget, right: w.Widget) -> w.Box:
    made = w.Box([left, right])
    made.add_class("ck-beside")
    return made
