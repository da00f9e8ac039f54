"""Set tasks and their judge: a damage, a garage and its weather are given, and a recipe of the learner's is replayed.

for task in judging.tasks():
    print(task.brief())
print(judging.judge("door", "my_recipe.toml"))    what holds, what fails, how far it is from the best that was found

What was found best lies beside each task as a recipe, proposed by this course: a better one may exist.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator
from dataclasses import dataclass
from importlib import resources
from pathlib import Path
from typing import Any

from coursekit.nomenclature import System
from coursekit.panel.state import cells_of
from coursekit.quantities import InputError, read_choice, shown
from coursekit.repair import damage as damages
from coursekit.repair import timetable
from coursekit.repair.cautioning import NOT_CLEARANCE, first_cautions
from coursekit.repair.damage import Damage
from coursekit.repair.forecast import Weather
from coursekit.repair.outline import Choice, base_tables
from coursekit.repair.plan import plan_checks
from coursekit.repair.planned import HOLDING, Figures, figures_of
from coursekit.repair.playing import RecipeLike, Replay, as_recipe, replay
from coursekit.repair.recipe import Recipe, from_document, with_hand
from coursekit.repair.steps import Spray, Wait
from coursekit.repair.words import panel_words, ruled, time_words, week_words
from coursekit.sanding.showthrough import budget_in
from coursekit.tomlfile import Document

NAMES = ("door", "bonnet", "tailgate")
AS_GOOD = 0.05  # by so much more than the best that was found a plan may take and still counts as good (assumed)
GIVEN = ("x", "y", "width", "height", "low", "down_to")  # of the damage, which a recipe may not change
LEAST_WORDS = {
    "hours": "as few hours as possible until the last of the work is done",
    "film": "as little film as possible",
    "paint": "as little paint as possible",
    "mist": "as little mist as possible",
}


@dataclass(frozen=True)
class Task:
    """One set task: its name and its damage, with garage, weather and hours."""

    name: str
    damage: Damage

    def brief(self, system: System = "metric") -> str:
        """The task in words."""
        return " ".join(self._brief(system))

    def _brief(self, system: System) -> Iterator[str]:
        place, panel, garage = self.damage.damage, self.damage.panel, self.damage.garage
        size = " by ".join(ruled(side, system) for side in (place.width, place.height))
        deep = f", {shown(place.depth, 'low_metal', system, 2)} deep" if place.depth else ""
        reaches = {"bare": "to the bare sheet", "clear": "into the clear alone"}.get(
            place.reaches, f"to the {place.reaches}"
        )
        yield f"{self.damage.title}. A {panel_words(panel.kind, system)} of {panel.made_of}; damage {size}{deep},"
        yield f"{reaches}."
        if garage.spray_at == "booth":
            yield "What is sprayed is sprayed in a painter's booth."
        else:
            warm, humid = shown(garage.temperature, "temperature", system), f"{garage.humidity:.0%}"
            there = {"yes": "there", "no": "not there"}
            yield (
                f"All is done in your own garage, at {warm} and {humid} humidity: extraction is "
                f"{there[garage.extraction]}, supplied air is {there[garage.supplied_air]}."
            )
        if self.damage.forecast.coldest is not None and self.damage.forecast.warmest is not None:
            ends = [
                shown(end, "temperature", system)
                for end in (self.damage.forecast.coldest, self.damage.forecast.warmest)
            ]
            yield f"Forecast: {ends[0]} to {ends[1]}."
        spells = [
            f"{week_words(begin)} to {week_words(end, begin)}" for begin, end in timetable.joined(self.damage.hours)
        ]
        if spells:
            yield f"You work {', '.join(spells)}."
        yield f"Wanted: {LEAST_WORDS[self.damage.wish.least]}."

    def begun(self) -> Recipe:
        """The recipe of this task with one step in it: what is given, to write the steps into."""
        tables = {**base_tables(self.damage, Choice()), "step": [{"do": "clean"}]}
        return from_document(Document.of_tables(tables, self.name))

    def best(self) -> Replay:
        """The best plan that this course found, played."""
        return _best(self.name)


@functools.lru_cache(maxsize=len(NAMES))
def _best(name: str) -> Replay:
    return replay(_folder(f"{name}_plan.toml"))


def _folder(file: str) -> Path:
    return Path(str(resources.files("coursekit") / "tables" / "tasks" / file))


@functools.lru_cache(maxsize=1)
def tasks() -> tuple[Task, ...]:
    """The set tasks, each with another solution."""
    return tuple(Task(name, damages.load(_folder(f"{name}.toml"))) for name in NAMES)


def written(name: str) -> dict[str, Any]:
    """The tables of a task's damage, as a form takes them up."""
    read_choice(name, NAMES, "task")
    return damages.read_tables(_folder(f"{name}.toml"))


@dataclass(frozen=True)
class Judgement:
    """What a replay says of a recipe for a task.

    fails  what is not right, each with its reason
    value  what there should be least of, SI; best the same of the best plan that was found
    held   of how many hands it held, when hands were asked for
    """

    task: Task
    played: Replay
    figures: Figures
    best: Figures
    held: int = 0
    hands: int = 0

    @functools.cached_property
    def fails(self) -> tuple[str, ...]:
        """In metric units."""
        return tuple(_fails(self.task, self.played, "metric"))

    @property
    def holds(self) -> bool:
        """Whether nothing fails, and nine hands in ten come through when they were asked for."""
        return not self.fails and self.held >= HOLDING * self.hands - 1e-9

    @property
    def value(self) -> float:
        return self.figures.of(self.task.damage.wish.least)

    @property
    def beyond(self) -> float:
        """By what share it takes more than the best that was found; less than nothing where it takes less."""
        return self.value / self.best.of(self.task.damage.wish.least) - 1

    def lines(self, system: System = "metric") -> Iterator[str]:
        """The judgement in words."""
        yield f"{self.task.damage.title}: {'it holds' if self.holds else 'it does not hold'}."
        fails = self.fails if system == "metric" else _fails(self.task, self.played, system)
        yield from (f"Fails – {line}" for line in fails)
        if self.hands:
            yield f"{self.held} of {self.hands} hands that vary by {self.task.damage.wish.hand:.0%} come through."
        yield from (f"Holds – {line}" for line in _kept(self.played, system))
        least = self.task.damage.wish.least
        own, best = (_said(least, one.of(least), system) for one in (self.figures, self.best))
        if not self.holds:
            yield f"It would take {own}, the best plan that was found {best}; what does not hold is not compared."
        elif self.beyond < -0.001:
            yield f"It takes {own}, less than the best plan that was found ({best}): well done."
        elif self.beyond <= AS_GOOD:
            yield f"It takes {own}, as good as the best plan that was found ({best})."
        else:
            yield f"It takes {own}, {self.beyond:.0%} more than the best plan that was found ({best})."
        yield from (f"Caution – {line}" for line in first_cautions(self.played, "isocyanate", "room", "dust"))
        yield NOT_CLEARANCE

    def text(self, system: System = "metric") -> str:
        return "\n".join(self.lines(system))

    def __str__(self) -> str:
        return self.text()


def _said(least: str, value: float, system: System) -> str:
    if least == "hours":
        return time_words(value)
    return shown(value, "film" if least == "film" else "paint_volume", system, 2)


def judge(task: str | Task, recipe: RecipeLike, hands: int = 0) -> Judgement:
    """Replay a recipe for a set task: what holds, what fails, how far it is from the best plan that was found.

    task    a Task, or its name: "door", "bonnet" or "tailgate"
    recipe  a recipe, its replay or the path of its file
    hands   number of straying hands that play it as well, 0 to 100
    Raises InputError when the recipe is for another panel, damage or garage.
    """
    if isinstance(hands, bool) or not isinstance(hands, int) or not 0 <= hands <= 100:
        raise InputError("hands", "is not a number of hands.", "Give 0 to 100.", kind="count")
    given = task if isinstance(task, Task) else _task(task)
    read = as_recipe(recipe)
    _same(given, read)
    played = replay(read)
    held = sum(
        not replay(with_hand(read, seed, given.damage.wish.hand), remember=False).not_yet
        for seed in range(1, hands + 1)
    )
    return Judgement(given, played, figures_of(played), figures_of(given.best()), held, hands)


def _task(name: str) -> Task:
    read_choice(name, NAMES, "task")
    return next(one for one in tasks() if one.name == name)


def _same(task: Task, recipe: Recipe) -> None:
    """The panel, its damage and the garage are those of the task; the width of the feather is the learner's."""
    asked = task.begun()
    own, wanted = recipe.panel["damage"] or {}, asked.panel["damage"]
    other = [f"damage.{key}" for key in GIVEN if own.get(key) != wanted[key]]
    other += [
        key for key in ("shape", "sheet", "width", "height", "old_paint") if recipe.panel[key] != asked.panel[key]
    ]
    other += [f"garage.{key}" for key, value in asked.garage.items() if recipe.garage[key] != value]
    if (recipe.forecast is None) != (asked.forecast is None):
        other.append("forecast")
    if other:
        raise InputError(
            "recipe",
            f"is for another repair: {', '.join(other)} {'is' if len(other) == 1 else 'are'} not as in the task.",
            "Begin with the task's own tables: judging.tasks()[0].begun().written.",
            kind="other type",
        )


def _fails(task: Task, played: Replay, system: System) -> Iterator[str]:
    damage = task.damage
    for entry in played.not_yet:
        yield f"step {entry.step.number}, {entry.step.words}: {entry.verdict.text(system)}"
    yield from (one.text(system) for one in plan_checks(played) if one.against)
    sprays = [entry for entry in played if isinstance(entry.step, Spray)]
    if sprays and damage.garage.spray_at == "home" and "no" in (damage.garage.extraction, damage.garage.supplied_air):
        yield (
            f"step {sprays[0].step.number} sprays in a garage without extraction and supplied air: nothing is "
            "sprayed there; polish it out, or have it sprayed in a booth"
        )
    if not any(entry.used.removed for entry in played if hasattr(entry.used, "removed")):
        yield "nothing is sanded or polished: the damage is as it was"
    elif damage.reaches == "clear" and not sprays:
        yield from _polished_out(damage.damage.depth, played, system)
    if damage.reaches != "clear" and "clear" not in played[-1].condition.film:
        yield "it ends without clear: colour and clear were gone"
    if damage.hours and played.recipe.start is not None:
        for begin, end, number in _out_of_hours(task, played):
            yield f"step {number} is done {week_words(begin)} to {week_words(end, begin)}: nobody works then"


def _polished_out(depth: float, played: Replay, system: System) -> Iterator[str]:
    """Whether as much clear came off as the scratch is deep, and no more than may."""
    where = cells_of(played.start, played.recipe.damage_area)
    before, after = (float(panel.film("old clear")[where].mean()) for panel in (played.start, played[-1].panel))
    off = before - after
    if off < depth:
        came, deep = shown(off, "removed", system, 2), shown(depth, "low_metal", system, 2)
        yield f"only {came} of clear came off over the scratch, which is {deep} deep: it is still there"
    budget = budget_in(system, before, off)
    if budget.verdict == "fail":
        yield f"over the scratch: {budget.reason}"


def _out_of_hours(task: Task, played: Replay) -> Iterator[tuple[float, float, int]]:
    begins, spells = Weather(played.recipe).begins, timetable.joined(task.damage.hours)
    for entry in played:
        begin, end = begins + entry.began, begins + entry.ended
        week = begin % timetable.WEEK
        if not isinstance(entry.step, Wait) and not any(
            first - 60 <= week and week + end - begin <= last + 60 for first, last in spells
        ):
            yield begin, end, entry.step.number


def _kept(played: Replay, system: System) -> Iterator[str]:
    going = len(played) - len(played.not_yet)
    yield f"{going} of {len(played)} verdicts say go on"
    end = played[-1].condition
    if "clear" in end.film:
        yield f"{shown(end.film['clear'].thin, 'film', system, 2)} of clear where it is thinnest"
    yield f"waves {end.waves:.2g} times what a strict eye sees; most people see ten times"
