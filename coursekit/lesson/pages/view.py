"""Pages to fill in or to choose on, as widgets: a measurement, the garage file, the outfit, the first cell."""

from __future__ import annotations

from collections.abc import Callable

import ipywidgets as w

from coursekit.lesson.learner import own, typed_text, unit_system
from coursekit.lesson.pages import garage_page, measurement_form, outfit_page, ready
from coursekit.lesson.screen import page
from coursekit.lesson.screen.widgets import View, button, control
from coursekit.measurements import Field, ways
from coursekit.nomenclature import names
from coursekit.quantities import InputError


class MeasureView(View):
    """The entry form of a garage measurement."""

    def __init__(self, way: str) -> None:
        if way not in ways():
            raise InputError(
                "measure", f"{way!r:.40} is no measurement.", f"There are: {', '.join(ways())}.", kind="unknown"
            )
        self.way = ways()[way]
        self.how, self.said, self.place = w.HTML(), w.HTML(), w.VBox()
        self.fields: dict[str, w.Text | w.Combobox | w.Dropdown] = {}
        self.known: dict[str, str] = {}  # what the form wrote by itself; it follows the gun until it is typed over
        self.back = button("Take the last one back", self.take_back)
        buttons = w.HBox([button("Keep this measurement", self.keep), self.back])
        super().__init__([self.how, self.place, buttons, self.said])
        self.refresh()

    def refresh(self) -> None:
        self.how.value = measurement_form.how_html(self.way)
        if not self.fields:
            self.fields = {key: _entry(field) for key, field in self.way.fields.items()}
        for key, field in self.way.fields.items():
            if self.fields[key].value == self.known.get(key, ""):
                self.known[key] = self.fields[key].value = measurement_form.known_reading(field.name)
        self.place.children = tuple(
            control(measurement_form.field_label(self.way, key), f) for key, f in self.fields.items()
        )
        self.back.layout.display = None if measurement_form.kept(self.way.key) else "none"

    def take_back(self) -> None:
        try:
            words = page.paragraph(measurement_form.take_back(self.way.key), "ck-passed")
        except InputError as error:
            words = page.paragraph(typed_text.complaint(error), "ck-failed")
        self.said.value = page.status(words)

    def keep(self) -> None:
        try:
            said = measurement_form.enter(self.way.key, {key: field.value for key, field in self.fields.items()})
            words = page.paragraph(said.sentence, "ck-passed")
            if said.contradiction:
                words += page.paragraph(said.contradiction, "ck-error")
        except InputError as error:
            field = self.way.fields.get(error.problems[0].key)
            words = page.paragraph(typed_text.complaint(error, field.words if field else ""), "ck-failed")
        self.said.value = page.status(words)

    def text(self) -> str:
        return self.way.how(unit_system.chosen())


class MeasurementsView(View):
    """Every garage measurement, found by a word; a form is made when it is opened."""

    def __init__(self) -> None:
        self.search = w.Text(placeholder="such as: film, paper, hose")
        self.none = w.HTML()
        self.opened: dict[str, MeasureView] = {}
        self.places = {key: w.VBox() for key in ways()}
        self.titles = {key: self._title(key) for key in ways()}
        self.lines = {key: w.VBox([self.titles[key], self.places[key]]) for key in ways()}
        self.search.observe(lambda _: self.refresh(), "value")
        super().__init__([control("search", self.search), self.none, *self.lines.values()])
        self.refresh()

    def _title(self, key: str) -> w.ToggleButton:
        title = w.ToggleButton(
            value=False, description=measurement_form.line(ways()[key]), layout=w.Layout(width="auto")
        )
        title.observe(lambda change: self._turn(key, change["new"]), "value")
        return title

    def _turn(self, key: str, opened: bool) -> None:
        if opened and key not in self.opened:
            self.opened[key] = MeasureView(key)
            self.places[key].children = (self.opened[key].box,)
        self.places[key].layout.display = "" if opened else "none"

    def refresh(self) -> None:
        found = measurement_form.found(self.search.value)
        for key, line in self.lines.items():
            line.layout.display = "" if key in found else "none"
        self.none.value = "" if found else page.status(page.paragraph("No measurement has that word. Try another."))

    def text(self) -> str:
        return "\n".join(f'{measurement_form.line(way)}: lesson.measure("{key}")' for key, way in ways().items())

    def markup(self) -> str:
        return page.together(
            page.folded(measurement_form.line(way), measurement_form.how_html(way)) for way in ways().values()
        )


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
        self.choice.observe(lambda change: self._chose(change["new"]), "value")
        self.choice.add_class("ck-units")
        super().__init__([self.state, control("show lessons in", self.choice)])
        self.state.value, self.words = ready.report()

    def _chose(self, system: str) -> None:
        if system != unit_system.chosen():
            unit_system.choose(system)

    def refresh(self) -> None:
        self.choice.value = unit_system.chosen()

    def text(self) -> str:
        return self.words

    def markup(self) -> str:
        found: str = page.Markup(self.state.value) + page.paragraph(
            "If you see this sentence in JupyterLab, its controls do not come up. To fix it, type this in a "
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


class OutfitView(View):
    """The learner's guns, paints, hands and panels: choose one of each, or write down one's own."""

    def __init__(self) -> None:
        self.chosen, self.chose, self.carried = w.VBox(), w.HTML(), w.HTML()
        self.said = {kind: w.HTML() for kind in outfit_page.FORMS}  # each under the buttons that it answers
        self.choices: dict[str, w.Dropdown] = {}
        self.fields: dict[str, dict[str, w.Text]] = {}
        self._filling = False
        for kind in outfit_page.FORMS:
            self.choices[kind] = w.Dropdown(layout=w.Layout(width="max-content"))
            self.choices[kind].observe(lambda change, kind=kind: self.choose(kind, change["new"]), "value")
        self.forms = w.Accordion([self._form(kind) for kind in outfit_page.FORMS])
        for number, kind in enumerate(outfit_page.FORMS):
            self.forms.set_title(number, f"Write down a {kind} of your own, or change one")
        super().__init__(
            [
                w.HTML(page.tag("h4", "Your gun, paint, hand and panel")),
                self.chosen,
                self.chose,
                self.carried,
                self.forms,
            ]
        )
        self.refresh()

    def _form(self, kind: str) -> w.VBox:
        self.fields[kind] = {key: w.Text(layout=w.Layout(width="14em")) for key in outfit_page.FORMS[kind]}
        rows = [control(outfit_page.label(kind, key), field) for key, field in self.fields[kind].items()]
        return w.VBox(
            [
                *rows,
                w.HBox(
                    [
                        button(f"Keep this {kind}", lambda: self.keep(kind)),
                        button(f"Forget this {kind}", lambda: self.forget(kind)),
                    ]
                ),
                self.said[kind],
            ]
        )

    def refresh(self) -> None:
        mine = own.my_outfit()
        self._filling, rows = True, []
        try:
            for kind in outfit_page.FORMS:
                box = self.choices[kind]
                box.options = [record.name for record in mine.all(kind)]
                box.value = mine.one(kind).name
                words = w.HTML(page.paragraph(outfit_page.words(mine.one(kind))))
                rows.append(control(kind, box, words))
                for key, field in self.fields[kind].items():
                    field.value = str(mine.one(kind).to_dict().get(key, ""))
        finally:
            self._filling = False
        self.chosen.children = tuple(rows)
        told = own.garage_file().carried()
        self.carried.value = page.items(told) if told else ""

    def choose(self, kind: str, name: str | None) -> None:
        if not self._filling and name:
            self._told(self.chose, lambda: outfit_page.choose(kind, name))

    def keep(self, kind: str) -> None:
        self._told(
            self.said[kind],
            lambda: outfit_page.keep(kind, {key: field.value for key, field in self.fields[kind].items()}),
        )

    def forget(self, kind: str) -> None:
        self._told(self.said[kind], lambda: outfit_page.forget(kind, self.fields[kind]["name"].value))

    def _told(self, place: w.HTML, work: Callable[[], str]) -> None:
        try:
            words = page.paragraph(work(), "ck-passed")
        except InputError as error:
            words = page.paragraph(typed_text.complaint(error), "ck-failed")
        place.value = page.status(words)

    def text(self) -> str:
        return outfit_page.text()
