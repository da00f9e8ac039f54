"""The progress of a class, from the files that learners handed in: where it is stuck. Nothing leaves the machine."""

from __future__ import annotations

import re
import sqlite3
import statistics
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from secrets import token_hex
from typing import Any

from coursekit.course.notebooks import notebooks
from coursekit.folder import change_setting
from coursekit.keeping import make_folder
from coursekit.lesson.content.declared import all_exercises
from coursekit.lesson.draw.charts import Slice, shares
from coursekit.lesson.learner.progress import FILE, Event, Progress, read_of, write_copy
from coursekit.lesson.practice import examples
from coursekit.lesson.practice.exercise import Exercise, slip_taken
from coursekit.lesson.practice.prediction import Prediction
from coursekit.lesson.screen import page
from coursekit.lesson.teaching.numbers import JOINED, MOST, joined
from coursekit.lesson.workbench import number_table
from coursekit.markup import Markup
from coursekit.quantities import InputError

HANDED_IN = "handed-in"
STUCK = 3  # tries without passing
MOST_FILES = 1000
_TAILS = ("-wal", "-shm", "-journal")
_FORMULA = re.compile(r"^[=+\-@\t\r]")  # what a spreadsheet would take for a formula


def hand_in(folder: Any) -> page.Piece:
    """Write a copy of this learner's progress into a folder that the class shares."""
    place = Path(str(folder)).expanduser()
    name = joined()[1]
    if not name:
        raise InputError(
            "hand_in", "does not know your name yet.", 'First: lesson.join_class("garage-7", "Ana").', kind="empty"
        )
    source = Progress().path
    if not source.is_file():
        raise InputError("hand_in", "finds nothing that you did yet.", "Try an exercise first.", kind="empty")
    make_folder(place)
    mine = change_setting("hand_in", lambda there: there if isinstance(there, str) and there else token_hex(3))
    plain = re.sub(r"[^\w-]+", "-", name).strip("-") or "learner"
    file = place / f"progress-{plain}-{mine}.sqlite"  # two who typed the same name do not write over each other
    try:
        write_copy(source, file)
    except (OSError, sqlite3.Error) as error:
        raise InputError(
            "hand_in", f"could not write {file} ({error}).", "Try another folder.", kind="file"
        ) from None
    told = f"A copy of your progress is in {file}. Your own stays where it is."
    return page.Piece(page.paragraph(told), told)


@dataclass
class OnExercise:
    """What one learner did on one exercise."""

    tries: int = 0
    hints: int = 0
    passed: bool = False
    slips: Counter[int] = field(default_factory=Counter)

    @property
    def stuck(self) -> bool:
        return not self.passed and self.tries >= STUCK


@dataclass
class Learner:
    """One file: whose it is as they typed it, and what is in it."""

    file: str
    name: str
    word: str
    exercises: dict[str, OnExercise]
    predictions: dict[str, tuple[str, str]]  # first and last of each
    last: str


@dataclass(frozen=True)
class ClassProgress:
    """The files of a class, gathered."""

    learners: tuple[Learner, ...]
    skipped: tuple[tuple[str, str], ...]  # file, and why

    # --- by exercise ---

    def _keys(self) -> list[str]:
        """The exercises that somebody began, in the order of the lessons."""
        begun = {key for learner in self.learners for key in learner.exercises}
        order = {row.get("exercises"): number for number, row in enumerate(notebooks())}
        return sorted(begun, key=lambda key: (order.get(key.rpartition("-")[0], len(order)), key))

    def _on(self, key: str) -> list[OnExercise]:
        return [learner.exercises[key] for learner in self.learners if key in learner.exercises]

    def _slip(self, key: str) -> str:
        """The slip most made, in the words of one drawing of the exercise, and by how many."""
        made: Counter[int] = Counter(slip for one in self._on(key) for slip in set(one.slips))
        if not made:
            return ""
        slip, learners = made.most_common(1)[0]
        slips = all_exercises()[key].question("class").slips
        sentence = slips[slip][1] if slip < len(slips) else "a slip that this course no longer knows"
        return f"{learners} of {len(self._on(key))}: {sentence}"

    def table(self) -> number_table.Table:
        """Each exercise that somebody began: who passed, who is stuck, and the slip most made."""
        known, rows = all_exercises(), []
        for key in self._keys():
            on = self._on(key)
            tries = statistics.median(one.tries for one in on)
            title = known[key].title if key in known else ""
            count = (len(on), sum(one.passed for one in on), sum(one.stuck for one in on))
            rows.append((key, title, *count, f"{tries:g}", sum(one.hints for one in on), self._slip(key)))
        return HEAD, rows

    def predictions(self) -> number_table.Table:
        """Each prediction: how many were right at first, and how many at last."""
        rows = examples.load_rows("predictions")
        asked: dict[str, list[tuple[str, str]]] = defaultdict(list)
        for learner in self.learners:
            for key, kept in learner.predictions.items():
                if key in rows:
                    asked[key].append(kept)
        found = []
        for key, all_kept in asked.items():
            asked_of = Prediction(key, rows[key])
            right = [sum(asked_of.right(one[when]) for one in all_kept) for when in (0, 1)]
            wrong = Counter(first for first, _ in all_kept if not asked_of.right(first)).most_common(1)
            found.append((key, len(all_kept), *right, wrong[0][0] if wrong else ""))
        return PREDICTED, found

    def by_learner(self) -> number_table.Table:
        """Each learner: passed, tried, and where they are stuck."""
        rows = []
        for one in self.learners:
            passed = sum(done.passed for done in one.exercises.values())
            stuck = ", ".join(key for key, done in one.exercises.items() if done.stuck)
            tries = sum(done.tries for done in one.exercises.values())
            rows.append((one.name, one.word, passed, len(one.exercises), tries, stuck, one.last[:16], one.file))
        return LEARNERS, rows

    def rows(self) -> number_table.Table:
        """Everything, a row for each learner and exercise or prediction: what the CSV holds."""
        found: list[tuple[Any, ...]] = []
        for learner in self.learners:
            who = (learner.name, learner.word, learner.file)
            for key, done in learner.exercises.items():
                slip = done.slips.most_common(1)
                number = slip[0][0] + 1 if slip else ""
                found.append((*who, "exercise", key, done.tries, done.hints, int(done.passed), number, "", ""))
            for key, (first, last) in learner.predictions.items():
                found.append((*who, "prediction", key, "", "", "", "", first, last))
        return ROWS, found

    def save_csv(self, path: Any) -> Path:
        """Write all of it as CSV; text that a spreadsheet would take for a formula gets an apostrophe before it."""
        head, rows = self.rows()
        return number_table.save((head, [[_harmless(cell) for cell in row] for row in rows]), path)

    # --- showing ---

    @property
    def picture(self) -> Markup:
        """Each exercise as one bar, of all learners: passed, not yet, stuck, not begun."""
        rows = []
        for key in self._keys():
            on, of = self._on(key), len(self.learners)
            passed, stuck = sum(one.passed for one in on), sum(one.stuck for one in on)
            parts = (
                Slice("passed", passed, f"{passed}", "plain"),
                Slice("begun", len(on) - passed - stuck, f"{len(on) - passed - stuck}", "dots"),
                Slice("stuck", stuck, f"{stuck}", "cross"),
                Slice("not begun", of - len(on), f"{of - len(on)}", "level"),
            )
            rows.append((key, [part for part in parts if part.size]))
        return shares(rows) if rows else Markup("")

    @property
    def words(self) -> str:
        """Where the class is stuck, in sentences."""
        stuck = sorted(((sum(one.stuck for one in self._on(key)), key) for key in self._keys()), reverse=True)
        told = [f"{len(self.learners)} learner{'' if len(self.learners) == 1 else 's'} gathered."]
        if stuck and stuck[0][0]:
            number, key = stuck[0]
            told.append(f"Most are stuck on {key}: {number} tried it {STUCK} times or more and have not passed.")
            if slip := self._slip(key):
                told.append(f"The slip most made there – {slip}")
        elif stuck:
            told.append("Nobody is stuck.")
        if not self.learners:
            told.append("Put what the learners handed in into that folder, and run this again.")
        told += [f"Skipped: {why}" for _, why in self.skipped]
        return " ".join(told)

    def __repr__(self) -> str:
        tables = (self.table(), self.predictions(), self.by_learner())
        return "\n".join([self.words, *(number_table.piece(table).text for table in tables if table[1])])

    def _repr_mimebundle_(self, **_: Any) -> dict[str, str]:
        titles = ("By exercise", "Predictions, before and after", "By learner")
        tables = zip(titles, (self.table(), self.predictions(), self.by_learner()), strict=True)
        parts = [page.tag("h4", "Where the class is"), page.figure(self.picture, self.words)]
        parts += [page.tag("h4", title) + page.table(*table) for title, table in tables if table[1]]
        return page.Piece(page.together(parts), repr(self))._repr_mimebundle_()


HEAD = ("exercise", "what", "begun", "passed", "stuck", "tries, middle", "hints", "slip most made")
PREDICTED = ("prediction", "asked", "right at first", "right at last", "wrong answer most given")
LEARNERS = ("name as typed", "class", "passed", "begun", "tries", "stuck on", "last entry", "file")
ROWS = (
    "name as typed",
    "class",
    "file",
    "kind",
    "key",
    "tries",
    "hints",
    "passed",
    "slip most made, its number",
    "prediction at first",
    "prediction at last",
)


def class_progress(folder: Any = HANDED_IN) -> ClassProgress:
    """Gather the progress files in a folder and below it; what is damaged or foreign is named and skipped.

    The files are read, never changed. Without a folder it is "handed-in" beside the notebook, made when missing.
    """
    place = Path(str(folder)).expanduser()
    if folder == HANDED_IN:
        make_folder(place)
    if not place.is_dir():
        raise InputError(
            "folder", f"{str(folder)!r:.200} is no folder.", "Name the folder of the files.", kind="file"
        )
    learners, skipped = [], []
    for file in _files(place):
        told = file.relative_to(place).as_posix()
        try:
            learners.append(_learner(told, read_of(file)))
        except InputError as error:
            skipped.append((told, f"{told}: {error.problem}"))
    return ClassProgress(tuple(sorted(learners, key=lambda one: (one.name.casefold(), one.file))), tuple(skipped))


def _files(place: Path) -> Iterator[Path]:
    """What was handed in: every file of the folder itself, and progress files below it."""
    found = [path for path in place.iterdir() if not path.is_dir() or path.is_symlink()]
    found += [path for path in place.rglob(FILE) if path.parent != place]
    found = [path for path in found if not path.name.startswith(".") and not path.name.endswith(_TAILS)]
    if len(found) > MOST_FILES:
        raise InputError(
            "folder",
            f"holds {len(found)} files; it takes {MOST_FILES}.",
            "Name the folder of one class.",
            kind="count",
        )
    yield from sorted(found)


def _learner(file: str, events: Sequence[Event]) -> Learner:
    exercises: dict[str, OnExercise] = {}
    predictions: dict[str, tuple[str, str]] = {}
    name = word = ""
    for event in events:
        if event.kind == JOINED:
            name, word = event.answer[:MOST], event.key[:MOST]
        elif event.kind == "prediction":
            predictions[event.key] = (predictions.get(event.key, (event.answer, ""))[0], event.answer)
        elif event.kind in ("try", "hint"):
            _count(exercises.setdefault(event.key, OnExercise()), event)
    return Learner(
        file, name or f"(no name given: {file})", word, exercises, predictions, events[-1].at if events else ""
    )


def _count(done: OnExercise, event: Event) -> None:
    done.hints += event.kind == "hint"
    done.tries += event.kind == "try"
    done.passed = done.passed or event.outcome == "passed"
    if event.outcome == "slip" and (exercise := all_exercises().get(event.key)):
        slip = _slip_of(exercise, event)
        if slip is not None:
            done.slips[slip] += 1


def _slip_of(exercise: Exercise, event: Event) -> int | None:
    system: Any = "us" if event.system == "us" else "metric"
    return slip_taken(exercise.question(event.seed, event.round, system), event.answer, system)


def _harmless(cell: Any) -> Any:
    return f"'{cell}" if isinstance(cell, str) and _FORMULA.match(cell) else cell
