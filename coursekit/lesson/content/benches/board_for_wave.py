"""Long board or short block for this wave: what each levels, and the film it takes."""

from __future__ import annotations

from typing import Any

import numpy as np

from coursekit import sanding
from coursekit.figure import Figure
from coursekit.lesson.draw.bridging import on_wave
from coursekit.lesson.draw.picture import Chart, Line, Mark
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.repair.decisions import PAPER_ON_BLOCK
from coursekit.sanding import Block

WAVES = np.concatenate([np.linspace(0.02, 0.2, 46), np.linspace(0.21, 0.8, 60)])  # m
SHORT = Block(0.125, 0.070)
WIDTH = 0.070  # m of both
FORCE = 20.0  # N
MOST = 1e-3  # m; more film than that is told as such


@declare(
    "Long board or short block",
    gives={
        "choice": sanding.board_or_block,
        "limit": sanding.visible_wave,
        "block_levels": "levelling_factor",  # of this wave
        "board_levels": "levelling_factor",
    },
    about=lambda units: (
        f"On a flat, or where block and board take the form of the panel. Both are {units(WIDTH, 'block_width'):2} "
        f"wide, paper on a hard face, {units(FORCE, 'force'):2} on each."
    ),
    sources=["levelling-derived", "arc-minute-eye", "assumed-here"],
)
def bench(
    wavelength: float = at("200 mm", slider=(20, 800, 10), slider_us=(1, 32, 0.5)),
    amplitude: float = at("30 µm", slider=(1, 200, 1), slider_us=(0.05, 8, 0.05)),
    block_length: float = at(
        "400 mm", start_us="16 in", slider=(150, 800, 10), slider_us=(6, 32, 0.5), label="length of the board"
    ),
    film: float = at("80 µm", label="surfacer there"),
    kindness: float = at("5", label="your eye allows, times the strict limit"),
) -> dict[str, Any]:
    limit = sanding.visible_wave.si(wavelength, kindness)
    target = max(float(limit.kind), 1e-8)
    choice = None
    if amplitude > target:
        choice = sanding.board_or_block.si(
            wavelength, amplitude, target, film, FORCE, SHORT, Block(block_length, WIDTH), PAPER_ON_BLOCK
        )
    return {
        "choice": choice,
        "limit": limit,
        "block_levels": float(sanding.levelling_factor.si(SHORT.length, wavelength)),
        "board_levels": float(sanding.levelling_factor.si(block_length, wavelength)),
    }


@bench.says
def say(now: Now) -> str:
    words = (
        f"Of a wave {now.wavelength} long the short block cuts {now.block_levels:2} as if it could neither rise nor "
        f"tilt, the board {now.board_levels:2}; the rest it rides along. A strict eye sees such a wave from "
        f"{now.limit.strict:2} up, yours from {now.limit.kind:2}; it is {now.amplitude} high. "
    )
    if now.choice is None:
        return words + "Leave it: blocking on only costs film."
    block, board = (film_words(film) for film in (now.choice.block_film, now.choice.board_film))
    words += f"To bring it there takes {block} of film with the block and {board} with the board. "
    if now.choice.choice == "neither":
        return words + f"Neither can with the {now.film} there: build up, in the low only, or take a longer board."
    if now.choice.choice == "block":
        return words + "Take the short block: it costs no more film, and reaches more places."
    through = now.choice.block_film > now.film
    return words + ("Take the long board" + ("; the block would go through first." if through else "."))


def film_words(film: Figure) -> str:
    return f"more than {film.of(MOST)}" if film > MOST else f"{film:2}"


@bench.draws
def draw(now: Now) -> Drawn:
    waves, factor = now.wavelength.of(WAVES), now.board_levels
    parts = [
        Line(waves, factor.of(sanding.levelling_factor.si(length, WAVES)), words, dash, pinned)
        for words, length, dash, pinned in (
            (f"block of {now.block_length.of(SHORT.length):3}", SHORT.length, "dashed", None),
            (f"board of {now.block_length}", now.block_length.si, "solid", "pinned board"),
        )
    ]
    marks = [Mark(now.wavelength, now.block_levels), Mark(now.wavelength, now.board_levels, "your wave")]
    tools = ("block", now.block_length.of(SHORT.length)), ("board", now.block_length)
    return [
        on_wave(tools, (now.wavelength, now.amplitude), now.film),
        Chart(
            waves.axis(0.8, "length of the wave, crest to crest"),
            factor.axis(1.05, "levelled"),
            [*parts, *marks],
            height=220,
        ),
    ]
