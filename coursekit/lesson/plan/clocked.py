"""The waits of a plan made anew after a change, and its start: as long as films need and hours of work ask."""

from __future__ import annotations

from coursekit.lesson.plan.draft import Draft
from coursekit.lesson.plan.entries import Table
from coursekit.lesson.plan.playable import Standing
from coursekit.repair import timetable, waiting
from coursekit.repair.forecast import Weather
from coursekit.repair.timetable import BREAK, WORK_GOES_ON

START = ("day", "at")


def fitted(draft: Draft, good: Standing) -> str:
    """Write the waits and the start that fit what is played into the draft; why none fits, in words, or nothing.

    A wait that was typed stays as it is, and so does a start. A wait that no step was proposed for is not touched.
    """
    played, damage = good.played, draft.damage()
    assert played is not None
    own = {number: table for number, table in enumerate(draft.steps, 1) if table.kind == "wait"}
    free = {number for number, table in own.items() if table.why and "time" not in table.typed}
    asked = {
        number: seconds
        for number, seconds in waiting.least(played, played.recipe, damage.garage.temperature).items()
        if number in free
    }
    if not damage.hours:
        _write(draft, {number: waiting.whole(seconds) for number, seconds in asked.items()}, {}, own)
        return ""
    begins = draft.given["start"]
    held = any(key in begins.typed for key in START)
    found = timetable.fit(played, damage.hours, Weather(played.recipe), asked, played.recipe.start if held else None)
    if isinstance(found, timetable.Unfit):
        return found.text()
    written = found.written({n: played[n - 1].used.time for n in own if n not in free})
    if not held:
        begins.written |= written.start
    _write(draft, written.waits, written.breaks, own)
    return ""


def _write(draft: Draft, minutes: dict[int, int], breaks: dict[int, int], own: dict[int, Table]) -> None:
    """Waits by their numbers, and breaks before other steps; a break that is over is taken out."""
    steps: list[Table] = []
    for number, table in enumerate(draft.steps, 1):
        if number in breaks:
            steps.append(Table("wait", {"time": waiting.written(breaks[number])}, why=WORK_GOES_ON))
        if number in minutes:
            if own[number].why == WORK_GOES_ON and 60 * minutes[number] < BREAK:
                continue
            table.written["time"] = waiting.written(minutes[number])
        steps.append(table)
    draft.steps[:] = steps
