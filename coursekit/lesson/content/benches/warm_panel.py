"""The air was warmed, the panel follows: when is it warm, and when is it out of the dew?"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coursekit import drying
from coursekit.drying.weather import MARGIN_ISO
from coursekit.lesson.draw.charts import Line, Mark, Part, Shade, chart
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.uncertain import Band

TIMES = np.linspace(0, 4 * 3600.0, 49)
COLDEST, WARMEST = 263.15, 318.15  # K, ends of the upright axis


class Found(NamedTuple):
    over_time: Band
    then: Band
    dew_point: float
    margin: Band


def compute(air_before: float, air_now: float, humidity: float, elapsed: float) -> Found:
    times = np.append(TIMES, elapsed)
    found = own.banded(drying.panel_after, air_before=air_before, air_now=air_now, elapsed=times)
    then = Band(*(float(end[-1]) for end in found))
    dew = float(drying.dew_point.si(air_now, humidity))
    ends = (float(drying.dew_margin.si(end, air_now, humidity).margin) for end in then)
    return Found(Band(*(end[:-1] for end in found)), then, dew, Band(*ends))


def draw(now: Now) -> str:
    across = now.number(TIMES, "elapsed")
    band = now.number(now.result.over_time, "panel_temperature")
    ends = [across[0], across[-1]]
    dew, asked = (now.number(now.result.dew_point + more, "dew_point") for more in (0.0, MARGIN_ISO))
    then = now.number(now.result.then, "panel_temperature")
    parts: list[Part] = [
        Shade(across, np.minimum(band.low, band.high), np.maximum(band.low, band.high), "where your panel may be"),
        Line(across, band.middle, "panel, middle"),
        Line(ends, [now.number(now["air_now"], "air_now")] * 2, "air", "dash-dot"),
        Line(ends, [asked, asked], "dew point and the margin", "dashed"),
        Line(ends, [dew, dew], "dew point", "dotted"),
        Mark(now.number(now["elapsed"], "elapsed"), then.middle, "", low=then.low, high=then.high),
    ]
    if now.kept:
        kept = now.number(now.kept.result.over_time.middle, "panel_temperature")
        parts.append(Line(across, kept, "kept", "dashed"))
    return chart(
        now.axis("elapsed", 0, TIMES[-1], "since the air was changed"),
        now.axis("panel_temperature", COLDEST, WARMEST, "temperature"),
        parts,
    )


def say(now: Now) -> str:
    found = now.result
    words = (
        f"{now.text('elapsed')} after the air went from {now.text('air_before')} to {now.text('air_now')} the "
        f"panel has {now.show(in_order(found.then), 'panel_temperature')}. The dew point of the air is now "
        f"{now.show(found.dew_point, 'dew_point')}: "
    )
    low, high = min(found.margin), max(found.margin)
    if high < 0:
        words += "the panel is under it, and water settles on it out of the warm air."
    elif low < 0:
        words += "the panel may still be under it and wet, though the room feels warm and dry."
    elif low < MARGIN_ISO:
        words += "the panel is over it, but perhaps not by the published margin. Wait, and measure the panel."
    else:
        words += f"the panel is at least {now.show(low, 'dew_margin', 2)} over it, if it follows as panels do."
    return words


def in_order(band: Band) -> Band:
    return Band(min(band), band.middle, max(band))


bench = Bench(
    title="The room is warm. Is the panel?",
    about="The air is warmed (or let in) at the start; the panel follows late. Humidity is that of the air now: a "
    "burner without a flue puts its water into it, and is a flame besides.",
    controls={
        "air_before": Control("6 °C", label="air and panel before"),
        "air_now": Control("20 °C", label="air now"),
        "humidity": Control("60 %", label="humidity of the air now"),
        "elapsed": Control("30 min", label="looked at after"),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["panel_lag", "magnus", "iso-8502-4", "derived-here"],
    measurement="panel_lag",
)
