"""Dulling old clear by machine: texture that goes, clear that stays, and the new scratch, over the time."""

from __future__ import annotations

import functools
import math
from typing import Any

import numpy as np

from coursekit import panel, sanding
from coursekit.lesson.content.shared import sanded_piece
from coursekit.lesson.draw.picture import Chart, Mark, Row, shaded
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.nomenclature import names
from coursekit.panel.sanding import PREVIEW
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


@functools.lru_cache(maxsize=32)
def planed(
    held: panel.Tool, grade: str, force: float, peel_height: float, finer: float
) -> tuple[np.ndarray, np.ndarray]:
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
                looks[-1],
                tool=held,
                paper=sheet,
                force=force,
                time=seconds,
                orbit=ORBIT,
                rate=RATE,
                overhang=0.0,
                finer=finer,
            )[0]
        )
    middle = panel.cells_of(looks[0], MIDDLE)
    film = np.array([float(look.film("old clear")[middle].mean()) for look in looks])
    return film[0] - film, np.array([float(look.texture[LONGER][middle].mean()) for look in looks])


@declare(
    "Texture out, clear left",
    gives={
        "texture": "peel_height",  # over TIMES
        "left": "clear_film",  # over TIMES
        "here_left": "clear_film",
        "here_texture": "peel_height",
        "scratch": "scratch_depth",
    },
    about=lambda units: (
        "A flat piece of old paint with orange peel, scuffed all over with a random-orbital (DA) sander: orbit "
        f"{units(ORBIT, 'lip_height'):2}, 10 000 turns a minute. The film gauge cannot see the clear alone: how "
        "thick yours is must be known or guessed low."
    ),
    sources=["wear_coefficient", "hardness_old_paint", "preston-1927", "orbit-sizes", "assumed-here"],
    measurement="removal",
)
def bench(
    pad: str = at("machine, soft pad", options=("machine, hard pad", "machine, soft pad")),
    grade: str = at("P600"),
    force: float = at("20 N", measured="hand_force"),
    time: float = at("3 min", name="step_time", slider=(0, 12, 0.25), slider_us=(0, 12, 0.25)),
    clear_film: float = at("45 µm", label="old clear"),
    peel_height: float = at("4 µm", slider=(0, 20, 0.5), slider_us=(0, 0.8, 0.02)),
    *,
    preview: bool = False,
) -> dict[str, Any]:
    held = sanded_piece.tool(sanded_piece.PADS[pad])
    share = held.area / AREA  # of the time that the pad is over one place
    hardness = own.coefficient(names()["hardness"].classes["old paint"])
    taken = own.band_si(
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
    off, heights = planed(held, grade, force, peel_height, PREVIEW if preview else 1.0)
    backwards = (taken.high, taken.middle, taken.low)  # most taken off leaves least
    texture = Band(*(np.interp(end, off, heights) for end in backwards))
    left = Band(*(np.maximum(clear_film - end, 0) for end in backwards))
    scratch = float(sanding.scratch.si(grade, force / held.area, hardness).deepest)
    width = float(sanding.scratch_width.si(sanding.show_through.si(scratch)))
    return {
        "texture": Band(*(end[:-1] for end in texture)),
        "left": Band(*(end[:-1] for end in left)),
        "here_left": Band(*(float(end[-1]) for end in left)),
        "here_texture": Band(*(float(end[-1]) for end in texture)),
        "scratch": scratch,
        "covers": width <= float(sanding.seen_width.si("point lamp")),  # base and clear hide the scratch
    }


@bench.says
def say(now: Now) -> str:
    if now.time == 0:
        return f"Before the first turn: {now.clear_film} of clear, {now.peel_height} of texture."
    words = (
        f"{now.time} of {now.grade} on {now.figure(AREA, 'area'):2} leaves {now.here_left} of the {now.clear_film} "
        f"of clear on the flat. Of {now.peel_height} of texture {round(now.here_texture, 8)} is left. "
    )
    if now.here_left.low <= 0:
        words += "With a fast paper that is through the clear: stop long before. "
    elif now.here_texture.middle > 0.3 * now.peel_height:
        words += "Much of the texture is still there: keyed enough to hold a coat, not level. "
    hides = "so shallow that base and clear hide them" if now.covers else "deep enough to show under a strong lamp"
    return words + f"The deepest scratches, {now.scratch:2} by the best estimate, are {hides}."


@bench.draws
def draw(now: Now) -> Drawn:
    times = now.time.of(TIMES)
    along = times.axis(TIMES[-1], "sanding")
    texture = [
        *shaded(times, now.texture, "texture left", "best estimate"),
        Mark(now.time, now.here_texture, "now"),
    ]
    clear = [*shaded(times, now.left, "clear left", "best estimate"), Mark(now.time, now.here_left, "now")]
    end = math.ceil(now.clear_film.si * 1.15 / 20e-6) * 20e-6
    return Row(
        Chart(along, now.peel_height.axis(PEELS), texture, 345, 300),
        Chart(along, now.clear_film.axis(end), clear, 345, 300),
    )
