"""A recipe played step by step on the computed panel, with memory of the steps that did not change."""

from __future__ import annotations

import hashlib
import struct
import threading
from collections import OrderedDict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from functools import cached_property, lru_cache
from pathlib import Path
from typing import Any, overload

import numpy as np

from coursekit.panel import Panel, Sanded, Used
from coursekit.panel.sanding import PREVIEW
from coursekit.quantities import InputError
from coursekit.repair.balance import Balance, Totals, balance_of, totals_of
from coursekit.repair.case import Case
from coursekit.repair.change import NONE, Change, change_of
from coursekit.repair.condition import Condition, condition_of
from coursekit.repair.entry import Entry, SandEntry, kind_of
from coursekit.repair.recipe import Recipe, load
from coursekit.repair.start import starting_panel
from coursekit.repair.steps import Sand, Step
from coursekit.repair.table import html_table
from coursekit.repair.verdicts import verdict_of

MOST_BYTES = 96 * 2**20  # of arrays that the memory keeps alive
MOST_ENTRIES = 500


class Replay(Sequence[Entry]):
    """A repair played: one entry per step, the panel before the first, totals and the balance of matter."""

    def __init__(self, recipe: Recipe, start: Panel, entries: tuple[Entry, ...]) -> None:
        self.recipe, self.start, self.entries = recipe, start, entries

    @overload
    def __getitem__(self, index: int) -> Entry: ...
    @overload
    def __getitem__(self, index: slice) -> Sequence[Entry]: ...
    def __getitem__(self, index: int | slice) -> Entry | Sequence[Entry]:
        return self.entries[index]

    def __len__(self) -> int:
        return len(self.entries)

    def __iter__(self) -> Iterator[Entry]:
        return iter(self.entries)

    def __repr__(self) -> str:
        return f"<{self.recipe.title}: {len(self)} steps, {len(self.not_yet)} not yet>"

    def _repr_html_(self) -> str:
        return html_table(self)

    @property
    def panel(self) -> Panel:
        """The panel as it ends."""
        return self.entries[-1].panel

    @property
    def time(self) -> float:
        """From the first step to the last, s."""
        return self.entries[-1].ended

    @property
    def not_yet(self) -> tuple[Entry, ...]:
        """The steps after which the verdict is "not yet"."""
        return tuple(entry for entry in self.entries if not entry.verdict.go)

    @property
    def preview(self) -> bool:
        """Whether some step was sanded roughly, for a picture while a setting is being moved."""
        return any(isinstance(entry, SandEntry) and entry.used.preview for entry in self.entries)

    @cached_property
    def totals(self) -> Totals:
        """What the whole repair used."""
        return totals_of(self.entries)

    @cached_property
    def balance(self) -> Balance:
        """Solids of each material and solvent: what came in against where it is."""
        return balance_of(self.start, self.entries)


# --- memory ------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Played:
    panel: Panel
    used: Used
    condition: Condition
    change: Change
    nbytes: int


class _Memory:
    """Played steps by the chain of settings that led to them; the oldest go when there are too many."""

    def __init__(self) -> None:
        self.kept: OrderedDict[bytes, _Played] = OrderedDict()
        self.latest: OrderedDict[bytes, tuple[bytes, bytes]] = OrderedDict()
        self.nbytes = 0
        self.lock = threading.Lock()

    def get(self, key: bytes) -> _Played | None:
        with self.lock:
            found = self.kept.get(key)
            if found is not None:
                self.kept.move_to_end(key)
            return found

    def keep(self, key: bytes, played: _Played) -> None:
        with self.lock:
            if key in self.kept:
                return
            self.kept[key] = played
            self.nbytes += played.nbytes
            while len(self.kept) > 1 and (self.nbytes > MOST_BYTES or len(self.kept) > MOST_ENTRIES):
                self.nbytes -= self.kept.popitem(last=False)[1].nbytes

    def mark(self, step: bytes, before: bytes, after: bytes) -> None:
        """Say where the last answer of a step stands, whatever came before it."""
        with self.lock:
            self.latest[step] = before, after
            self.latest.move_to_end(step)
            if len(self.latest) > MOST_ENTRIES:
                self.latest.popitem(last=False)

    def clear(self) -> None:
        with self.lock:
            self.kept.clear()
            self.latest.clear()
            self.nbytes = 0


memory = _Memory()


def _digest(*parts: Any) -> bytes:
    return hashlib.blake2b(_encoded(parts), digest_size=16).digest()


def _encoded(value: Any) -> bytes:
    """A value as bytes that only equal values share: numbers in full, without their band, mappings by key."""
    if value is None:
        return b"-"
    if isinstance(value, int):
        return b"i%d;" % value
    if isinstance(value, float):
        return b"f" + struct.pack("<d", value)
    if isinstance(value, (str, bytes)):
        text = value if isinstance(value, bytes) else value.encode("utf-8", "surrogatepass")
        return b"%s%d:" % (b"b" if isinstance(value, bytes) else b"t", len(text)) + text
    if isinstance(value, Mapping):
        return b"{" + b"".join(_encoded(key) + _encoded(value[key]) for key in sorted(value)) + b"}"
    if isinstance(value, (tuple, list)):
        return b"(" + b"".join(map(_encoded, value)) + b")"
    raise TypeError(f"{type(value).__name__} cannot be told apart in the memory of steps")


def _first_key(recipe: Recipe) -> bytes:
    return _digest(recipe.panel, recipe.measured, recipe.garage["temperature"], recipe.hand["variation"])


PHYSICS = ("volume_solids", "hardness", "texture")  # of a material; its times and ratio change no panel


def _next_key(key: bytes, recipe: Recipe, step: Step) -> bytes:
    """The key of a step from that of the step before: a material counts from the step that brings it."""
    material = recipe.materials.get(step.brings, {})
    physics = [material.get(part) for part in PHYSICS]
    return _digest(key, step.do, step.settings, physics, step.chance(recipe))


@lru_cache(maxsize=8)
def _nothing(shape: tuple[int, ...], kind: str) -> np.ndarray:
    zero = np.zeros(shape, dtype=kind)
    zero.setflags(write=False)
    return zero


def _slim(panel: Panel, before: Panel) -> tuple[Panel, int]:
    """The same panel with one shared array for all that is nothing, and the bytes that are new in it."""
    found: dict[str, Any] = {}
    for entry in fields(panel):
        value = getattr(panel, entry.name)
        if isinstance(value, np.ndarray) and not value.any():
            found[entry.name] = _nothing(value.shape, value.dtype.str)
    found["texture"] = tuple(band if band.any() else _nothing(band.shape, band.dtype.str) for band in panel.texture)
    slim = replace(panel, **found)
    old = {id(array) for array in _arrays(before)}
    zeros = {id(array) for array in found.values() if isinstance(array, np.ndarray)} | {
        id(band) for band in slim.texture if not band.any()
    }
    return slim, sum(a.nbytes for a in _arrays(slim) if id(a) not in old and id(a) not in zeros)


def _arrays(panel: Panel) -> Iterator[np.ndarray]:
    yield from (v for e in fields(panel) if isinstance(v := getattr(panel, e.name), np.ndarray))
    yield from panel.texture
    for layer in panel.layers:
        yield layer.thickness
        if layer.solvent is not None:
            yield layer.solvent
    yield from (section.thickness for section in panel.sections)


# --- playing -----------------------------------------------------------------------------------------------


def replay(
    recipe: Recipe | str | Path,
    remember: bool = True,
    preview: float = False,
    until: int | None = None,
    on: Sequence[Entry] | None = None,
    again: bool = False,
) -> Replay:
    """Play a recipe: a sequence with one entry per step – the panel, what was used, the verdict.

    recipe    a Recipe, or the path of a recipe file
    remember  keep the steps, so that a change later in the recipe plays from there
    preview   sand roughly from the first step on that is not known yet: for a picture while a setting is being moved;
              a number under one says how fine, as a share of what the answer needs
    until     play so many steps only; they are judged by what is to follow all the same
    on        go on from the last step of another replay of as many steps: what one hand sanded another hand sprays
    again     in a preview press only the first of the steps that sand; those after it work where they last worked
    Steps that were played before with the same settings and the same steps before them are taken from memory.
    Raises InputError that names the step for settings that cannot be.
    """
    recipe = as_recipe(recipe)
    finer = PREVIEW if preview is True else float(preview) or 1.0
    key = _first_key(recipe)
    first = memory.get(key)
    if first is None:
        panel = starting_panel(recipe.panel)
        first = _Played(
            panel,
            Used("start"),
            condition_of(panel, recipe.repair_area, None, recipe.damage_area),
            NONE,
            sum(a.nbytes for a in _arrays(panel)),
        )
        if remember:
            memory.keep(key, first)
    played = [first]
    if on is not None:
        played += [_Played(one.panel, one.used, one.condition, one.change, 0) for one in on]
        key, remember = _digest(key, "on"), False
    begins, pressed = _first_key(recipe), False
    for step in recipe.steps[len(played) - 1 : until]:
        last, key = key, _next_key(key, recipe, step)
        itself = _digest(begins, step.number, step.do, step.settings, step.chance(recipe))
        found = memory.get(key) if on is None else None
        then: tuple[bytes, bytes] | None = None
        if found is None and preview and isinstance(step, Sand):
            then = memory.latest.get(itself) if again and pressed else None
            key, pressed = _digest(key, "preview", finer, *(then or ())), True
            found = memory.get(key)
        if found is None:
            before = played[-1].panel
            done = _again(before, recipe, step, then) if then and isinstance(step, Sand) else None
            panel, used = done or _act(before, recipe, step, finer)
            slim, nbytes = _slim(panel, before)
            found = _Played(
                slim,
                used,
                condition_of(slim, recipe.repair_area, (before, played[-1].condition), recipe.damage_area),
                change_of(step, before, slim, used),
                nbytes,
            )
            if remember and not (again and pressed):  # such a preview is soon made, and would push answers out
                memory.keep(key, found)
        if remember and isinstance(found.used, Sanded) and not found.used.preview:
            memory.mark(itself, last, key)
        played.append(found)
    return Replay(recipe, first.panel, tuple(_entries(recipe, played)))


def _again(panel: Panel, recipe: Recipe, step: Sand, then: tuple[bytes, bytes]) -> tuple[Panel, Used] | None:
    """A step done roughly as it was between those two states, if they are still known."""
    before, after = (memory.get(key) for key in then)
    if before is None or after is None or not isinstance(after.used, Sanded):
        return None
    return step.again(panel, recipe, (before.panel, after.panel), after.used)


def _act(panel: Panel, recipe: Recipe, step: Step, finer: float) -> tuple[Panel, Used]:
    """The panel after a step, and what the step used. Raises InputError that names the step.

    finer  times as many visits in sanding as the answer needs; fewer than one make a preview
    """
    try:
        return step.act(panel, recipe, finer)
    except InputError as error:
        place = f"step {step.number} ({step.words}), {error.argument}"
        raise error.at(
            where=("step", step.number - 1, error.problems[0].key), file=recipe.name, line=step.line, place=place
        ) from None


def _entries(recipe: Recipe, played: list[_Played]) -> Iterator[Entry]:
    clock = laid_at = 0.0
    top, dulled, buried = "", False, 0.0
    for number, step in enumerate(recipe.steps[: len(played) - 1]):
        before, after = played[number], played[number + 1]
        ended = clock + after.used.time
        if material := step.brings:
            top, laid_at, dulled = material, ended, False
            buried = max(buried, before.condition.dirt, before.condition.rubbed_in)
        dulled = dulled or bool(after.used.removed)
        case = Case(
            recipe,
            step,
            before.condition,
            after.condition,
            after.change,
            after.used,
            top,
            laid_at,
            ended - laid_at,
            dulled,
            recipe.steps[number + 1 :],
            buried,
        )
        yield kind_of(step)(
            step,
            after.panel,
            after.used,
            verdict_of(case),
            after.condition,
            after.change,
            recipe.repair_area,
            clock,
            ended,
        )
        clock = ended


RecipeLike = Recipe | Replay | str | Path  # what stands for a recipe in a call


def as_recipe(value: RecipeLike) -> Recipe:
    """A recipe from itself, its replay, or the path of its file."""
    if isinstance(value, Recipe):
        return value
    if isinstance(value, Replay):
        return value.recipe
    if isinstance(value, (str, Path)):
        return load(value)
    raise InputError(
        "recipe",
        f"a {type(value).__name__} is not a recipe.",
        "Give repair.load(path), or the path of a recipe file.",
        kind="other type",
    )


def as_replay(value: RecipeLike) -> Replay:
    """A replay from itself or whatever `as_recipe` takes; never a preview."""
    return value if isinstance(value, Replay) and not value.preview else replay(as_recipe(value))
