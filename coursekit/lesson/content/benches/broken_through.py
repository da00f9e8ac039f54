"""Blocking until it is through: to what, on how much, and what must go on first."""

from __future__ import annotations

from functools import partial
from typing import NamedTuple

from coursekit import repair
from coursekit.lesson.draw.panel_maps import maps_of
from coursekit.lesson.repair.demo_recipes import demo, moved, numbered, until
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.repair import Entry, decisions
from coursekit.repair.steps import Block, Spray

LAST_BLOCK = {"surfacer, P320": ("P320", -1), "filler, P80": ("P80", -1)}


class Blocked(NamedTuple):
    before: Entry
    after: Entry


def compute(
    work: str, sanding_tool: str, strokes: float, force: float, surfacer_coats: float, preview: bool = False
) -> Blocked:
    paper, time = LAST_BLOCK[work]
    number, laid = numbered(demo(), Block, time, paper=paper), numbered(demo(), Spray, 1)
    recipe = moved(until(number), number, tool=sanding_tool, strokes=strokes, force=force)
    recipe = recipe if number < laid else moved(recipe, laid, coats=surfacer_coats)
    played = repair.replay(recipe, preview=preview)
    return Blocked(played[number - 2], played[number - 1])


def draw(now: Now) -> str:
    panels = [("kept", now.kept.result.after.panel)] if now.kept else []
    return maps_of([*panels, ("now", now.result.after.panel)], "what shows", now.system, now.words)


def say(now: Now) -> str:
    after: Entry = now.result.after
    material = "surfacer" if now["work"].startswith("surfacer") else "filler"
    film = after.condition.film[material]
    thin = now.show(film.thin, "film", 2)
    words = (
        f"{now.text('strokes')} strokes of {after.used.paper} over each place under {now.text('force')}, after "
        f"all that went before: {decisions.broken_through(after, now.system)} The thinnest twentieth of the "
        f"{material} that is there is {thin} or less. "
    )
    if material == "filler":  # the question of a recoat comes with the surfacer
        return words
    return words + str(decisions.recoat_or_go_on(after, now.system))


bench = Bench(
    title="Through, and to what",
    about="The door of the demo repair, blocked once more with your settings: its surfacer, or before that its "
    "filler.",
    controls={
        "work": "surfacer, P320",
        "sanding_tool": Control("hand block", options=("hand block", "long board")),
        "strokes": Control("320", name="strokes_over", slider=(20, 1500, 20)),
        "force": Control("30 N", slider=(8, 45, 1), slider_us=(2, 10, 0.25)),
        "surfacer_coats": Control("2", name="coats", label="coats of surfacer laid", slider=(1, 3, 1)),
    },
    compute=compute,
    rough=partial(compute, preview=True),
    draw=draw,
    say=say,
    sources=["wear_coefficient", "preston-1927", "common-practice", "assumed-here"],
    measurement="removal",
    beside=True,
)
