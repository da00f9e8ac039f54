"""What stands in the form of a repair, picked and changed: each change is played, remembered, and can be undone."""

from __future__ import annotations

import copy
import time
from collections.abc import Callable
from typing import Any, Self

from coursekit.lesson.draw.panel_maps import MAPS
from coursekit.lesson.plan import recipe_files
from coursekit.lesson.plan.draft import Complaint, Draft
from coursekit.lesson.plan.entries import THERE, Table, fields_of
from coursekit.lesson.plan.notice import NOTHING, Notice, NoticeKind, refused
from coursekit.lesson.plan.playable import ORDER, Entry, Standing, stand
from coursekit.lesson.screen.displayed import Displayed
from coursekit.quantities import InputError, read_choice
from coursekit.repair import PlanFinding, Recipe, Replay
from coursekit.repair.recipe import MOST_STEPS
from coursekit.repair.steps import STEPS

AGAIN = "the same"
KINDS_OF_STEP = tuple(STEPS)
MOST_UNDONE = 100


class Editing(Displayed):
    """`draft` is what stands in the form, `good` what of it is played."""

    draft: Draft
    good: Standing

    def __init__(self) -> None:
        self.watchers: list[Callable[[], None]] = []
        self.later: Callable[[], None] | None = (
            None  # has `settle` called soon: then a change is played roughly first
        )
        self.undone: list[tuple[Draft, str | int, recipe_files.KeptFile | None]] = []
        self.redone: list[tuple[Draft, str | int, recipe_files.KeptFile | None]] = []
        self.recent: list[Entry] = []  # what was changed since it could all be played
        self.before: Standing | None = None  # as it was played before the last change
        self.kept = recipe_files.KeptFile()  # the file of this plan
        self.view, self.seconds, self.stuck = MAPS[0], 0.0, False
        self.notice = NOTHING  # of the last button: what was done, or why it was not
        self.picked: str | int = "damage"

    def _keep(self) -> None:
        """Keep it on the disk."""

    # --- picking and showing ---

    def pick(self, which: str | int) -> Self:
        """A part – "garage", "panel", "damage", "stock", a material – or a step by its number."""
        if isinstance(which, bool) or not (
            which in self.draft.given
            if isinstance(which, str)
            else isinstance(which, int) and 1 <= which <= len(self.draft.steps)
        ):
            raise InputError(
                "part",
                "is no part of this plan.",
                f"Give {', '.join(self.draft.given)}, or a step from 1 to {len(self.draft.steps)}.",
                kind="unknown",
            )
        self.picked = which
        return self._tell()

    @property
    def table(self) -> Table:
        """The table that is picked."""
        return self.table_of(self.picked)

    def table_of(self, part: str | int) -> Table:
        """The table of a part or of a step."""
        return self.draft.given[part] if isinstance(part, str) else self.draft.steps[part - 1]

    @property
    def number(self) -> int:
        """The number of the step that is picked; 0 for what is given."""
        return self.picked if isinstance(self.picked, int) else 0

    def show(self, view: str) -> Self:
        """Choose what the map shows."""
        self.view = read_choice(view, MAPS, "map")
        return self._tell()

    # --- changing ---

    def set(self, **entries: str) -> Self:
        """Write into the part that is picked: `set(strokes="500")`, `set(**{"area.by": "80 mm"})`."""
        known = fields_of(self.table.kind)
        for key in entries:
            if key not in known:
                raise InputError(key, "is not an entry here.", f"There are: {', '.join(known)}.", kind="unknown")
        table = self.table
        self._remember(*((table.id, key) for key in entries))
        for key, text in entries.items():
            table.set(key, str(text))
            if text == "rectangle" and f"{key}.x" in known:
                for side in ("x", "y", "width", "height"):
                    self._side(table, f"{key}.{side}")
            elif text == "around" and f"{key}.by" in known and not table.raw(f"{key}.by"):
                table.written[f"{key}.by"] = "80 mm"
        return self._changed()

    def _side(self, table: Table, side: str) -> None:
        """A rectangle begins as the damage, so that there is something to move."""
        damage = self.draft.given["damage"]
        if not table.raw(side):
            table.written[side] = damage.raw(side.partition(".")[2]) or "100 mm"
        table.check(side)

    def name(self, title: str) -> Self:
        """Call the repair something: its files are called so, too."""
        self._remember()
        self.draft.title = " ".join(str(title).split())
        return self._changed()

    def add(self, do: str = AGAIN, before: bool = False) -> Self:
        """A step after the one that is picked (or before it), the same again or a new one; it is picked then."""
        do = read_choice(do, (AGAIN, *KINDS_OF_STEP), "step")
        if len(self.draft.steps) >= MOST_STEPS:
            raise InputError(
                "step", f"cannot be added: a repair has at most {MOST_STEPS}.", "Take one out first.", kind="count"
            )
        self._remember(ORDER)
        if do == AGAIN and self.number:
            one = self.table
            new = Table(one.kind, dict(one.written), list(one.typed), dict(one.wrong))
        else:
            do = "wait" if do == AGAIN else do
            entries = STEPS[do].entries()
            new = Table(do, {key: one.first for key, one in entries.items() if one.first})
            if (
                "area" in entries
                and entries["area"].default == "all"
                and self.draft.given["damage"].raw(THERE) != "no"
            ):
                new.written["area"] = "repair"
            new.check_all()
        place = self.number - 1 if before and self.number else self.number or len(self.draft.steps)
        self.draft.steps.insert(place, new)
        self.picked = place + 1
        return self._changed()

    def remove(self) -> Self:
        """Take the picked step out; the one after it is picked then."""
        number = self._step()
        if len(self.draft.steps) == 1:
            raise InputError("step", "is the only one.", "Add another before you take it out.", kind="count")
        self._remember(ORDER)
        del self.draft.steps[number - 1]
        self.picked = min(number, len(self.draft.steps))
        return self._changed()

    def move(self, by: int) -> Self:
        """Move the picked step earlier (−1) or later (1)."""
        number = self._step()
        to = min(max(number + by, 1), len(self.draft.steps))
        if to != number:
            self._remember(ORDER)
            self.draft.steps.insert(to - 1, self.draft.steps.pop(number - 1))
            self.picked = to
            self._changed()
        return self

    def undo(self) -> Self:
        """As it was before the last change."""
        return self._back(self.undone, self.redone, "undo")

    def redo(self) -> Self:
        """As it was before the last undo."""
        return self._back(self.redone, self.undone, "redo")

    def _back(self, stack: list[Any], other: list[Any], words: str) -> Self:
        if not stack:
            raise InputError("plan", f"there is nothing to {words}.", "Change something first.", kind="empty")
        other.append((copy.deepcopy(self.draft), self.picked, self.kept))
        self.draft, self.picked, kept = stack.pop()
        self.kept = kept or self.kept
        self.notice, self.before = NOTHING, self.good
        return self._changed()

    def _step(self) -> int:
        if not self.number:
            raise InputError("step", "is not picked.", "Pick a step first.", kind="unknown")
        return self.number

    def _remember(self, *changed: Entry) -> None:
        self.undone = [*self.undone[-MOST_UNDONE:], (copy.deepcopy(self.draft), self.picked, None)]
        self.redone, self.notice = [], NOTHING
        self.recent = [*(one for one in self.recent if one not in changed), *changed]
        if not self.good.rough:
            self.before = self.good

    def _changed(self, read: bool = True) -> Self:
        if read:
            self._read(preview=self.later is not None)
        self._keep()
        self._tell()
        if self.good.rough and self.later is not None:
            self.later()
        return self

    def settle(self) -> None:
        """In place of the rough plan the exact one."""
        if self.good.rough:
            self._read()
            self._tell()

    def _tell(self) -> Self:
        for watcher in self.watchers:
            watcher()
        return self

    # --- reading and playing ---

    def _read(self, preview: bool = False) -> None:
        """Play what can be played of the draft."""
        began = time.perf_counter()
        waiting = [one for one in self.good.waits if one in self.recent]  # what waited before goes on waiting
        recent = [*(one for one in self.recent if one not in waiting), *waiting]
        found = stand(self.draft, self.good.draft, recent, preview)
        self.stuck = found is None
        if found is not None:
            self.good = found
            if not found.faults and not self.draft.complaints:
                self.recent = []
        self.seconds = time.perf_counter() - began

    @property
    def recipe(self) -> Recipe:
        """What is played, as a recipe."""
        if self.good.recipe is None:
            raise InputError("plan", "has no step yet.", "Have one proposed, or begin with the demo.", kind="state")
        return self.good.recipe

    @property
    def played(self) -> Replay | None:
        return self.good.played

    @property
    def found(self) -> tuple[PlanFinding, ...]:
        """What the plan checks found."""
        return self.good.found

    @property
    def complaints(self) -> list[Complaint]:
        """What cannot be, each entry once: what leaving it out would lack is no second fault."""
        found: dict[object, Complaint] = {}
        for one in (*self.draft.complaints, *self.good.faults):
            place = (one.table.id, one.key) if one.table is not None and one.key else (one.place, one.said)
            found.setdefault(place, one)
        return list(found.values())

    @property
    def errors(self) -> list[str]:
        """What cannot be, each in a sentence with its place and remedy."""
        return list(dict.fromkeys(map(str, self.complaints)))

    def wrong(self, key: str, part: str | int | None = None) -> str:
        """What is wrong with an entry, or what it waits for; empty when nothing is."""
        table = self.table if part is None else self.table_of(part)
        said = next((one.said for one in self.complaints if one.table is table and one.key == key), "")
        waits = self.good.waits.get((table.id, key))
        if said or waits is None:
            return said
        return f"waits, and what stood here before counts: {waits}"

    @property
    def errors_elsewhere(self) -> list[str]:
        """What cannot be, but for the entries that stand on the page."""
        return list(dict.fromkeys(str(one) for one in self.complaints if one.table is not self.table or not one.key))

    @property
    def as_played(self) -> bool:
        """Whether what is played is all that stands in the form."""
        return not self.errors and not self.stuck

    @property
    def number_shown(self) -> int:
        """The step that is shown, as it is numbered in what is played; 0 for the whole repair."""
        if not self.number:
            return 0
        ids = [step.id for step in self.good.draft.steps]
        return ids.index(self.table.id) + 1 if self.table.id in ids else 0

    def press(self, work: Callable[[], Any]) -> Self:
        """The work of a button: what points away from it is said, and nothing is lost."""
        self.notice = NOTHING
        try:
            work()
        except InputError as error:
            kind: NoticeKind = "taken" if isinstance(error, recipe_files.Taken) else "refused"
            self.notice = Notice(kind, refused(error))
            self._tell()
        return self

    @property
    def refused(self) -> str:
        """Why the last button did nothing; empty when it did its work."""
        return self.notice.text if self.notice.kind in ("refused", "taken") else ""
