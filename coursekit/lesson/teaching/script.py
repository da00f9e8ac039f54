"""Ready scripts for an instructor: which bench, move and question, what to expect, what will be said wrongly.

Written once as data (`content/scripts/`); every figure comes from the bench that the move is played on.
"""

from __future__ import annotations

import functools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import SimpleNamespace
from typing import Any

from coursekit.figure import Figure
from coursekit.lesson.content.declared import declared_bench
from coursekit.lesson.learner import unit_system
from coursekit.lesson.pages.cautions import cautions
from coursekit.lesson.practice.examples import load_rows
from coursekit.lesson.screen import page
from coursekit.lesson.teaching.numbers import exercises_of, lesson_title, topics_of
from coursekit.lesson.teaching.paper import CARE, Paper, render, unbroken
from coursekit.lesson.workbench.bench import Bench
from coursekit.markup import Markup, items, paragraph, tag, together
from coursekit.quantities import InputError, read_choice

LENGTHS = (10, 45)
LEVELS = ("new", "practised")
OPENING, CLOSING = 1, 3  # minutes
LABELS = ("Say", "Show", "Ask", "Ask for", "Move", "Expect", "They will say", "Why")
READ_OUT = "Before anybody sprays, mixes or sands: read these out"


@dataclass(frozen=True)
class Move:
    """One question to the room, and the move on the bench that answers it."""

    minutes: int
    bench: str
    move: Mapping[str, str]
    say: str
    ask: str
    choices: tuple[str, ...]
    answer: str
    figure: str
    factors: tuple[tuple[float, float], ...]
    wrong: tuple[str, ...]
    why: str
    short: bool = False
    exact: bool = False  # the move keeps its value in US units, too, so that half stays half
    level: str = ""
    over: str = ""
    expect: str = "{first} before, {then} after."

    def before(self) -> Bench:
        """The bench as it stands when the question is put: others read it, so it has nobody's measurements."""
        return declared_bench(self.bench).fresh(self.bench, shipped=True)

    def played(self) -> Bench:
        """The bench after the move, with what was before it held beside it."""
        bench = self.before()
        bench.pin_setting()
        return self.play(bench)

    def play(self, bench: Bench) -> Bench:
        """Make the move on that bench; in US units its controls come to rest on a step, as their starts do."""
        return bench.move(self._to(bench))

    def _to(self, bench: Bench) -> dict[str, Any]:
        return (
            bench.read(self.move)
            if self.exact
            else {key: bench.rounded(key, said) for key, said in self.move.items()}
        )

    def moved(self) -> tuple[Any, Any]:
        """The figure that the move is about after it, behind the one that it is held against: itself before the move,
        another one after it, or 1."""
        played = self.played()
        against = _figure(played, self.over) if self.over else _figure(self.before(), self.figure)
        return against, _figure(played, self.figure)

    def told(self, text: str) -> str:
        """What is said or asked, with the numbers of the bench in the units that are chosen."""
        bench = self.before()
        to = {key: _shown(bench, key, value) for key, value in self._to(bench).items()}
        return text.format(now=bench.now, to=SimpleNamespace(**to))

    @property
    def controls(self) -> str:
        """The move in words: which control goes where."""
        bench = self.before()
        told = (f"{bench.label(key)} to {_shown(bench, key, value)}" for key, value in self._to(bench).items())
        return ", ".join(told)

    @property
    def expected(self) -> str:
        """What the bench shows, in the units that are chosen."""
        first, then = self.moved()
        before = _figure(self.before(), self.figure) if "{before" in self.expect else None
        return self.expect.format(first=first, then=then, before=before)


def _shown(bench: Bench, key: str, value: Any) -> str:
    return value if isinstance(value, str) else str(Figure(value, bench.rows[key].key, unit_system.chosen(), 3))


def _figure(bench: Bench, path: str) -> Any:
    """A figure of what the bench computed: "dry", "shares.landed", "volumes.1"; "1" is the number."""
    if path == "1":
        return 1.0
    found: Any = bench.now
    for part in path.split("."):
        found = found[int(part)] if part.isdigit() else getattr(found, part)
    return found


@dataclass(frozen=True)
class Script:
    """What an instructor does in so many minutes, in order."""

    lesson: str
    minutes: int
    level: str
    aim: str
    glossary: tuple[str, ...]
    moves: tuple[Move, ...]

    @property
    def title(self) -> str:
        return f"{lesson_title(self.lesson)}, {self.minutes} minutes"

    @property
    def exercises(self) -> int:
        """Minutes for the exercises on paper or on the learners' own screens."""
        return self.minutes - OPENING - CLOSING - sum(move.minutes for move in self.moves) if self.minutes > 10 else 0

    def parts(self) -> list[tuple[int, str, list[str]]]:
        """From which minute, what, and the lines of it."""
        told: list[tuple[int, str, list[str]]] = [(0, "Open", [f"Say: {self.aim}", self._words()])]
        at = OPENING
        for number, move in enumerate(self.moves, 1):
            told.append((at, f"Question {number}, bench “{move.before().title}”", _lines(move)))
            at += move.minutes
        if self.exercises:
            keys = ", ".join(one.key for one in exercises_of(self.lesson)[1])
            lines = [
                f"Everybody does {keys}, each with numbers of their own: on the screen, or on paper "
                f'(lesson.paper("exercises", "{self.lesson}", …), the key with "key").',
                "Go round. Anyone who is stuck takes a hint; do not give the number away.",
            ]
            told.append((at, "Exercises", lines))
            at += self.exercises
        if self.minutes > LENGTHS[0]:
            told.append((at, "Close", ["Each says one number of their own, and what would make its band narrower."]))
        return told

    def _words(self) -> str:
        words = ", ".join(self.glossary)
        if self.level == "new":
            return f"Show: the things themselves, each with its word – {words}."
        return f"Ask for: these words, instead of giving them – {words}."

    @property
    def words(self) -> str:
        lines = [f"{self.title}, for learners who are {self.level}"]
        for at, what, told in self.parts():
            lines += [f"{at:>2} min  {what}", *(f"        {line}" for line in told)]
        return "\n".join([*lines, f"{READ_OUT}.", self.cautions.text, CARE])

    @property
    def cautions(self) -> page.Piece:
        """The cautions that the lesson shows."""
        return cautions(*topics_of(exercises_of(self.lesson)[1]))

    def __repr__(self) -> str:
        return self.words

    @property
    def paper(self) -> Paper:
        """The script as a page to print: it belongs in the hand, not on the wall."""
        head = tag("h1", self.title) + tag("p", f"for learners who are {self.level}", class_="whose")
        return Paper(
            self.title, render(self.title, [head + unbroken(self._markup("h2")) + self._aloud("h2")]), self.words
        )

    def _markup(self, heading: str) -> Markup:
        return together(
            tag("section", tag(heading, f"{at} min – {what}"), items(map(_labelled, told)), class_="exercise")
            for at, what, told in self.parts()
        )

    def _aloud(self, heading: str) -> Markup:
        """The cautions, whole and in one piece: those who work hear them from the instructor."""
        return tag("section", tag(heading, READ_OUT), self.cautions.html, class_="aloud")

    def _repr_mimebundle_(self, **_: Any) -> dict[str, str]:
        head = self.paper.link + tag("h4", self.title) + paragraph(f"For learners who are {self.level}.")
        end = self._aloud("h4") + paragraph(CARE)
        return page.Piece(head + self._markup("h4") + end, self.words)._repr_mimebundle_()


def _labelled(line: str) -> Markup:
    """A line with what is done in bold: it is looked for while one speaks."""
    label, _, rest = line.partition(": ")
    return tag("strong", f"{label}:") + " " + rest if label in LABELS else together((line,))


def _lines(move: Move) -> list[str]:
    return [
        f"Say: {move.told(move.say)}",
        f"Ask: {move.told(move.ask)} ({' / '.join(move.choices)})",
        f"Move: {move.controls}.",
        f"Expect: {move.expected} Right answer: {move.answer}.",
        *(f"They will say: {wrong}" for wrong in move.wrong),
        f"Why: {move.why}",
    ]


@functools.lru_cache(maxsize=1)
def _scripts() -> Mapping[str, Mapping[str, Any]]:
    return {row["lesson"]: row for row in load_rows("scripts").values()}


def lessons() -> tuple[str, ...]:
    """The lessons that have a script, in their order."""
    return tuple(sorted(_scripts()))


def script(lesson: Any, minutes: Any = LENGTHS[0], level: Any = LEVELS[0]) -> Script:
    """The script of a lesson for 10 or 45 minutes, for learners who are "new" or "practised"."""
    lesson, level = read_choice(lesson, lessons(), "lesson"), read_choice(level, LEVELS, "level")
    if isinstance(minutes, bool) or minutes not in LENGTHS:
        raise InputError("minutes", f"{minutes!r:.40} is no length of a script.", "Take 10 or 45.", kind="choice")
    row = _scripts()[lesson]
    moves = [_move(step) for step in row["step"] if step.get("level", level) == level]
    chosen = [move for move in moves if move.short] if minutes == LENGTHS[0] else moves
    return Script(lesson, minutes, level, row["aim"], tuple(row["words"]), tuple(chosen))


def _move(row: Mapping[str, Any]) -> Move:
    lists: Mapping[str, Sequence[Any]] = {key: tuple(row[key]) for key in ("choices", "wrong")}
    factors = tuple((low, high) for low, high in row["factors"])
    return Move(**{**row, **lists, "factors": factors})
