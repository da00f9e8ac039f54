"""The rim of a coat before and after feathering, cut through far finer than a map shows."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import NamedTuple

import numpy as np

from coursekit import repair
from coursekit.lesson.draw.charts import Line, Part, chart
from coursekit.lesson.repair.demo_recipes import demo, numbered, taped_close, until
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.panel import Panel, Section, ramp_width
from coursekit.panel.state import SECTION_STEP
from coursekit.repair.condition import STRICT_SLOPE, Film
from coursekit.repair.readiness import KIND
from coursekit.repair.steps import HandSand, Mask, Spray, Unmask
from coursekit.repair.verdicts import SOFT_EDGE

REACH = 0.02  # m either way of the tape
UNSEEN = 1 / (KIND * STRICT_SLOPE)  # times as wide as thick: a slope that most people just see under a lamp


class Cut(NamedTuple):
    """One edge of the coat: places across it, its film there, and how wide it rises from 10 to 90 %."""

    place: np.ndarray
    film: np.ndarray
    width: float

    @property
    def full(self) -> float:
        return float(self.film[-1])


class Rim(NamedTuple):
    sprayed: Cut
    feathered: Cut
    beside: Film  # of the whole repair after feathering


def cut(panel: Panel, material: str = "surfacer", which: int = 0) -> Cut:
    """The left edge of a mask, the mean of the middle half of its stations: its ends meet other edges.

    which  0 for the first mask, -1 for the last
    """
    edges: list[Section] = [section for section in panel.sections if section.line.kind == "mask edge"]
    section = [section for section in edges if section.line.name.endswith("left")][which]
    layers = [number for number, layer in enumerate(panel.layers) if layer.material == material]
    stations = section.thickness.shape[1]
    middle = slice(stations // 4, stations - stations // 4)
    film = sum(section.thickness[number][middle] for number in layers).mean(axis=0)
    width = float(np.mean([ramp_width(section, number)[middle].mean() for number in layers[-1:]]))
    return Cut(section.across, film, width)


def compute(tape: str, sanding_tool: str, strokes: float, force: float, preview: bool = False) -> Rim:
    masked, unmasked = numbered(demo(), Mask, 1), numbered(demo(), Unmask, 1)
    base = taped_close(until(unmasked), masked, numbered(demo(), Spray, 1), edge=tape)
    hand = demo().steps[numbered(demo(), HandSand, -1) - 1]
    assert isinstance(hand, HandSand)
    feather = replace(hand, number=unmasked + 1, tool=sanding_tool, strokes=strokes, force=force)
    played = repair.replay(replace(base, steps=(*base.steps, feather)), preview=preview)
    return Rim(cut(played[unmasked - 1].panel), cut(played.panel), played[-1].condition.film["surfacer"])


def draw(now: Now) -> str:
    rim: Rim = now.result
    lines = [("sprayed", rim.sprayed, "dashed"), ("feathered", rim.feathered, "solid")]
    if now.kept:
        lines.append(("feathered, kept", now.kept.result.feathered, "dotted"))
    parts: list[Part] = []
    for words, one, dash in lines:
        here = np.abs(one.place) <= REACH
        parts.append(Line(now.number(one.place[here], "outward"), now.number(one.film[here], "film"), words, dash))
    return chart(
        now.axis("outward", -REACH, REACH, "under the tape ←   its edge   → the repair"),
        now.axis("film", 0, 1e-4),
        parts,
    )


def times(one: Cut) -> float:
    return one.width / one.full


def say(now: Now) -> str:
    rim: Rim = now.result
    words = f"The rim of the surfacer. Sprayed: {told(now, rim.sprayed)}. "
    if rim.feathered.full < 1e-6:
        return words + f"{now.text('strokes')} strokes of feathering have sanded it away here."
    left = now.show(rim.beside.thin, "film", 2)
    words += (
        f"After {now.text('strokes')} strokes of P320 over each place: {told(now, rim.feathered)}. Where the "
        f"surfacer is thinnest {left} are left. "
    )
    if times(rim.feathered) >= UNSEEN:
        return words + f"Over {UNSEEN:.0f} times as wide as thick, most people do not see it even under colour."
    if times(rim.feathered) >= SOFT_EDGE:
        return words + (
            f"Rims over {SOFT_EDGE:.0f} times as wide as thick count as soft: the next coat bridges it, "
            f"and the block goes on. Under colour most people still see a ring up to {UNSEEN:.0f} times."
        )
    return words + "That is still a step: under colour the light draws it as a ring. Feather on, over more width."


def told(now: Now, one: Cut) -> str:
    if one.width <= SECTION_STEP:
        return f"{now.show(one.full, 'film', 2)} within less than {now.show(SECTION_STEP, 'outward', 1)}, a step"
    return (
        f"{now.show(one.full, 'film', 2)} within {now.show(one.width, 'outward', 2)}, {times(one):.0f} "
        "times as "
        "wide as thick"
    )


bench = Bench(
    title="The feathered rim",
    about="A cut through the edge of the two first coats of surfacer, where the mask ended, feathered by hand with "
    "P320 before anything is blocked.",
    controls={
        "tape": Control("flat", label="tape of the first mask"),
        "sanding_tool": Control("soft pad", options=("soft pad", "foam block")),
        "strokes": Control("200", name="strokes_over", label="strokes of feathering"),
        "force": Control("20 N", slider=(4, 30, 1), slider_us=(1, 7, 0.25)),
    },
    compute=compute,
    rough=partial(compute, preview=True),
    draw=draw,
    say=say,
    sources=["wear_coefficient", "ray-geometry", "common-practice", "assumed-here"],
    measurement="ramp",
    beside=True,
)
