"""From the wet film on the panel to the film that stays, and how far a litre goes."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit import film
from coursekit.figure import Figure
from coursekit.lesson.draw.comb import COMB_HIGH, comb_and_gauge
from coursekit.lesson.draw.drawing import Sketch
from coursekit.lesson.draw.picture import Chart, Line, Mark
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.uncertain import Band

MOST_WET, MOST_DRY = 300e-6, 200e-6  # m; the axes stay put


@declare(
    "From wet film to dry film",
    gives={
        "solids": "volume_solids",
        "dry": "dry_film",
        "covers": "spreading_rate",
    },
    sources=["mil-hdbk-1110", "estimating-guide", "coverage-constant", "comb-steps", "organic-finishing-2012"],
)
def bench(
    wet_film: float = at("120 µm"), volume_solids: float = at("45 %"), reduction: float = at("0 %")
) -> dict[str, Any]:
    solids = film.thinned_volume_solids.si(volume_solids, reduction)
    dry = film.dry_film.si(wet_film, solids)
    return {"solids": solids, "dry": dry, "covers": film.spreading_rate.si(max(dry, 1e-7), solids)}


@bench.says
def say(now: Now) -> str:
    return (
        f"{now.wet_film} wet leaves {now.dry} dry: {1 - now.solids:2} of the wet film evaporates. A comb "
        f"can only say that the wet film lies between two teeth, so it tells you {by_comb(now)} dry. "
        f"With nothing lost, this mix covers {now.covers:2} at that film."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    wet = now.wet_film.of(np.array([0, MOST_WET]))
    parts = [Line(wet, now.dry.of(wet * now.solids), "this paint")]
    if now.reduction > 0:
        parts.append(Line(wet, now.dry.of(wet * now.volume_solids), "without the reducer", "dashed"))
    mark = Mark(now.wet_film, by_comb(now), "your film, and what a comb can tell")
    return [combed(now), Chart(now.wet_film.axis(MOST_WET), now.dry.axis(MOST_DRY), [*parts, mark], height=270)]


def by_comb(now: Now) -> Figure:
    """The dry film as the learner's comb can tell it: between two of its teeth."""
    teeth = film.comb_teeth.si(now.wet_film.si, now.system)
    ends = (film.dry_film.si(wet, now.solids.si) for wet in (teeth.wetted, now.wet_film.si, teeth.dry))
    return now.figure(Band(*(float(end) for end in ends)), "dry_film")


def combed(now: Now) -> Sketch:
    """The comb that reads the film now, and the gauge that reads it when it is dry."""
    teeth = film.comb_teeth.si(now.wet_film.si, now.system)
    wetted, dry = now.figure(float(teeth.wetted), "wetted_tooth"), now.figure(float(teeth.dry), "dry_tooth")
    return Sketch(comb_and_gauge(now.wet_film, wetted, dry, now.dry), height=COMB_HIGH)
