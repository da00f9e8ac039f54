"""How deep a paper scratches, from the force of the hand and the size of the block."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from coursekit import sanding
from coursekit.belief import band_si
from coursekit.lesson.content.shared.sanding_hand import HAND, axis_end, block, hardness
from coursekit.lesson.draw.charts import Line, Mark, Part, Shade, chart
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Now
from coursekit.sanding.scratches import LEAST_PRESSURE, MOST_PRESSURE, Scratch, hand_pressure
from coursekit.uncertain import Band, Coefficient

MOST_FORCE = 60.0  # N; the axis stays put


class Found(NamedTuple):
    pressure: float
    forces: np.ndarray
    over_force: Scratch  # bands over the forces
    now: Scratch  # bands at this force
    hand: Coefficient
    by_hand: Scratch  # bands over what the hand may press with


def compute(grade: str, force: float, block_length: float, block_width: float, sanded: str) -> Found:
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
    return Found(float(pressure), forces, bands(forces), bands(force), hand, bands(hand))


def draw(now: Now) -> str:
    found = now.result
    across = now.number(found.forces, "force")
    deepest = now.number(found.over_force.deepest, "scratch_depth")
    mean = now.number(found.over_force.mean, "scratch_depth")
    parts: list[Part] = [
        Shade(across, deepest.low, deepest.high, "where the deepest scratch may lie"),
        Line(across, deepest.middle, "deepest, middle", "solid"),
        Line(across, mean.middle, "mean scratch, middle", "dashed"),
        mark(now, "yours"),
    ]
    shown = [n.result.over_force.deepest.high for n in (now, now.kept) if n]
    if now.kept:
        parts.append(mark(now.kept, "kept", kept=True))
    end = axis_end([float(np.max(high)) for high in shown])
    return chart(now.axis("force", 0, max(MOST_FORCE, now["force"])), now.axis("scratch_depth", 0, end), parts)


def mark(now: Now, label: str, kept: bool = False) -> Mark:
    band = now.number(now.result.now.deepest, "scratch_depth")
    return Mark(now.number(now["force"], "force"), band.middle, label, kept, band.low, band.high)


def say(now: Now) -> str:
    found = now.result
    hand = Band(found.hand.low, float(found.hand), found.hand.high)
    words = (
        f"{now.text('grade')} under {now.text('force')} presses on the {now['sanded']} with "
        f"{now.show(found.pressure, 'pressure', 2)}. Its scratches are {now.show(found.now.mean, 'scratch_depth')} "
        f"deep on average, the deepest {now.show(found.now.deepest, 'scratch_depth')}: so much film must go before "
        "the next paper has buried them. "
    )
    by_hand = now.show(found.by_hand.deepest, "scratch_depth")
    if found.hand.kind == "measured by you":
        return words + f"Over what your hand pressed on the scale, {now.show(hand, 'force')}, it is {by_hand}."
    return words + (
        f"Nobody knows your hand yet. Over {now.show(hand, 'force')}, as hands may press, it is "
        f"{by_hand}. Press the block on a kitchen scale."
    )


bench = Bench(
    title="How deep the paper scratches",
    controls={"grade": "P320", **HAND},
    compute=compute,
    draw=draw,
    say=say,
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
