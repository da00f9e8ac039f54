"""Where no plan is made: what must not be breathed, burnt or left bare, and what would make a plan possible."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

from coursekit.constants import FREEZING
from coursekit.drying.cure import COLDEST, WARMEST
from coursekit.drying.weather import COLDEST_SHEET, WARMEST_SHEET, dew_point, humidity_at
from coursekit.nomenclature import System, number_of
from coursekit.quantities import InputError
from coursekit.repair.damage import PROMOTER, Damage
from coursekit.repair.forecast import Weather
from coursekit.repair.hardeners import hardener_of
from coursekit.repair.outline import is_polished_out, is_primed_first, needs_filler, paper, stages
from coursekit.repair.readiness import weather_reasons
from coursekit.repair.recipe import Recipe
from coursekit.repair.rules import rule
from coursekit.repair.words import Amount, in_words

DRY = 40.0  # K under the air: the dew point of air so dry that no margin matters


class Refusal(NamedTuple):
    """Why no plan is made, and what would make one possible."""

    words: str  # {0}, {1}, … stand for the figures
    possible: str
    figures: tuple[Amount, ...] = ()  # of the words
    goals: tuple[Amount, ...] = ()  # of what would make one possible
    answer: str = ""  # the answer that would, a key of ANSWERS

    def text(self, system: System = "metric", form: bool = False) -> str:
        """The refusal in words; where to answer otherwise is told for the file, or for the `form`."""
        told = f"{in_words(self.words, self.figures, system)}. {in_words(self.possible, self.goals, system)}"
        return f"{told} {ANSWERS[self.answer][form]}" if self.answer else told


ANSWERS = {  # where else to answer: in the file, in the form
    "booth": (
        'For a booth write spray_at = "booth" in [garage].',
        "For a booth answer “booth” under Garage, sprayed in a booth or at home.",
    ),
    "buy": (
        'To have it bought write buy = "yes" in [stock].',
        "To have it bought answer “yes” under Stock, buy what is missing.",
    ),
}


def refusals(damage: Damage, bare: Recipe, sprays: bool) -> tuple[Refusal, ...]:
    """Every reason against a plan; `bare` is its recipe without steps, `sprays` says whether paint is needed."""
    found = [*_depth(damage), *_papers(damage), *_cold(damage), *_cold_forecast(bare)]
    if sprays:
        found += [*_stock(damage)]
        if damage.garage.spray_at == "home":
            found += [*_breathing(damage, bare), *_extraction(damage), *_weather(bare)]
    return tuple(found)


def wanted_materials(damage: Damage) -> tuple[str, ...]:
    """The films that the damage asks for, from the sheet up."""
    if damage.reaches == "clear":
        return ("clear",)
    colour = ("surfacer", "base", "clear")
    if needs_filler(damage):
        return ("epoxy primer", "filler", *colour) if is_primed_first(damage) else ("filler", *colour)
    bare = damage.reaches in ("bare", "old filler") and damage.panel.made_of != "plastic"
    return ("epoxy primer", *colour) if bare else colour


def _depth(damage: Damage) -> Iterator[Refusal]:
    most = number_of(rule("coats.filler").more["most"])
    if damage.low > most:
        yield Refusal(
            f"the metal lies {{0}} low, and {rule('coats.filler').said()}: more of it shrinks and cracks",
            "Have the metal straightened until it lies less low, and give the new depth.",
            (("low_metal", damage.low),),
        )


def _papers(damage: Damage) -> Iterator[Refusal]:
    """A stage for which neither the wanted paper nor a stand-in is there."""
    for stage, place in stages(damage):
        if paper(damage, stage, place) is None:
            row = rule(f"papers.{stage}")
            wanted = row.more["wanted"][place]
            yield Refusal(
                f"none of the papers that are there serves where {wanted} is wanted ({row.said()})",
                f"Buy {wanted}.",
                answer="buy",
            )


def _stock(damage: Damage) -> Iterator[Refusal]:
    there = damage.stock.materials
    if there is None or damage.stock.buy == "yes":
        return
    for material in wanted_materials(damage):
        if material not in there:
            why = f": {rule('ground.steel').why}" if material == "epoxy primer" else ""
            yield Refusal(
                f"{material} is needed and is not there{why}",
                f"Buy {material}.",
                answer="buy",
            )
    if damage.panel.made_of == "plastic" and damage.reaches == "bare" and PROMOTER not in there:
        ground = rule("ground.plastic")
        yield Refusal(f"{ground.said()}: {ground.why}", f"Buy {PROMOTER}.", answer="buy")


def _cold(damage: Damage) -> Iterator[Refusal]:
    """The own garage, where films harden; who sprays in a booth may harden filler there as well."""
    temperature = damage.garage.temperature
    needed = damage.garage.spray_at == "home" and not is_polished_out(damage)
    if needed and not COLDEST <= temperature <= WARMEST:
        yield Refusal(
            "at {0} films hardly cure as data sheets say; cure is known from {1} to {2}",
            "Hold the garage in that range without a flame while anything cures, wait for another day, or do all "
            "of it in a heated shop.",
            (("temperature", temperature), ("temperature", COLDEST), ("temperature", WARMEST)),
            answer="booth",
        )


def _cold_forecast(bare: Recipe) -> Iterator[Refusal]:
    """A forecast in which the panel is never warm enough to cure."""
    if bare.forecast is not None and Weather(bare).needed(0.0, 3600.0) is None:
        yield Refusal(
            "by the forecast the panel is never over {0}, from which cure is known: no wait is long enough",
            "Hold the garage warm without a flame while anything cures and leave the forecast out, or wait for "
            "warmer days.",
            (("temperature", COLDEST),),
        )


def _breathing(damage: Damage, bare: Recipe) -> Iterator[Refusal]:
    holds = [name for name in wanted_materials(damage) if name != "filler" and hardener_of(bare, name).isocyanate]
    if holds and damage.garage.supplied_air != "yes":
        yield Refusal(
            f"{' and '.join(holds)} {'is' if len(holds) == 1 else 'are'} treated as containing isocyanate, and there "
            f"is no supplied air: {rule('home.isocyanate').why}",
            "Have them sprayed in a painter's booth. Or work with supplied air from a system of its own, not from "
            "the gun's compressor, and keep everybody else out. Or take materials whose data sheet names another "
            "hardener.",
            answer="booth",
        )


def _extraction(damage: Damage) -> Iterator[Refusal]:
    if damage.garage.extraction != "yes":
        yield Refusal(
            f"no extraction is known in this garage: {rule('home.extraction').why}",
            "A fan that makes no sparks, drawing at the floor, with filters and fresh air let in opposite; "
            "or a painter's booth.",
            answer="booth",
        )


def _weather(bare: Recipe) -> Iterator[Refusal]:
    if bare.forecast is not None:
        return  # the plan checks know the hour
    reasons = tuple(weather_reasons(bare))
    if not reasons:
        return
    warm = _fair(bare)
    held = (
        "Dry the air of the garage and hold it between the two without a flame"
        if warm is None
        else "Hold the garage at {0} or a little more without a flame, with no water let into its air"
    )
    for reason in reasons:
        yield Refusal(
            reason.words,
            f"{held}, wait for another day, or have it sprayed in a booth.",
            reason.figures,
            () if warm is None else (("temperature", warm),),
        )


def _fair(bare: Recipe) -> float | None:
    """How warm (K) the garage must be held, with the water that is in its air now, for no weather reason to stand."""
    air = bare.garage["temperature"]
    try:
        dew = float(dew_point.si(air, bare.garage["humidity"]))
    except InputError:
        dew = air - DRY
    for degrees in range(math.ceil(COLDEST_SHEET - FREEZING), math.floor(WARMEST_SHEET - FREEZING) + 1):
        warm = FREEZING + degrees
        humid = float(humidity_at.si(warm, dew)) if dew < warm else 1.0
        held = {**bare.garage, "temperature": warm, "humidity": humid}
        if warm >= air and not any(weather_reasons(replace(bare, garage=held))):
            return warm
    return None
