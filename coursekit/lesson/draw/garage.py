"""The garage in plan and in section: walls, floor, the car, who stands where. Lengths in m; places in the drawing."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

from coursekit.drawing import Point, circle, corners
from coursekit.figure import Axis
from coursekit.lesson.draw.charts import ticks
from coursekit.lesson.draw.drawing import (
    FINE,
    HEAVY,
    NOT_TO_SCALE,
    PAGE,
    ROW,
    USUAL,
    arrow,
    ground,
    label,
    line,
    lines_of,
    material,
    outline,
    specks,
)
from coursekit.markup import Markup, together
from coursekit.panel.mirror import shade

# A small car from its left side, 4 m long, its front to the right: outline and glass, m from its rear and the floor.
CAR = (
    (0.0, 0.4),
    (0.02, 0.75),
    (0.14, 0.98),
    (0.36, 1.36),
    (0.8, 1.46),
    (1.85, 1.44),
    (2.6, 1.02),
    (3.6, 0.88),
    (3.94, 0.7),
    (4.0, 0.42),
    (3.94, 0.3),
    (0.06, 0.3),
)
GLASS = ((0.42, 1.02), (0.56, 1.3), (0.85, 1.38), (1.78, 1.36), (2.34, 1.02))
WHEELS = ((0.72, 0.3), (3.2, 0.3))


class Scene(NamedTuple):
    """A section: where its floor and its first wall stand in the drawing, and px for each m."""

    left: float
    floor: float
    scale: float

    def x(self, along: float) -> float:
        return self.left + along * self.scale

    def y(self, up: float) -> float:
        return self.floor - up * self.scale

    def points(self, places: Sequence[Point], begin: float = 0.0) -> list[Point]:
        return [(self.x(begin + along), self.y(up)) for along, up in places]


def car(scene: Scene, begin: float, opacity: float = 0.6) -> Markup:
    """The car from its side, faint: it is there, and the drawing is about something else."""
    wheels = [circle(scene.x(begin + x), scene.y(y), 0.3 * scene.scale, **_seen(opacity)) for x, y in WHEELS]
    body = outline(scene.points(CAR, begin), FINE, fill="currentColor", fill_opacity="0.05", opacity=opacity)
    return together((body, outline(scene.points(GLASS, begin), FINE, opacity=opacity), *wheels))


def _seen(opacity: float) -> dict[str, Any]:
    return {
        "fill": PAGE,
        "stroke": "currentColor",
        "stroke_width": FINE,
        "opacity": opacity,
    }


def walls(scene: Scene, begin: float, end: float, height: float, opened: bool = True) -> Markup:
    """Floor, back wall and ceiling cut through; the door at the far end stands open, or is shut."""
    thick = 0.12
    back = [(begin - thick, -thick), (begin, -thick), (begin, height), (begin - thick, height)]
    floor = [(begin - thick, -thick), (end, -thick), (end, 0), (begin - thick, 0)]
    roof = [(begin - thick, height), (end, height), (end, height + thick), (begin - thick, height + thick)]
    parts = [ground(scene.points(one), "slant", pitch=7.0) for one in (back, floor, roof)]
    if opened:
        # An up-and-over door lies under the roof.
        parts.append(line("M", scene.x(end - 2.1), scene.y(height - 0.1), "H", scene.x(end), weight=HEAVY))
    else:
        parts.append(line("M", scene.x(end), scene.y(0), "V", scene.y(height), weight=HEAVY))
    return together(parts)


def floor_scale(scene: Scene, axis: Axis, each: float) -> Markup:
    """Distances along the floor, in the unit that is shown; `each` m are one of it."""
    parts = []
    for value in ticks(axis.low, axis.high, 6):
        x = scene.x(value * each)
        parts += [line("M", x, scene.floor, "v", 5, weight=FINE), label(x, scene.floor + 30, f"{value:g}", "middle")]
    return together(parts)


def person(x: float, floor: float, tall: float) -> Markup:
    """Somebody who stands there, `tall` px."""
    head = 0.07 * tall
    body: list[str | float] = ["M", x, floor - 0.84 * tall, "V", floor - 0.45 * tall, "l", -0.1 * tall, 0.45 * tall]
    body += ["M", x, floor - 0.45 * tall, "l", 0.1 * tall, 0.45 * tall]
    return together(
        (
            circle(x, floor - 0.93 * tall, head, fill="none", stroke="currentColor", stroke_width=USUAL),
            line(*body, weight=HEAVY, stroke_linecap="round"),
        )
    )


# --- air in the garage ------------------------------------------------------------------------------------

AT_LIMIT = 12  # dots in each half of the room at the limit for health
MOST_DOTS = 420  # more are not told apart


class Air(NamedTuple):
    """Vapour of both halves of the room as multiples of the limit for health, and how lively its air is changed."""

    corner: float
    door: float
    changes: float  # an hour
    told_corner: str
    told_door: str


def vapour_in_section(air: Air) -> list[Markup]:
    """640 by 138: a half where fresh air hardly comes, one near the door; the layer at the floor is not computed."""
    left, middle, right, top, floor = 96.0, 322.0, 548.0, 28.0, 114.0
    scene = Scene(left + 180, floor, 48.0)
    counts = [min(round(AT_LIMIT * times), MOST_DOTS) for times in (air.corner, air.door)]
    flow = min(6 + 8 * air.changes**0.5, 60.0)
    return [
        car(scene, 0.0, 0.5),
        ground([(left - 8, top - 8), (left, top - 8), (left, floor), (left - 8, floor)], "slant", pitch=6.0),
        ground([(left - 8, top - 8), (right, top - 8), (right, top), (left - 8, top)], "slant", pitch=6.0),
        line("M", 20, floor, "H", 632, weight=HEAVY),
        specks(counts[0], corners(left + 3, top + 3, middle - left - 3, floor - top - 6), 1.2),
        specks(counts[1], corners(middle, top + 3, right - middle - 3, floor - top - 6), 1.2, first=1001),
        _along_the_floor(left, right, floor),
        line("M", middle, top, "V", floor, weight=FINE, stroke_dasharray="5 4"),
        person(left + 120, floor, 72),
        *_fed(left, floor),
        arrow(right + 16 + flow, floor - 12, right + 10, floor - 12, HEAVY),
        arrow(right + 10, top + 10, right + 16 + flow, top + 10, HEAVY),
        label(left, 14, air.told_corner),
        label(right, 14, air.told_door, "end"),
        label(18, floor + 21, f"{AT_LIMIT} dots a half: limit for health; no mist drawn"),
        label(634, floor + 21, "grey: far more, not computed", "end"),
        lines_of(560, 58, ("not to", "scale")),
    ]


def _along_the_floor(left: float, right: float, floor: float) -> Markup:
    """Vapour is heavier than air: a layer that no formula here computes."""
    layer = [(left, floor - 9), (right, floor - 5), (right, floor), (left, floor)]
    return outline(layer, 0.0, fill="currentColor", opacity=0.4, stroke="none")


def _fed(left: float, floor: float) -> list[Markup]:
    """Breathing air for the painter, from outside."""
    hose = ("M", 62, floor - 40, "H", left + 60, "Q", left + 100, floor - 40, left + 116, floor - 62)
    bottle = [(50, floor - 46), (54, floor - 52), (62, floor - 52), (66, floor - 46), (66, floor), (50, floor)]
    return [
        line(*hose, weight=4.5),
        line(*hose, weight=2, stroke=PAGE),
        ground(bottle, "level", pitch=7.0),
        lines_of(8, 38, ("breathing", "air")),
    ]


def car_from_above(left: float, top: float, along: float, across: float) -> Markup:
    """A car of 4 by 1.7 m in outline, `along` and `across` px for each m."""
    body = [(0, 0.34), (0.14, 0.12), (1.1, 0), (2.9, 0.04), (3.8, 0.16), (4.0, 0.5)]
    plan = [*body, *((x, 1.7 - y) for x, y in reversed(body))]
    glass = (
        ((0.63, 0.25), (0.9, 0.39), (0.9, 1.32), (0.63, 1.46)),
        ((2.63, 0.36), (3.03, 0.21), (3.03, 1.5), (2.63, 1.36)),
    )

    def at(places: Sequence[Point]) -> list[Point]:
        return [(left + along * x, top + across * y) for x, y in places]

    whole = outline(at(plan), USUAL, fill="currentColor", fill_opacity="0.05")
    return together((whole, *(outline(at(one), FINE) for one in glass)))


def flow_in_plan(fresh: float, drops: int, words: str) -> list[Markup]:
    """640 by 214: the garage from above with the air that sweeps it from the door to the far wall.

    fresh  share of the widest arrow; `words` over it
    """
    left, right, top, bottom = 130.0, 520.0, 28.0, 190.0
    wide = 2 + 10 * min(fresh, 1.0) ** 0.5
    wall = [(right, top), (left, top), (left, 82), (left, 128), (left, bottom), (right, bottom)]
    swept = [(left + 4, 86), (314, 164), (324, 182), (left + 4, 126)]
    return [
        car_from_above(232, 62, 60, 56),
        line("M", *wall[0], "L", *wall[1], "L", *wall[2], "M", *wall[3], "L", *wall[4], "L", *wall[5], weight=5),
        line("M", right, top, "V", bottom, weight=USUAL, stroke_dasharray="7 5"),
        specks(drops, swept, 1.3),
        *(arrow(right + 76, y, right + 8, y, wide / 2) for y in (56, 172)),
        arrow(left - 4, 105, left - 40 - 3 * wide, 105, wide),
        circle(322, 172, 8, fill="currentColor"),
        line("M", 322, 164, "V", 158, weight=HEAVY),
        line("M", 40, 178, "C", 110, 200, 250, 200, 316, 178, weight=4.5),
        line("M", 40, 178, "C", 110, 200, 250, 200, 316, 178, weight=2, stroke=PAGE),
        ground(corners(20, 158, 26, 26), "level", pitch=7.0),
        ground(corners(20, 26, 44, 26), "upright", pitch=7.0),
        line("M", 64, 42, "H", left, weight=3),
        label(6, 16, "gun's air"),
        label(6, 208, "breathing air"),
        label(340, 182, "painter"),
        label(334, 114, "car", "middle"),
        label(634, 16, words, "end"),
        label(514, 208, "door open", "end"),
        label(634, 208, NOT_TO_SCALE, "end"),
    ]


PLAN_HIGH = 232.0
DOTS = 260  # of what misses the panel, where all of the largest mix does
LEFT_OVER = 40.0  # px of a cup's height


class Waste(NamedTuple):
    """Where the paint of one way goes, each as a share of what the drawing has room for, and its words."""

    title: str
    missed: float
    left: float
    words: tuple[str, str, str]  # on the panel, missed, left


def waste_in_plan(ways: Sequence[Waste]) -> list[Markup]:
    """640 by 232: the garage from above for each of two ways; dots are paint that misses the panel.

    Where each of them falls is not computed: most lies near the panel, mist anywhere.
    """
    return [part for number, one in enumerate(ways) for part in _wasted(328.0 * number, one)]


def _wasted(x: float, one: Waste) -> list[Markup]:
    top, bottom, right = 26.0, 190.0, x + 304
    drift = [(x + 10, 40), (x + 196, 128), (x + 196, 160), (x + 10, 184)]
    cup, filled = (x + 262, bottom - 8), LEFT_OVER * min(one.left, 1.0)
    return [
        label(x, 14, one.title, font_weight="700"),
        line("M", right, top, "H", x + 4, "V", bottom, "H", right, weight=5),
        line("M", right, top, "V", bottom, weight=USUAL, stroke_dasharray="7 5"),
        car_from_above(x + 66, 46, 44, 42),
        specks(round(DOTS * min(one.missed, 1.0)), drift, 1.5),
        line("M", x + 176, 119, "H", x + 232, weight=7, stroke=shade("base")),
        line("M", x + 176, 115, "H", x + 232, weight=FINE),
        circle(x + 204, 160, 8, fill="currentColor"),
        line("M", x + 204, 152, "V", 144, weight=HEAVY),
        material("base", corners(cup[0], cup[1] - filled, 28, filled), 0.0),
        line("M", cup[0], cup[1] - LEFT_OVER, "V", cup[1], "h", 28, "v", -LEFT_OVER, weight=HEAVY),
        *(label(x, bottom + 18 + ROW * n, words) for n, words in enumerate(one.words[:2])),
        label(right, bottom + 18, one.words[2], "end"),
    ]
