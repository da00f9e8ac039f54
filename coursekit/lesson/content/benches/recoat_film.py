"""How thin the recoat may be and still hide a paper's scratches, with the last sanding to come."""

from __future__ import annotations

from typing import Any

from coursekit import sanding
from coursekit.lesson.content.shared.sanding_hand import HAND, block, hardness
from coursekit.lesson.draw.charts import Bar, bars
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.sanding.showthrough import LEAST_COAT, MOST_COAT, Recoat
from coursekit.uncertain import Band

AXES = (10e-6, 20e-6, 40e-6, 80e-6, 160e-6, 400e-6)  # m


def compute(
    grade: str,
    finish_grade: str,
    force: float,
    block_length: float,
    block_width: float,
    dry_film: float,
    recoat_margin: float,
) -> Recoat:
    mine: dict[str, Any] = own.garage_file().using(sanding.thinnest_recoat)
    found: Recoat = sanding.thinnest_recoat.si(
        **{
            **mine,
            "grade": grade,
            "finish_grade": finish_grade,
            "force": force,
            "block": block(block_length, block_width),
            "hardness": hardness("surfacer"),
            "recoat_margin": recoat_margin,
        }
    )
    return found


def draw(now: Now) -> str:
    found: Recoat = now.result
    parts = [
        (f"fills the deepest scratch of {now['grade']}", found.fill, "dots", "scratch_depth"),
        (f"goes to {now['finish_grade']}: dip over the scratch, and its own", found.sanding, "level", "film"),
        (f"needed, {now['recoat_margin']:g} times both", found.film, "slant", "film"),
    ]
    rows = [
        Bar(
            label,
            now.number(band.middle, "film"),
            now.show(band, name),
            hatch,
            now.number(band.low, "film"),
            now.number(band.high, "film"),
        )
        for label, band, hatch, name in parts
    ]
    if now.kept:
        band = now.kept.result.film
        rows.append(
            Bar(
                "needed, kept",
                now.number(band.middle, "film"),
                now.show(band, "film"),
                "plain",
                now.number(band.low, "film"),
                now.number(band.high, "film"),
            )
        )
    rows.append(Bar("the recoat you lay", now.number(now["dry_film"], "film"), now.text("dry_film"), "cross"))
    most = max(now["dry_film"], *(n.result.film.high for n in (now, now.kept) if n))
    return bars(
        now.axis("film", 0, 1, "dry film").label,
        rows,
        now.number(next((end for end in AXES if end >= most), most), "film"),
    )


def say(now: Now) -> str:
    found: Recoat = now.result
    words = (
        f"To hide {now['grade']} under {now.text('force')} and bear {now['finish_grade']} after it, "
        f"{now.show(found.film, 'film')} of dry film are needed, "
    )
    laid = now["dry_film"]
    if laid >= found.film.high:
        words += f"and {now.text('dry_film')} are enough for all that is not known. "
    elif laid >= found.film.low:
        words += f"and {now.text('dry_film')} may or may not do: lay {now.show(found.film.high, 'film', 2)}. "
    else:
        words += f"and {now.text('dry_film')} are too thin. "
    if found.verdict == "one thin coat":
        thin = now.show(Band(LEAST_COAT, LEAST_COAT, MOST_COAT), "film")
        return words + f"One thin coat of a gun, {thin}, can do it."
    return words + "That is more than one thin coat: sand finer first, or build."


bench = Bench(
    title="How thin may the recoat be?",
    about="A recoat over a straight surface has only scratches to fill. Write a scale before the number of a paper: "
    "P320 or CAMI 320.",
    controls={
        "grade": Control("P320", label="scratches of"),
        "finish_grade": Control("P600", label="last paper"),
        "force": HAND["force"],
        "block_length": Control("125 mm", label="block, along the stroke"),
        "block_width": Control("70 mm", label="block, across"),
        "dry_film": Control("17 µm", label="dry film you lay", slider=(1, 60, 1), slider_us=(0.05, 2.4, 0.05)),
        "recoat_margin": "2",
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["scratch_factor", "hardness_surfacer", "surfacer_solids", "scratch-calibration", "shrinking-film"],
    measurement="force",
    beside=True,
)
