"""Rows of the job sheet in words: what it is about, papers and strokes, checks, and how sure its numbers are."""

from __future__ import annotations

import math
from collections.abc import Iterator

from coursekit.belief import shipped
from coursekit.figure import Figure
from coursekit.nomenclature import System
from coursekit.quantities import shown_band
from coursekit.repair.condition import FEW
from coursekit.repair.entry import Entry, SandEntry, SprayEntry
from coursekit.repair.playing import Replay
from coursekit.repair.recipe import Recipe
from coursekit.repair.sheet_gun import wet_film
from coursekit.repair.sheet_masks import place_words
from coursekit.repair.solvent import flashed
from coursekit.repair.steps import ByHand, Sand, Spray, Unmask, Wait, WithPaper
from coursekit.repair.verdicts import SOFT_EDGE
from coursekit.repair.vocabulary import COLOUR
from coursekit.repair.words import clock_words, panel_words, ruled, spot_words, time_words
from coursekit.showing import coefficient_words
from coursekit.spraying.stroke import SPREAD

LEAST_GAUGED = 2e-6  # m: less than that a gauge of the trade does not tell (common practice)


# --- what it is about --------------------------------------------------------------------------------------


def garage_words(recipe: Recipe, system: System) -> str:
    """The garage in a few words."""
    temperature, humidity = (f"{Figure(recipe.garage[key], key, system)}" for key in ("temperature", "humidity"))
    return f"{temperature} and {humidity} humidity"


def forecast_words(recipe: Recipe, system: System) -> str:
    """For which weather the times of films hold."""
    if recipe.forecast is None:
        return (
            f"The clock starts at zero; times of films hold for {garage_words(recipe, system)}. For a day that "
            "warms and cools write [forecast] into the recipe: coldest, warmest, begins."
        )
    cold, warm = (f"{Figure(recipe.forecast[key], 'temperature', system)}" for key in ("coldest", "warmest"))
    return (
        f"It begins at {clock_words(recipe.forecast['begins'])}; 1 d is the next day. Times of films follow the "
        f"panel through days from {cold} to {warm} (forecast; shape of the day assumed), with the water that is "
        "in the garage's air."
    )


def about(replay: Replay, system: System) -> str:
    """The panel, the garage and the size of the job."""
    recipe = replay.recipe
    shape = replay.start.shape
    sides = " by ".join(ruled(side, system) for side in shape.size)
    text = f"A {panel_words(shape.name, system)} of {recipe.panel['sheet']}, {sides}"
    if damage := recipe.panel["damage"]:
        text += f"; the damage is {ruled(damage['width'], system)} by {ruled(damage['height'], system)}"
        if damage["low"]:
            text += f" and lies {Figure(damage['low'], 'low_metal', system):2} low at its deepest"
        if damage["stripped"] or damage["feather"]:
            straight = "straighten the sheet, " if damage["low"] else ""
            bare, wide = (ruled(damage[key], system) for key in ("stripped", "feather"))
            text += f". Before step 1: {straight}bare the metal {bare} around it, feather each old layer over {wide}"
    return f"{text}. The garage is at {garage_words(recipe, system)}. {len(recipe.steps)} steps."


# --- papers -----------------------------------------------------------------------------------------------


def papers(replay: Replay, system: System) -> Iterator[tuple[str, str, str, str, str]]:
    """Of each sanding step: paper, tool and hand, how much, where."""
    for entry in replay:
        if not isinstance(entry, SandEntry):
            continue
        step, tool = entry.step, entry.step.holds()
        if step.round:
            sides = f"{Figure(2 * math.sqrt(tool.area / math.pi), 'block_side', system)} across"
        else:
            sides = " by ".join(f"{Figure(side, 'block_side', system)}" for side in (tool.length, tool.width))
        hand = f"{step.tool}, {sides}, {Figure(step.force, 'force', system)}"
        if isinstance(step, WithPaper) and step.wet:
            hand += "; wet, with a drop of soap: rinse, wipe dry, let dry"
        if isinstance(step, ByHand):
            much = (
                f"{step.strokes:.0f} over each spot, {step.direction}; {entry.used.strokes:.0f} in all, "
                f"{time_words(entry.used.time)}"
            )
        else:
            much = time_words(entry.used.time)
        if (pieces := entry.used.pieces) is not None:
            count = max(1, math.ceil(pieces))
            much += f"; {count} piece{'s' * (count != 1)} of paper, changed when it cuts half as fast as fresh"
        where = place_words(step.area, system, replay.recipe.panel["shape"])
        if step.keep_off:
            where += f"; keep {ruled(step.keep_off, system)} off the body line"
        yield str(step.number), entry.used.paper, hand, much, where


# --- checks ------------------------------------------------------------------------------------------------


def checks_words(recipe: Recipe) -> str:
    """What stands over the checks."""
    if recipe.measured["wear_coefficient"] is None:
        return (
            "In brackets: what papers of one grade may take off, from least to most. Stop by the gauge, not by "
            "the count; gauge, 50 strokes, gauge makes the band your own."
        )
    return "Stop by the gauge, not by the count."


def checks(replay: Replay, entry: Entry, system: System) -> Iterator[str]:
    """What to look for after a step, with its figure where there is one."""
    if isinstance(entry, SandEntry) and entry.used.removed:
        yield from _sanded(replay.recipe, entry, system)
    if isinstance(entry, SprayEntry):
        yield from _sprayed(replay.recipe, entry, system)
    yield from entry.step.look_for(system)
    if isinstance(entry.step, Unmask) and entry.change.edge is not None:
        film, width = (
            f"{Figure(value, name, system):2}"
            for value, name in zip(entry.change.edge, ("film", "wavelength"), strict=True)
        )
        soft = entry.change.edge[1] >= SOFT_EDGE * entry.change.edge[0]
        yield f"the edge of the film rises {film} over about {width}: " + (
            "a fingernail does not catch on it" if soft else "a fingernail catches on it; feather it first"
        )
    if isinstance(entry.step, Wait) and entry.condition.film:
        yield from _waited(replay, entry)


def _waited(replay: Replay, entry: Entry) -> Iterator[str]:
    """A film that is sprayed over is flashed off, one that is sanded or left is hard."""
    follow = next((one.step for one in replay[entry.step.number :] if isinstance(one.step, Sand | Spray)), None)
    if isinstance(follow, Spray) and follow.material in COLOUR:
        yield "it is matt all over, and a finger on the masking beside it draws no thread"
    else:
        yield "a fingernail leaves no mark, where it will be sanded or does not show"


def _sanded(recipe: Recipe, entry: SandEntry, system: System) -> Iterator[str]:
    used, after = entry.used, entry.condition
    off, wear = used.mean_removed, shipped().coefficient("wear_coefficient")
    words = f"the gauge reads {Figure(off, 'film', system):2} less than before, in the mean"
    if off < LEAST_GAUGED:
        words = f"{Figure(off, 'film', system):2} less in the mean, which no gauge tells"
    elif recipe.measured["wear_coefficient"] is None:
        ends = shown_band(off * wear.low / wear, off * wear.high / wear, "film", system)
        words += f" ({ends})"
    yield words
    sanded = max(used.removed, key=lambda name: used.removed[name])
    if sanded in after.film:
        film = after.film[sanded]
        yield (
            f"{sanded} left: {Figure(film.mean, 'film', system):2} in the mean, "
            f"{Figure(film.thin, 'film', system):2} where it is thinnest"
        )
    if after.paper in ("", used.paper):
        # Filler soaks solvent up.
        how = "vacuum the dust off" if sanded == "filler" else "wipe with solvent"
        yield f"nothing but the scratches of {used.paper}: {how} and look along the light"
    else:
        yield f"scuff all over; the deeper scratches of {after.paper} stay under it: no glossy spot along the light"
    if through := {to: area for (_, to), area in entry.change.broken.items() if area > 0}:
        yield "it may be through to " + ", ".join(f"{to} ({spot_words(a, system)})" for to, a in through.items())
    if after.guide_coat > FEW:
        yield f"guide coat left on {after.guide_coat:.0%}"


def _sprayed(recipe: Recipe, entry: SprayEntry, system: System) -> Iterator[str]:
    step, laid = entry.step, entry.change.laid
    wet = f"{Figure(wet_film(recipe, step), 'wet_film', system):2}"
    dry = shown_band(laid.thin, max(laid.mean, laid.thin), "film", system)
    yield f"{wet} on the comb at once after each coat, on a place that will be sanded or does not show"
    yield f"dry, the gauge reads {dry} more than before"


def coefficients(recipe: Recipe, system: System) -> Iterator[str]:
    """Where the uncertain numbers of this plan come from."""
    for key, value in recipe.measured.items():
        known = shipped().coefficient(key)
        if value is None:
            yield f"{coefficient_words(known, system)} Measure your own to narrow it."
        else:
            yield f"{key.replace('_', ' ')}: {value:.3g}, as written in the recipe."
    yield (
        "Strokes and removal rest on the wear coefficient, and are an order of magnitude until it is measured: "
        "gauge, 50 strokes, gauge."
    )
    yield coefficient_words(shipped().coefficient("activation_energy"), system)
    yield (
        "Hardness, drying times, wet film that hangs and densities are usual values (common practice, from "
        "memory) unless the recipe gives those of a data sheet."
    )
    lost = flashed(recipe.garage["temperature"])
    yield (f"Solvent lost in flight is {lost:.0%}, the width of a fan as {SPREAD} standard deviations (assumed).")
