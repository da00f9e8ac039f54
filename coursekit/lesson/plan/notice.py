"""What a button of the plan form did, or why it did nothing."""

from __future__ import annotations

from typing import Literal, NamedTuple

from coursekit.errors import InputError, Problem, Voice, place, say
from coursekit.lesson.learner import unit_system

NoticeKind = Literal["", "done", "sheet", "refused", "taken"]


class Notice(NamedTuple):
    """What a button did, or why it did nothing; "taken" when a file of that name is there."""

    kind: NoticeKind
    text: str


NOTHING = Notice("", "")


def _thing(problem: Problem) -> str:
    """What a button was pressed for, as the head of a sentence; a file is called as it is."""
    named = place(problem)
    return f"{named[:1].upper() + named[1:] if named.isalpha() else named}:"


def refused(error: InputError) -> str:
    """What a button says of what it cannot do, in the units that are shown."""
    voice = Voice(_thing, lambda one: one.value or one.key, unit_system.chosen())
    return " ".join(say(problem, voice) for problem in error.problems)
