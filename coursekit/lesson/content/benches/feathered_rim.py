"""The rim of a coat before and after feathering, cut through far finer than a map shows."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from coursekit import repair
from coursekit.lesson.content.shared import coat_edge
from coursekit.lesson.draw.picture import Chart, Line
from coursekit.lesson.draw.rim import rims
from coursekit.lesson.repair.demo_recipes import demo, numbered, taped_close, until
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.panel.sanding import COARSEST
from coursekit.panel.state import SECTION_STEP
from coursekit.repair.condition import STRICT_SLOPE
from coursekit.repair.readiness import KIND
from coursekit.repair.steps import HandSand, Mask, Spray, Unmask
from coursekit.repair.verdicts import SOFT_EDGE

REACH = 0.02  # m either way of the tape
NEAR = 1e-3  # m; a film that is wide on the whole may still begin with a step
UNSEEN = 1 / (KIND * STRICT_SLOPE)  # times as wide as thick: a slope that most people just see under a lamp


@declare(
    "The feather edge",
    gives={"sprayed": coat_edge.GIVES, "feathered": coat_edge.GIVES, "thin": "film"},
    about="A cut through the edge of the two first coats of surfacer, where the mask ended, feathered by hand with "
    "P320 before anything is blocked.",
    sources=["wear_coefficient", "ray-geometry", "common-practice", "assumed-here"],
    measurement="ramp",
)
def bench(
    tape: str = at("flat", label="tape of the first mask"),
    sanding_tool: str = at("soft pad", options=("soft pad", "foam block")),
    strokes: float = at("200", name="strokes_over", label="strokes of feathering"),
    force: float = at("20 N", slider=(4, 30, 1), slider_us=(1, 7, 0.25)),
    *,
    preview: bool = False,
) -> dict[str, Any]:
    masked, unmasked = numbered(demo(), Mask, 1), numbered(demo(), Unmask, 1)
    base = taped_close(until(unmasked), masked, numbered(demo(), Spray, 1), edge=tape)
    hand = demo().steps[numbered(demo(), HandSand, -1) - 1]
    assert isinstance(hand, HandSand)
    feather = replace(hand, number=unmasked + 1, tool=sanding_tool, strokes=strokes, force=force)
    played = repair.replay(replace(base, steps=(*base.steps, feather)), preview=COARSEST if preview else 0.0)
    return {
        "sprayed": coat_edge.cut(played[unmasked - 1].panel),
        "feathered": coat_edge.cut(played.panel),
        "thin": played[-1].condition.film["surfacer"].thin,  # of the whole repair after feathering
    }


@bench.says
def say(now: Now) -> str:
    words = f"The rim of the surfacer. Sprayed: {told(now.sprayed)}. "
    if now.feathered.full < 1e-6:
        return words + f"{now.strokes} strokes of feathering have sanded it away here."
    words += (
        f"After {now.strokes} strokes of P320 over each spot: {told(now.feathered)}. Where the surfacer is thinnest "
        f"{now.thin:2} are left. "
    )
    if times(now.feathered) >= UNSEEN:
        rise = steepest(now.feathered.plain.place, now.feathered.plain.film)
        if rise > NEAR / UNSEEN:
            return words + (
                f"On the whole that is flat enough, but {now.thin.of(rise):2} of it rise within "
                f"{now.feathered.width.of(NEAR):1}: under colour the light still draws that as a ring."
            )
        return words + f"Over {UNSEEN:.0f} times as wide as thick, most people do not see it even under colour."
    if times(now.feathered) >= SOFT_EDGE:
        return words + (
            f"Rims over {SOFT_EDGE:.0f} times as wide as thick count as soft: the next coat bridges it, and the "
            f"block goes on. Under colour most people still see a ring up to {UNSEEN:.0f} times."
        )
    return words + "That is still a step: under colour the light draws it as a ring. Feather on, over more width."


def steepest(place: np.ndarray, film: np.ndarray) -> float:
    """The most that the film rises within `NEAR`."""
    return float((np.interp(place + NEAR, place, film) - film).max())


def times(edge: Any) -> float:
    return float(edge.width / edge.full)


def told(edge: Any) -> str:
    step = edge.width.of(SECTION_STEP)
    if edge.width <= step:
        return f"{edge.full:2} within less than {step:1}, a step"
    return f"{edge.full:2} within {edge.width:2}, {times(edge):.0f} times as wide as thick"


@bench.draws
def draw(now: Now) -> Drawn:
    here = np.abs(now.feathered.plain.place) <= REACH
    parts = [
        Line(edge.place[here], edge.film[here], words, dash, pinned)
        for words, edge, dash, pinned in (
            ("sprayed", now.sprayed, "dashed", None),
            ("feathered", now.feathered, "solid", "feathered, pinned"),
        )
    ]
    across = now.sprayed.place.axis(REACH, "under the tape ←   its edge   → the repair", -REACH)
    seen = [
        (words, edge.plain.place[here], edge.plain.film[here])
        for words, edge in (("Sprayed", now.sprayed), ("Feathered", now.feathered))
    ]
    return [rims(seen, REACH), Chart(across, now.sprayed.film.axis(1e-4), parts, height=230)]
