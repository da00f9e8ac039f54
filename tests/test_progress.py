"""The learner's record survives kill -9, a broken file and two notebooks at once."""

import os
import sqlite3
import subprocess
import sys
from contextlib import closing

import pytest

from coursekit import folder, keeping, lesson
from coursekit.course.notebooks import notebooks
from coursekit.lesson.content.declared import declared_exercise
from coursekit.lesson.learner import own, unit_system
from coursekit.lesson.learner.progress import FILE, Progress
from coursekit.lesson.pages import ready
from coursekit.lesson.pages.measurement_form import enter
from coursekit.lesson.practice.attempt import Attempt
from coursekit.lesson.practice.exercise import EXERCISES
from coursekit.quantities import InputError
from tests.calls import refused

WRITER = """
import sys
from coursekit.lesson.learner.progress import Progress
progress = Progress()
for number in range(int(sys.argv[1]), 100000):
    progress.store("try", "film-1", answer=str(number), outcome="wrong")
    print(number, flush=True)
"""


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path))
    return tmp_path


def test_kill_in_the_middle_loses_at_most_the_answer_being_typed(home):
    confirmed = -1
    for turn in range(6):
        command = [sys.executable, "-c", WRITER, str(confirmed + 1)]
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as writer:
            for _ in range(3 + 7 * turn):
                confirmed = int(writer.stdout.readline())
            writer.kill()  # wherever it is: mostly inside a transaction
            rest = writer.stdout.read().split()
        confirmed = int(rest[-1]) if rest else confirmed
        kept = [int(e.answer) for e in Progress().events("try")]
        assert kept[: confirmed + 1] == list(range(confirmed + 1)), "what was confirmed is on the disk"
        assert len(kept) <= confirmed + 2, "at most the one being stored is on the way"
        confirmed = kept[-1]
        db = sqlite3.connect(home / FILE)
        assert db.execute("pragma integrity_check").fetchone() == ("ok",)
        db.close()
        assert Progress().message == "" and list(home.glob("*set-aside*")) == []


def test_flushed_to_the_disk_at_each_entry():
    progress = Progress()
    with progress._open() as db:
        assert db.execute("pragma journal_mode").fetchone() == ("wal",)
        assert db.execute("pragma synchronous").fetchone() == (2,)  # full
    db.close()


@pytest.mark.parametrize("rubbish", [b"not a database at all" * 100, b"SQLite format 3\0" + b"\xff" * 4000])
def test_broken_file_is_set_aside_once_and_said_once(home, rubbish):
    (home / FILE).write_bytes(rubbish)
    attempt = Attempt(declared_exercise("film-1"), seed="s")
    assert "set aside" in attempt.said_html and "set aside" not in attempt.said_html
    aside = list(home.glob("progress-set-aside-*.sqlite"))
    assert len(aside) == 1 and aside[0].read_bytes() == rubbish, "nothing is destroyed"
    attempt.answer("1 m")
    assert len(Progress().events("try")) == 1 and len(list(home.glob("*set-aside*.sqlite"))) == 1


def test_damage_in_the_middle_is_set_aside_too(home):
    progress = Progress()
    for number in range(80):
        progress.store("try", f"film-{number}", answer="x" * 800)
    data = bytearray((home / FILE).read_bytes())
    data[4096 * 3 : 4096 * 6] = os.urandom(4096 * 3)
    (home / FILE).write_bytes(bytes(data))
    late = Progress()
    late.events()
    assert "set aside" in late.message
    assert next(home.glob("progress-set-aside-*.sqlite")).read_bytes() == bytes(data)


def test_newer_file_is_left_alone(home):
    Progress().store("try", "film-1")
    db = sqlite3.connect(home / FILE)
    db.execute("pragma user_version = 99")
    db.commit()
    db.close()
    with refused("file", "progress"):
        Progress().events()
    assert (home / FILE).exists() and not list(home.glob("*set-aside*"))


def test_locked_file_is_said_and_the_lesson_goes_on(home, monkeypatch):
    attempt = Attempt(declared_exercise("film-1"), seed="s")
    monkeypatch.setattr(sys.modules[Progress.__module__], "PATIENCE", 0.05)
    db = sqlite3.connect(home / FILE)
    db.execute("begin exclusive")
    verdict = attempt.answer("1 m")
    db.rollback()
    db.close()
    assert not verdict.passed and "could not be kept" in attempt.said_html


def test_two_notebooks_share_the_file():
    one, other = Progress(), Progress()
    for number in range(5):
        one.store("try", "film-1", answer=str(number))
        other.store("try", "film-2", answer=str(number))
    assert len(one.events()) == 10 == len(other.events())
    assert [e.answer for e in one.events("try", "film-2")] == list("01234")


def test_progress_page_counts():
    attempt = lesson.exercise("film-1")
    attempt.answer("1 m")
    text = lesson.progress().text
    assert "film-1" in text and "begun" in text and "0 of" in text
    assert "film-3" in text and "mix-1" not in text, "lessons not begun are one line each"
    lesson.exercise("start-1").hint()
    assert lesson.progress().text.index("start-1") < lesson.progress().text.index("film-1"), "in the order of lessons"


def test_every_exercise_belongs_to_a_lesson_of_the_way():
    lesson.progress()
    assert [row["file"] for row in notebooks() if "exercises" not in row] == ["25-teach-a-class"]
    begins = [row["exercises"] for row in notebooks() if "exercises" in row]
    assert {key.rpartition("-")[0] for key in EXERCISES} == set(begins) and len(begins) == len(set(begins))


BROKEN = {
    "brace": b'{"seed": "b-07"',
    "list": b"[1]",
    "bytes": b"\xff{}",
    "deep": b"[" * 100000,
    "digits": b'{"a": ' + b"9" * 5000 + b"}",
}


@pytest.mark.parametrize("broken", BROKEN.values(), ids=BROKEN)
def test_broken_settings_are_set_aside_and_told(home, broken):
    folder.keep_setting("seed", "b-07")
    assert folder.setting("seed") == "b-07"
    (home / "settings.json").write_bytes(broken)
    assert folder.setting("seed", "none") == "none"
    folder.keep_setting("system", "us")
    assert folder.setting("system") == "us"
    aside = list(home.glob("settings-set-aside-*.json"))
    assert len(aside) == 1 and aside[0].read_bytes() == broken, "nothing is destroyed"
    assert [aside[0].name in story for story in keeping.stories()] == [True]
    (home / "settings.json").write_bytes(broken)
    assert "set aside" in repr(lesson.ready()) and "set aside" not in repr(lesson.ready())
    assert len(list(home.glob("*set-aside*"))) == 2 and not list(home.glob(".*.new"))


def test_first_cell_says_what_is_wrong_and_how_to_mend_it(home, monkeypatch):
    assert "All is well" in repr(lesson.ready())
    (home / "garage.toml").write_text("format = ")
    words = repr(lesson.ready())
    assert "garage.toml: cannot be read as TOML" in words and "To fix it" in words
    (home / "garage.toml").unlink()
    wanted = ["numpy>=99", "ipywidgets>=8.1,<9", "nothing-such", 'pytest; extra == "test"']
    monkeypatch.setattr("importlib.metadata.requires", lambda name: wanted)
    words = repr(lesson.ready())
    assert "numpy is " in words and "wanted >=99" in words and "nothing-such is missing" in words
    assert f'{sys.executable} -m pip install "numpy>=99" "nothing-such"' in words
    monkeypatch.setattr(ready, "LEAST_PYTHON", (99, 0))
    assert "newer Python" in repr(lesson.ready())


NOWHERE = ["~nosuchuser/x", "file/below", "/proc/nowhere"]


@pytest.mark.skipif(not hasattr(os, "geteuid"), reason="folders of another system")
@pytest.mark.parametrize("place", NOWHERE)
def test_a_folder_that_cannot_be_made_is_told_and_the_lesson_goes_on(tmp_path, monkeypatch, place):
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("COURSEKIT_HOME", place if place[0] in "~/" else str(tmp_path / place))
    words = repr(lesson.ready())
    assert "cannot be written" in words and "COURSEKIT_HOME" in words
    seed, attempt = lesson.seed(), lesson.exercise("film-1")
    assert attempt.question.ask and lesson.seed() == seed, "the same numbers as long as the notebook runs"
    attempt.answer("1 m")
    assert "could not be kept" in attempt.said_html
    asked = lesson.predict("film-thinned")
    assert asked.predict(asked.choices[0]) and asked.kept == asked.choices[0] and "holds until" in asked.said
    force = {"scale": "2 kg"}
    for work in (
        lambda: lesson.units("us"),
        lambda: lesson.seed("b-07"),
        lambda: enter("force", force),
    ):
        with pytest.raises(InputError):
            work()
    assert unit_system.chosen() == "us" and lesson.seed() == "b-07", "what cannot be kept holds here"
    folder.forget_unkept()
    assert lesson.bench("film").words and own.garage_file().entries == [] and lesson.plan_coat().words


# --- damage ------------------------------------------------------------------------------------------------


def filled(home):
    progress = Progress()
    for number in range(40):
        progress.store("try", f"film-{number % 5}", seed="b-07", answer=f"{number} µm", outcome="wrong")
    return (home / FILE).read_bytes()


def test_a_bad_byte_in_an_answer_harms_nothing(home):
    data = filled(home)
    (home / FILE).write_bytes(data.replace("39 µm".encode(), b"39 \xffxm"))
    assert [event.answer for event in Progress().events()][39] == "39 \N{REPLACEMENT CHARACTER}xm"
    assert len(Progress().events()) == 40 and not list(home.glob("*set-aside*"))


def test_what_can_still_be_read_is_carried_over(home):
    progress = Progress()
    for number in range(80):
        progress.store("try", f"film-{number}", answer="x" * 800)
    data = bytearray((home / FILE).read_bytes())
    data[4096 * 7 : 4096 * 8] = os.urandom(4096)
    (home / FILE).write_bytes(bytes(data))
    late = Progress()
    kept = late.events()
    assert 70 < len(kept) < 80 and kept[0].key == "film-0" and kept[-1].key == "film-79"
    assert f"{len(kept)} of its entries" in late.message and Progress().events() == kept


@pytest.mark.parametrize("begin", ["create table notes (x)", "pragma application_id = 7", "create table events (x)"])
def test_another_programs_database_is_refused_and_not_touched(home, begin):
    with closing(sqlite3.connect(home / FILE)) as db:
        db.execute(begin)
    before = (home / FILE).read_bytes()
    for work in (Progress().events, lambda: Progress().store("try", "film-1")):
        with refused("file", "progress"):
            work()
    assert (home / FILE).read_bytes() == before and [p.name for p in home.iterdir()] == [FILE]


def test_two_notebooks_that_find_the_damage_at_once_set_aside_one_file(home):
    data = filled(home)
    (home / FILE).write_bytes(data[:3000] + b"\xff" * 3000 + data[6000:])
    one, other = Progress(), Progress()
    damaged = folder.stamp(home / FILE)
    one.events()
    one.store("try", "new")
    other._set_aside(damaged)  # it saw the damaged file, too, and comes later
    assert len(list(home.glob("*-set-aside-*.sqlite"))) == 1 and other.events()[-1].key == "new"


def test_half_a_character_is_kept_as_far_as_it_can_be():
    attempt = Attempt(declared_exercise("film-1"), seed="s")
    attempt.answer("\ud800 µm")
    assert attempt.said_html.encode() and Progress().events("try")[0].answer == "? µm"
