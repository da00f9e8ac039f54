"""Plan checks, before any work is done: weather, recoat windows, pot life, papers, vapour and hardeners.

    for found in plan_checks(repair.replay("door_repair.toml")):
        print(found.text())

A plan with no findings is not clearance to spray: the checks look at what they name and at nothing else.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coursekit.drying.cure import COLDEST, WARMEST
from coursekit.garage.vapour import FIRE_LIMIT, NOT_MIST, room_air
from coursekit.nomenclature import System
from coursekit.panel import cells_of
from coursekit.repair.covering import areas
from coursekit.repair.entry import Entry, FillEntry, SandEntry, SprayEntry
from coursekit.repair.finding import PlanFinding
from coursekit.repair.forecast import Weather
from coursekit.repair.hardeners import hardener_of, sprayed
from coursekit.repair.lots import lots_words
from coursekit.repair.papers import degreasing, papers
from coursekit.repair.playing import Replay
from coursekit.repair.readiness import weather_reasons
from coursekit.repair.rules import rule
from coursekit.repair.solvent import SOLVENT
from coursekit.repair.steps import Clean, Spray
from coursekit.repair.words import About, Reason
from coursekit.sources import coefficient
from coursekit.substances import read_solvent
from coursekit.uncertain import Band

TOPICS = "weather, recoat windows, pot lives, papers, degreasing, areas, vapour against fire and hardeners"
DEAD_CORNERS = 10.0  # mixing factor of fresh air that leaves corners, as in a garage with one door
# What steps give off beside the solvent of their coats, all of it counted into the air, on the safe side: a wipe at
# the most that its band holds, with what the cloths take up, and the styrene of which most stays in the filler.
REMOVER, WIPED = "light naphtha", coefficient("wipe_film").high  # m of liquid, each wipe
IN_FILLER, OF_FILLER = "styrene", 250.0  # kg/m³, the most that a ready-to-use filler may give off (eu-2004-42)


def plan_checks(replay: Replay) -> tuple[PlanFinding, ...]:
    """All findings in a plan, the problems first."""
    checks = (_weather, _windows, _mixes, papers, degreasing, areas, _room, _hardeners)
    found = [one for check in checks for one in check(replay)]
    return tuple(sorted(found, key=lambda one: not one.against))


def plan_lines(replay: Replay, system: System = "metric") -> Iterator[str]:
    """The plan checks as lines of text: the number of problems, then each finding."""
    found = plan_checks(replay)
    count = sum(one.against for one in found)
    notes = f"{len(found)} {'note' if len(found) == 1 else 'notes'} to read"
    nothing = f"{notes if found else 'nothing found'} in {TOPICS}"
    yield (
        f"Plan checks: {count} {'problem' if count == 1 else 'problems'} found in this plan."
        if count
        else f"Plan checks: {nothing}. They look at nothing else. This is not clearance to spray."
    )
    for one in found:
        yield f"{'Change' if one.against else 'Note'} – {one.text(system)}"


# --- weather -----------------------------------------------------------------------------------------------

_WEATHER: dict[About, str] = {
    "temperature": "Bring the garage into that range without a flame and hold it there while the film cures, or "
    "wait for another day.",
    "humidity": "Wait for drier air: damp air blooms lacquers and slows what dries by water.",
    "dew point": "Warm the panel before the air gets damp, measure both with a thermometer, or wait for drier air.",
}


def _weather(replay: Replay) -> Iterator[PlanFinding]:
    steps = tuple(entry.step.number for entry in replay if entry.step.brings)
    temperature = replay.recipe.garage["temperature"]
    if steps and not COLDEST <= temperature <= WARMEST:
        reason = Reason(
            True,
            "at {0} films hardly cure as data sheets say; cure times are known from {1} to {2}",
            tuple(("temperature", value) for value in (temperature, COLDEST, WARMEST)),
        )
        yield PlanFinding("weather", steps, reason, _WEATHER["temperature"])
    spraying = tuple(entry.step.number for entry in replay if isinstance(entry, SprayEntry))
    if replay.recipe.forecast is not None:
        yield from _forecast(replay)
    elif spraying:
        for reason in weather_reasons(replay.recipe):
            yield PlanFinding("weather", spraying, reason, _WEATHER[reason.about])


def _forecast(replay: Replay) -> Iterator[PlanFinding]:
    """Steps that spray at an hour with unsuitable weather in the forecast."""
    weather = Weather(replay.recipe)
    for entry in replay:
        if isinstance(entry, SprayEntry) and (told := weather.against(entry.began, entry.ended)):
            reason = Reason(True, f"sprayed at {weather.clock(entry.began)} by the forecast: " + "; ".join(told))
            yield PlanFinding(
                "weather",
                (entry.step.number,),
                reason,
                "Begin at another hour, hold the garage warm without a flame, or wait for another day.",
            )


# --- windows -----------------------------------------------------------------------------------------------

_DULL = "Let it harden, scuff it all over, wash, and follow the data sheet's line on a missed window"


def _windows(replay: Replay) -> Iterator[PlanFinding]:
    """Between two films with no paper between: too early, too late, or no time that is surely inside."""
    weather = Weather(replay.recipe)
    last: Entry | None = None
    dulled = False
    for entry in replay:
        step = entry.step
        if isinstance(entry, SandEntry) and last is not None and not dulled:
            yield from _sanded_soon(weather, last, entry)
            dulled = bool(entry.used.removed)
        if not step.brings:
            continue
        if last is not None and not dulled:
            yield from _window(weather, last, (last.step.number, step.number), last.ended, entry.began - last.ended)
        if isinstance(step, Spray) and step.coats > 1:
            yield from _window(weather, entry, (step.number,), entry.began, step.flash)
        last, dulled = entry, False


def _sanded_soon(weather: Weather, film: Entry, entry: Entry) -> Iterator[PlanFinding]:
    material = film.step.brings
    needed = weather.needed(film.ended, weather.recipe.materials[material]["dry_to_sand"])
    since = entry.began - film.ended
    if needed is not None and since < needed.middle:
        reason = Reason(
            True,
            f"the {material} is sanded {{0}} after it was laid; in this garage its time to sand is "
            "{1}" + _ends(needed),
            _times(since, *needed[1:2], *needed[::2]),
        )
        yield PlanFinding(
            "window",
            (film.step.number, entry.step.number),
            reason,
            "Wait {0} before sanding, and try a fingernail where it does not show.",
            _times(needed.high),
        )


def _window(
    weather: Weather, film: Entry, steps: tuple[int, ...], laid: float, since: float
) -> Iterator[PlanFinding]:
    """A film that comes `since` after a coat that nobody dulled, laid then: within one step, or in the next."""
    material = film.step.brings
    row = weather.recipe.materials[material]
    early, late, hard = (weather.needed(laid, row[key]) for key in ("dry_to_recoat", "recoat_until", "dry_to_sand"))
    if early is None or late is None or hard is None:
        return  # the weather says so
    comes = f"the next film comes {{0}} after a coat of {material}"
    if since < early.middle:
        reason = Reason(
            True,
            f"{comes}, whose time to recoat is {{1}}" + _ends(early) + " in this garage: it traps solvent, or lifts",
            _times(since, early.middle, early.low, early.high),
        )
        remedy = (
            f"{_DULL}: its window may close after {{1}}."
            if early.high > late.low
            else "Wait {0}, or as long as the data sheet requires at this temperature."
        )
        yield PlanFinding("window", steps, reason, remedy, _times(early.high, late.low))
    elif since > late.middle:
        soft = since < hard.middle
        reason = Reason(
            True,
            f"{comes}, whose recoat window closes after {{1}}"
            + _ends(late)
            + " in this garage"
            + (", and its time to sand is {4}: neither recoating nor scuffing is possible then" if soft else ""),
            _times(since, late.middle, late.low, late.high, hard.middle),
        )
        remedy = f"Recoat before {{0}}. Or: {_DULL.lower()}" + (", {1} after the coat." if soft else ".")
        yield PlanFinding("window", steps, reason, remedy, _times(late.low, hard.high))
    elif early.high > late.low:
        reason = Reason(
            True,
            f"the recoat window of the {material} may close after {{0}} and may not open "
            "before {1}: in this garage no wait is surely inside it",
            _times(late.low, early.high),
        )
        yield PlanFinding("window", steps, reason, f"{_DULL}; or come nearer to the temperature its times are for.")


def _ends(band: Band) -> str:
    """Room for the two ends of a time, when it has two."""
    return "" if band.high <= 1.05 * band.low else " ({2} to {3})"


def _times(*seconds: float) -> tuple[tuple[str, float], ...]:
    return tuple(("time", value) for value in seconds)


# --- pot life ----------------------------------------------------------------------------------------------


def _mixes(replay: Replay) -> Iterator[PlanFinding]:
    """A mix that is sprayed or spread for longer than its pot life."""
    weather = Weather(replay.recipe)
    for entry in replay:
        step, taken = entry.step, entry.used.time
        lasts = weather.pot_life(step.brings, entry.began) if step.brings else None
        if lasts is None or taken <= lasts.middle:
            continue
        life = lasts.middle
        lives = f"the pot life of the {step.brings} in this garage is {{1}}"
        if not isinstance(entry, SprayEntry):
            yield PlanFinding(
                "pot life",
                (step.number,),
                Reason(False, f"spreading takes {{0}}; {lives}", _times(taken, life)),
                f"Mix it {lots_words(weather, entry)}: {rule('lots.filler').why}."
                if isinstance(entry, FillEntry)
                else "Mix small lots, each for a few minutes.",
            )
            continue
        mixed, coats, flash = entry.used.mixed, entry.step.coats, entry.step.flash
        reason = Reason(
            True,
            f"a mix of {{2}} takes {{0}} to spray, waits between coats included; {lives}",
            (*_times(taken, life), ("paint_volume", mixed)),
        )
        one = (taken - (coats - 1) * flash) / coats
        if coats > 1 and one <= life:
            remedy = "Mix each coat by itself, {0} and what stays in the cup, just before it."
            volume = entry.used.sprayed / coats
        else:
            remedy = (
                "Mix at most {0} at a time: the gun sprays that within the pot life. Or spray where it is "
                "cooler; thinner does not extend pot life."
            )
            volume = entry.used.sprayed * life / (one * coats)
        yield PlanFinding("pot life", (step.number,), reason, remedy, (("paint_volume", volume),))


# --- the air of the room -----------------------------------------------------------------------------------


def _room(replay: Replay) -> Iterator[PlanFinding]:
    """Vapour at its highest while coats and dries go on, in a room whose fresh air leaves corners."""
    garage = replay.recipe.garage
    given = [(entry, *parts) for entry in replay if entry.used.time > 0 for parts in _given_off(entry)]
    if not given:
        return
    volume = garage["length"] * garage["width"] * garage["height"]
    ends = np.array([entry.ended for entry, *_ in given])
    fire, limits = np.zeros(len(ends)), np.zeros(len(ends))
    for entry, solvent, liquid in given:
        later = ends >= entry.ended
        air = room_air.si(
            solvent,
            liquid,
            entry.used.time,
            volume,
            garage["air_changes"],
            DEAD_CORNERS,
            ends[later] - entry.began,
            garage["temperature"],
        )
        fire[later] += air.of_explosive_limit
        limits[later] += air.times_limit
    worst = int(fire.argmax())
    step = given[worst][0].step.number
    changes = ("air_changes", float(garage["air_changes"]))
    figures = (("explosive_share", float(fire[worst])), ("plain", float(limits[worst])), changes)
    burns = bool(fire[worst] >= FIRE_LIMIT)
    reason = Reason(
        burns,
        "with air changes of {2} the vapour in the room reaches {0} of what can burn, and more near the floor and "
        "the gun"
        + (f". Nobody goes into a room from {FIRE_LIMIT:.0%}" if burns else "")
        + ". It is {1} times its lowest limit for the lungs. "
        f"Coats count as {SOLVENT}, wipes with their cloths as {REMOVER} and filler as {IN_FILLER}",
        figures,
    )
    remedy = (
        "Do not spray this in this room: more fresh air by a fan that makes no sparks, fewer coats a day, or a "
        "spray booth."
        if burns
        else "Keep flames, heaters, switches and motors out all the same."
    )
    yield PlanFinding("room", (step,), reason, f"{remedy} {NOT_MIST}")


def _given_off(entry: Entry) -> Iterator[tuple[str, float]]:
    """Each substance that a step gives off, and how much of it as a liquid, m³."""
    if (coats := entry.used.solvent.evaporated) > 0:
        yield SOLVENT, coats
    if isinstance(entry.step, Clean):
        cells = cells_of(entry.panel, entry.step.area) & (entry.panel.mask < 0.5)
        yield REMOVER, entry.step.wipes * WIPED * float(cells.sum()) * entry.panel.cell_area
    if isinstance(entry, FillEntry):
        yield IN_FILLER, entry.used.solids.laid * OF_FILLER / read_solvent(IN_FILLER).mixed_density


# --- hardeners ---------------------------------------------------------------------------------------------


def _hardeners(replay: Replay) -> Iterator[PlanFinding]:
    """What a recipe says of a hardener: a bare "no" to isocyanate is not believed; a named chemistry is reported."""
    for material, steps in sprayed(replay.recipe).items():
        found = hardener_of(replay.recipe, material)
        if found.own:
            yield PlanFinding("hardener", steps, Reason(found.denied, found.words), found.remedy)
