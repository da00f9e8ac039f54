"""Dulling old clear by machine: texture that goes, clear that stays, and the new scratch, over the time."""

from __future__ import annotations

import functools
import math
from typing import NamedTuple

import numpy as np

from coursekit import panel, sanding
from coursekit.lesson.content.shared import sanded_piece
from coursekit.lesson.draw.charts import Line, Mark, Part, Shade, chart, side_by_side
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.nomenclature import names
from coursekit.sanding import Block
from coursekit.sanding.wear import ease_of
from coursekit.uncertain import Band

AREA = 0.24  # m²
TIMES = np.array([0, 20, 45, 90, 135, 180, 240, 300, 360, 450, 540, 720.0])  # s
ORBIT, RATE = 5e-3, 10_000 / 60
STEPS = (0.7e-6, 0.7e-6, 1.4e-6, 2.8e-6, 5.6e-6, 11e-6)  # m taken off a flat between two looks
CARD, MIDDLE = (0.4, 0.4, 20e-3), (0.13, 0.27, 0.13, 0.27)  # m
LONGER = 3  # of panel.TEXTURE_BANDS: 3 to 10 mm, the one that goes last
PEELS = (5e-6, 10e-6, 20e-6, 50e-6)  # m: where the axis may end


class Dulled(NamedTuple):
    texture: Band  # over TIMES
    left: Band  # clear, over TIMES
    now_left: Band
    now_texture: Band
    scratch: float
    covers: bool  # base and clear hide the scratch


@functools.lru_cache(maxsize=32)
def planed(held: panel.Tool, grade: str, force: float, peel_height: float) -> tuple[np.ndarray, np.ndarray]:
    """Clear taken off at each look, and the texture left, m."""
    sheet = panel.paper_of(grade, held, force)  # how fast it cuts does not matter: the work is given
    coats = (("old primer", 50e-6), ("old base", 15e-6), ("old clear", 1e-3))
    looks = [panel.sheet_metal(panel.test_card(*CARD), coats=coats, texture=peel_height, contamination=0.0)]
    share = held.area / looks[0].shape.area
    for step in STEPS:
        slid = step / sheet.removal["old clear"] / (force / held.area)
        seconds = slid / float(sanding.orbital_speed.si(ORBIT, RATE)) / share
        looks.append(
            panel.machine_sand(
                looks[-1], tool=held, paper=sheet, force=force, time=seconds, orbit=ORBIT, rate=RATE, overhang=0.0
            )[0]
        )
    middle = panel.cells_of(looks[0], MIDDLE)
    film = np.array([float(look.film("old clear")[middle].mean()) for look in looks])
    return film[0] - film, np.array([float(look.texture[LONGER][middle].mean()) for look in looks])


def compute(pad: str, grade: str, force: float, time: float, clear_film: float, peel_height: float) -> Dulled:
    held = sanded_piece.tool(sanded_piece.PADS[pad])
    share = held.area / AREA  # of the time that the pad is over one place
    hardness = own.coefficient(names()["hardness"].classes["old paint"])
    taken = own.banded(
        sanding.machine_removal,
        force=force,
        block=Block(held.length, held.width),
        orbit=ORBIT,
        rotation=RATE,
        time=np.append(TIMES, time) * share,
        grade=grade,
        hardness=hardness,
        cutting_ease=ease_of(hardness),
    )
    off, heights = planed(held, grade, force, peel_height)
    backwards = (taken.high, taken.middle, taken.low)  # most taken off leaves least
    texture = Band(*(np.interp(end, off, heights) for end in backwards))
    left = Band(*(np.maximum(clear_film - end, 0) for end in backwards))
    scratch = float(sanding.scratch.si(grade, force / held.area, hardness).deepest)
    width = float(sanding.scratch_width.si(sanding.show_through.si(scratch)))
    now_left, now_texture = (Band(*(float(end[-1]) for end in band)) for band in (left, texture))
    curves = [Band(*(end[:-1] for end in band)) for band in (texture, left)]
    return Dulled(
        curves[0], curves[1], now_left, now_texture, scratch, width <= float(sanding.seen_width.si("point lamp"))
    )


def draw(now: Now) -> str:
    found: Dulled = now.result
    minutes = now.number(TIMES, "step_time")
    top = next((end for end in PEELS if end >= now["peel_height"]), PEELS[-1])
    at = now.number(now["time"], "step_time")
    low, middle, high = now.number(found.texture, "peel_height")
    here = now.number(found.now_texture, "peel_height")
    texture: list[Part] = [
        Shade(minutes, low, high, "texture left"),
        Line(minutes, middle, "its middle"),
        Mark(at, here.middle, "now", low=here.low, high=here.high),
    ]
    low, middle, high = now.number(found.left, "clear_film")
    here = now.number(found.now_left, "clear_film")
    clear: list[Part] = [
        Shade(minutes, low, high, "clear left"),
        Line(minutes, middle, "its middle"),
        Mark(at, here.middle, "now", low=here.low, high=here.high),
    ]
    if now.kept:
        kept: Dulled = now.kept.result
        texture.append(Line(minutes, now.number(kept.texture.middle, "peel_height"), "kept", "dotted"))
        clear.append(Line(minutes, now.number(kept.left.middle, "clear_film"), "kept", "dotted"))
    end = math.ceil(now["clear_film"] * 1.15 / 20e-6) * 20e-6
    along = now.axis("step_time", 0, TIMES[-1], "sanding")
    return side_by_side(
        chart(along, now.axis("peel_height", 0, top), texture, 345, 300),
        chart(along, now.axis("clear_film", 0, end), clear, 345, 300),
    )


def say(now: Now) -> str:
    found: Dulled = now.result
    if now["time"] == 0:
        return f"Before the first turn: {now.text('clear_film')} of clear, {now.text('peel_height')} of texture."
    words = (
        f"{now.text('time')} of {now['grade']} on {now.show(AREA, 'area', 2)} leave "
        f"{now.show(found.now_left, 'clear_film')} of the {now.text('clear_film')} of clear on the flat, and "
        f"{now.show(worn(found.now_texture), 'peel_height')} of {now.text('peel_height')} of texture. "
        ""
    )
    if found.now_left.low <= 0:
        words += "With a fast paper that is through the clear: stop long before. "
    elif found.now_texture.middle > 0.3 * now["peel_height"]:
        words += "Much of the texture is still there: dull enough to hold a coat, not level. "
    hides = "so shallow that base and clear hide them" if found.covers else "deep enough to show under a strong lamp"
    return words + (
        f"The deepest scratches, {now.show(found.scratch, 'scratch_depth', 2)} in the middle of their "
        f"band, are {hides}."
    )


def worn(height: Band) -> Band:
    """Heights to a hundredth of a micrometre: what is less is gone."""
    return Band(*(round(end, 8) for end in height))


bench = Bench(
    title="Texture out, clear left",
    about="A flat piece of old paint with orange peel, dulled all over with an orbital machine: orbit 5 mm (3/16 "
    "in), "
    "10 000 turns a minute. The film gauge cannot see the clear alone: how thick yours is must be known or "
    "guessed low.",
    controls={
        "pad": Control("machine, soft pad", options=("machine, hard pad", "machine, soft pad")),
        "grade": "P600",
        "force": Control("20 N", measured="hand_force"),
        "time": Control("3 min", name="step_time", slider=(0, 12, 0.25), slider_us=(0, 12, 0.25)),
        "clear_film": Control("45 µm", label="old clear"),
        "peel_height": Control("4 µm", slider=(0, 20, 0.5), slider_us=(0, 0.8, 0.02)),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["wear_coefficient", "hardness_old_paint", "preston-1927", "orbit-sizes", "assumed-here"],
    measurement="removal",
    beside=True,
)
