"""The masking plan of the job sheet: what stays open, for which coats, and a sketch of it on the panel."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

import numpy as np

from coursekit.drawing import curve, rect
from coursekit.figure import Figure
from coursekit.markup import Markup
from coursekit.nomenclature import System
from coursekit.panel import Shape
from coursekit.repair import sheet_drawing as ink
from coursekit.repair.entry import Entry, SandEntry, SprayEntry
from coursekit.repair.playing import Replay
from coursekit.repair.steps import Mask, Unmask
from coursekit.repair.words import ruled

Area = tuple[float, float, float, float]
WIDE, MARGIN = 240.0, 4.0  # of a sketch; two fit beside each other
COLUMNS = 80  # along the outline
ADVICE = (
    "Sheet over the whole car, taped down; cut out the work area. What lies open nearby collects mist.",
    "Each film thins out towards the edge of its masking; take the tape off once the film is hard at the touch.",
)
RAISED_EDGE = "Raised edge: fold the tape back on itself so that its edge stands up, paper behind it."


class Masking(NamedTuple):
    """One masking: the step, what stays open, its edge, and the steps that spray through it."""

    step: Mask
    open: Area
    sprayed: tuple[SprayEntry, ...]
    off: Entry | None


def masks(replay: Replay) -> Iterator[Masking]:
    """The maskings of a repair."""
    for entry in replay:
        if not isinstance(entry.step, Mask) or entry.step.open is None:
            continue
        after = replay[entry.step.number :]
        off = next((other for other in after if isinstance(other.step, Unmask)), None)
        last = off.step.number if off is not None else len(replay) + 1
        sprayed = tuple(other for other in after if isinstance(other, SprayEntry) and other.step.number < last)
        yield Masking(entry.step, entry.step.open, sprayed, off)


WAYS = {"bonnet": ("along", "across"), "roof": ("along", "across")}
WAYS |= {"tailgate": ("across", "up"), "bumper": ("across", "up")}


def place_words(area: Area | None, system: System, kind: str = "") -> str:
    """An area in words, from the corner at the drawing's lower left."""
    if area is None:
        return "all of the panel"
    x0, x1, y0, y1 = (max(end, 0.0) for end in area)
    sides = [ruled(value, system) for value in (x1 - x0, y1 - y0, x0, y0)]
    along, up = WAYS.get(kind, ("along", "up"))
    return f"{sides[0]} by {sides[1]}, from {sides[2]} {along} and {sides[3]} {up}"


def rows(replay: Replay, system: System) -> Iterator[tuple[str, str, str, str, str]]:
    """Of each masking step: what stays open, the edge, what is sprayed through it, when it comes off."""
    for mask in masks(replay):
        step = mask.step
        edge = f"raised, {Figure(step.lip_height, 'lip_height', system):2}" if step.edge == "raised" else "flat"
        through = "; ".join(f"{one.step.material}, step {one.step.number}" for one in mask.sprayed)
        off = f"step {mask.off.step.number}" if mask.off else "after the last step"
        yield (
            str(step.number),
            place_words(mask.open, system, replay.recipe.panel["shape"]),
            edge,
            through or "nothing",
            off,
        )


def first_open(replay: Replay) -> frozenset[int]:
    """The steps before which the rest of the car is covered: the first that spray with the whole panel open."""
    under = {one.step.number for mask in masks(replay) for one in mask.sprayed}
    found, covered = [], False
    for entry in replay:
        if isinstance(entry, SprayEntry) and entry.step.number not in under:
            found += [] if covered else [entry.step.number]
            covered = True
        elif isinstance(entry, SandEntry):
            covered = False  # nobody sands under the cover
    return frozenset(found)


def unmasked(replay: Replay) -> str:
    """What is sprayed with the whole panel open; empty when nothing is."""
    under = {one.step.number for mask in masks(replay) for one in mask.sprayed}
    steps = [
        f"{entry.step.number} ({entry.step.material})"
        for entry in replay
        if isinstance(entry, SprayEntry) and entry.step.number not in under
    ]
    if not steps:
        return ""
    return (
        f"Step{'s' * (len(steps) > 1)} {', '.join(steps)}: all of the panel is open; mask its edges, gaps, glass "
        "and all around it."
    )


def advice(replay: Replay) -> Iterator[str]:
    """How to mask; how to make a raised edge only where the repair has one."""
    yield from ADVICE
    if any(mask.step.edge == "raised" for mask in masks(replay)):
        yield RAISED_EDGE


# --- the sketch --------------------------------------------------------------------------------------------


def sketches(replay: Replay, system: System) -> Iterator[Markup]:
    """A drawing of each masking: covered is hatched, open is white, the damage is dashed."""
    for mask in masks(replay):
        yield _sketch(replay, mask, system)


def _sketch(replay: Replay, mask: Masking, system: System) -> Markup:
    shape = replay.start.shape
    wide, high = shape.size
    scale = (WIDE - 2 * MARGIN) / max(wide, 1.3 * high)
    bottom = MARGIN + ink.SIZE + 4 + high * scale

    def at(x: float, y: float) -> tuple[float, float]:
        return MARGIN + min(max(x, 0.0), wide) * scale, bottom - min(max(y, 0.0), high) * scale

    def box(area: Area, **look: Any) -> Markup:
        (x0, y1), (x1, y0) = at(area[0], area[2]), at(area[1], area[3])
        return rect(x0, y0, x1 - x0, y1 - y0, **look)

    words = f"Step {mask.step.number}: covered is hatched, the damage is dashed"
    outline = tuple(at(*point) for point in _outline(shape))
    parts = [
        ink.text(0, ink.SIZE, words),
        ink.covered(outline),
        curve(
            [x for x, _ in outline],
            [y for _, y in outline],
            closed=True,
            fill="none",
            stroke="#000",
            stroke_width=1.2,
        ),
        box(mask.open, fill="#fff", stroke="#000", stroke_width=1.2),
    ]
    damage = replay.recipe.panel["damage"]
    if damage:
        around = (damage["x"], damage["x"] + damage["width"], damage["y"], damage["y"] + damage["height"])
        parts.append(box(around, fill="none", stroke="#000", stroke_dasharray="3 2"))
    x0, x1, y0, y1 = (max(end, 0.0) for end in mask.open)
    left, top = at(x0, min(y1, high))
    sides = " × ".join(
        f"{Figure(min(end, most) - start, 'place', system)}" for start, end, most in ((x0, x1, wide), (y0, y1, high))
    )
    parts.append(ink.text(left + 3, top + ink.SIZE + 1, sides))
    return ink.whole(WIDE, bottom + MARGIN, f"{words}; open: {sides}", parts)


def _outline(shape: Shape) -> list[tuple[float, float]]:
    """Around the panel, as fine as a sketch needs: the upper side there, the lower side back."""
    wide, high = shape.size
    columns = np.unique(np.linspace(0, shape.inside.shape[1] - 1, COLUMNS).astype(int))
    upper, lower = [], []
    for column in columns:
        inside = np.flatnonzero(shape.inside[:, column])
        if inside.size:
            x = wide * column / max(shape.inside.shape[1] - 1, 1)
            upper.append((x, high * (inside[-1] + 1) / shape.inside.shape[0]))
            lower.append((x, high * inside[0] / shape.inside.shape[0]))
    return [*upper, *reversed(lower)]
