"""Seconds of a flow cup: what they are in mm²/s, and how little they mean without the cup's name."""

from __future__ import annotations

from typing import NamedTuple

from coursekit import spraying
from coursekit.belief import band_si
from coursekit.lesson.draw.charts import Bar, bars
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.quantities import InputError
from coursekit.uncertain import Band

CUPS = ("DIN 4", "ISO 4", "Ford 4", "Zahn 2", "Zahn 3")
MOST = 400e-6  # m²/s; the axis stays put
SPRAYABLE = (15e-6, 150e-6)  # m²/s; what fluid_delivery takes


class Reading(NamedTuple):
    yours: Band
    others: dict[str, Band | None]  # None where the cup may not be used for so many seconds


def read(cup: str, time: float) -> Band:
    found: Band = band_si(spraying.viscosity_from_cup, cup, time)
    return found


def reads(cup: str, time: float) -> Band | None:
    try:
        return read(cup, time)
    except InputError:
        return None


def compute(cup: str, time: float) -> Reading:
    return Reading(read(cup, time), {other: reads(other, time) for other in CUPS if other != cup})


def draw(now: Now) -> str:
    rows = [bar(now, f"Yours, {now['cup']}", now.result.yours, "slant")]
    if now.kept:
        kept = f"Kept, {now.kept['cup']} at {now.kept.text('time')}"
        rows.append(bar(now.kept, kept, now.kept.result.yours, "dots"))
    rows += [bar(now, f"Had it been {cup}", band, "plain") for cup, band in now.result.others.items()]
    return bars(
        now.axis("kinematic_viscosity", 0, MOST, "viscosity").label, rows, now.number(MOST, "kinematic_viscosity")
    )


def bar(now: Now, label: str, band: Band | None, hatch: str) -> Bar:
    if band is None:
        return Bar(f"{label}: no answer, {now.text('time')} is outside this cup's range", 0)
    low, middle, high = now.number(band, "kinematic_viscosity")
    return Bar(label, middle, now.show(band, "kinematic_viscosity"), hatch, low, high)


def say(now: Now) -> str:
    yours = now.result.yours
    words = f"{now.text('time')} from {now['cup']} are {now.show(yours, 'kinematic_viscosity')}. "
    known = {cup: band for cup, band in now.result.others.items() if band}
    if known:
        least = min(known, key=lambda cup: known[cup].middle)
        most = max(known, key=lambda cup: known[cup].middle)
        thin, thick = (now.show(known[cup].middle, "kinematic_viscosity", 2) for cup in (least, most))
        words += f"The same seconds from {least} would be about {thin}"
        if most != least:
            words += f", from {most} about {thick}"
        words += ": seconds are not a unit. "
    if yours.middle < SPRAYABLE[0]:
        return words + "That is thinner than the paints this course computes."
    if yours.middle > SPRAYABLE[1]:
        return words + "That is thicker than a gun of this kind sprays: reduce it as the data sheet allows."
    return words + "Give a viscosity with the name of its cup, or in mm²/s."


bench = Bench(
    title="What the cup's seconds mean",
    about="Fill the cup, let it run, stop the clock when the stream breaks. Every cup has its own hole and its own "
    "formula; outside its range a formula is not used.",
    controls={
        "cup": "DIN 4",
        "time": Control("20 s", label="time until the stream breaks", slider=(14, 80, 1), slider_us=(14, 80, 1)),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["cup_reading", "cup-formulas", "cup-method-note", "din-53211", "iso-2431", "astm-d4212"],
)
