"""The window of the last paper: strokes that bury the one before, and strokes that go through the recoat."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from coursekit import sanding
from coursekit.lesson.content.benches.bury import VERDICTS
from coursekit.lesson.content.shared.sanding_hand import block, hardness
from coursekit.lesson.draw.charts import Line, Part, Shade, Span, chart
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.sanding.burying import Strokes
from coursekit.uncertain import Band

FILMS = np.array([2, 5, 10, 20, 40]) * 1e-6
AXES = (25.0, 50.0, 100.0, 200.0, 400.0, 800.0)


class Window(NamedTuple):
    here: Strokes
    most: Band  # over FILMS, strokes until it is through
    taken: Band  # film that the strokes of the learner take off


def compute(
    previous_grade: str,
    grade: str,
    force: float,
    block_length: float,
    block_width: float,
    film: float,
    strokes: float,
) -> Window:
    held, hard = block(block_length, block_width), hardness("surfacer")
    mine = own.garage_file().using(sanding.strokes_between)
    given: dict[str, Any] = {
        **mine,
        "previous_grade": previous_grade,
        "grade": grade,
        "force": force,
        "block": held,
        "hardness": hard,
    }
    here = sanding.strokes_between.si(**given, film=film)
    over = [sanding.strokes_between.si(**given, film=float(one)).most for one in FILMS]
    most = Band(*(np.array([getattr(band, end) for band in over]) for end in Band._fields))
    pressure = float(sanding.block_pressure.si(force, held))
    taken = own.banded(
        sanding.removal, pressure=pressure, distance=strokes * held.sliding, grade=grade, hardness=hard
    )
    return Window(here, most, taken)


def draw(now: Now) -> str:
    found: Window = now.result
    least = found.here.least
    end = next((end for end in AXES if end >= 1.5 * least.high), 1.5 * least.high)
    across, films = now.number(FILMS, "film"), np.linspace(0, 1, 2)
    parts: list[Part] = [
        Span(least.low, least.high, f"{now['previous_grade']} is buried here"),
        Shade(across, np.minimum(found.most.low, end), np.minimum(found.most.high, end), "it goes through here"),
        Line([now.number(now["film"], "film")] * 2, films * end, "your film", "dashed"),
        Line([0, now.number(40e-6, "film")], [now["strokes"]] * 2, "your strokes", "solid"),
    ]
    return chart(
        now.axis("film", 0, 40e-6, "dry film of the recoat"),
        now.axis("strokes", 0, end, "strokes over each place"),
        parts,
    )


def say(now: Now) -> str:
    found, here = now.result, now.result.here
    words = (
        f"{now['grade']} buries the deepest scratches of {now['previous_grade']} in "
        f"{now.show(here.least, 'strokes')} over each place; a film of {now.text('film')} is through after "
        f"{now.show(here.most, 'strokes')}. Both hang on your paper alike, so the second is "
        f"{now.show(here.ratio, 'stroke_ratio')} times the first. {VERDICTS[here.verdict]} "
    )
    done = now["strokes"]
    side = (
        "too few for any paper"
        if done < here.least.low
        else "enough for some papers, not for all"
        if done < here.least.high
        else "enough even for a slow paper"
    )
    through = " – but a fast one may be through" if done > here.most.low else ""
    return words + (
        f"Your {done:.0f} strokes take {now.show(found.taken, 'removed')}: {side}{through}. Gauge, 50 "
        "strokes, gauge: then you know which paper yours is."
    )


bench = Bench(
    title="The window of the last paper",
    about="Too few strokes leave the old scratch, too many go through. Strokes are counted over each place: a place "
    "that the block passes once has had one.",
    controls={
        "previous_grade": Control("P320", label="scratches of"),
        "grade": Control("P600", label="last paper"),
        "force": Control("15 N", measured="hand_force"),
        "block_length": Control("125 mm", label="block, along the stroke"),
        "block_width": Control("70 mm", label="block, across"),
        "film": Control("17 µm", label="film of the recoat", slider=(2, 40, 1), slider_us=(0.1, 1.6, 0.05)),
        "strokes": Control("40", name="strokes_over", slider=(0, 300, 5)),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=[
        "wear_coefficient",
        "size_exponent",
        "scratch_factor",
        "hardness_surfacer",
        "preston-1927",
        "ecv-grind",
        "scratch-calibration",
    ],
    measurement="removal",
    beside=True,
)
