"""How a step in colour is spread into the next panel by coats that fade out."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit import colour
from coursekit.lesson.content.shared.colours import COLOURS, scattering_of, strip
from coursekit.lesson.draw.picture import Chart, Span, shaded
from coursekit.lesson.draw.swatches import swatches
from coursekit.lesson.draw.zones import LEFT, RIGHT, zones
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.uncertain import Band

ALONG = np.linspace(0, 0.9, 46)  # m into the next panel
PATCHES, BESIDE = 24, 3  # of the next panel, and of the repaired one
AXES = (2.0, 5.0, 10.0, 20.0, 50.0)
APART = 0.01  # m, of two places that are compared


def shift(label: str, start: str) -> Any:
    return at(start, name="lab_part", label=label, slider=(-8, 8, 0.5))


@declare(
    "A step in colour, spread into the next panel",
    gives={"to_old": "colour_difference", "bare": "colour_difference", "score": "blend_score"},
    about="The next panel is scuffed and cleared all over; the colour fades out in it. How a hand fades is assumed.",
    sources=["scattering", "kubelka-1948", "sharma-2005", "gomez-2016", "assumed-here"],
    measurement="hiding_card",
)
def bench(
    colour_name: str = at("demo grey", name="old_colour", label="old paint", options=tuple(COLOURS)),
    paint: str = at("solid"),
    lighter: float = shift("new: lighter (+) or darker (−), L*", "2"),
    yellower: float = shift("new: yellower (+) or bluer (−), b*", "2"),
    coats: float = at("3", label="coats that fade out", slider=(1, 6, 1)),
    first_reach: float = at(
        "150 mm", name="blend_length", label="first coat fades out at", slider=(50, 400, 10), slider_us=(2, 16, 0.5)
    ),
    further: float = at(
        "100 mm",
        name="blend_length",
        label="each further coat reaches on by",
        slider=(0, 150, 10),
        slider_us=(0, 6, 0.5),
    ),
    coat_film: float = at("8 µm", slider=(4, 30, 1)),
) -> dict[str, Any]:
    old = list(COLOURS[colour_name])
    new = [old[0] + lighter, old[1], old[2] + yellower]
    reaches = first_reach + further * np.arange(round(coats), dtype=np.float64)
    scattering = scattering_of(colour_name)
    found = [colour.blend.si(old, new, reaches, coat_film, paint, s) for s in scattering]
    along = np.array([np.interp(ALONG, one.place, one.to_old, right=0.0) for one in found])
    films = np.interp(np.linspace(0, ALONG[-1], PATCHES), found[1].place, found[1].film, right=0.0)
    seen = colour.seen_over.si(new, old, films, paint, scattering.middle)
    scores, steps = (np.sort([getattr(one, field) for one in found]) for field in ("score", "steepest"))
    return {
        "to_old": Band(along.min(axis=0), along[1], along.max(axis=0)),  # to the old paint, along the panel
        "middle": found[1],
        "score": Band(*map(float, scores)),
        "steepest": Band(*map(float, steps)),
        "bare": float(colour.difference.si(old, new)),
        "soft": strip([new] * BESIDE + list(zip(*seen, strict=True))),
        "hard": strip([new] * BESIDE + [old] * PATCHES),
    }


@bench.says
def say(now: Now) -> str:
    if now.bare < 0.05:
        return "Old and new are the same colour: there is nothing to blend."
    coats = round(now.coats)
    most = " to ".join(dict.fromkeys(f"{end:.2g}" for end in (now.steepest.low, now.steepest.high)))
    return (
        f"Ended at the gap, the step in colour is {now.bare:.2g}. Now {coats} "
        f"{'coat fades' if coats == 1 else 'coats fade'} out, the last one "
        f"{now.first_reach + now.further * (coats - 1.0)} into the next panel. Places "
        f"{now.first_reach.of(APART):2} apart differ by at most {most}: "
        f"{now.score} of the bare edge. {now.middle.words} So it compares one blend with another, and the spray-out "
        "card in daylight decides."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    along = now.first_reach.of(ALONG)
    shown = shaded(along, now.to_old, "where your paint may lie", "difference to the old paint")
    picture = Chart(
        along.axis(ALONG[-1], "into the next panel"),
        now.bare.axis(AXES),
        [Span(0, 1, "about not seen, side by side"), *shown],
        height=190,
    )
    rows = [
        ("repaired panel at the left, next panel blended", now.soft),
        ("the same paint ended at the gap", now.hard),
    ]
    gap = LEFT + (RIGHT - LEFT) * BESIDE / (BESIDE + PATCHES)  # as in the strips
    base = now.middle.place, now.middle.film, now.coat_film * round(now.coats)
    ends = [now.first_reach + now.further * number for number in range(round(now.coats))]
    return [zones(gap, ALONG[-1], base, ends), swatches(rows, height=34), picture]
