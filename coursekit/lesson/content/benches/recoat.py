"""The recoat window of the data sheet at another temperature, and what to do when it was missed."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit import drying
from coursekit.figure import first_holding
from coursekit.lesson.draw.picture import Chart, Line, Mark, Shade, shaded
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.uncertain import Band

TEMPERATURES = np.linspace(278.15, 313.15, 36)
AXES = [
    3600.0 * hours for hours in (12, 24, 48, 96, 192, 384, 768, 1536)
]  # s; the axis stays put until the next is needed


@declare(
    "When may the next coat follow, and what if it is too late?",
    gives={"opens": "recoat_time", "closes": "recoat_time", "earlier": "recoat_time", "later": "recoat_time"},
    about="A window of cure by reaction, at other temperatures than the sheet's. The panel's temperature counts.",
    sources=["activation_energy", "ufgs-09971", "ps-396", "ufgs-09971-recoat"],
    measurement="cup_doubling",
)
def bench(
    earliest: float = at("2 h", label="sheet: recoat from"),
    latest: float = at("24 h", label="sheet: recoat until"),
    sheet_temperature: float = at("20 °C", label="sheet temperature"),
    temperature: float = at("14 °C", label="your panel", slider=(5, 40, 1), slider_us=(41, 104, 1)),
    waited: float = at("12 h", label="you have waited"),
) -> dict[str, Any]:
    along = own.band_si(
        drying.window_at,
        earliest=earliest,
        latest=latest,
        sheet_temperature=sheet_temperature,
        temperature=np.append(TEMPERATURES, temperature),
    )
    earlier, later = (Band(*(float(end[-1]) for end in edge)) for edge in along)
    quick, slow = (
        drying.missed_window.si(waited, getattr(earlier, end), getattr(later, end)) for end in ("low", "high")
    )
    return {
        "opens": Band(*(end[:-1] for end in along.earliest)),  # over temperature
        "closes": Band(*(end[:-1] for end in along.latest)),
        "earlier": earlier,  # at the panel's temperature
        "later": later,
        "quick": quick,  # for the paint that answers most, and least, in that direction
        "slow": slow,
    }


@bench.says
def say(now: Now) -> str:
    words = (
        f"The sheet's {now.earliest} to {now.latest} at {now.sheet_temperature} become, at {now.temperature}, a "
        f"window that opens after {now.earlier} and closes after {now.later}. After {now.waited} you are "
    )
    kinds = [placed(timing) for timing in (now.quick, now.slow)]
    if kinds[0] == kinds[1]:
        return words + f"{kinds[0]}, whichever way your paint reacts to warmth. {sentence(now.quick.do)}."
    worse = next(timing for timing in (now.quick, now.slow) if placed(timing) != "inside the window")
    return words + (
        f"{kinds[0]} or {kinds[1]}: it depends on how strongly your paint reacts to warmth. Plan for the worse, "
        f"{placed(worse)}. {sentence(worse.do)}."
    )


def sentence(words: str) -> str:
    return words[:1].upper() + words[1:]


def placed(timing: drying.Timing) -> str:
    """Too early, inside or too late, without the amount."""
    return timing.where.partition(" by ")[0]


@bench.draws
def draw(now: Now) -> Drawn:
    temperatures = now.temperature.of(TEMPERATURES)
    most = first_holding(AXES, 1.1 * max(float(now.waited), now.later.most))
    closes = [np.minimum(end, most) for end in now.closes.si]
    middle = np.where(now.closes.si.middle <= most, now.closes.si.middle, np.nan)
    parts = [
        Shade(temperatures, [now.closes.of(closes[0]), now.closes.of(closes[2])], "where the window closes"),
        Line(temperatures, now.closes.of(middle), "closes, middle", "dashed"),
        *shaded(temperatures, now.opens, "where it opens", "opens, middle", pinned=None),
        Mark(now.temperature, now.opens.of(now.waited), "you are here"),
    ]
    across = temperatures.axis(TEMPERATURES[-1], "temperature of the panel", TEMPERATURES[0])
    return Chart(across, now.opens.axis(most, "since the coat"), parts, height=360)
