"""What this learner has done of the exercises."""

from __future__ import annotations

from typing import Any

from coursekit.course.notebooks import notebooks
from coursekit.lesson.content.declared import all_exercises
from coursekit.lesson.learner.progress import Progress
from coursekit.lesson.practice.attempt import all_passed
from coursekit.lesson.practice.exercise import Exercise
from coursekit.lesson.screen import page
from coursekit.lesson.screen.page import Piece


def progress() -> Piece:
    """What this learner has done, in the order of the lessons: those not begun a line each, folded."""
    file = Progress()
    exercises = all_exercises()
    done = all_passed(file)
    begun, rest = [], []
    for lesson in (row for row in notebooks() if row.get("exercises")):
        keys = sorted(key for key in exercises if key.rpartition("-")[0] == lesson["exercises"])
        if any(key in done for key in keys):
            begun += [_standing(exercises[key], *done.get(key, (0, 0, False))) for key in keys]
        else:
            rest.append((lesson["file"], lesson["what"], len(keys)))
    count = f"{sum(passed for *_, passed in done.values())} of {len(exercises)} exercises passed."
    title, head = f"Lessons whose exercises you have not begun ({len(rest)})", ("lesson", "what", "exercises")
    notice = page.paragraph(file.message, "ck-error") if file.message else ""
    table, plain = (page.table(STANDING, begun), page.plain_table(STANDING, begun)) if begun else ("", "")
    text = (file.message, count, plain, title, page.plain_table(head, rest))
    return Piece(
        page.together(
            (
                page.tag("h4", "Your progress"),
                notice,
                page.paragraph(count),
                table,
                page.folded(title, page.table(head, rest)),
            )
        ),
        "\n".join(part for part in text if part),
    )


STANDING = ("exercise", "what", "state", "tries", "hints")


def _standing(exercise: Exercise, tries: int, hints: int, passed: bool) -> tuple[Any, ...]:
    state = "passed" if passed else "begun" if tries else "not yet"
    return exercise.key, exercise.title, state, tries, hints
