"""A lesson on the wall: one question and one bench at a time, the answer hidden until the hands are counted.

`ask`, `count`, `reveal`, `next` work without a browser.
"""

from __future__ import annotations

from typing import Any

from coursekit.lesson.screen import page
from coursekit.lesson.screen.displayed import Displayed
from coursekit.lesson.teaching.numbers import lesson_title
from coursekit.lesson.teaching.paper import CARE
from coursekit.lesson.teaching.script import LENGTHS, LEVELS, Move, Script, script
from coursekit.lesson.workbench.bench import Bench
from coursekit.quantities import InputError

MOST_HANDS = 500


class Wall(Displayed):
    """What the room sees. The script that goes with it is `script`, for the instructor's hand."""

    def __init__(self, lesson: Any = "01-film", minutes: Any = LENGTHS[0], level: Any = LEVELS[0]) -> None:
        self.choose(lesson, minutes, level)

    def choose(self, lesson: Any, minutes: Any, level: Any) -> None:
        """Take another lesson, length or level; it begins with the first question."""
        self.script: Script = script(lesson, minutes, level)
        self.go(0)

    def go(self, number: int) -> None:
        """Put that question: its bench stands as before the move, hands are not counted yet."""
        self.number = max(0, min(number, len(self.script.moves) - 1))
        self.revealed = False
        self.hands = dict.fromkeys(self.move.choices, 0)
        self.bench: Bench = self.move.before()

    def next(self) -> None:
        self.go(self.number + 1)

    def back(self) -> None:
        self.go(self.number - 1)

    @property
    def move(self) -> Move:
        return self.script.moves[self.number]

    @property
    def say(self) -> str:
        return self.move.told(self.move.say)

    @property
    def ask(self) -> str:
        return self.move.told(self.move.ask)

    def count(self, choice: str, hands: int) -> None:
        """So many raised their hand for this answer."""
        if choice not in self.hands:
            raise InputError(
                "hands", f"{choice!r:.60} is none of the answers.", "Take one of those on the wall.", kind="unknown"
            )
        if isinstance(hands, bool) or not isinstance(hands, int) or not 0 <= hands <= MOST_HANDS:
            raise InputError(
                "hands", f"{hands!r:.40} is no number of hands.", f"Count from 0 to {MOST_HANDS}.", kind="form"
            )
        self.hands[choice] = hands

    def reveal(self) -> None:
        """Play the move on the bench; what was before it is held beside it, to be compared."""
        if not self.revealed:
            self.bench.pin_setting()
            self.move.play(self.bench)
            self.revealed = True

    @property
    def answer(self) -> str:
        """What is right, how many said so, its figures, and why; empty until it is revealed."""
        if not self.revealed:
            return ""
        said, right = sum(self.hands.values()), self.hands[self.move.answer]
        counted = f" {right} of {said} said so." if said else ""
        return f"{self.move.answer[0].upper()}{self.move.answer[1:]}.{counted} {self.move.expected} {self.move.why}"

    @property
    def place(self) -> str:
        return f"{lesson_title(self.script.lesson)} – question {self.number + 1} of {len(self.script.moves)}"

    @property
    def words(self) -> str:
        choices = "; ".join(f"{choice} ({hands})" if hands else choice for choice, hands in self.hands.items())
        shown = f" {self.answer} {self.bench.words}" if self.revealed else ""
        return f"{self.place}. {self.say} {self.ask} Choose: {choices}.{shown} {CARE}"

    def __repr__(self) -> str:
        return self.words

    @property
    def html(self) -> str:
        """For pages without widgets: the question alone, so that an export tells no answer."""
        asked = page.paragraph(self.say) + page.tag("h4", self.ask) + page.items(self.hands)
        told = page.paragraph(self.place) + asked + (page.paragraph(self.answer) if self.revealed else "")
        return told + self.care

    @property
    def care(self) -> page.Markup:
        """That nothing is cleared, and the cautions of the lesson, folded."""
        return page.paragraph(CARE) + page.folded("Safety", self.script.cautions.html)
