"""The careful repair and the hurried one side by side, at seven places on their way."""

from __future__ import annotations

import functools
from typing import Any

from coursekit import repair
from coursekit.lesson.draw.map_pictures import PanelMaps
from coursekit.lesson.repair.demo_recipes import demo, numbered
from coursekit.lesson.screen import page
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
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


@functools.lru_cache(maxsize=1)
def compared() -> Comparison:
    return repair.compare(demo(CAREFUL), demo(HURRIED))


@declare(
    "Two repairs side by side",
    about="The same door twice: once in 28 steps over two days, once in 15 steps in a cold garage in one. Waves are "
    "given as a multiple of what a strict eye just sees; most people see 10 times, under a tube lamp.",
    sources=[
        "common-practice",
        "preston-1927",
        "assumed-here",
    ],
    lamp=True,
)
def bench(repair_stage: str = at("blocking"), panel_view: str = at("what shows")) -> dict[str, Any]:
    both = compared()
    ends = [
        numbered(demo(which), kind, time)
        for which, (kind, time) in zip((CAREFUL, HURRIED), STAGES[repair_stage], strict=True)
    ]
    # how many steps up to here may not go on
    against = [
        sum(not entry.verdict.go for entry in played[:end])
        for played, end in zip((both.a, both.b), ends, strict=True)
    ]
    return {"careful": both.a[ends[0] - 1], "hurried": both.b[ends[1] - 1], "against": against}


@bench.says
def say(now: Now) -> str:
    careful, hurried = (
        one(now, entry, against) for entry, against in zip((now.careful, now.hurried), now.against, strict=True)
    )
    verdict = "Its last verdict: go on." if now.hurried.verdict.go else "Its last verdict: not yet."
    return f"After {now.repair_stage}, step by step: {careful} In a hurry: {hurried} {verdict}"


def one(now: Now, entry: Entry, against: int) -> str:
    after = entry.condition
    parts = []
    if film := film_words(after, now.system):
        parts.append(f"{film} where it is thinnest")
    if scratch := scratch_words(after, now.system):
        parts.append(f"scratches of {scratch.rpartition(' ')[2]} {scratch.rpartition(' ')[0]} deep")
    steps = "every step so far could go on" if not against else f"{against} steps so far should not have gone on"
    return (
        f"{', '.join(parts)}, waves of {after.waves:.0f} times a strict eye's limit. That is "
        f"{time_words(entry.ended)} after the start; {steps}."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    titles = (("step by step", now.careful), ("in a hurry", now.hurried))
    return PanelMaps(
        [(f"{title}, after {one.step.number} {one.step.words}", one.panel) for title, one in titles],
        now.panel_view,
        alone=True,
        light=now.light,
    )


@bench.adds
def in_full(now: Now) -> page.Markup:
    reasons = [reason.text(now.system) for reason in now.hurried.verdict.reasons]
    told = page.items(f"{reason[:1].upper()}{reason[1:]}." for reason in reasons)
    return page.folded("What the verdict says of the repair in a hurry", told) if reasons else page.Markup("")
