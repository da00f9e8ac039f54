"""Degrease before the first abrasive: the same paper and the same cloths, in the right and the wrong order."""

from __future__ import annotations

import functools
from typing import Any, NamedTuple

from coursekit import panel
from coursekit.lesson.content.shared import sanded_piece
from coursekit.lesson.draw.wiping import Stage, orders
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.panel import Panel
from coursekit.repair.case import CLEAN

FORCE, STROKES = 15.0, 30.0  # N, of P600 over each spot
MIDDLE = (0.08, 0.16, 0.05, 0.11)  # m


class Wax(NamedTuple):
    """Share of the wax and silicone of the unwashed panel, on the surface and in the scratches."""

    surface: float
    rubbed_in: float


@functools.lru_cache(maxsize=32)
def wiped(before: int) -> Panel:
    """The card after so many wipes."""
    card = panel.sheet_metal(panel.test_card(0.24, 0.16, 10e-3), coats=panel.FACTORY_COATS)
    return panel.wash(card, wipes=before)[0]


@functools.lru_cache(maxsize=32)
def sanded(before: int) -> Panel:
    """The card after so many wipes and the paper."""
    held = sanded_piece.tool("soft pad")
    return panel.hand_sand(
        wiped(before),
        tool=held,
        paper=sanded_piece.paper("P600", held, FORCE),
        force=FORCE,
        strokes=STROKES,
        hand=0.0,
        overhang=0.05,
    )[0]


def played(before: int, after: int) -> Wax:
    return found_on(panel.wash(sanded(before), wipes=after)[0])


def found_on(card: Panel) -> Wax:
    middle = panel.cells_of(card, MIDDLE)
    return Wax(*(float(where[middle].mean()) for where in (card.contamination, card.embedded)))


@declare(
    "Wipe first, or sand first",
    gives={"cleaned_first": "remaining", "sanded_first": "remaining"},
    about="One wipe is one pass wet and dry, each with a clean cloth. What a wipe takes and what paper rubs in are "
    "assumed; that sanding first rubs wax into the scratches is what the trade teaches.",
    sources=["common-practice", "assumed-here"],
)
def bench(
    wipes_before: float = at("3", name="wipes", label="wipes before the paper"),
    wipes_after: float = at(
        "3", name="wipes", label="wipes after the paper", slider=(0, 14, 1), slider_us=(0, 14, 1)
    ),
) -> dict[str, Any]:
    before, after = round(wipes_before), round(wipes_after)
    unwiped = found_on(wiped(0))
    return {
        "cleaned_first": played(before, after),
        "sanded_first": played(0, before + after),
        "cleaned_stages": [unwiped, found_on(wiped(before)), found_on(sanded(before))],
        "sanded_stages": [unwiped, found_on(sanded(0))],
    }


@bench.says
def say(now: Now) -> str:
    good, bad = now.cleaned_first, now.sanded_first
    wiped, clean = round(now.wipes_before), max(good.plain) <= CLEAN
    words = f"{wiped} {'wipe' if wiped == 1 else 'wipes'}, then P600, then {now.wipes_after:.0f}: {told(good)}. "
    asked = f" (the course wants {good.surface.of(CLEAN):2} or less of either)"
    if not wiped:
        ends = (
            "ends clean enough, at the price of all those cloths"
            if clean
            else "is not clean enough. The next coat lies on wax and may open in craters"
        )
        return f"{words}Sanded before the first wipe: that is the wrong order, and it {ends}{asked}."
    words += f"The same wipes, all of them after the paper: {told(bad)}. "
    words += (
        "The right order ends clean enough" if clean else "Even the right order is not clean enough yet"
    ) + asked
    words += (
        ". So does the wrong one, at the price of all those cloths."
        if max(bad.plain) <= CLEAN
        else ". After the wrong one the next coat lies on wax and may open in craters."
    )
    return words if round(now.wipes_after) else words + " Sanding dust is not counted: it has still to come off."


def told(wax: Any) -> str:
    surface, rubbed_in = (round(share, 4) for share in wax)
    return f"{surface:2} of the wax is left on the surface and {rubbed_in:2} in the scratches"


@bench.draws
def draw(now: Now) -> Drawn:
    before, after = round(now.wipes_before), round(now.wipes_after)
    orders_ = [
        (
            "Wiped, sanded, wiped" if before else "Sanded before the first wipe",
            ["as it comes", cloths(before), "P600", cloths(after)],
            now.cleaned_stages,
        ),
        ("Sanded first, then all the wipes", ["as it comes", "P600", cloths(before + after)], now.sanded_stages),
    ]
    rows = []
    for (title, done, stages), last in zip(orders_, (now.cleaned_first, now.sanded_first), strict=True):
        paper = done.index("P600")
        clean = "clean enough" if max(last.plain) <= CLEAN else "not clean enough"
        found = [
            Stage(words, number >= paper, wax.surface, wax.rubbed_in, shares(now, wax, number >= paper))
            for number, (words, wax) in enumerate(zip(done, [*stages, last.plain], strict=True))
        ]
        rows.append((f"{title}: {clean}", found))
    return orders(rows if before else rows[:1])


def cloths(wipes: int) -> str:
    return {0: "no wipe", 1: "1 wipe"}.get(wipes, f"{wipes} wipes")


def shares(now: Now, wax: Wax, sanded_: bool) -> list[str]:
    surface, rubbed_in = (now.figure(round(share, 4), "remaining") for share in wax)
    return [f"on top {surface:2}", *([f"in scratches {rubbed_in:2}"] if sanded_ else [])]
