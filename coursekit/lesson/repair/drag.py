"""A whole repair to drag: pick a step, move its settings, see the panel, every verdict, and what became of the end.

bench = lesson.play_repair()
bench.step(16).set(strokes="900")
print(bench.words)
"""

from __future__ import annotations

from collections.abc import Collection
from functools import partial
from typing import Any

from coursekit import repair
from coursekit.drawing import circle, rect, text
from coursekit.lesson.draw.charts import ACCENT, OUTLINE, TEXT, hatch, svg
from coursekit.lesson.draw.map_pictures import PanelMaps
from coursekit.lesson.draw.panel_maps import MAPS
from coursekit.lesson.learner import unit_system
from coursekit.lesson.pages.cautions import care_of
from coursekit.lesson.repair.demo_recipes import as_text, demo, moved
from coursekit.lesson.screen import page
from coursekit.lesson.screen.displayed import Displayed
from coursekit.lesson.workbench.bench import Bench, Control, Drawn, Now
from coursekit.markup import Markup
from coursekit.nomenclature import System, names
from coursekit.panel.mirror import Light
from coursekit.quantities import InputError, read_choice
from coursekit.repair import Recipe, Replay
from coursekit.repair.fields import Field
from coursekit.repair.playing import RecipeLike, as_recipe
from coursekit.repair.steps import Block
from coursekit.repair.table import rows
from coursekit.repair.vocabulary import GARAGE, HAND, PANEL
from coursekit.repair.words import time_words

REPAIRS = {"step by step": "door_repair", "in a hurry": "impatient_repair"}
GIVEN = {
    "temperature": ("garage", GARAGE),
    "humidity": ("garage", GARAGE),
    "variation": ("hand", HAND),
    "old_paint": ("panel", PANEL),
}
SOURCES = ("common-practice", "preston-1927", "scratch-calibration", "shrinking-film", "assumed-here")


class RepairBench(Displayed):
    """`step`, `set`, `show`, `start_again`, `words` work without a browser; `recipe` is the repair as it stands."""

    def __init__(self, recipe: RecipeLike | None = None) -> None:
        self.repairs: dict[str, Recipe] = {words: demo(which) for words, which in REPAIRS.items()}
        if recipe is not None:
            mine = as_recipe(recipe)
            self.repairs = {mine.title: mine, **self.repairs}
        self.view, self.light = MAPS[0], Light()
        self.take(next(iter(self.repairs)))

    # --- moving ---

    def take(self, which: str) -> RepairBench:
        """Take one of the repairs, as it stands in its file."""
        self.which = read_choice(which, tuple(self.repairs), "repair")
        self.start = self.recipe = self.repairs[which]
        self.before = repair.replay(self.start)  # held, so that it is not played again at each move
        blocks = [step.number for step in self.start.steps if isinstance(step, Block)]
        return self.step(blocks[-1] if blocks else 1)

    def step(self, number: int) -> RepairBench:
        """Pick a step by its number; 0 is what is given: the garage, the hand and the old paint."""
        if isinstance(number, bool) or not isinstance(number, int) or not 0 <= number <= len(self.recipe.steps):
            raise InputError(
                "step", "is no step of this repair.", f"Give 0 to {len(self.recipe.steps)}.", kind="unknown"
            )
        self.number, self.bench = number, self._bench(number)
        return self

    def set(self, **settings: Any) -> RepairBench:
        """Move settings of the step that is picked: `set(strokes="900", force="25 N")`."""
        self.bench.set(**settings)
        return self

    def show(self, view: str) -> RepairBench:
        """Choose what the map shows."""
        self.view = read_choice(view, MAPS, "map")
        self.bench.compute_again()
        return self

    def start_again(self) -> RepairBench:
        """All steps as they stood."""
        self.recipe = self.start
        return self.step(self.number)

    # --- the bench of one step ---

    def _bench(self, number: int) -> Bench:
        made = Bench(
            partial(self._play, number),
            title=self.title(number),
            controls=self._controls(number),
            sources=SOURCES,
            lamp=True,
            rough=partial(self._play, number, True),
        )
        made.light = self.light
        made.says(self._say)
        made.draws(self._draw)
        return made.fresh("play-repair")

    def title(self, number: int) -> str:
        """A step in a few words, with its number."""
        return f"{number} · {self.recipe.steps[number - 1].words}" if number else "0 · garage, hand, old paint"

    def _controls(self, number: int) -> dict[str, Control]:
        if not number:
            recipe = self.recipe
            held = {"garage": recipe.garage, "hand": recipe.hand, "panel": recipe.panel}
            return {key: control(fields[key], held[table][key]) for key, (table, fields) in GIVEN.items()}
        step = self.recipe.steps[number - 1]
        return {
            key: control(said, value)
            for key, said in step.entries().items()
            if said.dragged and (value := getattr(step, key)) is not None
        }

    def _play(self, number: int, preview: bool = False, /, **values: Any) -> dict[str, Replay]:
        recipe = self.recipe
        if number:
            recipe = moved(recipe, number, **values)
        else:
            for key, value in values.items():
                table, fields = GIVEN[key]
                if abs(value - getattr(recipe, table)[key]) > 1e-9 * abs(value):
                    recipe = recipe.changed(table, key, to=as_text(value, fields[key].row))
        if preview:  # the picture is of this step: what comes after it is played when the hand stops
            return {"played": repair.replay(recipe, preview=True, again=True, until=max(number, 1))}
        played = repair.replay(recipe)
        self.recipe = recipe  # only what can be played stands
        return {"played": played}

    # --- showing ---

    @property
    def moved(self) -> bool:
        """Whether anything stands otherwise than in the file."""
        return self.recipe != self.start

    @property
    def played(self) -> Replay:
        """The repair as it stands, played."""
        found: Replay = self.bench.result.played
        return found

    def _draw(self, now: Now) -> Drawn:
        before, played = self.before, now.played
        moved = played.recipe != self.start
        panels = [("as it stood", before), ("now", played)] if moved else [("after this step", played)]
        at = [(words, one[self.number - 1].panel if self.number else one.start) for words, one in panels]
        self.light = now.light  # the next step is seen under the same
        maps = PanelMaps(at, self.view, alone=True, light=now.light)
        # A preview gives no verdict, and ends with the step that is moved.
        finished = not played.preview and len(played) == len(before)
        return [maps, strip(played, before, self.number)] if finished else maps

    def _say(self, now: Now) -> str:
        played, before, system = now.played, self.before, now.system
        words = ""
        if self.number:
            entry = played[self.number - 1]
            words = f"After step {self.number}, {entry.step.words}: {entry.verdict.text(system)} "
        if self.moved:
            both = repair.compare(before, played)
            here = both.steps[self.number - 1].differences if self.number else ()
            told = "; ".join(one.text(system) for one in here)
            ends = [
                f"{label} {repair.outcome.figure_words(key, getattr(both.totals[0], key), system)} | "
                f"{repair.outcome.figure_words(key, getattr(both.totals[1], key), system)}"
                for key, label in ENDS.items()
                if getattr(both.totals[0], key) != getattr(both.totals[1], key)
            ]
            words += f"Before | now, after this step: {told or 'the same'}. " if self.number else ""
            words += f"At the end: {'; '.join(ends) or 'the same'}. "
        return words + whole(played) + (f" As it stood: {whole(before).lower()}" if self.moved else "")

    @property
    def words(self) -> str:
        return f"{self.recipe.title}. {self.bench.words}"

    @property
    def table(self) -> page.Piece:
        """Every step with what it left, its verdict and the reasons."""
        return step_table(self.played, self.before if self.moved else None)

    @property
    def care(self) -> page.Piece:
        """The cautions that this repair asks for, and that nothing is cleared."""
        return care_of(self.played)

    def __repr__(self) -> str:
        return f"{self.words}\n{self.care.text}"


ENDS = {
    "surfacer_left": "surfacer",
    "clear_left": "clear",
    "waves": "waves",
    "metal": "through to metal",
    "broken": "through to filler or paint",
    "time": "time",
}


def control(said: Field, value: Any) -> Control:
    """The control of one setting, at its present value."""
    label, meaning = said.words, said.told
    if said.reads == "choice":
        return Control(str(value), "repair_setting", label, meaning, options=tuple(said.of))
    if said.reads == "grade":
        return Control(str(value), "grade", label, meaning)
    row = names()[said.row]
    metric, us = said.slider or (row.slider, row.slider_us)
    start = str(value) if said.reads == "whole" else str(as_text(value, row.key))
    return Control(start, row.key, label, meaning, metric, us, exact=True)


def whole(played: Replay) -> str:
    """After which steps of a whole repair the verdict is not yet, in words."""
    numbers = [str(entry.step.number) for entry in played.not_yet]
    if not numbers:
        return f"Every one of the {len(played)} verdicts says go on."
    listed = numbers[0] if len(numbers) == 1 else f"{', '.join(numbers[:-1])} and {numbers[-1]}"
    return f"Not yet after {'step' if len(numbers) == 1 else 'steps'} {listed}."


def strip(played: Replay, before: Replay, number: int) -> Markup:
    """Every step as a box: ringed where its verdict is another than before."""
    other = {
        entry.step.number for entry, old in zip(played, before, strict=True) if entry.verdict.go != old.verdict.go
    }
    return boxes(played, number, other, "steps: crossed = not yet, ringed = verdict changed, bold frame = picked")


def boxes(played: Replay, number: int, ringed: Collection[int], legend: str, columns: int = 30) -> Markup:
    """Every step as a box: crossed where it may not go on, ringed where it is asked for, framed when picked."""
    side, gap, left, top = 24, 3, 6, 6
    body = []
    for place, entry in enumerate(played):
        x, y = left + place % columns * (side + gap), top + place // columns * (side + gap)
        here, go = entry.step.number == number, entry.verdict.go
        if not go:
            body.append(hatch(x, y, side, side, "cross"))
        stroke, wide = (ACCENT, 4) if here else ("currentColor", 1)
        body.append(rect(x, y, side, side, fill="none", stroke=stroke, stroke_width=wide))
        if entry.step.number in ringed:
            ring = {"stroke_width": 2.5, "stroke_dasharray": "3 2"}
            body.append(circle(x + side / 2, y + side / 2, side / 2 + 2, **OUTLINE, **ring))
        body.append(text(x + side / 2, y + 18, entry.step.number, "middle", **({} if go else HALO)))
    height = top + (-(-len(played) // columns)) * (side + gap)
    body.append(text(left, height + TEXT, legend))
    return svg(body, left + columns * (side + gap), int(height + TEXT + 8))


HALO: dict[str, Any] = {
    "font_weight": 700,
    "paint_order": "stroke",
    "stroke": "var(--jp-layout-color0, #fff)",
    "stroke_width": 5,
    "stroke_linejoin": "round",
}
HEAD = ("step", "what", "took", "film available", "scratch", "waves", "verdict and reasons")


def step_table(played: Replay, before: Replay | None = None) -> page.Piece:
    """The steps of a repair as a table; against another one, what its verdict was where it differs."""
    system: System = unit_system.chosen()
    cells = []
    for place, row in enumerate(rows(played, system)):
        verdict = row.verdict
        if before is not None and before[place].verdict.go != played[place].verdict.go:
            old = "go on" if before[place].verdict.go else "not yet"
            verdict = f"{verdict} (Before: {old}.)"
        took = row.took.replace(" ", "\N{NO-BREAK SPACE}")
        cells.append((row.step, row.what, took, row.film, row.scratch, row.waves, verdict))
    notice = (
        f"{played.recipe.title}, {time_words(played.time)}. Film and scratch as in the thinnest and roughest "
        "twentieth of the repair; waves as a multiple of what a strict eye sees."
    )
    return page.Piece(page.paragraph(notice) + page.table(HEAD, cells), f"{notice}\n{page.plain_table(HEAD, cells)}")
