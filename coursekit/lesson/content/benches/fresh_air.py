"""How much fresh air the vapour of a coat requires, against fire and for health; neither covers mist."""

from __future__ import annotations

from typing import Any

from coursekit import garage
from coursekit.constants import ROOM_TEMPERATURE
from coursekit.garage.vapour import NOT_MIST
from coursekit.lesson.content.shared import solvents
from coursekit.lesson.draw.drawing import Sketch
from coursekit.lesson.draw.garage import flow_in_plan
from coursekit.lesson.draw.picture import Bar, Bars
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare

WIDEST = 6.0  # m³/s of the widest arrow
MIST = 120  # drops drawn: no amount of air answers them
AXES = [500 / 3600 * 2**n for n in range(14)]  # m³/s; stays put until the next is needed


@declare(
    "Fresh air that the vapour requires",
    gives={"air": garage.air_needed, "liquid": "liquid_volume"},
    about="Two figures for the same vapour. An ordinary fan is no way to get them: it can light what it moves.",
    sources=["osha-1910-94", "toledo-dilution", "osha-1910-1000", "osha-std-1-5-10", "cdc-purge"],
)
def bench(
    solvent: str = at("demo slow blend", options=solvents.OPTIONS),
    paint_volume: float = at(
        "200 mL", label="paint sprayed in the coat", slider=(20, 1000, 20), slider_us=(1, 34, 1)
    ),
    voc_content: float = at("420 g/L", label="solvent in the paint", slider=(100, 800, 10), slider_us=(1, 7, 0.1)),
    release_time: float = at("20 min", label="given off over"),
    mixing_factor: float = at("4"),
) -> dict[str, Any]:
    blend = solvents.blend(solvent)
    liquid = garage.coat_solvent.si(paint_volume, voc_content, blend).liquid
    return {
        "air": garage.air_needed.si(blend, liquid, release_time, mixing_factor, ROOM_TEMPERATURE),
        "liquid": float(liquid),
    }


@bench.says
def say(now: Now) -> str:
    fire, health = now.air.fire, now.air.health
    which = "for health" if health >= fire else "against fire"
    return (
        f"{now.liquid} of solvent within {now.release_time}: the vapour alone requires {fire:2} of fresh air against "
        f"fire, and {health:2} for health. The larger counts, the one {which}. "
        f"{NOT_MIST} A fan's rate is not clearance to spray."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    fire, health, mist = "against fire, to a tenth of what burns", "for health, to the lowest limit", "against mist"
    rows = [
        Bar(fire, now.air.fire, f"{now.air.fire:2}", "slant", pinned=f"pinned, {fire}"),
        Bar(health, now.air.health, f"{now.air.health:2}", "cross", pinned=f"pinned, {health}"),
        Bar(f"{mist} and isocyanate", 0.0, "no amount of air answers them"),
    ]
    return [plan(now), Bars(now.air.larger.axis(AXES), rows)]


def plan(now: Now) -> Sketch:
    """The garage from above: how much air would have to sweep it for the vapour alone, and what it carries."""
    words = f"fresh air for the vapour: {now.air.larger:2} at least"
    return Sketch(flow_in_plan(now.air.larger.si / WIDEST, MIST, words), height=214)
