"""An exercise as one learner meets it: their numbers, their tries, hints one by one, each kept at once."""

from __future__ import annotations

import contextlib
from collections.abc import Sequence

from coursekit.lesson.learner import seed as own_seed
from coursekit.lesson.learner import unit_system
from coursekit.lesson.learner.progress import Event, Progress
from coursekit.lesson.practice.exercise import Exercise, Feedback, Question, judge
from coursekit.lesson.screen import page
from coursekit.lesson.screen.displayed import Displayed
from coursekit.quantities import InputError

TRIES_BEFORE_WAY = 3


class Attempt(Displayed):
    """`answer`, `hint`, `another` work without a browser; `said` is what the page shows last."""

    def __init__(self, exercise: Exercise, progress: Progress | None = None, seed: str = "") -> None:
        self.exercise = exercise
        self.said = ""
        self.verdict: Feedback | None = None
        self.seed = seed or own_seed.seed()
        self.progress = progress or Progress()
        self._recall()

    def _recall(self) -> None:
        mine = [e for e in self._events() if e.seed == self.seed]
        self.round = max((e.round for e in mine), default=0)
        here = [e for e in mine if e.round == self.round]
        self.tries = sum(e.kind == "try" for e in here)
        self.hints_shown = sum(e.kind == "hint" for e in here)
        self.passed = any(e.outcome == "passed" for e in here)
        if self.passed:
            self.said = "You have passed this one. Ask for new numbers to do it again."
        elif self.tries:
            self.said = f"You tried this {self.tries} time{'s' if self.tries > 1 else ''} before. It is kept."

    def _events(self) -> list[Event]:
        try:
            return self.progress.events(key=self.exercise.key)
        except InputError as error:
            self.said = str(error)
            return []

    @property
    def question(self) -> Question:
        return self.exercise.question(self.seed, self.round, unit_system.chosen())

    @property
    def choices(self) -> Sequence[str]:
        return self.question.choices

    def answer(self, text: str) -> Feedback:
        """Judge an answer and keep the try before anything is said."""
        question = self.question
        verdict = judge(question, text, unit_system.chosen())
        self._store("try", text[:200], verdict.outcome)
        self.tries += 1
        self.passed = self.passed or verdict.passed
        self.verdict, self.said = verdict, verdict.sentence
        if verdict.passed and question.way:
            self.said += f" How it goes: {question.way}"
        return verdict

    def hint(self) -> str:
        """The next hint; when there is none left and enough was tried, how it goes."""
        question = self.question
        if self.hints_shown < len(question.hints):
            self.said = f"Hint {self.hints_shown + 1} of {len(question.hints)}: {question.hints[self.hints_shown]}"
            self.hints_shown += 1
            self._store("hint", str(self.hints_shown), "")
        elif question.way and (self.tries >= TRIES_BEFORE_WAY or self.passed):
            self.said = f"How it goes: {question.way} Now ask for new numbers and do it yourself."
        else:
            left = TRIES_BEFORE_WAY - self.tries
            self.said = f"That was the last hint. After {left} more tr{'ies' if left > 1 else 'y'} the way is shown."
        self.verdict = None
        return self.said

    def another(self) -> None:
        """New numbers for the same exercise."""
        self.round += 1
        self._store("round", "", "")
        self.tries, self.hints_shown, self.passed, self.said, self.verdict = 0, 0, False, "", None

    def _store(self, kind: str, answer: str, outcome: str) -> None:
        try:
            self.progress.store(
                kind,
                self.exercise.key,
                seed=self.seed,
                round=self.round,
                system=unit_system.chosen(),
                answer=answer,
                outcome=outcome,
            )
        except InputError as error:
            self.progress.message = f"This try could not be kept. {error}"

    def take_message(self) -> str:
        """What must be said about the progress file, once."""
        message, self.progress.message = self.progress.message, ""
        return message

    @property
    def words(self) -> str:
        """The exercise in plain text."""
        choices = f" Choose: {'; '.join(self.choices)}." if self.choices else ""
        return f"{self.exercise.title}. {self.question.ask}{choices} {self.said}".strip()

    @property
    def html(self) -> str:
        done = " – passed" if self.passed else ""
        return page.tag("h4", self.exercise.title, done) + page.paragraph(self.question.ask)

    @property
    def said_html(self) -> str:
        parts = [page.paragraph(message, "ck-error")] if (message := self.take_message()) else []
        kind = "" if self.verdict is None else "ck-passed" if self.verdict.passed else "ck-failed"
        if self.said:
            parts.append(page.paragraph(self.said, kind))
        return page.together(parts)

    def __repr__(self) -> str:
        return self.words


def all_passed(progress: Progress) -> dict[str, tuple[int, int, bool]]:
    """For each exercise tried: tries, hints and whether it was ever passed."""
    found: dict[str, tuple[int, int, bool]] = {}
    with contextlib.suppress(InputError):
        for event in progress.events():
            if event.kind in ("try", "hint"):
                tries, hints, passed = found.get(event.key, (0, 0, False))
                found[event.key] = (
                    tries + (event.kind == "try"),
                    hints + (event.kind == "hint"),
                    passed or event.outcome == "passed",
                )
    return found
