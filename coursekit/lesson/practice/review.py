"""A review days later: exercises of earlier lessons mixed, failed ones first, with numbers of their own."""

from __future__ import annotations

import contextlib
from collections.abc import Iterable
from datetime import datetime, timedelta

from coursekit import keeping
from coursekit.lesson.content.declared import all_exercises
from coursekit.lesson.learner import seed as own_seed
from coursekit.lesson.learner.progress import Event, Progress
from coursekit.lesson.practice.attempt import Attempt
from coursekit.lesson.screen.displayed import Displayed
from coursekit.quantities import InputError

MOST = 5
AFTER = timedelta(days=1)  # a passed one is asked again


class Review(Displayed):
    """`attempts` are what is due today; the same all day, whenever it is opened."""

    def __init__(self, progress: Progress | None = None) -> None:
        file, now = progress or Progress(), keeping.now()
        events: list[Event] = []
        with contextlib.suppress(InputError):  # the first cell says what is wrong with the file
            events = file.events("try")
        seed = f"{own_seed.seed()}/review/{now:%Y-%m-%d}"
        today = {event.key: None for event in events if event.seed == seed}
        earlier = [event for event in events if event.seed != seed]
        keys = list(dict.fromkeys([*today, *due(earlier, now)]))[: max(MOST, len(today))]
        self.attempts = [Attempt(all_exercises()[key], file, seed) for key in keys]

    @property
    def intro(self) -> str:
        """What stands above the questions."""
        if not self.attempts:
            return "Nothing to review yet. Come back a day after you have answered exercises, or failed some."
        return "From earlier lessons, with new numbers. What you failed comes first."

    @property
    def words(self) -> str:
        """The review in plain text."""
        return "\n".join([self.intro, *(attempt.words for attempt in self.attempts)])

    def __repr__(self) -> str:
        return self.words


def due(events: Iterable[Event], now: datetime) -> list[str]:
    """Exercises to ask again: those whose last try failed, then those passed a day ago or more, oldest first.

    Two of one lesson come after one of each other; half of the first five are decisions where there are so many.
    """
    last = {event.key: event for event in events if event.key in all_exercises()}  # the last try of each
    failed = [key for key, event in last.items() if event.outcome != "passed"]
    old = [key for key, event in last.items() if event.outcome == "passed" and _long_ago(event.at, now)]
    found = [key for group in (failed, old) for key in _mixed(sorted(group, key=lambda one: last[one].at))]
    decisions = [key for key in found if _decides(key)]
    numbers = [key for key in found if not _decides(key)]
    room = max(MOST - len(decisions), MOST // 2)  # for numbers, so that half are decisions
    first = {*numbers[:room], *decisions[: MOST - min(room, len(numbers))]}
    return [key for key in found if key in first] + [key for key in found if key not in first]


def _long_ago(at: str, now: datetime) -> bool:
    """Whether it is a day ago or more; what a damaged file says of a date may be anything, and is asked again."""
    try:
        return now - datetime.fromisoformat(at) >= AFTER
    except (ValueError, TypeError):
        return True


def _mixed(keys: list[str]) -> list[str]:
    """One of each lesson, then the second of each, and so on."""
    seen: dict[str, int] = {}
    ranks = []
    for key in keys:
        lesson = key.rpartition("-")[0]
        seen[lesson] = seen.get(lesson, 0) + 1
        ranks.append(seen[lesson])
    return [key for _, key in sorted(zip(ranks, keys, strict=True), key=lambda pair: pair[0])]


def _decides(key: str) -> bool:
    return bool(all_exercises()[key].question("1").choices)
