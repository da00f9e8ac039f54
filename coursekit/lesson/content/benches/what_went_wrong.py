"""A defect on a small card, traced back through the steps that made it."""

from __future__ import annotations

import functools
from dataclasses import replace

from coursekit import repair
from coursekit.lesson.draw.charts import Bar, bars
from coursekit.lesson.repair.demo_recipes import moved
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.repair import Diagnosis, Recipe

MOST, SHOWN = 3.0, 7  # times the limit that the picture shows; bars in it
CARD = """
format = 2
title = "A card"
[panel]
shape = "test card"
cell = "20 mm"
[[step]]
do = "clean"
wipes = 3
[[step]]
do = "hand sand"
paper = "P600"
strokes = 60
[[step]]
do = "clean"
wipes = 3
[[step]]
do = "spray"
material = "base"
coats = 2
fluid_delivery = "180 mL/min"
[[step]]
do = "wait"
time = "25 min"
[[step]]
do = "spray"
material = "clear"
coats = 2
fluid_delivery = "280 mL/min"
flash = "15 min"
"""
WIPE, DULL, REST, CLEAR = 1, 2, 5, 6


@functools.lru_cache(maxsize=1)
def card() -> Recipe:
    return repair.loads(CARD, "card")


def compute(
    seen: str,
    wipes: float,
    grade: str,
    waited: float,
    flash: float,
    gun_speed: float,
    pitch: float,
    temperature: float,
    humidity: float,
) -> Diagnosis:
    recipe = moved(card(), WIPE, wipes=wipes)
    recipe = moved(recipe, DULL, paper=grade)
    recipe = moved(recipe, REST, time=waited)
    recipe = moved(recipe, CLEAR, flash=flash, gun_speed=gun_speed, pitch=pitch)
    garage = {**recipe.garage, "temperature": temperature, "humidity": humidity}
    return repair.diagnose(replace(recipe, garage=garage), seen)


def draw(now: Now) -> str:
    found: Diagnosis = now.result
    rows = [
        Bar(
            f"{one.step_words}: {one.cause}",
            min(one.ratio, MOST),
            one.says,
            "slant" if one.ratio > 1 else "dots" if one.ratio > repair.diagnosis.CLOSE else "plain",
        )
        for one in found.findings[:SHOWN]
    ]
    rows += [Bar(words, 0.0, "not computed") for words in found.not_computed]
    return bars("the figure, in times its limit: over 1 speaks for the cause", rows, MOST, 760)


def say(now: Now) -> str:
    found: Diagnosis = now.result
    past = [one for one in found.findings if one.ratio > 1]
    told = " ".join(one.text(now.system) for one in past[:2] or found.findings[:1])
    return f"{found.summary} {told} {found.unknown} What to do now: {found.now}."


bench = Bench(
    title="From the defect back to the step",
    about="A card, six steps: clean, dull, clean, two coats of base, a wait, two coats of clear "
    "from a fan of 250 mm (10 in). Say what you see on it, then make the mistake. Bars end at three times the "
    "limit.",
    controls={
        "seen": "run, sag",
        "wipes": Control("3", label="1 · wipes before the first paper"),
        "grade": Control("P600", label="2 · paper"),
        "waited": Control(
            "25 min", name="step_time", label="5 · wait before the clear", slider=(0, 120, 5), slider_us=(0, 120, 5)
        ),
        "flash": Control(
            "15 min", name="step_time", label="6 · wait between its coats", slider=(0, 40, 1), slider_us=(0, 40, 1)
        ),
        "gun_speed": Control("0.45 m/s", label="6 · speed of the hand"),
        "pitch": Control("125 mm", label="6 · step from pass to pass"),
        "temperature": Control("20 °C", label="garage", slider=(5, 40, 1), slider_us=(41, 104, 1)),
        "humidity": Control("50 %", label="humidity"),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["common-practice", "activation_energy", "iso-8502-4", "assumed-here"],
    measurement="comb",
    beside=True,
)
