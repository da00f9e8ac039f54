"""Guide coat as a map while blocking: a high and a low under an even coat of surfacer."""

from __future__ import annotations

import functools
from typing import Any

import numpy as np

from coursekit import panel, sanding
from coursekit.lesson.content.shared import sanded_piece
from coursekit.lesson.draw.map_pictures import PanelMaps
from coursekit.lesson.draw.picture import Chart, Line
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.panel import Panel
from coursekit.panel.sanding import PREVIEW
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
LITTLE = 5e-6  # m of surfacer, under which nobody goes on (assumed): a few strokes, or one uneven press
SPECKS = 0.03  # of the card dark: then the trade stops and looks (common practice; the share is assumed)
UNDER = 464  # wide, so that a section lies under its map, place under place
ENDS = (50e-6, 100e-6, 150e-6, 200e-6, 300e-6, 500e-6, 1e-3)


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


def spot(at: float) -> tuple[float, float, float, float]:
    return at - SPOT, at + SPOT, MIDDLE - SPOT, MIDDLE + SPOT


@declare(
    "Guide coat as a map",
    gives={
        "removed": "removed",  # mean, that these strokes take off
        "on_low": "remaining",  # guide coat left
        "on_high": "remaining",
        "dark": "remaining",  # share of the card still dark
        "thinnest": "film",
        "length": "wavelength",
        "place": "place",
        "heights": "removed",
    },
    about=lambda units: (
        f"A flat card, {units(SIZE[0], 'block_length'):2} by {units(SIZE[1], 'block_length'):2}, with a high and a "
        "low in its filler and an even coat of surfacer, dusted with guide coat and blocked with fresh P320."
    ),
    sources=[
        "wear_coefficient",
        "hardness_surfacer",
        "preston-1927",
        "levelling-derived",
        "arc-minute-eye",
        "assumed-here",
    ],
    measurement="removal",
    lamp=True,
)
def bench(
    held: str = at("long board", options=("hand block", "long board", "foam block", "fingers")),
    stroke_direction: str = at("along"),
    strokes: float = at("40", slider=(0, 800, 10), slider_us=(0, 800, 10), label="strokes over each spot"),
    force: float = at("20 N", slider=(5, 45, 1), slider_us=(1, 10, 0.25), measured="hand_force"),
    amplitude: float = at(
        "60 µm", slider=(0, 100, 5), slider_us=(0, 4, 0.2), label="height of the high, depth of the low"
    ),
    *,
    preview: bool = False,
) -> dict[str, Any]:
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
        finer=PREVIEW if preview else 1.0,
    )
    removed: Band = own.band_si(
        sanding.removal,
        pressure=force / tool.area,
        distance=strokes * tool.length,
        grade="P320",
        hardness=own.coefficient("hardness_surfacer"),
    )
    judged = panel.cells_of(after, JUDGED)
    row = after.dents.shape[0] // 2
    condition = condition_of(after, JUDGED)
    return {
        "after": after,
        "removed": removed,
        "on_low": panel.guide_left(after, spot(LOW)),
        "on_high": panel.guide_left(after, spot(HIGH)),
        "dark": float((after.guide_coat[judged] > GONE).mean()),
        "thinnest": float(after.film("surfacer")[judged].min()),
        "filler": panel.shows(after, JUDGED).share.get("filler", 0.0) * float(judged.sum()) * after.cell_area,  # m²
        "waves": condition.waves,  # times a strict eye's limit
        "length": Band(0.7 * condition.wavelength, condition.wavelength, 1.4 * condition.wavelength),
        "place": after.shape.x,
        "heights": {  # over the filler's level, along the middle
            "before": (before.surface - FILLER)[row],
            "after": (after.surface - FILLER)[row],
            "filler": (after.dents + after.film("filler") - FILLER)[row],
        },
    }


@bench.says
def say(now: Now) -> str:
    if not now.strokes:
        return "Nothing is sanded yet: guide coat lies dark all over, and nobody sees the high and the low."
    high, low, dark = (round(share, 3) for share in (now.on_high, now.on_low, now.dark))
    words = (
        f"{now.strokes} of P320 under {now.force} take off {now.removed} on average; the picture shows the best "
        f"estimate. Of the guide coat {high:2} is left on the high, {low:2} in the low; {dark:2} of the card still "
        "looks dark. "
    )
    if now.filler > 0:
        words += (
            f"The high is broken through: filler shows on {spot_words(now.filler, now.system)}, and it began there. "
        )
    else:
        words += f"The thinnest surfacer is {now.thinnest:2}. "
    if now.dark > 0.005 and now.on_low > GONE:
        words += "What is dark now is low"
        if now.thinnest < LITTLE:
            words += ", and next to no film is left on the high to go on with: stop, and build up. "
        elif now.dark < SPECKS:
            words += ", and little of it: stop and look. Each more stroke takes film where it is thinnest. "
        else:
            words += ": block on while there is film on the high. "
    elif now.dark > 0.005:
        words += "A little is dark still. "
    return words + eyes(now)


def eyes(now: Now) -> str:
    """What a strict eye and most eyes say."""
    if now.waves <= 1:
        return "It is straight, even to a strict eye."
    most, digits = now.waves <= KIND, ".0f" if now.waves >= 9.5 else ".1f"
    judged = "straight to most eyes, not to a strict one" if most else "not straight: most people see it"
    return (
        f"It is {judged}. The waves left, mostly {now.length:2} long, bend light {now.waves:{digits}} times as far "
        f"as a strict eye sees. Most people see {KIND:.0f} times, under a tube lamp."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    end = next((end for end in ENDS if end >= SURFACER + now.amplitude), ENDS[-1])
    deepest = max(now.amplitude.si, -min(float(np.min(one.si)) for one in now.heights.values()))
    low = -next((end for end in ENDS if end >= deepest), ENDS[-1])
    section = Chart(
        now.place.axis(SIZE[0], "along the middle of the card"),
        now.removed.axis(end, "height", low),
        [
            Line(now.place, now.heights["before"], "before", "dotted"),
            Line(now.place, now.heights["after"], "after", pinned="pinned, after"),
            Line(now.place, now.heights["filler"], "filler under it", "dashed"),
        ],
        UNDER,
        160,
    )
    return [PanelMaps([("after blocking", now.after)], "what shows", 310.0, light=now.light), section]
