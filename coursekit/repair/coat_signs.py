"""Signs for or against a cause in the coats, the waits between them, and the weather.

Each function goes through the steps that reach the place and yields signs, each one figure against its limit.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from coursekit.drying.weather import DAMPEST, MARGIN_ISO, WARMEST_SHEET, dew_point
from coursekit.nomenclature import load_data
from coursekit.quantities import InputError, read
from coursekit.repair.case import SHEET_TEMPERATURE
from coursekit.repair.condition import film_of
from coursekit.repair.entry import Entry, SandEntry, SprayEntry
from coursekit.repair.evidence import GARAGE, Evidence, Sign, over
from coursekit.repair.forecast import Weather
from coursekit.repair.solvent import flashed, half_time
from coursekit.repair.vocabulary import COLOUR
from coursekit.sanding import visible_wave

SLOW_DRYING = 1.25  # times the time it takes in a warm garage (assumed)
UNEVEN = 0.15  # of the film that the thinnest twentieth may lack (assumed)
USUAL_OVERLAP = 0.5  # of the fan (published, and common practice)
FEWEST_BASE = 2  # coats (common practice)
PEEL = 30.0  # times what a strict eye sees: orange peel that anybody sees (assumed)
JUST = 0.99  # the usual itself speaks for nothing


# --- wet film and time between coats -----------------------------------------------------------------------


def hangs(at: Evidence) -> Iterator[Sign]:
    for entry in at.sprayed():
        hung, limit = entry.used.hung, at.recipe.materials[entry.step.material]["sag_limit"]
        yield Sign(
            entry.step.number,
            hung / limit,
            "{0} of wet film hung where most hung. The sag limit is {1}",
            (("wet_film", hung), ("wet_film", limit)),
        )


def _wet_of_one(at: Evidence, entry: SprayEntry) -> float:
    """Wet film of one coat by itself, m."""
    dry, solids = entry.step.dry_coat(at.recipe), entry.step.volume_solids(at.recipe)
    return dry * (solids + (1 - solids) * (1 - flashed(at.recipe.garage["temperature"]))) / solids


def one_coat_hangs(at: Evidence) -> Iterator[Sign]:
    for entry in at.sprayed():
        wet, limit = _wet_of_one(at, entry), at.recipe.materials[entry.step.material]["sag_limit"]
        ways = 2 if entry.step.direction == "cross" else 1
        yield Sign(
            entry.step.number,
            ways * wet / limit,
            "one coat by itself lays {0} wet, and the sag limit is {1}. The hand moved at {2}",
            (("wet_film", ways * wet), ("wet_film", limit), ("gun_speed", entry.step.gun_speed)),
        )


def short_flash(at: Evidence) -> Iterator[Sign]:
    for entry in at.sprayed():
        if entry.step.coats < 2:
            continue
        material, flash = entry.step.material, entry.step.flash
        needed = Weather(at.recipe).needed(entry.began, at.recipe.materials[material]["dry_to_recoat"])
        left = 0.5 ** (flash / half_time(at.recipe.garage["temperature"]))
        if needed is None:
            yield Sign(
                entry.step.number,
                math.inf,
                "in {0} a coat hardly dries",
                (("temperature", at.recipe.garage["temperature"]),),
            )
        else:
            yield Sign(
                entry.step.number,
                over(needed.middle, flash),
                "{0} between coats, and {1} are needed in "
                "this garage. About {2} of the solvent was still in the film",
                (("time", flash), ("time", needed.middle), ("remaining", left)),
            )


def _waits(at: Evidence) -> Iterator[tuple[Entry, str, float]]:
    """Each coat that went on an unsanded one: the step, what lay below, and how long it had lain."""
    laid, when = "", 0.0
    for entry in at.reaching():
        if entry.step.brings and laid:
            yield entry, laid, entry.began - when
        if material := entry.step.brings:
            laid, when = material, entry.ended
        elif entry.used.removed:
            laid = ""


def too_soon(at: Evidence) -> Iterator[Sign]:
    for entry, below, waited in _waits(at):
        needed = Weather(at.recipe).needed(entry.began - waited, at.recipe.materials[below]["dry_to_recoat"])
        ratio = math.inf if needed is None else over(needed.middle, waited)
        words = f"{{0}} after the {below}" + (
            ", which hardly cures in this cold" if needed is None else "; it may be recoated after {1} in this garage"
        )
        yield Sign(entry.step.number, ratio, words, (("time", waited), ("time", needed.middle if needed else 0.0)))


def too_late(at: Evidence) -> Iterator[Sign]:
    for entry, below, waited in _waits(at):
        until = Weather(at.recipe).needed(entry.began - waited, at.recipe.materials[below]["recoat_until"])
        if until is not None:
            yield Sign(
                entry.step.number,
                waited / until.middle,
                f"{{0}} after the {below}, not sanded between; it may be recoated until {{1}} in this garage",
                (("time", waited), ("time", until.middle)),
            )


def sanded_soft(at: Evidence) -> Iterator[Sign]:
    laid, when = "", 0.0
    for entry in at.reaching():
        if material := entry.step.brings:
            laid, when = material, entry.ended
        elif isinstance(entry, SandEntry) and laid:
            needed = Weather(at.recipe).needed(when, at.recipe.materials[laid]["dry_to_sand"])
            waited = entry.began - when
            if needed is not None:
                yield Sign(
                    entry.step.number,
                    over(needed.middle, waited),
                    f"{{0}} after the {laid}; it is hard enough after {{1}} in this garage",
                    (("time", waited), ("time", needed.middle)),
                )
            laid = ""


# --- film --------------------------------------------------------------------------------------------------


def _builds(material: str) -> tuple[float, float]:
    """Usual dry film of the thinnest coat, and of all coats together, m."""
    row = load_data("film_builds")[material.replace(" ", "-")]
    low = float(read(row["low"], "film"))
    return low / row["coats"][1], low


def thin_coat(at: Evidence) -> Iterator[Sign]:
    for entry in at.sprayed():
        each, least = film_of(at.laid(entry)).mean / entry.step.coats, _builds(entry.step.material)[0]
        yield Sign(
            entry.step.number,
            over(least, each),
            "{0} dry in a coat; usual is {1} or more",
            (("film", each), ("film", least)),
        )


def thin_base(at: Evidence) -> Iterator[Sign]:
    """All base in the place at the end of the last step that sprayed it."""
    for entry in list(at.sprayed("base"))[-1:]:
        film, least = at.after(entry).film.get("base"), _builds("base")[1]
        if film is not None:
            yield Sign(
                entry.step.number,
                over(least, film.thin),
                "{0} of base where it is thinnest; usual is {1} or more in all",
                (("film", film.thin), ("film", least)),
            )


def few_coats(at: Evidence) -> Iterator[Sign]:
    found = list(at.sprayed("base"))
    coats = sum(entry.step.coats for entry in found)
    if found:
        yield Sign(
            found[-1].step.number,
            JUST * FEWEST_BASE / coats,
            f"{coats} of base in all; usual are {FEWEST_BASE} to 3, until it hides",
        )


def uneven(at: Evidence) -> Iterator[Sign]:
    for entry in at.sprayed():
        film = film_of(at.laid(entry))
        if film.mean > 0:
            lacks = 1 - film.thin / film.mean
            yield Sign(
                entry.step.number,
                lacks / UNEVEN,
                "the thinnest twentieth lacks {0} of the mean film {1}",
                (("remaining", lacks), ("film", film.mean)),
            )


def wide_passes(at: Evidence) -> Iterator[Sign]:
    for entry in at.sprayed():
        overlap = max(entry.step.overlap, 0.0)
        yield Sign(
            entry.step.number,
            JUST * over(USUAL_OVERLAP, overlap),
            "passes overlap by {0}; usual is {1}",
            (("remaining", overlap), ("remaining", USUAL_OVERLAP)),
        )


def close_passes(at: Evidence) -> Iterator[Sign]:
    for entry in at.sprayed():
        overlap = max(entry.step.overlap, 0.0)
        yield Sign(
            entry.step.number,
            JUST * overlap / USUAL_OVERLAP,
            "passes overlap by {0}; usual is {1}",
            (("remaining", overlap), ("remaining", USUAL_OVERLAP)),
        )


def texture(at: Evidence) -> Iterator[Sign]:
    for entry in list(at.sprayed(*COLOUR))[-1:]:
        height = float(at.recipe.materials[entry.step.material]["texture"])
        limit = float(visible_wave.si(3e-3, PEEL).kind)
        yield Sign(
            entry.step.number,
            height / limit,
            "the recipe gives this paint a texture of {0}; over waves of {1} anybody sees {2}",
            (("peel_height", height), ("wavelength", 3e-3), ("amplitude", limit)),
        )


# --- weather -----------------------------------------------------------------------------------------------


def cold(at: Evidence) -> Iterator[Sign]:
    temperature = at.recipe.garage["temperature"]
    slower = half_time(temperature) / half_time(SHEET_TEMPERATURE)
    yield Sign(
        GARAGE,
        slower / SLOW_DRYING,
        "at {0} solvent leaves a film in {1} times the time it takes at {2}",
        (("temperature", temperature), ("plain", slower), ("temperature", SHEET_TEMPERATURE)),
    )


def hot(at: Evidence) -> Iterator[Sign]:
    temperature = at.recipe.garage["temperature"]
    yield Sign(
        GARAGE,
        half_time(WARMEST_SHEET) / half_time(temperature),
        "the garage is at {0}; published conditions end at {1}",
        (("temperature", temperature), ("temperature", WARMEST_SHEET)),
    )


def dew(at: Evidence) -> Iterator[Sign]:
    temperature, humidity = at.recipe.garage["temperature"], at.recipe.garage["humidity"]
    try:
        margin = temperature - float(dew_point.si(temperature, humidity))
    except InputError:
        return
    yield Sign(
        GARAGE,
        over(MARGIN_ISO, margin),
        "a panel as warm as the air is {0} over the dew point; usual is {1} or more",
        (("dew_margin", margin), ("dew_margin", MARGIN_ISO)),
    )


def damp(at: Evidence) -> Iterator[Sign]:
    humidity = at.recipe.garage["humidity"]
    yield Sign(
        GARAGE,
        humidity / DAMPEST,
        "the air is at {0} of humidity; published conditions end at {1}",
        (("humidity", humidity), ("humidity", DAMPEST)),
    )
