"""The learner's own garage file: the measurements, and the coefficients they replace.

    mine = measured.load()
    said = mine.enter("delivery", paint=["38 mL", "40 mL", "37 mL"], time="15 s")
    print(said.sentence)
    belief.band(film.paint_needed, …, **mine.using(film.paint_needed))

The file is TOML that a person can read and edit. It holds only readings, dates and spreads; loading works out what
they mean. Existing text is kept: a new measurement is added after it.
"""

from __future__ import annotations

import contextlib
import datetime
import difflib
import inspect
import json
import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np

from coursekit import keeping
from coursekit.belief import Belief, learnt, quantiles
from coursekit.folder import place
from coursekit.garage_entry import AT, NAMED, NOWHERE, Entry, MadeWith, bears_on, belongs, labels, listed
from coursekit.measurements import Seen, Way, estimate, read_field, ways
from coursekit.nomenclature import KINDS, System, names
from coursekit.quantities import InputError, give, in_unit, shown, shown_band
from coursekit.sources import coefficients
from coursekit.tomlfile import Document
from coursekit.uncertain import Band, Coefficient

FORMAT = 1
FILE = "garage.toml"
_HEAD = f"""# What you measured in your own garage. Correct or delete a measurement by hand if you like.
format = {FORMAT}
"""
MOST_ESTIMATED = 4096
_ESTIMATED: dict[tuple[Any, ...], Any] = {}  # what readings say: the whole file is read anew whenever it changes


class Said(NamedTuple):
    """What a measurement says: each coefficient as it was believed and as it is now, and two texts for people."""

    was: dict[str, Coefficient]
    now: dict[str, Coefficient]
    sentence: str
    contradiction: str  # empty unless a value lies outside what the course holds possible

    @property
    def before(self) -> dict[str, Band]:
        """The bands before it, as quantities. They are made when asked for: pint takes its time at the first."""
        return {key: _band(c) for key, c in self.was.items()}

    @property
    def after(self) -> dict[str, Band]:
        """The bands after it, as quantities."""
        return {key: _band(c) for key, c in self.now.items()}


@dataclass
class Measured:
    """The measurements of one file. Pass it along; there is no hidden copy of it."""

    path: Path
    entries: list[Entry] = field(default_factory=list)
    used: MadeWith = NOWHERE  # the gun and paint that are asked about; any, until `with_` says which

    def with_(self, used: MadeWith) -> Measured:
        """The same measurements for that gun and paint: each counts for what carries over to them."""
        return replace(self, used=used)

    @property
    def belief(self) -> Belief:
        """The course's belief after all that was measured; of what was measured twice, the later counts.

        What was measured with the same gun, tip and paint goes before what was measured with others.
        """
        without = [entry.without(self.used) & bears_on(entry) for entry in self.entries]
        told = [
            {what: one for what, one in entry.told.items() if not lost.issuperset(one.keys)}
            for entry, lost in zip(self.entries, without, strict=True)
        ]
        order = sorted(range(len(told)), key=lambda number: (not without[number], number))
        latest = {what: number for number in order for what in told[number]}
        kept = {
            number: tuple(one for what, one in told[number].items() if latest[what] == number) for number in order
        }
        here = tuple(kept[number] for number in order if kept[number] and not without[number])
        elsewhere = tuple(kept[number] for number in order if kept[number] and without[number])
        return learnt(here, elsewhere, tuple(sorted(frozenset().union(*without))) if elsewhere else ())

    def coefficients(self) -> dict[str, Coefficient]:
        """The coefficients that were measured, as they are believed now."""
        return {key: self.belief.coefficient(key) for key in self.keys}

    @property
    def keys(self) -> tuple[str, ...]:
        """Which coefficients were measured."""
        return tuple(dict.fromkeys(key for entry in self.entries for key in entry.counts(self.used)))

    def coefficient(self, key: str) -> Coefficient:
        """The coefficient of that key as it is believed: after what was measured, or the one of the course."""
        if not isinstance(key, str) or key not in coefficients():
            raise InputError("key", f"{key!r:.60} is not a coefficient.", _near(key, coefficients()), kind="unknown")
        return self.belief.coefficient(key)

    def reading(self, way: str, key: str) -> Any:
        """The latest reading of a field (SI, or a word), or None."""
        found = [e.readings[key] for e in self.entries if e.way.key == way and key in e.readings]
        return found[-1] if found else None

    def carried(self) -> list[str]:
        """Of each measurement that was made with another gun, cap, tip or paint: what counts here, what does not."""
        told = []
        for entry in self.entries:
            lost = entry.without(self.used) & bears_on(entry)
            if lost:
                parts, stay = (
                    {belongs()[key] for key in keys if key in belongs()} - {"setting"}
                    for keys in (lost, bears_on(entry) - lost)
                )
                told.append(
                    f"{entry.way.title}, {entry.date:%Y-%m-%d}, was made with another "
                    f"{listed(sorted(parts)) or 'gun, tip or paint'}: what it says of "
                    + (f"{listed(sorted(stay))} counts here, " if stay else "")
                    + f"{labels(sorted(lost))} {'do' if len(lost) > 1 else 'does'} not."
                )
        return told

    def using(self, call: object) -> dict[str, Coefficient]:
        """Keyword arguments for a public call: each of its arguments that something measured bears on."""
        if not hasattr(call, "si"):
            raise InputError(
                "call", f"{call!r:.60} is not a call of this course.", "Give one, e.g. film.dry_film.", kind="unknown"
            )
        mine, found = {key: coefficients()[key].name for key in self.keys}, {}
        for argument, parameter in inspect.signature(call.si).parameters.items():
            keys: list[str] = []  # an argument with a default of another kind means what it says
            if isinstance(parameter.default, Coefficient):
                keys = [parameter.default.key] if self.belief.moved(parameter.default.key) else []
            elif parameter.default is parameter.empty:
                keys = [argument] if argument in mine else [k for k, name in mine.items() if name == argument]
            if len(keys) == 1:
                found[argument] = self.coefficient(keys[0])
        return found

    def enter(
        self, way: str, *, system: System = "metric", made_with: MadeWith | None = None, **readings: Any
    ) -> Said:
        """Work out what a measurement says and write it to the file.

        Readings are text or quantities, one or a list of repeats; `measured.how(way)` says which. `made_with` is the
        gun and paint it belongs to.
        Raises InputError for an impossible reading, and then writes nothing.
        """
        what = _way(way)
        texts = {key: _texts(what, key, value) for key, value in readings.items()}
        found = {key: read_field(what, key, text) for key, text in texts.items()}
        entries: list[Entry] = []
        made = made_with if made_with is not None and set(what.gives) & set(belongs()) else NOWHERE

        def add(text: str | None) -> str:
            entries[:] = [] if text is None else _entries(text, self.path)  # what another notebook wrote meanwhile
            entries.append(_entry(what, keeping.now(), found, Measured(self.path, entries, self.used), made))
            entry = entries[-1]
            return (_HEAD if text is None else text.rstrip() + "\n") + _block(entry, texts)

        keeping.change(self.path, add, lambda text: _check(self.path, text, entries))
        self.entries = entries
        said = _say(entries[-1], Measured(self.path, entries[:-1], self.used), self, system)
        return said._replace(sentence=" ".join([said.sentence, *keeping.stories()]))

    def forget(self, way: str) -> None:
        """Take the latest measurement of that kind out of the file."""
        what = _way(way)
        entries: list[Entry] = []

        def take(text: str | None) -> str:
            entries[:] = [] if text is None else _entries(text, self.path)
            numbers = [n for n, entry in enumerate(entries) if entry.way is what]
            if not numbers:
                raise InputError(
                    "way",
                    f"no measurement of {what.key} is in the file.",
                    "There is nothing to forget.",
                    kind="unknown",
                )
            lines = (text or "").splitlines(keepends=True)
            starts = [n for n, line in enumerate(lines) if line.strip().startswith("[[")] + [len(lines)]
            if len(starts) == len(entries) + 1:
                del lines[starts[numbers[-1]] : starts[numbers[-1] + 1]]
            del entries[numbers[-1]]
            return "".join(lines)

        keeping.change(self.path, take, lambda text: _check(self.path, text, entries))
        self.entries = entries


def load(path: str | Path | None = None) -> Measured:
    """The learner's garage file, or an empty one when nothing was measured yet.

    Raises InputError naming file, line, field and remedy when it cannot be understood; the file stays as it is.
    """
    file = place() / FILE if path is None else path
    try:
        text = keeping.read_text(file)
    except FileNotFoundError:
        return Measured(Path(file))
    return Measured(Path(file), _entries(text, Path(file)))


def how(way: str, system: System = "metric") -> str:
    """How to make a measurement, in words, and what to write down."""
    return _way(way).how(system)


# --- reading -----------------------------------------------------------------------------------------------


def _entries(text: str, file: Path) -> list[Entry]:
    document = Document(text, str(file))
    top = document.check_keys((), document.data, ("format", "measurement"))
    if top.get("format") != FORMAT or isinstance(top["format"], bool):
        document.fail(
            ("format",),
            f"must be {FORMAT}.",
            f"Write format = {FORMAT}; a file of a newer course needs the newer course.",
            kind="format",
        )
    return read_rows(document).entries


def read_rows(document: Document) -> Measured:
    """The measurements in a document that has a list of them: the garage file, or a recipe that carries some."""
    rows = document.data.get("measurement", [])
    if not isinstance(rows, list):
        document.fail(
            ("measurement",), "must be a list.", "Write [[measurement]] above each measurement.", kind="list"
        )
    mine = Measured(Path(document.name))
    for number, row in enumerate(rows):
        mine.entries.append(_read_entry(document, ("measurement", number), row, mine))
    return mine


def _near(word: object, known: Mapping[str, Any]) -> str:
    close = difflib.get_close_matches(str(word)[:60], list(known), 1, 0.5)
    return f"Did you mean {close[0]}?" if close else "Choose from: " + ", ".join(known) + "."


def _way(way: object) -> Way:
    if not isinstance(way, str) or way not in ways():
        raise InputError(
            "way", f"{way!r:.60} is not a measurement of this course.", _near(way, ways()), kind="unknown"
        )
    return ways()[way]


def _entry(way: Way, date: Any, readings: Mapping[str, Any], mine: Measured, made: MadeWith) -> Entry:
    left_out = [field.default for key, field in way.fields.items() if field.default and key not in readings]
    stand_ins = {key: mine.coefficient(key) for key in left_out}
    key = (
        way.key,
        *((k, v.tobytes() if isinstance(v, np.ndarray) else repr(v)) for k, v in readings.items()),
        *stand_ins.values(),
    )
    if key not in _ESTIMATED:
        if len(_ESTIMATED) >= MOST_ESTIMATED:
            _ESTIMATED.clear()
        _ESTIMATED[key] = estimate(way, readings, stand_ins)
    found = _ESTIMATED[key]
    seen, estimates = (found, {}) if isinstance(found, Seen) else (None, found)
    return Entry(way, date, readings, estimates, seen, made)


def _read_entry(document: Document, where: tuple[str | int, ...], row: Any, mine: Measured) -> Entry:
    name = row.get("way") if isinstance(row, dict) else None
    if not isinstance(name, str) or name not in ways():
        document.fail((*where, "way"), f"{name!r:.60} is not a measurement.", _near(name, ways()), kind="unknown")
    way = ways()[name]
    document.check_keys(where, row, ("way", "date", "spread", "made_with", "at", *way.fields))
    date = row.get("date")
    if isinstance(date, str):  # as tables that come from no file have it
        with contextlib.suppress(ValueError):
            date = datetime.datetime.fromisoformat(date)
    if not isinstance(date, datetime.date):
        document.fail((*where, "date"), "is not a date.", "Write it without quotes: date = 2026-05-30", kind="form")
    readings = {}
    for key in way.fields:
        if key in row:
            try:
                readings[key] = read_field(way, key, row[key])
            except InputError as error:
                document.refuse((*where, key), error)
    try:
        entry = _entry(way, date, readings, mine, _made_with(document, where, row))
    except InputError as error:
        document.refuse((*where, error.problems[0].key), error)
    spreads = document.check_keys((*where, "spread"), row.get("spread", {}), way.gives)
    kept = {k: float(document.quantity((*where, "spread", k), v, "measured_spread")) for k, v in spreads.items()}
    estimates = {k: e._replace(spread=kept.get(k, e.spread)) for k, e in entry.estimates.items()}
    return replace(entry, estimates=estimates)


def _made_with(document: Document, where: tuple[str | int, ...], row: Mapping[str, Any]) -> MadeWith:
    told = document.check_keys((*where, "made_with"), row.get("made_with", {}), NAMED)
    for key, word in told.items():
        if not isinstance(word, str):
            document.fail(
                (*where, "made_with", key), "is not a name.", f'Write made_with.{key} = "my {key}".', kind="form"
            )
    words = [told.get(key, "") for key in NAMED]
    at = document.check_keys((*where, "at"), row.get("at", {}), AT)
    numbers = {key: float(document.quantity((*where, "at", key), value, key)) for key, value in at.items()}
    return MadeWith(words[0], words[1], words[2], numbers)


# --- saying ------------------------------------------------------------------------------------------------


def _band(c: Coefficient) -> Band:
    return Band(*(give(v, c.name) for v in (c.low, float(c), c.high)))


def _words(c: Coefficient, system: System) -> str:
    return f"{shown(float(c), c.name, system)} ({shown_band(c.low, c.high, c.name, system)})"


def _fact(entry: Entry, system: System) -> str:
    """What was entered that yields no coefficient."""
    return f"Kept: {', '.join(f'{label}: {reading}' for label, reading in entry.read(system))}."


def _answers(seen: Seen, old: Belief, new: Belief, system: System) -> str:
    """What was read of several coefficients together: the course's band for the same setting before and after."""
    told = []
    for one in seen.observed:
        ends = [
            quantiles(one.answer({key: belief.column(key) for key in one.keys}, belief.draws), belief.weights)
            for belief in (old.bearing(one.keys), new.bearing(one.keys))
        ]
        before, after = (shown_band(band.low, band.high, seen.name, system) for band in ends)
        told.append(f"{one.key[:1].upper()}{one.key[1:]}: {one.says} {after}; before, {before}.")
    return " ".join([*told, "Every lesson with this gun follows."] if told else [])


def _say(entry: Entry, old_file: Measured, new_file: Measured, system: System) -> Said:
    before = {key: old_file.coefficient(key) for key in entry.keys}
    after = {key: new_file.coefficient(key) for key in entry.keys}
    sentences = [_answers(entry.seen, old_file.belief, new_file.belief, system)] if entry.seen else []
    contradictions = [entry.contradiction] if entry.contradiction else []
    measured_before = old_file.coefficients()
    if not entry.keys and not contradictions:
        sentences.append(_fact(entry, system))
    for key in entry.estimates:
        now = after[key]
        old, table = before[key], coefficients()[key]
        label = names()[now.name].label
        text = f"Your {label}: {_words(now, system)}. Before: {_words(old, system)}, {old.kind}."
        times = math.log(old.high / old.low) / math.log(now.high / now.low) if now.high > now.low else math.inf
        if times > 1.15:
            text += f" The band is {times:.2g} times narrower."
        else:
            text += " The band is no narrower than before: measure longer, or repeat it and give all readings."
        sentences.append(text)
        if key in measured_before and (now.low > old.high or now.high < old.low):
            contradictions.append(
                f"This {label} does not agree with what you measured before. The newer one counts; "
                "if paint, turns and air were the same, repeat both."
            )
        if not table.low <= entry.estimates[key].value <= table.high:
            contradictions.append(
                f"The {label} you read, {shown(entry.estimates[key].value, now.name, system)}, lies outside the "
                f"{shown_band(table.low, table.high, table.name, system)} that this course takes as usual. "
                "Check the units and the readings, and measure again. If it stands, trust your "
                "measurement: it is used as it is, and the course's picture is off here."
            )
    return Said(before, after, " ".join(sentences), " ".join(contradictions))


# --- writing -----------------------------------------------------------------------------------------------


def _texts(way: Way, key: str, value: Any) -> Any:
    """A reading as the text that goes into the file, as typed where it was typed."""
    if key not in way.fields:
        raise InputError(key, f"is not a field of {way.key}.", _near(key, way.fields), kind="unknown")
    parts = list(value) if isinstance(value, (list, tuple)) else [value]
    if all(isinstance(p, str) for p in parts):
        read_field(way, key, value)
        return [p.strip() for p in parts] if isinstance(value, (list, tuple)) else value.strip()
    readings = read_field(way, key, value)
    row = names()[way.fields[key].name]
    if row.kind not in KINDS:
        raise InputError(key, "must be text.", f"Write the {way.fields[key].words} in quotes.", kind="other type")
    texts = [_as_text(value, row.key) for value in np.atleast_1d(readings)]
    return texts if len(texts) > 1 else texts[0]


def _as_text(value: float, name: str) -> str:
    row = names()[name]
    number = value if row.kind in ("fraction", "number") else in_unit(value, name)
    unit = row.metric if row.kind != "fraction" else ""
    return f"{float(number):.9g} {unit}".strip()


def _block(entry: Entry, texts: Mapping[str, Any]) -> str:
    lines = ["", "[[measurement]]", f'way = "{entry.way.key}"', f"date = {entry.date.isoformat()}"]
    lines += [f"{key} = {json.dumps(text, ensure_ascii=False)}" for key, text in texts.items()]
    made = entry.made_with
    named = dict(zip(NAMED, made[:3], strict=True))
    lines += [f"made_with.{key} = {json.dumps(word, ensure_ascii=False)}" for key, word in named.items() if word]
    lines += [f"at.{key} = {json.dumps(_as_text(value, key), ensure_ascii=False)}" for key, value in made.at.items()]
    lines += [f'spread.{key} = "{100 * e.spread:.3g} %"' for key, e in entry.estimates.items()]
    return "\n".join(lines) + "\n"


def _check(file: Path, text: str, entries: list[Entry]) -> None:
    """Refuse a text that does not say what it was written to say: nothing is kept that cannot be read back."""
    try:
        back = [_told(entry) for entry in _entries(text, file)]
    except InputError:
        back = None
    if back != [_told(entry) for entry in entries]:
        raise InputError(
            str(file),
            "is written in a way that this course can read but not edit.",
            "Write each measurement under a line [[measurement]] of its own.",
            kind="file",
        )


def _told(entry: Entry) -> tuple[Any, ...]:
    readings = {key: np.asarray(value).tolist() for key, value in entry.readings.items()}
    return entry.way.key, entry.date, entry.made_with[:3], readings
