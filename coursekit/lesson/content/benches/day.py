"""A day in the garage: air, panel and dew point, and the hours against which something speaks."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from coursekit import drying
from coursekit.drying.weather import COLDEST_SHEET, DAMPEST, MARGIN_ISO, MARGIN_US, WARMEST_SHEET
from coursekit.figure import Axis, Figure
from coursekit.lesson.draw.hours_against import Against, hours_against
from coursekit.lesson.draw.picture import Chart, Line, Stretch, shaded
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare

TWICE = re.compile(r"(-?[\d.]+\s[^ (;,]+) \((-?[\d.]+\s[^);]+)\)")  # "16 °C (60.8 °F)"
DRAWS = 1000
HOUR = 3600.0  # s
COLDEST = (273.15, 258.15)  # K, lower ends of the upright axis; it stays put until the next is needed
WARMEST = (298.15, 318.15)  # K, upper ends


@declare(
    "A day in the garage",
    gives={"usual": drying.day, "panel": "panel_temperature", "margin": "dew_margin"},
    about="A settled day without sun on the panel, from the forecast: coldest, warmest and dew point.",
    sources=["panel_lag", "magnus", "ufgs-09973", "tm-43-0139", "iso-8502-4", "mil-hdbk-1110-weather"],
    measurement="panel_lag",
)
def bench(
    coldest: float = at("6 °C"),
    warmest: float = at("19 °C"),
    dew_point: float = at("8 °C", label="dew point of the forecast"),
) -> dict[str, Any]:
    lag = float(own.coefficient("panel_lag"))
    forecast = {"coldest": coldest, "warmest": warmest, "dew_point": dew_point}
    banded = own.band_si(drying.day, draws=DRAWS, **forecast)
    return {
        "usual": drying.day.si(**forecast, panel_lag=lag),  # with the lag in the middle of its band
        "panel": banded.panel,
        "margin": banded.margin,
        "hours": drying.hours.si(**forecast, panel_lag=lag),
    }


@bench.says
def say(now: Now) -> str:
    silent = [number for number, hour in enumerate(now.hours) if not hour.against]
    worst = int(now.margin.si.middle.argmin())
    words = (
        f"From {now.coldest} at dawn to {now.warmest} in the afternoon, dew point {now.dew_point}. The panel is "
        f"worst off at {worst // 4:02d}:{worst % 4 * 15:02d}: {over(now.margin[worst])}. "
    )
    if not silent:
        first = now.hours[12].against
        return words + f"No hour is without something against painting. At noon. {spoken(now, first)}."
    before = now.hours[silent[0] - 1]
    words += (
        f"The first hour in which the published figures find nothing against it begins at {silent[0]:02d}:00, the "
        f"last ends at {silent[-1] + 1:02d}:00. "
    )
    if before.against:
        words += f"At {before.clock} not yet. {spoken(now, before.against)}. "
    return words + (
        "Finding nothing is silence, not a yes: the data sheet, the hours the coat needs to cure and the night "
        "after it are not in these figures."
    )


def over(margin: Figure) -> str:
    """How far the panel is from the dew point, in words."""
    if margin.high < 0:
        return f"up to {-margin.low:2} under the dew point, and wet"
    if margin.low < 0:
        return f"up to {-margin.low:2} under the dew point, and then wet"
    return f"{margin} over the dew point"


def spoken(now: Now, reasons: Sequence[str]) -> str:
    """Reasons that name both units, in the one that is shown."""
    return TWICE.sub(
        r"\1" if now.system == "metric" else r"\2", ". ".join(one[:1].upper() + one[1:] for one in reasons)
    )


@bench.draws
def draw(now: Now) -> Drawn:
    usual, clock = now.usual, now.usual.plain.clock / HOUR
    parts = [
        *stretches(now.hours),
        *shaded(clock, now.panel, "where your panel may be", "panel, middle"),
        Line(clock, usual.air, "air", "dash-dot"),
        Line(clock, usual.dew_point + MARGIN_ISO, "dew point and the margin", "dashed"),
        Line(clock, usual.dew_point, "dew point", "dotted"),
    ]
    least = min(float(now.panel.si.low.min()), float(usual.dew_point.si.min()), float(usual.air.si.min()))
    low = next((end for end in COLDEST if end <= least), COLDEST[-1])
    temperature = now.panel.axis([*WARMEST, max(float(usual.air.si.max()), WARMEST[-1])], "temperature", low)
    return [Chart(Axis("hour of the day", 0, 24), temperature, parts, height=294), hours_against(rows(now))]


def rows(now: Now) -> list[tuple[str, list[Against | None]]]:
    """What is against each hour, a row for air, panel, dew point and damp."""
    cold, warm = (now.panel.of(end) for end in (COLDEST_SHEET, WARMEST_SHEET))

    def unfit(temperature: float) -> Against | None:
        if temperature < cold.si:
            return Against(f"under {cold}", "slant")
        return Against(f"over {warm}", "cross") if temperature > warm.si else None

    def near(margin: float) -> Against | None:
        if margin < 0:
            return Against("wet", "cross")
        return Against("near", "slant") if margin < max(MARGIN_ISO, MARGIN_US) else None

    damp = Against("damp", "dots")
    return [
        ("air", [unfit(hour.air) for hour in now.hours]),
        ("panel", [unfit(hour.panel) for hour in now.hours]),
        ("dew", [near(hour.margin) for hour in now.hours]),
        ("moist", [damp if hour.humidity > DAMPEST else None for hour in now.hours]),
    ]


def stretches(hours: tuple[drying.Hour, ...]) -> list[Stretch]:
    """Hours one after the other that are alike, as stretches of the day; each kind is named once."""
    found: list[Stretch] = []
    for start, hour in enumerate(hours):
        label, hatch = (
            ("something against it", "slant") if hour.against else ("nothing found, which is no yes", "plain")
        )
        if found and found[-1].hatch == hatch:
            found[-1] = found[-1]._replace(high=start + 1)
        else:
            found.append(Stretch(start, start + 1, "" if any(one.label == label for one in found) else label, hatch))
    return found
