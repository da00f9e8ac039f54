"""Spoilt inputs, damaged files, writers at once and writers killed, in small; `bench_faults.py` has them in full."""

import os

import pytest

from coursekit import folder
from tests import faults


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    monkeypatch.setenv("COURSEKIT_HOME", str(tmp_path))
    return tmp_path


@pytest.mark.parametrize(("what", "number"), zip(faults.INPUTS, (2000, 800, 250, 800), strict=True))
def test_spoilt_inputs_give_the_documented_error_and_soon(what, number):
    told = faults.tried(what, number, seed=7)
    assert told.others == {}
    assert told.slow == []
    assert told.taken > number / 50 and told.refused > number / 5, "some are still good, most are not"
    assert told.last_mb - told.first_mb < 30


def test_a_damaged_progress_file_is_read_set_aside_or_refused(home):
    told = faults.damaged_progress(home, 250)
    assert told.others == {} and told.taken > 200


@pytest.mark.parametrize("what", faults.WRITERS)
def test_writers_at_once_lose_nothing(what, home):
    assert faults.written_at_once(what, home, each=20, processes=2) == (40, 40)


@pytest.mark.skipif(os.name == "nt", reason="a signal of another system")
@pytest.mark.parametrize("what", faults.WRITERS)
def test_a_writer_that_is_killed_loses_nothing_that_was_said_to_be_kept(what, home):
    said, lost = faults.killed(what, home, kills=4)
    assert said >= 4 and lost == 0
    folder.keep_setting("end", 1)
    assert not list(home.glob(".*.new")), "what a killed writer left is cleaned up"
