"""The plan of a whole repair of the learner's own: what stands in it, what is changed, what it is when played.

    form = lesson.plan_repair()
    form.pick(14).set(strokes="500", paper="P400")
    form.add("wait").set(time="2 h")
    form.name("Left door").save()

What is typed stays, right or wrong; while something in it cannot be, the pictures show the last plan that could.
"""

from __future__ import annotations

import copy
import time
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from coursekit import repair
from coursekit.errors import say
from coursekit.lesson.draw.panel_maps import VIEWS
from coursekit.lesson.learner import unit_system
from coursekit.lesson.plan import recipe_files
from coursekit.lesson.plan.draft import Complaint, Draft
from coursekit.lesson.plan.entries import THERE, Table, fields_of
from coursekit.lesson.plan.notice import BUTTON, NOTHING, Notice, NoticeKind
from coursekit.lesson.repair.demo_recipes import demo, with_mine
from coursekit.lesson.repair.drag import whole
from coursekit.lesson.screen.displayed import Displayed
from coursekit.quantities import InputError, read_choice
from coursekit.quantities import shown as in_words
from coursekit.repair import PlanFinding, Recipe, Replay, plan_checks
from coursekit.repair.recipe import MOST_STEPS, from_document
from coursekit.repair.steps import STEPS
from coursekit.tomlfile import Document

DEMOS = {"the demo, step by step": "door_repair", "the demo, in a hurry": "impatient_repair"}
MAPS = ("what shows", *VIEWS)
AGAIN = "the same"
KINDS_OF_STEP = tuple(STEPS)
MOST_UNDONE = 100
OLD = "This is the plan as it was before: "


class PlanForm(Displayed):
    """`begin`, `pick`, `set`, `add`, `remove`, `move`, `take_back`, `save`, `sheet` and `words` need no browser."""

    def __init__(self, recipe: Any = None) -> None:
        self.watchers: list[Callable[[], None]] = []
        self.undone: list[tuple[Draft, str | int, recipe_files.Kept | None]] = []
        self.kept = recipe_files.Kept()  # the file of this plan
        self.view, self.seconds = MAPS[0], 0.0
        self.fault: Complaint | None = None  # what cannot be of a plan whose entries can all be read
        self.notice = NOTHING  # of the last button: what was done, or why it was not
        self.picked: str | int = "garage"
        self.sheet_path: Path | None = None
        self.file = recipe_files.DraftFile()
        for name in recipe_files.drafts().values() if recipe is None else ():
            file, kept = recipe_files.DraftFile.of(name)
            if kept and self._restored(kept):
                self.file = file
                return
        if recipe is None:
            self._take(with_mine(demo().written))
        else:
            mine = repair.load(recipe) if isinstance(recipe, (str, Path)) else recipe
            if not isinstance(mine, Recipe):
                raise InputError(
                    "recipe",
                    "is not a recipe.",
                    "Give the path of its file, or repair.load(path).",
                    kind="other type",
                )
            self._take(mine.written)
            if isinstance(recipe, (str, Path)):
                self.kept = recipe_files.Kept.of(Path(recipe))
        self.picked = "garage"

    # --- where to begin ---

    def starts(self) -> list[str]:
        """What a plan may begin with: the demos and the learner's own files."""
        mine = self.file.name
        return [
            *DEMOS,
            *(words for words, name in recipe_files.drafts().items() if name != mine),
            *recipe_files.saved(),
        ]

    def begin(self, which: str) -> PlanForm:
        """Begin with a demo or open a file of one's own; when it cannot be, the form keeps what it has."""

        def work() -> None:
            if which not in self.starts():
                raise InputError(
                    "begin with", "is not there.", f"There are: {'; '.join(self.starts())}.", kind="file"
                )
            if which in recipe_files.drafts():
                self._take_up(which)
                return
            file = None if which in DEMOS else recipe_files.place(which)
            recipe = demo(DEMOS[which]) if file is None else repair.load(file)
            before = copy.deepcopy(self.draft), self.picked, self.kept
            self._take(with_mine(recipe.written) if file is None else recipe.written)
            self.undone.append(before)
            self.kept = recipe_files.Kept() if file is None else recipe_files.Kept.of(file)
            self.picked = "garage"
            begun = f"Started from {which}." if file is None else f"Opened {file.name}."
            self.notice = Notice("done", f"{begun} “Take back” brings back the plan that was here.")
            self._changed(read=False)

        return self.press(work)

    def _take_up(self, which: str) -> None:
        """Go on with another draft; the one shown here stays in its file."""
        file, kept = recipe_files.DraftFile.of(recipe_files.drafts()[which])
        if not kept or not self._restored(kept):
            raise InputError(which, "cannot be read.", f"It is kept in {file.path}.", kind="file")
        self.file, self.picked, self.undone = file, "garage", []
        self._tell()

    def _take(self, written: Mapping[str, Any]) -> None:
        """Put a recipe's tables into the form, once they were played."""
        draft = Draft.of(written)
        recipe, played, found = self._play(draft)
        self.draft, self.recipe, self.played, self.found = draft, recipe, played, found
        self.fault = None

    def _restored(self, kept: Mapping[str, Any]) -> bool:
        """The draft that was left standing, when it can still be read."""
        try:
            draft = Draft.of_state(kept)
            self._take(from_document(Document.of_tables(kept["playable"], "plan")).written)
            self.draft = draft
            self.kept = recipe_files.Kept(Path(kept["file"]) if kept["file"] else None, str(kept["text"]))
        except (KeyError, TypeError, AttributeError, ValueError):
            return False
        self._read()
        self.notice = Notice("done", "Here is your plan as you left it.")
        return True

    # --- picking and showing ---

    def pick(self, which: str | int) -> PlanForm:
        """A part – "garage", "panel", "damage", "hand", "measured", a material – or a step by its number."""
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
        return self.draft.given[self.picked] if isinstance(self.picked, str) else self.draft.steps[self.picked - 1]

    @property
    def number(self) -> int:
        """The number of the step that is picked; 0 for what is given."""
        return self.picked if isinstance(self.picked, int) else 0

    def show(self, view: str) -> PlanForm:
        """Choose what the map shows."""
        self.view = read_choice(view, MAPS, "map")
        return self._tell()

    # --- changing ---

    def set(self, **entries: str) -> PlanForm:
        """Write into the part that is picked: `set(strokes="500")`, `set(**{"area.x": "300 mm"})`."""
        known = fields_of(self.table.kind)
        for key in entries:
            if key not in known:
                raise InputError(key, "is not an entry here.", f"There are: {', '.join(known)}.", kind="unknown")
        self._remember()
        table = self.table
        for key, text in entries.items():
            table.set(key, str(text))
            if text == "rectangle" and f"{key}.x" in known:
                for side in known:
                    if side.startswith(f"{key}."):
                        self._side(table, side)
        return self._changed()

    def _side(self, table: Table, side: str) -> None:
        """A rectangle begins as the damage, so that there is something to move."""
        damage = self.draft.given["damage"]
        if not table.raw(side):
            table.written[side] = damage.raw(side.partition(".")[2]) or "100 mm"
        table.check(side)

    def name(self, title: str) -> PlanForm:
        """Call the repair something: its file is called so, too."""
        self._remember()
        self.draft.title = " ".join(str(title).split())
        return self._changed()

    def add(self, do: str = AGAIN, before: bool = False) -> PlanForm:
        """A step after the one that is picked (or before it), the same again or a new one; it is picked then."""
        do = read_choice(do, (AGAIN, *KINDS_OF_STEP), "step")
        if len(self.draft.steps) >= MOST_STEPS:
            raise InputError(
                "step", f"cannot be added: a repair has at most {MOST_STEPS}.", "Take one out first.", kind="count"
            )
        self._remember()
        if do == AGAIN and self.number:
            new = copy.deepcopy(self.table)
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
        place = self.number - 1 if before and self.number else self.number
        self.draft.steps.insert(place, new)
        self.picked = place + 1
        return self._changed()

    def remove(self) -> PlanForm:
        """Take the picked step out; the one after it is picked then."""
        number = self._step()
        if len(self.draft.steps) == 1:
            raise InputError("step", "is the only one.", "Add another before you take it out.", kind="count")
        self._remember()
        del self.draft.steps[number - 1]
        self.picked = min(number, len(self.draft.steps))
        return self._changed()

    def move(self, by: int) -> PlanForm:
        """Move the picked step earlier (−1) or later (1)."""
        number = self._step()
        to = min(max(number + by, 1), len(self.draft.steps))
        if to != number:
            self._remember()
            self.draft.steps.insert(to - 1, self.draft.steps.pop(number - 1))
            self.picked = to
            self._changed()
        return self

    def take_back(self) -> PlanForm:
        """As it was before the last change."""
        if not self.undone:
            raise InputError("plan", "there is nothing to take back.", "Change something first.", kind="empty")
        self.draft, self.picked, kept = self.undone.pop()
        self.kept = kept or self.kept
        self.notice = NOTHING
        return self._changed()

    def _step(self) -> int:
        if not self.number:
            raise InputError("step", "is not picked.", "Pick a step first.", kind="unknown")
        return self.number

    def _remember(self) -> None:
        self.undone = [*self.undone[-MOST_UNDONE:], (copy.deepcopy(self.draft), self.picked, None)]
        self.notice = NOTHING

    def _changed(self, read: bool = True) -> PlanForm:
        if read:
            self._read()
        self._keep()
        return self._tell()

    def _keep(self) -> None:
        if told := self.file.keep(self._state()):
            self.notice = Notice(self.notice.kind or "done", f"{self.notice.text} {told}".strip())

    def _tell(self) -> PlanForm:
        for watcher in self.watchers:
            watcher()
        return self

    # --- reading and playing ---

    def _read(self) -> None:
        """Play the draft, when it can be; otherwise say what cannot be, and leave what was played."""
        self.fault = None
        if any(table.errors for table in self.draft.tables()):
            return
        began = time.perf_counter()
        try:
            self.recipe, self.played, self.found = self._play(self.draft)
        except InputError as error:
            self.fault = self.draft.complaint(error.problems[0])
        self.seconds = time.perf_counter() - began

    @staticmethod
    def _play(draft: Draft) -> tuple[Recipe, Replay, tuple[PlanFinding, ...]]:
        recipe = from_document(Document.of_tables(draft.written(), "plan"))
        played = repair.replay(recipe)
        return recipe, played, plan_checks(played)

    @property
    def complaints(self) -> list[Complaint]:
        """What cannot be."""
        return self.draft.complaints or ([self.fault] if self.fault else [])

    @property
    def errors(self) -> list[str]:
        """What cannot be, each in a sentence with its place and remedy."""
        return [str(one) for one in self.complaints]

    def wrong(self, key: str) -> str:
        """What is wrong with an entry of the picked part; empty when nothing is."""
        return next((one.said for one in self.complaints if one.table is self.table and one.key == key), "")

    @property
    def errors_elsewhere(self) -> list[str]:
        """What cannot be, but for the entries that stand on the page."""
        return [str(one) for one in self.complaints if one.table is not self.table or not one.key]

    @property
    def as_played(self) -> bool:
        """Whether what is shown is what stands in the form."""
        return not self.errors

    # --- files ---

    @property
    def saved(self) -> bool:
        """Whether the plan stands in its file as it is here."""
        return self.as_played and self.kept.file is not None and self.kept.text == recipe_files.text_of(self.recipe)

    def save(self, over: bool = False) -> Path | None:
        """Keep the plan as a recipe file named after it; another file is written over only when asked."""

        def work() -> None:
            self._must_play("saved")
            self.kept = recipe_files.save(self.recipe, self.kept, over)
            self.notice = Notice("done", f"Saved: {self.kept.file}.")
            self._keep()
            self._tell()

        self.press(work)
        return None if self.refused else self.kept.file

    def sheet(self) -> Path | None:
        """Write the job sheet as a file of its own; an older one is never written over."""
        self.sheet_path = None

        def work() -> None:
            self._must_play("printed")
            self.sheet_path = recipe_files.write_sheet(self.recipe, unit_system.chosen())
            self.notice = Notice(
                "sheet", f"The sheet is kept in {self.sheet_path}. Open that file in a browser to print it."
            )
            self._tell()

        self.press(work)
        return self.sheet_path

    def _must_play(self, done: str) -> None:
        if not self.as_played:
            raise InputError(
                "plan", f"cannot be {done} yet.", "Mend this first: " + " ".join(self.errors), kind="state"
            )

    def press(self, work: Callable[[], Any]) -> PlanForm:
        """The work of a button: what speaks against it is said, and nothing is lost."""
        self.notice = NOTHING
        try:
            work()
        except InputError as error:
            kind: NoticeKind = "taken" if isinstance(error, recipe_files.Taken) else "refused"
            self.notice = Notice(kind, " ".join(say(problem, BUTTON) for problem in error.problems))
            self._tell()
        return self

    @property
    def refused(self) -> str:
        """Why the last button did nothing; empty when it did its work."""
        return self.notice.text if self.notice.kind in ("refused", "taken") else ""

    def _state(self) -> dict[str, Any]:
        """What is kept on disk after each change, so that a restart loses nothing."""
        return {
            **self.draft.state,
            "playable": self.recipe.written,
            "file": str(self.kept.file or ""),
            "text": self.kept.text,
        }

    # --- telling ---

    @property
    def words(self) -> str:
        """The whole form in plain text."""
        parts = [f"Plan of a repair: {self.draft.title}.", self.sentence, *self.errors, self.notice.text]
        return " ".join(part for part in parts if part)

    @property
    def sentence(self) -> str:
        """What the picture shows, and how the whole plan stands."""
        system, played = unit_system.chosen(), self.played
        if number := self.number_shown:
            entry = played[number - 1]
            first = f"After step {number}, {entry.step.words}: {entry.verdict.text(system)}"
        elif self.picked == "garage" and self.as_played:
            room = self.recipe.garage
            volume = in_words(room["length"] * room["width"] * room["height"], "room_volume", system)
            first = f"The room holds {volume}, at {in_words(room['temperature'], 'temperature', system)}."
        else:
            first = "The panel before the first step, and at the end."
        return f"{'' if self.as_played else OLD}{first} {whole(played)} {self.against}"

    @property
    def number_shown(self) -> int:
        """The step that is shown; 0 for the whole repair."""
        return self.number if self.as_played or len(self.played) == len(self.draft.steps) else 0

    @property
    def against(self) -> str:
        """How many problems the plan checks found."""
        count = sum(one.against for one in self.found)
        if not count:
            return "The plan checks found nothing. That is not clearance to spray."
        return f"The plan checks found {count} {'problem' if count == 1 else 'problems'}."

    def __repr__(self) -> str:
        return self.words
