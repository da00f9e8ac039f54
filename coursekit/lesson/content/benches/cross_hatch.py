"""What cross-hatch buys: a card with equal waves both ways, blocked one way, and crosswise with as much work."""

from __future__ import annotations

from typing import Any

from coursekit.lesson.draw.crosswise import crosswise
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.panel.sanding import PREVIEW
from coursekit.quantities import give, read
from coursekit.repair.decisions import cross_hatch


@declare(
    "What cross-hatch buys",
    gives={"one_way": "amplitude", "crosswise": "amplitude", "gain": "remaining"},
    about=lambda units: f"The card is flat, under {units('20 N', 'force'):2}.",
    sources=["wear_coefficient", "preston-1927", "levelling-derived"],
    measurement="removal",
)
def bench(
    wavelength: float = at("120 mm", slider=(60, 300, 10), slider_us=(2.5, 11.5, 0.5)),
    amplitude: float = at("3 µm", slider=(1, 30, 1), slider_us=(0.05, 1.2, 0.05)),
    strokes: float = at("100", slider=(0, 400, 10), slider_us=(0, 400, 10), label="strokes over each spot"),
    held: str = at("long board", options=("hand block", "long board", "stiff board")),
    *,
    preview: bool = False,
) -> dict[str, Any]:
    found = cross_hatch(
        give(wavelength, "wavelength"),
        give(amplitude, "amplitude"),
        give(strokes, "strokes"),
        tool=held,
        finer=PREVIEW if preview else 1.0,
    ).figures
    ways = {key: [float(read(left, "amplitude")) for left in found[key]] for key in ("one_way", "crosswise")}
    return {**ways, "gain": float(found["gain"])}  # of each way: waves left along the first strokes, and across them


@bench.says
def say(now: Now) -> str:
    words = (
        f"Waves of {now.amplitude} both ways, {now.wavelength} long, get {now.strokes} of P320 over each spot. "
        f"Strokes one way leave {now.one_way[0]:2} along them and {now.one_way[1]:2} across. Half of the strokes "
        f"each way leave {now.crosswise[0]:2} and {now.crosswise[1]:2}. "
    )
    if now.gain > 0.05:
        return words + f"In the worse direction that is {now.gain:2} less wave for the same work."
    return words + "Here that buys next to nothing."


@bench.draws
def draw(now: Now) -> Drawn:
    return crosswise(now.amplitude, (("one way", now.one_way, False), ("cross-hatch", now.crosswise, True)))
