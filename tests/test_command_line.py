"""The command line: it writes over nothing of a person's, prints on any console, and stops in one line."""

import hashlib
import os
import signal
import subprocess
import sys
from functools import partial

import pytest

from coursekit import console, repair
from coursekit.__main__ import main
from coursekit.course.shipped import shipped
from tests.test_repair import CARD, HEAD


@pytest.fixture
def recipe(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    file = tmp_path / "mine.toml"
    file.write_text(HEAD + CARD, encoding="utf-8")
    return file


def run(*arguments, **environment):
    return subprocess.run(
        [sys.executable, "-m", "coursekit", *map(str, arguments)],
        capture_output=True,
        timeout=120,
        env={**os.environ, **environment},
    )


@pytest.mark.parametrize("output", ["mine.toml", "./mine.toml", "link.html", "hard.html", "notes.txt", "sound.bin"])
def test_a_page_never_replaces_anything_but_a_page(recipe, output, capsys):
    here = recipe.parent
    (here / "link.html").symlink_to(recipe)
    os.link(recipe, here / "hard.html")
    (here / "notes.txt").write_text("mine")
    (here / "sound.bin").write_bytes(b"\xff\xfe")
    before = (here / output).read_bytes()
    assert main(["sheet", "mine.toml", "-o", output]) == 2
    told = capsys.readouterr().err
    assert "is no page" in told and output.lstrip("./") in told and told.count("\n") == 1
    assert (here / output).read_bytes() == before


def test_a_page_is_written_whole_or_not_at_all(recipe, monkeypatch, capsys):
    assert main(["sheet", "mine.toml", "-o", "sheet.html"]) == 0
    assert main(["sheet", "mine.toml", "-o", "sheet.html", "--units", "us"]) == 0, "a page may be written anew"
    page = (recipe.parent / "sheet.html").read_bytes()
    assert page == repair.job_sheet(repair.load(recipe), "us").encode()

    def fail(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", fail)
    assert main(["sheet", "mine.toml", "-o", "sheet.html"]) == 2
    assert "sheet.html: cannot be written (No space left" in capsys.readouterr().err
    assert (recipe.parent / "sheet.html").read_bytes() == page
    assert sorted(os.listdir(recipe.parent)) == ["mine.toml", "sheet.html"]


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="no such device")
def test_a_full_device_is_named(recipe, capsys):
    assert main(["sheet", "mine.toml", "-o", "/dev/full"]) == 2
    assert "/dev/full: cannot be written (No space left on device)" in capsys.readouterr().err
    command = [sys.executable, "-m", "coursekit", "demo"]
    with open("/dev/full", "w") as full:
        done = subprocess.run(command, stdout=full, stderr=subprocess.PIPE, text=True)
    assert done.returncode == 2 and done.stderr == "coursekit: standard output: No space left on device.\n"


@pytest.mark.parametrize("encoding", ["cp1252", "cp437", "ascii", "utf-8"])
@pytest.mark.parametrize("command", ["play", "compare"])
def test_any_console_can_print_it(recipe, encoding, command):
    other = [recipe.parent / "other.toml"] if command == "compare" else []
    (recipe.parent / "other.toml").write_text((HEAD + CARD).replace("P180", "P240"), encoding="utf-8")
    done = run(command, recipe, *other, PYTHONIOENCODING=encoding, PYTHONUTF8="0")
    assert done.returncode == 0 and done.stderr == b""
    text = done.stdout.decode(encoding)
    assert "µm" in text or ("um" in text and "\N{NARROW NO-BREAK SPACE}" not in text)


def test_signs_become_the_nearest_plain_ones():
    told = "12\N{NARROW NO-BREAK SPACE}000 µm × 3 – “é” ≥ 20 °C → m² \N{PANDA FACE}"
    assert console.plain(told) == '12 000 um x 3 - "e" >= 20 deg C -> m2 ?'


@pytest.mark.skipif(os.name == "nt", reason="a signal of another system")
def test_ctrl_c_stops_in_one_line(recipe):
    command = [sys.executable, "-m", "coursekit", "play", str(recipe), "--repeats", "9999"]
    begun = partial(signal.signal, signal.SIGINT, signal.SIG_DFL)  # a job in a shell's background ignores it
    pipes = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    with subprocess.Popen(command, **pipes, text=True, preexec_fn=begun) as playing:
        assert "1 of 9999" in playing.stderr.readline()
        playing.send_signal(signal.SIGINT)
        table, told = playing.communicate(timeout=60)
    assert playing.returncode == 130 and told.splitlines()[-1] == "coursekit: stopped." and "Traceback" not in told
    assert "of 9999 hands" in table, "what was done is told"


def test_compare_says_where_two_repairs_differ(recipe, capsys):
    (recipe.parent / "other.toml").write_text((HEAD + CARD).replace("P320", "P240"), encoding="utf-8")
    assert main(["compare", "mine.toml", "other.toml", "--units", "us"]) == 0
    told = capsys.readouterr().out
    assert told == repair.compare("mine.toml", "other.toml").text("us") + "\n" and "paper" in told


def test_lessons_are_copied_and_never_over_a_changed_one(tmp_path, capsys):
    folder = tmp_path / "lessons"
    assert main(["lessons", str(folder)]) == 0
    lessons = [name for name in shipped("notebooks") if name.endswith(".ipynb")]
    assert f"{len(lessons)} new" in capsys.readouterr().out and len(lessons) == 26
    assert all((folder / name).read_bytes() == file.read_bytes() for name, file in shipped("notebooks").items())
    changed, older = folder / lessons[1], folder / lessons[2]
    changed.write_text("mine")
    manifest = folder / ".coursekit-lessons.json"
    known = hashlib.sha256(older.read_bytes()).hexdigest()
    older.write_text("as an older course copied it")
    manifest.write_text(manifest.read_text().replace(known, hashlib.sha256(older.read_bytes()).hexdigest()))
    (folder / lessons[3]).unlink()
    assert main(["lessons", str(folder)]) == 0
    told = capsys.readouterr().out
    assert f"1 kept as you changed them: {changed.stem}" in told and f"1 renewed: {older.stem}" in told
    assert "1 new" in told and f"{len(lessons) - 3} as they were" in told
    assert changed.read_text() == "mine" and older.read_bytes() == shipped("notebooks")[lessons[2]].read_bytes()
    manifest.write_text("{")
    assert main(["lessons", str(folder)]) == 0 and changed.read_text() == "mine"
    (tmp_path / "file").write_text("")
    assert main(["lessons", str(tmp_path / "file")]) == 2
    assert "cannot be written" in capsys.readouterr().err


def test_import_changes_nothing_of_the_process_it_is_in():
    state = "(dict(os.environ), signal.getsignal(signal.SIGINT), sys.getrecursionlimit())"
    code = f"""import os, sys, signal
before = {state}
import coursekit, coursekit.film, coursekit.repair, coursekit.measured
assert before == {state}"""
    subprocess.run([sys.executable, "-c", code], check=True, timeout=60)
