"""Controls on the page: the only file that knows ipywidgets. It hangs widgets on objects that work without them.

Sliders are linked by a plain `observe`: ipywidgets keeps one update in flight and merges later ones, so nothing
queues behind the hand. The work of a button is a method of the object shown, as a click swallows errors.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Sequence
from typing import Any

import ipywidgets as w

from coursekit import quantities
from coursekit.lesson.learner import own, unit_system
from coursekit.lesson.pages import garage_page, ready
from coursekit.lesson.practice.attempt import Attempt
from coursekit.lesson.practice.prediction import Prediction
from coursekit.lesson.screen import page
from coursekit.lesson.workbench.bench import FRAME, Bench
from coursekit.lesson.workbench.settling import Settling
from coursekit.measurements import Field, ways
from coursekit.nomenclature import KINDS, names
from coursekit.quantities import InputError


class View:
    """A box on the page whose plain text stands beside it in the output."""

    def __init__(self, children: Sequence[w.Widget]) -> None:
        self.box = w.VBox([w.HTML(page.style()), *children])
        self.box.add_class("ck-bench")
        unit_system.follow(self)
        self.box.view = self  # lives as long as its widgets

    def refresh(self) -> None:
        """Write everything anew, after metric or US was chosen."""

    def text(self) -> str:
        return ""

    def markup(self) -> str:
        """For pages without widgets."""
        return page.paragraph(self.text())

    def __repr__(self) -> str:
        return self.text()

    def _repr_mimebundle_(self, **_: Any) -> dict[str, Any]:
        return self.bundle()

    def bundle(self) -> dict[str, Any]:
        found: dict[str, Any] = self.box._repr_mimebundle_()
        return {**found, "text/plain": self.text(), "text/html": page.Piece(self.markup(), "").html}


def button(words: str, work: Callable[[], Any]) -> w.Button:
    made = w.Button(description=words)
    made.on_click(lambda _: work())
    return made


def control(words: str, *parts: w.Widget, meaning: str = "") -> w.Box:
    """A label before its control: wide enough not to be cut, its meaning shown when the pointer rests on it."""
    head, bracket, unit = words.rpartition(" (")
    if unit.endswith(")"):  # a unit of two words stays on one line
        words = head + bracket + unit.replace(" ", "\N{NO-BREAK SPACE}")
    label = f'<span class="ck-label" title="{page.escape(meaning)}">{page.escape(words)}</span>'
    box = w.Box([w.HTML(label), *parts])
    box.add_class("ck-control")
    return box


class BenchView(View):
    """Sliders, fields and buttons on a bench, its picture and its sentence."""

    def __init__(self, bench: Bench) -> None:
        self.bench, self._filling = bench, False
        self.settling = Settling(bench, self._move)
        self.sliders: dict[str, w.FloatSlider] = {}
        self.fields: dict[str, w.Text | w.Dropdown] = {}
        self.head, self.picture, self.foot = w.HTML(), w.HTML(), w.HTML()
        self.controls = w.VBox()
        self.press = [button(bench.press, self.run)] if bench.press else []
        usual = {"Keep this one": bench.keep, "Drop the kept one": bench.drop, "Start values": bench.restart}
        self.buttons = w.HBox([*self.press, *(button(words, work) for words, work in usual.items())])
        self.buttons.add_class("ck-line")
        status = w.HTML('<div class="ck-status" role="status"></div>')
        body: list[w.Widget] = [self.controls, self.buttons, self.picture]
        self.kept = w.HTML()
        if bench.beside:  # the kept one's words under the controls, where there is room
            body = [w.Box([w.VBox([*body[:2], self.kept]), self.picture])]
            body[0].add_class("ck-beside")
        super().__init__([self.head, *body, self.foot, status])
        if bench.beside:
            self.box.add_class("ck-broad")
        bench.watchers.append(self.draw)
        self.refresh()

    def refresh(self) -> None:
        self.bench.follow()
        self._build_controls()
        self.head.value = f"<h4>{page.escape(self.bench.title)}</h4>" + (
            page.paragraph(self.bench.about) if self.bench.about else ""
        )
        self.foot.value = bench_foot(self.bench)
        with contextlib.suppress(InputError):
            self.bench.compute_again()  # a measurement of the learner's own may have come in; it draws

    def _build_controls(self) -> None:
        self.sliders.clear()
        self.fields.clear()
        rows = []
        for key in self.bench.controls:
            parts: list[w.Widget] = []
            if ends := self.bench.slider(key):
                self.sliders[key] = self._slider(key, *ends)
                parts.append(self.sliders[key])
            self.fields[key] = self._field(key)
            meaning = self.bench.controls[key].meaning or self.bench.rows[key].meaning
            rows.append(control(self.bench.label(key, unit=True), *parts, self.fields[key], meaning=meaning))
        self._fill()
        self.controls.children = tuple(rows)

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
        self.picture.value = self.bench.picture_html if self.bench.beside else self.bench.html
        self.kept.value = self.bench.kept_html if self.bench.beside else ""
        if not self.bench.error:
            self._fill()

    def _fill(self) -> None:
        self._filling, system = True, unit_system.chosen()
        try:
            for key, value in self.bench.values.items():
                row = self.bench.rows[key]
                text = value if isinstance(value, str) else quantities.shown(value, row.key, system, 4)
                self.fields[key].value = text
                if key in self.sliders:
                    self.sliders[key].value = quantities.in_unit(value, row.key, system)
        finally:
            self._filling = False

    def text(self) -> str:
        return repr(self.bench)

    def markup(self) -> str:
        return f"<h4>{page.escape(self.bench.title)}</h4>{self.bench.html}{bench_foot(self.bench)}"


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
        narrower = page.folded(title, own.how_html(way) + page.paragraph(where))
    return page.folded("Where from?", page.items(bench.where_from)) + narrower


class AttemptView(View):
    """An exercise: its question, a place for the answer, and what is said to it."""

    def __init__(self, attempt: Attempt) -> None:
        self.attempt = attempt
        self.question, self.said = w.HTML(), w.HTML()
        self.answer: w.Text | w.RadioButtons = w.Text()
        self.place = w.VBox()
        check, hint = button("Check", self.check), button("Hint", self.hint)
        buttons = w.HBox([check, hint, button("New numbers", self.another)])
        buttons.add_class("ck-line")
        super().__init__([self.question, self.place, buttons, self.said])
        self.refresh()

    def refresh(self) -> None:
        question = self.attempt.question
        self.question.value = self.attempt.html
        if question.choices:
            self.answer = _radio(question.choices)
            self.place.children = (self.answer,)
        else:
            bare = names()[question.name].kind == "number"
            self.answer = w.Text(
                placeholder="a number" if bare else "a number and its unit", layout=w.Layout(width="14em")
            )
            self.answer.on_msg(lambda _, content, buffers: self.check() if content.get("event") == "submit" else None)
            words = "your answer, a plain number" if bare else "your answer, with its unit"
            self.place.children = (control(words, self.answer),)
        self._say()

    def check(self) -> None:
        self._guard(lambda: self.attempt.answer(str(self.answer.value or "")))
        self.question.value = self.attempt.html

    def hint(self) -> None:
        self._guard(self.attempt.hint)

    def another(self) -> None:
        self._guard(self.attempt.another)
        self.refresh()

    def _guard(self, work: Callable[[], Any]) -> None:
        try:
            work()
        except Exception as error:  # a click would swallow it unseen
            self.said.value = page.paragraph(f"This could not be judged: {error}", "ck-error")
            raise
        self._say()

    def _say(self) -> None:
        self.said.value = f'<div role="status">{self.attempt.said_html}</div>'

    def text(self) -> str:
        return self.attempt.words


class PredictionView(View):
    """A prediction: choices or a number, kept; the comparison after trying."""

    def __init__(self, prediction: Prediction) -> None:
        self.prediction = prediction
        self.said, self.place = w.HTML(), w.VBox()
        self.answer: w.Text | w.RadioButtons = w.Text()
        buttons = w.HBox([button("Keep my prediction", self.predict), button("Compare", self.compare)])
        buttons.add_class("ck-line")
        super().__init__([w.HTML(prediction.html), self.place, buttons, self.said])
        self.refresh()

    def refresh(self) -> None:
        kept = self.prediction.kept
        if self.prediction.choices:
            self.answer = _radio(self.prediction.choices, kept)
            self.place.children = (self.answer,)
        else:
            self.answer = w.Text(value=kept, placeholder="a number and its unit", layout=w.Layout(width="14em"))
            self.place.children = (control("your prediction, with its unit", self.answer),)
        self._say(self.prediction.said)

    def predict(self) -> None:
        self._guard(lambda: self.prediction.predict(str(self.answer.value or "")))

    def compare(self) -> None:
        self._guard(self.prediction.compare)

    def _guard(self, work: Callable[[], str]) -> None:
        try:
            self._say(work())
        except InputError as error:
            self._say(own.complaint(error))

    def _say(self, words: str) -> None:
        self.said.value = f'<div role="status">{page.paragraph(words)}</div>' if words else ""

    def text(self) -> str:
        return self.prediction.words


class MeasureView(View):
    """The entry form of a garage measurement."""

    def __init__(self, way: str) -> None:
        self.way = ways()[way]
        self.how, self.said, self.place = w.HTML(), w.HTML(), w.VBox()
        self.fields: dict[str, w.Text | w.Combobox | w.Dropdown] = {}
        self.known: dict[str, str] = {}  # what the form wrote by itself; it follows the gun until it is typed over
        super().__init__([self.how, self.place, w.HBox([button("Keep this measurement", self.keep)]), self.said])
        self.refresh()

    def refresh(self) -> None:
        self.how.value = own.how_html(self.way)
        if not self.fields:
            self.fields = {key: _entry(field) for key, field in self.way.fields.items()}
        for key, field in self.way.fields.items():
            if self.fields[key].value == self.known.get(key, ""):
                self.known[key] = self.fields[key].value = own.known_reading(field.name)
        self.place.children = tuple(control(own.field_label(self.way, key), f) for key, f in self.fields.items())

    def keep(self) -> None:
        try:
            said = own.enter(self.way.key, {key: field.value for key, field in self.fields.items()})
            words = page.paragraph(said.sentence, "ck-passed")
            if said.contradiction:
                words += page.paragraph(said.contradiction, "ck-error")
        except InputError as error:
            field = self.way.fields.get(error.problems[0].key)
            words = page.paragraph(own.complaint(error, field.words if field else ""), "ck-failed")
        self.said.value = f'<div role="status">{words}</div>'

    def text(self) -> str:
        return self.way.how(unit_system.chosen())


class GarageView(View):
    """The learner's garage file, written anew when a measurement is kept."""

    def __init__(self) -> None:
        self.state, self.words = w.HTML(), ""
        super().__init__([self.state])
        self.refresh()

    def refresh(self) -> None:
        self.state.value, self.words = garage_page.report()

    def text(self) -> str:
        return self.words

    def markup(self) -> str:
        return str(self.state.value)


class ReadyView(View):
    """The first cell: whether all is well, and the choice of metric or US."""

    def __init__(self) -> None:
        self.state = w.HTML()
        self.choice = w.ToggleButtons(
            options=[("metric (µm, mL, °C)", "metric"), ("US (mil, fl oz, °F)", "us")], value=unit_system.chosen()
        )
        self.choice.observe(lambda change: unit_system.choose(change["new"]), "value")
        super().__init__([self.state, control("show lessons in", self.choice)])
        self.state.value, self.words = ready.report()

    def text(self) -> str:
        return self.words

    def markup(self) -> str:
        found: str = self.state.value + page.paragraph(
            "If you see this sentence in JupyterLab, its controls do not come up. To mend it, type this in a "
            f"terminal and start Jupyter again: {ready.pip('--force-reinstall', 'jupyterlab_widgets')}"
        )
        return found


def _entry(field: Field) -> w.Text | w.Combobox | w.Dropdown:
    """Where a reading is written down: a list to choose from where there is one."""
    row, layout = names()[field.name], w.Layout(width="16em")
    if row.kind == "choice":
        return w.Dropdown(options=[("choose …", ""), *((option, option) for option in row.options)], layout=layout)
    if row.classes:
        return w.Combobox(options=list(row.classes), placeholder=next(iter(row.classes)), layout=layout)
    return w.Text(layout=layout)


def _radio(options: Sequence[str], chosen: str = "") -> w.RadioButtons:
    value = chosen if chosen in options else None
    return w.RadioButtons(options=list(options), value=value, layout=w.Layout(width="auto"))
