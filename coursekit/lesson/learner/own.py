"""What belongs to the learner: their measurements in the benches, their seed, and the entry of a measurement."""

from __future__ import annotations

import contextlib
import re
import secrets
import tomllib
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from coursekit import folder, measured, outfit, quantities
from coursekit.belief import band_si
from coursekit.errors import Entry, Problem, Voice, own_sentence, say
from coursekit.folder import change_setting, keep_setting, place, setting
from coursekit.garage_entry import MadeWith, belongs
from coursekit.keeping import read_text
from coursekit.lesson.learner import unit_system
from coursekit.lesson.screen import page
from coursekit.measurements import Way, ways
from coursekit.nomenclature import KINDS, names
from coursekit.quantities import InputError
from coursekit.spraying.choose import gun_coefficients
from coursekit.spraying.setting import spray_setting
from coursekit.uncertain import Coefficient

_BARE_SHARE = re.compile(r"\+?(0?\.0*[1-9]\d*)")  # between 0 and 1, in a field of per cent
_LOADED: dict[str, tuple[Any, Any]] = {}  # copies of the learner's files in memory, nothing more


def _loaded(name: str, load: Callable[[Path], Any], empty: Any, also: Any = None) -> Any:
    """A file of the learner's, read again only when it has changed: a slider asks at each move."""
    try:
        path = place() / name
    except InputError:  # the first cell says so
        return empty
    stamp = path, folder.stamp(path), also
    if name not in _LOADED or _LOADED[name][0] != stamp:
        _LOADED[name] = (stamp, load(path))
    return _LOADED[name][1]


def my_outfit() -> outfit.Outfit:
    """The learner's guns, paints, hands and panels; those of the demo until some are written down."""
    found: outfit.Outfit = _loaded(outfit.FILE, outfit.load, outfit.Outfit())
    return found


def made_with() -> MadeWith:
    """The chosen gun and paint, to which a measurement belongs that is kept now."""
    mine = my_outfit()
    return MadeWith.of(mine.gun, mine.paint, (mine.is_own("gun"), mine.is_own("paint")))


def garage_file() -> measured.Measured:
    """The learner's measurements, each for what it says of the chosen gun and paint."""
    mine = my_outfit()
    empty = measured.Measured(Path(measured.FILE))
    found: measured.Measured = _loaded(
        measured.FILE, lambda path: measured.load(path).with_(made_with()), empty, mine
    )
    return found


def coefficient(key: str) -> Coefficient:
    """A coefficient: the learner's own measurement, or the one of the course."""
    return garage_file().coefficient(key)


def banded(call: Any, *, draws: int | None = None, **si: Any) -> Any:
    """A public call's band for a bench: arguments in SI, over the learner's own belief."""
    known: dict[str, Any] = {**garage_file().using(call), **si}
    return band_si(call, draws=draws, belief=garage_file().belief, **known)


def gun() -> dict[str, Coefficient]:
    """The uncertain numbers of `spray_setting` as the learner's measurements leave them."""
    return gun_coefficients(garage_file().using(spray_setting))


def seed() -> str:
    """The learner's seed, from which the numbers of the exercises are drawn; made once, and kept."""
    kept = setting("seed")
    if not isinstance(kept, str) or not kept:
        with contextlib.suppress(InputError):  # what cannot be kept holds as long as this notebook runs
            change_setting("seed", lambda there: there if isinstance(there, str) and there else secrets.token_hex(3))
        kept = setting("seed", "")
    return str(kept)


def set_seed(text: Any) -> str:
    """Give this learner a seed: the same seed, the same numbers."""
    if not isinstance(text, (str, int)) or isinstance(text, bool) or not 1 <= len(str(text).strip()) <= 40:
        raise InputError(
            "seed", "must be a word or a number of at most 40 characters.", 'Write lesson.seed("b-07").', kind="form"
        )
    keep_setting("seed", str(text).strip())
    return seed()


def enter(way: str, typed: Mapping[str, str]) -> measured.Said:
    """Keep a measurement as it was typed: repeats with commas between them, the shown unit where none is written."""
    readings: dict[str, Any] = {}
    for key, field in ways()[way].fields.items():
        parts = [with_clear_unit(part, field.name, key) for part in typed.get(key, "").split(",") if part.strip()]
        if parts:
            readings[key] = parts if len(parts) > 1 else parts[0]
        elif not (field.default or field.optional):
            raise InputError(key, "is empty.", f"Write down: {field.words}.", kind="empty")
    made = made_with()
    mine = measured.Measured(place() / measured.FILE, used=made)
    said = mine.enter(way, system=unit_system.chosen(), made_with=made, **readings)
    if mine.entries[-1].made_with.at:
        said = said._replace(sentence=f"{said.sentence} {belongs_words()}")
    unit_system.refresh()  # benches take it up at once
    return said


def gun_rows() -> list[dict[str, Any]]:
    """What was measured of the chosen gun, as rows that a recipe carries along."""
    file, name = garage_file(), my_outfit().gun.name
    try:
        rows = tomllib.loads(read_text(file.path)).get("measurement", [])
    except FileNotFoundError:
        return []
    found = [
        row
        for row, entry in zip(rows, file.entries, strict=True)
        if set(entry.way.gives) & set(belongs()) and entry.made_with.gun in ("", name)
    ]
    return [{**row, "date": row["date"].isoformat()} for row in found]


def belongs_words() -> str:
    """To which gun and paint a measurement is put down."""
    mine, system = my_outfit(), unit_system.chosen()
    at = {key: quantities.shown(mine.si[key], key, system) for key in ("tip_bore", "turns", "gun_inlet_pressure")}
    return (
        f"Recorded for {mine.gun.name} ({at['tip_bore']} tip, {at['turns']} turns, {at['gun_inlet_pressure']} at "
        f"the gun) with {mine.paint.name}; lesson.outfit() changes them."
    )


GIVEN = ("tip_bore", "kinematic_viscosity", "density", "volume_solids")  # what a gun and a paint are, not a setting


def known_reading(name: str) -> str:
    """What the learner wrote down of their gun or paint, for a field that asks for it again; else empty."""
    said = my_outfit().said
    return quantities.shown(said[name], name, unit_system.chosen(), 4) if name in GIVEN and name in said else ""


def how_html(way: Way) -> str:
    """How a measurement is made."""
    care = page.paragraph(f"Take care: {way.caution}", "ck-kept") if way.caution else ""
    steps = "".join(f"<li>{page.escape(step)}</li>" for step in way.steps)
    return (
        f"<h4>{page.escape(way.title)}</h4>{page.paragraph(f'Measures {way.measures}.')}<ol>{steps}</ol>{care}"
        + page.paragraph("Several readings: put a comma between them.")
    )


def field_label(way: Way, key: str) -> str:
    """What to write down, with the unit that is shown."""
    field = way.fields[key]
    row = names()[field.name]
    unit = row.unit(unit_system.chosen())
    unit = "" if row.classes or unit in field.words.split() else unit  # "strokes (strokes)" says it twice
    spare = ", may be left out" if field.default or field.optional else ""
    return f"{field.words} ({unit}){spare}" if unit else f"{field.words}{spare}"


def with_unit(text: str, name: str) -> str:
    """What was typed, with the unit that is shown when it was a bare number; a bare 0.4 of a share stays as it is."""
    row = names()[name]
    bare = text.strip().replace("\N{MINUS SIGN}", "-")
    unit = row.unit(unit_system.chosen()) if row.kind in KINDS else ""
    if not unit or not bare.lstrip("+-").replace(".", "", 1).isdigit():
        return text.strip()
    return bare if unit == "%" and _BARE_SHARE.fullmatch(bare) else f"{bare} {unit}"


def with_clear_unit(text: str, name: str, argument: str) -> str:
    """As `with_unit`, for an entry that is read at once; refuses a share that could mean two things."""
    whole = with_unit(text, name)
    row = names()[name]
    if row.kind == "fraction" and row.unit(unit_system.chosen()) == "%" and (match := _BARE_SHARE.fullmatch(whole)):
        share = 100 * float(match[1])
        raise InputError(
            argument,
            f'"{whole}" could mean {float(match[1]):g} % or {share:g} %.',
            f'Write the sign as well: "{float(match[1]):g} %" or "{share:g} %".',
            kind="two meanings",
        )
    return whole


def complaint(error: InputError, words: str = "") -> str:
    """What is wrong with an entry, named by its words on the page instead of its argument."""
    return " ".join(say(problem, form_voice(words)) for problem in error.problems)


def form_voice(words: str = "", entry: Callable[[Entry], str] | None = None) -> Voice:
    """How a page names what a learner gave: by the words of its entry, or by the label of its row."""

    def named(problem: Problem) -> str:
        row = names().get(problem.key)
        label = f"“{words or (row.label if row else problem.key.replace('_', ' '))}”"
        if problem.where[:1] == ("step",) and len(problem.where) > 1:
            label = f"“step {int(problem.where[1]) + 1}”"
        return f"{label}:" if own_sentence(problem) else label

    return Voice(named, entry or (lambda one: one.value or f"“{one.key}”"), unit_system.chosen())


def measured_words(key: str) -> str:
    """A reminder of what the learner measured, for a bench whose slider stands for it; empty before that."""
    if key not in garage_file().keys:
        return ""
    mine = coefficient(key)
    system, name = unit_system.chosen(), mine.name
    band = quantities.shown_band(mine.low, mine.high, name, system, 3)
    return f" Yours, measured: {quantities.shown(float(mine), name, system)} ({band}); set the slider there."
