"""One thin recoat with a soft edge: what it covers, what film it lays, and how it ends."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit import repair, sanding
from coursekit.lesson.content.shared import coat_edge
from coursekit.lesson.content.shared.sanding_hand import block, hardness
from coursekit.lesson.draw.picture import Chart, Line, Part, Span
from coursekit.lesson.draw.recoat_cut import recoat_cut
from coursekit.lesson.learner import own
from coursekit.lesson.repair.demo_recipes import demo, moved, numbered, taped_close, until
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.repair.entry import SprayEntry
from coursekit.repair.steps import Block, Mask, Spray, Unmask
from coursekit.repair.verdicts import SOFT_EDGE
from coursekit.repair.words import spot_words
from coursekit.sanding.showthrough import Recoat

FILMS = (6e-5, 1.2e-4, 2.4e-4, 4.8e-4, 1e-3)  # m; the axis stays put until the next is needed
REACH = 0.02  # m either way of the lip
TOO_LONG = 320.0  # strokes of the last block: the demo needs 120, and goes through nowhere


@declare(
    "One thin coat with a soft edge",
    gives={
        "mean": "film",  # of the recoat
        "thin": "film",
        "place": "outward",
        "film": "film",  # of the recoat at its mask's left edge, without what was there
        "rises": "film",  # of the mask's hardest edge
        "within": "outward",
        "hung": "wet_film",
        "needed": "film",
        "scratch": "scratch_depth",
    },
    about="The demo repair, blocked for 320 strokes where 120 would have done: filler and old paint show in places, "
    "P320 scratches all over. The recoat is mixed 4:1 and thinned once more by a fifth, which is 4:1:1.",
    sources=["surfacer_solids", "scratch_factor", "shrinking-film", "ray-geometry", "common-practice"],
    measurement="ramp",
)
def bench(
    tape: str = at("raised", label="edge of the mask"),
    lip_height: float = at("8 mm", slider=(1, 12, 0.5), slider_us=(0.05, 0.5, 0.05)),
    coats: float = at("1", slider=(1, 3, 1)),
    gun_speed: float = at("0.4 m/s", outfit=True, slider=(0.2, 1.0, 0.02), slider_us=(40, 200, 5)),
    reduction: float = at("20 %", slider=(0, 60, 5)),
) -> dict[str, Any]:
    numbers = masked, sprayed, last = [
        numbered(demo(), kind, time) for kind, time in ((Mask, -1), (Spray, 2), (Unmask, -1))
    ]
    recipe = moved(until(last), numbered(demo(), Block, -1), strokes=TOO_LONG)
    recipe = taped_close(recipe, masked, sprayed, edge=tape, lip_height=lip_height)
    recipe = moved(recipe, sprayed, coats=coats, gun_speed=gun_speed, reduction=reduction)
    played = repair.replay(recipe)
    before, coat, after = (played[number - 1] for number in numbers)
    assert isinstance(coat, SprayEntry)
    whole, there = (coat_edge.cut(entry.panel, "surfacer", -1) for entry in (after, before))
    rises, within = after.change.edge or (None, None)
    return {
        "mean": coat.change.laid.mean,
        "thin": coat.change.laid.thin,
        "filler": [entry.condition.shows.get("filler", 0.0) for entry in (before, after)],  # m², before and after
        "place": whole.place,
        "film": whole.film - there.film,
        "rises": rises,
        "within": within,
        "hung": coat.used.hung,
        "needed": needed().film,
        "scratch": needed().fill,
    }


def needed() -> Recoat:
    """Film that hides P320 and bears P600 under the usual hand, and the learner's own where it was measured."""
    mine = own.garage_file().using(sanding.thinnest_recoat)
    given: dict[str, Any] = {
        **mine,
        "grade": "P320",
        "finish_grade": "P600",
        "force": own.coefficient("hand_force"),
        "block": block(0.125, 0.07),
        "hardness": hardness("surfacer"),
    }
    found: Recoat = sanding.thinnest_recoat.si(**given)
    return found


@bench.says
def say(now: Now) -> str:
    needed = now.needed
    words = f"{now.mean:2} of dry surfacer, {now.thin:2} where it is thin. "
    words += f"To hide P320 and stand P600 it takes {needed}: "
    if now.thin < needed.low:
        words += "that is too thin. "
    else:
        words += (
            "that is enough for all that is not known. " if now.thin >= needed.high else "that may or may not do. "
        )
    before, after = now.filler
    covered = "is covered" if after <= 0 else f"shows on {spot_words(after, now.system)} yet"
    words += f"Filler showed on {spot_words(before, now.system)}, and {covered}. "
    if now.rises is None:
        return words + "No edge was left."
    soft = now.within.si >= SOFT_EDGE * now.rises.si
    return words + (
        f"At its hardest the mask's edge rises {now.rises:2} within {now.within:2}: "
        + ("soft, it sands away." if soft else "hard, it shows as a ring unless it is feathered.")
        + f" Where it hangs thickest it is {now.hung:2} wet."
    )


@bench.draws
def draw(now: Now) -> Drawn:
    here = np.abs(now.place.si) <= REACH
    parts: list[Part] = [
        Span(now.needed.low, now.needed.high, "film that hides P320 and bears P600"),
        Line(now.place[here], now.film[here], "film at the edge of the recoat", pinned="pinned"),
    ]
    across = now.place.axis(REACH, "under the tape ←   its lip   → the recoat", -REACH)
    section = recoat_cut(
        (now.place.si[here], now.film.si[here]),
        (now.tape, now.lip_height),
        now.needed,
        now.scratch,
        f"recoat: {now.mean:2}, thin {now.thin:2}",
    )
    return [section, Chart(across, now.film.axis(FILMS), parts, height=250)]
