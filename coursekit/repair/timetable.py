"""A repair by the clock of people: when it may begin, what is done in which working hours, which waits fall at night.

timetable.fit(played, damage.hours)   the start that fits, and every step by the clock; or why none fits
timetable.of(played)                  the same of a recipe that says when it begins

Work is done in working hours, a wait goes on through the night, and what must follow at once – cleaning, masking and
the coats over them – is not torn apart. A wait may be longer than it need be, but for one: between two films that are
not sanded the next one has to come before the recoat window closes.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import NamedTuple

from coursekit.repair.damage import Hours
from coursekit.repair.entry import Entry, FillEntry, SandEntry, SprayEntry
from coursekit.repair.forecast import DAY, Weather
from coursekit.repair.playing import Replay
from coursekit.repair.steps import Clean, Mask, Spray, Wait
from coursekit.repair.waiting import Asked, whole
from coursekit.repair.words import DAYS, clock, time_words, week_words

WEEK = 7 * DAY
GRAIN = 900.0  # s: people begin on the quarter of an hour
MOST_WEEKS = 8
LATE = 600.0  # s before the end of working hours at which the last work of a spell is done (assumed)
SLACK = 1.1  # times the work that is planned for it (assumed): nobody works like a clock
BREAK = 1800.0  # s between two steps from which on the plan says that it waits
WORK_GOES_ON = "work goes on in the next hours for it"
EVENING, MORNING = 22 * 3600.0, 6 * 3600.0  # s after midnight
Allowed = Callable[[float, float], bool]
Waits = Mapping[int, Asked | None]


class Stint(NamedTuple):
    """Steps that are done in one go: from and to (numbers), s of work, the wait before, and how long that may be."""

    first: int
    last: int
    takes: float
    after: float = 0.0
    within: float = math.inf
    sprays: bool = False
    asked: tuple[Asked, ...] = ()  # what films need before it, by the weather of the hour
    flashes: tuple[tuple[int, Asked], ...] = ()  # between its coats: how many, and what they need; not in `takes`

    def waits(self, laid: float) -> float:
        """How long the step before it is left, s, when that is done at this time of the clock."""
        return self.after + sum(one.after(laid) for one in self.asked)

    def lasts(self, begins: float) -> float:
        """How long it takes when it begins then, s."""
        return self.takes + sum(count * one.after(begins) for count, one in self.flashes)

    @property
    def shortest(self) -> float:
        """How long it takes at the hour of the day that makes it shortest, s."""
        return min(self.lasts(hour * DAY / 24) for hour in range(24)) if self.flashes else self.takes


class TimedStep(NamedTuple):
    """One step by the clock, s from Monday 00:00.

    least   how long a wait has to be, s
    told    what the forecast makes of a wait, in words
    flash   between the coats of this step by the forecast, s
    """

    number: int
    words: str
    begins: float
    ends: float
    waits: bool
    least: float = 0.0
    told: str = ""
    flash: float | None = None

    @property
    def at_night(self) -> bool:
        """Whether some of it falls between evening and morning."""
        return self.waits and any(
            self.begins < night + MORNING + DAY - EVENING and self.ends > night for night in _evenings(self.begins)
        )


class Written(NamedTuple):
    """A timetable as a recipe writes it: the start, minutes of each wait, and of the breaks before other steps.

    flashes  minutes between the coats of a step that a forecast changes
    told     what the forecast makes of each wait, in words
    """

    start: dict[str, str]
    waits: dict[int, int]
    breaks: dict[int, int]
    flashes: dict[int, int]
    told: dict[int, str]


class Timetable(NamedTuple):
    """A repair by the clock."""

    rows: tuple[TimedStep, ...]

    @property
    def begins(self) -> float:
        return self.rows[0].begins

    @property
    def ends(self) -> float:
        """The end of the last work."""
        return max(row.ends for row in self.rows if not row.waits)

    @property
    def at_night(self) -> tuple[int, ...]:
        """The waits that fall in the night."""
        return tuple(row.number for row in self.rows if row.at_night)

    def written(self, held: Mapping[int, float] = MappingProxyType({})) -> Written:
        """Each wait as long as it is by the clock, and a break where a day's work ends without one.

        held  waits that stay as they are, s: where one is too short, a break follows
        """
        waits: dict[int, int] = {}
        breaks: dict[int, int] = {}
        time = self.begins  # of the clock as the steps alone make it: a wait takes up what they fall short of
        for row in self.rows:
            if row.number in held:
                time += held[row.number]
            elif row.waits:
                waits[row.number] = max(whole(row.ends - time), whole(row.least))
                time += 60 * waits[row.number]
            else:
                if row.begins - time >= BREAK:
                    breaks[row.number] = whole(row.begins - time)
                    time += 60 * breaks[row.number]
                time += row.ends - row.begins
        day, rest = divmod(round(self.begins), round(DAY))
        flashes = {row.number: math.ceil(row.flash / 60) for row in self.rows if row.flash is not None}
        told = {row.number: row.told for row in self.rows if row.waits}
        return Written({"day": DAYS[day % 7], "at": clock(rest // 60)}, waits, breaks, flashes, told)

    def lines(self) -> Iterator[str]:
        """The timetable in words: what is done in which hours of which day."""
        for spell in self.spells():
            first, last = spell[0], spell[-1]
            steps = f"step {first.number}" if first is last else f"steps {first.number} to {last.number}"
            yield f"{week_words(first.begins)} to {week_words(last.ends, first.begins)}: {steps}"
        if self.at_night:
            one = len(self.at_night) == 1
            numbers = ", ".join(map(str, self.at_night))
            yield f"The wait{'s' * (not one)} of step{'s' * (not one)} {numbers} run{'s' * one} through a night."

    def spells(self) -> Iterator[list[TimedStep]]:
        """Rows with no night between them, without the waits at their ends."""
        spell: list[TimedStep] = []
        for row in self.rows:
            if row.waits and (row.at_night or row.ends - row.begins > DAY / 2):
                if any(not one.waits for one in spell):
                    yield spell
                spell = []
            else:
                spell.append(row)
        if any(not one.waits for one in spell):
            yield spell


class Unfit(NamedTuple):
    """Why a repair does not fit working hours, and what would make it fit."""

    words: str
    possible: str

    def text(self) -> str:
        return f"{self.words}. {self.possible}"


def _evenings(time: float) -> tuple[float, float]:
    evening = (time // DAY) * DAY + EVENING
    return evening - DAY, evening


# --- what is to be done ------------------------------------------------------------------------------------


def work_of(
    replay: Replay, waits: Waits = MappingProxyType({}), flashes: Mapping[int, Asked] = MappingProxyType({})
) -> tuple[Stint, ...]:
    """The steps of a repair in tasks, each with the wait before it; `waits` count in place of those it has."""
    weather = Weather(replay.recipe)
    tasks: list[Stint] = []
    wait, film, sanded = 0.0, None, True
    asked: list[Asked] = []
    held: list[Entry] = []  # cleaned or masked, for the film that follows
    for entry in replay:
        if isinstance(entry.step, Wait):
            if held:
                tasks.append(_task(held, wait, asked, flashes))
                held, asked, wait = [], [], 0.0
            if entry.step.number not in waits:
                wait += entry.used.time
            elif (one := waits[entry.step.number]) is not None:
                asked.append(one)
            continue
        held.append(entry)
        adds = isinstance(entry, (SprayEntry, FillEntry))
        if isinstance(entry.step, (Clean, Mask)):
            continue
        within = math.inf
        if adds and film is not None and not sanded:
            late = weather.needed(film.ended, replay.recipe.materials[film.step.brings]["recoat_until"])
            within = late.low if late is not None else 0.0
        tasks.append(_task(held, wait, asked, flashes, within))
        held, asked, wait = [], [], 0.0
        if adds:
            film, sanded = entry, False
        sanded = sanded or isinstance(entry, SandEntry)
    if held:
        tasks.append(_task(held, wait, asked, flashes))
    return tuple(tasks)


def _task(
    entries: Sequence[Entry],
    after: float,
    asked: Sequence[Asked],
    flashes: Mapping[int, Asked],
    within: float = math.inf,
) -> Stint:
    sprays = any(isinstance(entry, SprayEntry) for entry in entries)
    dries = [one.step for one in entries if isinstance(one.step, Spray) and one.step.number in flashes]
    takes = SLACK * (sum(entry.used.time for entry in entries) - sum((one.coats - 1) * one.flash for one in dries))
    needs = tuple((one.coats - 1, flashes[one.number]) for one in dries)
    return Stint(entries[0].step.number, entries[-1].step.number, takes, after, within, sprays, tuple(asked), needs)


def of(replay: Replay) -> Timetable | None:
    """The timetable of a repair that says when it begins; None of one that does not."""
    start = replay.recipe.start
    if start is None:
        return None
    return Timetable(
        tuple(
            TimedStep(
                entry.step.number,
                entry.step.words,
                start + entry.began,
                start + entry.ended,
                isinstance(entry.step, Wait),
            )
            for entry in replay
        )
    )


# --- fitting it --------------------------------------------------------------------------------------------


def fit(
    replay: Replay,
    hours: Sequence[Hours],
    weather: Weather | None = None,
    waits: Waits = MappingProxyType({}),
    start: float | None = None,
    flashes: Mapping[int, Asked] = MappingProxyType({}),
) -> Timetable | Unfit:
    """The start with which the last work is done soonest after the first, and all steps by the clock.

    weather  with a forecast nothing is sprayed in an hour that points away from it
    waits    number of a wait → what it has to be, in place of how long it is
    start    s from Monday 00:00, where it is settled
    flashes  number of a step → what the flash between its coats has to be, in place of what it is
    """
    tasks = work_of(replay, waits, flashes)
    spells = [(begin, end - LATE) for begin, end in joined(hours) if end - begin > LATE]
    longest = max((end - begin for begin, end in spells), default=0.0)
    for task in tasks:
        if task.shortest > longest:
            return Unfit(
                f"{_steps(task)} need {time_words(task.shortest)} at a stretch, and the longest spell of work is "
                f"{time_words(longest)}",
                "Give a longer one, or a smaller area to each step.",
            )

    def allowed(begin: float, end: float) -> bool:
        return weather is None or not weather.against(begin - weather.begins, end - weather.begins)

    tried: list[tuple[float, float, list[float]]] = []
    failed: dict[int, int] = {}
    for begin, end in spells:
        for first in _quarters(begin, end) if start is None else (start,):
            placed = _placed(tasks, first, spells, allowed)
            if isinstance(placed, int):
                failed[placed] = failed.get(placed, 0) + 1
            else:
                tried.append((placed[-1] + tasks[-1].lasts(placed[-1]) - first, first, placed))
    if not tried:
        task = tasks[max(failed, key=lambda one: failed[one])]
        if task.within < math.inf:
            return Unfit(
                f"{_steps(task)} must follow within {time_words(task.within)}, and no working hours come so soon",
                "Give a longer spell of work, so that both films are laid in one.",
            )
        return Unfit(
            f"no start was found with which {_steps(task).lower()} fall into working hours and fair weather",
            "Give more hours, hold the garage warm without a flame, or take a booth.",
        )
    placed = min(tried, key=lambda one: one[:2])[2]
    return Timetable(tuple(_rows(replay, tasks, placed, waits, flashes)))


def at_once(replay: Replay, waits: Waits, flashes: Mapping[int, Asked] = MappingProxyType({})) -> Timetable | Unfit:
    """Every step by the clock of who works whenever film and weather are ready, from when the recipe begins."""
    always = [Hours(day=day, begins=0.0, ends=DAY) for day in range(7)]
    weather = Weather(replay.recipe)
    return fit(replay, always, weather, waits, weather.begins, flashes)


def joined(hours: Sequence[Hours]) -> tuple[tuple[float, float], ...]:
    """The spells of work of a week, s from Monday 00:00, in their order; what touches is one."""
    found: list[tuple[float, float]] = []
    for begin, end in sorted((one.day * DAY + one.begins, one.day * DAY + one.ends) for one in hours):
        if found and begin <= found[-1][1] + 60:
            found[-1] = found[-1][0], max(end, found[-1][1])
        else:
            found.append((begin, end))
    return tuple(found)


def _quarters(begin: float, end: float) -> Iterator[float]:
    time = begin
    while time < end:
        yield time
        time += GRAIN


def _placed(
    tasks: Sequence[Stint], start: float, spells: Sequence[tuple[float, float]], allowed: Allowed
) -> list[float] | int:
    """When each task begins, or the number of the first that has no place."""
    found: list[float] = []
    time = start
    for number, task in enumerate(tasks):
        waits = task.waits(time)
        if math.isinf(waits):
            return number
        earliest = time + waits
        begin = _next(task, earliest, spells, allowed)
        if begin is None or begin - time > task.within or (number == 0 and begin != start):
            return number
        found.append(begin)
        time = begin + task.lasts(begin)
    return found


def _next(task: Stint, earliest: float, spells: Sequence[tuple[float, float]], allowed: Allowed) -> float | None:
    for week in range(int(earliest // WEEK), int(earliest // WEEK) + MOST_WEEKS):
        for begin, end in spells:
            time = max(begin + week * WEEK, earliest)
            while time + task.takes <= end + week * WEEK + 1e-6:
                ends = time + task.lasts(time)
                if ends <= end + week * WEEK + 1e-6 and (not task.sprays or allowed(time, ends)):
                    return time
                time = (time // GRAIN + 1) * GRAIN
    return None


def _steps(task: Stint) -> str:
    return f"Step {task.first}" if task.first == task.last else f"Steps {task.first} to {task.last}"


def _rows(
    replay: Replay,
    tasks: Sequence[Stint],
    placed: Sequence[float],
    asked: Waits,
    flashes: Mapping[int, Asked],
) -> Iterator[TimedStep]:
    begins = {task.first: begin for task, begin in zip(tasks, placed, strict=True)}
    time = placed[0]
    entries = list(replay)
    for place, entry in enumerate(entries):
        number = entry.step.number
        time = max(time, begins.get(number, time))
        waits = isinstance(entry.step, Wait)
        takes, told, flash = entry.used.time, "", None
        if waits and number in asked:
            one = asked[number]
            takes = one.after(time) if one is not None else 0.0
            told = one.told(takes) if one is not None else ""
        elif number in flashes and isinstance(entry.step, Spray):
            flash = flashes[number].after(time)
            takes += (entry.step.coats - 1) * (flash - entry.step.flash)
        least = takes if waits else 0.0
        if waits:  # the last of several waits takes up what is left until the next task
            following = next((begins[e.step.number] for e in entries[place + 1 :] if e.step.number in begins), None)
            last = place + 1 == len(entries) or not isinstance(entries[place + 1].step, Wait)
            takes = takes if following is None or not last else max(takes, following - time)
        yield TimedStep(number, entry.step.words, time, time + takes, waits, least, told, flash)
        time += takes
