"""The garage in plan and in section: walls, floor, the car, who stands where. Lengths in m; places in the drawing."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

from coursekit.drawing import Point, circle
from coursekit.figure import Axis
from coursekit.lesson.draw.charts import ticks
from coursekit.lesson.draw.drawing import (
    FINE,
    HEAVY,
    USUAL,
    ground,
    label,
    line,
    outline,
)
from coursekit.markup import Markup, together

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
        "fill": "var(--jp-layout-color0, #fff)",
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
