"""The test of the fluid delivery: the gun sprays into a cup while a clock runs."""

from __future__ import annotations

import math

from coursekit.drawing import circle
from coursekit.figure import Figure
from coursekit.lesson.draw import paint_job
from coursekit.lesson.draw.charts import ACCENT
from coursekit.lesson.draw.drawing import FINE, HEAVY, PAGE, USUAL, Sketch, line, lines_of, material, outline
from coursekit.lesson.draw.hand import gun_at
from coursekit.markup import Markup

WIDTH, HEIGHT = 640.0, 172.0
CUP = 200.0, 158.0, 92.0, 116.0  # left, ground, width and height, px
CLOCK = 430.0, 92.0, 58.0  # middle and radius, px
ROOMY = 1.4  # times what is caught, which the cup holds at least
MINUTE = 60.0  # s of a turn of its hand


def cup_and_clock(caught: Figure, held: Figure, times: int) -> Sketch:
    """caught  paint in the cup; `held` how long the trigger was pulled; `times` how often it was done"""
    left, ground, wide, tall = CUP
    cup, (_, level) = paint_job.cup(
        CUP, (ROOMY * caught).axis(paint_job.CUPS).high, [(float(caught.shown), "surfacer")]
    )
    nozzle = (left + 26, ground - tall - 16)
    x, y, radius = CLOCK
    jet = [nozzle, (left + 56, level), (left + 36, level)]
    parts: list[Markup] = [
        material("surfacer", jet, 0.0),
        gun_at(nozzle, -35.0),
        *cup,
        lines_of(left + wide + 12, ground - 30, (f"{caught}", "caught")),
        circle(x, y, radius, fill=PAGE, stroke="currentColor", stroke_width=HEAVY),
        line("M", x, y - radius, "v", -10, "m", -9, 0, "h", 18, weight=HEAVY),
        *_run(x, y, radius - 5, held.si),
        lines_of(x + radius + 14, y - 8, (f"trigger {held},", "once" if times == 1 else f"{times} times over")),
    ]
    return Sketch(parts, WIDTH, HEIGHT)


def _run(x: float, y: float, radius: float, seconds: float) -> list[Markup]:
    """The marks of a clock, what its hand has swept, and the hand."""
    turn = 2 * math.pi * min(seconds / MINUTE, 1.0)
    steps = [turn * n / 40 for n in range(41)]
    swept = [(x, y), *((x + radius * math.sin(a), y - radius * math.cos(a)) for a in steps)]
    marks: list[str | float] = []
    for hour in range(12):
        s, c = math.sin(math.pi * hour / 6), math.cos(math.pi * hour / 6)
        marks += ["M", x + (radius - 7) * s, y - (radius - 7) * c, "L", x + radius * s, y - radius * c]
    return [
        outline(swept, 0.0, fill=ACCENT, fill_opacity="0.35", stroke="none"),
        line(*marks, weight=FINE),
        line("M", x, y, "L", x + radius * math.sin(turn), y - radius * math.cos(turn), weight=HEAVY),
        line("M", x, y, "V", y - radius, weight=USUAL),
    ]
