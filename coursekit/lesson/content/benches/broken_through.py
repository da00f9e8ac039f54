"""Blocking until it is through: to what, on how much, and what must go on first."""

from __future__ import annotations

from typing import Any

from coursekit import repair
from coursekit.lesson.draw.map_pictures import PanelMaps
from coursekit.lesson.repair.demo_recipes import demo, moved, numbered, until
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.panel.sanding import COARSEST
from coursekit.repair import decisions
from coursekit.repair.opened import opened_words
from coursekit.repair.steps import Block, Spray

LAST_BLOCK = {"surfacer, P320": ("P320", -1), "filler, P80": ("P80", -1)}


@declare(
    "Through, and to what",
    gives={"thin": "film"},
    about="The door of the demo repair, blocked once more with your settings: its surfacer, or before that its "
    "filler.",
    sources=[
        "wear_coefficient",
        "preston-1927",
        "common-practice",
        "assumed-here",
    ],
    measurement="removal",
    lamp=True,
)
def bench(
    work: str = at("surfacer, P320"),
    sanding_tool: str = at("rubber block", options=("rubber block", "hand block", "long board")),
    strokes: float = at("320", name="strokes_over", slider=(20, 1500, 20)),
    force: float = at("30 N", slider=(8, 45, 1), slider_us=(2, 10, 0.25)),
    surfacer_coats: float = at("2", name="coats", label="coats of surfacer laid", slider=(1, 3, 1)),
    *,
    preview: bool = False,
) -> dict[str, Any]:
    paper, time = LAST_BLOCK[work]
    number, laid = numbered(demo(), Block, time, paper=paper), numbered(demo(), Spray, 1)
    recipe = moved(until(number), number, tool=sanding_tool, strokes=strokes, force=force)
    recipe = recipe if number < laid else moved(recipe, laid, coats=surfacer_coats)
    after = repair.replay(recipe, preview=COARSEST if preview else 0.0)[number - 1]
    material = "surfacer" if work.startswith("surfacer") else "filler"
    return {"after": after, "material": material, "thin": after.condition.film[material].thin}


@bench.says
def say(now: Now) -> str:
    words = (
        f"{now.strokes} strokes of {now.after.used.paper} over each spot under {now.force}, after all that went "
        "before. "
    )
    left = f"The thinnest twentieth of the {now.material} left is {now.thin:2} or less. " if now.thin > 0 else ""
    through = decisions.broken_through(now.after, now.system)
    if now.material == "filler" or through.answer == "not broken through":
        words += f"{through} {left}"
    else:  # what goes on first is said by the decision that follows
        words += f"{' '.join(opened_words(now.after, now.system, remedy=False))} {left}"
    if now.material == "filler":  # the question of a recoat comes with the surfacer
        return words
    return words + str(decisions.recoat_or_go_on(now.after, now.system))


@bench.draws
def draw(now: Now) -> Drawn:
    return PanelMaps([("now", now.after.panel)], "what shows", light=now.light)
