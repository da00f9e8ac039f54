"""The bench: controls, one computation, one picture, one sentence. No widget is known here.

    @declare("From wet film to dry film", gives={"dry": "dry_film"}, sources=["mil-hdbk-1110"])
    def bench(wet_film: float = at("120 µm"), volume_solids: float = at("45 %")) -> dict[str, Any]:
        return {"dry": film.dry_film.si(wet_film, volume_solids)}      # computed once a move, in SI

    @bench.says
    def say(now: Now) -> str:
        return f"{now.wet_film} wet leaves {now.dry} dry."

    @bench.draws
    def draw(now: Now) -> Drawn:
        return Bars(now.dry.axis(200e-6), [Bar("dry", now.dry, pinned="pinned")])

The arguments are the controls and their defaults the start; `gives` says which row each result has. README.md of the
lesson layer tells the rest.
"""

from __future__ import annotations

import copy
import functools
import inspect
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from types import SimpleNamespace
from typing import Any

from coursekit import quantities
from coursekit.figure import named
from coursekit.lesson.draw.picture import Drawn, joined, markup
from coursekit.lesson.learner import own, typed_text, unit_system
from coursekit.lesson.learner.both_systems import in_one
from coursekit.lesson.screen import page
from coursekit.lesson.screen.displayed import Displayed
from coursekit.lesson.workbench import number_table
from coursekit.lesson.workbench.control import Control, at, on_a_step, row_of
from coursekit.lesson.workbench.declared import Declared
from coursekit.lesson.workbench.now import RESERVED, Now, Units
from coursekit.nomenclature import KINDS, System
from coursekit.panel.mirror import SOURCES as SEEN_BY
from coursekit.panel.mirror import Light
from coursekit.quantities import InputError, coefficient_words
from coursekit.sources import coefficients, sources

__all__ = ["Bench", "Control", "Drawn", "Now", "Units", "at", "declare"]

ROUGH = "A rough picture while you drag: the exact one, with what it says, follows when you stop."
FRAME = 0.03  # s; a computation that takes longer leaves the old picture standing, marked as old
TRIED: set[str] = set()  # benches moved since the kernel started: a prediction is compared after that


def declare(title: str, *, kind: type[Bench] | None = None, **more: Any) -> Callable[[Callable[..., Any]], Bench]:
    """Put above a function whose arguments are controls (`at`): it becomes a bench. `more` as `Bench` takes it.

    An argument `preview` makes it compute roughly while a slider is dragged; `controls=` are those of its `**others`.
    """

    def of(compute: Callable[..., Any]) -> Bench:
        arguments = inspect.signature(compute).parameters
        controls = {key: one.default for key, one in arguments.items() if isinstance(one.default, Control)}
        rough = functools.partial(compute, preview=True) if "preview" in arguments else None
        given = {**more, "controls": {**controls, **more.get("controls", {})}}
        return (kind or Bench)(compute, title=title, rough=rough, **given)

    return of


Result = Mapping[str, Any]  # of a computation, in SI


class Bench(Declared, Displayed):
    """A computed part of the trade to try things on; `set`, `words` and `html` work without a browser.

    gives         field of the result → its row, or the public call (or rows) that a result of several fields has
    about         a sentence under the title; a function of `Units` where it has numbers
    measurement   what narrows the band of the answer
    pinned          a setting held from the start, beside the present one
    recalculated  what is pinned is computed anew with what is known of the gun today
    press         the button at which it computes, where that takes long
    lamp          a panel is seen under a light that the learner moves
    rough         computes the same at once, less exactly, for a picture alone
    """

    def __init__(
        self,
        compute: Callable[..., Any],
        *,
        title: str,
        controls: Mapping[str, Control],
        sources: Sequence[str],
        gives: Any = None,
        about: str | Callable[[Units], str] = "",
        measurement: str = "",
        pinned: Mapping[str, str] | None = None,
        recalculated: bool = False,
        press: str = "",
        lamp: bool = False,
        rough: Callable[..., Any] | None = None,
    ) -> None:
        self.compute, self.rough, self.title = compute, rough, title
        self.sources = (*sources, *(SEEN_BY if lamp else ()))
        self._about, self.measurement, self.press = about, measurement, press
        self.lamp, self.light = lamp, Light()
        self.starts_pinned, self.recalculated = pinned or {}, recalculated
        self.controls = dict(controls)
        self.rows = {key: row_of(control.name or key, title) for key, control in self.controls.items()}
        self.gives: Mapping[str, Any] = getattr(gives, "gives", gives) or {}
        for row in self.gives.values():
            if isinstance(row, str):
                row_of(row, title)
        taken = sorted(RESERVED.intersection({*self.controls, *self.gives}))
        if taken:
            raise ValueError(f"bench {title!r}: {', '.join(taken)} of `now` means something else; take another name")
        self.key, self.shipped = "", False
        self._begin()

    def _begin(self) -> None:
        self.starts = {key: self._start(key) for key in self.controls}
        self.values = dict(self.starts)
        self.error, self.seconds, self.waiting, self.is_rough = "", 0.0, False, False
        self._to_pin = {key: self.rounded(key, value) for key, value in self.starts_pinned.items()}
        self._done: tuple[Mapping[str, Any], Result] | None = None  # values and result of the picture
        self._pinned: tuple[Mapping[str, Any], Result] | None = None
        self._pinned_drawn: tuple[System, Now, Drawn] | None = None
        self._rendered: tuple[System, Now, str] | None = None
        self.watchers: list[Callable[[], None]] = []

    def fresh(self, key: str = "", shipped: bool = False) -> Bench:
        """The same bench at its start values, watched by nobody; `shipped`: with nobody's measurements and gun."""
        new = copy.copy(self)
        new.key, new.shipped = key or self.key, shipped
        new._begin()
        return new

    @property
    @own.whose
    def about(self) -> str:
        """What stands still in it: words, with the numbers of the learner's own gun where it has them."""
        return self._about(Units(unit_system.chosen())) if callable(self._about) else self._about

    # --- moving ---

    @own.whose
    def _start(self, key: str) -> Any:
        control = self.controls[key]
        if control.outfit and (said := own.my_outfit().said.get(self.rows[key].key)) is not None:
            return said
        mine = own.garage_file()
        if control.measured in mine.keys:
            return float(mine.coefficient(control.measured))
        return self.rounded(key, control.start)

    def rounded(self, key: str, said: str) -> Any:
        """A value of the data, as text, in SI: in US units on a step of its slider, unless it is exact."""
        control = self.controls[key]
        if control.start_us and said == control.start and unit_system.chosen() == "us":
            said = control.start_us
        value = self._read(key, said)
        if control.exact or unit_system.chosen() == "metric":
            return value
        return on_a_step(value, self.rows[key], self.slider(key))

    def _read(self, key: str, value: Any) -> Any:
        row, options = self.rows[key], self.controls[key].options or self.rows[key].options
        if row.kind in KINDS:
            if isinstance(value, str):  # a notebook may give both: "2 bar (30 psi)"
                value = in_one(value, unit_system.chosen())
            return quantities.read(value, row.key, key)
        if options:
            return quantities.read_choice(value, options, key)
        return value.strip() if isinstance(value, str) else value

    def set(self, **values: Any) -> Bench:
        """Move controls, as text with units or as quantities: `bench.set(wet_film="120 µm")`."""
        return self.move(self.read(values))

    def hold(self, **values: Any) -> Bench:
        """Hold a setting beside the present one; what is left out is as at the start."""
        self._to_pin, self._rendered = self.read(values), None
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

    def shine(self, **changes: Any) -> Bench:
        """Move the light, or wet the panel: `shine(kind="tube lamp", place=0.3)`. Nothing is computed anew."""
        self.light = self.light._replace(**changes)
        self._pinned_drawn = self._rendered = None
        self._tell()
        return self

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
            result = self._computed(compute, self.values)
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

    def pin_setting(self) -> None:
        """Hold the setting of the picture, to compare later ones with it."""
        self._pinned, self._pinned_drawn, self._rendered, self._to_pin = self._finished(), None, None, {}
        self._tell()

    def unpin_setting(self) -> None:
        """Let the pinned setting go."""
        self._pinned, self._pinned_drawn, self._rendered, self._to_pin = None, None, None, {}
        self._tell()

    def follow(self) -> None:
        """Take up what the learner wrote down or chose since: a control that nobody moved stands at its start."""
        starts = {key: self._start(key) for key in self.controls}
        if starts != self.starts:
            still = {key: starts[key] for key, value in self.values.items() if value == self.starts[key]}
            self.values, self.starts = {**self.values, **still}, starts

    def restart(self) -> None:
        """Back to the start values; what is pinned stays."""
        self.move({key: self._start(key) for key in self.controls})

    # --- showing ---

    @own.whose
    def _computed(self, compute: Callable[..., Any], values: Mapping[str, Any]) -> Result:
        found = compute(**values)
        result: Result = found if isinstance(found, Mapping) else found._asdict()
        if twice := sorted({*RESERVED, *self.controls}.intersection(result)):
            raise ValueError(
                f"bench {self.title!r} gives {', '.join(twice)}, which is a control or means something else"
            )
        return result

    def _finished(self) -> tuple[Mapping[str, Any], Result]:
        if self._done is None:
            self._done = (self.values, self._computed(self.compute, self.values))
        elif self.is_rough:
            self.compute_again()
        return self._done

    @own.whose
    def _drawn(self) -> tuple[System, Now, str]:
        system = unit_system.chosen()
        if self._to_pin:
            held = {**{key: self._start(key) for key in self.controls}, **self._to_pin}
            self._pinned, self._pinned_drawn, self._to_pin = (held, self._computed(self.compute, held)), None, {}
        if self._rendered is None or self._rendered[0] != system:
            pinned = self._drawn_pinned(system)
            if self.is_rough and self._done is not None:
                now = self._now(self._done, system, pinned[1] if pinned else None, ROUGH)
            else:
                now = self._spoken(self._finished(), system, pinned[1] if pinned else None)
            drawn = self.draw(now)
            self._rendered = system, now, markup(joined(drawn, pinned[2]) if pinned else drawn, now.words, system)
        return self._rendered

    def _drawn_pinned(self, system: System) -> tuple[System, Now, Drawn] | None:
        if self._pinned is None:
            return None
        if self.recalculated:
            self._pinned, self._pinned_drawn = (self._pinned[0], self._computed(self.compute, self._pinned[0])), None
        if self._pinned_drawn is None or self._pinned_drawn[0] != system:
            pinned = self._spoken(self._pinned, system)
            self._pinned_drawn = system, pinned, self.draw(pinned)
        return self._pinned_drawn

    def _now(
        self, done: tuple[Mapping[str, Any], Result], system: System, pinned: Now | None = None, words: str = ""
    ) -> Now:
        return Now(done[0], self.rows, done[1], self.gives, system, words, pinned, self.light)

    def _spoken(self, done: tuple[Mapping[str, Any], Result], system: System, pinned: Now | None = None) -> Now:
        now = self._now(done, system, pinned)
        now.words = self.say(now)
        return now

    @property
    def now(self) -> Now:
        return self._drawn()[1]

    @property
    def result(self) -> Any:
        """What was computed, field by field in SI."""
        return SimpleNamespace(**self._finished()[1])

    def computed_at(self, **setting: Any) -> Any:
        """What another setting gives, as `result`; nothing is moved, and what is left out is as at the start."""
        values = {**{key: self._start(key) for key in self.controls}, **self.read(setting)}
        return SimpleNamespace(**self._computed(self.compute, values))

    @property
    def words(self) -> str:
        """What the picture shows, in a sentence; the pinned setting and an error after it."""
        return " ".join(part for part in (self._said, self.pinned_words, self.error) if part)

    @property
    def _said(self) -> str:
        """The sentence, and how the setting stands against the one pinned."""
        now = self.now
        if self.against is None or now.pinned is None or self.is_rough:
            return now.words
        return f"{now.words} {self.against(now, now.pinned)}"

    @property
    def pinned_words(self) -> str:
        pinned = self.now.pinned
        if pinned is None:
            return ""
        told = [key for key in self.controls if pinned.values[key] != self.now.values[key]]
        setting = ", ".join(f"{self.label(key)} {getattr(pinned, key)}" for key in told)
        return f"Pinned: {setting or 'the same'}. {pinned.words}"

    @property
    def html(self) -> str:
        """The sentence, its picture, what stands under it, and the pinned setting in words."""
        return page.together((self.words_html, self.picture_html, self.more_html, self.pinned_html))

    @property
    def pinned_html(self) -> str:
        return page.paragraph(self.pinned_words, "ck-kept") if self.now.pinned else ""

    @property
    def words_html(self) -> str:
        """The sentence, and what stops a new one: an error, or a button that waits to be pressed."""
        wait = f"The controls have moved. For the new answer press: {self.press}."
        waits = page.paragraph(wait, "ck-wait") if self.waiting else ""
        error = page.tag("p", self.error, class_="ck-error", role="alert") if self.error else ""
        return page.together((waits, error, page.tag("p", self._said, class_=f"ck-words{self._stale}")))

    @property
    def picture_html(self) -> str:
        """The picture, named by its sentence for who cannot see it; greyed where it is an old one."""
        return page.tag("div", page.drawn(self._drawn()[2], self._said), class_=f"ck-figure{self._stale}")

    @property
    def more_html(self) -> str:
        return page.tag("div", self.more(self.now), class_=self._stale.strip()) if self.more else ""

    @property
    def _stale(self) -> str:
        return " ck-stale" if self.error or self.waiting else ""

    @property
    def table(self) -> page.Piece:
        """The numbers of the picture as a table, in the units that are shown."""
        return number_table.piece(self._rows())

    def save_table(self, path: Any) -> Path:
        """Write that table as CSV, to be opened by any spreadsheet."""
        return number_table.save(self._rows(), path)

    def _rows(self) -> number_table.Table:
        if self.table_of is None:
            raise InputError(
                "table", "is not made by this bench.", "Read its words, or use its calls.", kind="unknown"
            )
        return self.table_of(self.now)

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
