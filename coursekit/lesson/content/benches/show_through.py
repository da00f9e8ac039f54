"""How much of a scratch each coat over it leaves, and which lamp still shows it."""

from __future__ import annotations

from typing import NamedTuple

from coursekit import sanding
from coursekit.belief import band_si
from coursekit.lesson.content.shared.sanding_hand import HAND, axis_end, block, hardness
from coursekit.lesson.draw.charts import Bar, bars
from coursekit.lesson.learner import own
from coursekit.lesson.workbench.bench import Bench, Control, Now
from coursekit.quantities import Real
from coursekit.sanding.scratches import hand_pressure
from coursekit.uncertain import Band


class Dips(NamedTuple):
    scratch: Band
    base: Band  # after all coats of base
    clear: Band  # after all coats of clear
    width: Band  # of the dip in the clear


def compute(
    grade: str,
    force: float,
    block_length: float,
    block_width: float,
    base_coats: float,
    clear_coats: float,
    sanded: str,
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


def draw(now: Now) -> str:
    rows = [
        bar(now, f"deepest scratch of {now['grade']}", now.result.scratch, "slant"),
        bar(now, f"dip after {now['base_coats']:.0f} of base", now.result.base, "dots"),
        bar(now, f"dip after {now['clear_coats']:.0f} of clear", now.result.clear, "cross"),
    ]
    if now.kept:
        rows.append(bar(now, "in the clear, kept", now.kept.result.clear, "plain"))
    end = axis_end([float(n.result.scratch.high) for n in (now, now.kept) if n])
    return bars(now.axis("scratch_depth", 0, end).label, rows, now.number(end, "scratch_depth"))


def bar(now: Now, label: str, band: Band, hatch: str) -> Bar:
    return Bar(
        label,
        now.number(band.middle, "scratch_depth"),
        now.show(band, "scratch_depth"),
        hatch,
        now.number(band.low, "scratch_depth"),
        now.number(band.high, "scratch_depth"),
    )


def say(now: Now) -> str:
    found: Dips = now.result
    deepest = now.show(found.scratch, "scratch_depth")
    words = (
        f"The deepest scratches of {now['grade']} in the {now['sanded']} go {deepest} deep. Base and clear "
        "level "
        f"while wet and sink as they shrink: in the clear a dip of "
        f"{now.show(found.clear, 'scratch_depth')} is "
        f"left at most, {now.show(found.width, 'scratch_width')} wide. "
    )
    point, tubes = (float(sanding.seen_width.si(lamp)) for lamp in ("point lamp", "tubes"))
    if found.width.high <= point:
        return words + "Neither the fluorescent tubes of a workshop nor a strong point lamp shows that."
    if found.width.low > tubes:
        return words + "The fluorescent tubes of a workshop show it already: go finer."
    lamps = "a strong point lamp" if found.width.high <= tubes else "a strong point lamp, perhaps the tubes"
    if found.width.low > point:
        return words + f"It shows under {lamps}, more on dark colours: go finer before colour."
    return words + f"It may show under {lamps}, most on dark colours: one paper finer is on the safe side."


bench = Bench(
    title="What shows through",
    about="A scratch fills with wet paint. What is solvent leaves again, and the film sinks over the scratch. "
    "Walls "
    "swollen by solvent are not counted, nor what flows while the film dries: the dip is an upper bound.",
    controls={
        "grade": Control("P600", label="last paper"),
        "force": HAND["force"],
        "block_length": Control("125 mm", label="block, along the stroke"),
        "block_width": Control("70 mm", label="block, across"),
        "base_coats": Control("3", name="coats", label="coats of base", slider=(1, 4, 1)),
        "clear_coats": Control("2", name="coats", label="coats of clear", slider=(1, 3, 1)),
        "sanded": "surfacer",
    },
    compute=compute,
    draw=draw,
    say=say,
    sources=["scratch_factor", "base_solids", "clear_solids", "shrinking-film", "scratch-lamps"],
    measurement="force",
    beside=True,
)
