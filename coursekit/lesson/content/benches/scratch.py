"""How deep a paper scratches, from the force of the hand and the size of the block."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit import sanding
from coursekit.belief import band_si
from coursekit.lesson.content.shared.sanding_hand import (
    BLOCK_LENGTH,
    BLOCK_WIDTH,
    FORCE,
    SANDED,
    axis_end,
    block,
    hardness,
)
from coursekit.lesson.draw.grooves import grooves
from coursekit.lesson.draw.picture import Chart, Line, Mark, shaded
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.sanding.scratches import LEAST_PRESSURE, MOST_PRESSURE, Scratch, hand_pressure

MOST_FORCE = 60.0  # N; the axis stays put
BESIDE = ("P80", "P180", "P320", "P600")  # papers drawn beside the learner's own
LOOKS = {"fresh clear": "clear"}  # what has no colour of its own


@declare(
    "How deep the paper scratches",
    gives={
        "pressure": "pressure",
        "forces": "force",
        "over_force": sanding.scratch,
        "depth": sanding.scratch,  # at this force
        "by_hand": "scratch_depth",  # deepest, over what the hand may press with
    },
    sources=[
        "scratch_factor",
        "hand_force",
        "sliding-cone",
        "grain-population",
        "scratch-calibration",
        "hardness_surfacer",
        "hardness_clear",
    ],
    measurement="force",
)
def bench(
    grade: str = at("P320"),
    force: float = FORCE,
    block_length: float = BLOCK_LENGTH,
    block_width: float = BLOCK_WIDTH,
    sanded: str = SANDED,
) -> dict[str, Any]:
    held = block(block_length, block_width)
    pressure = hand_pressure(force, held)
    least, most = LEAST_PRESSURE * held.area, MOST_PRESSURE * held.area  # where the law was compared

    def depth(force: Any, hardness: Any, scratch_factor: Any) -> Scratch:
        pressed = sanding.block_pressure.si(np.clip(force, 1.001 * least, 0.999 * most), held)
        return sanding.scratch.si(grade, pressed, hardness, scratch_factor)

    def bands(force: Any) -> Scratch:
        found: Scratch = band_si(depth, force, hardness(sanded), own.coefficient("scratch_factor"))
        return found

    forces = np.linspace(max(5.0, least), max(force, min(MOST_FORCE, most)), 16)
    hand = own.coefficient("hand_force")
    papers = sorted({*BESIDE, grade}, key=sanding.grain_size.si, reverse=True)
    middle = float(hardness(sanded)), float(own.coefficient("scratch_factor"))
    return {
        "papers": papers,
        "beside": [sanding.scratch.si(one, pressure, *middle) for one in papers],
        "pressure": pressure,
        "forces": forces,
        "over_force": bands(forces),
        "depth": bands(force),
        "hand": hand,
        "by_hand": bands(hand).deepest,
    }


@bench.says
def say(now: Now) -> str:
    words = (
        f"{now.grade} under {now.force} presses on the {now.sanded} with {now.pressure:2}. Its scratches are "
        f"{now.depth.mean} deep on average, the deepest {now.depth.deepest}: the next paper must take off "
        "that much film to sand them out. "
    )
    hand = now.force.of(now.hand.band)
    if now.hand.kind == "measured by you":
        return words + f"Over what your hand pressed on the scale, {hand}, it is {now.by_hand}."
    return words + (
        f"Nobody knows your hand yet. Over {hand}, as hands may press, it is {now.by_hand}. Press the block on a "
        "kitchen scale."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    deepest = now.over_force.deepest
    parts = [
        *shaded(now.forces, deepest, "where the deepest scratch may lie", "deepest, middle", pinned=None),
        Line(now.forces, now.over_force.mean.middle, "mean scratch, middle", "dashed"),
        Mark(now.force, now.depth.deepest, "yours"),
    ]
    across = now.force.axis(max(MOST_FORCE, now.force.si))
    mean, most = now.depth.mean, now.depth.deepest
    rows = [
        (name, mean.of(float(one.mean)), most.of(float(one.deepest)))
        for name, one in zip(now.papers, now.beside, strict=True)
    ]
    chart = Chart(across, deepest.axis(axis_end([deepest.most])), parts, height=270)
    return [grooves(rows, LOOKS.get(now.sanded, now.sanded), now.grade), chart]
