"""A defect on a small card, traced back through the steps that made it."""

from __future__ import annotations

import functools
from dataclasses import replace
from typing import Any

from coursekit import repair
from coursekit.figure import Axis
from coursekit.lesson.draw.defects import Defect
from coursekit.lesson.draw.picture import Bar, Bars
from coursekit.lesson.repair.demo_recipes import as_text, moved, until
from coursekit.lesson.screen import page
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.quantities import read
from coursekit.repair import Recipe

MOST, SHOWN = 3.0, 2  # times the limit that the picture shows; bars in it
WIPE, DULL, BASE, REST, CLEAR = 1, 2, 4, 5, 6
FAN = 0.25  # m


@functools.lru_cache(maxsize=1)
def card() -> Recipe:
    """The card to its clear coat, with more base."""
    return until(CLEAR, "card").changed(
        "step", BASE, "fluid_delivery", to=as_text(read("180 mL/min", "fluid_delivery"), "fluid_delivery")
    )


@declare(
    "From the defect back to the step",
    about=lambda units: (
        "A card, six steps: clean, scuff, clean, two coats of base, a wait, two coats of clear from a fan of "
        f"{units(FAN, 'width'):2}. Say what you see on it, then make the mistake. Bars end at three times the limit."
    ),
    sources=["common-practice", "activation_energy", "iso-8502-4", "assumed-here"],
    measurement="comb",
    lamp=True,
)
def bench(
    seen: str = at("run, sag"),
    wipes: float = at("3", seldom=True, label="1 · wipes before the first paper"),
    grade: str = at("P600", seldom=True, label="2 · paper"),
    waited: float = at(
        "25 min", name="step_time", label="5 · wait before the clear", slider=(0, 120, 5), slider_us=(0, 120, 5)
    ),
    flash: float = at(
        "15 min", name="step_time", label="6 · wait between its coats", slider=(0, 40, 1), slider_us=(0, 40, 1)
    ),
    gun_speed: float = at("0.45 m/s", label="6 · speed of the hand"),
    pitch: float = at("125 mm", seldom=True, label="6 · step from pass to pass"),
    temperature: float = at("20 °C", label="garage", slider=(5, 40, 1), slider_us=(41, 104, 1)),
    humidity: float = at("50 %", seldom=True, label="humidity"),
) -> dict[str, Any]:
    recipe = moved(card(), WIPE, wipes=wipes)
    recipe = moved(recipe, DULL, paper=grade)
    recipe = moved(recipe, REST, time=waited)
    recipe = moved(recipe, CLEAR, flash=flash, gun_speed=gun_speed, pitch=pitch)
    garage = {**recipe.garage, "temperature": temperature, "humidity": humidity}
    played = repair.replay(replace(recipe, garage=garage))
    return {"found": repair.diagnose(played, seen), "panel": played.panel}


@bench.says
def say(now: Now) -> str:
    found = now.found
    past = [one for one in found.findings if one.ratio > 1]
    told = " ".join(one.text(now.system) for one in (past or found.findings)[:1])
    return f"{found.summary} {told} What to do now: {found.now}.".replace("  ", " ")


@bench.draws
def draw(now: Now) -> Drawn:
    rows = [
        Bar(
            f"{one.step_words}: {one.cause}",
            min(one.ratio, MOST),
            one.says,
            "slant" if one.ratio > 1 else "dots" if one.ratio > repair.diagnosis.CLOSE else "plain",
        )
        for one in now.found.findings[:SHOWN]
    ]
    return [
        Defect(now.found.seen, max((one.ratio for one in now.found.findings), default=0.0), now.panel, now.light),
        Bars(Axis("as a multiple of its limit: over 1 points to the cause", 0.0, MOST), rows, limit=1.0),
    ]


@bench.adds
def unknown(now: Now) -> page.Markup:
    if not now.found.not_computed:
        return page.Markup("")
    return page.folded("Not computed, and just as possible", page.items(now.found.not_computed))
