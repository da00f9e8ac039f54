"""The pot life of a mix, over temperature."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit import mixing
from coursekit.lesson.draw.picture import Chart, Mark, shaded
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.uncertain import Band

TEMPERATURES = np.linspace(283.15, 311.15, 29)  # where the rule holds
AXES = [90 * 60.0 * 2**n for n in range(10)]  # s; the axis stays put until the next one is needed
STEP = 10.0  # K in which it halves


@declare(
    "Pot life, by temperature",
    gives={"over_temperature": "pot_life", "life": "pot_life"},
    sources=["pot_life_factor", "ufgs-09971", "ps-magazine-396"],
    measurement="cup_doubling",
)
def bench(
    reference: float = at("60 min"),
    reference_temperature: float = at("21 °C"),
    temperature: float = at("26 °C", label="temperature of your mix", slider=(10, 38, 1), slider_us=(50, 100, 1)),
) -> dict[str, Any]:
    def life(warmth: object) -> Band:
        found: Band = own.band_si(
            mixing.pot_life, reference=reference, temperature=warmth, reference_temperature=reference_temperature
        )
        return found

    return {"over_temperature": life(TEMPERATURES), "life": life(temperature)}


@bench.says
def say(now: Now) -> str:
    same = now.life.high - now.life.low < 0.02 * now.life.high
    life = f"about {now.life.middle:2}, as its sheet says," if same else f"{now.life}"
    return (
        f"A mix with {now.reference} on its sheet at {now.reference_temperature} has a pot life of {life} at "
        f"{now.temperature}. That is by the rule of thumb: what its data sheet says rules. More in the cup, or damp "
        "air, makes it shorter. Reducer does not make it longer: it "
        "only hides that the mix thickens."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    temperatures = now.temperature.of(TEMPERATURES)
    parts = [
        *shaded(
            temperatures,
            now.over_temperature,
            "where your paint may lie",
            f"half for each {now.figure(STEP, 'dew_margin')} warmer",
            pinned=None,
        ),
        Mark(now.temperature, now.life, "your mix"),
    ]
    across = temperatures.axis(TEMPERATURES[-1], low=TEMPERATURES[0])
    return Chart(across, now.life.of(2.5 * now.reference).axis(AXES), parts)
