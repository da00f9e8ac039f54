"""A bench as widgets: sliders, fields and buttons, its picture and its sentence.

Sliders are linked by a plain `observe`: ipywidgets keeps one update in flight and merges later ones, so nothing
queues behind the hand.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from typing import Any

import ipywidgets as w

from coursekit import quantities
from coursekit.lesson.learner import unit_system
from coursekit.lesson.pages import measurement_form
from coursekit.lesson.screen import page
from coursekit.lesson.screen.widgets import View, button, closed, control
from coursekit.lesson.workbench.bench import FRAME, Bench
from coursekit.lesson.workbench.control import value_words
from coursekit.lesson.workbench.settling import Settling
from coursekit.measurements import ways
from coursekit.nomenclature import KINDS
from coursekit.panel.mirror import LIGHTS, WAYS
from coursekit.quantities import InputError

LONG = 12  # characters: a longer start value gets the width of the column


class BenchView(View, shows=Bench):
    """Sliders, fields and buttons on a bench, its picture and its sentence."""

    def __init__(self, bench: Bench) -> None:
        self.bench, self._filling = bench, False
        self.settling = Settling(bench, self._move)
        self.sliders: dict[str, w.FloatSlider] = {}
        self.fields: dict[str, w.Text | w.Dropdown] = {}
        self.lines: dict[str, w.Widget] = {}
        self.head, self.said, self.picture, self.under, self.pinned, self.foot = (w.HTML() for _ in range(6))
        self.controls, self.seldom = w.VBox(), w.VBox()
        self.lamp = lamp_controls(bench)
        self.press = [button(bench.press, self.run)] if bench.press else []
        usual = {"Pin this setting": bench.pin_setting, "Unpin": bench.unpin_setting, "Reset": bench.restart}
        self.buttons = w.HBox([*self.press, *(button(words, work) for words, work in usual.items())])
        self.buttons.add_class("ck-line")
        status = w.HTML(page.tag("div", class_="ck-status", role="status"))
        self.more = more(self.seldom, bench)
        left = w.VBox([self.controls, self.more, self.lamp, self.buttons])
        beside = w.Box([left, w.VBox([self.picture, self.under, self.pinned])])
        beside.add_class("ck-beside")
        super().__init__([self.head, self.said, beside, self.foot, status])
        bench.watchers.append(self.draw)
        self.refresh()

    def refresh(self) -> None:
        self.bench.follow()
        self._build_controls()
        about = page.paragraph(self.bench.about) if self.bench.about else ""
        self.head.value = page.tag("h4", self.bench.title) + about
        self.foot.value = bench_foot(self.bench)
        with contextlib.suppress(InputError):
            self.bench.compute_again()  # a measurement of the learner's own may have come in; it draws

    def _build_controls(self) -> None:
        before = self.lines
        self.sliders.clear()
        self.fields.clear()
        self.lines = {}
        for key, said in self.bench.controls.items():
            parts: list[w.Widget] = []
            if ends := self.bench.slider(key):
                self.sliders[key] = self._slider(key, *ends)
                parts.append(self.sliders[key])
            self.fields[key] = self._field(key)
            meaning = said.meaning or self.bench.rows[key].meaning
            self.lines[key] = control(self.bench.label(key, unit=True), *parts, self.fields[key], meaning=meaning)
        self._fill()
        self.controls.children, self.seldom.children = (
            tuple(line for key, line in self.lines.items() if self.bench.controls[key].seldom is seldom)
            for seldom in (False, True)
        )
        closed(*before.values())

    def _slider(self, key: str, low: float, high: float, step: float) -> w.FloatSlider:
        slider = w.FloatSlider(min=low, max=high, step=step, readout=False)
        slider.observe(lambda change: self._slid(key, change["new"]), "value")
        return slider

    def _field(self, key: str) -> w.Text | w.Dropdown:
        options = self.bench.controls[key].options or self.bench.rows[key].options
        if options and self.bench.rows[key].kind not in KINDS:
            field = w.Dropdown(options=options, layout=w.Layout(width="max-content"))
        else:
            start = self.bench.controls[key].start  # a row of papers is longer than a number
            field = w.Text(continuous_update=False, layout=w.Layout(width=f"{max(9, 0.7 * len(start)):.0f}em"))
            if len(start) > LONG:
                field.add_class("ck-list")
        field.observe(lambda change: self._typed(key, change["new"]), "value")
        return field

    def _slid(self, key: str, value: float) -> None:
        if not self._filling and not self._echo(key, value):
            name = self.bench.rows[key].key
            self._move(lambda: self._go({key: quantities.from_unit(value, name, unit_system.chosen())}, rough=True))
            self.settling.soon()

    def _echo(self, key: str, value: float) -> bool:
        """Whether the browser only says that it rounded the present value to a step of the slider."""
        name, slider = self.bench.rows[key].key, self.sliders[key]
        present = quantities.in_unit(self.bench.values[key], name, unit_system.chosen())
        found: bool = abs(value - min(max(present, slider.min), slider.max)) < 0.5001 * slider.step
        return found

    def _typed(self, key: str, value: str) -> None:
        if not self._filling:
            self._move(lambda: self._go(self.bench.read({key: value}, typed=True)))

    def _go(self, si: dict[str, Any], rough: bool = False) -> None:
        if self.bench.press:
            self.bench.place(si)
        else:
            self.bench.move(si, rough)

    def run(self) -> None:
        """What the button of a slow bench does; meanwhile it says so."""
        self.press[0].disabled, self.press[0].description = True, f"{self.bench.press} – working …"
        try:
            self._move(lambda: self.bench.move({}), slow=True)
        finally:
            self.press[0].disabled, self.press[0].description = False, self.bench.press

    def _move(self, work: Callable[[], Any], slow: bool = False) -> None:
        slow = slow or (self.bench.seconds > FRAME and not self.bench.press)
        if slow:
            self.picture.add_class("ck-old")
        try:
            with contextlib.suppress(InputError):  # the bench shows its sentence; anything else is a fault and rises
                work()
        finally:
            if slow:
                self.picture.remove_class("ck-old")

    def draw(self) -> None:
        """Picture, sentence and the numbers beside the sliders, after any change of the bench."""
        self.said.value, self.picture.value = self.bench.words_html, self.bench.picture_html
        self.under.value, self.pinned.value = self.bench.more_html, self.bench.pinned_html
        if not self.bench.error:
            self._fill()

    def _fill(self) -> None:
        self._filling, system = True, unit_system.chosen()
        try:
            for key, value in self.bench.values.items():
                self.fields[key].value = value_words(value, self.bench.rows[key])
                if key in self.sliders:
                    self.sliders[key].value = quantities.in_unit(value, self.bench.rows[key].key, system)
        finally:
            self._filling = False

    def text(self) -> str:
        return repr(self.bench)

    def markup(self) -> str:
        return page.together((page.tag("h4", self.bench.title), self.bench.html, bench_foot(self.bench)))


def more(seldom: w.VBox, bench: Bench) -> w.Box:
    """The controls that are seldom moved, behind a button; nothing where there are none."""
    if not any(said.seldom for said in bench.controls.values()):
        return w.Box()
    shown = w.ToggleButton(value=False, description="More settings")

    def turn(change: Any) -> None:
        shown.description = "Fewer settings" if change["new"] else "More settings"
        seldom.layout.display = "" if change["new"] else "none"

    seldom.layout.display = "none"
    shown.observe(turn, "value")
    line = w.HBox([shown])
    line.add_class("ck-line")
    return w.VBox([line, seldom])


def lamp_controls(bench: Bench) -> w.VBox:
    """The light that a panel is seen under; empty where none is."""
    if not bench.lamp:
        return w.VBox()
    kind = w.Dropdown(options=LIGHTS, value=bench.light.kind, layout=w.Layout(width="max-content"))
    lines = w.Dropdown(options=WAYS, value=bench.light.lines, layout=w.Layout(width="max-content"))
    place = w.FloatSlider(value=100 * bench.light.place, min=0, max=100, step=1, readout=False)
    wet = w.ToggleButton(value=bench.light.wet, description="Wet the panel")

    def shine(_: Any) -> None:
        bench.shine(kind=kind.value, lines=lines.value, place=place.value / 100, wet=wet.value)

    for part in (kind, lines, place, wet):
        part.observe(shine, "value")
    line = w.HBox([wet])
    line.add_class("ck-line")
    return w.VBox(
        [
            control("look by", kind, meaning="what is mirrored in the panel"),
            control("its lines run", lines, meaning="over the panel, as you see them"),
            control("move the light", place, meaning="across the panel"),
            line,
        ]
    )


def bench_foot(bench: Bench) -> str:
    """*Where from?* and the measurement that narrows the band."""
    narrower = ""
    if bench.measurement:
        way = ways()[bench.measurement]
        where = (
            f'Write it down in its form: the cell lesson.measure("{bench.measurement}"), on this page or in '
            "11-measure-your-own."
        )
        title = f"Make it your own: measure {way.title[0].lower()}{way.title[1:]}, about {way.minutes:g} minutes"
        narrower = page.folded(title, measurement_form.how_html(way) + page.paragraph(where))
    return page.folded("Where from?", page.items(bench.where_from)) + narrower
