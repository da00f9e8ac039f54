"""Which 320 is it: one number on four scales."""

from __future__ import annotations

from typing import Any, NamedTuple

from coursekit import sanding
from coursekit.lesson.draw.picture import Bar, Bars
from coursekit.lesson.workbench.bench import Drawn, Now, at, declare
from coursekit.quantities import InputError

SCALES = ("P", "CAMI", "JIS", "F")
HATCHES = dict(zip(SCALES, ("slant", "dots", "level", "cross"), strict=True))
AXES = (20e-6, 60e-6, 150e-6, 400e-6, 2000e-6)  # m


class Printed(NamedTuple):
    """A number as one scale means it."""

    scale: str
    grade: str
    like: str  # the P paper with the nearest grain


def printed(scale: str, grade: str) -> Printed:
    return Printed(scale, str(sanding.read_grade(grade)), sanding.same_size.si(grade, "P").grade)


@declare(
    "Which paper is it?",
    gives={"grains": "grain_size"},
    about="Type what is printed on the back of the paper and press Enter: P320, CAMI 320, JIS 320 or #320, F320.",
    sources=["sandpaper-lists", "iso-6344-3", "jis-r-6001-1987", "iso-8486-2"],
)
def bench(grade: str = at("P320")) -> dict[str, Any]:
    paper = sanding.read_grade(grade)
    papers = [printed(paper.scale, str(paper))]
    for scale in SCALES:
        if scale != paper.scale:
            try:
                papers.append(printed(scale, f"{scale} {paper.number}"))
            except InputError:  # a scale that does not reach so far
                continue
    return {"papers": papers, "grains": [float(sanding.grain_size.si(one.grade)) for one in papers]}


@bench.says
def say(now: Now) -> str:
    mine, *others = now.papers
    words = f"{mine.grade} has grains of {now.grains[0]} on average"
    words += "." if mine.scale == "P" else f": of the P papers {mine.like} comes nearest."
    if not others:
        return words + " No other scale of this course has that number."
    told = [
        f"{one.grade} has {grain}, as {one.like}" if one.scale != "P" else f"{one.grade} has {grain}"
        for one, grain in zip(others, now.grains[1:], strict=True)
    ]
    return f"{words} The same number elsewhere: {'. '.join(told)}. The larger the grain, the deeper it cuts."


@bench.draws
def draw(now: Now) -> Drawn:
    rows = []
    for number, (one, grain) in enumerate(zip(now.papers, now.grains, strict=True)):
        like = "" if one.scale == "P" else f", nearest P paper {one.like}"
        label = one.grade if number else f"your paper, {one.grade}"
        pinned = None if number else f"pinned, {one.grade}"
        rows.append(Bar(label, grain, f"{grain}{like}", HATCHES[one.scale], pinned=pinned))
    largest = max(now.grains, key=float)
    return Bars(largest.axis(AXES), rows)
