"""Two patches side by side: how far apart they look, and in which direction."""

from __future__ import annotations

from typing import Any

from coursekit import colour
from coursekit.lesson.content.shared.colours import COLOURS, patches
from coursekit.lesson.draw.picture import Bar, Bars
from coursekit.lesson.draw.swatches import swatches
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare

HIGHEST = 12.0
STEP = 0.05  # under this a direction is not named
JUST_SEEN = 1.0


def shift(label: str, start: str) -> Any:
    return at(start, name="lab_part", label=label, slider=(-10, 10, 0.5))


@declare(
    "How far apart are two colours?",
    gives={"apart": "colour_difference"},
    about="L* is lightness, a* from green to red, b* from blue to yellow. The difference weighs them as eyes do: a "
    "step in a strong colour counts less than the same step in a grey.",
    sources=["sharma-2005", "delta-e-one", "gomez-2016", "iec-61966-2-1"],
)
def bench(
    colour_name: str = at("demo grey", name="old_colour", label="old paint", options=tuple(COLOURS)),
    lighter: float = shift("new: lighter (+) or darker (−), L*", "1"),
    redder: float = shift("new: redder (+) or greener (−), a*", "-0.5"),
    yellower: float = shift("new: yellower (+) or bluer (−), b*", "1"),
) -> dict[str, Any]:
    old = COLOURS[colour_name]
    new = (old[0] + lighter, old[1] + redder, old[2] + yellower)
    seen = [colour.swatch.si(list(lab)) for lab in (old, new)]
    worse = min(seen, key=lambda one: one.in_gamut)
    return {
        "old": old,
        "new": new,
        "apart": float(colour.difference.si(list(old), list(new))),
        "on_screen": worse.words,  # what the screen can show of both
    }


@bench.says
def say(now: Now) -> str:
    ways = (
        ("lighter", "darker", now.lighter),
        ("redder", "greener", now.redder),
        ("yellower", "bluer", now.yellower),
    )
    told = [f"{more if by > 0 else less} by {abs(by):g}" for more, less, by in ways if abs(by) > STEP]
    words = f"The new paint is {', '.join(told)}" if told else "Both are the same"
    if now.apart > 2 * JUST_SEEN:
        see = "Side by side it is seen."
    elif now.apart > 0.5 * JUST_SEEN:
        see = "Side by side it may be seen: about 1 is where people begin to."
    else:
        see = "Side by side hardly anybody sees it; on a door in the sun somebody may."
    return (
        f"{words}: a colour difference of {now.apart:2}. {see} The colours are {now.on_screen} That is for solid "
        "colours; a metallic looks otherwise from each side, and one number says little of it."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    rows = [("side by side, as a panel and its neighbour", patches([now.old, now.new], ["old paint", "new"]))]
    told = [
        Bar("these two", now.apart, f"{now.apart:2}", "slant", pinned="pinned"),
        Bar("about just seen, large even patches", now.apart.of(JUST_SEEN)),
    ]
    return [swatches(rows), Bars(now.apart.axis(HIGHEST), told)]
