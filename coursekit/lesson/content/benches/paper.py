"""Which 320 is it: one number on four scales."""

from __future__ import annotations

from typing import NamedTuple

from coursekit import sanding
from coursekit.lesson.draw.charts import Bar, bars
from coursekit.lesson.workbench.bench import Bench, Now
from coursekit.quantities import InputError

SCALES = ("P", "CAMI", "JIS", "F")
HATCHES = dict(zip(SCALES, ("slant", "dots", "level", "cross"), strict=True))
AXES = (20e-6, 60e-6, 150e-6, 400e-6, 2000e-6)  # m


class Printed(NamedTuple):
    """A number as one scale means it."""

    scale: str
    grade: str
    grain: float
    like: str  # the P paper with the nearest grain


class Papers(NamedTuple):
    mine: Printed
    others: list[Printed]


def compute(grade: str) -> Papers:
    paper = sanding.read_grade(grade)
    others = []
    for scale in SCALES:
        if scale != paper.scale:
            try:
                others.append(printed(scale, f"{scale} {paper.number}"))
            except InputError:  # a scale that does not reach so far
                continue
    return Papers(printed(paper.scale, str(paper)), others)


def printed(scale: str, grade: str) -> Printed:
    return Printed(
        scale,
        str(sanding.read_grade(grade)),
        float(sanding.grain_size.si(grade)),
        sanding.same_size.si(grade, "P").grade,
    )


def draw(now: Now) -> str:
    papers = [now.result.mine, *now.result.others]
    rows = [bar(now, one, "your paper, " if one is now.result.mine else "") for one in papers]
    if now.kept:
        rows.append(bar(now, now.kept.result.mine, "kept, "))
    high = next(end for end in AXES if end >= max(row.grain for row in papers))
    return bars(now.axis("grain_size", 0, high).label, rows, now.number(high, "grain_size"))


def bar(now: Now, one: Printed, before: str) -> Bar:
    like = "" if one.scale == "P" else f", nearest P paper {one.like}"
    return Bar(
        f"{before}{one.grade}",
        now.number(one.grain, "grain_size"),
        f"{now.show(one.grain, 'grain_size')}{like}",
        HATCHES[one.scale],
    )


def say(now: Now) -> str:
    mine, others = now.result
    words = f"{mine.grade} has grains of {now.show(mine.grain, 'grain_size')} on average"
    words += "." if mine.scale == "P" else f": of the P papers {mine.like} comes nearest."
    if not others:
        return words + " No other scale of this course has that number."
    told = [
        f"on {one.grade} of {now.show(one.grain, 'grain_size')}, as on {one.like}"
        if one.scale != "P"
        else f"on {one.grade} of {now.show(one.grain, 'grain_size')}"
        for one in others
    ]
    return f"{words} With the same number the grains are {'; '.join(told)}. The larger the grain, the deeper it cuts."


bench = Bench(
    title="Which paper is it?",
    about="Type what is printed on the back of the paper and press Enter: P320, CAMI 320, JIS 320 or #320, F320.",
    controls={"grade": "P320"},
    compute=compute,
    draw=draw,
    say=say,
    sources=["sandpaper-lists", "iso-6344-3", "jis-r-6001-1987", "iso-8486-2"],
)
