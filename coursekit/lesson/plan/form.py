"""The plan of a repair of the learner's own: what is asked, what is proposed, what is changed, how it plays.

    form = lesson.plan_repair()
    form.pick("damage").set(x="420 mm", width="300 mm", low="1 mm")
    form.propose()
    form.pick(14).set(strokes="500")
    form.name("Left door").save()

What is typed stays, right or wrong. What cannot be played gives way to what stood before, and the rest is played.
"""

from __future__ import annotations

import copy
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Self

from coursekit import outfit
from coursekit.lesson.learner import own, unit_system
from coursekit.lesson.plan import beside, recipe_files
from coursekit.lesson.plan.clocked import Clocked
from coursekit.lesson.plan.draft import Draft
from coursekit.lesson.plan.entries import GIVEN, THERE
from coursekit.lesson.plan.notice import Notice, refused
from coursekit.lesson.plan.playable import ORDER, stand
from coursekit.lesson.plan.proposed import adopt, blank, role_of
from coursekit.lesson.plan.search import HANDS, PlanSearch
from coursekit.lesson.repair.demo_recipes import demo, with_mine
from coursekit.lesson.repair.drag import whole
from coursekit.quantities import InputError
from coursekit.repair import Proposal, judging
from coursekit.repair.cautioning import NOT_CLEARANCE, first_cautions
from coursekit.repair.playing import RecipeLike, as_recipe
from coursekit.repair.recipe import from_document
from coursekit.repair.writing import damage_text
from coursekit.tomlfile import Document

DEMOS = {"the demo, step by step": "door_repair", "the demo, in a hurry": "impatient_repair"}
NEW = "a new damage"
TASKS = {f"set task: {name}": name for name in judging.NAMES}


class PlanForm(Clocked):
    """`begin`, `pick`, `set`, `propose`, `add`, `remove`, `move`, `undo`, `redo`, `save`, `sheet` need no browser."""

    def __init__(self, recipe: RecipeLike | None = None) -> None:
        super().__init__()
        self.told: list[Callable[[], None]] = []  # how far the search is
        self.beside: list[beside.KeptPlan] = []
        self.proposal: Proposal | None = None
        self.search = PlanSearch(self._told)
        self.task = ""  # the set task that is worked on
        self.judgement: judging.Judgement | None = None
        self.sheet_path: Path | None = None
        self.file = recipe_files.DraftFile()
        for name in recipe_files.drafts().values() if recipe is None else ():
            file, kept = recipe_files.DraftFile.of(name)
            if kept and self._restored(kept):
                self.file = file
                return
        if recipe is None:
            self._take(blank())
            return
        self._take(Draft.of(as_recipe(recipe).written))
        if isinstance(recipe, (str, Path)):
            self.kept = recipe_files.KeptFile.of(Path(recipe))

    # --- where to begin ---

    def starts(self) -> list[str]:
        """What a plan may begin with: a new damage, the demos, drafts, and the learner's own files."""
        mine = self.file.name
        return [
            NEW,
            *TASKS,
            *DEMOS,
            *(words for words, name in recipe_files.drafts().items() if name != mine),
            *recipe_files.saved(),
        ]

    def begin(self, which: str) -> Self:
        """Begin with one of them; when it cannot be, the form keeps what it has."""

        def work() -> None:
            if which not in self.starts():
                raise InputError(
                    "start from", "is not there.", f"There are: {'; '.join(self.starts())}.", kind="file"
                )
            if which in recipe_files.drafts():
                self._take_up(which)
                return
            before = copy.deepcopy(self.draft), self.picked, self.kept
            task = TASKS.get(which, "")
            if task:
                self._take(Draft.of_damage(judging.written(task)))
                kept, begun = recipe_files.KeptFile(), f"Begun: {which}."
            elif which == NEW:
                self._take(blank())
                kept, begun = recipe_files.KeptFile(), "A new damage."
            elif which in DEMOS:
                self._take(Draft.of(with_mine(demo(DEMOS[which]).written)))
                kept, begun = recipe_files.KeptFile(), f"Started from {which}."
            else:
                self._take(recipe_files.opened(which))
                file = recipe_files.place(which)
                kept = recipe_files.KeptFile.of(file) if file.exists() else recipe_files.KeptFile()
                begun = f"Opened {which}."
            self.undone, self.redone, self.kept = [*self.undone, before], [], kept
            self.picked, self.task, self.judgement = "damage", task, None
            self.notice = Notice("done", f"{begun} “Undo” brings back the plan that was here.")
            self._changed(read=False)

        return self.press(work)

    def _take_up(self, which: str) -> None:
        """Go on with another draft; the one shown here stays in its file."""
        file, kept = recipe_files.DraftFile.of(recipe_files.drafts()[which])
        if not kept or not self._restored(kept):
            raise InputError(which, "cannot be read.", f"It is kept in {file.path}.", kind="file")
        self.file, self.picked, self.undone, self.redone = file, "damage", [], []
        self._tell()

    def _take(self, draft: Draft) -> None:
        """Put a plan into the form, once it was played."""
        found = stand(draft, None)
        if found is None or found.faults:
            raise InputError("plan", "cannot be played.", "Open another one.", kind="file")
        self.draft, self.good, self.before, self.recent = draft, found, None, []

    def _restored(self, kept: Mapping[str, Any]) -> bool:
        """The draft that was left standing, when it can still be read."""
        try:
            good, draft = Draft.of_state(kept.get("good", kept)), Draft.of_state(kept)
            if "good" not in kept:  # kept by an older course, with the recipe that was played last
                good = Draft.of(from_document(Document.of_tables(kept["playable"], "plan")).written)
            for one, number in zip(good.tables(), kept.get("same", range(len(good.tables()))), strict=False):
                if number is not None and number < len(draft.tables()):
                    one.id = draft.tables()[number].id
            found = stand(good, None)
            if found is None:
                return False
            self.draft, self.good, self.before = draft, found, None
            self.beside = [beside.KeptPlan.of_state(one) for one in kept.get("beside", ())]
            self.task = str(kept.get("task", ""))
            self.kept = recipe_files.KeptFile(Path(kept["file"]) if kept["file"] else None, str(kept["text"]))
        except (KeyError, TypeError, AttributeError, ValueError):
            return False
        self._read()
        self.notice = Notice("done", "Here is your plan as you left it.")
        return True

    # --- the gun ---

    @property
    def guns(self) -> tuple[str, ...]:
        """The guns that are kept, the chosen one first."""
        mine = own.my_outfit()
        return tuple(dict.fromkeys([mine.gun.name, *(one.name for one in mine.all("gun"))]))

    def take_gun(self, name: str) -> Self:
        """Plan with a gun that is kept, and what was measured with it. The benches take it then, too."""

        def work() -> None:
            outfit.choose("gun", name)
            mine, table = blank(), self.draft.given["gun"]
            new = mine.given["gun"].written
            self._remember(*((table.id, key) for key in {*table.written, *new}))
            table = self.draft.given["gun"]
            table.written, table.typed = dict(new), []
            table.check_all()
            carried = {key: rows for key, rows in self.draft.rest.items() if key != "measurement"}
            self.draft.rest = carried | mine.rest
            self.notice = Notice(
                "done", f"{name} is in use, with what you measured with it. The benches use it, too."
            )
            self._changed()

        return self.press(work)

    # --- proposing ---

    def _told(self) -> None:
        for watcher in self.told:
            watcher()

    @property
    def proposed_for_this(self) -> bool:
        """Whether the last proposal was made for what is answered now."""
        try:
            return self.proposal is not None and self.proposal.damage == self.good.draft.damage()
        except InputError:
            return False

    def propose(self, hands: int = HANDS) -> Self:
        """Have a plan proposed for what is answered, and wait for it."""
        return self.press(lambda: self._adopt(self.search.find(self._damage(), hands)))

    def start_proposal(self, only: bool = False) -> None:
        """The same beside the page; `only` the step that is picked, and all others stay."""

        def done(found: Proposal) -> None:
            self.press(lambda: self._take_step(found) if only else self._adopt(found))

        def failed(error: Exception) -> None:
            told = refused(error) if isinstance(error, InputError) else f"{type(error).__name__}: {error}"
            self.notice = Notice("refused", f"The search ended: {told}")
            self._tell()

        def work() -> None:
            if self.search.running:
                raise InputError("proposal", "is being looked for.", "Wait for it, or stop it.", kind="state")
            if only:
                self._step()
            if only and self.proposed_for_this:
                assert self.proposal is not None
                self._take_step(self.proposal)
            else:
                self.search.start(self._damage(), done, failed)

        self.press(work)

    def propose_step(self, hands: int = HANDS) -> Self:
        """Have the picked step proposed again, and keep all others as they are."""

        def work() -> None:
            self._step()
            again = self.proposed_for_this and self.proposal is not None
            self._take_step(self.proposal if again else self.search.find(self._damage(), hands))  # type: ignore[arg-type]

        return self.press(work)

    def _damage(self) -> Any:
        if self.draft.given["damage"].raw(THERE) == "no":
            raise InputError(
                "damage", "is not there.", "Say where the low place lies, how wide and how deep.", kind="state"
            )
        asked = [one for one in self.draft.complaints if one.table is not None and one.table.kind in GIVEN]
        if asked:  # else a plan would be proposed for what stood there before
            raise InputError("plan", "waits for an entry that cannot be read.", str(asked[0]), kind="state")
        self.settle()
        return self.draft.damage()  # what waits for the old steps counts: new ones are proposed

    def _adopt(self, found: Proposal) -> None:
        """Put what is proposed into the form; where no plan is made it says why."""
        if found.stopped:
            self.notice = Notice("done", "Stopped. What stood here stands.")
            self._tell()
            return
        self.proposal = found
        if found.plan is not None:
            self._remember(ORDER)
            self.draft = adopt(self.draft, found)
            self.recent = []
            self._changed()
        else:
            self._tell()

    def _take_step(self, found: Proposal) -> None:
        if found.plan is None:
            self._adopt(found)
            return
        self.proposal = found
        there = {table.role: table for table in adopt(self.draft, found).steps}
        mine = self.table
        new = there.get(mine.role or role_of(self.draft.steps, self.number))
        if new is None:
            raise InputError(
                "step", "is in no proposal for these answers.", "It stays as you wrote it.", kind="unknown"
            )
        self._remember(*((mine.id, key) for key in {*mine.written, *new.written}))
        mine.written, mine.typed, mine.why = dict(new.written), [], new.why
        mine.check_all()
        self._changed()

    # --- a set task ---

    def judge(self) -> Self:
        """Have the plan judged for the set task by its replay."""

        def work() -> None:
            if not self.task:
                raise InputError("task", "is not set.", "Begin with a set task.", kind="state")
            self._must_play("judged")
            self.judgement = judging.judge(self.task, self.recipe)
            self._tell()

        return self.press(work)

    # --- plans beside each other ---

    def keep_beside(self) -> Self:
        """Keep the plan as it stands under a letter, beside the next."""

        def work() -> None:
            self.settle()
            if self.good.played is None:
                raise InputError("plan", "has no step yet.", "Have one proposed first.", kind="state")
            if len(self.beside) >= beside.MOST:
                raise InputError(
                    "plan", f"is one too many: {beside.MOST} are kept.", "Let one go first.", kind="count"
                )
            free = next(letter for letter in "ABCDEFGH" if letter not in [one.name[0] for one in self.beside])
            self.beside.append(beside.kept(f"{free}: {self.draft.title}", self.good.draft, self.good.played))
            self.notice = Notice("done", f"Kept as plan {free}.")
            self._keep()
            self._tell()

        return self.press(work)

    def take_beside(self, name: str) -> Self:
        """Put a plan that is kept back into the form."""

        def work() -> None:
            found = self._beside(name)
            self._remember(ORDER)
            self.draft, self.recent = copy.deepcopy(found.draft), []
            self.picked = "damage"
            self._changed()

        return self.press(work)

    def let_go(self, name: str) -> Self:
        """Keep a plan no longer."""

        def work() -> None:
            self.beside.remove(self._beside(name))
            self._keep()
            self._tell()

        return self.press(work)

    def _beside(self, name: str) -> beside.KeptPlan:
        found = next((one for one in self.beside if name in (one.name, one.name[0])), None)
        if found is None:
            raise InputError("plan", "is not kept.", "Keep one beside first.", kind="unknown")
        return found

    # --- files ---

    @property
    def saved(self) -> bool:
        """Whether the plan stands in its file as it is here."""
        return (
            self.as_played
            and self.good.recipe is not None
            and self.kept.file is not None
            and self.kept.text == recipe_files.text_of(self.recipe, self.reasons)
        )

    @property
    def reasons(self) -> list[str]:
        """Why each step is there that is played; nothing of a step of one's own."""
        return [table.why for table in self.good.draft.steps]

    def save(self, over: bool = False) -> Path | None:
        """Keep the plan as a recipe, and what was asked as a damage; another file is written over only when asked."""

        def work() -> None:
            self._must_play("saved")
            told = []
            if self.good.recipe is not None:
                self.kept = recipe_files.save(self.recipe, self.kept, over, self.reasons)
                told.append(str(self.kept.file))
            if self.draft.planned:
                told.append(str(recipe_files.save_damage(self.draft.title, damage_text(self.draft.asked()))))
            self.notice = Notice("done", f"Saved: {' and '.join(told)}.")
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
        self.settle()
        if not self.as_played:
            raise InputError(
                "plan", f"cannot be {done} yet.", "Fix this first: " + " ".join(self.errors), kind="state"
            )

    def _keep(self) -> None:
        if told := self.file.keep(self._state()):
            self.notice = Notice(self.notice.kind or "done", f"{self.notice.text} {told}".strip())

    def _state(self) -> dict[str, Any]:
        """What is kept on disk after each change, so that a restart loses nothing."""
        places = {table.id: place for place, table in enumerate(self.draft.tables())}
        return {
            **self.draft.state,
            "good": self.good.draft.state,
            "same": [places.get(table.id) for table in self.good.draft.tables()],
            "task": self.task,
            "beside": [one.state for one in self.beside],
            "file": str(self.kept.file or ""),
            "text": self.kept.text,
        }

    # --- telling ---

    @property
    def words(self) -> str:
        """The whole form in plain text."""
        care = [*first_cautions(self.played), NOT_CLEARANCE] if self.played is not None else []
        parts = [f"Plan of a repair: {self.draft.title}.", self.sentence, *self.errors, self.notice.text, *care]
        return " ".join(part for part in parts if part)

    @property
    def sentence(self) -> str:
        """What the picture shows, and how the whole plan stands."""
        played = self.played
        if played is None:
            return "No step yet: have a plan proposed."
        if number := self.number_shown:
            entry = played[number - 1]
            first = f"After step {number}, {entry.step.words}: {entry.verdict.text(unit_system.chosen())}"
        else:
            first = "The panel before the first step, and at the end."
        return f"{first} {whole(played)} {self.against}"

    @property
    def against(self) -> str:
        """How many problems the plan checks found."""
        count = sum(one.against for one in self.found)
        notes = len(self.found) - count
        if not count:
            told = (
                f"no problem; {notes} {'note stands' if notes == 1 else 'notes stand'} below" if notes else "nothing"
            )
            return f"The plan checks found {told}. That is not clearance to spray."
        return f"The plan checks found {count} {'problem' if count == 1 else 'problems'}."

    def __repr__(self) -> str:
        return self.words
