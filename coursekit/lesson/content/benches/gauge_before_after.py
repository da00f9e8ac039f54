"""A cleared card, flattened and polished on the computed panel, with a gauge before and after."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit import panel as acts
from coursekit import repair, sanding
from coursekit.lesson.draw.comb import CUT_HIGH, gauges
from coursekit.lesson.draw.drawing import Sketch
from coursekit.lesson.draw.map_pictures import PanelMaps
from coursekit.lesson.draw.picture import Bar, Bars
from coursekit.lesson.repair.demo_recipes import demo, moved
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare

DRY, SAND, POLISH = 7, 8, 9
STRAY = 0.03  # of a reading


@declare(
    "Gauge before, gauge after",
    gives={
        "before": "film",  # gauge, all layers
        "after": "film",
        "gone": "removed",
        "clear": "film",  # mean film of clear before
        "left": "film",  # where most went
        "removed": "removed",  # true, where most went
        "peel_left": "remaining",
    },
    about=lambda units: (
        "A card with base and two coats of clear on the old paint, a day old in the computation. Sanded by hand, "
        f"then polished. Each reading of the gauge varies by {units(STRAY, 'volume_share')}; try another set of "
        "readings."
    ),
    sources=["wear_coefficient", "preston-1927", "bulletin-86-10-24", "service-information-2000", "assumed-here"],
    measurement="removal",
    lamp=True,
)
def bench(
    grade: str = at("P1500", label="paper"),
    strokes: float = at("20", slider=(0, 300, 5)),
    force: float = at("10 N", slider=(4, 30, 1), slider_us=(1, 7, 0.25)),
    polish_time: float = at(
        "3 min", name="step_time", label="polishing", slider=(0, 20, 0.5), slider_us=(0, 20, 0.5)
    ),
    seed: float = at("1", name="seed", label="another set of readings", slider=(1, 18, 1), slider_us=(1, 18, 1)),
    *,
    preview: bool = False,
) -> dict[str, Any]:
    recipe = moved(demo("card"), SAND, paper=grade, strokes=strokes, force=force)
    played = repair.replay(moved(recipe, POLISH, time=polish_time), preview=preview)
    before, after = played[DRY - 1].panel, played[POLISH - 1].panel
    middle = (0.1, 0.3, 0.1, 0.3)
    where = acts.cells_of(after, middle)
    clear, left = (panel.film("clear")[where] for panel in (before, after))
    removed, mean = float((clear - left).max()), float(clear.mean())
    peel = [
        float(np.hypot(*(np.sqrt((band[where] ** 2).mean()) for band in panel.texture[2:])))
        for panel in (before, after)
    ]
    readings = [acts.gauge(panel, middle, seed=round(seed)).mean or 0.0 for panel in (before, after)]
    return {
        "panels": [("before", before), ("after polishing", after)],
        "before": readings[0],
        "after": readings[1],
        "gone": readings[0] - readings[1],
        "clear": mean,
        "left": mean - removed,
        "removed": removed,
        "peel_left": peel[1] / peel[0] if peel[0] else 0.0,
        "verdict": sanding.polishing_budget.si(mean, min(removed, mean)).verdict,
    }


@bench.says
def say(now: Now) -> str:
    read = (
        f"its difference says {now.gone:2} gone"
        if now.gone >= 0
        else "it reads more after than before: its error is larger than what went"
    )
    told = {
        "go": "No published limit is passed yet",
        "warn": "That is over the stricter limit: stop, and measure",
        "fail": "A published limit is passed: clear again",
    }[now.verdict]
    return (
        f"The gauge reads {now.before} before and {now.after} after: {read}. The computed panel lost {now.removed:2} "
        f"where most went. {now.peel_left:2} of the orange peel is left. {now.left} of clear are left there. {told}."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    rows = [
        Bar("gauge after, all layers down to the steel", now.after, pinned="gauge after, pinned"),
        Bar("clear left where most went", now.left, hatch="slant", pinned="clear left, pinned"),
    ]
    seen = PanelMaps(now.panels, "what shows", 132.0, alone=True, light=now.light)
    cut = Sketch(gauges((now.before, now.clear), (now.after, now.left)), height=CUT_HIGH)
    return [seen, cut, Bars(now.before.axis(250e-6), rows)]
