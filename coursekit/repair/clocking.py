"""A plan by the clock: its steps fitted to hours and forecast, and written with the waits that come of it."""

from __future__ import annotations

from coursekit.repair import timetable, waiting
from coursekit.repair.damage import Damage
from coursekit.repair.forecast import Weather
from coursekit.repair.outline import SHORTEST_FLASH, Outline, Planned, filled_at
from coursekit.repair.playing import Replay


def fitted_to(played: Replay, damage: Damage) -> timetable.Timetable | timetable.Unfit:
    """Its steps by the clock of the hours that are given, each wait as long as its film needs in the weather then."""
    recipe = played.recipe
    waits = waiting.least(played, recipe, filled_at(damage))
    flashes = waiting.flashes(played, recipe, SHORTEST_FLASH)
    if not damage.hours:
        return timetable.at_once(played, waits, flashes)
    return timetable.fit(played, damage.hours, Weather(recipe), waits, flashes=flashes)


def by_the_clock(made: Outline, fitted: timetable.Timetable, begins: bool = True) -> Outline:
    """The steps with each wait as long as it is by the clock, and a wait where a day's work ends without one."""
    steps: list[Planned] = []
    found = fitted.written()
    for number, step in enumerate(made.steps, 1):
        if (minutes := found.breaks.get(number)) is not None:
            steps.append(Planned({"do": "wait", "time": waiting.written(minutes)}, timetable.WORK_GOES_ON))
        if (minutes := found.waits.get(number)) is not None:
            step = step._replace(
                table={**step.table, "time": waiting.written(minutes)},
                why=waiting.reason(step.why, found.told[number]),
            )
        if (flash := found.flashes.get(number)) is not None:
            step = step._replace(table={**step.table, "flash": f"{flash} min"})
        steps.append(step)
    start = {"start": found.start} if begins else {}
    tables = {**made.tables, **start, "step": [step.table for step in steps]}
    return Outline(tables, tuple(steps))
