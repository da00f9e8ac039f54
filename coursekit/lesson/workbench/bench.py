"""The bench: controls, one computation, one picture, one sentence. No widget is known here.

film = Bench(
    title="From wet film to dry film",
    controls={"wet_film": "120 µm", "volume_solids": "45 %"},
    compute=film.dry_film.si,                # keywords: the controls, in SI
    draw=lambda now: drawings.chart(...),    # HTML
    say=lambda now: f"{now.text('wet_film')} wet leaves {now.show(now.result, 'dry_film')}.",
    sources=["mil-hdbk-1110"],
)
"""

from __future__ import annotations

import copy
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from coursekit import quantities
from coursekit.lesson.draw.charts import Axis
from coursekit.lesson.learner import own, typed_text, unit_system
from coursekit.lesson.screen import page
from coursekit.lesson.screen.displayed import Displayed
from coursekit.lesson.workbench import number_table
from coursekit.nomenclature import KINDS, Name, System, names
from coursekit.quantities import InputError, coefficient_words
from coursekit.sources import coefficients, sources
from coursekit.uncertain import Band

ROUGH = "A rough picture while you drag: the exact one, with what it says, follows when you stop."
FRAME = 0.03  # s; a computation that takes longer leaves the old picture standing, marked as old
TRIED: set[str] = set()  # benches moved since the kernel started: a prediction is compared after that


@dataclass(frozen=True)
class Control:
    """One control, where its row of the nomenclature does not say it all."""

    start: str
    name: str = ""  # row of the nomenclature; the argument's own name when empty
    label: str = ""
    meaning: str = ""
    slider: tuple[float, float, float] | None = None  # from, to, step in the metric unit
    slider_us: tuple[float, float, float] | None = None
    options: tuple[str, ...] = ()
    measured: str = ""  # coefficient that the learner may have measured: it is the start then
    outfit: bool = False  # the start is that of the learner's chosen gun, paint, hand or panel


@dataclass(frozen=True)
class Now:
    """One computed setting: what a picture and a sentence are made of."""

    values: Mapping[str, Any]  # SI, or text for choices, grades and ratios
    result: Any
    system: System
    rows: Mapping[str, Name]
    kept: Now | None = None
    words: str = ""

    def __getitem__(self, key: str) -> Any:
        return self.values[key]

    def text(self, key: str, digits: int = 3) -> str:
        """A control's value in words: "120 µm"."""
        value = self.values[key]
        return str(value) if isinstance(value, str) else self.show(value, self.rows[key].key, digits)

    def show(self, value: Any, name: str, digits: int = 3) -> str:
        """A number of the result in words; a band as "40 to 56 µm"."""
        if isinstance(value, Band):
            narrow = abs(value.high - value.low) < 0.3 * abs(value.high)  # two digits would blur its ends
            return quantities.shown_band(value.low, value.high, name, self.system, 3 if narrow else 2)
        return quantities.shown(value, name, self.system, digits)

    def number(self, value: Any, name: str) -> Any:
        """A number, an array or a band in the unit that is shown."""
        if isinstance(value, Band):
            return Band(*(self.number(end, name) for end in value))
        return quantities.in_unit(value, name, self.system)

    def axis(self, name: str, low: float, high: float, label: str = "") -> Axis:
        """An axis for a row of the nomenclature; both ends in SI."""
        return Axis(named(names()[name], self.system, label), self.number(low, name), self.number(high, name))


def named(row: Name, system: System, label: str = "") -> str:
    """A label with its unit: "wet film (µm)"."""
    unit, words = row.unit(system) if row.kind in KINDS else "", label or row.label
    said = unit in words.split() or (unit == "/h" and words.endswith("per hour"))
    return f"{words} ({unit})" if unit and not said else words


def _row(name: str, title: str) -> Name:
    if name not in names():
        raise ValueError(f"bench {title!r}: tables/names/ has no row {name!r}; give Control(name=…)")
    return names()[name]


class Bench(Displayed):
    """A computed part of the trade to try things on; `set`, `words` and `html` work without a browser."""

    def __init__(
        self,
        *,
        title: str,
        controls: Mapping[str, str | Control],
        compute: Callable[..., Any],
        draw: Callable[[Now], str],
        say: Callable[[Now], str],
        sources: Sequence[str],
        measurement: str = "",
        about: str | Callable[[], str] = "",
        against: Callable[[Now], str] | None = None,
        kept: Mapping[str, str] | None = None,
        press: str = "",
        beside: bool = False,
        rough: Callable[..., Any] | None = None,
        table: Callable[[Now], number_table.Table] | None = None,
    ) -> None:
        self.title, self._about, self.measurement = title, about, measurement
        self.compute, self.draw, self.say, self.sources = compute, draw, say, tuple(sources)
        self.against, self.starts_kept, self.press, self.beside = against, kept or {}, press, beside
        self._table, self.rough = table, rough  # rough: computes the same at once, less exactly, for a picture alone
        self.controls = {k: c if isinstance(c, Control) else Control(c) for k, c in controls.items()}
        self.rows = {key: _row(control.name or key, title) for key, control in self.controls.items()}
        self.key = ""
        self._begin()

    def _begin(self) -> None:
        self.starts = {key: self._start(key) for key in self.controls}
        self.values = dict(self.starts)
        self.error, self.seconds, self.waiting, self.is_rough = "", 0.0, False, False
        self._to_keep = {key: self._read(key, value) for key, value in self.starts_kept.items()}
        self._done: tuple[Mapping[str, Any], Any] | None = None  # values and result of the picture
        self._kept: tuple[Mapping[str, Any], Any] | None = None
        self._rendered: tuple[System, Now, str] | None = None
        self.watchers: list[Callable[[], None]] = []

    def fresh(self, key: str = "") -> Bench:
        """The same bench at its start values, watched by nobody."""
        new = copy.copy(self)
        new.key = key or self.key
        new._begin()
        return new

    @property
    def about(self) -> str:
        """What stands still in it: words, with the numbers of the learner's own gun where it has them."""
        return self._about() if callable(self._about) else self._about

    # --- moving ---

    def _start(self, key: str) -> Any:
        control = self.controls[key]
        if control.outfit and (said := own.my_outfit().said.get(self.rows[key].key)) is not None:
            return said
        mine = own.garage_file()
        if control.measured in mine.keys:
            return float(mine.coefficient(control.measured))
        return self._read(key, control.start)

    def _read(self, key: str, value: Any) -> Any:
        row, options = self.rows[key], self.controls[key].options or self.rows[key].options
        if row.kind in KINDS:
            return quantities.read(value, row.key, key)
        if options:
            return quantities.read_choice(value, options, key)
        return value.strip() if isinstance(value, str) else value

    def set(self, **values: Any) -> Bench:
        """Move controls, as text with units or as quantities: `bench.set(wet_film="120 µm")`."""
        return self.move(self.read(values))

    def hold(self, **values: Any) -> Bench:
        """Hold a setting beside the present one; what is left out is as at the start."""
        self._to_keep, self._rendered = self.read(values), None
        self._tell()
        return self

    def read(self, values: Mapping[str, Any], typed: bool = False) -> dict[str, Any]:
        """Controls as SI, from a call or as typed into a field; a failure is shown and raised."""
        moved = {}
        for key, value in values.items():
            if key not in self.controls:
                raise InputError(
                    key, "is not a control of this bench.", f"It has: {', '.join(self.controls)}.", kind="unknown"
                )
            try:
                if typed:
                    value = typed_text.with_clear_unit(value, self.rows[key].key, key)
                moved[key] = self._read(key, value)
            except InputError as error:
                self._fail(self._complaint(error))
                raise
        return moved

    def place(self, si: Mapping[str, Any]) -> Bench:
        """Move controls of a bench that computes at a press only: the picture stands until then."""
        self._finished()
        self.values, self.waiting, self.error = {**self.values, **si}, True, ""
        self._tell()
        return self

    def move(self, si: Mapping[str, Any], rough: bool = False) -> Bench:
        """Move controls that are SI (or text) already, and compute once. A failure is shown and raised.

        rough  a picture while a slider is dragged, marked as one, where the bench has such
        """
        if self._done is None:
            self._finished()  # so that there is a picture to leave standing if this move fails
        self.values = {**self.values, **si}
        TRIED.add(self.key)
        return self.compute_again(rough)

    def compute_again(self, rough: bool = False) -> Bench:
        """Compute the setting as it stands: after a move, or when a measurement came in."""
        begun = time.perf_counter()
        compute = self.rough if rough and self.rough else self.compute
        try:
            result = compute(**self.values)
        except InputError as error:
            self._fail(self._complaint(error))
            raise
        except Exception as error:
            self._fail(
                f"This setting could not be computed ({type(error).__name__}: {error}). Move the control "
                "back; the fault is the course's, not yours."
            )
            raise
        self.seconds = time.perf_counter() - begun
        self.is_rough = compute is not self.compute
        self._done, self.error, self._rendered, self.waiting = (self.values, result), "", None, False
        self._tell()
        return self

    def _complaint(self, error: InputError) -> str:
        key = error.problems[0].key
        return typed_text.complaint(error, self.label(key) if key in self.controls else "")

    def _fail(self, sentence: str) -> None:
        self.error = sentence
        self._tell()

    def _tell(self) -> None:
        for watcher in self.watchers:
            watcher()

    def keep(self) -> None:
        """Hold the setting of the picture, to compare later ones with it."""
        self._kept, self._rendered, self._to_keep = self._finished(), None, {}
        self._tell()

    def drop(self) -> None:
        """Let the kept setting go."""
        self._kept, self._rendered, self._to_keep = None, None, {}
        self._tell()

    def follow(self) -> None:
        """Take up what the learner wrote down or chose since: a control that nobody moved stands at its start."""
        starts = {key: self._start(key) for key in self.controls}
        if starts != self.starts:
            still = {key: starts[key] for key, value in self.values.items() if value == self.starts[key]}
            self.values, self.starts = {**self.values, **still}, starts

    def restart(self) -> None:
        """Back to the start values; what is kept stays."""
        self.move({key: self._start(key) for key in self.controls})

    # --- showing ---

    def _finished(self) -> tuple[Mapping[str, Any], Any]:
        if self._done is None:
            self._done = (self.values, self.compute(**self.values))
        elif self.is_rough:
            self.compute_again()
        return self._done

    def _drawn(self) -> tuple[System, Now, str]:
        system = unit_system.chosen()
        if self._to_keep:
            held = {**{key: self._start(key) for key in self.controls}, **self._to_keep}
            self._kept, self._to_keep = (held, self.compute(**held)), {}
        if self._rendered is None or self._rendered[0] != system:
            kept = self._spoken(self._kept, None, system) if self._kept else None
            if self.is_rough and self._done is not None:
                now = Now(*self._done, system, self.rows, kept, ROUGH)
            else:
                now = self._spoken(self._finished(), kept, system)
            self._rendered = (system, now, self.draw(now))
        return self._rendered

    def _spoken(self, done: tuple[Mapping[str, Any], Any], kept: Now | None, system: System) -> Now:
        now = Now(done[0], done[1], system, self.rows, kept)
        return Now(done[0], done[1], system, self.rows, kept, self.say(now))

    @property
    def now(self) -> Now:
        return self._drawn()[1]

    @property
    def result(self) -> Any:
        return self._finished()[1]

    @property
    def words(self) -> str:
        """What the picture shows, in a sentence; the kept setting and an error after it."""
        return " ".join(part for part in (self._said, self.kept_words, self.error) if part)

    @property
    def _said(self) -> str:
        """The sentence, and how the setting stands against the one kept."""
        now = self.now
        return f"{now.words} {self.against(now)}" if self.against and now.kept and not self.is_rough else now.words

    @property
    def kept_words(self) -> str:
        kept = self.now.kept
        if kept is None:
            return ""
        told = [k for k in self.controls if not self.beside or kept[k] != self.now[k]]  # where room is short
        return f"Kept ({', '.join(f'{self.label(k)} {kept.text(k)}' for k in told) or 'the same'}): {kept.words}"

    @property
    def html(self) -> str:
        """The picture with its sentence, and the kept setting in words."""
        return self.picture_html + self.kept_html

    @property
    def kept_html(self) -> str:
        return page.paragraph(self.kept_words, "ck-kept") if self.now.kept else ""

    @property
    def picture_html(self) -> str:
        """The picture with its sentence; an error stands above the old picture, which is greyed."""
        shown_now = page.figure(self._drawn()[2], self._said, self.error)
        if not self.waiting:
            return shown_now
        return (
            page.paragraph(f"The controls have moved. For the new answer press: {self.press}.", "ck-wait")
            + f'<div class="ck-stale">{shown_now}</div>'
        )

    @property
    def table(self) -> page.Piece:
        """The numbers of the picture as a table, in the units that are shown."""
        return number_table.piece(self._rows())

    def save_table(self, path: Any) -> Path:
        """Write that table as CSV, to be opened by any spreadsheet."""
        return number_table.save(self._rows(), path)

    def _rows(self) -> number_table.Table:
        if self._table is None:
            raise InputError(
                "table", "is not made by this bench.", "Read its words, or use its calls.", kind="unknown"
            )
        return self._table(self.now)

    def label(self, key: str, unit: bool = False) -> str:
        """A control's words, with the unit that is shown when asked."""
        label = self.controls[key].label or self.rows[key].label
        return named(self.rows[key], unit_system.chosen(), label) if unit else label

    def slider(self, key: str) -> tuple[float, float, float] | None:
        """From, to and step in the unit that is shown; None for what is typed or chosen."""
        control, row = self.controls[key], self.rows[key]
        if unit_system.chosen() == "us" and row.us and row.us != row.metric:
            return control.slider_us or row.slider_us
        return control.slider or row.slider

    @property
    def where_from(self) -> list[str]:
        """The coefficients and sources behind the picture, a sentence each."""
        known = coefficients()
        return [
            coefficient_words(own.coefficient(key), unit_system.chosen()) if key in known else str(sources()[key])
            for key in self.sources
        ]

    def __repr__(self) -> str:
        return f"{self.title}. {self.words}"
