"""Colour difference to the full colour after each coat, over three grounds: the spray-out card in numbers."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coursekit import colour
from coursekit.lesson.draw.charts import Line, Mark, Part, Shade, Span, chart
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Control, Now

BLUE = (35.0, 5.0, -42.0)  # L*, a*, b* of the invented case's solid blue
GROUNDS = {"filler": (78.0, 2.0, 22.0), "grey surfacer": (55.0, 0.0, 0.0), "old colour": (37.0, 6.0, -38.0)}
MOST = 8  # coats on the axis


class Found(NamedTuple):
    thin: colour.Hiding  # for a paint that scatters least
    usual: colour.Hiding
    strong: colour.Hiding


def compute(coat_film: float, just_seen: float, coats: float) -> Found:
    scatter = own.coefficient("scattering")
    return Found(
        *(
            colour.coats_to_hide.si(BLUE, list(GROUNDS.values()), coat_film, "solid", float(value), just_seen)
            for value in (scatter.low, scatter, scatter.high)
        )
    )


def draw(now: Now) -> str:
    across = np.arange(1, MOST + 1)
    found: Found = now.result
    thin, usual, strong = (np.asarray(one.differences)[:MOST] for one in found)
    place = round(now["coats"]) - 1
    parts: list[Part] = [
        Span(0, now["just_seen"], "not seen"),
        Shade(across, strong, thin, "band of the paint's hiding"),
        Line(across, usual, "middle"),
        Mark(now["coats"], float(usual[place]), "your coats", low=float(strong[place]), high=float(thin[place])),
    ]
    if now.kept:
        kept = np.asarray(now.kept.result.usual.differences)[:MOST]
        parts.append(Line(across, kept, "kept", "dashed"))
    return chart(
        now.axis("coats", 1, MOST),
        now.axis("colour_difference", 0, 15, "colour difference, worst ground"),
        parts,
        700,
        340,
    )


def say(now: Now) -> str:
    found: Found = now.result
    numbers = [one.coats for one in (found.strong, found.usual, found.thin)]
    told = " to ".join(dict.fromkeys("more than 12" if n is None else f"{n:.0f}" for n in (numbers[0], numbers[-1])))
    ground = list(GROUNDS)[found.usual.last_ground]
    place = round(now["coats"]) - 1
    left = now.show(float(found.usual.differences[place]), "colour_difference", 2)
    return (
        f"At {now.text('coat_film')} dry a coat, a solid blue over filler, grey surfacer and old blue takes "
        f"{told} coats until the worst ground, {ground}, is no longer seen. After {now.text('coats')} the "
        f"difference is about {left}, and {now.text('just_seen')} is just seen. A spray-out card of your own "
        "tin decides, "
        "and narrows this band."
    )


bench = Bench(
    title="Coats until the ground is gone",
    about="An invented solid blue. Metallic and pearl are not computed: their flakes decide, and only a card tells.",
    controls={
        "coat_film": Control("4 µm", slider=(2, 20, 0.5), slider_us=(0.1, 0.8, 0.02)),
        "just_seen": Control("1", label="colour difference just seen", slider=(0.5, 3, 0.1)),
        "coats": Control("2", slider=(1, MOST, 1), label="coats you have sprayed"),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["scattering", "kubelka-1948", "delta-e-one", "derived-here"],
    measurement="hiding_card",
)
