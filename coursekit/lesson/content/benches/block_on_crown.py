"""A block on a crown: on how much of its face it bears, and what it then levels along the curve."""

from __future__ import annotations

import functools
from typing import NamedTuple

import numpy as np

from coursekit import panel, sanding
from coursekit.lesson.content.shared import sanded_piece
from coursekit.lesson.draw.charts import Line, Part, chart, side_by_side
from coursekit.lesson.workbench.bench import Bench, Control, Now
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


class Laid(NamedTuple):
    conformity: float
    width: float  # of what bears
    place: np.ndarray
    pressure: np.ndarray  # along the block, over its mean
    before: np.ndarray
    crowned: np.ndarray  # wave on the crown after blocking, and on a flat
    flat: np.ndarray

    @property
    def ratio(self) -> float:
        return float(self.pressure.max())


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


def compute(held: str, force: float, crown_radius: float, preview: bool = False) -> Laid:
    finer = PREVIEW if preview else 1.0
    tool = sanded_piece.tool(held)
    conformity = sanding.crown_conformity.si(force, tool.length, tool.width, min(tool.bending, 1e5), crown_radius)
    before = card(crown_radius, RIPPLE)
    pressure = borne(held, force, crown_radius, finer)
    width = float(np.count_nonzero(pressure > FEW * pressure.max())) * sanded_piece.CELL
    whole = width > tool.length - 2 * sanded_piece.CELL
    place = before.shape.x - LENGTH / 2
    return Laid(
        float(conformity),
        tool.length if whole else width,
        place,
        pressure,
        profile(before),
        levelled(held, force, crown_radius, finer),
        levelled(held, force, FLAT_RADIUS, finer),
    )


def draw(now: Now) -> str:
    laid: Laid = now.result
    under, inner = np.abs(laid.place) < REACH, np.abs(laid.place) < WAVE
    at, middle = (now.number(laid.place[cells], "place") for cells in (under, inner))
    half = sanded_piece.tool(now["held"]).length / 2
    ends = now.number(np.array([-half, half]), "place")
    borne_now: list[Part] = [
        Line(at, np.minimum(laid.pressure[under], 30), "on this curve"),
        Line(ends[[0, 0, 1, 1]], [0, 1, 1, 0], "on a flat", "dashed"),
    ]
    waves: list[Part] = [
        Line(middle, now.number(straight(laid, laid.before), "amplitude"), "before", "dotted"),
        Line(middle, now.number(straight(laid, laid.crowned), "amplitude"), "on this curve"),
        Line(middle, now.number(straight(laid, laid.flat), "amplitude"), "on a flat", "dashed"),
    ]
    most = laid.ratio
    if now.kept:
        kept: Laid = now.kept.result
        borne_now.append(Line(at, np.minimum(kept.pressure[under], 30), "kept", "dash-dot"))
        waves.append(Line(middle, now.number(straight(kept, kept.crowned), "amplitude"), "kept", "dash-dot"))
        most = max(most, kept.ratio)
    end = next((end for end in (4.0, 10.0, 30.0) if end >= most), 30.0)
    along = now.axis("place", -REACH, REACH, "along the block")
    pressure = now.axis("pressure_ratio", 0, end, "times the mean")
    wave = now.axis("amplitude", -8e-6, 8e-6, "wave")
    near = now.axis("place", -WAVE, WAVE, "the middle of the card")
    return side_by_side(chart(along, pressure, borne_now, 345, 300), chart(near, wave, waves, 345, 300))


def straight(laid: Laid, wave: np.ndarray) -> np.ndarray:
    """Two waves in the middle; what the block took of the curve is left out."""
    inner = np.abs(laid.place) < WAVE
    place = laid.place[inner]
    return np.asarray(wave[inner] - np.polyval(np.polyfit(place, wave[inner], 2), place))


def cut(laid: Laid, after: np.ndarray) -> float:
    """Share of the wave that is gone; below zero where it has grown."""
    turn = np.exp(2j * np.pi * laid.place[np.abs(laid.place) < WAVE] / WAVE)
    heights = [abs(np.mean(straight(laid, wave) * turn)) for wave in (after, laid.before)]
    return round(1 - float(heights[0] / heights[1]), 2)


def say(now: Now) -> str:
    laid: Laid = now.result
    length = sanded_piece.tool(now["held"]).length
    rides = laid.width < 0.95 * length
    words = (
        f"Under {now.text('force')} on a curve of {now.text('crown_radius')} the {now['held']} bears on "
        f"{now.show(laid.width, 'contact_width')} of its {now.show(length, 'block_length')}, at up to "
        f"{laid.ratio:.2g} times the mean pressure. "
    )
    if laid.conformity < 0.01:
        words += "It does not bend. "
    elif laid.conformity < 1:
        share = now.show(laid.conformity, "remaining", 2)
        words += f"The hand brings about {share} of what would bend it down onto the sheet. "
    else:
        words += "The hand can lay it on the sheet. "
    gone, on_flat = cut(laid, laid.crowned), max(cut(laid, laid.flat), 0.0)
    words += (
        f"While {now.show(REMOVED, 'removed')} come off, {now.show(max(gone, 0.0), 'remaining', 2)} of a wave "
        f"of {now.show(WAVE, 'wavelength')} goes on the curve, {now.show(on_flat, 'remaining', 2)} on a flat. "
    )
    if rides and gone < 0.3 * on_flat:
        stays = "the wave has even grown" if gone < -GROWN else "the wave stays"
        words += f"It rides: {stays}, and held still it cuts a flat. Lay it the straight way, or let it bend."
    return words


bench = Bench(
    title="A block on a crown",
    about="Left, where a block that stands still on the curve bears. Right, a card of that curve with waves 100 mm "
    "(4 in) long and 5 µm (0.2 mil) high, before and after; the curve itself is left out.",
    controls={
        "held": "hand block",
        "force": Control("20 N", slider=(5, 60, 1), slider_us=(1, 14, 0.25), measured="hand_force"),
        "crown_radius": "3 m",
    },
    compute=compute,
    rough=functools.partial(compute, preview=True),
    draw=draw,
    say=say,
    sources=["levelling-derived", "derived-here", "assumed-here"],
    measurement="force",
    beside=True,
)
