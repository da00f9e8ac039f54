"""The same repair by many hands, and a repair over a range of settings: with progress, to be stopped at any time."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import FIRST_COMPLETED, Executor, Future, wait
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from coursekit.markup import tag
from coursekit.nomenclature import System
from coursekit.quantities import InputError, read_choice
from coursekit.repair.comparing import with_changes
from coursekit.repair.outcome import NAMES, Outcome, figure_words, outcome_of
from coursekit.repair.playing import RecipeLike, as_recipe, replay
from coursekit.repair.recipe import Recipe, with_hand
from coursekit.uncertain import Band

USUAL_VARIATION = 0.15  # of pressure, overlap and speed, when the recipe's hand is steady (assumed)
MOST_RUNS = 10_000
IN_FLIGHT = 64  # runs that an executor holds at once: a stop need not wait for all
Progress = Callable[[int, int], Any]


class Run(NamedTuple):
    """One run: what it came to, and the steps after which it was not yet; or why it could not be played."""

    outcome: Outcome | None
    not_yet: tuple[int, ...]
    failed: str = ""


@dataclass(frozen=True)
class Repeats:
    """One repair by many hands. `wanted` were asked for; when stopped, `runs` holds those that were done."""

    recipe: Recipe
    wanted: int
    runs: tuple[Run, ...]

    def __len__(self) -> int:
        return len(self.runs)

    def values(self, figure: str) -> np.ndarray:
        """(runs,) SI values of one figure of the outcome."""
        read_choice(figure, Outcome._fields, "figure")
        return np.array([getattr(run.outcome, figure) for run in self.runs if run.outcome is not None])

    def band(self, figure: str) -> Band:
        """5, 50 and 95 % of one figure over the hands, SI; nan where there is nothing to tell."""
        values = self.values(figure)
        values = values[~np.isnan(values)]
        return Band(*(np.percentile(values, [5, 50, 95]) if len(values) else [np.nan] * 3))

    def not_yet(self) -> dict[int, float]:
        """For each step that could not go on, the share of the hands to whom it happened."""
        numbers = [number for run in self.runs for number in run.not_yet]
        return {number: numbers.count(number) / len(self.runs) for number in sorted(set(numbers))}

    def text(self, system: System = "metric") -> str:
        """Bands and the steps that go wrong, in words."""
        stray = self.recipe.hand["variation"]
        lines = [f"{len(self)} of {self.wanted} hands that vary by {stray:.0%}: 5, 50 and 95 % of them come to"]
        for figure, (label, _) in NAMES.items():
            ends = [figure_words(figure, value, system) for value in self.band(figure)]
            lines.append(f"      {label}: {' · '.join(ends) if len(set(ends)) > 1 else ends[0]}")
        for number, share in self.not_yet().items():
            lines.append(f"      not yet after step {number} ({self.recipe.steps[number - 1].words}): {share:.0%}")
        return "\n".join(lines)

    def __str__(self) -> str:
        return self.text()

    def _repr_html_(self) -> str:
        return tag("pre", self.text())


class Point(NamedTuple):
    """One setting of a sweep and its run."""

    settings: Mapping[tuple[str | int, ...], Any]
    run: Run


@dataclass(frozen=True)
class Sweep:
    """A repair over a range of settings; when stopped, `points` holds those that were done."""

    recipe: Recipe
    wanted: int
    points: tuple[Point, ...]

    def __len__(self) -> int:
        return len(self.points)

    def table(self, *figures: str, system: System = "metric") -> list[tuple[str, ...]]:
        """Rows of words: the settings, then the figures of the outcome (all unless named)."""
        for figure in figures:
            read_choice(figure, Outcome._fields, "figure")
        names = figures or Outcome._fields
        rows: list[tuple[str, ...]] = []
        if self.points:
            head = [" ".join(map(str, where)) for where in self.points[0].settings]
            rows.append((*head, *(NAMES[name][0] for name in names)))
        for settings, run in self.points:
            told = [figure_words(n, getattr(run.outcome, n), system) if run.outcome else run.failed for n in names]
            rows.append((*(str(value) for value in settings.values()), *told))
        return rows


def repeats(
    recipe: RecipeLike, number: int, progress: Progress | None = None, executor: Executor | None = None
) -> Repeats:
    """Play a repair with many hands, each with its own luck, and give the bands of what it comes to.

    recipe    a recipe, its replay or the path of its file; a steady hand is made to stray by 15 %
    number    1 to 10 000 hands
    progress  called as progress(done, number); when it returns False, no more are begun
    executor  a concurrent.futures executor, to share the work
    A keyboard interrupt stops it too. What was done by then is kept and given.
    """
    base = as_recipe(recipe)
    number = _count(number)
    variation = base.hand["variation"] or USUAL_VARIATION
    first = int(base.hand["seed"])
    hands = (with_hand(base, first + extra, variation) for extra in range(number))
    done = _run_all(hands, number, progress, executor, remember=False)
    return Repeats(with_hand(base, first, variation), number, tuple(run for _, run in sorted(done.items())))


def sweep(
    recipe: RecipeLike,
    over: Mapping[tuple[str | int, ...], Sequence[Any]],
    progress: Progress | None = None,
    executor: Executor | None = None,
) -> Sweep:
    """Play a repair over all combinations of some settings.

    recipe    a recipe, its replay or the path of its file
    over      {("step", 6, "force"): ["10 N", "20 N"], …}; steps count from 1
    progress  called as progress(done, number); when it returns False, no more are begun
    executor  a concurrent.futures executor, to share the work
    A setting that cannot be read raises InputError at once; one that cannot be played is kept with its reason.
    """
    base = as_recipe(recipe)
    combinations = _combinations(over)
    recipes = [with_changes(base, settings) for settings in combinations]
    done = _run_all(iter(recipes), len(recipes), progress, executor, remember=executor is None)
    return Sweep(base, len(recipes), tuple(Point(combinations[n], run) for n, run in sorted(done.items())))


def _count(number: Any) -> int:
    if isinstance(number, bool) or not isinstance(number, (int, np.integer)) or not 1 <= number <= MOST_RUNS:
        raise InputError(
            "number", "is not a count of hands.", f"Give a whole number from 1 to {MOST_RUNS}.", kind="count"
        )
    return int(number)


def _combinations(over: Any) -> list[dict[tuple[str | int, ...], Any]]:
    how = 'Give {("step", 6, "force"): ["10 N", "20 N"]}.'
    if not isinstance(over, Mapping) or not over:
        raise InputError("over", "is not a table of settings.", how, kind="other type")
    count = 1
    for where, values in over.items():
        if not isinstance(where, tuple) or not where or not isinstance(values, (list, tuple)) or not values:
            raise InputError(
                "over", f"{str(where)[:60]} is not a place in the recipe with a list of values.", how, kind="unknown"
            )
        count *= len(values)
    if count > MOST_RUNS:
        raise InputError("over", f"has {count} combinations.", f"Take at most {MOST_RUNS}.", kind="count")
    return [dict(zip(over, values, strict=True)) for values in itertools.product(*over.values())]


# --- running -----------------------------------------------------------------------------------------------


def run_one(recipe: Recipe, remember: bool = False) -> Run:
    """One recipe played, down to its figures: small enough to send between processes."""
    try:
        played = replay(recipe, remember)
    except InputError as error:
        return Run(None, (), str(error))
    return Run(outcome_of(played), tuple(entry.step.number for entry in played.not_yet))


def _run_all(
    recipes: Iterator[Recipe], number: int, progress: Progress | None, executor: Executor | None, remember: bool
) -> dict[int, Run]:
    done: dict[int, Run] = {}

    def go_on() -> bool:
        return progress is None or progress(len(done), number) is not False

    try:
        if executor is None:
            for place, recipe in enumerate(recipes):
                done[place] = run_one(recipe, remember)
                if not go_on():
                    break
        else:
            _share(recipes, executor, done, go_on)
    except KeyboardInterrupt:
        pass  # what is done is kept
    return done


def _share(recipes: Iterator[Recipe], executor: Executor, done: dict[int, Run], go_on: Callable[[], bool]) -> None:
    waiting: dict[Future[Run], int] = {}
    places = enumerate(recipes)
    try:
        for _ in range(IN_FLIGHT):
            _begin(places, executor, waiting)
        while waiting:
            for future in wait(waiting, return_when=FIRST_COMPLETED).done:
                done[waiting.pop(future)] = future.result()
                if not go_on():
                    return
                _begin(places, executor, waiting)
    finally:
        for future in waiting:
            future.cancel()


def _begin(places: Iterator[tuple[int, Recipe]], executor: Executor, waiting: dict[Future[Run], int]) -> None:
    for place, recipe in itertools.islice(places, 1):
        waiting[executor.submit(run_one, recipe)] = place
