"""The first stage of a flash: how fast solvent leaves while the film is wet, and where this computation ends."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coursekit import drying
from coursekit.lesson.content.shared import solvents
from coursekit.lesson.draw.charts import Line, Mark, Part, Shade, Span, chart
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.uncertain import Band

AXES = (300.0, 900.0, 1800.0, 3600.0, 7200.0, 14400.0, 43200.0, 172800.0)  # s; stays put until the next is needed
DRAWS = 1000
DEEPEST = 0.10  # of the solvent; under the band of ends nothing is drawn


class Found(NamedTuple):
    times: Band
    left: np.ndarray
    stage: Band
    start: float
    end: Band  # share left where the first stage may end


def compute(solvent: str, wet_film: float, volume_solids: float, temperature: float, air_speed: float) -> Found:
    setting = {
        "solvent": solvents.blend(solvent),
        "wet_film": wet_film,
        "volume_solids": volume_solids,
        "temperature": temperature,
        "air_speed": air_speed,
    }
    end = own.coefficient("flash_end")
    curve = own.banded(drying.flash_curve, draws=DRAWS, flash_end=DEEPEST, **setting)
    stage = own.banded(drying.flash, **setting)
    return Found(
        curve.time,
        curve.left.middle,
        stage.first_stage,
        stage.solvent_start.middle,
        Band(end.low, float(end), end.high),
    )


def draw(now: Now) -> str:
    found = now.result
    longest = max(float(n.result.times.high[-1]) for n in (now, now.kept) if n)
    most = next((end for end in AXES if end >= longest), longest)
    grid = np.linspace(0, most, 81)
    low, high = (
        now.number(np.interp(grid, times, found.left), "remaining") for times in (found.times.low, found.times.high)
    )
    end, stage = (now.number(value, name) for value, name in ((found.end, "remaining"), (found.stage, "first_stage")))
    parts: list[Part] = [
        Span(0, end.high, "diffusion stage: not modelled"),
        Shade(now.number(grid, "first_stage"), low, high, "where it may lie"),
        Line(now.number(found.times.middle, "first_stage"), now.number(found.left, "remaining"), "middle"),
        Mark(stage.middle, end.middle, "end of the first stage"),
    ]
    if now.kept:
        kept = now.kept.result
        parts.append(
            Line(now.number(kept.times.middle, "first_stage"), now.number(kept.left, "remaining"), "kept", "dashed")
        )
    return chart(
        now.axis("first_stage", 0, most, "since the coat"),
        now.axis("remaining", 0, 1, "solvent still in the film"),
        parts,
        760,
        340,
    )


def say(now: Now) -> str:
    found = now.result
    return (
        f"{now.text('wet_film')} wet holds {now.show(found.start, 'solvent_film')} of solvent: "
        f"{solvents.in_words(now['solvent'])}. At {now.text('temperature')} and {now.text('air_speed')} of air the "
        f"first stage, in which it leaves as from an open dish, ends after {now.show(found.stage, 'first_stage')}, "
        f"with {now.show(found.end, 'remaining')} of the solvent still in the film. Then comes the "
        f"{drying.evaporation.THEN}. So this is less than the flash time: the data sheet and a touch on the masking "
        "tell when the next coat may follow, not this figure."
    )


bench = Bench(
    title="The first stage of a flash",
    about="Two blends invented for the demo, and solvents alone. The hatched part is where this course computes "
    "nothing, because no published figure was found for it.",
    controls={
        "solvent": Control("demo fast blend", options=solvents.OPTIONS),
        "wet_film": Control("100 µm", label="wet film of the coat"),
        "volume_solids": Control("40 %", label="volume solids as sprayed"),
        "temperature": Control("20 °C", label="panel and air", slider=(5, 40, 1), slider_us=(41, 104, 1)),
        "air_speed": Control("0.2 m/s", label="air over the panel", slider_us=(20, 196, 1)),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["transfer_speed", "speed_exponent", "flash_end", "mackay-2014", "open-property-library"],
    measurement="flash_card",
)
