"""The demo repairs as the benches play them: cut off after a step, with settings moved."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from coursekit import repair
from coursekit.lesson.learner import own
from coursekit.nomenclature import names
from coursekit.quantities import in_unit
from coursekit.repair import Recipe
from coursekit.repair.order import check_order
from coursekit.repair.steps import Spray, Step
from coursekit.repair.vocabulary import GUN, MEASURED
from coursekit.sanding import read_grade
from coursekit.tomlfile import Document


@functools.lru_cache(maxsize=4)
def demo(which: str = "door_repair") -> Recipe:
    """One of the two repairs that come with the course."""
    return repair.load(repair.demo_path(which))


def numbered(recipe: Recipe, kind: type[Step], time: int, **settings: str) -> int:
    """The number of the `time`-th step (from 1; −1 is the last) of this kind with these settings."""
    found = [
        step.number
        for step in recipe.steps
        if isinstance(step, kind) and all(str(getattr(step, key)) == value for key, value in settings.items())
    ]
    return found[time - 1 if time > 0 else time]


@functools.lru_cache(maxsize=8)
def until(number: int, which: str = "door_repair") -> Recipe:
    """The demo repair up to a step: what comes later need not be played."""
    whole = demo(which)
    return replace(
        whole, steps=whole.steps[:number], written={**whole.written, "step": whole.written["step"][:number]}
    )


def moved(recipe: Recipe, number: int, **settings: Any) -> Recipe:
    """The recipe with settings of one step in SI (or text) moved; one that stands so already is left alone.

    Only that step is read anew: a slider cannot wait for the whole recipe.
    """
    step = recipe.steps[number - 1]
    new = {key: value for key, value in settings.items() if not same(step, key, value)}
    if not new:
        return recipe
    # What goes by another entry and is not written stays as it was: what a hand does not move does not move.
    for key, said in step.entries().items():
        if said.by in new and key not in step.written and key not in new:
            new[key] = getattr(step, key)
    tables = list(recipe.written["step"])
    tables[number - 1] = {**step.written, **{key: written(step, key, value) for key, value in new.items()}}
    read = {key: as_read(step, key, value) for key, value in new.items()}
    after = replace(step, **read, written=tables[number - 1])
    found = replace(
        recipe,
        steps=(*recipe.steps[: number - 1], after, *recipe.steps[number:]),
        written={**recipe.written, "step": tables},
    )
    check_order(found, found.steps, Document.of_tables({}, ""))
    return found


def taped_close(recipe: Recipe, masked: int, sprayed: int, **settings: Any) -> Recipe:
    """The recipe with the tape of one step where the spraying of another ends, and settings of the tape moved."""
    spray = recipe.steps[sprayed - 1]
    assert isinstance(spray, Spray)
    return moved(recipe, masked, open=spray.area, **settings)


def same(step: Step, key: str, value: Any) -> bool:
    """Whether a setting stands so already; a slider gives a number back not quite as it was written."""
    present = getattr(step, key)
    if isinstance(present, (int, float)) and not isinstance(value, str):
        found: bool = abs(present - value) <= 1e-9 * abs(present)
        return found
    return str(present) == str(value)


def as_read(step: Step, key: str, value: Any) -> Any:
    """A setting as a step holds it."""
    field = step.entries()[key]
    if field.reads == "grade":
        return read_grade(value, key)
    return round(value) if field.reads == "whole" else value


def written(step: Step, key: str, value: Any) -> Any:
    """A setting as a recipe writes it."""
    field = step.entries()[key]
    if field.reads == "whole":
        return round(value)
    if field.reads == "area" and not isinstance(value, str):
        left, right, low, high = value
        sides = {"x": left, "y": low, "width": right - left, "height": high - low}
        return {key: as_text(side, "extent") for key, side in sides.items()}
    return str(value) if field.reads != "quantity" else as_text(value, field.row)


def as_text(value: float, name: str) -> Any:
    """A value in SI as a recipe writes it: a plain number, or text with its unit."""
    row = names()[name]
    return float(value) if row.kind == "number" else f"{float(in_unit(value, name)):.12g} {row.metric}"


def with_mine(written: Mapping[str, Any]) -> dict[str, Any]:
    """The demo's tables with what the learner measured and the gun that they chose."""
    mine, said, made = own.garage_file().coefficients(), own.my_outfit().said, dict(written)
    if found := {key: as_text(float(mine[key]), key) for key in MEASURED if key in mine}:
        made["measured"] = {**written.get("measured", {}), **found}
    if gun := {key: as_text(said[key], key) for key in GUN if key in said}:
        made["gun"] = {**written.get("gun", {}), **gun}
    if rows := own.gun_rows():
        made["measurement"] = rows
    return made
