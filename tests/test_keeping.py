"""What a person must not lose: several writers at once, writers that are killed, damaged and odd files."""

import os
import subprocess
import sys
import time
from types import SimpleNamespace

import pytest
from IPython.core.events import EventManager, available_events

from coursekit import folder, keeping, lesson, measured
from coursekit.lesson.learner import unit_system
from coursekit.lesson.pages.measurement_form import enter
from coursekit.lesson.pages.view import ReadyView
from coursekit.lesson.workbench.view import BenchView
from coursekit.quantities import InputError
from tests.calls import refused


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path))
    return tmp_path


def test_a_writer_waits_for_another_and_says_so_when_it_takes_too_long(home, monkeypatch):
    monkeypatch.setattr(keeping, "PATIENCE", 0.05)
    with keeping.lock(home):
        with refused("busy"):
            folder.keep_setting("seed", "a")
        with refused("busy"):
            enter("force", {"scale": "2 kg"})
    folder.keep_setting("seed", "a")
    assert measured.load().entries == []


def test_units_chosen_in_one_notebook_hold_in_the_others(home):
    assert unit_system.chosen() == "metric"
    subprocess.run([sys.executable, "-c", "from coursekit import lesson; lesson.units('us')"], check=True)
    assert unit_system.chosen() == "us"


CHOOSE_US = "from coursekit.folder import keep_setting; keep_setting('system', 'us')"


def test_a_page_follows_a_choice_made_in_another_kernel_all_at_once(home, monkeypatch):
    """What was dragged before it could follow is read in the units it was dragged in; nothing is half converted."""
    kernel = EventManager(None, available_events)
    monkeypatch.setattr("IPython.get_ipython", lambda: SimpleNamespace(events=kernel))
    first, view = ReadyView(), BenchView(lesson.bench("film"))
    subprocess.run([sys.executable, "-c", CHOOSE_US], check=True)
    assert folder.setting("system") == "us" and first.choice.value == "metric" and "µm" in view.said.value
    view.sliders["wet_film"].value = 150.0  # µm: the slider is the old one
    assert view.bench.values["wet_film"] == pytest.approx(150e-6) and "mil" not in view.said.value
    kernel.trigger("post_execute")  # the end of that event
    assert first.choice.value == "us" and "mil" in view.said.value and "µm" not in view.said.value
    assert view.sliders["wet_film"].value == pytest.approx(5.9, abs=0.05) and "mil" in view.fields["wet_film"].value
    assert view.bench.values["wet_film"] == pytest.approx(150e-6)
    folder.keep_setting("system", "metric")
    kernel.trigger("pre_run_cell", None)
    assert "µm" in view.said.value and "mil" not in view.said.value and first.choice.value == "metric"


@pytest.mark.parametrize("form", [b"a\r\nb\r\n", b"\xef\xbb\xbfa\nb\n", b"a\nb\r\n"])
def test_line_ends_and_mark_stay(home, form):
    file = home / "x.txt"
    file.write_bytes(form)
    file.chmod(0o640)
    keeping.change(file, lambda text: text.replace("b", "c"), len)
    assert file.read_bytes() == form.replace(b"b", b"c") and (os.name == "nt" or file.stat().st_mode & 0o777 == 0o640)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no such files here")
def test_links_stay_and_pipes_and_devices_are_refused(home):
    there = home / "elsewhere" / "mine.toml"
    there.parent.mkdir()
    (home / measured.FILE).symlink_to(there)
    enter("force", {"scale": "2 kg"})
    assert (home / measured.FILE).is_symlink() and len(measured.load(there).entries) == 1
    there.unlink()
    os.mkfifo(there)
    for path in (there, "/dev/zero", "/dev/full", home):
        with refused("file"):
            measured.load(path)
    with refused("file"):
        enter("force", {"scale": "2 kg"})
    (home / "circle").symlink_to(home / "circle")
    for work in (measured.load, lambda path: measured.load(path).enter("force", scale="2 kg")):
        with refused("file"):
            work(home / "circle")


def test_bytes_that_are_no_text_are_set_aside_when_the_next_is_entered(home):
    (home / measured.FILE).write_bytes(b"\xff\xfe\x00")
    said = enter("force", {"scale": "2 kg"})
    aside = list(home.glob("garage-set-aside-*.toml"))
    assert len(aside) == 1 and aside[0].read_bytes() == b"\xff\xfe\x00" and aside[0].name in said.sentence
    assert len(measured.load().entries) == 1


INLINE = 'format = 1\nmeasurement = [{ way = "force", date = 2026-05-30, scale = "2 kg" }]\n'
HIDDEN = INLINE.replace("measurement = [{", "[[measurement]]\n").replace(" }]", "").replace(", ", "\n")


def test_what_could_not_be_read_back_is_not_written(home):
    file = home / measured.FILE
    for text in (INLINE, "format = 1\nmeasurement = []\n"):
        file.write_text(text)
        for work in (
            lambda: enter("force", {"scale": "2 kg"}),
            lambda: measured.load().forget("force"),
        ):
            with pytest.raises(InputError):
                work()
            assert file.read_text() == text
    file.write_text(HIDDEN)
    enter("force", {"scale": "3 kg"})
    assert len(measured.load().entries) == 2


@pytest.mark.skipif(not hasattr(time, "tzset"), reason="zones of another system")
@pytest.mark.parametrize("zone", ["XXX+1:02:03", "XXX-13:59:59", "XXX+24", "UTC0", "Asia/Kathmandu", "nonsense"])
def test_any_clock_writes_a_date_that_can_be_read(home, monkeypatch, zone):
    monkeypatch.setenv("TZ", zone)
    time.tzset()
    try:
        enter("force", {"scale": "2 kg"})
        assert len(measured.load().entries) == 1
    finally:
        monkeypatch.undo()
        time.tzset()
