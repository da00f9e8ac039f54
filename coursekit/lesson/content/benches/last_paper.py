"""The window of the last paper: strokes that sand out the one before, and strokes that go through the recoat."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit import sanding
from coursekit.lesson.content.shared.sanding_hand import SANDED_OUT, block, hardness
from coursekit.lesson.draw.picture import Chart, Part, Shade, Span, level, upright
from coursekit.lesson.draw.sanded_out import sanded_out
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.uncertain import Band

FILMS = np.array([2, 5, 10, 20, 40]) * 1e-6
AXES = (25.0, 50.0, 100.0, 200.0, 400.0, 800.0)


@declare(
    "The window of the last paper",
    gives={"here": sanding.strokes_between, "most": "strokes", "taken": "removed", "scratches": "scratch_depth"},
    about="Too few strokes leave the old scratch, too many go through. Strokes are counted over each spot: a place "
    "that the block passes once has had one.",
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
)
def bench(
    previous_grade: str = at("P320", label="scratches of"),
    grade: str = at("P600", label="last paper"),
    force: float = at("15 N", measured="hand_force"),
    block_length: float = at("125 mm", start_us="5 in", seldom=True, label="block, along the stroke"),
    block_width: float = at("70 mm", start_us="2.75 in", seldom=True, label="block, across"),
    film: float = at("17 µm", label="film of the recoat", slider=(2, 40, 1), slider_us=(0.1, 1.6, 0.05)),
    strokes: float = at("40", name="strokes_over", slider=(0, 300, 5)),
) -> dict[str, Any]:
    held, hard = block(block_length, block_width), hardness("surfacer")
    given: dict[str, Any] = {
        **own.garage_file().using(sanding.strokes_between),
        "previous_grade": previous_grade,
        "grade": grade,
        "force": force,
        "block": held,
        "hardness": hard,
    }
    pressure = float(sanding.block_pressure.si(force, held))
    scratches = [
        sanding.scratch.si(one, pressure, float(hard), float(own.coefficient("scratch_factor")))
        for one in (previous_grade, grade)
    ]
    over = [sanding.strokes_between.si(**given, film=float(one)).most for one in FILMS]
    return {
        "scratches": [
            float(depth) for one in scratches for depth in (one.mean, one.deepest)
        ],  # before, now; estimates
        "here": sanding.strokes_between.si(**given, film=film),
        # over FILMS, strokes until it is through
        "most": Band(*(np.array([getattr(band, end) for band in over]) for end in Band._fields)),
        "taken": own.band_si(  # that the strokes of the learner take off
            sanding.removal,
            pressure=pressure,
            distance=strokes * held.sliding,
            grade=grade,
            hardness=hard,
        ),
    }


@bench.says
def say(now: Now) -> str:
    least, most = now.here.least, now.here.most
    words = (
        f"{now.grade} sands out the deepest scratches of {now.previous_grade} in {least} over each spot; a film of "
        f"{now.film} is through after {most}. Both depend on your paper alike, so the second is {now.here.ratio} "
        f"times the first. {SANDED_OUT[now.here.verdict]} "
    )
    side = (
        "too few for any paper"
        if now.strokes < least.low
        else "enough for some papers, not for all"
        if now.strokes < least.high
        else "enough even for a slow paper"
    )
    through = " – but a fast one may be through" if now.strokes > most.low else ""
    return words + (
        f"Your {now.strokes:.0f} strokes take {now.taken}: {side}{through}. Gauge, {least.of(50.0)}, gauge: then you "
        "know which paper yours is."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    least = now.here.least
    up = least.of(1.5 * least.most).axis([*AXES, 1.5 * least.most], "strokes over each spot")
    across = now.film.axis(FILMS[-1], "dry film of the recoat")
    through = [np.minimum(edge.si, up.high) for edge in (now.most.low, now.most.high)]
    parts: list[Part] = [
        Span(least.low, least.high, f"{now.previous_grade} is sanded out here"),
        Shade(now.film.of(FILMS), through, "it goes through here"),
        upright(now.film, up, "your film", "dashed")._replace(pinned="film, pinned"),
        level(now.strokes, across, "your strokes", "solid")._replace(pinned="strokes, pinned"),
    ]
    old, new = now.scratches[:2], now.scratches[2:]
    section = sanded_out(
        (f"{now.previous_grade}", f"{now.grade}"),
        ((old[0], old[1]), (new[0], new[1])),
        now.film,
        now.taken,
        f"{now.strokes:.0f} strokes",
        bool(now.strokes > now.here.most.low),
    )
    return [section, Chart(across, up, parts, height=280)]
