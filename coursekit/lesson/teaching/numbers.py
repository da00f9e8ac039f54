"""Own numbers for each learner of a class, from the word of the class and a name: no list of persons is needed."""

from __future__ import annotations

import hashlib
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from coursekit.course.notebooks import notebooks
from coursekit.folder import keep_setting, setting
from coursekit.lesson.content.declared import all_exercises, declared_exercise
from coursekit.lesson.learner import unit_system
from coursekit.lesson.learner.progress import Progress
from coursekit.lesson.learner.seed import set_seed
from coursekit.lesson.practice.exercise import Exercise, Question, shown_answer
from coursekit.lesson.screen import page
from coursekit.nomenclature import KINDS, System, names
from coursekit.quantities import InputError
from coursekit.showing import shown

MOST = 60  # characters of a name
JOINED = "join"  # the kind of entry that says who a progress file belongs to
INWARDS = 0.97  # of the room of an answer: its ends, rounded, are still taken


def class_seed(word: Any, name: Any) -> str:
    """The seed of a learner: the same for the same word and name, whatever capitals and spaces are typed."""
    word, name = _typed(word, "class word"), _typed(name, "name")
    told = "\0".join(_plain(text) for text in (word, name))
    return hashlib.blake2b(told.encode(), digest_size=4).hexdigest()


def _plain(text: str) -> str:
    return " ".join(unicodedata.normalize("NFKC", text).casefold().split())


def _typed(text: Any, what: str) -> str:
    found = " ".join(str(text).split()) if isinstance(text, (str, int)) and not isinstance(text, bool) else ""
    if not 1 <= len(found) <= MOST or not found.isprintable():
        raise InputError(
            what, f"must be a word or a name of at most {MOST} characters.", 'Write "garage-7", "Ana".', kind="form"
        )
    return found


def join_class(word: Any, name: Any) -> page.Piece:
    """Take up the numbers of a class: they are the learner's own, and the instructor can make them again."""
    seed = set_seed(class_seed(word, name))
    word, name = _typed(word, "class word"), _typed(name, "name")
    keep_setting("class", {"word": word, "name": name})
    Progress().store(JOINED, word, seed=seed, answer=name)
    told = f"You are “{name}” in class “{word}”. Your exercises have numbers of your own (seed {seed})."
    return page.Piece(page.paragraph(told), told)


def joined() -> tuple[str, str]:
    """The word of the class and the name as this learner typed them; empty before that."""
    kept = setting("class")
    if not isinstance(kept, dict):
        return "", ""
    return str(kept.get("word", ""))[:MOST], str(kept.get("name", ""))[:MOST]


@dataclass(frozen=True)
class Drawn:
    """One exercise with a learner's numbers."""

    exercise: Exercise
    question: Question
    system: System

    @property
    def answer(self) -> str:
        """The answer in the units that are shown, and in the others."""
        if self.question.choices:
            return shown_answer(self.question, self.system).removesuffix(".")
        told = [shown(float(self.question.answer), self.question.name, one) for one in self._systems]
        return told[0] + (f" ({told[1]})" if told[1:] and told[1] != told[0] else "")

    @property
    def accepted(self) -> str:
        """From where to where an answer is taken."""
        if self.question.choices:
            return "this choice alone"
        answer, room = float(self.question.answer), INWARDS * self.question.room
        if isinstance(self.question.answer, int) and room < 1 / 2:
            return "this number alone"
        ends = (shown(end, self.question.name, self.system, 4) for end in (answer - room, answer + room))
        return " to ".join(ends)

    @property
    def slips(self) -> list[tuple[str, str]]:
        """Each usual wrong answer, and what it looks like."""
        return [(self._shown(value), sentence) for value, sentence in self.question.slips]

    @property
    def bare(self) -> bool:
        """Whether a plain number is asked for."""
        return not self.question.choices and names()[self.question.name].kind == "number"

    @property
    def _systems(self) -> tuple[System, ...]:
        both = names()[self.question.name].kind in KINDS
        return (self.system, *(one for one in unit_system.OPTIONS if one != self.system and both))

    def _shown(self, value: Any) -> str:
        return str(value) if self.question.choices else shown(float(value), self.question.name, self.system)


@dataclass(frozen=True)
class LearnerSet:
    """The exercises of one learner with their numbers, answers and ways. It is drawn, not recalled: nobody's
    progress is read or written."""

    word: str
    name: str
    title: str
    drawn: tuple[Drawn, ...]

    @property
    def seed(self) -> str:
        return class_seed(self.word, self.name)

    def _rows(self) -> list[tuple[str, ...]]:
        return [
            (one.exercise.key, one.exercise.title, one.question.ask, one.answer, one.question.way)
            for one in self.drawn
        ]

    @property
    def words(self) -> str:
        head = f"{self.title}: {self.name}, class {self.word}, seed {self.seed}"
        return "\n".join(
            [
                head,
                *(f"{key} {title}. {ask} Answer: {answer}. {way}" for key, title, ask, answer, way in self._rows()),
            ]
        )

    def __repr__(self) -> str:
        return self.words

    def _repr_mimebundle_(self, **_: Any) -> dict[str, str]:
        head = page.tag("h4", f"{self.title}: {self.name}, class {self.word}, seed {self.seed}")
        columns = ("exercise", "title", "question", "answer", "how it goes")
        piece = page.Piece(page.together((head, page.table(columns, self._rows()))), self.words)
        return piece._repr_mimebundle_()


def learner_set(word: Any, name: Any, which: Any, system: System = "metric", turn: int = 0) -> LearnerSet:
    """A learner's exercises: of one lesson ("01-film"), one exercise ("film-1") or a list of such.

    turn  0 for the first numbers, 1 for those after the learner asked once for new ones, and so on
    """
    system = unit_system.read(system)
    if not isinstance(turn, int) or isinstance(turn, bool) or not 0 <= turn < 1000:
        raise InputError("turn", "must be a whole number from 0 to 999.", "0 is the first.", kind="form")
    word, name = _typed(word, "class word"), _typed(name, "name")
    title, exercises = exercises_of(which)
    seed = class_seed(word, name)
    drawn = tuple(Drawn(one, one.question(seed, turn, system), system) for one in exercises)
    return LearnerSet(word, name, title, drawn)


def exercises_of(which: Any) -> tuple[str, list[Exercise]]:
    """A heading and the exercises of a lesson, of one key, or of a list of such."""
    if isinstance(which, (list, tuple)) and which:
        parts = [exercises_of(one) for one in which]
        found = {one.key: one for _, exercises in parts for one in exercises}
        return ", ".join(dict.fromkeys(title for title, _ in parts)), list(found.values())
    for row in notebooks():
        if which == row["file"] and row.get("exercises"):
            begins = row["exercises"]
            known = sorted(key for key in all_exercises() if key.rpartition("-")[0] == begins)
            return lesson_title(row["file"]), [declared_exercise(key) for key in known]
    if isinstance(which, str) and which in all_exercises():
        return declared_exercise(which).title, [declared_exercise(which)]
    there = ", ".join(row["file"] for row in notebooks() if row.get("exercises"))
    raise InputError("lesson", f"{which!r:.40} is no lesson and no exercise.", f"There are: {there}.", kind="unknown")


def topics_of(exercises: Iterable[Exercise]) -> tuple[str, ...]:
    """Topics of the cautions that the lessons of these exercises show; none named stands for all of them."""
    begins = {one.key.rpartition("-")[0] for one in exercises}
    told = [row["cautions"] for row in notebooks() if row.get("exercises") in begins]
    return () if "all" in told else tuple(dict.fromkeys(topic for topics in told for topic in topics))


def lesson_title(file: str) -> str:
    """A lesson's name in words: "01-film" is lesson 1, film."""
    number, _, words = file.partition("-")
    return f"Lesson {int(number)}: {words.replace('-', ' ')}"
