"""Guide coat as a map while blocking: a high and a low under an even coat of surfacer."""

from __future__ import annotations

import functools
from typing import NamedTuple

import numpy as np

from coursekit import panel, sanding
from coursekit.lesson.content.shared import sanded_piece
from coursekit.lesson.draw.charts import Line, Part, chart
from coursekit.lesson.draw.panel_maps import maps_of
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.panel import Panel
from coursekit.quantities import shown_band
from coursekit.repair.condition import condition_of
from coursekit.repair.readiness import KIND
from coursekit.repair.words import spot_words
from coursekit.uncertain import Band

SIZE = (0.5, 0.25)  # m
MIDDLE = SIZE[1] / 2
LOW, HIGH, WIDTH = 0.15, 0.36, 0.04  # m: where they lie, and half of their width
JUDGED = (0.03, 0.47, 0.03, 0.22)  # m
SPOT = 0.02  # m either way of their middle
FILLER, SURFACER = 300e-6, 80e-6
GONE = 0.5  # of the guide coat: less looks clean
UNDER = 504  # wide, so that a section lies under its map, place under place
ENDS = (50e-6, 100e-6, 150e-6, 200e-6)


class Blocked(NamedTuple):
    before: Panel
    after: Panel
    removed: Band  # mean, that these strokes take off
    on_low: float  # guide coat left
    on_high: float
    dark: float  # share of the card still dark
    thinnest: float  # surfacer
    filler: float  # m² showing
    waves: float  # times a strict eye's limit
    length: float


@functools.lru_cache(maxsize=8)
def sprayed(amplitude: float) -> Panel:
    card = panel.test_card(*SIZE, sanded_piece.CELL)
    x, y = np.meshgrid(card.x, card.y)

    def hill(at: float) -> np.ndarray:
        found: np.ndarray = np.exp(-((x - at) ** 2 + (y - MIDDLE) ** 2) / (2 * (WIDTH / 2) ** 2))
        return found

    found = panel.sheet_metal(
        card,
        dents=amplitude * (hill(HIGH) - hill(LOW)),
        coats=(("filler", FILLER), ("surfacer", SURFACER)),
        contamination=0.0,
    )
    return panel.guide_coat(found)[0]


def compute(held: str, stroke_direction: str, strokes: float, force: float, amplitude: float) -> Blocked:
    tool = sanded_piece.tool(held)
    before = sprayed(amplitude)
    after, _ = panel.block(
        before,
        tool=tool,
        paper=sanded_piece.paper("P320", tool, force),
        force=force,
        strokes=strokes,
        along=sanded_piece.WAYS[stroke_direction],
        overhang=0.2,
    )
    removed = own.banded(
        sanding.removal,
        pressure=force / tool.area,
        distance=strokes * tool.length,
        grade="P320",
        hardness=own.coefficient("hardness_surfacer"),
    )
    judged = panel.cells_of(after, JUDGED)
    dark = float((after.guide_coat[judged] > GONE).mean())
    showing = panel.shows(after, JUDGED).share.get("filler", 0.0) * float(judged.sum()) * after.cell_area
    condition = condition_of(after, JUDGED)
    on_low, on_high = (panel.guide_left(after, spot(at)) for at in (LOW, HIGH))
    return Blocked(
        before,
        after,
        removed,
        on_low,
        on_high,
        dark,
        float(after.film("surfacer")[judged].min()),
        showing,
        condition.waves,
        condition.wavelength,
    )


def spot(at: float) -> tuple[float, float, float, float]:
    return at - SPOT, at + SPOT, MIDDLE - SPOT, MIDDLE + SPOT


def draw(now: Now) -> str:
    found: Blocked = now.result
    panels = [("kept", now.kept.result.after)] if now.kept else []
    maps = maps_of(
        [*panels, ("guide coat left", found.after)], "guide coat", now.system, now.words, 0.0 if panels else 420.0
    )
    row = found.after.dents.shape[0] // 2
    across = now.number(found.after.shape.x, "place")
    heights = {
        "before": (found.before.surface - FILLER, "dotted"),
        "after": (found.after.surface - FILLER, "solid"),
        "filler under it": (found.after.dents + found.after.film("filler") - FILLER, "dashed"),
    }
    parts: list[Part] = [
        Line(across, now.number(height[row], "removed"), words, dash) for words, (height, dash) in heights.items()
    ]
    if now.kept:
        parts.append(
            Line(
                across,
                now.number((now.kept.result.after.surface - FILLER)[row], "removed"),
                "kept, after",
                "dash-dot",
            )
        )
    end = next((end for end in ENDS if end >= SURFACER + now["amplitude"]), ENDS[-1])
    low = -next((end for end in ENDS if end >= now["amplitude"]), ENDS[-1])
    section = chart(
        now.axis("place", 0, SIZE[0], "along the middle of the card"),
        now.axis("removed", low, end, "height"),
        parts,
        690 if now.kept else UNDER,
        240,
    )
    return maps + section


def say(now: Now) -> str:
    found: Blocked = now.result
    if not now["strokes"]:
        return "Nothing is sanded yet: guide coat lies dark all over, and nobody sees the high and the low."
    words = (
        f"{now.text('strokes')} of P320 under {now.text('force')} take off "
        f"{now.show(found.removed, 'removed')} on "
        f"average; the picture shows the middle of that. Of the guide coat "
        f"{now.show(round(found.on_high, 3), 'remaining', 2)} are left on the high, "
        f"{now.show(round(found.on_low, 3), 'remaining', 2)} "
        f"in the low; {now.show(round(found.dark, 3), 'remaining', 2)} of the card still look dark. "
        ""
    )
    if found.filler > 0:
        words += (
            f"The high is broken through: filler shows on {spot_words(found.filler, now.system)}, and it "
            "began there. "
        )
    else:
        words += f"The thinnest surfacer is {now.show(found.thinnest, 'film', 2)}. "
    if found.dark > 0.005 and found.on_low > GONE:
        words += (
            "What is dark now is low, and no film is left on the high to go on with: stop, and build up. "
            if found.filler > 0
            else "What is dark now is low: block on while there is film on the high. "
        )
    elif found.dark > 0.005:
        words += "A little is dark still. "
    return words + eyes(now, found.waves, found.length)


def eyes(now: Now, waves: float, length: float) -> str:
    """What a strict eye and most eyes say."""
    if waves <= 1:
        return "It is straight, even to a strict eye."
    judged = "straight to most eyes, not to a strict one" if waves <= KIND else "not straight: most people see it"
    long = shown_band(0.7 * length, 1.4 * length, "wavelength", now.system)
    return (
        f"It is {judged}: the waves left, mostly {long} long, bend light {waves:.0f} times as far as a strict "
        "eye "
        f"sees; most people see {KIND:.0f} times, under a tube lamp."
    )


bench = Bench(
    title="Guide coat as a map",
    about="A flat card, 50 × 25 cm (20 × 10 in), with a high and a low in its filler and an even coat of surfacer, "
    "dusted with guide coat and blocked with fresh P320.",
    controls={
        "held": Control("long board", options=("hand block", "long board", "foam block")),
        "stroke_direction": "along",
        "strokes": Control("40", slider=(0, 800, 10), slider_us=(0, 800, 10), label="strokes over each place"),
        "force": Control("20 N", slider=(5, 45, 1), slider_us=(1, 10, 0.25), measured="hand_force"),
        "amplitude": Control(
            "60 µm", slider=(0, 100, 5), slider_us=(0, 4, 0.2), label="height of the high, depth of the low"
        ),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=[
        "wear_coefficient",
        "hardness_surfacer",
        "preston-1927",
        "levelling-derived",
        "arc-minute-eye",
        "assumed-here",
    ],
    measurement="removal",
    beside=True,
)
