"""The gun card of the job sheet: what to set, how to move, what to expect, and what the computed gun says to it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import combinations
from typing import Any, NamedTuple

import numpy as np

from coursekit.figure import Figure
from coursekit.garage_entry import MadeWith
from coursekit.measured import Measured
from coursekit.mixing.ratio import Ratio, read_ratio
from coursekit.nomenclature import System
from coursekit.quantities import InputError, shown_band
from coursekit.repair.entry import SprayEntry
from coursekit.repair.playing import Replay
from coursekit.repair.recipe import Recipe
from coursekit.repair.solvent import flashed, spraying_air
from coursekit.repair.steps import Spray
from coursekit.repair.vocabulary import GUN
from coursekit.repair.words import time_words
from coursekit.sources import coefficient
from coursekit.spraying.choose import sampled
from coursekit.spraying.setting import SprayResult, spray_setting
from coursekit.uncertain import Band

CUP_TIME = 15.0  # s of the cup test
DRAWS = 500
USUAL = {"gun_distance": 0.175, "trigger": 1.0}  # what a hand does when the recipe says nothing else
USUAL_AIR = {"gun_inlet_pressure": 2e5, "fan_opening": 1.0, "trigger": 1.0}  # common practice, to compare with
WORDS = {
    "turns": "fluid knob {} turns out",
    "gun_inlet_pressure": "air {} at the gun, trigger pulled",
    "fan_opening": "fan {} open",
    "trigger": "trigger pulled {}",
    "gun_distance": "{} from the panel",
    "tip_bore": "tip {}",
    "kinematic_viscosity": "paint of {}",
}
FROM_SHEET = "Fluid tip, air and fan: start from the data sheets of gun and paint."
ADVICE = (
    "Distance 150 to 200 mm (6 to 8 in), square to the panel and moved parallel to it (common practice).",
    "Trigger on before the panel begins, off after it ends. Set the second coat half a pass off the first "
    "(common practice).",
    "Spray a card or a taped-up sheet first, look at the pattern, turn the fan and look again.",
)
THIN_RECOAT = (
    "Thin recoat: air low, about 12 psi (0.8 bar) at the gun, fluid about two turns out from closed, fan a "
    "little narrow, trigger not pulled all the way (common). More air when it spits."
)
NOT_MEASURED = (
    "Set by the cup and the comb, not by these bands: nothing of this gun was measured for this recipe, and they are "
    "as wide as guns differ. Paint into a cup for 15 s pins the delivery, a fan on a card its width, a weighed card "
    "what lands."
)


class Predicted(NamedTuple):
    """What the computed gun says to a setting, as bands: m³/s, share caught where it is aimed, m dry each coat."""

    delivery: Band
    captured: Band
    film: Band


def gun_of(recipe: Recipe, step: Spray) -> dict[str, float]:
    """What is set at the gun in a step: what the step says, else what the recipe says of its gun."""
    given = {key: recipe.gun[key] if (own := getattr(step, key)) is None else own for key in GUN}
    return {key: value for key, value in given.items() if value is not None}


def missing(recipe: Recipe, step: Spray) -> tuple[str, ...]:
    """What a prediction still asks for."""
    given = gun_of(recipe, step) | USUAL
    return tuple(key for key in GUN if key not in given)


def mix_ratio(recipe: Recipe, step: Spray) -> Ratio:
    """The parts of a step's mix, its own reducer as the last part."""
    ratio = read_ratio(recipe.materials[step.material]["ratio"])
    if not step.reduction:
        return ratio
    parts = (*ratio.parts, step.reduction * sum(ratio.parts))
    return Ratio(parts, ":".join(f"{part:.3g}" for part in parts))


def densities_of(recipe: Recipe, step: Spray) -> tuple[float, ...]:
    """Density of each part of a step's mix, kg/m³."""
    row = recipe.materials[step.material]["densities"]
    return (*row, *[float(coefficient("volatile_density"))] * (len(mix_ratio(recipe, step).parts) - len(row)))


def computed(replay: Replay, step: Spray, drawn: Mapping[str, Any], **changed: Any) -> SprayResult:
    """A step's setting, with what is `changed`, run through the computed gun on the drawn coefficients."""
    recipe = replay.recipe
    shares, densities = mix_ratio(recipe, step).shares, densities_of(recipe, step)
    x0, x1, y0, y1 = step.area or (0.0, replay.start.shape.size[0], 0.0, replay.start.shape.size[1])
    sides = (y1 - y0, x1 - x0) if step.direction == "across" else (x1 - x0, y1 - y0)
    return spray_setting.si(
        **{**USUAL, **gun_of(recipe, step), **changed},
        gun_speed=step.gun_speed,
        overlap=min(max(step.overlap, 0.0), 0.95),
        density=sum(float(share) * density for share, density in zip(shares, densities, strict=True)),
        volume_solids=step.volume_solids(recipe),
        panel_width=sides[0],
        panel_height=sides[1],
        air_temperature=spraying_air(recipe.garage["temperature"]),
        **drawn,
    )


def predicted(replay: Replay, step: Spray) -> Predicted:
    """The bands of a step whose gun is given. Raises InputError where the gun cannot be reckoned with."""
    found = computed(replay, step, own_gun(replay.recipe, step))
    film = found.dry_film * found.pitch / step.pitch  # the hand keeps the step of the recipe
    return Predicted(
        *(
            Band(*np.percentile(values, [5, 50, 95]).tolist())
            for values in (found.fluid_delivery, found.captured, film)
        )
    )


def own_gun(recipe: Recipe, step: Spray) -> dict[str, Any]:
    """The gun's uncertain numbers, drawn: as the measurements leave them that the recipe carries, for this tip."""
    return sampled(None if recipe.measurements is None else _measured(recipe, step).using(spray_setting), DRAWS)


def _measured(recipe: Recipe, step: Spray) -> Measured:
    assert recipe.measurements is not None
    tip = gun_of(recipe, step).get("tip_bore")
    return recipe.measurements.with_(MadeWith(at={} if tip is None else {"tip_bore": tip}))


def measured_words(replay: Replay, steps: list[Spray]) -> str:
    """On what the bands rest: the measurements that the recipe carries, or none."""
    if replay.recipe.measurements is None:
        return NOT_MEASURED
    told = dict.fromkeys(
        f"{entry.way.title[0].lower()}{entry.way.title[1:]} ({entry.date:%Y-%m-%d})"
        for entry in replay.recipe.measurements.entries
    )
    other = dict.fromkeys(words for step in steps for words in _measured(replay.recipe, step).carried())
    return " ".join([f"These bands are of your own gun, as measured: {'; '.join(told)}.", *other])


# --- in words ----------------------------------------------------------------------------------------------


def cards(replay: Replay, system: System) -> Iterator[tuple[str, str, str, str]]:
    """Of each spraying step: what to set, how to move, what to expect."""
    for entry in replay:
        if not isinstance(entry, SprayEntry):
            continue
        step = entry.step
        film, wet = step.dry_coat(replay.recipe), wet_film(replay.recipe, step)
        yield (
            f"{step.number} {step.material}, {step.coats} coat{'s' * (step.coats > 1)}",
            _set_words(replay.recipe, step, system),
            _move_words(entry, system),
            f"{Figure(wet, 'wet_film', system):2} on the comb, {Figure(film, 'film', system):2} dry each coat",
        )


def wet_film(recipe: Recipe, step: Spray) -> float:
    """What a comb is to read of each coat, m."""
    film = step.dry_coat(recipe)
    return film * (1 + (1 / step.volume_solids(recipe) - 1) * (1 - flashed(recipe.garage["temperature"])))


def _set_words(recipe: Recipe, step: Spray, system: System) -> str:
    cup = step.fluid_delivery * CUP_TIME
    told = [
        f"fluid: {Figure(cup, 'paint_volume', system):2} in {Figure(CUP_TIME, 'time', system)} into a cup",
        f"fan {Figure(step.fan_width, 'width', system):2} wide on the card",
    ]
    told += [WORDS[key].format(f"{Figure(value, key, system)}") for key, value in gun_of(recipe, step).items()]
    return "; ".join(told)


def _move_words(entry: SprayEntry, system: System) -> str:
    step = entry.step
    passes = entry.used.strokes / step.coats
    seconds = entry.used.trigger_time / max(entry.used.strokes, 1)
    words = (
        f"{Figure(step.gun_speed, 'gun_speed', system):2}, {Figure(seconds, 'time', system):2} a pass; "
        f"{passes:.0f} passes, "
        f"{Figure(step.pitch, 'pitch', system)} apart ({step.overlap:.0%} overlap), "
        f"{step.direction}"
    )
    if step.wider:
        words = f"{words}; each coat ends {Figure(step.wider, 'place', system):2} beyond the one before"
    return f"{words}; {time_words(step.flash)} between coats" if step.coats > 1 else words


def notes(replay: Replay, system: System) -> Iterator[str]:
    """What the computed gun says to each setting, and where a gun has to be set by the data sheet."""
    sprayed = [entry.step for entry in replay if isinstance(entry, SprayEntry)]
    if not sprayed:
        return
    given = [step for step in sprayed if gun_of(replay.recipe, step)]
    if len(given) < len(sprayed):
        yield FROM_SHEET
    for step in given:
        yield f"Step {step.number}: {_predicted_words(replay, step, system)}"
    if any(not missing(replay.recipe, step) for step in given):
        yield measured_words(replay, given)
    yield from ADVICE
    if any(
        again.coats == 1 and again.brings == "surfacer" == first.brings for first, again in combinations(sprayed, 2)
    ):
        yield THIN_RECOAT


def _predicted_words(replay: Replay, step: Spray, system: System) -> str:
    lacks = missing(replay.recipe, step)
    if lacks:
        return f"for what the computed gun says to it, write {', '.join(lacks)} under [gun] as well."
    try:
        found = predicted(replay, step)
    except InputError as error:
        return f"the computed gun cannot tell – {error}"
    film = step.dry_coat(replay.recipe)
    rows = (
        ("delivers", "fluid_delivery", found.delivery, step.fluid_delivery),
        ("catches on the panel where it is aimed", "transfer_efficiency", found.captured, step.captured),
        ("lays dry each coat", "film", found.film, film),
    )
    told = []
    for words, name, band, planned in rows:
        outside = "" if band.low <= planned <= band.high else ", outside the band"
        told.append(
            f"{words} {shown_band(band.low, band.high, name, system)} (plan: "
            f"{Figure(planned, name, system):2}{outside})"
        )
    return f"set so, the computed gun {'; '.join(told)}."
