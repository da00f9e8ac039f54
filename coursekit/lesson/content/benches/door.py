"""What one door needs, from three numbers: how much to mix, which wet film to look for, which papers."""

from __future__ import annotations

import functools
import itertools
from typing import Any

from coursekit import datasheet, film, mixing, sanding
from coursekit.belief import band_si
from coursekit.drawing import corners
from coursekit.figure import Figure
from coursekit.lesson.content.shared import sanding_hand
from coursekit.lesson.content.shared.parts import part_words
from coursekit.lesson.draw import paint_job
from coursekit.lesson.draw.comb import COMB_HIGH, comb_parts
from coursekit.lesson.draw.drawing import (
    HEAVY,
    NOT_TO_SCALE,
    ROW,
    USUAL,
    Sketch,
    label,
    line,
    lines_of,
    material,
    outline,
    specks,
    told_beside,
)
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.markup import Markup, tag
from coursekit.quantities import InputError
from coursekit.sanding import Block
from coursekit.sanding.progression import SequenceStep
from coursekit.uncertain import Band, Coefficient

PAPERS = ("P320", "coat", "P400", "P600")
BLOCK = Block(0.125, 0.070)  # m
RESERVE = 0.1
ONE_COAT = 35e-6  # m dry; the upper end of the demo surfacer's film per coat
COMB_WIDE = 330
COARSEST = 46.2e-6  # m, grain of P320
HATCHES = ("slant", "dots", "level", "cross")


@functools.lru_cache(maxsize=1)
def solids() -> Coefficient:
    found = datasheet.demo()["surfacer"].volume_solids
    assert found is not None
    return found


@declare(
    "What one door needs",
    gives={
        "one": "dry_film",
        "lands": "paint_volume",
        "parts": "paint_volume",
        "mix": "paint_volume",
        "wet": "wet_film",
        "steps": sanding.judge_sequence,
    },
    about="Put in your own three numbers. The paint is the invented demo surfacer, ready to spray; hand, block and "
    "share that lands are the usual ones until you measure yours.",
    sources=[
        "transfer_efficiency",
        "hand_force",
        "wear_coefficient",
        "scratch_factor",
        "joseph-film",
        "comb-steps",
        "common-practice",
    ],
    measurement="transfer",
)
def bench(
    area: float = at("1.2 m²", label="area of the panel"),
    dry_film: float = at("90 µm", label="dry film wanted in all", slider=(20, 150, 5), slider_us=(0.8, 6, 0.2)),
    ratio: str = at("4:1:1", label="mixing ratio"),
) -> dict[str, Any]:
    if dry_film < 5e-6:
        raise InputError("dry_film", "is less than any coat leaves.", "Ask for 30 µm (1.2 mil) or more.")
    coats = max(1, -int(-dry_film // ONE_COAT))
    one = dry_film / coats
    lands = own.coefficient("transfer_efficiency")
    needed = band_si(film.paint_needed, area, one, solids(), lands, float(coats))
    ends = [mixing.batch.si(ratio, end * (1 + RESERVE)) for end in needed]
    return {
        "coats": coats,
        "one": one,
        "lands": float(film.paint_needed.si(area, one, float(solids()), 1.0, float(coats))),
        "parts": [Band(*part) for part in zip(*(end.volumes for end in ends), strict=True)],
        "mix": Band(*(end.fill_lines[-1] for end in ends)),
        "wet": band_si(film.wet_film, one, solids()),
        "steps": papers(round(dry_film, 9), _measured()),
    }


def _measured() -> tuple[tuple[str, Coefficient], ...]:
    mine = own.garage_file().using(sanding.judge_sequence)
    return tuple({**mine, "force": own.coefficient("hand_force")}.items())


@functools.lru_cache(maxsize=64)
def papers(dry_film: float, measured: tuple[tuple[str, Coefficient], ...]) -> list[SequenceStep]:
    """Neither area nor ratio changes them."""
    grades = [f"coat {dry_film * 1e6:.6g} µm" if paper == "coat" else paper for paper in PAPERS]
    steps: list[SequenceStep] = sanding.judge_sequence.si(
        grades, block=BLOCK, hardness=sanding_hand.hardness("surfacer"), film=dry_film, **dict(measured)
    )
    return steps


def teeth(now: Now) -> tuple[Figure, Figure]:
    """The tooth to find wetted and the one to find dry, of the comb that is usual with these units."""
    found = film.comb_teeth.si(now.wet.middle.si, now.system)
    return now.figure(float(found.wetted), "wetted_tooth"), now.figure(float(found.dry), "dry_tooth")


@bench.says
def say(now: Now) -> str:
    wetted, dry = teeth(now)
    last = now.steps[-1]
    doubts = "".join(
        f" {step.paper} – {step.verdict}: too little film." for step in now.steps if step.verdict != "go"
    )
    comb = f"wet at {wetted} and dry at " if wetted else "dry at "
    coats = f"{now.coats} coats of {now.one}" if now.coats > 1 else "one coat"
    return (
        f"{now.dry_film} dry on {now.area} takes {coats}: mix {now.mix} in all, of which {now.lands:2} must land. In "
        f"each coat the comb comes up {comb}{dry}. P320 before the coats, P400 until flat, then P600: {last.strokes} "
        f"over each spot, which take {last.film}.{doubts}"
    )


@bench.draws
def draw(now: Now) -> Drawn:
    comb = tag("g", *comb_parts(now.wet, *teeth(now), COMB_WIDE), transform="translate(0 216)")
    return Sketch([*door(now), *cup(now), comb, *sheets(now)], height=216 + COMB_HIGH)


def door(now: Now) -> list[Markup]:
    """The door in outline, as large as its area, and the coats that it gets."""
    left, ground = 16.0, 190.0
    return [
        *paint_job.door(now.area.si, left, ground),
        label(left, 16, f"{now.area} to coat:"),
        label(left, 16 + ROW, f"{now.coats} {'coats' if now.coats > 1 else 'coat'} of {now.one} dry"),
        label(left, 208, NOT_TO_SCALE, opacity=0.8),
    ]


def cup(now: Now) -> list[Markup]:
    """The mixing cup with a line to fill to after each part: the middle of its band, and the band in words."""
    left, width, ground, tall = 228.0, 92.0, 196.0, 150.0
    most = now.mix.axis(paint_job.CUPS).high
    parts = [(float(part.middle.shown), hatch) for part, hatch in zip(now.parts, HATCHES, strict=False)]
    drawn, heights = paint_job.cup((left, ground, width, tall), most, parts)
    rows = [f"{part_words(number)} {part}" for number, part in enumerate(now.parts)]
    middles = [(a + b) / 2 for a, b in itertools.pairwise(heights)]
    reserve = now.figure(RESERVE, "part_share")
    pinned = []
    if now.pinned is not None:
        y = ground - tall * min(now.pinned.mix.middle.shown / most, 1.0)
        pinned = [line("M", left - 14, y, "h", width + 20, weight=USUAL, stroke_dasharray="7 4")]
        pinned.append(label(left - 18, y + 5, "pinned", "end"))
    beside = zip(middles, rows, HATCHES, strict=False)
    return [
        *drawn,
        *(line("M", left - 6, y, "H", left + width, weight=HEAVY) for y in heights[1:]),
        *told_beside([(left + width, y, words) for y, words, _ in beside], left + width + 26, 60, ground),
        *pinned,
        label(left, 16, f"Mix {now.mix} in all,"),
        label(left, 16 + ROW, f"with {reserve} of reserve"),
    ]


def sheets(now: Now) -> list[Markup]:
    """A sheet of each paper, its grain as fine as it is, and what it has to do."""
    body = []
    for number, step in enumerate(now.steps):
        left, top = 344.0 + 132 * (number % 2), 222.0 + 98 * (number // 2)
        buries, coat = step.strokes.high > 0, step.paper.startswith("coat")
        sheet = [(left, top), (left + 78, top), (left + 96, top + 16), (left + 96, top + 46), (left, top + 46)]
        if coat:
            body += [
                material("surfacer", corners(left, top, 96, 46)),
                label(left + 48, top + 28, "the coats", "middle", class_="ck-on"),
            ]
        else:
            grain = 1.6 * float(sanding.grain_size.si(step.paper)) / COARSEST
            strewn = specks(160, corners(left + 3, top + 18, 90, 26), grain)
            body += [outline(sheet, USUAL), line("M", left + 78, top, "v", 16, "h", 18), strewn]
            body.append(label(left + 6, top + 15, step.paper, font_weight="bold"))
        until = "spray, let cure" if coat else "until flat"
        words = (f"{step.strokes}", f"{step.film} off") if buries else (until,)
        body.append(lines_of(left, top + 64, words))
    return body
