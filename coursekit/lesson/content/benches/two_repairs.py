"""The careful repair and the hurried one side by side, at seven places on their way."""

from __future__ import annotations

import functools
from typing import NamedTuple

from coursekit import repair
from coursekit.lesson.draw.panel_maps import maps_of
from coursekit.lesson.repair.demo_recipes import demo, numbered
from coursekit.lesson.workbench.bench import Bench, Now
from coursekit.repair import Comparison, Entry
from coursekit.repair.steps import Block, Fill, HandSand, MachineSand, Unmask, Wait
from coursekit.repair.table import film_words, scratch_words
from coursekit.repair.words import time_words

CAREFUL, HURRIED = "door_repair", "impatient_repair"
STAGES = {  # the place on the way → the last step that belongs to it, in the careful and in the hurried repair
    "filling": ((Fill, 1), (Fill, 1)),
    "shaping the filler": ((HandSand, 1), (Block, 1)),
    "the first surfacer": ((Unmask, 1), (Unmask, 1)),
    "blocking": ((HandSand, 2), (Block, 2)),
    "the last surfacer": ((Unmask, 2), (Block, 2)),
    "the last paper": ((MachineSand, 1), (Block, 2)),
    "colour": ((Wait, -1), (Wait, -1)),
}


class Pair(NamedTuple):
    careful: Entry
    hurried: Entry
    against: tuple[int, int]  # how many steps up to here may not go on


@functools.lru_cache(maxsize=1)
def compared() -> Comparison:
    return repair.compare(demo(CAREFUL), demo(HURRIED))


def compute(repair_stage: str, panel_view: str) -> Pair:
    both = compared()
    ends = [
        numbered(demo(which), kind, time)
        for which, (kind, time) in zip((CAREFUL, HURRIED), STAGES[repair_stage], strict=True)
    ]
    against = [
        sum(not entry.verdict.go for entry in played[:end])
        for played, end in zip((both.a, both.b), ends, strict=True)
    ]
    return Pair(both.a[ends[0] - 1], both.b[ends[1] - 1], (against[0], against[1]))


def draw(now: Now) -> str:
    pair: Pair = now.result
    return maps_of(
        [
            (f"step by step, after {pair.careful.step.number} {pair.careful.step.words}", pair.careful.panel),
            (f"in a hurry, after {pair.hurried.step.number} {pair.hurried.step.words}", pair.hurried.panel),
        ],
        now["panel_view"],
        now.system,
        now.words,
    )


def say(now: Now) -> str:
    pair: Pair = now.result
    told = [one(now, entry, against) for entry, against in zip(pair[:2], pair.against, strict=True)]
    return (
        f"After {now['repair_stage']}, step by step: {told[0]} In a hurry: {told[1]} Its last verdict: "
        f"{pair.hurried.verdict.text(now.system)}"
    )


def one(now: Now, entry: Entry, against: int) -> str:
    after = entry.condition
    parts = []
    if film := film_words(after, now.system):
        parts.append(f"{film} where it is thinnest")
    if scratch := scratch_words(after, now.system):
        parts.append(f"scratches of {scratch.rpartition(' ')[2]} {scratch.rpartition(' ')[0]} deep")
    steps = "every step so far could go on" if not against else f"{against} steps so far should not have gone on"
    return (
        f"{', '.join(parts)}, waves of {after.waves:.0f} times a strict eye's limit, {time_words(entry.ended)} "
        f"after the start; {steps}."
    )


bench = Bench(
    title="Two repairs side by side",
    about="The same door twice: once in 28 steps over two days, once in 15 steps in a cold garage in one. Waves are "
    "given as a multiple of what a strict eye just sees; most people see 10 times, under a tube lamp.",
    controls={"repair_stage": "blocking", "panel_view": "what shows"},
    compute=compute,
    draw=draw,
    say=say,
    sources=["common-practice", "preston-1927", "assumed-here"],
)
