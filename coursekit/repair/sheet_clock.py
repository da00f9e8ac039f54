"""The time line of the job sheet: for each spell of spraying or filling a picture along the clock, and its sentences.

Minutes stand on the left while films are laid; after a break of the axis the hours until the next work on the right.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from coursekit.figure import Figure
from coursekit.markup import Markup
from coursekit.nomenclature import System
from coursekit.repair import sheet_drawing as ink
from coursekit.repair.entry import Entry, FillEntry, SandEntry
from coursekit.repair.forecast import DAY, Weather
from coursekit.repair.lots import lots_words
from coursekit.repair.playing import Replay
from coursekit.repair.steps import Sand, Spray, Wait
from coursekit.repair.words import band_words, time_words
from coursekit.uncertain import Band

APART = 2 * 3600.0  # s: films that are further apart have pictures of their own
ONE_SCALE = 3 * 3600.0  # s: up to here minutes stay readable without a break of the axis
MORNING, EVENING = 6 * 3600.0, 22 * 3600.0  # s after midnight: when people work
LOOK_AHEAD = 36 * 3600.0  # s
WIDTH, LEFT, BREAK, GAP, RIGHT, ROW, BAR = 510.0, 58.0, 330.0, 14.0, 500.0, 14.0, 9.0
TICKS = tuple(60.0 * minutes for minutes in (5, 10, 15, 20, 30, 60, 120, 180, 360, 720, 1440, 2880, 5760, 11520))


class FilmTimes(NamedTuple):
    """One step that lays films: its coats as (began, ended) and its times after the last of them, s."""

    entry: Entry
    material: str
    coats: tuple[tuple[float, float], ...]
    flash: float  # s between them
    early: Band | None
    late: Band | None
    hard: Band | None
    life: Band | None

    @property
    def ended(self) -> float:
        return self.entry.ended


class Spell(NamedTuple):
    """Films that are laid one after the other, the next work on them, and when the plan ends."""

    films: tuple[FilmTimes, ...]
    next: Entry | None
    end: float


def film_of(weather: Weather, entry: Entry) -> FilmTimes:
    """The coats of a step and the times of its film in this weather."""
    step, material = entry.step, entry.step.brings
    row = weather.recipe.materials[material]
    count, flash = (step.coats, step.flash) if isinstance(step, Spray) else (1, 0.0)
    took = max(entry.used.time - (count - 1) * flash, 0.0) / count
    coats = tuple((entry.began + n * (took + flash), entry.began + n * (took + flash) + took) for n in range(count))
    early, late, hard = (
        weather.needed(entry.ended, row[key]) for key in ("dry_to_recoat", "recoat_until", "dry_to_sand")
    )
    return FilmTimes(entry, material, coats, flash, early, late, hard, weather.pot_life(material, entry.began))


def spells(replay: Replay, weather: Weather) -> Iterator[Spell]:
    """The spells of a plan: films with no paper and no long wait between them."""
    films: list[FilmTimes] = []
    for entry in replay:
        adds = bool(entry.step.brings)
        if films and (isinstance(entry, SandEntry) or (adds and entry.began - films[-1].ended > APART)):
            yield Spell(tuple(films), entry, replay.time)
            films = []
        if adds:
            films.append(film_of(weather, entry))
    if films:
        yield Spell(tuple(films), None, replay.time)


# --- in words ----------------------------------------------------------------------------------------------


def sentences(spell: Spell, weather: Weather, system: System) -> Iterator[str]:
    """What the picture of a spell shows."""
    for film in spell.films:
        yield " ".join(_film_words(film, weather, system))
    if spell.next is not None:
        yield _next_words(spell, weather)


def _film_words(film: FilmTimes, weather: Weather, system: System) -> Iterator[str]:
    step, clock = film.entry.step, weather.clock
    coats = ""
    if len(film.coats) > 1:
        coats = f", {len(film.coats)} coats with {time_words(film.flash)} of flash between"
    yield f"Step {step.number}, {step.words}: {clock(film.entry.began)} to {clock(film.ended)}{coats}."
    if weather.forecast:
        panel = Figure(weather.panel(film.entry.began), "temperature", system)
        yield f"The panel is at {panel} then by the forecast."
        against = weather.against(film.entry.began, film.ended)
        if against:
            yield f"Against it in this forecast: {'; '.join(against)}."
    if film.life is not None:
        yield (
            f"Pot life {band_words(film.life)}: empty and clean the gun before "
            f"{clock(film.entry.began + film.life.low)}."
            if isinstance(step, Spray)
            else f"Pot life {band_words(film.life)}: {lots_words(weather, film.entry)}."
            if isinstance(film.entry, FillEntry)
            else f"Pot life {band_words(film.life)}."
        )
    if film.hard is None or film.early is None or film.late is None:
        yield "It is too cold or too hot here for its times to be known: ask the data sheet."
        return
    if isinstance(step, Spray):
        yield (
            f"Next film without sanding: from {band_words(film.early)} after the last coat until "
            f"{band_words(film.late)} after it, {clock(film.ended + film.late.low)}."
        )
    yield f"To sand: from {band_words(film.hard)} after it, {clock(film.ended + film.hard.high)}."


def _next_words(spell: Spell, weather: Weather) -> str:
    step, film = spell.next.step, spell.films[-1]  # type: ignore[union-attr]
    began = spell.next.began  # type: ignore[union-attr]
    planned = f"Planned next: step {step.number}, {step.words}, at {weather.clock(began)}."
    since, needed = began - film.ended, film.hard if isinstance(step, Sand) else film.early
    if needed is None:
        return planned
    if since < needed.high:
        surely = weather.clock(film.ended + needed.high)
        return f"{planned} That is before its time is surely over: wait for {surely}."
    if not isinstance(step, Sand) and film.late is not None and since > film.late.low:
        return f"{planned} By then the window to recoat may be closed: scuff the film first."
    return planned


def night_words(replay: Replay, weather: Weather) -> str:
    """Which steps the plan puts into the night of its forecast; empty when it does not."""
    late = [
        str(entry.step.number)
        for entry in replay
        if weather.forecast
        and not isinstance(entry.step, Wait)
        and not MORNING <= (weather.begins + entry.began) % DAY < EVENING
    ]
    if not late:
        return ""
    return (
        f"By this clock step{'s' * (len(late) > 1)} {', '.join(late)} would be done at night: lengthen a wait "
        "before, or begin at another hour."
    )


# --- the picture -------------------------------------------------------------------------------------------


class ClockAxis:
    """Minutes from `began` to `middle`, then, when the end is far off, a break and the hours to `end`."""

    def __init__(self, began: float, middle: float, end: float) -> None:
        self.began, self.end = began, end
        self.broken = end - began > ONE_SCALE
        self.middle = middle if self.broken else end

    def x(self, time: float) -> float:
        """The place of a time, held to the ends."""
        time = min(max(time, self.began), self.end)
        right = BREAK if self.broken else RIGHT
        if time <= self.middle:
            return LEFT + (right - LEFT) * (time - self.began) / (self.middle - self.began)
        return BREAK + GAP + (RIGHT - BREAK - GAP) * (time - self.middle) / (self.end - self.middle)

    def ticks(self, begins: float) -> Iterator[float]:
        """Round times of the clock on each scale, as many as have room for their words."""
        parts = [(self.began, self.middle, 6 if self.broken else 8)]
        if self.broken:
            parts.append((self.middle, self.end, 3))
        for first, last, most in parts:
            step = next((t for t in TICKS if (last - first) / t <= most), TICKS[-1])
            tick = math.ceil((begins + first) / step - 1e-9) * step - begins
            while tick <= last + 1e-6:
                if first == self.began or self.x(tick) > BREAK + GAP + 20:
                    yield tick
                tick += step


def picture(spell: Spell, weather: Weather, system: System) -> Markup:
    """The spell along the clock: coats and flash, pot life, recoat window, time to sand, and the next work."""
    axis = _axis(spell)
    parts: list[Markup] = []
    y = 4.0
    for film in spell.films:
        step = film.entry.step
        parts.append(ink.text(0, y + ink.SIZE, f"Step {step.number}: {step.words}", bold=True))
        y += ROW
        for name, drawn in _rows(film, weather, axis, y):
            parts += [ink.text(0, y + ink.SIZE - 1, name), *drawn]
            y += ROW
        y += 3
    if spell.next is not None:
        parts = [*_next_mark(spell.next, axis, y), *parts]
        y += ROW
    parts += _clock(weather, axis, y, system)
    y += 2 * ROW if weather.forecast else ROW
    return ink.whole(WIDTH, y + 6, " ".join(sentences(spell, weather, system)), parts)


def _axis(spell: Spell) -> ClockAxis:
    first, last = spell.films[0], spell.films[-1]
    soon = last.early.high if last.early is not None else 0.0
    middle = last.ended + max(300.0, min(soon + 180.0, 1800.0))
    goals = [spell.next.began if spell.next else spell.end, middle + 300.0]
    goals += [film.ended + film.hard.high for film in spell.films if film.hard and film.hard.high < LOOK_AHEAD]
    end = max(goals)
    return ClockAxis(first.entry.began, middle, end + 0.05 * (end - first.entry.began))


def _rows(film: FilmTimes, weather: Weather, axis: ClockAxis, y: float) -> Iterator[tuple[str, list[Markup]]]:
    """The rows of one film: name, and what is drawn in it. The first y is that of the first row."""
    ended, clock = film.ended, weather.clock
    spray = isinstance(film.entry.step, Spray)
    drawn = [ink.line(axis.x(film.entry.began), y + BAR / 2, axis.x(ended), y + BAR / 2)]
    drawn += [ink.bar(axis.x(began), axis.x(done), y, BAR, "black") for began, done in film.coats]
    many = len(film.coats) > 1
    words = f"{len(film.coats)} coats, {time_words(film.flash)} flash between" if many else "1 coat"
    yield ("coats" if spray else "spread"), [*drawn, *(_label(axis, ended, y, words) if spray else ())]
    if film.life is not None:
        y += ROW
        began = film.entry.began
        low, high = began + film.life.low, began + film.life.high
        drawn = [*_span(axis, began, low, y, "slant"), *_span(axis, low, high, y, "dots")]
        yield "pot life", [*drawn, *_label(axis, high, y, f"{time_words(film.life.low)}, to {clock(low)}")]
    if spray and film.early is not None and film.late is not None:
        y += ROW
        ends = [ended + time for time in (film.early.low, film.early.high, film.late.low, film.late.high)]
        drawn = [
            *_span(axis, ends[0], ends[1], y, "dots"),
            *_span(axis, ends[1], ends[2], y, "grey"),
            *_span(axis, ends[2], ends[3], y, "dots"),
        ]
        words = f"from {clock(ends[1])} until {clock(ends[2])}"
        yield "recoat", [*drawn, *_label(axis, ends[0], y, words, before=True)]
    if film.hard is not None:
        y += ROW
        low, high = ended + film.hard.low, ended + film.hard.high
        drawn = [*_span(axis, low, high, y, "dots"), *_span(axis, high, math.inf, y, "grey")]
        yield "sand", [*drawn, *_label(axis, low, y, f"from {clock(high)}", before=True)]


def _span(axis: ClockAxis, began: float, ended: float, y: float, fill: ink.Fill) -> list[Markup]:
    """A bar between two times, in two pieces over the break; an arrow where it goes on past the axis."""
    if began >= axis.end or ended <= began:
        return []
    pieces = [(began, ended)]
    if axis.broken and began < axis.middle < ended:
        pieces = [(began, axis.middle), (axis.middle + 1e-6, ended)]
    drawn = [ink.bar(axis.x(first), axis.x(last), y, BAR, fill) for first, last in pieces]
    return [*drawn, ink.arrow(RIGHT + 1, y, BAR)] if ended > axis.end else drawn


def _label(axis: ClockAxis, time: float, y: float, words: str, before: bool = False) -> list[Markup]:
    """Words right of a time, or left of it: where they are asked for, and where there is room."""
    x, room, y = axis.x(time), ink.width_of(words) + 4, y + ink.SIZE - 1
    if before:
        if x - room > LEFT:
            return [ink.text(x - 4, y, words, "end")]
        return [ink.plate(min(x + room + 4, WIDTH), y, words)]
    return [ink.plate(x - 2, y, words)] if x + room > WIDTH else [ink.text(x + 4, y, words)]


def _next_mark(entry: Entry, axis: ClockAxis, y: float) -> list[Markup]:
    words = f"step {entry.step.number}, {entry.step.words}"
    x = axis.x(entry.began)
    return [ink.line(x, 4, x, y + ROW, dashed=True, width=1.2), *_label(axis, entry.began, y + 2, words, before=True)]


def _clock(weather: Weather, axis: ClockAxis, y: float, system: System) -> list[Markup]:
    ends: Sequence[tuple[float, float]] = ((LEFT, BREAK), (BREAK + GAP, RIGHT)) if axis.broken else ((LEFT, RIGHT),)
    parts = [ink.line(x0, y, x1, y, width=1.0) for x0, x1 in ends]
    if axis.broken:
        parts += [ink.line(x - 2, y + 4, x + 2, y - 4) for x in (BREAK + 2, BREAK + GAP - 2)]
    last = -math.inf
    for tick in axis.ticks(weather.begins):
        x, words = axis.x(tick), weather.clock(tick)
        half = ink.width_of(words) / 2
        if x - half < last + 3 or x + half > WIDTH:
            continue
        last = x + half
        parts += [ink.line(x, y, x, y + 3), ink.text(x, y + 3 + ink.SIZE, words, "middle")]
        if weather.forecast:
            warm = f"{Figure(weather.panel(tick), 'temperature', system):2}"
            parts.append(ink.text(x, y + 3 + ink.SIZE + ROW - 2, warm, "middle"))
    if weather.forecast:
        parts.append(ink.text(0, y + 3 + ink.SIZE + ROW - 2, "panel"))
    parts.append(ink.text(0, y + 3 + ink.SIZE, "clock"))
    return parts
