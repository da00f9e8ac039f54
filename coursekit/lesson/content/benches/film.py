"""From the wet film on the panel to the film that stays, and how far a litre goes."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coursekit import film
from coursekit.lesson.draw.charts import Line, Mark, Slice, chart, layers, side_by_side
from coursekit.lesson.workbench.bench import Bench, Now
from coursekit.uncertain import Band

MOST_WET = 300e-6  # m; the axes stay put


class Film(NamedTuple):
    solids: float
    dry: float
    comb: Band  # dry film as the comb can tell it: between two teeth
    spreading_rate: float


def compute(wet_film: float, volume_solids: float, reduction: float) -> Film:
    solids = film.thinned_volume_solids.si(volume_solids, reduction)
    dry = film.dry_film.si(wet_film, solids)
    teeth = film.comb_teeth.si(wet_film)
    between = (film.dry_film.si(tooth, solids) for tooth in (teeth.wetted, wet_film, teeth.dry))
    return Film(solids, dry, Band(*between), film.spreading_rate.si(max(dry, 1e-7), solids))


def draw(now: Now) -> str:
    wet = np.linspace(0, MOST_WET, 2)
    lines = [Line(now.number(wet, "wet_film"), now.number(wet * now.result.solids, "dry_film"), "this paint")]
    if now["reduction"] > 0:
        unthinned = now.number(wet * now["volume_solids"], "dry_film")
        lines.append(Line(now.number(wet, "wet_film"), unthinned, "without the reducer", "dashed"))
    marks = [mark(now, "your film, and what a comb can tell")]
    if now.kept:
        marks.append(mark(now.kept, "kept", kept=True))
    graph = chart(now.axis("wet_film", 0, MOST_WET), now.axis("dry_film", 0, 200e-6), [*lines, *marks], 460)
    return side_by_side(section(now), graph)


def mark(now: Now, label: str, kept: bool = False) -> Mark:
    band = Band(*(now.number(end, "dry_film") for end in now.result.comb))
    return Mark(
        now.number(now["wet_film"], "wet_film"),
        now.number(now.result.dry, "dry_film"),
        label,
        kept,
        band.low,
        band.high,
    )


def section(now: Now) -> str:
    solids, wet = now.number(now.result.dry, "dry_film"), now.number(now["wet_film"], "wet_film")
    stays = Slice("stays", solids, now.show(now.result.dry, "dry_film"), "slant")
    leaves = Slice("leaves", wet - solids, now.show(now["wet_film"] - now.result.dry, "wet_film"), "dots")
    return layers(now.axis("wet_film", 0, MOST_WET, "film"), [("wet", [stays, leaves]), ("dry", [stays])], 340)


def say(now: Now) -> str:
    gone = 1 - now.result.solids
    return (
        f"{now.text('wet_film')} wet leaves {now.show(now.result.dry, 'dry_film')} dry: "
        f"{now.show(gone, 'volume_solids', 2)} of the wet film goes off into the air. "
        f"A comb can only say that the wet film lies between two teeth, so it tells you "
        f"{now.show(now.result.comb, 'dry_film')} dry. "
        f"With nothing lost, this mix covers {now.show(now.result.spreading_rate, 'spreading_rate', 2)} at that film."
    )


bench = Bench(
    title="From wet film to dry film",
    controls={"wet_film": "120 µm", "volume_solids": "45 %", "reduction": "0 %"},
    compute=compute,
    draw=draw,
    say=say,
    sources=["mil-hdbk-1110", "estimating-guide", "coverage-constant", "comb-steps", "organic-finishing-2012"],
)
