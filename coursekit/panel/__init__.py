"""The computed panel. Every act takes a panel and keyword settings in SI and gives (new panel, Used).

    from coursekit import panel
    door = panel.sheet_metal(panel.door(), coats=panel.FACTORY_COATS)
    door, used = panel.wash(door)

Areas are None (all), a rectangle (x0, x1, y0, y1) in m, or a boolean array. `seed` and `hand` make the hand vary;
hand=0 is a machine's. The acts and their settings (defaults in the code):

    fill(panel, *, area, proud, rim, ripple, material, time, seed)
    mask(panel, *, area, outside, edge, lip_height, …)              edge "flat" or "raised"
    unmask(panel, *, time)
    spray(panel, *, material, volume_solids, flow, fan, speed, pitch, captured, …)
    guide_coat(panel, *, area, time)
    block(panel, *, tool, paper, force, strokes, along, area, overhang, keep_off, hand, seed, finer, …)
    hand_sand(panel, *, tool, paper, force, strokes, along, area, …)
    machine_sand(panel, *, tool, paper, force, time, orbit, rate, area, …)
    polish(panel, *, tool, paper, force, time, …)
    wash(panel, *, wipes, area, time)
    wait(panel, *, time, solvent_half_time)

A tool is `Tool(name, length, width, backing, bending)`; a paper is `Paper(grade, scratch, removal)` with a number
for every material, or `paper_of(grade, tool, force)`: what trades compute comes in as numbers. Volumes of solids and
of solvent are conserved, each by itself: `Used.solids`, `Used.solvent`, `Used.removed`. Wet film cannot be sanded:
`InputError`, as for every setting that cannot be used.

What can be seen: `shows`, `broken_through(before, after, material)`, `gauge`, `comb`, `guide_left`, `waviness`,
`lamp`, `ramp_width`, and the panel's own arrays and sections.
"""

from coursekit.panel.blocking import block, hand_sand, machine_sand, polish
from coursekit.panel.looks import broken_through, comb, gauge, guide_left, lamp, shows, waviness
from coursekit.panel.masking import Masked, guide_coat, mask, ramp_width, unmask
from coursekit.panel.preparing import Filled, fill, wait, wash
from coursekit.panel.sanding import Sanded
from coursekit.panel.shapes import CELL, LINED, SHAPES, Line, Shape, door, quarter_panel, test_card
from coursekit.panel.spraying import Coat, Fan, spray
from coursekit.panel.state import (
    MATERIALS,
    TEXTURE_BANDS,
    Layer,
    Panel,
    Section,
    Solids,
    Solvent,
    Used,
    cells_of,
    sheet_metal,
    worked_area,
)
from coursekit.panel.tools import Paper, Tool, disc, paper_of

FACTORY_COATS = (("old primer", 50e-6), ("old base", 15e-6), ("old clear", 45e-6))

__all__ = [
    "CELL",
    "FACTORY_COATS",
    "LINED",
    "MATERIALS",
    "SHAPES",
    "TEXTURE_BANDS",
    "Coat",
    "Fan",
    "Filled",
    "Layer",
    "Line",
    "Masked",
    "Panel",
    "Paper",
    "Sanded",
    "Section",
    "Shape",
    "Solids",
    "Solvent",
    "Tool",
    "Used",
    "block",
    "broken_through",
    "cells_of",
    "comb",
    "disc",
    "door",
    "fill",
    "gauge",
    "guide_coat",
    "guide_left",
    "hand_sand",
    "lamp",
    "machine_sand",
    "mask",
    "paper_of",
    "polish",
    "quarter_panel",
    "ramp_width",
    "sheet_metal",
    "shows",
    "spray",
    "test_card",
    "unmask",
    "wait",
    "wash",
    "waviness",
    "worked_area",
]
