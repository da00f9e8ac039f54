"""How long a mix can be sprayed, over temperature."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coursekit import mixing
from coursekit.lesson.draw.charts import Line, Mark, Part, Shade, chart
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.uncertain import Band

TEMPERATURES = np.linspace(283.15, 311.15, 29)  # where the rule holds
AXES = [90 * 60.0 * 2**n for n in range(10)]  # s; the axis stays put until the next one is needed


class Life(NamedTuple):
    over_temperature: Band
    now: Band


def compute(reference: float, temperature: float, reference_temperature: float) -> Life:
    def life(at: object) -> Band:
        found: Band = own.banded(
            mixing.pot_life, reference=reference, temperature=at, reference_temperature=reference_temperature
        )
        return found

    return Life(life(TEMPERATURES), life(temperature))


def draw(now: Now) -> str:
    across = now.number(TEMPERATURES, "temperature")
    curve = now.number(now.result.over_temperature, "pot_life")
    parts: list[Part] = [
        Shade(across, curve.low, curve.high, "where your paint may lie"),
        Line(across, curve.middle, "half for each 10 °C (18 °F) warmer"),
        mark(now, "your mix"),
    ]
    if now.kept:
        parts.append(mark(now.kept, "kept", kept=True))
    longest = next(end for end in AXES if end >= 2.5 * now["reference"] or end == AXES[-1])
    return chart(now.axis("temperature", 283.15, 311.15), now.axis("pot_life", 0, longest), parts)


def mark(now: Now, label: str, kept: bool = False) -> Mark:
    band = now.number(now.result.now, "pot_life")
    return Mark(now.number(now["temperature"], "temperature"), band.middle, label, kept, band.low, band.high)


def say(now: Now) -> str:
    low, high = now.result.now.low, now.result.now.high
    if high - low < 0.02 * high:
        life = f"about {now.show(now.result.now.middle, 'pot_life', 2)}, as the sheet says"
    else:
        life = f"between {now.show(low, 'pot_life', 2)} and {now.show(high, 'pot_life', 2)}"
    return (
        f"A mix with {now.text('reference')} on its sheet at {now.text('reference_temperature')} can be sprayed for "
        f"{life} at {now.text('temperature')}. More in the cup, or damp air, makes it shorter. Reducer does not make "
        "it longer: it only hides that the mix thickens."
    )


bench = Bench(
    title="How long the mix can be sprayed",
    controls={
        "reference": "60 min",
        "reference_temperature": "21 °C",
        "temperature": Control("26 °C", label="temperature of your mix", slider=(10, 38, 1), slider_us=(50, 100, 1)),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["pot_life_factor", "ufgs-09971", "ps-magazine-396"],
    measurement="cup_doubling",
)
