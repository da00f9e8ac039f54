"""The acts that cut: block, hand pad, machine and polisher, each the same contact with another tool and motion."""

from __future__ import annotations

import math
from typing import Unpack

from coursekit.panel.sanding import MOST_OVERHANG, Led, LedByHand, Sanded, sand
from coursekit.panel.state import Panel, check, worked_area
from coursekit.panel.tools import Paper, Tool
from coursekit.sources import coefficient

HAND_SPEED = float(coefficient("hand_speed"))  # m/s of a block to and fro


def block(
    panel: Panel,
    *,
    tool: Tool,
    paper: Paper,
    force: float,
    strokes: float,
    stroke_length: float = 0.3,
    speed: float = HAND_SPEED,
    act: str = "block",
    **led: Unpack[LedByHand],
) -> tuple[Panel, Sanded]:
    """Block an area with the force of a hand, `led` as LedByHand says.

    force          N      of the hand on the block, at its middle
    strokes        times  the block passes over every place; each slides the paper by the block's length
    stroke_length  m      and speed m/s: for the count of strokes and the time alone
    """
    check(strokes=(strokes, 0, 1e5), stroke_length=(stroke_length, 0.01, 3), speed=(speed, 0.01, 5))
    new, used = sand(
        panel,
        act,
        tool=tool,
        paper=paper,
        force=force,
        sliding=strokes * tool.length,
        time_per_travel=1 / speed,
        stroke_length=stroke_length,
        **led,
    )
    return new, used


def hand_sand(
    panel: Panel,
    *,
    tool: Tool,
    paper: Paper,
    force: float,
    strokes: float,
    stroke_length: float = 0.15,
    speed: float = HAND_SPEED,
    **led: Unpack[LedByHand],
) -> tuple[Panel, Sanded]:
    """Sand with a pad in the hand: `block` with a soft, short tool that takes the panel's form, led less evenly."""
    by_hand: LedByHand = {"overhang": MOST_OVERHANG, "hand": 0.2, **led}
    return block(
        panel,
        tool=tool,
        paper=paper,
        force=force,
        strokes=strokes,
        stroke_length=stroke_length,
        speed=speed,
        act="hand_sand",
        **by_hand,
    )


def machine_sand(
    panel: Panel,
    *,
    tool: Tool,
    paper: Paper,
    force: float,
    time: float,
    orbit: float = 5e-3,
    rate: float = 10_000 / 60,
    act: str = "machine_sand",
    **led: Unpack[Led],
) -> tuple[Panel, Sanded]:
    """Sand with an orbital machine: the pad slides π·orbit·rate metres a second.

    time   s    on the whole area
    orbit  m    diameter of the orbit
    rate   1/s  turns
    """
    check(time=(time, 0, 1e5), orbit=(orbit, 0.1e-3, 0.5), rate=(rate, 0.1, 1000))
    slide = math.pi * orbit * rate
    worked = max(worked_area(panel, led.get("area")), tool.area)
    return sand(
        panel,
        act,
        tool=tool,
        paper=paper,
        force=force,
        sliding=slide * time * tool.area / worked,
        along="x",
        time_per_travel=1 / slide,
        **led,
    )


def polish(
    panel: Panel,
    *,
    tool: Tool,
    paper: Paper,
    force: float,
    time: float,
    orbit: float = 8e-3,
    rate: float = 5_000 / 60,
    **led: Unpack[Led],
) -> tuple[Panel, Sanded]:
    """Polish by machine: `machine_sand` with a compound, whose `paper` leaves next to no scratch."""
    return machine_sand(
        panel,
        tool=tool,
        paper=paper,
        force=force,
        time=time,
        orbit=orbit,
        rate=rate,
        act="polish",
        **led,
    )
