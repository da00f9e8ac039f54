"""How much fresh air the vapour of a coat requires, against fire and for health; neither covers mist."""

from __future__ import annotations

from typing import NamedTuple

from coursekit import garage
from coursekit.constants import ROOM_TEMPERATURE
from coursekit.garage.vapour import NOT_MIST
from coursekit.lesson.content.shared import solvents
from coursekit.lesson.draw.charts import Bar, bars
from coursekit.lesson.workbench.bench import Bench, Control, Now

AXES = [500 / 3600 * 2**n for n in range(14)]  # m³/s; stays put until the next is needed


class Found(NamedTuple):
    air: garage.AirNeeded
    liquid: float


def compute(
    solvent: str, paint_volume: float, voc_content: float, release_time: float, mixing_factor: float
) -> Found:
    blend = solvents.blend(solvent)
    liquid = garage.coat_solvent.si(paint_volume, voc_content, blend).liquid
    return Found(garage.air_needed.si(blend, liquid, release_time, mixing_factor, ROOM_TEMPERATURE), float(liquid))


def draw(now: Now) -> str:
    rows = account(now, "")
    if now.kept:
        rows += account(now.kept, "kept, ")
    highest = max(float(n.result.air.larger) for n in (now, now.kept) if n)
    most = next((end for end in AXES if end >= highest), AXES[-1])
    axis = now.axis("fresh_air", 0, most)
    return bars(axis.label, rows, axis.high)


def account(now: Now, before: str) -> list[Bar]:
    fire, health = float(now.result.air.fire), float(now.result.air.health)
    return [
        Bar(
            f"{before}against fire, to a tenth of what burns",
            now.number(fire, "fresh_air"),
            now.show(fire, "fresh_air", 2),
            "slant",
        ),
        Bar(
            f"{before}for health, to the lowest limit",
            now.number(health, "fresh_air"),
            now.show(health, "fresh_air", 2),
            "cross",
        ),
        Bar(f"{before}against mist and isocyanate", 0.0, "no amount of air answers them"),
    ]


def say(now: Now) -> str:
    fire, health = float(now.result.air.fire), float(now.result.air.health)
    which = "for health" if health >= fire else "against fire"
    return (
        f"{now.show(now.result.liquid, 'liquid_volume')} of solvent within {now.text('release_time')}: against fire "
        f"the vapour alone requires {now.show(fire, 'fresh_air', 2)} of fresh air, for health for "
        f"{now.show(health, 'fresh_air', 2)}. The larger counts, the one {which}: "
        f"{now.show(max(fire, health), 'fresh_air', 2)} at least. {NOT_MIST} A fan's rate is not clearance to spray."
    )


bench = Bench(
    title="Fresh air that the vapour requires",
    about="Two figures for the same vapour. An ordinary fan is no way to get them: it can light what it moves.",
    controls={
        "solvent": Control("demo slow blend", options=solvents.OPTIONS),
        "paint_volume": Control(
            "200 mL", label="paint sprayed in the coat", slider=(20, 1000, 20), slider_us=(1, 34, 1)
        ),
        "voc_content": Control("420 g/L", label="solvent in the paint", slider=(100, 800, 10), slider_us=(1, 7, 0.1)),
        "release_time": Control("20 min", label="comes off within"),
        "mixing_factor": "4",
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["osha-1910-94", "toledo-dilution", "osha-1910-1000", "osha-std-1-5-10", "cdc-purge"],
)
