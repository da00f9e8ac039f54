"""Widgets of a whole repair: the picker of steps with its bench, a defect traced back, the buttons of many hands."""

from __future__ import annotations

import contextlib
import time
from functools import partial
from typing import Any

import ipywidgets as w

from coursekit.lesson.draw.panel_maps import MAPS
from coursekit.lesson.learner import unit_system
from coursekit.lesson.repair.drag import RepairBench
from coursekit.lesson.repair.many_hands import FIGURES, Hands
from coursekit.lesson.screen import page
from coursekit.lesson.screen.widgets import View, button, control, gone
from coursekit.lesson.workbench.view import BenchView, bench_foot
from coursekit.quantities import InputError
from coursekit.repair import Replay, diagnose
from coursekit.repair.outcome import NAMES

OFTEN = 0.3  # s between two messages of progress


class RepairView(View, shows=RepairBench):
    """Repair, step and map are picked above the settings of the step; its picture stands beside, the table below."""

    def __init__(self, bench: RepairBench) -> None:
        self.bench, self._filling = bench, False
        self.repair = w.Dropdown(options=list(bench.repairs), value=bench.which)
        self.step, self.map = w.Dropdown(), w.Dropdown(options=MAPS, value=bench.view)
        self.before, self.after = (
            button(words, work) for words, work in (("‹ step", lambda: self._go(-1)), ("step ›", lambda: self._go(1)))
        )
        self.head, self.said, self.table = w.HTML(), w.VBox(), w.HTML()
        self.foot = w.HTML()
        self.settings, self.place = w.VBox(), w.Box()
        turn = w.HBox([self.before, self.after, button("Reset all steps", self.start_again)])
        turn.add_class("ck-line")
        self.left = w.VBox(
            [
                control("repair", self.repair),
                control("step", self.step),
                control("map", self.map),
                turn,
                self.settings,
            ]
        )
        self.place.add_class("ck-beside")
        status = w.HTML(page.tag("div", class_="ck-status", role="status"))
        super().__init__([self.head, self.said, self.place, self.table, self.foot, status])
        self.box.add_class("ck-broad")
        self.inner = self._inner()
        for field, work in ((self.repair, self._take), (self.step, self._pick), (self.map, self._map)):
            field.observe(work, "value")

    def _inner(self) -> BenchView:
        """The controls of the step that is picked, in the places of this view."""
        inner = BenchView(self.bench.bench)
        self.bench.bench.watchers.append(self._tell)
        self.settings.children = (inner.controls, inner.lamp)
        self.said.children = (inner.said,)
        self.place.children = (self.left, inner.picture)
        self.foot.value = bench_foot(self.bench.bench)
        self._filling = True
        titles = [(self.bench.title(number), number) for number in range(len(self.bench.recipe.steps) + 1)]
        if self.step.options != tuple(titles):
            self.step.options = titles
        self.step.value, self._filling = self.bench.number, False
        self._tell()
        return inner

    def _again(self) -> None:
        """Another step: its controls come in the place of those before, which go."""
        old = self.inner
        self.inner = self._inner()
        gone(old)

    def _tell(self) -> None:
        if self.bench.bench.is_rough:
            return
        self.head.value = page.tag("h4", self.bench.recipe.title)
        with contextlib.suppress(InputError):
            self.table.value = page.tag("h4", "All its steps") + self.bench.table.html + self.bench.care.html

    def _take(self, change: Any) -> None:
        if not self._filling:
            self.bench.take(change["new"])
            self._again()

    def _pick(self, change: Any) -> None:
        if not self._filling:
            self.bench.step(change["new"])
            self._again()

    def _map(self, change: Any) -> None:
        if not self._filling:
            self.bench.show(change["new"])

    def _go(self, way: int) -> None:
        self.step.value = min(max(self.bench.number + way, 0), len(self.bench.recipe.steps))

    def start_again(self) -> None:
        self.bench.start_again()
        self._again()

    def refresh(self) -> None:
        self._tell()

    def text(self) -> str:
        return repr(self.bench)

    def markup(self) -> str:
        return page.together(
            (
                page.tag("h4", self.bench.recipe.title),
                self.bench.bench.html,
                self.bench.table.html,
                self.bench.care.html,
            )
        )


class DiagnosisView(View):
    """A defect traced back through a repair that was played; said again when metric or US is chosen."""

    def __init__(self, played: Replay, seen: str, where: Any) -> None:
        self._trace = partial(diagnose, played, seen, where)
        self._trace(unit_system.chosen())  # what cannot be traced is refused before the page knows of the view
        self.said = w.HTML()
        super().__init__([self.said])
        self.box.add_class("ck-broad")
        self.refresh()

    def refresh(self) -> None:
        self.found = self._trace(unit_system.chosen())
        self.said.value = self.found._repr_html_()

    def text(self) -> str:
        return str(self.found)

    def markup(self) -> str:
        return self.found._repr_html_()


class HandsView(View, shows=Hands):
    """How many hands, how much they stray, play and stop, and the bands of what they came to."""

    def __init__(self, hands: Hands) -> None:
        self.hands, self._told, self._begun = hands, 0.0, 0.0
        self.number = w.Dropdown(options=[20, 100, 300, 1000], value=100)
        self.stray = w.Dropdown(options=["5 %", "10 %", "15 %", "25 %"], value="15 %")
        self.figure = w.Dropdown(options=[(NAMES[key][0], key) for key in FIGURES], value=hands.figure)
        self.bar = w.IntProgress(min=0, max=1)
        self.count, self.said = w.HTML(), w.HTML()
        buttons = w.HBox([button("Run", self.play), button("Stop", hands.stop), self.bar, self.count])
        buttons.add_class("ck-line")
        rows = [
            control("how many hands", self.number),
            control("how far they vary", self.stray),
            control("what is drawn", self.figure),
        ]
        super().__init__([w.HTML(page.tag("h4", "One repair, many hands")), *rows, buttons, self.said])
        self.box.add_class("ck-broad")
        self.figure.observe(self._chosen, "value")
        hands.watchers.append(self._tell)
        self.refresh()

    def play(self) -> None:
        self._begun = time.monotonic()
        self.hands.start(self.number.value, self.stray.value)

    def _chosen(self, change: Any) -> None:
        self.hands.show(change["new"])
        self.refresh()

    def _tell(self) -> None:
        """Called after every hand, from the thread that plays them."""
        hands, now = self.hands, time.monotonic()
        last = hands.done >= hands.wanted or hands.stopping
        if not last and now - self._told < OFTEN:
            return
        self._told = now
        self.bar.max, self.bar.value = max(hands.wanted, 1), hands.done
        left = (now - self._begun) / max(hands.done, 1) * (hands.wanted - hands.done)
        words = f"{hands.done} of {hands.wanted}" + ("" if last else f", about {left:.0f} s to go")
        self.count.value = page.tag("span", words, role="status")
        if last:
            self.refresh()

    def refresh(self) -> None:
        self.said.value = self.hands.html

    def text(self) -> str:
        return repr(self.hands)

    def markup(self) -> str:
        return self.hands.html
