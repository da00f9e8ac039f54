"""How thin the recoat may be and still hide a paper's scratches, with the last sanding to come."""

from __future__ import annotations

from typing import Any

from coursekit import sanding
from coursekit.lesson.content.shared.sanding_hand import FORCE, block, hardness
from coursekit.lesson.draw.picture import Bar, Bars
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.sanding.showthrough import LEAST_COAT, MOST_COAT
from coursekit.uncertain import Band

AXES = (10e-6, 20e-6, 40e-6, 80e-6, 160e-6, 400e-6)  # m


@declare(
    "How thin may the recoat be?",
    gives={"needed": "film", "fill": "scratch_depth", "paper_takes": "film"},
    about="A recoat over a straight surface has only scratches to fill. Write a scale before the number of a paper: "
    "P320 or CAMI 320.",
    sources=["scratch_factor", "hardness_surfacer", "surfacer_solids", "scratch-calibration", "shrinking-film"],
    measurement="force",
)
def bench(
    grade: str = at("P320", label="scratches of"),
    finish_grade: str = at("P600", label="last paper"),
    force: float = FORCE,
    block_length: float = at("125 mm", start_us="5 in", seldom=True, label="block, along the stroke"),
    block_width: float = at("70 mm", start_us="2.75 in", seldom=True, label="block, across"),
    dry_film: float = at("17 µm", label="dry film you lay", slider=(1, 60, 1), slider_us=(0.05, 2.4, 0.05)),
    recoat_margin: float = at("2"),
) -> dict[str, Any]:
    given: dict[str, Any] = {
        **own.garage_file().using(sanding.thinnest_recoat),
        "grade": grade,
        "finish_grade": finish_grade,
        "force": force,
        "block": block(block_length, block_width),
        "hardness": hardness("surfacer"),
        "recoat_margin": recoat_margin,
    }
    found = sanding.thinnest_recoat.si(**given)
    return {"needed": found.film, "fill": found.fill, "paper_takes": found.sanding, "verdict": found.verdict}


@bench.says
def say(now: Now) -> str:
    words = (
        f"To hide {now.grade} under {now.force} and bear {now.finish_grade} after it, {now.needed} of dry film is "
        "needed. "
    )
    if now.dry_film >= now.needed.high:
        words += f"Your {now.dry_film} is enough for all that is not known. "
    elif now.dry_film >= now.needed.low:
        words += f"Your {now.dry_film} may or may not do: lay {now.needed.high:2}. "
    else:
        words += f"Your {now.dry_film} is too thin. "
    if now.verdict == "one thin coat":
        thin = now.needed.of(Band(LEAST_COAT, LEAST_COAT, MOST_COAT))
        return words + f"One thin coat of a gun, {thin}, can do it."
    return words + "That is more than one thin coat: sand finer first, or build."


@bench.draws
def draw(now: Now) -> Drawn:
    needed = f"needed, {now.recoat_margin:g} times both"
    rows = [
        Bar(f"fills the deepest scratch of {now.grade}", now.fill, hatch="dots"),
        Bar(f"goes to {now.finish_grade}: dip over the scratch, and its own", now.paper_takes, hatch="level"),
        Bar(needed, now.needed, hatch="slant", pinned="needed, pinned"),
        Bar("the recoat you lay", now.needed.of(now.dry_film), hatch="cross"),
    ]
    most = max(float(now.dry_film), now.needed.most)
    return Bars(now.needed.of(most).axis([*AXES, most], "dry film"), rows)
