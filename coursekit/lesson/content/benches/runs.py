"""Too wet and it runs, too thin and it stays rough: the window of the wet film on an upright panel."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from coursekit import spraying
from coursekit.belief import band_si
from coursekit.lesson.content.shared.my_gun import share_words
from coursekit.lesson.draw.picture import Chart, Line, Mark, Row, Span, shaded, upright
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.uncertain import Band

FILMS = np.linspace(10e-6, 300e-6, 41)  # m
AXES = (20e-3, 100e-3, 500e-3)  # m; the axis stays put until the next one is needed
PEEL = 6e-3  # m, crest to crest: a long orange peel; shorter waves level in a second or two
USUAL = Band(0.5, 1.2, 3.0)  # Pa, of a surfacer thinned for a thin coat


@declare(
    "Hang, level or run",
    gives={
        "wettest": "wet_film",
        "hangs": "wet_film",
        "plain": "sag_distance",  # how far the wettest place would run ahead without any yield stress
        "sag": "sag_distance",  # over FILMS
        "sag_here": "sag_distance",
        "left": "share_left",
        "left_here": "share_left",
    },
    about=lambda units: (
        "The yield stress is what a paint withstands at rest before it flows. No data sheet prints it: about "
        f"{units(USUAL, 'yield_stress')} for a surfacer thinned for a thin coat, hardly any for base and clear."
    ),
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
def bench(
    wet_film: float = at("110 µm", label="wet film of the coat"),
    wet_excess: float = at("10 %"),
    yield_stress: float = at("1.2 Pa"),
    viscosity: float = at("120 mPa·s", label="viscosity, just landed"),
    density: float = at("1.3 kg/L", outfit=True, label="density of the paint"),
) -> dict[str, Any]:
    films = np.append(FILMS, wet_film)
    time, tension = own.coefficient("tenfold_time"), own.coefficient("surface_tension")
    wettest = films * (1 + wet_excess)
    sag = band_si(spraying.neighbour_sag, wettest, films, viscosity, density, time, yield_stress)
    left = band_si(spraying.wave_left, math.inf, PEEL, films, viscosity, tension, time)
    return {
        "wettest": wet_film * (1 + wet_excess),
        "hangs": float(spraying.critical_wet_film.si(yield_stress, density)),
        "plain": spraying.neighbour_sag.si(wettest[:-1], FILMS, viscosity, density, float(time)),
        "sag": Band(*(end[:-1] for end in sag)),
        "sag_here": Band(*(end[-1] for end in sag)),
        "left": Band(*(end[:-1] for end in left)),
        "left_here": Band(*(end[-1] for end in left)),
    }


@bench.says
def say(now: Now) -> str:
    words = f"{now.wet_film} of this paint, fresh on an upright panel, {now.wettest:2} at the wettest spot. "
    if now.wettest <= now.hangs:
        words += f"No run: its yield stress holds up to {now.hangs:2}. "
    else:
        seen = now.sag_here.of(own.coefficient("seen_sag").band)
        words += (
            f"That spot runs {now.sag_here} ahead of the film beside it before it thickens; a painter sees {seen}. "
            + (f"The yield stress holds only {now.hangs:2}. " if now.hangs > 0 else "No yield stress holds it. ")
        )
    return words + (
        f"Of orange peel {now.figure(PEEL, 'wavelength'):2} from crest to crest, {share_words(now.left_here)} stays. "
        "A thicker film levels better until it runs. An even film slides unseen. You see the spot where passes "
        "overlap or your hand paused."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    films, seen = now.wet_film.of(FILMS), now.sag.of(own.coefficient("seen_sag").band)
    across = films.axis(FILMS[-1])
    ahead = now.plain[len(FILMS) // 3].axis(AXES, "runs ahead by")
    hangs = now.hangs.of(min(now.hangs.si / (1 + now.wet_excess.si), FILMS[-1]))
    runs = [
        Span(seen.low, seen.high, "a run is seen"),
        *shaded(films, now.sag, "where it may lie", "this paint", pinned=None),
        Line(films, now.plain, "without yield stress", "dashed"),
        upright(hangs, ahead, "hangs up to here"),
        Mark(now.wet_film, now.sag_here, "now"),
    ]
    peel = [*shaded(films, now.left, "where it may lie", pinned=None), Mark(now.wet_film, now.left_here, "now")]
    return Row(
        Chart(across, ahead, runs, 410, 350), Chart(across, now.left.axis(1.0, "orange peel left"), peel, 390, 350)
    )
