"""A block on a crown: on how much of its face it bears, and what it then levels along the curve."""

from __future__ import annotations

import functools
from typing import Any

import numpy as np

from coursekit import panel, sanding
from coursekit.lesson.content.shared import sanded_piece
from coursekit.lesson.draw.picture import Chart, Line, Row
from coursekit.lesson.draw.riding import on_curve
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.panel import Panel
from coursekit.panel.sanding import PREVIEW

LENGTH, HEIGHT = 0.5, 0.07  # m, of the card: as wide as the blocks
RIPPLE, WAVE = 5e-6, 0.1  # m: a wave on the crown, along the block
REMOVED, PRESSED = 10e-6, 1e-9  # m taken off on average while it levels, and to see where it bears
FLAT_RADIUS = 1000.0  # m, as good as flat
REACH = 0.2  # m either way of the middle
SPOT = (LENGTH / 2 - 3e-3, LENGTH / 2 + 3e-3, HEIGHT / 2 - 5e-3, HEIGHT / 2 + 5e-3)  # m, where the block stands
FEW = 0.05  # of the greatest pressure: less does not count as bearing
GROWN = 0.05  # of a wave's height: less is not told
PRESSURES = (4.0, 10.0, 30.0)  # times the mean: where the axis may end


def sanded(
    before: Panel,
    held: str,
    force: float,
    removed: float,
    area: tuple[float, float, float, float] | None = None,
    finer: float = 1.0,
) -> Panel:
    tool = sanded_piece.tool(held)
    sheet = panel.paper_of("P320", tool, force)  # how fast it cuts does not matter: the work is given
    slid = removed / sheet.removal["surfacer"] / (force / tool.area)
    return panel.block(
        before,
        tool=tool,
        paper=sheet,
        force=force,
        strokes=slid / tool.length,
        along="x",
        overhang=0.2,
        area=area,
        finer=finer,
    )[0]


@functools.lru_cache(maxsize=64)
def levelled(held: str, force: float, radius: float, finer: float) -> np.ndarray:
    """The wave that a block leaves on a card of that curve."""
    return profile(sanded(card(radius, RIPPLE), held, force, REMOVED, finer=finer))


@functools.lru_cache(maxsize=64)
def borne(held: str, force: float, radius: float, finer: float) -> np.ndarray:
    """Pressure along a block that stands on a curve, over its mean: what next to no sanding takes off."""
    before = card(radius, 0.0)
    off = (before.surface - sanded(before, held, force, PRESSED, SPOT, finer).surface).sum(axis=0)
    cells = sanded_piece.tool(held).length / sanded_piece.CELL
    return np.asarray(off * cells / max(off.sum(), 1e-30))


@functools.lru_cache(maxsize=64)
def card(radius: float, ripple: float) -> Panel:
    shape = panel.test_card(LENGTH, HEIGHT, sanded_piece.CELL, crown=(1 / radius, 0.0))
    wave = ripple * np.cos(2 * np.pi * (shape.x - LENGTH / 2) / WAVE)
    return panel.sheet_metal(shape, dents=wave, coats=(("surfacer", 0.5e-3),), contamination=0.0)


def profile(of: Panel) -> np.ndarray:
    middle: np.ndarray = of.surface[of.dents.shape[0] // 2]
    found: np.ndarray = middle - middle[np.abs(of.shape.x - LENGTH / 2) < REACH].mean()
    return found


@declare(
    "A block on a crown",
    gives={
        "width": "contact_width",  # of what bears
        "length": "block_length",
        "conformity": "remaining",
        "place": "place",
        "middle": "place",  # of two waves in the middle of the card
        "pressure": "pressure_ratio",  # along the block, over its mean
        "before": "amplitude",
        "crowned": "amplitude",  # wave on the crown after blocking, and on a flat
        "flat": "amplitude",
        "gone": "remaining",  # share of the wave that went, on the crown and on a flat; below zero where it has grown
        "gone_on_flat": "remaining",
    },
    about=lambda units: (
        "A block stands still on a curve; below left, how hard it bears. Right, a card of that curve with waves "
        f"{units(WAVE, 'wavelength'):2} long and {units(RIPPLE, 'amplitude'):1} high, before and after; the curve "
        "itself is left out."
    ),
    sources=["levelling-derived", "derived-here", "assumed-here"],
    measurement="force",
)
def bench(
    held: str = at("hand block"),
    force: float = at("20 N", slider=(5, 60, 1), slider_us=(1, 14, 0.25), measured="hand_force"),
    crown_radius: float = at("3 m", slider=(0.5, 50, 0.5), slider_us=(2, 164, 0.5)),
    *,
    preview: bool = False,
) -> dict[str, Any]:
    finer = PREVIEW if preview else 1.0
    tool = sanded_piece.tool(held)
    conformity = sanding.crown_conformity.si(force, tool.length, tool.width, min(tool.bending, 1e5), crown_radius)
    start = card(crown_radius, RIPPLE)
    pressure = borne(held, force, crown_radius, finer)
    width = float(np.count_nonzero(pressure > FEW * pressure.max())) * sanded_piece.CELL
    place = start.shape.x - LENGTH / 2
    under, inner = np.abs(place) < REACH, np.abs(place) < WAVE
    before, crowned, flat = (
        straight(wave[inner], place[inner])
        for wave in (
            profile(start),
            levelled(held, force, crown_radius, finer),
            levelled(held, force, FLAT_RADIUS, finer),
        )
    )
    return {
        "width": tool.length if width > tool.length - 2 * sanded_piece.CELL else width,
        "length": tool.length,
        "conformity": float(conformity),
        "place": place[under],
        "middle": place[inner],
        "pressure": pressure[under],
        "before": before,
        "crowned": crowned,
        "flat": flat,
        "gone": cut(place[inner], before, crowned),
        "gone_on_flat": max(cut(place[inner], before, flat), 0.0),
    }


def straight(wave: np.ndarray, place: np.ndarray) -> np.ndarray:
    """A wave without what the block took of the curve."""
    return np.asarray(wave - np.polyval(np.polyfit(place, wave, 2), place))


def cut(place: np.ndarray, before: np.ndarray, after: np.ndarray) -> float:
    """Share of the wave that is gone; below zero where it has grown."""
    turn = np.exp(2j * np.pi * place / WAVE)
    heights = [abs(np.mean(wave * turn)) for wave in (after, before)]
    return round(1 - float(heights[0] / heights[1]), 2)


@bench.says
def say(now: Now) -> str:
    bears = "all" if now.width >= now.length else f"{now.width:2}"
    words = (
        f"Under {now.force} on a curve of {now.crown_radius} the {now.held} bears on {bears} of its "
        f"{now.length:3}, at up to {now.pressure.most:.2g} times the mean pressure. "
    )
    if now.conformity < 0.01:
        words += "It does not bend. "
    elif now.conformity < 1:
        words += f"The hand brings about {now.conformity:2} of what would bend its middle down onto the panel. "
    elif now.width < 0.95 * now.length:
        words += "The hand bends its middle down onto the panel; the ends stand off. "
    else:
        words += "The hand lays it on the panel. "
    words += (
        f"While {now.figure(REMOVED, 'removed'):2} come off, {now.gone.of(max(now.gone.si, 0.0)):2} of a wave of "
        f"{now.figure(WAVE, 'wavelength'):2} goes on the curve, {now.gone_on_flat:2} on a flat. "
    )
    if now.width < 0.95 * now.length and now.gone < 0.3 * now.gone_on_flat:
        stays = "the wave has even grown" if now.gone < -GROWN else "the wave stays"
        words += f"It rides: {stays}, and held still it cuts a flat. Lay it the straight way, or let it bend."
    return words


@bench.draws
def draw(now: Now) -> Drawn:
    half = now.length / 2
    ends = now.place.of(np.array([-1, -1, 1, 1]) * half.si)
    borne_on = [
        Line(now.place, np.minimum(now.pressure, PRESSURES[-1]), "on this curve", pinned="pinned"),
        Line(ends, [0, 1, 1, 0], "on a flat", "dashed"),
    ]
    waves = [
        Line(now.middle, now.before, "before", "dotted"),
        Line(now.middle, now.crowned, "on this curve", pinned="pinned"),
        Line(now.middle, now.flat, "on a flat", "dashed"),
    ]
    along = now.place.axis(REACH, "along the block", -REACH)
    near = now.middle.axis(WAVE, "the middle of the card", -WAVE)
    stands = on_curve(
        now.place.si,
        now.pressure.si,
        now.pressure.si > FEW * now.pressure.si.max(),
        (now.crown_radius, now.length),
        (now.force, now.width, f"up to {now.pressure.most:.2g} × the mean"),
        PRESSURES[0],
    )
    return [
        stands,
        Row(
            Chart(along, now.pressure.axis(PRESSURES, "times the mean"), borne_on, 345, 220),
            Chart(near, now.crowned.axis(8e-6, "wave", -8e-6), waves, 345, 220),
        ),
    ]
