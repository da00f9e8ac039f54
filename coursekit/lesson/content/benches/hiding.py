"""Coats until filler spot, surfacer and old colour no longer show through."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coursekit import colour
from coursekit.colour.hiding import MOST_COATS
from coursekit.lesson.content.shared.colours import COLOURS, FILLER, SURFACERS, patches, scattering_of
from coursekit.lesson.draw.charts import Axis, Line, Mark, Part, Shade, Span, chart
from coursekit.lesson.draw.swatches import swatches
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.uncertain import Band

COATS = np.arange(0, MOST_COATS + 1)
GROUNDS = ("filler spot", "surfacer", "old colour")
AXES = (5.0, 10.0, 20.0, 50.0, 100.0, 200.0)  # of colour difference; stays put until the next is needed


class Found(NamedTuple):
    hiding: dict[str, colour.Hiding]  # weak, middle and strong paint
    worst: Band  # difference of the worst ground, from no coat on
    through: list[colour.Lab]  # what is seen now over each ground
    spread: float  # the largest difference of these from the full colour


def compute(colour_name: str, surfacer: str, old: str, coat_film: float, coats: float) -> Found:
    full = list(COLOURS[colour_name])
    grounds = [list(FILLER), list(SURFACERS[surfacer]), list(COLOURS[old])]
    ends = dict(zip(("weak", "middle", "strong"), scattering_of(colour_name), strict=True))
    hiding = {word: colour.coats_to_hide.si(full, grounds, coat_film, "solid", s) for word, s in ends.items()}
    bare = np.max(colour.difference.si(full, grounds))
    curves = [np.concatenate([[bare], hiding[word].differences]) for word in ("strong", "middle", "weak")]
    film = round(coats) * coat_film
    through = [colour.seen_over.si(full, ground, film, "solid", ends["middle"]) for ground in grounds]
    spread = float(np.max(colour.difference.si([list(seen) for seen in through], full)))
    return Found(hiding, Band(*curves), through, spread)


def draw(now: Now) -> str:
    worst = now.result.worst
    highest = max(float(n.result.worst.high.max()) for n in (now, now.kept) if n)
    most = next((end for end in AXES if end >= highest), AXES[-1])
    coats = round(now["coats"])
    parts: list[Part] = [
        Span(0, 1, "about not seen"),
        Shade(COATS, worst.low, worst.high, "where your paint may lie"),
        Line(COATS, worst.middle, "middle"),
        Mark(
            coats, float(worst.middle[coats]), "coats now", low=float(worst.low[coats]), high=float(worst.high[coats])
        ),
    ]
    if now.kept:
        parts.append(Line(COATS, now.kept.result.worst.middle, "kept", "dashed"))
    picture = chart(Axis("coats", 0, MOST_COATS), Axis("colour difference", 0, most), parts)
    seen = patches(
        [*now.result.through, COLOURS[now["colour_name"]]], [*(f"over {word}" for word in GROUNDS), "full colour"]
    )
    rows = [(f"after {coats} coat{'' if coats == 1 else 's'}, a paint in the middle of the band", seen)]
    return picture + swatches(rows)


def say(now: Now) -> str:
    found = now.result
    strong, middle, weak = (found.hiding[word].coats for word in ("strong", "middle", "weak"))
    coats = round(now["coats"])
    shows = GROUNDS[found.hiding["middle"].last_ground]
    least = f"{strong}" if strong else f"more than {MOST_COATS}"
    most = f"{weak}" if weak else f"more than {MOST_COATS}"
    number = f"{least} coats" if least == most else f"{least} to {most} coats"
    words = (
        f"{now['colour_name'].capitalize()} at {now.text('coat_film')} a coat over filler, {now['surfacer']} "
        f"surfacer and old {now['old'].removeprefix('demo ')}: hidden after {number} by this computation. "
        f"The {shows} shows longest. After {coats} {'coat' if coats == 1 else 'coats'} the largest difference "
        f"is {found.spread:.2g} for a paint in the middle of the band. "
    )
    if middle is None or middle > 4:
        words += "That is many: lay one even ground near the colour first, with a surfacer or a ground coat. "
    return words + (
        "A guide for the number of coats, not for the shade: a card with black and white on it, sprayed "
        "along, decides. Metallic, pearl and clear do not follow this theory."
    )


bench = Bench(
    title="Coats until nothing shows through",
    about="A repaired spot is a patchwork: pale filler where it was sanded through, surfacer, old colour. "
    "Red and yellow stand for paints that hide weakly, white for one that hides strongly.",
    controls={
        "colour_name": Control("demo red", name="colour", label="new colour", options=tuple(COLOURS)),
        "surfacer": Control("mid grey", name="grounds", label="surfacer", options=tuple(SURFACERS)),
        "old": Control("demo red", name="old_colour", label="old colour around it", options=tuple(COLOURS)),
        "coat_film": Control("6 µm", slider=(4, 30, 1)),
        "coats": Control("1", label="coats so far", slider=(0, 12, 1)),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["scattering", "kubelka-1948", "iso-6504", "delta-e-one"],
    measurement="hiding_card",
)
