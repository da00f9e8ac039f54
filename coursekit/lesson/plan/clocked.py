"""The waits of a plan made anew after a change, and its start: as long as films need and hours of work ask."""

from __future__ import annotations

from coursekit.lesson.plan.draft import Draft
from coursekit.lesson.plan.editing import Editing
from coursekit.lesson.plan.entries import Table
from coursekit.lesson.plan.playable import Standing
from coursekit.repair import timetable, waiting
from coursekit.repair.forecast import Weather
from coursekit.repair.outline import SHORTEST_FLASH, filled_at
from coursekit.repair.timetable import BREAK, WORK_GOES_ON, Written

START = ("day", "at")


class Clocked(Editing):
    """A plan that is changed, and whose clock goes with it."""

    def __init__(self) -> None:
        super().__init__()
        self.unfit = ""  # why no start fits the hours of work
        self.waits_anew: tuple[int, ...] = ()  # waits that the last change made anew

    def _read(self, preview: bool = False) -> None:
        """Play it, and make the waits anew where they no longer fit films, weather or hours."""
        super()._read(preview)
        if preview or self.good.rough or not (self.draft.planned and self.draft.steps and self.as_played):
            return
        before, picked = _waits(self.draft), self.table
        self.unfit = fitted(self.draft, self.good)
        after = _waits(self.draft)
        self.waits_anew = tuple(
            number for number, table in enumerate(self.draft.steps, 1) if after.get(table.id) != before.get(table.id)
        )
        if before != after:
            ids = [table.id for table in self.draft.steps]
            if self.number:
                self.picked = ids.index(picked.id) + 1 if picked.id in ids else min(self.number, len(ids))
            super()._read()


def _waits(draft: Draft) -> dict[int, str]:
    """What is written of the clock: each wait, and under 0 the start."""
    waits = {table.id: table.written.get("time", "") for table in draft.steps if table.kind == "wait"}
    waits |= {table.id: table.written.get("flash", "") for table in draft.steps if table.kind == "spray"}
    return {**waits, 0: str(draft.given["start"].written)}


def fitted(draft: Draft, good: Standing) -> str:
    """Write the waits and the start that fit what is played into the draft; why none fits, in words, or nothing.

    A wait or a flash that was typed stays as it is, and so does a start. A wait that no step was proposed for is not
    touched.
    """
    played, damage = good.played, draft.damage()
    assert played is not None
    own = {number: table for number, table in enumerate(draft.steps, 1) if table.kind == "wait"}
    free = {number for number, table in own.items() if table.why and "time" not in table.typed}
    recipe = played.recipe
    asked = {
        number: one for number, one in waiting.least(played, recipe, filled_at(damage)).items() if number in free
    }
    flashes = {
        number: one
        for number, one in waiting.flashes(played, recipe, SHORTEST_FLASH).items()
        if draft.steps[number - 1].why and "flash" not in draft.steps[number - 1].typed
    }
    begins = draft.given["start"]
    held = not damage.hours or any(key in begins.typed for key in START)
    if damage.hours:
        start = recipe.start if held else None
        found = timetable.fit(played, damage.hours, Weather(recipe), asked, start, flashes)
    else:
        found = timetable.at_once(played, asked, flashes)
    if isinstance(found, timetable.Unfit):
        return found.text()
    written = found.written({n: played[n - 1].used.time for n in own if n not in free})
    if not held:
        begins.written |= written.start
    if not damage.hours and recipe.forecast is None:  # neither hours nor weather stretch a wait
        waits = {row.number: waiting.whole(row.least) for row in found.rows if row.number in free}
        written = written._replace(waits=waits, breaks={})
    _write(draft, written, own)
    return ""


def _write(draft: Draft, found: Written, own: dict[int, Table]) -> None:
    """Waits and flashes by their numbers, and breaks before other steps; a break that is over is taken out."""
    minutes, breaks = found.waits, found.breaks
    steps: list[Table] = []
    for number, table in enumerate(draft.steps, 1):
        if number in breaks:
            steps.append(Table("wait", {"time": waiting.written(breaks[number])}, why=WORK_GOES_ON))
        if number in minutes:
            if own[number].why == WORK_GOES_ON and 60 * minutes[number] < BREAK:
                continue
            table.written["time"] = waiting.written(minutes[number])
            table.why = waiting.reason(table.why, found.told[number])
        if number in found.flashes:
            table.written["flash"] = f"{found.flashes[number]} min"
        steps.append(table)
    draft.steps[:] = steps
