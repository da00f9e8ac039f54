"""The recoat window of the data sheet at another temperature, and what to do when it was missed."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coursekit import drying
from coursekit.lesson.draw.charts import Line, Mark, Part, Shade, chart
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.uncertain import Band

TEMPERATURES = np.linspace(278.15, 313.15, 36)
AXES = (12.0, 24.0, 48.0, 96.0, 192.0, 384.0, 768.0, 1536.0)  # h; the axis stays put until the next is needed


class Found(NamedTuple):
    window: drying.Window  # of bands, over temperature
    now: drying.Window  # of bands, at the panel's temperature
    quick: drying.Timing  # for the paint that answers most, and least, in that direction
    slow: drying.Timing


def compute(earliest: float, latest: float, sheet_temperature: float, temperature: float, waited: float) -> Found:
    def window(at: object) -> drying.Window:
        found: drying.Window = own.banded(
            drying.window_at, earliest=earliest, latest=latest, sheet_temperature=sheet_temperature, temperature=at
        )
        return found

    along = window(np.append(TEMPERATURES, temperature))
    here = drying.Window(*(Band(*(float(end[-1]) for end in edge)) for edge in along))
    ends = [
        drying.missed_window.si(waited, getattr(here.earliest, end), getattr(here.latest, end))
        for end in ("low", "high")
    ]
    return Found(drying.Window(*(Band(*(end[:-1] for end in edge)) for edge in along)), here, *ends)


def draw(now: Now) -> str:
    across = now.number(TEMPERATURES, "temperature")
    opens, closes = (now.number(edge, "recoat_time") for edge in now.result.window)
    needed = max(1.1 * max(n["waited"], n.result.now.latest.high) / 3600 for n in (now, now.kept) if n)
    most = next((end for end in AXES if end >= needed), AXES[-1])
    parts: list[Part] = [
        Shade(across, np.minimum(closes.low, most), np.minimum(closes.high, most), "where the window closes"),
        Line(across, np.where(closes.middle <= most, closes.middle, np.nan), "closes, middle", "dashed"),
        Shade(across, opens.low, opens.high, "where it opens"),
        Line(across, opens.middle, "opens, middle"),
        Mark(now.number(now["temperature"], "temperature"), now.number(now["waited"], "waited"), "you are here"),
    ]
    if now.kept:
        parts.append(
            Mark(
                now.number(now.kept["temperature"], "temperature"),
                now.number(now.kept["waited"], "waited"),
                "kept",
                kept=True,
            )
        )
    return chart(
        now.axis("temperature", 278.15, 313.15, "temperature of the panel"),
        now.axis("recoat_time", 0, 3600 * most, "since the coat"),
        parts,
        760,
        360,
    )


def say(now: Now) -> str:
    found = now.result
    words = (
        f"The sheet's {now.text('earliest')} to {now.text('latest')} at {now.text('sheet_temperature')} become, "
        f"at {now.text('temperature')}, a window that opens after {now.show(found.now.earliest, 'recoat_time')} "
        f"and closes after {now.show(found.now.latest, 'recoat_time')}. After "
        f"{now.text('waited')} you are "
    )
    kinds = [placed(timing) for timing in (found.quick, found.slow)]
    if kinds[0] == kinds[1]:
        do = "" if kinds[0] == "inside the window" else ". What to do"
        return words + f"{kinds[0]}, whichever way your paint answers to warmth{do}: {found.quick.do}."
    worse = next(timing for timing in (found.quick, found.slow) if placed(timing) != "inside the window")
    return words + (
        f"{kinds[0]} or {kinds[1]}: that hangs on how strongly your paint answers to warmth. Take the "
        f"worse for true, {placed(worse)}: {worse.do}."
    )


def placed(timing: drying.Timing) -> str:
    """Too early, inside or too late, without the amount."""
    return timing.where.partition(" by ")[0]


bench = Bench(
    title="When may the next coat follow, and what if it is too late?",
    about="A window of cure by reaction, at other temperatures than the sheet's. The panel's temperature counts.",
    controls={
        "earliest": Control("2 h", label="sheet: recoat from"),
        "latest": Control("24 h", label="sheet: recoat until"),
        "sheet_temperature": Control("20 °C", label="at, says the sheet"),
        "temperature": Control("14 °C", label="your panel", slider=(5, 40, 1), slider_us=(41, 104, 1)),
        "waited": Control("12 h", label="you have waited"),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["activation_energy", "ufgs-09971", "ps-396", "ufgs-09971-recoat"],
    measurement="cup_doubling",
)
