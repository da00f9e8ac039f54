"""The wall as widgets: large type, thick lines, one bench at a time."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import ipywidgets as w

from coursekit.lesson.screen import page
from coursekit.lesson.screen.widgets import View, button, closed, gone
from coursekit.lesson.teaching.script import LENGTHS, LEVELS, lessons
from coursekit.lesson.teaching.wall import MOST_HANDS, Wall
from coursekit.lesson.workbench.bench import Bench
from coursekit.lesson.workbench.view import BenchView
from coursekit.quantities import InputError


class WallBench(BenchView):
    """A bench on the wall: its picture, and after the answer the control of the question and its sentence."""

    def __init__(self, bench: Bench, wall: Wall) -> None:
        self.wall = wall
        super().__init__(bench)

    def refresh(self) -> None:
        super().refresh()
        self.head.value = page.tag("h4", self.bench.title)  # what it is about stands in the script

    def _build_controls(self) -> None:
        super()._build_controls()
        self.controls.children = tuple(self.lines[key] for key in self.wall.move.move if self.wall.revealed)
        self.more.layout.display = self.pinned.layout.display = "none"  # the answer says what was before
        self.said.layout.display = None if self.wall.revealed else "none"
        self.buttons.layout.display = None if self.wall.revealed else "none"
        self.foot.layout.display = "none"  # where numbers come from is for the desk


class WallView(View, shows=Wall):
    """Lesson, minutes and level; the question, a count for each answer; the bench before and after the move."""

    def __init__(self, wall: Wall) -> None:
        self.wall, self._filling = wall, False
        layout = w.Layout(width="max-content")
        self.lesson = w.Dropdown(options=lessons(), layout=layout, description="lesson")
        lengths = [(f"{n} minutes", n) for n in LENGTHS]
        self.minutes = w.Dropdown(options=lengths, layout=layout, description="how long")
        self.level = w.Dropdown(options=LEVELS, layout=layout, description="how used the class is to it")
        for box in (self.lesson, self.minutes, self.level):
            box.add_class("ck-unseen")
            box.observe(lambda _: self._chosen(), "value")
        self.question, self.answer, self.care = w.HTML(), w.HTML(), w.HTML()
        self.hands, self.place = w.VBox(), w.VBox()
        self.show = button("Show the answer", self.reveal)
        steps = [button("Back", lambda: self._go(wall.back)), self.show, button("Next", lambda: self._go(wall.next))]
        choice, turn = w.HBox([self.lesson, self.minutes, self.level]), w.HBox(steps)
        for line in (choice, turn):
            line.add_class("ck-line")
        board = w.Box([w.VBox([self.question, self.hands, turn, self.answer]), self.place])
        board.add_class("ck-board")
        super().__init__([board, choice, self.care])
        self.box.add_class("ck-wall")
        self.bench_view: WallBench | None = None
        self.refresh()

    def refresh(self) -> None:
        self._filling = True
        try:
            chosen = self.wall.script
            self.lesson.value, self.minutes.value, self.level.value = chosen.lesson, chosen.minutes, chosen.level
        finally:
            self._filling = False
        self._write(new=True)

    def _chosen(self) -> None:
        if not self._filling:
            self._go(lambda: self.wall.choose(self.lesson.value, self.minutes.value, self.level.value))

    def _go(self, work: Callable[[], Any]) -> None:
        work()
        self._write(new=True)

    def reveal(self) -> None:
        self.wall.reveal()
        self._write(new=False)

    def _write(self, new: bool) -> None:
        wall = self.wall
        self.question.value = page.together(
            (page.paragraph(wall.place, "ck-how"), page.paragraph(wall.say), page.tag("h4", wall.ask))
        )
        if new:
            self.care.value = wall.care
            counts, before = self.hands.children, self.bench_view
            self.hands.children = tuple(self._count(choice) for choice in wall.hands)
            self.bench_view = WallBench(wall.bench, wall)
            self.place.children = (self.bench_view.box,)
            closed(*counts)
            if before is not None:
                gone(before)
        elif self.bench_view is not None:
            self.bench_view.refresh()
        self.show.disabled = wall.revealed
        self.answer.value = page.status(page.paragraph(wall.answer, "ck-passed") if wall.answer else "")

    def _count(self, choice: str) -> w.Box:
        """An answer, and how many raised their hand for it."""
        hands = w.BoundedIntText(value=self.wall.hands[choice], min=0, max=MOST_HANDS, layout=w.Layout(width="5em"))
        hands.description = f"hands for: {choice}"
        hands.add_class("ck-unseen")
        hands.observe(lambda change: self._counted(choice, change["new"]), "value")
        box = w.Box([hands, w.HTML(page.tag("span", choice, class_="ck-label"))])
        box.add_class("ck-line")
        return box

    def _counted(self, choice: str, hands: int) -> None:
        try:
            self.wall.count(choice, hands)
        except InputError as error:
            self.answer.value = page.status(page.paragraph(str(error), "ck-failed"))
            return
        self._write(new=False) if self.wall.revealed else None

    def text(self) -> str:
        return self.wall.words

    def markup(self) -> str:
        return self.wall.html
