"""What a dry-film gauge and a wet-film comb say."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coursekit.quantities import InputError, Real, Value, Values, public
from coursekit.verdicts import first_that_holds

SPOT_READINGS = 3  # the least that make a spot
SPOT_LOW, SPOT_HIGH = 0.8, 1.2  # of the least and the most film asked for
MICRON, MIL = 1e-6, 25.4e-6
COMBS = {
    "metric": MICRON * np.r_[25:151:25, 200:601:50],
    "us": MIL * np.r_[1:7, 8:25:2],
}


class GaugeAverage(NamedTuple):
    spots: Value
    mean: Value
    lowest: Value
    highest: Value
    spread: Value


class AcceptanceLimits(NamedTuple):
    lowest_spot: Value
    highest_spot: Value


class Acceptance(NamedTuple):
    accepted: Value
    thin_spots: Value
    thick_spots: Value
    mean: Value
    verdict: Value


class CombReading(NamedTuple):
    low: Value
    middle: Value
    high: Value


class CombTeeth(NamedTuple):
    wetted: Value
    dry: Value


@public(gives=dict.fromkeys(("spots", "mean", "lowest", "highest"), "dry_film") | {"spread": "film_spread"})
def gauge_average(readings: Values) -> GaugeAverage:
    """Spots, mean and spread of an area from its gauge readings.

    readings: (spots, 3 or more) per spot at least three within 4 cm; a flat list is one spot
    Gives spots (spots,), mean, lowest and highest spot in m, and spread: the standard deviation of the spots, none
    for one spot. Raises InputError for fewer than three readings a spot, RangeError out of that range.
    Holds for about five spots per 10 m²; read an odd one again and drop it if it does not repeat. Source: sspc-pa-2.
    """
    readings = np.asarray(readings, dtype=float)
    if readings.ndim == 0 or readings.shape[-1] < SPOT_READINGS:
        raise InputError(
            "readings",
            "a spot needs at least three readings.",
            'Give a list for each spot: [["62 µm", "60 µm", "65 µm"], …].',
            kind="count",
        )
    spots = np.atleast_2d(readings).mean(axis=-1)
    spread = spots.std(axis=-1, ddof=1) if spots.shape[-1] > 1 else None
    return GaugeAverage(spots, spots.mean(axis=-1), spots.min(axis=-1), spots.max(axis=-1), spread)


def _ordered(least_film: Real, most_film: Real) -> None:
    if np.any(np.asarray(least_film) > np.asarray(most_film)):
        raise InputError("least_film", "is more than most_film.", "Give the lower figure first.", kind="order")


@public(gives={"lowest_spot": "dry_film", "highest_spot": "dry_film"})
def acceptance_limits(least_film: Real, most_film: Real) -> AcceptanceLimits:
    """How far a single spot may stray from the film asked for.

    Gives lowest_spot and highest_spot (...) m. Raises InputError for ends in the wrong order,
    RangeError out of those ranges.
    Holds for the usual level of acceptance (level 3). Source: sspc-pa-2.
    """
    _ordered(least_film, most_film)
    return AcceptanceLimits(SPOT_LOW * least_film, SPOT_HIGH * most_film)


@public(gives={"mean": "dry_film"})
def gauge_acceptance(readings: Values, least_film: Real, most_film: Real) -> Acceptance:
    """Whether an area's film is what the sheet asks for: each spot 0.8 to 1.2 of the ends, the mean between them.

    readings: (spots, 3 or more) per spot at least three within 4 cm; a flat list is one spot
    Gives accepted, the number of thin and of thick spots, the mean in m and the verdict in words.
    Raises InputError for too few readings or ends in the wrong order, RangeError out of those ranges.
    Holds for the usual level of acceptance (level 3); single readings may stray. Source: sspc-pa-2.
    """
    average = gauge_average.si(readings)
    limits = acceptance_limits.si(least_film, most_film)
    thin = np.sum(average.spots < limits.lowest_spot * (1 - 1e-9), axis=-1)
    thick = np.sum(average.spots > limits.highest_spot * (1 + 1e-9), axis=-1)
    low = average.mean < least_film * (1 - 1e-9)
    high = average.mean > most_film * (1 + 1e-9)
    verdict = first_that_holds(
        (thin > 0, "too thin in places: a spot is under 0.8 of the least film"),
        (thick > 0, "too thick in places: a spot is over 1.2 of the most film"),
        (low, "too thin on the whole: the mean is under the least film"),
        (high, "too thick on the whole: the mean is over the most film"),
        otherwise="as asked for",
    )
    accepted = ~((thin > 0) | (thick > 0) | low | high)
    return Acceptance(bool(accepted) if accepted.ndim == 0 else accepted, thin, thick, average.mean, verdict)


@public(gives=dict.fromkeys(("low", "middle", "high"), "wet_film"))
def comb_reading(wetted_tooth: Real, dry_tooth: Real) -> CombReading:
    """Wet film that a comb says: between the highest wetted tooth and the next dry one.

    Gives low, middle and high (...) m. Raises InputError for teeth in the wrong order, RangeError out of range.
    Holds at once after the pass, on a flat smooth place: fast solvent makes it read low. It steers the spraying, it
    does not prove the dry film. Source: organic-finishing-2012, p. 310; mil-hdbk-1110, §10.3.9.
    """
    if np.any(np.asarray(wetted_tooth) >= np.asarray(dry_tooth)):
        raise InputError(
            "dry_tooth",
            "is not higher than the wetted one.",
            "Give the highest wetted tooth, then the next higher one, dry.",
            kind="order",
        )
    return CombReading(wetted_tooth + 0 * dry_tooth, (wetted_tooth + dry_tooth) / 2, dry_tooth + 0 * wetted_tooth)


@public(gives={"wetted": "wetted_tooth", "dry": "dry_tooth"})
def comb_teeth(wet_film: Real, comb: str = "metric", teeth: Values | None = None) -> CombTeeth:
    """The tooth to find wetted and the one to find dry for a wanted wet film.

    wet_film: wanted
    comb: metric (25 µm steps to 150, then 50) or us (1 mil steps to 6, then 2)
    teeth: the gaps of your own comb, instead
    Gives wetted and dry (...) m; wetted is 0 when the film is under the first tooth. Raises InputError for a film
    over the last tooth, RangeError out of those ranges.
    Holds for the comb whose teeth are given; combs differ in steps. Source: comb-steps; organic-finishing-2012.
    """
    gaps = COMBS[comb] if teeth is None else np.unique(np.atleast_1d(teeth))
    if np.any(np.asarray(wet_film) * (1 + 1e-9) >= gaps[-1]):
        last = f"{gaps[-1] / MICRON:.4g} µm ({gaps[-1] / MIL:.3g} mil)"
        raise InputError(
            "wet_film",
            f"is not under the last tooth, {last}.",
            "Use a comb that goes higher, or lay the film in more coats.",
            kind="no solution",
        )
    above = np.searchsorted(gaps, np.asarray(wet_film) * (1 + 1e-9), side="right")
    return CombTeeth(np.r_[0.0, gaps][above], gaps[above])
