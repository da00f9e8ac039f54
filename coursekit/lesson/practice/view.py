"""An exercise and a prediction as widgets."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import ipywidgets as w

from coursekit.lesson.learner import typed_text
from coursekit.lesson.practice.attempt import Attempt
from coursekit.lesson.practice.examples import Worked
from coursekit.lesson.practice.prediction import Prediction
from coursekit.lesson.practice.review import Review
from coursekit.lesson.screen import page
from coursekit.lesson.screen.widgets import View, button, control
from coursekit.nomenclature import names
from coursekit.quantities import InputError


class AttemptView(View, shows=Attempt):
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
            self.answer = _field("a number" if bare else "a number and its unit", self.check)
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
        self.said.value = page.status(self.attempt.said_html)

    def text(self) -> str:
        return self.attempt.words


class ReviewView(View, shows=Review):
    """The exercises that are due, one under another."""

    def __init__(self, review: Review) -> None:
        self.review = review
        self.asked = [AttemptView(attempt) for attempt in review.attempts]
        super().__init__([w.HTML(page.paragraph(review.intro)), *(one.box for one in self.asked)])

    def text(self) -> str:
        return self.review.words


class WorkedView(View, shows=Worked):
    """A worked example; the steps that are the learner's wait for a result."""

    def __init__(self, worked: Worked) -> None:
        self.worked = worked
        self.steps, self.said, self.place = w.HTML(), w.HTML(), w.VBox()
        self.answer = _field("a number and its unit", self.check)
        buttons = w.HBox([button("Check", self.check), button("Show this step", self.show)])
        buttons.add_class("ck-line")
        self.asked = (control("your step, with its unit", self.answer), buttons)
        super().__init__([self.steps, self.place, self.said])
        self.refresh()

    def refresh(self) -> None:
        self.steps.value = self.worked.html
        self.place.children = self.asked if self.worked.waiting is not None else ()
        self.answer.placeholder = "a number" if self.worked.bare else "a number and its unit"
        self.said.value = page.status(page.paragraph(self.worked.said)) if self.worked.said else ""

    def check(self) -> None:
        before = self.worked.solved
        try:
            self.worked.answer(str(self.answer.value or ""))
        except InputError as error:
            self.worked.said = typed_text.complaint(error)
        self._next(self.worked.solved > before)

    def show(self) -> None:
        self.worked.show()
        self._next(True)

    def _next(self, opened: bool) -> None:
        if opened:
            self.answer.value = ""
        self.refresh()

    def text(self) -> str:
        return self.worked.words

    def markup(self) -> str:
        return self.worked.folded


class PredictionView(View, shows=Prediction):
    """A prediction: choices or a number, kept; the comparison after trying."""

    def __init__(self, prediction: Prediction) -> None:
        self.prediction = prediction
        self.said, self.place = w.HTML(), w.VBox()
        self.answer: w.Text | w.RadioButtons = w.Text()
        buttons = w.HBox([button("Keep my prediction", self.predict), button("Compare", self.compare)])
        buttons.add_class("ck-line")
        self.asked = w.HTML()
        super().__init__([self.asked, self.place, buttons, self.said])
        self.refresh()

    def refresh(self) -> None:
        self.asked.value = self.prediction.html
        kept = self.prediction.kept
        if self.prediction.choices:
            self.answer = _radio(self.prediction.choices, kept, self.prediction.shown_choices)
            self.place.children = (self.answer,)
        else:
            bare = names()[self.prediction.row["name"]].kind == "number"
            self.answer = _field("a number" if bare else "a number and its unit", self.predict, kept)
            words = "your prediction, a plain number" if bare else "your prediction, with its unit"
            self.place.children = (control(words, self.answer),)
        self._say(self.prediction.said)

    def predict(self) -> None:
        self._guard(lambda: self.prediction.predict(str(self.answer.value or "")))

    def compare(self) -> None:
        self._guard(self.prediction.compare)

    def _guard(self, work: Callable[[], str]) -> None:
        try:
            self._say(work())
        except InputError as error:
            self._say(typed_text.complaint(error))

    def _say(self, words: str) -> None:
        self.said.value = page.status(page.paragraph(words)) if words else ""

    def text(self) -> str:
        return self.prediction.words


def _field(placeholder: str, entered: Callable[[], None], value: str = "") -> w.Text:
    """A place for an answer. It is sent when it is whole – the script of the page sends it before Enter – as Enter
    overtakes keys that are still on their way to a busy kernel."""
    field = w.Text(value=value, placeholder=placeholder, continuous_update=False, layout=w.Layout(width="14em"))
    field.on_msg(lambda _, content, buffers: entered() if content.get("event") == "submit" else None)
    field.add_class("ck-answer")
    return field


def _radio(options: Sequence[str], chosen: str = "", shown: Sequence[str] = ()) -> w.RadioButtons:
    value = chosen if chosen in options else None
    rows = list(zip(shown or options, options, strict=True))
    return w.RadioButtons(options=rows, value=value, layout=w.Layout(width="auto"))
