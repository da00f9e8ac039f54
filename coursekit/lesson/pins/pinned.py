"""Settings of the gun pinned under names: rows of one table, the better side of each pair, and how sure. No widget.

    bench = lesson.bench("what-if")
    bench.pin("low air"), bench.set(gun_inlet_pressure="2 bar"), bench.pin("high air")
    bench.pins                          # the table
    bench.pairs()                       # each pair, in words
    bench.save_pins()                   # the table as a file for a spreadsheet, in the learner's folder

What is pinned stays in the learner's folder until it is unpinned; each row is recalculated with what is known of
the gun today.
"""

from __future__ import annotations

import contextlib
import csv
import io
import itertools
import math
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np

from coursekit import folder, keeping, quantities, spraying
from coursekit.belief import quantiles, widest
from coursekit.constants import ROOM_TEMPERATURE
from coursekit.figure import named
from coursekit.lesson.content.shared import one_coat
from coursekit.lesson.content.shared.one_coat import Coat
from coursekit.lesson.learner import own, unit_system
from coursekit.lesson.screen import page
from coursekit.lesson.workbench.bench import Bench
from coursekit.measurements import ways
from coursekit.nomenclature import System, names
from coursekit.quantities import InputError
from coursekit.sources import coefficients
from coursekit.spraying.choose import ALIKE
from coursekit.spraying.measuring import measurable
from coursekit.uncertain import Band

SETTING = "what_if_pins"
FILE = "what-if.csv"
MOST, LONGEST = 24, 40
UNSAID = {"air_temperature": ROOM_TEMPERATURE}  # of settings pinned before it could be set
SURE = 0.9
QUICK = 5.0  # minutes of a measurement that is worth a try
ANSWERS = {
    "mist": ("mist_per_landed", "the mist"),
    "wet film": ("wet_film", "the wet film"),
    "texture": ("texture", "the texture"),
}
NOW = "as set now"


class Column(NamedTuple):
    """A column of the table: what it shows of a coat, which way is better (0: neither), what is held against what."""

    key: str
    label: str
    name: str  # row of the nomenclature
    better: int
    of: Callable[[Coat], Any]
    judged: Callable[[Coat], Any]  # film brought to one dry film, losses per gram landed


def _plain(
    key: str, label: str, name: str, better: int, of: Callable[[Any], Any], judged: Callable[[Any], Any] | None = None
) -> Column:
    return Column(key, label, name, better, lambda coat: of(coat.samples), lambda coat: (judged or of)(coat.samples))


COLUMNS = (
    _plain("wet_film", "wet film", "wet_film", 0, lambda s: s.wet_film),
    _plain("passes", "passes", "passes", -1, lambda s: s.passes, lambda s: s.passes / s.dry_film),
    _plain("time", "time of a coat", "coat_time", -1, lambda s: s.time, lambda s: s.time / s.dry_film),
    _plain("transfer", "lands", "transfer_efficiency", 1, lambda s: s.account.transfer_efficiency),
    _plain("mist", "mist per 100 landed", "film_ratio", -1, lambda s: 100 * s.mist_per_landed),
    _plain("past_edge", "past the edge per 100", "film_ratio", -1, lambda s: 100 * s.past_edge_per_landed),
    _plain("texture", "texture", "texture", -1, lambda s: s.texture, lambda s: s.texture / np.sqrt(s.dry_film)),
    _plain("dry_spray", "lands too dry", "dry_spray", -1, lambda s: s.dry_spray),
    _plain("air_use", "air", "air_use", -1, lambda s: s.air_use),
    Column("duty", "air over what the compressor gives", "duty", -1, lambda coat: coat.duty, lambda coat: coat.duty),
)
BY_KEY = {column.key: column for column in COLUMNS}


class Pair(NamedTuple):
    """One row against another in one column: the shares of the samples on the better side and alike."""

    better: float
    same: float

    @property
    def words(self) -> str:
        """The better side and how sure; equal is called equal."""
        if self.same >= SURE:
            return "the same"
        if self.better >= SURE:
            return f"better in {share_words(self.better)}"
        if self.better + self.same <= 1 - SURE:
            return f"worse in {share_words(1 - self.better - self.same)}"
        return f"open: better in {share_words(self.better)}"


def share_words(value: float) -> str:
    """A share of the samples; what is rounded to all or to none of them is not called so."""
    nearly = "over " if 0.995 <= value < 1 else "under " if 0 < value < 0.005 else ""
    held = min(max(value, 0.01), 0.99) if nearly else value
    return nearly + quantities.shown(held, "sample_share", digits=2) if value < 1 else "all"


def pair(column: Column, one: Coat, other: Coat) -> Pair:
    """Both share every sample: it is one gun."""
    a, b = np.broadcast_arrays(column.judged(one), column.judged(other))
    alike = np.abs(a - b) <= ALIKE * np.maximum(np.abs(a), np.abs(b))
    first = (a > b) if column.better > 0 else (a < b)
    return Pair(float(np.mean(first & ~alike)), float(np.mean(alike)))


# --- what is kept ------------------------------------------------------------------------------------------


def kept(keys: Mapping[str, Any]) -> dict[str, dict[str, float]]:
    """The pinned settings by name; what somebody else wrote there is left out when it is none."""
    found = folder.setting(SETTING)
    rows = {
        name: {**UNSAID, **row} if isinstance(row, dict) else row
        for name, row in (found if isinstance(found, dict) else {}).items()
    }
    return {name: {key: float(row[key]) for key in keys} for name, row in rows.items() if _is_setting(row, keys)}


def _is_setting(row: Any, keys: Mapping[str, Any]) -> bool:
    if not isinstance(row, dict) or not set(keys) <= set(row):
        return False
    for key in keys:
        value, known = row[key], names()[key]
        if isinstance(value, bool) or not isinstance(value, (int, float)) or not known.low <= value <= known.high:
            return False
    return True


def _read_name(name: Any) -> str:
    if not isinstance(name, str) or not name.strip() or len(name.strip()) > LONGEST or not name.strip().isprintable():
        raise InputError(
            "name", f"must be 1 to {LONGEST} characters.", 'Give it a name such as "low air".', kind="too long"
        )
    if name.strip() == NOW:
        raise InputError("name", "is in use for the setting on the bench.", "Choose another name.", kind="taken")
    return name.strip()


class PinBench(Bench):
    """A bench of the gun whose settings can be pinned."""

    order, reversed = "", False  # the column by which the rows stand, and which way
    base = NOW  # the row that the others are held against

    def pin(self, name: str) -> PinBench:
        """Pin the present setting under a name; it replaces one of that name."""
        key = _read_name(name)
        setting = {**{k: float(v) for k, v in self.values.items()}, **one_coat.job(self.values)}

        def added(there: Any) -> dict[str, Any]:
            rows = {k: v for k, v in (there if isinstance(there, dict) else {}).items() if k != key}
            if len(rows) >= MOST:
                raise InputError("name", f"{MOST} settings are pinned already.", "Unpin one first.", kind="count")
            return {**rows, key: setting}

        folder.change_setting(SETTING, added)
        self._tell()
        return self

    def unpin(self, name: str) -> PinBench:
        """Take a setting off the table."""
        if name not in self.pinned:
            raise InputError(
                "name", f"{str(name)[:LONGEST]!r} is not pinned.", "There is nothing to unpin.", kind="unknown"
            )
        folder.change_setting(SETTING, lambda there: {k: v for k, v in there.items() if k != name})
        if self.base == name:
            self.base = NOW
        self._tell()
        return self

    def use(self, name: str) -> PinBench:
        """Set the bench to a pinned setting."""
        if name not in self.pinned:
            raise InputError("name", f"{str(name)[:LONGEST]!r} is not pinned.", "Pin it first.", kind="unknown")
        self.move({key: value for key, value in self.pinned[name].items() if key in self.controls})
        return self

    def sort(self, column: str = "", backwards: bool = False) -> PinBench:
        """Order the rows by a column; by none they stand as they were pinned."""
        self.order = quantities.read_choice(column, tuple(BY_KEY), "column") if column else ""
        self.reversed = backwards
        self._tell()
        return self

    def hold_against(self, name: str) -> PinBench:
        """The row that the others are held against: a pinned one, or "as set now"."""
        self.base = quantities.read_choice(name, (NOW, *self.pinned), "name")
        self._tell()
        return self

    @property
    def pinned(self) -> dict[str, dict[str, float]]:
        """Settings by name (SI), as they were pinned."""
        with contextlib.suppress(InputError):
            return kept({**self.controls, **dict.fromkeys(one_coat.JOB)})
        return {}

    def rows_of_pins(self) -> dict[str, Coat]:
        """Every row by its name, in order: the setting of the bench first, where no column orders them."""
        found = {NOW: self.result.coat, **{name: one_coat.coat(setting) for name, setting in self.pinned.items()}}
        if not self.order:
            return found
        middles = {name: float(np.median(BY_KEY[self.order].of(coat))) for name, coat in found.items()}
        return {name: found[name] for name in sorted(found, key=middles.__getitem__, reverse=self.reversed)}

    @property
    def pins(self) -> page.Piece:
        """The table of what is pinned, on the page and as text."""
        head, rows = self.pin_table()
        return page.Piece(self.pins_html, page.plain_table(head, rows))

    def pin_table(self) -> tuple[list[str], list[list[str]]]:
        """Head and rows in words: each cell its band and, beside the row held against, its side of the pair."""
        system, found = unit_system.chosen(), self.rows_of_pins()
        base = self.base if self.base in found else NOW
        against = found[base]
        head = ["setting", *(_head(column, system) for column in COLUMNS)]
        rows = []
        for name, coat in found.items():
            cells = [name]
            for column in COLUMNS:
                words = _band_words(column, coat, system)
                if name != base and len(found) > 1 and column.better:
                    words = f"{words} – {pair(column, coat, against).words}"
                cells.append(words)
            rows.append(cells)
        return head, rows

    @property
    def pins_html(self) -> str:
        head, rows = self.pin_table()
        base = self.base if self.base in self.pinned else NOW
        caption = (
            f"Compared with “{base}”. Mist and past the edge per part landed; passes, time and texture at "
            f"equal dry film. {_compressor_words()}"
        )
        folded = page.folded("Each pair, in words", page.items(self.pairs())) if len(rows) > 2 else ""
        return page.table(head, rows) + page.paragraph(caption) + folded

    def pairs(self) -> list[str]:
        """Each pair of rows: on which side is which loss less, and how sure."""
        told = []
        for (first, one), (second, other) in itertools.combinations(self.rows_of_pins().items(), 2):
            parts = [f"{column.label} {pair(column, one, other).words}" for column in COLUMNS if column.better]
            alike = all(pair(column, one, other).same >= SURE for column in COLUMNS if column.better)
            told.append(f"{first} against {second}: {'the same.' if alike else '; '.join(parts) + '.'}")
        return told

    def narrower(self, answer: str = "mist") -> str:
        """Which uncertain numbers make the band of this answer wide, and which measurement would narrow it most."""
        part, words = ANSWERS[quantities.read_choice(answer, tuple(ANSWERS), "answer")]
        setting: dict[str, Any] = {**one_coat.job(self.values), **self.values}
        known = one_coat.mine(setting["tip_bore"]).coefficients
        could = {way: seen for way, seen in measurable(**setting).items() if ways()[way].minutes <= QUICK}
        numbers: dict[str, Any] = {**setting, **known}
        found = widest(spraying.spray_setting, part, measurements=could, **numbers)
        causes = [f"{names()[coefficients()[one.key].name].label} ({one.share:.0%})" for one in found.causes[:3]]
        best, *rest = found.measurements
        way = ways()[best.way]
        told = (
            f"To narrow the band of {words}: {way.title[0].lower()}{way.title[1:]}, {way.minutes:g} minutes. "
            f"That would cut it to {best.left:.0%} of its width"
        )
        if rest:
            second = ways()[rest[0].way].title
            told += f". Next best: {second[0].lower()}{second[1:]}, {rest[0].left:.0%}"
        return f"{told}. What makes it wide: {', '.join(causes)} (share that each explains alone)."

    def save_pins(self, path: Any = None) -> Path:
        """Write the table as CSV, whole or not at all: in the learner's folder, or where the path says."""
        try:
            file = folder.folder() / FILE if path is None else Path(path)
        except TypeError:
            raise InputError(
                "path", "is not a path.", 'Give a file name such as "what-if.csv".', kind="form"
            ) from None
        text = io.StringIO()
        csv.writer(text, lineterminator="\n").writerows(self._numbers())
        keeping.change(file, lambda _: text.getvalue(), lambda _: None)
        return file

    def _numbers(self) -> list[list[Any]]:
        system, found = unit_system.chosen(), self.rows_of_pins()
        against = found.get(self.base, self.result.coat)
        head: list[Any] = ["setting", *(named(row, system, self.label(key)) for key, row in self.rows.items())]
        for column in COLUMNS:
            label = _head(column, system)
            head += [f"{label}, {end}" for end in Band._fields]
            if column.better:
                head += [f"{column.label}: better than {self.base} in share of samples", f"{column.label}: alike in"]
        table = [head]
        settings = {NOW: self.values, **self.pinned}
        for name, coat in found.items():
            line: list[Any] = [_harmless(name)]
            line += [_six(settings[name][key], row.key, system) for key, row in self.rows.items()]
            for column in COLUMNS:
                line += [_six(end, column.name, system) for end in _band(column, coat)]
                if column.better:
                    line += list(pair(column, coat, against))
            table.append(line)
        return table

    def __repr__(self) -> str:
        told = super().__repr__()
        return f"{told}\n{self.pins}" if self.pinned else told


_BANDS: dict[int, tuple[Coat, dict[str, Band]]] = {}  # of coats worked out lately: a pinned one stays as it is


def _band(column: Column, coat: Coat) -> Band:
    if id(coat) not in _BANDS:
        if len(_BANDS) > 2 * MOST:
            _BANDS.clear()
        told = [np.broadcast_to(np.asarray(one.of(coat), dtype=float), one_coat.DRAWS) for one in COLUMNS]
        ends = quantiles(np.stack(told, axis=1))
        bands = zip(*(end.tolist() for end in ends), strict=True)
        _BANDS[id(coat)] = coat, {one.key: Band(*band) for one, band in zip(COLUMNS, bands, strict=True)}
    return _BANDS[id(coat)][1][column.key]


def _head(column: Column, system: System) -> str:
    """What stands over a column: its label, its unit, and whether the compressor's part in it was measured."""
    label = named(names()[column.name], system, column.label)
    assumed = column.key == "duty" and not own.is_measured(one_coat.COMPRESSOR)
    return f"{label} – compressor not measured" if assumed else label


def _compressor_words() -> str:
    supplied = one_coat.mine().compressor
    gives = quantities.shown_band(supplied.low, supplied.high, "air_use", unit_system.chosen())
    if own.is_measured(one_coat.COMPRESSOR):
        return f"Your compressor gives {gives}. Over 100 % the receiver falls while you spray."
    return (
        f"Your compressor is not measured: a garage one gives {gives} (assumed). Time how long yours takes to fill "
        "its receiver. Over 100 % the receiver falls while you spray."
    )


def _band_words(column: Column, coat: Coat, system: System) -> str:
    low, middle, high = _band(column, coat)
    if math.isclose(low, high, rel_tol=1e-6):
        return _bare(quantities.shown(middle, column.name, system, 2), column, system)
    return _bare(quantities.shown_band(low, high, column.name, system), column, system)


def _bare(text: str, column: Column, system: System) -> str:
    """Without the unit, which the head of the column says."""
    unit = names()[column.name].unit(system)
    return text.removesuffix(unit).rstrip(" \N{NARROW NO-BREAK SPACE}") if unit else text


def _six(value: float, name: str, system: System) -> float:
    """A number for the file, in the unit shown: six digits, not what is left of a conversion."""
    return float(f"{quantities.in_unit(value, name, system):.6g}")


def _harmless(name: str) -> str:
    """A name that a spreadsheet cannot take for a formula."""
    return f"'{name}" if name[:1] in "=+-@" else name
