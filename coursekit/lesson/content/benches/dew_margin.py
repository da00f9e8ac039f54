"""When water settles on the panel: its margin over the dew point of the air."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit import drying
from coursekit.drying.weather import MARGIN_ISO, MARGIN_US
from coursekit.lesson.draw.picture import Chart, Line, Mark, Part, level
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare

HUMIDITIES = np.linspace(0.2, 1.0, 41)
COLDEST, WARMEST = 253.15, 318.15  # K, ends of the upright axis


@declare(
    "Does water settle on the panel?",
    gives={"curve": "dew_point", "here": drying.dew_margin},
    about="The curve is the dew point of air as warm as you set it. Measure the panel, not the room.",
    sources=["magnus", "iso-8502-4", "mil-hdbk-1110-weather"],
)
def bench(
    temperature: float = at("18 °C", label="air", slider=(0, 40, 1), slider_us=(32, 104, 1)),
    humidity: float = at("75 %", slider=(20, 100, 1), slider_us=(20, 100, 1)),
    panel_temperature: float = at("14 °C", label="panel"),
) -> dict[str, Any]:
    return {
        "curve": drying.dew_point.si(temperature, HUMIDITIES),
        "here": drying.dew_margin.si(panel_temperature, temperature, humidity),
    }


@bench.says
def say(now: Now) -> str:
    margin = now.here.margin
    margins = f"{margin.of(MARGIN_ISO):2} (ISO) and {margin.of(MARGIN_US):2} (US text)"
    words = (
        f"Air of {now.temperature} and {now.humidity} has its dew point at {now.here.dew_point}. The panel, at "
        f"{now.panel_temperature}, is "
    )
    if margin < 0:
        words += f"{-margin:2} colder than that: water settles on it, seen or not, and the coat goes over water."
    elif now.here.beyond_iso < 0:
        words += (
            f"{margin:2} warmer: dry now, but under the published margins of {margins}. Solvent that leaves cools "
            "the film below the panel: it can turn milky."
        )
    else:
        words += (
            f"{margin:2} warmer, over the published margins of {margins}. That speaks of water alone; the "
            "temperatures of the data sheet still count."
        )
    return words


@bench.draws
def draw(now: Now) -> Drawn:
    humidities = now.humidity.of(HUMIDITIES)
    across = humidities.axis(1.0, low=HUMIDITIES[0])
    parts: list[Part] = [
        level(now.panel_temperature, across, "your panel", "dash-dot"),
        Line(humidities, now.curve + MARGIN_ISO, "dew point and the margin", "dashed"),
        Line(humidities, now.curve, "dew point of this air"),
        Mark(now.humidity, now.here.dew_point, "now"),
    ]
    return Chart(across, now.curve.axis(WARMEST, "temperature", COLDEST), parts)
