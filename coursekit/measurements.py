"""What a learner can measure in a garage: how, and what the readings say about an uncertain coefficient.

A measurement is a row of tables/measurements/ and the function it names: here, or in the trade whose formula it
turns around. The function takes the fields of the row in SI, floats or arrays, and gives a value for each coefficient
that the row promises: a number, whose spread follows from the errors of reading, or a Band that carries its own.
One that reads what several coefficients do together gives what was observed instead (`Seen`).
"""

from __future__ import annotations

import functools
import importlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from coursekit.belief import Observation
from coursekit.constants import ATMOSPHERE, GRAVITY
from coursekit.nomenclature import KINDS, System, load_tables, names
from coursekit.quantities import InputError, Real, in_range, read, read_choice, shown
from coursekit.sources import coefficient
from coursekit.uncertain import Z95, Band, Coefficient
from coursekit.unit_grammar import NUMBER, unit_of

Values = dict[str, Any]
DRAWS = 4000
MOST_REPEATS = 50
FAR_OFF = 1000  # a value that lies so many times outside the usual band is no measurement (assumed)
# How many repeats the stated error of reading is worth when the scatter of repeats disagrees with it (assumed).
TRUST_IN_READING = 4


@dataclass(frozen=True)
class Field:
    """One thing to write down: the row of the nomenclature it is read by, and how far a reading strays."""

    name: str
    words: str
    error: str = ""
    default: str = ""  # a coefficient that stands in when the field is not given
    optional: bool = False  # left out, it only means fewer coefficients

    def stray(self, value: np.ndarray) -> np.ndarray:
        """Half-width of the middle 90 % of readings of `value`: a share of it, or a fixed amount."""
        match = NUMBER.match(self.error)
        if match is None:
            return np.zeros_like(value)
        unit = unit_of(match[2].strip())
        assert unit is not None, self.error
        relative = match[2].strip() == "%" and names()[self.name].kind != "fraction"
        amount = float(match[1]) * unit.factor
        return amount * np.abs(value) if relative else np.full_like(value, amount)


@dataclass(frozen=True)
class Way:
    """A measurement: what it measures, how, what to write down and which coefficients it yields."""

    key: str
    title: str
    measures: str
    minutes: float
    steps: tuple[str, ...]
    caution: str
    fields: Mapping[str, Field]
    gives: tuple[str, ...]
    source: str
    function: str

    @property
    def compute(self) -> Callable[..., Values | Seen]:
        """The function of the row, fetched when it is needed: a trade stands above this module."""
        module, name = self.function.rsplit(".", 1)
        found: Callable[..., Values | Seen] = getattr(importlib.import_module(f"coursekit.{module}"), name)
        return found

    def how(self, system: System = "metric") -> str:
        """How to do it, in words, with what to write down."""
        lines = [f"{self.title} (about {self.minutes:g} minutes)", f"Measures {self.measures}.", ""]
        lines += [f"{number}. {step}" for number, step in enumerate(self.steps, 1)]
        lines += ["", "Write down:"]
        for key, field in self.fields.items():
            unit = names()[field.name].unit(system)
            spare = " – may be left out" if field.default or field.optional else ""
            lines.append(f"  {key}: {field.words}" + (f", in {unit}" if unit else "") + spare)
        return "\n".join(lines + (["", f"Caution: {self.caution}"] if self.caution else []))


class Estimate(NamedTuple):
    """What a measurement says of one coefficient: SI value and half-width of its 90 % band as a share of it."""

    value: float
    spread: float


class Seen(NamedTuple):
    """Answers of a call that were read, the row of the nomenclature they have, and what does not fit (then none)."""

    observed: tuple[Observation, ...]
    name: str
    contradiction: str


# --- one function a measurement ----------------------------------------------------------------------------


def difference(more: Real, less: Real, field: str, words: str) -> Any:
    """`more` minus `less`; refused when the readings say the opposite."""
    if np.mean(more) <= np.mean(less):
        raise InputError(field, f"is not {words}.", "Check the two readings; they may be swapped.", kind="form")
    return more - less


def delivery(paint: Real, time: Real) -> Values:
    """Fluid delivery from the paint caught in a cup. Source: common-practice."""
    return {"fluid_delivery": paint / time}


def delivery_by_weight(gun_before: Real, gun_after: Real, density: Real, time: Real) -> Values:
    """Fluid delivery from the weight that the gun lost. Source: common-practice."""
    return {"fluid_delivery": difference(gun_before, gun_after, "gun_after", "less than gun_before") / density / time}


def transfer(foil_before: Real, foil_after: Real, gun_before: Real, gun_after: Real, mass_solids: Real) -> Values:
    """Solids on the card over solids that left the gun (the definition of ASTM D5327). Source: astm-d5327."""
    landed = difference(foil_after, foil_before, "foil_after", "more than foil_before")
    sprayed = difference(gun_before, gun_after, "gun_after", "less than gun_before") * mass_solids
    return {"transfer_efficiency": landed / sprayed}


def force(scale: Real) -> Values:
    """Force on a scale that shows kilograms. Source: derived-here."""
    return {"hand_force": scale * GRAVITY}


def comb(wetted_tooth: Real, dry_tooth: Real) -> Values:
    """Wet film between the highest wetted tooth and the next, dry one. Source: organic-finishing-2012."""
    difference(dry_tooth, wetted_tooth, "dry_tooth", "higher than wetted_tooth")
    return {"pass_film": Band(wetted_tooth, (wetted_tooth + dry_tooth) / 2, dry_tooth)}


def receiver(receiver_volume: Real, from_pressure: Real, to_pressure: Real, time: Real) -> Values:
    """Free air that went into the tank, if it filled slowly enough to stay near the garage's temperature.

    Source: derived-here.
    """
    rise = difference(to_pressure, from_pressure, "to_pressure", "more than from_pressure")
    return {"compressor_delivery": receiver_volume * rise / ATMOSPHERE / time}


@functools.lru_cache(maxsize=1)
def ways() -> Mapping[str, Way]:
    """Every measurement by its name."""
    found = {}
    for key, row in load_tables("measurements").items():
        row = dict(row, steps=tuple(row["steps"]), gives=tuple(row["gives"]))
        found[key] = Way(key=key, **{**row, "fields": {k: Field(**f) for k, f in row["fields"].items()}})
    return found


# --- from readings to an estimate --------------------------------------------------------------------------


def read_field(way: Way, key: str, value: Any) -> Any:
    """One field as SI: an array with a value for each repeat, or a word."""
    field = way.fields[key]
    row = names()[field.name]
    if row.kind == "choice":
        return read_choice(value, row.options, key)
    if row.kind not in KINDS:
        return value
    values = np.atleast_1d(np.asarray(read(value, field.name, key), dtype=float))
    if values.ndim != 1 or not 0 < len(values) <= MOST_REPEATS:
        raise InputError(
            key, f"takes one reading or a list of up to {MOST_REPEATS}.", "Give the readings in a row.", kind="count"
        )
    return values


def estimate(way: Way, readings: Mapping[str, Any], known: Mapping[str, Coefficient]) -> dict[str, Estimate] | Seen:
    """What the readings (SI, by field) say, with the spread that the errors of reading and the repeats give.

    Fields left out are taken from the coefficients that are `known`, band and all, or the course's own.
    """
    repeats = {key: len(v) for key, v in readings.items() if isinstance(v, np.ndarray)}
    count = max(repeats.values(), default=1)
    for key, length in repeats.items():
        if length not in (1, count):
            raise InputError(
                key,
                f"has {length} readings where another field has {count}.",
                "Give one reading, or one for each repeat.",
                kind="list",
            )
    random = np.random.default_rng(1)
    plain, drawn = dict(readings), dict(readings)
    for key, field in way.fields.items():
        if key not in readings:
            if field.optional:
                continue
            if not field.default:
                raise InputError(key, "is missing.", f"Give the {field.words}.", kind="missing")
            stand_in = known.get(field.default) or coefficient(field.default)
            plain[key], drawn[key] = float(stand_in), stand_in.at(random.standard_normal(DRAWS))[:, None]
        elif isinstance(value := readings[key], np.ndarray):
            noise = random.standard_normal((DRAWS, len(value))) / Z95
            drawn[key] = value + field.stray(value) * noise
    with np.errstate(all="ignore"):  # a reading may make it infinite; that is refused below
        middle = way.compute(**plain)
    if isinstance(middle, Seen):
        return middle
    with np.errstate(all="ignore"):  # a draw may cross zero; `_spread` refuses what is left of it
        draws = way.compute(**drawn)
    assert not isinstance(draws, Seen)
    found = {}
    for key, values in middle.items():
        try:
            found[key] = _estimate(key, values, np.asarray(draws[key]), f"Check the units and readings of {way.key}.")
        except InputError as error:  # it is about no reading alone: it names what they come to
            raise error.at(where=(key,), place=names()[coefficient(key).name].label) from None
    return found


def _estimate(key: str, values: Any, draws: np.ndarray, remedy: str) -> Estimate:
    """What readings come to of one coefficient; `remedy` says what to do where that cannot be."""
    usual = coefficient(key)
    row = names()[usual.name]
    value = float(np.mean(values.middle if isinstance(values, Band) else values))
    possible = np.isfinite(value) and usual.low / FAR_OFF <= value <= usual.high * FAR_OFF
    if possible:
        in_range(row.key, value, row.low, row.high, remedy)
    if not possible or (usual.spread == "share" and not 0.001 < value < 0.99):
        raise InputError(
            row.key, f"comes to {shown(value, row.key)}, which is impossible.", remedy, kind="impossible"
        )
    if isinstance(values, Band):
        spread = float(np.mean(values.high - values.low)) / 2 / value
    else:
        spread = _spread(row.key, value, np.atleast_1d(values), draws)
    return Estimate(value, float(f"{spread:.3g}"))  # as many digits as the file keeps


def _spread(key: str, value: float, values: np.ndarray, draws: np.ndarray) -> float:
    """Half-width of the 90 % band, as a share: errors of reading, and what repeats scatter beyond them."""
    draws = np.atleast_2d(draws.T).T
    reading = _half_width(draws.mean(axis=1)) / value
    extra = 0.0
    if (count := len(values)) > 1:
        once = _half_width(draws[:, 0]) / Z95
        surplus = float(np.var(values, ddof=1)) - once**2
        pooled = max(surplus, 0.0) * (count - 1) / (count - 1 + TRUST_IN_READING)
        extra = 2.0 * (pooled / count) ** 0.5 / value  # 2: Student's t at five degrees of freedom
    spread = float(np.hypot(reading, extra))
    if not np.isfinite(spread) or spread > 1:
        raise InputError(
            key,
            "is lost in the errors of reading.",
            "Measure longer, or more of it, and try again.",
            kind="impossible",
        )
    return spread


def _half_width(draws: np.ndarray) -> float:
    low, high = np.percentile(draws, [5, 95])
    return float(high - low) / 2
