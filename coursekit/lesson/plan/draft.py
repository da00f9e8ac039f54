"""What stands in the form of a repair, whether it can be played or not: a title, what is given, and the steps."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from coursekit.errors import Problem, Where, says
from coursekit.lesson.plan.entries import (
    ASKED,
    GIVEN,
    OPTIONAL,
    SHEETS,
    THERE,
    Table,
    fields_of,
    listed,
    told_hours,
    voice_of,
    words_of,
)
from coursekit.repair import damage as damages
from coursekit.repair.damage import Damage
from coursekit.repair.formats import FORMAT, renamed
from coursekit.repair.outline import Choice, base_tables
from coursekit.repair.steps import STEPS
from coursekit.tomlfile import Document

_KNOWN = {"format", "title", "material", "step", *GIVEN}
_IN_RECIPE = tuple(key for key in GIVEN if key not in ("stock", "hours", "wish"))
# What the file of a damage calls otherwise: its table and key, and the entry of the form.
_CALLED = {
    ("panel", "kind"): "shape",
    ("damage", "depth"): "low",
    ("damage", "reaches"): "down_to",
}
_BARE, _SHEET = "bare", "bare sheet"
_OF_PANEL = ("shape", "sheet", "width", "height", "radius_along", "radius_up", "line_height", "old_paint")
_CARD = {"width": "300 mm", "height": "200 mm"}  # a card is a small plain panel
_PLACE = {"x", "y", "width", "height", "low"}
_OF_DAMAGE = ("x", "y", "width", "height", "low", "down_to", "on_it")


class Complaint(NamedTuple):
    """What cannot be: its place in words, the table and the entry it is about, and problem and remedy."""

    place: str
    table: Table | None
    key: str
    said: str

    def __str__(self) -> str:
        return f"{self.place}: {self.said}"


@dataclass
class Draft:
    """What stands in the form: the title, the tables of what is given, and the steps."""

    title: str
    given: dict[str, Table] = field(default_factory=dict)
    steps: list[Table] = field(default_factory=list)
    rest: dict[str, Any] = field(default_factory=dict)  # tables that the form does not ask for
    planned: bool = False  # panel and place follow from what was asked; otherwise they stand as a recipe has them

    @classmethod
    def of(cls, written: Mapping[str, Any]) -> Draft:
        """From the tables of a recipe."""
        panel = dict(written.get("panel", {}))
        damage = panel.pop("damage", None)
        tables = {**{key: written.get(key, {}) for key in _IN_RECIPE}, "panel": panel, "damage": damage or {}}
        given = {key: Table.of(key, tables.get(key, {})) for key in GIVEN}
        given["garage"].written["spray_at"] = "home"  # the recipe says in which air
        if damage is None:
            given["damage"].written[THERE] = "no"
        given |= {name: Table.of(name, written.get("material", {}).get(name, {})) for name in SHEETS}
        return cls(
            str(written.get("title", "A repair")),
            given,
            [Table.of(table["do"], table) for table in written["step"]],
            {key: table for key, table in written.items() if key not in _KNOWN},
        )

    @classmethod
    def of_damage(cls, written: Mapping[str, Any]) -> Draft:
        """From the tables of a damage: no step yet."""
        given = {key: Table(key) for key in (*GIVEN, *SHEETS)}
        for part in ("panel", "damage", "garage", "forecast", "stock", "gun", "wish"):
            found = {
                _CALLED.get((part, key), key): value
                for key, value in written.get(part, {}).items()
                if not (isinstance(value, str) and value.strip().casefold() == damages.UNKNOWN)
            }
            given[part] = Table.of(part, found)
        shape, reached = given["panel"].written.get("shape", ""), given["damage"].written
        if shape in damages.ALSO:
            given["panel"].written["shape"] = damages.ALSO[shape]
        if reached.get("down_to") == _BARE:
            reached["down_to"] = _SHEET
        given["measured"] = Table.of("measured", written.get("measured", {}))
        given["hours"].written = told_hours(written.get("hours", []))
        for name, table in written.get("material", {}).items():
            given[name] = Table.of(name, table)
        rest = {"measurement": written["measurement"]} if "measurement" in written else {}
        return cls(str(written.get("title", Damage.title)), given, [], rest, planned=True)

    def asked(self) -> dict[str, Any]:
        """The tables of the damage; what nobody knows is left out."""
        given = {key: self.given[key].table() for key in GIVEN}
        panel = {key: value for key, value in given["panel"].items() if key in _OF_PANEL}
        if "shape" in panel:
            panel = panel if panel["shape"] in damages.KINDS else {**_CARD, **panel, "shape": "plain panel"}
        damage = {key: value for key, value in given["damage"].items() if key in _OF_DAMAGE}
        if damage.get("down_to") == _SHEET:
            damage["down_to"] = _BARE
        tables = {
            "panel": panel,
            "damage": damage,
            "garage": given["garage"],
            "forecast": {} if self.given["forecast"].empty else given["forecast"],
            "gun": {key: value for key, value in given["gun"].items() if key in ASKED["gun"]},
            "wish": given["wish"],
            **listed("stock", self.given["stock"].written),
        }
        back = {(part, new): old for (part, old), new in _CALLED.items()}
        found: dict[str, Any] = {"format": damages.FORMAT, "title": self.title}
        for part, table in tables.items():
            if table:
                found[part] = {back.get((part, key), key): value for key, value in table.items()}
        if sheets := self._sheets():
            found["material"] = sheets
        if measured := given["measured"]:
            found["measured"] = measured
        rest = {key: self.rest[key] for key in ("measurement",) if key in self.rest}
        hours = listed("hours", self.given["hours"].written)
        return {**found, **rest, **(hours if hours["hours"] else {})}

    def damage(self) -> Damage:
        """What is asked, read. Raises InputError."""
        return damages.from_document(Document.of_tables(self.asked(), "damage"))

    def written(self) -> dict[str, Any]:
        """The tables of the recipe; what is empty is left out."""
        found: dict[str, Any] = {"format": FORMAT, "title": self.title}
        for key in _IN_RECIPE:
            table = {name: value for name, value in self.given[key].table().items() if name not in ASKED.get(key, {})}
            if key != "damage" and table and not (key in OPTIONAL and self.given[key].empty):
                found[key] = table
        if self.planned:
            found = self._planned(found)
        elif self.given["damage"].raw(THERE) != "no":
            damage = self._damaged()
            if len(_PLACE & damage.keys()) < len(_PLACE):  # what is not known is taken as usual
                damage = base_tables(self.damage(), Choice())["panel"]["damage"] | damage
            found["panel"] = {**found.get("panel", {}), "damage": damage}
        if found.get("panel", {}).get("sheet") == "aluminium":
            found["panel"]["sheet"] = "steel"  # it stands, bare, as steel does
        if sheets := self._sheets():
            found["material"] = sheets
        return {**found, **self.rest, "step": [one.table() for one in self.steps]}

    def _damaged(self) -> dict[str, Any]:
        """The damage as a recipe has it."""
        table = {key: value for key, value in self.given["damage"].table().items() if key not in ASKED["damage"]}
        if table.get("down_to") == "old filler":
            table["down_to"] = _SHEET
        return table

    def _planned(self, found: dict[str, Any]) -> dict[str, Any]:
        """Panel, place and air as the plan takes them, with what was written as it was written."""
        base = base_tables(self.damage(), Choice())
        place, typed = base["panel"]["damage"], self._damaged()
        for key in ("x", "y", "width", "height", "stripped", "feather"):
            if key in typed:
                place[key] = typed[key]
        panel = {**base["panel"], **found.get("panel", {})}
        if self.given["damage"].raw(THERE) == "no":
            del panel["damage"]
        home = self.given["garage"].raw("spray_at") == "home"
        found = {**found, "panel": panel, "garage": {**base["garage"], **(found.get("garage", {}) if home else {})}}
        if "forecast" not in base:
            found.pop("forecast", None)
        return found

    def _sheets(self) -> dict[str, Any]:
        return {name: table for name in SHEETS if (table := self.given[name].table())}

    def tables(self) -> list[Table]:
        return [*self.given.values(), *self.steps]

    # --- kept over a restart ---

    @property
    def state(self) -> dict[str, Any]:
        """All of it as plain data."""
        return {
            "format": FORMAT,
            "title": self.title,
            "given": {key: one.written for key, one in self.given.items()},
            "steps": [
                {"do": one.kind, "written": one.written, "why": one.why, "role": one.role} for one in self.steps
            ],
            "rest": self.rest,
            "planned": self.planned,
            "typed": [one.typed for one in self.tables()],
        }

    @classmethod
    def of_state(cls, kept: Mapping[str, Any]) -> Draft:
        """From what was kept; KeyError, TypeError, ValueError or AttributeError when it is none."""
        kept = kept if kept.get("format") == FORMAT else modern_draft(kept)
        draft = cls(
            str(kept["title"]),
            {key: Table(key, dict(kept["given"].get(key, {}))) for key in (*GIVEN, *SHEETS)},
            [
                Table(
                    str(one["do"]), dict(one["written"]), why=str(one.get("why", "")), role=str(one.get("role", ""))
                )
                for one in kept["steps"]
            ],
            dict(kept["rest"]),
            bool(kept.get("planned", False)),
        )
        if "planned" not in kept:  # kept before anything was asked: its own garage
            draft.given["garage"].written["spray_at"] = "home"
        typed = kept.get("typed", [[*table.written] for table in draft.tables()])
        for table, keys in zip(draft.tables(), typed, strict=True):
            known = table.written if table.kind == "price" else fields_of(table.kind)
            table.written = {key: str(text) for key, text in table.written.items() if key in known}
            table.typed = [key for key in keys if key in table.written]
            table.check_all()
        return draft

    # --- in words ---

    def words(self, part: str | int) -> str:
        """A part in a few words: "the damage", "step 16, block P320"."""
        if isinstance(part, str):
            return {**GIVEN, **SHEETS}[part]
        return f"step {part}, {step_title(self.steps[part - 1])}"

    @property
    def complaints(self) -> list[Complaint]:
        """Every entry that cannot be read."""
        parts: list[tuple[str | int, Table]] = [*self.given.items(), *enumerate(self.steps, 1)]
        return [
            Complaint(self._named(part, table, key), table, key, said)
            for part, table in parts
            for key, said in table.errors.items()
        ]

    def complaint(self, problem: Problem) -> Complaint:
        """What the recipe's reader or an act found, at its entry."""
        place, table, key = self._place(problem.where)
        return Complaint(place, table, key, says(problem, voice_of(table.kind if table else "")))

    def _named(self, part: str | int, table: Table, key: str) -> str:
        words = self.words(part)
        words = words[:1].upper() + words[1:]
        return f"{words}, “{words_of(table.kind, key, self.panel_kind).removeprefix('– ')}”" if key else words

    @property
    def panel_kind(self) -> str:
        """What panel it is, as far as it can be read."""
        return self.given["panel"].raw("shape")

    def _place(self, where: Where) -> tuple[str, Table | None, str]:
        """A place in the recipe: in words, its table and its entry."""
        part: str | int | None = None
        keys: list[str | int] = list(where)
        top = keys.pop(0) if keys else ""
        if top == "step" and keys:
            part = int(keys.pop(0)) + 1
        elif top == "material" and keys:
            part = str(keys.pop(0))
        elif where[:2] == ("panel", "damage"):
            part, keys = "damage", keys[1:]
        elif top in GIVEN:
            part = str(top)
            if keys:
                keys[0] = _CALLED.get((part, str(keys[0])), keys[0])
            if part == "stock":
                keys = keys[:1]
            elif part == "hours" and keys:
                keys[:] = [*self.given["hours"].written][:1]
        if part is None:
            return ("Name of the repair" if top == "title" else "This plan"), None, ""
        table = self.given[part] if isinstance(part, str) else self.steps[part - 1]
        key = ".".join(map(str, keys))
        if key not in fields_of(table.kind):
            key = ""
        return self._named(part, table, key), table, key


def modern_draft(kept: Mapping[str, Any]) -> dict[str, Any]:
    """A draft kept before keys of steps were renamed, with the names they have now."""
    return {
        **kept,
        "steps": [{**one, "written": renamed(str(one["do"]), one["written"])} for one in kept["steps"]],
    }


def step_title(table: Table) -> str:
    """What a step does, in a few words: "block P320", "spray surfacer", "wait 5 h"."""
    return STEPS[table.kind].title(table.raw)
