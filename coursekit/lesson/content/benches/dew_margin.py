"""When water settles on the panel: its margin over the dew point of the air."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coursekit import drying
from coursekit.drying.weather import MARGIN_ISO, MARGIN_US
from coursekit.lesson.draw.charts import Line, Mark, Part, chart
from coursekit.lesson.workbench.bench import Bench, Control, Now

HUMIDITIES = np.linspace(0.2, 1.0, 41)
COLDEST, WARMEST = 253.15, 318.15  # K, ends of the upright axis


class Found(NamedTuple):
    curve: np.ndarray
    now: drying.DewMargin


def compute(temperature: float, humidity: float, panel_temperature: float) -> Found:
    return Found(
        drying.dew_point.si(temperature, HUMIDITIES), drying.dew_margin.si(panel_temperature, temperature, humidity)
    )


def draw(now: Now) -> str:
    across = now.number(HUMIDITIES, "humidity")
    ends = [across[0], across[-1]]
    panel = now.number(now["panel_temperature"], "panel_temperature")
    parts: list[Part] = [
        Line(ends, [panel, panel], "your panel", "dash-dot"),
        Line(across, now.number(now.result.curve + MARGIN_ISO, "dew_point"), "dew point and the margin", "dashed"),
        Line(across, now.number(now.result.curve, "dew_point"), "dew point of this air"),
        Mark(now.number(now["humidity"], "humidity"), now.number(now.result.now.dew_point, "dew_point"), "now"),
    ]
    if now.kept:
        parts.append(
            Mark(
                now.number(now.kept["humidity"], "humidity"),
                now.number(now.kept.result.now.dew_point, "dew_point"),
                "kept",
                kept=True,
            )
        )
    return chart(now.axis("humidity", 0.2, 1.0), now.axis("dew_point", COLDEST, WARMEST, "temperature"), parts)


def say(now: Now) -> str:
    found = now.result.now
    margins = f"{now.show(MARGIN_ISO, 'dew_margin', 2)} (ISO) and {now.show(MARGIN_US, 'dew_margin', 2)} (US text)"
    words = (
        f"Air of {now.text('temperature')} and {now.text('humidity')} has its dew point at "
        f"{now.show(found.dew_point, 'dew_point')}. The panel, at "
        f"{now.text('panel_temperature')}, is "
    )
    if found.margin < 0:
        words += (
            f"{now.show(-found.margin, 'dew_margin', 2)} colder than that: water settles on it, seen or not, "
            "and the coat goes over water."
        )
    elif found.beyond_iso < 0:
        words += (
            f"{now.show(found.margin, 'dew_margin', 2)} warmer: dry now, but under the published margins of "
            f"{margins}. Solvent that leaves cools the film below the panel: it can turn milky."
        )
    else:
        words += (
            f"{now.show(found.margin, 'dew_margin', 2)} warmer, over the published margins of {margins}. That "
            "speaks of water alone; the temperatures of the data sheet still count."
        )
    return words


bench = Bench(
    title="Does water settle on the panel?",
    about="The curve is the dew point of air as warm as you set it. Measure the panel, not the room.",
    controls={
        "temperature": Control("18 °C", label="air", slider=(0, 40, 1), slider_us=(32, 104, 1)),
        "humidity": Control("75 %", slider=(20, 100, 1), slider_us=(20, 100, 1)),
        "panel_temperature": Control("14 °C", label="panel"),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["magnus", "iso-8502-4", "mil-hdbk-1110-weather"],
)
