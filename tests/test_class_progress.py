"""The progress of a class: gathered from files, where it is stuck, damaged and foreign files named and skipped."""

import csv
import os
import re
import sqlite3
import time
from concurrent.futures import ThreadPoolExecutor

import pytest

from coursekit import lesson
from coursekit.__main__ import main
from coursekit.lesson.learner.progress import FILE, OURS, Progress, read_of
from coursekit.lesson.teaching.numbers import class_seed
from coursekit.quantities import InputError
from tests.calls import refused


def learner(monkeypatch, home, name, tries=()):
    """A learner who joins and does what is told: (exercise, what to answer) – "right", or the number of a slip."""
    monkeypatch.setenv("COURSEKIT_HOME", str(home))
    lesson.join_class("garage-7", name)
    for key, what in tries:
        attempt = lesson.exercise(key)
        question = attempt.question
        if what == "hint":
            attempt.hint()
            continue
        value = question.answer if what == "right" else question.slips[what][0]
        attempt.answer(value if question.choices else f"{float(value) * 1e6:.6g} µm")


@pytest.fixture
def room(tmp_path, monkeypatch):
    """A class of four: one passes, two make the same slip three times, one has not begun."""
    shared = tmp_path / "shared"
    plans = {
        "Ana": [("film-1", "hint"), ("film-1", "right"), ("film-2", "right")],
        "=Bo": [("film-1", 1)] * 3,
        "Cem": [("film-1", 1)] * 4,
        "Dee": [],
    }
    for name, tries in plans.items():
        learner(monkeypatch, tmp_path / f"home-{name}", name, tries)
        asked = lesson.predict("film-thinned")
        asked.predict(asked.choices[2])
        if name == "Ana":
            asked.predict("the paint from the can")
        lesson.hand_in(shared)
        lesson.hand_in(shared)  # again: the newer one takes the place of the first
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path / "instructor"))
    return shared


def test_where_the_class_is_stuck(room, tmp_path):
    found = lesson.class_progress(room)
    assert [one.name for one in found.learners] == ["=Bo", "Ana", "Cem", "Dee"] and found.skipped == ()
    head, rows = found.table()
    first = dict(zip(head, rows[0], strict=True))
    assert (first["exercise"], first["begun"], first["passed"], first["stuck"]) == ("film-1", 3, 1, 2)
    slip = lesson.exercise("film-1").exercise.question("class").slips[1][1]
    assert first["slip most made"] == f"2 of 3: {slip}" and first["tries, middle"] == "3"
    assert "Most are stuck on film-1: 2 tried it" in found.words and slip in found.words
    head, rows = found.predictions()
    assert dict(zip(head, rows[0], strict=True))["right at first"] == 0
    assert dict(zip(head, rows[0], strict=True))["right at last"] == 1
    assert [row[5] for row in found.by_learner()[1]] == ["film-1", "", "film-1", ""]
    shown = found._repr_mimebundle_()["text/html"]
    assert shown.count("<svg") >= 1 and "stuck 2" in re.sub(r"<[^>]+>", " ", shown).replace("  ", " ")
    assert not (tmp_path / "instructor" / FILE).exists(), "the instructor's own progress is not begun by it"


def test_csv_holds_all_and_no_formula(room, tmp_path, capsys):
    assert main(["progress", str(room), "--csv", str(tmp_path / "class.csv")]) == 0
    assert "Most are stuck on film-1" in capsys.readouterr().out
    with (tmp_path / "class.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert {row["name as typed"] for row in rows} == {"Ana", "'=Bo", "Cem", "Dee"}
    ana = {(row["kind"], row["key"]): row for row in rows if row["name as typed"] == "Ana"}
    assert ana["exercise", "film-1"]["passed"] == "1" and ana["exercise", "film-1"]["hints"] == "1"
    assert ana["prediction", "film-thinned"]["prediction at last"] == "the paint from the can"
    cem = next(row for row in rows if row["name as typed"] == "Cem" and row["kind"] == "exercise")
    assert (cem["tries"], cem["slip most made, its number"]) == ("4", "2")


def foreign(path):
    with sqlite3.connect(path) as db:
        db.execute("create table mine (a)")
    db.close()


def viewed(path):
    """A file that bears the mark, but whose entries are a question without end."""
    db = sqlite3.connect(path)
    db.execute(f"pragma application_id = {OURS}")
    db.execute("pragma user_version = 1")
    db.execute(
        "create view events as with recursive n(i) as (select 1 union all select i + 1 from n) "
        "select i as id, '' as at, '' as kind, '' as key, '' as seed, 0 as round, '' as system, '' as answer, "
        "'' as outcome from n"
    )
    db.commit()
    db.close()


ODD = {
    "notes.txt": lambda path: path.write_text("not a progress file"),
    "empty.sqlite": lambda path: path.write_bytes(b""),
    "other.sqlite": foreign,
    "endless.sqlite": viewed,
    "nowhere.sqlite": lambda path: path.symlink_to("/etc/passwd"),
    "half.sqlite": lambda path: path.write_bytes(next(path.parent.glob("progress-Ana-*")).read_bytes()[:5000]),
}


def test_damaged_and_foreign_files_are_named_and_skipped(room):
    for name, make in ODD.items():
        make(room / name)
    before = {path.name: path.read_bytes() for path in room.iterdir()}
    found = lesson.class_progress(room)
    assert {file for file, _ in found.skipped} == set(ODD) and len(found.learners) == 4
    assert all(name in found.words for name in ODD)
    assert {path.name: path.read_bytes() for path in room.iterdir()} == before, "read, never mended"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes on this system")
def test_a_pipe_does_not_hold_it_up(room):
    os.mkfifo(room / "progress-pipe.sqlite")
    assert [file for file, _ in lesson.class_progress(room).skipped] == ["progress-pipe.sqlite"]


def test_thirty_files_three_damaged_within_two_seconds(tmp_path):
    def files_of(number):
        home = tmp_path / "homes" / f"learner-{number:02}"
        home.mkdir(parents=True)
        seed = class_seed("garage-7", f"Learner {number}")
        file = Progress(home / FILE)
        file.store("join", "garage-7", seed=seed, answer=f"Learner {number}")
        for exercise in ("film-1", "film-2", "mix-1", "scratch-2"):
            for turn in range(4):
                outcome = "passed" if turn == 3 and number % 3 else "wrong"
                file.store("try", exercise, seed=seed, system="metric", answer="1 m", outcome=outcome)
        if number % 10 == 5:
            data = (home / FILE).read_bytes()
            (home / FILE).write_bytes(data[:4096] + os.urandom(len(data) - 4096))
            (home / f"{FILE}-wal").unlink(missing_ok=True)

    with ThreadPoolExecutor() as pool:  # each entry waits for the disk
        list(pool.map(files_of, range(30)))
    begun = time.process_time()
    found = lesson.class_progress(tmp_path / "homes")
    assert time.process_time() - begun < 2
    assert len(found.learners) == 27
    assert [file for file, _ in found.skipped] == [f"learner-{n:02}/{FILE}" for n in (5, 15, 25)]
    assert [row[4] for row in found.table()[1]] == [9] * 4


def test_a_copy_is_whole_while_the_learner_works_on(room, tmp_path, monkeypatch):
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path / "home-Ana"))
    open_db = sqlite3.connect(tmp_path / "home-Ana" / FILE)  # another notebook: what it wrote stands in the log yet
    open_db.execute("pragma journal_mode = wal")
    lesson.exercise("film-3").hint()
    lesson.hand_in(room)
    open_db.close()
    assert any(event.key == "film-3" for event in read_of(next(room.glob("progress-Ana-*"))))
    assert not [path for path in room.iterdir() if path.name.startswith(".") or "-wal" in path.name]


def test_what_cannot_be_handed_in_or_gathered_is_said(tmp_path, monkeypatch):
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path / "new"))
    with refused("empty", "hand_in"):
        lesson.hand_in(tmp_path / "shared")
    lesson.join_class("b", "Ana")
    (tmp_path / "file").write_text("")
    with pytest.raises(InputError):
        lesson.hand_in(tmp_path / "file")
    with refused("file", "folder"):
        lesson.class_progress(tmp_path / "nowhere")
