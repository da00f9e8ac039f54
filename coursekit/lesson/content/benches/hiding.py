"""Coats until filler spot, surfacer and old colour no longer show through."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit import colour
from coursekit.colour.hiding import MOST_COATS
from coursekit.lesson.content.shared.colours import COLOURS, FILLER, SURFACERS, patches, scattering_of
from coursekit.lesson.draw.picture import Chart, Mark, Span, shaded
from coursekit.lesson.draw.swatches import swatches
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.uncertain import Band

COATS = np.arange(0.0, MOST_COATS + 1)
GROUNDS = ("filler spot", "surfacer", "old colour")
AXES = (5.0, 10.0, 20.0, 50.0, 100.0, 200.0)  # of colour difference; stays put until the next is needed

UNTOLD = 0.01  # of a colour difference: nobody sees a hundredth of what is just seen


@declare(
    "Coats until nothing shows through",
    gives={"worst": "colour_difference"},  # of the worst ground, from no coat on
    about="A repaired spot is a patchwork: pale filler where it was sanded through, surfacer, old colour. Red and "
    "yellow stand for paints that hide weakly, white for one that hides strongly.",
    sources=["scattering", "kubelka-1948", "iso-6504", "delta-e-one"],
    measurement="hiding_card",
)
def bench(
    colour_name: str = at("demo red", name="colour", label="new colour", options=tuple(COLOURS)),
    surfacer: str = at("mid grey", name="grounds", label="surfacer", options=tuple(SURFACERS)),
    old: str = at("demo red", name="old_colour", label="old colour around it", options=tuple(COLOURS)),
    coat_film: float = at("6 µm", slider=(4, 30, 1)),
    coats: float = at("1", label="coats so far", slider=(0, 12, 1)),
) -> dict[str, Any]:
    full = list(COLOURS[colour_name])
    grounds = [list(FILLER), list(SURFACERS[surfacer]), list(COLOURS[old])]
    ends = dict(zip(("weak", "middle", "strong"), scattering_of(colour_name), strict=True))
    hiding = {word: colour.coats_to_hide.si(full, grounds, coat_film, "solid", s) for word, s in ends.items()}
    bare = np.max(colour.difference.si(full, grounds))
    curves = [np.concatenate([[bare], hiding[word].differences]) for word in ("strong", "middle", "weak")]
    film = round(coats) * coat_film
    through = [colour.seen_over.si(full, ground, film, "solid", ends["middle"]) for ground in grounds]
    return {
        "hiding": hiding,  # weak, middle and strong paint
        "worst": Band(*curves),
        "through": through,  # what is seen now over each ground
        # the largest difference of these from the full colour
        "spread": float(np.max(colour.difference.si([list(seen) for seen in through], full))),
    }


@bench.says
def say(now: Now) -> str:
    strong, middle, weak = (now.hiding[word].coats for word in ("strong", "middle", "weak"))
    coats = round(now.coats)
    shows = GROUNDS[now.hiding["middle"].last_ground]
    least = f"{strong}" if strong else f"more than {MOST_COATS}"
    most = f"{weak}" if weak else f"more than {MOST_COATS}"
    number = ("1 coat" if most == "1" else f"{most} coats") if least == most else f"{least} to {most} coats"
    left = f"{now.spread:.2g}" if now.spread > UNTOLD else "next to nothing"
    words = (
        f"{now.colour_name.capitalize()} at {now.coat_film} a coat over filler, {now.surfacer} surfacer and old "
        f"{now.old.removeprefix('demo ')}: hidden after {number} by this computation. The {shows} shows longest. "
        f"After {coats} {'coat' if coats == 1 else 'coats'} the largest difference is {left} for a paint "
        "in the middle of the band. "
    )
    if middle is None or middle > 4:
        words += "That is many: lay one even ground near the colour first, with a surfacer or a ground coat. "
    return words + (
        "A guide for the number of coats, not for the shade: a card with black and white on it, sprayed along, "
        "decides. Metallic, pearl and clear do not follow this theory."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    coats = round(now.coats)
    parts = [
        Span(0, 1, "about not seen"),
        *shaded(COATS, now.worst, "where your paint may lie", "middle"),
        Mark(coats, now.worst[coats], "coats now"),
    ]
    seen = patches([*now.through, COLOURS[now.colour_name]], [*(f"over {word}" for word in GROUNDS), "full colour"])
    rows = [(f"after {coats} coat{'' if coats == 1 else 's'}, a paint in the middle of the band", seen)]
    return [Chart(now.coats.axis(MOST_COATS, "coats"), now.worst.axis(AXES), parts), swatches(rows)]
