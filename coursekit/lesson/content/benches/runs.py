"""Too wet and it runs, too thin and it stays rough: the window of the wet film on an upright panel."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from coursekit import spraying
from coursekit.belief import band_si
from coursekit.lesson.draw.charts import Line, Mark, Part, Shade, Span, chart, side_by_side
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.uncertain import Band

FILMS = np.linspace(10e-6, 300e-6, 41)  # m
AXES = (20e-3, 100e-3, 500e-3)  # m; the axis stays put until the next one is needed
PEEL = 6e-3  # m, crest to crest: a long orange peel; shorter waves level in a second or two


class Window(NamedTuple):
    hangs: float
    plain: np.ndarray  # how far the wettest place would run ahead without any yield stress
    sag: Band
    sag_now: Band
    left: Band
    left_now: Band


def compute(wet_film: float, wet_excess: float, yield_stress: float, viscosity: float, density: float) -> Window:
    hangs = float(spraying.critical_wet_film.si(yield_stress, density))
    films = np.append(FILMS, wet_film)
    time, tension = own.coefficient("tenfold_time"), own.coefficient("surface_tension")
    wettest = films * (1 + wet_excess)
    sag = band_si(spraying.neighbour_sag, wettest, films, viscosity, density, time, yield_stress)
    left = band_si(spraying.wave_left, math.inf, PEEL, films, viscosity, tension, time)
    plain = spraying.neighbour_sag.si(wettest[:-1], FILMS, viscosity, density, float(time))
    return Window(
        hangs,
        plain,
        Band(*(end[:-1] for end in sag)),
        Band(*(end[-1] for end in sag)),
        Band(*(end[:-1] for end in left)),
        Band(*(end[-1] for end in left)),
    )


def draw(now: Now) -> str:
    across, film = now.number(FILMS, "wet_film"), now.axis("wet_film", 0, FILMS[-1])
    sag, left = now.number(now.result.sag, "sag_distance"), now.number(now.result.left, "share_left")
    hangs = now.number(min(now.result.hangs / (1 + now["wet_excess"]), FILMS[-1]), "wet_film")
    seen = own.coefficient("seen_sag")
    low_seen, high_seen = (now.number(end, "sag_distance") for end in (seen.low, seen.high))
    half = max(float(n.result.plain[len(FILMS) // 3]) for n in (now, now.kept) if n)
    most = next((end for end in AXES if end >= half), AXES[-1])
    runs: list[Part] = [
        Span(low_seen, high_seen, "a run is seen"),
        Shade(across, sag.low, sag.high, "where it may lie"),
        Line(across, sag.middle, "this paint"),
        Line(across, now.number(now.result.plain, "sag_distance"), "without yield stress", "dashed"),
        Line([hangs, hangs], [0, now.number(most, "sag_distance")], "hangs up to here", "dotted"),
        *marks(now, "sag_now", "sag_distance"),
    ]
    peel: list[Part] = [
        Shade(across, left.low, left.high, "where it may lie"),
        Line(across, left.middle),
        *marks(now, "left_now", "share_left"),
    ]
    return side_by_side(
        chart(film, now.axis("sag_distance", 0, most, "runs ahead of the film beside it"), runs, 410, 350),
        chart(film, now.axis("share_left", 0, 1, "orange peel left"), peel, 390, 350),
    )


def marks(now: Now, field: str, name: str) -> list[Part]:
    found: list[Part] = []
    for which in (now.kept, now):
        if which:
            low, middle, high = now.number(getattr(which.result, field), name)
            label = "kept" if which is now.kept else "now"
            found.append(Mark(now.number(which["wet_film"], "wet_film"), middle, label, which is now.kept, low, high))
    return found


def say(now: Now) -> str:
    found = now.result
    wettest, seen = now["wet_film"] * (1 + now["wet_excess"]), own.coefficient("seen_sag")
    words = (
        f"{now.text('wet_film')} of this paint, fresh on an upright panel, "
        f"{now.show(wettest, 'wet_film', 2)} at the wettest spot. "
    )
    if wettest <= found.hangs:
        words += f"No run: its yield stress holds up to {now.show(found.hangs, 'wet_film', 2)}. "
    else:
        words += (
            f"That spot runs {now.show(found.sag_now, 'sag_distance')} ahead of the film beside it before it "
            f"thickens; a painter sees {now.show(Band(seen.low, 0.0, seen.high), 'sag_distance')}. The "
            f"yield stress holds only {now.show(found.hangs, 'wet_film', 2)}. "
        )
    return words + (
        f"Of orange peel {now.show(PEEL, 'wavelength')} from crest to crest, "
        f"{share(now, found.left_now, 'share_left')} stays. A thicker film levels better until it runs. An even film "
        "slides unseen. You see the spot where passes overlap or your hand paused."
    )


def share(now: Now, band: Band, name: str) -> str:
    """A band of shares in words, without the digits of what is next to nothing."""
    if band.high < 0.01:
        return "less than " + now.show(0.01, name)
    return "up to " + now.show(band.high, name, 2) if band.low < 0.01 else now.show(band, name)


bench = Bench(
    title="Hang, level or run",
    about="The yield stress is what a paint withstands at rest before it flows. No data sheet prints it: about "
    "0.5 to 3 Pa for a surfacer thinned for a thin coat, hardly any for base and clear.",
    controls={
        "wet_film": Control("110 µm", label="wet film of the coat"),
        "wet_excess": "10 %",
        "yield_stress": "1.2 Pa",
        "viscosity": Control("120 mPa·s", label="viscosity, just landed"),
        "density": Control("1.3 kg/L", outfit=True, label="density of the paint"),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=[
        "yield_stress",
        "seen_sag",
        "tenfold_time",
        "surface_tension",
        "falling-film",
        "orchard",
        "common-practice",
    ],
    measurement="comb",
)
