"""The learner's guns, paints, hands and panels, in one file of theirs; one of each is the chosen one.

    mine = outfit.load()
    mine = outfit.keep(spraying.Gun("my gun", tip_bore="1.3 mm", gun_inlet_pressure="20 psi"))   # kept, and chosen
    mine = outfit.choose("paint", "clear")
    spraying.spray_setting(gun=mine.gun, paint=mine.paint, hand=mine.hand, panel=mine.panel)

Until you write something down, the demo's stand in. Each change rewrites the whole file or nothing; you can read and
edit it.
"""

from __future__ import annotations

import functools
import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from importlib import resources
from pathlib import Path
from typing import Any, cast

from coursekit import keeping
from coursekit.folder import place
from coursekit.quantities import InputError, read_choice
from coursekit.records import Record
from coursekit.spraying.records import KINDS, Gun, Hand, Paint, Panel
from coursekit.tomlfile import Document

FORMAT = 1
FILE = "outfit.toml"
MOST = 50  # of a kind
_HEAD = """# Your guns, paints, hands and panels. Edit them by hand if you like. The course rewrites this file
# whenever you keep or choose one; your own comments are lost.
"""


@dataclass(frozen=True)
class Outfit:
    """What one file holds. It never changes; `keep`, `choose` and `forget` give what the file holds after them."""

    own: Mapping[str, tuple[Record, ...]] = field(default_factory=dict)  # by kind
    chosen: Mapping[str, str] = field(default_factory=dict)  # a name by kind

    def all(self, kind: str) -> tuple[Record, ...]:
        """The learner's own of that kind, then the demo's; one of the learner's hides the demo's of the same name."""
        mine = self.own.get(kind, ())
        names = {record.name for record in mine}
        return (*mine, *(record for record in demo().own[kind] if record.name not in names))

    def one(self, kind: str) -> Record:
        """The chosen one of that kind; when none is, the first of the learner's own, else the demo's."""
        known = self.all(read_choice(kind, tuple(KINDS), "kind"))
        return next((record for record in known if record.name == self.chosen.get(kind)), known[0])

    def is_own(self, kind: str) -> bool:
        """Whether the chosen one is the learner's, not the demo's."""
        return self.one(kind) in self.own.get(kind, ())

    @property
    def gun(self) -> Gun:
        return cast(Gun, self.one("gun"))

    @property
    def paint(self) -> Paint:
        return cast(Paint, self.one("paint"))

    @property
    def hand(self) -> Hand:
        return cast(Hand, self.one("hand"))

    @property
    def panel(self) -> Panel:
        return cast(Panel, self.one("panel"))

    @functools.cached_property
    def si(self) -> dict[str, float]:
        """Every number of the chosen four, in SI."""
        return {key: float(value) for kind in KINDS for key, value in self.one(kind).si.items()}

    @functools.cached_property
    def said(self) -> dict[str, float]:
        """The same, only of those that the learner wrote down or chose."""
        kinds = [kind for kind in KINDS if self.own.get(kind) or kind in self.chosen]
        return {key: float(value) for kind in kinds for key, value in self.one(kind).si.items()}


def load(path: str | Path | None = None) -> Outfit:
    """The learner's file, or an empty one. InputError names file, line, field and remedy when it cannot be read."""
    file = place() / FILE if path is None else Path(path)
    try:
        return _parsed(keeping.read_text(file), str(file))
    except FileNotFoundError:
        return Outfit()


def keep(record: Record, path: Path | None = None) -> Outfit:
    """Write a record down in place of one of its name, and choose it."""
    if not isinstance(record, Record) or record.kind not in KINDS:
        raise InputError(
            "record",
            f"a {type(record).__name__} is not one of these.",
            "Give a Gun, a Paint, a Hand or a Panel of coursekit.spraying.",
            kind="other type",
        )

    def kept(there: Outfit) -> Outfit:
        others = [one for one in there.own.get(record.kind, ()) if one.name != record.name]
        if len(others) >= MOST:
            raise InputError(record.kind, f"{MOST} of them are enough.", "Forget one first.", kind="count")
        own = {**there.own, record.kind: (*others, record)}
        return Outfit(own, {**there.chosen, record.kind: record.name})

    return _change(kept, path)


def choose(kind: str, name: str, path: Path | None = None) -> Outfit:
    """Choose one that is there, the learner's own or the demo's."""

    def chosen(there: Outfit) -> Outfit:
        names = tuple(record.name for record in there.all(read_choice(kind, tuple(KINDS), "kind")))
        return Outfit(there.own, {**there.chosen, kind: read_choice(name, names, kind)})

    return _change(chosen, path)


def forget(kind: str, name: str, path: Path | None = None) -> Outfit:
    """Take one of the learner's own out of the file; what was measured with it stays in the garage file."""

    def without(there: Outfit) -> Outfit:
        mine = there.own.get(read_choice(kind, tuple(KINDS), "kind"), ())
        if name not in [record.name for record in mine]:
            raise InputError(
                kind, f"{str(name)[:60]!r} is not one of your own.", "There is nothing to forget.", kind="unknown"
            )
        own = {**there.own, kind: tuple(record for record in mine if record.name != name)}
        chosen = {k: v for k, v in there.chosen.items() if (k, v) != (kind, name)}
        return Outfit({k: records for k, records in own.items() if records}, chosen)

    return _change(without, path)


@functools.lru_cache(maxsize=1)
def demo() -> Outfit:
    """What stands in until a learner writes down their own."""
    file = resources.files("coursekit") / "tables" / "demo" / "outfit.toml"
    return _parsed(file.read_text(encoding="utf-8"), "outfit.toml of the demo")


# --- the file ----------------------------------------------------------------------------------------------


def _change(make: Any, path: Path | None) -> Outfit:
    file = place() / FILE if path is None else path
    made: list[Outfit] = []

    def changed(text: str | None) -> str:
        made[:] = [make(Outfit() if text is None else _parsed(text, str(file)))]
        return _text(made[0])

    def check(text: str) -> None:
        if _parsed(text, str(file)) != made[0]:
            raise InputError(
                str(file), "could not be read back as it was kept.", "Write its names in plain letters.", kind="file"
            )

    keeping.change(file, changed, check)
    return made[0]


def _parsed(text: str, name: str) -> Outfit:
    document = Document(text, name)
    top = document.check_keys((), document.data, ("format", "chosen", *KINDS))
    if top.get("format") != FORMAT or isinstance(top.get("format"), bool):
        document.fail(("format",), f"must be {FORMAT}.", f"Write format = {FORMAT} at the top.", kind="format")
    chosen = document.check_keys(("chosen",), top.get("chosen", {}), KINDS)
    for kind, value in chosen.items():
        if not isinstance(value, str):
            document.fail(("chosen", kind), "is not a name.", f'Write {kind} = "the name of a {kind}".', kind="form")
    own: dict[str, tuple[Record, ...]] = {}
    for kind, cls in KINDS.items():
        rows = top.get(kind, [])
        if not isinstance(rows, list) or len(rows) > MOST:
            document.fail(
                (kind,), "must be a list of tables.", f"Write [[{kind}]] above each, {MOST} at most.", kind="list"
            )
        found: list[Record] = []
        for number, row in enumerate(rows):
            try:
                record = cls.of(row)
            except InputError as error:
                document.refuse((kind, number, error.problems[0].key), error)
            if record.name in [other.name for other in found]:
                document.fail((kind, number, "name"), "is there twice.", "Give each its own name.", kind="taken")
            found.append(record)
        if found:
            own[kind] = tuple(found)
    return Outfit(own, chosen)


def _text(outfit: Outfit) -> str:
    lines = [f"{_HEAD}format = {FORMAT}", ""]
    if outfit.chosen:
        lines += ["[chosen]", *(f"{kind} = {_value(name)}" for kind, name in outfit.chosen.items()), ""]
    for kind, records in outfit.own.items():
        for record in records:
            lines += [f"[[{kind}]]", *(f"{key} = {_value(value)}" for key, value in record.to_dict().items()), ""]
    return "\n".join(lines)


def _value(value: object) -> str:
    return json.dumps(value, ensure_ascii=False) if isinstance(value, str) else f"{value!r}"
