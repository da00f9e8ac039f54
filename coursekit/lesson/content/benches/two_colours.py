"""Two patches side by side: how far apart they look, and in which direction."""

from __future__ import annotations

from typing import NamedTuple

from coursekit import colour
from coursekit.lesson.content.shared.colours import COLOURS, patches
from coursekit.lesson.draw.charts import Bar, bars
from coursekit.lesson.draw.swatches import swatches
from coursekit.lesson.workbench.bench import Bench, Control, Now

HIGHEST = 12.0
STEP = 0.05  # under this a direction is not named
JUST_SEEN = 1.0


class Found(NamedTuple):
    old: tuple[float, float, float]
    new: tuple[float, float, float]
    apart: float
    shown: str  # what the screen can show of both


def compute(colour_name: str, lighter: float, redder: float, yellower: float) -> Found:
    old = COLOURS[colour_name]
    new = (old[0] + lighter, old[1] + redder, old[2] + yellower)
    seen = [colour.swatch.si(list(lab)) for lab in (old, new)]
    worse = min(seen, key=lambda one: one.in_gamut)
    return Found(old, new, float(colour.difference.si(list(old), list(new))), worse.words)


def draw(now: Now) -> str:
    found = now.result
    rows = [("side by side, as a panel and its neighbour", patches([found.old, found.new], ["old paint", "new"]))]
    told = [
        Bar("these two", found.apart, f"{found.apart:.2g}", "slant"),
        Bar("about just seen, large even patches", JUST_SEEN, f"{JUST_SEEN:g}", "plain"),
    ]
    if now.kept:
        told.insert(1, Bar("kept", now.kept.result.apart, f"{now.kept.result.apart:.2g}", "dots"))
    return swatches(rows) + bars("colour difference", told, HIGHEST)


def say(now: Now) -> str:
    found = now.result
    ways = [
        ("lighter", "darker", now["lighter"]),
        ("redder", "greener", now["redder"]),
        ("yellower", "bluer", now["yellower"]),
    ]
    told = [f"{more if by > 0 else less} by {abs(by):g}" for more, less, by in ways if abs(by) > STEP]
    words = f"The new paint is {', '.join(told)}" if told else "Both are the same"
    if found.apart > 2 * JUST_SEEN:
        see = "Side by side it is seen."
    elif found.apart > 0.5 * JUST_SEEN:
        see = "Side by side it may be seen: about 1 is where people begin to."
    else:
        see = "Side by side hardly anybody sees it; on a door in the sun somebody may."
    return (
        f"{words}: a colour difference of {found.apart:.2g}. {see} The colours are {found.shown} That is for "
        "solid colours; a metallic looks otherwise from each side, and one number says little of it."
    )


def shift(label: str, start: str) -> Control:
    return Control(start, name="lab_part", label=label, slider=(-10, 10, 0.5))


bench = Bench(
    title="How far apart are two colours?",
    about="L* is lightness, a* from green to red, b* from blue to yellow. The difference weighs them as eyes do: a "
    "step in a strong colour counts less than the same step in a grey.",
    controls={
        "colour_name": Control("demo grey", name="old_colour", label="old paint", options=tuple(COLOURS)),
        "lighter": shift("new: lighter (+) or darker (−), L*", "1"),
        "redder": shift("new: redder (+) or greener (−), a*", "-0.5"),
        "yellower": shift("new: yellower (+) or bluer (−), b*", "1"),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["sharma-2005", "delta-e-one", "gomez-2016", "iec-61966-2-1"],
)
