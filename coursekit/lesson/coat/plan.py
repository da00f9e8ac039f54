"""A plan for one real coat: the learner's own entries read, and what follows from them. No widget is known here.

plan = plan_coat({"area": "1.2 m²", "film": "90 µm"})   # what is not given has its start value
plan.batch_one.high, plan.wet_film, plan.steps
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, NamedTuple

from coursekit import datasheet, film, mixing, quantities, sanding
from coursekit.belief import band_si
from coursekit.film.gauges import CombTeeth
from coursekit.lesson.content.shared import sanding_hand
from coursekit.lesson.learner import own, typed_text, unit_system
from coursekit.lesson.learner.typed_text import with_clear_unit
from coursekit.nomenclature import KINDS, System, names
from coursekit.quantities import InputError, one_value, read, read_choice
from coursekit.sanding.progression import SequenceStep, judged
from coursekit.uncertain import Band, Coefficient, Spread

MATERIALS = ("surfacer", "base", "clear")
UNDER = ("old paint", "surfacer", "filler", "base", "clear", "fresh clear", "steel")
LONGEST = 120  # characters of one entry
_TO = re.compile(r"\s+to\s+|\s*(?:\.\.+|–|—)\s*")


class CoatEntry(NamedTuple):
    """One entry: the row of the nomenclature it is read by, its words, what stands there at first."""

    name: str
    label: str
    start: str = ""
    band: bool = False  # "50 to 75 %" may be written
    optional: bool = False
    options: tuple[str, ...] = ()
    start_us: str = ""  # a round one for those who measure so


class Group(NamedTuple):
    title: str
    fields: dict[str, CoatEntry]


GROUPS = (
    Group(
        "The coat",
        {
            "title": CoatEntry("", "name of this sheet", "Surfacer, left rear door"),
            "area": CoatEntry("area", "area to be coated", "1.2 m²", start_us="13 sq ft"),
            "film": CoatEntry("dry_film", "dry film wanted, all coats together", "90 µm", start_us="3.6 mil"),
            "coats": CoatEntry("coats", "in how many coats", "3"),
            "volume_solids": CoatEntry("volume_solids", "volume solids, ready to spray", band=True),
            "transfer_efficiency": CoatEntry("transfer_efficiency", "share of the solids that lands", band=True),
        },
    ),
    Group(
        "The mix",
        {
            "ratio": CoatEntry("ratio", "mixing ratio by volume", "4:1:1"),
            "densities": CoatEntry("densities", "density of each part, with commas", optional=True),
            "reserve": CoatEntry("reserve", "reserve for cup, strainer and gun", "10 %"),
            "pot_life": CoatEntry("reference", "pot life on the sheet", "60 min", optional=True),
            "pot_life_temperature": CoatEntry("reference_temperature", "temperature it is given for", "20 °C"),
            "temperature": CoatEntry("temperature", "temperature that day", "24 °C", start_us="75 °F"),
        },
    ),
    Group(
        "The papers",
        {
            "papers": CoatEntry("grades", "papers in order, with the word coat", "P180, P320, coat, P400, P600"),
            "under": CoatEntry("", "what is sanded before the coat", "old paint", options=UNDER),
            "film_under": CoatEntry("film", "film that may be sanded", "100 µm", start_us="4 mil"),
            "material": CoatEntry("", "what this coat is", "surfacer", options=MATERIALS),
            "force": CoatEntry("force", "force of the hand on the block", band=True),
            "block": CoatEntry("block", "sanding block", "70 x 125 mm", start_us="2.75 x 5 in"),
        },
    ),
)
FIELDS: dict[str, CoatEntry] = {key: field for group in GROUPS for key, field in group.fields.items()}
# Arguments of the calls that are entries by another name.
ENTRY_OF = {
    "grades": "papers",
    "reference": "pot_life",
    "reference_temperature": "pot_life_temperature",
    "total": "area",
    "wet_film": "coats",
    "dry_film": "film",
    "hardness": "under",
}


class PlannedCoat(NamedTuple):
    """What one coat takes; SI, bands from 5 to 95 %."""

    values: Mapping[str, Any]  # the entries in SI; None for what was left out
    takes_one: Band  # paint for one coat, without reserve
    takes_all: Band
    keeps: Band  # what cup, strainer and gun keep
    batch_one: Any  # a mixing.Batch for the upper end of one coat with reserve
    batch_all: Any
    wet_film: Band  # of one coat
    teeth: CombTeeth
    comb_film: Band  # dry film of one coat that these two teeth mean, solids in the middle
    pot_life: Band | None
    before: list[SequenceStep]
    after: list[SequenceStep]
    measured: Mapping[str, Coefficient]  # what the learner measured and this plan uses


def start_entries() -> dict[str, str]:
    """What stands in the form at first: the demo repair, and what the learner measured."""
    surfacer = datasheet.demo()["surfacer"]
    densities = ", ".join(_words(float(density), "densities") for density in surfacer.densities or ())
    said = own.my_outfit().said
    mine = {} if "panel_width" not in said else {"area": _words(said["panel_width"] * said["panel_height"], "area")}
    known = {"densities": densities, **mine, **{key: _band_words(key) for key, field in FIELDS.items() if field.band}}
    return {key: known.get(key) or _start(field) for key, field in FIELDS.items()}


def _start(field: CoatEntry) -> str:
    if field.start_us and unit_system.chosen() == "us":
        return field.start_us
    dimensional = field.name and names()[field.name].kind in KINDS
    return _words(float(read(field.start, field.name)), field.name) if dimensional else field.start


def plan_coat(entries: Mapping[str, Any] | None = None) -> PlannedCoat:
    """The plan of one coat; what is not given has its start value. Raises InputError that names the entry."""
    given = dict(entries or {})
    for key in given:
        if key not in FIELDS:
            raise InputError(
                str(key)[:40], "is not an entry of this plan.", f"There are: {', '.join(FIELDS)}.", kind="unknown"
            )
    start = start_entries()
    values = {key: _read(key, field, given.get(key, start[key])) for key, field in FIELDS.items()}
    try:
        return _plan(values)
    except InputError as error:
        raise _of_entry(error) from None


def with_unit(key: str, text: str) -> str:
    """An entry with the unit that is shown behind a bare number, so that it keeps its meaning in other units."""
    field = FIELDS[key]
    return typed_text.with_unit(text, field.name) if field.name else text


def _read(key: str, field: CoatEntry, value: Any) -> Any:
    if isinstance(value, str):
        value = " ".join(value.split())
        if len(value) > LONGEST:
            raise InputError(
                key, f"holds {len(value)} characters; {LONGEST} are enough.", "Write it shorter.", kind="too long"
            )
    if value is None or value == "":
        if field.optional or key == "title":
            return None if field.optional else ""
        raise InputError(key, "is empty.", f"Write down: {field.label}.", kind="empty")
    if field.options:
        return read_choice(value, field.options, key)
    if not field.name or names()[field.name].kind not in KINDS:
        if not isinstance(value, str):
            raise InputError(
                key, f"a {type(value).__name__} is not text.", f"Write down: {field.label}.", kind="form"
            )
        return value
    if not isinstance(value, str):
        found = read(value, field.name, key)
        if key != "densities":
            one_value(**{key: found})
        return found
    if field.band:
        return _read_band(key, field.name, value)
    if key == "densities":
        return [float(read(with_clear_unit(part, field.name, key), field.name, key)) for part in value.split(",")]
    return float(read(with_clear_unit(value, field.name, key), field.name, key))


def _read_band(key: str, name: str, text: str) -> Coefficient:
    """ "62 %" or "50 to 75 %". What stands there at first keeps its own middle and source."""
    if text in (_band_words(key, "metric"), _band_words(key, "us")):
        return _usual(key)
    ends = _TO.split(text)
    if len(ends) > 2:
        raise InputError(key, f'"{text[:40]}" has more than two ends.', 'Write a band as "50 to 75 %".', kind="count")
    if re.fullmatch(r"[\d.]+", ends[0]):  # one unit, written behind the second number
        ends[0] += re.sub(r"^[\d.]+", "", ends[-1])
    low, high = (float(read(with_clear_unit(end, name, key), name, key)) for end in (ends[0], ends[-1]))
    if low > high:
        raise InputError(key, f'"{text[:40]}" runs from high to low.', "Write the lower end first.", kind="order")
    spread: Spread = "shift" if low == high or low == 0 else "share" if _is_share(name, high) else "factor"
    return Coefficient(
        (low + high) / 2, low, high, key=key, kind="assumed", source="assumed-here", spread=spread, name=name
    )


def _is_share(name: str, high: float) -> bool:
    return names()[name].kind == "fraction" and high < 1


def _usual(key: str) -> Coefficient:
    """The coefficient that stands in a band's field at first."""
    if key == "volume_solids" and key in own.my_outfit().said:
        share = own.my_outfit().said[key]
        return Coefficient(
            share,
            share,
            share,
            key=key,
            kind="assumed",
            source="assumed-here",
            spread="shift",
            name=key,
            note=f"Written down for {own.my_outfit().paint.name}.",
        )
    if key == "volume_solids":
        solids = datasheet.demo()["surfacer"].volume_solids
        assert solids is not None
        return solids
    return own.coefficient("hand_force" if key == "force" else key)


def _band_words(key: str, system: System | None = None) -> str:
    usual, name = _usual(key), FIELDS[key].name
    return _plain(quantities.shown_band(usual.low, usual.high, name, system or unit_system.chosen(), 3))


def _words(value: float, name: str) -> str:
    return _plain(quantities.shown(value, name, unit_system.chosen()))


def _plain(text: str) -> str:
    return text.replace("\N{NARROW NO-BREAK SPACE}", " ")


def _of_entry(error: InputError) -> InputError:
    """The same error under the name of its entry."""
    key = error.problems[0].key
    return error.at(where=(ENTRY_OF.get(key, key),))


# --- what follows ------------------------------------------------------------------------------------------


def _plan(v: Mapping[str, Any]) -> PlannedCoat:
    one = _one_coat(v)
    wet: Band = band_si(film.wet_film, one, v["volume_solids"])
    teeth = _teeth(wet)
    solids = float(v["volume_solids"])
    takes_one, takes_all = (
        band_si(film.paint_needed, v["area"], one, v["volume_solids"], v["transfer_efficiency"], coats)
        for coats in (1.0, v["coats"])
    )
    before, after = _papers(v)
    return PlannedCoat(
        values=v,
        takes_one=takes_one,
        takes_all=takes_all,
        keeps=band_si(_kept, *(own.coefficient(f"left_in_{place}") for place in ("cup", "strainer", "wash"))),
        batch_one=_batch(v, takes_one),
        batch_all=_batch(v, takes_all),
        wet_film=wet,
        teeth=teeth,
        comb_film=Band(
            *(
                float(film.dry_film.si(tooth, solids))
                for tooth in (teeth.wetted, (teeth.wetted + teeth.dry) / 2, teeth.dry)
            )
        ),
        pot_life=_pot_life(v),
        before=before,
        after=after,
        measured=_measured(v),
    )


def _one_coat(v: Mapping[str, Any]) -> float:
    """Dry film of one coat."""
    if v["coats"] != int(v["coats"]):
        raise InputError("coats", f"{v['coats']:g} is not a whole number.", "Write 2 or 3.", kind="form")
    if v["film"] < film.thickness.THINNEST:
        raise InputError("film", "is nothing.", "Write the dry film that the data sheet requires.", kind="empty")
    return float(v["film"] / v["coats"])


def _teeth(wet: Band) -> CombTeeth:
    comb = "us" if unit_system.chosen() == "us" else "metric"
    try:
        teeth = film.comb_teeth.si(wet.middle, comb)
    except InputError:
        raise InputError(
            "coats",
            f"are too few: one coat would lie {_words(wet.middle, 'wet_film')} wet, more "
            "than a "
            "comb reads and more than stays on an upright panel.",
            "Lay the film in more coats.",
            kind="count",
        ) from None
    return CombTeeth(float(teeth.wetted), float(teeth.dry))


def _kept(cup: Any, strainer: Any, wash: Any) -> Any:
    return cup + strainer + wash


def _batch(v: Mapping[str, Any], takes: Band) -> Any:
    """Mixed for the upper end: to run dry in the middle of a coat costs more than a remainder."""
    return mixing.batch.si(v["ratio"], takes.high * (1 + v["reserve"]), v["densities"])


def _pot_life(v: Mapping[str, Any]) -> Band | None:
    if v["pot_life"] is None:
        return None
    found: Band = own.band_si(
        mixing.pot_life,
        reference=v["pot_life"],
        temperature=v["temperature"],
        reference_temperature=v["pot_life_temperature"],
    )
    return found


def _papers(v: Mapping[str, Any]) -> tuple[list[SequenceStep], list[SequenceStep]]:
    """Papers up to and with the coat, on what lies under it; papers after it, on the coat itself."""
    parts = [part.strip() for part in re.split(r"[,;→>]+", v["papers"]) if part.strip()]
    places = [number for number, part in enumerate(parts) if part.casefold() == "coat"]
    if len(places) != 1:
        raise InputError(
            "papers",
            'must hold the word "coat" once, where this coat goes.',
            'Write "P180, P320, coat, P400, P600".',
            kind="form",
        )
    parts[places[0]] = f"coat {v['film'] * 1e6:.6g} µm"
    known = {**own.garage_file().using(sanding.judge_sequence), "force": v["force"], "block": v["block"]}

    def judge(grades: list[str], material: str, there: str) -> list[SequenceStep]:
        try:
            hardness = sanding_hand.hardness(v[material])
            return judged(
                unit_system.chosen(),
                grades,
                film=v[there],
                **{**known, "hardness": hardness, "cutting_ease": sanding_hand.ease(v[material])},
            )
        except InputError as error:
            key = error.problems[0].key
            raise error.at(where=({"film": there, "hardness": material}.get(key, key),)) from None

    upto, after = parts[: places[0] + 1], parts[places[0] + 1 :]
    return judge(upto, "under", "film_under"), judge(after, "material", "film") if after else []


def _measured(v: Mapping[str, Any]) -> dict[str, Coefficient]:
    """What of this plan the learner measured."""
    mine = own.garage_file().coefficients()
    used = [value for value in v.values() if isinstance(value, Coefficient)]
    found = {c.key: c for c in used if c.kind == "measured by you"}
    for call in (sanding.judge_sequence, mixing.pot_life):
        found.update({c.key: c for c in own.garage_file().using(call).values()})
    return {key: c for key, c in found.items() if key in mine}
