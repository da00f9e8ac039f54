"""Questions whose numbers are drawn from a seed, and the judging of answers: value and unit, usual slips, hints.

Nothing here knows a widget or a file, so tests can feed right answers and usual wrong ones.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from coursekit import quantities
from coursekit.figure import Number
from coursekit.nomenclature import KINDS, System, names
from coursekit.quantities import InputError
from coursekit.unit_grammar import NUMBER, unit_of

DIGITS = 4  # of the numbers of a question
DRAWS = 1000  # of one question: of 50, one seed in two thousand of one exercise had none that was clear
THREE_DIGITS = 0.005
Slip = tuple[Any, str]  # the wrong answer (SI, or one of the choices) and what it looks like


@dataclass(frozen=True)
class Question:
    """One question with its numbers drawn.

    `answer` is SI and `name` its row of the nomenclature, where it does not know that itself (`draw.figure`); with
    `choices` it is one of them. `within` is how far off
    an answer may be, in SI; without it 2 % of the answer. `way` says how it goes and is shown after it is answered.
    """

    ask: str
    answer: Any
    name: str = ""
    within: float | None = None
    slips: Sequence[Slip] = ()
    hints: Sequence[str] = ()
    way: str = ""
    choices: Sequence[str] = ()

    def __post_init__(self) -> None:
        if not self.name and isinstance(self.answer, Number):
            object.__setattr__(self, "name", self.answer.row)

    @property
    def room(self) -> float:
        if self.within is not None:
            return self.within
        if names()[self.name].kind == "temperature":
            raise ValueError("a temperature is not judged by a share of it: give `within`")
        return 0.02 * abs(float(self.answer))

    def room_of(self, slip: Any) -> float:
        """How far off a slip may be typed: as the answer, but at least to three digits of its own."""
        scale = names()[self.name].kind == "temperature"
        return self.room if scale else max(self.room, THREE_DIGITS * abs(float(slip)))


@dataclass(frozen=True)
class Feedback:
    """What is said to an answer; `outcome` is passed, slip, unit, wrong or unreadable."""

    outcome: str
    sentence: str

    @property
    def passed(self) -> bool:
        return self.outcome == "passed"


class Draw:
    """Draws the numbers of a question, round in the units that are shown."""

    def __init__(self, seed: str, system: System) -> None:
        self.system, self._random = system, random.Random(seed)

    def between(self, name: str, low: str, high: str, step: str) -> Number:
        """A value of the quantity `name` from low to high in steps; all three written in the metric unit."""
        kind = names()[name].kind
        ends = [self._shown(quantities.read_text(text, kind, name), name) for text in (low, high)]
        grid = abs(self._shown(quantities.read_text(low, kind, name) + self._width(step), name) - ends[0])
        if self.system == "us" and names()[name].us != names()[name].metric:
            grid = _round_step(grid)
        first, last = math.ceil(ends[0] / grid - 1e-9), math.floor(ends[1] / grid + 1e-9)
        place = first + int(self._random.random() * (max(last, first) - first + 1))
        return self.figure(quantities.from_unit(round(place * grid, 10), name, self.system), name)

    @staticmethod
    def _width(step: str) -> float:
        match = NUMBER.match(step)
        unit = unit_of(match[2].strip()) if match else None
        if match is None or unit is None:
            raise InputError("step", f"{step!r} is not a number and a unit.", kind="form")
        return float(match[1]) * unit.factor

    def _shown(self, si: float, name: str) -> float:
        return float(quantities.in_unit(si, name, self.system))

    def pick(self, *options: Any) -> Any:
        """One of the options."""
        return options[int(self._random.random() * len(options))]

    def figure(self, si: Any, name: str) -> Number:
        """A number in SI that prints itself in the units that are shown."""
        return Number(float(si), name, self.system, DIGITS)

    @staticmethod
    def percent(share: float) -> str:
        """A share in words: "45 %"."""
        return f"{round(100 * share, 1):g}\N{NARROW NO-BREAK SPACE}%"


def _round_step(value: float) -> float:
    """The nearest of 1, 2, 5 times a power of ten."""
    size = 10.0 ** math.floor(math.log10(value))
    return min((m * size for m in (1, 2, 5, 10)), key=lambda step: abs(math.log(step / value)))


@dataclass(frozen=True)
class Exercise:
    """A question to be drawn: its key, its title and the function that makes it."""

    key: str
    title: str
    make: Callable[[Draw], Question]

    def question(self, seed: str, round: int = 0, system: System = "metric") -> Question:
        """The question of a seed; drawn again while a slip would look like the answer or like another slip."""
        for again in range(DRAWS):
            question = self.make(Draw(f"{seed}/{self.key}/{round}/{again}", system))
            if not _confused(question):
                return question
        raise ValueError(f"exercise {self.key}: its slips cannot be told from its answer")


EXERCISES: dict[str, Exercise] = {}


def decision(ask: str, answer: str, against: Mapping[str, str], hints: Sequence[str], way: str) -> Question:
    """A question of what to do: `against` has every choice, in the order shown, and what to say when it is wrong."""
    slips = [(choice, why) for choice, why in against.items() if choice != answer]
    return Question(ask=ask, answer=answer, choices=tuple(against), slips=slips, hints=hints, way=way)


def exercise(key: str, title: str) -> Callable[[Callable[[Draw], Question]], Exercise]:
    """Declare an exercise: put above a function that takes a `Draw` and gives a `Question`."""

    def declare(make: Callable[[Draw], Question]) -> Exercise:
        EXERCISES[key] = Exercise(key, title, make)
        return EXERCISES[key]

    return declare


def _confused(question: Question) -> bool:
    if question.choices:
        return False
    values = [(float(question.answer), question.room)]
    values += [(float(value), question.room_of(value)) for value, _ in question.slips]
    return any(abs(a - b) <= 1.1 * (one + two) for n, (a, one) in enumerate(values) for b, two in values[:n])


def judge(question: Question, text: str, system: System = "metric") -> Feedback:
    """What to say to an answer as typed; never the answer itself."""
    if question.choices:
        return _judge_choice(question, text)
    kind = names()[question.name].kind
    if not text.strip():
        return Feedback("unreadable", "Write your answer first.")
    try:
        value = quantities.read_text(text, kind, "your answer")
    except InputError as error:
        fits = " The number itself fits." if _number_fits(question, text) else ""
        unreadable = error.kind == "no number"
        return Feedback("unreadable" if unreadable else "unit", f"Not yet: {error.problem} {error.remedy}{fits}")
    if abs(value - question.answer) <= question.room:
        return Feedback("passed", f"This check passed: {shown_answer(question, system)}.")
    for slip, sentence in question.slips:
        if abs(value - slip) <= question.room_of(slip):
            return Feedback("slip", f"Not yet. {sentence}")
    return _judge_other(question, text, value)


def slip_taken(question: Question, text: str, system: System = "metric") -> int | None:
    """Which of the usual slips an answer is; None when it is none."""
    verdict = judge(question, text, system)
    told = [verdict.sentence == f"Not yet. {sentence}" for _, sentence in question.slips]
    return told.index(True) if verdict.outcome == "slip" and True in told else None


def _judge_choice(question: Question, text: str) -> Feedback:
    if text == question.answer:
        return Feedback("passed", f"This check passed: {text.removesuffix('.')}.")
    if text not in question.choices:
        return Feedback("unreadable", "Choose one of the answers first.")
    for slip, sentence in question.slips:
        if text == slip:
            return Feedback("slip", f"Not yet. {sentence}")
    return Feedback("wrong", "Not yet. Take a hint, or try it on the bench.")


def _judge_other(question: Question, text: str, value: float) -> Feedback:
    if _number_fits(question, text):
        return Feedback(
            "unit",
            "Not yet. The number fits, but not with the unit you wrote (or left out): which unit did you calculate "
            "in?",
        )
    if value > 0 and question.answer > 0 and names()[question.name].kind in KINDS:
        tens = round(math.log10(value / question.answer))
        if tens and abs(value / 10.0**tens - question.answer) <= question.room:
            return Feedback(
                "unit",
                f"Not yet. It is {10 ** abs(tens)} times too {'large' if tens > 0 else 'small'}: "
                "look at the decimal point and the unit.",
            )
    side = "large" if value > question.answer else "small"
    more = "Take a hint, or try it on the bench." if question.hints else "Try once more."
    return Feedback("wrong", f"Not yet: it is too {side}. {more}")


def _number_fits(question: Question, text: str) -> bool:
    """Whether the bare number is right in one of the two units that are shown, whatever unit was written."""
    match = NUMBER.match(text.strip().replace("\N{MINUS SIGN}", "-"))
    if match is None:
        return False
    systems: tuple[System, ...] = ("metric", "us")
    return any(
        abs(quantities.from_unit(float(match[1]), question.name, system) - question.answer) <= question.room
        for system in systems
    )


def shown_answer(question: Question, system: System) -> str:
    """The answer in words, for after it was found."""
    return str(question.answer) if question.choices else quantities.shown(question.answer, question.name, system)
