"""A gravity-feed gun cut open, and its tip with the needle to scale: what knob, trigger and air do inside."""

from __future__ import annotations

import functools
import math
from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np

from coursekit.drawing import Point, corners, window
from coursekit.figure import Figure
from coursekit.lesson.draw.charts import ACCENT
from coursekit.lesson.draw.drawing import (
    FINE,
    HEAVY,
    NOT_TO_SCALE,
    PAGE,
    USUAL,
    arrow,
    gauge,
    ground,
    label,
    line,
    lines_of,
    material,
    measure,
    outline,
    specks,
)
from coursekit.markup import Markup, together

AXIS = 122.0  # height of the needle in the drawing
TIP = 380.0  # where the paint leaves
SEAT = 366.0
CONE, SHAFT = 26.0, 6.0  # length and half width of the needle's cone and shaft
DOTTED: dict[str, Any] = {"weight": FINE, "stroke_dasharray": "3 3"}


class GunDrawn(NamedTuple):
    """How the gun stands. Shares are of what the drawing has room for."""

    back: float  # px the needle is drawn back
    knob: float  # turns of the fluid knob out
    inlet: float  # pressure at the inlet, as a share of its gauge
    trigger: float = 1.0
    fan: float | None = None  # fan knob, where its setting is known
    cap: float | None = None  # a test cap with a gauge on it
    mist: int = 60  # drops drawn; an empty gun sprays none


def gun_cut_open(gun: GunDrawn, inlet: Any, cap: Any = "") -> list[Markup]:
    """The gun from its side, 440 by 240; `inlet` and `cap` are the words beside the gauges."""
    swing = 16 * gun.trigger
    parts = [
        _body(),
        _passages(gun),
        _paint(gun.mist > 0),
        _needle(gun.back),
        _seals(),
        _front(gun.mist > 0),
        _knobs(gun),
        _trigger(swing),
        _spray(gun),
        arrow(156, 244, 156, 222),
        line("M", 104, 218, "H", 150, weight=FINE),
        gauge(104, 216, gun.inlet),
        label(124, 192, inlet, "end"),
        label(230, 236, f"gun {NOT_TO_SCALE}"),
    ]
    if gun.cap is not None:
        parts += [line("M", 389, 82, "V", 60, weight=FINE), gauge(389, 44, gun.cap), label(412, 48, cap)]
    return parts


def names() -> list[Markup]:
    """What the parts of the gun are called."""
    told = (
        (6, 68, "fan knob", "start", (56, 74, 70, 84)),
        (6, 166, "fluid knob", "start", (40, 152, 60, 132)),
        (252, 190, "trigger", "start", (250, 186, 234, 176)),
        (402, 194, "air cap", "middle", (398, 180, 388, 166)),
        (336, 208, "fluid tip", "middle", (340, 194, 358, 128)),
        (134, 66, "needle", "start", (170, 72, 196, 120)),
    )
    return [
        together((line("M", x0, y0, "L", x1, y1, weight=FINE, opacity=0.7), label(x, y, words, anchor)))
        for x, y, words, anchor, (x0, y0, x1, y1) in told
    ]


@functools.lru_cache(maxsize=2)
def _body() -> Markup:
    whole = [(112, 80), (344, 80), (344, 164), (232, 164), (206, 164), (186, 232), (128, 232), (140, 164), (112, 164)]
    return ground(whole, "slant", pitch=9.0)


def _hole(points: list[Point]) -> Markup:
    return outline(points, FINE, fill=PAGE)


def _passages(gun: GunDrawn) -> Markup:
    """Air from the inlet past the trigger to the cap, and past the fan screw to the horns."""
    seat, opened = 176.0, 11 * (0.5 if gun.fan is None else gun.fan)
    screw = seat - 6 - opened
    air = [
        _hole(list(corners(150, 86, 13, 144))),
        _hole(list(corners(150, 146, 194, 10))),
        _hole(list(corners(112, 86, 232, 10))),
        ground([(seat, 86), (seat + 8, 86), (seat + 8, 88.5), (seat, 88.5)]),
        ground([(seat, 93.5), (seat + 8, 93.5), (seat + 8, 96), (seat, 96)]),
        ground([(78, 87), (screw, 87), (screw + 8, 91), (screw, 95), (78, 95)], weight=FINE),
        arrow(156, 206, 156, 180, FINE),
        arrow(212, 151, 262, 151, FINE),
        arrow(282, 151, 334, 151, FINE),
    ]
    if gun.fan is None or gun.fan > 0.02:
        air.append(arrow(200, 91, 200 + 40 + 60 * (gun.fan or 0.5), 91, FINE))
    return together(air)


def _wet(points: Sequence[Point], weight: float, full: bool) -> Markup:
    """Where the paint is; an empty gun shows its hollow."""
    return material("surfacer", points, weight) if full else outline(points, weight, fill=PAGE)


@functools.lru_cache(maxsize=2)
def _paint(full: bool) -> Markup:
    """Cup, its neck and the room round the needle."""
    cup = [(232, 20), (320, 20), (316, 40), (290, 62), (290, 106), (344, 108), (344, 136), (256, 136), (256, 106)]
    cup += [(264, 106), (264, 62), (236, 40)]
    return together(
        (
            _hole(list(corners(112, 114, 150, 16))),
            _wet(cup, USUAL, full),
            line("M", 230, 8, "L", 232, 20, "M", 322, 8, "L", 320, 20),
            line("M", 222, 8, "H", 330, weight=HEAVY),
            label(276, 38, "paint", "middle", class_="ck-on") if full else label(276, 38, "empty", "middle"),
        )
    )


def _needle(back: float) -> Markup:
    tip = SEAT + CONE * 0.62 - back
    return ground_of_needle(
        [
            (100 - back, AXIS - SHAFT),
            (tip - CONE, AXIS - SHAFT),
            (tip, AXIS),
            (tip - CONE, AXIS + SHAFT),
            (100 - back, AXIS + SHAFT),
        ]
    )


def ground_of_needle(points: list[Point]) -> Markup:
    """The needle is not cut: it is seen whole, with the line of its axis."""
    return together(
        (
            outline(points, USUAL, fill=PAGE),
            line(
                "M",
                *points[0],
                "M",
                points[0][0],
                points[2][1],
                "L",
                *points[2],
                weight=FINE,
                stroke_dasharray="9 3 2 3",
            ),
        )
    )


@functools.lru_cache(maxsize=2)
def _seals() -> Markup:
    return together(
        outline(corners(240, y, 14, 6), FINE, fill="currentColor") for y in (AXIS - SHAFT - 6, AXIS + SHAFT)
    )


@functools.lru_cache(maxsize=2)
def _front(full: bool) -> Markup:
    """Fluid tip and air cap with its horns: each above the needle and mirrored below it."""

    def both(points: list[Point], hatch: str) -> Markup:
        mirrored = [(x, 2 * AXIS - y) for x, y in points]
        return ground(points, hatch, pitch=6.0) + ground(mirrored, hatch, pitch=6.0)

    room = [(344, 108), (358, 113), (SEAT, 117.5), (TIP, 117.5), (TIP, 126.5), (SEAT, 126.5), (358, 131), (344, 136)]
    return together(
        (
            _wet(room, 0.0, full),
            both([(344, 100), (356, 102), (SEAT, 111), (TIP, 114), (TIP, 117.5), (SEAT, 117.5), (344, 108)], "back"),
            both([(344, 80), (350, 66), (398, 72), (402, 82), (384, 92), (384, 108), (374, 105), (362, 92)], "slant"),
        )
    )


def _knobs(gun: GunDrawn) -> Markup:
    """Fluid knob and fan knob: the further out, the more they are open."""
    out = 5 * gun.knob
    screw = 9 * (0.5 if gun.fan is None else gun.fan)
    spring: list[str | float] = ["M", 100 - gun.back, AXIS]
    end = 66 - out
    turns = 6
    for n in range(1, 2 * turns):
        x = 100 - gun.back + (end + 20 - 100 + gun.back) * n / (2 * turns)
        spring += ["L", x, AXIS + (7 if n % 2 else -7)]
    return together(
        (
            outline(corners(end + 18, AXIS - 13, 112 - end - 18, 26), FINE, fill=PAGE),
            line(*spring, weight=USUAL),
            ground(list(corners(end, AXIS - 16, 20, 32)), "level", pitch=8.0),
            ground(list(corners(66 - screw, 80, 18, 22)), "level", pitch=8.0),
        )
    )


def _trigger(swing: float) -> Markup:
    """It hangs in front of the handle, and its foot comes back as it is pulled."""
    foot = 226 - 2.2 * swing
    lever = [(232, 100), (240, 100), (244, 150), (foot + 10, 208), (foot, 208), (232, 150)]
    return together((outline(lever, USUAL, fill=PAGE), outline(lever, 0.0, fill="currentColor", opacity=0.2)))


def _spray(gun: GunDrawn) -> Markup:
    if not gun.mist:
        return Markup("")
    cloud = [(TIP + 4, AXIS - 2), (TIP + 44, AXIS - 12), (TIP + 44, AXIS + 12), (TIP + 4, AXIS + 2)]
    edges = line("M", TIP + 4, AXIS - 3, "L", TIP + 44, AXIS - 14, "M", TIP + 4, AXIS + 3, "L", TIP + 44, AXIS + 14)
    return edges + specks(gun.mist, cloud, 1.1)


# --- the tip, to scale ------------------------------------------------------------------------------------


def tip_cut_open(
    place: tuple[float, float, float, float],
    bore: float,
    back: float,
    half_angle: float,
    land: float,
    words: tuple[Any, ...],
) -> Markup:
    """Needle and tip to scale in a rectangle (x, y, width, height); lengths in m, as they are computed.

    words  a line over it, and lines under it
    """
    x, y, width, height = place
    scale = width / 9.4e-3
    seat, axis = x + 4.2e-3 * scale, y + height / 2
    half, slope = bore / 2 * scale, math.tan(half_angle)
    shaft = 1.55e-3 * scale
    point = seat + half / slope - back * scale
    far = point - shaft / slope
    left, end = x - 5, seat + land * scale
    needle = [(left, axis - shaft), (far, axis - shaft), (point, axis), (far, axis + shaft), (left, axis + shaft)]
    wall = 2.1e-3 * scale
    inner = [(left, axis - wall), (seat - 1.2e-3 * scale, axis - wall), (seat, axis - half), (end, axis - half)]
    outer = [(end, axis - half - 12), (seat + 2, axis - wall - 10), (left, axis - wall - 10)]
    paint = [*inner, *((px, 2 * axis - py) for px, py in reversed(inner))]
    jet = [
        (end, axis - half),
        (x + width + 5, axis - half * 0.8),
        (x + width + 5, axis + half * 0.8),
        (end, axis + half),
    ]
    drawn = [
        material("surfacer", paint, 0.0, 12.0),
        material("surfacer", jet, 0.0, 12.0),
        ground_of_needle(needle),
        ground([*inner, *outer], "back", pitch=8.0),
        ground([(px, 2 * axis - py) for px, py in [*inner, *outer]], "back", pitch=8.0),
    ]
    low = y + height - 6
    drawn += [
        measure(end + 14, axis - half, end + 14, axis + half, ""),
        measure(point, low, point + back * scale, low, ""),
        line("M", point, axis, "V", low + 4, "M", point + back * scale, axis, "V", low + 4, **DOTTED),
    ]
    told = [label(x, y - 8, words[0]), lines_of(x, y + height + 18, words[1:])]
    edge = outline(corners(*place), USUAL)
    return together((window(*place, *drawn), edge, *told))


# --- the fan, as the panel sees it ------------------------------------------------------------------------

FACE = 180.0 / 0.4  # px a metre


def fan_face_on(middle: Point, width: Figure, deep: float, words: Sequence[Any]) -> list[Markup]:
    """The print of the fan on the panel, to scale: round with its knob shut, long and narrow as it opens.

    width, deep  of the fan across the pass and along it, m
    """
    x, y = middle
    across, along = FACE * deep / 2, FACE * width.si / 2
    turn = np.linspace(0.0, 2 * np.pi, 49)[:-1]
    rim = [*zip((x + across * np.cos(turn)).tolist(), (y + along * np.sin(turn)).tolist(), strict=True)]
    core = [((px + x) / 2, (py + y) / 2) for px, py in rim]
    return [
        outline(rim, USUAL, fill=ACCENT, fill_opacity="0.2"),
        outline(core, 0.0, fill=ACCENT, fill_opacity="0.4", stroke="none"),
        measure(x + 70, y - along, x + 70, y + along, ""),
        lines_of(x, 222, words, "middle"),
    ]
