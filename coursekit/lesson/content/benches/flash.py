"""The first stage of a flash: how fast solvent leaves while the film is wet, and where this computation ends."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit import drying
from coursekit.lesson.content.shared import solvents
from coursekit.lesson.draw.picture import Chart, Line, Mark, Part, Shade, Span
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare

AXES = (300.0, 900.0, 1800.0, 3600.0, 7200.0, 14400.0, 43200.0, 172800.0)  # s; stays put until the next is needed
DRAWS = 1000
DEEPEST = 0.10  # of the solvent; under the band of ends nothing is drawn


@declare(
    "The first stage of a flash",
    gives={
        "times": "first_stage",
        "left": "remaining",
        "stage": "first_stage",
        "start": "solvent_film",
        "end": "remaining",  # share left where the first stage may end
    },
    about="Two blends invented for the demo, and solvents alone. The hatched part is where this course computes "
    "nothing, because no published figure was found for it.",
    sources=["transfer_speed", "speed_exponent", "flash_end", "mackay-2014", "open-property-library"],
    measurement="flash_card",
)
def bench(
    solvent: str = at("demo fast blend", options=solvents.OPTIONS),
    wet_film: float = at("100 µm", label="wet film of the coat"),
    volume_solids: float = at("40 %", label="volume solids as sprayed"),
    temperature: float = at("20 °C", label="panel and air", slider=(5, 40, 1), slider_us=(41, 104, 1)),
    air_speed: float = at("0.2 m/s", label="air over the panel", slider_us=(20, 195, 5)),
) -> dict[str, Any]:
    setting = {
        "solvent": solvents.blend(solvent),
        "wet_film": wet_film,
        "volume_solids": volume_solids,
        "temperature": temperature,
        "air_speed": air_speed,
    }
    curve = own.band_si(drying.flash_curve, draws=DRAWS, flash_end=DEEPEST, **setting)
    stage = own.band_si(drying.flash, **setting)
    return {
        "times": curve.time,
        "left": curve.left.middle,
        "stage": stage.first_stage,
        "start": stage.solvent_start.middle,
        "end": own.coefficient("flash_end").band,
    }


@bench.says
def say(now: Now) -> str:
    return (
        f"{now.wet_film} wet holds {now.start} of solvent: {solvents.in_words(now.solvent)}. At first it "
        f"leaves as from an open dish. At {now.temperature} and {now.air_speed} of air that ends after {now.stage}, "
        f"with {now.end} of the solvent still in the film. Then comes the {drying.evaporation.THEN}. So "
        "this is less than the flash time: the data sheet and a touch on the masking tell when the next coat may "
        "follow, not this figure."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    since = now.times.axis([*AXES, now.times.most], "since the coat")
    grid = np.linspace(0, next((end for end in AXES if end >= now.times.most), now.times.most), 81)
    edges = [now.left.of(np.interp(grid, edge.si, now.left.si)) for edge in (now.times.low, now.times.high)]
    parts: list[Part] = [
        Span(0, now.end.high, "diffusion stage: not modelled"),
        Shade(now.stage.of(grid), edges, "where it may lie"),
        Line(now.times.middle, now.left, "best estimate", pinned="pinned"),
        Mark(now.stage.middle, now.end.middle, "end of the first stage"),
    ]
    return Chart(since, now.left.axis(1.0, "solvent still in the film"), parts, height=340)
