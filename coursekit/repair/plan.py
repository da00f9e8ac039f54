"""What speaks against a plan before anything is done: weather, windows, pot life, papers, vapour and hardeners.

    for found in plan_checks(repair.replay("door_repair.toml")):
        print(found.text())

A plan in which nothing is found is no leave to spray: these checks look at what they name and at nothing else.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Literal, NamedTuple

import numpy as np

from coursekit.drying.cure import COLDEST, WARMEST
from coursekit.garage.vapour import FIRE_LIMIT, NOT_MIST, room_air
from coursekit.nomenclature import System
from coursekit.panel.tools import EASE
from coursekit.quantities import InputError
from coursekit.repair.acts import SOLVENT, tool_of
from coursekit.repair.balance import evaporated
from coursekit.repair.case import ADDING, brings
from coursekit.repair.condition import FEW, Condition
from coursekit.repair.forecast import Weather
from coursekit.repair.hardeners import hardener_of, sprayed
from coursekit.repair.order import COLOUR, SANDING
from coursekit.repair.readiness import (
    RECOAT_MARGIN,
    deepest_scratch,
    planned_film,
    seen_scratch,
    weather_reasons,
)
from coursekit.repair.words import Reason
from coursekit.sanding import read_grade, seen_width
from coursekit.sanding.blocks import Block
from coursekit.sanding.progression import MOST_STROKES, judged
from coursekit.sources import Band, coefficient

if TYPE_CHECKING:
    from coursekit.repair.playing import Entry, Replay

Topic = Literal["weather", "window", "pot life", "papers", "room", "hardener"]
TOPICS = "weather, recoat windows, pot lives, papers, vapour against fire and hardeners"
DEAD_CORNERS = 10.0  # mixing factor of fresh air that leaves corners, as in a garage with one door


class PlanFinding(NamedTuple):
    """One thing found in a plan: its topic, its steps, what it is with its figures, and what to do instead."""

    topic: Topic
    steps: tuple[int, ...]
    reason: Reason
    remedy: str
    figures: tuple[tuple[str, float], ...] = ()  # of the remedy

    @property
    def against(self) -> bool:
        """Whether it speaks against the plan; otherwise it is to be known."""
        return self.reason.against

    @property
    def where(self) -> str:
        """The steps in words."""
        *first, last = (str(step) for step in self.steps)
        return f"steps {', '.join(first)} and {last}" if first else f"step {last}"

    def text(self, system: System = "metric") -> str:
        """The finding in words: of what kind, where, what it is, and the remedy."""
        found = f"{self.topic[:1].upper() + self.topic[1:]}, {self.where}: {self.reason.text(system)}."
        return f"{found} {Reason(False, self.remedy, self.figures).text(system)}".strip()

    def __str__(self) -> str:
        return self.text()


def plan_checks(replay: Replay) -> tuple[PlanFinding, ...]:
    """All that is found in a plan, what speaks against it first."""
    found = [one for check in (_weather, _windows, _mixes, _papers, _room, _hardeners) for one in check(replay)]
    return tuple(sorted(found, key=lambda one: not one.against))


def plan_lines(replay: Replay, system: System = "metric") -> Iterator[str]:
    """The plan checks as lines of text: how many speak against the plan, then each."""
    found = plan_checks(replay)
    count = sum(one.against for one in found)
    yield (f"Plan checks: {count} {'finding speaks' if count == 1 else 'findings speak'} against this plan." if count
           else f"Plan checks: nothing was found against it in {TOPICS}. They look at nothing else and give no leave "
           "to spray.")  # fmt: skip
    for one in found:
        yield f"{'Change' if one.against else 'Know'} – {one.text(system)}"


# --- weather -----------------------------------------------------------------------------------------------

_WEATHER = {
    "temperature": "Bring the garage into that range without a flame and hold it there while the film cures, or "
                   "wait for another day.",
    "humidity": "Wait for drier air: damp air blooms lacquers and slows what dries by water.",
    "dew_margin": "Warm the panel before the air gets damp, measure both with a thermometer, or wait for drier air.",
}  # fmt: skip


def _weather(replay: Replay) -> Iterator[PlanFinding]:
    steps = tuple(entry.step.number for entry in replay if entry.step.do in ADDING)
    temperature = replay.recipe.garage["temperature"]
    if steps and not COLDEST <= temperature <= WARMEST:
        reason = Reason(
            True,
            "at {0} films hardly cure as data sheets say; their times are known from {1} to {2}",
            tuple(("temperature", value) for value in (temperature, COLDEST, WARMEST)),
        )
        yield PlanFinding("weather", steps, reason, _WEATHER["temperature"])
    spraying = tuple(entry.step.number for entry in replay if entry.step.do == "spray")
    if replay.recipe.forecast is not None:
        yield from _forecast(replay)
    elif spraying:
        for reason in weather_reasons(replay.recipe):
            yield PlanFinding("weather", spraying, reason, _WEATHER[reason.figures[0][0]])


def _forecast(replay: Replay) -> Iterator[PlanFinding]:
    """Steps that spray at an hour against which the forecast speaks."""
    weather = Weather(replay.recipe)
    for entry in replay:
        if entry.step.do == "spray" and (told := weather.against(entry.began, entry.ended)):
            reason = Reason(True, f"sprayed at {weather.clock(entry.began)} by the forecast: " + "; ".join(told))
            yield PlanFinding("weather", (entry.step.number,), reason,
                              "Begin at another hour, hold the garage warm without a flame, or wait for another day.")


# --- windows -----------------------------------------------------------------------------------------------

_DULL = "Let it harden, dull it all over, wash, and follow the data sheet's line on a missed window"


def _windows(replay: Replay) -> Iterator[PlanFinding]:
    """Between two films with no paper between: too early, too late, or no time that is surely inside."""
    weather = Weather(replay.recipe)
    last: Entry | None = None
    dulled = False
    for entry in replay:
        step = entry.step
        if step.do in SANDING and last is not None and not dulled:
            yield from _sanded_soon(weather, last, entry)
            dulled = bool(entry.used.removed)
        if step.do not in ADDING:
            continue
        if last is not None and not dulled:
            yield from _window(weather, last, (last.step.number, step.number), last.ended, entry.began - last.ended)
        if step.do == "spray" and step["coats"] > 1:
            yield from _window(weather, entry, (step.number,), entry.began, step["flash"])
        last, dulled = entry, False


def _sanded_soon(weather: Weather, film: Entry, entry: Entry) -> Iterator[PlanFinding]:
    material = brings(film.step)
    needed = weather.needed(film.ended, weather.recipe.materials[material]["dry_to_sand"])
    since = entry.began - film.ended
    if needed is not None and since < needed.middle:
        reason = Reason(True, f"the {material} is sanded {{0}} after it was laid; in this garage its time to sand is "
                        "{1}" + _ends(needed), _times(since, *needed[1:2], *needed[::2]))  # fmt: skip
        yield PlanFinding("window", (film.step.number, entry.step.number), reason,
                          "Wait {0} before sanding, and try a fingernail where it does not show.",
                          _times(needed.high))  # fmt: skip


def _window(weather: Weather, film: Entry, steps: tuple[int, ...], laid: float,
            since: float) -> Iterator[PlanFinding]:  # fmt: skip
    """A film that comes `since` after a coat that nobody dulled, laid then: within one step, or in the next."""
    material = brings(film.step)
    row = weather.recipe.materials[material]
    early, late, hard = (weather.needed(laid, row[key]) for key in ("dry_to_recoat", "recoat_until", "dry_to_sand"))
    if early is None or late is None or hard is None:
        return  # the weather says so
    comes = f"the next film comes {{0}} after a coat of {material}"
    if since < early.middle:
        reason = Reason(True, f"{comes}, whose time to recoat is {{1}}" + _ends(early)
                        + " in this garage: its solvent is shut in, or lifts it",
                        _times(since, early.middle, early.low, early.high))  # fmt: skip
        remedy = (f"{_DULL}: its window may close after {{1}}." if early.high > late.low else
                  "Wait {0}, or what the data sheet asks for at this temperature.")  # fmt: skip
        yield PlanFinding("window", steps, reason, remedy, _times(early.high, late.low))
    elif since > late.middle:
        soft = since < hard.middle
        reason = Reason(
            True,
            f"{comes}, whose recoat window closes after {{1}}"
            + _ends(late)
            + " in this garage"
            + (", and its time to sand is {4}: neither recoating nor dulling is possible then" if soft else ""),
            _times(since, late.middle, late.low, late.high, hard.middle),
        )
        remedy = f"Recoat before {{0}}. Or: {_DULL.lower()}" + (", {1} after the coat." if soft else ".")
        yield PlanFinding("window", steps, reason, remedy, _times(late.low, hard.high))
    elif early.high > late.low:
        reason = Reason(True, f"the recoat window of the {material} may close after {{0}}, before its time to "
                        "recoat is surely over, {1}: in this garage no wait is surely inside it",
                        _times(late.low, early.high))  # fmt: skip
        yield PlanFinding("window", steps, reason, f"{_DULL}; or come nearer to the temperature its times are for.")


def _ends(band: Band) -> str:
    """Room for the two ends of a time, when it has two."""
    return "" if band.high <= 1.05 * band.low else " ({2} to {3})"


def _times(*seconds: float) -> tuple[tuple[str, float], ...]:
    return tuple(("time", value) for value in seconds)


# --- pot life ----------------------------------------------------------------------------------------------


def _mixes(replay: Replay) -> Iterator[PlanFinding]:
    """A mix that is sprayed or spread for longer than it lives."""
    weather = Weather(replay.recipe)
    for entry in replay:
        step, taken = entry.step, entry.used.time
        lasts = weather.pot_life(brings(step), entry.began) if step.do in ADDING else None
        if lasts is None or taken <= lasts.middle:
            continue
        life = lasts.middle
        lives = f"the {brings(step)} lives {{1}} in this garage"
        if step.do == "fill":
            yield PlanFinding("pot life", (step.number,), Reason(False, f"spreading takes {{0}}, and {lives}",
                                                                 _times(taken, life)),
                              "Mix small lots, each for a few minutes.")  # fmt: skip
            continue
        mixed, coats = entry.used.figures["mixed"], step["coats"]
        reason = Reason(True, f"a mix of {{2}} takes {{0}} to spray, the waits between its coats counted in, and "
                        f"{lives}", (*_times(taken, life), ("paint_volume", mixed)))  # fmt: skip
        one = (taken - (coats - 1) * step["flash"]) / coats
        if coats > 1 and one <= life:
            remedy = "Mix each coat by itself, {0} and what stays in the cup, just before it."
            volume = entry.used.figures["liquid"] / coats
        else:
            remedy = ("Mix {0} at most at a time: that is what leaves the gun in its life. Or spray where it is "
                      "cooler; thinner makes no mix live longer.")  # fmt: skip
            volume = entry.used.figures["liquid"] * life / (one * coats)
        yield PlanFinding("pot life", (step.number,), reason, remedy, (("paint_volume", volume),))


# --- papers ------------------------------------------------------------------------------------------------


def _papers(replay: Replay) -> Iterator[PlanFinding]:
    """Each paper must bury the scratches of the ones before it, and there must be film for it; a coat may fill."""
    before = _before_each(replay)
    for group in _sanded_in_a_row(replay):
        for entry in group:
            yield from _no_film_for(before[entry.step.number - 1], entry)
        last = group[-1]
        left = _coarsest_left(last)
        if left:
            first = next((entry.step.number for entry in reversed(group[:-1]) if entry.used.paper == left), None)
            steps = (last.step.number,) if first is None else (first, last.step.number)
            yield _unburied(replay, steps, left, before[last.step.number - 1], last)


def _before_each(replay: Replay) -> Sequence[Condition | None]:
    return [None, *(entry.condition for entry in replay)]


def _sanded_in_a_row(replay: Replay) -> Iterator[list[Entry]]:
    """Steps that sand with no coat between them, group by group."""
    group: list[Entry] = []
    for entry in replay:
        if entry.step.do in ADDING and group:
            yield group
            group = []
        elif entry.step.do in SANDING and entry.used.removed:
            group.append(entry)
    if group:
        yield group


def _grain(paper: str) -> float:
    """Grain size (m) of a paper; nothing for a compound or no paper."""
    try:
        return read_grade(paper).grain_size
    except InputError:
        return 0.0


def _coarsest_left(entry: Entry) -> str:
    """A coarser paper whose scratches are left after a step, on more than a few places; empty when there is none."""
    after, own = entry.condition, _grain(entry.used.paper)
    if after.paper != entry.used.paper and _grain(after.paper) > own:
        return after.paper
    if after.other_paper > FEW:
        return max((paper for paper in entry.panel.papers if _grain(paper) > own), key=_grain, default="")
    return ""


def _no_film_for(before: Condition | None, entry: Entry) -> Iterator[PlanFinding]:
    """A finer paper set to sand scratches out of a film that is thinner than they are deep."""
    if before is None or before.scratch <= 0 or _grain(before.paper) <= _grain(entry.used.paper):
        return
    sanded = max(entry.used.removed, key=lambda name: entry.used.removed[name])
    deep = deepest_scratch(before)
    if sanded in before.film and before.film[sanded].thin < deep:
        figures = (("scratch_depth", deep), ("film", before.film[sanded].thin))
        reason = Reason(True, f"scratches of {before.paper}, {{0}} deep, are sanded with {entry.used.paper} out of "
                        f"{{1}} of {sanded} where it is thinnest: it goes through before they are buried",
                        figures)  # fmt: skip
        yield PlanFinding(
            "papers",
            (entry.step.number,),
            reason,
            "Lay a coat that fills them first, {0} dry or more.",
            (("film", RECOAT_MARGIN * deep),),
        )


def _unburied(replay: Replay, steps: tuple[int, ...], left: str, before: Condition | None,
              last: Entry) -> PlanFinding:  # fmt: skip
    own = last.condition.paper == left
    deep = deepest_scratch(last.condition if own or before is None else before)
    share = (1 if own else 0) + (-1 if own else 1) * last.condition.other_paper
    reason = Reason(True, f"{last.step.words} leaves scratches of {left}, up to {{0}} deep, on {{1}} of the repair",
                    (("scratch_depth", deep), ("remaining", share)))  # fmt: skip
    coming = next((entry for entry in replay[last.step.number :] if entry.step.do in ADDING), None)
    if coming is not None and _fills(replay, coming, deep):
        return PlanFinding("papers", steps, reason._replace(against=False),
                           f"The {brings(coming.step)} of step {coming.step.number} has to fill them.")  # fmt: skip
    if "paper" not in last.step.settings:
        return PlanFinding("papers", steps, reason, "Sand with a finer paper before the compound.")
    strokes = _strokes(replay, left, last, deepest_scratch(before) if before else deep)
    if strokes is None:
        return PlanFinding("papers", steps, reason, f"Sand longer with {last.used.paper}, or put a paper between.")
    figures = (("plain", strokes.middle), ("plain", strokes.high))
    if strokes.middle > MOST_STROKES:
        return PlanFinding("papers", steps, reason, "Put a paper between the two: burying them in one step takes {0} "
                           "to {1} strokes over each place.", figures)  # fmt: skip
    return PlanFinding("papers", steps, reason, f"Give {last.used.paper} {{0}} to {{1}} strokes over each place, or "
                       "put a paper between.", figures)  # fmt: skip


def _fills(replay: Replay, coming: Entry, deep: float) -> bool:
    """Whether the next film fills scratches, or in the case of colour hides them."""
    if coming.step.do == "fill":
        return True
    if coming.step["material"] in COLOUR:
        return seen_scratch(replay.recipe, deep)[1] <= float(seen_width.si("point lamp"))
    return planned_film(replay.recipe, coming.step) >= RECOAT_MARGIN * deep


def _strokes(replay: Replay, left: str, last: Entry, deep: float) -> Band | None:
    """Strokes over each place with which the last paper takes off a scratch of that depth."""
    sanded = max(last.used.removed, key=lambda name: last.used.removed[name])
    if "strokes" not in last.step.settings or sanded not in replay.recipe.materials:
        return None
    tool = tool_of(last.step)
    pair = judged("metric", [left, last.used.paper], last.step["force"], Block(tool.length, tool.width),
                  replay.recipe.materials[sanded]["hardness"], 5e-3,
                  cutting_ease=coefficient(f"cutting_ease_{EASE[sanded]}"))[1]  # fmt: skip
    return Band(*(end * deep / pair.film.middle for end in pair.strokes))


# --- the air of the room -----------------------------------------------------------------------------------


def _room(replay: Replay) -> Iterator[PlanFinding]:
    """Vapour at its highest while coats and dries go on, in a room whose fresh air leaves corners."""
    garage = replay.recipe.garage
    given = [entry for entry in replay if evaporated(entry.used) > 0 and entry.used.time > 0]
    if not given:
        return
    volume = garage["length"] * garage["width"] * garage["height"]
    ends = np.array([entry.ended for entry in given])
    fire, limits = np.zeros(len(ends)), np.zeros(len(ends))
    for entry in given:
        later = ends >= entry.ended
        air = room_air.si(SOLVENT, evaporated(entry.used), entry.used.time, volume, garage["air_changes"],
                          DEAD_CORNERS, ends[later] - entry.began, garage["temperature"])  # fmt: skip
        fire[later] += air.of_explosive_limit
        limits[later] += air.times_limit
    worst = int(fire.argmax())
    step = given[worst].step.number
    figures = (("explosive_share", float(fire[worst])), ("plain", float(limits[worst])))
    burns = bool(fire[worst] >= FIRE_LIMIT)
    reason = Reason(burns, f"counted as {SOLVENT}, the vapour in the room reaches {{0}} of what can burn, and nearer "
                    "to the floor and the gun more" + (f"; nobody goes into a room from {FIRE_LIMIT:.0%}" if burns
                                                       else "")
                    + ". It is {1} times its lowest limit for the lungs", figures)  # fmt: skip
    remedy = ("Do not spray this in this room: more fresh air by a fan that makes no sparks, fewer coats a day, or a "
              "spray booth." if burns else "Keep flames, heaters, switches and motors out all the same.")  # fmt: skip
    yield PlanFinding("room", (step,), reason, f"{remedy} {NOT_MIST}")


# --- hardeners ---------------------------------------------------------------------------------------------


def _hardeners(replay: Replay) -> Iterator[PlanFinding]:
    """What a recipe says of a hardener: a bare "no" to isocyanate is not believed, a named chemistry is told."""
    for material, steps in sprayed(replay.recipe).items():
        found = hardener_of(replay.recipe, material)
        if found.own:
            yield PlanFinding("hardener", steps, Reason(found.denied, found.words), found.remedy)
