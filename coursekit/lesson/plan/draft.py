"""What stands in the form of a repair, whether it can be played or not: a title, what is given, and the steps."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from coursekit.errors import Problem, Where, says
from coursekit.lesson.plan.entries import GIVEN, OPTIONAL, SHEETS, THERE, Table, fields_of, voice_of
from coursekit.repair.formats import FORMAT, renamed
from coursekit.repair.steps import STEPS

_KNOWN = {"format", "title", "material", "step", *GIVEN}


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

    @classmethod
    def of(cls, written: Mapping[str, Any]) -> Draft:
        """From the tables of a recipe."""
        panel = dict(written.get("panel", {}))
        damage = panel.pop("damage", None)
        tables = {**{key: written.get(key, {}) for key in GIVEN}, "panel": panel, "damage": damage or {}}
        given = {key: Table.of(key, tables[key]) for key in GIVEN}
        if damage is None:
            given["damage"].written[THERE] = "no"
        given |= {name: Table.of(name, written.get("material", {}).get(name, {})) for name in SHEETS}
        return cls(
            str(written.get("title", "A repair")),
            given,
            [Table.of(table["do"], table) for table in written["step"]],
            {key: table for key, table in written.items() if key not in _KNOWN},
        )

    def written(self) -> dict[str, Any]:
        """The tables of the recipe; what is empty is left out."""
        found: dict[str, Any] = {"format": FORMAT, "title": self.title}
        for key in GIVEN:
            table = self.given[key].table()
            if key != "damage" and table and not (key in OPTIONAL and self.given[key].empty):
                found[key] = table
        if self.given["damage"].raw(THERE) != "no":
            found["panel"] = {**found.get("panel", {}), "damage": self.given["damage"].table()}
        if sheets := {name: table for name in SHEETS if (table := self.given[name].table())}:
            found["material"] = sheets
        return {**found, **self.rest, "step": [one.table() for one in self.steps]}

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
            "steps": [{"do": one.kind, "written": one.written} for one in self.steps],
            "rest": self.rest,
        }

    @classmethod
    def of_state(cls, kept: Mapping[str, Any]) -> Draft:
        """From what was kept; KeyError, TypeError, ValueError or AttributeError when it is none."""
        kept = kept if kept.get("format") == FORMAT else modern_draft(kept)
        draft = cls(
            str(kept["title"]),
            {key: Table(key, dict(kept["given"][key])) for key in (*GIVEN, *SHEETS)},
            [Table(str(one["do"]), dict(one["written"])) for one in kept["steps"]],
            dict(kept["rest"]),
        )
        for table in draft.tables():
            known = table.written if table.kind == "price" else fields_of(table.kind)
            table.written = {key: str(text) for key, text in table.written.items() if key in known}
            table.typed = list(table.written)
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
            Complaint(_named(self.words(part), table, key), table, key, said)
            for part, table in parts
            for key, said in table.errors.items()
        ]

    def complaint(self, problem: Problem) -> Complaint:
        """What the recipe's reader or an act found, at its entry."""
        place, table, key = self._place(problem.where)
        return Complaint(place, table, key, says(problem, voice_of(table.kind if table else "")))

    def _place(self, where: Where) -> tuple[str, Table | None, str]:
        """A place in the recipe: in words, its table and its entry."""
        part: str | int | None = None
        top, *keys = where
        if top == "step" and keys:
            part = int(keys.pop(0)) + 1
        elif top == "material" and keys:
            part = str(keys.pop(0))
        elif where[:2] == ("panel", "damage"):
            part, keys = "damage", keys[1:]
        elif top in GIVEN:
            part = str(top)
        if part is None:
            return ("Name of the repair" if top == "title" else "This plan"), None, ""
        table = self.given[part] if isinstance(part, str) else self.steps[part - 1]
        key = ".".join(map(str, keys))
        if key not in fields_of(table.kind):
            key = ""
        return _named(self.words(part), table, key), table, key


def modern_draft(kept: Mapping[str, Any]) -> dict[str, Any]:
    """A draft kept before keys of steps were renamed, with the names they have now."""
    return {
        **kept,
        "steps": [{**one, "written": renamed(str(one["do"]), one["written"])} for one in kept["steps"]],
    }


def _named(part: str, table: Table, key: str) -> str:
    words = part[:1].upper() + part[1:]
    return f"{words}, “{fields_of(table.kind)[key].words.removeprefix('– ')}”" if key else words


def step_title(table: Table) -> str:
    """What a step does, in a few words: "block P320", "spray surfacer", "wait 5 h"."""
    return STEPS[table.kind].title(table.raw)
