"""Degrease before the first abrasive: the same paper and the same cloths, in the right and the wrong order."""

from __future__ import annotations

import functools
from typing import NamedTuple

from coursekit import panel
from coursekit.lesson.content.shared import sanded_piece
from coursekit.lesson.draw.charts import Bar, bars
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.panel import Panel
from coursekit.repair.case import CLEAN

FORCE, STROKES = 15.0, 30.0  # N, of P600 over each place
MIDDLE = (0.08, 0.16, 0.05, 0.11)  # m


class Wax(NamedTuple):
    """Share of the wax and silicone of the unwashed panel, on the surface and in the scratches."""

    surface: float
    rubbed_in: float


class Orders(NamedTuple):
    cleaned_first: Wax
    sanded_first: Wax


@functools.lru_cache(maxsize=32)
def sanded(before: int) -> Panel:
    """The card after so many wipes and the paper."""
    held = sanded_piece.tool("soft pad")
    card = panel.sheet_metal(panel.test_card(0.24, 0.16, 10e-3), coats=panel.FACTORY_COATS)
    card, _ = panel.wash(card, wipes=before)
    return panel.hand_sand(
        card,
        tool=held,
        paper=sanded_piece.paper("P600", held, FORCE),
        force=FORCE,
        strokes=STROKES,
        hand=0.0,
        overhang=0.05,
    )[0]


def played(before: int, after: int) -> Wax:
    card, _ = panel.wash(sanded(before), wipes=after)
    middle = panel.cells_of(card, MIDDLE)
    return Wax(float(card.contamination[middle].mean()), float(card.embedded[middle].mean()))


def compute(wipes_before: float, wipes_after: float) -> Orders:
    before, after = round(wipes_before), round(wipes_after)
    return Orders(played(before, after), played(0, before + after))


def draw(now: Now) -> str:
    rows = []
    for title, wax in (
        ("wiped, sanded, wiped", now.result.cleaned_first),
        ("sanded first, then all the wipes", now.result.sanded_first),
    ):
        for words, share, hatch in (
            ("in the scratches", wax.rubbed_in, "slant"),
            ("on the surface", wax.surface, "plain"),
        ):
            told_share = now.show(round(share, 4), "remaining", 2)
            rows.append(Bar(f"{title}: {words}", now.number(share, "remaining"), told_share, hatch))
    label = now.axis("remaining", 0, 1, "wax and silicone left").label
    return bars(label, rows, now.number(0.6, "remaining"))


def say(now: Now) -> str:
    good, bad = now.result
    wiped = round(now["wipes_before"])
    words = f"{wiped} wipes, then P600, then {now['wipes_after']:.0f}: {told(now, good)}. "
    asked = f" (the course asks for {now.show(CLEAN, 'remaining', 2)} or less of either)"
    if not wiped:
        ends = (
            "ends clean enough, at the price of all those cloths"
            if max(good) <= CLEAN
            else ("is not clean enough: the next coat lies on wax and may open in craters")
        )
        return f"{words}Sanded before the first wipe: that is the wrong order, and it {ends}{asked}."
    words += f"The same wipes, all of them after the paper: {told(now, bad)}. "
    words += (
        "The right order ends clean enough" if max(good) <= CLEAN else "Even the right order is not clean enough yet"
    ) + asked
    words += (
        "; so does the wrong one, at the price of all those cloths."
        if max(bad) <= CLEAN
        else "; after the wrong one the next coat lies on wax and may open in craters."
    )
    return words if round(now["wipes_after"]) else words + " Sanding dust is not counted: it has still to come off."


def told(now: Now, wax: Wax) -> str:
    return (
        f"{now.show(round(wax.surface, 4), 'remaining', 2)} of the wax is left on the surface and "
        f"{now.show(round(wax.rubbed_in, 4), 'remaining', 2)} in the scratches"
    )


bench = Bench(
    title="Wipe first, or sand first",
    about="One wipe is one pass wet and dry, each with a clean cloth. What a wipe takes and what paper rubs in are "
    "assumed; that sanding first rubs wax into the scratches is what the trade teaches.",
    controls={
        "wipes_before": Control("3", name="wipes", label="wipes before the paper"),
        "wipes_after": Control("3", name="wipes", label="wipes after the paper"),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["common-practice", "assumed-here"],
)
