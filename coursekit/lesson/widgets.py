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
from coursekit.lesson import page, shown
from coursekit.lesson.bench import FRAME, Bench
from coursekit.nomenclature import KINDS, names
from coursekit.quantities import InputError


class View:
    """A box on the page whose plain text stands beside it in the output."""

    def __init__(self, children: Sequence[w.Widget]) -> None:
        self.box = w.VBox([w.HTML(page.style()), *children])
        self.box.add_class("ck-bench")
        shown.follow(self)
        self.box.view = self  # lives as long as its widgets

    def refresh(self) -> None:
        """Write everything anew, after metric or US was chosen."""

    def text(self) -> str:
        return ""

    def markup(self) -> str:
        """For pages without widgets."""
        return page.paragraph(self.text())

    def bundle(self) -> dict[str, Any]:
        found: dict[str, Any] = self.box._repr_mimebundle_()
        return {**found, "text/plain": self.text(), "text/html": page.Piece(self.markup(), "").html}


def button(words: str, work: Callable[[], Any]) -> w.Button:
    made = w.Button(description=words)
    made.on_click(lambda _: work())
    return made


def _control(words: str, *parts: w.Widget, meaning: str = "") -> w.Box:
    """A label before its control: wide enough not to be cut, its meaning shown when the pointer rests on it."""
    label = f'<span class="ck-label" title="{page.escape(meaning)}">{page.escape(words)}</span>'
    box = w.Box([w.HTML(label), *parts])
    box.add_class("ck-control")
    return box


class BenchView(View):
    """Sliders, fields and buttons on a bench, its picture and its sentence."""

    def __init__(self, bench: Bench) -> None:
        self.bench, self._filling = bench, False
        self.sliders: dict[str, w.FloatSlider] = {}
        self.fields: dict[str, w.Text | w.Dropdown] = {}
        self.head, self.picture, self.foot = w.HTML(), w.HTML(), w.HTML()
        self.controls = w.VBox()
        self.buttons = w.HBox([button("Keep this one", bench.keep), button("Drop the kept one", bench.drop),
                               button("Start values", bench.restart)])  # fmt: skip
        self.buttons.add_class("ck-line")
        status = w.HTML('<div class="ck-status" role="status"></div>')
        super().__init__([self.head, self.controls, self.buttons, self.picture, self.foot, status])
        bench.watchers.append(self.draw)
        self.refresh()

    def refresh(self) -> None:
        self._build_controls()
        self.head.value = f"<h4>{page.escape(self.bench.title)}</h4>" + (
            page.paragraph(self.bench.about) if self.bench.about else "")  # fmt: skip
        self.foot.value = bench_foot(self.bench)
        self.draw()

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
            meaning = self.bench.rows[key].meaning
            rows.append(_control(self.bench.label(key, unit=True), *parts, self.fields[key], meaning=meaning))
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
            field = w.Text(continuous_update=False, layout=w.Layout(width="9em"))
        field.observe(lambda change: self._typed(key, change["new"]), "value")
        return field

    def _slid(self, key: str, value: float) -> None:
        if not self._filling:
            name = self.bench.rows[key].key
            self._move(lambda: self.bench.move({key: quantities.from_unit(value, name, shown.system())}))

    def _typed(self, key: str, value: str) -> None:
        if not self._filling:
            self._move(lambda: self.bench.set(**{key: with_unit(value, self.bench.rows[key].key)}))

    def _move(self, work: Callable[[], Any]) -> None:
        slow = self.bench.seconds > FRAME
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
        self.picture.value = self.bench.html
        if not self.bench.error:
            self._fill()

    def _fill(self) -> None:
        self._filling = True
        try:
            for key, value in self.bench.values.items():
                row = self.bench.rows[key]
                text = value if isinstance(value, str) else quantities.shown(value, row.key, shown.system(), 4)
                self.fields[key].value = text
                if key in self.sliders:
                    self.sliders[key].value = quantities.in_unit(value, row.key, shown.system())
        finally:
            self._filling = False

    def text(self) -> str:
        return repr(self.bench)

    def markup(self) -> str:
        return f"<h4>{page.escape(self.bench.title)}</h4>{self.bench.html}{bench_foot(self.bench)}"


def bench_foot(bench: Bench) -> str:
    """*Where from?* and the measurement that narrows the band."""
    return page.folded("Where from?", page.items(bench.where_from))


def with_unit(text: str, name: str) -> str:
    """What was typed, with the unit that is shown when it was a bare number."""
    row = names()[name]
    bare = text.strip().replace("\N{MINUS SIGN}", "-")
    unit = row.unit(shown.system()) if row.kind in KINDS else ""
    return f"{bare} {unit}" if unit and bare.lstrip("+-").replace(".", "", 1).isdigit() else text
