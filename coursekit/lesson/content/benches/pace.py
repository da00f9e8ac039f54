"""The pace of a coat, for practising the hand without paint: a mark that crosses the panel at the true gun speed.

The mark is moved by the browser alone (CSS keyframes), so it keeps time whatever the kernel does. It stands still
until the switch is on; with the switch off it is back at the first trigger.
"""

from __future__ import annotations

import zlib
from typing import Any, NamedTuple

from coursekit import spraying
from coursekit.drawing import circle, path, rect, text
from coursekit.lesson.draw.charts import ACCENT, INK, OUTLINE, WIDTH, svg
from coursekit.lesson.workbench.bench import Bench, Drawn, Now, at, declare
from coursekit.markup import Markup, tag, together

READY = 3.0  # s from the switch to the first trigger, to get the hand there
LEFT, TOP, ROOM = 40.0, 34.0, 560.0  # of the picture: where the trigger goes on, the upper edge, the stroke's length
MOST_TALL = 330.0
MOST_PASSES = 80  # more than that cannot be followed, or told apart in the picture


class Scene(NamedTuple):
    """The coat on the page: places in the picture's units, times in seconds from the switch."""

    passes: int
    stroke: float
    step: float
    fan: float
    panel_left: float
    panel_right: float
    pull: float
    turn: float

    def up(self, number: int) -> float:
        """Where a pass runs, the first at the lower edge."""
        return self.bottom - number * self.step

    @property
    def bottom(self) -> float:
        return TOP + self.fan / 2 + (self.passes - 1) * self.step

    def begins(self, number: int) -> float:
        return READY + number * (self.pull + self.turn)

    @property
    def ends(self) -> float:
        return self.begins(self.passes - 1) + self.pull


class PaceBench(Bench):
    """A bench with a switch beside its picture; a picture is one thing to a screen reader, so it stands outside."""

    @property
    def picture_html(self) -> str:
        switch = (
            '<label class="ck-pace-switch"><input type="checkbox" role="switch" class="ck-pace-run"/> '
            '<span class="ck-pace-go">Start the pace</span><span class="ck-pace-stop">Stop the '
            "pace</span></label> <small>or the space bar, once it has the focus. Any slider stops it.</small>"
        )
        return Markup(f'<div class="ck-pace">{switch}{super().picture_html}</div>')


@declare(
    "Practise the pace",
    kind=PaceBench,
    gives={"plan": spraying.coat_plan},
    about="Stand before a wall or a door with the empty gun, its air off, or a stick of its length. Follow the "
    "mark: it moves as fast as the gun must. Practise until your hand keeps the pace with your eyes on the panel.",
    sources=["derived-here", "moving-bell", "common-practice"],
)
def bench(
    gun_speed: float = at("0.4 m/s", outfit=True, slider=(0.1, 1.0, 0.02), slider_us=(20, 200, 5)),
    width: float = at("200 mm", measured="open_fan", slider=(100, 350, 5), slider_us=(4, 14, 0.5)),
    overlap: float = at("50 %", outfit=True, slider=(0, 75, 1), slider_us=(0, 75, 1)),
    lead: float = at("50 mm"),
    turn_time: float = at("1 s", seldom=True, label="time to step and turn"),
    panel_width: float = at("1.2 m", outfit=True, seldom=True, slider=(0.3, 2.0, 0.05), slider_us=(12, 80, 2)),
    panel_height: float = at("0.8 m", outfit=True, seldom=True, slider=(0.2, 1.2, 0.05), slider_us=(8, 48, 2)),
) -> dict[str, Any]:
    pitch = width * (1 - overlap)
    return {"plan": spraying.coat_plan.si(panel_width, panel_height, pitch, gun_speed, lead, turn_time)}


@bench.says
def say(now: Now) -> str:
    plan = now.plan
    return (
        f"{int(plan.plain.passes)} passes, {plan.step} from one to the next, each {plan.seconds_per_pass:2} with the "
        f"trigger pulled: on {now.lead} before the panel begins, off as far behind it. With {now.turn_time} to let "
        f"go, step and turn, the coat takes {plan.time:2}; in {plan.trigger_share:2} of the trigger time the middle "
        "of the fan is over the panel. The first pass is aimed at the lower edge, the last at the upper one."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    at = scene(now)
    name = f"ck-pace-{zlib.crc32(repr((at, now.system)).encode()):08x}"  # the same coat, the same keyframes
    height, upper, ends = at.bottom + at.fan / 2 + 66, at.up(at.passes - 1), (LEFT, LEFT + at.stroke)
    body = [
        tag("style", Markup(moves(at, name))),
        rect(at.panel_left, upper, at.panel_right - at.panel_left, at.bottom - upper, **OUTLINE, stroke_width=2.5),
        *(one_pass(at, number) for number in range(at.passes)),
        *(text(x, TOP - 14, "trigger", "middle") for x in ends),
        *(path("M", x, TOP - 6, "V", at.bottom + at.fan / 2, **INK, stroke_dasharray="3 5") for x in ends),
        mark(at, name),
        signs(at, height - 40),
        text(
            LEFT,
            height - 8,
            f"the panel with its {int(now.plan.plain.passes)} passes; between the dotted lines the trigger is pulled",
        ),
    ]
    return svg(body, WIDTH, height, "ck-pace-picture", 720)


def scene(now: Now) -> Scene:
    plan, lead, width, panel = now.plan.plain, now.lead.si, now.width.si, now.panel_width.si
    way = panel + 2 * lead
    scale = min(ROOM / way, MOST_TALL / (now.panel_height.si + width))
    return Scene(
        min(int(plan.passes), MOST_PASSES),
        way * scale,
        float(plan.step) * scale,
        width * scale,
        LEFT + lead * scale,
        LEFT + (lead + panel) * scale,
        float(plan.seconds_per_pass),
        now.turn_time.si,
    )


def one_pass(at: Scene, number: int) -> Markup:
    """Its line, its number, and the stripe that grows while it is sprayed."""
    y, there = at.up(number), number % 2 == 0
    start = LEFT if there else LEFT + at.stroke
    grow = (
        f"animation:ck-pace-grow {at.pull:.3f}s linear {at.begins(number):.3f}s both;transform-origin:{start:.1f}px "
        f"{y:.1f}px"
    )
    every = max(1, round(16 / max(at.step, 1)))
    label = text(LEFT + at.stroke + 24, y + 5, number + 1) if number % every == 0 else ""
    stripe = rect(LEFT, y - at.fan / 2, at.stroke, at.fan, class_="ck-pace-moves", opacity=0.13, style=grow)
    return together((path("M", LEFT, y, "h", at.stroke, **INK, opacity=0.3), label, stripe))


def mark(at: Scene, name: str) -> Markup:
    """The gun: a ring all the time, filled and with its fan while the trigger is pulled."""
    rest = f"transform:translate({LEFT}px,{at.up(0):.1f}px)"
    whole = f"animation:{name}-way {at.ends:.3f}s linear both"
    pulled = f"animation:{name}-pull {at.ends:.3f}s step-end both"
    spraying = tag(
        "g",
        circle(0, 0, 10, **INK, fill=ACCENT, stroke_width=3),
        path("M", 0, -at.fan / 2, "v", at.fan, stroke=ACCENT, stroke_width=6),
        class_="ck-pace-moves",
        opacity=0,
        style=pulled,
    )
    ring = circle(0, 0, 10, **OUTLINE, stroke_width=3)
    return tag("g", ring, spraying, class_="ck-pace-moves", style=f"{rest};{whole}")


def signs(at: Scene, y: float) -> Markup:
    """What the hand does now, in large words: get ready, trigger on, trigger off and step, the coat is done."""

    def sign(words: str, seconds: float, begins: float) -> Markup:
        style = f"animation:ck-pace-show {seconds:.3f}s step-end {begins:.3f}s"
        return text(LEFT, y, words, class_="ck-pace-moves ck-pace-sign", opacity=0, font_size=24, style=style)

    found = [sign("get ready …", READY, 0.0)]
    for number in range(at.passes):
        found.append(sign(f"pass {number + 1}: trigger on", at.pull, at.begins(number)))
        if number < at.passes - 1 and at.turn > 0:
            found.append(sign("trigger off, step to the next pass", at.turn, at.begins(number) + at.pull))
    return together((*found, sign("the coat is done", 3600.0, at.ends)))


def moves(at: Scene, name: str) -> str:
    """Where the mark is at each end of a pass, and when the trigger is pulled, as shares of the whole time."""
    way, pull = [f"0%{{{place(0, 0, at)}}}"], ["0%{opacity:0}"]
    for number in range(at.passes):
        begins, ends = (100 * t / at.ends for t in (at.begins(number), at.begins(number) + at.pull))
        way.append(f"{begins:.4f}%{{{place(number, 0, at)}}}{ends:.4f}%{{{place(number, 1, at)}}}")
        pull.append(f"{begins:.4f}%{{opacity:1}}{ends:.4f}%{{opacity:0}}")
    return f"@keyframes {name}-way{{{''.join(way)}}}@keyframes {name}-pull{{{''.join(pull)}}}"


def place(number: int, end: int, at: Scene) -> str:
    """Start (0) or end (1) of a pass; every other one runs back."""
    x = LEFT + (at.stroke if (number + end) % 2 else 0.0)
    return f"transform:translate({x:.1f}px,{at.up(number):.1f}px)"
