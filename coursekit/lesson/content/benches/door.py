"""What one door needs, from three numbers: how much to mix, which wet film to look for, which papers."""

from __future__ import annotations

import functools
from typing import NamedTuple

from coursekit import datasheet, film, mixing, sanding
from coursekit.belief import band_si
from coursekit.film.gauges import CombTeeth
from coursekit.lesson.content.shared import sanding_hand
from coursekit.lesson.draw.charts import Bar, bars, side_by_side
from coursekit.lesson.draw.comb import comb_drawing
from coursekit.lesson.learner import own
from coursekit.lesson.screen import page
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.quantities import InputError
from coursekit.sanding.progression import Step
from coursekit.uncertain import Band, Coefficient

PAPERS = ("P320", "coat", "P400", "P600")
BLOCK = "70 x 125 mm"
RESERVE = 0.1
ONE_COAT = 35e-6  # m dry; the upper end of the demo surfacer's film per coat
MOST = 1.5e-3  # m³; the axis stays put while it is not passed
PARTS = ("paint", "hardener", "reducer")


class Door(NamedTuple):
    coats: int
    lands: float
    parts: tuple[Band, ...]
    mix: Band
    wet: Band
    steps: list[Step]


@functools.lru_cache(maxsize=1)
def solids() -> Coefficient:
    found = datasheet.demo()["surfacer"].volume_solids
    assert found is not None
    return found


def compute(area: float, dry_film: float, ratio: str) -> Door:
    if dry_film < 5e-6:
        raise InputError("dry_film", "is less than any coat leaves.", "Ask for 30 µm (1.2 mil) or more.")
    coats = max(1, -int(-dry_film // ONE_COAT))
    one = dry_film / coats
    lands = own.coefficient("transfer_efficiency")
    needed = band_si(film.paint_needed, area, one, solids(), lands, float(coats))
    ends = [mixing.batch.si(ratio, end * (1 + RESERVE)) for end in needed]
    parts = tuple(Band(*part) for part in zip(*(end.volumes for end in ends), strict=True))
    wet = band_si(film.wet_film, one, solids())
    landed = float(film.paint_needed.si(area, one, float(solids()), 1.0, float(coats)))
    mix = Band(*(end.fill_lines[-1] for end in ends))
    return Door(coats, landed, parts, mix, wet, papers(round(dry_film, 9), _measured()))


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


def teeth_of(now: Now) -> CombTeeth:
    """The tooth to find wetted and the one to find dry, of the comb that is usual with these units."""
    teeth = film.comb_teeth.si(now.result.wet.middle, now.system)
    return CombTeeth(float(teeth.wetted), float(teeth.dry))


def draw(now: Now) -> str:
    door = now.result
    rows = [bar(now, "To mix in all, with 10 % of reserve", door.mix, "slant")]
    if now.kept:
        rows.append(bar(now.kept, "Kept, in all", now.kept.result.mix, "cross"))
    rows += [bar(now, f"of it {part_words(number)}", part, "plain") for number, part in enumerate(door.parts)]
    longest = max([MOST, *(n.result.mix.high * 1.1 for n in (now, now.kept) if n)])
    volumes = bars(now.axis("paint_volume", 0, MOST).label, rows, now.number(longest, "paint_volume"), 400)
    return side_by_side(volumes, f"<div>{comb_drawing(now, door.wet, teeth_of(now))}{table(now)}</div>")


def part_words(number: int) -> str:
    return PARTS[number] if number < len(PARTS) else f"part {number + 1}"


def bar(now: Now, label: str, band: Band, hatch: str) -> Bar:
    low, middle, high = now.number(band, "paint_volume")
    return Bar(label, middle, now.show(band, "paint_volume"), hatch, low, high)


def table(now: Now) -> str:
    rows = []
    for step in now.result.steps:
        buries = step.strokes.high > 0
        coat = step.paper.startswith("coat")
        rows.append(
            (
                "the coats" if coat else step.paper,
                now.show(step.strokes, "strokes") if buries else "spray, let cure" if coat else "until flat",
                now.show(step.film, "film") if buries else "",
            )
        )
    return f'<div class="ck">{page.table(("paper", "over each place", "takes"), rows)}</div>'


def say(now: Now) -> str:
    door, teeth = now.result, teeth_of(now)
    one = now["dry_film"] / door.coats
    last = door.steps[-1]
    doubts = "".join(
        f" {step.paper} – {step.verdict}: too little film." for step in door.steps if step.verdict != "go"
    )
    comb = f"wet at {now.show(teeth.wetted, 'wetted_tooth')} and dry at " if teeth.wetted else "dry at "
    coats = f"{door.coats} coats of {now.show(one, 'dry_film')}" if door.coats > 1 else "one coat"
    return (
        f"{now.text('dry_film')} dry on {now.text('area')} are {coats}: mix {now.show(door.mix, 'paint_volume')} in "
        f"all, of which {now.show(door.lands, 'paint_volume')} must land. In each coat the comb comes up {comb}"
        f"{now.show(teeth.dry, 'dry_tooth')}. P320 before the coats, P400 until flat, then P600: "
        f"{now.show(last.strokes, 'strokes')} over each place, which take {now.show(last.film, 'film')}.{doubts}"
    )


bench = Bench(
    title="What one door needs",
    about="Put in your own three numbers. The paint is the invented demo surfacer, ready to spray; hand, block and "
    "share that lands are the usual ones until you measure yours.",
    controls={
        "area": Control("1.2 m²", label="area of the panel"),
        "dry_film": Control("90 µm", label="dry film wanted in all", slider=(20, 150, 5), slider_us=(0.8, 6, 0.2)),
        "ratio": Control("4:1:1", label="mixing ratio"),
    },
    compute=compute,
    draw=draw,
    say=say,
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
