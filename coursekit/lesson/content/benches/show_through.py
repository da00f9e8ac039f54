"""How much of a scratch each coat over it leaves, and which lamp still shows it."""

from __future__ import annotations

from typing import NamedTuple

from coursekit import sanding
from coursekit.belief import band_si
from coursekit.figure import Figure
from coursekit.lesson.content.shared.sanding_hand import FORCE, SANDED, axis_end, block, hardness
from coursekit.lesson.draw.picture import Bar, Bars
from coursekit.lesson.draw.under_coats import under_coats
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.quantities import Real
from coursekit.sanding.scratches import hand_pressure
from coursekit.uncertain import Band

LEAST = 10e-9  # m; nobody measures a dip that is shallower or narrower


class Dips(NamedTuple):
    scratch: Real
    base: Real  # after all coats of base
    clear: Real  # after all coats of clear
    width: Real  # of the dip in the clear


@declare(
    "What shows through",
    gives={"scratch": "scratch_depth", "base": "scratch_depth", "clear": "scratch_depth", "width": "scratch_width"},
    about="A scratch fills with wet paint. What is solvent leaves again, and the film sinks over the scratch. Walls "
    "swollen by solvent are not counted, nor what flows while the film dries: the dip is an upper bound.",
    sources=["scratch_factor", "base_solids", "clear_solids", "shrinking-film", "scratch-lamps"],
    measurement="force",
)
def bench(
    grade: str = at("P600", label="last paper"),
    force: float = FORCE,
    block_length: float = at("125 mm", start_us="5 in", seldom=True, label="block, along the stroke"),
    block_width: float = at("70 mm", start_us="2.75 in", seldom=True, label="block, across"),
    base_coats: float = at("3", name="coats", label="coats of base", slider=(1, 4, 1)),
    clear_coats: float = at("2", name="coats", label="coats of clear", slider=(1, 3, 1)),
    sanded: str = SANDED,
) -> Dips:
    pressure = hand_pressure(force, block(block_length, block_width))

    def dips(hardness: Real, scratch_factor: Real, base_solids: Real, clear_solids: Real) -> Dips:
        deepest = dip = sanding.scratch.si(grade, pressure, hardness, scratch_factor).deepest
        for _ in range(round(base_coats)):
            dip = sanding.dip_left.si(dip, base_solids)
        base = dip
        for _ in range(round(clear_coats)):
            dip = sanding.dip_left.si(dip, clear_solids)
        return Dips(deepest, base, dip, sanding.scratch_width.si(dip))

    known = [own.coefficient(key) for key in ("scratch_factor", "base_solids", "clear_solids")]
    found: Dips = band_si(dips, hardness(sanded), *known)
    return found


def at_most(depth: Figure) -> str:
    return told(depth) if depth.high > LEAST else "next to nothing"


def told(length: Figure) -> str:
    """A length of which nobody measures the lower end has its upper one alone."""
    return f"{length}" if length.low > LEAST else f"up to {length.high:2}"


@bench.says
def say(now: Now) -> str:
    left = f"a dip of {told(now.clear)} is left, {told(now.width)} wide"
    words = (
        f"The deepest scratches of {now.grade} in the {now.sanded} go {now.scratch} deep. Base and clear level while "
        f"wet and sink as they shrink: in the clear {left if now.clear.high > LEAST else 'hardly a dip is left'}. "
    )
    point, tubes = (float(sanding.seen_width.si(lamp)) for lamp in ("point lamp", "tubes"))
    if now.width.high <= point:
        return words + "Neither the fluorescent tubes of a workshop nor a strong point lamp shows that."
    if now.width.low > tubes:
        return words + "The fluorescent tubes of a workshop show it already: go finer."
    lamps = "a strong point lamp" if now.width.high <= tubes else "a strong point lamp, perhaps the tubes"
    if now.width.low > point:
        return words + f"It shows under {lamps}, more on dark colours: go finer before colour."
    return words + f"It may show under {lamps}, most on dark colours: one paper finer is on the safe side."


@bench.draws
def draw(now: Now) -> Drawn:
    rows = [
        Bar(f"deepest scratch of {now.grade}", now.scratch, hatch="slant"),
        Bar(f"dip after {now.base_coats:.0f} of base", now.base, at_most(now.base), "dots"),
        Bar(
            f"dip after {now.clear_coats:.0f} of clear",
            now.clear,
            at_most(now.clear),
            "cross",
            pinned="in the clear, pinned",
        ),
    ]
    scratch, base = (
        now.width.of(
            Band(*(float(sanding.scratch_width.si(end)) for end in (one.low.si, one.middle.si, one.high.si)))
        )
        for one in (now.scratch, now.base)
    )
    section = under_coats(
        now.sanded.removeprefix("fresh "),
        (("scratch", scratch), ("in the base", base), ("in the clear", now.width)),
        (round(now.base_coats.si), round(now.clear_coats.si)),
        (now.scratch.middle, scratch.middle),
        (
            now.width.of(float(sanding.seen_width.si("point lamp"))),
            now.width.of(float(sanding.seen_width.si("tubes"))),
        ),
    )
    return [section, Bars(now.scratch.axis(axis_end([now.scratch.most])), rows)]
