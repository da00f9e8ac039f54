"""Colour difference to the full colour after each coat, over three grounds: the spray-out card in numbers."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit import colour
from coursekit.lesson.content.shared.colours import patches
from coursekit.lesson.draw.picture import Chart, Mark, Span, shaded
from coursekit.lesson.draw.swatches import under_a_tube
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.uncertain import Band

BLUE = (35.0, 5.0, -42.0)  # L*, a*, b* of the invented case's solid blue
GROUNDS = {"filler": (78.0, 2.0, 22.0), "grey surfacer": (55.0, 0.0, 0.0), "old colour": (37.0, 6.0, -38.0)}
MOST = 8  # coats on the axis


@declare(
    "Coats until the ground is gone",
    gives={"differences": "colour_difference", "left": "colour_difference"},
    about="An invented solid blue. Metallic and pearl are not computed: their flakes decide, and only a card tells.",
    sources=["scattering", "kubelka-1948", "delta-e-one", "derived-here"],
    measurement="hiding_card",
)
def bench(
    coat_film: float = at("4 µm", slider=(2, 20, 0.5), slider_us=(0.1, 0.8, 0.02)),
    just_seen: float = at("1", label="colour difference just seen", slider=(0.5, 3, 0.1)),
    coats: float = at("2", slider=(1, MOST, 1), label="coats you have sprayed"),
) -> dict[str, Any]:
    scatter = own.coefficient("scattering")
    strong, usual, thin = (  # hiding, for a paint that scatters most to one that scatters least
        colour.coats_to_hide.si(BLUE, list(GROUNDS.values()), coat_film, "solid", float(value), just_seen)
        for value in reversed(scatter.band)
    )
    differences = Band(*(np.asarray(one.differences) for one in (strong, usual, thin)))
    film = round(coats) * coat_film
    through = [colour.seen_over.si(BLUE, ground, film, "solid", float(scatter)) for ground in GROUNDS.values()]
    return {
        "through": through,  # what is seen now over each ground
        "strong": strong,
        "usual": usual,
        "thin": thin,
        "differences": Band(*(end[:MOST] for end in differences)),  # after each coat, over the worst ground
        "left": Band(*(float(end[round(coats) - 1]) for end in differences)),
    }


@bench.says
def say(now: Now) -> str:
    numbers = ["more than 12" if n is None else f"{n:.0f}" for n in (now.strong.coats, now.thin.coats)]
    coats = "coat" if set(numbers) == {"1"} else "coats"
    ground = list(GROUNDS)[now.usual.last_ground]
    return (
        f"At {now.coat_film} dry a coat a solid blue takes {' to '.join(dict.fromkeys(numbers))} {coats}. Then the "
        f"worst ground of filler, grey surfacer and old blue is no longer seen: {ground}. After "
        f"{now.coats} the difference is about {now.left.middle:2}, and {now.just_seen} is just seen. A spray-out "
        "card from your own can decides, and narrows this band."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    coats = np.arange(1, MOST + 1)
    parts = [
        Span(0, now.just_seen, "not seen"),
        *shaded(coats, now.differences, "band of the paint's hiding", "middle"),
        Mark(now.coats, now.left, "your coats"),
    ]
    upright = now.differences.axis(15.0, "difference, worst ground")
    title = f"after {now.coats:.0f} coat{'' if now.coats == 1 else 's'}, a paint in the middle of the band"
    seen = patches([*now.through, BLUE], [*(f"over {ground}" for ground in GROUNDS), "full colour"])
    return [under_a_tube(seen, title), Chart(now.coats.axis(MOST, low=1), upright, parts, height=290)]
