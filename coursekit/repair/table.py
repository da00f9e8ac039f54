"""A repair as a table of its steps: as text for the command line, as HTML for a notebook."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator, Sequence
from typing import Literal, NamedTuple

from coursekit.figure import Figure
from coursekit.markup import table
from coursekit.nomenclature import System
from coursekit.panel import Filled
from coursekit.repair.balance import totals_of
from coursekit.repair.condition import Condition
from coursekit.repair.entry import Entry
from coursekit.repair.steps import Sprayed
from coursekit.repair.words import clock_words, say, time_words

FRESH = ("clear", "base", "surfacer", "epoxy primer", "filler")
WIDTH = 110
HEAD = ("step", "what", "clock", "took", "used", "film available", "scratch", "waves (eye: 1)")


class Row(NamedTuple):
    """One step in words."""

    step: str
    what: str
    clock: str
    took: str
    used: str
    film: str
    scratch: str
    waves: str
    verdict: str


def rows(entries: Iterable[Entry], system: System = "metric") -> Iterator[Row]:
    """Each step in words. Film is the thinnest 5 % of the film on top; waves are times what a strict eye sees."""
    for entry in entries:
        after = entry.condition
        yield Row(
            str(entry.step.number),
            entry.step.words,
            clock_words(entry.ended),
            time_words(entry.used.time),
            used_words(entry, system),
            film_words(after, system),
            scratch_words(after, system),
            waves_words(after),
            entry.verdict.text(system),
        )


def used_words(entry: Entry, system: System = "metric") -> str:
    """What a step used: paint with what landed, filler, or paper with its strokes."""
    used = entry.used
    if isinstance(used, Sprayed):
        return f"{Figure(used.mixed, 'paint_volume', system)} mixed, {used.solids.landed:.0%} landed"
    if isinstance(used, Filled):
        return f"{Figure(used.solids.laid, 'paint_volume', system)} spread"
    if used.paper:
        return f"{used.paper}, {used.strokes:.0f} strokes" if used.strokes else used.paper
    return ""


def film_words(after: Condition, system: System = "metric") -> str:
    """The thinnest 5 % of the film on top over the repair."""
    for material in FRESH:
        if material in after.film:
            return f"{Figure(after.film[material].thin, 'film', system):2} {material}"
    return ""


def scratch_words(after: Condition, system: System = "metric") -> str:
    """Depth and paper of the scratches that are left."""
    return f"{Figure(after.scratch, 'scratch_depth', system):2} {after.paper}" if after.scratch else ""


def waves_words(after: Condition) -> str:
    """How many times the slope that a strict eye sees."""
    return f"{after.waves:.2g} ×" if after.waves < 10 else f"{after.waves:.0f} ×"


def text_table(title: str, entries: Sequence[Entry], system: System = "metric") -> str:
    """The steps, their verdicts, and what the whole repair used, as lines of text."""
    steps = list(rows(entries, system))
    widths = [max(len(row[n]) for row in (HEAD, *steps)) for n in range(len(HEAD))]
    lines = [title, "", _line(HEAD, widths)]
    for row in steps:
        lines.append(_line(row[: len(HEAD)], widths))
        lines += textwrap.wrap(row.verdict, WIDTH, initial_indent=" " * 6, subsequent_indent=" " * 6)
    return "\n".join([*lines, "", *(said for _, said in summary(entries, system))])


def _line(row: tuple[str, ...], widths: list[int]) -> str:
    return "  ".join(text.ljust(width) for text, width in zip(row, widths, strict=True)).rstrip()


Told = Literal["used", "waves", "verdicts"]


def summary(entries: Sequence[Entry], system: System = "metric") -> Iterator[tuple[Told, str]]:
    """What the whole repair used, how its waves are read, whether it may go on: the kind of a line and the line."""
    totals = totals_of(entries)
    yield "used", f"Time: {time_words(totals.time)}, {time_words(sum(totals.sanding_time.values()))} of it sanding."
    for material, paint in totals.paint.items():
        if material == "filler":
            yield "used", f"Filler: {say(paint.mixed, 'paint_volume', system)} spread."
            continue
        lost = 1 - paint.solids.landed if paint.solids.laid else 0.0
        mixed, left = (say(volume, "paint_volume", system) for volume in (paint.mixed, paint.left))
        yield (
            "used",
            (
                f"{material[:1].upper() + material[1:]}: {mixed} mixed, {left} left over, "
                f"{lost:.0%} of the solids sprayed lost."
            ),
        )
    yield "waves", "Waves: a strict eye sees them in the lines of a lamp from 1 × up, most people from 10 × up."
    yield "used", f"Sanding dust: {Figure(totals.dust, 'removed_volume', system):2} of solids."
    yield "used", f"Solvent to the air: {Figure(totals.solvent_to_air, 'paint_volume', system):2}."
    stopped = [str(entry.step.number) for entry in entries if not entry.verdict.go]
    count = len(stopped)
    yield (
        "verdicts",
        "Every verdict says go on."
        if not count
        else (f"Not yet after {'step' if count == 1 else 'steps'} " + ", ".join(stopped) + "."),
    )


def html_table(entries: Iterable[Entry], system: System = "metric") -> str:
    """The steps as an HTML table for a notebook."""
    return table((*HEAD, "verdict"), rows(entries, system), class_="ck-repair")
