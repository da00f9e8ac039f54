"""How a step in colour is spread into the next panel by coats that fade out."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coursekit import colour
from coursekit.lesson.content.shared.colours import COLOURS, scattering_of, strip
from coursekit.lesson.draw.charts import Line, Part, Shade, Span, chart
from coursekit.lesson.draw.swatches import Patch, swatches
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.uncertain import Band

ALONG = np.linspace(0, 0.9, 46)  # m into the next panel
PATCHES = 24
AXES = (2.0, 5.0, 10.0, 20.0, 50.0)


class Found(NamedTuple):
    to_old: Band  # colour difference to the old paint, along the panel
    middle: colour.Blend
    score: Band
    steepest: Band
    bare: float
    soft: list[Patch]
    hard: list[Patch]


def compute(
    colour_name: str,
    paint: str,
    lighter: float,
    yellower: float,
    coats: float,
    first_reach: float,
    further: float,
    coat_film: float,
) -> Found:
    old = list(COLOURS[colour_name])
    new = [old[0] + lighter, old[1], old[2] + yellower]
    reaches = first_reach + further * np.arange(round(coats), dtype=np.float64)
    scattering = scattering_of(colour_name)
    found = [colour.blend.si(old, new, reaches, coat_film, paint, s) for s in scattering]
    along = np.array([np.interp(ALONG, one.place, one.to_old, right=0.0) for one in found])
    films = np.interp(np.linspace(0, ALONG[-1], PATCHES), found[1].place, found[1].film, right=0.0)
    seen = colour.seen_over.si(new, old, films, paint, scattering.middle)
    soft = strip([new] * 3 + list(zip(*seen, strict=True)))
    hard = strip([new] * 3 + [old] * PATCHES)
    scores, steps = (np.sort([getattr(one, field) for one in found]) for field in ("score", "steepest"))
    return Found(
        Band(along.min(axis=0), along[1], along.max(axis=0)),
        found[1],
        Band(*map(float, scores)),
        Band(*map(float, steps)),
        float(colour.difference.si(old, new)),
        soft,
        hard,
    )


def draw(now: Now) -> str:
    found = now.result
    across = now.number(ALONG, "blend_length")
    most = next((end for end in AXES if end >= found.bare), AXES[-1])
    parts: list[Part] = [
        Span(0, 1, "about not seen, side by side"),
        Shade(across, found.to_old.low, found.to_old.high, "where your paint may lie"),
        Line(across, found.to_old.middle, "difference to the old paint"),
    ]
    if now.kept:
        parts.append(Line(across, now.kept.result.to_old.middle, "kept", "dashed"))
    picture = chart(
        now.axis("blend_length", 0, ALONG[-1], "into the next panel"), now.axis("colour_difference", 0, most), parts
    )
    return picture + swatches(
        [
            ("repaired panel at the left, next panel blended", found.soft),
            ("the same paint ended at the gap", found.hard),
        ],
        height=46,
    )


def say(now: Now) -> str:
    found = now.result
    if found.bare < 0.05:
        return "Old and new are the same colour: there is nothing to blend."
    coats = round(now["coats"])
    far = now["first_reach"] + now["further"] * (coats - 1)
    return (
        f"Ended at the gap, the step in colour is {found.bare:.2g}. With {coats} "
        f"{'coat that fades' if coats == 1 else 'coats that fade'} out, the last one "
        f"{now.show(float(far), 'blend_length')} into the next panel, no two places {now.show(0.01, 'blend_length')} "
        f"apart differ by more than {found.steepest.low:.2g} to {found.steepest.high:.2g}: "
        f"{now.show(found.score, 'blend_score')} of the bare edge. {found.middle.words} So it compares one blend "
        "with another, and the spray-out card in daylight decides."
    )


def shift(label: str, start: str) -> Control:
    return Control(start, name="lab_part", label=label, slider=(-8, 8, 0.5))


bench = Bench(
    title="A step in colour, spread into the next panel",
    about="The next panel is dulled and cleared all over; the colour fades out in it. How a hand fades is assumed.",
    controls={
        "colour_name": Control("demo grey", name="old_colour", label="old paint", options=tuple(COLOURS)),
        "paint": Control("solid"),
        "lighter": shift("new: lighter (+) or darker (−), L*", "2"),
        "yellower": shift("new: yellower (+) or bluer (−), b*", "2"),
        "coats": Control("3", label="coats that fade out", slider=(1, 6, 1)),
        "first_reach": Control(
            "150 mm",
            name="blend_length",
            label="first coat fades out at",
            slider=(50, 400, 10),
            slider_us=(2, 16, 0.5),
        ),
        "further": Control(
            "100 mm",
            name="blend_length",
            label="each further coat reaches on by",
            slider=(0, 150, 10),
            slider_us=(0, 6, 0.5),
        ),
        "coat_film": Control("8 µm", slider=(4, 30, 1)),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["scattering", "kubelka-1948", "sharma-2005", "gomez-2016", "assumed-here"],
    measurement="hiding_card",
)
