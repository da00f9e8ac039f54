"""The acts that cut: block, hand pad, machine and polisher, each the same contact with another tool and motion."""

from __future__ import annotations

import math

from coursekit.panel.sanding import Sanded, sand
from coursekit.panel.state import Area, Panel, cells_of, check
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
    along: str = "cross",
    area: Area = None,
    overhang: float = 0.4,
    keep_off: float | None = None,
    hand: float = 0.0,
    stroke_length: float = 0.3,
    speed: float = HAND_SPEED,
    seed: int = 0,
    finer: float = 1.0,
    act: str = "block",
) -> tuple[Panel, Sanded]:
    """Block an area with the force of a hand.

    force          N      of the hand on the block, at its middle
    strokes        times  the block passes over every place; each slides the paper by the block's length
    along          "x", "y", "cross"   direction of the strokes and of the block's length; cross: both in turn
    area           where the middle of the block may stand
    overhang       share  of the block that may hang over an edge, up to 0.45
    keep_off       m      from a body line, measured from the edge of the block; None: it crosses the line
    hand           share  by which the force strays from place to place
    stroke_length  m      and speed m/s: for the count of strokes and the time alone
    finer          times as many visits as the solution needs
    """
    check(strokes=(strokes, 0, 1e5), stroke_length=(stroke_length, 0.01, 3), speed=(speed, 0.01, 5))
    new, used = sand(
        panel,
        act,
        tool=tool,
        paper=paper,
        force=force,
        sliding=strokes * tool.length,
        along=along,
        area=area,
        overhang=overhang,
        keep_off=keep_off,
        hand=hand,
        seed=seed,
        finer=finer,
        time_per_travel=1 / speed,
        stroke_length=stroke_length,
    )
    return new, used


def hand_sand(
    panel: Panel,
    *,
    tool: Tool,
    paper: Paper,
    force: float,
    strokes: float,
    along: str = "cross",
    area: Area = None,
    overhang: float = 0.45,
    keep_off: float | None = None,
    hand: float = 0.2,
    stroke_length: float = 0.15,
    speed: float = HAND_SPEED,
    seed: int = 0,
    finer: float = 1.0,
) -> tuple[Panel, Sanded]:
    """Sand with a pad in the hand: `block` with a soft, short tool that takes the sheet's form."""
    return block(
        panel,
        tool=tool,
        paper=paper,
        force=force,
        strokes=strokes,
        along=along,
        area=area,
        overhang=overhang,
        keep_off=keep_off,
        hand=hand,
        stroke_length=stroke_length,
        speed=speed,
        seed=seed,
        finer=finer,
        act="hand_sand",
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
    area: Area = None,
    overhang: float = 0.4,
    keep_off: float | None = None,
    hand: float = 0.0,
    seed: int = 0,
    finer: float = 1.0,
    act: str = "machine_sand",
) -> tuple[Panel, Sanded]:
    """Sand with an orbital machine: the pad slides π·orbit·rate metres a second.

    time   s    on the whole area
    orbit  m    diameter of the orbit
    rate   1/s  turns
    """
    check(time=(time, 0, 1e5), orbit=(orbit, 0.1e-3, 0.5), rate=(rate, 0.1, 1000))
    slide = math.pi * orbit * rate
    worked = max(int((cells_of(panel, area) & (panel.mask < 0.5)).sum()) * panel.cell_area, tool.area)
    return sand(
        panel,
        act,
        tool=tool,
        paper=paper,
        force=force,
        sliding=slide * time * tool.area / worked,
        along="x",
        area=area,
        overhang=overhang,
        keep_off=keep_off,
        hand=hand,
        seed=seed,
        finer=finer,
        time_per_travel=1 / slide,
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
    area: Area = None,
    overhang: float = 0.4,
    keep_off: float | None = None,
    hand: float = 0.0,
    seed: int = 0,
    finer: float = 1.0,
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
        area=area,
        overhang=overhang,
        keep_off=keep_off,
        hand=hand,
        seed=seed,
        finer=finer,
        act="polish",
    )
