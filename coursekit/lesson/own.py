"""What belongs to the learner: their measurements in the benches, their seed, and the entry of a measurement."""

from __future__ import annotations

import contextlib
import re
import secrets
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from coursekit import folder, measured, quantities
from coursekit.belief import band_si
from coursekit.errors import Entry, Problem, Voice, own_sentence, say
from coursekit.folder import change_setting, keep_setting, place, setting
from coursekit.lesson import page, shown
from coursekit.measurements import Way, ways
from coursekit.nomenclature import KINDS, names
from coursekit.quantities import InputError
from coursekit.spraying.choose import gun_coefficients
from coursekit.spraying.setting import spray_setting
from coursekit.uncertain import Coefficient

_BARE_SHARE = re.compile(r"\+?(0?\.0*[1-9]\d*)")  # between 0 and 1, in a field of per cent
_LOADED: tuple[tuple[Path, Any], measured.Measured] | None = None


def garage_file() -> measured.Measured:
    """The learner's measurements, read again only when the file has changed: a slider asks at each move."""
    global _LOADED  # a copy of the file in memory, nothing more
    try:
        path = place() / measured.FILE
    except InputError:  # the first cell says so
        return measured.Measured(Path(measured.FILE))
    stamp = path, folder.stamp(path)
    if _LOADED is None or _LOADED[0] != stamp:
        _LOADED = (stamp, measured.load(path))
    return _LOADED[1]


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
        raise InputError("seed", "must be a word or a number of at most 40 characters.", 'Write lesson.seed("b-07").')
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
            raise InputError(key, "is empty.", f"Write down: {field.words}.")
    said = measured.Measured(place() / measured.FILE).enter(way, system=shown.system(), **readings)
    shown.refresh()  # benches take it up at once
    return said


def how_html(way: Way) -> str:
    """How a measurement is made."""
    care = page.paragraph(f"Take care: {way.caution}", "ck-kept") if way.caution else ""
    steps = "".join(f"<li>{page.escape(step)}</li>" for step in way.steps)
    return (f"<h4>{page.escape(way.title)}</h4>{page.paragraph(f'Measures {way.measures}.')}<ol>{steps}</ol>{care}"
            + page.paragraph("Several readings: put a comma between them."))  # fmt: skip


def field_label(way: Way, key: str) -> str:
    """What to write down, with the unit that is shown."""
    field = way.fields[key]
    row = names()[field.name]
    unit = row.unit(shown.system())
    unit = "" if row.classes or unit in field.words.split() else unit  # "strokes (strokes)" says it twice
    spare = ", may be left out" if field.default or field.optional else ""
    return f"{field.words} ({unit}){spare}" if unit else f"{field.words}{spare}"


def with_unit(text: str, name: str) -> str:
    """What was typed, with the unit that is shown when it was a bare number; a bare 0.4 of a share stays as it is."""
    row = names()[name]
    bare = text.strip().replace("\N{MINUS SIGN}", "-")
    unit = row.unit(shown.system()) if row.kind in KINDS else ""
    if not unit or not bare.lstrip("+-").replace(".", "", 1).isdigit():
        return text.strip()
    return bare if unit == "%" and _BARE_SHARE.fullmatch(bare) else f"{bare} {unit}"


def with_clear_unit(text: str, name: str, argument: str) -> str:
    """As `with_unit`, for an entry that is read at once; refuses a share that could mean two things."""
    whole = with_unit(text, name)
    row = names()[name]
    if row.kind == "fraction" and row.unit(shown.system()) == "%" and (match := _BARE_SHARE.fullmatch(whole)):
        share = 100 * float(match[1])
        raise InputError(argument, f'"{whole}" could mean {float(match[1]):g} % or {share:g} %.',
                         f'Write the sign as well: "{float(match[1]):g} %" or "{share:g} %".')  # fmt: skip
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

    return Voice(named, entry or (lambda one: one.value or f"“{one.key}”"), shown.system())


def measured_words(key: str) -> str:
    """A reminder of what the learner measured, for a bench whose slider stands for it; empty before that."""
    mine = garage_file().coefficients().get(key)
    if mine is None:
        return ""
    system, name = shown.system(), mine.name
    band = quantities.shown_band(mine.low, mine.high, name, system, 3)
    return f" Yours, measured: {quantities.shown(float(mine), name, system)} ({band}); set the slider there."
