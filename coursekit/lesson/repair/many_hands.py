"""One repair by many hands: played one after the other, with progress, stopped when one likes, shown as bands."""

from __future__ import annotations

import threading
from collections.abc import Callable
from functools import cached_property
from typing import Any

import numpy as np

from coursekit import repair
from coursekit.figure import Axis
from coursekit.lesson.draw.charts import Bar, Line, bars, chart, side_by_side
from coursekit.lesson.learner import unit_system
from coursekit.lesson.repair.demo_recipes import demo
from coursekit.lesson.screen import page
from coursekit.lesson.screen.displayed import Displayed
from coursekit.nomenclature import names
from coursekit.quantities import InputError, in_unit, read, read_choice
from coursekit.repair import Repeats
from coursekit.repair.outcome import NAMES, Outcome, figure_words, outcome_of
from coursekit.repair.playing import RecipeLike, as_recipe

FIGURES = ("surfacer_left", "clear_left", "broken", "metal", "waves", "time")
MOST_BARS = 6


def _percent(share: float) -> str:
    return f"{100 * share:.0f}\N{NARROW NO-BREAK SPACE}%"


class Hands(Displayed):
    """`play` plays them and waits, `start` plays them beside the notebook, `stop` ends it and keeps what is done."""

    def __init__(self, recipe: RecipeLike | None = None) -> None:
        self.recipe = demo() if recipe is None else as_recipe(recipe)
        self.found: Repeats | None = None
        self.figure = "surfacer_left"
        self.done = self.wanted = 0
        self.error = ""
        self.watchers: list[Callable[[], None]] = []
        self._stop = threading.Event()
        self._thread: threading.Thread | None = None

    @property
    def running(self) -> bool:
        return self._thread is not None and self._thread.is_alive()

    @property
    def stopping(self) -> bool:
        return self._stop.is_set()

    def play(self, number: int = 100, variation: Any = "15 %") -> Repeats | None:
        """Play the repair by so many hands that stray so much."""
        stray = float(read(variation, "hand_variation"))
        if not stray:
            raise InputError("variation", "is a hand that never varies.", 'Give "15 %".', kind="impossible")
        self._stop.clear()
        self.done, self.wanted, self.error = 0, number, ""
        hand = repair.with_hand(self.recipe, int(self.recipe.hand["seed"]), stray)
        try:
            self.found = repair.repeats(hand, number, self._count)
        except InputError as error:
            self.error = str(error)
        finally:
            self._tell()
        return self.found

    def start(self, number: int = 100, variation: Any = "15 %") -> None:
        """Play beside the notebook, so that a button can stop it."""
        if not self.running:
            self._thread = threading.Thread(target=self.play, args=(number, variation), daemon=True)
            self._thread.start()

    def stop(self) -> None:
        """No further hand is begun; those that are done are kept."""
        self._stop.set()

    def _count(self, done: int, number: int) -> bool:
        self.done = done
        self._tell()
        return not self._stop.is_set()

    def _tell(self) -> None:
        for watcher in self.watchers:
            watcher()

    def show(self, figure: str) -> Hands:
        """Choose the figure whose spread is drawn."""
        self.figure = read_choice(figure, FIGURES, "figure")
        return self

    @property
    def words(self) -> str:
        if self.error:
            return self.error
        if self.found is None or not len(self.found):
            return f"{self.recipe.title}, by many hands. Nothing is played yet: play them, and the bands stand here."
        found, system = self.found, unit_system.chosen()
        well = _percent(float(np.mean([not run.not_yet and run.outcome is not None for run in found.runs])))
        label, band = NAMES[self.figure][0], found.band(self.figure)
        ends = [figure_words(self.figure, value, system) for value in band]
        steady = figure_words(self.figure, getattr(self._steady, self.figure), system)
        spread = (
            f"{ends[1]} in the middle, nine hands of ten between {ends[0]} and {ends[2]}"
            if ends[0] != ends[2]
            else f"{ends[1]} by nine hands of ten"
        )
        words = (
            f"{len(found)} of {found.wanted} hands that vary by {_percent(found.recipe.hand['variation'])}: in "
            f"{well} of them every verdict says go on. {label[:1].upper() + label[1:]}: {spread}; "
            f"a steady hand comes to {steady}."
        )
        missed = found.not_yet()
        if not missed:
            return words
        worst = max(missed, key=lambda step: missed[step])
        return words + (
            f" Most often it is not yet after step {worst}, {found.recipe.steps[worst - 1].words}: "
            f"{_percent(missed[worst])} of the hands."
        )

    @cached_property
    def _steady(self) -> Outcome:
        return outcome_of(repair.replay(self.recipe))

    @property
    def html(self) -> str:
        if self.found is None or not len(self.found) or self.error:
            return page.paragraph(self.words, "ck-error" if self.error else "")
        return page.figure(self._picture(), self.words) + self._bands()

    def _picture(self) -> str:
        assert self.found is not None
        found, system = self.found, unit_system.chosen()
        values, name = np.sort(found.values(self.figure)), NAMES[self.figure][1]
        values = values[~np.isnan(values)]
        row = names()[{"plain": "kindness", "spot": "area", "time": "step_time"}.get(name, name)]
        drawn = [float(in_unit(value, row.key, system)) for value in values]
        drawings = []
        if drawn:
            low, high = min(0.0, *drawn), max(*drawn, 1e-9) if len(drawn) > 1 else 2 * drawn[0] + 1e-9
            share = (np.arange(len(drawn)) + 0.5) / len(drawn) * 100
            unit = row.unit(system)
            drawings.append(
                chart(
                    Axis(f"{NAMES[self.figure][0]}{f' ({unit})' if unit else ''}", low, 1.05 * high),
                    Axis("hands that stay below (%)", 0, 100),
                    [
                        Line([one for one in drawn for _ in (0, 1)][1:], np.repeat(share, 2)[:-1]),
                        *(
                            Line([low, 1.05 * high], [end, end], words, "dotted")
                            for end, words in ((5, "5 and 95 %"), (95, ""))
                        ),
                    ],
                    480,
                    300,
                )
            )
        missed = sorted(found.not_yet().items(), key=lambda pair: -pair[1])[:MOST_BARS]
        if missed:
            drawings.append(
                bars(
                    "hands that must not go on yet after this step (%)",
                    [
                        Bar(f"{number} {found.recipe.steps[number - 1].words}", 100 * share, _percent(share), "cross")
                        for number, share in missed
                    ],
                    100,
                    420,
                )
            )
        return side_by_side(*drawings)

    def _bands(self) -> str:
        assert self.found is not None
        system, steady = unit_system.chosen(), self._steady
        cells = [
            (
                NAMES[key][0],
                *(figure_words(key, value, system) for value in self.found.band(key)),
                figure_words(key, getattr(steady, key), system),
            )
            for key in FIGURES
        ]
        return page.table(("over the hands", "5 %", "middle", "95 %", "steady hand"), cells)

    def __repr__(self) -> str:
        return self.words
