"""A day in the garage: air, panel and dew point, and the hours against which something speaks."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from coursekit import drying
from coursekit.drying.weather import MARGIN_ISO
from coursekit.lesson.draw.charts import Line, Part, Shade, Slice, chart, shares
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.uncertain import Band

TWICE = re.compile(r"(-?[\d.]+\s[^ (;,]+) \((-?[\d.]+\s[^);]+)\)")  # "16 °C (60.8 °F)"
DRAWS = 1000
COLDEST, WARMEST = 258.15, 318.15  # K, ends of the upright axis


class Found(NamedTuple):
    usual: drying.Day  # with the lag in the middle of its band
    panel: Band
    margin: Band
    hours: tuple[drying.Hour, ...]


def compute(coldest: float, warmest: float, dew_point: float) -> Found:
    lag = own.coefficient("panel_lag")
    forecast = {"coldest": coldest, "warmest": warmest, "dew_point": dew_point}
    banded = own.banded(drying.day, draws=DRAWS, **forecast)
    return Found(
        drying.day.si(**forecast, panel_lag=float(lag)),
        banded.panel,
        banded.margin,
        drying.hours.si(**forecast, panel_lag=float(lag)),
    )


def draw(now: Now) -> str:
    usual = now.result.usual
    clock, dew = usual.clock / 3600, usual.dew_point
    panel = now.number(now.result.panel, "panel_temperature")
    parts: list[Part] = [
        Shade(clock, panel.low, panel.high, "where your panel may be"),
        Line(clock, panel.middle, "panel, middle"),
        Line(clock, now.number(usual.air, "temperature"), "air", "dash-dot"),
        Line(clock, now.number(dew + MARGIN_ISO, "dew_point"), "dew point and the margin", "dashed"),
        Line(clock, now.number(dew, "dew_point"), "dew point", "dotted"),
    ]
    if now.kept:
        parts.append(Line(clock, now.number(now.kept.result.panel.middle, "panel_temperature"), "kept", "dashed"))
    hour = now.axis("elapsed", 0, 86400, "hour of the day")._replace(label="hour of the day", low=0, high=24)
    picture = chart(hour, now.axis("panel_temperature", COLDEST, WARMEST, "temperature"), parts, 760, 380)
    return picture + shares([("hour by hour, from midnight", runs(now.result.hours))])


def runs(hours: tuple[drying.Hour, ...]) -> list[Slice]:
    """Hours one after the other that are alike, as slices of the day."""
    slices: list[Slice] = []
    for start, hour in enumerate(hours):
        label, hatch = ("something against it", "slant") if hour.against else ("nothing found", "plain")
        if slices and slices[-1].hatch == hatch:
            slices[-1] = slices[-1]._replace(size=slices[-1].size + 1)
        else:
            slices.append(Slice(label, 1, "", hatch))
        begun = start + 1 - int(slices[-1].size)
        slices[-1] = slices[-1]._replace(text=f"{begun} to {start + 1} h")
    return slices


def say(now: Now) -> str:
    hours = now.result.hours
    silent = [number for number, hour in enumerate(hours) if not hour.against]
    worst = int(now.result.margin.middle.argmin())
    margin = Band(*(float(end[worst]) for end in now.result.margin))
    words = (
        f"From {now.text('coldest')} at dawn to {now.text('warmest')} in the afternoon, dew point "
        f"{now.text('dew_point')}. The panel is worst off at {worst // 4:02d}:{worst % 4 * 15:02d}: "
        f"{over(now, margin)}. "
    )
    if not silent:
        first = hours[12].against
        return words + f"No hour is without something against painting. At noon: {spoken(now, first)}."
    before = hours[silent[0] - 1]
    words += (
        f"The first hour in which the published figures find nothing against it begins at "
        f"{silent[0]:02d}:00, the last ends at {silent[-1] + 1:02d}:00. "
    )
    if before.against:
        words += f"At {before.clock} it was still: {spoken(now, before.against)}. "
    return words + (
        "Finding nothing is silence, not a yes: the data sheet, the hours the coat needs to cure and the "
        "night after it are not in these figures."
    )


def over(now: Now, margin: Band) -> str:
    """How far the panel is from the dew point, in words."""
    if margin.high < 0:
        return f"up to {now.show(-margin.low, 'dew_margin', 2)} under the dew point, and wet"
    if margin.low < 0:
        return f"up to {now.show(-margin.low, 'dew_margin', 2)} under the dew point, and then wet"
    return f"{now.show(margin, 'dew_margin')} over the dew point"


def spoken(now: Now, reasons: Sequence[str]) -> str:
    """Reasons that name both units, in the one that is shown."""
    return TWICE.sub(r"\1" if now.system == "metric" else r"\2", "; ".join(reasons))


bench = Bench(
    title="A day in the garage",
    about="A settled day without sun on the panel, from the forecast: coldest, warmest and dew point.",
    controls={
        "coldest": "6 °C",
        "warmest": "19 °C",
        "dew_point": Control("8 °C", label="dew point of the forecast"),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["panel_lag", "magnus", "ufgs-09973", "tm-43-0139", "iso-8502-4", "mil-hdbk-1110-weather"],
    measurement="panel_lag",
)
