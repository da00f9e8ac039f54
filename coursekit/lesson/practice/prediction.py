"""Predict first: a question put before the bench, the prediction kept, the comparison only after trying."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coursekit import quantities
from coursekit.lesson.content.declared import declared_bench
from coursekit.lesson.learner import typed_text, unit_system
from coursekit.lesson.learner.both_systems import in_one
from coursekit.lesson.learner.progress import Progress
from coursekit.lesson.practice import examples
from coursekit.lesson.screen import page
from coursekit.lesson.screen.displayed import Displayed
from coursekit.lesson.workbench.bench import TRIED
from coursekit.quantities import InputError


class Prediction(Displayed):
    """`predict` keeps what the learner thinks, `compare` answers once the bench has been tried."""

    def __init__(self, key: str, row: Mapping[str, Any], progress: Progress | None = None) -> None:
        self.key = key
        self.choices: list[str] = row.get("choices", [])
        self.bench = row.get("bench", "")
        self.row = row
        self.progress = progress or Progress()
        self.kept = self.said = ""
        try:
            if kept := self.progress.events("prediction", key):
                self.kept = kept[-1].answer
                self.said = self._kept_words
        except InputError as error:
            self.said = str(error)

    @property
    def ask(self) -> str:
        return in_one(self.row["ask"], unit_system.chosen())

    @property
    def why(self) -> str:
        return in_one(self.row["why"], unit_system.chosen())

    def answer(self) -> str:
        """What the course computes, or the right one of the choices."""
        if self.choices:
            return str(self.row["answer"])
        done = examples.Worked(self.key, {"title": "", "step": [self.row]}).run(unit_system.chosen())[-1]
        return done.text

    def predict(self, text: str) -> str:
        """Keep a prediction; a number needs its unit."""
        if self.choices:
            if text not in self.choices:
                raise InputError(
                    "your prediction", "is none of the answers above.", "Choose one of them first.", kind="unknown"
                )
        else:
            text = typed_text.with_clear_unit(text, self.row["name"], "your prediction")
            quantities.read(text, self.row["name"], "your prediction")
        self.kept = text
        self.said = self._kept_words
        try:
            self.progress.store("prediction", self.key, system=unit_system.chosen(), answer=text)
        except InputError as error:
            self.said += f" It holds until this notebook is closed: {error}"
        return self.said

    @property
    def _kept_words(self) -> str:
        where = f"the bench “{declared_bench(self.bench).title}”" if self.bench else "the bench"
        return f"Kept: {in_one(self.kept, unit_system.chosen())}. Now try it on {where}, then compare."

    def compare(self) -> str:
        """The answer with its reason, once something was predicted and the bench was moved."""
        if not self.kept:
            self.said = "Predict first: there is nothing to compare yet."
        elif self.bench and self.bench not in TRIED:
            self.said = f"Kept: {self.kept}. Move a slider of that bench first, then compare."
        else:
            right = f" As you said: {self.answer()}." if self.kept == self.answer() else f" It is: {self.answer()}."
            said = in_one(f"You predicted: {self.kept}.{right}", unit_system.chosen())
            self.said = f"{said} {self.why}"
        return self.said

    @property
    def shown_choices(self) -> list[str]:
        """The choices in the system shown; what is kept names them as they are written."""
        return [in_one(choice, unit_system.chosen()) for choice in self.choices]

    @property
    def words(self) -> str:
        choices = f" Choose: {'; '.join(self.shown_choices)}." if self.choices else ""
        return f"Predict first. {self.ask}{choices} {self.said}".strip()

    def __repr__(self) -> str:
        return self.words

    @property
    def html(self) -> str:
        return page.tag("h4", "Predict first") + page.paragraph(self.ask)


def prediction(key: str) -> Prediction:
    rows = examples.load_rows("predictions")
    if key not in rows:
        raise InputError(
            "predict", f"{key!r:.40} is not a prediction.", f"There are: {', '.join(rows)}.", kind="unknown"
        )
    return Prediction(key, rows[key])
