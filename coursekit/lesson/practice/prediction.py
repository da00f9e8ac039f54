"""Predict first: a question put before the bench, the prediction kept, the comparison only after trying.

    [gun-inlet]
    ask = "… What is the pressure at the air cap?"
    name = "cap_pressure"                    # the row of the number; or `choices` and `answer`
    bench = "gun-air"                        # must be moved before the comparison, and computes the number
    setting = { gauge_pressure = "1 bar" }   # on that bench; the rest is as it starts
    figure = "cap"                           # of its result; or `call`, `with` and `field` as in a worked example
    wrong = [{ from = "0.8 bar", why = "…" }, { from = "0.48 bar", to = "0.6 bar", why = "…" }]
    why = "…"

Where the bench gives a band, a number within it is right: nobody knows it more closely. Where it gives one number,
`times` says how many times larger or smaller still counts, and a remark in the table says why. `wrong` has the usual
wrong numbers, each with its own reason.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, NamedTuple

from coursekit import quantities
from coursekit.lesson.content.declared import declared_bench
from coursekit.lesson.learner import typed_text, unit_system
from coursekit.lesson.learner.both_systems import in_one
from coursekit.lesson.learner.progress import Progress
from coursekit.lesson.practice import examples
from coursekit.lesson.screen import page
from coursekit.lesson.screen.displayed import Displayed
from coursekit.lesson.workbench.bench import TRIED
from coursekit.nomenclature import System
from coursekit.quantities import InputError
from coursekit.uncertain import Band

READ = 0.03  # of a band


class Computed(NamedTuple):
    """The number that was asked for: what a learner reads, and the ends, in SI, within which one is right."""

    text: str
    low: float
    high: float


class Prediction(Displayed):
    """`predict` keeps what the learner thinks, `compare` answers once the bench has been tried."""

    def __init__(self, key: str, row: Mapping[str, Any], progress: Progress | None = None) -> None:
        self.key = key
        self.choices: list[str] = row.get("choices", [])
        self.bench = row.get("bench", "")
        self.row = row
        self.progress = progress or Progress()
        self.kept = self.said = ""
        self._computed: dict[System, Computed] = {}
        try:
            kept = [event.answer for event in self.progress.events("prediction", key)]
            if kept and self._can_be(kept[-1]):  # the question may have had other answers when it was kept
                self.kept = kept[-1]
                self.said = self._kept_words
        except InputError as error:
            self.said = str(error)

    @property
    def ask(self) -> str:
        return in_one(self.row["ask"], unit_system.chosen())

    @property
    def why(self) -> str:
        return in_one(self.row["why"], unit_system.chosen())

    @property
    def computed(self) -> Computed:
        """The number, from the bench as it is before anything of the learner's own is measured."""
        if (system := unit_system.chosen()) not in self._computed:
            self._computed[system] = self._of_bench()
        return self._computed[system]

    def _of_bench(self) -> Computed:
        if "figure" in self.row:
            found = declared_bench(self.bench).fresh(shipped=True).computed_at(**self.row.get("setting", {}))
            value, _ = examples.picked(found, self.row["figure"], None)
        else:
            value = examples.Worked(self.key, {"title": "", "step": [self.row]}).run()[-1].result
        text = examples.in_words(value, self.row["name"], unit_system.chosen())
        if isinstance(value, Band):
            room = READ * float(value.high - value.low)  # its ends are read as they are rounded
            return Computed(text, float(value.low) - room, float(value.high) + room)
        times = self.row["times"]
        return Computed(text, float(value) / times, float(value) * times)

    def answer(self) -> str:
        """What the bench computes, or the right one of the choices."""
        return str(self.row["answer"]) if self.choices else self.computed.text

    def _can_be(self, said: str) -> bool:
        """Whether it is one of the answers, or a number of that kind."""
        if self.choices:
            return said in self.choices
        try:
            quantities.read(said, self.row["name"])
        except InputError:
            return False
        return True

    def right(self, said: str) -> bool:
        """Whether a prediction was right: the choice, or a number within what counts."""
        if self.choices or not self._can_be(said):
            return said == self.answer()
        return self.computed.low <= float(quantities.read(said, self.row["name"])) <= self.computed.high

    def against(self, said: str) -> str:
        """Why a usual wrong number is wrong; empty for another one."""
        value = float(quantities.read(said, self.row["name"]))
        for one in self.row.get("wrong", ()):
            low, high = (
                float(quantities.read(one[end], self.row["name"])) if end in one else none
                for end, none in (("from", -math.inf), ("to", math.inf))
            )
            if low <= value <= high:
                return in_one(one["why"], unit_system.chosen())
        return ""

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
            self.said = f"{self._beside} {self.why}"
        return self.said

    @property
    def _beside(self) -> str:
        """The prediction beside the answer."""
        answer, right = self.answer(), self.right(self.kept)
        if self.choices:
            said = f"You predicted: {self.kept}. {'As you said' if right else 'It is'}: {answer}."
            return in_one(said, unit_system.chosen())
        if right:
            return f"You predicted {self.kept}. That holds: the bench gives {answer}."
        return f"You predicted {self.kept}. The bench gives {answer}. {self.against(self.kept)}".rstrip()

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
