"""The two pages for the wall: read from two metres, with the order of the work, what to mix, the gun and the clock.

Letters are 20 points: a capital is 5 mm high, a four-hundredth of two metres (common practice for signs). Of a repair
of more than thirty steps they are 18 points, so that it stays on two pages: read from 1.8 m by the same measure.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from typing import Any

from coursekit.figure import Figure
from coursekit.markup import Markup, each, paragraph, rows, tag
from coursekit.nomenclature import System
from coursekit.repair import timetable
from coursekit.repair.amounts import much, to_look_for
from coursekit.repair.cautioning import wall_cautions
from coursekit.repair.entry import Entry, FillEntry, SandEntry, SprayEntry
from coursekit.repair.forecast import Weather
from coursekit.repair.lots import lots
from coursekit.repair.playing import Replay
from coursekit.repair.sheet_gun import CUP_TIME, wet_film
from coursekit.repair.sheet_masks import first_open
from coursekit.repair.sheet_mixing import mixes
from coursekit.repair.steps import Wait
from coursekit.repair.words import time_words

MANY = 30  # steps, from which on letters are smaller


def pages(replay: Replay, system: System) -> Markup:
    """Both pages as HTML."""
    care = tag("p", " ".join((COMPUTED, *wall_cautions(replay))), class_="care")
    first = [tag("h1", replay.recipe.title), care, _table(_order(replay, system))]
    second = [
        tag("h3", "Mix: fill up to these lines"),
        _table(_mixing(replay, system)),
        tag("h3", "Gun"),
        _table(_gun(replay, system)),
        tag("h3", "Clock"),
        each("p", _clock(replay)),
        paragraph(NO_LEAVE),
    ]
    if not any(isinstance(entry, SprayEntry) for entry in replay):
        second = second[4:]
    second.insert(0, care)
    kind = "wall" if len(replay) <= MANY else "wall many"
    return Markup("\n").join(tag("section", *page, class_=kind) for page in (first, second))


COVER = "cover the car"
COMPUTED = "Computed, not a clearance."
NO_LEAVE = "No clearance to spray, breathe or burn: data sheets, local rules and cautions in the appendix come first."


def _table(told: Iterator[Sequence[Any]]) -> Markup:
    return tag("table", tag("tbody", rows(told)))


def _order(replay: Replay, system: System) -> Iterator[tuple[str, str, str]]:
    """Number, what is done, and the figure to look for.

    A wait stands with the step before it, and steps one after the other that have no figure share a row.
    """
    entries = list(replay)
    weather, covered = Weather(replay.recipe), first_open(replay)
    shared: list[Entry] = []
    for place, entry in enumerate(entries):
        if isinstance(entry.step, Wait) and place:
            continue
        waits = itertools.takewhile(lambda one: isinstance(one.step, Wait), entries[place + 1 :])
        wait = sum(one.used.time for one in waits)
        many = f"{lots(weather, entry)} lots" if isinstance(entry, FillEntry) else ""
        look = "; ".join(filter(None, (many, to_look_for(entry, system), f"then {time_words(wait)}" if wait else "")))
        shared.append(entry)
        following = entries[place + 1] if place + 1 < len(entries) else None
        if look or following is None or to_look_for(following, system) or _done(following) == _done(entry):
            first, *others = shared
            done = [_done(first), *(f"{one.step.number} {_done(one)}" for one in others)]
            if any(one.step.number in covered for one in shared):
                done.insert(0, COVER)
            yield str(first.step.number), ", ".join(done), look
            shared = []


def _done(entry: Entry) -> str:
    if isinstance(entry, SandEntry):
        return f"{entry.used.paper} {entry.step.tool} {much(entry)}"
    if isinstance(entry, SprayEntry):
        return f"{entry.step.material} {much(entry)}"
    return entry.step.words


def _mixing(replay: Replay, system: System) -> Iterator[tuple[str, str]]:
    """Each mix with its fill lines, from the bottom up."""
    for mix in mixes(replay, system):
        title = mix.title.removeprefix("Step ").split(" by ")[0]
        yield title, " · ".join(f"to {row[1]} {row[0]}" for row in mix.rows)


def _gun(replay: Replay, system: System) -> Iterator[tuple[str, str]]:
    for entry in replay:
        if not isinstance(entry, SprayEntry):
            continue
        step = entry.step
        yield (
            f"{step.number} {step.material}",
            f"{Figure(step.fluid_delivery * CUP_TIME, 'paint_volume', system):2} in {CUP_TIME:.0f} s · fan "
            f"{Figure(step.fan_width, 'width', system):2} · {Figure(step.gun_speed, 'gun_speed', system):2} · "
            f"{Figure(step.pitch, 'pitch', system):2} apart · "
            f"{Figure(wet_film(replay.recipe, step), 'wet_film', system):2} wet"
            + (f" · each coat {Figure(step.wider, 'place', system):2} wider" if step.wider else ""),
        )


def _clock(replay: Replay) -> Iterator[str]:
    """The days of a plan that says when it begins; else when each film is laid and may be sanded, from the start."""
    found = timetable.of(replay)
    if found is not None:
        yield from found.lines()
        return
    weather = Weather(replay.recipe)
    for place, entry in enumerate(replay):
        if entry.step.brings:
            following = next((one for one in list(replay)[place + 1 :] if not isinstance(one.step, Wait)), None)
            then = f", then step {following.step.number} at {weather.clock(following.began)}" if following else ""
            yield f"{weather.clock(entry.began)} step {entry.step.number}, {entry.step.words}{then}"
