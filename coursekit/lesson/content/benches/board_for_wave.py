"""Long board or short block for this wave: what each levels, and the film it takes."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coursekit import sanding
from coursekit.lesson.draw.charts import Line, Mark, Part, chart
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.quantities import shown
from coursekit.repair.decisions import PAPER_ON_BLOCK
from coursekit.sanding import Block

WAVES = np.concatenate([np.linspace(0.02, 0.2, 46), np.linspace(0.21, 0.8, 60)])  # m
SHORT = Block(0.125, 0.070)
WIDTH = 0.070  # m of both
FORCE = 20.0  # N
MOST = 1e-3  # m; more film than that is told as such


class Waves(NamedTuple):
    choice: sanding.levelling.Choice | None
    strict: float
    kind: float
    factors: tuple[float, float]  # of block and board on this wave


def compute(wavelength: float, amplitude: float, block_length: float, film: float, kindness: float) -> Waves:
    limit = sanding.visible_wave.si(wavelength, kindness)
    target = max(float(limit.kind), 1e-8)
    factors = (
        float(sanding.levelling_factor.si(SHORT.length, wavelength)),
        float(sanding.levelling_factor.si(block_length, wavelength)),
    )
    choice = None
    if amplitude > target:
        choice = sanding.board_or_block.si(
            wavelength, amplitude, target, film, FORCE, SHORT, Block(block_length, WIDTH), PAPER_ON_BLOCK
        )
    return Waves(choice, float(limit.strict), float(limit.kind), factors)


def draw(now: Now) -> str:
    across = now.number(WAVES, "wavelength")
    lines = [
        ("block of 125 mm" if now.system == "metric" else "block of 5 in", SHORT.length, "dashed"),
        (f"board of {now.text('block_length')}", now["block_length"], "solid"),
    ]
    parts: list[Part] = [
        Line(across, now.number(sanding.levelling_factor.si(length, WAVES), "levelling_factor"), words, dash)
        for words, length, dash in lines
    ]
    if now.kept:
        kept = sanding.levelling_factor.si(now.kept["block_length"], WAVES)
        parts.append(Line(across, now.number(kept, "levelling_factor"), "kept board", "dotted"))
    at = now.number(now["wavelength"], "wavelength")
    parts += [
        Mark(at, now.number(share, "levelling_factor"), "your wave" if number else "")
        for number, share in enumerate(now.result.factors)
    ]
    return chart(
        now.axis("wavelength", 0, 0.8, "length of the wave, crest to crest"),
        now.axis("levelling_factor", 0, 1.05, "levelled"),
        parts,
    )


def say(now: Now) -> str:
    found: Waves = now.result
    words = (
        f"Of a wave {now.text('wavelength')} long the short block cuts "
        f"{now.show(found.factors[0], 'levelling_factor', 2)} as if it could neither rise nor tilt, the board "
        f"{now.show(found.factors[1], 'levelling_factor', 2)}; the rest it rides along. A strict eye sees such "
        "a "
        f"wave from {now.show(found.strict, 'amplitude', 2)} up, yours from "
        f"{now.show(found.kind, 'amplitude', 2)}; "
        f"it is {now.text('amplitude')} high. "
    )
    if found.choice is None:
        return words + "Leave it: blocking on only costs film."
    films = [
        f"more than {shown(MOST, 'removed', now.system)}" if film > MOST else now.show(film, "removed", 2)
        for film in (found.choice.block_film, found.choice.board_film)
    ]
    words += f"To bring it there takes {films[0]} of film with the block and {films[1]} with the board. "
    if found.choice.choice == "neither":
        return (
            words + f"Neither does it with the {now.text('film')} there: build up, in the low only, or take a "
            "longer board."
        )
    return words + (
        "Take the short block: it costs no more film, and reaches more places."
        if found.choice.choice == "block"
        else "Take the long board."
    )


bench = Bench(
    title="Long board or short block",
    about="On a flat, or where block and board take the form of the sheet. Both are 70 mm (2.75 in) wide, paper on a "
    "hard face, 20 N (4.5 lbf) on each.",
    controls={
        "wavelength": Control("200 mm", slider=(20, 800, 10), slider_us=(1, 32, 0.5)),
        "amplitude": Control("30 µm", slider=(1, 200, 1), slider_us=(0.05, 8, 0.05)),
        "block_length": Control("400 mm", slider=(150, 800, 10), slider_us=(6, 32, 0.5), label="length of the board"),
        "film": Control("80 µm", label="surfacer there"),
        "kindness": Control("5", label="your eye allows, times the strict limit"),
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["levelling-derived", "arc-minute-eye", "assumed-here"],
)
