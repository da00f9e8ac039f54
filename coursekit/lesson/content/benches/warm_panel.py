"""The air was warmed, the panel follows: when is it warm, and when is it out of the dew?"""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit import drying
from coursekit.drying.weather import MARGIN_ISO
from coursekit.lesson.draw.picture import Chart, Mark, level, shaded
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.uncertain import Band

TIMES = np.linspace(0, 4 * 3600.0, 49)
COLDEST, WARMEST = 263.15, 318.15  # K, ends of the upright axis


@declare(
    "The room is warm. Is the panel?",
    gives={
        "over_time": "panel_temperature",
        "then": "panel_temperature",
        "dew_point": "dew_point",
        "margin": "dew_margin",
    },
    about="The air is warmed (or let in) at the start; the panel follows late. Humidity is that of the air now: a "
    "burner without a flue puts its water into it, and is a flame besides.",
    sources=["panel_lag", "magnus", "iso-8502-4", "derived-here"],
    measurement="panel_lag",
)
def bench(
    air_before: float = at("6 °C", label="air and panel before"),
    air_now: float = at("20 °C", label="air now"),
    humidity: float = at("60 %", label="humidity of the air now"),
    elapsed: float = at("30 min", label="time since warming"),
) -> dict[str, Any]:
    found = own.band_si(drying.panel_after, air_before=air_before, air_now=air_now, elapsed=np.append(TIMES, elapsed))
    curves = [np.minimum(found.low, found.high), found.middle, np.maximum(found.low, found.high)]  # it may cool
    then = Band(*(float(end[-1]) for end in curves))
    return {
        "over_time": Band(*(end[:-1] for end in curves)),
        "then": then,
        "dew_point": float(drying.dew_point.si(air_now, humidity)),
        "margin": Band(*(float(drying.dew_margin.si(end, air_now, humidity).margin) for end in then)),
    }


@bench.says
def say(now: Now) -> str:
    words = (
        f"{now.elapsed} after the air went from {now.air_before} to {now.air_now} the panel has {now.then}. The dew "
        f"point of the air is now {now.dew_point}: "
    )
    low, high = now.margin.low, now.margin.high
    if high < 0:
        words += "the panel is under it, and water settles on it out of the warm air."
    elif low < 0:
        words += "the panel may still be under it and wet, though the room feels warm and dry."
    elif low < MARGIN_ISO:
        words += "the panel is over it, but perhaps not by the published margin. Wait, and measure the panel."
    else:
        words += f"the panel is at least {low:2} over it, if it follows as panels do."
    return words


@bench.draws
def draw(now: Now) -> Drawn:
    times = now.elapsed.of(TIMES)
    across = times.axis(TIMES[-1], "since the air was changed")
    parts = [
        *shaded(times, now.over_time, "where your panel may be", "panel, best estimate"),
        level(now.air_now, across, "air", "dash-dot"),
        level(now.dew_point + MARGIN_ISO, across, "dew point and the margin", "dashed"),
        level(now.dew_point, across, "dew point"),
        Mark(now.elapsed, now.then),
    ]
    return Chart(across, now.over_time.axis(WARMEST, "temperature", COLDEST), parts)
