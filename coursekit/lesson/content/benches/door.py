"""What one door needs, from three numbers: how much to mix, which wet film to look for, which papers."""

from __future__ import annotations

import functools
from typing import Any

from coursekit import datasheet, film, mixing, sanding
from coursekit.belief import band_si
from coursekit.figure import Figure
from coursekit.lesson.content.shared import sanding_hand
from coursekit.lesson.content.shared.parts import part_words
from coursekit.lesson.draw.comb import comb_drawing
from coursekit.lesson.draw.picture import Bar, Bars, Column, Row
from coursekit.lesson.learner import own
from coursekit.lesson.screen import page
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.quantities import InputError
from coursekit.sanding import Block
from coursekit.sanding.progression import Step
from coursekit.uncertain import Band, Coefficient

PAPERS = ("P320", "coat", "P400", "P600")
BLOCK = Block(0.125, 0.070)  # m
RESERVE = 0.1
ONE_COAT = 35e-6  # m dry; the upper end of the demo surfacer's film per coat
MOST = 1.5e-3  # m³; the axis stays put while it is not passed


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
def papers(dry_film: float, measured: tuple[tuple[str, Coefficient], ...]) -> list[Step]:
    """Neither area nor ratio changes them."""
    grades = [f"coat {dry_film * 1e6:.6g} µm" if paper == "coat" else paper for paper in PAPERS]
    steps: list[Step] = sanding.judge_sequence.si(
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
        f"{now.dry_film} dry on {now.area} are {coats}: mix {now.mix} in all, of which {now.lands} must land. In "
        f"each coat the comb comes up {comb}{dry}. P320 before the coats, P400 until flat, then P600: {last.strokes} "
        f"over each place, which take {last.film}.{doubts}"
    )


@bench.draws
def draw(now: Now) -> Drawn:
    reserve = now.figure(RESERVE, "part_share")
    rows = [Bar(f"To mix in all, with {reserve} of reserve", now.mix, hatch="slant", kept="Pinned, in all")]
    rows += [Bar(f"of it {part_words(number)}", part) for number, part in enumerate(now.parts)]
    volumes = Bars(now.mix.axis(max(MOST, now.mix.most * 1.1)), rows, 310)
    return Row(volumes, Column(comb_drawing(now.wet, *teeth(now), 360), table(now)))


def table(now: Now) -> str:
    rows = []
    for step in now.steps:
        sands_out, coat = step.strokes.high > 0, step.paper.startswith("coat")
        until = "spray, let cure" if coat else "until flat"
        rows.append(
            (
                "the coats" if coat else step.paper,
                f"{step.strokes}" if sands_out else until,
                f"{step.film}" if sands_out else "",
            )
        )
    return f'<div class="ck">{page.table(("paper", "over each place", "takes"), rows)}</div>'
