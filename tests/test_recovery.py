"""What goes wrong in front of a class: a plain sentence, and nothing that was acknowledged is lost.

A kill in the middle of an entry, broken files and two writers at once are in `test_progress.py` and
`test_keeping.py`; that a hub which is killed leaves the servers of the learners is set in `test_hub.py`.
"""

import datetime
import errno
import os
import sqlite3
import subprocess
import sys
import time

import pytest
from jupyter_client.manager import KernelManager

from coursekit import folder, keeping, lesson
from coursekit.lesson.learner.progress import FILE, Progress
from coursekit.quantities import InputError


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path))
    return tmp_path


def said_by(client, code, patience=120):
    """What a cell of a running kernel prints."""
    asked, told = client.execute(code), []
    while True:
        message = client.get_iopub_msg(timeout=patience)
        if message["parent_header"].get("msg_id") != asked:
            continue
        if message["msg_type"] == "stream":
            told.append(message["content"]["text"])
        if message["msg_type"] == "error":
            told.append(": ".join((message["content"]["ename"], message["content"]["evalue"])))
        if message["msg_type"] == "status" and message["content"]["execution_state"] == "idle":
            return "".join(told)


def test_a_kernel_killed_in_a_run_comes_back_with_what_was_acknowledged(home):
    manager = KernelManager(kernel_name="python3")
    manager.start_kernel()
    client = manager.client()
    client.start_channels()
    try:
        client.wait_for_ready(timeout=120)
        begin = "from coursekit import lesson\nlesson.join_class('b', 'Ana')\nt = lesson.exercise('film-1')\n"
        assert said_by(client, begin + "print(t.answer('1 m').outcome)") == "wrong\n"
        client.execute("for _ in range(10**9): t.answer('1 m')")  # killed somewhere in here
        time.sleep(2)
        manager.restart_kernel(now=True)
        client.wait_for_ready(timeout=120)
        again = "from coursekit import lesson\nt = lesson.exercise('film-1')\nprint(t.tries, t.said, lesson.seed())"
        told = said_by(client, again)
        assert int(told.split()[0]) >= 2 and "before. It is kept." in told
    finally:
        client.stop_channels()
        manager.shutdown_kernel(now=True)
    assert len(Progress().events("try", "film-1")) == int(told.split()[0])


def test_two_tabs_and_a_page_read_again_know_of_each_other(home):
    """Each tab has its own attempt; one that is opened again takes up what the other did."""
    one, other = lesson.exercise("film-1"), lesson.exercise("film-1")
    one.answer("1 m"), other.answer("2 m"), one.hint()
    again = lesson.exercise("film-1")
    assert (again.tries, again.hints_shown) == (2, 1)
    one.another()
    # Of some numbers a metre has the right digits, and is told as a slip of the unit.
    assert lesson.exercise("film-1").round == 1 and again.answer("1 m").outcome in ("wrong", "unit")
    assert [event.answer for event in Progress().events("try")] == ["1 m", "2 m", "1 m"]


def test_a_clock_set_back_loses_and_reorders_nothing(home, monkeypatch):
    attempt = lesson.exercise("film-1")
    attempt.answer("1 m")
    monkeypatch.setattr(keeping, "now", lambda: datetime.datetime(2001, 1, 1, tzinfo=datetime.UTC))
    attempt.answer("2 m"), attempt.another(), attempt.answer("3 m")
    assert [event.answer for event in Progress().events("try")] == ["1 m", "2 m", "3 m"]
    again = lesson.exercise("film-1")
    assert (again.round, again.tries) == (1, 1)
    lesson.join_class("b", "Ana")
    assert lesson.hand_in(home / "shared").text.startswith("A copy of your progress is in ")
    [learner] = lesson.class_progress(home / "shared").learners
    assert learner.exercises["film-1"].tries == 3


FULL = """
import os, resource, sys
os.environ["COURSEKIT_HOME"] = sys.argv[1]
from coursekit import lesson
t = lesson.exercise("film-1")
t.answer("1 m")
import signal
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))  # nothing grows any more: as on a full disk
v = t.answer("2 m")
print(v.outcome, "|", t.take_message())
"""


@pytest.mark.skipif(not hasattr(os, "sched_setaffinity"), reason="limits of another system")
def test_a_full_disk_is_said_and_what_was_kept_stays(home):
    done = subprocess.run([sys.executable, "-c", FULL, home], capture_output=True, text=True, timeout=120)
    outcome, _, message = done.stdout.partition("|")
    assert outcome.strip() == "wrong" and "This try could not be kept." in message, done.stderr
    assert "Traceback" not in done.stderr
    assert [event.answer for event in Progress().events("try")] == ["1 m"]
    with sqlite3.connect(home / FILE) as db:
        assert db.execute("pragma integrity_check").fetchone() == ("ok",)
    db.close()


def test_a_full_disk_leaves_no_half_of_a_page_or_a_copy(home, monkeypatch):
    lesson.join_class("b", "Ana")
    paper = lesson.paper("key", "01-film", "b", "Ana")
    kept = paper.save(home / "key.html").read_bytes()

    def full(*_, **__):
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr(os, "fsync", full)
        patched.setattr(os, "replace", full)
        with pytest.raises(InputError, match="No space left"):
            lesson.paper("key", "02-mix", "b", "Ana").save(home / "key.html")
    assert (home / "key.html").read_bytes() == kept
    monkeypatch.setattr("coursekit.lesson.teaching.gathering.write_copy", full)
    with pytest.raises(InputError, match="No space left"):
        lesson.hand_in(home / "shared")
    assert list((home / "shared").iterdir()) == []


def test_a_home_that_cannot_be_written_is_said_and_the_lesson_goes_on(home, monkeypatch):
    """A place below a file stands for it: root, who runs tests, may write everywhere else."""
    (home / "file").write_text("")
    monkeypatch.setenv("COURSEKIT_HOME", str(home / "file" / "below"))
    with pytest.raises(InputError) as refusal:
        lesson.join_class("b", "Ana")
    assert "cannot be written" in str(refusal.value) or "cannot be made" in str(refusal.value)
    attempt = lesson.exercise("film-1")
    assert attempt.question.ask == lesson.learner_set("b", "Ana", "film-1").drawn[0].question.ask, "her numbers"
    attempt.answer("1 m")
    assert "could not be kept" in attempt.said_html
    folder.forget_unkept()
