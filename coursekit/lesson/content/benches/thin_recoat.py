"""One thin recoat with a soft edge: what it covers, what film it lays, and how it ends."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from coursekit import repair, sanding
from coursekit.lesson.content.benches.feathered_rim import Cut, cut
from coursekit.lesson.content.shared.sanding_hand import block, hardness
from coursekit.lesson.draw.charts import Line, Part, Span, chart
from coursekit.lesson.learner import own
from coursekit.lesson.repair.demo_recipes import demo, moved, numbered, taped_close, until
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.repair import Entry
from coursekit.repair.entry import SprayEntry
from coursekit.repair.steps import Block, Mask, Spray, Unmask
from coursekit.repair.verdicts import SOFT_EDGE
from coursekit.repair.words import spot_words
from coursekit.uncertain import Band

REACH = 0.02  # m either way of the lip
TOO_LONG = 320.0  # strokes of the last block: the demo needs 120, and goes through nowhere


class Recoat(NamedTuple):
    before: Entry
    sprayed: SprayEntry
    after: Entry
    edge: Cut
    needed: Band  # dry film


def compute(tape: str, lip_height: float, coats: float, gun_speed: float, reduction: float) -> Recoat:
    numbers = masked, sprayed, last = [
        numbered(demo(), kind, time) for kind, time in ((Mask, -1), (Spray, 2), (Unmask, -1))
    ]
    recipe = moved(until(last), numbered(demo(), Block, -1), strokes=TOO_LONG)
    recipe = taped_close(recipe, masked, sprayed, edge=tape, lip_height=lip_height)
    recipe = moved(recipe, sprayed, coats=coats, gun_speed=gun_speed, reduction=reduction)
    played = repair.replay(recipe)
    before, coat, after = (played[number - 1] for number in numbers)
    assert isinstance(coat, SprayEntry)
    return Recoat(before, coat, after, edge_of(before, after), needed())


def needed() -> Band:
    """Dry film that hides P320 and bears P600 under the usual hand, and the learner's own where it was measured."""
    mine = own.garage_file().using(sanding.thinnest_recoat)
    given: dict[str, Any] = {
        **mine,
        "grade": "P320",
        "finish_grade": "P600",
        "force": own.coefficient("hand_force"),
        "block": block(0.125, 0.07),
        "hardness": hardness("surfacer"),
    }
    found: Band = sanding.thinnest_recoat.si(**given).film
    return found


def edge_of(before: Entry, after: Entry) -> Cut:
    """The recoat's own film at its mask's left edge, without what was there."""
    whole, there = cut(after.panel, "surfacer", -1), cut(before.panel, "surfacer", -1)
    return whole._replace(film=whole.film - there.film)


def draw(now: Now) -> str:
    needed = now.number(now.result.needed, "film")
    parts: list[Part] = [Span(needed.low, needed.high, "film that hides P320 and bears P600")]
    if now.kept:
        parts.append(line(now, now.kept.result.edge, "kept", "dashed"))
    parts.append(line(now, now.result.edge, "film at the edge of the recoat", "solid"))
    return chart(
        now.axis("outward", -REACH, REACH, "under the tape ←   its lip   → the recoat"),
        now.axis("film", 0, 6e-5 if now["coats"] < 3 else 1.2e-4),
        parts,
    )


def line(now: Now, edge: Cut, words: str, dash: str) -> Line:
    here = np.abs(edge.place) <= REACH
    return Line(now.number(edge.place[here], "outward"), now.number(edge.film[here], "film"), words, dash)


def say(now: Now) -> str:
    found: Recoat = now.result
    laid, change = found.sprayed.change.laid, found.after.change
    shown = found.before.condition.shows.get("filler", 0.0), found.after.condition.shows.get("filler", 0.0)
    needed = found.needed.high
    words = (
        f"{now.show(laid.mean, 'film', 2)} of dry surfacer, {now.show(laid.thin, 'film', 2)} where it is thin; "
        f"to hide P320 and bear P600 it takes up to {now.show(needed, 'film', 2)}. "
    )
    if laid.thin < needed:
        words += "That may be too thin. "
    words += f"Filler showed on {spot_words(shown[0], now.system)}, now on {spot_words(shown[1], now.system)}. "
    if change.edge is None:
        return words + "No edge was left."
    film, width = change.edge
    soft = width >= SOFT_EDGE * film
    words += (
        f"At its hardest the mask's edge rises {now.show(film, 'film', 2)} within "
        f"{now.show(width, 'outward', 2)}: "
        + ("soft, it sands away." if soft else "hard, it shows as a ring unless it is feathered.")
    )
    hung = found.sprayed.used.hung
    return words + f" {now.show(hung, 'wet_film', 2)} of wet film hang at most."


bench = Bench(
    title="One thin coat with a soft edge",
    about="The demo repair, blocked for 320 strokes where 120 would have done: filler and old paint show in places, "
    "P320 scratches all over. The "
    "recoat is mixed 4:1 and thinned once more by a fifth, which is 4:1:1.",
    controls={
        "tape": Control("raised", label="edge of the mask"),
        "lip_height": Control("8 mm", slider=(1, 12, 0.5), slider_us=(0.05, 0.5, 0.05)),
        "coats": Control("1", slider=(1, 3, 1)),
        "gun_speed": Control("0.4 m/s", outfit=True, slider=(0.2, 1.0, 0.02), slider_us=(40, 200, 5)),
        "reduction": Control("20 %", slider=(0, 60, 5)),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["surfacer_solids", "scratch_factor", "shrinking-film", "ray-geometry", "common-practice"],
    measurement="ramp",
    beside=True,
)
